//! Does every supply come where it should, the right way round?

use crate::numbers::{listed, rounded};
use crate::rule::rule;
use crate::standing::standing;
use crate::supply::{feed_that_suits, given_by};
use crate::supply_limits::DROPOUT;
use crate::wiring::{WireRow, WiringModel};
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::PartKind;
use power::PACK;
use quantity::{Linear, Volts};
use wiring::{NetFault, Role, SupplyFault, SupplyPad, clashes, supply_faults};

rule! {
    /// Does every supply come where it should, the right way round?
    ///
    /// ## Why
    /// Makers of boards do not share an order of pins: a ready-made lead that fits both plugs may put the supply on a signal, or
    /// plus on minus. The port, the unit or the pack pays for it within a second of the first power-up.
    ///
    /// ## Sound when
    /// Every pin of a ready-made lead meets what it should, no supply is on a signal, on ground or on another supply, and each
    /// part is fed within what it stands, with the pack full and with the pack at its deepest sag, which is the punch at landing. A lead of which one
    /// end has no known order is tight: measure it. The sag of the video transmitter is told of the video at a punch.
    ///
    /// ## Rests on
    /// What each pad does and what each part stands, on the sheets; a cell is 4.2 V full (4.35 V of the high-voltage kind). The deepest sag is worked
    /// out through pack, plug, leads and motors; where something of that is not known, 3.3 V a cell. Common practice.
    ///
    /// ## Mend
    /// Lift the pins out of the plug and set them in the order told. Measure with a meter before the first power-up.
    SUPPLY_ORDER = "wire.supply_order", run
}

fn run(proof: &Proof) -> Answer {
    let Some(model) = proof.wiring().filter(|model| model.is_wired()) else { return Answer::default() };
    let mut findings: Vec<Finding> = model.wires.iter().filter_map(|wire| of_lead(model, wire)).collect();
    for net in model.nets.nets() {
        // Pins of ready-made leads are told with the lead.
        let of_lead = |pad: usize| {
            model
                .wires
                .iter()
                .any(|wire| wire.lead.is_some() && wire.joins.iter().any(|join| join.contains(&pad)))
        };
        for fault in model.nets.faults_in(net) {
            findings.extend(of_net(model, fault, &of_lead));
        }
    }
    for unit in 0..model.units.len() {
        findings.extend(of_unit(proof, model, unit));
    }
    Answer { findings, figures: Vec::new() }
}

