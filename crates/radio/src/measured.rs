//! An antenna's measured pattern: gains, and polarisation where it was measured, by the angle off its axis and the angle round it.
//!
//! The rows make a full grid (see `measured_rows`): every angle off the axis, from 0° to 180°, has a gain at every angle
//! round it; one angle round means that the pattern is round. Between the points gains run straight in decibels along both angles, and
//! on round the circle to the first again; so do the amplitudes of the two hands, whose long axis lies along the mast.
//! Gains below −60 dBi are read as that: no range measures them. The mean gain over the sphere is the efficiency.
//!
//! No antenna radiates more than it gets. A table may seem to, by as much as all its gains may be too high together (its doubt, which whoever
//! hands it in states) and by what its sampling leaves open: how far the mean lies apart when gains run straight in decibels between the
//! points, and when they run straight in power. What is more than both together is refused: the gains then cannot be over an isotropic
//! antenna. So is next to nothing: gains over their own greatest look like that.

use crate::RadioFault;
use crate::complex::Complex;
use crate::measured_rows::{Grid, MeasuredRow, of_power_one};
use crate::polarisation::{Jones, Polarisation};
use quantity::{Db, Dbi, Degrees, Percent};
use std::f64::consts::FRAC_1_SQRT_2;

/// No measuring range sees deeper.
const FLOOR: f64 = -60.0;
/// A pattern that radiates less than this share is told over something else. Common practice: the worst whips radiate a third.
const RADIATED_LEAST: Percent = Percent::new(5.0);

/// A measured pattern.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredPattern {
    off: Vec<f64>,
    round: Vec<f64>,
    /// In dBi; all angles round for the first angle off, then the next.
    gains: Vec<f64>,
    /// In the same order, amplitudes of the right and of the left hand, of power one together; empty where they were not
    /// measured.
    hands: Vec<[f64; 2]>,
    efficiency: f64,
}

