//! What of an outline on the sphere round the eye does the lens reach?
//!
//! A lens reaches a cap of the sphere: all directions less than some angle off its axis. An outline here is a closed
//! path of arcs of great circles, each shorter than half a turn, with what it encloses on its left (p × q looks inward) and
//! convex. Along an arc the cosine to the axis is A·cos(φ − δ), so where it enters and leaves the cap follows in closed form. What is
//! left is closed along the rim of the cap, with the cap on the left (Weiler and Atherton, Hidden surface removal using
//! polygon area sorting, SIGGRAPH 1977, on a sphere). The result is filled by even and odd.

use crate::vector::Triple;
use std::f64::consts::TAU;

/// Steps along the rim, which lies outside the picture.
const RIM_STEP: f64 = TAU / 180.0;

/// All directions less than an angle off the axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Cap {
    cos: f64,
    sin: f64,
}

/// What happens along a path, in order.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Mark {
    /// A corner within the cap.
    Corner(Triple),
    Enters(Triple),
    Leaves(Triple),
}

impl Cap {
    /// The cap of an angle off the axis, in radians.
    pub fn new(angle: f64) -> Self {
        Self { cos: angle.cos(), sin: angle.sin() }
    }

    fn holds(&self, p: Triple) -> bool {
        p.x >= self.cos
    }

    /// Whether a cone about a direction, given by cosine and sine of half its angle, may reach into the cap.
    pub fn may_reach(&self, axis: Triple, cos: f64, sin: f64) -> bool {
        // Two cones meet when their axes are less than the sum of their half angles apart; past half a turn always.
        let sum_sin = self.sin * cos + self.cos * sin;
        sum_sin < 0.0 || axis.x >= self.cos * cos - self.sin * sin - 1e-12
    }

    /// The parts of an open path within the cap.
    pub fn parts(&self, path: &[Triple]) -> Vec<Vec<Triple>> {
        let mut parts = Vec::new();
        let mut part: Vec<Triple> = path.first().copied().filter(|p| self.holds(*p)).into_iter().collect();
        for mark in path.windows(2).flat_map(|ends| self.marks(ends[0], ends[1])).flatten() {
            match mark {
                Mark::Corner(p) | Mark::Enters(p) => part.push(p),
                Mark::Leaves(p) => {
                    part.push(p);
                    parts.push(std::mem::take(&mut part));
                }
            }
        }
        parts.push(part);
        parts.retain(|part| part.len() > 1);
        parts
    }

    /// The part of a closed convex outline within the cap, as closed rings.
    pub fn rings(&self, outline: &[Triple]) -> Vec<Vec<Triple>> {
        if outline.len() < 3 {
            return Vec::new();
        }
        let ends = |n: usize| (outline[n], outline[(n + 1) % outline.len()]);
        let marks: Vec<Mark> =
            (0..outline.len()).flat_map(|n| self.marks(ends(n).0, ends(n).1)).flatten().collect();
        let Some(first) = marks.iter().position(|mark| matches!(mark, Mark::Enters(_))) else {
            let mut rings = Vec::new();
            if self.holds(outline[0]) {
                rings.push(outline.to_vec());
            }
            if is_within(outline, self.rim(0.0)) {
                rings.push(self.along_rim(0.0, TAU));
            }
            return rings;
        };
        let mut runs: Vec<Vec<Triple>> = Vec::new();
        for mark in marks[first..].iter().chain(&marks[..first]) {
            match (mark, runs.last_mut()) {
                (Mark::Enters(p), _) => runs.push(vec![*p]),
                (Mark::Corner(p) | Mark::Leaves(p), Some(run)) => run.push(*p),
                (Mark::Corner(_) | Mark::Leaves(_), None) => {}
            }
        }
        self.closed(runs)
    }