fn of_lead(model: &WiringModel, wire: &WireRow) -> Option<Finding> {
    let [(a, first), (b, second)] = wire.lead.as_ref()?;
    let pins = |unit: usize, plug: &str| -> (Vec<(u32, Role)>, bool) {
        let on = |pad: &usize| model.pads[*pad].plug.as_deref() == Some(plug);
        let pads: Vec<usize> = model.pads_of(unit).filter(on).collect();
        let said = pads.iter().filter_map(|pad| Some((model.pads[*pad].number?, model.pads[*pad].role?)));
        let said: Vec<(u32, Role)> = said.collect();
        let all = said.len() == pads.len();
        (said, all)
    };
    let ((one, one_said), (other, other_said)) = (pins(*a, first), pins(*b, second));
    let places = [model.units[*a].place.clone(), model.units[*b].place.clone()];
    let subject = format!("lead from {} to {}", wire.ends[0], wire.ends[1]);
    let found = clashes(&one, &other);
    if let Some(worst) = found.iter().find(|clash| clash.kills()).or(found.first()) {
        let pad_at = |unit: usize, plug: &str, number: u32| {
            model.pads_of(unit).find(|pad| {
                model.pads[*pad].plug.as_deref() == Some(plug) && model.pads[*pad].number == Some(number)
            })
        };
        let names = [pad_at(*a, first, worst.number), pad_at(*b, second, worst.number)]
            .map(|pad| pad.map_or_else(|| "a pin".to_owned(), |pad| model.pad_name(pad)));
        let volts = [pad_at(*a, first, worst.number), pad_at(*b, second, worst.number)]
            .into_iter()
            .flatten()
            .find_map(|pad| model.pads[pad].gives)
            .map_or_else(String::new, |[_, most]| format!("{} V ", rounded(most, 1)));
        let [x, y] = &names;
        let what = match (worst.first, worst.second) {
            (a, b) if a.is_supply() && b == Role::Ground || b.is_supply() && a == Role::Ground => {
                format!("pin {} joins supply and ground, {x} and {y}: a short", worst.number)
            }
            (a, b) if a.is_supply() || b.is_supply() => {
                format!("pin {} would put {volts}on a signal: {x} meets {y}", worst.number)
            }
            _ => format!("pin {} joins {x} and {y}", worst.number),
        };
        let moves: Vec<String> = found
            .iter()
            .filter_map(|clash| Some(format!("{} to {}", clash.number, clash.belongs_at?)))
            .collect();
        let message = format!("These plugs do not share an order: {what}");
        let mend = match moves.is_empty() {
            true => "Do not use this lead: wire pad by pad.".to_owned(),
            false => format!("Re-pin one end before power: {}.", listed(&moves)),
        };
        return Some(Finding::new(SUPPLY_ORDER.id, Verdict::Broken, subject, message).at(places).mend(mend));
    }
    if one.is_empty() || other.is_empty() || !one_said || !other_said {
        let message = "What some of its pins carry is not known: a supply may meet a signal";
        let finding = Finding::new(SUPPLY_ORDER.id, Verdict::Tight, subject, message);
        return Some(
            finding
                .at(places)
                .mend("Measure each pin against ground before the first power-up, and enter the order."),
        );
    }
    let message = format!("All {} pins meet what they should", one.len().min(other.len()));
    Some(Finding::new(SUPPLY_ORDER.id, Verdict::Sound, subject, message).at(places))
}

fn of_net(model: &WiringModel, fault: NetFault, of_lead: &dyn Fn(usize) -> bool) -> Option<Finding> {
    let name = |pad: usize| model.pad_name(pad);
    let most = |pad: usize| {
        model.pads[pad]
            .gives
            .map_or_else(|| "its supply".to_owned(), |[_, most]| format!("{} V", rounded(most, 1)))
    };
    let (pads, message) = match fault {
        NetFault::SupplyOnSignal { supply, signal } => (
            [supply, signal],
            format!("Pad {} puts {} on {}: the port is dead", name(supply), most(supply), name(signal)),
        ),
        NetFault::SupplyOnGround { supply, ground } => {
            let [supply, ground] = bridge(model, supply).unwrap_or([supply, ground]);
            (
                [supply, ground],
                format!("Pad {} is on ground at {}: reversed or shorted", name(supply), name(ground)),
            )
        }
        NetFault::SuppliesMeet { a, b } => {
            ([a, b], format!("Pads {} and {} feed each other: one of them burns", name(a), name(b)))
        }
        _ => return None,
    };
    if pads.iter().all(|pad| of_lead(*pad)) {
        return None;
    }
    let places = pads.map(|pad| model.units[model.pads[pad].unit].place.clone());
    let subject = format!("{} and {}", name(pads[0]), name(pads[1]));
    let finding = Finding::new(SUPPLY_ORDER.id, Verdict::Broken, subject, message).at(places);
    Some(finding.mend(match swapped(model, pads) {
        Some([[plus, to_plus], [minus, to_minus]]) => format!(
            "Swap the two wires before any power: {} to {}, {} to {}.",
            name(plus),
            name(to_plus),
            name(minus),
            name(to_minus)
        ),
        None => format!("Take {} off {} before any power.", name(pads[1]), name(pads[0])),
    }))
}

