//! Is the card for the next load fit to carry it?

use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};
use firmware::{Refused, card_against};

rule! {
    /// Is the card for the next load fit to carry it?
    ///
    /// ## Why
    /// Installers read small, freshly formatted cards with one image on them. From any other they take the wrong image, half of
    /// it, or none.
    ///
    /// ## Sound when
    /// The card can be taken out, is not larger than the installer reads, has the file system it reads and room for the image,
    /// and carries no other image. A second image on it is tight, anything else broken.
    ///
    /// ## Rests on
    /// The card as it was seen when the batch was planned, and the recipe for the kind of unit. Common practice.
    ///
    /// ## Mend
    /// Take a smaller or an empty card, format it as the recipe says, remove the other image.
    CARD_WILL_DO = "load.card", run
}

fn run(proof: &Proof) -> Answer {
    let Some((history, craft)) = proof.history() else { return Answer::default() };
    let mut answer = Answer::default();
    for batch in history.open_batches(craft) {
        let steps = batch
            .plan
            .steps
            .iter()
            .filter(|step| history.units_of(craft).any(|unit| unit.label == step.unit));
        for step in steps {
            let unit = history.units.iter().find(|unit| unit.label == step.unit);
            let (Some(card), Some(recipe)) =
                (batch.cards.seen.get(step.card), unit.and_then(|unit| history.recipe_of(unit)))
            else {
                continue;
            };
            let subject = format!("card for {}", step.unit);
            let against = card_against(card, recipe, step.size, batch.cards.yes.contains(&card.path));
            if against.is_empty() {
                let words = format!("Card {:?} will do for unit {}", card.path, step.unit);
                answer.findings.push(Finding::new(CARD_WILL_DO.id, Verdict::Sound, subject, words));
                continue;
            }
            let stray = against.iter().all(|why| matches!(why, Refused::Stray { .. }));
            let verdict = if stray { Verdict::Tight } else { Verdict::Broken };
            let words: Vec<String> = against.iter().map(ToString::to_string).collect();
            let mend = "Take a fresh card that fits the recipe, with nothing else on it.";
            answer
                .findings
                .push(Finding::new(CARD_WILL_DO.id, verdict, subject, words.join("; ")).mend(mend));
        }
    }
    answer
}

#[cfg(test)]
mod tests {
    use super::CARD_WILL_DO;
    use crate::testing_history::{check_history, is_sound_history};
    use expect_test::expect;
    use firmware::FileSeen;

    #[test]
    fn a_small_fresh_card_is_sound() {
        is_sound_history(&CARD_WILL_DO);
    }

    #[test]
    fn a_large_card_is_broken_and_a_second_image_tight() {
        check_history(
            &CARD_WILL_DO,
            |history| history.batches[0].cards.seen[0].size = Some(64_000_000_000),
            expect![[r#"
                broken · card for A1 · card "/media/card" holds 64000000000 bytes; "Lanner small air unit" reads cards up to 32000000000 only; take a smaller one
                  > Take a fresh card that fits the recipe, with nothing else on it.
            "#]],
        );
        check_history(
            &CARD_WILL_DO,
            |history| {
                let old = FileSeen { folder: String::new(), name: "old.img".into(), size: 9, is_link: false };
                history.batches[0].cards.seen[0].files.push(old);
            },
            expect![[r#"
                tight · card for A1 · card "/media/card" holds "old.img" beside the wanted image: the unit may take the wrong one. Remove it
                  > Take a fresh card that fits the recipe, with nothing else on it.
            "#]],
        );
    }
}
