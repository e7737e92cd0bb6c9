//! Are the settings back as they were before the load?

use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};

rule! {
    /// Are the settings back as they were before the load?
    ///
    /// ## Why
    /// Loading sets channel, level, standby and region back. A craft then flies on somebody else's channel, or louder than
    /// is allowed here.
    ///
    /// ## Sound when
    /// Each setting written down before the load reads the same after it. Another value is broken, unread ones are tight.
    ///
    /// ## Rests on
    /// The settings you wrote down before and after. Common practice.
    ///
    /// ## Mend
    /// Set them back, and read them once more.
    SETTINGS_ARE_BACK = "load.settings_restored", run
}

fn run(proof: &Proof) -> Answer {
    let Some((history, craft)) = proof.history() else { return Answer::default() };
    let mut answer = Answer::default();
    // Of a unit that was loaded by other means it is asked once somebody wrote down how it reads afterwards.
    let loaded = |unit: &&firmware::Unit| unit.digest.is_some() || unit.settings_after.is_some();
    for unit in history.units_of(craft).filter(loaded).filter(|unit| !unit.settings_before.is_empty()) {
        let finding =
            |verdict, words: String| Finding::new(SETTINGS_ARE_BACK.id, verdict, unit.label.clone(), words);
        answer.findings.push(match unit.settings_lost() {
            None => finding(
                Verdict::Tight,
                format!("The settings of unit {} were not read after the load", unit.label),
            )
            .mend("Read them, and write them down."),
            Some(lost) if lost.is_empty() => finding(
                Verdict::Sound,
                format!("All settings of unit {} read as before the load", unit.label),
            ),
            Some(lost) => {
                let one = |(name, before, after): &(&str, &str, Option<&str>)| {
                    format!("{name} {before} → {}", after.unwrap_or("unread"))
                };
                let lost: Vec<String> = lost.iter().map(one).collect();
                finding(
                    Verdict::Broken,
                    format!("The load changed settings of unit {}: {}", unit.label, lost.join(", ")),
                )
                .mend("Set them back, and read them once more.")
            }
        });
    }
    answer
}

#[cfg(test)]
mod tests {
    use super::SETTINGS_ARE_BACK;
    use crate::testing_history::{check_history, is_sound_history};
    use expect_test::expect;

    #[test]
    fn settings_that_read_as_before_are_sound() {
        is_sound_history(&SETTINGS_ARE_BACK);
    }

    #[test]
    fn a_changed_level_is_broken_and_unread_ones_are_tight() {
        check_history(
            &SETTINGS_ARE_BACK,
            |history| {
                history.units[0].settings_before.insert("region".into(), "home".into());
                history.units[0].settings_after = Some([("level".to_owned(), "400 mW".to_owned())].into());
            },
            expect![[r#"
                broken · A1 · The load changed settings of unit A1: level 25 mW → 400 mW, region home → unread
                  > Set them back, and read them once more.
            "#]],
        );
        check_history(
            &SETTINGS_ARE_BACK,
            |history| {
                history.units[0].digest = None;
                history.units[0].settings_after = Some([("level".to_owned(), "400 mW".to_owned())].into());
            },
            expect![[r#"
                broken · A1 · The load changed settings of unit A1: level 25 mW → 400 mW
                  > Set them back, and read them once more.
            "#]],
        );
        check_history(
            &SETTINGS_ARE_BACK,
            |history| history.units[0].settings_after = None,
            expect![[r#"
                tight · A1 · The settings of unit A1 were not read after the load
                  > Read them, and write them down.
            "#]],
        );
    }
}
