//! A flat face cut into triangles that are as far from lines as its corners allow.
//!
//! Ear clipping gives some cut. Every inner edge is then turned wherever the two angles facing it add up to more
//! than 180° (Lawson's flips), which ends in the cut whose least angle is greatest (Delaunay's, held to the
//! given edges). Holes in rows would otherwise leave triangles that are mere lines.
//!
//! A cut that leaves out a corner lying in line with others would open an edge of the surface, so each is
//! checked to keep every edge, and tried again in a plane turned otherwise if need be.

use crate::frame::PartPoint;
use crate::mesh::{edges, least_height};
use earcut::Earcut;
use parry3d_f64::glamx::{DVec2, DVec3};
use std::collections::{HashMap, HashSet};

/// Turns of the plane, in radians, from which a face is tried one after the other.
const TRIED_FROM: [f64; 6] = [0.0, 0.7, 1.9, 3.0, 4.1, 5.3];
/// A triangle of a cut must be this high: above what a mesh asks for.
const CUT_HEIGHT: f64 = 2e-5;
/// Turns of inner edges, as a multiple of the count of triangles, after which nothing more is gained.
const FLIPS_EACH: usize = 60;

/// Cuts a face: its outer ring counter-clockwise seen from outside, its holes either way round.
pub(crate) fn cut(points: &[PartPoint], outer: &[u32], holes: &[&[u32]]) -> Option<Vec<[u32; 3]>> {
    let at = |k: u32| points[k as usize].0;
    // Newell's normal: the sum over the edges of a × b.
    let normal = ring_edges(outer).map(|(a, b)| at(a).cross(at(b))).sum::<DVec3>().try_normalize()?;
    let (u, v) = normal.any_orthonormal_pair();
    let numbers: Vec<u32> = outer.iter().chain(holes.iter().copied().flatten()).copied().collect();
    let mut starts = Vec::with_capacity(holes.len());
    let mut from = outer.len();
    for ring in holes {
        starts.push(from as u32);
        from += ring.len();
    }
    let flat: Vec<DVec2> = numbers.iter().map(|k| DVec2::new(at(*k).dot(u), at(*k).dot(v))).collect();
    let wanted = rims(&flat, outer.len(), &starts);
    let found = TRIED_FROM.iter().find_map(|turn| {
        let turn = DVec2::from_angle(*turn);
        let turned = flat.iter().map(|p| turn.rotate(*p).to_array());
        let mut corners: Vec<u32> = Vec::new();
        Earcut::new().earcut(turned, &starts, &mut corners);
        let mut triangles: Vec<[u32; 3]> =
            corners.chunks_exact(3).map(|corner| [corner[0], corner[1], corner[2]]).collect();
        if triangles.iter().map(|corners| twice_area(&flat, corners)).sum::<f64>() < 0.0 {
            triangles.iter_mut().for_each(|corners| corners.swap(1, 2));
        }
        if open_edges(&triangles)? != wanted {
            return None;
        }
        flip(&flat, &mut triangles);
        let solid =
            |corners: &[u32; 3]| least_height(corners.map(|k| flat[k as usize].extend(0.0))) >= CUT_HEIGHT;
        let upright = |corners: &[u32; 3]| twice_area(&flat, corners) > 0.0;
        triangles.iter().all(|corners| solid(corners) && upright(corners)).then_some(triangles)
    })?;
    Some(found.into_iter().map(|corners| corners.map(|k| numbers[k as usize])).collect())
}

fn twice_area(flat: &[DVec2], corners: &[u32; 3]) -> f64 {
    let [a, b, c] = corners.map(|k| flat[k as usize]);
    (b - a).perp_dot(c - a)
}

fn ring_edges(ring: &[u32]) -> impl Iterator<Item = (u32, u32)> {
    ring.iter().copied().zip(ring.iter().copied().cycle().skip(1))
}

/// The edges of the face's own rings, with the face to their left.
fn rims(flat: &[DVec2], outer: usize, starts: &[u32]) -> HashSet<(u32, u32)> {
    let mut rims = HashSet::new();
    let ends = starts.iter().map(|start| *start as usize).skip(1).chain([flat.len()]);
    let holes = starts.iter().map(|start| *start as usize).zip(ends);
    for (from, to) in [(0, outer)].into_iter().chain(holes) {
        let numbers: Vec<u32> = (from as u32..to as u32).collect();
        let area: f64 = ring_edges(&numbers).map(|(a, b)| flat[a as usize].perp_dot(flat[b as usize])).sum();
        let hole = from > 0;
        let turned = hole == (area > 0.0);
        rims.extend(ring_edges(&numbers).map(|(a, b)| if turned { (b, a) } else { (a, b) }));
    }
    rims
}

