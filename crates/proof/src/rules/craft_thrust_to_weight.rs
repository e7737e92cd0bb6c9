//! Do the motors pull several times the craft's weight?

use crate::limits::{THRUST_DUCTED, THRUST_OPEN};
use crate::numbers::{grams, rounded};
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{BEND, all_up_mass, drives, ducted, full_thrust, thinner};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::craft as craft_schema;
use quantity::{Linear, Unit};

rule! {
    /// Do the motors pull several times the craft's weight?
    ///
    /// ## Why
    /// What is left over the weight catches a fall, holds a turn and fights wind. Under twice the weight a
    /// craft will not climb out of trouble.
    ///
    /// ## Sound when
    /// Full thrust is at least 3 times the weight with open blades, 2.5 times with blades in ducts; under 1.8
    /// times it is broken.
    ///
    /// ## Rests on
    /// Full thrust of every motor with these blades and cells, from a stand (in flight it is less), the thinnest air it is flown in (thrust
    /// goes with density: altitude and the hottest air), the limit of the throttle if there is one, and the mass of every part that flies. Common practice.
    ///
    /// ## Mend
    /// Take mass off, or fit motors, blades or cells that pull more.
    THRUST_TO_WEIGHT = "craft.thrust_to_weight", run
}

const SUBJECT: &str = "thrust of all motors";

/// The limit of the throttle in %, and the thrust there over that at full throttle.
fn limited(proof: &Proof) -> (f64, f64) {
    let throttle = proof.craft.item().read(&craft_schema::THROTTLE_LIMIT).map_or(100.0, |it| it.value.get());
    if throttle >= 100.0 {
        return (throttle, 1.0);
    }
    let by_bend = || (1e-2 * throttle).powf(BEND.value.get());
    let drive = proof.supply().and_then(|supply| supply.model().drive.as_ref().ok());
    (throttle, drive.map_or_else(by_bend, |drive| drive.thrust_share(throttle)))
}

