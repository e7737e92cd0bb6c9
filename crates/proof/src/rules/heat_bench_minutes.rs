//! Does the transmitter stay cool enough on the bench?

use crate::rule::rule;
use crate::standing::standing;
use crate::subject::lacking;
use crate::supply::{Does, FOR_EVER, HeatFacts, Supply, Where, minutes, of_unit};
use crate::supply_limits::BENCH_MINUTES;
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use power::STILL_AIR_SOURCE;
use quantity::{FigureId, Unit};

rule! {
    /// Does the transmitter stay cool enough on the bench?
    ///
    /// ## Why
    /// In flight air carries five to ten times as much heat away as still air does. On the bench a unit that flies cool is at its limit within
    /// minutes: it folds its level back, warns, shuts down, and in the end unsolders itself.
    ///
    /// ## Sound when
    /// It takes five minutes or longer from cold to its limit temperature, at what it sends on the bench; under two minutes is broken.
    ///
    /// ## Rests on
    /// What it draws at standby where it stands by until armed, else at its level, less what it radiates; its size or cooling surface, its mass, its
    /// sink; still air at the hottest temperature, or a small fan where one is said to blow; limit temperature. Boards and frame take heat along:
    /// by custom it lasts 1.5 to 3 times as long as its own mass says.
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
    let judged = standing(proof, &found, &BENCH_MINUTES);
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
        time => format!("On the bench {level} {how} it reaches its limit in {}", minutes(time)),
    };
    let mut finding: Finding = of_unit(proof, judged.finding(COOL_ON_THE_BENCH.id, SUBJECT, message));
    if verdict != Verdict::Sound {
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
        finding = finding.mend("Power it for as long as you look at it, and no longer.");
    }
    finding.figure = Some(FigureId("heat.bench_minutes".into()));
    let drawn = heat.draw(slots.values(), does);
    let figure = Lines::of(proof)
        .given("drawn on the bench", drawn, Unit::Watts, level)
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
