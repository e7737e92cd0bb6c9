//! What a solid looks like from one side: closed rings of points on the paper.
//!
//! Boxes and cylinders are convex, so their outline is the convex hull of the corners seen, rims drawn as
//! [`RIM_POINTS`] corners. A plate seen flat is its outline with its holes. A plate seen edge-on is the
//! hull of its corners, which is exact. A plate seen askew is filled piece by piece, each the hull of a
//! convex piece, and edged with its two outlines; that is exact but for the lines between pieces.

use crate::projection::{Eye, Seen};
use fit::{PartPoint, PartVector, PlanePoint, Pose, Prism, Shape, Solid};
use std::f64::consts::TAU;

/// Corners a rim is drawn with.
pub(crate) const RIM_POINTS: usize = 48;
/// The sine below which a plate counts as seen flat or edge-on.
const SQUARE_ON: f64 = 1e-6;

/// A point on the paper, in mm of the craft.
pub(crate) type PaperPoint = [f64; 2];

/// A solid as seen.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Silhouette {
    /// Rings to fill; holes run the other way or are told apart by even and odd.
    pub fills: Vec<Vec<PaperPoint>>,
    /// Rings to edge.
    pub edges: Vec<Vec<PaperPoint>>,
    /// Whether rings within rings are holes.
    pub holes: bool,
    /// The depth of its nearest point.
    pub near: f64,
    /// The depth of its farthest point.
    pub far: f64,
}

/// How a solid is seen.
pub(crate) fn silhouette(solid: &Solid, eye: &Eye) -> Silhouette {
    match &solid.shape {
        Shape::Cuboid(cuboid) => {
            let [x, y, z] = cuboid.size().map(|side| side.get() / 2.0);
            let corner = |n: usize| {
                let sign = |bit: usize| if n & bit == 0 { -1.0 } else { 1.0 };
                PartPoint::new(sign(1) * x, sign(2) * y, sign(4) * z)
            };
            convex(seen(&solid.pose, eye, (0..8).map(corner)))
        }
        Shape::Cylinder(cylinder) => {
            let (r, half) = (cylinder.radius().get(), cylinder.length().get() / 2.0);
            let rim = |n: usize| {
                let angle = TAU * n as f64 / RIM_POINTS as f64;
                [-half, half].map(|z| PartPoint::new(r * angle.cos(), r * angle.sin(), z))
            };
            convex(seen(&solid.pose, eye, (0..RIM_POINTS).flat_map(rim)))
        }
        Shape::Prism(prism) => plate(prism, &solid.pose, eye),
    }
}

fn seen(pose: &Pose, eye: &Eye, points: impl Iterator<Item = PartPoint>) -> Vec<Seen> {
    points.map(|p| eye.see(pose.point(p))).collect()
}

fn convex(points: Vec<Seen>) -> Silhouette {
    let (far, near) = depths(&points);
    let hull = hull(points.iter().map(|p| [p.u, p.v]).collect());
    Silhouette { fills: vec![hull.clone()], edges: vec![hull], holes: false, near, far }
}

fn depths(points: &[Seen]) -> (f64, f64) {
    let least = |a: f64, p: &Seen| a.min(p.depth);
    let most = |a: f64, p: &Seen| a.max(p.depth);
    (points.iter().fold(f64::INFINITY, least), points.iter().fold(f64::NEG_INFINITY, most))
}

fn plate(prism: &Prism, pose: &Pose, eye: &Eye) -> Silhouette {
    let thickness = prism.thickness().get();
    let both = |points: &[PlanePoint]| {
        let at = |z: f64| points.iter().map(move |p| PartPoint::new(p.x, p.y, z));
        seen(pose, eye, at(0.0).chain(at(thickness)))
    };
    let whole = both(prism.outline().outer());
    let (far, near) = depths(&whole);
    let normal = eye.see(fit::BodyPoint::ORIGIN + pose.vector(PartVector::Z));
    let rings = |z: f64| -> Vec<Vec<PaperPoint>> {
        let outline = prism.outline();
        let holes = outline.holes().iter().map(|hole| hole.corners());
        let ring = |points: Vec<PlanePoint>| {
            let points = points.into_iter().map(|p| PartPoint::new(p.x, p.y, z));
            seen(pose, eye, points).iter().map(|p| [p.u, p.v]).collect()
        };
        std::iter::once(outline.outer().to_vec()).chain(holes).map(ring).collect()
    };
    if normal.depth.abs() < SQUARE_ON {
        return convex(whole);
    }
    if normal.u.hypot(normal.v) < SQUARE_ON {
        let rings = rings(0.0);
        return Silhouette { fills: rings.clone(), edges: rings, holes: true, near, far };
    }
    let piece = |points: Vec<PlanePoint>| hull(both(&points).iter().map(|p| [p.u, p.v]).collect());
    let fills = prism.outline().pieces().map(piece).collect();
    let edges = rings(0.0).into_iter().chain(rings(thickness)).collect();
    Silhouette { fills, edges, holes: false, near, far }
}

