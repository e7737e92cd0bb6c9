//! Have you stated what is allowed where it is flown?

use crate::rule::rule;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{PartKind, craft as craft_schema};

rule! {
    /// Have you stated what is allowed where it is flown?
    ///
    /// ## Why
    /// Licence, level, band and radiated power differ by country, and so do heights, zones, spotters and insurance. Figures here are
    /// worked out, not permitted: nothing in this program grants permission.
    ///
    /// ## Sound when
    /// A limit on radiated power is stated, and you looked it up, with the rules of flying, within the year. Longer ago is tight.
    /// It is asked of craft with a video transmitter and a ground station.
    ///
    /// ## Rests on
    /// What you state. It always defers to your local rules and to licensed practice.
    ///
    /// ## Mend
    /// Look up both where you fly, and state them.
    LIMITS_STATED = "safe.limits_stated", run
}

fn run(proof: &Proof) -> Answer {
    let has = |kind| proof.places_of(kind).next().is_some();
    if !has(PartKind::VideoTransmitter) || !has(PartKind::Station) {
        return Answer::default();
    }
    let item = proof.craft.item();
    let found = |verdict, message: String| Finding::new(LIMITS_STATED.id, verdict, "local rules", message);
    let mend =
        "Look up radiated power and the rules of flying where you fly, and state them; nobody else can.";
    let limit = item.read(&craft_schema::RADIATED_LIMIT);
    let read = item.text(&craft_schema::LIMITS_READ);
    Answer::of(match (limit, read) {
        (Ok(limit), Ok("this year")) => {
            found(Verdict::Sound, format!("You stated {} as the limit, looked up this year", limit.value))
        }
        (Ok(_), Ok(_)) => {
            let message =
                "The limits you stated were looked up more than a year ago: rules change".to_owned();
            found(Verdict::Tight, message).mend(mend)
        }
        (limit, read) => {
            let message = "You have not stated the limits here, or when you looked them up: figures are shown without approval";
            let mut finding = found(Verdict::Unknown, message.to_owned()).mend(mend);
            finding.missing.extend(limit.err().into_iter().chain(read.err()));
            finding
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::set;
    use crate::testing_link::link_told;
    use expect_test::expect;

    #[test]
    fn limits_are_stated_old_or_missing() {
        for (said, expected) in [
            (
                "this year",
                expect![[r#"
                sound · local rules
                  You stated 100 mW as the limit, looked up this year
            "#]],
            ),
            (
                "longer ago",
                expect![[r#"
                tight · local rules
                  The limits you stated were looked up more than a year ago: rules change
                  > Look up radiated power and the rules of flying where you fly, and state them; nobody else can.
            "#]],
            ),
            (
                "",
                expect![[r#"
                unknown · local rules
                  You have not stated the limits here, or when you looked them up: figures are shown without approval
                  > Look up radiated power and the rules of flying where you fly, and state them; nobody else can.
            "#]],
            ),
        ] {
            expected.assert_eq(&link_told(&LIMITS_STATED, |craft| set(craft, "craft.limits_read", said)));
        }
    }
}
