//! How does a linear circuit swing once it has settled, driven by something that is switched on and off again and again?
//!
//! dx/dt = A·x + b·u, with u constant while it is on and nought while it is off. Within either part the state goes by the exponential of the
//! matrix, so a whole period is x → P·x + q, and the state that comes back to itself is the root of (1 − P)·x = q. Both parts are then walked
//! through in even steps, each exact, and the ends of a part, where a switched thing has its corners, are among them; a crest between two steps is that of
//! the parabola through three. Every harmonic is in it: none is cut off.
//! The exponential: Taylor's series of a part so small that ten terms hold it to 1e-14, squared as often as it was halved.

/// Steps of either part that are looked at: a power of two.
const STEPS: usize = 128;
/// How often a matrix may be halved before its exponential is taken: beyond, it is no circuit.
const HALVED_MOST: i32 = 60;

/// A circuit: how its state moves by itself, and how what drives it moves the state.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Circuit {
    /// A, row by row.
    moves: Square,
    /// b.
    driven: Vec<f64>,
}

/// What is looked at: so much of each number of the state, and so much of what drives it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Seen {
    pub(crate) of_state: Vec<f64>,
    pub(crate) of_drive: f64,
}

/// How it is driven.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Switching {
    /// What is on.
    pub(crate) drive: f64,
    /// Seconds.
    pub(crate) period: f64,
    /// For which part of it.
    pub(crate) duty: f64,
}

impl Circuit {
    /// Of a state of so many numbers that stand still.
    pub(crate) fn still(count: usize) -> Self {
        Self { moves: Square::nought(count), driven: vec![0.0; count] }
    }
    /// Has one number of the state move by what is seen, so many times.
    pub(crate) fn moves_by(&mut self, number: usize, seen: &Seen, times: f64) {
        for (k, of) in seen.of_state.iter().enumerate() {
            *self.moves.at(number, k) += times * of;
        }
        self.driven[number] += times * seen.of_drive;
    }
    /// Has one number of the state move by another, so many times.
    pub(crate) fn moves_with(&mut self, number: usize, other: usize, times: f64) {
        *self.moves.at(number, other) += times;
    }

    /// Peak to peak of what is looked at, once settled; none where the circuit does not settle.
    pub(crate) fn swings<const N: usize>(&self, by: Switching, seen: [&Seen; N]) -> Option<[f64; N]> {
        let n = self.driven.len();
        let step = |drive: f64, lasts: f64| {
            // The drive is a number of the state more, which nothing moves.
            let mut with_drive = Square::nought(n + 1);
            for row in 0..n {
                for column in 0..n {
                    *with_drive.at(row, column) = self.moves.of(row, column) * lasts;
                }
                *with_drive.at(row, n) = self.driven[row] * drive * lasts;
            }
            with_drive.exponential()
        };
        let on = step(by.drive, by.duty * by.period / STEPS as f64)?;
        let off = step(0.0, (1.0 - by.duty) * by.period / STEPS as f64)?;
        let whole = off.repeated().times(&on.repeated());
        let mut left = Square::nought(n);
        let right = (0..n).map(|row| whole.of(row, n)).collect();
        for row in 0..n {
            for column in 0..n {
                *left.at(row, column) = f64::from(u8::from(row == column)) - whole.of(row, column);
            }
        }
        let mut state = left.root(right)?;
        state.push(1.0);
        let mut found = [[f64::INFINITY, f64::NEG_INFINITY]; N];
        for (part, drive) in [(&on, by.drive), (&off, 0.0)] {
            // What was seen one step and two steps before, within the part.
            let mut before = [[f64::NAN; 2]; N];
            for step in 0..=STEPS {
                for ((span, seen), before) in found.iter_mut().zip(seen).zip(&mut before) {
                    let at = seen.of_state.iter().zip(&state).map(|(of, x)| of * x).sum::<f64>();
                    let at = at + seen.of_drive * drive;
                    let crest = crest([before[1], before[0], at]).unwrap_or(at);
                    *span = [span[0].min(at).min(crest), span[1].max(at).max(crest)];
                    *before = [at, before[0]];
                }
                if step < STEPS {
                    state = part.moved(&state);
                }
            }
        }
        let swings = found.map(|[low, high]| high - low);
        swings.iter().all(|swing| swing.is_finite()).then_some(swings)
    }
}

/// The crest or the trough of the parabola through three even steps, where it lies between them.
fn crest([first, middle, last]: [f64; 3]) -> Option<f64> {
    let (slope, bend) = (0.5 * (last - first), first - 2.0 * middle + last);
    ((middle - first) * (last - middle) < 0.0).then(|| middle - 0.5 * slope * slope / bend)
}

/// A square matrix.
#[derive(Clone, Debug, PartialEq)]
struct Square {
    side: usize,
    numbers: Vec<f64>,
}

