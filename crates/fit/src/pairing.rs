//! Two shapes held against each other: a joint descent through the trees of their pieces.
//!
//! A pair of tree boxes is left out as soon as its boxes are further apart than the best answer so far.
//! The gap of two boxes is taken in the frames of both shapes and the larger one counts; either is a lower
//! bound of the true distance.

use crate::convex::{Convex, Facing, Nearest, nearest_convex, plate_box, whole};
use crate::outline::ROUNDING;
use crate::penetration::{least_way_out, polytope_normal};
use crate::pieces::{Below, PieceTree};
use crate::point::from_surface;
use crate::shape::Shape;
use parry3d_f64::glamx::{DMat3, DPose3, DVec3};
use parry3d_f64::query::gjk::CsoPoint;
use std::cell::Cell;

/// The pieces of one shape as a tree; a shape of one piece is a tree of one node.
pub(crate) enum Pieces<'a> {
    One(Convex<'a>),
    Many(&'a PieceTree, f64),
}

impl<'a> Pieces<'a> {
    /// The pieces of a shape with its holes left out.
    pub(crate) fn of(shape: &'a Shape) -> Self {
        match (whole(shape), shape) {
            (Some(convex), _) => Pieces::One(convex),
            (None, Shape::Prism(p)) => Pieces::Many(p.outline().drilled(), p.thickness().get()),
            // Only a prism has more than one piece.
            (None, _) => Pieces::One(Convex::Cuboid { half: DVec3::ZERO }),
        }
    }

    /// The pieces of a shape as if it had no holes.
    pub(crate) fn filled(shape: &'a Shape) -> Self {
        match shape {
            Shape::Prism(p) if p.outline().filled().piece_count() == 1 => {
                let polygon = p.outline().filled().polygon(0);
                Pieces::One(Convex::Prism { polygon, thickness: p.thickness().get() })
            }
            Shape::Prism(p) => Pieces::Many(p.outline().filled(), p.thickness().get()),
            _ => Pieces::of(shape),
        }
    }

    /// The box of a node: middle and half size.
    pub(crate) fn node_box(&self, node: u32) -> (DVec3, DVec3) {
        match self {
            Pieces::One(convex) => convex.frame_box(),
            Pieces::Many(tree, thickness) => {
                let node = tree.node(node);
                plate_box(node.low, node.high, *thickness)
            }
        }
    }

    fn below(&self, node: u32) -> Below {
        match self {
            Pieces::One(_) => Below::Piece(0),
            Pieces::Many(tree, _) => tree.node(node).below,
        }
    }

    fn piece(&self, piece: u32) -> Convex<'a> {
        match self {
            Pieces::One(convex) => *convex,
            Pieces::Many(tree, thickness) => {
                Convex::Prism { polygon: tree.polygon(piece as usize), thickness: *thickness }
            }
        }
    }
}

/// Two shapes in the frame of the first.
pub(crate) struct Pairing<'a> {
    pub a: Pieces<'a>,
    pub b: Pieces<'a>,
    pub b_in_a: DPose3,
    turn: DMat3,
    spread: DMat3,
}

impl<'a> Pairing<'a> {
    pub(crate) fn new(a: &'a Shape, b: &'a Shape, b_in_a: DPose3) -> Self {
        Self::of_pieces(Pieces::of(a), Pieces::of(b), b_in_a)
    }

    fn of_pieces(a: Pieces<'a>, b: Pieces<'a>, b_in_a: DPose3) -> Self {
        let turn = DMat3::from_quat(b_in_a.rotation);
        let spread = DMat3::from_cols(turn.x_axis.abs(), turn.y_axis.abs(), turn.z_axis.abs());
        Self { a, b, b_in_a, turn, spread }
    }

    /// Per axis of both frames: distance of the middles less both half sizes. In the order a, b.
    fn gaps(&self, a: u32, b: u32) -> (DVec3, DVec3) {
        let ((ma, ha), (mb, hb)) = (self.a.node_box(a), self.b.node_box(b));
        let between = self.turn * mb + self.b_in_a.translation - ma;
        let in_a = between.abs() - ha - self.spread * hb;
        let in_b = (self.turn.transpose() * between).abs() - hb - self.spread.transpose() * ha;
        (in_a, in_b)
    }

    fn bound(&self, a: u32, b: u32) -> f64 {
        let (in_a, in_b) = self.gaps(a, b);
        in_a.max(DVec3::ZERO).length().max(in_b.max(DVec3::ZERO).length())
    }