/// The edges met once only; `None` if one is met twice the same way.
fn open_edges(triangles: &[[u32; 3]]) -> Option<HashSet<(u32, u32)>> {
    let mut open: HashSet<(u32, u32)> = HashSet::new();
    for (a, b) in triangles.iter().flat_map(edges) {
        if !open.remove(&(b, a)) && !open.insert((a, b)) {
            return None;
        }
    }
    Some(open)
}

/// Turns inner edges until no two angles facing one add up to more than 180°.
fn flip(flat: &[DVec2], triangles: &mut [[u32; 3]]) {
    let at = |k: u32| flat[k as usize];
    let mut owner: HashMap<(u32, u32), usize> = HashMap::with_capacity(3 * triangles.len());
    for (n, corners) in triangles.iter().enumerate() {
        owner.extend(edges(corners).map(|edge| (edge, n)));
    }
    let mut waiting: Vec<(u32, u32)> = triangles.iter().flat_map(edges).filter(|(a, b)| a < b).collect();
    let mut left = FLIPS_EACH * triangles.len();
    while let Some((a, b)) = waiting.pop() {
        let (Some(&first), Some(&second)) = (owner.get(&(a, b)), owner.get(&(b, a))) else { continue };
        let opposite = |n: usize| triangles[n].iter().copied().find(|k| *k != a && *k != b);
        let (Some(c), Some(d)) = (opposite(first), opposite(second)) else { continue };
        let angle = |tip: u32| {
            let (p, q) = (at(a) - at(tip), at(b) - at(tip));
            (p.perp_dot(q).abs(), p.dot(q), p.length() * q.length())
        };
        let ((sin_c, cos_c, size_c), (sin_d, cos_d, size_d)) = (angle(c), angle(d));
        // The sine of the sum is below nought where the sum is above 180°.
        if sin_c * cos_d + cos_c * sin_d >= -1e-9 * size_c * size_d {
            continue;
        }
        let fresh = [[a, d, c], [d, b, c]];
        if fresh.iter().any(|corners| twice_area(flat, corners) <= 0.0) {
            continue;
        }
        owner.remove(&(a, b));
        owner.remove(&(b, a));
        for (n, corners) in [first, second].into_iter().zip(fresh) {
            triangles[n] = corners;
            owner.extend(edges(&corners).map(|edge| (edge, n)));
        }
        waiting.extend([(a, d), (d, b), (b, c), (c, a)]);
        left -= 1;
        if left == 0 {
            return;
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    /// A square with holes in a row, all with corners at like heights.
    fn row_of_holes() -> (Vec<PartPoint>, Vec<u32>, Vec<Vec<u32>>) {
        let mut points: Vec<PartPoint> = [(0.0, 0.0), (40.0, 0.0), (40.0, 10.0), (0.0, 10.0)]
            .map(|(x, y)| PartPoint::new(x, y, 2.0))
            .into();
        let holes = (0..4)
            .map(|hole| {
                (0..16)
                    .map(|k| {
                        let angle = f64::from(k) * std::f64::consts::TAU / 16.0;
                        let x = 5.0 + 10.0 * f64::from(hole) + 2.0 * angle.cos();
                        points.push(PartPoint::new(x, 5.0 + 2.0 * angle.sin(), 2.0));
                        points.len() as u32 - 1
                    })
                    .collect()
            })
            .collect();
        (points, vec![0, 1, 2, 3], holes)
    }

    #[test]
    fn holes_in_a_row_leave_no_lines_among_the_triangles() {
        let (points, outer, holes) = row_of_holes();
        let holes: Vec<&[u32]> = holes.iter().map(Vec::as_slice).collect();
        let triangles = cut(&points, &outer, &holes).unwrap();
        // Corners plus twice the holes less two.
        assert_eq!(triangles.len(), 4 + 64 + 2 * 4 - 2);
        let least = triangles
            .iter()
            .map(|corners| least_height(corners.map(|k| points[k as usize].0)))
            .fold(f64::INFINITY, f64::min);
        assert!(least > 0.1, "{least}");
    }

    #[test]
    fn a_face_that_crosses_itself_is_not_cut() {
        let points = [(0.0, 0.0), (4.0, 4.0), (4.0, 0.0), (0.0, 3.0)].map(|(x, y)| PartPoint::new(x, y, 0.0));
        assert_eq!(cut(&points, &[0, 1, 2, 3], &[]), None);
        assert_eq!(cut(&points[..2], &[0, 1, 0], &[]), None);
    }
}
