//! Does the level that the range is reckoned with hold when it is hot?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::supply::{HeatFacts, Supply, of_unit, spoilt};
use crate::supply_limits::FOLD_BACK;
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{PartKind, air};
use power::MOVING_AIR_SOURCE;
use quantity::{FigureId, Unit};

rule! {
    /// Does the level that the range is reckoned with hold when it is hot?
    ///
    /// ## Why
    /// Units protect themselves by lowering their level, and say nothing. The range figure still assumes the level that was set: 3 to 13 dB
    /// are gone on a hot day.
    ///
    /// ## Sound when
    /// In flight, in the hottest air, it stays 10 K or more below the temperature at which it folds back.
    ///
    /// ## Rests on
    /// The temperature in flight at the level set, and the fold-back temperature of its sheet.
    ///
    /// ## Mend
    /// Set the level that holds, and reckon the range with that; or let more air pass it. Where the air itself is too warm, neither helps:
    /// fly when it is cooler.
    LEVEL_HOLDS = "heat.fold_back", run
}

const SUBJECT: &str = "level when hot";
/// Air so near the fold-back leaves nothing to warm up by, in K.
const NEAR_AIR: f64 = 1.0;

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    let heat = match &supply.model().heat {
        Ok(heat) => heat,
        Err(lack) => return spoilt(proof, LEVEL_HOLDS.id, SUBJECT, lack),
    };
    if heat.fold_back.is_none() {
        let unit = proof.places_of(PartKind::VideoTransmitter).next();
        let missing = unit.map(|unit| unit.part.item().missing(&air::FOLD_BACK.def)).into_iter().collect();
        return Answer::of(of_unit(proof, Finding::unknown(LEVEL_HOLDS.id, SUBJECT, missing)));
    }
    judge(proof, supply, heat).unwrap_or_default()
}

