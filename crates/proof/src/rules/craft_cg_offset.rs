//! Does the craft balance near the middle of its thrust?

use crate::limits::CG_OFFSET;
use crate::numbers::{grams, listed, mm, rounded};
use crate::rule::rule;
use crate::standing::standing;
use crate::subject::{Stand, all_up_mass, balance_figures, motor_layout, stays_on_the_ground};
use crate::working::Lines;
use crate::{Answer, Finding, Proof, Verdict};
use craft::schema::{PartKind, frame};
use fit::slide_to_balance;
use quantity::{Grams, Linear, Millimetres, Source, Unit};

rule! {
    /// Does the craft balance near the middle of its thrust?
    ///
    /// ## Why
    /// Off balance, two motors work harder than the others all the time: less is left in hand on that side, and
    /// they run hotter.
    ///
    /// ## Sound when
    /// Seen from above, the balance point lies within 5 % of the arm's length from the middle of the
    /// motors; over 10 % it is broken. The arm's length is the mean distance from that middle to the motors.
    ///
    /// ## Rests on
    /// Mass and place of every part that flies, each spread evenly over its body, and where the motors stand.
    /// Common practice.
    ///
    /// ## Mend
    /// Slide the pack.
    BALANCED = "craft.cg_offset", run
}

const SUBJECT: &str = "balance point";

fn run(proof: &Proof) -> Answer {
    let mut answer = balanced(proof);
    answer.figures.extend(balance_figures(proof));
    answer
}

fn balanced(proof: &Proof) -> Answer {
    let packs: Vec<_> = proof.places_of(PartKind::Pack).collect();
    let motors = proof.places_of(PartKind::Motor).count();
    if packs.is_empty() || motors < 2 {
        return Answer::default();
    }
    let Some(layout) = motor_layout(proof) else {
        let finding = Finding::new(
            BALANCED.id,
            Verdict::Unknown,
            SUBJECT,
            "Nobody can say yet: a motor stands nowhere, so the middle of the thrust is not known",
        );
        return Answer::of(finding.mend("Seat every motor on a motor mount of the frame."));
    };
    let weights = proof.weights();
    if !weights.missing.is_empty() {
        return Answer::of(Finding::unknown(BALANCED.id, SUBJECT, weights.missing.clone()));
    }
    let Some(balance) = &weights.balance else { return Answer::default() };
    if let Some(finding) = nowhere(proof, balance.mass.value) {
        return Answer::of(finding);
    }
    let middle = [0, 1].map(|axis| mean(layout.iter().map(|stand| stand.along[axis].clone()), layout.len()));
    let beside = [0, 1].map(|axis| &balance.centre[axis] - &middle[axis]);
    let offset = length(&beside[0], &beside[1]);
    let arm = mean(
        layout.iter().map(|stand| length(&(&stand.along[0] - &middle[0]), &(&stand.along[1] - &middle[1]))),
        layout.len(),
    );
    if arm.value <= 0.0 {
        return Answer::default(); // All motors on one axis: there is no arm to measure by.
    }
    let share = 100.0 * offset.value / arm.value;
    let share = Linear::chained(share, &[(100.0 / arm.value, &offset), (-share / arm.value, &arm)]);
    let standing = standing(proof, &share, &CG_OFFSET);
    let (x, y) = (beside[0].value, beside[1].value);
    let verdict = standing.verdict;
    let message = match (verdict, harder(&layout, x, y, [middle[0].value, middle[1].value])) {
        (Verdict::Sound, _) | (_, None) => {
            format!("The balance point is {} off the middle of the thrust", mm(offset.value))
        }
        (_, Some(work)) => format!("The balance point is {}: {work}", listed(&off(x, y))),
    };
    let mut finding = standing.finding(BALANCED.id, SUBJECT, message);
    finding.places.extend(packs.iter().map(|pack| pack.place.id.clone()));
    if verdict != Verdict::Sound {
        let moved: f64 = packs
            .iter()
            .filter_map(|pack| pack.part.item().read(&frame::MASS).ok())
            .map(|mass| mass.value.get())
            .sum();
        let whole = Grams::new(balance.mass.value);
        let slide = |by: f64| {
            slide_to_balance(Millimetres::new(by), whole, Grams::new(moved)).map_or(0.0, Millimetres::get)
        };
        let (along, across) = (slide(-x), slide(-y));
        let ways = ways(along, across);
        if along.hypot(across) > arm.value {
            // Farther than the motors stand from the middle there is nothing to strap it to.
            let mend =
                "Sliding the pack cannot balance it: bring what is heavy nearer to the middle of the motors.";
            finding = finding.mend(mend);
        } else if !ways.is_empty() {
            let pack = if packs.len() == 1 { "the pack" } else { "the packs" };
            finding = finding.mend(format!("Slide {pack} {}.", listed(&ways)));
        }
    }
    let figure = Lines::of(proof)
        .result("mass", &balance.mass, Unit::Grams, "sum over all parts that fly")
        .result("balance point, forward", &balance.centre[0], Unit::Millimetres, "Σ mass · place / mass")
        .result("balance point, left", &balance.centre[1], Unit::Millimetres, "Σ mass · place / mass")
        .result("middle of the motors, forward", &middle[0], Unit::Millimetres, "mean over the motors")
        .result("middle of the motors, left", &middle[1], Unit::Millimetres, "mean over the motors")
        .result("offset", &offset, Unit::Millimetres, "√(forward² + left²) of the difference")
        .result("arm", &arm, Unit::Millimetres, "mean distance from the middle to the motors")
        .figure(
            "craft.cg_offset",
            "balance point off the thrust centre, share of the arm",
            (&share, Unit::Percent),
            "share = 100 % · offset / arm",
            Source::common_practice("balance within a twentieth of the arm"),
        );
    finding.figure = Some(figure.id.clone());
    Answer { findings: vec![finding], figures: vec![figure] }
}

