//! Masses, moments and balance against closed forms of mechanics, and their laws.

#![allow(clippy::unwrap_used)]

use fit::{
    BodyPoint, BodyVector, Drift, DriftField, Hole, MassProperties, Outline, OwnerIndex, PlanePoint, Pose,
    Role, Shape, Solid, WeighedPart, balance, slide_to_balance, thrust_centre,
};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use quantity::{Degrees, FactIndex, Grams, Linear, Millimetres};

fn mm(x: f64) -> Millimetres {
    Millimetres::new(x)
}
fn g(x: f64) -> Grams {
    Grams::new(x)
}
fn at(x: f64, y: f64, z: f64) -> Pose {
    Pose::at(BodyPoint::new(x, y, z))
}
fn cuboid(x: f64, y: f64, z: f64) -> Shape {
    Shape::cuboid(mm(x), mm(y), mm(z)).unwrap()
}
fn solid(shape: Shape, pose: Pose) -> Solid {
    Solid { name: "s".into(), owner: OwnerIndex(0), role: Role::Other, shape, pose, drifts: vec![] }
}
fn diagonal(m: &MassProperties) -> [f64; 3] {
    let i = m.inertia();
    [i[0][0].get(), i[1][1].get(), i[2][2].get()]
}
#[track_caller]
fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-9 * expected.abs().max(1.0), "found {found}, expected {expected}");
}

#[test]
fn a_box_and_a_rod_turn_as_the_handbook_says() {
    let [x, y, z] = diagonal(&MassProperties::filled(&cuboid(30.0, 20.0, 10.0), Pose::IDENTITY, g(12.0)));
    near(x, 12.0 / 12.0 * (400.0 + 100.0));
    near(y, 12.0 / 12.0 * (900.0 + 100.0));
    near(z, 12.0 / 12.0 * (900.0 + 400.0));
    let rod = Shape::cylinder(mm(2.0), mm(50.0)).unwrap();
    let [x, _, z] = diagonal(&MassProperties::filled(&rod, Pose::IDENTITY, g(6.0)));
    near(z, 6.0 * 4.0 / 2.0);
    near(x, 6.0 * (3.0 * 4.0 + 2500.0) / 12.0);
}

#[test]
fn a_plate_is_a_box_and_a_ring_is_two_discs() {
    let plate = Shape::prism(Outline::rectangle(mm(30.0), mm(20.0), vec![]).unwrap(), mm(10.0)).unwrap();
    let by_prism = MassProperties::filled(&plate, at(0.0, 0.0, -5.0), g(12.0));
    let by_box = MassProperties::filled(&cuboid(30.0, 20.0, 10.0), Pose::IDENTITY, g(12.0));
    for (a, b) in diagonal(&by_prism).into_iter().zip(diagonal(&by_box)) {
        near(a, b);
    }
    // Square 20 x 20 less a hole of diameter 10, 2 thick, 1 g/mm³ for the ease of it:
    // I about z = (800·(400 + 400)/12 − π·25·2·25/2).
    let hole = Hole::Round { centre: PlanePoint::default(), diameter: mm(10.0) };
    let drilled = Shape::prism(Outline::rectangle(mm(20.0), mm(20.0), vec![hole]).unwrap(), mm(2.0)).unwrap();
    near(drilled.volume_mm3(), 800.0 - 50.0 * std::f64::consts::PI);
    let mass = g(drilled.volume_mm3());
    let [_, _, z] = diagonal(&MassProperties::filled(&drilled, Pose::IDENTITY, mass));
    near(z, 800.0 * 800.0 / 12.0 - 625.0 * std::f64::consts::PI);
}

#[test]
fn a_slot_equals_a_rectangle_and_two_half_discs_cut_out() {
    // A slot whose moments come out of two round holes as its length goes to nought, and of a long window.
    let slot = |length: f64| Hole::Slot {
        from: PlanePoint::new(1.0 - length / 2.0, 2.0),
        to: PlanePoint::new(1.0 + length / 2.0, 2.0),
        width: mm(4.0),
    };
    let plate = |hole: Hole| {
        let shape =
            Shape::prism(Outline::rectangle(mm(40.0), mm(20.0), vec![hole]).unwrap(), mm(1.0)).unwrap();
        let volume = shape.volume_mm3();
        (volume, diagonal(&MassProperties::filled(&shape, Pose::IDENTITY, g(volume))))
    };
    let fine = |length: f64| {
        let hole = slot(length);
        Hole::Polygon(hole.corners())
    };
    for length in [0.5, 3.0, 12.0] {
        let ((va, a), (vb, b)) = (plate(slot(length)), plate(fine(length)));
        // The flats of the drawn slot lie within 0.001 mm of the true ones, over 24 mm and the round ends.
        assert!((va - vb).abs() < 0.04, "{va} {vb}");
        for (a, b) in a.into_iter().zip(b) {
            assert!((a - b).abs() < 2e-4 * a, "{a} {b}");
        }
    }
}

