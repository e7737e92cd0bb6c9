//! How much of a plate stays between a hole and another, or between a hole and an edge.
//!
//! A hole that is drilled or milled is the way its middle goes, a point for a round hole, and half its width. What stays is the
//! distance of the two ways, or of the way and the edge, less the half widths; negative where they run into each other. Plane geometry;
//! nothing is left out but the doubt of the outline.

use crate::in_ring;

/// A hole as it is drilled or milled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drilled {
    /// The two ends of the way its middle goes, in mm; the same of a round hole.
    pub ends: [[f64; 2]; 2],
    /// Half its width, in mm.
    pub half: f64,
}

impl Drilled {
    /// A round hole: middle and diameter in mm.
    pub fn round(at: [f64; 2], diameter: f64) -> Self {
        Self { ends: [at, at], half: diameter / 2.0 }
    }
}

/// How far a place lies from the line from one place to another, in mm.
pub fn from_line(a: [f64; 2], b: [f64; 2], p: [f64; 2]) -> f64 {
    let (d, e) = ([b[0] - a[0], b[1] - a[1]], [p[0] - a[0], p[1] - a[1]]);
    let along = ((d[0] * e[0] + d[1] * e[1]) / (d[0] * d[0] + d[1] * d[1]).max(1e-12)).clamp(0.0, 1.0);
    (e[0] - along * d[0]).hypot(e[1] - along * d[1])
}

/// How far inside a ring a place lies, in mm; negative outside.
pub fn inside_edge(at: [f64; 2], ring: &[[f64; 2]]) -> f64 {
    let edges = ring.iter().zip(ring.iter().cycle().skip(1));
    let least = edges.map(|(a, b)| from_line(*a, *b, at)).fold(f64::INFINITY, f64::min);
    if in_ring(at, ring) { least } else { -least }
}

/// The material between two holes that do not cross, in mm: their ways come nearest at an end of one of them.
pub fn web_between(one: &Drilled, other: &Drilled) -> f64 {
    let from = |way: &Drilled, p: [f64; 2]| from_line(way.ends[0], way.ends[1], p);
    let there = one.ends.map(|end| from(other, end));
    let back = other.ends.map(|end| from(one, end));
    there.into_iter().chain(back).fold(f64::INFINITY, f64::min) - one.half - other.half
}

/// The material between a hole and a ring on whose one side it must lie, in mm: within an outline, without a window. Where its
/// middle lies on the other side it is negative by more than half its width.
pub fn web_to_ring(hole: &Drilled, ring: &[[f64; 2]], inside: bool) -> f64 {
    let edges = ring.iter().zip(ring.iter().cycle().skip(1));
    let least = edges.map(|(a, b)| {
        let ends = hole.ends.map(|end| from_line(*a, *b, end));
        let back = [*a, *b].map(|corner| from_line(hole.ends[0], hole.ends[1], corner));
        ends.into_iter().chain(back).fold(f64::INFINITY, f64::min)
    });
    let least = least.fold(f64::INFINITY, f64::min);
    let lies_right = hole.ends.iter().all(|end| in_ring(*end, ring) == inside);
    if lies_right { least - hole.half } else { -least - hole.half }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SQUARE: [[f64; 2]; 4] = [[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]];

    #[test]
    fn the_edge_is_as_far_as_it_is_and_negative_outside() {
        assert!((inside_edge([2.0, 5.0], &SQUARE) - 2.0).abs() < 1e-12);
        assert!((inside_edge([-3.0, -4.0], &SQUARE) + 5.0).abs() < 1e-12);
    }

    #[test]
    fn a_web_is_the_distance_less_half_the_widths() {
        let (a, b) = (Drilled::round([3.0, 3.0], 2.0), Drilled::round([6.0, 7.0], 3.0));
        assert!((web_between(&a, &b) - 2.5).abs() < 1e-12);
        let slot = Drilled { ends: [[2.0, 8.0], [8.0, 8.0]], half: 1.0 };
        assert!((web_between(&a, &slot) - 3.0).abs() < 1e-12);
        assert!((web_to_ring(&slot, &SQUARE, true) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_hole_over_the_edge_leaves_less_than_nothing() {
        assert!((web_to_ring(&Drilled::round([0.5, 5.0], 2.0), &SQUARE, true) + 0.5).abs() < 1e-12);
        assert!((web_to_ring(&Drilled::round([-0.5, 5.0], 2.0), &SQUARE, true) + 1.5).abs() < 1e-12);
        assert!((web_to_ring(&Drilled::round([-3.0, 5.0], 2.0), &SQUARE, false) - 2.0).abs() < 1e-12);
    }
}
