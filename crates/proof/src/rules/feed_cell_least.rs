//! Does no cell fall so low at a punch that it is damaged?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::supply::{spoilt, volts};
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
    /// Land with more charge, keep the pack warm until take-off, limit the throttle, retire a pack of which one cell falls first.
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
        if cold.get() < 20.0 {
            finding = finding.mend("Keep the pack warm until take-off: at 25 °C its cells resist much less.");
        }
        finding = finding
            .mend("Land with more charge, or limit the throttle.")
            .mend("Charge no pack unwatched of which a cell fell that low, and retire one that swells.");
    }
    finding.figure = Some(FigureId("feed.cell_least".into()));
    let figure = Lines::of(proof)
        .given("charge at landing", chain.plan.land.get(), Unit::Percent, "plan")
        .given("pack at take-off", cold.get(), Unit::Celsius, "plan, or the coldest air")
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
                broken · weakest cell at a punch · -0.091 V · 13 %
                  At a punch with 25 % left, the pack at -10 °C, its weakest cell falls to 2.41 V
                  > Keep the pack warm until take-off: at 25 °C its cells resist much less.
                  > Land with more charge, or limit the throttle.
                  > Charge no pack unwatched of which a cell fell that low, and retire one that swells.
                  ? No single measurement would change this verdict, nor would two: it is 87 % certain now, and would be 87 % certain with every fact measured.
            "#]],
        );
    }
}
