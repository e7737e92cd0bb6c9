//! Which cell gives the voltages that were read while it was pulsed?
//!
//! Given the current scale I₀ and the times of two branches, all resistances enter the voltage linearly: least squares finds them
//! in one go. I₀ is then searched on a line of logarithms and the times on a small grid, which has no wrong valleys to stop in.
//! Resistance by charge has a row for each charge at which trains were run. One train must reach deep enough to bend the asinh:
//! at least two currents, one twice the other. Left out: temperature, which is that of the trains and 25 °C.

use crate::cell::{Branch, interpolated};
use crate::{Cell, OpenCircuit, PowerFault};
use quantity::{Amperes, MilliampereHours, Milliohms, Percent, Seconds, Volts};

/// Pulses of one cell, from rest, and the voltages read.
#[derive(Clone, Debug, PartialEq)]
pub struct Train {
    /// Charge at its start.
    pub charge: Percent,
    /// Currents one after the other, each held for a time.
    pub steps: Vec<(Amperes, Seconds)>,
    /// Time since the start, and the voltage then; at a step's very end its own current still flows.
    pub readings: Vec<(Seconds, Volts)>,
}

/// A cell found, and how well it tells what was read.
#[derive(Clone, Debug, PartialEq)]
pub struct FittedCell {
    /// The cell.
    pub cell: Cell,
    /// Root of the mean squared difference.
    pub usual_error: Volts,
    /// The greatest difference.
    pub worst_error: Volts,
}

/// Times of branches that are tried, in s.
const TIMES: [f64; 7] = [1.0, 2.5, 6.0, 15.0, 35.0, 60.0, 120.0];
const SCALES: i32 = 48;

/// Rows of numbers.
type Matrix = Vec<Vec<f64>>;
/// The columns of the fit, and the triangle whose square their products are.
type Roots = (Matrix, Matrix);

/// One reading: current, share of charge, what the curve and the cell say, the current as each branch has it.
struct Row {
    current: f64,
    share: f64,
    lost: f64,
    slow: [f64; TIMES.len()],
}

/// The cell of a capacity and a curve that fits these trains best, at 25 °C.
pub fn fit_cell(
    capacity: MilliampereHours,
    curve: OpenCircuit,
    trains: &[Train],
) -> Result<FittedCell, PowerFault> {
    let [least, most] = [10.0, 100_000.0].map(MilliampereHours::new);
    let hours = PowerFault::within("capacity", capacity, least, most, "check the unit: mAh")?.get() * 1e-3;
    let mut rows = Vec::new();
    for train in trains {
        read(train, hours, &curve, &mut rows)?;
    }
    let flows = rows.iter().map(|row| row.current).filter(|current| *current > 0.0);
    let (least, most) = flows.fold((f64::INFINITY, 0.0), |(a, b): (f64, f64), i| (a.min(i), b.max(i)));
    if rows.len() < 12 || most < 2.0 * least {
        let needs = "twelve readings at least, at two currents of which one is twice the other";
        return Err(PowerFault::Short { what: "pulse test", has: rows.len(), needs });
    }
    let knots = knots(&rows, trains.len());
    let mut best: Option<(f64, f64, Vec<f64>, [usize; 2])> = None;
    for one in 0..TIMES.len() {
        for two in one + 1..TIMES.len() {
            let columns = Columns { knots: &knots, rows: &rows, times: [one, two] };
            let Some(root) = columns.root() else { continue };
            for step in 0..=SCALES {
                let scale = most * 10f64.powf(-3.0 + 4.0 * f64::from(step) / f64::from(SCALES));
                let (found, error) = columns.fitted(&root, scale);
                let sound =
                    found.iter().all(|ohm| *ohm >= 0.0) && found[..knots.len()].iter().all(|ohm| *ohm > 1e-5);
                if sound && best.as_ref().is_none_or(|(least, ..)| error < *least) {
                    best = Some((error, scale, found, [one, two]));
                }
            }
        }
    }
    let Some((_, scale, found, times)) = best else {
        let (one, other) = ("the readings of the pulse test".to_owned(), "the curve of rest".to_owned());
        let mend = "measure capacity and curve of this cell, and begin each train from rest";
        return Err(PowerFault::Contradictory { what: "pulse test", one, other, mend });
    };
    let (ohmic, slow) = found.split_at(knots.len());
    let ohmic: Vec<_> = knots
        .iter()
        .zip(ohmic)
        .map(|(share, ohm)| (Percent::new(share * 1e2), Milliohms::new(ohm * 1e3)))
        .collect();
    let branches = [0, 1]
        .map(|k| Branch { resistance: Milliohms::new(slow[k] * 1e3), time: Seconds::new(TIMES[times[k]]) });
    let cell = Cell::new(capacity, curve, &ohmic, Amperes::new(scale), &branches)?;
    let columns = Columns { knots: &knots, rows: &rows, times };
    let errors: Vec<f64> = columns.errors(&found, scale).collect();
    let squares: f64 = errors.iter().map(|e| e * e).sum();
    let worst = errors.iter().fold(0.0f64, |worst, e| worst.max(e.abs()));
    let usual_error = Volts::new((squares / errors.len() as f64).sqrt());
    Ok(FittedCell { cell, usual_error, worst_error: Volts::new(worst) })
}

