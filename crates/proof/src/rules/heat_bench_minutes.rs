//! Does the transmitter stay cool enough on the bench?

use crate::rule::rule;
use crate::standing::standing;
use crate::subject::lacking;
use crate::supply::{
    Does, FOR_EVER, HeatFacts, ROOM, Supply, Where, air_too_hot, limit_in_doubt, minutes, of_unit,
};
use crate::supply_limits::{BENCH_MINUTES, BENCH_PLAN};
use crate::working::Lines;
use crate::{Answer, Finding, Margin, Proof, Verdict};
use power::STILL_AIR_SOURCE;
use quantity::{FigureId, Quantity, Unit};

rule! {
    /// Does the transmitter stay cool enough on the bench?
    ///
    /// ## Why
    /// In flight air carries five to ten times as much heat away as still air does. On the bench a unit that flies cool is at its limit within
    /// minutes: it folds its level back, warns, shuts down, and in the end unsolders itself.
    ///
    /// ## Sound when
    /// It takes five minutes or longer from cold to its limit temperature, at what it sends on the bench; under two minutes is broken. Where
    /// a time on the bench is planned, that is at most 60 % of it; a plan longer than the time to its limit is broken.
    ///
    /// ## Rests on
    /// What it draws at standby where it stands by until armed, else at its level, less what it radiates; its size or cooling surface, its mass, its
    /// sink; still air at the hottest temperature, or a small fan where one is said to blow; limit temperature. Boards and frame take heat along:
    /// by custom it lasts 1.5 to 3 times as long as its own mass says. The planned time on the bench, if one is said.
    ///
    /// ## Mend
    /// Standby until armed, the least level, a fan across its hot face.
    COOL_ON_THE_BENCH = "heat.bench_minutes", run
}

const SUBJECT: &str = "transmitter on the bench";

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    match &supply.model().heat {
        Ok(heat) => judge(proof, supply, heat).unwrap_or_default(),
        Err(lack) => Answer::of(of_unit(proof, lacking(COOL_ON_THE_BENCH.id, SUBJECT, lack))),
    }
}

