//! In which directions of one plane do solids stand between a place and far away?
//!
//! The plane passes the eye and is given by two directions square to each other; an angle counts from the first
//! toward the second. A plane cuts each wall and each face of a solid in straight pieces, and a ray in the plane meets the
//! solid exactly where it meets one of these pieces: what a piece hides is the arc between its two ends,
//! and the whole is the union of all arcs. No ray is sampled; the ends of the arcs are exact.
//!
//! An end lies where the plane passes an edge of the solid, at p from the eye, the edge along e. The ray d(φ) grazes it
//! where d·(e × p) = 0, so with the edge moving by δ against the eye, dφ = −d·(e × δ) / (d′·(e × p)).
//!
//! Holes count as filled: most are small against the waves and the leads that are asked about. A cylinder counts as
//! [`SIDES`] flat sides round it, 0.06 % wider at their corners.

use crate::frame::{BodyPoint, BodyVector, PartPoint};
use crate::shape::Shape;
use crate::solid::{Drift, Solid, add_slope};
use quantity::Linear;
use std::f64::consts::{PI, TAU};

/// Flat sides that stand for a round one.
const SIDES: usize = 90;

/// A stretch of hidden directions, in radians from the first direction toward the second; `to` may pass π.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HiddenArc {
    /// Where it begins.
    pub from: f64,
    /// Where it ends: more than `from`.
    pub to: f64,
}

/// What is hidden round a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Hidden {
    /// The hidden stretches, apart from each other, in order.
    pub arcs: Vec<HiddenArc>,
    /// The share of all directions that is hidden, 0 to 1, and how it follows the facts.
    pub share: Linear,
    /// How the share grows when the plane turns about the second direction by the right-hand rule, per radian.
    pub by_turn: f64,
}

/// One end of an arc: its angle, and the edge of which solid it is.
#[derive(Clone, Copy)]
struct End {
    angle: f64,
    at: BodyVector,
    edge: BodyVector,
    solid: usize,
}

/// The stretch that one piece hides, its angles not yet brought into one turn.
struct Piece {
    from: End,
    to: End,
}

/// Which directions from `eye` in the plane of `ahead` and `left` are hidden by solids. The two must be of length one and square
/// to each other. `drifts` are those of what carries the eye.
pub fn hidden_round(
    eye: BodyPoint,
    drifts: &[Drift],
    [ahead, left]: [BodyVector; 2],
    solids: &[&Solid],
) -> Hidden {
    let plane = Plane { eye, ahead, left, up: ahead.cross(left) };
    let mut pieces = Vec::new();
    for (number, solid) in solids.iter().enumerate() {
        plane.cut(number, solid, &mut pieces);
    }
    let merged = merged(pieces);
    let mut share = Linear::exact(0.0);
    let mut by_turn = 0.0;
    let mut arcs = Vec::with_capacity(merged.len());
    for arc in &merged {
        share.value += (arc.to.angle - arc.from.angle) / TAU;
        arcs.push(HiddenArc { from: arc.from.angle, to: arc.to.angle });
        if arc.to.angle - arc.from.angle >= TAU {
            continue;
        }
        for (end, sign) in [(&arc.from, -1.0 / TAU), (&arc.to, 1.0 / TAU)] {
            let (sine, cosine) = end.angle.sin_cos();
            let along = ahead * cosine + left * sine;
            let onward = left * cosine - ahead * sine;
            let normal = end.edge.cross(end.at);
            let turning = onward.dot(normal);
            if turning.abs() < 1e-12 {
                continue;
            }
            let at = eye + end.at;
            let mut moved = |drift: &Drift, at: BodyPoint, sign: f64| {
                let by = drift.field.displacement(at);
                add_slope(&mut share, drift.fact, -sign * along.dot(end.edge.cross(by)) / turning);
            };
            solids[end.solid].drifts.iter().for_each(|drift| moved(drift, at, sign));
            drifts.iter().for_each(|drift| moved(drift, eye, -sign));
            // The first direction turns toward minus the third.
            by_turn += sign * cosine * plane.up.dot(normal) / turning;
        }
    }
    Hidden { arcs, share, by_turn }
}

