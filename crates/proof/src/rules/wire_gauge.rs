//! Does each supply wire stay cool at its current?

use crate::limits::WIRE_LOAD;
use crate::link::Lack;
use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::lacking;
use crate::supply::custom::is_sold;
use crate::supply::{
    after_punch, copper, given_by, giver_of, rail_figure, steady_current, still, supply_wire,
};
use crate::wiring::{WireRow, WiringModel};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{PartKind, air, camera, craft as craft_schema};
use craft::{Missing, Part, PlaceId, Reading};
use power::{COPPER_HEAT_SOURCE, COPPER_MELTS, INSULATION_SOURCE, SHED_SOURCE, WIRE_LIMIT};
use quantity::{Amperes, Celsius, FigureId, Linear, Measure, Seconds, Unit, Volts};
use std::collections::BTreeMap;
use wiring::Role;

rule! {
    /// Does each supply wire stay cool at its current?
    ///
    /// ## Why
    /// A wire too thin for its current heats, drops voltage where the video needs it, and in the end its insulation runs. Hair-thin wires are meant
    /// for signals.
    ///
    /// ## Sound when
    /// The current of what hangs on it is at most 70 % of the one that warms the wire to 105 °C for good, bare, level, in still
    /// air as hot as it is flown in (40 °C unless said). Beyond that current it is broken. The pack's lead and the wires from it count by the root
    /// mean square of the current over the planned flight; and a punch on top, all its heat kept in the copper, may not take them over 105 °C either.
    /// What flows in by a supply wire flows back by ground: where the ground wires between two parts have less copper than the supply wires, they are
    /// judged too, by all that they bring back.
    ///
    /// ## Rests on
    /// The draw of what is fed, at the lowest voltage it is fed with; the whole flight, motors and rails, for the main leads; for a board all
    /// that hangs behind it; the gauge of the wire. ASTM B258 and IEC 60028 for the copper; Churchill and Chu (1975) for still air; the heat
    /// copper takes and 105 °C as the limit of the weaker insulation (memory). Wires from speed controller to motor are left out.
    ///
    /// ## Mend
    /// Take the gauge that is named; a lower number is a thicker wire.
    WIRE_STAYS_COOL = "wire.gauge", run
}

/// Air a wire lies in unless the craft says how hot it is flown: common practice.
const HOT_AIR: Celsius = Celsius::new(40.0);
/// So much below the limit after a punch is little in hand.
const NEAR_LIMIT: f64 = 15.0;

/// A wire to be judged.
struct Judged {
    subject: String,
    /// In the id of its figure.
    key: String,
    gauge: Result<u32, Missing>,
    places: Vec<PlaceId>,
    /// Whether it is a way back.
    back: bool,
}

/// What flows in it: for good, and for a moment beside that.
#[derive(Clone)]
struct Flows {
    steady: Linear,
    punch: Option<(Amperes, Seconds)>,
}

/// A supply wire that was judged: what comes back on the ground wires beside it.
struct Fed {
    /// The pad that is fed.
    pad: usize,
    /// mm².
    copper: f64,
    flows: Flows,
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    pack_lead(proof, &mut answer);
    let Some(model) = proof.wiring().filter(|model| model.is_wired()) else { return answer };
    // By the parts that feed and are fed.
    let mut fed: BTreeMap<[usize; 2], Vec<Fed>> = BTreeMap::new();
    for wire in &model.wires {
        for [a, b] in wire.joins.iter().copied() {
            if let Some((units, found)) = of_join(proof, model, wire, [a, b], &mut answer) {
                fed.entry(units).or_default().push(found);
            }
        }
    }
    for (units, fed) in &fed {
        way_back(proof, model, *units, fed, &mut answer);
    }
    answer
}

