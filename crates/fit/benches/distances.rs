//! How long one pair takes, and how long a whole craft.
//!
//! The craft has 84 solids: four drilled plates, standoffs, boards with plugs and keep-outs, screws, motors,
//! blade discs, camera, pack, antennas and leads, near enough to each other that most of them matter.

#![allow(clippy::unwrap_used)]

use divan::{Bencher, black_box};
use fit::{
    Body, BodyPoint, ClearanceQuestion, Hole, HolePattern, Outline, OwnerIndex, Placement, PlanePoint, Pose,
    Role, Scene, Shape, Solid, SolidIndex, clearances, clearances_after, distance_between, meet,
};
use quantity::{Degrees, Millimetres};

fn main() {
    divan::main();
}

fn mm(x: f64) -> Millimetres {
    Millimetres::new(x)
}
fn cuboid(x: f64, y: f64, z: f64) -> Shape {
    Shape::cuboid(mm(x), mm(y), mm(z)).unwrap()
}
fn cylinder(r: f64, l: f64) -> Shape {
    Shape::cylinder(mm(r), mm(l)).unwrap()
}
fn plate(x: f64, y: f64, thickness: f64) -> Shape {
    let round = |x: f64, y: f64, d: f64| Hole::Round { centre: PlanePoint::new(x, y), diameter: mm(d) };
    let mut holes = Vec::new();
    for pitch in [20.0, 25.5, 30.5] {
        for (sx, sy) in [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)] {
            if pitch / 2.0 < y / 2.0 - 2.0 {
                holes.push(round(sx * pitch / 2.0, sy * pitch / 2.0, 3.2));
            }
        }
    }
    holes.push(round(x / 2.0 - 5.0, 0.0, 3.2));
    holes.push(round(5.0 - x / 2.0, 0.0, 3.2));
    Shape::prism(Outline::rectangle(mm(x), mm(y), holes).unwrap(), mm(thickness)).unwrap()
}
fn pose(x: f64, y: f64, z: f64) -> Pose {
    Pose::at(BodyPoint::new(x, y, z))
}
fn turned(x: f64, y: f64, z: f64, yaw: f64, pitch: f64) -> Pose {
    Pose::turned(BodyPoint::new(x, y, z), Degrees::new(yaw), Degrees::new(pitch), Degrees::new(0.0))
}

fn craft() -> Scene {
    let mut solids: Vec<Solid> = Vec::new();
    let mut owner = 0;
    let mut add = |new_owner: bool, role: Role, shape: Shape, pose: Pose| {
        owner += u32::from(new_owner);
        let name = format!("{} {}", role.words(), solids.len());
        solids.push(Solid { name, owner: OwnerIndex(owner), role, shape, pose, drifts: vec![] });
    };
    add(true, Role::CarbonPlate, plate(110.0, 40.0, 2.0), pose(0.0, 0.0, 0.0));
    add(true, Role::CarbonPlate, plate(110.0, 40.0, 2.0), pose(0.0, 0.0, 27.0));
    for side in [1.0, -1.0] {
        let mut cheek = turned(40.0, side * 11.0, 14.0, 0.0, 0.0);
        cheek = Pose::turned(cheek.origin(), Degrees::new(0.0), Degrees::new(0.0), Degrees::new(90.0));
        add(true, Role::CarbonPlate, plate(30.0, 22.0, 2.0), cheek);
    }
    for (x, y) in [(48.0, 16.0), (48.0, -16.0), (-48.0, 16.0), (-48.0, -16.0), (0.0, 18.0), (0.0, -18.0)] {
        add(true, Role::Standoff, cylinder(2.5, 25.0), pose(x, y, 14.5));
        add(true, Role::ScrewHead, cylinder(2.85, 1.65), pose(x, y, 29.9));
        add(true, Role::ScrewHead, cylinder(2.85, 1.65), pose(x, y, -0.9));
    }
    for level in 0..3 {
        let z = 6.0 + 7.0 * f64::from(level);
        add(true, Role::Board, cuboid(36.0, 30.0, 1.6), pose(-5.0, 0.0, z));
        add(false, Role::KeepOut, cuboid(30.0, 26.0, 3.0), pose(-5.0, 0.0, z + 2.3));
        for (x, y) in [(10.0, 8.0), (10.0, -8.0), (-20.0, 0.0)] {
            add(false, Role::Plug, cuboid(4.0, 8.0, 3.0), pose(x, y, z + 2.3));
            add(false, Role::PlugPullSpace, cuboid(10.0, 8.0, 3.0), pose(x + 7.0, y, z + 2.3));
        }
        for (x, y) in [(10.25, 15.25), (-20.25, 15.25), (-20.25, -15.25), (10.25, -15.25)] {
            add(true, Role::Spacer, cylinder(2.5, 5.0), pose(x, y, z - 3.5));
        }
    }
    add(true, Role::CameraBody, cuboid(19.0, 19.0, 22.0), turned(38.0, 0.0, 14.0, 0.0, 30.0));
    add(false, Role::Lens, cylinder(7.0, 12.0), turned(48.0, 0.0, 20.0, 0.0, -60.0));
    add(true, Role::Pack, cuboid(75.0, 35.0, 28.0), pose(-5.0, 0.0, 45.0));
    for (x, y) in [(80.0, 80.0), (80.0, -80.0), (-80.0, 80.0), (-80.0, -80.0)] {
        let inward = f64::atan2(-y, -x).to_degrees();
        add(true, Role::CarbonPlate, cuboid(100.0, 14.0, 5.0), turned(x / 1.6, y / 1.6, -3.0, inward, 0.0));
        add(true, Role::Motor, cylinder(14.0, 18.0), pose(x, y, 9.0));
        add(true, Role::BladeSweep, cylinder(64.5, 8.0), pose(x, y, 24.0));
    }
    add(true, Role::Transmitter, cuboid(30.0, 30.0, 8.0), pose(-38.0, 0.0, 12.0));
    add(false, Role::TransmitterHotFace, cuboid(28.0, 28.0, 1.0), pose(-38.0, 0.0, 16.5));
    add(true, Role::AntennaElement, cylinder(6.0, 20.0), turned(-75.0, 0.0, 40.0, 0.0, 20.0));
    add(true, Role::Coax, cylinder(0.7, 40.0), turned(-60.0, 0.0, 22.0, 0.0, 60.0));
    add(true, Role::Harness, cuboid(40.0, 6.0, 1.2), pose(15.0, 0.0, 24.0));
    add(true, Role::GnssModule, cuboid(18.0, 18.0, 6.0), pose(-52.0, 0.0, 33.0));
    add(true, Role::ControlAntenna, cylinder(1.0, 60.0), turned(-60.0, 20.0, -8.0, 45.0, 80.0));
    add(true, Role::Capacitor, cylinder(5.0, 20.0), turned(-60.0, 0.0, 6.0, 90.0, 90.0));
    Scene::new(solids).unwrap()
}

