//! Nearest points of two convex pieces, with a check on the answer.
//!
//! The search is the GJK method of the collision library, run on support maps of our own (our cylinders lie
//! along z, our prisms stand on their outline). For any unit n, the gap g(n) = min over b of n·b less max
//! over a of n·a is never more than the true distance, and for the right n equals it. So each answer is
//! held against g of its own direction; where they differ by more than 10⁻⁶ mm (of large solids a fifty
//! millionth of their size) the search is taken up again from there, at last by plain descent (Frank and
//! Wolfe's method), which is slow and cannot fail.

use crate::outline::bounds_of;
use crate::shape::Shape;
use parry3d_f64::glamx::{DPose3, DVec2, DVec3};
use parry3d_f64::query::gjk::{self, CsoPoint, GJKResult, VoronoiSimplex};
use parry3d_f64::shape::SupportMap;

/// A convex piece of a shape, in the shape's own frame.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Convex<'a> {
    Cuboid { half: DVec3 },
    Cylinder { radius: f64, half: f64 },
    Prism { polygon: &'a [DVec2], thickness: f64 },
}

impl SupportMap for Convex<'_> {
    fn local_support_point(&self, dir: DVec3) -> DVec3 {
        match *self {
            Convex::Cuboid { half } => half.copysign(dir),
            Convex::Cylinder { radius, half } => {
                let out = DVec2::new(dir.x, dir.y);
                let length = out.length();
                let rim = if length > 1e-12 { out * (radius / length) } else { DVec2::ZERO };
                DVec3::new(rim.x, rim.y, half.copysign(dir.z))
            }
            Convex::Prism { polygon, thickness } => {
                let flat = DVec2::new(dir.x, dir.y);
                let mut best = (f64::NEG_INFINITY, DVec2::ZERO);
                for corner in polygon {
                    let along = corner.dot(flat);
                    if along > best.0 {
                        best = (along, *corner);
                    }
                }
                DVec3::new(best.1.x, best.1.y, if dir.z > 0.0 { thickness } else { 0.0 })
            }
        }
    }
}

impl Convex<'_> {
    /// The middle and half the size of the box round the piece.
    pub(crate) fn frame_box(&self) -> (DVec3, DVec3) {
        match *self {
            Convex::Cuboid { half } => (DVec3::ZERO, half),
            Convex::Cylinder { radius, half } => (DVec3::ZERO, DVec3::new(radius, radius, half)),
            Convex::Prism { polygon, thickness } => {
                let (low, high) = bounds_of(polygon);
                plate_box(low, high, thickness)
            }
        }
    }
}

/// The middle and half the size of a box over a plane box.
pub(crate) fn plate_box(low: DVec2, high: DVec2, thickness: f64) -> (DVec3, DVec3) {
    let (middle, half) = ((low + high) / 2.0, (high - low) / 2.0);
    (DVec3::new(middle.x, middle.y, thickness / 2.0), DVec3::new(half.x, half.y, thickness / 2.0))
}

/// The whole of a shape that is one piece.
pub(crate) fn whole(shape: &Shape) -> Option<Convex<'_>> {
    match shape {
        Shape::Cuboid(c) => Some(Convex::Cuboid { half: DVec3::from_array(c.half()) }),
        Shape::Cylinder(c) => {
            Some(Convex::Cylinder { radius: c.radius().get(), half: c.length().get() / 2.0 })
        }
        Shape::Prism(p) if p.outline().holes().is_empty() && p.outline().filled().piece_count() == 1 => {
            Some(Convex::Prism { polygon: p.outline().filled().polygon(0), thickness: p.thickness().get() })
        }
        Shape::Prism(_) => None,
    }
}

/// Two places that face each other, in the frame of the first shape.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Facing {
    pub on_a: DVec3,
    pub on_b: DVec3,
    /// Of length one, from a to b.
    pub direction: DVec3,
    /// Negative where they overlap.
    pub distance: f64,
}

