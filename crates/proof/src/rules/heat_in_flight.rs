//! Does the transmitter stay below its limit in flight?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::supply::{Does, HeatFacts, Supply, Where, limit_in_doubt, of_unit, spoilt};
use crate::supply_limits::IN_FLIGHT;
use crate::working::Lines;
use crate::{Answer, Proof, Verdict};
use power::MOVING_AIR_SOURCE;
use quantity::{FigureId, Unit};

rule! {
    /// Does the transmitter stay below its limit in flight?
    ///
    /// ## Why
    /// A transmitter that is too hot folds its level back without a word: range shrinks, and heat looks like radio. Later it shuts down.
    ///
    /// ## Sound when
    /// At the level set, hovering and in cruise, in the hottest air, it stays 10 K or more below its limit; above the limit is broken.
    ///
    /// ## Rests on
    /// Draw at the level less what is radiated, size or cooling surface, the air that passes it: what its place says, or half of the speed through
    /// the discs and of the speed flown; hottest air, height above the sea.
    ///
    /// ## Mend
    /// A lower level, an opening behind it, a sink plate.
    COOL_IN_FLIGHT = "heat.in_flight", run
}

const SUBJECT: &str = "transmitter in flight";

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    match &supply.model().heat {
        Ok(heat) => judge(proof, supply, heat).unwrap_or_default(),
        // What nobody entered is told of the bench.
        Err(lack) => spoilt(proof, COOL_IN_FLIGHT.id, SUBJECT, lack),
    }
}

