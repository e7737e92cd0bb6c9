//! Do the versions at the two ends go together?

use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};
use firmware::{End, Pairing, Unit, pairing};

rule! {
    /// Do the versions at the two ends go together?
    ///
    /// ## Why
    /// Air and ground that carry unlike versions give no picture, or one that drops out, and it looks like a fault of the radio.
    ///
    /// ## Sound when
    /// The same version is at both ends, or the pair is listed as a matching set. Only the same first number is tight; so is
    /// one ground unit of several that would not do. No unit on the ground that would do is broken, a version that nobody
    /// read is unknown.
    ///
    /// ## Rests on
    /// The versions the units report, the matching sets you listed. Common practice.
    ///
    /// ## Mend
    /// Load the end that lags, or list the pair if its maker says that it goes together.
    ENDS_AGREE = "load.pair", run
}

fn run(proof: &Proof) -> Answer {
    let Some((history, craft)) = proof.history() else { return Answer::default() };
    let mut answer = Answer::default();
    for unit in history.units_of(craft) {
        let Some(recipe) = history.recipe_of(unit).filter(|recipe| recipe.end == End::Air) else { continue };
        let grounds: Vec<&Unit> = history.ground_of(&recipe.system).collect();
        if grounds.is_empty() {
            continue;
        }
        let subject = format!("{} and the ground", unit.label);
        let Some(air) = &unit.version else {
            answer.findings.push(unread(&subject, &unit.label));
            continue;
        };
        let stand: Vec<(&Unit, Pairing)> = grounds
            .iter()
            .filter_map(|ground| {
                Some((*ground, pairing(&history.sets, &recipe.system, air, ground.version.as_ref()?)))
            })
            .collect();
        let Some(best) = stand.iter().map(|(_, how)| *how).max() else {
            answer.findings.push(unread(&subject, &grounds[0].label));
            continue;
        };
        let told = |ground: &Unit| {
            format!(
                "{} on {}",
                ground.version.as_ref().map(ToString::to_string).unwrap_or_default(),
                ground.label
            )
        };
        let lag: Vec<String> = stand
            .iter()
            .filter(|(_, how)| *how != Pairing::Matched)
            .map(|(ground, _)| told(ground))
            .collect();
        let finding = |verdict, words: String| Finding::new(ENDS_AGREE.id, verdict, subject.clone(), words);
        answer.findings.push(match best {
            Pairing::Matched if lag.is_empty() => {
                finding(Verdict::Sound, format!("{air} on {} goes with the ground", unit.label))
            }
            Pairing::Matched => finding(
                Verdict::Tight,
                format!("{air} on {} does not go with {}", unit.label, lag.join(", ")),
            )
            .mend(format!("Load {} before it is used with this craft.", lag.join(", "))),
            Pairing::SameMajor => finding(
                Verdict::Tight,
                format!("{air} on {} with {}: like in the first number only", unit.label, lag.join(", ")),
            )
            .mend("Load both ends alike, or list the pair if its maker says that it goes together."),
            Pairing::Apart => finding(
                Verdict::Broken,
                format!("{air} on {} with {}: no picture", unit.label, lag.join(", ")),
            )
            .mend(format!(
                "Load one end so that both agree: {} to {air}, or {} to theirs.",
                lag.join(", "),
                unit.label
            )),
        });
    }
    answer
}

fn unread(subject: &str, label: &str) -> Finding {
    let words = format!("Nobody can say: the version of unit {label} was not read");
    Finding::new(ENDS_AGREE.id, Verdict::Unknown, subject, words)
        .mend(format!("Read what unit {label} reports and write it down."))
}

#[cfg(test)]
mod tests {
    use super::ENDS_AGREE;
    use crate::testing_history::{check_history, is_sound_history, version};
    use expect_test::expect;
    use firmware::MatchingSet;

    #[test]
    fn the_same_at_both_ends_is_sound() {
        is_sound_history(&ENDS_AGREE);
    }

    #[test]
    fn unlike_ends_are_broken_and_listed_ones_not() {
        check_history(
            &ENDS_AGREE,
            |history| history.units[1].version = Some(version("5.0")),
            expect![[r#"
                broken · A1 and the ground · 4.2 on A1 with 5.0 on G1: no picture
                  > Load one end so that both agree: 5.0 on G1 to 4.2, or A1 to theirs.
            "#]],
        );
        check_history(
            &ENDS_AGREE,
            |history| {
                history.units[1].version = Some(version("5.0"));
                let (air, ground) = (version("4.2"), version("5.0"));
                history.sets.push(MatchingSet { system: "Lanner".into(), air, ground, notes: String::new() });
            },
            expect![""],
        );
    }

    #[test]
    fn what_is_only_alike_is_tight_and_what_nobody_read_unknown() {
        check_history(
            &ENDS_AGREE,
            |history| history.units[1].version = Some(version("4.1")),
            expect![[r#"
                tight · A1 and the ground · 4.2 on A1 with 4.1 on G1: like in the first number only
                  > Load both ends alike, or list the pair if its maker says that it goes together.
            "#]],
        );
        check_history(
            &ENDS_AGREE,
            |history| history.units[1].version = None,
            expect![[r#"
                unknown · A1 and the ground · Nobody can say: the version of unit G1 was not read
                  > Read what unit G1 reports and write it down.
            "#]],
        );
    }
}