/// Where plus and minus between the same two parts are at each other's pads: from plus to plus, and from minus to minus, as they should be.
fn swapped(model: &WiringModel, [a, b]: [usize; 2]) -> Option<[[usize; 2]; 2]> {
    let role = |pad: usize| model.pads[pad].role;
    let [one, other] = [a, b].map(|pad| model.pads[pad].unit);
    let crossed = |wire: &[usize; 2], from: Role, to: Role| {
        let [x, y] = *wire;
        let fits = |x: usize, y: usize| {
            role(x) == Some(from)
                && role(y) == Some(to)
                && [[one, other], [other, one]].contains(&[x, y].map(|pad| model.pads[pad].unit))
        };
        if fits(x, y) { Some([x, y]) } else { fits(y, x).then_some([y, x]) }
    };
    let joins = || model.wires.iter().flat_map(|wire| &wire.joins);
    let [plus, to_minus] = joins().find_map(|join| crossed(join, Role::SupplyOut, Role::Ground))?;
    let giver = model.pads[plus].unit;
    let [minus, to_plus] = joins()
        .filter_map(|join| crossed(join, Role::Ground, Role::SupplyIn))
        .find(|[minus, _]| model.pads[*minus].unit == giver)?;
    Some([[plus, to_plus], [minus, to_minus]])
}

/// The wire that brings supply and ground together in the net of a pad, if a single one does: that one comes off,
/// not another of the same net. Supply first.
fn bridge(model: &WiringModel, pad: usize) -> Option<[usize; 2]> {
    let net = model.nets.net_of(pad);
    let role = |pad: usize| model.pads[pad].role;
    let of_supply = |pad: usize| role(pad).is_some_and(Role::is_supply);
    let joins = model.wires.iter().flat_map(|wire| &wire.joins);
    joins.filter(|[a, _]| model.nets.net_of(*a) == net).find_map(|&[a, b]| match (role(a), role(b)) {
        (Some(Role::Ground), _) if of_supply(b) => Some([b, a]),
        (_, Some(Role::Ground)) if of_supply(a) => Some([a, b]),
        _ => None,
    })
}

/// The lowest voltage of the pack at a punch at landing; none where something of it is not known, or where the supply falls over altogether.
fn deepest(proof: &Proof) -> Option<Linear> {
    let supply = proof.supply()?;
    let found = supply.deepest().filter(|deepest| deepest.value > 0.0)?;
    Some(supply.model().slots.linear(proof, found))
}

