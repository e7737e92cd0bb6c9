//! Was a pack charged soon after it was hit?

use crate::history::HOUR;
use crate::history_limits::HIT_PACK_HOURS;
use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};
use care::pack_hit;

rule! {
    /// Was a pack charged soon after it was hit?
    ///
    /// ## Why
    /// A lithium pack hurt in a crash can burn half an hour later, or while it is charged.
    ///
    /// ## Sound when
    /// No pack that was hit in a crash of this craft was charged within 24 hours of it. Charged sooner is broken.
    ///
    /// ## Rests on
    /// The journal: crashes that say the pack was hit, and when it was charged. Common practice; defer to your local rules.
    ///
    /// ## Mend
    /// Outdoors, away from everything, and attended; look for dents and swelling; if in doubt, dispose of it at a collection point.
    HIT_PACK_RESTS = "safe.pack_after_crash", run
}

fn run(proof: &Proof) -> Answer {
    let Some((history, craft)) = proof.history() else { return Answer::default() };
    let finding = |(crash, pack, charged): (&care::Entry, &str, Option<i64>)| {
        let new = |verdict, words: String| {
            Finding::new(
                HIT_PACK_RESTS.id,
                verdict,
                format!("pack {pack} hit {}", history.ago(crash.at)),
                words,
            )
        };
        match charged {
            None => {
                new(Verdict::Sound, format!("Pack {pack} was hit {} and was let rest", history.ago(crash.at)))
            }
            Some(at) => {
                let hours = (at - crash.at) / HOUR;
                new(
                    Verdict::Broken,
                    format!("Pack {pack} was hit in a crash and charged {hours} hours later"),
                )
                .mend("Take it outdoors, away from everything, and let it rest; look for dents and swelling.")
                .mend("If in doubt, dispose of it at a collection point.")
            }
        }
    };
    Answer {
        findings: pack_hit(&history.entries, craft, HIT_PACK_HOURS * HOUR).into_iter().map(finding).collect(),
        figures: Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::HIT_PACK_RESTS;
    use crate::testing_history::{check_history, entry, is_sound_history};
    use care::{Entry, EntryKind};
    use expect_test::expect;

    #[test]
    fn a_pack_that_rested_is_sound() {
        is_sound_history(&HIT_PACK_RESTS);
    }

    #[test]
    fn one_charged_the_same_day_is_broken() {
        check_history(
            &HIT_PACK_RESTS,
            |history| {
                let mut charged = Entry { packs: vec!["P1".into()], ..entry(30, EntryKind::Charged) };
                charged.at += 5 * 3600;
                history.entries.push(charged);
            },
            expect![[r#"
                broken · pack P1 hit 30 days ago · Pack P1 was hit in a crash and charged 5 hours later
                  > Take it outdoors, away from everything, and let it rest; look for dents and swelling.
                  > If in doubt, dispose of it at a collection point.
            "#]],
        );
    }
}
