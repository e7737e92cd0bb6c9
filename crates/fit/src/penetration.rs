//! How deep two solids overlap: the least straight slide of the second that frees it.
//!
//! Convex against convex: a slide along the unit n frees the pair after s(n) = max over a of n·a less min
//! over b of n·b, so the depth is the least s(n). It is sought from the normal of the expanding polytope
//! method (EPA) of the collision library and from the axes of both shapes, then refined by turning n a
//! little. A plate with holes is not convex: there the slide along n is followed from exit to exit of the
//! overlapping pieces until nothing overlaps. A piece by piece depth would be wrong, since pieces are
//! slivers. Directions tried: the best one with the holes filled, axes of both, EPA normals of overlapping
//! pieces, and from each hole's middle. The best of these is then turned little by little as long as that
//! shortens it: a box stuck across the corner of a window leaves slantwise.
//!
//! The depth is exact for boxes, cylinders and convex plates to about 10⁻⁴ mm; for other plates it is the
//! shortest way in the neighbourhood of the best direction to 10⁻³ mm: never too short by more, rarely too long
//! (two plates with many holes deep in each other may keep the way they have with holes filled).

use crate::convex::{Convex, Facing, Nearest, gap_along};
use crate::outline::Hole;
use crate::pairing::{Pairing, Pieces, Walk};
use crate::shape::Shape;
use parry3d_f64::glamx::{DPose3, DVec3};
use parry3d_f64::query::epa::EPA;
use parry3d_f64::query::gjk::{self, CsoPoint, GJKResult, VoronoiSimplex};
use std::cell::Cell;
use std::f64::consts::TAU;

/// After how many exits a slide is given up.
const EXITS_MAX: usize = 64;
/// After how many looks at a pair of pieces a search ends with the best way so far: about 10 ms.
const LOOKS_MAX: usize = 4_000;
/// How many overlapping piece pairs lend their normal.
const NORMALS_MAX: usize = 8;
/// How many sides a way is turned to in a round.
const SIDES: usize = 6;
/// Shallower than this counts as touching.
const TOUCH: f64 = 1e-5;
/// Among plates of many pieces a way must be this much shorter than the best to be followed to its end, or this
/// share of it: where little overlaps, a way that slips past the face it lies against is hardly longer than the one
/// straight off it, yet the distance follows the facts along the straight one.
const WORTH: f64 = 5e-4;
const WORTH_SHARE: f64 = 0.01;
/// A pair that overlaps less than this is slid apart by as much to learn which way leads out: slides are no finer
/// than [`PAST`], and so near to touching any way is as short as another.
const SHALLOW: f64 = 1e-3;
/// A slide goes this much past an exit, so that touching does not count as overlap.
const PAST: f64 = 1e-6;

/// The least slide that frees an overlapping pair, as a facing with negative distance. `filled` is the same
/// pair with its holes filled, which is the same thing for shapes without holes.
pub(crate) fn least_way_out(a: &Shape, b: &Shape, filled: &Pairing, drilled: Option<&Pairing>) -> Facing {
    let (way, depth) = match (&filled.a, &filled.b) {
        (Pieces::One(a), Pieces::One(b)) => convex_way_out(a, b, &filled.b_in_a),
        _ => {
            let ways = axes(&filled.b_in_a);
            let boxed = best_of(&ways, (DVec3::Z, f64::INFINITY), |n, _| Some(boxes_apart(filled, n)));
            out_of_shallows(filled, &ways, piecewise_way_out(filled, ways.clone(), boxed))
        }
    };
    // What frees the pair with its holes filled frees it drilled; through a hole it may get out sooner.
    let (pairing, (way, depth)) = match drilled {
        Some(drilled) if depth > TOUCH => {
            let mut ways = axes(&filled.b_in_a);
            ways.extend(from_holes(a, &filled.b_in_a, false));
            ways.extend(from_holes(b, &filled.b_in_a, true));
            let found = piecewise_way_out(drilled, ways.clone(), (way, depth));
            (drilled, out_of_shallows(drilled, &ways, found))
        }
        _ => (filled, (way, depth)),
    };
    let depth = depth.max(0.0);
    let on_a = match pairing.shifted(way * (depth + 1e-3)).nearest_from(1e-3, 1.0) {
        Nearest::Apart(touch) => touch.on_a,
        _ => (pairing.a.node_box(0).0 + pairing.b_in_a.translation) / 2.0,
    };
    Facing { on_a, on_b: on_a - way * depth, direction: way, distance: -depth }
}

fn convex_way_out(a: &Convex, b: &Convex, b_in_a: &DPose3) -> (DVec3, f64) {
    let mut ways = axes(b_in_a);
    ways.extend(polytope_normal(a, b, b_in_a));
    let slide = |n: DVec3, _: f64| Some(-gap_along(a, b, b_in_a, n));
    let best = best_of(&ways, (DVec3::Z, f64::INFINITY), slide);
    // Between flat faces the polytope's normal is exact; round ones ask for a closer look.
    let round = |c: &Convex| matches!(c, Convex::Cylinder { .. });
    if round(a) || round(b) { refined(best, 0.1, 40, 1e-8, slide) } else { best }
}

