//! Does every motor get its signal?

use crate::numbers::listed;
use crate::rule::rule;
use crate::wiring::{Role, WiringModel};
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::PartKind;

rule! {
    /// Does every motor get its signal?
    ///
    /// ## Why
    /// Each motor listens to a wire of its own. One that hears nothing stays still while the others turn, and the craft
    /// throws itself over at take-off; two on one wire turn alike and cannot hold it level.
    ///
    /// ## Sound when
    /// Each one-wire pad of a speed controller is joined to a one-wire pad of the flight controller, and to no other of its own. Where both boards
    /// number their pads and the numbers do not meet, it is tight: that flies only once the order of the motors is set to it.
    ///
    /// ## Rests on
    /// The one-wire pads on the sheets of both boards and the wires of the craft. A board that is both in one has no such wires. Common practice.
    ///
    /// ## Mend
    /// Join it to the pad of its motor on the flight controller; look up which motor is which before blades go on.
    MOTORS_HEAR = "wire.motor_signals", run
}

fn run(proof: &Proof) -> Answer {
    let Some(model) = proof.wiring().filter(|model| model.is_wired()) else { return Answer::default() };
    let has_controller = (0..model.units.len()).any(|unit| model.is_controller(unit));
    let boards = (0..model.units.len())
        .filter(|unit| has_controller && model.units[*unit].kind == PartKind::SpeedController);
    Answer { findings: boards.filter_map(|unit| judge(model, unit)).collect(), figures: Vec::new() }
}

fn one_wire(model: &WiringModel, pad: usize) -> bool {
    model.pads[pad].role == Some(Role::OneWire)
}

/// The number at the end of a pad's name: 2 of `M2`; none where there is none.
fn numbered(name: &str) -> Option<u32> {
    let digits = name.trim_end().chars().rev().take_while(char::is_ascii_digit).count();
    name.trim_end()[name.trim_end().len() - digits..].parse().ok()
}

