//! Is every wired part fed, and by what its place names?

use crate::numbers::listed;
use crate::rule::rule;
use crate::supply::{Disagreement, disagreement, feeder};
use crate::wiring::{Role, WiringModel};
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::PartKind;

rule! {
    /// Is every wired part fed, and by what its place names?
    ///
    /// ## Why
    /// A part with signals and no supply is dead, or lives on what leaks into its inputs and resets in flight. And where the sheet says one
    /// feed and the wires bring another, one of the two is a plan that was never carried out: what is soldered is what counts.
    ///
    /// ## Sound when
    /// Each part that has a wire and a pad for its supply gets one from a pad that gives; feed and gauge are the same at its place and on
    /// its wire. All figures of the supply follow the wires where there are any.
    ///
    /// ## Rests on
    /// Supply pads on the sheets, the wires of the craft, and what its place says of feed and gauge. Common practice.
    ///
    /// ## Mend
    /// Move the wire, or clear what its place says: then the wires alone tell it.
    FED_AS_SAID = "wire.supply_source", run
}

fn run(proof: &Proof) -> Answer {
    let Some(model) = proof.wiring().filter(|model| model.is_wired()) else { return Answer::default() };
    let mut findings = Vec::new();
    let mut fed = Vec::new();
    for unit in 0..model.units.len() {
        let it = &model.units[unit];
        if let Some(finding) = unfed(model, unit) {
            findings.push(finding);
            continue;
        }
        let Some(placed) = proof.placed_number(it.number) else { continue };
        let differs = disagreement(proof, placed);
        if differs.is_empty() && model.pads_of(unit).any(|pad| is_fed(model, pad)) {
            fed.push(it.called.as_str());
        }
        findings.extend(differs.iter().map(|one| told(model, unit, one)));
    }
    if findings.is_empty() && !fed.is_empty() {
        let are = if fed.len() == 1 { "is" } else { "are" };
        let message = format!("{} {are} fed by the wires, and nothing is said against it", listed(&fed));
        findings.push(Finding::new(FED_AS_SAID.id, Verdict::Sound, "supply by the wires", message));
    }
    Answer { findings, figures: Vec::new() }
}

fn is_fed(model: &WiringModel, pad: usize) -> bool {
    model.pads[pad].role == Some(Role::SupplyIn) && model.source_of(pad).is_some()
}

/// The pad of the same part that gives a supply to one it should be fed at.
fn own_source(model: &WiringModel, fed: usize) -> Option<usize> {
    let net = &model.nets.nets()[model.nets.net_of(fed)?];
    let own = |pad: &usize| {
        model.pads[*pad].role == Some(Role::SupplyOut) && model.pads[*pad].unit == model.pads[fed].unit
    };
    net.pads.iter().copied().find(own)
}

/// A part that is wired and has a pad for its supply, none of which any wire feeds.
fn unfed(model: &WiringModel, unit: usize) -> Option<Finding> {
    let it = &model.units[unit];
    let wired = model.pads_of(unit).any(|pad| model.nets.net_of(pad).is_some());
    let inputs: Vec<usize> =
        model.pads_of(unit).filter(|pad| model.pads[*pad].role == Some(Role::SupplyIn)).collect();
    // A pack is charged by its own plug, and what it takes in is no supply of the craft.
    if !wired
        || inputs.is_empty()
        || it.kind == PartKind::Pack
        || inputs.iter().any(|pad| is_fed(model, *pad))
    {
        return None;
    }
    let names: Vec<String> = inputs.iter().map(|pad| model.pad_name(*pad)).collect();
    let joined = inputs.iter().any(|pad| model.nets.net_of(*pad).is_some());
    let itself = inputs.iter().find_map(|pad| Some((*pad, own_source(model, *pad)?)));
    let message = match (itself, joined) {
        (Some((pad, own)), _) => format!(
            "Its own {} feeds it at {}: a rail that feeds itself never starts",
            model.pad_name(own),
            model.pad_name(pad)
        ),
        (None, true) => format!("The wire at {} leads to no pad that gives a supply", listed(&names)),
        (None, false) => format!("No wire brings it a supply at {}", listed(&names)),
    };
    let mut finding = Finding::new(FED_AS_SAID.id, Verdict::Broken, it.called.clone(), message);
    finding = finding.at([it.place.clone()]);
    let mut wanting = itself.iter().map(|(pad, _)| pad).chain(&inputs);
    let suits = wanting.find_map(|pad| Some((*pad, feeder(model, *pad, None)?)));
    Some(finding.mend(match (suits, itself) {
        (Some((pad, source)), Some((fed, own))) if fed == pad => {
            let [pad, own, source] = [pad, own, source].map(|pad| model.pad_name(pad));
            format!("Take the wire of {pad} from {own} to {source}.")
        }
        (Some((pad, source)), _) => format!("Join {} to {}.", model.pad_name(pad), model.pad_name(source)),
        (None, _) => format!("Join {} to a pad that gives what it needs.", listed(&names)),
    }))
}

