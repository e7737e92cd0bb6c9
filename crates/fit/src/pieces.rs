//! A plate cut into convex pieces, once, with a search tree over them.
//!
//! The outline is triangulated by ear cutting, then triangles are joined into larger convex polygons
//! wherever the two corners at the joint stay convex (Hertel and Mehlhorn's way: at most four times as
//! many pieces as the best cut has). The tree halves the pieces along the longer side of their box.

use crate::outline::{bounds_of, signed_area};
use earcut::Earcut;
use parry3d_f64::glamx::DVec2;
use std::collections::HashMap;

/// The box of a tree node and what hangs below it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Node {
    pub low: DVec2,
    pub high: DVec2,
    pub below: Below,
}

#[derive(Clone, Copy, Debug)]
pub(crate) enum Below {
    Piece(u32),
    Nodes(u32, u32),
}

/// The convex pieces of an outline and the tree over them; the first node is the root.
#[derive(Clone, Debug)]
pub(crate) struct PieceTree {
    points: Vec<DVec2>,
    spans: Vec<(u32, u32)>,
    nodes: Vec<Node>,
}

impl PieceTree {
    /// Cuts a counter-clockwise ring with holes; `None` if the pieces do not fill it.
    pub(crate) fn cut(outer: &[DVec2], holes: &[&[DVec2]]) -> Option<Self> {
        let polygons = match holes {
            [] if is_convex(outer) => vec![outer.to_vec()],
            _ => cut_with_holes(outer, holes)?,
        };
        let mut tree = PieceTree { points: Vec::new(), spans: Vec::new(), nodes: Vec::new() };
        for polygon in &polygons {
            let start = tree.points.len() as u32;
            tree.points.extend_from_slice(polygon);
            tree.spans.push((start, tree.points.len() as u32));
        }
        let mut order: Vec<u32> = (0..polygons.len() as u32).collect();
        tree.grow(&mut order);
        Some(tree)
    }

    pub(crate) fn piece_count(&self) -> usize {
        self.spans.len()
    }
    pub(crate) fn polygon(&self, piece: usize) -> &[DVec2] {
        let (from, to) = self.spans[piece];
        &self.points[from as usize..to as usize]
    }
    pub(crate) fn node(&self, n: u32) -> &Node {
        &self.nodes[n as usize]
    }
    pub(crate) fn bounds(&self) -> (DVec2, DVec2) {
        (self.nodes[0].low, self.nodes[0].high)
    }

    fn piece_box(&self, piece: u32) -> (DVec2, DVec2) {
        bounds_of(self.polygon(piece as usize))
    }

    /// Adds the node over these pieces and everything below it; gives its number.
    fn grow(&mut self, pieces: &mut [u32]) -> u32 {
        let at = self.nodes.len() as u32;
        let (low, high) = pieces.iter().fold((DVec2::INFINITY, DVec2::NEG_INFINITY), |(low, high), p| {
            let (l, h) = self.piece_box(*p);
            (low.min(l), high.max(h))
        });
        self.nodes.push(Node { low, high, below: Below::Piece(pieces[0]) });
        if pieces.len() > 1 {
            let size = high - low;
            let axis = usize::from(size.y > size.x);
            pieces.sort_by(|a, b| {
                let middle = |p: u32| {
                    let (l, h) = self.piece_box(p);
                    (l + h)[axis]
                };
                middle(*a).total_cmp(&middle(*b)).then(a.cmp(b))
            });
            let (left, right) = pieces.split_at_mut(pieces.len() / 2);
            let left = self.grow(left);
            let right = self.grow(right);
            self.nodes[at as usize].below = Below::Nodes(left, right);
        }
        at
    }
}

fn turns_left(a: DVec2, b: DVec2, c: DVec2) -> bool {
    let (u, v) = (b - a, c - b);
    u.perp_dot(v) >= -1e-10 * u.length() * v.length()
}

fn is_convex(ring: &[DVec2]) -> bool {
    let n = ring.len();
    // A ring without crossings that only turns left goes round once.
    (0..n).all(|i| turns_left(ring[i], ring[(i + 1) % n], ring[(i + 2) % n]))
}