fn judge(model: &WiringModel, unit: usize) -> Option<Finding> {
    let board = &model.units[unit];
    let signals: Vec<usize> = model.pads_of(unit).filter(|pad| one_wire(model, *pad)).collect();
    if signals.is_empty() {
        return None;
    }
    let at = |pad: usize| model.nets.net_of(pad).map(|net| model.nets.nets()[net].pads.as_slice());
    let hears = |pad: usize| {
        at(pad)
            .unwrap_or_default()
            .iter()
            .find(|other| one_wire(model, **other) && model.is_controller(model.pads[**other].unit))
    };
    let names = |pads: &[usize]| pads.iter().map(|pad| model.pad_name(*pad)).collect::<Vec<_>>();
    let found = |verdict, message: String| {
        Finding::new(MOTORS_HEAR.id, verdict, format!("motor signals of {}", board.called), message)
            .at([board.place.clone()])
    };
    let deaf: Vec<usize> = signals.iter().copied().filter(|pad| hears(*pad).is_none()).collect();
    if !deaf.is_empty() {
        let (these, stay) = if deaf.len() == 1 { ("that motor", "stays") } else { ("those motors", "stay") };
        let message = format!(
            "No wire brings a signal to {}: {these} {stay} still, and the craft throws itself over at take-off",
            listed(&names(&deaf))
        );
        let free: Vec<usize> = (0..model.pads.len())
            .filter(|pad| {
                one_wire(model, *pad)
                    && model.is_controller(model.pads[*pad].unit)
                    && model.nets.net_of(*pad).is_none()
            })
            .collect();
        return Some(found(Verdict::Broken, message).mend(match free.as_slice() {
            [] => "Join each to the pad of its motor on the flight controller.".to_owned(),
            free => {
                let free = &free[..free.len().min(4)];
                format!(
                    "Join each to the pad of its motor on the flight controller; free are {}.",
                    listed(&names(free))
                )
            }
        }));
    }
    let shared = signals.iter().enumerate().find_map(|(k, pad)| {
        signals[k + 1..].iter().find(|other| model.nets.joined(*pad, **other)).map(|other| [*pad, *other])
    });
    if let Some(pair) = shared {
        let message = format!(
            "{} hang on one wire: both motors turn alike, and the craft cannot be held",
            listed(&names(&pair))
        );
        return Some(found(Verdict::Broken, message).mend("Give each a wire of its own."));
    }
    let crossed: Vec<[usize; 2]> = signals
        .iter()
        .filter_map(|pad| {
            let other = *hears(*pad)?;
            let [here, there] = [*pad, other].map(|pad| numbered(&model.pads[pad].name));
            (here? != there?).then_some([*pad, other])
        })
        .collect();
    if !crossed.is_empty() {
        let meets: Vec<String> = crossed
            .iter()
            .map(|[a, b]| format!("{} meets {}", model.pad_name(*a), model.pad_name(*b)))
            .collect();
        let message = format!(
            "{}: unless the order of the motors is set to that, the craft throws itself over at take-off",
            listed(&meets)
        );
        let mend = match crossed.as_slice() {
            [[a, x], [b, y]] => {
                let [a, x, b, y] = [a, x, b, y].map(|pad| model.pad_name(*pad));
                format!("Swap the two: {a} to {y}, {b} to {x}.")
            }
            _ => "Join each to the pad of its own number.".to_owned(),
        };
        return Some(found(Verdict::Tight, message).mend(mend).mend(
            "Or set the order of the motors; then turn each by itself, blades off, and see that the right one turns.",
        ));
    }
    let message = match signals.len() {
        1 => "The motor signal reaches the flight controller".to_owned(),
        count => format!("All {count} motor signals reach the flight controller"),
    };
    Some(found(Verdict::Sound, message))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{row, told_of};
    use crate::testing_wiring::{join, rewire, sound_wiring, unwire};
    use craft::Craft;
    use expect_test::{Expect, expect};

    /// The wired craft, four motor signals between its two boards.
    fn signalled() -> Craft {
        let mut craft = sound_wiring();
        for name in ["M1", "M2", "M3", "M4"] {
            for board in ["esc", "fc"] {
                row(&mut craft, board, "pin", &[("name", name), ("role", "one wire")]);
            }
            join(&mut craft, &format!("esc/{name}"), &format!("fc/{name}"));
        }
        craft
    }

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        let mut craft = signalled();
        spoil(&mut craft);
        expected.assert_eq(&told_of(&MOTORS_HEAR, &craft, |_| true));
    }

    #[test]
    fn four_signals_that_reach_the_controller_are_sound() {
        check(
            |_| {},
            expect![[r#"
                sound · motor signals of four-way controller
                  All 4 motor signals reach the flight controller
            "#]],
        );
    }

    #[test]
    fn a_signal_left_unwired_is_broken() {
        check(
            |craft| unwire(craft, "esc/M3"),
            expect![[r#"
                broken · motor signals of four-way controller
                  No wire brings a signal to esc/M3: that motor stays still, and the craft throws itself over at take-off
                  > Join each to the pad of its motor on the flight controller; free are fc/M3.
            "#]],
        );
    }

    #[test]
    fn signals_at_pads_of_other_numbers_are_tight() {
        check(
            |craft| {
                rewire(craft, "esc/M1", "fc/M2");
                rewire(craft, "esc/M2", "fc/M1");
            },
            expect![[r#"
                tight · motor signals of four-way controller
                  esc/M1 meets fc/M2 and esc/M2 meets fc/M1: unless the order of the motors is set to that, the craft throws itself over at take-off
                  > Swap the two: esc/M1 to fc/M1, esc/M2 to fc/M2.
                  > Or set the order of the motors; then turn each by itself, blades off, and see that the right one turns.
            "#]],
        );
    }

    #[test]
    fn two_motors_on_one_signal_are_broken() {
        check(
            |craft| rewire(craft, "esc/M2", "fc/M1"),
            expect![[r#"
                broken · motor signals of four-way controller
                  esc/M1 and esc/M2 hang on one wire: both motors turn alike, and the craft cannot be held
                  > Give each a wire of its own.
            "#]],
        );
    }
}
