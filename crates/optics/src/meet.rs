//! Does a ray meet a solid, and how far away?
//!
//! In the solid's own frame the ray is o + t·d with t ≥ 0. A box is where three slabs overlap; a cylinder is a
//! slab and the roots of |o + t·d|² = r² across the axis; a plate is a slab, and within it the straight way over
//! its outline. A bundle of rays is asked over the places where it passes two opposite faces: if the rectangle round
//! them all lies wholly outside the solid's section, or wholly inside, every ray fares alike. An eye inside a solid sees nothing else: t = 0.

use crate::Outline;
use crate::shape::Form;
use crate::vector::Triple;

/// How much farther or nearer the rim of a bundle may pass a face than elsewhere, to be judged whole.
const SPREAD_MAX: f64 = 3.0;

/// How a bundle of rays fares with a solid between two faces, judged by where it passes them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Passing {
    /// No ray meets it.
    Missed,
    /// Not to be told so.
    Unsaid,
    /// All rays enter by one face.
    Entered {
        /// No later than this.
        by: f64,
        /// The axis the face stands across: 0, 1 or 2.
        axis: usize,
        /// Where the face is along it.
        face: f64,
    },
}

/// The cross-section of a solid between two faces.
enum Section<'a> {
    Rectangle([f64; 2]),
    Circle(f64),
    Outline(&'a Outline),
}

impl Section<'_> {
    /// Whether a rectangle lies wholly inside, `Some(true)`, or wholly outside; `None` where that is not certain.
    fn holds(&self, low: [f64; 2], high: [f64; 2]) -> Option<bool> {
        let nearest = |k: usize| low[k].max(-high[k]).max(0.0);
        let farthest = |k: usize| high[k].max(-low[k]);
        match self {
            Section::Rectangle(half) => {
                if nearest(0) > half[0] || nearest(1) > half[1] {
                    return Some(false);
                }
                (farthest(0) <= half[0] && farthest(1) <= half[1]).then_some(true)
            }
            Section::Circle(radius) => {
                let square = |x: f64, y: f64| x * x + y * y;
                if square(nearest(0), nearest(1)) > radius * radius {
                    return Some(false);
                }
                (square(farthest(0), farthest(1)) <= radius * radius).then_some(true)
            }
            Section::Outline(outline) => (!outline.has_edge_in(low, high))
                .then(|| outline.contains([(low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0])),
        }
    }
}

/// How a bundle of rays fares with a solid, all in the solid's own frame, as far as its faces tell.
pub(crate) fn passing(form: &Form, eye: Triple, rays: &[Triple; 9]) -> Passing {
    match form {
        Form::Box(half) => {
            let mut told = Passing::Unsaid;
            for axis in 0..3 {
                let section = Section::Rectangle([half[(axis + 1) % 3], half[(axis + 2) % 3]]);
                match between(&section, axis, (-half[axis], half[axis]), eye, rays) {
                    Passing::Missed => return Passing::Missed,
                    Passing::Unsaid => {}
                    entered => told = entered,
                }
            }
            told
        }
        Form::Cylinder { radius, half_length } => {
            between(&Section::Circle(*radius), 2, (-half_length, *half_length), eye, rays)
        }
        Form::Prism { outline, thickness } => {
            between(&Section::Outline(outline), 2, (0.0, *thickness), eye, rays)
        }
    }
}

/// The rays between two faces across an axis: the rectangle round all their places there, against the section.
fn between(
    section: &Section,
    axis: usize,
    (low_face, high_face): (f64, f64),
    eye: Triple,
    rays: &[Triple; 9],
) -> Passing {
    let turned = |v: Triple| {
        let parts = [v.x, v.y, v.z];
        [parts[(axis + 1) % 3], parts[(axis + 2) % 3], parts[axis]]
    };
    let [ex, ey, ez] = turned(eye);
    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    let mut add = |x: f64, y: f64| {
        low = [low[0].min(x), low[1].min(y)];
        high = [high[0].max(x), high[1].max(y)];
    };
    let (mut soonest, mut latest) = (f64::INFINITY, 0.0f64);
    // The face toward the eye; none for an eye between the faces.
    let face = if ez > high_face { Some(high_face) } else { (ez < low_face).then_some(low_face) };
    if face.is_none() {
        add(ex, ey);
    }
    let upward = turned(rays[8])[2] > 0.0;
    let last = if upward { high_face } else { low_face };
    for ray in rays {
        let [dx, dy, dz] = turned(*ray);
        if dz == 0.0 || (dz > 0.0) != upward {
            return Passing::Unsaid;
        }
        let leaves = (last - ez) / dz;
        let enters = face.map_or(0.0, |face| (face - ez) / dz);
        if enters < 0.0 || leaves < 0.0 {
            return Passing::Unsaid;
        }
        (soonest, latest) = (soonest.min(leaves.min(enters)), latest.max(leaves.max(enters)));
        add(ex + leaves * dx, ey + leaves * dy);
        if face.is_some() {
            add(ex + enters * dx, ey + enters * dy);
        }
    }
    let even = if face.is_some() { latest <= SPREAD_MAX * soonest } else { latest.is_finite() };
    if !even {
        return Passing::Unsaid;
    }
    for k in 0..2 {
        let pad = 0.1 * (high[k] - low[k]) + 1e-6;
        (low[k], high[k]) = (low[k] - pad, high[k] + pad);
    }
    match (section.holds(low, high), face) {
        (Some(false), _) => Passing::Missed,
        (Some(true), Some(face)) => Passing::Entered { by: latest, axis, face },
        _ => Passing::Unsaid,
    }
}

/// Where a line is inside a slab from low to high; `None` if never.
fn slab(o: f64, d: f64, low: f64, high: f64) -> Option<(f64, f64)> {
    if d == 0.0 {
        return (low <= o && o <= high).then_some((f64::NEG_INFINITY, f64::INFINITY));
    }
    let (a, b) = ((low - o) / d, (high - o) / d);
    Some(if a < b { (a, b) } else { (b, a) })
}

/// How far along a ray of the solid's own frame it is first met. `far` is a bound beyond which nothing of it lies.
pub(crate) fn met(form: &Form, o: Triple, d: Triple, far: f64) -> Option<f64> {
    let (enter, leave) = match form {
        Form::Box([x, y, z]) => {
            let (a, b) = slab(o.x, d.x, -x, *x)?;
            let (c, e) = slab(o.y, d.y, -y, *y)?;
            let (f, g) = slab(o.z, d.z, -z, *z)?;
            (a.max(c).max(f), b.min(e).min(g))
        }
        Form::Cylinder { radius, half_length } => {
            let (a, b) = slab(o.z, d.z, -half_length, *half_length)?;
            let (along, across) = (d.x * d.x + d.y * d.y, o.x * o.x + o.y * o.y - radius * radius);
            if along < 1e-18 {
                if across > 0.0 {
                    return None;
                }
                (a, b)
            } else {
                let toward = o.x * d.x + o.y * d.y;
                let root = toward * toward - along * across;
                if root < 0.0 {
                    return None;
                }
                let root = root.sqrt();
                (a.max((-toward - root) / along), b.min((-toward + root) / along))
            }
        }
        Form::Prism { outline, thickness } => {
            let (a, b) = slab(o.z, d.z, 0.0, *thickness)?;
            let (a, b) = (a.max(0.0), b.min(far));
            if a > b {
                return None;
            }
            let at = |t: f64| [o.x + t * d.x, o.y + t * d.y];
            return outline.entered(at(a), at(b)).map(|share| a + share * (b - a));
        }
    };
    (enter <= leave && leave >= 0.0).then_some(enter.max(0.0))
}
