//! Does the supply outlast the longest load?

use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};
use firmware::SPARE_LEAST;
use quantity::Seconds;

rule! {
    /// Does the supply outlast the longest load?
    ///
    /// ## Why
    /// A unit whose power goes while it writes its own memory may not start again.
    ///
    /// ## Sound when
    /// A bench supply, or a pack that lasts for the longest load with a third in hand. Less in hand is tight, a pack that
    /// falls below 3.7 V a cell meanwhile broken.
    ///
    /// ## Rests on
    /// What the unit draws and how long it takes, by the recipe; the energy the pack still has. Common practice.
    ///
    /// ## Mend
    /// Use a bench supply, or a full pack of more capacity.
    SUPPLY_LASTS = "load.power", run
}

fn run(proof: &Proof) -> Answer {
    let Some((history, craft)) = proof.history() else { return Answer::default() };
    let mut answer = Answer::default();
    for batch in history.open_batches(craft) {
        for step in
            batch.plan.steps.iter().filter(|step| history.units_of(craft).any(|unit| unit.label == step.unit))
        {
            let unit = history.units.iter().find(|unit| unit.label == step.unit);
            let recipe = unit.and_then(|unit| history.recipe_of(unit));
            let (Some(takes), Some(watts)) = (step.minutes, recipe.and_then(|recipe| recipe.watts)) else {
                continue;
            };
            let subject = format!("supply for {}", step.unit);
            let finding =
                |verdict, words: String| Finding::new(SUPPLY_LASTS.id, verdict, subject.clone(), words);
            let Some(lasts) = batch.supply.minutes(watts) else {
                answer.findings.push(finding(Verdict::Sound, "A bench supply does not run out".to_owned()));
                continue;
            };
            let words = format!("The pack lasts {lasts:.0} min, loading may take {takes:.0} min");
            let verdict = match () {
                () if lasts < takes => Verdict::Broken,
                () if lasts * (1.0 - SPARE_LEAST) < takes => Verdict::Tight,
                () => Verdict::Sound,
            };
            let found = finding(verdict, words).margin(Seconds::new((lasts - takes) * 60.0), None);
            answer.findings.push(if verdict == Verdict::Sound {
                found
            } else {
                found.mend("Use a bench supply.")
            });
        }
    }
    answer
}

#[cfg(test)]
mod tests {
    use super::SUPPLY_LASTS;
    use crate::testing_history::{check_history, is_sound_history};
    use expect_test::expect;
    use firmware::Supply;

    #[test]
    fn a_bench_supply_is_sound() {
        is_sound_history(&SUPPLY_LASTS);
    }

    #[test]
    fn a_pack_that_would_run_out_is_broken() {
        let pack = |watt_hours| Supply::Pack { label: "P1".into(), watt_hours };
        check_history(
            &SUPPLY_LASTS,
            |history| history.batches[0].supply = pack(1.0),
            expect![[r#"
                broken · supply for A1 · The pack lasts 7 min, loading may take 8 min
                  > Use a bench supply.
            "#]],
        );
        check_history(
            &SUPPLY_LASTS,
            |history| history.batches[0].supply = pack(1.5),
            expect![[r#"
                tight · supply for A1 · The pack lasts 10 min, loading may take 8 min
                  > Use a bench supply.
            "#]],
        );
    }
}
