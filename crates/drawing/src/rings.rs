//! Whether a place lies in a closed ring of points on paper or on a plate.

/// Whether a place lies in a ring: a ray from it crosses the edge an odd number of times.
pub(crate) fn is_inside([x, y]: [f64; 2], ring: &[[f64; 2]]) -> bool {
    let edges = ring.iter().zip(ring.iter().cycle().skip(1));
    let crossed = |([ax, ay], [bx, by]): &(&[f64; 2], &[f64; 2])| {
        (*ay > y) != (*by > y) && x < ax + (y - ay) / (by - ay) * (bx - ax)
    };
    edges.filter(crossed).count() % 2 == 1
}

/// Whether a place lies in rings of which one within another is a hole.
pub(crate) fn is_inside_all(at: [f64; 2], rings: &[Vec<[f64; 2]>]) -> bool {
    rings.iter().filter(|ring| is_inside(at, ring)).count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hole_in_a_ring_is_outside() {
        let square = |half: f64| vec![[half, half], [-half, half], [-half, -half], [half, -half]];
        let rings = [square(4.0), square(2.0)];
        assert!(is_inside([3.0, 0.5], &rings[0]) && !is_inside([5.0, 0.5], &rings[0]));
        assert!(is_inside_all([3.0, 0.5], &rings));
        assert!(!is_inside_all([1.0, 0.5], &rings) && !is_inside_all([5.0, 0.5], &rings));
        assert!(!is_inside([0.0, 0.0], &[]));
    }
}
