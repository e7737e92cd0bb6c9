//! Are the blades off before it is first powered?

use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{PartKind, craft as craft_schema};

rule! {
    /// Are the blades off before it is first powered?
    ///
    /// ## Why
    /// The first power-up after wiring is when motors start by themselves: a swapped line, a wrong setting, a slip of the
    /// thumb. Five-inch blades cut to the bone.
    ///
    /// ## Sound when
    /// The craft is said not to have been powered since it was wired, and you have said that the blades are off. It is not asked
    /// otherwise.
    ///
    /// ## Rests on
    /// What you say. Common practice; defer to your local rules and to licensed practice.
    ///
    /// ## Mend
    /// Take the blades off, look, and say so.
    BLADES_OFF_FIRST = "safe.blades_off", run
}

fn run(proof: &Proof) -> Answer {
    let item = proof.craft.item();
    let Some(first) = proof.places_of(PartKind::Blades).next() else { return Answer::default() };
    if item.flag(&craft_schema::POWERED) != Ok(false) {
        return Answer::default();
    }
    let found = |verdict, message: &str| {
        Finding::new(BLADES_OFF_FIRST.id, verdict, "blades", message).at([first.place.id.clone()])
    };
    let mend = "Take all blades off before USB and before the pack, look, and say so.";
    Answer::of(match item.flag(&craft_schema::BLADES_OFF) {
        Ok(true) => found(Verdict::Sound, "The blades are off for the first power-up"),
        Ok(false) => {
            found(Verdict::Broken, "The first power-up stands ahead and the blades are on").mend(mend)
        }
        Err(missing) => {
            let mut finding =
                found(Verdict::Unknown, "The first power-up stands ahead. Blades off first; say so")
                    .mend(mend);
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
    fn the_first_power_up_asks_for_the_blades() {
        check(&BLADES_OFF_FIRST, |_| {}, expect![[r#""#]]);
        check(
            &BLADES_OFF_FIRST,
            |craft| set(craft, "craft.powered", "no"),
            expect![[r#"
            unknown · blades
              The first power-up stands ahead. Blades off first; say so
              > Take all blades off before USB and before the pack, look, and say so.
        "#]],
        );
        for said in ["yes", "no"] {
            let expected = match said {
                "yes" => expect![[r#""#]],
                _ => expect![[r#"
                    broken · blades
                      The first power-up stands ahead and the blades are on
                      > Take all blades off before USB and before the pack, look, and say so.
                "#]],
            };
            check(
                &BLADES_OFF_FIRST,
                |craft| {
                    set(craft, "craft.powered", "no");
                    set(craft, "craft.blades_off", said);
                },
                expected,
            );
        }
    }
}
