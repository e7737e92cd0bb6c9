//! The outline of a plate: one outer polygon and the holes in it.
//!
//! An outline lies in the plane z = 0 of its part, in millimetres. [`Outline::new`] checks it and returns
//! all that is wrong at once; an outline that exists is sound. Its area is exact: the polygon by the
//! shoelace sum A = ½·Σ(xᵢ·yᵢ₊₁ − xᵢ₊₁·yᵢ), less π·d²/4 for a round hole and w·l + π·w²/4 for a slot.
//!
//! For distances a round hole is drawn as a polygon that leaves the true circle by at most
//! [`ROUNDING`] = 0.001 mm, half of it inside and half outside: its corners lie at 2r / (1 + cos(π/n)).
//!
//! Left out: arcs in the outer polygon. Draw them with as many points as their error asks for.

use crate::crossing::{crossings, first_meeting, inside};
use crate::outline_fault::{OutlineFault, Ring};
use crate::pieces::PieceTree;
use crate::ring_cells::RingCells;
use parry3d_f64::glamx::DVec2;
use quantity::Millimetres;
use std::f64::consts::PI;
use std::sync::{Arc, OnceLock};

/// How far the polygon of a round hole may leave the circle.
pub const ROUNDING: Millimetres = Millimetres::new(0.001);
/// The most points one ring of an outline may have.
pub const RING_POINTS_MAX: usize = 2_000;
/// The most holes one outline may have.
pub const HOLES_MAX: usize = 400;
/// The longest size anything may have: ten metres.
pub const SIZE_MAX: Millimetres = Millimetres::new(10_000.0);

/// A place in the plane of an outline, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct PlanePoint {
    /// Along x of the part.
    pub x: f64,
    /// Along y of the part.
    pub y: f64,
}

impl PlanePoint {
    /// From coordinates along x and y, in mm.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }
    pub(crate) const fn raw(self) -> DVec2 {
        DVec2::new(self.x, self.y)
    }
    fn usable(self) -> bool {
        self.x.abs() <= SIZE_MAX.get() && self.y.abs() <= SIZE_MAX.get()
    }
}

/// A hole through a plate.
#[derive(Clone, Debug, PartialEq)]
pub enum Hole {
    /// A drilled hole.
    Round {
        /// Its middle.
        centre: PlanePoint,
        /// Its width.
        diameter: Millimetres,
    },
    /// A slot with round ends.
    Slot {
        /// The middle of the one end.
        from: PlanePoint,
        /// The middle of the other end.
        to: PlanePoint,
        /// Its width.
        width: Millimetres,
    },
    /// A window of any shape.
    Polygon(Vec<PlanePoint>),
}

/// A checked outline: an outer polygon, counter-clockwise, with holes wholly inside it that do not meet.
/// Copies are cheap.
#[derive(Clone, Debug)]
pub struct Outline {
    inner: Arc<Inner>,
}

#[derive(Debug)]
struct Inner {
    outer: Vec<PlanePoint>,
    holes: Vec<Hole>,
    /// The corners of the outer polygon and of the holes.
    ring: Vec<DVec2>,
    hole_rings: Vec<HoleRing>,
    /// The pieces of the outer polygon as if it had no holes.
    filled: PieceTree,
    /// The pieces with the holes left out; cut when first asked for, since most questions are settled
    /// by the filled ones.
    drilled: OnceLock<PieceTree>,
    /// The outer polygon, made ready for many places.
    cells: OnceLock<RingCells>,
}

/// The corners of a hole and the box round them.
#[derive(Debug)]
struct HoleRing {
    corners: Vec<DVec2>,
    low: DVec2,
    high: DVec2,
}

impl PartialEq for Outline {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.inner, &other.inner)
            || (self.inner.outer == other.inner.outer && self.inner.holes == other.inner.holes)
    }
}

