//! Is everything still on the card that the next unit needs?

use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};
use firmware::StepState;

rule! {
    /// Is everything still on the card that the next unit needs?
    ///
    /// ## Why
    /// Some installers take the image or a marker file away when they are done. The next unit then finds nothing, and it looks as
    /// if it were dead.
    ///
    /// ## Sound when
    /// At the last look the card carried all that was written to it. Something gone while units still wait is broken.
    ///
    /// ## Rests on
    /// The card as it was read back before the next unit. Common practice.
    ///
    /// ## Mend
    /// Write the card again from the master; the digest is checked.
    CARD_IS_WHOLE = "load.marker_kept", run
}

fn run(proof: &Proof) -> Answer {
    let Some((history, craft)) = proof.history() else { return Answer::default() };
    let mut answer = Answer::default();
    for batch in history.open_batches(craft) {
        let wait = batch
            .states
            .iter()
            .filter(|state| matches!(state, StepState::Waiting | StepState::Written))
            .count();
        let subject = format!("card of {}", batch.name);
        answer.findings.push(if !batch.is_unlike_written() {
            let words = "The card carries all that was written to it".to_owned();
            Finding::new(CARD_IS_WHOLE.id, Verdict::Sound, subject, words)
        } else {
            let units =
                if wait == 1 { "1 unit still waits".to_owned() } else { format!("{wait} units still wait") };
            let told =
                [("gone", &batch.gone), ("changed", &batch.changed), ("not of this batch", &batch.stray)];
            let told = told.iter().filter(|(_, files)| !files.is_empty());
            let told: Vec<String> =
                told.map(|(what, files)| format!("{what}: {}", files.join(", "))).collect();
            let words = format!("On the card {}; {units}", told.join("; "));
            Finding::new(CARD_IS_WHOLE.id, Verdict::Broken, subject, words)
                .mend("Write the card again from the master before the next unit.")
        });
    }
    answer
}

#[cfg(test)]
mod tests {
    use super::CARD_IS_WHOLE;
    use crate::testing_history::{check_history, is_sound_history};
    use expect_test::expect;

    #[test]
    fn a_whole_card_is_sound() {
        is_sound_history(&CARD_IS_WHOLE);
    }

    #[test]
    fn what_the_installer_took_is_named() {
        check_history(
            &CARD_IS_WHOLE,
            |history| history.batches[0].gone = vec!["LANNER_AIR.IMG".into()],
            expect![[r#"
                broken · card of spring · On the card gone: LANNER_AIR.IMG; 1 unit still waits
                  > Write the card again from the master before the next unit.
            "#]],
        );
    }
}
