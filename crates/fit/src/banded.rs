//! Symmetric, positive definite systems of equations whose unknowns only meet their near neighbours.
//!
//! The unknowns are points of a chain; each meets at most its third neighbours, so the matrix has
//! [`BAND`] diagonals below the main one. Cholesky's method within the band takes n·BAND² steps.

use parry3d_f64::glamx::{DMat3, DVec3};

/// How many diagonals lie below the main one: three coordinates, three neighbours on.
const BAND: usize = 11;

/// A system for the moves of a chain of points.
pub(crate) struct ChainSystem {
    /// Row by row: the main diagonal first, then what lies left of it.
    rows: Vec<[f64; BAND + 1]>,
    right: Vec<f64>,
}

impl ChainSystem {
    pub(crate) fn new(points: usize) -> Self {
        Self { rows: vec![[0.0; BAND + 1]; 3 * points], right: vec![0.0; 3 * points] }
    }

    /// Sets every diagonal entry to `stiffness`, everything else to nought.
    pub(crate) fn reset(&mut self, stiffness: f64) {
        self.right.fill(0.0);
        for row in &mut self.rows {
            *row = [0.0; BAND + 1];
            row[0] = stiffness;
        }
    }

    /// Adds a term that depends on Σ cᵢ·xᵢ of some points: its gradient and its second derivative there.
    /// Points that stay are given as `None`.
    pub(crate) fn add(&mut self, parts: &[(Option<usize>, f64)], gradient: DVec3, second: &DMat3) {
        let columns = second.to_cols_array_2d();
        for &(i, ci) in parts {
            let Some(i) = i else { continue };
            for axis in 0..3 {
                self.right[3 * i + axis] -= ci * gradient[axis];
            }
            for &(j, cj) in parts {
                let Some(j) = j else { continue };
                for (a, row) in (0..3).map(|a| (a, 3 * i + a)) {
                    for (b, column) in (0..3).map(|b| (b, 3 * j + b)) {
                        if column <= row {
                            self.rows[row][row - column] += ci * cj * columns[b][a];
                        }
                    }
                }
            }
        }
    }

    /// Adds half the square of a number, times a weight: `value` is weight times number, each part how the
    /// number follows a point. Second derivatives of the number itself are left out.
    pub(crate) fn add_square(&mut self, parts: &[(Option<usize>, DVec3)], value: f64, weight: f64) {
        for &(i, vi) in parts {
            let Some(i) = i else { continue };
            for axis in 0..3 {
                self.right[3 * i + axis] -= value * vi[axis];
            }
            for &(j, vj) in parts {
                let Some(j) = j else { continue };
                for (a, row) in (0..3).map(|a| (a, 3 * i + a)) {
                    for (b, column) in (0..3).map(|b| (b, 3 * j + b)) {
                        if column <= row {
                            self.rows[row][row - column] += weight * vi[a] * vj[b];
                        }
                    }
                }
            }
        }
    }

    /// How all parts' number follows the points, gathered: for [`ChainSystem::solve`].
    pub(crate) fn spread(parts: &[(Option<usize>, DVec3)], into: &mut [f64]) {
        for &(i, v) in parts {
            if let Some(i) = i {
                for axis in 0..3 {
                    into[3 * i + axis] += v[axis];
                }
            }
        }
    }

    /// Solves for the moves of all points; `None` if the matrix is not positive definite. From the matrix
    /// is first taken `weight` times the square of `whole`, which spans the whole chain (Sherman and
    /// Morrison).
    pub(crate) fn solve(&mut self, whole: &mut [f64], weight: f64, moves: &mut Vec<DVec3>) -> Option<()> {
        self.factor()?;
        let given = whole.to_vec();
        let mut right = std::mem::take(&mut self.right);
        self.back(&mut right);
        self.back(whole);
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
        let left = 1.0 - weight * dot(&given, whole);
        let share = if left > 1e-9 { weight * dot(&given, &right) / left } else { 0.0 };
        moves.clear();
        moves.extend(
            right
                .chunks_exact(3)
                .zip(whole.chunks_exact(3))
                .map(|(y, z)| DVec3::from_slice(y) + DVec3::from_slice(z) * share),
        );
        self.right = right;
        Some(())
    }

