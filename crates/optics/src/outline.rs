//! The outline of a plate: rings of corners, filled by even and odd, and where a line first enters it.
//!
//! A place lies inside if a level line from it to either side crosses the rings an odd number of times; so the first
//! ring may be the outer one and the rest holes, in any order and either way round. Edges stand in a tree of
//! boxes, so that a plate with hundreds of corners answers in some tens of nanoseconds.

use crate::OpticsFault;
use quantity::Millimetres;
use std::cell::Cell;

/// Edges in one leaf of the tree.
const LEAF: usize = 4;
/// Deeper than any tree of edges can be.
const STACK: usize = 64;
/// The longest coordinate.
const FARTHEST: Millimetres = Millimetres::new(100_000.0);

/// The outline of a plate.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    edges: Vec<Edge>,
    nodes: Vec<Node>,
    hull: Vec<[f64; 2]>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Edge {
    from: [f64; 2],
    to: [f64; 2],
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Node {
    low: [f64; 2],
    high: [f64; 2],
    /// A leaf's first edge, or the node right of its left child, which follows it.
    next: u32,
    /// Edges of a leaf; nought for a fork.
    count: u32,
}

impl Outline {
    /// From rings of corners in mm: the outer polygon and the holes.
    pub fn new(rings: &[Vec<[f64; 2]>]) -> Result<Self, OpticsFault> {
        let mut edges = Vec::new();
        for (n, ring) in rings.iter().enumerate() {
            if ring.len() < 3 {
                return Err(OpticsFault::Ring { ring: n + 1, count: ring.len() });
            }
            for (k, [x, y]) in ring.iter().copied().enumerate() {
                if !(x.abs() <= FARTHEST.get() && y.abs() <= FARTHEST.get()) {
                    return Err(OpticsFault::Corner { ring: n + 1, corner: k + 1, x, y });
                }
                edges.push(Edge { from: [x, y], to: ring[(k + 1) % ring.len()] });
            }
        }
        if edges.is_empty() {
            return Err(OpticsFault::Ring { ring: 1, count: 0 });
        }
        let hull = hull(edges.iter().map(|edge| edge.from).collect());
        let mut nodes = Vec::new();
        plant(&mut nodes, &mut edges, 0);
        Ok(Self { edges, nodes, hull })
    }

    /// The corners of the convex hull.
    pub(crate) fn hull(&self) -> &[[f64; 2]] {
        &self.hull
    }

    /// The least and greatest coordinates.
    pub(crate) fn bounds(&self) -> ([f64; 2], [f64; 2]) {
        (self.nodes[0].low, self.nodes[0].high)
    }

    /// Whether a place lies inside.
    pub(crate) fn contains(&self, [x, y]: [f64; 2]) -> bool {
        let mut inside = false;
        // To whichever side there is less to cross.
        let (low, high) = self.bounds();
        let right = x + x > low[0] + high[0];
        self.visit(
            |node| {
                let level = node.low[1] <= y && y <= node.high[1];
                level && if right { x <= node.high[0] } else { node.low[0] <= x }
            },
            |edge| {
                let ([x0, y0], [x1, y1]) = (edge.from, edge.to);
                if (y0 > y) != (y1 > y) && right == (x < x0 + (y - y0) / (y1 - y0) * (x1 - x0)) {
                    inside = !inside;
                }
            },
        );
        inside
    }

    /// Whether an edge comes into a rectangle.
    pub(crate) fn has_edge_in(&self, low: [f64; 2], high: [f64; 2]) -> bool {
        let corners = [low, [high[0], low[1]], high, [low[0], high[1]]];
        let found = Cell::new(false);
        self.visit(
            |node| {
                let apart = |k: usize| node.high[k] < low[k] || node.low[k] > high[k];
                !found.get() && !apart(0) && !apart(1)
            },
            |edge| {
                let ([x0, y0], [x1, y1]) = (edge.from, edge.to);
                let apart = |k: usize, a: f64, b: f64| a.max(b) < low[k] || a.min(b) > high[k];
                if apart(0, x0, x1) || apart(1, y0, y1) {
                    return;
                }
                let side = corners.map(|[x, y]| (x1 - x0) * (y - y0) - (y1 - y0) * (x - x0));
                let all = |sign: f64| side.iter().all(|s| s * sign > 0.0);
                if !all(1.0) && !all(-1.0) {
                    found.set(true);
                }
            },
        );
        found.get()
    }

    /// How far along the straight line between two places, from 0 to 1, one first comes inside.
    pub(crate) fn entered(&self, from: [f64; 2], to: [f64; 2]) -> Option<f64> {
        if self.contains(from) {
            return Some(0.0);
        }
        let way = [to[0] - from[0], to[1] - from[1]];
        let (low, high) =
            ([from[0].min(to[0]), from[1].min(to[1])], [from[0].max(to[0]), from[1].max(to[1])]);
        let mut first = f64::INFINITY;
        self.visit(
            |node| {
                let apart = |k: usize| node.high[k] < low[k] || node.low[k] > high[k];
                if apart(0) || apart(1) {
                    return false;
                }
                // The box's corners all on one side of the line: it is missed.
                let side = |x: f64, y: f64| way[0] * (y - from[1]) - way[1] * (x - from[0]);
                let (a, b) = (side(node.low[0], node.low[1]), side(node.high[0], node.high[1]));
                let (c, d) = (side(node.low[0], node.high[1]), side(node.high[0], node.low[1]));
                a.min(b).min(c).min(d) <= 0.0 && a.max(b).max(c).max(d) >= 0.0
            },
            |edge| {
                let along = [edge.to[0] - edge.from[0], edge.to[1] - edge.from[1]];
                let start = [edge.from[0] - from[0], edge.from[1] - from[1]];
                let cross = way[0] * along[1] - way[1] * along[0];
                if cross == 0.0 {
                    return;
                }
                let t = (start[0] * along[1] - start[1] * along[0]) / cross;
                let s = (start[0] * way[1] - start[1] * way[0]) / cross;
                if (0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&s) {
                    first = first.min(t);
                }
            },
        );
        (first <= 1.0).then_some(first)
    }

    /// Calls `each` for the edges of every leaf that `near` lets through.
    fn visit(&self, near: impl Fn(&Node) -> bool, mut each: impl FnMut(&Edge)) {
        let mut stack = [0u32; STACK];
        let mut depth = 1;
        while depth > 0 {
            depth -= 1;
            let at = stack[depth];
            let node = &self.nodes[at as usize];
            if !near(node) {
                continue;
            }
            if node.count > 0 {
                let first = node.next as usize;
                self.edges[first..first + node.count as usize].iter().for_each(&mut each);
            } else if depth + 2 <= STACK {
                stack[depth] = at + 1;
                stack[depth + 1] = node.next;
                depth += 2;
            }
        }
    }
}

/// Adds the tree of these edges, which begin at `first` in the outline, halving them by their middles.
fn plant(nodes: &mut Vec<Node>, edges: &mut [Edge], first: usize) {
    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for end in edges.iter().flat_map(|edge| [edge.from, edge.to]) {
        for k in 0..2 {
            low[k] = low[k].min(end[k]);
            high[k] = high[k].max(end[k]);
        }
    }
    let at = nodes.len();
    nodes.push(Node { low, high, next: first as u32, count: edges.len() as u32 });
    if edges.len() <= LEAF {
        return;
    }
    let longer = usize::from(high[1] - low[1] > high[0] - low[0]);
    let middle = |edge: &Edge| edge.from[longer] + edge.to[longer];
    edges.sort_by(|a, b| middle(a).total_cmp(&middle(b)));
    let half = edges.len() / 2;
    let (left, right) = edges.split_at_mut(half);
    plant(nodes, left, first);
    nodes[at].count = 0;
    nodes[at].next = nodes.len() as u32;
    plant(nodes, right, first + half);
}

/// The convex hull, by Andrew's monotone chain.
fn hull(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    points.dedup();
    let chain = |points: &mut dyn Iterator<Item = &[f64; 2]>| {
        let mut kept: Vec<[f64; 2]> = Vec::new();
        for &p in points {
            while let [.., a, b] = kept[..] {
                if (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) > 0.0 {
                    break;
                }
                kept.pop();
            }
            kept.push(p);
        }
        kept.pop();
        kept
    };
    let mut lower = chain(&mut points.iter());
    lower.extend(chain(&mut points.iter().rev()));
    lower
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn framed() -> Outline {
        let square = |half: f64| vec![[-half, -half], [half, -half], [half, half], [-half, half]];
        Outline::new(&[square(10.0), square(4.0)]).unwrap()
    }

    #[test]
    fn a_hole_is_outside_and_a_line_through_it_enters_behind_it() {
        let outline = framed();
        assert!(
            outline.contains([7.0, 0.0]) && !outline.contains([0.0, 0.0]) && !outline.contains([11.0, 0.0])
        );
        assert_eq!(outline.entered([0.0, 0.0], [8.0, 0.0]), Some(0.5));
        assert_eq!(outline.entered([0.0, 0.0], [3.0, 0.0]), None);
        assert_eq!(outline.entered([-20.0, 1.0], [20.0, 1.0]), Some(0.25));
        assert_eq!(outline.entered([7.0, 0.0], [7.0, 0.0]), Some(0.0));
    }

    #[test]
    fn a_ring_that_is_none_is_refused() {
        assert_eq!(Outline::new(&[vec![[0.0, 0.0]]]), Err(OpticsFault::Ring { ring: 1, count: 1 }));
        assert_eq!(Outline::new(&[]), Err(OpticsFault::Ring { ring: 1, count: 0 }));
        assert!(Outline::new(&[vec![[0.0, f64::NAN], [1.0, 0.0], [0.0, 1.0]]]).is_err());
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(128))]

        #[test]
        fn the_tree_finds_what_plain_search_finds(corners in prop::collection::vec((5.0..20.0f64, 0.2..1.0f64), 3..60),
                                                  at in [-25.0..25.0f64, -25.0..25.0f64], to in [-25.0..25.0f64, -25.0..25.0f64]) {
            let total: f64 = corners.iter().map(|(_, turn)| turn).sum();
            let mut angle = 0.0;
            let ring: Vec<[f64; 2]> = corners.iter().map(|(reach, turn)| {
                angle += turn / total * std::f64::consts::TAU;
                [reach * angle.cos(), reach * angle.sin()]
            }).collect();
            let outline = Outline::new(std::slice::from_ref(&ring)).unwrap();
            let edges = || ring.iter().zip(ring.iter().cycle().skip(1));
            let odd = edges().filter(|([_, y0], [_, y1])| (*y0 > at[1]) != (*y1 > at[1]))
                .filter(|([x0, y0], [x1, y1])| at[0] < x0 + (at[1] - y0) / (y1 - y0) * (x1 - x0)).count() % 2 == 1;
            prop_assert_eq!(outline.contains(at), odd);
            let first = outline.entered(at, to);
            // Walked in small steps: nothing inside before it, something inside soon after.
            let place = |t: f64| [at[0] + t * (to[0] - at[0]), at[1] + t * (to[1] - at[1])];
            let end = first.unwrap_or(1.0);
            prop_assert!((0..200).all(|n| !outline.contains(place(end * (f64::from(n) / 200.0) * 0.999_999))) || first == Some(0.0));
            if let Some(t) = first {
                prop_assert!(t == 0.0 || t > 0.999_999 || outline.contains(place(t + 1e-7)) || outline.contains(place(t + 1e-9)));
            }
        }
    }
}
