//! Which edges of a ring matter to a place in its plane?
//!
//! The plane round a ring is cut into squares. To each belong, found when a place in it is first asked for, the edges that may be
//! nearest to some place in it and those that a ray toward +x from some place in it may cross. Of the nearest edge to a
//! square's middle, d away, no place in the square is farther than d and half the diagonal; so an edge farther
//! from the middle than d and the whole diagonal is nearest to none. Looking at these edges alone, in their order, gives the
//! very answer that looking at all gives.

use parry3d_f64::glamx::DVec2;
use std::sync::OnceLock;

/// The side of a square, in mm.
const SIDE: f64 = 5.0;
/// How far round the ring squares reach, in mm.
const MARGIN: f64 = 25.0;
/// Squares at most; larger rings are looked at whole.
const CELLS_MAX: usize = 8_000;
/// Rings of fewer edges are looked at whole.
const EDGES_MIN: usize = 9;

/// One edge: where it begins, the way to its end, and the square of its length.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Edge {
    pub from: DVec2,
    pub side: DVec2,
    square: f64,
}

impl Edge {
    /// From a corner to the next.
    pub fn new(from: DVec2, to: DVec2) -> Self {
        Self { from, side: to - from, square: (to - from).length_squared() }
    }

    /// The place on it that is nearest to another.
    pub fn nearest_to(&self, p: DVec2) -> DVec2 {
        if self.square == 0.0 {
            return self.from;
        }
        self.from + self.side * ((p - self.from).dot(self.side) / self.square).clamp(0.0, 1.0)
    }

    /// Whether a ray from a place toward +x crosses it.
    pub fn crosses(&self, p: DVec2) -> bool {
        let (a, b) = (self.from, self.from + self.side);
        (a.y > p.y) != (b.y > p.y) && p.x < a.x + self.side.x * (p.y - a.y) / self.side.y
    }
}

/// A ring with the squares round it.
#[derive(Debug)]
pub(crate) struct RingCells {
    edges: Vec<Edge>,
    low: DVec2,
    across: usize,
    down: usize,
    cells: Vec<OnceLock<Matter>>,
}

/// The edges that matter to a square.
#[derive(Debug)]
struct Matter {
    near: Box<[Edge]>,
    crossed: Box<[Edge]>,
}

impl RingCells {
    /// Of the corners of a ring; its first edge leads from the last corner to the first.
    pub fn of(corners: &[DVec2]) -> Self {
        let before = corners.iter().cycle().skip(corners.len().saturating_sub(1));
        let edges: Vec<Edge> = before.zip(corners).map(|(a, b)| Edge::new(*a, *b)).collect();
        let (low, high) = crate::outline::bounds_of(corners);
        let (low, high) = (low - MARGIN, high + MARGIN);
        let count = |long: f64| (long / SIDE).ceil().clamp(1.0, CELLS_MAX as f64) as usize;
        let (across, down) = (count(high.x - low.x), count(high.y - low.y));
        let small = edges.len() < EDGES_MIN || across * down > CELLS_MAX;
        let cells = if small { 0 } else { across * down };
        Self { edges, low, across, down, cells: (0..cells).map(|_| OnceLock::new()).collect() }
    }

    /// Every edge.
    #[cfg(test)]
    pub fn edges(&self) -> &[Edge] {
        &self.edges
    }

    /// The edges that may be nearest to a place, and those that a ray from it toward +x may cross; far out, all.
    pub fn matter(&self, p: DVec2) -> (&[Edge], &[Edge]) {
        match self.cell(p) {
            Some(cell) => (&cell.near, &cell.crossed),
            None => (&self.edges, &self.edges),
        }
    }

    fn cell(&self, p: DVec2) -> Option<&Matter> {
        let at = (p - self.low) / SIDE;
        if self.cells.is_empty() || !(at.x >= 0.0 && at.y >= 0.0) {
            return None;
        }
        let (column, row) = (at.x as usize, at.y as usize);
        if column >= self.across || row >= self.down {
            return None;
        }
        let cell = self.cells.get(row * self.across + column)?;
        Some(cell.get_or_init(|| self.looked_at(column, row)))
    }

    fn looked_at(&self, column: usize, row: usize) -> Matter {
        // A hair more all round than a square, for what rounding does.
        let half = SIDE / 2.0 + 1e-6;
        let middle = self.low + (DVec2::new(column as f64, row as f64) + 0.5) * SIDE;
        let far: Vec<f64> =
            self.edges.iter().map(|edge| (edge.nearest_to(middle) - middle).length()).collect();
        let least = far.iter().copied().fold(f64::INFINITY, f64::min);
        let reach = least + 2.0 * half * std::f64::consts::SQRT_2;
        let near = self.edges.iter().zip(&far).filter(|(_, far)| **far <= reach).map(|(edge, _)| *edge);
        let crossed = self.edges.iter().filter(|edge| {
            let (a, b) = (edge.from, edge.from + edge.side);
            let beside = a.y.max(b.y) < middle.y - half || a.y.min(b.y) > middle.y + half;
            !beside && a.x.max(b.x) >= middle.x - half
        });
        Matter { near: near.collect(), crossed: crossed.copied().collect() }
    }
}