impl MeasuredPattern {
    /// Of rows in any order, whose gains may all be too high by so much.
    pub fn new(rows: &[MeasuredRow], doubt: Db) -> Result<Self, RadioFault> {
        let Grid { off, round, mut gains, hands } = Grid::of(rows)?;
        gains.iter_mut().for_each(|gain| *gain = gain.max(FLOOR));
        let mut pattern = Self { off, round, gains, hands, efficiency: 0.0 };
        let [straight, in_power] = pattern.means();
        pattern.efficiency = straight;
        let sampling = (10.0 * (in_power / straight).log10()).abs();
        let most = tenth(doubt.get().max(0.0) + sampling);
        let excess = tenth(10.0 * straight.log10());
        if excess > most {
            return Err(RadioFault::PatternPower { excess, most });
        }
        let share = Percent::new((1000.0 * pattern.efficiency).round() / 10.0);
        if share < RADIATED_LEAST {
            return Err(RadioFault::PatternFaint { share, least: RADIATED_LEAST });
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

    /// How far the greatest gain lies above the mean.
    pub fn directivity(&self) -> Db {
        Db::new(self.greatest().get() - 10.0 * self.efficiency.log10())
    }

    /// The gain so far off the axis, and so far round it.
    pub fn gain(&self, off: Degrees, round: Degrees) -> Dbi {
        Dbi::new(self.corners(off, round).iter().map(|(n, share)| self.gains[*n] * share).sum())
    }

    /// How what is sent there is polarised, where it was measured.
    pub fn polarisation(&self, off: Degrees, round: Degrees) -> Option<Polarisation> {
        self.wave(off, round)?.polarisation()
    }

    /// Whether polarisation was measured too.
    pub const fn tells_polarisation(&self) -> bool {
        !self.hands.is_empty()
    }

    /// The same where the gain is greatest.
    pub fn polarisation_at_greatest(&self) -> Option<Polarisation> {
        let most = self.greatest().get();
        let at = self.gains.iter().position(|gain| *gain >= most)?;
        wave_of(*self.hands.get(at)?).polarisation()
    }

    /// The wave it sends there, of power one, level and up in the antenna's own frame; `None` where nobody measured it.
    pub(crate) fn wave(&self, off: Degrees, round: Degrees) -> Option<Jones> {
        if self.hands.is_empty() {
            return None;
        }
        let mut both = [0.0; 2];
        for (n, share) in self.corners(off, round) {
            let [right, left] = self.hands[n];
            both = [both[0] + right * share, both[1] + left * share];
        }
        Some(wave_of(of_power_one(both)))
    }

    /// The same pattern turned to the other hand.
    pub(crate) fn other_handed(&self) -> Self {
        let hands = self.hands.iter().map(|[right, left]| [*left, *right]).collect();
        Self { hands, ..self.clone() }
    }

    /// The points of the grid about a direction, each with its share; the shares are one together.
    fn corners(&self, off: Degrees, round: Degrees) -> [(usize, f64); 4] {
        let off = off.get().clamp(0.0, 180.0);
        let i = self.off.partition_point(|angle| *angle <= off).clamp(1, self.off.len() - 1);
        let out = (off - self.off[i - 1]) / (self.off[i] - self.off[i - 1]);
        let n = self.round.len();
        let angle = round.get().rem_euclid(360.0);
        let next = self.round.partition_point(|known| *known <= angle);
        // Past the last comes the first, one turn on.
        let (before, after) = ((next + n - 1) % n, next % n);
        let width = (self.round[after] - self.round[before]).rem_euclid(360.0);
        let on = if width == 0.0 { 0.0 } else { (angle - self.round[before]).rem_euclid(360.0) / width };
        let (inner, outer) = ((i - 1) * n, i * n);
        [
            (inner + before, (1.0 - out) * (1.0 - on)),
            (inner + after, (1.0 - out) * on),
            (outer + before, out * (1.0 - on)),
            (outer + after, out * on),
        ]
    }

    /// The mean gain over the sphere, by middles of one degree off and five round: straight in decibels between the points, and straight in
    /// power.
    fn means(&self) -> [f64; 2] {
        let powers: Vec<f64> = self.gains.iter().map(|gain| Db::new(*gain).ratio()).collect();
        let (mut sums, mut weight) = ([0.0; 2], 0.0);
        for o in 0..180 {
            let off = f64::from(o) + 0.5;
            let ring = off.to_radians().sin();
            for r in 0..72 {
                let corners = self.corners(Degrees::new(off), Degrees::new(f64::from(r) * 5.0 + 2.5));
                let decibels = corners.iter().map(|(n, share)| self.gains[*n] * share).sum();
                sums[0] += ring * Db::new(decibels).ratio();
                sums[1] += ring * corners.iter().map(|(n, share)| powers[*n] * share).sum::<f64>();
                weight += ring;
            }
        }
        sums.map(|sum| sum / weight)
    }
}

/// Decibels to a tenth, as they are told.
fn tenth(decibels: f64) -> Db {
    Db::new((10.0 * decibels).round() / 10.0)
}

/// The wave of two amplitudes, right and left, whose long axis stands upright.
fn wave_of([right, left]: [f64; 2]) -> Jones {
    Jones {
        across: Complex::J * ((right - left) * FRAC_1_SQRT_2),
        up: Complex::real((right + left) * FRAC_1_SQRT_2),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Antenna, Direction, Hand, Turn};
    use proptest::prelude::*;

    fn rows(of: impl Fn(f64, f64) -> f64, rounds: &[f64]) -> Vec<MeasuredRow> {
        let grid = (0..=18).flat_map(|o| rounds.iter().map(move |&r| (f64::from(o) * 10.0, r)));
        grid.map(|(o, r)| MeasuredRow::new(Degrees::new(o), Degrees::new(r), Dbi::new(of(o, r)))).collect()
    }
    /// Right before and left behind, rounder toward the axis.
    fn turning() -> MeasuredPattern {
        let rows: Vec<MeasuredRow> =
            rows(|o, _| if o < 90.0 { 2.0 } else { -8.0 }, &[0.0, 90.0, 180.0, 270.0]);
        let sent = rows.into_iter().map(|row| {
            let off = row.off.get();
            let hand = if off <= 90.0 { Hand::Right } else { Hand::Left };
            row.sending(hand, Db::new(if off == 90.0 { 60.0 } else { 1.0 + 10.0 * off.to_radians().sin() }))
        });
        MeasuredPattern::new(&sent.collect::<Vec<_>>(), Db::new(0.5))
            .unwrap_or_else(|fault| unreachable!("{fault}"))
    }

    #[test]
    fn a_sine_pattern_has_the_efficiency_it_was_made_with() {
        let sine = |o: f64, _: f64| 1.761 - 1.0 + 20.0 * o.to_radians().sin().max(1e-9).log10();
        let pattern = MeasuredPattern::new(&rows(|o, r| sine(o, r).max(-180.0), &[0.0]), Db::new(0.5));
        let efficiency = pattern.map(|p| p.efficiency()).unwrap_or(f64::NAN);
        // Straight lines in decibels between ten-degree points lie a little under the sine.
        assert!((efficiency / 10f64.powf(-0.1) - 1.0).abs() < 0.02, "{efficiency}");
    }

    #[test]
    fn more_than_it_gets_is_believed_as_far_as_its_doubt_and_its_sampling_go() {
        let refused = |rows: &[MeasuredRow], doubt: f64| {
            MeasuredPattern::new(rows, Db::new(doubt)).err().map(|fault| fault.to_string())
        };
        // The same all round: sampling leaves nothing open.
        let even = |gain: f64| rows(move |_, _| gain, &[0.0]);
        assert_eq!(refused(&even(0.5), 0.5), None);
        assert_eq!(
            refused(&even(0.7), 0.5).as_deref(),
            Some(
                "the pattern radiates 0.7 dB more than the antenna gets, and its doubt and its sampling explain 0.5 dB: its gains are too high; \
                 check whether they are over an isotropic antenna, or state the doubt they have"
            )
        );
        assert_eq!(refused(&even(0.7), 1.0), None);
        // Three rows of a dipole leave more open than nineteen.
        let dipole = |o: f64| 3.4 + 20.0 * o.to_radians().sin().max(0.1).log10();
        let few: Vec<MeasuredRow> = rows(|o, _| dipole(o), &[0.0]).into_iter().step_by(9).collect();
        assert_eq!(few.len(), 3);
        assert_eq!(refused(&few, 0.5), None);
        assert!(refused(&rows(|o, _| dipole(o), &[0.0]), 0.5).is_some());
    }

    #[test]
    fn it_runs_on_round_the_circle() {
        let rows = rows(|_, r| if r == 0.0 { 0.0 } else { -10.0 }, &[0.0, 90.0, 180.0, 270.0]);
        let pattern = MeasuredPattern::new(&rows, Db::new(0.5));
        let at = |round: f64| {
            pattern.as_ref().map_or(f64::NAN, |p| p.gain(Degrees::new(45.0), Degrees::new(round)).get())
        };
        assert!(
            (at(315.0) + 5.0).abs() < 1e-9 && (at(-45.0) + 5.0).abs() < 1e-9 && (at(45.0) + 5.0).abs() < 1e-9
        );
        assert!((at(360.0) - at(0.0)).abs() < 1e-9 && (at(200.0) + 10.0).abs() < 1e-9);
    }

    #[test]
    fn hand_and_axial_ratio_are_told_where_they_were_measured_and_run_between() {
        let pattern = turning();
        let at = |off: f64| {
            let sent = pattern.polarisation(Degrees::new(off), Degrees::new(33.0));
            let told = sent.map(|p| (p.hand(), p.axial_ratio().map_or(f64::INFINITY, Db::get)));
            told.unwrap_or((None, f64::NAN))
        };
        assert!(at(30.0).0 == Some(Hand::Right) && (at(30.0).1 - 6.0).abs() < 1e-9, "{:?}", at(30.0));
        assert!(at(150.0).0 == Some(Hand::Left) && (at(150.0).1 - 6.0).abs() < 1e-9);
        assert!((6.0..7.7).contains(&at(35.0).1));
        assert_eq!(pattern.polarisation_at_greatest().and_then(Polarisation::hand), Some(Hand::Right));
        let other = pattern.other_handed().polarisation(Degrees::new(30.0), Degrees::new(0.0));
        assert_eq!(other.and_then(Polarisation::hand), Some(Hand::Left));
        let plain = MeasuredPattern::new(&rows(|_, _| 0.0, &[0.0]), Db::new(0.5));
        assert_eq!(plain.ok().and_then(|p| p.polarisation_at_greatest()), None);
    }

    proptest! {
        #[test]
        fn an_antenna_sends_what_its_table_says_however_it_is_turned(
            (yaw, pitch, roll) in (-180.0..180.0f64, -90.0..90.0f64, -180.0..180.0f64),
            (x, y, z) in (-1.0..1.0f64, -1.0..1.0f64, -1.0..1.0f64),
        ) {
            prop_assume!(x.hypot(y).hypot(z) > 0.1);
            let own = Direction::new(x, y, z).unwrap_or(Direction::UP);
            let turn = Turn::new(Degrees::new(yaw), Degrees::new(pitch), Degrees::new(roll));
            let pattern = turning();
            let [fx, fy, fz] = own.coordinates();
            let mast = Antenna::measured_on_mast(pattern.clone(), Polarisation::UPRIGHT);
            let aimed = Antenna::measured_aimed(pattern.clone(), Polarisation::UPRIGHT);
            for (antenna, off, round) in [(mast, fz.acos(), fy.atan2(fx)), (aimed, fx.acos(), fz.atan2(fy))] {
                let [off, round] = [off, round].map(|angle| Degrees::new(angle.to_degrees()));
                let wave = antenna.wave(turn, turn.outward(own));
                prop_assert!((10.0 * wave.power().log10() - pattern.gain(off, round).get()).abs() < 1e-6);
                let expected = pattern.wave(off, round).unwrap_or(wave);
                let size = wave.power().sqrt();
                for hand in [Hand::Right, Hand::Left] {
                    prop_assert!((wave.of_hand(hand).size() / size - expected.of_hand(hand).size()).abs() < 1e-6);
                }
                prop_assert_eq!(antenna.polarisation().hand(), Some(Hand::Right));
                let other = antenna.other_handed().map(|other| other.wave(turn, turn.outward(own)));
                let swapped = other.map_or(f64::NAN, |other| other.of_hand(Hand::Left).size());
                prop_assert!((swapped - wave.of_hand(Hand::Right).size()).abs() < 1e-6);
            }
        }
    }
}