/// The least slide over directions tried, if shorter than the best known.
fn piecewise_way_out(pairing: &Pairing, mut ways: Vec<DVec3>, known: (DVec3, f64)) -> (DVec3, f64) {
    let mut meeting: Vec<(Convex, Convex)> = Vec::new();
    let looked = Cell::new(0);
    pairing.overlaps(&looked, LOOKS_MAX, |a, b| {
        meeting.push((*a, *b));
        Walk::On
    });
    if looked.get() > LOOKS_MAX {
        return known;
    }
    // The deepest first: they tell soonest that a way is too long.
    meeting.sort_by_cached_key(|(a, b)| (gap_along(a, b, &pairing.b_in_a, known.0) * 1e6) as i64);
    for (a, b) in meeting.iter().take(NORMALS_MAX) {
        ways.extend(polytope_normal(a, b, &pairing.b_in_a));
    }
    let search = Search { pairing, meeting, teller: Cell::new(0), looked };
    let slide = |n: DVec3, limit: f64| search.slide_out(n, limit - WORTH.min(limit * WORTH_SHARE));
    refined(best_of(&ways, known, slide), 0.3, 40, 5e-4, slide)
}

/// The way out of a pair that overlaps less than [`SHALLOW`], corrected: slid free by that much along the way found, the
/// pair's nearest places tell which way truly leads from the one to the other, and how deep it was along that.
fn out_of_shallows(pairing: &Pairing, ways: &[DVec3], (way, depth): (DVec3, f64)) -> (DVec3, f64) {
    if depth >= SHALLOW {
        return (way, depth);
    }
    let slid = way * (depth + SHALLOW);
    match pairing.shifted(slid).nearest(1.0) {
        Nearest::Apart(found) => (found.direction, (found.direction.dot(slid) - found.distance).max(0.0)),
        // The slide was within rounding, and led further in.
        Nearest::Overlap => {
            let deeper = pairing.shifted(slid);
            let (found, out) = piecewise_way_out(&deeper, ways.to_vec(), (way, f64::INFINITY));
            if out.is_finite() { (found, (out + found.dot(slid)).max(0.0)) } else { (way, depth) }
        }
        Nearest::Beyond => (way, depth),
    }
}

/// The three axes of both frames, both ways, and the line of middles.
fn axes(b_in_a: &DPose3) -> Vec<DVec3> {
    let mut ways = Vec::with_capacity(16);
    for axis in [DVec3::X, DVec3::Y, DVec3::Z] {
        let turned = b_in_a.rotation * axis;
        ways.extend([axis, -axis, turned, -turned]);
    }
    ways.extend(b_in_a.translation.try_normalize());
    ways
}

/// From the middle of a plate's holes to the other solid's axis and back, in the plane of the plate.
fn from_holes(plate: &Shape, b_in_a: &DPose3, plate_is_b: bool) -> Vec<DVec3> {
    let Shape::Prism(prism) = plate else { return Vec::new() };
    let mut ways = Vec::new();
    for hole in prism.outline().holes() {
        let middle = hole.middle();
        let middle = DVec3::new(middle.x, middle.y, 0.0);
        let reach = match hole {
            Hole::Round { diameter, .. } => diameter.get(),
            Hole::Slot { from, to, width } => width.get() + (to.raw() - from.raw()).length(),
            Hole::Polygon(points) => {
                2.0 * points.iter().map(|p| (p.raw() - middle.truncate()).length()).fold(0.0, f64::max)
            }
        };
        let other = if plate_is_b { b_in_a.inverse().translation } else { b_in_a.translation };
        let off = (middle - other).truncate().extend(0.0);
        // Only a hole the other solid might be in leads it out sideways.
        if off.length() > reach {
            continue;
        }
        if let Some(way) = off.try_normalize() {
            // The first shape stays: if the plate is the second, it moves the other way.
            let way = if plate_is_b { b_in_a.rotation * -way } else { way };
            ways.extend([way, -way]);
        }
    }
    ways
}

/// The direction in which the second of two overlapping convex pieces leaves soonest.
pub(crate) fn polytope_normal(a: &Convex, b: &Convex, b_in_a: &DPose3) -> Option<DVec3> {
    let mut simplex = VoronoiSimplex::new();
    simplex.reset(CsoPoint::from_shapes(b_in_a, a, b, DVec3::X));
    let GJKResult::Intersection = gjk::closest_points(b_in_a, a, b, f64::MAX, true, &mut simplex) else {
        return None;
    };
    let (_, _, n) = EPA::new().closest_points(b_in_a, a, b, &simplex)?;
    n.try_normalize().filter(|n| n.is_finite())
}

fn best_of(
    ways: &[DVec3],
    mut best: (DVec3, f64),
    slide: impl Fn(DVec3, f64) -> Option<f64>,
) -> (DVec3, f64) {
    for (i, way) in ways.iter().enumerate() {
        if ways[..i].iter().any(|seen| seen.dot(*way) > 1.0 - 1e-9) {
            continue;
        }
        if let Some(depth) = slide(*way, best.1)
            && depth < best.1
        {
            best = (*way, depth);
        }
    }
    best
}

