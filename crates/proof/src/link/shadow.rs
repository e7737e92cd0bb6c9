//! What of the craft stands between an antenna on it and a direction?
//!
//! Carbon plates, packs, populated boards and motors stop waves. Each convex piece of them is seen along the ray as the smallest
//! rectangle round its outline; the pieces of one part add up, parts one behind the other multiply (`radio::shadow`), and no
//! shadow is believed deeper than [`radio::SHADOW_MOST`]. A piece counts where it begins, or, if it runs on past the antenna, at
//! a third of how far it reaches. Plastic, prints, leads and blades let waves pass.

use crate::inputs::CraftSolid;
use crate::{Material, Proof};
use fit::{BodyPoint, PartPoint, Role, Shape};
use quantity::{Db, Millimetres};
use radio::{Carrier, Direction, SHADOW_MOST, Screen, shadow};
use std::sync::Arc;

/// What lies nearer ahead than this is no screen but part of the antenna's own surroundings.
const NEAREST_MM: f64 = 5.0;
/// What a rim may give at most, in decibels: the first maximum beside a straight edge (ITU-R P.526). Ripples of many parts do not
/// add up on a real craft.
const RIM_GIVES: f64 = 1.4;
/// Corners a round part is drawn with.
const CORNERS: u32 = 8;

/// What on a craft may shadow one of its antennas.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shadows {
    parts: Arc<[Shading]>,
}

/// One part that stops waves.
#[derive(Clone, Debug, PartialEq)]
struct Shading {
    called: String,
    /// The corners of its convex pieces, from the antenna, in mm in the craft's frame.
    pieces: Vec<Vec<[f64; 3]>>,
}

impl Shadows {
    /// Of the craft's solids, for an antenna with its middle at a point.
    pub(super) fn of(proof: &Proof, middle: BodyPoint) -> Self {
        let stops = proof.inputs().solids.iter().filter(|solid| stops_waves(solid));
        let from = middle.coordinates();
        let seen = |solid: &CraftSolid| {
            let pieces = corners(proof, solid)
                .into_iter()
                .map(|piece| piece.into_iter().map(|at| std::array::from_fn(|n| at[n] - from[n])).collect());
            Shading { called: solid.solid.name.clone(), pieces: pieces.collect() }
        };
        Self { parts: stops.map(seen).collect() }
    }

    /// What they take of a ray along a direction of the craft's frame.
    pub fn loss(&self, along: Direction, carrier: Carrier) -> Db {
        let taken: f64 = self.each(along, carrier).map(|(_, loss)| loss.get()).sum();
        Db::new(taken.clamp(-RIM_GIVES, SHADOW_MOST.get()))
    }

    /// The part that takes most of a ray, and how much.
    pub fn deepest(&self, along: Direction, carrier: Carrier) -> Option<(&str, Db)> {
        self.each(along, carrier).max_by(|a, b| a.1.get().total_cmp(&b.1.get()))
    }

    fn each(&self, along: Direction, carrier: Carrier) -> impl Iterator<Item = (&str, Db)> {
        self.parts.iter().filter_map(move |part| {
            let screens: Vec<Screen> =
                part.pieces.iter().filter_map(|piece| seen_along(piece, along.coordinates())).collect();
            if screens.is_empty() {
                return None;
            }
            // A plate of many pieces beyond all bounds takes nothing that anybody could say.
            shadow(&screens, carrier).ok().map(|loss| (part.called.as_str(), loss))
        })
    }
}

fn stops_waves(solid: &CraftSolid) -> bool {
    let role = solid.solid.role;
    !solid.ghost
        && (solid.material == Material::Carbon
            || matches!(role, Role::Pack | Role::Board | Role::Transmitter | Role::Motor))
}

/// The corners of a solid's convex pieces in the craft's frame, in mm.
fn corners(proof: &Proof, solid: &CraftSolid) -> Vec<Vec<[f64; 3]>> {
    let solid = &solid.solid;
    let placed = |points: Vec<PartPoint>| -> Vec<[f64; 3]> {
        points.into_iter().map(|point| solid.pose.point(point).coordinates()).collect()
    };
    match &solid.shape {
        Shape::Cuboid(cuboid) => {
            let [x, y, z] = cuboid.size().map(|size| size.get() / 2.0);
            let sign = |n: u32, bit: u32| if n >> bit & 1 == 0 { -1.0 } else { 1.0 };
            let corner = |n| PartPoint::new(sign(n, 0) * x, sign(n, 1) * y, sign(n, 2) * z);
            vec![placed((0..8).map(corner).collect())]
        }
        Shape::Cylinder(cylinder) => {
            let (radius, half) = (cylinder.radius().get(), cylinder.length().get() / 2.0);
            let ring = (0..CORNERS).flat_map(|n| {
                let (s, c) = (std::f64::consts::TAU * f64::from(n) / f64::from(CORNERS)).sin_cos();
                [half, -half].map(|z| PartPoint::new(radius * c, radius * s, z))
            });
            vec![placed(ring.collect())]
        }
        Shape::Prism(prism) => {
            let top = prism.thickness().get();
            let outline = prism.outline();
            // Holes are small against the wave, and cutting round them makes twenty pieces of one.
            let filled = proof.outline(outline.outer().to_vec(), Vec::new());
            let whole = filled.as_ref().unwrap_or(outline);
            let pieces = whole.pieces().map(|polygon| {
                polygon.iter().flat_map(|p| [0.0, top].map(|z| PartPoint::new(p.x, p.y, z))).collect()
            });
            pieces.map(placed).collect()
        }
    }
}

