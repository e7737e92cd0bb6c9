//! Does the pack last for the planned time nine times in ten?

use crate::link::Lack;
use crate::rule::rule;
use crate::standing::standing_of;
use crate::subject::lacking;
use crate::supply::{Chain, Longer, minutes, of_unit, spoilt};
use crate::supply_limits::{FLIGHT_RESERVE, FLIGHT_RESERVE_TIMES};
use crate::working::Lines;
use crate::{Answer, Proof, Verdict};
use power::{COLD_SOURCE, DISC_SOURCE, Over, charge_to_be_had};
use quantity::{Celsius, FigureId, Probability, Unit, chance_at_least};

rule! {
    /// Does the pack last for the planned time nine times in ten?
    ///
    /// ## Why
    /// A plan that holds on the mean fails every second time: cold, wind, an old cell. What counts is the flight that one in ten is shorter than.
    ///
    /// ## Sound when
    /// Nine flights in ten last 1.2 times the plan. If nine in ten last the plan and not more, it is tight; if fewer do, broken.
    ///
    /// ## Rests on
    /// The round of hover, cruise, climb and punches, from the charge at take-off to that of landing, in the coldest air; mass, blades, merit of
    /// the drive or the stand, drag, the rails. A cold pack gives less of its charge, and more again as it warms itself; where a cell stays low
    /// in steady flight, it is time to land before. Every fact with its doubt: first order, or flights that are flown where a low cell may end one.
    ///
    /// ## Mend
    /// Keep the pack warm, plan less, or take more capacity; what that weighs is counted. What is named was tried, and holds.
    FLIGHT_HAS_RESERVE = "feed.flight_reserve", run
}

const SUBJECT: &str = "planned flight";
fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    let chain = match supply.chain() {
        Ok(chain) => chain,
        Err(lack) => return spoilt(proof, FLIGHT_HAS_RESERVE.id, SUBJECT, &lack),
    };
    let Some(flights) = supply.flights() else { return Answer::default() };
    let planned = match &chain.plan.planned {
        Ok(planned) => planned.get(),
        Err(missing) => {
            return Answer::of(of_unit(
                proof,
                lacking(FLIGHT_HAS_RESERVE.id, SUBJECT, &Lack::missing(missing.clone())),
            ));
        }
    };
    let time = supply.model().slots.linear(proof, &flights.time);
    let margin = &time - planned;
    let mut standing = standing_of(proof, &margin, 0.0, Unit::Seconds);
    let ledger = proof.ledger();
    // Flights that were flown tell their own share; first order has a smoother answer than counting.
    let chance = |of: f64| match flights.are_flown {
        true => flights.times.share_at_least(of),
        false => chance_at_least(&time, &ledger, of).get(),
    };
    let (plan, more) = (chance(planned), chance(FLIGHT_RESERVE_TIMES * planned));
    drop(ledger);
    let tenth = flights.times.quantile(0.1);
    standing.certainty = Probability::new(plan);
    standing.verdict = match () {
        () if 100.0 * plan < FLIGHT_RESERVE.broken => Verdict::Broken,
        () if 100.0 * more < FLIGHT_RESERVE.tight => Verdict::Tight,
        () => Verdict::Sound,
    };
    let verdict = standing.verdict;
    let [one_in_ten, mean, wanted] = [tenth.max(0.0), time.value, planned].map(minutes);
    let message = match verdict {
        Verdict::Broken => format!(
            "One flight in ten ends before {one_in_ten}, and {wanted} are planned; the mean is {mean}"
        ),
        Verdict::Tight => format!(
            "Nine flights in ten last {one_in_ten} or longer, {wanted} are planned, and nine in ten had better last {}, which {} % do; the mean is {mean}",
            minutes(FLIGHT_RESERVE_TIMES * planned),
            crate::numbers::rounded((100.0 * more).floor(), 0)
        ),
        _ => format!(
            "Nine flights in ten last {one_in_ten} or longer, {wanted} are planned; the mean is {mean}"
        ),
    };
    let values = supply.model().slots.values();
    let warmth = [chain.plan.pack_at, chain.plan.coldest];
    let ends = chain.endures(values, warmth);
    let low = verdict != Verdict::Sound && ends.is_some_and(|found| found.over == Over::Low);
    let message = match low {
        true => format!(
            "{message}; the pack at {}, a cell stays under {} in steady flight before the charge is flown",
            warmth[0],
            crate::supply::volts(chain.pack.chemistry.steady_least().get())
        ),
        false => message,
    };
    let mut finding = of_unit(proof, standing.finding(FLIGHT_HAS_RESERVE.id, SUBJECT, message));
    if verdict != Verdict::Sound && !proof.is_trial() {
        let mends = Longer::of(proof, supply, &chain, (&time, planned)).words(chain.plan.coldest);
        finding = mends.into_iter().fold(finding, |finding, mend| finding.mend(mend));
    }
    finding.figure = Some(FigureId("feed.flight_time".into()));
    let lines = Lines::of(proof)
        .given("charge at take-off", chain.plan.start.get(), Unit::Percent, "plan")
        .given("charge at landing", chain.plan.land.get(), Unit::Percent, "plan")
        .given("one flight in ten is shorter than", tenth, Unit::Seconds, "by the doubts of all facts")
        .given("pack at take-off", warmth[0].get(), Unit::Celsius, "plan, or the coldest air")
        .given(
            "charge to be had at that",
            charge_to_be_had(warmth[0]).map_or(100.0, |share| share.get()),
            Unit::Percent,
            COLD_SOURCE.place,
        )
        .given(
            "pack at landing",
            ends.map_or(0.0, |found| found.warmth.get()),
            Unit::Celsius,
            "warmed by its own current, cooled by the air it flies through",
        );
    let lines = by_warmth(&chain, values, proof).into_iter().fold(lines, |lines, (label, time)| {
        lines.given(&label, time, Unit::Seconds, "pack as cold as the air at take-off")
    });
    let lines = lines.facts(&time);
    let figure = lines.figure(
        "feed.flight_time",
        "how long the pack lasts",
        (&time, Unit::Seconds),
        "time until the charge at landing is left of what is to be had, or a cell stays low: rounds of hover, cruise, climb and punch",
        DISC_SOURCE,
    );
    let mut figures = vec![figure];
    figures.extend(crate::supply_figures::flight_figures(proof, supply, &chain));
    Answer { findings: vec![finding], figures }
}