fn judge(proof: &Proof, supply: &Supply, heat: &HeatFacts) -> Option<Answer> {
    let slots = &supply.model().slots;
    let (does, at) = (heat.before_arming(), if heat.fan { Where::Fan } else { Where::Bench });
    let time = |values: &[f64]| heat.time_to(values, heat.limit.at(values), at, does);
    let found = slots.linear(proof, &slots.sloped(time)?);
    // The least that anybody needs, and what is planned: the worse of the two speaks.
    let by_itself = standing(proof, &found, &BENCH_MINUTES);
    let planned = heat.bench.as_ref().ok().map(|time| time.get()).filter(|time| *time > 0.0);
    let share = |planned: f64| slots.sloped(|values| Some(100.0 * planned / time(values)?.max(1.0)));
    let share = planned.and_then(share).map(|share| slots.linear(proof, &share));
    let by_plan = share.as_ref().map(|share| standing(proof, share, &BENCH_PLAN));
    // Verdicts go from broken up.
    let plan_speaks = by_plan.as_ref().is_some_and(|plan| plan.verdict < by_itself.verdict);
    let judged = by_plan.filter(|_| plan_speaks).unwrap_or(by_itself);
    let verdict = judged.verdict;
    let of = |at: Where, does: Does| heat.time_to(slots.values(), slots.of(heat.limit), at, does);
    let told = |time: f64| {
        if time >= FOR_EVER { "never reached".to_owned() } else { format!("reached in {}", minutes(time)) }
    };
    let level = if does == Does::Waits {
        "standing by".to_owned()
    } else {
        format!("at {}", heat.levels[heat.set].out)
    };
    let how = if heat.fan { "before the fan" } else { "in still air" };
    let message = match found.value {
        time if time >= FOR_EVER => format!("On the bench {level} {how} it never reaches its limit"),
        time => {
            let plan = match planned {
                Some(planned) if verdict != Verdict::Sound => {
                    format!(", and {} are planned", minutes(planned))
                }
                _ => String::new(),
            };
            format!("On the bench {level} {how} it reaches its limit in {}{plan}", minutes(time))
        }
    };
    let mut finding: Finding = of_unit(proof, judged.finding(COOL_ON_THE_BENCH.id, SUBJECT, message));
    if let Some(air) = heat.air_at_limit(slots.values(), at) {
        let told = (COOL_ON_THE_BENCH.id, SUBJECT);
        let room = heat.in_a_room().time_to(slots.values(), slots.of(heat.limit), at, does)?;
        let then = if room >= FOR_EVER {
            "never reached".to_owned()
        } else {
            format!("reached in {}", minutes(room))
        };
        finding = air_too_hot(proof, (slots, heat), told, (air, "on the bench"))?
            .mend(format!("Do not power it there. In a room at {ROOM} its limit is {then}."))
            .mend(limit_in_doubt(heat));
    } else if verdict != Verdict::Sound {
        if !heat.fan
            && let Some(time) = of(Where::Fan, does)
        {
            finding = finding
                .mend(format!("Let a small fan blow across its hot face: then its limit is {}.", told(time)));
        }
        if !heat.stands_by
            && let Some(time) = of(at, Does::Waits)
        {
            finding =
                finding.mend(format!("Hold it at standby until armed: its limit is then {}.", told(time)));
        }
        finding = finding.mend(match found.value {
            time if planned.is_some_and(|planned| planned > 1e-2 * BENCH_PLAN.tight * time) => {
                format!("Power it for {} at a time, and no longer.", minutes(1e-2 * BENCH_PLAN.tight * time))
            }
            _ => "Power it for as long as you look at it, and no longer.".to_owned(),
        });
    }
    if found.value >= FOR_EVER && verdict == Verdict::Sound {
        finding.figure = Some(FigureId("heat.bench_room".into()));
        // No number says never: what is in hand is told in degrees.
        let room = |values: &[f64]| Some(heat.limit.at(values) - heat.steady(values, None, at, does)?);
        let room = slots.linear(proof, &slots.sloped(room)?);
        let uncertainty = quantity::standard_uncertainty(&room, &proof.ledger());
        let quantity = Quantity { value: room.value, unit: Unit::Celsius };
        finding.margin = Some(Margin { quantity, uncertainty: Some(uncertainty) });
        let figure = Lines::of(proof)
            .given("drawn on the bench", heat.draw(slots.values(), does), Unit::Watts, level)
            .given("air", heat.hottest.get(), Unit::Celsius, "hottest air of the plan")
            .facts(&room)
            .figure(
                "heat.bench_room",
                "degrees below its limit on the bench, for ever",
                (&room, Unit::Celsius),
                "limit - temperature at length: Σ area · (h(T, air) + ε·σ·(T² + Tₐ²)·(T + Tₐ)) · (T - Tₐ) = heat",
                STILL_AIR_SOURCE,
            );
        let figures = std::iter::once(figure).chain(crate::supply_figures::heat_figures(proof, supply));
        return Some(Answer { findings: vec![finding], figures: figures.collect() });
    }
    finding.figure = Some(FigureId("heat.bench_minutes".into()));
    let drawn = heat.draw(slots.values(), does);
    let mut lines = Lines::of(proof).given("drawn on the bench", drawn, Unit::Watts, level);
    if let Some(planned) = planned {
        lines = lines.given("planned on the bench", planned, Unit::Seconds, "plan");
    }
    let figure = lines
        .given(
            "turned to heat",
            heat.heat(slots.values(), does).ok()?.get(),
            Unit::Watts,
            "drawn less radiated",
        )
        .given("air", heat.hottest.get(), Unit::Celsius, "hottest air of the plan")
        .given(
            "steady in still air",
            heat.steady(slots.values(), None, Where::Bench, does)?,
            Unit::Celsius,
            "if nothing shut it down",
        )
        .facts(&found)
        .figure(
            "heat.bench_minutes",
            "time to its limit on the bench",
            (&found, Unit::Seconds),
            "C · dT/dt = heat - Σ area · (h(T, air) + ε·σ·(T² + Tₐ²)·(T + Tₐ)) · (T - Tₐ)",
            STILL_AIR_SOURCE,
        );
    let mut figures = vec![figure];
    figures.extend(crate::supply_figures::heat_figures(proof, supply));
    Some(Answer { findings: vec![finding], figures })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_supply::{check, is_sound, set};
    use expect_test::expect;

    #[test]
    fn standing_by_before_a_fan_is_sound() {
        is_sound(&COOL_ON_THE_BENCH);
    }

    #[test]
    fn a_few_minutes_in_still_air_are_tight() {
        check(
            &COOL_ON_THE_BENCH,
            |craft| {
                set(craft, "craft.standby", "no");
                set(craft, "craft.bench_fan", "no");
                set(craft, "craft.bench_time", "");
                set(craft, "vtx.level[0].draw", "6 W, data sheet");
            },
            expect![[r#"
                tight · transmitter on the bench · 70.524 s · 92 %
                  On the bench at 25 mW in still air it reaches its limit in 3.2 min
                  > Let a small fan blow across its hot face: then its limit is never reached.
                  > Hold it at standby until armed: its limit is then never reached.
                  > Power it for as long as you look at it, and no longer.
                  ? No single measurement would change this verdict; two would: heat that boards and frame take (by custom: on the bench units last 1.5 to 3 times as long as their own mass says: the frame takes heat) and supply power of level 1 of "Lanner small air unit". They take its certainty from 92 % to 94 %.
            "#]],
        );
    }

    #[test]
    fn a_plan_beyond_the_time_to_its_limit_is_broken_and_near_it_tight() {
        check(
            &COOL_ON_THE_BENCH,
            |craft| {
                set(craft, "craft.standby", "no");
                set(craft, "craft.bench_fan", "no");
                set(craft, "vtx.level[0].draw", "6 W, data sheet");
            },
            expect![[r#"
                broken · transmitter on the bench · -25.968 % · 22 %
                  On the bench at 25 mW in still air it reaches its limit in 3.2 min, and 4 min are planned
                  > Let a small fan blow across its hot face: then its limit is never reached.
                  > Hold it at standby until armed: its limit is then never reached.
                  > Power it for 114 s at a time, and no longer.
                  ? heat that boards and frame take (by custom: on the bench units last 1.5 to 3 times as long as their own mass says: the frame takes heat)
            "#]],
        );
        check(
            &COOL_ON_THE_BENCH,
            |craft| {
                set(craft, "craft.standby", "no");
                set(craft, "craft.bench_fan", "no");
                set(craft, "craft.bench_time", "10 min");
                set(craft, "vtx.level[0].draw", "5 W, data sheet");
            },
            expect![[r#"
                broken · transmitter on the bench · -113.221 % · 4 %
                  On the bench at 25 mW in still air it reaches its limit in 4.7 min, and 10 min are planned
                  > Let a small fan blow across its hot face: then its limit is never reached.
                  > Hold it at standby until armed: its limit is then never reached.
                  > Power it for 2.8 min at a time, and no longer.
            "#]],
        );
    }

    #[test]
    fn less_than_two_minutes_is_broken() {
        check(
            &COOL_ON_THE_BENCH,
            |craft| {
                set(craft, "craft.standby", "no");
                set(craft, "craft.bench_fan", "no");
                set(craft, "craft.bench_time", "");
                set(craft, "vtx.level[0].draw", "14 W, data sheet");
            },
            expect![[r#"
                broken · transmitter on the bench · -61.196 s · 0 %
                  On the bench at 25 mW in still air it reaches its limit in 59 s
                  > Let a small fan blow across its hot face: then its limit is reached in 92 s.
                  > Hold it at standby until armed: its limit is then never reached.
                  > Power it for as long as you look at it, and no longer.
            "#]],
        );
    }

    #[test]
    fn air_hotter_than_its_limit_is_named() {
        check(
            &COOL_ON_THE_BENCH,
            |craft| {
                set(craft, "craft.hottest", "50 °C");
                set(craft, "vtx.limit_temperature", "45 °C, data sheet");
            },
            expect![[r#"
                broken · transmitter on the bench · -5 °C · 0 %
                  The air on the bench is at 50 °C, and its limit is 45 °C: no level and no fan keeps it below that
                  > Do not power it there. In a room at 20 °C its limit is never reached.
                  > Or look the limit temperature of Lanner small air unit up again: few parts have one as low.
            "#]],
        );
    }

    #[test]
    fn without_its_limit_it_is_unknown() {
        check(
            &COOL_ON_THE_BENCH,
            |craft| set(craft, "vtx.limit_temperature", ""),
            expect![[r#"
            unknown · transmitter on the bench
              Nobody can say yet: the limit temperature of "Lanner small air unit" is not known
              > Measure or look up the limit temperature of "Lanner small air unit".
        "#]],
        );
    }
}
