//! At which charge does a punch take the picture?

use crate::numbers::rounded;
use crate::rule::rule;
use crate::standing::standing_of;
use crate::supply::spoilt;
use crate::supply_limits::FAIL_CHARGE;
use crate::working::Lines;
use crate::{Answer, Proof, Verdict};
use power::CELL_SOURCE;
use quantity::{FigureId, Linear, Unit};

rule! {
    /// At which charge does a punch take the picture?
    ///
    /// ## Why
    /// Above that charge one may punch without a thought; below it every punch is a bet. A builder who knows it lands in time, or
    /// builds so that it lies below where he lands anyway.
    ///
    /// ## Sound when
    /// It lies below the charge you land with. Above that it is tight, above half of the charge broken.
    ///
    /// ## Rests on
    /// The same chain as the video at a punch: pack, plug, leads, motors at full throttle, rails at their peak, in the coldest air. The charge is
    /// the one at which the bus just holds what the video needs.
    ///
    /// ## Mend
    /// What mends the video at a punch moves this charge too: it is told there. The charge to land with until then is the one told there.
    FAIL_CHARGE_LOW = "feed.fail_charge", run
}

const SUBJECT: &str = "charge at which a punch takes the picture";

fn run(proof: &Proof) -> Answer {
    let Some(supply) = proof.supply() else { return Answer::default() };
    // What lacks is told of the video at a punch.
    let chain = match supply.chain() {
        Ok(chain) => chain,
        Err(lack) => return spoilt(proof, FAIL_CHARGE_LOW.id, SUBJECT, &lack),
    };
    let Some(found) = supply.fail_charge() else { return Answer::default() };
    // A rail that never gives what is asked is told of the video at a punch and of the rail.
    if supply.worst().is_none_or(|worst| worst.least_bus.is_infinite() || worst.overloaded()) {
        return Answer::default();
    }
    let charge = supply.model().slots.linear(proof, found);
    let land = chain.plan.land.get();
    let margin: Linear = &-&charge + land;
    let mut standing = standing_of(proof, &margin, 0.0, Unit::Percent);
    // Above the charge at landing is tight; only above half of the charge is it broken.
    standing.verdict = match standing.verdict {
        Verdict::Broken if charge.value <= FAIL_CHARGE.broken => Verdict::Tight,
        Verdict::Broken | Verdict::Tight if charge.value > FAIL_CHARGE.broken && land < charge.value => {
            Verdict::Broken
        }
        other => other,
    };
    let verdict = standing.verdict;
    let at = rounded(charge.value.ceil(), 0);
    let lands = rounded(land, 0);
    let message = match verdict {
        _ if charge.value >= 100.0 => "A punch takes the picture even with a full pack".to_owned(),
        _ if charge.value <= 0.0 => "No punch takes the picture down to an empty pack".to_owned(),
        Verdict::Sound => {
            format!("A punch takes the picture below {at} % of charge, and you land at {lands} %")
        }
        _ if charge.value > land => format!(
            "A punch takes the picture below {at} % of charge, and you land at {lands} %: do not punch in between"
        ),
        _ => format!("A punch takes the picture below {at} % of charge, near the {lands} % you land at"),
    };
    let mut finding =
        standing.finding(FAIL_CHARGE_LOW.id, SUBJECT, message).at([supply.model().unit.clone()]);
    if verdict != Verdict::Sound && !proof.is_trial() {
        finding = finding.mend("Mend what is told of the video at a punch: it moves this charge down.");
        // The very charge that the video at a punch is told to be landed with: two charges would be one too many.
        if let Some(safe) = supply.landing_that_holds().filter(|safe| *safe > land) {
            let values = supply.model().slots.values();
            let costs =
                supply.chain().map_or_else(|_| String::new(), |chain| chain.landing_costs(values, safe));
            finding = finding.mend(format!(
                "Until then punch no more below {safe} %, or land there{costs}.",
                safe = rounded(safe, 0)
            ));
        }
    }
    let figure =
        Lines::of(proof).given("charge at landing", land, Unit::Percent, "plan").facts(&charge).figure(
            "feed.fail_charge",
            "charge at which a punch takes the picture",
            (&charge, Unit::Percent),
            "charge at which the bus at a punch is as low as what holds the video",
            CELL_SOURCE,
        );
    finding.figure = Some(FigureId("feed.fail_charge".into()));
    Answer { findings: vec![finding], figures: vec![figure] }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing_supply::{check, is_sound, on_the_pack, set};
    use expect_test::expect;

    #[test]
    fn a_punch_that_never_takes_the_picture_is_sound() {
        is_sound(&FAIL_CHARGE_LOW);
    }

    #[test]
    fn a_charge_just_above_landing_is_tight() {
        check(
            &FAIL_CHARGE_LOW,
            |craft| {
                on_the_pack(craft);
                set(craft, "vtx.supply_min", "13 V, measured");
            },
            expect![[r#"
                tight · charge at which a punch takes the picture · -5.476 % · 32 %
                  A punch takes the picture below 31 % of charge, and you land at 25 %: do not punch in between
                  > Mend what is told of the video at a punch: it moves this charge down.
                  > Until then punch no more below 67 %, or land there.
                  ? No single measurement would change this verdict; two would: temperature of the pack (by custom: nobody knows the temperature of a pack in flight better than within 4 K) and slow part of its cells' resistance, which a load test tells (by custom: cells of one resistance on the meter differ by a quarter in what is slow). They take its certainty from 68 % to 71 %.
            "#]],
        );
    }

    #[test]
    fn a_charge_above_half_is_broken() {
        check(
            &FAIL_CHARGE_LOW,
            |craft| {
                on_the_pack(craft);
                set(craft, "vtx.supply_min", "13.9 V, measured");
            },
            expect![[r#"
                broken · charge at which a punch takes the picture · -56.055 % · 0 %
                  A punch takes the picture below 82 % of charge, and you land at 25 %: do not punch in between
                  > Mend what is told of the video at a punch: it moves this charge down.
            "#]],
        );
    }

    #[test]
    fn what_lacks_is_told_of_the_video_at_a_punch() {
        check(&FAIL_CHARGE_LOW, |craft| set(craft, "vtx.supply_min", ""), expect![[r#""#]]);
    }
}
