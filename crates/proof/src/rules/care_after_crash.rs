//! Was it looked over after its last crash?

use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};
use care::{EntryKind, crash_unchecked, flown_since, last_of};

rule! {
    /// Was it looked over after its last crash?
    ///
    /// ## Why
    /// What a crash loosens falls off in the next flight, and what it cracks breaks there. Three minutes with a list find most
    /// of it.
    ///
    /// ## Sound when
    /// After the last crash the whole list for it was ticked, or the craft was built anew. Not ticked yet is tight; flown since
    /// is broken.
    ///
    /// ## Rests on
    /// The journal. Common practice.
    ///
    /// ## Mend
    /// Go through the list after a crash before the next flight.
    LOOKED_OVER = "care.after_crash", run
}

fn run(proof: &Proof) -> Answer {
    let Some((history, craft)) = proof.history() else { return Answer::default() };
    let Some(last) = last_of(&history.entries, craft, EntryKind::Crashed) else { return Answer::default() };
    let finding =
        |verdict, words: String| Finding::new(LOOKED_OVER.id, verdict, "after the last crash", words);
    let Some(crash) = crash_unchecked(&history.entries, craft) else {
        let words = format!("Looked over after the crash {}", history.ago(last.at));
        return Answer::of(finding(Verdict::Sound, words));
    };
    let flown = flown_since(&history.entries, craft, crash);
    let found = match flown {
        0 => finding(
            Verdict::Tight,
            format!("It crashed {} and was not looked over yet", history.ago(crash.at)),
        ),
        1 => finding(Verdict::Broken, "Flown once since a crash without being looked over".to_owned()),
        n => finding(Verdict::Broken, format!("Flown {n} times since a crash without being looked over")),
    };
    Answer::of(found.mend("Go through the list after a crash before the next flight."))
}

#[cfg(test)]
mod tests {
    use super::LOOKED_OVER;
    use crate::testing_history::{check_history, entry, is_sound_history};
    use care::EntryKind;
    use expect_test::expect;

    #[test]
    fn a_ticked_list_is_sound() {
        is_sound_history(&LOOKED_OVER);
    }

    #[test]
    fn flown_without_the_list_is_broken_and_not_flown_tight() {
        check_history(
            &LOOKED_OVER,
            |history| history.entries.push(entry(3, EntryKind::Crashed)),
            expect![[r#"
                tight · after the last crash · It crashed 3 days ago and was not looked over yet
                  > Go through the list after a crash before the next flight.
            "#]],
        );
        check_history(
            &LOOKED_OVER,
            |history| {
                history.entries.extend(
                    [3, 2, 1]
                        .map(|day| entry(day, if day == 3 { EntryKind::Crashed } else { EntryKind::Flown })),
                )
            },
            expect![[r#"
                broken · after the last crash · Flown 2 times since a crash without being looked over
                  > Go through the list after a crash before the next flight.
            "#]],
        );
    }
}
