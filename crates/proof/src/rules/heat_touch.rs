//! Is it safe to take in the hand after flight or bench?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::supply::{HeatFacts, Supply, Where, minutes, of_unit, spoilt};
use crate::supply_limits::TOUCH;
use crate::working::Lines;
use crate::{Answer, Proof, Verdict};
use power::{Contact, Skin, TOUCH_SOURCE, touch_limit};
use quantity::{FigureId, Unit};

rule! {
    /// Is it safe to take in the hand after flight or bench?
    ///
    /// ## Why
    /// Metal at 60 °C burns within seconds, and who pulls a plug holds on for longer than he thinks. This is the usual caution; local
    /// rules and licensed practice go before it.
    ///
    /// ## Sound when
    /// Its case is at most 55 °C when it is handled: after a flight in the hottest air, or after its time on the bench. Over 70 °C is broken: even a
    /// brush burns.
    ///
    /// ## Rests on
    /// The temperature in flight, and that after the time on the bench; the case as warm as the board.
    ///
    /// ## Mend
    /// Wait: how long it takes unpowered in still air is told. Hold it by the frame.
    SAFE_TO_TOUCH = "heat.touch", run
}

const SUBJECT: &str = "case in the hand";

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    let heat = match &supply.model().heat {
        Ok(heat) => heat,
        Err(lack) => return spoilt(proof, SAFE_TO_TOUCH.id, SUBJECT, lack),
    };
    judge(proof, supply, heat).unwrap_or_default()
}

fn judge(proof: &Proof, supply: &Supply, heat: &HeatFacts) -> Option<Answer> {
    let slots = &supply.model().slots;
    let drive = supply.model().drive.as_ref().ok();
    let bench = |values: &[f64]| -> Option<f64> {
        let time = heat.bench.as_ref().ok()?;
        let at = if heat.fan { Where::Fan } else { Where::Bench };
        // It shuts down at its limit and grows no hotter.
        Some(heat.after(values, at, heat.before_arming(), *time)?.min(heat.limit.at(values)))
    };
    let flown = |values: &[f64]| Some(heat.in_flight(values, drive?, heat.set)?.min(heat.limit.at(values)));
    let hottest = |values: &[f64]| match (bench(values), flown(values)) {
        (Some(bench), Some(flown)) => Some(bench.max(flown)),
        (bench, flown) => bench.or(flown),
    };
    let found = slots.linear(proof, &slots.sloped(hottest)?);
    let judged = standing(proof, &found, &TOUCH);
    let verdict = judged.verdict;
    let values = slots.values();
    let after = match (bench(values), flown(values)) {
        (Some(bench), Some(flown)) if bench > flown => "after the bench",
        (Some(_), None) => "after the bench",
        _ => "after a flight",
    };
    let degrees = rounded(found.value, 0);
    let held = touch_limit(Skin::Metal, Contact::Held).get();
    let message = match verdict {
        Verdict::Sound => format!("Its case is at {degrees} °C {after}"),
        Verdict::Broken => format!("Its case is at {degrees} °C {after}: even a brush of the hand burns"),
        _ => format!("Its case is at {degrees} °C {after}: it burns who holds it"),
    };
    let mut finding = of_unit(proof, judged.finding(SAFE_TO_TOUCH.id, SUBJECT, message));
    if verdict != Verdict::Sound {
        let cools = heat.cools_in(values, found.value, held);
        finding = finding.mend(match cools {
            Some(time) => format!("Let it cool {} before handling, and hold it by the frame.", minutes(time)),
            None => "Let it cool in the shade before handling, and hold it by the frame.".to_owned(),
        });
    }
    finding.figure = Some(FigureId("heat.touch".into()));
    let mut lines = Lines::of(proof);
    if let Some(bench) = bench(values) {
        lines =
            lines.given("after the bench", bench, Unit::Celsius, "at most its limit, where it shuts down");
    }
    if let Some(flown) = flown(values) {
        lines = lines.given("after a flight", flown, Unit::Celsius, "steady, hottest air");
    }
    let figure =
        lines.given("metal that may be held", held, Unit::Celsius, TOUCH_SOURCE.line()).facts(&found).figure(
            "heat.touch",
            "temperature of the case when handled",
            (&found, Unit::Celsius),
            "the hotter of bench and flight",
            TOUCH_SOURCE,
        );
    Some(Answer { findings: vec![finding], figures: vec![figure] })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_supply::{check, is_sound, set};
    use expect_test::expect;

    #[test]
    fn a_case_cooled_by_the_wash_is_sound() {
        is_sound(&SAFE_TO_TOUCH);
    }

    #[test]
    fn a_warm_case_is_tight() {
        check(
            &SAFE_TO_TOUCH,
            |craft| {
                set(craft, "craft.standby", "no");
                set(craft, "craft.bench_fan", "no");
                set(craft, "craft.bench_time", "2 min");
            },
            expect![[r#"
                tight · case in the hand · 5.332 °C · 83 %
                  Its case is at 65 °C after the bench: it burns who holds it
                  > Let it cool 2.2 min before handling, and hold it by the frame.
                  ? heat that boards and frame take (by custom: on the bench units last 1.5 to 3 times as long as their own mass says: the frame takes heat)
            "#]],
        );
    }

    #[test]
    fn a_hot_case_is_broken() {
        check(
            &SAFE_TO_TOUCH,
            |craft| {
                set(craft, "craft.standby", "no");
                set(craft, "craft.bench_fan", "no");
                set(craft, "craft.level", "200 mW");
            },
            expect![[r#"
                broken · case in the hand · -20 °C · 0 %
                  Its case is at 90 °C after the bench: even a brush of the hand burns
                  > Let it cool 3.9 min before handling, and hold it by the frame.
            "#]],
        );
    }

    #[test]
    fn what_lacks_is_told_of_the_bench() {
        check(&SAFE_TO_TOUCH, |craft| set(craft, "vtx.limit_temperature", ""), expect![[r#""#]]);
    }
}
