//! How far two solids lie beside each other, seen from above.
//!
//! Heights do not count: both are projected along z on the plane of x and y, holes filled, and become
//! convex outlines A and B. With e a level unit,
//!
//! ```text
//! gap = max over e of ( min over B of e·b − max over A of e·a )
//! ```
//!
//! which is the distance where they lie apart (attained across an edge or from corner to corner) and, negative,
//! the least level slide that uncovers one from the other where they overlap (attained across an edge). The gap
//! follows a fact x by e·(v_b − v_a) at the two corners, as distances do ([`crate::clearance`]).
//!
//! A cylinder's rims are drawn with [`RIM`] corners, 0.1 % of the radius short at worst.

use crate::frame::{BodyPoint, BodyVector, PartPoint};
use crate::shape::Shape;
use crate::solid::Solid;
use parry3d_f64::glamx::DVec2;
use quantity::Linear;
use std::f64::consts::TAU;

/// Corners that stand for the rim of a cylinder.
const RIM: usize = 72;

/// How far two solids lie beside each other, and where.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanGap {
    /// The level distance in mm, negative where one lies over the other, and how it follows each fact.
    pub linear: Linear,
    /// The level unit along which it is counted, from the first to the second: moving the second along it
    /// makes room.
    pub direction: BodyVector,
    /// The corner of the first that decides.
    pub on_a: BodyPoint,
    /// The corner of the second that decides.
    pub on_b: BodyPoint,
}

/// How far two solids lie beside each other, seen from above.
pub fn plan_gap(a: &Solid, b: &Solid) -> PlanGap {
    let (of_a, of_b) = (outline(corners(a)), outline(corners(b)));
    let across = |ring: &[BodyPoint]| -> Vec<DVec2> {
        let next = ring.iter().cycle().skip(1);
        ring.iter().zip(next).map(|(p, q)| flat(*q) - flat(*p)).map(|edge| edge.perp()).collect()
    };
    // Outward from a: to the right of its edges, to the left of b's.
    let mut ways: Vec<DVec2> = across(&of_a).into_iter().map(|e| -e).collect();
    ways.extend(across(&of_b));
    let middle = |ring: &[BodyPoint]| ring.iter().map(|p| flat(*p)).sum::<DVec2>() / ring.len().max(1) as f64;
    // For two needles in one line, and to make the list never empty.
    ways.push(middle(&of_b) - middle(&of_a));
    ways.push(DVec2::X);
    let mut best = furthest_apart(&of_a, &of_b, ways);
    if best.0 > 0.0 {
        let between = of_a.iter().flat_map(|p| of_b.iter().map(|q| flat(*q) - flat(*p)));
        let corner = furthest_apart(&of_a, &of_b, between.collect());
        if corner.0 > best.0 {
            best = corner;
        }
    }
    let (value, way) = best;
    let direction = BodyVector::new(way.x, way.y, 0.0);
    let (on_a, on_b) = (reaches(&of_a, way), reaches(&of_b, -way));
    let mut linear = Linear { value, slopes: Vec::new() };
    a.add_slopes(on_a, direction, -1.0, &mut linear);
    b.add_slopes(on_b, direction, 1.0, &mut linear);
    PlanGap { linear, direction, on_a, on_b }
}

/// The way along which two outlines lie furthest apart, and how far.
fn furthest_apart(a: &[BodyPoint], b: &[BodyPoint], ways: Vec<DVec2>) -> (f64, DVec2) {
    let ways = ways.into_iter().filter_map(DVec2::try_normalize);
    let apart = |e: DVec2| e.dot(flat(reaches(b, -e)) - flat(reaches(a, e)));
    ways.map(|e| (apart(e), e)).max_by(|x, y| x.0.total_cmp(&y.0)).unwrap_or((f64::NEG_INFINITY, DVec2::X))
}

/// The corner that reaches furthest along a way; the middle of an edge that lies square to it.
fn reaches(ring: &[BodyPoint], way: DVec2) -> BodyPoint {
    let far = ring.iter().map(|p| way.dot(flat(*p))).fold(f64::NEG_INFINITY, f64::max);
    let level: Vec<&BodyPoint> = ring.iter().filter(|p| far - way.dot(flat(**p)) < 1e-9).collect();
    let sum = level.iter().fold(BodyVector::ZERO, |sum, p| sum + (**p - BodyPoint::ORIGIN));
    BodyPoint::ORIGIN + sum * (1.0 / level.len().max(1) as f64)
}

