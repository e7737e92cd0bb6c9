//! All angles at which none of the pairs is too near, as intervals.
//!
//! An interval of angles is looked at in its middle. With f the least (distance − need) of the pairs there,
//! and ρ·h the most a pair's distance can change up to the interval's ends: a pair with f > ρ·h is done
//! with for the whole interval; if no pair is left, the interval is free; if a pair has f < −ρ·h, the
//! interval is blocked. Otherwise it is halved, and only the pairs left are looked at again. That is
//! conservative advancement from both sides at once: no obstacle is jumped, however narrow.
//!
//! Intervals narrower than [`LEAF`] that are still open go by their middle; those of which the middle is
//! blocked are not halved below [`BLOCKED_LEAF`]. So with ρ = 20 mm nothing is missed that bites deeper than
//! 2 µm, and no free interval wider than 0.05°. Between neighbours of unlike state the end is then found by
//! halving to [`END`].

use crate::turning::{Axis, TOUCH, TurningPair};

/// The narrowest interval that is halved, in radians: 0.01°.
const LEAF: f64 = 0.01 * std::f64::consts::PI / 180.0;
/// The narrowest interval with a blocked middle that is halved: 0.05°.
const BLOCKED_LEAF: f64 = 5.0 * LEAF;
/// How near an end is found, in radians: about 3·10⁻⁸ degrees.
const END: f64 = 5e-10;

/// A stretch of angles of one state.
struct Stretch {
    from: f64,
    to: f64,
    free: bool,
    /// The pairs that decide near its ends; none where the whole stretch is certain.
    open: Vec<usize>,
}

/// The end of a free interval: its angle in radians and the pair that ends it; no pair at the asked limit.
#[derive(Clone, Copy)]
pub(crate) struct EndAt {
    pub radians: f64,
    pub pair: Option<usize>,
}

pub(crate) struct Search<'a> {
    pub axis: Axis,
    pub pairs: &'a [TurningPair<'a>],
}

impl Search<'_> {
    /// The free intervals from `low` to `high`, in order.
    pub(crate) fn free(&self, low: f64, high: f64) -> Vec<(EndAt, EndAt)> {
        let mut stretches = Vec::new();
        let all: Vec<usize> = (0..self.pairs.len()).collect();
        self.split(low, high, &all, &mut stretches);
        let mut found = Vec::new();
        let mut since = None;
        for (n, stretch) in stretches.iter().enumerate() {
            match (since, stretch.free) {
                (None, true) => {
                    let before = n.checked_sub(1).map(|n| &stretches[n]);
                    since = Some(before.map_or(EndAt { radians: low, pair: None }, |b| self.end(stretch, b)));
                }
                (Some(from), false) => {
                    found.push((from, self.end(&stretches[n - 1], stretch)));
                    since = None;
                }
                _ => {}
            }
        }
        found.extend(since.map(|from| (from, EndAt { radians: high, pair: None })));
        found.retain(|(from, to)| to.radians >= from.radians);
        found
    }

    fn split(&self, from: f64, to: f64, pairs: &[usize], into: &mut Vec<Stretch>) {
        let (middle, half) = ((from + to) / 2.0, (to - from) / 2.0);
        let mut open = Vec::new();
        let mut least = f64::INFINITY;
        for &n in pairs {
            let pair = &self.pairs[n];
            let bound = pair.rate * half;
            let Some(spare) = pair.spare(&self.axis, middle, bound) else { continue };
            if spare < -bound - TOUCH {
                into.push(Stretch { from, to, free: false, open: Vec::new() });
                return;
            }
            least = least.min(spare);
            open.push((spare, n));
        }
        // What bites deepest here is likely to block the halves at once.
        open.sort_by(|a, b| a.0.total_cmp(&b.0));
        let open: Vec<usize> = open.into_iter().map(|(_, n)| n).collect();
        let free = least >= -TOUCH;
        let narrow = 2.0 * half <= if free { LEAF } else { BLOCKED_LEAF };
        if open.is_empty() || narrow {
            into.push(Stretch { from, to, free, open });
            return;
        }
        self.split(from, middle, &open, into);
        self.split(middle, to, &open, into);
    }

    /// The end of the free stretch towards its blocked neighbour.
    fn end(&self, free: &Stretch, blocked: &Stretch) -> EndAt {
        let mut open: Vec<usize> = free.open.iter().chain(&blocked.open).copied().collect();
        open.sort_unstable();
        open.dedup();
        if open.is_empty() {
            open.extend(0..self.pairs.len());
        }
        let known = |s: &Stretch, other: &Stretch| {
            let near = if s.from >= other.to { s.from } else { s.to };
            if s.open.is_empty() { near } else { (s.from + s.to) / 2.0 }
        };
        let (mut inside, mut outside) = (known(free, blocked), known(blocked, free));
        let worst = |at: f64| {
            open.iter()
                .filter_map(|n| Some((*n, self.pairs[*n].spare(&self.axis, at, 0.1)?)))
                .min_by(|a, b| a.1.total_cmp(&b.1))
        };
        // Where the free side itself only just touches, its tolerance holds for the end too.
        let limit = if worst(inside).is_none_or(|(_, spare)| spare > TOUCH) { 0.0 } else { -TOUCH };
        let mut pair = worst(outside).map(|(n, _)| n);
        while (outside - inside).abs() > END {
            let middle = (inside + outside) / 2.0;
            match worst(middle) {
                Some((n, spare)) if spare < limit => {
                    outside = middle;
                    pair = Some(n);
                }
                _ => inside = middle,
            }
        }
        EndAt { radians: inside, pair }
    }
}