#[test]
fn a_part_spreads_its_mass_by_volume() {
    // A big and a small cube, eight to one, 9 mm apart: balance at 1 mm.
    let parts =
        [solid(cuboid(10.0, 10.0, 10.0), at(0.0, 0.0, 0.0)), solid(cuboid(5.0, 5.0, 5.0), at(9.0, 0.0, 0.0))];
    let part = MassProperties::part(&parts, g(9.0));
    near(part.mass.get(), 9.0);
    near(part.centre.x(), 1.0);
}

#[test]
fn balance_follows_masses_and_places() {
    let mut pack = solid(cuboid(60.0, 30.0, 20.0), at(-10.0, 0.0, 20.0));
    let shift = Drift { fact: FactIndex(7), field: DriftField::Shift(BodyVector::X) };
    pack.drifts.push(shift);
    let frame = solid(cuboid(100.0, 100.0, 5.0), at(2.0, 1.0, 0.0));
    let weighed = |mass: f64, fact: u32| Linear { value: mass, slopes: vec![(FactIndex(fact), 1.0)] };
    let whole = |pack: &Solid, m: f64| {
        balance(&[
            WeighedPart { solids: vec![pack], mass: weighed(m, 0) },
            WeighedPart { solids: vec![&frame], mass: weighed(200.0, 1) },
        ])
    };
    let thrust =
        thrust_centre(&[BodyPoint::new(50.0, 50.0, 0.0), BodyPoint::new(-50.0, -50.0, 0.0)]).unwrap();
    let now = whole(&pack, 150.0);
    near(now.mass.value, 350.0);
    near(now.centre[0].value, (150.0 * -10.0 + 200.0 * 2.0) / 350.0);
    let offset = now.offset_from(thrust);
    let slope = |fact: u32| offset.slopes.iter().find(|s| s.0 == FactIndex(fact)).unwrap().1;
    let heavier = whole(&pack, 150.001).offset_from(thrust).value;
    assert!((slope(0) - (heavier - offset.value) / 0.001).abs() < 1e-5);
    let mut forward = pack.clone();
    forward.pose = at(-9.999, 0.0, 20.0);
    let moved = whole(&forward, 150.0).offset_from(thrust).value;
    assert!((slope(7) - (moved - offset.value) / 0.001).abs() < 1e-4);
    // Sliding the pack mends the offset along x.
    let slide = slide_to_balance(mm(now.centre[0].value), g(350.0), g(150.0)).unwrap();
    let mut mended = pack.clone();
    mended.pose = at(-10.0 - slide.get(), 0.0, 20.0);
    assert!(whole(&mended, 150.0).centre[0].value.abs() < 1e-9);
}

#[test]
fn nothing_balances_nowhere_without_a_panic() {
    let none = balance(&[]);
    near(none.mass.value, 0.0);
    assert!(thrust_centre(&[]).is_none() && slide_to_balance(mm(1.0), g(1.0), g(0.0)).is_none());
}

/// The same cases every time.
fn seeded(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        rng_seed: RngSeed::Fixed(11),
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(seeded(64))]

    #[test]
    fn principal_moments_do_not_change_with_the_turn(
        size in (1.0..80.0f64, 1.0..80.0f64, 1.0..80.0f64),
        turn in (-180.0..180.0f64, -90.0..90.0f64, -180.0..180.0f64),
        place in (-50.0..50.0f64, -50.0..50.0f64, -50.0..50.0f64),
    ) {
        let shape = cuboid(size.0, size.1, size.2);
        let pose = Pose::turned(BodyPoint::new(place.0, place.1, place.2),
            Degrees::new(turn.0), Degrees::new(turn.1), Degrees::new(turn.2));
        let moments = |p: Pose| MassProperties::filled(&shape, p, g(10.0)).principal();
        for (a, b) in moments(pose).into_iter().zip(moments(Pose::IDENTITY)) {
            prop_assert!((a.0.get() - b.0.get()).abs() < 1e-7 * b.0.get().max(1.0));
        }
    }

    #[test]
    fn a_box_cut_in_two_turns_as_one(cut in 0.1..0.9f64, turn in -180.0..180.0f64) {
        let (a, b) = (20.0 * cut, 20.0 * (1.0 - cut));
        let frame = Pose::turned(BodyPoint::new(3.0, 4.0, 5.0),
            Degrees::new(turn), Degrees::new(turn / 3.0), Degrees::new(-turn));
        let piece = |x: f64, middle: f64| MassProperties::filled(&cuboid(x, 8.0, 6.0),
            frame * fit::InPart::at(fit::PartPoint::new(middle, 0.0, 0.0)), g(x));
        let both = MassProperties::together([piece(a, -10.0 + a / 2.0), piece(b, 10.0 - b / 2.0)]);
        let whole = MassProperties::filled(&cuboid(20.0, 8.0, 6.0), frame, g(20.0));
        for (x, y) in both.inertia().into_iter().flatten().zip(whole.inertia().into_iter().flatten()) {
            prop_assert!((x.get() - y.get()).abs() < 1e-8);
        }
    }
}
