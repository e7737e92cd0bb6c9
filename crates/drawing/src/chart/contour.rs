//! Where a field has a stated level: lines through a grid of values.
//!
//! Marching squares: each cell is judged by which of its four corners are at or over the level; a line enters and leaves it through sides
//! whose ends differ, at the place found by interpolating between them in a straight line, so that a field which is
//! linear along its axes gives exact lines. Where opposite corners agree and neighbours do not, the mean of the four decides which of them
//! are joined. Lines are walked from cell to cell, and come out as whole lines, closed where they close.

use std::collections::BTreeMap;

/// A line of one level.
#[derive(Clone, Debug, PartialEq)]
pub struct Contour {
    /// Its points, in the units of the axes.
    pub points: Vec<[f64; 2]>,
    /// Whether its end is its start, which then stands once.
    pub closed: bool,
}

/// A side of a cell: which way it runs, and the place it starts from, column then row.
type Side = (bool, usize, usize);

/// A grid of finite values: `values[row * columns + column]` at `across[column]`, `up[row]`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Grid<'a> {
    pub across: &'a [f64],
    pub up: &'a [f64],
    pub values: &'a [f64],
}

impl Grid<'_> {
    fn value(&self, column: usize, row: usize) -> f64 {
        self.values[row * self.across.len() + column]
    }

    /// Where the level lies on a side.
    fn crossing(&self, (upright, column, row): Side, level: f64) -> [f64; 2] {
        let (next_column, next_row) = if upright { (column, row + 1) } else { (column + 1, row) };
        let (from, to) = (self.value(column, row), self.value(next_column, next_row));
        // A side to beyond the grid, where nothing reaches any level: both its ends lie at one place.
        let t = if to == f64::NEG_INFINITY || from == f64::NEG_INFINITY {
            0.5
        } else {
            (level - from) / (to - from)
        };
        let between = |from: f64, to: f64| if from == to { from } else { from + (to - from) * t };
        [between(self.across[column], self.across[next_column]), between(self.up[row], self.up[next_row])]
    }
}

/// The lines of a level through a field: `values[row * across.len() + column]` at `across[column]`, `up[row]`. Empty where the sizes do not
/// agree. Values must be finite.
pub fn contours(across: &[f64], up: &[f64], values: &[f64], level: f64) -> Vec<Contour> {
    if across.len() * up.len() != values.len() || across.len() < 2 || up.len() < 2 {
        return Vec::new();
    }
    traced(&Grid { across, up, values }, level)
}

/// The closed rings about all that is at or over a level, along the edges of the field too.
pub(super) fn rings(grid: &Grid, level: f64) -> Vec<Vec<[f64; 2]>> {
    let (columns, rows) = (grid.across.len(), grid.up.len());
    let with_ends = |places: &[f64]| -> Vec<f64> {
        let ends = [places[0], places[places.len() - 1]];
        [&ends[..1], places, &ends[1..]].concat()
    };
    let (across, up) = (with_ends(grid.across), with_ends(grid.up));
    let mut values = vec![f64::NEG_INFINITY; (columns + 2) * (rows + 2)];
    for row in 0..rows {
        let start = (row + 1) * (columns + 2) + 1;
        values[start..start + columns].copy_from_slice(&grid.values[row * columns..(row + 1) * columns]);
    }
    traced(&Grid { across: &across, up: &up, values: &values }, level)
        .into_iter()
        .map(|line| line.points)
        .collect()
}

fn traced(grid: &Grid, level: f64) -> Vec<Contour> {
    let mut joined: BTreeMap<Side, Vec<Side>> = BTreeMap::new();
    for row in 0..grid.up.len() - 1 {
        for column in 0..grid.across.len() - 1 {
            for [a, b] in pieces(grid, column, row, level).into_iter().flatten() {
                joined.entry(a).or_default().push(b);
                joined.entry(b).or_default().push(a);
            }
        }
    }
    // Open lines from their ends first; what is left is closed.
    let ends: Vec<Side> = joined.iter().filter(|(_, next)| next.len() == 1).map(|(side, _)| *side).collect();
    let mut lines = Vec::new();
    for start in ends {
        if joined.get(&start).is_some_and(|next| !next.is_empty()) {
            lines.push(walked(grid, &mut joined, start, level, false));
        }
    }
    while let Some(start) = joined.iter().find(|(_, next)| !next.is_empty()).map(|(side, _)| *side) {
        lines.push(walked(grid, &mut joined, start, level, true));
    }
    lines
}

fn walked(
    grid: &Grid,
    joined: &mut BTreeMap<Side, Vec<Side>>,
    start: Side,
    level: f64,
    closed: bool,
) -> Contour {
    let mut points = vec![grid.crossing(start, level)];
    let mut here = start;
    while let Some(next) = joined.get_mut(&here).and_then(Vec::pop) {
        if let Some(back) = joined.get_mut(&next)
            && let Some(at) = back.iter().position(|side| *side == here)
        {
            back.swap_remove(at);
        }
        if next == start {
            break;
        }
        points.push(grid.crossing(next, level));
        here = next;
    }
    if closed {
        joined.retain(|_, next| !next.is_empty());
    }
    Contour { points, closed }
}

