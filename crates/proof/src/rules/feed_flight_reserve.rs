//! Does the pack last for the planned time nine times in ten?

use crate::link::Lack;
use crate::rule::rule;
use crate::standing::standing_of;
use crate::subject::lacking;
use crate::supply::{minutes, of_unit, spoilt};
use crate::supply_limits::{FLIGHT_RESERVE, FLIGHT_RESERVE_TIMES};
use crate::working::Lines;
use crate::{Answer, Proof, Verdict};
use power::DISC_SOURCE;
use quantity::{FigureId, Probability, Unit, chance_at_least, standard_uncertainty};

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
    /// the drive or the stand, drag, the rails. Every fact with its doubt, first order.
    ///
    /// ## Mend
    /// Plan less, or take more capacity; each gram more costs time too.
    FLIGHT_HAS_RESERVE = "feed.flight_reserve", run
}

const SUBJECT: &str = "planned flight";
/// A time below this is no flight that anybody plans, s.
pub(crate) const SHORTEST: f64 = 5.0;
/// What is said of such a pack.
pub(crate) const NO_FLIGHT: &str =
    "No flight can be planned with this pack: take one of far less resistance or of more charge.";
/// A bell-shaped doubt leaves one in ten below its mean less so many uncertainties.
const ONE_IN_TEN: f64 = 1.2816;

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    let chain = match supply.chain() {
        Ok(chain) => chain,
        Err(lack) => return spoilt(proof, FLIGHT_HAS_RESERVE.id, SUBJECT, &lack),
    };
    let Some(lasts) = supply.lasts() else { return Answer::default() };
    let planned = match &chain.plan.planned {
        Ok(planned) => planned.get(),
        Err(missing) => {
            return Answer::of(of_unit(
                proof,
                lacking(FLIGHT_HAS_RESERVE.id, SUBJECT, &Lack::missing(missing.clone())),
            ));
        }
    };
    let time = supply.model().slots.linear(proof, lasts);
    let margin = &time - planned;
    let mut standing = standing_of(proof, &margin, 0.0, Unit::Seconds);
    let ledger = proof.ledger();
    let chance = |of: f64| chance_at_least(&time, &ledger, of).get();
    let (plan, more) = (chance(planned), chance(FLIGHT_RESERVE_TIMES * planned));
    let tenth = time.value - ONE_IN_TEN * standard_uncertainty(&time, &ledger);
    drop(ledger);
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
        _ => format!(
            "Nine flights in ten last {one_in_ten} or longer, {wanted} are planned; the mean is {mean}"
        ),
    };
    let mut finding = of_unit(proof, standing.finding(FLIGHT_HAS_RESERVE.id, SUBJECT, message));
    if verdict != Verdict::Sound {
        let fly = (tenth / FLIGHT_RESERVE_TIMES).max(0.0);
        finding = finding.mend(match fly >= SHORTEST {
            true => format!("Plan {} at most.", minutes(fly)),
            false => NO_FLIGHT.to_owned(),
        });
        let charge =
            supply.model().slots.of(chain.pack.capacity) * planned * FLIGHT_RESERVE_TIMES / tenth.max(1.0);
        if charge.is_finite() && charge < 3e4 && fly >= SHORTEST {
            finding = finding.mend(format!(
                "Or take a pack of about {} mAh, and weigh what it costs.",
                (charge / 50.0).ceil() * 50.0
            ));
        }
    }
    finding.figure = Some(FigureId("feed.flight_time".into()));
    let lines = Lines::of(proof)
        .given("charge at take-off", chain.plan.start.get(), Unit::Percent, "plan")
        .given("charge at landing", chain.plan.land.get(), Unit::Percent, "plan")
        .given("one flight in ten is shorter than", tenth, Unit::Seconds, "mean less 1.28 uncertainties")
        .facts(&time);
    let figure = lines.figure(
        "feed.flight_time",
        "how long the pack lasts",
        (&time, Unit::Seconds),
        "time until the charge at landing is left: rounds of hover, cruise, climb and punch",
        DISC_SOURCE,
    );
    let mut figures = vec![figure];
    figures.extend(crate::supply_figures::flight_figures(proof, supply, &chain));
    Answer { findings: vec![finding], figures }
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
                tight · planned flight · 70.45 s · over 99 %
                  Nine flights in ten last 6.4 min or longer, 5.8 min are planned; the mean is 7 min
                  > Plan 5.4 min at most.
                  > Or take a pack of about 750 mAh, and weigh what it costs.
            "#]],
        );
    }

    #[test]
    fn a_plan_beyond_the_pack_is_broken() {
        check(
            &FLIGHT_HAS_RESERVE,
            |craft| set(craft, "craft.planned_flight", "9 min"),
            expect![[r#"
                broken · planned flight · -121.55 s · 0 %
                  One flight in ten ends before 6.4 min, and 9 min are planned; the mean is 7 min
                  > Plan 5.4 min at most.
                  > Or take a pack of about 1100 mAh, and weigh what it costs.
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
