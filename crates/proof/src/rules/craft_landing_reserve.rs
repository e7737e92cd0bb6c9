//! Is time left when the planned flight is over?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::supply::{Longer, Supply, minutes, of_unit, spoilt};
use crate::supply_limits::LANDING_RESERVE;
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::craft as craft_schema;
use power::DISC_SOURCE;
use quantity::{FigureId, Linear, Unit, standard_uncertainty};

rule! {
    /// Is time left when the planned flight is over?
    ///
    /// ## Why
    /// The last minute is for the way back, for a second try at landing, for a search. A pack flown to its end is a pack spoilt.
    ///
    /// ## Sound when
    /// The pack lasts at least a fifth longer than planned, down to the charge at landing. Nothing left is broken.
    ///
    /// ## Rests on
    /// The same flight as the reserve of the flight, on its mean. Where both a charge and a voltage for landing are said, the charge
    /// counts; if the resting cell stands elsewhere at that charge, the two are told.
    ///
    /// ## Mend
    /// Fly less, or take more charge.
    TIME_IS_LEFT = "craft.landing_reserve", run
}

const SUBJECT: &str = "time left at landing";
/// So many per cent apart, two ways to say when to land are still one: a pilot does not land more exactly.
const LANDINGS_AGREE: f64 = 5.0;

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    let mut answer = reserve(proof, supply);
    answer.findings.extend(two_landings(proof, supply).map(|finding| of_unit(proof, finding)));
    answer
}

/// Landing by charge and landing by voltage, where they are not one.
fn two_landings(proof: &Proof, supply: &Supply) -> Option<Finding> {
    let item = proof.craft.item();
    let charge = item.read(&craft_schema::LAND_CHARGE).ok()?.value;
    let volts = item.read(&craft_schema::LAND_AT).ok()?.value;
    let curve = supply.model().pack.as_ref().ok()?.curve().ok()?;
    let (by_volts, at_charge) = (curve.charge_at(volts), curve.at(charge));
    if (by_volts - charge).get().abs() <= LANDINGS_AGREE {
        return None;
    }
    let message = format!(
        "Two landings are planned: at {} % of charge, where a resting cell has {at}, and at {volts}, where it has {} % left; the charge counts",
        rounded(charge.get(), 0),
        rounded(by_volts.get(), 0),
        at = crate::supply::volts(at_charge.get()),
    );
    let finding = Finding::new(TIME_IS_LEFT.id, Verdict::Tight, "charge and voltage at landing", message);
    Some(finding.mend("Clear one of the two: land_charge, or land_at."))
}

fn reserve(proof: &Proof, supply: &Supply) -> Answer {
    let chain = match supply.chain() {
        Ok(chain) => chain,
        Err(lack) => return spoilt(proof, TIME_IS_LEFT.id, SUBJECT, &lack),
    };
    let Some(lasts) = supply.lasts() else { return Answer::default() };
    // What is not planned is told of the reserve of the flight.
    let Ok(planned) = chain.plan.planned.as_ref().map(|planned| planned.get()) else {
        return Answer::default();
    };
    let time = supply.model().slots.linear(proof, lasts);
    let share: Linear = &(&time * (100.0 / planned)) - 100.0;
    let judged = standing(proof, &share, &LANDING_RESERVE);
    let verdict = judged.verdict;
    let u = standard_uncertainty(&time, &proof.ledger());
    let [low, high] = [(time.value - 2.0 * u).max(0.0), time.value + 2.0 * u].map(minutes);
    let message = format!("The pack lasts {low} to {high} (95 % sure), and {} are planned", minutes(planned));
    let mut finding = of_unit(proof, judged.finding(TIME_IS_LEFT.id, SUBJECT, message));
    if verdict != Verdict::Sound && !proof.is_trial() {
        // The same answer as of the reserve of the flight: what holds there holds here.
        let mends = Longer::of(proof, supply, &chain, (&time, planned)).words(chain.plan.coldest);
        finding = mends.into_iter().fold(finding, |finding, mend| finding.mend(mend));
    }
    finding.figure = Some(FigureId("craft.landing_reserve".into()));
    let figure = Lines::of(proof)
        .given("planned", planned, Unit::Seconds, "plan")
        .result("how long the pack lasts", &time, Unit::Seconds, "figure feed.flight_time")
        .figure(
            "craft.landing_reserve",
            "time left after the planned flight",
            (&share, Unit::Percent),
            "100 % · (how long the pack lasts - planned) / planned",
            DISC_SOURCE,
        );
    Answer { findings: vec![finding], figures: vec![figure] }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_supply::{check, is_sound, set};
    use expect_test::expect;

    #[test]
    fn a_fifth_of_the_time_to_spare_is_sound() {
        is_sound(&TIME_IS_LEFT);
        // Two ways to say one landing are no contradiction.
        check(&TIME_IS_LEFT, |craft| set(craft, "craft.land_at", "3.72 V"), expect![""]);
    }

    #[test]
    fn little_left_is_tight_and_nothing_left_is_broken() {
        check(
            &TIME_IS_LEFT,
            |craft| set(craft, "craft.planned_flight", "6.4 min"),
            expect![[r#"
                tight · time left at landing · 9.063 % · 74 %
                  The pack lasts 5.4 min to 8.5 min (95 % sure), and 6.4 min are planned
                  > Plan 4.9 min at most.
                  > Or take a pack of about 1050 mAh of the same make: the 44 g that it is heavier are counted.
                  ? merit of the drive, figure of merit times efficiency of motor, controller and wires, by class of craft
            "#]],
        );
        check(
            &TIME_IS_LEFT,
            |craft| set(craft, "craft.planned_flight", "9 min"),
            expect![[r#"
                broken · time left at landing · -22.444 % · under 1 %
                  The pack lasts 5.4 min to 8.5 min (95 % sure), and 9 min are planned
                  > Plan 4.9 min at most.
                  > No pack of the same make of up to twice its charge carries the plan: it weighs more as well.
            "#]],
        );
    }

    #[test]
    fn a_charge_and_a_voltage_that_are_not_one_landing_are_told() {
        check(
            &TIME_IS_LEFT,
            |craft| set(craft, "craft.land_at", "3.5 V"),
            expect![[r#"
            tight · charge and voltage at landing
              Two landings are planned: at 25 % of charge, where a resting cell has 3.72 V, and at 3.5 V, where it has 4 % left; the charge counts
              > Clear one of the two: land_charge, or land_at.
        "#]],
        );
    }
}