    /// Joins runs that begin and end on the rim into rings.
    fn closed(&self, runs: Vec<Vec<Triple>>) -> Vec<Vec<Triple>> {
        let bearing = |p: &Triple| p.z.atan2(p.y);
        let mut left: Vec<Option<Vec<Triple>>> = runs.into_iter().map(Some).collect();
        let starts: Vec<f64> =
            left.iter().map(|run| run.as_deref().and_then(<[_]>::first).map_or(0.0, bearing)).collect();
        let mut rings = Vec::new();
        for first in 0..left.len() {
            let Some(mut ring) = left[first].take() else { continue };
            while let Some(from) = ring.last().map(bearing) {
                // On to whichever run begins next along the rim; the ring's own beginning ends it.
                let ahead = |n: usize| (starts[n] - from).rem_euclid(TAU);
                let open = (0..left.len()).filter(|n| *n == first || left[*n].is_some());
                let Some(next) = open.min_by(|a, b| ahead(*a).total_cmp(&ahead(*b))) else { break };
                ring.extend(self.along_rim(from, from + ahead(next)));
                match left[next].take() {
                    Some(run) => ring.extend(run),
                    None => break,
                }
            }
            rings.push(ring);
        }
        rings
    }

    /// A direction on the rim.
    fn rim(&self, bearing: f64) -> Triple {
        Triple::new(self.cos, self.sin * bearing.cos(), self.sin * bearing.sin())
    }

    /// Directions along the rim between two bearings, without the ends.
    fn along_rim(&self, from: f64, to: f64) -> Vec<Triple> {
        let steps = ((to - from) / RIM_STEP).ceil().max(1.0);
        (1..steps as u32).map(|n| self.rim(from + (to - from) * f64::from(n) / steps)).collect()
    }

    /// What happens along an arc, its beginning left out.
    fn marks(&self, p: Triple, q: Triple) -> [Option<Mark>; 3] {
        let (inside, ends_inside) = (self.holds(p), self.holds(q));
        let last = ends_inside.then_some(Mark::Corner(q));
        let Some(across) = (q - p * p.dot(q)).unit() else { return [None, None, last] };
        let (reach, delta) = (p.x.hypot(across.x), across.x.atan2(p.x));
        if reach <= self.cos.abs() {
            return [None, None, last];
        }
        let half = (self.cos / reach).acos();
        let turn = p.cross(q).length().atan2(p.dot(q));
        let at = |angle: f64| p * angle.cos() + across * angle.sin();
        let [enters, leaves] = [delta - half, delta + half].map(|angle| angle.rem_euclid(TAU));
        match (inside, ends_inside) {
            (true, true) if leaves < enters && enters < turn => {
                [Some(Mark::Leaves(at(leaves))), Some(Mark::Enters(at(enters))), last]
            }
            (false, false) if enters < leaves && leaves < turn => {
                [Some(Mark::Enters(at(enters))), Some(Mark::Leaves(at(leaves))), None]
            }
            (true, false) => [Some(Mark::Leaves(at(leaves.min(turn)))), None, None],
            (false, true) => [Some(Mark::Enters(at(enters.min(turn)))), None, last],
            _ => [None, None, last],
        }
    }
}

