//! Does the craft hover well below full throttle?

use crate::limits::HOVER_THROTTLE;
use crate::numbers::{grams, rounded};
use crate::rule::rule;
use crate::standing::{standing, standing_of};
use crate::subject::{Curve, all_up_mass, drives, thinner, thrust_curve};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::craft as craft_schema;
use quantity::{Linear, Unit};

rule! {
    /// Does the craft hover well below full throttle?
    ///
    /// ## Why
    /// What hover takes is gone: a craft that hovers at 60 % has little left for wind, climbs and a tired
    /// pack.
    ///
    /// ## Sound when
    /// It hovers at 45 % throttle or less; over 60 % it is broken.
    ///
    /// ## Rests on
    /// The mass as it flies, shared evenly by the motors, and how thrust follows throttle: between the points of
    /// a stand in straight lines, below the lowest point by thrust ∝ throttle²; it goes with the density of the air, so that altitude and the
    /// hottest air count. Where
    /// only the full thrust is known, by a power of throttle from 1 to 2, which leaves much in doubt. Common practice.
    ///
    /// ## Mend
    /// A lighter pack, or larger blades.
    HOVER_BELOW_HALF = "craft.hover_throttle", run
}

const SUBJECT: &str = "throttle in hover";

fn run(proof: &Proof) -> Answer {
    let drives = drives(proof);
    let Some(first) = drives.first() else { return Answer::default() };
    let places = || drives.iter().map(|drive| drive.motor.place.id.clone());
    let say = |finding: Finding| Answer::of(finding.at(places()));
    let odd = |message: String, mend: &str| {
        Finding::new(HOVER_BELOW_HALF.id, Verdict::Unknown, SUBJECT, message).mend(mend)
    };
    if drives.iter().any(|drive| drive.motor.part.id != first.motor.part.id) {
        return say(odd(
            "The motors are of different kinds, and nobody can say how they share the weight".to_owned(),
            "Enter one kind of motor for all places, if they are alike.",
        ));
    }
    let curve = match thrust_curve(proof, first.motor) {
        Ok(curve) => curve,
        Err(Ok(missing)) => return say(Finding::unknown(HOVER_BELOW_HALF.id, SUBJECT, vec![missing])),
        Err(Err(fault)) => return say(odd(fault, "Correct the stand points, or take the doubtful one out.")),
    };
    let whole = match all_up_mass(proof).whole() {
        Ok(whole) if whole.value > 0.0 => whole,
        Ok(_) => return Answer::default(),
        Err(missing) => return say(Finding::unknown(HOVER_BELOW_HALF.id, SUBJECT, missing)),
    };
    let thin = thinner(proof);
    let share = &whole * (thin / drives.len() as f64);
    let Some(throttle) = curve.throttle_for(&share) else {
        return say(beyond(proof, &curve, &share));
    };
    let at = rounded(throttle.value, 0);
    let limit =
        proof.craft.item().read(&craft_schema::THROTTLE_LIMIT).map_or(100.0, |limit| limit.value.get());
    let mut finding = if throttle.value >= limit {
        let standing = standing_of(proof, &(Linear::exact(limit) - throttle.clone()), 0.0, Unit::Percent);
        let message = format!(
            "The throttle is limited to {} %, and it hovers at {at} %: it will not leave the ground",
            rounded(limit, 0)
        );
        let finding = standing.finding(HOVER_BELOW_HALF.id, SUBJECT, message).at(places());
        let finding = Finding { verdict: Verdict::Broken, ..finding };
        finding.mend(format!("Raise the limit well above {at} %."))
    } else {
        let standing = standing(proof, &throttle, &HOVER_THROTTLE);
        let message = match standing.verdict {
            Verdict::Broken => format!("It hovers at {at} % throttle: next to nothing is left for wind"),
            Verdict::Tight => format!("It hovers at {at} % throttle: little is left for wind"),
            _ => format!("It hovers at {at} % throttle"),
        };
        let sound = standing.verdict == Verdict::Sound;
        let mut finding = standing.finding(HOVER_BELOW_HALF.id, SUBJECT, message).at(places());
        if let Some(carried) = curve.thrust_at(HOVER_THROTTLE.tight).filter(|_| !sound) {
            let off = whole.value - drives.len() as f64 * carried / thin;
            if off > 0.0 {
                let wanted = rounded(HOVER_THROTTLE.tight, 0);
                finding =
                    finding.mend(format!("Take {} off, and it hovers at {wanted} %.", grams(off.ceil())));
            }
            finding = finding.mend("Or fit larger blades, or motors that pull more.");
        }
        finding
    };
    let lines = Lines::of(proof)
        .result("mass", &whole, Unit::Grams, "figure craft.mass")
        .given("motors", drives.len() as f64, Unit::Count, "places of the craft")
        .given(
            "thinner air",
            thin,
            Unit::Ratio,
            "air of a stand over the thinnest flown in, by altitude and the hottest air",
        )
        .result(
            "thrust of each",
            &share,
            Unit::GramsForce,
            "mass / motors · thinner air, as on the stand; one gram weighs one gram-force",
        );
    let figure = curve
        .around(share.value)
        .iter()
        .fold(lines, |lines, (at, thrust)| {
            lines.result(&format!("thrust at {} %", rounded(*at, 0)), thrust, Unit::GramsForce, "stand")
        })
        .figure(
            "craft.hover_throttle",
            "throttle in hover",
            (&throttle, Unit::Percent),
            curve.model(&share),
            HOVER_THROTTLE.source,
        );
    finding.figure = Some(figure.id.clone());
    Answer { findings: vec![finding], figures: vec![figure] }
}