impl Outline {
    /// Checks an outline; the outer polygon may go round either way. All that is wrong comes back.
    pub fn new(mut outer: Vec<PlanePoint>, holes: Vec<Hole>) -> Result<Self, Vec<OutlineFault>> {
        let mut faults = Vec::new();
        if holes.len() > HOLES_MAX {
            return Err(vec![OutlineFault::TooManyHoles { count: holes.len() }]);
        }
        let outer_ring = checked_ring(Ring::Outer, &outer, &mut faults);
        let rings: Vec<Option<Vec<DVec2>>> =
            holes.iter().enumerate().map(|(n, hole)| hole_ring(n, hole, &mut faults)).collect();
        for (n, ring) in rings.iter().enumerate() {
            let Some(ring) = ring else { continue };
            if let Some(outer) = &outer_ring
                && (first_meeting(ring, outer).is_some() || !inside(ring[0], outer))
            {
                faults.push(OutlineFault::HoleOutside { hole: n });
            }
            for (m, other) in rings.iter().enumerate().take(n) {
                let Some(other) = other else { continue };
                if first_meeting(ring, other).is_some() || inside(ring[0], other) || inside(other[0], ring) {
                    faults.push(OutlineFault::HolesMeet { first: m, second: n });
                }
            }
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        let Some(mut ring) = outer_ring else { return Err(vec![OutlineFault::NoArea { ring: Ring::Outer }]) };
        if signed_area(&ring) < 0.0 {
            ring.reverse();
            outer.reverse();
        }
        let filled = PieceTree::cut(&ring, &[]).ok_or_else(|| vec![OutlineFault::TooFine])?;
        let hole_rings = rings.into_iter().flatten().map(|corners| {
            let (low, high) = bounds_of(&corners);
            HoleRing { corners, low, high }
        });
        let hole_rings = hole_rings.collect();
        Ok(Self {
            inner: Arc::new(Inner {
                outer,
                holes,
                ring,
                hole_rings,
                filled,
                drilled: OnceLock::new(),
                cells: OnceLock::new(),
            }),
        })
    }

    /// A rectangle about the origin.
    pub fn rectangle(
        width_x: Millimetres,
        width_y: Millimetres,
        holes: Vec<Hole>,
    ) -> Result<Self, Vec<OutlineFault>> {
        let (x, y) = (width_x.get() / 2.0, width_y.get() / 2.0);
        let at = PlanePoint::new;
        Self::new(vec![at(-x, -y), at(x, -y), at(x, y), at(-x, y)], holes)
    }

    /// The outer polygon, counter-clockwise.
    pub fn outer(&self) -> &[PlanePoint] {
        &self.inner.outer
    }
    /// The holes.
    pub fn holes(&self) -> &[Hole] {
        &self.inner.holes
    }
    /// The outer polygon, made ready for many places.
    pub(crate) fn cells(&self) -> &RingCells {
        let corners = || self.inner.outer.iter().map(|p| p.raw()).collect::<Vec<_>>();
        self.inner.cells.get_or_init(|| RingCells::of(&corners()))
    }
    /// The pieces as if there were no holes.
    pub(crate) fn filled(&self) -> &PieceTree {
        &self.inner.filled
    }
    /// The pieces with the holes left out. Should the holes be too fine to be cut, which a checked outline
    /// has not been seen to be, they count as filled: that errs towards too near.
    pub(crate) fn drilled(&self) -> &PieceTree {
        let inner = &*self.inner;
        inner.drilled.get_or_init(|| {
            let rings: Vec<&[DVec2]> = inner.hole_rings.iter().map(|hole| &hole.corners[..]).collect();
            PieceTree::cut(&inner.ring, &rings).unwrap_or_else(|| inner.filled.clone())
        })
    }
    /// Whether a place in the plane lies in one of the holes.
    pub(crate) fn in_a_hole(&self, p: DVec2) -> bool {
        self.inner
            .hole_rings
            .iter()
            .any(|hole| hole.low.cmple(p).all() && p.cmple(hole.high).all() && inside(p, &hole.corners))
    }
    /// How many convex pieces stand for the plate in distance queries.
    pub fn piece_count(&self) -> usize {
        self.drilled().piece_count()
    }
    /// The pieces that stand for the plate: convex polygons that fill it without overlap, for pictures.
    pub fn pieces(&self) -> impl Iterator<Item = Vec<PlanePoint>> {
        let tree = self.drilled();
        (0..tree.piece_count())
            .map(move |n| tree.polygon(n).iter().map(|p| PlanePoint::new(p.x, p.y)).collect())
    }
    /// The least and the greatest coordinates.
    pub fn bounds(&self) -> (PlanePoint, PlanePoint) {
        let (low, high) = self.inner.filled.bounds();
        (PlanePoint::new(low.x, low.y), PlanePoint::new(high.x, high.y))
    }
    /// The area in mm², exact: round holes by πd²/4.
    pub fn area_mm2(&self) -> f64 {
        signed_area(&self.inner.ring) - self.inner.holes.iter().map(Hole::area_mm2).sum::<f64>()
    }
}

impl Hole {
    /// The area in mm², exact.
    pub fn area_mm2(&self) -> f64 {
        match self {
            Hole::Round { diameter, .. } => PI * diameter.get().powi(2) / 4.0,
            Hole::Slot { from, to, width } => {
                let w = width.get();
                w * (to.raw() - from.raw()).length() + PI * w * w / 4.0
            }
            Hole::Polygon(points) => signed_area(&points.iter().map(|p| p.raw()).collect::<Vec<_>>()).abs(),
        }
    }

    /// The middle: of a round hole, of a slot, or of the corners of a window.
    pub fn middle(&self) -> PlanePoint {
        match self {
            Hole::Round { centre, .. } => *centre,
            Hole::Slot { from, to, .. } => PlanePoint::new((from.x + to.x) / 2.0, (from.y + to.y) / 2.0),
            Hole::Polygon(points) => {
                let n = points.len().max(1) as f64;
                let sum = points.iter().fold(DVec2::ZERO, |sum, p| sum + p.raw());
                PlanePoint::new(sum.x / n, sum.y / n)
            }
        }
    }