/// The ground wires between two parts, where they have less copper than what feeds the one from the other.
fn way_back(proof: &Proof, model: &WiringModel, [from, to]: [usize; 2], fed: &[Fed], answer: &mut Answer) {
    let Some(first) = fed.first() else { return };
    let wires: Vec<_> = model.ground_wires(from, to);
    let gauges = wires.iter().map(|ground| gauge_of(proof, model, ground.wire, first.pad));
    let gauges: Vec<u32> = gauges.filter_map(Result::ok).collect();
    let each: Vec<f64> = gauges.iter().filter_map(|gauge| copper(*gauge)).collect();
    let there: f64 = fed.iter().map(|fed| fed.copper).sum();
    let back: f64 = each.iter().sum();
    // What has a wire of no known gauge is told of the supply wire; as much copper is as cool as the way there.
    if each.len() != wires.len() || each.is_empty() || back > 0.99 * there {
        return;
    }
    for ((ground, gauge), copper) in wires.iter().zip(gauges).zip(each) {
        let share = copper / back;
        let parts: Vec<(f64, &Linear)> = fed.iter().map(|fed| (share, &fed.flows.steady)).collect();
        let value = share * fed.iter().map(|fed| fed.flows.steady.value).sum::<f64>();
        let punch =
            fed.iter().filter_map(|fed| fed.flows.punch).max_by(|a, b| a.0.get().total_cmp(&b.0.get()));
        let flows = Flows {
            steady: Linear::chained(value, &parts),
            punch: punch.map(|(most, held)| (most * share, held)),
        };
        let [a, b] = ground.pads.map(|pad| model.pad_name(pad));
        let judged = Judged {
            subject: format!("ground from {a} to {b}"),
            key: format!("{} {a} back", ground.wire.row + 1),
            gauge: Ok(gauge),
            places: [from, to].map(|unit| model.units[unit].place.clone()).to_vec(),
            back: true,
        };
        judge(proof, &judged, &flows, answer);
    }
}

/// One wire, or one pin of a ready-made lead.
fn of_join(
    proof: &Proof,
    model: &WiringModel,
    wire: &WireRow,
    [a, b]: [usize; 2],
    answer: &mut Answer,
) -> Option<([usize; 2], Fed)> {
    let fed = [a, b].into_iter().find(|pad| model.pads[*pad].role == Some(Role::SupplyIn))?;
    let unit = &model.units[model.pads[fed].unit];
    let (part, volts) = (proof.part_of(unit.number)?, volts_at(model, fed)?);
    let places: Vec<PlaceId> = [a, b].map(|pad| model.units[model.pads[pad].unit].place.clone()).to_vec();
    let judged = Judged {
        subject: match wire.lead {
            None => subject(wire),
            Some(_) => format!("wire from {} to {} in its lead", model.pad_name(a), model.pad_name(b)),
        },
        key: match wire.lead {
            None => (wire.row + 1).to_string(),
            Some(_) => format!("{} {}", wire.row + 1, model.pad_name(fed)),
        },
        gauge: gauge_of(proof, model, wire, fed),
        places,
        back: false,
    };
    // What feeds itself carries nobody knows what: no gauge is advised for it.
    if let Some(why) = off_the_pack(proof, model, fed) {
        let finding = lacking(WIRE_STAYS_COOL.id, judged.subject, &Lack::wrong(why));
        answer.findings.push(finding.at(judged.places));
        return None;
    }
    match current(proof, model, (part, fed), volts) {
        Ok(flows) => {
            judge(proof, &judged, &flows, answer);
            let from = if fed == a { b } else { a };
            let units = [from, fed].map(|pad| model.pads[pad].unit);
            Some((units, Fed { pad: fed, copper: copper(*judged.gauge.as_ref().ok()?)?, flows }))
        }
        Err(Some(missing)) => {
            let finding = Finding::unknown(WIRE_STAYS_COOL.id, judged.subject, vec![missing]);
            answer.findings.push(finding.at([unit.place.clone()]));
            None
        }
        Err(None) => None,
    }
}

/// Why no way leads from the pack to what feeds a pad; none where one does.
fn off_the_pack(proof: &Proof, model: &WiringModel, fed: usize) -> Option<String> {
    let rail = given_by(model, giver_of(model, fed)?)?;
    proof.supply()?.model().off_the_pack(&rail).map(str::to_owned)
}

/// The lead that the pack itself brings.
fn pack_lead(proof: &Proof, answer: &mut Answer) {
    let Some(supply) = proof.supply() else { return };
    let Ok(pack) = &supply.model().pack else { return };
    if let Err(lack) = supply.chain() {
        if lack.missing.is_empty() {
            let finding = lacking(WIRE_STAYS_COOL.id, format!("lead of {}", pack.called), &lack);
            answer.findings.push(finding.at([pack.place.clone()]));
        }
        return;
    }
    let (Some(lead), Some(flows)) = (pack.wires.first(), main_current(proof)) else { return };
    let judged = Judged {
        subject: format!("lead of {}", pack.called),
        key: "pack".to_owned(),
        gauge: Ok(lead.gauge),
        places: vec![pack.place.clone()],
        back: false,
    };
    judge(proof, &judged, &flows, answer);
}

