//! Is it first powered from something that gives way?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::craft as craft_schema;

rule! {
    /// Is it first powered from something that gives way?
    ///
    /// ## Why
    /// A pack gives a hundred amperes into a short: the first sign of a solder bridge is smoke. A current-limited supply, or a pack through a
    /// limiter, turns the same slip into a lamp that lights.
    ///
    /// ## Sound when
    /// The craft is said not to have been powered since it was wired, and its first supply is limited. It is not asked otherwise.
    ///
    /// ## Rests on
    /// What you say. The current named first is one and a half times what the video draws at its lowest level, at least half an ampere; with the video
    /// plugged in a quarter more than what its start takes from the supply with all else. Common practice; defer to licensed practice.
    ///
    /// ## Mend
    /// Meter from plus to minus first, then the limited supply, blades off, antenna on.
    LIMITED_FIRST = "safe.first_power", run
}

fn run(proof: &Proof) -> Answer {
    let item = proof.craft.item();
    if item.flag(&craft_schema::POWERED) != Ok(false) {
        return Answer::default();
    }
    let found = |verdict, message: String| Finding::new(LIMITED_FIRST.id, verdict, "first power-up", message);
    let limits = crate::wiring::first_limits(proof);
    let amps = rounded(limits.boards, 1);
    let raised = limits.video.map_or_else(String::new, |video| {
        format!(", raised to {} A when the video is plugged in", rounded(video.limit, 1))
    });
    let mend =
        format!("Meter first, from plus to minus; then a current-limited supply set to {amps} A{raised}.");
    Answer::of(match item.text(&craft_schema::FIRST_SUPPLY) {
        Ok("pack alone") => {
            let message = "It is to be powered from a pack alone: a slip of solder becomes smoke".to_owned();
            found(Verdict::Broken, message).mend(mend)
        }
        Ok(limited) => {
            found(Verdict::Sound, format!("It is first powered from a {limited}, set to {amps} A{raised}"))
        }
        Err(missing) => {
            let message = "The first power-up stands ahead, and nobody has said from what".to_owned();
            let mut finding = found(Verdict::Unknown, message).mend(mend);
            finding.missing.push(missing);
            finding
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_wiring::{check, set};
    use expect_test::expect;

    #[test]
    fn the_first_power_up_asks_for_a_limiter() {
        check(&LIMITED_FIRST, |_| {}, expect![[r#""#]]);
        check(
            &LIMITED_FIRST,
            |craft| set(craft, "craft.powered", "no"),
            expect![[r#"
                unknown · first power-up
                  The first power-up stands ahead, and nobody has said from what
                  > Meter first, from plus to minus; then a current-limited supply set to 0.5 A, raised to 0.9 A when the video is plugged in.
            "#]],
        );
        check(
            &LIMITED_FIRST,
            |craft| {
                set(craft, "craft.powered", "no");
                set(craft, "craft.first_supply", "pack alone");
            },
            expect![[r#"
                broken · first power-up
                  It is to be powered from a pack alone: a slip of solder becomes smoke
                  > Meter first, from plus to minus; then a current-limited supply set to 0.5 A, raised to 0.9 A when the video is plugged in.
            "#]],
        );
        check(
            &LIMITED_FIRST,
            |craft| {
                set(craft, "craft.powered", "no");
                set(craft, "craft.first_supply", "current-limited supply");
            },
            expect![[r#""#]],
        );
    }
}
