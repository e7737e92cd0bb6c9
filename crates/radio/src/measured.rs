//! An antenna's measured pattern: gains by the angle off its axis and the angle round it.
//!
//! The rows make a full grid: every angle off the axis has a gain at every angle round it. From 0° to 180° off the axis,
//! round the axis anywhere within one turn; one angle round means that the pattern is round. Between the points it
//! runs straight in decibels along both angles, and on round the circle to the first again. Gains below −60 dBi are read as that: no range
//! measures them. The mean gain over the sphere is the efficiency; more than 1 dB above one is refused, as the gains then
//! cannot be over an isotropic antenna (reading error of a range: common practice).

use crate::RadioFault;
use quantity::{Db, Dbi, Degrees};

/// The most angles either way.
const ANGLES_MAX: usize = 720;
/// No measuring range sees deeper.
const FLOOR: f64 = -60.0;
/// How far a measured pattern may radiate more than it gets, from errors of measurement.
const EXCESS_MAX: Db = Db::new(1.0);

/// A measured pattern.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredPattern {
    off: Vec<f64>,
    round: Vec<f64>,
    /// In dBi; all angles round for the first angle off, then the next.
    gains: Vec<f64>,
    efficiency: f64,
}

impl MeasuredPattern {
    /// Of rows in any order: angle off the axis, angle round it, gain.
    pub fn new(rows: &[(Degrees, Degrees, Dbi)]) -> Result<Self, RadioFault> {
        for (off, round, gain) in rows {
            let turn = Degrees::new(360.0);
            RadioFault::within(
                "angle off the axis",
                *off,
                Degrees::new(0.0),
                Degrees::new(180.0),
                "check the row",
            )?;
            RadioFault::within("angle round the axis", *round, -turn, turn, "check the row")?;
            RadioFault::within(
                "gain in the pattern",
                *gain,
                Dbi::new(-1000.0),
                Dbi::new(40.0),
                "check the row",
            )?;
        }
        let off = sorted(rows.iter().map(|row| row.0.get()));
        let round = sorted(rows.iter().map(|row| row.1.get().rem_euclid(360.0)));
        for (way, angles, least) in [("off the axis", &off, 3), ("round the axis", &round, 1)] {
            if angles.len() < least || angles.len() > ANGLES_MAX {
                return Err(RadioFault::PatternSize { way, count: angles.len(), least, most: ANGLES_MAX });
            }
        }
        let (first, last) = (off[0], off[off.len() - 1]);
        if first > 0.0 || last < 180.0 {
            return Err(RadioFault::PatternReach { first: Degrees::new(first), last: Degrees::new(last) });
        }
        let mut gains = vec![f64::NAN; off.len() * round.len()];
        for (o, r, gain) in rows {
            let i = off.partition_point(|angle| *angle < o.get());
            let k = round.partition_point(|angle| *angle < r.get().rem_euclid(360.0));
            gains[i * round.len() + k] = gain.get().max(FLOOR);
        }
        if let Some(hole) = gains.iter().position(|gain| gain.is_nan()) {
            let (i, k) = (hole / round.len(), hole % round.len());
            return Err(RadioFault::PatternHole { off: Degrees::new(off[i]), round: Degrees::new(round[k]) });
        }
        let mut pattern = Self { off, round, gains, efficiency: 0.0 };
        pattern.efficiency = pattern.mean();
        let excess = Db::new((100.0 * pattern.efficiency.log10()).round() / 10.0);
        if excess > EXCESS_MAX {
            return Err(RadioFault::PatternPower { excess });
        }
        Ok(pattern)
    }

    /// The share of the power that is radiated: the mean gain over the sphere.
    pub const fn efficiency(&self) -> f64 {
        self.efficiency
    }

    /// The greatest gain.
    pub fn greatest(&self) -> Dbi {
        Dbi::new(self.gains.iter().copied().fold(f64::NEG_INFINITY, f64::max))
    }

    /// The gain so far off the axis, and so far round it.
    pub fn gain(&self, off: Degrees, round: Degrees) -> Dbi {
        let off = off.get().clamp(0.0, 180.0);
        let i = self.off.partition_point(|angle| *angle <= off).clamp(1, self.off.len() - 1);
        let part = (off - self.off[i - 1]) / (self.off[i] - self.off[i - 1]);
        let (below, above) = (self.round_at(i - 1, round.get()), self.round_at(i, round.get()));
        Dbi::new(below + (above - below) * part)
    }