/// The rows of a train; charge and branches by exact exponentials.
fn read(train: &Train, hours: f64, curve: &OpenCircuit, rows: &mut Vec<Row>) -> Result<(), PowerFault> {
    let [empty, full] = [0.0, 100.0].map(Percent::new);
    let mut share = PowerFault::within("charge", train.charge, empty, full, "100 % is full")?.get() * 1e-2;
    let mut readings = train.readings.clone();
    readings.sort_by(|a, b| a.0.get().total_cmp(&b.0.get()));
    let (mut slow, mut begun, mut next) = ([0.0; TIMES.len()], 0.0, 0);
    for (current, lasts) in &train.steps {
        let [none, most] = [0.0, 10_000.0].map(Amperes::new);
        let i =
            PowerFault::within("current of a pulse", *current, none, most, "a discharge is positive")?.get();
        let [short, long] = [1e-3, 1e5].map(Seconds::new);
        let lasts = PowerFault::within("length of a pulse", *lasts, short, long, "check the unit")?.get();
        let after = |from: &[f64; TIMES.len()], seconds: f64| {
            let mut to = *from;
            for (v, time) in to.iter_mut().zip(TIMES) {
                let kept = (-seconds / time).exp();
                *v = *v * kept + (1.0 - kept) * i;
            }
            to
        };
        while let Some((time, volts)) =
            readings.get(next).filter(|(time, _)| time.get() <= begun + lasts + 1e-9)
        {
            let [least, most] = [0.5, 5.0].map(Volts::new);
            let volts =
                PowerFault::within("voltage read", *volts, least, most, "state one cell, not the pack")?
                    .get();
            let since = (time.get() - begun).max(0.0);
            let here = share - i * since / (3600.0 * hours);
            rows.push(Row {
                current: i,
                share: here,
                lost: curve.value(here) - volts,
                slow: after(&slow, since),
            });
            next += 1;
        }
        share -= i * lasts / (3600.0 * hours);
        slow = after(&slow, lasts);
        begun += lasts;
    }
    Ok(())
}

/// Charges at which the resistance is found: as many as there were trains, apart by 5 % at least.
fn knots(rows: &[Row], trains: usize) -> Vec<f64> {
    let mut shares: Vec<f64> = rows.iter().map(|row| row.share).collect();
    shares.sort_by(f64::total_cmp);
    let mut knots: Vec<f64> = Vec::new();
    for k in 0..trains.clamp(1, 8) {
        let share = shares[(2 * k + 1) * shares.len() / (2 * trains.clamp(1, 8))];
        if knots.last().is_none_or(|last| share - last > 0.05) {
            knots.push(share);
        }
    }
    knots
}

/// The linear part of the fit: one column for each knot and each branch.
struct Columns<'r> {
    knots: &'r [f64],
    rows: &'r [Row],
    times: [usize; 2],
}

