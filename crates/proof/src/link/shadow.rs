//! What of the craft stands between an antenna on it and a direction?
//!
//! Carbon plates, packs, the laminate of boards, transmitters and motors stop waves. Each is seen along the ray as the smallest rectangle
//! round it, at the middle of what of it lies ahead; a plate that fills less of its hull than most, such as four arms in one, as its
//! convex pieces, which add up (`radio::shadow`). Parts one behind the other multiply. No shadow is believed deeper than
//! [`radio::SHADOW_MOST`], and nothing counts as nearer than half a wavelength: closer in the theory says nothing. Plastic,
//! prints, leads and blades let waves pass.
//!
//! The rule `link.carbon_shadow` asks something else, and has a notion of its own: whether the straight way meets carbon or pack, exactly and
//! with no depth, for its share of headings must lean smoothly on where the antenna sits. At the edge of such a shadow this model
//! gives 6 dB, so the two agree on where a shadow begins.

use crate::inputs::{CraftSolid, Piece};
use crate::{Material, Proof};
use fit::{BodyPoint, PartPoint, Role, Shape};
use quantity::{Db, Millimetres};
use radio::{Carrier, Direction, SHADOW_MOST, Screen, shadow};
use std::sync::Arc;

/// Nothing counts as nearer than this: half a wavelength.
const NEAREST_MM: f64 = 26.0;
/// What does not reach this far ahead is no screen but part of the antenna's own surroundings.
const AHEAD_MM: f64 = 5.0;
/// A plate that fills so much of its hull counts as its hull.
const FILLED: f64 = 0.7;
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
            let d = along.coordinates();
            let (distance, far) = ahead(part.pieces.iter().flatten(), d)?;
            let screens: Vec<Screen> =
                part.pieces.iter().filter_map(|piece| seen_along(piece, d, distance)).collect();
            // A plate of many pieces beyond all bounds takes nothing that anybody could say.
            let loss = shadow(&screens, carrier).ok()?;
            // What only just reaches ahead comes in little by little.
            let share = ((far - AHEAD_MM) / NEAREST_MM).min(1.0);
            Some((part.called.as_str(), Db::new(share * loss.get().max(-RIM_GIVES))))
        })
    }
}

fn stops_waves(solid: &CraftSolid) -> bool {
    let role = solid.solid.role;
    // Components stand over the laminate, which stops what they would.
    !solid.ghost
        && solid.piece != Piece::Components
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
            let (top, outline) = (prism.thickness().get(), prism.outline());
            let around = hull(outline.outer().iter().map(|p| [p.x, p.y]).collect());
            // Holes are small against the wave, and cutting round them makes twenty pieces of one.
            let filled = proof.outline(outline.outer().to_vec(), Vec::new());
            let whole = filled.as_ref().unwrap_or(outline);
            let pieces: Vec<Vec<[f64; 2]>> = if whole.area_mm2() >= FILLED * area(&around) {
                vec![around]
            } else {
                whole.pieces().map(|piece| piece.iter().map(|p| [p.x, p.y]).collect()).collect()
            };
            let thick = |piece: Vec<[f64; 2]>| -> Vec<PartPoint> {
                piece.iter().flat_map(|[x, y]| [0.0, top].map(|z| PartPoint::new(*x, *y, z))).collect()
            };
            pieces.into_iter().map(|piece| placed(thick(piece))).collect()
        }
    }
}

/// How far ahead the middle of what lies ahead is, and its end; `None` where nothing does.
fn ahead<'p>(points: impl Iterator<Item = &'p [f64; 3]>, d: [f64; 3]) -> Option<(f64, f64)> {
    let depths = points.map(|at| dot(*at, d));
    let (near, far) =
        depths.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), depth| (a.min(depth), b.max(depth)));
    (far >= AHEAD_MM && far.is_finite()).then(|| ((0.5 * (near.max(0.0) + far)).max(NEAREST_MM), far))
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// The area of a convex polygon.
fn area(polygon: &[[f64; 2]]) -> f64 {
    let next = polygon.iter().cycle().skip(1);
    0.5 * polygon.iter().zip(next).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum::<f64>()
}

/// The smallest rectangle round a piece as seen along a direction from a distance; `None` for a piece without extent.
fn seen_along(piece: &[[f64; 3]], d: [f64; 3], distance: f64) -> Option<Screen> {
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
    let size = |edges: &[f64; 4]| (edges[1] - edges[0]) * (edges[3] - edges[2]);
    let [low, high, bottom, top] = boxes.min_by(|a, b| size(a).total_cmp(&size(b)))?;
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
    use quantity::{Degrees, Megahertz};

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
        let screen = seen_along(&bar, [1.0, 0.0, 0.0], 50.0).unwrap_or_else(|| unreachable!());
        let sizes = [(screen.left + screen.right).get(), (screen.above + screen.below).get()];
        let [thin, long] = [sizes[0].min(sizes[1]), sizes[0].max(sizes[1])];
        assert!((thin - 32f64.sqrt()).abs() < 1e-9 && (long - 84.0 * 2f64.sqrt()).abs() < 1e-9, "{sizes:?}");
    }

    #[test]
    fn a_shadow_changes_little_within_half_a_degree() {
        let plate = block([-50.0, 70.0], [-16.0, 16.0], [-42.0, -40.0]);
        let craft = shadows(vec![plate]);
        let at = |degrees: f64| {
            let along = Direction::of_angles(Degrees::new(0.0), Degrees::new(degrees));
            craft.loss(along.unwrap_or(Direction::FORWARD), carrier()).get()
        };
        for tenth in -800..800 {
            let (here, there) = (at(f64::from(tenth) * 0.1), at(f64::from(tenth + 5) * 0.1));
            assert!((here - there).abs() < 1.0, "{tenth}: {here} {there}");
        }
    }

    #[test]
    fn what_lies_at_the_antenna_itself_is_no_screen() {
        let at = block([-4.0, 4.0], [-9.0, 9.0], [-9.0, 9.0]);
        assert_eq!(ahead(at.iter(), [1.0, 0.0, 0.0]), None);
        assert_eq!(shadows(vec![at]).loss(Direction::FORWARD, carrier()), Db::new(0.0));
    }
}
