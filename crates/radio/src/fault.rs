//! What can be wrong with what the crate is given, one variant a circumstance.

use quantity::{Db, Dbi, Degrees, Measure, Megahertz, Percent, Quantity};
use thiserror::Error;

/// What is wrong, with the value, the limit and the mend.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum RadioFault {
    /// A number beyond what it may be.
    #[error("{what} {value} must lie between {least} and {most}; {mend}")]
    Beyond {
        /// Which number.
        what: &'static str,
        /// As given.
        value: Quantity,
        /// The least.
        least: Quantity,
        /// The most.
        most: Quantity,
        /// What to do.
        mend: &'static str,
    },
    /// A turn or tilt that is no number.
    #[error("the antenna at {end} is turned or tilted by something that is no number; check its angles")]
    NoTurn {
        /// The sender or the receiver.
        end: &'static str,
    },
    /// No direction.
    #[error("{x}, {y}, {z} has no direction; the two places must lie apart")]
    NoDirection {
        /// Along x.
        x: f64,
        /// Along y.
        y: f64,
        /// Along z.
        z: f64,
    },
    /// More gain than a pattern of this shape can have.
    #[error("a gain of {gain} does not go with {shape}: without any loss it could be {most}; check both")]
    GainBeyondShape {
        /// As given.
        gain: Dbi,
        /// The shape, in words.
        shape: String,
        /// The most it could be.
        most: Dbi,
    },
    /// A measured pattern with a hole.
    #[error(
        "the pattern has no gain at {off} off the axis and {round} round it; measure it there, or leave that row out whole"
    )]
    PatternHole {
        /// Off the axis.
        off: Degrees,
        /// Round it.
        round: Degrees,
    },
    /// A measured pattern that says nothing of more than half a turn.
    #[error(
        "the pattern has no row between {from} and {to} round the axis, more than half a turn; measure there, or give one angle round alone if it is the same all round"
    )]
    PatternGap {
        /// From here.
        from: Degrees,
        /// To here, on round.
        to: Degrees,
    },
    /// A measured pattern with too few or too many angles.
    #[error("the pattern has {count} angles {way}; it needs {least} at least and {most} at most")]
    PatternSize {
        /// Off the axis, or round it.
        way: &'static str,
        /// How many there are.
        count: usize,
        /// The fewest.
        least: usize,
        /// The most.
        most: usize,
    },
    /// A measured pattern whose two ends are too far in.
    #[error("the pattern begins at {first} and ends at {last} off the axis; it must go from 0° to 180°")]
    PatternReach {
        /// Its first angle.
        first: Degrees,
        /// Its last.
        last: Degrees,
    },
    /// A measured pattern with one direction twice.
    #[error(
        "the pattern has two gains at {off} off the axis and {round} round it; leave one of the two rows out"
    )]
    PatternTwice {
        /// Off the axis.
        off: Degrees,
        /// Round it.
        round: Degrees,
    },
    /// A measured pattern with polarisation in some of its rows.
    #[error(
        "hand and axial ratio stand in {told} of {rows} rows of the pattern; give them in every row or in none"
    )]
    PatternMixed {
        /// How many rows have it.
        told: usize,
        /// How many there are.
        rows: usize,
    },
    /// A measured pattern that radiates next to nothing.
    #[error(
        "with these gains the antenna radiates {share} of its power, and the worst radiate {least}; enter gains over an isotropic \
         antenna in dBi, not over their own greatest, and not losses"
    )]
    PatternFaint {
        /// The share that it radiates.
        share: Percent,
        /// The least that is believed.
        least: Percent,
    },
    /// A measured pattern that radiates more than it gets.
    #[error(
        "the pattern radiates {excess} more than the antenna gets, and its doubt and its sampling explain {most}: its gains are too high; check whether they are over an isotropic antenna, or state the doubt they have"
    )]
    PatternPower {
        /// By how much.
        excess: Db,
        /// What is believed at most.
        most: Db,
    },
    /// A table of constants that does not reach so far.
    #[error(
        "{what}: its constants hold from {least} to {most}, and the channel is {frequency}; enter a channel within these"
    )]
    OffTable {
        /// Of what.
        what: &'static str,
        /// As asked.
        frequency: Megahertz,
        /// From here.
        least: Megahertz,
        /// To here.
        most: Megahertz,
    },
    /// Nothing where at least one is needed.
    #[error("{what}: there is none; give one at least and {most} at most")]
    Count {
        /// What is counted.
        what: &'static str,
        /// The most.
        most: usize,
    },
}

impl RadioFault {
    /// A number, if it lies within its limits; what is no number does not.
    pub(crate) fn within<M: Measure>(
        what: &'static str,
        value: M,
        least: M,
        most: M,
        mend: &'static str,
    ) -> Result<M, RadioFault> {
        if least <= value && value <= most {
            return Ok(value);
        }
        let [value, least, most] = [value, least, most].map(Quantity::of);
        Err(RadioFault::Beyond { what, value, least, most, mend })
    }
}
