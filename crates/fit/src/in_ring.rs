//! Whether a place of a plane lies in a closed ring of points.
//!
//! A ray from it along x crosses the edges of the ring an odd number of times if it does (the even-odd rule). A place on an edge may count as
//! either.

/// Whether a place lies in a ring of points, in mm.
pub fn in_ring([x, y]: [f64; 2], ring: &[[f64; 2]]) -> bool {
    let edges = ring.iter().zip(ring.iter().cycle().skip(1));
    let crossed = |([ax, ay], [bx, by]): &(&[f64; 2], &[f64; 2])| {
        (*ay > y) != (*by > y) && x < ax + (y - ay) / (by - ay) * (bx - ax)
    };
    edges.filter(crossed).count() % 2 == 1
}

/// Whether a place lies in rings of which one within another is a hole, in mm.
pub fn in_rings(at: [f64; 2], rings: &[Vec<[f64; 2]>]) -> bool {
    rings.iter().filter(|ring| in_ring(at, ring)).count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hole_in_a_ring_is_outside() {
        let square = |half: f64| vec![[half, half], [-half, half], [-half, -half], [half, -half]];
        let rings = [square(4.0), square(2.0)];
        assert!(in_ring([3.0, 0.5], &rings[0]) && !in_ring([5.0, 0.5], &rings[0]));
        assert!(in_rings([3.0, 0.5], &rings));
        assert!(!in_rings([1.0, 0.5], &rings) && !in_rings([5.0, 0.5], &rings));
        assert!(!in_ring([0.0, 0.0], &[]));
    }
}
