//! How often wires cross, counted from the lines as they are drawn, and how long they are.

use super::layout::{At, Layout, Way};

pub(super) fn wire_length(layout: &Layout) -> f64 {
    let of = |way: &Way| {
        way.points.windows(2).map(|w| (w[0][0] - w[1][0]).abs() + (w[0][1] - w[1][1]).abs()).sum::<f64>()
    };
    layout.ways.iter().map(of).sum()
}

/// How often two wires cross, counted from the lines. Wires of one net may: they are one piece of copper.
pub(crate) fn crossings(ways: &[Way]) -> usize {
    let mut count = 0;
    for (number, one) in ways.iter().enumerate() {
        for other in &ways[number + 1..] {
            if one.join.iter().any(|pad| other.join.contains(pad)) {
                continue;
            }
            for a in one.points.windows(2) {
                for b in other.points.windows(2) {
                    count += usize::from(cross([a[0], a[1]], [b[0], b[1]]));
                }
            }
        }
    }
    count
}

/// Whether an upright and a level stretch cross inside both.
fn cross(a: [At; 2], b: [At; 2]) -> bool {
    let upright = |s: &[At; 2]| (s[0][0] - s[1][0]).abs() < 1e-9 && (s[0][1] - s[1][1]).abs() > 1e-9;
    let (v, h) = match (upright(&a), upright(&b)) {
        (true, false) => (a, b),
        (false, true) => (b, a),
        _ => return false,
    };
    let within = |x: f64, p: f64, q: f64| x > p.min(q) + 1e-9 && x < p.max(q) - 1e-9;
    within(v[0][0], h[0][0], h[1][0]) && within(h[0][1], v[0][1], v[1][1])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_cross_inside_and_not_at_their_ends() {
        let v = [[1.0, 0.0], [1.0, 2.0]];
        assert!(cross(v, [[0.0, 1.0], [2.0, 1.0]]));
        assert!(!cross(v, [[1.0, 1.0], [2.0, 1.0]]));
        assert!(!cross(v, [[0.0, 2.0], [2.0, 2.0]]));
    }
}
