//! Is the image in each unit one for that kind and revision?

use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};
use firmware::Fit;

rule! {
    /// Is the image in each unit one for that kind and revision?
    ///
    /// ## Why
    /// An image made for another unit may be refused by it, or may leave it so that it starts to nothing.
    ///
    /// ## Sound when
    /// The image last loaded, and the one about to be loaded, name the unit's kind and its board revision. A revision that
    /// nobody read off the board is tight, another kind or revision is broken.
    ///
    /// ## Rests on
    /// The unit as described, the image's own list of kinds and revisions. Common practice.
    ///
    /// ## Mend
    /// Take the image that is made for this unit; read the revision off the board.
    IMAGE_IS_FOR_IT = "load.kind", run
}

fn run(proof: &Proof) -> Answer {
    let Some((history, craft)) = proof.history() else { return Answer::default() };
    let mut answer = Answer::default();
    for unit in history.units_of(craft) {
        let planned = history
            .steps_of(&unit.label)
            .filter(|(batch, ..)| !batch.is_done())
            .map(|(_, step, _)| step.digest);
        let mut digests: Vec<_> = unit.digest.into_iter().chain(planned).collect();
        digests.dedup();
        for image in
            digests.iter().filter_map(|digest| history.images.iter().find(|image| image.digest == *digest))
        {
            let (verdict, message, mend) = match image.fit(unit) {
                Fit::Fits => {
                    let words = format!("{} is for {}", image.file, image.for_words());
                    answer.findings.push(Finding::new(
                        IMAGE_IS_FOR_IT.id,
                        Verdict::Sound,
                        unit.label.clone(),
                        words,
                    ));
                    continue;
                }
                Fit::RevisionUnknown => (
                    Verdict::Tight,
                    format!(
                        "{} is for {}; the revision of unit {} is not known",
                        image.file,
                        image.for_words(),
                        unit.label
                    ),
                    "Read the revision off the board and write it down.",
                ),
                Fit::OtherRevision | Fit::OtherKind => (
                    Verdict::Broken,
                    format!(
                        "{} is for {}; unit {} is {} {}: it could leave it dead",
                        image.file,
                        image.for_words(),
                        unit.label,
                        unit.kind,
                        unit.revision.as_deref().unwrap_or("of unknown revision")
                    ),
                    "Do not power it on with this image; take the one that is made for it.",
                ),
            };
            answer
                .findings
                .push(Finding::new(IMAGE_IS_FOR_IT.id, verdict, unit.label.clone(), message).mend(mend));
        }
    }
    answer
}

#[cfg(test)]
mod tests {
    use super::IMAGE_IS_FOR_IT;
    use crate::testing_history::{check_history, is_sound_history};
    use expect_test::expect;

    #[test]
    fn an_image_for_this_revision_is_sound() {
        is_sound_history(&IMAGE_IS_FOR_IT);
    }

    #[test]
    fn another_kind_is_broken_and_an_unread_revision_tight() {
        check_history(
            &IMAGE_IS_FOR_IT,
            |history| history.images[0].fits[0].kind = "Lanner ground unit".into(),
            expect![[r#"
                broken · A1 · air-4.2.img is for Lanner ground unit revision B; unit A1 is Lanner small air unit B: it could leave it dead
                  > Do not power it on with this image; take the one that is made for it.
            "#]],
        );
        check_history(
            &IMAGE_IS_FOR_IT,
            |history| history.units[0].revision = None,
            expect![[r#"
                tight · A1 · air-4.2.img is for Lanner small air unit revision B; the revision of unit A1 is not known
                  > Read the revision off the board and write it down.
            "#]],
        );
    }
}