/// Whether a direction lies within a convex outline.
pub(super) fn is_within(outline: &[Triple], p: Triple) -> bool {
    (0..outline.len()).all(|n| outline[n].cross(outline[(n + 1) % outline.len()]).dot(p) >= 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn directions(points: &[[f64; 3]]) -> Vec<Triple> {
        points.iter().filter_map(|[x, y, z]| Triple::new(*x, *y, *z).unit()).collect()
    }

    /// A square ahead, what it encloses on its left.
    fn square(half: f64) -> Vec<Triple> {
        directions(&[[1.0, -half, -half], [1.0, half, -half], [1.0, half, half], [1.0, -half, half]])
    }

    #[test]
    fn an_outline_within_the_cap_stays_as_it_is_and_one_beyond_is_gone() {
        let cap = Cap::new(1.0);
        assert_eq!(cap.rings(&square(0.5)), [square(0.5)]);
        let behind: Vec<Triple> = square(0.5).into_iter().map(|p| -p).rev().collect();
        assert!(cap.rings(&behind).is_empty());
    }

    #[test]
    fn an_outline_round_the_cap_leaves_the_rim() {
        let rings = Cap::new(0.3).rings(&square(3.0));
        assert_eq!(rings.len(), 1);
        assert!(rings[0].iter().all(|p| (p.x - 0.3f64.cos()).abs() < 1e-12) && rings[0].len() == 179);
    }

    #[test]
    fn an_outline_across_the_rim_is_closed_along_it() {
        let cap = Cap::new(0.6);
        // The corners reach out, the sides do not.
        let rings = cap.rings(&square(0.6));
        assert_eq!(rings.len(), 1);
        let on_rim = rings[0].iter().filter(|p| (p.x - 0.6f64.cos()).abs() < 1e-9).count();
        assert!(on_rim >= 8 && rings[0].iter().all(|p| p.x > 0.6f64.cos() - 1e-9));
        let area: f64 = (0..rings[0].len())
            .map(|n| {
                let (p, q) = (rings[0][n], rings[0][(n + 1) % rings[0].len()]);
                let [a, b] = [p, q].map(|p| [p.y / p.x, p.z / p.x]);
                (a[0] * b[1] - a[1] * b[0]) / 2.0
            })
            .sum();
        // A square of 1.2 less four corners beyond a circle of radius tan 0.6.
        let radius = 0.6f64.tan();
        let by_hand = {
            let steps = 200_000;
            let width = |y: f64| 0.6f64.min((radius * radius - y * y).sqrt()) * 2.0;
            (0..steps).map(|n| width((f64::from(n) + 0.5) / f64::from(steps) * 0.6)).sum::<f64>() * 2.0 * 0.6
                / f64::from(steps)
        };
        assert!((area - by_hand).abs() < 1e-3, "{area} against {by_hand}");
    }

    #[test]
    fn half_the_sphere_behind_a_wide_cap_leaves_a_ring_with_a_hole() {
        // All that is behind the eye, seen by a lens that reaches 120 degrees off its axis.
        let circle: Vec<Triple> = (0..8)
            .map(|n| -f64::from(n) * TAU / 8.0)
            .map(|turn| Triple::new(0.0, turn.cos(), turn.sin()))
            .collect();
        let rings = Cap::new(120f64.to_radians()).rings(&circle);
        assert_eq!(rings.len(), 2);
        assert!(Cap::new(80f64.to_radians()).rings(&circle).is_empty());
    }

    #[test]
    fn an_open_path_is_cut_where_it_leaves_and_enters() {
        let cap = Cap::new(0.5);
        let path = directions(&[[0.2, -1.0, 0.0], [0.2, 1.0, 0.0]]);
        let parts = cap.parts(&path);
        assert_eq!(parts.len(), 1);
        assert!(parts[0].iter().all(|p| (p.x - 0.5f64.cos()).abs() < 1e-12));
        // By way of behind a wide cap.
        let wide = Cap::new(2.5);
        let behind = directions(&[[-0.2, -1.0, 0.0], [-0.2, 1.0, 0.0]]);
        assert_eq!(wide.parts(&behind).len(), 2);
        assert!(cap.parts(&behind).is_empty());
    }

    #[test]
    fn a_cone_that_cannot_reach_the_cap_is_told() {
        let cap = Cap::new(0.5);
        let reach = |off: f64, half: f64| {
            cap.may_reach(Triple::new(off.cos(), off.sin(), 0.0), f64::cos(half), f64::sin(half))
        };
        assert!(reach(0.9, 0.5) && !reach(1.1, 0.5) && reach(0.0, 0.1) && reach(3.0, 2.9));
    }
}