/// The convex hull, counter-clockwise, by Andrew's monotone chain.
fn hull(mut points: Vec<PaperPoint>) -> Vec<PaperPoint> {
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    points.dedup();
    if points.len() < 3 {
        return points;
    }
    let chain = |points: &mut dyn Iterator<Item = &PaperPoint>| {
        let mut kept: Vec<PaperPoint> = Vec::new();
        for &p in points {
            while let [.., a, b] = kept[..] {
                let left = (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]);
                if left > 1e-9 {
                    break;
                }
                kept.pop();
            }
            kept.push(p);
        }
        kept.pop();
        kept
    };
    let mut lower = chain(&mut points.iter());
    lower.extend(chain(&mut points.iter().rev()));
    lower
}

/// How far a point lies from the line between two others.
pub(crate) fn from_line(p: PaperPoint, a: PaperPoint, b: PaperPoint) -> f64 {
    let [dx, dy] = [b[0] - a[0], b[1] - a[1]];
    let share = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy).max(1e-9);
    let share = share.clamp(0.0, 1.0);
    (p[0] - a[0] - share * dx).hypot(p[1] - a[1] - share * dy)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::projection::View;
    use fit::{BodyPoint, Hole, Outline, OwnerIndex, Role};
    use quantity::{Degrees, Millimetres};

    fn solid(shape: Shape, pitch: f64) -> Solid {
        let none = Degrees::new(0.0);
        let pose = Pose::turned(BodyPoint::new(10.0, 0.0, 0.0), none, Degrees::new(pitch), none);
        Solid { name: "it".into(), owner: OwnerIndex(0), role: Role::Other, shape, pose, drifts: vec![] }
    }

    fn area(ring: &[PaperPoint]) -> f64 {
        let next = ring.iter().cycle().skip(1);
        ring.iter().zip(next).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum::<f64>() / 2.0
    }

    fn mm(size: f64) -> Millimetres {
        Millimetres::new(size)
    }

    #[test]
    fn a_box_pitched_by_45_degrees_is_as_wide_as_its_diagonal() {
        let seen =
            silhouette(&solid(Shape::cuboid(mm(3.0), mm(2.0), mm(3.0)).unwrap(), 45.0), &View::Top.eye());
        let side = 3.0 * std::f64::consts::SQRT_2;
        assert!((area(&seen.fills[0]) - side * 2.0).abs() < 1e-9);
        assert!((seen.near - side / 2.0).abs() < 1e-9 && (seen.far + side / 2.0).abs() < 1e-9);
    }

    #[test]
    fn an_upright_cylinder_is_round_from_above_and_square_from_the_side() {
        let post = solid(Shape::cylinder(mm(2.0), mm(20.0)).unwrap(), 0.0);
        let round = std::f64::consts::PI * 4.0;
        assert!((area(&silhouette(&post, &View::Top.eye()).fills[0]) - round).abs() < 0.05);
        assert!((area(&silhouette(&post, &View::Side.eye()).fills[0]) - 80.0).abs() < 1e-9);
    }

    #[test]
    fn a_plate_shows_its_holes_flat_its_edge_edge_on_and_all_of_it_askew() {
        let hole = Hole::Round { centre: PlanePoint::new(0.0, 0.0), diameter: mm(3.0) };
        let outline = Outline::rectangle(mm(30.0), mm(20.0), vec![hole]).unwrap();
        let shape = Shape::prism(outline, mm(2.0)).unwrap();
        let flat = silhouette(&solid(shape.clone(), 0.0), &View::Top.eye());
        assert!(flat.holes && flat.fills.len() == 2);
        let edge = silhouette(&solid(shape.clone(), 0.0), &View::Side.eye());
        assert!((area(&edge.fills[0]) - 60.0).abs() < 1e-9);
        let askew = silhouette(&solid(shape, 30.0), &View::Top.eye());
        let lowest = askew.fills.iter().flatten().fold(f64::INFINITY, |v, p| v.min(p[1]));
        let highest = askew.fills.iter().flatten().fold(f64::NEG_INFINITY, |v, p| v.max(p[1]));
        let expected = 30.0 * 30f64.to_radians().cos() + 2.0 * 30f64.to_radians().sin();
        assert!((highest - lowest - expected).abs() < 1e-9);
    }
}
