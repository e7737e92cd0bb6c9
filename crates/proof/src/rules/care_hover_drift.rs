//! Does it hover as lightly as when it was new?

use crate::history_limits::{HOVER_DRIFT, SAME_MASS_PERCENT};
use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};
use care::{Reading, drift};
use quantity::Percent;

rule! {
    /// Does it hover as lightly as when it was new?
    ///
    /// ## Why
    /// A bent blade, a bearing that drags or a tired pack make the motors work harder. It shows in the current before it
    /// shows in the air.
    ///
    /// ## Sound when
    /// The current in hover is less than 10 % above the one when new, at the same mass. From 10 % on it is tight, from 20 %
    /// broken. If the mass differs by more than 5 % nobody can say.
    ///
    /// ## Rests on
    /// The currents and masses you noted. Common practice.
    ///
    /// ## Mend
    /// Blades first, then bearings, then the pack.
    HOVER_AS_NEW = "care.hover_drift", run
}

fn run(proof: &Proof) -> Answer {
    let Some((history, craft)) = proof.history() else { return Answer::default() };
    let Some(found) = drift(&history.entries, craft, Reading::HoverCurrent) else { return Answer::default() };
    let mass = |entry: &care::Entry| entry.read(Reading::FlyingMass);
    if let (Some(new), Some(now)) = (mass(found.since), mass(found.last))
        && ((now / new - 1.0) * 100.0).abs() > SAME_MASS_PERCENT
    {
        let words = format!("Nobody can say: it weighs {now:.0} g now and weighed {new:.0} g when new");
        let mend = "Read the current once more at the old mass, or mark this reading as the new one.";
        return Answer::of(
            Finding::new(HOVER_AS_NEW.id, Verdict::Unknown, "current in hover", words).mend(mend),
        );
    }
    let change = (found.now / found.new - 1.0) * 100.0;
    let verdict = match () {
        () if change >= HOVER_DRIFT.broken => Verdict::Broken,
        () if change >= HOVER_DRIFT.tight => Verdict::Tight,
        () => Verdict::Sound,
    };
    let since = match found.between {
        Some(event) => format!("; {} {}", event.kind, history.ago(event.at)),
        None => String::new(),
    };
    let words =
        format!("It takes {:.1} A in hover, {:.1} A when new: {change:+.0} %{since}", found.now, found.new);
    let finding = Finding::new(HOVER_AS_NEW.id, verdict, "current in hover", words)
        .margin(Percent::new(HOVER_DRIFT.broken - change), None);
    Answer::of(if verdict == Verdict::Sound {
        finding
    } else {
        finding.mend("Look at the blades, turn the motors by hand, then try another pack.")
    })
}

#[cfg(test)]
mod tests {
    use super::HOVER_AS_NEW;
    use crate::testing_history::{check_history, entry, is_sound_history, read};
    use care::{EntryKind, Reading};
    use expect_test::expect;

    #[test]
    fn a_small_change_is_sound() {
        is_sound_history(&HOVER_AS_NEW);
    }

    #[test]
    fn a_large_change_is_told_with_what_happened_meanwhile() {
        check_history(
            &HOVER_AS_NEW,
            |history| history.entries.push(read(1, Reading::HoverCurrent, 6.7)),
            expect![[r#"
                tight · current in hover · It takes 6.7 A in hover, 6.0 A when new: +12 %; crashed 30 days ago
                  > Look at the blades, turn the motors by hand, then try another pack.
            "#]],
        );
        check_history(
            &HOVER_AS_NEW,
            |history| {
                history.entries.push(entry(40, EntryKind::Crashed));
                history.entries.push(read(1, Reading::HoverCurrent, 7.5));
            },
            expect![[r#"
                broken · current in hover · It takes 7.5 A in hover, 6.0 A when new: +25 %; crashed 30 days ago
                  > Look at the blades, turn the motors by hand, then try another pack.
            "#]],
        );
    }

    #[test]
    fn another_mass_is_unknown() {
        let weighed = |days, amperes, grams| {
            let mut entry = read(days, Reading::HoverCurrent, amperes);
            entry.measured.push(care::Measured { reading: Reading::FlyingMass, value: grams });
            entry
        };
        check_history(
            &HOVER_AS_NEW,
            |history| history.entries.extend([weighed(90, 6.0, 300.0), weighed(1, 7.5, 340.0)]),
            expect![[r#"
                unknown · current in hover · Nobody can say: it weighs 340 g now and weighed 300 g when new
                  > Read the current once more at the old mass, or mark this reading as the new one.
            "#]],
        );
    }
}
