//! Free tilts against closed forms, against plain trying, and the laws they keep.

#![allow(clippy::unwrap_used)]

mod poses;
mod scenes;

use fit::{
    Air, Body, BodyPoint, BodyVector, Drift, DriftField, FreeTilt, Hole, Outline, Placement, PlanePoint,
    Role, Scene, Shape, Solid, SolidIndex, TiltQuestion, distance_between, free_tilts, required_clearance,
    tilt_room,
};
use poses::pose;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use quantity::{Degrees, FactIndex, Linear};
use scenes::{at, cuboid, cylinder, mm, solid, turned};

fn exact(value: f64) -> Linear {
    Linear { value, slopes: vec![] }
}

struct Asked {
    turning: Vec<SolidIndex>,
    about: BodyPoint,
    axis: BodyVector,
    axis_drifts: Vec<Drift>,
    stands_at: Linear,
    range: (f64, f64),
    air: Air,
}

impl Asked {
    /// The first `turning` solids turn, nose up, about an axis through `about`.
    fn nose_up(turning: u32, about: BodyPoint, air: Air) -> Self {
        Asked {
            turning: (0..turning).map(SolidIndex).collect(),
            about,
            axis: -BodyVector::Y,
            axis_drifts: vec![],
            stands_at: exact(0.0),
            range: (-30.0, 90.0),
            air,
        }
    }
    fn of(&self, scene: &Scene) -> Vec<FreeTilt> {
        let question = TiltQuestion {
            turning: &self.turning,
            about: self.about,
            axis: self.axis,
            axis_drifts: &self.axis_drifts,
            stands_at: &self.stands_at,
            from: Degrees::new(self.range.0),
            to: Degrees::new(self.range.1),
            meant: &[],
            air: self.air,
        };
        free_tilts(scene, &question).unwrap()
    }
}

fn ends(free: &[FreeTilt]) -> Vec<(f64, f64)> {
    free.iter().map(|f| (f.low.angle.value, f.high.angle.value)).collect()
}

/// A camera, its lens and its plug between two cheeks, before a board, under a plate.
fn camera_in_a_cage(side_gap: f64) -> Scene {
    let cheek = |y: f64| turned(0.0, y, 0.0, 0.0, 0.0, 90.0);
    let outline = Outline::rectangle(
        mm(40.0),
        mm(40.0),
        vec![Hole::Round { centre: PlanePoint::default(), diameter: mm(2.2) }],
    )
    .unwrap();
    let plate = Shape::prism(outline, mm(2.0)).unwrap();
    Scene::new(vec![
        solid(0, Role::CameraBody, cuboid(19.0, 19.0, 19.0), at(0.0, 0.0, 0.0)),
        solid(0, Role::Lens, cylinder(7.0, 14.0), turned(16.0, 0.0, 0.0, 0.0, 90.0, 0.0)),
        solid(0, Role::Plug, cuboid(4.0, 8.0, 3.0), at(-11.5, 0.0, -6.0)),
        solid(1, Role::CarbonPlate, plate.clone(), cheek(9.5 + side_gap + 2.0)),
        solid(2, Role::CarbonPlate, plate, cheek(-9.5 - side_gap)),
        solid(3, Role::InsulatingPlate, cuboid(60.0, 24.0, 2.0), at(-20.0, 0.0, 17.0)),
        solid(4, Role::CarbonPlate, cuboid(80.0, 30.0, 2.0), at(-20.0, 0.0, -17.0)),
        solid(5, Role::Board, cuboid(30.0, 30.0, 5.0), at(-32.0, 0.0, -8.0)),
    ])
    .unwrap()
}

#[test]
fn a_box_under_a_ceiling_tilts_until_its_corner_touches() {
    // Corner at (±10, 6) from the axis; ceiling at 10.5: √136·sin(θ + atan(6/10)) = 10.5.
    let scene = Scene::new(vec![
        solid(0, Role::CameraBody, cuboid(20.0, 10.0, 12.0), at(0.0, 0.0, 0.0)),
        solid(1, Role::Other, cuboid(100.0, 50.0, 3.0), at(0.0, 0.0, 12.0)),
    ])
    .unwrap();
    let free = Asked::nose_up(1, BodyPoint::ORIGIN, Air::Contact).of(&scene);
    let (reach, lean) = (136f64.sqrt(), 0.6f64.atan());
    let up = ((10.5 / reach).asin() - lean).to_degrees();
    let steep = (180.0 - (10.5 / reach).asin().to_degrees()) - lean.to_degrees();
    let found = ends(&free);
    assert_eq!(found.len(), 2, "{found:?}");
    assert!((found[0].0 + up.min(30.0)).abs() < 2e-5 && (found[0].1 - up).abs() < 2e-5, "{found:?} {up}");
    // Nearly upright it has passed the ceiling again.
    assert!((found[1].0 - steep).abs() < 2e-5 && found[1].1 == 90.0, "{found:?} {steep}");
    let stop = free[0].high.stop.as_ref().unwrap();
    assert_eq!((stop.turning, stop.against), (SolidIndex(0), SolidIndex(1)));
    assert!((stop.on_against.z() - 10.5).abs() < 1e-4);
    let speed = -(reach * (up.to_radians() + lean).cos()).to_radians();
    assert!((stop.mm_per_degree - speed).abs() < 1e-4, "{} {speed}", stop.mm_per_degree);
    assert!(free[1].high.stop.is_none());
}