fn flat(p: BodyPoint) -> DVec2 {
    DVec2::new(p.x(), p.y())
}

/// All corners of a solid, in the body frame.
fn corners(solid: &Solid) -> Vec<BodyPoint> {
    let ring = |points: &[[f64; 2]], heights: [f64; 2]| {
        let at = |z: f64| points.iter().map(move |[x, y]| solid.pose.point(PartPoint::new(*x, *y, z)));
        heights.into_iter().flat_map(at).collect()
    };
    match &solid.shape {
        Shape::Cuboid(c) => {
            let [x, y, z] = c.half();
            ring(&[[-x, -y], [x, -y], [x, y], [-x, y]], [-z, z])
        }
        Shape::Cylinder(c) => {
            let (r, half) = (c.radius().get(), c.length().get() / 2.0);
            let rim: Vec<[f64; 2]> = (0..RIM)
                .map(|k| (TAU * k as f64 / RIM as f64).sin_cos())
                .map(|(sin, cos)| [r * cos, r * sin])
                .collect();
            ring(&rim, [-half, half])
        }
        Shape::Prism(p) => {
            let outer: Vec<[f64; 2]> = p.outline().outer().iter().map(|p| [p.x, p.y]).collect();
            ring(&outer, [0.0, p.thickness().get()])
        }
    }
}

