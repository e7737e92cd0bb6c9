//! Is the radio as strong as when the craft was new?

use crate::history_limits::LEVEL_DRIFT;
use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};
use care::{Reading, drift};
use quantity::Db;

rule! {
    /// Is the radio as strong as when the craft was new?
    ///
    /// ## Why
    /// A kinked antenna, a half-seated plug or a crushed pigtail costs decibels that nobody misses on the bench. The level at
    /// 5 m, noted when new, shows them before the range does.
    ///
    /// ## Sound when
    /// The level at 5 m and least power is less than 3 dB below the one when new. From 3 dB on it is tight, from 6 dB broken.
    ///
    /// ## Rests on
    /// The levels you read, each good to about a decibel if place and heading are the same. Common practice.
    ///
    /// ## Mend
    /// Antenna first, then pigtail and plug; then the transmitter.
    LEVEL_AS_NEW = "care.level_drift", run
}

fn run(proof: &Proof) -> Answer {
    let Some((history, craft)) = proof.history() else { return Answer::default() };
    let Some(found) = drift(&history.entries, craft, Reading::LevelAt5m) else { return Answer::default() };
    let change = found.now - found.new;
    let verdict = match () {
        () if change <= LEVEL_DRIFT.broken => Verdict::Broken,
        () if change <= LEVEL_DRIFT.tight => Verdict::Tight,
        () => Verdict::Sound,
    };
    let since = match found.between {
        Some(event) => format!("; {} {}", event.kind, history.ago(event.at)),
        None => String::new(),
    };
    let words = format!(
        "Level at 5 m is {:.1} dBm, {:.1} dBm when new: {change:+.1} dB{since}",
        found.now, found.new
    );
    let finding = Finding::new(LEVEL_AS_NEW.id, verdict, "level at 5 m", words)
        .margin(Db::new(change - LEVEL_DRIFT.broken), None);
    Answer::of(if verdict == Verdict::Sound {
        finding
    } else {
        finding.mend("Look at the antenna, then at the pigtail and its plugs; then swap them one at a time and read again.")
    })
}

#[cfg(test)]
mod tests {
    use super::LEVEL_AS_NEW;
    use crate::testing_history::{check_history, entry, is_sound_history, read};
    use care::{EntryKind, Reading};
    use expect_test::expect;

    #[test]
    fn a_small_change_is_sound() {
        is_sound_history(&LEVEL_AS_NEW);
    }

    #[test]
    fn a_large_change_is_told_with_what_happened_meanwhile() {
        check_history(
            &LEVEL_AS_NEW,
            |history| history.entries.push(read(1, Reading::LevelAt5m, -52.0)),
            expect![[r#"
                tight · level at 5 m · Level at 5 m is -52.0 dBm, -48.0 dBm when new: -4.0 dB; crashed 30 days ago
                  > Look at the antenna, then at the pigtail and its plugs; then swap them one at a time and read again.
            "#]],
        );
        check_history(
            &LEVEL_AS_NEW,
            |history| {
                history.entries.push(entry(40, EntryKind::Crashed));
                history.entries.push(read(1, Reading::LevelAt5m, -55.0));
            },
            expect![[r#"
                broken · level at 5 m · Level at 5 m is -55.0 dBm, -48.0 dBm when new: -7.0 dB; crashed 30 days ago
                  > Look at the antenna, then at the pigtail and its plugs; then swap them one at a time and read again.
            "#]],
        );
    }
}