fn pair(a: Shape, b: Shape) -> (Solid, Solid) {
    let solid = |shape, pose| Solid {
        name: "s".into(),
        owner: OwnerIndex(0),
        role: Role::Other,
        shape,
        pose,
        drifts: vec![],
    };
    (
        solid(a, Pose::IDENTITY),
        solid(
            b,
            Pose::turned(
                BodyPoint::new(22.0, 13.0, 17.0),
                Degrees::new(20.0),
                Degrees::new(35.0),
                Degrees::new(50.0),
            ),
        ),
    )
}

fn apart(bencher: Bencher, a: Shape, b: Shape) {
    let (a, b) = pair(a, b);
    bencher.bench(|| distance_between(black_box(&a), black_box(&b)));
}

#[divan::bench]
fn box_to_box(bencher: Bencher) {
    apart(bencher, cuboid(20.0, 12.0, 8.0), cuboid(6.0, 9.0, 4.0));
}
#[divan::bench]
fn box_to_cylinder(bencher: Bencher) {
    apart(bencher, cuboid(20.0, 12.0, 8.0), cylinder(3.0, 12.0));
}
#[divan::bench]
fn cylinder_to_cylinder(bencher: Bencher) {
    apart(bencher, cylinder(5.0, 12.0), cylinder(3.0, 12.0));
}
#[divan::bench]
fn drilled_plate_to_box(bencher: Bencher) {
    apart(bencher, plate(60.0, 40.0, 2.0), cuboid(6.0, 9.0, 4.0));
}
#[divan::bench]
fn drilled_plate_to_drilled_plate(bencher: Bencher) {
    apart(bencher, plate(60.0, 40.0, 2.0), plate(30.0, 22.0, 2.0));
}
#[divan::bench]
fn box_in_box(bencher: Bencher) {
    apart(bencher, cuboid(50.0, 40.0, 30.0), cuboid(6.0, 9.0, 14.0));
}
#[divan::bench]
fn rod_through_drilled_plate(bencher: Bencher) {
    apart(bencher, plate(60.0, 40.0, 2.0), cylinder(3.0, 60.0));
}

#[divan::bench]
fn cut_a_drilled_outline(bencher: Bencher) {
    bencher.bench(|| plate(black_box(110.0), 40.0, 2.0));
}

#[divan::bench]
fn whole_craft(bencher: Bencher) {
    let scene = craft();
    let question = ClearanceQuestion::default();
    bencher.bench(|| clearances(black_box(&scene), &question).map(|all| all.len()));
}

#[divan::bench]
fn craft_after_moving_one_part(bencher: Bencher) {
    let scene = craft();
    let question = ClearanceQuestion::default();
    let before = clearances(&scene, &question).unwrap();
    let moved = [SolidIndex(25)];
    let by: Placement<Body, Body> = Placement::at(BodyPoint::new(0.4, 0.0, 0.0));
    bencher.bench(|| {
        let after = scene.with_moved(&moved, by).unwrap();
        clearances_after(&after, &question, &before, &moved).map(|all| all.len())
    });
}

#[divan::bench]
fn square_board_on_a_frame_of_twelve_holes(bencher: Bencher) {
    let square = |pitch: f64, hole: f64| {
        HolePattern::square(PlanePoint::default(), mm(pitch), mm(hole), Degrees::new(0.0))
    };
    let mut frame = square(20.0, 3.2);
    frame.holes.extend(square(25.5, 3.2).holes);
    frame.holes.extend(square(30.5, 3.2).holes);
    let board = square(25.5, 3.4);
    bencher.bench(|| meet(black_box(&board), black_box(&frame), mm(3.0)).map(|all| all.len()));
}
