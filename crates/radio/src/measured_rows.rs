//! Can the rows of a measured pattern be what was measured?
//!
//! All checks of such a table stand here, whether it comes from a file or stands on a sheet: every number within its
//! limits, every direction once, from 0° to 180° off the axis, a full grid of angles between, polarisation in every row or in none.
//! On the axis itself, before and behind, the angle round it has no meaning: one row is enough there, and several are one
//! direction, whose mean counts.

use crate::{Hand, Polarisation, RadioFault};
use quantity::{Db, Dbi, Degrees};
use std::collections::HashMap;

/// The most angles either way.
const ANGLES_MAX: usize = 720;

/// One direction of a measured pattern.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeasuredRow {
    /// Off the axis.
    pub off: Degrees,
    /// Round it.
    pub round: Degrees,
    /// The gain there, both polarisations together.
    pub gain: Dbi,
    /// The hand and the axial ratio there, where they were measured.
    pub sent: Option<(Hand, Db)>,
}

impl MeasuredRow {
    /// The least and the most that the angle off the axis may be.
    pub const OFF: [Degrees; 2] = [Degrees::new(0.0), Degrees::new(180.0)];
    /// The same of the angle round it.
    pub const ROUND: [Degrees; 2] = [Degrees::new(-360.0), Degrees::new(360.0)];
    /// The same of the gain.
    pub const GAIN: [Dbi; 2] = [Dbi::new(-200.0), Dbi::new(40.0)];
    /// The same of the axial ratio; from the most on it counts as linear.
    pub const AXIAL_RATIO: [Db; 2] = [Db::new(0.0), Db::new(60.0)];

    /// A row of a gain alone.
    pub const fn new(off: Degrees, round: Degrees, gain: Dbi) -> Self {
        Self { off, round, gain, sent: None }
    }

    /// The same with hand and axial ratio.
    #[must_use]
    pub const fn sending(self, hand: Hand, axial_ratio: Db) -> Self {
        Self { sent: Some((hand, axial_ratio)), ..self }
    }

    fn checked(&self) -> Result<(), RadioFault> {
        let mend = "check the row";
        let [least, most] = Self::OFF;
        RadioFault::within("angle off the axis", self.off, least, most, mend)?;
        let [least, most] = Self::ROUND;
        RadioFault::within("angle round the axis", self.round, least, most, mend)?;
        let [least, most] = Self::GAIN;
        RadioFault::within("gain in the pattern", self.gain, least, most, mend)?;
        if let Some((_, ratio)) = self.sent {
            let [least, most] = Self::AXIAL_RATIO;
            RadioFault::within("axial ratio in the pattern", ratio, least, most, mend)?;
        }
        Ok(())
    }

    fn on_axis(&self) -> bool {
        Self::OFF.contains(&self.off)
    }

    /// Within one turn, from nought on.
    fn turned(&self) -> f64 {
        let round = self.round.get().rem_euclid(360.0);
        // A hair under nought is a whole turn to the last digit.
        if round < 360.0 { round } else { 0.0 }
    }

    /// What is sent there as the amplitudes of both hands, of power one together.
    fn hands(&self) -> Result<Option<[f64; 2]>, RadioFault> {
        let Some((hand, ratio)) = self.sent else { return Ok(None) };
        let wave = Polarisation::elliptical(hand, ratio, Degrees::new(90.0))?.jones();
        Ok(Some([Hand::Right, Hand::Left].map(|hand| wave.of_hand(hand).size())))
    }
}

/// Rows that give one direction again: the first and the later one of each, by their numbers.
pub fn rows_twice(rows: &[MeasuredRow]) -> Vec<[usize; 2]> {
    let mut known: HashMap<[u64; 2], usize> = HashMap::new();
    let mut twice = Vec::new();
    for (n, row) in rows.iter().enumerate() {
        let key = [row.off.get() + 0.0, row.turned()].map(f64::to_bits);
        match known.get(&key) {
            Some(first) => twice.push([*first, n]),
            None => {
                known.insert(key, n);
            }
        }
    }
    twice
}

/// Rows as a full grid.
pub(crate) struct Grid {
    pub off: Vec<f64>,
    pub round: Vec<f64>,
    /// All angles round for the first angle off, then the next; in dBi.
    pub gains: Vec<f64>,
    /// In the same order, amplitudes of the right and of the left hand; empty where no row has them.
    pub hands: Vec<[f64; 2]>,
}

impl Grid {
    pub fn of(rows: &[MeasuredRow]) -> Result<Self, RadioFault> {
        rows.iter().try_for_each(MeasuredRow::checked)?;
        if let Some([_, again]) = rows_twice(rows).first() {
            return Err(RadioFault::PatternTwice { off: rows[*again].off, round: rows[*again].round });
        }
        let told = rows.iter().filter(|row| row.sent.is_some()).count();
        if told != 0 && told != rows.len() {
            return Err(RadioFault::PatternMixed { told, rows: rows.len() });
        }
        let off = sorted(rows.iter().map(|row| row.off.get()));
        // Rows on the axis have their own angles round it, or none.
        let beside = || rows.iter().filter(|row| !row.on_axis());
        let mut round = sorted(beside().map(MeasuredRow::turned));
        if round.is_empty() {
            round = sorted(rows.iter().map(MeasuredRow::turned));
        }
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
        let mut hands = vec![[0.0; 2]; if told > 0 { gains.len() } else { 0 }];
        for row in beside() {
            let i = off.partition_point(|angle| *angle < row.off.get());
            let k = round.partition_point(|angle| *angle < row.turned());
            gains[i * round.len() + k] = row.gain.get();
            if let Some(sent) = row.hands()? {
                hands[i * round.len() + k] = sent;
            }
        }
        for (i, end) in [(0, MeasuredRow::OFF[0]), (off.len() - 1, MeasuredRow::OFF[1])] {
            let there = || rows.iter().filter(|row| row.off == end);
            let mean = there().map(|row| row.gain.get()).sum::<f64>() / there().count() as f64;
            gains[i * round.len()..(i + 1) * round.len()].fill(mean);
            let mut both = [0.0; 2];
            for row in there() {
                if let Some(sent) = row.hands()? {
                    both = [both[0] + sent[0], both[1] + sent[1]];
                }
            }
            if told > 0 {
                hands[i * round.len()..(i + 1) * round.len()].fill(of_power_one(both));
            }
        }
        if let Some(hole) = gains.iter().position(|gain| gain.is_nan()) {
            let (i, k) = (hole / round.len(), hole % round.len());
            return Err(RadioFault::PatternHole { off: Degrees::new(off[i]), round: Degrees::new(round[k]) });
        }
        if let Some(from) = widest_gap(&round) {
            return Err(RadioFault::PatternGap { from: Degrees::new(from[0]), to: Degrees::new(from[1]) });
        }
        Ok(Self { off, round, gains, hands })
    }
}

