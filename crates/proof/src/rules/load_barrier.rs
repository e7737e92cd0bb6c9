//! Was a step left out that may not be skipped?

use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};
use firmware::{Crossing, barriers, crossing};

rule! {
    /// Was a step left out that may not be skipped?
    ///
    /// ## Why
    /// Some images change what the next one builds on. A unit that jumps over such a step, or goes back below it, may not
    /// start again.
    ///
    /// ## Sound when
    /// No load from one version to another jumps over a step that an image of this kind calls necessary, nor goes back below
    /// it. Otherwise broken; from a version nobody read it is unknown.
    ///
    /// ## Rests on
    /// The versions before and after, as written down; the steps that the images state. Common practice.
    ///
    /// ## Mend
    /// Go to the step first.
    NO_STEP_SKIPPED = "load.barrier", run
}

fn run(proof: &Proof) -> Answer {
    let Some((history, craft)) = proof.history() else { return Answer::default() };
    let mut answer = Answer::default();
    for unit in history.units_of(craft) {
        let steps_needed = barriers(&history.images, &unit.kind);
        for (_, step, _) in history.steps_of(&unit.label) {
            let subject = format!("{} to {}", unit.label, step.to);
            let finding =
                |verdict, words: String| Finding::new(NO_STEP_SKIPPED.id, verdict, subject.clone(), words);
            let from = step.from.as_ref().map(ToString::to_string).unwrap_or_default();
            answer.findings.push(match crossing(&steps_needed, step.from.as_ref(), &step.to) {
                Crossing::Free => finding(Verdict::Sound, format!("Unit {} goes to {} without a step left out", unit.label, step.to)),
                Crossing::First(first) => {
                    finding(Verdict::Broken, format!("Unit {}: between {from} and {} the step {first} may not be skipped", unit.label, step.to))
                        .mend(format!("From {from} go to {first} first."))
                }
                Crossing::Back(barrier) => {
                    finding(Verdict::Broken, format!("Unit {}: from {from} there is no way back below {barrier} to {}", unit.label, step.to))
                        .mend(format!("Keep {from} or a later one."))
                }
                Crossing::FromUnknown(barrier) => {
                    let words = format!("Nobody can say: unit {} was never asked what it has, and {barrier} may not be skipped", unit.label);
                    finding(Verdict::Unknown, words).mend("Read its version first.")
                }
            });
        }
    }
    answer
}

#[cfg(test)]
mod tests {
    use super::NO_STEP_SKIPPED;
    use crate::testing_history::{check_history, is_sound_history, version};
    use expect_test::expect;

    #[test]
    fn a_free_way_is_sound() {
        is_sound_history(&NO_STEP_SKIPPED);
    }

    #[test]
    fn a_step_left_out_is_broken_and_an_unread_version_unknown() {
        check_history(
            &NO_STEP_SKIPPED,
            |history| history.images[0].step = Some(version("4.15")),
            expect![""],
        );
        check_history(
            &NO_STEP_SKIPPED,
            |history| {
                history.images[0].step = Some(version("4.1.5"));
                history.batches[0].plan.steps[0].from = None;
            },
            expect![[r#"
                unknown · A1 to 4.2 · Nobody can say: unit A1 was never asked what it has, and 4.1.5 may not be skipped
                  > Read its version first.
            "#]],
        );
        check_history(
            &NO_STEP_SKIPPED,
            |history| history.images[0].step = Some(version("4.1.5")),
            expect![[r#"
                broken · A1 to 4.2 · Unit A1: between 4.1 and 4.2 the step 4.1.5 may not be skipped
                  > From 4.1 go to 4.1.5 first.
            "#]],
        );
    }
}
