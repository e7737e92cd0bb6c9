//! Does it run as smoothly as when it was new?

use crate::history_limits::VIBRATION;
use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};
use care::{Reading, drift};
use quantity::Ratio;

rule! {
    /// Does it run as smoothly as when it was new?
    ///
    /// ## Why
    /// A nicked blade or a bell that wobbles shakes the camera, loosens plugs and heats the motors.
    ///
    /// ## Sound when
    /// The peak of the gyro's noise is less than twice the one when new. From twice on it is tight, from three times broken.
    ///
    /// ## Rests on
    /// The peaks you noted, read in the same way each time; only their ratio counts. Common practice.
    ///
    /// ## Mend
    /// Blades first, then bells and bearings, one motor at a time.
    SMOOTH_AS_NEW = "care.vibration", run
}

fn run(proof: &Proof) -> Answer {
    let Some((history, craft)) = proof.history() else { return Answer::default() };
    let Some(found) = drift(&history.entries, craft, Reading::GyroNoise) else { return Answer::default() };
    let change = found.now / found.new;
    let verdict = match () {
        () if change >= VIBRATION.broken => Verdict::Broken,
        () if change >= VIBRATION.tight => Verdict::Tight,
        () => Verdict::Sound,
    };
    let since = match found.between {
        Some(event) => format!("; {} {}", event.kind, history.ago(event.at)),
        None => String::new(),
    };
    let words = format!("The gyro's noise peaks at {change:.1} times what it was when new{since}");
    let finding = Finding::new(SMOOTH_AS_NEW.id, verdict, "vibration", words)
        .margin(Ratio::new(VIBRATION.broken - change), None);
    Answer::of(if verdict == Verdict::Sound {
        finding
    } else {
        finding.mend("Put new blades on and read again; then feel each motor for a bell that wobbles.")
    })
}

#[cfg(test)]
mod tests {
    use super::SMOOTH_AS_NEW;
    use crate::testing_history::{check_history, entry, is_sound_history, read};
    use care::{EntryKind, Reading};
    use expect_test::expect;

    #[test]
    fn a_small_change_is_sound() {
        is_sound_history(&SMOOTH_AS_NEW);
    }

    #[test]
    fn a_large_change_is_told_with_what_happened_meanwhile() {
        check_history(
            &SMOOTH_AS_NEW,
            |history| history.entries.push(read(1, Reading::GyroNoise, 45.0)),
            expect![[r#"
                tight · vibration · The gyro's noise peaks at 2.2 times what it was when new; crashed 30 days ago
                  > Put new blades on and read again; then feel each motor for a bell that wobbles.
            "#]],
        );
        check_history(
            &SMOOTH_AS_NEW,
            |history| {
                history.entries.push(entry(40, EntryKind::Crashed));
                history.entries.push(read(1, Reading::GyroNoise, 70.0));
            },
            expect![[r#"
                broken · vibration · The gyro's noise peaks at 3.5 times what it was when new; crashed 30 days ago
                  > Put new blades on and read again; then feel each motor for a bell that wobbles.
            "#]],
        );
    }
}