    fn round_at(&self, i: usize, round: f64) -> f64 {
        let n = self.round.len();
        let row = &self.gains[i * n..(i + 1) * n];
        let angle = round.rem_euclid(360.0);
        let next = self.round.partition_point(|known| *known <= angle);
        // Past the last comes the first, one turn on.
        let (before, after) = ((next + n - 1) % n, next % n);
        let width = (self.round[after] - self.round[before]).rem_euclid(360.0);
        if width == 0.0 {
            return row[before];
        }
        let part = (angle - self.round[before]).rem_euclid(360.0) / width;
        row[before] + (row[after] - row[before]) * part
    }

    /// The mean gain over the sphere, by middles of one degree off and five round.
    fn mean(&self) -> f64 {
        let (mut sum, mut weight) = (0.0, 0.0);
        for o in 0..180 {
            let off = f64::from(o) + 0.5;
            let ring = off.to_radians().sin();
            for r in 0..72 {
                let gain = self.gain(Degrees::new(off), Degrees::new(f64::from(r) * 5.0 + 2.5));
                sum += ring * Db::new(gain.get()).ratio();
                weight += ring;
            }
        }
        sum / weight
    }
}

fn sorted(angles: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut angles: Vec<f64> = angles.collect();
    angles.sort_by(f64::total_cmp);
    angles.dedup();
    angles
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(of: impl Fn(f64, f64) -> f64, rounds: &[f64]) -> Vec<(Degrees, Degrees, Dbi)> {
        let grid = (0..=18).flat_map(|o| rounds.iter().map(move |&r| (f64::from(o) * 10.0, r)));
        grid.map(|(o, r)| (Degrees::new(o), Degrees::new(r), Dbi::new(of(o, r)))).collect()
    }
    fn told(rows: &[(Degrees, Degrees, Dbi)]) -> String {
        MeasuredPattern::new(rows).map_or_else(|fault| fault.to_string(), |_| String::new())
    }

    #[test]
    fn a_sine_pattern_has_the_efficiency_it_was_made_with() {
        let sine = |o: f64, _: f64| 1.761 - 1.0 + 20.0 * o.to_radians().sin().max(1e-9).log10();
        let pattern = MeasuredPattern::new(&rows(sine, &[0.0]));
        let efficiency = pattern.map(|p| p.efficiency()).unwrap_or(f64::NAN);
        // Straight lines in decibels between ten-degree points lie a little under the sine.
        assert!((efficiency / 10f64.powf(-0.1) - 1.0).abs() < 0.02, "{efficiency}");
    }

    #[test]
    fn it_runs_on_round_the_circle() {
        let pattern = MeasuredPattern::new(&rows(
            |_, r| if r == 0.0 { 0.0 } else { -10.0 },
            &[0.0, 90.0, 180.0, 270.0],
        ));
        let at = |round: f64| {
            pattern.as_ref().map_or(f64::NAN, |p| p.gain(Degrees::new(45.0), Degrees::new(round)).get())
        };
        assert!(
            (at(315.0) + 5.0).abs() < 1e-9 && (at(-45.0) + 5.0).abs() < 1e-9 && (at(45.0) + 5.0).abs() < 1e-9
        );
        assert!((at(360.0) - at(0.0)).abs() < 1e-9 && (at(200.0) + 10.0).abs() < 1e-9);
    }

    #[test]
    fn holes_and_too_much_power_are_told() {
        let mut holed = rows(|_, _| 0.0, &[0.0, 120.0, 240.0]);
        holed.remove(10);
        assert_eq!(
            told(&holed),
            "the pattern has no gain at 30° off the axis and 120° round it; measure it there, or leave that row out whole"
        );
        let words = told(&rows(|_, _| 3.0, &[0.0]));
        assert!(words.starts_with("the pattern radiates 3 dB more than the antenna gets"), "{words}");
        let mut short = rows(|_, _| 0.0, &[0.0]);
        short.pop();
        assert_eq!(
            told(&short),
            "the pattern begins at 0° and ends at 170° off the axis; it must go from 0° to 180°"
        );
        assert!(told(&rows(|_, _| f64::NAN, &[0.0])).starts_with("gain in the pattern NaN dBi must lie"));
        assert_eq!(told(&[]), "the pattern has 0 angles off the axis; it needs 3 at least and 720 at most");
    }
}
