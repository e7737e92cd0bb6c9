//! Does every supply have its own way back?

use crate::numbers::{listed, mm};
use crate::rule::rule;
use crate::wiring::WiringModel;
use crate::{Answer, Finding, Proof, Verdict};
use craft::Missing;
use std::collections::BTreeSet;
use wiring::{GroundPath, Role, ground_path};

rule! {
    /// Does every supply have its own way back?
    ///
    /// ## Why
    /// What flows in on the supply wire comes back on a ground wire. Where that wire is shared with other boards, their currents
    /// move what the part takes for nought; where it is missing, the shield of a coax or of the camera harness carries it until it breaks.
    ///
    /// ## Sound when
    /// Every part that is fed by a wire has a ground wire to the part that feeds it. Round by a third part is tight where more than
    /// 30 mm of wire are shared on the way, or nobody knows how much.
    ///
    /// ## Rests on
    /// Supply and ground pads on the sheets, the wires of the craft, and their lengths: as cut, or from where the pads are. Common practice.
    ///
    /// ## Mend
    /// Run a ground wire beside the supply wire, of its gauge.
    OWN_RETURN = "feed.ground_return", run
}

/// So much of a way back may be shared with others, mm.
const SHARED: f64 = 30.0;

fn run(proof: &Proof) -> Answer {
    let Some(model) = proof.wiring().filter(|model| model.is_wired()) else { return Answer::default() };
    let mut pairs = BTreeSet::new();
    for net in model.nets.nets() {
        let units = |role: Role| net.pads.iter().filter(move |pad| model.pads[**pad].role == Some(role));
        for out in units(Role::SupplyOut) {
            for fed in units(Role::SupplyIn) {
                let (from, to) = (model.pads[*out].unit, model.pads[*fed].unit);
                if from != to {
                    pairs.insert((from, to));
                }
            }
        }
    }
    Answer {
        findings: pairs.into_iter().map(|(from, to)| judge(model, from, to)).collect(),
        figures: Vec::new(),
    }
}

fn judge(model: &WiringModel, from: usize, to: usize) -> Finding {
    let (source, fed) = (&model.units[from], &model.units[to]);
    let subject = format!("{} from {}", fed.called, source.called);
    let found = |verdict, message: String| Finding::new(OWN_RETURN.id, verdict, subject.clone(), message);
    let mend = format!(
        "Run a ground wire from {} to {} beside the supply wire, of its gauge.",
        fed.place, source.place
    );
    let finding = match &ground_path(&model.nets, from, to) {
        GroundPath::Direct => found(Verdict::Sound, "A ground wire of its own comes back".to_owned()),
        GroundPath::Round(by) => {
            let way = model.ground_way(to, by, from);
            let by: Vec<&str> = by.iter().map(|unit| model.units[*unit].called.as_str()).collect();
            let round = format!("Its current comes back only round by {}", listed(&by));
            match way {
                Some(way) if way <= SHARED => {
                    found(Verdict::Sound, format!("{round}, by {} of wire: short enough", mm(way)))
                }
                Some(way) => found(
                    Verdict::Tight,
                    format!("{round}, by {} of wire that others share; {} is let pass", mm(way), mm(SHARED)),
                )
                .mend(mend),
                None => found(Verdict::Tight, round).mend(mend),
            }
        }
        GroundPath::Missing => {
            found(Verdict::Broken, format!("{} has no ground wire of its own", fed.called)).mend(mend)
        }
        GroundPath::Unsaid(unit) => {
            let unit = &model.units[*unit];
            let missing = Missing {
                path: quantity::FactPath(format!("{}.pin", unit.place)),
                label: format!("ground pad of {}", unit.called),
            };
            Finding::unknown(OWN_RETURN.id, subject.clone(), vec![missing])
        }
    };
    finding.at([source.place.clone(), fed.place.clone()])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_wiring::{check, cut, ground_by_receiver, is_sound, unwire};
    use expect_test::expect;

    #[test]
    fn a_ground_wire_beside_each_supply_is_sound() {
        is_sound(&OWN_RETURN);
    }

    #[test]
    fn no_way_back_is_broken_and_a_way_round_is_tight() {
        check(
            &OWN_RETURN,
            |craft| unwire(craft, "vtx/G"),
            expect![[r#"
            broken · Lanner small air unit from flight controller
              Lanner small air unit has no ground wire of its own
              > Run a ground wire from vtx to fc beside the supply wire, of its gauge.
        "#]],
        );
        check(
            &OWN_RETURN,
            ground_by_receiver,
            expect![[r#"
                tight · Lanner small air unit from flight controller
                  Its current comes back only round by control receiver, by 80 mm of wire that others share; 30 mm is let pass
                  > Run a ground wire from vtx to fc beside the supply wire, of its gauge.
            "#]],
        );
    }

    #[test]
    fn a_short_way_round_is_sound() {
        check(
            &OWN_RETURN,
            |craft| {
                ground_by_receiver(craft);
                cut(craft, "rx/G", "12 mm");
                cut(craft, "vtx/G", "12 mm");
            },
            expect![[r#""#]],
        );
    }
}