/// Turns the best way a little to each side as long as that shortens the slide, else half as much, until the
/// step is below `least`. The sides tried turn from round to round, since where two walls meet the slide has a
/// crease that only few directions descend.
fn refined(
    mut best: (DVec3, f64),
    mut step: f64,
    rounds: usize,
    least: f64,
    slide: impl Fn(DVec3, f64) -> Option<f64>,
) -> (DVec3, f64) {
    for round in 0..rounds {
        if step < least || best.1 <= TOUCH {
            break;
        }
        let (u, v) = best.0.any_orthonormal_pair();
        let mut better = false;
        for side in 0..SIDES {
            // A third of a golden turn from round to round comes nowhere near repeating itself.
            let (s, c) = (TAU * (side as f64 / SIDES as f64 + round as f64 * 0.206)).sin_cos();
            let Some(way) = (best.0 + (u * c + v * s) * step).try_normalize() else { continue };
            if let Some(depth) = slide(way, best.1)
                && depth < best.1 - 1e-9
            {
                best = (way, depth);
                better = true;
            }
        }
        if !better {
            step /= 2.0;
        }
    }
    best
}

/// A search for a way out of a pair of many pieces.
struct Search<'a> {
    pairing: &'a Pairing<'a>,
    /// The pieces that overlap before the slide.
    meeting: Vec<(Convex<'a>, Convex<'a>)>,
    /// The piece that told last that a way is too long: it is likely to tell it of the next.
    teller: Cell<usize>,
    /// How many pairs of pieces were looked at or cast so far.
    looked: Cell<usize>,
}

impl Search<'_> {
    /// How far the second shape must slide along `way` until nothing overlaps; `None` if that is not below
    /// the limit, or the work allowed is done.
    fn slide_out(&self, way: DVec3, limit: f64) -> Option<f64> {
        let pose = &self.pairing.b_in_a;
        let mut slid = 0.0f64;
        let first = self.meeting.get(self.teller.get()).map(|pair| (self.teller.get(), pair));
        for (n, (a, b)) in first.into_iter().chain(self.meeting.iter().enumerate()) {
            // No piece needs more than it overlaps along the way; most need less than the deepest does.
            if slid >= PAST - gap_along(a, b, pose, way) {
                continue;
            }
            slid = slid.max(self.exit(a, b, pose, way)? + PAST);
            if slid >= limit {
                self.teller.set(n);
                return None;
            }
        }
        for _ in 0..EXITS_MAX {
            let now = self.pairing.shifted(way * slid);
            let mut further: Option<f64> = None;
            now.overlaps(&self.looked, LOOKS_MAX, |a, b| {
                let exit = self.exit(a, b, &now.b_in_a, way).unwrap_or(limit);
                further = Some(further.map_or(exit, |most| most.max(exit)));
                if slid + exit < limit { Walk::On } else { Walk::Stop }
            });
            if self.looked.get() > LOOKS_MAX {
                return None;
            }
            match further {
                None => return Some((slid - PAST).max(0.0)),
                Some(exit) => slid += exit.max(0.0) + PAST,
            }
            if slid >= limit {
                return None;
            }
        }
        Some(boxes_apart(self.pairing, way)).filter(|slid| *slid < limit)
    }

    /// How far a piece must slide to leave another; `None` when the work allowed is done.
    fn exit(&self, a: &Convex, b: &Convex, b_in_a: &DPose3, way: DVec3) -> Option<f64> {
        self.looked.set(self.looked.get() + 1);
        (self.looked.get() <= LOOKS_MAX).then(|| exit_of(a, b, b_in_a, way))
    }
}

/// How far the second shape must slide along `way` for their whole boxes to be free: always enough.
fn boxes_apart(pairing: &Pairing, way: DVec3) -> f64 {
    let ((ma, ha), (mb, hb)) = (pairing.a.node_box(0), pairing.b.node_box(0));
    let (a, b) = (Convex::Cuboid { half: ha }, Convex::Cuboid { half: hb });
    let rotation = pairing.b_in_a.rotation;
    let pose = DPose3 { rotation, translation: pairing.b_in_a.translation + rotation * mb - ma };
    -gap_along(&a, &b, &pose, way)
}

/// How far one convex piece must slide to leave another: set down beyond it and cast back.
fn exit_of(a: &Convex, b: &Convex, b_in_a: &DPose3, way: DVec3) -> f64 {
    let certain = (-gap_along(a, b, b_in_a, way)).max(0.0);
    let beyond = certain + 1.0;
    let set_down = DPose3 { rotation: b_in_a.rotation, translation: b_in_a.translation + way * beyond };
    let mut simplex = VoronoiSimplex::new();
    match gjk::directional_distance(&set_down, a, b, -way, &mut simplex) {
        Some((back, ..)) if back.is_finite() => (beyond - back).clamp(0.0, certain),
        _ => certain,
    }
}
