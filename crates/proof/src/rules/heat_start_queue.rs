//! Does it stay cool while waiting for the start?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing;
use crate::supply::{
    Does, FOR_EVER, HeatFacts, Supply, Where, air_too_hot, limit_in_doubt, minutes, of_unit, spoilt,
};
use crate::supply_limits::START_QUEUE;
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use power::STILL_AIR_SOURCE;
use quantity::{FigureId, Unit};

rule! {
    /// Does it stay cool while waiting for the start?
    ///
    /// ## Why
    /// On the line a craft stands powered without any wind, often in the sun, and the race begins with a hot transmitter: its level folds back when
    /// all others send at theirs.
    ///
    /// ## Sound when
    /// The wait is at most 60 % of the time to its limit there; longer than that time is broken.
    ///
    /// ## Rests on
    /// The wait of the plan, what it sends before arming, still air at the hottest temperature, 15 K more in the sun.
    ///
    /// ## Mend
    /// Power up last, hold standby until armed, stand in the shade.
    COOL_ON_THE_LINE = "heat.start_queue", run
}

const SUBJECT: &str = "wait on the line";

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    let heat = match &supply.model().heat {
        Ok(heat) => heat,
        Err(lack) => return spoilt(proof, COOL_ON_THE_LINE.id, SUBJECT, lack),
    };
    match &heat.wait {
        Ok(wait) => judge(proof, supply, heat, wait.get()).unwrap_or_default(),
        Err(missing) => {
            Answer::of(of_unit(proof, Finding::unknown(COOL_ON_THE_LINE.id, SUBJECT, vec![missing.clone()])))
        }
    }
}