impl Square {
    fn nought(side: usize) -> Self {
        Self { side, numbers: vec![0.0; side * side] }
    }
    fn of(&self, row: usize, column: usize) -> f64 {
        self.numbers[row * self.side + column]
    }
    fn at(&mut self, row: usize, column: usize) -> &mut f64 {
        &mut self.numbers[row * self.side + column]
    }
    fn times(&self, other: &Self) -> Self {
        let side = self.side;
        let mut product = Self::nought(side);
        for (row, of) in product.numbers.chunks_exact_mut(side).zip(self.numbers.chunks_exact(side)) {
            for (times, line) in of.iter().zip(other.numbers.chunks_exact(side)) {
                row.iter_mut().zip(line).for_each(|(sum, number)| *sum += times * number);
            }
        }
        product
    }
    /// After all steps of a part.
    fn repeated(&self) -> Self {
        let mut whole = self.clone();
        for _ in 0..STEPS.trailing_zeros() {
            whole = whole.times(&whole);
        }
        whole
    }
    fn moved(&self, state: &[f64]) -> Vec<f64> {
        let rows = self.numbers.chunks_exact(self.side);
        rows.map(|row| row.iter().zip(state).map(|(times, number)| times * number).sum()).collect()
    }
    fn exponential(&self) -> Option<Self> {
        let rows = self.numbers.chunks_exact(self.side);
        let size = rows.map(|row| row.iter().map(|number| number.abs()).sum::<f64>()).fold(0.0, f64::max);
        let halved = (size / 0.25).log2().ceil().max(0.0);
        if !size.is_finite() || halved > f64::from(HALVED_MOST) {
            return None;
        }
        let halved = halved as i32;
        let part = 0.5f64.powi(halved);
        let small = Self { side: self.side, numbers: self.numbers.iter().map(|x| x * part).collect() };
        let (mut sum, mut term) = (Self::nought(self.side), Self::nought(self.side));
        for k in 0..self.side {
            (*sum.at(k, k), *term.at(k, k)) = (1.0, 1.0);
        }
        for k in 1..=10 {
            term = term.times(&small);
            term.numbers.iter_mut().for_each(|number| *number /= f64::from(k));
            sum.numbers.iter_mut().zip(&term.numbers).for_each(|(sum, number)| *sum += number);
        }
        for _ in 0..halved {
            sum = sum.times(&sum);
        }
        Some(sum)
    }
    /// What it makes into some numbers, by elimination with the greatest pivot; none where nothing or anything does.
    fn root(mut self, mut right: Vec<f64>) -> Option<Vec<f64>> {
        let side = self.side;
        for k in 0..side {
            let greatest = (k..side).max_by(|a, b| self.of(*a, k).abs().total_cmp(&self.of(*b, k).abs()))?;
            for column in 0..side {
                self.numbers.swap(k * side + column, greatest * side + column);
            }
            right.swap(k, greatest);
            let pivot = self.of(k, k);
            if pivot.abs() < 1e-200 || !pivot.is_finite() {
                return None;
            }
            for row in k + 1..side {
                let times = self.of(row, k) / pivot;
                for column in k..side {
                    let less = times * self.of(k, column);
                    *self.at(row, column) -= less;
                }
                right[row] -= times * right[k];
            }
        }
        for k in (0..side).rev() {
            let known: f64 = (k + 1..side).map(|column| self.of(k, column) * right[column]).sum();
            right[k] = (right[k] - known) / self.of(k, k);
        }
        Some(right)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One resistor and one capacitor driven by a square of a volt: the textbook's tanh(T/(4·R·C)).
    #[test]
    fn a_capacitor_behind_a_resistor_swings_by_the_tanh() {
        for fast in [0.01, 0.3, 1.0, 5.0, 400.0] {
            let mut circuit = Circuit::still(1);
            let across = Seen { of_state: vec![-1.0], of_drive: 1.0 };
            circuit.moves_by(0, &across, fast);
            let state = Seen { of_state: vec![1.0], of_drive: 0.0 };
            let by = Switching { drive: 1.0, period: 1.0, duty: 0.5 };
            let found = circuit.swings(by, [&state]).map(|[swing]| swing);
            let wanted = (fast / 4.0).tanh();
            assert!(found.is_some_and(|found| (found - wanted).abs() < 1e-9), "{found:?} {wanted}");
        }
    }

    #[test]
    fn what_nothing_holds_does_not_settle() {
        let mut circuit = Circuit::still(1);
        circuit.moves_by(0, &Seen { of_state: vec![0.0], of_drive: 1.0 }, 1.0);
        let state = Seen { of_state: vec![1.0], of_drive: 0.0 };
        assert_eq!(circuit.swings(Switching { drive: 1.0, period: 1.0, duty: 0.5 }, [&state]), None);
    }
}