/// Parts that weigh something and stand nowhere yet: without them the balance point is a guess.
fn nowhere(proof: &Proof, balanced: f64) -> Option<Finding> {
    let rest = all_up_mass(proof).known.value - balanced;
    if rest < 1e-6 * balanced {
        return None;
    }
    let loose: Vec<_> = proof
        .craft
        .places
        .iter()
        .enumerate()
        .filter(|(number, _)| proof.inputs().seat(*number).is_none())
        .filter_map(|(_, place)| proof.craft.part_at(place).map(|part| (place, part)))
        .filter(|(_, part)| !stays_on_the_ground(part.kind))
        .collect();
    let names: Vec<&str> = loose.iter().map(|(_, part)| part.name.as_str()).collect();
    let stands = if names.len() == 1 { "stands" } else { "stand" };
    let message = format!("Nobody can say yet: {} ({} in all) {stands} nowhere", listed(&names), grams(rest));
    let finding = Finding::new(BALANCED.id, Verdict::Unknown, SUBJECT, message);
    Some(finding.at(loose.iter().map(|(place, _)| place.id.clone())).mend("Say what each is seated on."))
}

fn mean(values: impl Iterator<Item = Linear>, count: usize) -> Linear {
    values.fold(Linear::exact(0.0), |sum, value| sum + value) * (1.0 / count as f64)
}

/// √(x² + y²) with its facts.
fn length(x: &Linear, y: &Linear) -> Linear {
    let length = x.value.hypot(y.value);
    if length == 0.0 {
        return Linear::exact(0.0);
    }
    Linear::chained(length, &[(x.value / length, x), (y.value / length, y)])
}

/// Below this a part of the offset is not worth a word, in mm.
const WORTH_A_WORD: f64 = 0.5;

/// Where the balance point lies, in words.
fn off(x: f64, y: f64) -> Vec<String> {
    let side = |by: f64, plus: &str, minus: &str| {
        (by.abs() >= WORTH_A_WORD)
            .then(|| format!("{} too far {}", mm(by.abs()), if by > 0.0 { plus } else { minus }))
    };
    [side(x, "forward", "back"), side(y, "left", "right")].into_iter().flatten().collect()
}

