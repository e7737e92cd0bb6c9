//! Does a ray meet a solid, and how far away?
//!
//! In the solid's own frame the ray is o + t·d with t ≥ 0. A box is where three slabs overlap; a cylinder is a
//! slab and the roots of |o + t·d|² = r² across the axis; a plate is a slab, and within it the straight way over
//! its outline. An eye inside a solid sees nothing else: t = 0.

use crate::Outline;
use crate::cell::Meeting;
use crate::shape::Form;
use crate::vector::Triple;

/// How much farther or nearer the rim of a bundle may pass a plate's face than elsewhere, to be judged whole.
const SPREAD_MAX: f64 = 3.0;

/// How a bundle of rays fares with a plate, all in the plate's own frame; the last ray is the middle one.
pub(crate) fn plate_under(outline: &Outline, thickness: f64, eye: Triple, rays: [Triple; 9]) -> Meeting {
    // The face toward the eye, and the other one.
    let (face, back) = match eye.z {
        z if z > thickness => (thickness, 0.0),
        z if z < 0.0 => (0.0, thickness),
        _ => return Meeting::Partly,
    };
    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    let (mut soonest, mut latest) = (f64::INFINITY, 0.0f64);
    let mut middle = [0.0; 2];
    for ray in rays {
        let t = (face - eye.z) / ray.z;
        if !(t > 0.0 && t.is_finite()) {
            return Meeting::Partly;
        }
        (soonest, latest) = (soonest.min(t), latest.max(t));
        middle = [eye.x + t * ray.x, eye.y + t * ray.y];
        let through = (back - eye.z) / ray.z;
        for [x, y] in [middle, [eye.x + through * ray.x, eye.y + through * ray.y]] {
            low = [low[0].min(x), low[1].min(y)];
            high = [high[0].max(x), high[1].max(y)];
        }
    }
    if latest > SPREAD_MAX * soonest {
        return Meeting::Partly;
    }
    for k in 0..2 {
        let pad = 0.1 * (high[k] - low[k]) + 1e-6;
        (low[k], high[k]) = (low[k] - pad, high[k] + pad);
    }
    if outline.has_edge_in(low, high) {
        Meeting::Partly
    } else if outline.contains(middle) {
        Meeting::Filled(1.1 * latest + 1e-6)
    } else {
        Meeting::Missed
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
