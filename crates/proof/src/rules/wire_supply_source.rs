//! Is every wired part fed, and by what its place names?

use crate::numbers::listed;
use crate::rule::rule;
use crate::supply::{Disagreement, disagreement, fed_through, feeder, first_that_holds, given_by, holds_at};
use crate::wiring::{Role, WiringModel};
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{PartKind, place};
use power::PACK;

rule! {
    /// Is every wired part fed, and by what its place names?
    ///
    /// ## Why
    /// A part with signals and no supply is dead, or lives on what leaks into its inputs and resets in flight. And where the sheet says one
    /// feed and the wires bring another, one of the two is a plan that was never carried out: what is soldered is what counts.
    ///
    /// ## Sound when
    /// Each part that has a wire and a pad for its supply gets one from a pad that gives; feed and gauge are the same at its place and on
    /// its wire. All figures of the supply follow the wires where there are any. Where plus, minus and signals are at each other's pads, that is
    /// told of the order of the supply and not here.
    ///
    /// ## Rests on
    /// Supply pads on the sheets, the wires of the craft, and what its place says of feed and gauge. Common practice.
    ///
    /// ## Mend
    /// Move the wire, or clear what its place says: then the wires alone tell it. A pad is named only if no rule of the supply calls the craft worse
    /// with it.
    FED_AS_SAID = "wire.supply_source", run
}