fn judge(proof: &Proof, supply: &Supply, heat: &HeatFacts) -> Option<Answer> {
    let slots = &supply.model().slots;
    let drive = supply.model().drive.as_ref().ok()?;
    let fold = heat.fold_back?;
    let margin = slots.sloped(|values| Some(fold.at(values) - heat.in_flight(values, drive, heat.set)?))?;
    let margin = slots.linear(proof, &margin);
    let judged = standing(proof, &margin, &FOLD_BACK);
    let verdict = judged.verdict;
    let values = slots.values();
    let hot = heat.in_flight(values, drive, heat.set)?;
    let [degrees, folds] = [hot, slots.of(fold)].map(|t| rounded(t, 0));
    let set = heat.levels[heat.set].out;
    let air = heat.hottest.get();
    let below = |by: f64| {
        (0..heat.set)
            .rev()
            .find(|level| heat.in_flight(values, drive, *level).is_some_and(|t| slots.of(fold) - t >= by))
    };
    let message = match verdict {
        Verdict::Broken if air > slots.of(fold) - NEAR_AIR => format!(
            "The range is reckoned with {set}, but the air alone is at {} °C and it folds back from {folds} °C on: it will at any level",
            rounded(air, 0)
        ),
        Verdict::Broken => {
            let to = match below(0.0) {
                Some(level) => heat.levels[level].out.to_string(),
                None if heat.set == 0 => "less than that".to_owned(),
                None => "its least".to_owned(),
            };
            format!(
                "The range is reckoned with {set}, but at {degrees} °C it folds back to {to}: it does so from {folds} °C on"
            )
        }
        _ => format!("At {set} it runs at {degrees} °C in flight, and folds back from {folds} °C on"),
    };
    let mut finding = of_unit(proof, judged.finding(LEVEL_HOLDS.id, SUBJECT, message));
    if verdict != Verdict::Sound {
        if let Some(level) = below(FOLD_BACK.tight) {
            finding =
                finding.mend(format!("Set {}, and look at the range with that.", heat.levels[level].out));
        }
        // What it has over the air hangs but little on how warm that is.
        let cooler = slots.of(fold) - FOLD_BACK.tight - (hot - air);
        let cooler = format!("fly when the air is at {} °C or less", rounded(cooler.floor(), 0));
        let wanted = heat.speed_for(values, slots.of(fold) - FOLD_BACK.tight, heat.set);
        finding = finding.mend(match wanted {
            Some(speed) => format!(
                "Let more air pass it: {} m/s keep it {} K below. Open the canopy behind it, or give it a sink plate on a thermal pad.",
                rounded((10.0 * speed).ceil() / 10.0, 1),
                rounded(FOLD_BACK.tight, 0)
            ),
            None => format!("No wind cools it that far in air of {} °C: {cooler}.", rounded(air, 0)),
        });
        if air > slots.of(fold) - NEAR_AIR {
            finding = finding.mend(format!(
                "Or look the fold-back temperature of {} up again: few parts have one as low.",
                heat.called
            ));
        }
    }
    finding.figure = Some(FigureId("heat.fold_back".into()));
    let figure = Lines::of(proof)
        .given("temperature in flight", hot, Unit::Celsius, "figure heat.in_flight")
        .facts(&margin)
        .figure(
            "heat.fold_back",
            "fold-back over the temperature in flight",
            (&margin, Unit::Celsius),
            "fold-back temperature - temperature in flight",
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
    fn a_level_that_holds_when_hot_is_sound() {
        is_sound(&LEVEL_HOLDS);
    }

    #[test]
    fn a_fold_back_near_what_it_runs_at_is_tight() {
        check(
            &LEVEL_HOLDS,
            |craft| set(craft, "vtx.fold_back", "58 °C, measured"),
            expect![[r#"
                tight · level when hot · 9.845 °C · 100 %
                  At 25 mW it runs at 48 °C in flight, and folds back from 58 °C on
                  > Let more air pass it: 6.2 m/s keep it 10 K below. Open the canopy behind it, or give it a sink plate on a thermal pad.
            "#]],
        );
    }

    #[test]
    fn a_fold_back_below_what_it_runs_at_is_broken() {
        check(
            &LEVEL_HOLDS,
            |craft| {
                set(craft, "craft.level", "200 mW");
                set(craft, "vtx.fold_back", "55 °C, measured");
            },
            expect![[r#"
                broken · level when hot · -2.465 °C · 21 %
                  The range is reckoned with 200 mW, but at 57 °C it folds back to 25 mW: it does so from 55 °C on
                  > Let more air pass it: 22.5 m/s keep it 10 K below. Open the canopy behind it, or give it a sink plate on a thermal pad.
                  ? supply power of level 2 of "Lanner small air unit"
            "#]],
        );
    }

    #[test]
    fn air_above_the_fold_back_is_named_and_no_more_of_it_advised() {
        check(
            &LEVEL_HOLDS,
            |craft| {
                set(craft, "craft.hottest", "45 °C");
                set(craft, "vtx.fold_back", "44 °C, measured");
            },
            expect![[r#"
                broken · level when hot · -18.916 °C · 0 %
                  The range is reckoned with 25 mW, but the air alone is at 45 °C and it folds back from 44 °C on: it will at any level
                  > No wind cools it that far in air of 45 °C: fly when the air is at 16 °C or less.
                  > Or look the fold-back temperature of Lanner small air unit up again: few parts have one as low.
            "#]],
        );
    }

    #[test]
    fn where_no_wind_cools_it_far_enough_none_is_advised() {
        check(
            &LEVEL_HOLDS,
            |craft| {
                set(craft, "craft.hottest", "45 °C");
                set(craft, "vtx.fold_back", "54 °C, measured");
            },
            expect![[r#"
                broken · level when hot · -8.916 °C · 0 %
                  The range is reckoned with 25 mW, but at 63 °C it folds back to less than that: it does so from 54 °C on
                  > No wind cools it that far in air of 45 °C: fly when the air is at 26 °C or less.
            "#]],
        );
    }

    #[test]
    fn without_a_fold_back_it_is_unknown() {
        check(
            &LEVEL_HOLDS,
            |craft| set(craft, "vtx.fold_back", ""),
            expect![[r#"
            unknown · level when hot
              Nobody can say yet: the fold-back temperature of "Lanner small air unit" is not known
              > Measure or look up the fold-back temperature of "Lanner small air unit".
        "#]],
        );
    }
}