fn judge(proof: &Proof, supply: &Supply, heat: &HeatFacts) -> Option<Answer> {
    let slots = &supply.model().slots;
    let drive = supply.model().drive.as_ref().ok()?;
    let hot = slots.linear(proof, &slots.sloped(|values| heat.in_flight(values, drive, heat.set))?);
    let margin =
        slots.sloped(|values| Some(heat.limit.at(values) - heat.in_flight(values, drive, heat.set)?))?;
    let margin = slots.linear(proof, &margin);
    let judged = standing(proof, &margin, &IN_FLIGHT);
    let verdict = judged.verdict;
    let values = slots.values();
    let at = |place| heat.steady(values, Some(drive), place, Does::Sends(heat.set));
    let (hover, cruise) = (at(Where::Hover)?, at(Where::Cruise)?);
    let where_ = if hover >= cruise { "hovering" } else { "in cruise" };
    let [degrees, limit, air] = [hot.value, slots.of(heat.limit), heat.hottest.get()].map(|t| rounded(t, 0));
    // What it has over the air hangs but little on how warm that is.
    let over = hot.value - heat.hottest.get();
    let cooler = rounded((slots.of(heat.limit) - IN_FLIGHT.tight - over).floor(), 0);
    let out = heat.levels[heat.set].out;
    let message =
        format!("At {out} it runs at {degrees} °C {where_} in air of {air} °C; its limit is {limit} °C");
    let mut finding = of_unit(proof, judged.finding(COOL_IN_FLIGHT.id, SUBJECT, message));
    if verdict != Verdict::Sound {
        let cool = |level: usize| {
            heat.in_flight(values, drive, level).is_some_and(|t| slots.of(heat.limit) - t >= IN_FLIGHT.tight)
        };
        if let Some(level) = (0..heat.set).rev().find(|level| cool(*level)) {
            finding = finding.mend(format!("Set {}.", heat.levels[level].out));
        }
        let for_limit = |below: f64| heat.speed_for(values, slots.of(heat.limit) - below, heat.set);
        let well = for_limit(IN_FLIGHT.tight).map(|speed| (speed, format!("{} K below", IN_FLIGHT.tight)));
        if let Some((speed, kept)) = well.or_else(|| Some((for_limit(0.0)?, "at".to_owned()))) {
            finding = finding.mend(format!(
                "Let air pass it: {} m/s keep it {kept} its limit. Open the canopy behind it, turn its hot face into the stream.",
                rounded((10.0 * speed).ceil() / 10.0, 1)
            ));
        }
        finding = match heat.air_at_limit(values, Where::Bench) {
            Some(_) => finding
                .mend(format!("No wind cools it below the air: fly when that is at {cooler} °C or less."))
                .mend(limit_in_doubt(heat)),
            None => finding.mend("Or give it a sink plate of 1 to 2 mm aluminium on a thermal pad."),
        };
    }
    finding.figure = Some(FigureId("heat.in_flight".into()));
    let speed = |place| heat.about(values, Some(drive), place).map_or(0.0, |about| about.speed.get());
    let figure = Lines::of(proof)
        .given(
            "turned to heat",
            heat.heat(values, Does::Sends(heat.set)).ok()?.get(),
            Unit::Watts,
            "drawn less radiated",
        )
        .given(
            "air past it in hover",
            speed(Where::Hover),
            Unit::MetresPerSecond,
            "its place, or half of that through the discs",
        )
        .given(
            "air past it in cruise",
            speed(Where::Cruise),
            Unit::MetresPerSecond,
            "that and half of the speed",
        )
        .given("hovering", hover, Unit::Celsius, "steady")
        .given("in cruise", cruise, Unit::Celsius, "steady")
        .facts(&hot)
        .figure(
            "heat.in_flight",
            "temperature in flight",
            (&hot, Unit::Celsius),
            "heat = Σ area · (h(T, speed) + radiation) · (T - air), Nu³ = (0.664·√Re·∛Pr)³ + Nu³ of still air",
            MOVING_AIR_SOURCE,
        );
    Some(Answer { findings: vec![finding], figures: vec![figure] })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_supply::{check, is_sound, set};
    use expect_test::expect;

    #[test]
    fn a_unit_in_the_wash_is_sound() {
        is_sound(&COOL_IN_FLIGHT);
    }

    #[test]
    fn little_air_is_tight() {
        check(
            &COOL_IN_FLIGHT,
            |craft| {
                set(craft, "craft.level", "200 mW");
                set(craft, "place vtx.air_past", "1.2 m/s, measured");
            },
            expect![[r#"
                tight · transmitter in flight · 7.844 °C · 93 %
                  At 200 mW it runs at 82 °C hovering in air of 30 °C; its limit is 90 °C
                  > Set 25 mW.
                  > Let air pass it: 1.4 m/s keep it 10 K below its limit. Open the canopy behind it, turn its hot face into the stream.
                  > Or give it a sink plate of 1 to 2 mm aluminium on a thermal pad.
                  ? No single measurement would change this verdict; two would: supply power of level 2 of "Lanner small air unit" and limit temperature of "Lanner small air unit". They take its certainty from 93 % to 96 %.
            "#]],
        );
    }

    #[test]
    fn no_air_at_its_highest_level_is_broken() {
        check(
            &COOL_IN_FLIGHT,
            |craft| {
                set(craft, "craft.level", "200 mW");
                set(craft, "place vtx.air_past", "0 m/s, measured");
            },
            expect![[r#"
                broken · transmitter in flight · -28.668 °C · 0 %
                  At 200 mW it runs at 119 °C hovering in air of 30 °C; its limit is 90 °C
                  > Let air pass it: 1.4 m/s keep it 10 K below its limit. Open the canopy behind it, turn its hot face into the stream.
                  > Or give it a sink plate of 1 to 2 mm aluminium on a thermal pad.
            "#]],
        );
    }

    #[test]
    fn air_hotter_than_its_limit_is_named() {
        check(
            &COOL_IN_FLIGHT,
            |craft| {
                set(craft, "craft.hottest", "50 °C");
                set(craft, "vtx.limit_temperature", "45 °C, data sheet");
            },
            expect![[r#"
                broken · transmitter in flight · -22.832 °C · 0 %
                  At 25 mW it runs at 68 °C hovering in air of 50 °C; its limit is 45 °C
                  > No wind cools it below the air: fly when that is at 17 °C or less.
                  > Or look the limit temperature of Lanner small air unit up again: few parts have one as low.
            "#]],
        );
    }

    #[test]
    fn what_lacks_is_told_of_the_bench() {
        check(&COOL_IN_FLIGHT, |craft| set(craft, "vtx.mass", ""), expect![[r#""#]]);
    }
}