impl Columns<'_> {
    fn of(&self, row: &Row) -> Vec<f64> {
        let hat = |k: usize| {
            let table: Vec<[f64; 2]> = self
                .knots
                .iter()
                .enumerate()
                .map(|(j, share)| [*share, f64::from(u8::from(j == k))])
                .collect();
            interpolated(&table, row.share) * row.current
        };
        (0..self.knots.len()).map(hat).chain(self.times.map(|time| row.slow[time])).collect()
    }

    /// The columns, and the triangle whose square their products are; none if two columns say the same.
    fn root(&self) -> Option<Roots> {
        let made: Vec<Vec<f64>> = self.rows.iter().map(|row| self.of(row)).collect();
        let n = self.knots.len() + 2;
        let product = |a: usize, b: usize| made.iter().map(|row| row[a] * row[b]).sum::<f64>();
        let mut root = vec![vec![0.0; n]; n];
        for a in 0..n {
            for b in 0..=a {
                let so_far: f64 = (0..b).map(|k| root[a][k] * root[b][k]).sum();
                let left = product(a, b) - so_far;
                if a == b {
                    if left <= 1e-9 * product(a, a) {
                        return None;
                    }
                    root[a][a] = left.sqrt();
                } else {
                    root[a][b] = left / root[b][b];
                }
            }
        }
        Some((made, root))
    }

    /// The resistances for a current scale, and the mean squared difference.
    fn fitted(&self, (made, root): &Roots, scale: f64) -> (Vec<f64>, f64) {
        let n = root.len();
        let wanted: Vec<f64> = self.rows.iter().map(|row| wanted(row, scale)).collect();
        let mut x: Vec<f64> =
            (0..n).map(|k| made.iter().zip(&wanted).map(|(row, y)| row[k] * y).sum()).collect();
        for a in 0..n {
            let so_far: f64 = (0..a).map(|k| root[a][k] * x[k]).sum();
            x[a] = (x[a] - so_far) / root[a][a];
        }
        for a in (0..n).rev() {
            let so_far: f64 = (a + 1..n).map(|k| root[k][a] * x[k]).sum();
            x[a] = (x[a] - so_far) / root[a][a];
        }
        let misses =
            made.iter().zip(&wanted).map(|(row, y)| row.iter().zip(&x).map(|(c, r)| c * r).sum::<f64>() - y);
        let error = misses.map(|e| e * e).sum::<f64>() / self.rows.len() as f64;
        (x, error)
    }

    fn errors<'a>(&'a self, found: &'a [f64], scale: f64) -> impl Iterator<Item = f64> + 'a {
        self.rows.iter().map(move |row| {
            self.of(row).iter().zip(found).map(|(c, r)| c * r).sum::<f64>() - wanted(row, scale)
        })
    }
}

/// What the linear part must make up at a row: the loss without that of charge transfer at 25 °C.
fn wanted(row: &Row, scale: f64) -> f64 {
    const THERMAL: f64 = 2.0 * 8.314_462_618 / 96_485.332_12 * 298.15;
    row.lost - THERMAL * (row.current / (2.0 * scale)).asinh()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Draw, Pack};
    use quantity::Celsius;

    const CAPACITY: MilliampereHours = MilliampereHours::new(1500.0);
    const STEPS: [[f64; 2]; 5] = [[0.5, 6.0], [3.0, 10.0], [12.0, 3.0], [1.5, 20.0], [7.5, 5.0]];

    /// The readings that a known cell gives.
    fn train(pack: &Pack, percent: f64) -> Train {
        let steps = STEPS.map(|[i, s]| (Amperes::new(i), Seconds::new(s))).to_vec();
        let mut state =
            pack.rested(Percent::new(percent), Celsius::new(25.0)).unwrap_or_else(|f| unreachable!("{f}"));
        let (mut readings, mut begun) = (Vec::new(), 0.0);
        for (current, lasts) in &steps {
            let draw = Draw { current: *current, ..Draw::default() };
            for tenth in 1..=10 {
                let mut to = state.clone();
                let since = lasts.get() * f64::from(tenth) / 10.0;
                pack.advance(&state, &state, current.get(), 0.0, since, 298.15, &mut to);
                let volts = pack.standing(&to, &draw).map_or(f64::NAN, |s| s.bus.get());
                readings.push((Seconds::new(begun + since), Volts::new(volts)));
            }
            let mut to = state.clone();
            pack.advance(&state, &state, current.get(), 0.0, lasts.get(), 298.15, &mut to);
            (state, begun) = (to, begun + lasts.get());
        }
        Train { charge: Percent::new(percent), steps, readings }
    }

    #[test]
    fn a_known_cell_is_found_again() {
        let known =
            Cell::of_resistance(CAPACITY, Milliohms::new(8.0)).unwrap_or_else(|f| unreachable!("{f}"));
        let pack =
            Pack::new(1, 1, known.clone(), Milliohms::new(0.0)).unwrap_or_else(|f| unreachable!("{f}"));
        let trains = [85.0, 60.0, 40.0].map(|percent| train(&pack, percent));
        let found = fit_cell(CAPACITY, OpenCircuit::pouch(), &trains).unwrap_or_else(|f| unreachable!("{f}"));
        assert!(found.worst_error.get() < 1e-3, "{:?}", found.worst_error);
        assert!((found.cell.ohmic() / known.ohmic() - 1.0).abs() < 0.1, "{}", found.cell.ohmic());
    }

    #[test]
    fn too_few_readings_are_told() {
        let told = fit_cell(CAPACITY, OpenCircuit::pouch(), &[]).map_err(|f| f.to_string());
        let words = "pulse test has 0 points; it needs twelve readings at least, at two currents of which one is twice the other";
        assert_eq!(told.map(|_| ()), Err(words.to_owned()));
    }
}