fn run(proof: &Proof) -> Answer {
    let drives = drives(proof);
    if drives.is_empty() {
        return Answer::default();
    }
    let places = || drives.iter().map(|drive| drive.motor.place.id.clone());
    let mass = all_up_mass(proof);
    let mut thrust = Linear::exact(0.0);
    let mut missing = Vec::new();
    for drive in &drives {
        match full_thrust(proof, drive.motor) {
            Ok(full) => thrust = thrust + full,
            Err(lack) => missing.push(lack),
        }
    }
    missing.sort();
    missing.dedup();
    let limit = if ducted(proof) { THRUST_DUCTED } else { THRUST_OPEN };
    if !missing.is_empty() || mass.known.value <= 0.0 {
        missing.extend(mass.missing);
        return Answer::of(Finding::unknown(THRUST_TO_WEIGHT.id, SUBJECT, missing).at(places()));
    }
    let whole = &mass.known;
    let stand = thrust;
    let thin = thinner(proof);
    let (throttle, share) = limited(proof);
    let thrust = &stand * (share / thin);
    let ratio = thrust.value / whole.value;
    let result = Linear::chained(ratio, &[(1.0 / whole.value, &thrust), (-ratio / whole.value, whole)]);
    let standing = standing(proof, &result, &limit);
    let times = rounded(ratio, 1);
    // What is not weighed yet can only make it worse.
    if !mass.missing.is_empty() && standing.verdict != Verdict::Broken {
        let mut finding = Finding::unknown(THRUST_TO_WEIGHT.id, SUBJECT, mass.missing);
        finding.message = format!(
            "{}; with the {} known so far the motors pull {times} times the weight",
            finding.message,
            grams(whole.value)
        );
        return Answer::of(finding.at(places()));
    }
    let wanted = rounded(limit.tight, 1);
    let message = match standing.verdict {
        Verdict::Broken => {
            format!("The motors pull {times} times the weight: it will not climb out of trouble")
        }
        Verdict::Tight => {
            format!("The motors pull {times} times the weight, {wanted} is wanted: little is left for wind")
        }
        _ => format!("The motors pull {times} times the weight"),
    };
    let sound = standing.verdict == Verdict::Sound;
    let mut finding = standing.finding(THRUST_TO_WEIGHT.id, SUBJECT, message).at(places());
    let (off, more) = (
        whole.value - thrust.value / limit.tight,
        (limit.tight * whole.value - thrust.value) * thin / share.max(1e-3) / drives.len() as f64,
    );
    if !sound && off > 0.0 {
        if share < 1.0 && stand.value / thin >= limit.tight * whole.value {
            finding = finding.mend(format!(
                "Raise the limit of the throttle above {} %: without it they pull {} times the weight.",
                rounded(throttle, 0),
                rounded(stand.value / thin / whole.value, 1)
            ));
        }
        finding = finding
            .mend(format!("Take {} off, and the motors pull {wanted} times the weight.", grams(off.ceil())))
            .mend(format!(
                "Or fit motors, blades or cells that pull {} more at each motor.",
                grams(more.ceil())
            ));
    }
    let figure = Lines::of(proof)
        .facts(&stand)
        .given("motors", drives.len() as f64, Unit::Count, "places of the craft")
        .result("full thrust", &stand, Unit::GramsForce, "sum over the motors")
        .given(
            "thinner air",
            thin,
            Unit::Ratio,
            "air of a stand over the thinnest flown in, by altitude and the hottest air",
        )
        .given("limit of the throttle", throttle, Unit::Percent, "plan, 100 % where none is said")
        .given("thrust there over full thrust", share, Unit::Ratio, "by the stand, else a power of the throttle")
        .result("mass", whole, Unit::Grams, "figure craft.mass")
        .figure(
            "craft.thrust_to_weight",
            "full thrust over weight",
            (&result, Unit::Ratio),
            "ratio = Σ full thrust · share at the limit of the throttle / thinner air / mass; one gram weighs one gram-force",
            limit.source,
        );
    finding.figure = Some(figure.id.clone());
    Answer { findings: vec![finding], figures: vec![figure] }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::{figures, is_sound, set, told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&told(&THRUST_TO_WEIGHT, spoil));
    }

    #[test]
    fn a_light_craft_with_strong_motors_is_sound() {
        is_sound(&THRUST_TO_WEIGHT);
    }

    /// Half of the throttle leaves 0.5^1.6 or so of the thrust: what no limit would leave sound is not.
    #[test]
    fn a_limit_of_the_throttle_takes_thrust_away() {
        check(
            |craft| set(craft, "craft.throttle_limit", "45 %"),
            expect![[r#"
            tight · thrust of all motors · 0.49 · 100 %
              The motors pull 2.3 times the weight, 3 is wanted: little is left for wind
              > Raise the limit of the throttle above 45 %: without it they pull 7.6 times the weight.
              > Take 42 g off, and the motors pull 3 times the weight.
              > Or fit motors, blades or cells that pull 103 g more at each motor.
        "#]],
        );
    }

    #[test]
    fn weak_motors_are_broken() {
        check(
            |craft| set(craft, "motor.thrust_full", "70 gf, measured"),
            expect![[r#"
            broken · thrust of all motors · -0.191 · 0 %
              The motors pull 1.6 times the weight: it will not climb out of trouble
              > Take 81 g off, and the motors pull 3 times the weight.
              > Or fit motors, blades or cells that pull 61 g more at each motor.
        "#]],
        );
    }

    #[test]
    fn little_in_hand_is_tight() {
        check(
            |craft| set(craft, "motor.thrust_full", "115 gf, measured"),
            expect![[r#"
            tight · thrust of all motors · 0.844 · 100 %
              The motors pull 2.6 times the weight, 3 is wanted: little is left for wind
              > Take 21 g off, and the motors pull 3 times the weight.
              > Or fit motors, blades or cells that pull 16 g more at each motor.
        "#]],
        );
    }

    #[test]
    fn doubt_may_decide_and_the_thrust_is_measured_first() {
        check(
            |craft| set(craft, "motor.thrust_full", "82 gf, typical"),
            expect![[r#"
            tight · thrust of all motors · 0.085 · 59 %
              The motors pull 1.9 times the weight, 3 is wanted: little is left for wind
              > Take 65 g off, and the motors pull 3 times the weight.
              > Or fit motors, blades or cells that pull 49 g more at each motor.
              ? thrust at full throttle of "1404 motor"
        "#]],
        );
    }

    #[test]
    fn ducts_ask_for_less() {
        check(
            |craft| {
                craft.class = Some(craft::CraftClass::Ducted3);
                set(craft, "motor.thrust_full", "115 gf, measured");
            },
            expect![[r#"
                sound · thrust of all motors · 0.844 · 100 %
                  The motors pull 2.6 times the weight
            "#]],
        );
    }

    #[test]
    fn the_stand_serves_where_full_thrust_is_not_given() {
        check(
            |craft| set(craft, "motor.thrust_full", ""),
            expect![[r#"
            sound · thrust of all motors · 5.786 · 100 %
              The motors pull 7.6 times the weight
        "#]],
        );
    }

    #[test]
    fn missing_thrust_and_masses_are_named() {
        check(
            |craft| {
                set(craft, "motor.thrust_full", "");
                craft.parts.iter_mut().find(|part| part.id.as_str() == "motor").unwrap().tables.clear();
                set(craft, "pack.mass", "");
            },
            expect![[r#"
                unknown · thrust of all motors
                  Nobody can say yet: the thrust at full throttle of "1404 motor" and the mass of "650 pack" are not known
                  > Measure or look up the thrust at full throttle of "1404 motor".
                  > Measure or look up the mass of "650 pack".
            "#]],
        );
        check(
            |craft| set(craft, "pack.mass", ""),
            expect![[r#"
            unknown · thrust of all motors
              Nobody can say yet: the mass of "650 pack" is not known; with the 102 g known so far the motors pull 12.9 times the weight
              > Measure or look up the mass of "650 pack".
        "#]],
        );
    }

    #[test]
    fn what_is_broken_stays_broken_whatever_else_weighs() {
        check(
            |craft| {
                set(craft, "motor.thrust_full", "40 gf, measured");
                set(craft, "lens.mass", "");
            },
            expect![[r#"
                broken · thrust of all motors · -0.874 · 0 %
                  The motors pull 0.9 times the weight: it will not climb out of trouble
                  > Take 120 g off, and the motors pull 3 times the weight.
                  > Or fit motors, blades or cells that pull 90 g more at each motor.
            "#]],
        );
    }

    #[test]
    fn a_craft_without_motors_is_not_judged() {
        check(|craft| craft.places.retain(|place| !place.id.as_str().starts_with("m-")), expect![[r#""#]]);
    }

    #[test]
    fn the_working_adds_up() {
        expect![[r#"
            craft.thrust_to_weight: full thrust over weight = 7.586 ± 0.219 (measured)
              ratio = Σ full thrust · share at the limit of the throttle / thinner air / mass; one gram weighs one gram-force
              thrust at full throttle of "1404 motor" = 330 ± 9.526 gf · measured
              motors = 4 · places of the craft
              full thrust = 1320 ± 38.105 gf · sum over the motors
              thinner air = 1 · air of a stand over the thinnest flown in, by altitude and the hottest air
              limit of the throttle = 100 % · plan, 100 % where none is said
              thrust there over full thrust = 1 · by the stand, else a power of the throttle
              mass = 174 ± 0.332 g · figure craft.mass
              common practice: full thrust over weight, open blades
        "#]]
        .assert_eq(&figures(&THRUST_TO_WEIGHT));
    }
}
