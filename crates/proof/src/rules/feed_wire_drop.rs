//! Do the supply wires of the video lose little?

use crate::numbers::{mm, rounded};
use crate::rule::rule;
use crate::standing::standing;
use crate::supply::custom::is_sold;
use crate::supply::{Supply, VIDEO, Wires, spoilt, supply_wire, volts, warm_board};
use crate::supply_limits::WIRE_DROP;
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::Missing;
use power::{COPPER_SOURCE, Usage};
use quantity::{FigureId, Unit};

rule! {
    /// Do the supply wires of the video lose little?
    ///
    /// ## Why
    /// Thin wires are resistors: at a punch their drop comes on top of the sag, and it comes twice, for the way out and the way back.
    ///
    /// ## Sound when
    /// Plus and minus together lose 2 % or less of what feeds the video, at its peak. Over 5 % is broken.
    ///
    /// ## Rests on
    /// Gauge and length of its supply wires, copper at 40 °C, 2 % more for strands; its peak at its level, with the bus as low as a punch at the
    /// charge of landing takes it: a converter then draws the most.
    ///
    /// ## Mend
    /// The next thicker gauge that does, or shorter wires.
    WIRES_LOSE_LITTLE = "feed.wire_drop", run
}

const SUBJECT: &str = "supply wires of the video";

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    let model = supply.model();
    let net = match &model.net {
        Ok(net) => net,
        Err(lack) => return spoilt(proof, WIRES_LOSE_LITTLE.id, SUBJECT, lack),
    };
    let video = net.video();
    let at = |finding: Finding| finding.at([video.place.clone()]);
    let Some(wires) = &video.wires else {
        let Some(placed) = proof.placed_at(&video.place) else { return Answer::default() };
        let wire = supply_wire(proof, placed);
        let missing: Vec<Missing> = wire.gauge.err().into_iter().chain(wire.length.err()).collect();
        return Answer::of(at(Finding::unknown(WIRES_LOSE_LITTLE.id, SUBJECT, missing)));
    };
    let Ok(cells) = &model.cells else { return Answer::default() };
    // What takes a power takes the most amperes where the bus is lowest; where it falls over, nothing is left to lose.
    let lowest = supply.deepest().map_or(0.0, |deepest| deepest.value);
    let bus = if lowest > 0.5 * cells.full.get() { quantity::Volts::new(lowest) } else { cells.full * 0.8 };
    judge(proof, supply, wires, bus).map_or_else(Answer::default, |(finding, figure)| Answer {
        findings: vec![at(finding)],
        figures: vec![figure],
    })
}

fn judge(
    proof: &Proof,
    supply: &Supply,
    wires: &Wires,
    bus: quantity::Volts,
) -> Option<(Finding, quantity::Figure)> {
    let model = supply.model();
    let (net, slots) = (model.net.as_ref().ok()?, &model.slots);
    let about = warm_board(quantity::Celsius::new(30.0));
    let at = |values: &[f64], wires: &Wires| -> Option<[f64; 3]> {
        let load = net.at(values, about).ok()?.at(bus, Usage::Peak).loads[VIDEO];
        let drop = load.amperes.get() * wires.resistance(values).ok()?.get() * 1e-3;
        let fed = load.volts.get() + drop;
        Some([100.0 * drop / fed, drop, load.amperes.get()])
    };
    let share = slots.sloped(|values| Some(at(values, wires)?[0]))?;
    let [percent, drop, amperes] = at(slots.values(), wires)?;
    let share = slots.linear(proof, &share);
    let judged = standing(proof, &share, &WIRE_DROP);
    let verdict = judged.verdict;
    let length = slots.of(wires.length);
    let message = format!(
        "Gauge {}, {} out and back, loses {} of what feeds the video, {} %",
        wires.gauge,
        mm(length),
        volts(drop),
        rounded(percent, 1)
    );
    let mut finding = judged.finding(WIRES_LOSE_LITTLE.id, SUBJECT, message);
    if verdict != Verdict::Sound {
        let thicker = (4..wires.gauge).rev().filter(|gauge| is_sold(*gauge)).find(|gauge| {
            let other = Wires { gauge: *gauge, ..wires.clone() };
            at(slots.values(), &other).is_some_and(|[share, _, _]| share < 0.9 * WIRE_DROP.tight)
        });
        finding = finding.mend(match thicker {
            Some(gauge) => format!(
                "Take gauge {gauge}, or make them {} long.",
                mm(0.9 * length * WIRE_DROP.tight / percent)
            ),
            None => format!("Make them {} long.", mm(0.9 * length * WIRE_DROP.tight / percent)),
        });
    }
    finding.figure = Some(FigureId("feed.wire_drop".into()));
    let figure = Lines::of(proof)
        .given("gauge", f64::from(wires.gauge), Unit::Count, "American wire gauge, ASTM B258")
        .given("length", length, Unit::Millimetres, "one way")
        .given("bus", bus.get(), Unit::Volts, "at a punch at the charge of landing")
        .given("peak current", amperes, Unit::Amperes, "of the video")
        .given("lost", drop, Unit::Volts, "out and back")
        .facts(&share)
        .figure(
            "feed.wire_drop",
            "voltage lost in the video's wires",
            (&share, Unit::Percent),
            "I · 2 · length · resistance of a metre / voltage that feeds them",
            COPPER_SOURCE,
        );
    Some((finding, figure))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_supply::{check, gauge, is_sound, set};
    use expect_test::expect;

    #[test]
    fn short_wires_are_sound() {
        is_sound(&WIRES_LOSE_LITTLE);
    }

    #[test]
    fn long_wires_are_tight() {
        check(
            &WIRES_LOSE_LITTLE,
            |craft| set(craft, "place vtx.supply_length", "1200 mm, measured"),
            expect![[r#"
                tight · supply wires of the video · 2.585 % · 100 %
                  Gauge 26, 1200 mm out and back, loses 0.22 V of what feeds the video, 2.4 %
                  > Take gauge 24, or make them 894.2 mm long.
            "#]],
        );
    }

    #[test]
    fn long_and_thin_wires_are_broken() {
        check(
            &WIRES_LOSE_LITTLE,
            |craft| {
                gauge(craft, "vtx/VCC", Some("32"));
                set(craft, "place vtx.supply_length", "1200 mm, measured");
            },
            expect![[r#"
                broken · supply wires of the video · -5.6 % · 0 %
                  Gauge 32, 1200 mm out and back, loses 0.95 V of what feeds the video, 10.6 %
                  > Take gauge 22, or make them 203.8 mm long.
            "#]],
        );
    }

    #[test]
    fn wires_of_no_known_gauge_or_length_are_unknown() {
        check(
            &WIRES_LOSE_LITTLE,
            |craft| gauge(craft, "vtx/VCC", None),
            expect![[r#"
            unknown · supply wires of the video
              Nobody can say yet: the gauge of its supply wires of place "vtx" is not known
              > Measure or look up the gauge of its supply wires of place "vtx".
        "#]],
        );
        check(
            &WIRES_LOSE_LITTLE,
            |craft| set(craft, "place vtx.supply_length", ""),
            expect![[r#"
            unknown · supply wires of the video
              Nobody can say yet: the length of its supply wires of place "vtx" is not known
              > Measure or look up the length of its supply wires of place "vtx".
        "#]],
        );
    }
}
