//! Laws: how every distance follows every fact, against moving the fact and building the craft anew.
//!
//! The nearest place of two solids may jump from one edge to another when a fact grows and back when it shrinks:
//! there no slope holds for both sides. Where the two one-sided differences disagree, no more is asked than that
//! the slope lies between them. Of solids that overlap by more than a little, outlines are left out: the least way out
//! of an outline with corners may turn with each fact.
#![allow(clippy::unwrap_used)]

use crate::Proof;
use crate::testing::{nudge, row, set};
use crate::testing_stack::sound_bay;
use craft::Craft;
use fit::distance_between;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

/// How far a fact is moved.
const STEP: f64 = 1e-4;
/// How far a slope may be off: second order and rounding of distances at this step.
const WITHIN: f64 = 2e-3;
/// The same where two solids overlap: the way out of a round solid is found to a hundredth or two of a radian.
const WITHIN_DEEP: f64 = 3e-2;
/// Overlapping by less, an outline is followed too.
const SHALLOW: f64 = 5e-3;

/// Compares slope and differences for each of these facts and every near pair that leans on it; says how many
/// comparisons were made and how many were one-sided.
fn held(craft: &Craft, wanted: impl Fn(usize, &str) -> bool) -> (usize, usize) {
    let proof = Proof::new(craft);
    let near = proof.near_pairs().unwrap();
    let (mut compared, mut one_sided) = (0, 0);
    let ledger = proof.ledger();
    let facts = ledger.entries().iter().enumerate().filter(|(n, entry)| wanted(*n, &entry.path.0));
    for (number, entry) in facts {
        let fact = quantity::FactIndex(number as u32);
        let leaning: Vec<_> =
            near.iter().filter(|pair| pair.margin.slopes.iter().any(|(f, _)| *f == fact)).collect();
        if leaning.is_empty() {
            continue;
        }
        let moved = [-STEP, STEP].map(|step| nudge(craft, &entry.path.0, step));
        let proofs = moved.each_ref().map(Proof::new);
        for pair in leaning {
            let at = |proof: &Proof| {
                let solids = &proof.inputs().solids;
                let of = [pair.clearance.a, pair.clearance.b].map(|index| &solids[index.0 as usize].solid);
                distance_between(of[0], of[1]).unwrap().distance.get()
            };
            let here = pair.clearance.gap.distance.get();
            let (back, ahead) = ((here - at(&proofs[0])) / STEP, (at(&proofs[1]) - here) / STEP);
            let outline = [pair.clearance.a, pair.clearance.b].iter().any(|index| {
                matches!(proof.inputs().solids[index.0 as usize].solid.shape, fit::Shape::Prism(_))
            });
            if here < -SHALLOW && outline {
                continue;
            }
            let slope = pair.margin.slope_on(fact);
            compared += 1;
            let within = if here < 0.0 { WITHIN_DEEP } else { WITHIN };
            if (back - ahead).abs() > within {
                one_sided += 1;
                let (low, high) = (back.min(ahead) - 0.05, back.max(ahead) + 0.05);
                assert!((low..=high).contains(&slope), "{}: {slope} not in {low} to {high}", entry.path);
                continue;
            }
            let names = [pair.clearance.a, pair.clearance.b]
                .map(|index| proof.inputs().solids[index.0 as usize].solid.name.clone());
            assert!(
                (slope - (back + ahead) / 2.0).abs() < within,
                "{} between {names:?} {here} apart: slope {slope}, back {back} ahead {ahead}, {:?}",
                entry.path,
                pair.clearance.gap
            );
        }
    }
    (compared, one_sided)
}

/// The bay with every place turned and shifted a little, each turn with a doubt of its own, and with upright
/// plates, ducts, cylinders and blocks added, so that each way of building a solid takes part.
fn tilted(seed: &[f64]) -> Craft {
    let mut craft = sound_bay();
    let wall = [
        ("name", "front wall"),
        ("material", "carbon"),
        ("stands", "across"),
        ("thickness", "2 mm, measured"),
        ("x", "6 mm, measured"),
        ("z", "1 mm, measured"),
        ("outline", "-12,0; 12,0; 12,9; -12,9"),
    ];
    row(&mut craft, "frame", "plate", &wall);
    // Components that keep from their holes as stated, and holes listed one by one.
    set(&mut craft, "fc.pattern[0].clear", "5.2 mm, measured");
    set(&mut craft, "frame.pattern[1].holes", "10,10; -10,10.2; -10,-10; 10,-10.1");
    for (axis, x) in [("x", "-4 mm, measured"), ("y", "2 mm, measured"), ("z", "8 mm, measured")] {
        let body = [
            ("role", "component"),
            ("shape", "cylinder"),
            ("axis", axis),
            ("diameter", "4 mm, measured"),
            ("length", "7 mm, measured"),
            ("x", x),
            ("y", "3 mm, measured"),
            ("z", "9 mm, measured"),
        ];
        row(&mut craft, "vtx", "body", &body);
    }
    let turn = |n: usize| seed[n % seed.len()];
    // Within the 60 mm that the antenna wants.
    set(&mut craft, "rx.body[0].x", "-14 mm, measured");
    set(&mut craft, "frame.antenna_mount[0].lean", &format!("{} ± 2°, measured", 20.0 * turn(4)));
    set(&mut craft, "frame.antenna_mount[0].toward", &format!("{} ± 2°, measured", 90.0 * turn(6)));
    for (n, id) in
        ["frame", "vtx", "fc", "cam", "antenna", "pack", "rx", "m-rl", "adapter"].iter().enumerate()
    {
        for (k, key) in ["yaw", "pitch", "roll"].iter().enumerate() {
            set(
                &mut craft,
                &format!("place {id}.{key}"),
                &format!("{} ± 1°, measured", 9.0 * turn(3 * n + k)),
            );
        }
        let z = craft.places.iter().find(|p| p.id.as_str() == *id).unwrap().item();
        let z = z.read(&craft::schema::place::Z).unwrap().value.get();
        set(&mut craft, &format!("place {id}.z"), &format!("{} mm, measured", z + 0.3 * turn(5 * n + 1)));
        set(&mut craft, &format!("place {id}.y"), &format!("{} mm, measured", 0.4 * turn(7 * n + 2)));
    }
    craft
}

#[test]
fn every_distance_follows_every_fact_of_a_craft_as_its_slope_says() {
    let seed = [0.31, -0.72, 0.55, 0.94, -0.18, 0.67, -0.43, 0.12, -0.86, 0.29, 0.78];
    let (compared, one_sided) = held(&tilted(&seed), |_, _| true);
    assert!(compared > 1_000, "{compared}");
    assert!(one_sided * 20 < compared, "{one_sided} of {compared}");
    assert!(held(&tilted(&seed), |_, path| path.ends_with("lean") || path.ends_with("toward")).0 > 0);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, failure_persistence: None, rng_seed: RngSeed::Fixed(41), ..ProptestConfig::default() })]
    #[test]
    fn slopes_hold_however_the_parts_are_turned(
        seed in proptest::collection::vec(-1.0..1.0f64, 29),
        which in 0usize..17,
    ) {
        let (compared, one_sided) = held(&tilted(&seed), |n, _| n % 17 == which);
        prop_assert!(one_sided * 4 <= compared + 8, "{} of {}", one_sided, compared);
    }
}