#[test]
fn a_cheek_at_exactly_the_air_it_needs_stops_nothing() {
    let asked = Asked::nose_up(3, BodyPoint::ORIGIN, Air::ByRole);
    let free = asked.of(&camera_in_a_cage(0.3));
    assert_eq!(free.len(), 1, "{:?}", ends(&free));
    assert!(free[0].low.angle.value < 0.0 && free[0].high.angle.value > 10.0, "{:?}", ends(&free));
    // Closer than that it is stopped at every tilt; touching is looked at apart from air.
    assert!(asked.of(&camera_in_a_cage(0.2)).is_empty());
    let bare = Asked::nose_up(3, BodyPoint::ORIGIN, Air::Contact).of(&camera_in_a_cage(0.0));
    assert_eq!(bare.len(), 1);
    assert!(bare[0].high.angle.value > free[0].high.angle.value);
}

#[test]
fn a_hair_in_the_way_is_not_jumped() {
    let hair = |r: f64| {
        Scene::new(vec![
            solid(0, Role::CameraBody, cuboid(20.0, 10.0, 0.02), at(0.0, 0.0, 0.0)),
            solid(1, Role::Other, cylinder(r, 20.0), turned(9.0, 0.0, 7.0, 0.0, 0.0, 90.0)),
        ])
        .unwrap()
    };
    let asked = Asked::nose_up(1, BodyPoint::ORIGIN, Air::Contact);
    for r in [1.0, 0.1, 0.01, 0.001, 0.0001] {
        // The tip reaches 10, the hair stands at √130 = 11.4: out of reach; nearer in it stops the blade.
        assert_eq!(asked.of(&hair(r)).len(), 1);
        let scene = hair(r).with_moved(&[SolidIndex(1)], Placement::at(BodyPoint::new(-3.0, 0.0, -1.0)));
        let found = ends(&asked.of(&scene.unwrap()));
        assert_eq!(found.len(), 2, "{r}: {found:?}");
        // Stopped by the half thickness and the radius on both sides of 45°, at the distance √72.
        let half = ((0.01 + r) / 72f64.sqrt()).asin().to_degrees();
        assert!((found[0].1 - (45.0 - half)).abs() < 1e-4, "{r}: {found:?} {half}");
        assert!((found[1].0 - (45.0 + half)).abs() < 1e-4, "{r}: {found:?} {half}");
    }
}

#[test]
fn a_wanted_tilt_is_told_inside_or_outside_and_by_how_much() {
    let free = Asked::nose_up(3, BodyPoint::ORIGIN, Air::ByRole).of(&camera_in_a_cage(0.5));
    let high = free[0].high.angle.value;
    let wanted = Linear { value: high - 4.0, slopes: vec![(FactIndex(2), 1.0)] };
    let room = tilt_room(&free, &wanted).unwrap();
    let (least, end) = room.least().unwrap();
    assert!((least.value - 4.0).abs() < 1e-9 && end.angle.value == high);
    assert_eq!(least.slopes, vec![(FactIndex(2), -1.0)]);
    let room = tilt_room(&free, &exact(high + 7.0)).unwrap();
    assert!((room.least().unwrap().0.value + 7.0).abs() < 1e-9);
    assert!(tilt_room(&[], &wanted).is_none());
}

