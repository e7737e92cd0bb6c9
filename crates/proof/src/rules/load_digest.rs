//! Is what was copied, byte for byte, the image that was taken in?

use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};
use firmware::{Digest, StepState, Unit};

rule! {
    /// Is what was copied, byte for byte, the image that was taken in?
    ///
    /// ## Why
    /// A worn card or a copy that broke off gives an image with a fault in it, and a unit that starts to nothing.
    ///
    /// ## Sound when
    /// The digest read back from the card is the one recorded when the image was taken in. None recorded is tight,
    /// another one broken.
    ///
    /// ## Rests on
    /// SHA-256 (FIPS 180-4) of the file as it lies on the card after writing.
    ///
    /// ## Mend
    /// Copy again, or try another card.
    COPY_IS_THE_IMAGE = "load.digest", run
}

fn run(proof: &Proof) -> Answer {
    let Some((history, craft)) = proof.history() else { return Answer::default() };
    let mut answer = Answer::default();
    for unit in history.units_of(craft) {
        for (batch, step, state) in history.steps_of(&unit.label) {
            let lies = batch
                .on_card
                .get(step.card)
                .and_then(|files| files.iter().find(|file| file.file == step.path.join("/")));
            if let Some(lies) = lies.filter(|lies| *state == StepState::Written && lies.digest != step.digest)
            {
                answer.findings.push(other(unit, &step.file, step.digest, lies.digest));
            }
        }
        let known = unit.digest.and_then(|digest| history.images.iter().find(|image| image.digest == digest));
        let finding =
            |verdict, words: String| Finding::new(COPY_IS_THE_IMAGE.id, verdict, unit.label.clone(), words);
        answer.findings.extend(match (unit.digest, known, &unit.version) {
            (Some(digest), Some(image), _) => Some(finding(
                Verdict::Sound,
                format!("Unit {} carries {}, digest {}…", unit.label, image.file, digest.short()),
            )),
            (Some(digest), None, _) => Some(
                finding(
                    Verdict::Tight,
                    format!(
                        "The image in unit {}, digest {}…, is not kept here any more",
                        unit.label,
                        digest.short()
                    ),
                )
                .mend("Take the file in again, so that it can be told from others."),
            ),
            (None, _, Some(version)) => Some(
                finding(
                    Verdict::Tight,
                    format!(
                        "Unit {} reports {version}, and no digest of what it carries is recorded",
                        unit.label
                    ),
                )
                .mend("Load it once from a card that was read back; until then only its word is known."),
            ),
            (None, _, None) => None,
        });
    }
    answer
}

fn other(unit: &Unit, file: &str, wanted: Digest, found: Digest) -> Finding {
    let words = format!(
        "The copy of {file} for unit {} has digest {}… instead of {}…",
        unit.label,
        found.short(),
        wanted.short()
    );
    Finding::new(COPY_IS_THE_IMAGE.id, Verdict::Broken, format!("card for {}", unit.label), words)
        .mend("Copy again; if it differs again, take another card.")
}

#[cfg(test)]
mod tests {
    use super::COPY_IS_THE_IMAGE;
    use crate::testing_history::{check_history, is_sound_history};
    use expect_test::expect;
    use firmware::digest_of;

    #[test]
    fn a_copy_that_was_read_back_is_sound() {
        is_sound_history(&COPY_IS_THE_IMAGE);
    }

    #[test]
    fn another_digest_on_the_card_is_broken_and_none_recorded_tight() {
        check_history(
            &COPY_IS_THE_IMAGE,
            |history| {
                history.batches[0].on_card[0][0].digest = digest_of(b"spoiled");
                history.units[0].digest = None;
            },
            expect![[r#"
                broken · card for A1 · The copy of air-4.2.img for unit A1 has digest ad7a5714b614… instead of 2dc57101f43b…
                  > Copy again; if it differs again, take another card.
                tight · A1 · Unit A1 reports 4.2, and no digest of what it carries is recorded
                  > Load it once from a card that was read back; until then only its word is known.
            "#]],
        );
    }
}