/// The smallest rectangle round a piece as seen along a direction; `None` where nothing of it lies ahead.
fn seen_along(piece: &[[f64; 3]], d: [f64; 3]) -> Option<Screen> {
    let dot = |a: [f64; 3], b: [f64; 3]| a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
    let depths = piece.iter().map(|at| dot(*at, d));
    let (near, far) =
        depths.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), depth| (a.min(depth), b.max(depth)));
    if far < NEAREST_MM || !far.is_finite() {
        return None;
    }
    let distance = near.max(far / 3.0).max(NEAREST_MM);
    // Any two directions square to the ray.
    let aside = if d[2].abs() < 0.9 { [0.0, 0.0, 1.0] } else { [1.0, 0.0, 0.0] };
    let cross = |a: [f64; 3], b: [f64; 3]| {
        [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
    };
    let u = cross(aside, d);
    let size = dot(u, u).sqrt();
    let u = u.map(|part| part / size);
    let v = cross(d, u);
    let flat: Vec<[f64; 2]> = piece.iter().map(|at| [dot(*at, u), dot(*at, v)]).collect();
    let hull = hull(flat);
    let boxes = (0..hull.len()).filter_map(|n| {
        let (a, b) = (hull[n], hull[(n + 1) % hull.len()]);
        let (x, y) = (b[0] - a[0], b[1] - a[1]);
        let length = x.hypot(y);
        (length > 1e-9).then(|| bounds(&hull, [x / length, y / length]))
    });
    let area = |edges: &[f64; 4]| (edges[1] - edges[0]) * (edges[3] - edges[2]);
    let [low, high, bottom, top] = boxes.min_by(|a, b| area(a).total_cmp(&area(b)))?;
    let [distance, left, right, below, above] = [distance, -low, high, -bottom, top].map(Millimetres::new);
    Some(Screen { distance, left, right, above, below })
}

/// How far points reach along a direction and square to it.
fn bounds(points: &[[f64; 2]], [c, s]: [f64; 2]) -> [f64; 4] {
    let start = [f64::INFINITY, f64::NEG_INFINITY, f64::INFINITY, f64::NEG_INFINITY];
    points.iter().fold(start, |[a, b, e, f], [x, y]| {
        let (along, square) = (x * c + y * s, y * c - x * s);
        [a.min(along), b.max(along), e.min(square), f.max(square)]
    })
}

/// The convex hull, counter-clockwise (Andrew's chain).
fn hull(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let turns =
        |o: [f64; 2], a: [f64; 2], b: [f64; 2]| (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]);
    let chain = |points: &mut dyn Iterator<Item = [f64; 2]>| {
        let mut chain: Vec<[f64; 2]> = Vec::new();
        for point in points {
            while chain.len() >= 2 && turns(chain[chain.len() - 2], chain[chain.len() - 1], point) <= 0.0 {
                chain.pop();
            }
            chain.push(point);
        }
        chain.pop();
        chain
    };
    let mut lower = chain(&mut points.iter().copied());
    lower.extend(chain(&mut points.iter().rev().copied()));
    lower
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::Megahertz;

    fn carrier() -> Carrier {
        Carrier::new(Megahertz::new(5800.0)).unwrap_or_else(|fault| unreachable!("{fault}"))
    }
    fn block(x: [f64; 2], y: [f64; 2], z: [f64; 2]) -> Vec<[f64; 3]> {
        let mut all = Vec::new();
        for a in x {
            for b in y {
                all.extend(z.map(|c| [a, b, c]));
            }
        }
        all
    }
    fn shadows(pieces: Vec<Vec<[f64; 3]>>) -> Shadows {
        Shadows { parts: [Shading { called: "pack".to_owned(), pieces }].into() }
    }

    #[test]
    fn a_pack_ahead_shadows_the_way_ahead_and_no_other() {
        let pack = shadows(vec![block([40.0, 110.0], [-18.0, 18.0], [-30.0, 60.0])]);
        let ahead = pack.loss(Direction::FORWARD, carrier());
        assert!((2.0..25.0).contains(&ahead.get()), "{ahead}");
        assert_eq!(pack.loss(Direction::FORWARD.opposite(), carrier()), Db::new(0.0));
        assert!(pack.loss(Direction::UP, carrier()).get().abs() < 2.0);
        assert_eq!(pack.deepest(Direction::FORWARD, carrier()).map(|(called, _)| called), Some("pack"));
    }

    #[test]
    fn a_slanting_bar_is_seen_as_long_and_thin() {
        // Two opposite corners of a bar that runs from lower left to upper right, square to x.
        let bar: Vec<[f64; 3]> =
            [[50.0, -40.0, -44.0], [50.0, -44.0, -40.0], [50.0, 40.0, 44.0], [50.0, 44.0, 40.0]].into();
        let screen = seen_along(&bar, [1.0, 0.0, 0.0]).unwrap_or_else(|| unreachable!());
        let sizes = [(screen.left + screen.right).get(), (screen.above + screen.below).get()];
        let [thin, long] = [sizes[0].min(sizes[1]), sizes[0].max(sizes[1])];
        assert!((thin - 32f64.sqrt()).abs() < 1e-9 && (long - 84.0 * 2f64.sqrt()).abs() < 1e-9, "{sizes:?}");
    }

    #[test]
    fn what_lies_at_the_antenna_itself_is_no_screen() {
        assert_eq!(seen_along(&block([-4.0, 4.0], [-9.0, 9.0], [-9.0, 9.0]), [1.0, 0.0, 0.0]), None);
    }
}