    /// Visits pairs of pieces whose bound is not above the limit; the visitor may lower the limit. Nearer
    /// pairs come first. Stops when the visitor says so.
    pub(crate) fn walk(
        &self,
        mut limit: f64,
        bound: impl Fn(u32, u32) -> f64,
        mut visit: impl FnMut(&Convex<'a>, &Convex<'a>, &mut f64) -> Walk,
    ) {
        let mut stack = vec![(bound(0, 0), 0u32, 0u32)];
        while let Some((least, na, nb)) = stack.pop() {
            if least > limit {
                continue;
            }
            let size = |(_, half): (DVec3, DVec3)| half.length_squared();
            let mut pair = |x: (u32, u32), y: (u32, u32)| {
                let (x, y) = ((bound(x.0, x.1), x.0, x.1), (bound(y.0, y.1), y.0, y.1));
                let (near, far) = if y.0 < x.0 { (y, x) } else { (x, y) };
                stack.push(far);
                stack.push(near);
            };
            match (self.a.below(na), self.b.below(nb)) {
                (Below::Piece(pa), Below::Piece(pb)) => {
                    if let Walk::Stop = visit(&self.a.piece(pa), &self.b.piece(pb), &mut limit) {
                        return;
                    }
                }
                (Below::Nodes(l, r), Below::Piece(_)) => pair((l, nb), (r, nb)),
                (Below::Piece(_), Below::Nodes(l, r)) => pair((na, l), (na, r)),
                (Below::Nodes(l, r), Below::Nodes(..))
                    if size(self.a.node_box(na)) >= size(self.b.node_box(nb)) =>
                {
                    pair((l, nb), (r, nb));
                }
                (Below::Nodes(..), Below::Nodes(l, r)) => pair((na, l), (na, r)),
            }
        }
    }

    /// Nearest places of the two shapes if not further apart than `limit`.
    pub(crate) fn nearest(&self, limit: f64) -> Nearest {
        self.nearest_from(0.0, limit)
    }

    /// The same when they are known not to be nearer than `least`: that near is near enough.
    pub(crate) fn nearest_from(&self, least: f64, limit: f64) -> Nearest {
        let mut best = Nearest::Beyond;
        self.walk(
            limit,
            |a, b| self.bound(a, b),
            |a, b, limit| match nearest_convex(a, b, &self.b_in_a, *limit) {
                Nearest::Overlap => {
                    best = Nearest::Overlap;
                    Walk::Stop
                }
                Nearest::Apart(found) => {
                    let better = match best {
                        Nearest::Apart(known) => found.distance < known.distance,
                        _ => true,
                    };
                    if better {
                        best = Nearest::Apart(found);
                        *limit = found.distance;
                    }
                    if *limit <= least + ENOUGH { Walk::Stop } else { Walk::On }
                }
                Nearest::Beyond => Walk::On,
            },
        );
        best
    }

    /// Visits the pairs of pieces that overlap; `looked` counts the pairs looked at, and the visit ends when
    /// it passes `looks_max`.
    pub(crate) fn overlaps(
        &self,
        looked: &Cell<usize>,
        looks_max: usize,
        mut visit: impl FnMut(&Convex<'a>, &Convex<'a>) -> Walk,
    ) {
        self.walk(
            0.0,
            |a, b| self.bound(a, b),
            |a, b, _| {
                looked.set(looked.get() + 1);
                match nearest_convex(a, b, &self.b_in_a, 1e-6) {
                    _ if looked.get() > looks_max => Walk::Stop,
                    Nearest::Overlap => visit(a, b),
                    _ => Walk::On,
                }
            },
        );
    }

    /// The same pair with the second shape shifted in the frame of the first.
    pub(crate) fn shifted(&self, by: DVec3) -> Pairing<'a> {
        let copy = |pieces: &Pieces<'a>| match pieces {
            Pieces::One(convex) => Pieces::One(*convex),
            Pieces::Many(tree, thickness) => Pieces::Many(tree, *thickness),
        };
        let b_in_a = DPose3 { rotation: self.b_in_a.rotation, translation: self.b_in_a.translation + by };
        Pairing { a: copy(&self.a), b: copy(&self.b), b_in_a, turn: self.turn, spread: self.spread }
    }

    /// When the second shape's box, moving along the unit `way`, first meets the first's; a lower bound.
    pub(crate) fn arrival(&self, a: u32, b: u32, way: DVec3) -> f64 {
        let ((ma, ha), (mb, hb)) = (self.a.node_box(a), self.b.node_box(b));
        let between = self.turn * mb + self.b_in_a.translation - ma;
        let half = ha + self.spread * hb + DVec3::splat(1e-6);
        let (mut enter, mut leave) = (0.0f64, f64::INFINITY);
        for axis in 0..3 {
            let (p, v, h) = (between[axis], way[axis], half[axis]);
            if v.abs() < 1e-12 {
                if p.abs() > h {
                    return f64::INFINITY;
                }
                continue;
            }
            let (t0, t1) = ((-h - p) / v, (h - p) / v);
            enter = enter.max(t0.min(t1));
            leave = leave.min(t0.max(t1));
        }
        if enter <= leave { enter } else { f64::INFINITY }
    }
}