fn cut_with_holes(outer: &[DVec2], holes: &[&[DVec2]]) -> Option<Vec<Vec<DVec2>>> {
    let mut points: Vec<DVec2> = outer.to_vec();
    let mut starts: Vec<u32> = Vec::new();
    for hole in holes {
        starts.push(points.len() as u32);
        points.extend_from_slice(hole);
    }
    let mut corners: Vec<u32> = Vec::new();
    Earcut::new().earcut(points.iter().map(|p| [p.x, p.y]), &starts, &mut corners);
    let at = |i: u32| points[i as usize];

    let mut polygons: Vec<Vec<u32>> = Vec::new();
    let mut filled = 0.0;
    for triangle in corners.chunks_exact(3) {
        let mut loop_of = triangle.to_vec();
        let area = signed_area(&[at(loop_of[0]), at(loop_of[1]), at(loop_of[2])]);
        if area < 0.0 {
            loop_of.swap(1, 2);
        }
        filled += area.abs();
        polygons.push(loop_of);
    }
    let wanted = signed_area(outer).abs() - holes.iter().map(|hole| signed_area(hole).abs()).sum::<f64>();
    if (filled - wanted).abs() > 1e-7 * wanted.max(1.0) {
        return None;
    }
    join(&mut polygons, &points);
    Some(
        polygons
            .into_iter()
            .filter(|polygon| polygon.len() > 2)
            .map(|polygon| polygon.into_iter().map(at).collect::<Vec<_>>())
            .filter(|polygon| signed_area(polygon) > 1e-12)
            .collect(),
    )
}

/// Joins neighbours across their common edge wherever the result stays convex. Emptied polygons stay in
/// the list.
fn join(polygons: &mut [Vec<u32>], points: &[DVec2]) {
    let mut owner: HashMap<(u32, u32), usize> = HashMap::new();
    for (n, polygon) in polygons.iter().enumerate() {
        for i in 0..polygon.len() {
            owner.insert((polygon[i], polygon[(i + 1) % polygon.len()]), n);
        }
    }
    let at = |i: u32| points[i as usize];
    let joints: Vec<(u32, u32)> = polygons
        .iter()
        .flat_map(|p| (0..p.len()).map(|i| (p[i], p[(i + 1) % p.len()])))
        .filter(|(u, v)| u < v)
        .collect();
    for (u, v) in joints {
        let (Some(&p), Some(&q)) = (owner.get(&(u, v)), owner.get(&(v, u))) else { continue };
        if p == q {
            continue;
        }
        let (Some(i), Some(j)) =
            (polygons[p].iter().position(|x| *x == v), polygons[q].iter().position(|x| *x == u))
        else {
            continue;
        };
        // p as v … u, q as u … v.
        let around_p: Vec<u32> = polygons[p][i..].iter().chain(&polygons[p][..i]).copied().collect();
        let around_q: Vec<u32> = polygons[q][j..].iter().chain(&polygons[q][..j]).copied().collect();
        let (np, nq) = (around_p.len(), around_q.len());
        let convex_at_u = turns_left(at(around_p[np - 2]), at(u), at(around_q[1]));
        let convex_at_v = turns_left(at(around_q[nq - 2]), at(v), at(around_p[1]));
        if !convex_at_u || !convex_at_v {
            continue;
        }
        owner.remove(&(u, v));
        owner.remove(&(v, u));
        for k in 0..nq - 1 {
            owner.insert((around_q[k], around_q[k + 1]), p);
        }
        let joined: Vec<u32> = around_p.iter().chain(&around_q[1..nq - 1]).copied().collect();
        polygons[p] = joined;
        polygons[q] = Vec::new();
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn pieces_are_convex_and_fill_the_outline() {
        let l_shape = [(0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (4.0, 4.0), (4.0, 10.0), (0.0, 10.0)]
            .map(|(x, y)| DVec2::new(x, y));
        let hole: Vec<DVec2> =
            (0..24).map(|k| DVec2::new(2.0, 2.0) + DVec2::from_angle(k as f64 * 0.261_799_387_8)).collect();
        let tree = PieceTree::cut(&l_shape, &[&hole[..]]).unwrap();
        let area: f64 = (0..tree.piece_count()).map(|n| signed_area(tree.polygon(n))).sum();
        assert!((area - (64.0 - signed_area(&hole))).abs() < 1e-9);
        assert!((0..tree.piece_count()).all(|n| is_convex(tree.polygon(n))));
        // 24 reflex corners at the hole need at least 12 pieces; plain triangles would be 28.
        assert!(tree.piece_count() <= 24, "{} pieces", tree.piece_count());
    }
}