#[test]
fn ends_follow_the_facts() {
    // Fact 0: height of the plate above. 1: axis and camera together, forward. 2: length of the camera's
    // body. 3: the set tilt, which turns the solids and is the reading itself.
    let build = |facts: [f64; 4]| {
        let [plate, forward, length, tilt] = facts;
        let base = camera_in_a_cage(0.5);
        let mut solids = base.solids().to_vec();
        solids[0].shape = cuboid(19.0 + length, 19.0, 19.0);
        let pivot = BodyPoint::new(forward, 0.0, 1.0);
        for s in &mut solids[..3] {
            s.pose = s.pose.shifted(BodyVector::X * forward);
            s.pose = s.pose.turned_further(pivot, -BodyVector::Y, Degrees::new(tilt));
            s.drifts = vec![
                Drift { fact: FactIndex(1), field: DriftField::Shift(BodyVector::X) },
                Drift {
                    fact: FactIndex(3),
                    field: DriftField::Turn {
                        about: pivot,
                        axis: -BodyVector::Y,
                        radians: 1f64.to_radians(),
                    },
                },
            ];
        }
        let x = solids[0].pose.vector(fit::PartVector::X);
        let from = solids[0].pose.origin();
        solids[0].drifts.push(Drift {
            fact: FactIndex(2),
            field: DriftField::Stretch { from, axis: x, per_unit: 1.0 / (19.0 + length) },
        });
        solids[5].pose = solids[5].pose.shifted(BodyVector::Z * plate);
        solids[5].drifts = vec![Drift { fact: FactIndex(0), field: DriftField::Shift(BodyVector::Z) }];
        let asked = Asked {
            axis_drifts: vec![Drift { fact: FactIndex(1), field: DriftField::Shift(BodyVector::X) }],
            stands_at: Linear { value: tilt, slopes: vec![(FactIndex(3), 1.0)] },
            ..Asked::nose_up(3, pivot, Air::ByRole)
        };
        asked.of(&Scene::new(solids).unwrap())
    };
    for air in 0..2 {
        let now = [0.0, 0.5 + f64::from(air), 0.0, 12.0];
        let free = build(now);
        assert_eq!(free.len(), 1);
        for end in [|f: &FreeTilt| f.low.angle.clone(), |f: &FreeTilt| f.high.angle.clone()] {
            for fact in 0..4 {
                let side = |by: f64| {
                    let mut facts = now;
                    facts[fact] += by;
                    end(&build(facts)[0]).value
                };
                let slope = (side(1e-3) - side(-1e-3)) / 2e-3;
                let known =
                    end(&free[0]).slopes.iter().find(|(f, _)| f.0 == fact as u32).map_or(0.0, |s| s.1);
                assert!((slope - known).abs() < 1e-3, "fact {fact}: {known} against {slope}");
            }
        }
    }
}

#[test]
fn questions_without_an_answer_say_why() {
    let scene = camera_in_a_cage(0.3);
    let stands_at = exact(0.0);
    let good = TiltQuestion {
        turning: &[SolidIndex(0)],
        about: BodyPoint::ORIGIN,
        axis: BodyVector::Y,
        axis_drifts: &[],
        stands_at: &stands_at,
        from: Degrees::new(0.0),
        to: Degrees::new(0.0),
        meant: &[],
        air: Air::ByRole,
    };
    assert_eq!(free_tilts(&scene, &good).unwrap().len(), 1);
    let told = |q: TiltQuestion| free_tilts(&scene, &q).unwrap_err().to_string();
    assert!(told(TiltQuestion { axis: BodyVector::ZERO, ..good }).contains("no direction"));
    assert!(told(TiltQuestion { to: Degrees::new(-5.0), ..good }).contains("-5"));
    assert!(told(TiltQuestion { to: Degrees::new(400.0), ..good }).contains("400"));
    assert!(told(TiltQuestion { turning: &[SolidIndex(99)], ..good }).contains("99"));
    assert!(told(TiltQuestion { stands_at: &exact(f64::NAN), ..good }).contains("range"));
}

fn round_or_square() -> impl Strategy<Value = Shape> {
    prop_oneof![
        (2.0..25.0f64, 2.0..25.0f64, 0.5..10.0f64).prop_map(|(x, y, z)| cuboid(x, y, z)),
        (0.3..7.0f64, 1.0..20.0f64).prop_map(|(r, l)| cylinder(r, l)),
    ]
}
fn shape() -> impl Strategy<Value = Shape> {
    prop_oneof![
        2 => round_or_square(),
        1 =>
        (16.0..40.0f64, 2.0..14.0f64).prop_map(|(x, d)| {
            let hole = Hole::Round { centre: PlanePoint::default(), diameter: mm(d) };
            Shape::prism(Outline::rectangle(mm(x), mm(16.0), vec![hole]).unwrap(), mm(2.0)).unwrap()
        }),
    ]
}
/// Two solids that turn and a few that stand about.
fn scenes() -> impl Strategy<Value = Vec<Solid>> {
    let turning =
        (round_or_square(), pose(6.0), prop_oneof![3 => round_or_square(), 1 => shape()], pose(6.0));
    let turning = turning.prop_map(|(a, at_a, b, at_b)| [(a, at_a), (b, at_b)]);
    let standing = proptest::collection::vec((shape(), pose(26.0), 0..31usize), 2..7);
    (turning, standing).prop_map(|(turning, standing)| {
        let moves = turning.into_iter().map(|(shape, pose)| solid(0, Role::CameraBody, shape, pose));
        let stays = (1u32..).zip(standing).map(|(n, (shape, pose, r))| solid(n, Role::ALL[r], shape, pose));
        moves.chain(stays).collect()
    })
}

