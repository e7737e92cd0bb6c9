//! Does no cell fall so low at a punch that it is damaged?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::{standing, would_be_sound};
use crate::supply::{Moment, POCKET, Supply, spoilt, volts, whole_between};
use crate::supply_limits::CELL_LEAST;
use crate::working::Lines;
use crate::{Answer, Proof, Verdict};
use power::CELL_SOURCE;
use quantity::{FigureId, Unit};

rule! {
    /// Does no cell fall so low at a punch that it is damaged?
    ///
    /// ## Why
    /// Below some 2.5 V under load a lithium cell is damaged for good, though the craft still flies: it swells, its resistance grows, and it may
    /// catch fire when charged again. Cold cells and tired ones fall that low with charge left.
    ///
    /// ## Sound when
    /// At a punch at the charge of landing the weakest cell keeps 2.8 V or more. Less is tight, less than 2.5 V broken.
    ///
    /// ## Rests on
    /// The same punch as the video's: charge, warmth and resistance of the cells, or of each cell where they were measured one by one.
    ///
    /// ## Mend
    /// Land with more charge, keep the pack warm until take-off, limit the throttle, retire a pack of which one cell falls first. What is named
    /// with a number was tried, and is sound.
    CELLS_STAND_IT = "feed.cell_least", run
}

const SUBJECT: &str = "weakest cell at a punch";

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    let chain = match supply.chain() {
        Ok(chain) => chain,
        Err(lack) => return spoilt(proof, CELLS_STAND_IT.id, SUBJECT, &lack),
    };
    let Some(found) = supply.weakest() else { return Answer::default() };
    let slots = &supply.model().slots;
    let weakest = slots.linear(proof, found);
    let judged = standing(proof, &weakest, &CELL_LEAST);
    let verdict = judged.verdict;
    let (land, cold) = (rounded(chain.plan.land.get(), 0), chain.plan.pack_at);
    let message = match found.value {
        value if value > 0.0 => {
            format!(
                "At a punch with {land} % left, the pack at {cold}, its weakest cell falls to {}",
                volts(value)
            )
        }
        _ => format!("At a punch with {land} % left, the pack at {cold}, no cell holds what is drawn"),
    };
    let mut finding = judged.finding(CELLS_STAND_IT.id, SUBJECT, message).at([chain.pack.place.clone()]);
    if verdict != Verdict::Sound {
        if !proof.is_trial() {
            finding = tried(proof, supply).into_iter().fold(finding, |finding, mend| finding.mend(mend));
        }
        finding = finding
            .mend("Charge no pack unwatched of which a cell fell that low, and retire one that swells.");
    }
    finding.figure = Some(FigureId("feed.cell_least".into()));
    let figure = Lines::of(proof)
        .given("charge at landing", chain.plan.land.get(), Unit::Percent, "plan")
        .given("pack at take-off", cold.get(), Unit::Celsius, "plan, or the coldest air")
        .given("least that it should keep", CELL_LEAST.tight, Unit::Volts, CELL_LEAST.source.place)
        .facts(&weakest)
        .figure(
            "feed.cell_least",
            "voltage of the weakest cell at a punch",
            (&weakest, Unit::Volts),
            "U(charge) - I·R(charge, T) - 2·R·T/F·asinh(I / 2I₀) - slow voltages, of the cell that has the least",
            CELL_SOURCE,
        );
    Answer { findings: vec![finding], figures: vec![figure] }
}

/// What keeps its weakest cell up, each tried: a warm pack, more charge at landing, less throttle; where none does alone, with a warm pack.
fn tried(proof: &Proof, supply: &Supply) -> Vec<String> {
    let keeps = |supply: &Supply, moment: &Moment| {
        let found = supply.weakest_at(moment);
        found.is_some_and(|found| {
            would_be_sound(proof, &supply.model().slots.linear(proof, &found), &CELL_LEAST)
        })
    };
    let Ok(chain) = supply.chain() else { return Vec::new() };
    let moment = chain.moment();
    let mut mends = Vec::new();
    let warmed = supply.warmed();
    if let Some(warm) = warmed.filter(|warm| keeps(warm, &Moment { pack_at: POCKET, ..moment })) {
        let value = warm.weakest().map_or(0.0, |found| found.value);
        mends.push(format!(
            "Keep the pack warm until take-off: at {POCKET} its weakest cell keeps {} instead of {}.",
            volts(value),
            volts(supply.weakest().map_or(0.0, |found| found.value))
        ));
    }
    let [land, throttle] = [moment.charge, moment.throttle].map(|value| rounded(value, 0));
    let charge = |charge: f64| keeps(supply, &Moment { charge, ..moment });
    if let Some(charge) = whole_between(moment.charge, 90.0, charge) {
        let costs = chain.charge_costs(supply.model().slots.values(), charge);
        mends.push(format!("Land at {} % instead of {land} %. It costs {costs}.", rounded(charge, 0)));
    }
    let limit = |throttle: f64| keeps(supply, &Moment { throttle, ..moment });
    if let Some(limit) = whole_between(moment.throttle, LEAST_THROTTLE, limit) {
        let costs = chain.throttle_costs(supply.model().slots.values(), limit);
        mends.push(format!(
            "Limit the throttle to {} % instead of {throttle} %. It costs {costs}.",
            rounded(limit, 0)
        ));
    }
    if let Some(warm) = warmed.filter(|_| mends.is_empty()) {
        let warm_at = |charge: f64| keeps(warm, &Moment { pack_at: POCKET, charge, ..moment });
        if let Some(charge) = whole_between(moment.charge, 90.0, warm_at) {
            mends.push(format!(
                "Keep the pack warm until take-off, {POCKET}, and land at {} % instead of {land} %.",
                rounded(charge, 0)
            ));
        }
    }
    if mends.is_empty() {
        mends.push(
            "No charge at landing and no limit of the throttle tried keeps it up: take a pack of less resistance."
                .to_owned(),
        );
    }
    mends
}

/// Throttles below this are no limit but another craft, in %.
const LEAST_THROTTLE: f64 = 50.0;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_supply::{check, is_sound, set};
    use expect_test::expect;

    #[test]
    fn cells_well_above_their_least_are_sound() {
        is_sound(&CELLS_STAND_IT);
    }

    #[test]
    fn tired_cells_in_the_cold_fall_too_low() {
        check(
            &CELLS_STAND_IT,
            |craft| {
                set(craft, "pack.cell_resistance", "16 mΩ, measured");
                set(craft, "craft.pack_temperature", "-10 °C");
            },
            expect![[r#"
                broken · weakest cell at a punch · -0.091 V · 16 %
                  At a punch with 25 % left, the pack at -10 °C, its weakest cell falls to 2.41 V
                  > Keep the pack warm until take-off: at 25 °C its weakest cell keeps 3 V instead of 2.41 V.
                  > Charge no pack unwatched of which a cell fell that low, and retire one that swells.
                  ? No single measurement would change this verdict; two would: temperature of the pack (by custom: nobody knows the temperature of a pack in flight better than within 4 K) and slow part of its cells' resistance, which a load test tells (by custom: cells of one resistance on the meter differ by a quarter in what is slow). They take its certainty from 84 % to 88 %.
            "#]],
        );
    }
}