fn judge(proof: &Proof, supply: &Supply, heat: &HeatFacts, wait: f64) -> Option<Answer> {
    let slots = &supply.model().slots;
    let does = heat.before_arming();
    let time = |values: &[f64]| heat.time_to(values, heat.limit.at(values), Where::Line, does);
    let share = slots.linear(proof, &slots.sloped(|values| Some(100.0 * wait / time(values)?.max(1.0)))?);
    let limit = time(slots.values())?;
    let judged = standing(proof, &share, &START_QUEUE);
    let verdict = judged.verdict;
    let there = if heat.sun { "in the sun" } else { "without wind" };
    let message = match (verdict, limit) {
        (_, limit) if limit >= FOR_EVER => {
            format!("Waiting {} {there} never takes it to its limit", minutes(wait))
        }
        (Verdict::Broken, _) => {
            format!(
                "Waiting {} {there} overheats it: it is at its limit in {}",
                minutes(wait),
                minutes(limit)
            )
        }
        _ => format!(
            "Waiting {} {there} takes {} % of the {} to its limit",
            minutes(wait),
            rounded(share.value, 0),
            minutes(limit)
        ),
    };
    let mut finding = of_unit(proof, judged.finding(COOL_ON_THE_LINE.id, SUBJECT, message));
    if let Some(air) = heat.air_at_limit(slots.values(), Where::Line) {
        let there = if heat.sun { "on the line, in the sun," } else { "on the line" };
        finding = air_too_hot(proof, (slots, heat), (COOL_ON_THE_LINE.id, SUBJECT), (air, there))?;
        let shade = heat.in_the_shade();
        finding = match shade.air_at_limit(slots.values(), Where::Line) {
            None => {
                let time = shade.time_to(slots.values(), slots.of(heat.limit), Where::Line, does)?;
                let then = if time >= FOR_EVER {
                    "never reached".to_owned()
                } else {
                    format!("reached in {}", minutes(time))
                };
                finding.mend(format!(
                    "Wait in the shade, in air of {}: there its limit is {then}.",
                    heat.hottest
                ))
            }
            Some(_) => finding.mend("Keep it off until the start, and fly when the air is cooler."),
        }
        .mend(limit_in_doubt(heat));
    } else if verdict != Verdict::Sound {
        if !heat.stands_by
            && let Some(time) = heat.time_to(slots.values(), slots.of(heat.limit), Where::Line, Does::Waits)
        {
            let then = if time >= FOR_EVER { "never".to_owned() } else { minutes(time) };
            finding = finding
                .mend(format!("Hold it at standby until armed: the time to its limit is then {then}."));
        }
        finding = finding.mend(format!(
            "Power up last: {} before the start at most.",
            minutes(1e-2 * START_QUEUE.tight * limit)
        ));
    }
    finding.figure = Some(FigureId("heat.start_queue".into()));
    let figure = Lines::of(proof)
        .given("wait", wait, Unit::Seconds, "plan")
        .given("time to its limit there", limit, Unit::Seconds, "still air, hottest temperature")
        .facts(&share)
        .figure(
            "heat.start_queue",
            "wait over the time to its limit",
            (&share, Unit::Percent),
            "100 % · wait / time to its limit on the line",
            STILL_AIR_SOURCE,
        );
    Some(Answer { findings: vec![finding], figures: vec![figure] })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_supply::{check, is_sound, set};
    use expect_test::expect;

    #[test]
    fn a_minute_at_standby_is_sound() {
        is_sound(&COOL_ON_THE_LINE);
    }

    #[test]
    fn a_long_wait_is_tight() {
        check(
            &COOL_ON_THE_LINE,
            |craft| {
                set(craft, "craft.standby", "no");
                set(craft, "craft.wait", "4 min");
            },
            expect![[r#"
                tight · wait on the line · 39.626 % · 92 %
                  Waiting 4 min without wind takes 60 % of the 6.6 min to its limit
                  > Hold it at standby until armed: the time to its limit is then never.
                  > Power up last: 4 min before the start at most.
                  ? No single measurement would change this verdict; two would: supply power of level 1 of "Lanner small air unit" and limit temperature of "Lanner small air unit". They take its certainty from 92 % to 95 %.
            "#]],
        );
    }

    #[test]
    fn a_longer_wait_in_the_sun_is_broken() {
        check(
            &COOL_ON_THE_LINE,
            |craft| {
                set(craft, "craft.standby", "no");
                set(craft, "craft.wait", "8 min");
                set(craft, "craft.in_sun", "yes");
            },
            expect![[r#"
                broken · wait on the line · -152.595 % · under 1 %
                  Waiting 8 min in the sun overheats it: it is at its limit in 3.2 min
                  > Hold it at standby until armed: the time to its limit is then never.
                  > Power up last: 114 s before the start at most.
            "#]],
        );
    }

    #[test]
    fn air_hotter_than_its_limit_is_named_and_shade_where_it_helps() {
        let hot = |sun: &'static str| {
            move |craft: &mut craft::Craft| {
                set(craft, "craft.hottest", if sun == "yes" { "40 °C" } else { "55 °C" });
                set(craft, "craft.in_sun", sun);
                set(craft, "vtx.limit_temperature", "50 °C, data sheet");
            }
        };
        check(
            &COOL_ON_THE_LINE,
            hot("yes"),
            expect![[r#"
            broken · wait on the line · -5 °C · 0 %
              The air on the line, in the sun, is at 55 °C, and its limit is 50 °C: no level and no fan keeps it below that
              > Wait in the shade, in air of 40 °C: there its limit is reached in 67 s.
              > Or look the limit temperature of Lanner small air unit up again: few parts have one as low.
        "#]],
        );
        check(
            &COOL_ON_THE_LINE,
            hot("no"),
            expect![[r#"
            broken · wait on the line · -5 °C · 0 %
              The air on the line is at 55 °C, and its limit is 50 °C: no level and no fan keeps it below that
              > Keep it off until the start, and fly when the air is cooler.
              > Or look the limit temperature of Lanner small air unit up again: few parts have one as low.
        "#]],
        );
    }

    #[test]
    fn without_a_wait_it_is_unknown() {
        check(
            &COOL_ON_THE_LINE,
            |craft| set(craft, "craft.wait", ""),
            expect![[r#"
            unknown · wait on the line
              Nobody can say yet: the wait on the line of "Wheatear" is not known
              > Measure or look up the wait on the line of "Wheatear".
        "#]],
        );
    }
}