fn told(model: &WiringModel, unit: usize, differs: &Disagreement) -> Finding {
    let it = &model.units[unit];
    let found = |subject: String, message: String| {
        Finding::new(FED_AS_SAID.id, Verdict::Broken, subject, message).at([it.place.clone()])
    };
    match differs {
        Disagreement::Feed(said, wired) => {
            let (from, to) = (model.pad_name(wired.source), model.pad_name(wired.fed));
            let message = format!(
                "Its place says that it is fed from {said}, and its wire brings {} from {from} to {to}: the figures follow the wire",
                wired.on
            );
            let finding = found(format!("feed of {}", it.called), message);
            let finding = match feeder(model, wired.fed, Some(said.as_str())) {
                Some(pad) => {
                    finding.mend(format!("Take the wire of {to} from {from} to {}.", model.pad_name(pad)))
                }
                None => finding,
            };
            finding.mend(format!("Or clear what place {} says of its feed.", it.place))
        }
        Disagreement::Gauge(said, wire, wired) => {
            let to = model.pad_name(wired.fed);
            let message = format!(
                "Its place says gauge {said} for its supply, and its wire at {to} is of gauge {wire}: the figures follow the wire"
            );
            found(format!("supply wire of {}", it.called), message)
                .mend(format!("Enter the gauge once: at the wire, and clear it at place {}.", it.place))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::row;
    use crate::testing_wiring::{check, is_sound, join, set, unwire};
    use expect_test::expect;

    #[test]
    fn parts_fed_by_their_wires_are_sound() {
        is_sound(&FED_AS_SAID);
        // What agrees is not told either.
        check(&FED_AS_SAID, |craft| set(craft, "place vtx.fed_from", "fc/9 V"), expect![[""]]);
    }

    #[test]
    fn a_place_that_names_another_feed_than_its_wire_brings_is_broken() {
        check(
            &FED_AS_SAID,
            |craft| set(craft, "place vtx.fed_from", "fc/5 V"),
            expect![[r#"
                broken · feed of Lanner small air unit
                  Its place says that it is fed from fc/5 V, and its wire brings fc/9 V from fc/9V to vtx/VCC: the figures follow the wire
                  > Take the wire of vtx/VCC from fc/9V to fc/5V.
                  > Or clear what place vtx says of its feed.
            "#]],
        );
    }

    #[test]
    fn a_place_that_names_another_gauge_than_its_wire_has_is_broken() {
        check(
            &FED_AS_SAID,
            |craft| set(craft, "place vtx.supply_gauge", "30"),
            expect![[r#"
                broken · supply wire of Lanner small air unit
                  Its place says gauge 30 for its supply, and its wire at vtx/VCC is of gauge 26: the figures follow the wire
                  > Enter the gauge once: at the wire, and clear it at place vtx.
            "#]],
        );
    }

    #[test]
    fn a_board_fed_from_its_own_rail_is_told_so() {
        check(
            &FED_AS_SAID,
            |craft| {
                row(craft, "rx", "pin", &[("name", "OUT"), ("role", "supply out")]);
                unwire(craft, "rx/5V");
                join(craft, "rx/OUT", "rx/5V");
            },
            expect![[r#"
                broken · control receiver
                  Its own rx/OUT feeds it at rx/5V: a rail that feeds itself never starts
                  > Take the wire of rx/5V from rx/OUT to fc/5V.
            "#]],
        );
    }

    #[test]
    fn a_wired_part_without_any_source_is_broken() {
        check(
            &FED_AS_SAID,
            |craft| unwire(craft, "rx/5V"),
            expect![[r#"
                broken · control receiver
                  No wire brings it a supply at rx/5V
                  > Join rx/5V to fc/5V.
            "#]],
        );
    }
}