/// The convex outline of places seen from above, counter-clockwise (the chain from left to right and back).
fn outline(mut places: Vec<BodyPoint>) -> Vec<BodyPoint> {
    places.sort_by(|p, q| p.x().total_cmp(&q.x()).then(p.y().total_cmp(&q.y())));
    places.dedup_by(|p, q| (flat(*p) - flat(*q)).length() < 1e-9);
    if places.len() < 3 {
        return places;
    }
    let chain = |along: &mut dyn Iterator<Item = &BodyPoint>| {
        let mut kept: Vec<BodyPoint> = Vec::new();
        for p in along {
            while let [.., o, q] = kept.as_slice()
                && (flat(*q) - flat(*o)).perp_dot(flat(*p) - flat(*q)) <= 0.0
            {
                kept.pop();
            }
            kept.push(*p);
        }
        kept.pop();
        kept
    };
    let mut ring = chain(&mut places.iter());
    ring.extend(chain(&mut places.iter().rev()));
    ring
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::{Drift, DriftField, Outline, OwnerIndex, PlanePoint, Pose, Role};
    use quantity::{Degrees, FactIndex, Millimetres};

    fn solid(shape: Shape, at: [f64; 3], [yaw, pitch, roll]: [f64; 3]) -> Solid {
        let pose = Pose::turned(
            BodyPoint::new(at[0], at[1], at[2]),
            Degrees::new(yaw),
            Degrees::new(pitch),
            Degrees::new(roll),
        );
        Solid { name: "s".into(), owner: OwnerIndex(0), role: Role::Other, shape, pose, drifts: vec![] }
    }
    fn cuboid(x: f64, y: f64, z: f64) -> Shape {
        Shape::cuboid(Millimetres::new(x), Millimetres::new(y), Millimetres::new(z)).unwrap()
    }
    fn cylinder(r: f64, l: f64) -> Shape {
        Shape::cylinder(Millimetres::new(r), Millimetres::new(l)).unwrap()
    }
    #[track_caller]
    fn check(a: &Solid, b: &Solid, wanted: f64, within: f64) -> PlanGap {
        let (found, back) = (plan_gap(a, b), plan_gap(b, a));
        assert!((found.linear.value - wanted).abs() < within, "{} against {wanted}", found.linear.value);
        assert!((found.linear.value - back.linear.value).abs() < 1e-9, "{found:?} {back:?}");
        found
    }
    const LEVEL: [f64; 3] = [0.0; 3];

    #[test]
    fn beside_each_other_it_is_the_level_distance_whatever_the_heights() {
        let a = solid(cuboid(20.0, 10.0, 4.0), [0.0; 3], LEVEL);
        let across = check(&a, &solid(cuboid(8.0, 8.0, 8.0), [17.0, 3.0, 90.0], LEVEL), 3.0, 1e-9);
        assert!((across.direction - BodyVector::X).length().get() < 1e-9);
        // Corner to corner: 3 and 4 mm.
        let b = solid(cuboid(8.0, 8.0, 8.0), [17.0, 13.0, -5.0], LEVEL);
        let slant = check(&a, &b, 5.0, 1e-9);
        assert!((slant.direction - BodyVector::new(0.6, 0.8, 0.0)).length().get() < 1e-9);
    }

    #[test]
    fn one_over_the_other_it_is_the_least_level_slide() {
        let a = solid(cuboid(30.0, 30.0, 8.0), [0.0; 3], LEVEL);
        let b = solid(cuboid(10.0, 10.0, 5.0), [2.0, -11.0, 40.0], LEVEL);
        // Reaching from y = -16 to -6 over an edge at -15: 9 mm back over it.
        let over = check(&a, &b, -9.0, 1e-9);
        assert!((over.direction + BodyVector::Y).length().get() < 1e-9);
    }

    #[test]
    fn turned_and_round_shapes_count_as_they_are_seen() {
        // A corner of a square turned by 45° reaches 10·√2 / 2 to the front.
        let a = solid(cuboid(10.0, 10.0, 4.0), [0.0; 3], [45.0, 0.0, 0.0]);
        check(&a, &solid(cuboid(6.0, 20.0, 4.0), [13.0, 0.0, 9.0], LEVEL), 10.0 - 50f64.sqrt(), 1e-9);
        // On its edge a plate of 2 mm is a line of 2 mm.
        let card = solid(cuboid(30.0, 40.0, 2.0), [0.0; 3], [0.0, 0.0, 90.0]);
        check(&card, &solid(cuboid(6.0, 6.0, 6.0), [0.0, 6.0, 0.0], LEVEL), 2.0, 1e-9);
        // Upright posts of 3 and 2 mm, 12 mm from axis to axis; one lying along y, seen as a strip.
        let post = solid(cylinder(3.0, 30.0), [0.0; 3], LEVEL);
        check(&post, &solid(cylinder(2.0, 10.0), [7.2, 9.6, 50.0], LEVEL), 7.0, 0.01);
        check(&post, &solid(cylinder(2.0, 80.0), [9.0, 1.0, 50.0], [0.0, 0.0, 90.0]), 4.0, 0.01);
        // A plate with its outline off centre.
        let corners = [(5.0, 0.0), (9.0, 0.0), (9.0, 4.0)].map(|(x, y)| PlanePoint::new(x, y));
        let outline = Outline::new(corners.to_vec(), vec![]).unwrap();
        let plate = solid(Shape::prism(outline, Millimetres::new(2.0)).unwrap(), [0.0; 3], LEVEL);
        check(&plate, &solid(cuboid(4.0, 4.0, 4.0), [1.0, 1.0, 0.0], LEVEL), 2.0, 1e-9);
    }

    #[test]
    fn it_follows_the_facts_that_move_the_two() {
        let mut a = solid(cuboid(20.0, 10.0, 4.0), [0.0; 3], LEVEL);
        let per_unit = 1.0 / 20.0;
        let field = DriftField::Stretch { from: BodyPoint::ORIGIN, axis: BodyVector::X, per_unit };
        a.drifts.push(Drift { fact: FactIndex(0), field });
        let mut b = solid(cuboid(8.0, 8.0, 8.0), [17.0, 3.0, 30.0], LEVEL);
        b.drifts.push(Drift { fact: FactIndex(1), field: DriftField::Shift(BodyVector::X) });
        b.drifts.push(Drift { fact: FactIndex(2), field: DriftField::Shift(BodyVector::Z) });
        let found = plan_gap(&a, &b).linear;
        let slope = |fact: u32| found.slope_on(FactIndex(fact));
        assert!((slope(0) + 0.5).abs() < 1e-12 && (slope(1) - 1.0).abs() < 1e-12, "{found:?}");
        assert_eq!(slope(2), 0.0);
    }
}
