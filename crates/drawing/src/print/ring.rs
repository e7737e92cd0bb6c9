//! The closed lines that printable solids are made of: circles, slots, ellipses, hulls.
//!
//! Round lines are polygons true to a thousandth of a millimetre, half of it inside and half outside, the
//! same that stand for holes everywhere else. A hull is the convex line round given points (Andrew's chain: sort
//! along x, keep left turns below, then above); corners that lie in line with their neighbours are left out.

use fit::{Hole, PartPoint, PlanePoint};
use quantity::Millimetres;

/// A corner of a hull that stands out less than this from the line of its neighbours is left out, in mm.
const IN_LINE: f64 = 2e-4;
/// Corners of a hull nearer to each other than this are one, in mm.
const SAME: f64 = 2e-3;

/// A circle, counter-clockwise.
pub(super) fn circle(centre: PlanePoint, radius: f64) -> Vec<PlanePoint> {
    Hole::Round { centre, diameter: Millimetres::new(2.0 * radius) }.corners()
}

/// A slot with round ends, counter-clockwise.
pub(super) fn slot(from: PlanePoint, to: PlanePoint, width: f64) -> Vec<PlanePoint> {
    Hole::Slot { from, to, width: Millimetres::new(width) }.corners()
}

/// The same ring, grown about a centre.
pub(super) fn scaled(ring: &[PlanePoint], centre: PlanePoint, times: f64) -> Vec<PlanePoint> {
    let grown = |p: &PlanePoint| {
        PlanePoint::new(centre.x + times * (p.x - centre.x), centre.y + times * (p.y - centre.y))
    };
    ring.iter().map(grown).collect()
}

/// A ring of the plane put at a height.
pub(super) fn at_height(ring: &[PlanePoint], z: f64) -> impl Iterator<Item = PartPoint> + '_ {
    ring.iter().map(move |p| PartPoint::new(p.x, p.y, z))
}

/// The convex line round points, counter-clockwise; empty for fewer than three.
pub(super) fn hull(points: impl IntoIterator<Item = PlanePoint>) -> Vec<PlanePoint> {
    let mut sorted: Vec<PlanePoint> = points.into_iter().collect();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let half = |points: &mut dyn Iterator<Item = &PlanePoint>| {
        let mut chain: Vec<PlanePoint> = Vec::new();
        for p in points {
            while let [.., a, b] = chain[..] {
                if cross(a, b, *p) > 0.0 {
                    break;
                }
                chain.pop();
            }
            chain.push(*p);
        }
        chain.pop();
        chain
    };
    let mut around = half(&mut sorted.iter());
    around.extend(half(&mut sorted.iter().rev()));
    thinned(around)
}

/// The hull without corners that are hardly there.
fn thinned(ring: Vec<PlanePoint>) -> Vec<PlanePoint> {
    without(ring, SAME, IN_LINE)
}

/// A convex ring of fewer corners: each it loses stood out at most so far from the line of its neighbours.
pub(super) fn coarse(ring: &[PlanePoint], off: f64) -> Vec<PlanePoint> {
    without(ring.to_vec(), SAME, off)
}

fn without(mut ring: Vec<PlanePoint>, same: f64, in_line: f64) -> Vec<PlanePoint> {
    // Every second corner at most goes in a round, so that what is lost does not add up unseen.
    loop {
        let count = ring.len();
        if count < 4 {
            return if count < 3 { Vec::new() } else { ring };
        }
        let mut keep = vec![true; count];
        for k in 0..count {
            let (before, after) = ((k + count - 1) % count, (k + 1) % count);
            if !keep[before] || !keep[after] {
                continue;
            }
            let (a, b, c) = (ring[before], ring[k], ring[after]);
            keep[k] = distance(a, b) >= same && cross(a, b, c) / distance(a, c).max(same) >= in_line;
        }
        if keep.iter().all(|kept| *kept) {
            return ring;
        }
        let mut kept = keep.into_iter();
        ring.retain(|_| kept.next().unwrap_or(true));
    }
}

fn cross(a: PlanePoint, b: PlanePoint, c: PlanePoint) -> f64 {
    (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
}

/// How far two places are apart.
pub(super) fn distance(a: PlanePoint, b: PlanePoint) -> f64 {
    (a.x - b.x).hypot(a.y - b.y)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn area(ring: &[PlanePoint]) -> f64 {
        ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| a.x * b.y - a.y * b.x).sum::<f64>() / 2.0
    }

    #[test]
    fn the_hull_of_four_discs_is_a_rectangle_with_round_corners() {
        let corners = [(5.0, 3.0), (-5.0, 3.0), (-5.0, -3.0), (5.0, -3.0)];
        let ring = hull(corners.into_iter().flat_map(|(x, y)| circle(PlanePoint::new(x, y), 2.0)));
        // Area of the middles, a band of the radius all round, and one whole disc.
        let expected = 60.0 + 2.0 * 32.0 + std::f64::consts::PI * 4.0;
        // A thousandth along the whole edge.
        assert!((area(&ring) - expected).abs() < 0.05, "{} against {expected}", area(&ring));
    }

    #[test]
    fn points_in_a_line_have_no_hull() {
        assert!(hull((0..5).map(|k| PlanePoint::new(f64::from(k), 0.0))).is_empty());
        assert!(hull([]).is_empty());
    }
}