/// Which way to slide, in words.
fn ways(x: f64, y: f64) -> Vec<String> {
    let side = |by: f64, plus: &str, minus: &str| {
        (by.abs() >= WORTH_A_WORD)
            .then(|| format!("{} mm {}", rounded(by.abs(), 0), if by > 0.0 { plus } else { minus }))
    };
    [side(x, "forward", "back"), side(y, "left", "to the right")].into_iter().flatten().collect()
}

/// Which motors work harder and by how much: thrust on one side grows by offset over lever.
fn harder(layout: &[Stand], x: f64, y: f64, middle: [f64; 2]) -> Option<String> {
    let lever = |axis: usize| {
        layout.iter().map(|stand| (stand.at.coordinates()[axis] - middle[axis]).abs()).sum::<f64>()
            / layout.len() as f64
    };
    let (axis, by, plus, minus) =
        if x.abs() >= y.abs() { (0, x, "front", "rear") } else { (1, y, "left", "right") };
    (lever(axis) > 0.0 && by.abs() >= WORTH_A_WORD).then(|| {
        let side = if by > 0.0 { plus } else { minus };
        format!(
            "the {side} motors work {} % harder than the mean",
            rounded(100.0 * by.abs() / lever(axis), 0)
        )
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::testing::{figures, is_sound, names_missing, remove_place, set, told};
    use craft::Craft;
    use expect_test::{Expect, expect};

    fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
        expected.assert_eq(&told(&BALANCED, spoil));
    }

    #[test]
    fn a_craft_that_balances_in_the_middle_is_sound() {
        is_sound(&BALANCED);
    }

    #[test]
    fn a_pack_too_far_back_is_broken() {
        check(
            |craft| set(craft, "place pack.x", "-20 mm"),
            expect![[r#"
            broken · balance point · -3.293 % · 0 %
              The balance point is 9.4 mm too far back: the rear motors work 19 % harder than the mean
              > Slide the pack 23 mm forward.
        "#]],
        );
    }

    #[test]
    fn a_pack_a_little_to_the_side_is_tight() {
        check(
            |craft| set(craft, "place pack.y", "12 mm"),
            expect![[r#"
            tight · balance point · 2.8 % · 100 %
              The balance point is 1.1 mm too far back and 5 mm too far left: the left motors work 10 % harder than the mean
              > Slide the pack 3 mm forward and 12 mm to the right.
        "#]],
        );
    }

    #[test]
    fn sliding_as_told_mends_it() {
        let sound = told(&BALANCED, |craft| {
            set(craft, "place pack.x", &format!("{} mm", -20 + 23));
        });
        assert!(sound.starts_with("sound"), "{sound}");
    }

    #[test]
    fn what_sliding_the_pack_cannot_balance_is_said() {
        let heavy = told(&BALANCED, |craft| {
            set(craft, "place pack.x", "-20 mm");
            set(craft, "cam.mass", "900 g");
        });
        assert!(
            heavy.contains("Sliding the pack cannot balance it") && !heavy.contains("Slide the"),
            "{heavy}"
        );
    }

    #[test]
    fn an_unknown_mass_is_named() {
        names_missing(&BALANCED, "pack.mass", "balance point", r#"mass of "650 pack""#);
    }

    #[test]
    fn without_a_pack_there_is_nothing_to_balance() {
        check(|craft| remove_place(craft, "pack"), expect![[r#""#]]);
    }

    #[test]
    fn a_motor_that_stands_nowhere_leaves_it_unknown() {
        check(
            |craft| {
                craft
                    .places
                    .iter_mut()
                    .filter(|place| place.id.as_str() == "m-fl")
                    .for_each(|place| place.on = None)
            },
            expect![[r#"
                unknown · balance point
                  Nobody can say yet: a motor stands nowhere, so the middle of the thrust is not known
                  > Seat every motor on a motor mount of the frame.
            "#]],
        );
    }

    #[test]
    fn a_part_that_stands_nowhere_is_named() {
        check(
            |craft| {
                craft
                    .places
                    .iter_mut()
                    .filter(|place| place.id.as_str() == "esc")
                    .for_each(|place| place.on = None)
            },
            expect![[r#"
                unknown · balance point
                  Nobody can say yet: four-way controller (7.4 g in all) stands nowhere
                  > Say what each is seated on.
            "#]],
        );
    }

    #[test]
    fn the_working_shows_both_middles() {
        expect![[r#"
            craft.cg_offset: balance point off the thrust centre, share of the arm = 1.589 ± 0.058 % (measured)
              share = 100 % · offset / arm
              mass = 174 ± 0.332 g · sum over all parts that fly
              balance point, forward = -1.124 ± 0.029 mm · Σ mass · place / mass
              balance point, left = 0 ± 0 mm · Σ mass · place / mass
              middle of the motors, forward = 0 ± 0.029 mm · mean over the motors
              middle of the motors, left = 0 ± 0.029 mm · mean over the motors
              offset = 1.124 ± 0.041 mm · √(forward² + left²) of the difference
              arm = 70.711 ± 0.029 mm · mean distance from the middle to the motors
              common practice: balance within a twentieth of the arm
            craft.balance_forward: balance point forward of the origin = -1.124 ± 0.029 mm (measured)
              Σ mass · place / M, each part evenly filled
              mass M = 174 ± 0.332 g · sum over all parts that fly
              textbook mechanics of rigid bodies, centre of mass (memory)
            craft.balance_left: balance point left of the origin = 0 ± 0 mm (measured)
              Σ mass · place / M, each part evenly filled
              mass M = 174 ± 0.332 g · sum over all parts that fly
              textbook mechanics of rigid bodies, centre of mass (memory)
            craft.balance_up: balance point above the origin = 17.529 ± 0.3 mm (typical)
              Σ mass · place / M, each part evenly filled
              mass M = 174 ± 0.332 g · sum over all parts that fly
              textbook mechanics of rigid bodies, centre of mass (memory)
            craft.inertia_roll: moment of inertia about the forward axis = 158039.156 ± 2259.226 g·mm² (typical)
              Σ (own I + mass · (left² + up²))
              mass M = 174 ± 0.332 g · sum over all parts that fly
              balance point, forward = -1.124 ± 0.029 mm · Σ mass · place / M
              balance point, left = 0 ± 0 mm · Σ mass · place / M
              balance point, up = 17.529 ± 0.3 mm · Σ mass · place / M
              textbook mechanics of rigid bodies, parallel-axis theorem (memory)
            craft.inertia_pitch: moment of inertia about the axis to the left = 192316 ± 2271.342 g·mm² (typical)
              Σ (own I + mass · (forward² + up²))
              mass M = 174 ± 0.332 g · sum over all parts that fly
              balance point, forward = -1.124 ± 0.029 mm · Σ mass · place / M
              balance point, left = 0 ± 0 mm · Σ mass · place / M
              balance point, up = 17.529 ± 0.3 mm · Σ mass · place / M
              textbook mechanics of rigid bodies, parallel-axis theorem (memory)
            craft.inertia_yaw: moment of inertia about the upright axis = 237093.843 ± 1432.852 g·mm² (measured)
              Σ (own I + mass · (forward² + left²))
              mass M = 174 ± 0.332 g · sum over all parts that fly
              balance point, forward = -1.124 ± 0.029 mm · Σ mass · place / M
              balance point, left = 0 ± 0 mm · Σ mass · place / M
              balance point, up = 17.529 ± 0.3 mm · Σ mass · place / M
              textbook mechanics of rigid bodies, parallel-axis theorem (memory)
        "#]].assert_eq(&figures(&BALANCED));
    }
}