/// Whether a visitor has seen enough.
pub(crate) enum Walk {
    On,
    Stop,
}

/// How near to the least possible distance ends a search, in mm.
const ENOUGH: f64 = 1e-7;

/// Distance and places, or how deep they overlap; `None` if further apart than `limit`.
pub(crate) fn signed_nearest(a: &Shape, b: &Shape, b_in_a: DPose3, limit: f64) -> Option<Facing> {
    let looked = Looked::at(a, b, b_in_a, limit);
    match looked.found {
        Nearest::Apart(found) => Some(found),
        Nearest::Beyond => None,
        Nearest::Overlap => Some(least_way_out(a, b, &looked.filled, looked.drilled.as_ref())),
    }
}

/// Whether they overlap: all that needs no way out.
pub(crate) fn do_overlap(a: &Shape, b: &Shape, b_in_a: DPose3) -> bool {
    matches!(Looked::at(a, b, b_in_a, 0.0).found, Nearest::Overlap)
}

/// A distance that is worked out only as far as it matters.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Depth {
    /// They are so far apart, or overlap so deep; then negative.
    Known(f64),
    /// They overlap by this at least.
    AtLeast(f64),
}

/// Distance, or how deep they overlap; of what overlaps deeper than `deep` that much is told and no way out is sought.
/// `None` if further apart than `limit`.
pub(crate) fn nearest_unless_deep(
    a: &Shape,
    b: &Shape,
    b_in_a: DPose3,
    limit: f64,
    deep: f64,
) -> Option<Depth> {
    let looked = Looked::at(a, b, b_in_a, limit);
    match looked.found {
        Nearest::Apart(found) => Some(Depth::Known(found.distance)),
        Nearest::Beyond => None,
        Nearest::Overlap if deep < 0.0 => Some(Depth::AtLeast(0.0)),
        Nearest::Overlap => {
            let pairing = looked.drilled.as_ref().unwrap_or(&looked.filled);
            let first = first_bite(pairing);
            let shared = shared_depth(a, b, &b_in_a, (first.on_a + first.on_b) / 2.0);
            if shared > deep {
                return Some(Depth::AtLeast(shared));
            }
            Some(Depth::Known(least_way_out(a, b, &looked.filled, looked.drilled.as_ref()).distance))
        }
    }
}

/// The most that both shapes' boxes are apart along an axis of either: no more than the shapes are, and where they overlap
/// no less than how deep, negative.
pub(crate) fn boxes_apart_by(a: &Shape, b: &Shape, b_in_a: DPose3) -> f64 {
    let (in_a, in_b) = Pairing::of_pieces(Pieces::filled(a), Pieces::filled(b), b_in_a).gaps(0, 0);
    in_a.max(in_b).max_element()
}

/// Distance and places as [`signed_nearest`] gives them, but where they overlap the distance is a bite: overlapping they stay while no point of either
/// moves further than that. If one place lies u deep in one and v deep in the other it is u + v, since a ball
/// of those sizes stays in each. It costs far less than the least slide, and holds for turns too.
pub(crate) fn nearest_or_bite(a: &Shape, b: &Shape, b_in_a: DPose3, limit: f64) -> Option<Facing> {
    let filled = Pairing::of_pieces(Pieces::filled(a), Pieces::filled(b), b_in_a);
    let mut bite = None;
    if let Nearest::Overlap = filled.nearest(limit) {
        let first = first_bite(&filled);
        let shared = shared_depth(a, b, &b_in_a, (first.on_a + first.on_b) / 2.0);
        if shared > 0.0 {
            return Some(Facing { distance: -shared, ..first });
        }
        bite = Some(first);
    }
    let looked = Looked::at(a, b, b_in_a, limit);
    match looked.found {
        Nearest::Apart(found) => Some(found),
        Nearest::Beyond => None,
        // That they overlap is sure, but not how deep.
        Nearest::Overlap => bite.map(|bite| Facing { distance: -BARELY, ..bite }),
    }
}