/// What the main leads carry over the flight.
fn main_current(proof: &Proof) -> Option<Flows> {
    let supply = proof.supply()?;
    let found = supply.bus_current()?;
    let steady = supply.model().slots.linear(proof, &found.rms);
    Some(Flows { steady, punch: Some((Amperes::new(found.peak), found.punch)) })
}

fn subject(wire: &WireRow) -> String {
    format!("wire from {} to {}", wire.ends[0], wire.ends[1])
}

/// Of the wire; where it says none, of the supply of the place it feeds.
fn gauge_of(proof: &Proof, model: &WiringModel, wire: &WireRow, fed: usize) -> Result<u32, Missing> {
    let missing = || Missing {
        path: quantity::FactPath(format!("craft.wire[{}].gauge", wire.row)),
        label: format!("gauge of the {}", subject(wire)),
    };
    let of_place = || {
        let placed = proof.placed_number(model.units[model.pads[fed].unit].number)?;
        supply_wire(proof, placed).gauge.ok()
    };
    wire.gauge.or_else(of_place).ok_or_else(missing)
}

fn volts_at(model: &WiringModel, pad: usize) -> Option<f64> {
    let net = model.nets.net_of(pad)?;
    model.nets.nets()[net].pads.iter().find_map(|pad| model.pads[*pad].gives).map(|[least, _]| least)
}

/// What a part draws at that voltage; nothing to say of kinds that tell no draw.
fn current(
    proof: &Proof,
    model: &WiringModel,
    (part, fed): (&Part, usize),
    volts: f64,
) -> Result<Flows, Option<Missing>> {
    let steady = |steady: Linear| Flows { steady, punch: None };
    let lean = |reading: Reading<quantity::Watts>| {
        steady(Linear::chained(reading.value.raw() / volts, &[(1.0 / volts, &proof.lean(&reading))]))
    };
    match part.kind {
        PartKind::VideoTransmitter => {
            let planned = proof.craft.item().read(&craft_schema::LEVEL).ok().map(|level| level.value.raw());
            let rows = part.rows(&air::level::TABLE);
            let rows = rows.filter_map(|row| {
                Some((row.read(&air::level::OUT).ok()?.value.raw(), row.read(&air::level::DRAW)))
            });
            // At the level that is planned, else at the highest it offers.
            let near = |out: f64| planned.map_or(-out, |planned| (planned - out).abs());
            let row = rows.min_by(|(a, _), (b, _)| near(*a).total_cmp(&near(*b)));
            row.ok_or(None)?.1.map(lean).map_err(Some)
        }
        PartKind::Camera => part.item().read(&camera::DRAW).map(lean).map_err(Some),
        PartKind::ControlReceiver | PartKind::Gnss => {
            part.item().read(&air::CURRENT).map(|reading| steady(proof.lean(&reading))).map_err(Some)
        }
        PartKind::SpeedController | PartKind::IntegratedBoard => main_current(proof).ok_or(None),
        PartKind::FlightController => {
            let supply = proof.supply().ok_or(None)?;
            let unit = model.pads[fed].unit;
            let found =
                supply.board_current(&model.units[unit].place, &handed_on(model, unit), Volts::new(volts));
            let slots = &supply.model().slots;
            Ok(steady(slots.linear(proof, &found.ok_or(None)?)))
        }
        _ => Err(None),
    }
}

/// The places that a board hands the bus on to.
fn handed_on(model: &WiringModel, unit: usize) -> Vec<PlaceId> {
    let fed = (0..model.pads.len()).filter(|pad| {
        model.pads[*pad].role == Some(Role::SupplyIn)
            && model.source_of(*pad).is_some_and(|source| model.pads[source].unit == unit)
    });
    fed.map(|pad| model.units[model.pads[pad].unit].place.clone()).collect()
}

