//! Does each supply wire stay cool at its current?

use crate::limits::WIRE_LOAD;
use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::wiring::{WireRow, WiringModel};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{PartKind, air, camera, craft as craft_schema};
use craft::{Missing, Part, Reading};
use power::{Lay, Wire, gauge_diameter};
use quantity::{Celsius, FigureId, Linear, Measure, Metres, Unit};
use wiring::{INSULATION_SOURCE, Role, SHED_SOURCE, WIRE_LIMIT, shed_per_metre};

rule! {
    /// Does each supply wire stay cool at its current?
    ///
    /// ## Why
    /// A wire too thin for its current heats, drops voltage where the video needs it, and in the end its insulation runs. Hair-thin wires are meant
    /// for signals.
    ///
    /// ## Sound when
    /// The current of what hangs on it is at most 70 % of the one that warms the wire to 105 °C for good, bare, level, in still
    /// air as hot as it is flown in (40 °C unless said). Beyond that current it is broken.
    ///
    /// ## Rests on
    /// The draw of what is fed, at the lowest voltage it is fed with, and the gauge of the wire. ASTM B258 and IEC 60028 for the copper; Churchill
    /// and Chu (1975) for still air; 105 °C as the limit of the weaker insulation (memory). Motors and pack leads are left out: they carry
    /// their current in bursts.
    ///
    /// ## Mend
    /// Take the gauge that is named; a lower number is a thicker wire.
    WIRE_STAYS_COOL = "wire.gauge", run
}

/// Air a wire lies in unless the craft says how hot it is flown: common practice.
const HOT_AIR: Celsius = Celsius::new(40.0);

fn run(proof: &Proof) -> Answer {
    let Some(model) = proof.wiring().filter(|model| model.is_wired()) else { return Answer::default() };
    let mut answer = Answer::default();
    for wire in &model.wires {
        let ([[a, b]], None) = (wire.joins.as_slice(), &wire.lead) else { continue };
        let Some(fed) = [*a, *b].into_iter().find(|pad| model.pads[*pad].role == Some(Role::SupplyIn)) else {
            continue;
        };
        let unit = &model.units[model.pads[fed].unit];
        let Some(part) = proof.part_of(unit.number) else { continue };
        let Some(volts) = volts_at(model, fed) else { continue };
        match current(proof, part, volts) {
            Ok(amps) => judge(proof, model, wire, &amps, &mut answer),
            Err(Some(missing)) => {
                let finding = Finding::unknown(WIRE_STAYS_COOL.id, subject(wire), vec![missing]);
                answer.findings.push(finding.at([unit.place.clone()]));
            }
            Err(None) => {}
        }
    }
    answer
}

fn subject(wire: &WireRow) -> String {
    format!("wire from {} to {}", wire.ends[0], wire.ends[1])
}

fn volts_at(model: &WiringModel, pad: usize) -> Option<f64> {
    let net = model.nets.net_of(pad)?;
    model.nets.nets()[net].pads.iter().find_map(|pad| model.pads[*pad].gives).map(|[least, _]| least)
}

/// What a part draws at that voltage; nothing to say of kinds that tell no draw.
fn current(proof: &Proof, part: &Part, volts: f64) -> Result<Linear, Option<Missing>> {
    let lean = |reading: Reading<quantity::Watts>| {
        Linear::chained(reading.value.raw() / volts, &[(1.0 / volts, &proof.lean(&reading))])
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
            part.item().read(&air::CURRENT).map(|reading| proof.lean(&reading)).map_err(Some)
        }
        _ => Err(None),
    }
}

/// The current that warms a stranded wire to its limit for good.
pub(crate) fn steady_current(gauge: u32, air: Celsius) -> Option<f64> {
    let number = i32::try_from(gauge).ok()?;
    let wire = Wire::gauge(number, Lay::Stranded).ok()?;
    let metre = wire.resistance(Metres::new(1.0), WIRE_LIMIT).ok()?.get() * 1e-3;
    let shed = shed_per_metre(gauge_diameter(number), WIRE_LIMIT, air)?;
    Some((shed / metre).sqrt())
}

fn judge(proof: &Proof, model: &WiringModel, wire: &WireRow, amps: &Linear, answer: &mut Answer) {
    let places = wire.joins.iter().flatten().map(|pad| model.units[model.pads[*pad].unit].place.clone());
    let places: Vec<_> = places.collect();
    let Some(gauge) = wire.gauge else {
        let missing = Missing {
            path: quantity::FactPath(format!("craft.wire[{}].gauge", wire.row)),
            label: format!("gauge of the {}", subject(wire)),
        };
        let finding = Finding::unknown(WIRE_STAYS_COOL.id, subject(wire), vec![missing]);
        answer.findings.push(finding.at(places));
        return;
    };
    let hottest = proof.craft.item().read(&craft_schema::HOTTEST).ok().map_or(HOT_AIR, |air| air.value);
    let Some(most) = steady_current(gauge, hottest) else { return };
    let load = Linear::chained(100.0 * amps.value / most, &[(100.0 / most, amps)]);
    let judged = standing(proof, &load, &WIRE_LOAD);
    let told = format!(
        "{} A of the {} A that gauge {gauge} carries for good",
        rounded(amps.value, 2),
        rounded(most, 1)
    );
    let message = match judged.verdict {
        Verdict::Sound => format!("It carries {told}"),
        _ => format!("It carries {told}: it heats and drops voltage"),
    };
    let better = (4..gauge).rev().find(|other| {
        steady_current(*other, hottest).is_some_and(|most| 100.0 * amps.value / most <= WIRE_LOAD.tight)
    });
    let sound = judged.verdict == Verdict::Sound;
    let mut finding = judged.finding(WIRE_STAYS_COOL.id, subject(wire), message).at(places);
    if let (true, Some(better)) = (!sound, better) {
        finding = finding.mend(format!("Use gauge {better} for {} A.", rounded(amps.value, 2)));
    }
    let id = format!("wire.load.{}", wire.row + 1);
    finding.figure = Some(FigureId(id.clone().into()));
    let figure = Lines::of(proof)
        .facts(amps)
        .given("gauge", f64::from(gauge), Unit::Count, "as entered")
        .given("air about it", hottest.get(), Unit::Celsius, "hottest air flown in, or 40 °C")
        .given("wire let reach", WIRE_LIMIT.get(), Unit::Celsius, INSULATION_SOURCE.line())
        .given("current it carries for good", most, Unit::Amperes, SHED_SOURCE.line())
        .figure(
            id,
            format!("load of the {}", subject(wire)),
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
            broken · wire from fc/9V to vtx/VCC · -45.763 % · 0 %
              It carries 1.56 A of the 1.1 A that gauge 38 carries for good: it heats and drops voltage
              > Use gauge 32 for 1.56 A.
        "#]],
            ),
            (
                "34",
                expect![[r#"
            tight · wire from fc/9V to vtx/VCC · 13.262 % · 100 %
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
        let most: Vec<f64> = (10..=36).filter_map(|g| steady_current(g, Celsius::new(40.0))).collect();
        assert!(most.len() == 27 && most.is_sorted_by(|a, b| a > b), "{most:?}");
    }
}