/// The craft weighs more than the highest point of the stand holds.
fn beyond(proof: &Proof, curve: &Curve, share: &Linear) -> Finding {
    let Some((highest, top)) = curve.highest() else {
        return Finding::new(HOVER_BELOW_HALF.id, Verdict::Unknown, SUBJECT, "The stand has no points");
    };
    let need = grams(share.value);
    if *highest >= 100.0 {
        let standing = standing_of(proof, &(top - share), 0.0, Unit::GramsForce);
        let message = format!(
            "Each motor must hold {need} and pulls {} at full throttle: it will not leave the ground",
            grams(top.value)
        );
        return Finding {
            verdict: Verdict::Broken,
            ..standing.finding(HOVER_BELOW_HALF.id, SUBJECT, message)
        }
        .mend("Take mass off, or fit motors, blades or cells that pull more.");
    }
    Finding::new(
        HOVER_BELOW_HALF.id,
        Verdict::Unknown,
        SUBJECT,
        format!(
            "Each motor must hold {need}, and the stand ends at {} % throttle with {}",
            rounded(*highest, 0),
            grams(top.value)
        ),
    )
    .mend("Enter a stand point at more throttle, or the thrust at full throttle.")
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::{figures, is_sound, names_missing, part_mut, set, sound_craft, told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&told(&HOVER_BELOW_HALF, spoil));
    }

    #[test]
    fn a_light_craft_hovers_low() {
        is_sound(&HOVER_BELOW_HALF);
    }

    #[test]
    fn a_heavy_craft_hovers_high() {
        check(
            |craft| set(craft, "pack.mass", "520 g, measured"),
            expect![[r#"
            tight · throttle in hover · 8.553 % · 100 %
              It hovers at 51 % throttle: little is left for wind
              > Take 94 g off, and it hovers at 45 %.
              > Or fit larger blades, or motors that pull more.
        "#]],
        );
        check(
            |craft| set(craft, "pack.mass", "780 g, measured"),
            expect![[r#"
            broken · throttle in hover · -8.553 % · 0 %
              It hovers at 69 % throttle: next to nothing is left for wind
              > Take 354 g off, and it hovers at 45 %.
              > Or fit larger blades, or motors that pull more.
        "#]],
        );
    }

    #[test]
    fn only_full_thrust_is_enough() {
        check(
            |craft| part_mut(craft, "motor").tables.clear(),
            expect![[r#"
                sound · throttle in hover · 34.099 % · 100 %
                  It hovers at 26 % throttle
            "#]],
        );
    }

    #[test]
    fn below_the_lowest_point_thrust_goes_with_the_square() {
        check(
            |craft| drop(part_mut(craft, "motor").tables.get_mut("thrust").unwrap().drain(..2)),
            expect![[r#"
            sound · throttle in hover · 33.074 % · 100 %
              It hovers at 27 % throttle
        "#]],
        );
    }

    #[test]
    fn a_craft_too_heavy_for_its_motors_stays_on_the_ground() {
        check(
            |craft| set(craft, "pack.mass", "1.4 kg, measured"),
            expect![[r#"
            broken · throttle in hover · -45.5 gf · 0 %
              Each motor must hold 376 g and pulls 330 g at full throttle: it will not leave the ground
              > Take mass off, or fit motors, blades or cells that pull more.
        "#]],
        );
    }

    #[test]
    fn a_stand_that_ends_early_is_named() {
        check(
            |craft| {
                set(craft, "pack.mass", "1 kg, measured");
                set(craft, "motor.thrust_full", "");
                part_mut(craft, "motor").tables.get_mut("thrust").unwrap().truncate(3);
            },
            expect![[r#"
                unknown · throttle in hover
                  Each motor must hold 276 g, and the stand ends at 50 % throttle with 150 g
                  > Enter a stand point at more throttle, or the thrust at full throttle.
            "#]],
        );
    }

    #[test]
    fn a_stand_that_does_not_rise_is_named() {
        check(
            |craft| set(craft, "motor.thrust[2].thrust", "50 gf"),
            expect![[r#"
            unknown · throttle in hover
              The stand of 1404 motor does not rise: 60 gf at 25 %, then 50 gf at 50 %
              > Correct the stand points, or take the doubtful one out.
        "#]],
        );
    }

    #[test]
    fn missing_facts_are_named() {
        check(
            |craft| {
                part_mut(craft, "motor").tables.clear();
                set(craft, "motor.thrust_full", "");
            },
            expect![[r#"
                unknown · throttle in hover
                  Nobody can say yet: the thrust at full throttle of "1404 motor" is not known
                  > Measure or look up the thrust at full throttle of "1404 motor".
            "#]],
        );
        names_missing(&HOVER_BELOW_HALF, "stub.mass", "throttle in hover", r#"mass of "stub antenna""#);
    }

    #[test]
    fn the_working_shows_the_points_used() {
        expect![[r#"
            craft.hover_throttle: throttle in hover = 19.107 ± 0.384 % (measured)
              throttle = t₀ + (thrust of each − F₀) · (t₁ − t₀)/(F₁ − F₀), between the stand points around it
              mass = 174 ± 0.332 g · figure craft.mass
              motors = 4 · places of the craft
              thinner air = 1 · air of a stand over the thinnest flown in, by altitude and the hottest air
              thrust of each = 43.5 ± 0.083 gf · mass / motors · thinner air, as on the stand; one gram weighs one gram-force
              thrust at 10 % = 18 ± 0.52 gf · stand
              thrust at 25 % = 60 ± 1.732 gf · stand
              common practice: throttle in hover
        "#]]
        .assert_eq(&figures(&HOVER_BELOW_HALF));
    }

    #[test]
    fn thin_air_and_a_limited_throttle_count() {
        let at = |spoil: &dyn Fn(&mut Craft)| {
            let mut craft = sound_craft();
            spoil(&mut craft);
            (HOVER_BELOW_HALF.run)(&Proof::new(&craft)).figures[0].quantity.value
        };
        let plain = at(&|_| {});
        let high = at(&|craft| set(craft, "craft.altitude", "3000 m"));
        assert!(high > 1.1 * plain, "{plain} {high}");
        check(
            |craft| set(craft, "craft.throttle_limit", "12 %"),
            expect![[r#"
            broken · throttle in hover · -7.107 % · 0 %
              The throttle is limited to 12 %, and it hovers at 19 %: it will not leave the ground
              > Raise the limit well above 19 %.
        "#]],
        );
    }
}