/// The plane that is looked round in.
struct Plane {
    eye: BodyPoint,
    ahead: BodyVector,
    left: BodyVector,
    up: BodyVector,
}

impl Plane {
    /// The pieces in which it cuts a solid.
    fn cut(&self, number: usize, solid: &Solid, pieces: &mut Vec<Piece>) {
        let (ring, low, high) = ring(&solid.shape);
        let corner = |(x, y): (f64, f64), z: f64| solid.pose.point(PartPoint::new(x, y, z)) - self.eye;
        let below: Vec<BodyVector> = ring.iter().map(|at| corner(*at, low)).collect();
        let above: Vec<BodyVector> = ring.iter().map(|at| corner(*at, high)).collect();
        let heights = |row: &[BodyVector]| row.iter().map(|at| self.up.dot(*at)).collect::<Vec<f64>>();
        let (low, high) = (heights(&below), heights(&above));
        let sides = |h: &f64| *h >= 0.0;
        if low.iter().chain(&high).all(sides) || !low.iter().chain(&high).any(sides) {
            return;
        }
        let count = ring.len();
        let meets = |(p, hp): (BodyVector, f64), (q, hq): (BodyVector, f64)| {
            ((hp >= 0.0) != (hq >= 0.0)).then(|| {
                let at = p + (q - p) * (hp / (hp - hq));
                End { angle: self.angle(at), at, edge: q - p, solid: number }
            })
        };
        // Whatever the plane passes of the two faces, told by the edge that bounds it there.
        let on_low: Vec<Option<End>> = (0..count)
            .map(|k| meets((below[k], low[k]), (below[(k + 1) % count], low[(k + 1) % count])))
            .collect();
        let on_high: Vec<Option<End>> = (0..count)
            .map(|k| meets((above[k], high[k]), (above[(k + 1) % count], high[(k + 1) % count])))
            .collect();
        let upright: Vec<Option<End>> =
            (0..count).map(|k| meets((below[k], low[k]), (above[k], high[k]))).collect();
        for k in 0..count {
            let round = [on_low[k], upright[(k + 1) % count], on_high[k], upright[k]];
            self.join(round.into_iter().flatten().collect(), pieces);
        }
        for face in [on_low, on_high] {
            self.join(face.into_iter().flatten().collect(), pieces);
        }
    }

    /// Joins the places where the plane passes the edges of one flat face: they lie on one line, and every other
    /// stretch between them is of the face.
    fn join(&self, mut ends: Vec<End>, pieces: &mut Vec<Piece>) {
        let Some(first) = ends.first().copied() else { return };
        let far = |end: &End| (end.at - first.at).length().get();
        let Some(last) = ends.iter().max_by(|a, b| far(a).total_cmp(&far(b))).copied() else { return };
        let along = last.at - first.at;
        ends.sort_by(|a, b| (a.at - first.at).dot(along).total_cmp(&(b.at - first.at).dot(along)));
        for pair in ends.chunks_exact(2) {
            let (one, other) = (pair[0], pair[1]);
            let mut by = (other.angle - one.angle).rem_euclid(TAU);
            let (from, mut to) = if by <= PI { (one, other) } else { (other, one) };
            if by > PI {
                by = TAU - by;
            }
            to.angle = from.angle + by;
            pieces.push(Piece { from, to });
        }
    }

    fn angle(&self, at: BodyVector) -> f64 {
        self.left.dot(at).atan2(self.ahead.dot(at))
    }
}

