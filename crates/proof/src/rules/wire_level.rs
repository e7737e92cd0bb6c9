//! Does every input stand the level it is driven at, and see it?

use crate::rule::rule;
use crate::wiring::WiringModel;
use crate::{Answer, Finding, Proof, Verdict};
use quantity::{Measure, Volts};
use wiring::NetFault;

rule! {
    /// Does every input stand the level it is driven at, and see it?
    ///
    /// ## Why
    /// Most boards talk at 3.3 V, and their inputs stand no more unless they are marked. Five volts into such a pin kill the port,
    /// sometimes weeks later.
    ///
    /// ## Sound when
    /// Each driver's level is at most what the input stands and at least the 2.0 V from which it reads high. An unmarked
    /// input driven above 3.6 V is tight.
    ///
    /// ## Rests on
    /// Level and tolerance of the ports on the sheets. JESD8C for the levels at which 3.3 V logic reads high.
    ///
    /// ## Mend
    /// A divider of 1 kΩ and 2 kΩ takes 5 V to 3.3 V on a slow line; a level shifter on a fast one.
    LEVELS_SUIT = "wire.level", run
}

fn run(proof: &Proof) -> Answer {
    let Some(model) = proof.wiring().filter(|model| model.is_wired()) else { return Answer::default() };
    let mut findings = Vec::new();
    let mut looked_at = 0;
    for net in model.nets.nets() {
        looked_at += usize::from(net.pads.iter().any(|pad| {
            let pad = &model.pads[*pad];
            pad.role.is_some_and(|role| role.drives())
                && pad.port.is_some_and(|p| model.ports[p].port.level.is_some())
        }));
        findings.extend(model.nets.faults_in(net).into_iter().filter_map(|fault| judge(model, fault)));
    }
    if findings.is_empty() && looked_at > 0 {
        let lines = if looked_at == 1 { "line is".to_owned() } else { format!("{looked_at} lines are") };
        let message = format!("The {lines} driven at a level that the other end stands and sees");
        findings.push(Finding::new(LEVELS_SUIT.id, Verdict::Sound, "serial lines", message));
    }
    Answer { findings, figures: Vec::new() }
}

fn judge(model: &WiringModel, fault: NetFault) -> Option<Finding> {
    let volts = |volts: Volts| volts.to_string();
    let (driver, receiver, verdict, message, margin, mend) = match fault {
        NetFault::LevelTooHigh { driver, receiver, level, stands } => (
            driver,
            receiver,
            Verdict::Broken,
            format!(
                "Pad {} drives {} at {}, which stands {}: the port dies",
                model.pad_name(driver),
                model.pad_name(receiver),
                volts(level),
                volts(stands)
            ),
            Some(stands - level),
            "Put a divider of 1 kΩ and 2 kΩ, or a level shifter, into that line.",
        ),
        NetFault::StandsUnsaid { driver, receiver, level } => (
            driver,
            receiver,
            Verdict::Tight,
            format!(
                "Pad {} drives {} at {}; what that input stands is not marked",
                model.pad_name(driver),
                model.pad_name(receiver),
                volts(level)
            ),
            None,
            "Look for a mark that it stands 5 V; without one put a divider of 1 kΩ and 2 kΩ into the line.",
        ),
        NetFault::LevelTooLow { driver, receiver, level } => (
            driver,
            receiver,
            Verdict::Broken,
            format!(
                "Pad {} drives {} at {}, which reads high from 2 V only: garbage or nothing",
                model.pad_name(driver),
                model.pad_name(receiver),
                volts(level)
            ),
            Some(level - Volts::new(2.0)),
            "Put a level shifter into that line.",
        ),
        _ => return None,
    };
    let places = [driver, receiver].map(|pad| model.units[model.pads[pad].unit].place.clone());
    let subject = format!("{} to {}", model.pad_name(driver), model.pad_name(receiver));
    let finding = Finding::new(LEVELS_SUIT.id, verdict, subject, message).at(places).mend(mend);
    Some(match margin {
        Some(margin) => finding.margin(quantity::Quantity { value: margin.raw(), unit: Volts::UNIT }, None),
        None => finding,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_wiring::{check, is_sound, set};
    use expect_test::expect;

    #[test]
    fn three_volts_into_three_volts_are_sound() {
        is_sound(&LEVELS_SUIT);
    }

    #[test]
    fn five_volts_into_a_pin_of_three_are_broken() {
        check(
            &LEVELS_SUIT,
            |craft| set(craft, "rx.port[0].level", "5 V, data sheet"),
            expect![[r#"
                broken · rx/TX to fc/R1 · -1.4 V
                  Pad rx/TX drives fc/R1 at 5 V, which stands 3.6 V: the port dies
                  > Put a divider of 1 kΩ and 2 kΩ, or a level shifter, into that line.
            "#]],
        );
    }

    #[test]
    fn five_volts_into_an_unmarked_pin_are_tight() {
        check(
            &LEVELS_SUIT,
            |craft| {
                set(craft, "rx.port[0].level", "5 V, data sheet");
                set(craft, "fc.port[0].stands", "");
            },
            expect![[r#"
                tight · rx/TX to fc/R1
                  Pad rx/TX drives fc/R1 at 5 V; what that input stands is not marked
                  > Look for a mark that it stands 5 V; without one put a divider of 1 kΩ and 2 kΩ into the line.
            "#]],
        );
    }

    #[test]
    fn too_low_to_be_seen_is_broken() {
        check(
            &LEVELS_SUIT,
            |craft| set(craft, "vtx.port[0].level", "1.8 V"),
            expect![[r#"
                broken · vtx/TX to fc/R2 · -0.2 V
                  Pad vtx/TX drives fc/R2 at 1.8 V, which reads high from 2 V only: garbage or nothing
                  > Put a level shifter into that line.
            "#]],
        );
    }
}