/// A pair looked at.
///
/// Plates are first taken as if they had no holes, which is a few pieces instead of hundreds. They are
/// then never further away than with holes; and if the nearest places do not lie in a hole, they are the
/// nearest with holes too.
struct Looked<'a> {
    filled: Pairing<'a>,
    /// Only where it was needed.
    drilled: Option<Pairing<'a>>,
    found: Nearest,
}

impl<'a> Looked<'a> {
    fn at(a: &'a Shape, b: &'a Shape, b_in_a: DPose3, limit: f64) -> Self {
        let filled = Pairing::of_pieces(Pieces::filled(a), Pieces::filled(b), b_in_a);
        let holes = [a, b].iter().any(|s| matches!(s, Shape::Prism(p) if !p.outline().holes().is_empty()));
        let least = match filled.nearest(limit) {
            Nearest::Beyond => return Self { filled, drilled: None, found: Nearest::Beyond },
            Nearest::Apart(found) => {
                let on_b = b_in_a.rotation.inverse() * (found.on_b - b_in_a.translation);
                if !over_a_hole(a, found.on_a) && !over_a_hole(b, on_b) {
                    return Self { filled, drilled: None, found: Nearest::Apart(found) };
                }
                found.distance
            }
            Nearest::Overlap if !holes => return Self { filled, drilled: None, found: Nearest::Overlap },
            Nearest::Overlap => 0.0,
        };
        let drilled = Pairing::new(a, b, b_in_a);
        let found = drilled.nearest_from(least, limit);
        Self { filled, drilled: Some(drilled), found }
    }
}

/// How deep one place lies in both shapes together, searched from a start; nought if none is found.
fn shared_depth(a: &Shape, b: &Shape, b_in_a: &DPose3, start: DVec3) -> f64 {
    let depths = |p: DVec3| {
        let (u, from_a) = from_surface(a, p);
        let (v, from_b) = from_surface(b, b_in_a.rotation.inverse() * (p - b_in_a.translation));
        (u, from_a, v, b_in_a.rotation * from_b)
    };
    // First by turns into the one and into the other, a little deeper than the surface.
    let (mut at, mut into) = (start, 0.1);
    let mut found = depths(at);
    for _ in 0..CLIMBS {
        let (u, from_a, v, from_b) = found;
        if u < 0.0 && v < 0.0 {
            break;
        }
        at -= if u > v { from_a * (u + into) } else { from_b * (v + into) };
        into *= 0.8;
        found = depths(at);
    }
    if found.0 >= 0.0 || found.2 >= 0.0 {
        return 0.0;
    }
    // Then deeper into both.
    let mut step = 1.0;
    for _ in 0..CLIMBS {
        let (u, from_a, v, from_b) = found;
        let shallower = if u > v { from_a } else { from_b };
        let better = [from_a + from_b, shallower].into_iter().find_map(|out| {
            let next = at - out.try_normalize()? * step;
            let there = depths(next);
            (there.0 < 0.0 && there.2 < 0.0 && there.0 + there.2 < u + v).then_some((next, there))
        });
        match better {
            Some((next, there)) => (at, found) = (next, there),
            None => step /= 2.0,
        }
    }
    // The walls of round holes are drawn to a thousandth.
    (-found.0 - found.2 - 2.0 * ROUNDING.get()).max(0.0)
}

/// How many steps are taken in search of a place in both, and of a deeper one.
const CLIMBS: usize = 12;
/// The bite of a pair that overlaps, no one knows how deep.
const BARELY: f64 = 2e-5;

/// How the first overlapping pair of pieces found bites; the middle of nothing if none is.
fn first_bite(pairing: &Pairing) -> Facing {
    let mut bite = Facing { on_a: DVec3::ZERO, on_b: DVec3::ZERO, direction: DVec3::Z, distance: 0.0 };
    pairing.overlaps(&Cell::new(0), usize::MAX, |a, b| {
        if let Some(direction) = polytope_normal(a, b, &pairing.b_in_a) {
            let tip = CsoPoint::from_shapes(&pairing.b_in_a, a, b, direction);
            bite = Facing { on_a: tip.orig1, on_b: tip.orig2, direction, distance: 0.0 };
        }
        Walk::Stop
    });
    bite
}

fn over_a_hole(shape: &Shape, place: DVec3) -> bool {
    matches!(shape, Shape::Prism(p) if p.outline().in_a_hole(place.truncate()))
}