/// The pieces of line in one cell, each from side to side.
fn pieces(grid: &Grid, column: usize, row: usize, level: f64) -> [Option<[Side; 2]>; 2] {
    let corners = [(0, 0), (1, 0), (1, 1), (0, 1)].map(|(c, r)| grid.value(column + c, row + r));
    let over = corners.map(|value| value >= level);
    let sides: [Side; 4] =
        [(false, column, row), (true, column + 1, row), (false, column, row + 1), (true, column, row)];
    let crossed: Vec<usize> = (0..4).filter(|n| over[*n] != over[(n + 1) % 4]).collect();
    match crossed[..] {
        [a, b] => [Some([sides[a], sides[b]]), None],
        [_, _, _, _] => {
            let middle = corners.iter().sum::<f64>() / 4.0 >= level;
            // The corners cut off are those that differ from the middle.
            if over[0] == middle {
                [Some([sides[0], sides[1]]), Some([sides[2], sides[3]])]
            } else {
                [Some([sides[3], sides[0]]), Some([sides[1], sides[2]])]
            }
        }
        _ => [None, None],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn field(across: &[f64], up: &[f64], of: impl Fn(f64, f64) -> f64) -> Vec<f64> {
        up.iter().flat_map(|y| across.iter().map(|x| of(*x, *y)).collect::<Vec<_>>()).collect()
    }

    #[test]
    fn a_slope_has_one_straight_line_that_is_exact() {
        let (across, up) = ([0.0, 1.0, 3.0, 7.0], [0.0, 2.0, 5.0]);
        let lines = contours(&across, &up, &field(&across, &up, |x, y| 2.0 * x + y), 6.3);
        assert_eq!(lines.len(), 1);
        assert!(!lines[0].closed && lines[0].points.len() >= 4);
        assert!(lines[0].points.iter().all(|[x, y]| (2.0 * x + y - 6.3).abs() < 1e-12), "{lines:?}");
    }

    #[test]
    fn a_hill_has_a_closed_line_of_the_length_of_its_circle() {
        let places: Vec<f64> = (0..=80).map(|n| -2.0 + f64::from(n) * 0.05).collect();
        let lines = contours(&places, &places, &field(&places, &places, |x, y| -(x * x + y * y)), -1.0);
        assert!(lines.len() == 1 && lines[0].closed);
        let points = &lines[0].points;
        let length: f64 = (0..points.len())
            .map(|n| {
                let ([ax, ay], [bx, by]) = (points[n], points[(n + 1) % points.len()]);
                (ax - bx).hypot(ay - by)
            })
            .sum();
        assert!((length - std::f64::consts::TAU).abs() < 5e-3, "{length}");
    }

    #[test]
    fn a_saddle_is_decided_by_its_middle() {
        let joins = |values: [f64; 4]| contours(&[0.0, 1.0], &[0.0, 1.0], &values, 0.5);
        // Corners 1 at lower left and upper right; the mean over the level joins them.
        let lines = joins([1.0, 0.1, 0.1, 1.0]);
        assert!(lines.len() == 2 && lines.iter().all(|line| !line.closed));
        assert!(lines[0].points.iter().all(|[x, y]| x > y), "cuts off the lower right: {lines:?}");
        let lines = joins([0.9, 0.0, 0.0, 0.9]);
        assert!(lines[0].points.iter().all(|[x, y]| x + y < 1.0), "cuts off the lower left: {lines:?}");
    }

    /// The area of rings, holes taken off, by the shoelace formula with the sign of each ring as walked.
    fn area(rings: &[Vec<[f64; 2]>]) -> f64 {
        let of = |ring: &Vec<[f64; 2]>| {
            let sum: f64 = (0..ring.len())
                .map(|n| {
                    let ([ax, ay], [bx, by]) = (ring[n], ring[(n + 1) % ring.len()]);
                    ax * by - bx * ay
                })
                .sum();
            sum.abs() / 2.0
        };
        rings.iter().map(of).sum()
    }

    #[test]
    fn rings_hold_all_that_is_over_the_level() {
        let places: Vec<f64> = (0..=10).map(f64::from).collect();
        let values = field(&places, &places, |x, _| x);
        let grid = Grid { across: &places, up: &places, values: &values };
        assert!((area(&rings(&grid, 2.5)) - 75.0).abs() < 1e-9);
        assert!((area(&rings(&grid, -1.0)) - 100.0).abs() < 1e-9);
        assert!(rings(&grid, 11.0).is_empty());
    }

    proptest! {
        #[test]
        fn lines_lie_between_what_is_under_and_what_is_over(
            values in prop::collection::vec(0.0..1.0f64, 30), level in 0.05..0.95f64,
        ) {
            let (across, up): (Vec<f64>, Vec<f64>) =
                ((0..6).map(f64::from).collect(), (0..5).map(f64::from).collect());
            let lines = contours(&across, &up, &values, level);
            let crossed = |a: f64, b: f64| usize::from((a >= level) != (b >= level));
            let (mut sides, mut open) = (0, 0);
            for row in 0..5 {
                for column in 0..6 {
                    let at = |c: usize, r: usize| values[r * 6 + c];
                    if column < 5 {
                        sides += crossed(at(column, row), at(column + 1, row));
                        if row == 0 || row == 4 { open += crossed(at(column, row), at(column + 1, row)); }
                    }
                    if row < 4 {
                        sides += crossed(at(column, row), at(column, row + 1));
                        if column == 0 || column == 5 { open += crossed(at(column, row), at(column, row + 1)); }
                    }
                }
            }
            // Each side that is crossed stands in exactly one line, and lines end only at the edges of the field.
            prop_assert_eq!(lines.iter().map(|line| line.points.len()).sum::<usize>(), sides);
            prop_assert_eq!(lines.iter().filter(|line| !line.closed).count() * 2, open);
            prop_assert!(lines.iter().flat_map(|line| &line.points).all(|p| p.iter().all(|v| v.is_finite())));
        }
    }
}
