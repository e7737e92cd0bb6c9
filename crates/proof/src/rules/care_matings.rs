//! How much of the life of plugs, packs and motors is gone?

use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};
use care::{CounterKind, Standing, counters_of, due};
use quantity::Ratio;

rule! {
    /// How much of the life of plugs, packs and motors is gone?
    ///
    /// ## Why
    /// A push-on plug bears some thirty matings. After that it costs decibels that come and go with vibration, and nothing looks
    /// wrong on the bench. Bearings, packs and screws have their lives too.
    ///
    /// ## Sound when
    /// At most 70 % of the rated life is gone. Beyond that it is tight, past the life broken for plugs; for motors, packs
    /// and the look over the craft it stays tight, since they tell themselves by sound and by measuring.
    ///
    /// ## Rests on
    /// The counters of this craft and the journal. Lives are common practice where the maker states none.
    ///
    /// ## Mend
    /// Replace the plug or its lead now, not at the field; look the craft over.
    LIFE_IS_LEFT = "care.matings", run
}

fn run(proof: &Proof) -> Answer {
    let Some((history, craft)) = proof.history() else { return Answer::default() };
    let mine = counters_of(&history.counters, &history.entries, craft);
    let mut answer = Answer::default();
    for due in due(&mine, &history.entries) {
        let counter = due.counter;
        let verdict = match due.standing {
            Standing::Over if counter.kind.is_matings() => Verdict::Broken,
            Standing::Over | Standing::Near => Verdict::Tight,
            Standing::Fine => Verdict::Sound,
        };
        let count = if counter.kind == CounterKind::MotorHours {
            format!("{:.1}", due.count)
        } else {
            format!("{:.0}", due.count)
        };
        let words = format!("{}: {count} of {:.0} {}", counter.thing, due.life, counter.kind.plain());
        let found = Finding::new(LIFE_IS_LEFT.id, verdict, counter.thing.clone(), words)
            .margin(Ratio::new(1.0 - due.count / due.life), None);
        answer.findings.push(match (verdict, counter.kind) {
            (Verdict::Sound, _) => found,
            (_, CounterKind::SinceInspection) => {
                found.mend("Look over screws, ties, soft mounts and plugs; tick the list.")
            }
            (_, CounterKind::MotorHours) => {
                found.mend("Turn each motor by hand; replace bearings that grate.")
            }
            (_, CounterKind::PackCycles) => {
                found.mend("Measure the resistance of its cells; keep it for the bench if it rose by half.")
            }
            _ => found
                .mend(format!("Replace {} now, not at the field, and begin its count anew.", counter.thing)),
        });
    }
    answer
}

#[cfg(test)]
mod tests {
    use super::LIFE_IS_LEFT;
    use crate::testing_history::{check_history, is_sound_history};
    use care::CounterKind;
    use expect_test::expect;

    #[test]
    fn a_young_plug_is_sound() {
        is_sound_history(&LIFE_IS_LEFT);
    }

    #[test]
    fn a_worn_plug_is_broken_and_worn_motors_are_tight() {
        check_history(
            &LIFE_IS_LEFT,
            |history| history.counters[0].base = 31.0,
            expect![[r#"
                broken · pigtail · pigtail: 31 of 30 matings of a push-on coax plug
                  > Replace pigtail now, not at the field, and begin its count anew.
            "#]],
        );
        check_history(
            &LIFE_IS_LEFT,
            |history| {
                history.counters[0].kind = CounterKind::MotorHours;
                history.counters[0].thing = "motors".into();
                history.counters[0].base = 26.5;
            },
            expect![[r#"
                tight · motors · motors: 26.5 of 20 hours on the motors
                  > Turn each motor by hand; replace bearings that grate.
            "#]],
        );
    }
}