fn run(proof: &Proof) -> Answer {
    let Some(model) = proof.wiring().filter(|model| model.is_wired()) else { return Answer::default() };
    let mut findings = Vec::new();
    let mut fed = Vec::new();
    for unit in 0..model.units.len() {
        let it = &model.units[unit];
        if let Some(finding) = unfed(proof, model, unit) {
            findings.push(finding);
            continue;
        }
        let Some(placed) = proof.placed_number(it.number) else { continue };
        let differs = disagreement(proof, placed);
        if differs.is_empty() && model.pads_of(unit).any(|pad| is_fed(model, pad)) {
            fed.push(it.called.as_str());
        }
        findings.extend(differs.iter().map(|one| told(proof, model, unit, one)));
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
fn unfed(proof: &Proof, model: &WiringModel, unit: usize) -> Option<Finding> {
    let it = &model.units[unit];
    let wired =
        model.pads_of(unit).any(|pad| model.nets.net_of(pad).is_some()) || is_left_out(proof, model, unit);
    let inputs: Vec<usize> =
        model.pads_of(unit).filter(|pad| model.pads[*pad].role == Some(Role::SupplyIn)).collect();
    // A pack is charged by its own plug, and what it takes in is no supply of the craft.
    if !wired
        || inputs.is_empty()
        || it.kind == PartKind::Pack
        || inputs.iter().any(|pad| is_fed(model, *pad))
        || model.is_miswired(unit)
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
    let suits = wanting.find_map(|pad| Some((*pad, source_for(proof, model, *pad)?)));
    Some(finding.mend(match (suits, itself) {
        (Some((pad, source)), Some((fed, own))) if fed == pad => {
            let [pad, own, source] = [pad, own, source].map(|pad| model.pad_name(pad));
            format!("Take the wire of {pad} from {own} to {source}.")
        }
        (Some((pad, source)), _) => format!("Join {} to {}.", model.pad_name(pad), model.pad_name(source)),
        (None, _) => format!("Join {} to a pad that gives what it needs.", listed(&names)),
    }))
}

/// Whether a transmitter or receiver has no wire at all and its place says no feed, on a craft whose other supplies are wired.
fn is_left_out(proof: &Proof, model: &WiringModel, unit: usize) -> bool {
    let it = &model.units[unit];
    let hangs = [PartKind::VideoTransmitter, PartKind::ControlReceiver, PartKind::Gnss].contains(&it.kind);
    let said =
        || proof.placed_number(it.number).is_some_and(|placed| placed.place.item().has(&place::FED_FROM.def));
    hangs && !said() && (0..model.pads.len()).any(|pad| is_fed(model, pad))
}

/// A pad that could feed another: within what that one stands, not itself fed through it, and no rule of the supply calls the craft
/// worse with it. Boards hang on the pack, all else on a rail first.
fn source_for(proof: &Proof, model: &WiringModel, fed: usize) -> Option<usize> {
    let to = model.pads[fed].unit;
    let [least, most] = model.pads[fed].needs;
    let board = [PartKind::FlightController, PartKind::SpeedController, PartKind::IntegratedBoard]
        .contains(&model.units[to].kind);
    let of_pack = |pad: usize| given_by(model, pad).as_deref() == Some(PACK);
    let suits = |pad: &usize| {
        let it = &model.pads[*pad];
        // Of a part that says nothing of what it stands no pad is known to suit; boards are made for the pack.
        let known = least.is_some() || most.is_some() || (board && of_pack(*pad));
        it.role == Some(Role::SupplyOut)
            && known
            && !fed_through(model, it.unit, to)
            && it.gives.is_some_and(|[low, high]| {
                least.is_none_or(|least| low >= least) && most.is_none_or(|most| high <= most)
            })
    };
    let mut sources: Vec<usize> = (0..model.pads.len()).filter(suits).collect();
    let is_pack = |pad: usize| model.units[model.pads[pad].unit].kind == PartKind::Pack;
    sources.sort_by_key(|pad| match board {
        true => (!of_pack(*pad), !is_pack(*pad)),
        false => (of_pack(*pad), is_pack(*pad)),
    });
    sources.into_iter().find(|source| holds_at(proof, model, fed, *source))
}

fn told(proof: &Proof, model: &WiringModel, unit: usize, differs: &Disagreement) -> Finding {
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
            let subject = finding.subject.clone();
            let holds = first_that_holds(proof, &it.place, [said.as_str()], (FED_AS_SAID.id, &subject));
            match holds.and_then(|fits| Some((feeder(model, wired.fed, Some(fits.feed))?, fits))) {
                Some((pad, fits)) => finding
                    .mend(format!(
                        "Take the wire of {to} from {from} to {}{}.",
                        model.pad_name(pad),
                        fits.beside()
                    ))
                    .mend(format!("Or clear what place {} says of its feed.", it.place)),
                None => finding.mend(format!("Clear what place {} says of its feed.", it.place)),
            }
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
    use crate::testing_wiring::{check, is_sound, join, lead, set, unwire};
    use craft::Craft;
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
                  > Clear what place vtx says of its feed.
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

    #[test]
    fn where_plus_and_minus_are_swapped_no_rail_is_named_that_the_part_feeds_itself() {
        let spoil = |craft: &mut Craft| {
            for [part, name, role] in [
                ["pack", "plus", "supply out"],
                ["pack", "minus", "ground"],
                ["esc", "battery plus", "supply in"],
                ["esc", "battery minus", "ground"],
                ["esc", "G", "ground"],
                ["fc", "BAT", "supply in"],
                ["fc", "G3", "ground"],
            ] {
                row(craft, part, "pin", &[("name", name), ("role", role)]);
            }
            row(craft, "esc", "pin", &[("name", "BAT"), ("role", "supply out"), ("rail", "pack")]);
            join(craft, "esc/BAT", "fc/BAT");
            join(craft, "esc/G", "fc/G3");
            join(craft, "pack/minus", "esc/battery plus");
        };
        check(
            &FED_AS_SAID,
            |craft| {
                spoil(craft);
                join(craft, "pack/plus", "esc/battery minus");
            },
            expect![[""]],
        );
        // With its plus left off it is the pack that is named, not a rail that hangs on it.
        check(
            &FED_AS_SAID,
            |craft| {
                spoil(craft);
                unwire(craft, "esc/battery plus");
                join(craft, "pack/minus", "esc/battery minus");
            },
            expect![[r#"
                broken · four-way controller
                  No wire brings it a supply at esc/battery plus
                  > Join esc/battery plus to pack/plus.
            "#]],
        );
    }

    #[test]
    fn a_lead_of_another_order_is_told_by_its_order_and_no_join_is_named() {
        check(&FED_AS_SAID, |craft| lead(craft, &["G", "VCC", "RX", "TX"]), expect![[""]]);
    }

    #[test]
    fn a_transmitter_without_any_wire_on_a_wired_craft_is_broken() {
        check(
            &FED_AS_SAID,
            |craft| ["vtx/VCC", "vtx/G", "vtx/RX", "vtx/TX"].iter().for_each(|pad| unwire(craft, pad)),
            expect![[r#"
                broken · Lanner small air unit
                  No wire brings it a supply at vtx/VCC
                  > Join vtx/VCC to fc/9V.
            "#]],
        );
    }
}
