//! Distances and depths that follow from elementary geometry, each worked out beside its assertion.

#![allow(clippy::unwrap_used)]

mod scenes;

use fit::{Gap, Hole, Outline, PlanePoint, Role, Shape, Solid, distance_between};
use scenes::{at, cuboid, cylinder, mm, solid, turned};

fn plate(holes: Vec<Hole>) -> Shape {
    Shape::prism(Outline::rectangle(mm(60.0), mm(40.0), holes).unwrap(), mm(2.0)).unwrap()
}
fn round(x: f64, y: f64, diameter: f64) -> Hole {
    Hole::Round { centre: PlanePoint::new(x, y), diameter: mm(diameter) }
}

#[track_caller]
fn check(a: &Solid, b: &Solid, expected: f64) -> Gap {
    check_within(a, b, expected, 1e-5)
}
#[track_caller]
fn check_within(a: &Solid, b: &Solid, expected: f64, within: f64) -> Gap {
    let gap = distance_between(a, b).unwrap();
    let found = gap.distance.get();
    assert!((found - expected).abs() < within, "found {found}, expected {expected}");
    let along = (gap.on_b - gap.on_a).dot(gap.direction);
    assert!((along - found).abs() < 1e-5, "places {along} apart, distance {found}");
    gap
}

#[test]
fn boxes_side_by_side() {
    // 10 mm cubes 0.3 mm apart.
    let a = solid(0, Role::Other, cuboid(10.0, 10.0, 10.0), at(0.0, 0.0, 0.0));
    check(&a, &solid(0, Role::Other, cuboid(10.0, 10.0, 10.0), at(10.3, 2.0, 1.0)), 0.3);
    // Corner to corner: 3, 4 and 12 along the axes make 13.
    check(&a, &solid(0, Role::Other, cuboid(10.0, 10.0, 10.0), at(13.0, 14.0, 22.0)), 13.0);
    // 2 mm into each other.
    let gap = check(&a, &solid(0, Role::Other, cuboid(10.0, 10.0, 10.0), at(8.0, 1.0, 0.0)), -2.0);
    assert!((gap.direction.x() - 1.0).abs() < 1e-9);
}

#[test]
fn a_box_on_its_edge_over_a_box() {
    // A cube turned by 45° about x stands on an edge half a diagonal below its middle.
    let a = solid(0, Role::Other, cuboid(50.0, 50.0, 10.0), at(0.0, 0.0, 0.0));
    let b = solid(
        0,
        Role::Other,
        cuboid(10.0, 10.0, 10.0),
        turned(0.0, 0.0, 5.0 + 50f64.sqrt() + 1.5, 0.0, 0.0, 45.0),
    );
    check(&a, &b, 1.5);
    let b = solid(
        0,
        Role::Other,
        cuboid(10.0, 10.0, 10.0),
        turned(0.0, 0.0, 5.0 + 50f64.sqrt() - 1.5, 0.0, 0.0, 45.0),
    );
    check(&a, &b, -1.5);
}

#[test]
fn cylinders_by_the_distance_of_their_axes() {
    // Skew axes at right angles, 10 mm apart, radii 3 and 2.
    let a = solid(0, Role::Other, cylinder(3.0, 100.0), at(0.0, 0.0, 0.0));
    check(&a, &solid(0, Role::Other, cylinder(2.0, 100.0), turned(10.0, 0.0, 0.0, 0.0, 0.0, 90.0)), 5.0);
    // Skew by 30°: the common perpendicular of the axes is still 10 mm.
    check(&a, &solid(0, Role::Other, cylinder(2.0, 100.0), turned(10.0, 0.0, 7.0, 0.0, 0.0, 30.0)), 5.0);
    check_within(
        &a,
        &solid(0, Role::Other, cylinder(2.0, 100.0), turned(4.0, 0.0, 7.0, 0.0, 0.0, 30.0)),
        -1.0,
        1e-4,
    );
    // Parallel, side by side and end to end with an offset within the cap.
    check(&a, &solid(0, Role::Other, cylinder(2.0, 100.0), at(6.0, 8.0, 3.0)), 5.0);
    check(&a, &solid(0, Role::Other, cylinder(2.0, 20.0), at(1.0, 1.0, 61.5)), 1.5);
}