fn judge(proof: &Proof, wire: &Judged, flows: &Flows, answer: &mut Answer) {
    let gauge = match &wire.gauge {
        Ok(gauge) => *gauge,
        Err(missing) => {
            let finding = Finding::unknown(WIRE_STAYS_COOL.id, wire.subject.clone(), vec![missing.clone()]);
            answer.findings.push(finding.at(wire.places.clone()));
            return;
        }
    };
    let hottest = proof.craft.item().read(&craft_schema::HOTTEST).ok().map_or(HOT_AIR, |air| air.value);
    let Some(about) = still(hottest) else { return };
    let Some(most) = steady_current(gauge, about) else { return };
    let amps = &flows.steady;
    let load = Linear::chained(100.0 * amps.value / most, &[(100.0 / most, amps)]);
    let mut judged = standing(proof, &load, &WIRE_LOAD);
    let limit = WIRE_LIMIT.get();
    let hot = |gauge: u32| {
        flows.punch.map(|punch| after_punch(gauge, amps.value, punch, about).unwrap_or(f64::INFINITY))
    };
    let punched = hot(gauge);
    judged.verdict = match punched {
        Some(hot) if hot > limit => Verdict::Broken,
        Some(hot) if hot > limit - NEAR_LIMIT => judged.verdict.min(Verdict::Tight),
        _ => judged.verdict,
    };
    let carries = format!("of the {} A that gauge {gauge} carries for good", rounded(most, 1));
    let mut message = match flows.punch {
        None => format!("It carries {} A {carries}", rounded(amps.value, 2)),
        Some((peak, held)) => format!(
            "Over a flight it carries {} A {carries}, and {} A for {} s at a punch",
            rounded(amps.value, 1),
            rounded(peak.get(), 0),
            rounded(held.get(), 1)
        ),
    };
    if let Some(hot) = punched {
        message.push_str(&match hot < COPPER_MELTS.get() {
            true => format!(", which takes it to {} °C", rounded(hot, 0)),
            false => ", which melts it".to_owned(),
        });
    }
    let sound = judged.verdict == Verdict::Sound;
    if !sound {
        message.push_str(if wire.back {
            ": it heats, and what is nought at its two ends drifts apart"
        } else {
            ": it heats and drops voltage"
        });
    }
    if wire.back {
        message.push_str("; less copper comes back than goes there");
    }
    let better = (4..gauge).rev().filter(|other| is_sold(*other)).find(|other| {
        let cool =
            steady_current(*other, about).is_some_and(|most| 100.0 * amps.value / most <= WIRE_LOAD.tight);
        cool && hot(*other).is_none_or(|hot| hot <= limit - NEAR_LIMIT)
    });
    let mut finding =
        judged.finding(WIRE_STAYS_COOL.id, wire.subject.clone(), message).at(wire.places.clone());
    if let (true, Some(better)) = (!sound, better) {
        let places = if flows.punch.is_some() { 1 } else { 2 };
        finding = finding.mend(format!("Use gauge {better} for {} A.", rounded(amps.value, places)));
    }
    let id = rail_figure("wire.load", &wire.key);
    finding.figure = Some(FigureId(id.clone().into()));
    let mut lines = Lines::of(proof)
        .facts(amps)
        .given("gauge", f64::from(gauge), Unit::Count, "as entered")
        .given("air about it", hottest.get(), Unit::Celsius, "hottest air flown in, or 40 °C")
        .given("wire let reach", limit, Unit::Celsius, INSULATION_SOURCE.line())
        .given("current it carries for good", most, Unit::Amperes, SHED_SOURCE.line());
    if let Some((peak, held)) = flows.punch {
        lines = lines
            .result("current over the flight", amps, Unit::Amperes, "root mean square, motors and rails")
            .given("most at a punch", peak.get(), Unit::Amperes, "the flight as planned")
            .given("punch held", held.get(), Unit::Seconds, "plan");
    }
    if let Some(hot) = punched.filter(|hot| *hot < COPPER_MELTS.get()) {
        lines = lines.given("after a punch", hot, Unit::Celsius, COPPER_HEAT_SOURCE.line());
    }
    let figure = lines.figure(
        id,
        format!("load of the {}", wire.subject),
        (&load, Unit::Percent),
        "I / √(q'(105 °C)/R'(105 °C))",
        SHED_SOURCE,
    );
    answer.findings.push(finding);
    answer.figures.push(figure);
}

#[cfg(test)]
#[path = "wire_gauge_tests.rs"]
mod tests;
