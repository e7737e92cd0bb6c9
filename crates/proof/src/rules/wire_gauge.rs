//! Does each supply wire stay cool at its current?

use crate::limits::WIRE_LOAD;
use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::supply::{rail_figure, supply_wire};
use crate::wiring::{WireRow, WiringModel};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{PartKind, air, camera, craft as craft_schema};
use craft::{Missing, Part, PlaceId, Reading};
use power::{Air, COPPER_HEAT_SOURCE, INSULATION_SOURCE, Lay, SHED_SOURCE, Surroundings, WIRE_LIMIT, Wire};
use quantity::{Amperes, Celsius, FigureId, Linear, Measure, Metres, MetresPerSecond, Seconds, Unit, Volts};
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
}

/// What flows in it: for good, and for a moment beside that.
struct Flows {
    steady: Linear,
    punch: Option<(Amperes, Seconds)>,
}

fn run(proof: &Proof) -> Answer {
    let mut answer = Answer::default();
    pack_lead(proof, &mut answer);
    let Some(model) = proof.wiring().filter(|model| model.is_wired()) else { return answer };
    for wire in &model.wires {
        for [a, b] in wire.joins.iter().copied() {
            of_join(proof, model, wire, [a, b], &mut answer);
        }
    }
    answer
}

/// One wire, or one pin of a ready-made lead.
fn of_join(proof: &Proof, model: &WiringModel, wire: &WireRow, [a, b]: [usize; 2], answer: &mut Answer) {
    let Some(fed) = [a, b].into_iter().find(|pad| model.pads[*pad].role == Some(Role::SupplyIn)) else {
        return;
    };
    let unit = &model.units[model.pads[fed].unit];
    let (Some(part), Some(volts)) = (proof.part_of(unit.number), volts_at(model, fed)) else { return };
    let places = [a, b].map(|pad| model.units[model.pads[pad].unit].place.clone()).to_vec();
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
    };
    match current(proof, model, (part, fed), volts) {
        Ok(flows) => judge(proof, &judged, &flows, answer),
        Err(Some(missing)) => {
            let finding = Finding::unknown(WIRE_STAYS_COOL.id, judged.subject, vec![missing]);
            answer.findings.push(finding.at([unit.place.clone()]));
        }
        Err(None) => {}
    }
}

/// The lead that the pack itself brings.
fn pack_lead(proof: &Proof, answer: &mut Answer) {
    let Some(supply) = proof.supply() else { return };
    let Ok(pack) = &supply.model().pack else { return };
    let (Some(lead), Some(flows)) = (pack.wires.first(), main_current(proof)) else { return };
    let judged = Judged {
        subject: format!("lead of {}", pack.called),
        key: "pack".to_owned(),
        gauge: Ok(lead.gauge),
        places: vec![pack.place.clone()],
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

/// Still air as hot as it is flown in.
fn still(air: Celsius) -> Option<Surroundings> {
    let air = Air::at(Metres::new(0.0), air).ok()?;
    Some(Surroundings { air, speed: MetresPerSecond::new(0.0) })
}

fn stranded(gauge: u32) -> Option<Wire> {
    Wire::gauge(i32::try_from(gauge).ok()?, Lay::Stranded).ok()
}

/// The current that warms a stranded wire to its limit for good.
fn steady_current(gauge: u32, about: Surroundings) -> Option<f64> {
    Some(stranded(gauge)?.steady_current(WIRE_LIMIT, about)?.get())
}

/// Its temperature after a punch that comes on top of what flows for good; none where it runs away.
fn after_punch(
    gauge: u32,
    steady: f64,
    (peak, held): (Amperes, Seconds),
    about: Surroundings,
) -> Option<f64> {
    let wire = stranded(gauge)?;
    let warm = wire.steady_temperature(Amperes::new(steady), about).ok()??;
    Some(wire.warmed(warm, peak, held).ok()?.get())
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
        let at = if hot.is_finite() { format!("{} °C", rounded(hot, 0)) } else { "no end".to_owned() };
        message.push_str(&format!(", which takes it to {at}"));
    }
    let sound = judged.verdict == Verdict::Sound;
    if !sound {
        message.push_str(": it heats and drops voltage");
    }
    let better = (4..gauge).rev().find(|other| {
        let cool =
            steady_current(*other, about).is_some_and(|most| 100.0 * amps.value / most <= WIRE_LOAD.tight);
        cool && hot(*other).is_none_or(|hot| hot <= limit - NEAR_LIMIT)
    });
    let mut finding =
        judged.finding(WIRE_STAYS_COOL.id, wire.subject.clone(), message).at(wire.places.clone());
    if let (true, Some(better)) = (!sound, better) {
        finding = finding.mend(format!("Use gauge {better} for {} A.", rounded(amps.value, 2)));
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
    if let Some(hot) = punched.filter(|hot| hot.is_finite()) {
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
mod tests {
    use super::*;
    use crate::testing_wiring::{check, gauge, is_sound, set};
    use expect_test::expect;

    #[test]
    fn wires_thick_enough_are_sound() {
        is_sound(&WIRE_STAYS_COOL);
    }

    #[test]
    fn a_hair_thin_wire_for_the_video_is_broken() {
        for (thin, expected) in [
            (
                "38",
                expect![[r#"
                    broken · wire from fc/9V to vtx/VCC · -45.839 % · 0 %
                      It carries 1.56 A of the 1.1 A that gauge 38 carries for good: it heats and drops voltage
                      > Use gauge 32 for 1.56 A.
                "#]],
            ),
            (
                "34",
                expect![[r#"
                    tight · wire from fc/9V to vtx/VCC · 13.218 % · 100 %
                      It carries 1.56 A of the 1.8 A that gauge 34 carries for good: it heats and drops voltage
                      > Use gauge 32 for 1.56 A.
                "#]],
            ),
        ] {
            check(
                &WIRE_STAYS_COOL,
                |craft| {
                    set(craft, "vtx.level[0].draw", "14 W, data sheet");
                    gauge(craft, "vtx/VCC", Some(thin));
                },
                expected,
            );
        }
    }

    #[test]
    fn a_wire_of_no_known_gauge_is_unknown() {
        check(
            &WIRE_STAYS_COOL,
            |craft| gauge(craft, "vtx/VCC", None),
            expect![[r#"
            unknown · wire from fc/9V to vtx/VCC
              Nobody can say yet: the gauge of the wire from fc/9V to vtx/VCC is not known
              > Measure or look up the gauge of the wire from fc/9V to vtx/VCC.
        "#]],
        );
    }

    #[test]
    fn thinner_wires_carry_less() {
        let most: Vec<f64> = (10..=36).filter_map(|g| steady_current(g, still(HOT_AIR)?)).collect();
        assert!(most.len() == 27 && most.is_sorted_by(|a, b| a > b), "{most:?}");
    }
}
