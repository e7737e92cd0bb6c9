//! What happens when the control link is lost, and was it tried?

use crate::names::called;
use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{PartKind, place};

rule! {
    /// What happens when the control link is lost, and was it tried?
    ///
    /// ## Why
    /// Some receivers hold the last stick positions when the link breaks: the craft flies on by itself, blades turning. Nobody
    /// finds out by reading a setting.
    ///
    /// ## Sound when
    /// A failsafe is set, and it was tried within the month with the blades off.
    ///
    /// ## Rests on
    /// What is said at the place of the flight controller. Common practice; follow your local rules beyond it.
    ///
    /// ## Mend
    /// Blades off, arm, switch the control transmitter off: the motors must stop within a second or two.
    FAILSAFE_TRIED = "set.failsafe", run
}

fn run(proof: &Proof) -> Answer {
    let wired = proof.wiring().is_some_and(crate::wiring::WiringModel::is_wired);
    let mut findings = Vec::new();
    for kind in [PartKind::FlightController, PartKind::IntegratedBoard] {
        for placed in proof.places_of(kind) {
            let item = placed.place.item();
            let said = item.has(&place::FAILSAFE.def) || item.has(&place::FAILSAFE_TRIED.def);
            if !said && !wired {
                continue;
            }
            let name = called(proof, placed);
            let found =
                |verdict, message: String| Finding::new(FAILSAFE_TRIED.id, verdict, name.clone(), message);
            let try_it = "Try it: blades off, arm, switch the control transmitter off. The motors must stop within a second or two.";
            let finding = match (item.text(&place::FAILSAFE), item.text(&place::FAILSAFE_TRIED)) {
                (Err(missing), _) => Finding::unknown(FAILSAFE_TRIED.id, name.clone(), vec![missing]),
                (Ok("none"), _) => found(
                    Verdict::Broken,
                    "No failsafe is set: without the control link it flies on by itself".to_owned(),
                )
                .mend("Set it to drop, return or land.")
                .mend(try_it),
                (Ok(set), Ok("this month")) => {
                    found(Verdict::Sound, format!("Failsafe is set to {set} and was tried this month"))
                }
                (Ok(set), Ok("longer ago")) => found(
                    Verdict::Tight,
                    format!("Failsafe is set to {set}, and it is long since it was tried"),
                )
                .mend(try_it),
                (Ok(set), _) => {
                    found(Verdict::Tight, format!("Failsafe is set to {set}, and nobody has tried it"))
                        .mend(try_it)
                }
            };
            findings.push(finding.at([placed.place.id.clone()]));
        }
    }
    Answer { findings, figures: Vec::new() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_wiring::{check, is_sound, set};
    use expect_test::expect;

    #[test]
    fn a_failsafe_that_was_tried_is_sound() {
        is_sound(&FAILSAFE_TRIED);
    }

    #[test]
    fn none_is_broken_untried_is_tight_unsaid_is_unknown() {
        check(
            &FAILSAFE_TRIED,
            |craft| set(craft, "place fc.failsafe", "none"),
            expect![[r#"
            broken · flight controller
              No failsafe is set: without the control link it flies on by itself
              > Set it to drop, return or land.
              > Try it: blades off, arm, switch the control transmitter off. The motors must stop within a second or two.
        "#]],
        );
        check(
            &FAILSAFE_TRIED,
            |craft| set(craft, "place fc.failsafe_tried", "never"),
            expect![[r#"
            tight · flight controller
              Failsafe is set to drop, and nobody has tried it
              > Try it: blades off, arm, switch the control transmitter off. The motors must stop within a second or two.
        "#]],
        );
        check(
            &FAILSAFE_TRIED,
            |craft| set(craft, "place fc.failsafe_tried", "longer ago"),
            expect![[r#"
            tight · flight controller
              Failsafe is set to drop, and it is long since it was tried
              > Try it: blades off, arm, switch the control transmitter off. The motors must stop within a second or two.
        "#]],
        );
        check(
            &FAILSAFE_TRIED,
            |craft| set(craft, "place fc.failsafe", ""),
            expect![[r#"
            unknown · flight controller
              Nobody can say yet: the failsafe as set of place "fc" is not known
              > Measure or look up the failsafe as set of place "fc".
        "#]],
        );
    }
}