#[derive(Clone, Copy, Debug)]
pub(crate) enum Nearest {
    Apart(Facing),
    Overlap,
    /// Certainly further than the limit.
    Beyond,
}

/// The gap between two pieces as seen along the unit `n`; never more than their distance.
pub(crate) fn gap_along(a: &Convex, b: &Convex, b_in_a: &DPose3, n: DVec3) -> f64 {
    -CsoPoint::from_shapes(b_in_a, a, b, n).point.dot(n)
}

/// How far an answer may differ from its own check before the search is taken up again, in mm.
const SLACK: f64 = 1e-6;

/// Nearest points of two convex pieces if they are not further apart than `limit`.
pub(crate) fn nearest_convex(a: &Convex, b: &Convex, b_in_a: &DPose3, limit: f64) -> Nearest {
    let ((ma, ha), (mb, hb)) = (a.frame_box(), b.frame_box());
    let between = b_in_a.rotation * mb + b_in_a.translation - ma;
    let size = ha.length() + hb.length();
    let mut start = between.try_normalize().unwrap_or(DVec3::X);
    let mut best: Option<Facing> = None;
    for _ in 0..3 {
        let mut simplex = VoronoiSimplex::new();
        simplex.reset(CsoPoint::from_shapes(b_in_a, a, b, start));
        match gjk::closest_points(b_in_a, a, b, limit, true, &mut simplex) {
            GJKResult::Intersection => return Nearest::Overlap,
            GJKResult::ClosestPoints(on_a, on_b, direction) if on_a.is_finite() && on_b.is_finite() => {
                let length = (on_b - on_a).length();
                let n = if length > 1e-7 { (on_b - on_a) / length } else { direction };
                let n = n.try_normalize().unwrap_or(start);
                let found = Facing { on_a, on_b, direction: n, distance: length };
                if best.is_none_or(|best| found.distance < best.distance) {
                    best = Some(found);
                }
                // A distance below twice the slack cannot be off by more.
                let slack = SLACK * length.max(size / 50.0).max(1.0);
                if length <= 2.0 * SLACK || length - gap_along(a, b, b_in_a, n) <= slack {
                    return best.map_or(Nearest::Beyond, Nearest::Apart);
                }
                start = n;
            }
            GJKResult::NoIntersection(n)
                if n.is_finite() && gap_along(a, b, b_in_a, n.normalize_or_zero()) > limit =>
            {
                return Nearest::Beyond;
            }
            // The search did not converge, or gave no number: begin elsewhere.
            _ => start = DVec3::new(start.y, start.z, start.x) + DVec3::splat(0.1),
        }
        start = start.try_normalize().unwrap_or(DVec3::X);
    }
    let found = descend(a, b, b_in_a, best);
    if found.distance <= SLACK {
        Nearest::Overlap
    } else if found.distance > limit {
        Nearest::Beyond
    } else {
        Nearest::Apart(found)
    }
}

/// Plain descent on the difference of the two pieces, from the best known pair of places or any.
fn descend(a: &Convex, b: &Convex, b_in_a: &DPose3, from: Option<Facing>) -> Facing {
    let first = CsoPoint::from_shapes(b_in_a, a, b, DVec3::X);
    let (mut on_a, mut on_b) = from.map_or((first.orig1, first.orig2), |f| (f.on_a, f.on_b));
    for _ in 0..200 {
        let way = on_b - on_a;
        let Some(n) = way.try_normalize() else { break };
        let tip = CsoPoint::from_shapes(b_in_a, a, b, n);
        let step = (tip.orig2 - tip.orig1) - way;
        let gain = -step.dot(way);
        if gain <= 1e-12 * way.length_squared().max(1e-6) {
            break;
        }
        let share = (gain / step.length_squared()).clamp(0.0, 1.0);
        on_a += (tip.orig1 - on_a) * share;
        on_b += (tip.orig2 - on_b) * share;
    }
    let distance = (on_b - on_a).length();
    let direction = (on_b - on_a).try_normalize().unwrap_or(DVec3::Z);
    Facing { on_a, on_b, direction, distance }
}
