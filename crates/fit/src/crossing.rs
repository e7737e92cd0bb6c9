//! Whether rings of points cross themselves or each other, and whether a place lies inside a ring.
//!
//! Two edges meet if each one's ends lie on both sides of, or on, the other's line, by the sign of
//! (b − a) × (c − a); edges in one line meet where their boxes do. A place is inside a ring if a ray
//! from it crosses the ring an odd number of times.

use crate::outline::bounds_of;
use parry3d_f64::glamx::DVec2;

fn side(a: DVec2, b: DVec2, c: DVec2) -> f64 {
    (b - a).perp_dot(c - a)
}

fn boxes_meet(a: DVec2, b: DVec2, c: DVec2, d: DVec2) -> bool {
    a.min(b).cmple(c.max(d)).all() && c.min(d).cmple(a.max(b)).all()
}

fn edges_meet(a: DVec2, b: DVec2, c: DVec2, d: DVec2) -> bool {
    boxes_meet(a, b, c, d) && side(a, b, c) * side(a, b, d) <= 0.0 && side(c, d, a) * side(c, d, b) <= 0.0
}

fn edges(ring: &[DVec2]) -> impl Iterator<Item = (DVec2, DVec2)> {
    ring.iter().copied().zip(ring.iter().copied().cycle().skip(1))
}

/// How many crossings of one ring are told; more only repeat that it is tangled.
const CROSSINGS_TOLD: usize = 8;

/// The edges of one ring that meet other than at the corner neighbours share, two by two.
pub(crate) fn crossings(ring: &[DVec2]) -> Vec<(usize, usize)> {
    let n = ring.len();
    let mut found = Vec::new();
    for (i, (a, b)) in edges(ring).enumerate() {
        for (j, (c, d)) in edges(ring).enumerate().skip(i + 1) {
            let shared = if j == i + 1 {
                Some((a, b, d))
            } else if (j + 1) % n == i {
                Some((b, a, c))
            } else {
                None
            };
            let meet = match shared {
                // Neighbours meet besides their corner only if the second goes straight back.
                Some((far, corner, tip)) => {
                    side(far, corner, tip) == 0.0 && (far - corner).dot(tip - corner) > 0.0
                }
                None => edges_meet(a, b, c, d),
            };
            if meet {
                found.push((i, j));
                if found.len() == CROSSINGS_TOLD {
                    return found;
                }
            }
        }
    }
    found
}

/// The first edges at which two rings meet.
pub(crate) fn first_meeting(one: &[DVec2], other: &[DVec2]) -> Option<(usize, usize)> {
    let ((low, high), (other_low, other_high)) = (bounds_of(one), bounds_of(other));
    if low.cmpgt(other_high).any() || other_low.cmpgt(high).any() {
        return None;
    }
    for (i, (a, b)) in edges(one).enumerate() {
        if !boxes_meet(a, b, other_low, other_high) {
            continue;
        }
        for (j, (c, d)) in edges(other).enumerate() {
            if edges_meet(a, b, c, d) {
                return Some((i, j));
            }
        }
    }
    None
}

/// Whether a place lies inside a ring.
pub(crate) fn inside(p: DVec2, ring: &[DVec2]) -> bool {
    edges(ring).fold(false, |within, (a, b)| {
        let crosses = (a.y > p.y) != (b.y > p.y) && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y);
        within ^ crosses
    })
}