/// The least distance less need at an angle, by plain trying; ends at the first that is too near.
fn spare(solids: &[Solid], asked: &Asked, degrees: f64) -> f64 {
    let mut least = f64::INFINITY;
    for a in &solids[..asked.turning.len()] {
        let turned = Solid {
            pose: a.pose.turned_further(asked.about, asked.axis, Degrees::new(degrees)),
            ..a.clone()
        };
        for b in &solids[asked.turning.len()..] {
            let Some(needs) = required_clearance(a.role, b.role) else { continue };
            let needs = if asked.air == Air::Contact { 0.0 } else { needs.distance.get() };
            least = least.min(distance_between(&turned, b).unwrap().distance.get() - needs);
            if least < -1e-2 {
                return least;
            }
        }
    }
    least
}

fn seeded(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        rng_seed: RngSeed::Fixed(23),
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

fn either() -> impl Strategy<Value = Air> {
    prop_oneof![Just(Air::ByRole), Just(Air::Contact)]
}

proptest! {
    #![proptest_config(seeded(64))]

    #[test]
    fn trying_many_tilts_agrees(solids in scenes(), air in either()) {
        let asked = Asked::nose_up(2, BodyPoint::new(1.0, 0.0, 2.0), air);
        let free = ends(&asked.of(&Scene::new(solids.clone()).unwrap()));
        for n in 0..80 {
            let degrees = -29.97 + f64::from(n) * 1.49;
            let spare = spare(&solids, &asked, degrees);
            let inside = free.iter().any(|(low, high)| (low - 1e-6..=high + 1e-6).contains(&degrees));
            if spare.abs() > 1e-2 {
                prop_assert_eq!(inside, spare > 0.0, "{} at {}: {:?}", spare, degrees, free);
            }
        }
        // A hair inside each end within the limits nothing is too near, a hair outside something is. (At the
        // end itself a solid caught in a hole may need a long slide to get out.)
        for (low, high) in &free {
            for (end, outward) in [(*low, -1.0), (*high, 1.0)] {
                if end > -30.0 && end < 90.0 && high - low > 1e-4 {
                    let (inside, outside) = (spare(&solids, &asked, end - 1e-5 * outward), spare(&solids, &asked, end + 1e-5 * outward));
                    prop_assert!(inside > -2e-5 && outside < 2e-5, "{} and {} about the end {}", inside, outside, end);
                }
            }
        }
    }

    #[test]
    fn moving_everything_changes_no_end(solids in scenes(), by in pose(80.0), air in either()) {
        let by: Placement<Body, Body> = Placement::turned_about(by.origin(), by.vector(fit::PartVector::X), Degrees::new(77.0));
        let asked = Asked::nose_up(2, BodyPoint::new(1.0, 0.0, 2.0), air);
        let before = ends(&asked.of(&Scene::new(solids.clone()).unwrap()));
        let moved = solids.iter().map(|s| Solid { pose: by * s.pose, ..s.clone() }).collect();
        let asked = Asked { about: by.point(asked.about), axis: by.vector(asked.axis), ..asked };
        let after = ends(&asked.of(&Scene::new(moved).unwrap()));
        // A touch too shallow to tell may split an interval or not.
        let long = |free: &[(f64, f64)]| free.iter().map(|f| f.1 - f.0).sum::<f64>();
        prop_assert!((long(&before) - long(&after)).abs() < 2e-2, "{:?} {:?}", before, after);
        if before.len() == after.len() {
            for (a, b) in before.iter().zip(&after) {
                prop_assert!((a.0 - b.0).abs() < 2e-2 && (a.1 - b.1).abs() < 2e-2, "{:?} {:?}", before, after);
            }
        }
    }

    #[test]
    fn a_growing_obstacle_only_takes_room(
        solids in scenes(), r in 0.5..5.0f64, more in 0.0..2.0f64, place in pose(20.0), air in either(),
    ) {
        let asked = Asked::nose_up(2, BodyPoint::ORIGIN, air);
        let with = |r: f64| {
            let mut solids = solids.clone();
            solids.push(solid(99, Role::Standoff, cylinder(r, 12.0), place));
            ends(&asked.of(&Scene::new(solids).unwrap()))
        };
        let (thin, thick) = (with(r), with(r + more));
        for (low, high) in thick {
            let held = thin.iter().any(|(a, b)| a - 2e-4 <= low && high <= b + 2e-4);
            prop_assert!(held || high - low < 1e-3, "{} to {} not in {:?}", low, high, thin);
        }
    }
}