/// Warmths at which the flight time is told beside the planned one, °C.
const TOLD_AT: [f64; 3] = [-10.0, 5.0, 25.0];

/// How long it lasts at other warmths of pack and air.
fn by_warmth(chain: &Chain, values: &[f64], proof: &Proof) -> Vec<(String, f64)> {
    let at = |celsius: f64| {
        let both = [Celsius::new(celsius); 2];
        let found = chain.endures(values, both)?;
        Some((format!("with pack and air at {}", both[0]), found.time.get()))
    };
    if proof.is_trial() { Vec::new() } else { TOLD_AT.into_iter().filter_map(at).collect() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_supply::{check, is_sound, set};
    use expect_test::expect;

    #[test]
    fn a_plan_well_within_the_pack_is_sound() {
        is_sound(&FLIGHT_HAS_RESERVE);
    }

    #[test]
    fn a_plan_with_little_to_spare_is_tight() {
        check(
            &FLIGHT_HAS_RESERVE,
            |craft| set(craft, "craft.planned_flight", "5.8 min"),
            expect![[r#"
                tight · planned flight · 70.802 s · 94 %
                  Nine flights in ten last 5.9 min or longer, 5.8 min are planned, and nine in ten had better last 7 min, which 50 % do; the mean is 7 min
                  > Plan 4.9 min at most.
                  > Or take a pack of about 850 mAh of the same make: the 22 g that it is heavier are counted.
                  ? No single measurement would change this verdict, nor would two: it is 94 % certain now, and would be 97 % certain with every fact measured.
            "#]],
        );
    }

    #[test]
    fn a_plan_beyond_the_pack_is_broken() {
        check(
            &FLIGHT_HAS_RESERVE,
            |craft| set(craft, "craft.planned_flight", "9 min"),
            expect![[r#"
                broken · planned flight · -121.198 s · under 1 %
                  One flight in ten ends before 5.9 min, and 9 min are planned; the mean is 7 min
                  > Plan 4.9 min at most.
                  > No pack of the same make of up to twice its charge carries the plan: it weighs more as well.
            "#]],
        );
    }

    #[test]
    fn without_a_plan_it_is_unknown() {
        check(
            &FLIGHT_HAS_RESERVE,
            |craft| set(craft, "craft.planned_flight", ""),
            expect![[r#"
            unknown · planned flight
              Nobody can say yet: the planned flight of "Wheatear" is not known
              > Measure or look up the planned flight of "Wheatear".
        "#]],
        );
    }

    #[test]
    fn a_pack_on_which_nothing_flies_is_told_so_and_no_charge_is_named() {
        check(
            &FLIGHT_HAS_RESERVE,
            |craft| set(craft, "pack.cell_resistance", "400 mΩ, measured"),
            expect![[r#"
                broken · planned flight · -180 s · 0 %
                  One flight in ten ends before 0 s, and 3 min are planned; the mean is 0 s
                  > No flight can be planned with this pack: take one of far less resistance or of more charge.
            "#]],
        );
    }
}
