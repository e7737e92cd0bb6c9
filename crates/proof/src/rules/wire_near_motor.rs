//! Do signals keep away from the wires of the motors?

use crate::rule::rule;
use crate::wiring::{Near, near_phases};
use crate::{Answer, Finding, Proof, Verdict};
use quantity::Millimetres;

rule! {
    /// Do signals keep away from the wires of the motors?
    ///
    /// ## Why
    /// Phase wires carry tens of amperes, chopped tens of thousands of times a second. A camera harness or a serial wire that runs beside one
    /// picks it up: lines in the picture, lost bytes.
    ///
    /// ## Sound when
    /// No harness and no signal wire runs within 10 mm of the straight line from speed controller to motor. Within 5 mm for more than
    /// 20 mm along it is broken, where its way is known; a loose wire is taken straight from pad to pad, which nobody laid, and is tight at
    /// most. Crossing at right angles does no harm.
    ///
    /// ## Rests on
    /// Where parts are placed: harnesses along the way found for them, loose wires and phases taken straight, for no sheet says how they are
    /// led. Common practice.
    ///
    /// ## Mend
    /// Lead it along the other side, or cross at right angles; of a loose wire look how it lies.
    AWAY_FROM_PHASES = "wire.near_motor", run
}

/// Nearer than this is broken where it runs along for long.
const BESIDE: f64 = 5.0;
/// Nearer than this is tight.
const NEAR: f64 = 10.0;
/// How far it may run along.
const ALONG: f64 = 20.0;

fn run(proof: &Proof) -> Answer {
    let Some(model) = proof.wiring().filter(|model| model.is_wired()) else { return Answer::default() };
    let near = near_phases(proof, model, NEAR);
    if near.is_empty() {
        return Answer::default();
    }
    let mut findings: Vec<Finding> = near.iter().filter_map(judge).collect();
    if findings.is_empty() {
        let message = match near.iter().any(|near| near.straight) {
            true => {
                "Nothing that carries a signal runs beside the wires of a motor; loose wires are taken straight from pad to pad"
            }
            false => "Nothing that carries a signal runs beside the wires of a motor",
        };
        findings.push(Finding::new(AWAY_FROM_PHASES.id, Verdict::Sound, "signals and motors", message));
    }
    Answer { findings, figures: Vec::new() }
}

fn judge(near: &Near) -> Option<Finding> {
    let mm = crate::numbers::mm;
    // A way that nobody laid breaks nothing: it is looked at.
    let verdict = if near.distance < BESIDE && near.along > ALONG && !near.straight {
        Verdict::Broken
    } else if near.distance < NEAR && near.along > ALONG {
        Verdict::Tight
    } else {
        return None;
    };
    let subject = format!("{} and {}", near.what, near.motor);
    let (along, from) = (mm(near.along), mm(near.distance));
    let message = match near.straight {
        true => format!(
            "Straight from pad to pad {} would run {along} beside the wires of {}, {from} from them, and pick up their noise; how it is led nobody said",
            near.what, near.motor
        ),
        false => format!(
            "{} runs {along} beside the wires of {}, {from} from them: it picks up their noise, along the way found for it; the motor's wires are taken straight",
            near.what, near.motor
        ),
    };
    let finding = Finding::new(AWAY_FROM_PHASES.id, verdict, subject, message).at(near.places.clone());
    let lead = "Lead it along the other side of the arm or board, or let it cross at right angles.";
    Some(match near.straight {
        // Where it lies nobody knows, so there is no margin to state.
        true => finding.mend(format!("Look how it lies. {lead}")),
        false => finding.margin(Millimetres::new(near.distance - BESIDE), None).mend(lead),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_wiring::{check, is_sound, set};
    use expect_test::expect;

    #[test]
    fn signals_that_stay_between_the_boards_are_sound() {
        is_sound(&AWAY_FROM_PHASES);
    }

    #[test]
    fn a_receiver_out_on_the_arm_is_told() {
        check(
            &AWAY_FROM_PHASES,
            |craft| {
                set(craft, "place rx.x", "38 mm");
                set(craft, "place rx.y", "40 mm");
                set(craft, "place rx.z", "6 mm");
            },
            expect![[r#"
                tight · the wire from fc/T1 to rx/RX and 1404 motor at m-fl
                  Straight from pad to pad the wire from fc/T1 to rx/RX would run 45.8 mm beside the wires of 1404 motor at m-fl, 2.5 mm from them, and pick up their noise; how it is led nobody said
                  > Look how it lies. Lead it along the other side of the arm or board, or let it cross at right angles.
                tight · the wire from fc/R1 to rx/TX and 1404 motor at m-fl
                  Straight from pad to pad the wire from fc/R1 to rx/TX would run 45.8 mm beside the wires of 1404 motor at m-fl, 2.5 mm from them, and pick up their noise; how it is led nobody said
                  > Look how it lies. Lead it along the other side of the arm or board, or let it cross at right angles.
            "#]],
        );
    }
}