/// What a part gets at each of its supply pads.
fn of_unit(proof: &Proof, model: &WiringModel, unit: usize) -> Option<Finding> {
    let fed = model.pads_of(unit).filter(|pad| model.pads[*pad].role == Some(Role::SupplyIn));
    let mut sound = None;
    // V of a full cell.
    let cells = proof.supply().and_then(|supply| supply.model().cells.as_ref().ok());
    let cell = cells.map(|cells| cells.full.get() / f64::from(cells.series));
    for pad in fed {
        let Some(net) = model.nets.net_of(pad) else { continue };
        let source = model.nets.nets()[net]
            .pads
            .iter()
            .copied()
            .find(|other| model.pads[*other].role == Some(Role::SupplyOut));
        let Some(source) = source else { continue };
        let Some([least, most]) = model.pads[source].gives else { continue };
        let needs = model.pads[pad].needs.map(|volts| volts.map(Volts::new));
        if needs == [None, None] {
            continue;
        }
        let [works_from, stands] = needs;
        // A rail holds its voltage; what hangs on the pack sags with it.
        let on_pack = given_by(model, source).as_deref() == Some(PACK);
        let punch = if on_pack { deepest(proof) } else { None };
        let video = model.units[unit].kind == PartKind::VideoTransmitter;
        let least = punch.as_ref().map_or(least, |punch| punch.value);
        // A punch is judged with its doubt, below.
        let firm = if punch.is_some() { most } else { least };
        let at = SupplyPad { least: Volts::new(firm), most: Volts::new(most), works_from, stands };
        let (from, to) = (model.pad_name(source), model.pad_name(pad));
        let places = [model.units[unit].place.clone(), model.units[model.pads[source].unit].place.clone()];
        let subject = model.units[unit].called.clone();
        let volts = |volts: f64| format!("{} V", rounded(volts, 2));
        let finding = match supply_faults(&at).first() {
            Some(SupplyFault::Above(by)) => Finding::new(
                SUPPLY_ORDER.id,
                Verdict::Broken,
                subject,
                format!("Pad {from} gives up to {}, {to} stands {}", volts(most), volts(most - by.get())),
            )
            .margin(-*by, None)
            .mend(feed_that_suits(model, pad, source, cell)),
            Some(SupplyFault::BelowAlways(by)) => Finding::new(
                SUPPLY_ORDER.id,
                Verdict::Broken,
                subject,
                format!("Pad {from} gives {}, {to} works from {}", volts(most), volts(most + by.get())),
            )
            .margin(-*by, None)
            .mend(feed_that_suits(model, pad, source, cell)),
            Some(SupplyFault::BelowAtSag(by)) => Finding::new(
                SUPPLY_ORDER.id,
                Verdict::Tight,
                subject,
                format!("Pad {from} sags to {}, {to} works from {}", volts(least), volts(least + by.get())),
            )
            .margin(-*by, None)
            .mend("Feed it from a rail that holds, or land earlier."),
            None => {
                let starved = punch.as_ref().zip(works_from).filter(|_| !video).map(|(punch, from)| {
                    let judged = standing(proof, &(punch - from.get()), &DROPOUT);
                    (judged, volts(punch.value), volts(from.get()))
                });
                if let Some((judged, sags, from_volts)) =
                    starved.filter(|(judged, ..)| judged.verdict != Verdict::Sound)
                {
                    let message = match judged.verdict {
                        Verdict::Broken => format!(
                            "At a punch at landing the pack sags to {sags}, and {to} works from {from_volts}: it goes dark in the air"
                        ),
                        _ => format!(
                            "At a punch at landing the pack sags to {sags}, and {to} works from {from_volts}: little is in hand"
                        ),
                    };
                    let finding = judged.finding(SUPPLY_ORDER.id, subject, message).at(places);
                    return Some(finding.mend(
                        "Land with more charge, take a pack that sags less, or a part that works from less.",
                    ));
                }
                let message = format!(
                    "It is fed at {to} from {from}, {}",
                    match (least, most) {
                        (least, most) if video && on_pack || (most - least).abs() < 1e-9 => volts(most),
                        (least, most) => format!("{} sagging to {}", volts(most), volts(least)),
                    }
                );
                sound = Some(Finding::new(SUPPLY_ORDER.id, Verdict::Sound, subject, message).at(places));
                continue;
            }
        };
        return Some(finding.at(places));
    }
    sound
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::row;
    use crate::testing_wiring::{check, is_sound, join, lead, rewire, set};
    use expect_test::expect;

    #[test]
    fn supplies_that_go_from_out_to_in_are_sound() {
        is_sound(&SUPPLY_ORDER);
    }

    #[test]
    fn plus_on_a_signal_and_plus_on_minus_are_broken() {
        check(
            &SUPPLY_ORDER,
            |craft| rewire(craft, "fc/9V", "vtx/RX"),
            expect![[r#"
                broken · fc/9V and vtx/RX
                  Pad fc/9V puts 9 V on vtx/RX: the port is dead
                  > Take vtx/RX off fc/9V before any power.
            "#]],
        );
        check(
            &SUPPLY_ORDER,
            |craft| rewire(craft, "fc/9V", "vtx/G"),
            expect![[r#"
                broken · fc/9V and vtx/G
                  Pad fc/9V is on ground at vtx/G: reversed or shorted
                  > Take vtx/G off fc/9V before any power.
            "#]],
        );
    }

    #[test]
    fn of_a_short_the_wire_that_makes_it_is_named_and_not_one_that_was_right() {
        check(
            &SUPPLY_ORDER,
            |craft| join(craft, "vtx/G", "vtx/VCC"),
            expect![[r#"
            broken · vtx/VCC and vtx/G
              Pad vtx/VCC is on ground at vtx/G: reversed or shorted
              > Take vtx/G off vtx/VCC before any power.
        "#]],
        );
    }

    #[test]
    fn a_lead_of_another_order_is_told_with_the_pins_to_move() {
        check(&SUPPLY_ORDER, |craft| lead(craft, &["VCC", "G", "RX", "TX"]), expect![[r#""#]]);
        check(
            &SUPPLY_ORDER,
            |craft| lead(craft, &["TX", "RX", "G", "VCC"]),
            expect![[r#"
            broken · lead from fc/lead to vtx/lead
              These plugs do not share an order: pin 1 would put 9 V on a signal: fc/9V meets vtx/TX
              > Re-pin one end before power: 1 to 4, 2 to 3, 3 to 2 and 4 to 1.
        "#]],
        );
    }

    #[test]
    fn a_part_fed_beyond_what_it_stands_is_broken() {
        check(
            &SUPPLY_ORDER,
            |craft| set(craft, "rx.pin[0].greatest", "4.2 V"),
            expect![[r#"
                broken · control receiver · -0.8 V
                  Pad fc/5V gives up to 5 V, rx/5V stands 4.2 V
                  > No pad of this craft gives it 4.2 V or less: give it a converter of its own.
            "#]],
        );
        check(
            &SUPPLY_ORDER,
            |craft| set(craft, "vtx.supply_min", "10 V"),
            expect![[r#"
                broken · Lanner small air unit · -1 V
                  Pad fc/9V gives 9 V, vtx/VCC works from 10 V
                  > No pad of this craft gives it 10 to 26 V: give it a converter of its own.
            "#]],
        );
    }

    #[test]
    fn plus_and_minus_at_each_others_pads_are_to_be_swapped() {
        check(
            &SUPPLY_ORDER,
            |craft| {
                rewire(craft, "fc/9V", "vtx/G");
                rewire(craft, "fc/G2", "vtx/VCC");
            },
            expect![[r#"
                broken · vtx/VCC and fc/G2
                  Pad vtx/VCC is on ground at fc/G2: reversed or shorted
                  > Swap the two wires before any power: fc/9V to vtx/VCC, fc/G2 to vtx/G.
                broken · fc/9V and vtx/G
                  Pad fc/9V is on ground at vtx/G: reversed or shorted
                  > Swap the two wires before any power: fc/9V to vtx/VCC, fc/G2 to vtx/G.
            "#]],
        );
    }

    #[test]
    fn a_board_that_a_punch_starves_is_broken_and_the_sag_is_that_of_the_punch() {
        let on_pack = |craft: &mut craft::Craft, least: &str| {
            for [part, name, role, rail] in [
                ["esc", "BAT", "supply out", "pack"],
                ["fc", "BAT", "supply in", ""],
                ["pack", "plus", "supply out", ""],
            ] {
                let mut facts = vec![("name", name), ("role", role)];
                facts.extend((!rail.is_empty()).then_some(("rail", rail)));
                facts.extend((part == "fc").then_some(("least", least)));
                row(craft, part, "pin", &facts);
            }
            join(craft, "esc/BAT", "fc/BAT");
        };
        crate::testing_supply::check(&SUPPLY_ORDER, |craft| on_pack(craft, "9 V"), expect![[""]]);
        crate::testing_supply::check(
            &SUPPLY_ORDER,
            |craft| on_pack(craft, "13.5 V"),
            expect![[r#"
                broken · flight controller · -0.575 V · under 1 %
                  At a punch at landing the pack sags to 12.92 V, and fc/BAT works from 13.5 V: it goes dark in the air
                  > Land with more charge, take a pack that sags less, or a part that works from less.
            "#]],
        );
        crate::testing_supply::check(
            &SUPPLY_ORDER,
            |craft| on_pack(craft, "12.8 V"),
            expect![[r#"
                tight · flight controller · 0.125 V · 81 %
                  At a punch at landing the pack sags to 12.92 V, and fc/BAT works from 12.8 V: little is in hand
                  > Land with more charge, take a pack that sags less, or a part that works from less.
                  ? No single measurement would change this verdict; two would: temperature of the pack (by custom: nobody knows the temperature of a pack in flight better than within 4 K) and slow part of its cells' resistance, which a load test tells (by custom: cells of one resistance on the meter differ by a quarter in what is slow). They take its certainty from 81 % to 83 %.
            "#]],
        );
    }
}
