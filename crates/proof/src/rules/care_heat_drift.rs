//! Does it stay cool for as long as when it was new?

use crate::history_limits::HEAT_DRIFT;
use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};
use care::{Reading, drift};
use quantity::Percent;

rule! {
    /// Does it stay cool for as long as when it was new?
    ///
    /// ## Why
    /// A pad that came loose, a sink full of dust or a fan that stopped shorten the time until a transmitter turns its power
    /// down, and it first shows in a long queue at the start.
    ///
    /// ## Sound when
    /// On the bench without moving air it warns less than 20 % sooner than when new. From 20 % on it is tight, from 40 %
    /// broken.
    ///
    /// ## Rests on
    /// The minutes you noted, in a room of about the same warmth. Common practice.
    ///
    /// ## Mend
    /// See that pad and sink are whole, clean the fan and the vents.
    COOL_AS_NEW = "care.heat_drift", run
}

fn run(proof: &Proof) -> Answer {
    let Some((history, craft)) = proof.history() else { return Answer::default() };
    let Some(found) = drift(&history.entries, craft, Reading::BenchMinutes) else { return Answer::default() };
    let change = (found.now / found.new - 1.0) * 100.0;
    let verdict = match () {
        () if change <= HEAT_DRIFT.broken => Verdict::Broken,
        () if change <= HEAT_DRIFT.tight => Verdict::Tight,
        () => Verdict::Sound,
    };
    let since = match found.between {
        Some(event) => format!("; {} {}", event.kind, history.ago(event.at)),
        None => String::new(),
    };
    let words = format!(
        "It warns of heat after {:.1} min on the bench, {:.1} min when new: {change:+.0} %{since}",
        found.now, found.new
    );
    let finding = Finding::new(COOL_AS_NEW.id, verdict, "heat on the bench", words)
        .margin(Percent::new(change - HEAT_DRIFT.broken), None);
    Answer::of(if verdict == Verdict::Sound {
        finding
    } else {
        finding.mend("See that pad and sink sit whole, and clean the fan and the vents.")
    })
}

#[cfg(test)]
mod tests {
    use super::COOL_AS_NEW;
    use crate::testing_history::{check_history, entry, is_sound_history, read};
    use care::{EntryKind, Reading};
    use expect_test::expect;

    #[test]
    fn a_small_change_is_sound() {
        is_sound_history(&COOL_AS_NEW);
    }

    #[test]
    fn a_large_change_is_told_with_what_happened_meanwhile() {
        check_history(
            &COOL_AS_NEW,
            |history| history.entries.push(read(1, Reading::BenchMinutes, 3.9)),
            expect![[r#"
                tight · heat on the bench · It warns of heat after 3.9 min on the bench, 5.0 min when new: -22 %; crashed 30 days ago
                  > See that pad and sink sit whole, and clean the fan and the vents.
            "#]],
        );
        check_history(
            &COOL_AS_NEW,
            |history| {
                history.entries.push(entry(40, EntryKind::Crashed));
                history.entries.push(read(1, Reading::BenchMinutes, 2.5));
            },
            expect![[r#"
                broken · heat on the bench · It warns of heat after 2.5 min on the bench, 5.0 min when new: -50 %; crashed 30 days ago
                  > See that pad and sink sit whole, and clean the fan and the vents.
            "#]],
        );
    }
}