/// The section of a shape across its z, and where it begins and ends along z.
fn ring(shape: &Shape) -> (Vec<(f64, f64)>, f64, f64) {
    match shape {
        Shape::Cuboid(cuboid) => {
            let [x, y, z] = cuboid.half();
            (vec![(-x, -y), (x, -y), (x, y), (-x, y)], -z, z)
        }
        Shape::Cylinder(cylinder) => {
            let round = cylinder.radius().get() / (PI / SIDES as f64).cos();
            let at = |k: usize| {
                let (sine, cosine) = (TAU * k as f64 / SIDES as f64).sin_cos();
                (round * cosine, round * sine)
            };
            let half = cylinder.length().get() / 2.0;
            ((0..SIDES).map(at).collect(), -half, half)
        }
        Shape::Prism(prism) => {
            let ring = prism.outline().outer().iter().map(|p| (p.x, p.y)).collect();
            (ring, 0.0, prism.thickness().get())
        }
    }
}

/// The union of pieces: stretches apart from each other, each beginning within (−π, π].
fn merged(mut pieces: Vec<Piece>) -> Vec<Piece> {
    pieces.sort_by(|a, b| a.from.angle.total_cmp(&b.from.angle));
    let mut union: Vec<Piece> = Vec::new();
    for piece in pieces {
        match union.last_mut() {
            Some(last) if piece.from.angle <= last.to.angle => {
                if piece.to.angle > last.to.angle {
                    last.to = piece.to;
                }
            }
            _ => union.push(piece),
        }
    }
    // What passes π comes round to the first stretches.
    while union.len() > 1 {
        let [.., last] = union.as_slice() else { break };
        let (over, from) = (last.to, last.from);
        let first = &union[0];
        if over.angle - TAU < first.from.angle {
            return union;
        }
        let to = if over.angle - TAU >= first.to.angle {
            over
        } else {
            End { angle: first.to.angle + TAU, ..first.to }
        };
        union.remove(0);
        if let Some(last) = union.last_mut() {
            *last = Piece { from, to };
        }
    }
    if let [only] = union.as_mut_slice()
        && only.to.angle - only.from.angle > TAU
    {
        only.to.angle = only.from.angle + TAU;
    }
    union
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::Pose;
    use crate::solid::{DriftField, OwnerIndex};
    use crate::{Role, overlap};
    use proptest::prelude::*;
    use quantity::{Degrees, FactIndex, Millimetres};

    const LEVEL: [BodyVector; 2] = [BodyVector::X, BodyVector::Y];

    fn solid(shape: Shape, pose: Pose) -> Solid {
        Solid { name: "it".into(), owner: OwnerIndex(0), role: Role::Pack, shape, pose, drifts: Vec::new() }
    }
    fn block([x, y, z]: [f64; 3], at: BodyPoint, [yaw, pitch, roll]: [f64; 3]) -> Solid {
        let [x, y, z] = [x, y, z].map(Millimetres::new);
        let shape = Shape::cuboid(x, y, z).unwrap_or_else(|f| unreachable!("{f}"));
        solid(shape, Pose::turned(at, Degrees::new(yaw), Degrees::new(pitch), Degrees::new(roll)))
    }
    fn share(solids: &[&Solid], plane: [BodyVector; 2]) -> f64 {
        hidden_round(BodyPoint::ORIGIN, &[], plane, solids).share.value
    }

    #[test]
    fn a_box_ahead_hides_the_angle_it_fills() {
        // Its near face, 40 wide, stands 30 ahead.
        let ahead = block([20.0, 40.0, 10.0], BodyPoint::new(40.0, 0.0, 0.0), [0.0; 3]);
        assert!((share(&[&ahead], LEVEL) - 2.0 * (20.0f64 / 30.0).atan() / TAU).abs() < 1e-12);
        let over = block([20.0, 40.0, 10.0], BodyPoint::new(40.0, 0.0, 6.0), [0.0; 3]);
        assert_eq!(share(&[&over], LEVEL), 0.0);
        let behind = block([20.0, 40.0, 10.0], BodyPoint::new(-40.0, 0.0, 0.0), [0.0; 3]);
        assert!((share(&[&behind, &ahead], LEVEL) - 2.0 * share(&[&ahead], LEVEL)).abs() < 1e-12);
        let round = block([20.0, 40.0, 10.0], BodyPoint::new(0.0, 0.0, 1.0), [0.0; 3]);
        assert!((share(&[&round, &ahead], LEVEL) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_cylinder_upright_hides_what_its_tangents_hold() {
        let shape = Shape::cylinder(Millimetres::new(10.0), Millimetres::new(50.0));
        let shape = shape.unwrap_or_else(|f| unreachable!("{f}"));
        let post = solid(shape, Pose::at(BodyPoint::new(0.0, 40.0, 0.0)));
        let tangents = 2.0 * (10.0f64 / 40.0).asin() / TAU;
        assert!((share(&[&post], LEVEL) / tangents - 1.0).abs() < 1e-3);
    }

    /// The share of so many evenly spread rays, each a thread so thin, that meet one of the solids.
    fn sampled(solids: &[Solid], plane: [BodyVector; 2], count: u32) -> f64 {
        let met = |n: u32| {
            let angle = TAU * (f64::from(n) + 0.5) / f64::from(count);
            let way = plane[0] * angle.cos() + plane[1] * angle.sin();
            let axis = BodyVector::Z.cross(way).direction().unwrap_or(BodyVector::X);
            let by = Degrees::new(BodyVector::Z.dot(way).clamp(-1.0, 1.0).acos().to_degrees());
            let middle = BodyPoint::ORIGIN + way * 500.0;
            let shape = Shape::cylinder(Millimetres::new(1e-3), Millimetres::new(1000.0));
            let thread = shape.map(|shape| solid(shape, Pose::at(middle).turned_further(middle, axis, by)));
            thread.is_ok_and(|thread| solids.iter().any(|solid| overlap(&thread, solid)))
        };
        f64::from((0..count).filter(|n| met(*n)).count() as u32) / f64::from(count)
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]

        #[test]
        fn the_arcs_are_what_rays_meet(
            at in prop::array::uniform3(-60.0..60.0f64),
            size in prop::array::uniform3(8.0..60.0f64),
            turn in prop::array::uniform3(-90.0..90.0f64),
            tilt in -0.8..0.8f64,
        ) {
            let plane = [BodyVector::new(tilt.cos(), 0.0, tilt.sin()), BodyVector::Y];
            let one = block(size, BodyPoint::new(at[0], at[1], at[2]), turn);
            let other = block([15.0, 30.0, 40.0], BodyPoint::new(-at[1], at[2], at[0]), [turn[2], turn[0], 0.0]);
            let exact = share(&[&one, &other], plane);
            prop_assert!((sampled(&[one, other], plane, 360) - exact).abs() < 6.0 / 360.0, "{exact}");
        }

        #[test]
        fn the_share_follows_what_moves(
            x in 30.0..60.0f64, y in -20.0..20.0f64, turn in -40.0..40.0f64, tilt in -0.3..0.3f64,
        ) {
            let plane = |tilt: f64| [BodyVector::new(tilt.cos(), 0.0, tilt.sin()), BodyVector::Y];
            let at = |by: f64| {
                let mut it = block([20.0, 40.0, 60.0], BodyPoint::new(x, y, by), [turn, 0.3 * turn, 0.5 * turn]);
                it.pose = it.pose.shifted(BodyVector::new(0.4, 1.0, 0.2) * by);
                let field = DriftField::Shift(BodyVector::new(0.4, 1.0, 1.2));
                it.drifts.push(Drift { fact: FactIndex(0), field });
                it
            };
            let found = hidden_round(BodyPoint::ORIGIN, &[], plane(tilt), &[&at(0.0)]);
            let step = 1e-5;
            let slope = (share(&[&at(step)], plane(tilt)) - share(&[&at(-step)], plane(tilt))) / (2.0 * step);
            prop_assert!((found.share.slope_on(FactIndex(0)) - slope).abs() < 1e-6, "{slope}");
            // The first direction turned by the right-hand rule about the second goes down.
            let turned = (share(&[&at(0.0)], plane(tilt - step)) - share(&[&at(0.0)], plane(tilt + step))) / (2.0 * step);
            prop_assert!((found.by_turn - turned).abs() < 1e-6, "{} {turned}", found.by_turn);
        }
    }
}
