//! Does ground run beside every signal?

use crate::numbers::{listed, mm};
use crate::rule::rule;
use crate::wiring::WiringModel;
use crate::{Answer, Finding, Proof, Verdict};
use craft::Missing;
use std::collections::BTreeSet;
use wiring::{GroundPath, ground_path};

rule! {
    /// Does ground run beside every signal?
    ///
    /// ## Why
    /// The current of a signal comes back along ground. Where the only ground is the shield of a coax or a way round by other
    /// boards it works on the bench and resets in flight, when the motors pull their current through it.
    ///
    /// ## Sound when
    /// Any two parts that are joined by a signal are joined by a ground wire as well. Ground that comes round by a third part
    /// is tight where more than 60 mm of wire lie on the way or nobody knows how much; none at all is broken.
    ///
    /// ## Rests on
    /// The ground pads on the sheets of the parts and the wires of the craft. Common practice.
    ///
    /// ## Mend
    /// Add a ground wire beside the signals, of their gauge, from part to part.
    COMMON_GROUND = "wire.common_ground", run
}

/// What comes before any other mend at a part whose plus and ground stand wrong.
pub(super) const RIGHT_FIRST: &str =
    "Right plus and ground there first, and look again: until then any wire more may be a short.";

/// So long a way of ground makes a loop that does no harm, mm.
const LOOP: f64 = 60.0;

fn run(proof: &Proof) -> Answer {
    let Some(model) = proof.wiring().filter(|model| model.is_wired()) else { return Answer::default() };
    let mut pairs = BTreeSet::new();
    for net in model.nets.nets() {
        let signals: Vec<usize> = net
            .pads
            .iter()
            .filter(|pad| model.pads[**pad].role.is_some_and(wiring::Role::is_signal))
            .map(|pad| model.pads[*pad].unit)
            .collect();
        for (number, a) in signals.iter().enumerate() {
            for b in &signals[number + 1..] {
                if a != b {
                    pairs.insert((*a.min(b), *a.max(b)));
                }
            }
        }
    }
    let findings = pairs.into_iter().map(|(a, b)| judge(model, a, b)).collect();
    Answer { findings, figures: Vec::new() }
}

fn judge(model: &WiringModel, a: usize, b: usize) -> Finding {
    let (one, other) = (&model.units[a], &model.units[b]);
    let subject = format!("{} and {}", one.called, other.called);
    let found = |verdict, message: String| Finding::new(COMMON_GROUND.id, verdict, subject.clone(), message);
    let mend = format!("Add a ground wire beside the signals from {} to {}.", one.place, other.place);
    let finding = match &ground_path(&model.nets, a, b) {
        GroundPath::Direct => found(Verdict::Sound, "Ground runs beside the signals".to_owned()),
        GroundPath::Round(by) => {
            let way = model.ground_way(a, by, b);
            let by: Vec<&str> = by.iter().map(|unit| model.units[*unit].called.as_str()).collect();
            let round = format!("Ground between them comes only round by {}", listed(&by));
            match way {
                Some(way) if way <= LOOP => {
                    found(Verdict::Sound, format!("{round}, by {} of wire: a small loop", mm(way)))
                }
                Some(way) => {
                    let message = format!("{round}, by {} of wire: the loop catches noise", mm(way));
                    found(Verdict::Tight, message).mend(mend)
                }
                None => found(Verdict::Tight, format!("{round}: the loop catches noise")).mend(mend),
            }
        }
        GroundPath::Missing => {
            let message = "Signals run between them and no ground: it may work on the bench by way of a shield, and resets in flight";
            found(Verdict::Broken, message.to_owned()).mend(mend)
        }
        GroundPath::Unsaid(unit) => {
            let unit = &model.units[*unit];
            let missing = Missing {
                path: quantity::FactPath(format!("{}.pin", unit.place)),
                label: format!("ground pad of {}", unit.called),
            };
            Finding::unknown(COMMON_GROUND.id, subject.clone(), vec![missing])
        }
    };
    let mut finding = finding.at([one.place.clone(), other.place.clone()]);
    // A wire from ground to a pad that hangs on plus is a short.
    if finding.verdict != Verdict::Sound && [a, b].into_iter().any(|unit| model.is_miswired(unit)) {
        finding.mends = vec![RIGHT_FIRST.to_owned()];
    }
    finding
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_wiring::{check, cut, ground_by_receiver, is_sound, join, unwire};
    use expect_test::expect;

    #[test]
    fn a_ground_wire_beside_each_pair_is_sound() {
        is_sound(&COMMON_GROUND);
    }

    #[test]
    fn no_ground_wire_is_advised_where_plus_and_ground_are_swapped() {
        let swapped = |craft: &mut craft::Craft| {
            unwire(craft, "vtx/VCC");
            unwire(craft, "vtx/G");
            join(craft, "fc/9V", "vtx/G");
            join(craft, "fc/G2", "vtx/VCC");
        };
        check(
            &COMMON_GROUND,
            swapped,
            expect![[r#"
            broken · Lanner small air unit and flight controller
              Signals run between them and no ground: it may work on the bench by way of a shield, and resets in flight
              > Right plus and ground there first, and look again: until then any wire more may be a short.
        "#]],
        );
    }

    #[test]
    fn signals_without_ground_are_broken() {
        check(
            &COMMON_GROUND,
            |craft| unwire(craft, "vtx/G"),
            expect![[r#"
            broken · Lanner small air unit and flight controller
              Signals run between them and no ground: it may work on the bench by way of a shield, and resets in flight
              > Add a ground wire beside the signals from vtx to fc.
        "#]],
        );
    }

    #[test]
    fn ground_round_by_another_board_is_tight() {
        check(
            &COMMON_GROUND,
            ground_by_receiver,
            expect![[r#"
                tight · Lanner small air unit and flight controller
                  Ground between them comes only round by control receiver, by 80 mm of wire: the loop catches noise
                  > Add a ground wire beside the signals from vtx to fc.
            "#]],
        );
    }

    #[test]
    fn a_short_way_round_is_sound() {
        check(
            &COMMON_GROUND,
            |craft| {
                ground_by_receiver(craft);
                cut(craft, "rx/G", "25 mm");
                cut(craft, "vtx/G", "25 mm");
            },
            expect![[r#""#]],
        );
    }
}