#[test]
fn cylinder_to_the_edge_of_a_box() {
    // The axis passes the edge at 3 and 4 mm: 5 mm less the radius of 2.
    let a = solid(0, Role::Other, cuboid(10.0, 10.0, 40.0), at(0.0, 0.0, 0.0));
    check(&a, &solid(0, Role::Other, cylinder(2.0, 40.0), at(8.0, 9.0, 0.0)), 3.0);
    // Rim to box: the cylinder lies along x, its end 1.5 mm from the face.
    check(&a, &solid(0, Role::Other, cylinder(2.0, 40.0), turned(26.5, 0.0, 0.0, 0.0, 90.0, 0.0)), 1.5);
}

#[test]
fn a_screw_in_its_hole_is_free_by_half_the_play() {
    let drilled = solid(0, Role::Other, plate(vec![round(10.0, 5.0, 3.2)]), at(0.0, 0.0, 0.0));
    // Middle of the hole: (3.2 − 3) / 2, true to the rounding of the hole.
    check_within(&drilled, &solid(0, Role::Other, cylinder(1.5, 20.0), at(10.0, 5.0, 0.0)), 0.1, 1.1e-3);
    // 0.3 mm out of the middle: 0.2 mm into the wall, and the way out is back.
    let gap =
        check_within(&drilled, &solid(0, Role::Other, cylinder(1.5, 20.0), at(10.3, 5.0, 0.0)), -0.2, 1.5e-3);
    assert!(gap.direction.x() < -0.999, "{:?}", gap.direction);
    let gap =
        check_within(&solid(0, Role::Other, cylinder(1.5, 20.0), at(10.3, 5.0, 0.0)), &drilled, -0.2, 1.5e-3);
    assert!(gap.direction.x() > 0.999, "{:?}", gap.direction);
}

#[test]
fn a_standoff_through_a_plate_is_pushed_out_the_short_way() {
    let plain = solid(0, Role::Other, plate(vec![round(-20.0, 0.0, 3.2)]), at(0.0, 0.0, 0.0));
    // Stands 0.5 mm deep in the plate's upper face, at z = 2.
    check_within(&plain, &solid(0, Role::Other, cylinder(2.5, 20.0), at(10.0, 0.0, 11.5)), -0.5, 1e-4);
    // Goes right through at 3 mm from the side: 3 + 2.5 along x is shorter than along z.
    check_within(&plain, &solid(0, Role::Other, cylinder(2.5, 20.0), at(27.0, 0.0, 1.0)), -5.5, 1e-4);
}

#[test]
fn a_small_board_over_a_window_falls_through_it_by_distance() {
    // A window of 20 by 20 with a 10 mm cube hovering in it: 5 mm to each wall.
    let window = Hole::Polygon(
        [(-10.0, -10.0), (10.0, -10.0), (10.0, 10.0), (-10.0, 10.0)]
            .map(|(x, y)| PlanePoint::new(x, y))
            .to_vec(),
    );
    let framed = solid(0, Role::Other, plate(vec![window]), at(0.0, 0.0, 0.0));
    check(&framed, &solid(0, Role::Other, cuboid(10.0, 10.0, 10.0), at(0.0, 0.0, 1.0)), 5.0);
    check(&framed, &solid(0, Role::Other, cuboid(10.0, 10.0, 10.0), at(3.0, 0.0, 1.0)), 2.0);
    check_within(&framed, &solid(0, Role::Other, cuboid(10.0, 10.0, 10.0), at(6.0, 0.0, 1.0)), -1.0, 1e-4);
}

#[test]
fn two_drilled_plates_one_over_the_other() {
    let holes = || (0..9).map(|i| round(-24.0 + 6.0 * i as f64, 10.0, 4.0)).collect::<Vec<_>>();
    let low = solid(0, Role::Other, plate(holes()), at(0.0, 0.0, 0.0));
    check(&low, &solid(0, Role::Other, plate(holes()), at(3.0, 0.0, 22.0)), 20.0);
    check(&low, &solid(0, Role::Other, plate(holes()), turned(3.0, 0.0, 22.0, 30.0, 0.0, 0.0)), 20.0);
    // Tilted by 90°: stands on its edge, 20 mm below its middle line.
    check(&low, &solid(0, Role::Other, plate(holes()), turned(0.0, 0.0, 27.0, 0.0, 0.0, 90.0)), 5.0);
}