    /// Cholesky's factor in place of the matrix, its diagonal as what divides by it. Each row takes its part off all rows below
    /// at once: those sums do not wait for one another, which those that gather a row from all before it do.
    fn factor(&mut self) -> Option<()> {
        let n = self.rows.len();
        for i in 0..n {
            let (done, below) = self.rows.split_at_mut(i + 1);
            let pivot = &mut done[i][0];
            if *pivot <= 0.0 || pivot.is_nan() {
                return None;
            }
            let inverse = 1.0 / pivot.sqrt();
            *pivot = inverse;
            let reach = BAND.min(n - 1 - i);
            // The column below the diagonal, the last row first: the order in which rows keep their entries.
            let mut column = [0.0; BAND];
            for (on, row) in below[..reach].iter_mut().enumerate() {
                row[on + 1] *= inverse;
                column[BAND - 1 - on] = row[on + 1];
            }
            for (on, row) in below[..reach].iter_mut().enumerate() {
                let by = row[on + 1];
                for (entry, other) in row[..=on].iter_mut().zip(&column[BAND - 1 - on..]) {
                    *entry -= by * other;
                }
            }
        }
        Some(())
    }

    /// Solves by the factor, forward and back; each number found is at once taken off all that wait for it.
    fn back(&self, right: &mut [f64]) {
        let n = self.rows.len();
        for i in 0..n {
            let found = right[i] * self.rows[i][0];
            right[i] = found;
            let below = self.rows[i + 1..].iter().take(BAND).zip(&mut right[i + 1..]);
            for (on, (row, waits)) in below.enumerate() {
                *waits -= row[on + 1] * found;
            }
        }
        for i in (0..n).rev() {
            let row = &self.rows[i];
            let found = right[i] * row[0];
            right[i] = found;
            for (entry, waits) in row[1..].iter().zip(right[..i].iter_mut().rev()) {
                *waits -= entry * found;
            }
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_pulled_chain_comes_to_rest_on_a_line() {
        // Nine points between two that stay, held by springs: evenly on the line, wherever they began.
        let (from, to) = (DVec3::ZERO, DVec3::new(10.0, 5.0, -20.0));
        let mut points: Vec<DVec3> = (1..10).map(|k| DVec3::splat(f64::from(k * k))).collect();
        let mut system = ChainSystem::new(points.len());
        system.reset(0.0);
        let at = |k: usize, points: &[DVec3]| match k {
            0 => (None, from),
            10 => (None, to),
            k => (Some(k - 1), points[k - 1]),
        };
        for k in 0..10 {
            let ((i, a), (j, b)) = (at(k, &points), at(k + 1, &points));
            system.add(&[(i, -1.0), (j, 1.0)], b - a, &DMat3::IDENTITY);
        }
        for k in 1..10 {
            let ((h, a), (i, b), (j, c)) = (at(k - 1, &points), at(k, &points), at(k + 1, &points));
            system.add(&[(h, 1.0), (i, -2.0), (j, 1.0)], a - b * 2.0 + c, &DMat3::IDENTITY);
        }
        let mut moves = Vec::new();
        system.solve(&mut [0.0; 27], 0.0, &mut moves).unwrap();
        for (k, (point, by)) in points.iter_mut().zip(&moves).enumerate() {
            *point += *by;
            assert!((*point - to * ((k + 1) as f64 / 10.0)).length() < 1e-9, "{k}: {point:?}");
        }
    }

    #[test]
    fn what_spans_the_whole_chain_is_taken_off() {
        // (D − w·g·gᵀ)·m = r, put back in.
        let mut system = ChainSystem::new(2);
        system.reset(3.0);
        let right = [DVec3::new(1.0, 2.0, 3.0), DVec3::new(-1.0, 0.5, 0.0)];
        system.add(&[(Some(0), -1.0)], right[0], &DMat3::ZERO);
        system.add(&[(Some(1), -1.0)], right[1], &DMat3::ZERO);
        let whole = [DVec3::new(0.5, 0.0, 0.2), DVec3::new(0.0, -0.7, 0.1)];
        let mut flat = [0.0; 6];
        ChainSystem::spread(&[(Some(0), whole[0]), (Some(1), whole[1])], &mut flat);
        let mut moves = Vec::new();
        system.solve(&mut flat, 2.0, &mut moves).unwrap();
        let along = whole[0].dot(moves[0]) + whole[1].dot(moves[1]);
        for n in 0..2 {
            assert!((moves[n] * 3.0 - whole[n] * (2.0 * along) - right[n]).length() < 1e-12);
        }
    }

    #[test]
    fn a_system_without_hold_is_refused() {
        let mut system = ChainSystem::new(2);
        system.reset(0.0);
        assert!(system.solve(&mut [0.0; 6], 0.0, &mut Vec::new()).is_none());
    }
}