    /// The ring of corners that stands for the hole, true to [`ROUNDING`]; empty for a width that cannot be.
    pub fn corners(&self) -> Vec<PlanePoint> {
        hole_ring(0, self, &mut Vec::new())
            .unwrap_or_default()
            .iter()
            .map(|p| PlanePoint::new(p.x, p.y))
            .collect()
    }
}

pub(crate) fn signed_area(ring: &[DVec2]) -> f64 {
    ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| a.perp_dot(*b)).sum::<f64>() / 2.0
}

pub(crate) fn bounds_of(ring: &[DVec2]) -> (DVec2, DVec2) {
    ring.iter().fold((DVec2::INFINITY, DVec2::NEG_INFINITY), |(low, high), p| (low.min(*p), high.max(*p)))
}

fn checked_ring(ring: Ring, points: &[PlanePoint], faults: &mut Vec<OutlineFault>) -> Option<Vec<DVec2>> {
    let before = faults.len();
    let count = points.len();
    if count < 3 {
        faults.push(OutlineFault::TooFewPoints { ring, count });
        return None;
    }
    if count > RING_POINTS_MAX {
        faults.push(OutlineFault::TooManyPoints { ring, count });
        return None;
    }
    for (point, p) in points.iter().enumerate() {
        if !p.usable() {
            faults.push(OutlineFault::NotAPlace { ring, point, x: p.x, y: p.y });
        }
        let last = points[(point + count - 1) % count];
        if (p.raw() - last.raw()).length() < 1e-6 {
            faults.push(OutlineFault::RepeatedPoint { ring, point });
        }
    }
    if faults.len() > before {
        return None;
    }
    let raw: Vec<DVec2> = points.iter().map(|p| p.raw()).collect();
    let far = |p: &&DVec2| (**p - raw[0]).length_squared();
    let along = raw.iter().max_by(|p, q| far(p).total_cmp(&far(q))).map_or(DVec2::ZERO, |p| *p - raw[0]);
    if raw.iter().all(|p| along.perp_dot(*p - raw[0]).abs() < 1e-9 * along.length()) {
        faults.push(OutlineFault::NoArea { ring });
        return None;
    }
    faults.extend(crossings(&raw).into_iter().map(|(first, second)| OutlineFault::EdgesCross {
        ring,
        first,
        second,
    }));
    if faults.len() > before {
        return None;
    }
    Some(raw)
}

fn hole_ring(n: usize, hole: &Hole, faults: &mut Vec<OutlineFault>) -> Option<Vec<DVec2>> {
    let ring = Ring::Hole(n);
    let (ends, width): (&[PlanePoint], Millimetres) = match hole {
        Hole::Round { centre, diameter } => (&[*centre], *diameter),
        Hole::Slot { from, to, width } => (&[*from, *to], *width),
        Hole::Polygon(points) => return checked_ring(ring, points, faults),
    };
    let before = faults.len();
    for (point, p) in ends.iter().enumerate().filter(|(_, p)| !p.usable()) {
        faults.push(OutlineFault::NotAPlace { ring, point, x: p.x, y: p.y });
    }
    if !(width.get() > 1e-3 && width.get() <= SIZE_MAX.get()) {
        faults.push(OutlineFault::HoleSize { hole: n, size: width });
    }
    if faults.len() > before {
        return None;
    }
    let (from, to) = (ends[0].raw(), ends[ends.len() - 1].raw());
    let along = (to - from).try_normalize().unwrap_or(DVec2::X);
    let start = along.to_angle();
    let radius = width.get() / 2.0;
    let n = corners_of_circle(radius);
    // Corners midway between multiples of the step, so that the flats at a slot's sides lie on the width.
    let reach = 2.0 * radius / (1.0 + (PI / n as f64).cos());
    let corner = |k: usize| DVec2::from_angle(start + (k as f64 + 0.5) * 2.0 * PI / n as f64) * reach;
    let quarter = n / 4;
    Some(
        (0..n)
            .map(|k| if k < quarter || k >= 3 * quarter { to + corner(k) } else { from + corner(k) })
            .collect(),
    )
}

/// How many corners keep a circle's polygon within [`ROUNDING`]: (1 − c) / (1 + c) ≤ e/r with c = cos(π/n).
fn corners_of_circle(radius: f64) -> usize {
    let share = ROUNDING.get() / radius;
    let cosine = ((1.0 - share) / (1.0 + share)).clamp(-1.0, 1.0);
    let n = (PI / cosine.acos()).ceil().clamp(16.0, 4096.0) as usize;
    n.div_ceil(4) * 4
}