/// Between which two angles round the axis more than half a turn lies without a row, where there are several.
fn widest_gap(round: &[f64]) -> Option<[f64; 2]> {
    let next = round.iter().skip(1).copied().chain(round.first().map(|first| first + 360.0));
    let gap = round.iter().copied().zip(next).max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))?;
    // One angle alone says that it is the same all round; two opposite ones leave half a turn on each side.
    (round.len() > 1 && gap.1 - gap.0 > 180.0 + 1e-9).then_some([gap.0, gap.1.rem_euclid(360.0)])
}

/// The same two amplitudes with a power of one together.
pub(crate) fn of_power_one([right, left]: [f64; 2]) -> [f64; 2] {
    let whole = right.hypot(left).max(f64::MIN_POSITIVE);
    [right / whole, left / whole]
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
    use crate::MeasuredPattern;

    fn row(off: f64, round: f64, gain: f64) -> MeasuredRow {
        MeasuredRow::new(Degrees::new(off), Degrees::new(round), Dbi::new(gain))
    }
    fn rows(of: impl Fn(f64, f64) -> f64, rounds: &[f64]) -> Vec<MeasuredRow> {
        let grid = (0..=18).flat_map(|o| rounds.iter().map(move |&r| (f64::from(o) * 10.0, r)));
        grid.map(|(o, r)| row(o, r, of(o, r))).collect()
    }
    fn told(rows: &[MeasuredRow]) -> String {
        MeasuredPattern::new(rows, Db::new(0.5)).map_or_else(|fault| fault.to_string(), |_| String::new())
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

    #[test]
    fn a_direction_given_twice_is_told_whole_turns_and_all() {
        let mut again = rows(|_, _| 0.0, &[0.0, 90.0]);
        again.push(row(30.0, 450.0 - 360.0, -2.0));
        assert_eq!(
            told(&again),
            "the pattern has two gains at 30° off the axis and 90° round it; leave one of the two rows out"
        );
        let closed = rows(|_, _| 0.0, &[0.0, 120.0, 240.0, 360.0]);
        assert!(told(&closed).starts_with("the pattern has two gains at 0° off the axis and 360° round it"));
        assert_eq!(rows_twice(&closed).len(), 19);
    }

    #[test]
    fn gains_over_their_own_greatest_and_losses_are_told() {
        assert_eq!(
            told(&rows(|_, _| -20.0, &[0.0])),
            "with these gains the antenna radiates 1 % of its power, and the worst radiate 5 %; enter gains over an isotropic \
             antenna in dBi, not over their own greatest, and not losses"
        );
        // Losses without their sign are gains that no antenna has.
        assert!(told(&rows(|_, _| 20.0, &[0.0])).contains("more than the antenna gets"));
        assert_eq!(told(&rows(|_, _| -12.0, &[0.0])), "");
    }

    #[test]
    fn one_row_on_the_axis_is_enough_wherever_it_says_it_lies() {
        let full = rows(|o, r| -1.0 - o / 90.0 + r / 720.0, &[0.0, 120.0, 240.0]);
        let beside: Vec<MeasuredRow> = full.iter().copied().filter(|row| !row.on_axis()).collect();
        let ends = |before: f64, behind: f64| {
            let mut rows = beside.clone();
            rows.extend([row(0.0, before, -0.8), row(180.0, behind, -2.8)]);
            rows
        };
        let one = MeasuredPattern::new(&ends(0.0, 0.0), Db::new(0.5));
        assert!(one.is_ok(), "{one:?}");
        // An angle that no other row has is no new angle of the grid.
        assert_eq!(MeasuredPattern::new(&ends(17.0, -90.0), Db::new(0.5)), one);
        let round = |angle: f64| one.as_ref().map(|p| p.gain(Degrees::new(0.0), Degrees::new(angle)));
        assert_eq!(round(10.0), round(200.0));
    }

    #[test]
    fn polarisation_stands_in_every_row_or_in_none() {
        let mut mixed = rows(|_, _| 0.0, &[0.0]);
        mixed[3] = mixed[3].sending(Hand::Right, Db::new(1.0));
        assert_eq!(
            told(&mixed),
            "hand and axial ratio stand in 1 of 19 rows of the pattern; give them in every row or in none"
        );
        mixed[3] = mixed[3].sending(Hand::Right, Db::new(-1.0));
        assert!(told(&mixed).starts_with("axial ratio in the pattern -1 dB must lie between 0 dB and 60 dB"));
    }
}
