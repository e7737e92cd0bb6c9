//! Why a chart is not drawn.

use thiserror::Error;

/// The largest number that a chart takes: beyond it numbers on an axis cannot be told apart any more.
pub(super) const LARGEST: f64 = 1e9;

/// Why a chart is not drawn.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum ChartFault {
    /// A value is not a finite number.
    #[error("{what} is {value}, which is no number to draw; compute it anew or leave that point out")]
    NotANumber {
        /// Of what.
        what: String,
        /// The value.
        value: f64,
    },
    /// A value is too large.
    #[error("{what} is {value}; a chart shows numbers up to {LARGEST}; choose a larger unit")]
    TooLarge {
        /// Of what.
        what: String,
        /// The value.
        value: f64,
    },
    /// An axis by tens has a value that is not above nought.
    #[error(
        "{what} is {value}; an axis by tens shows what is above 0; space it evenly, or leave that point out"
    )]
    NotAboveNought {
        /// Of what.
        what: String,
        /// The value.
        value: f64,
    },
    /// Nothing to draw.
    #[error("{what} has {found} points; it needs at least {least}")]
    TooFew {
        /// What.
        what: String,
        /// How many there are.
        found: usize,
        /// How many it needs.
        least: usize,
    },
    /// More than can be told apart.
    #[error("{what}: {found} are more than the {most} that can be told apart; draw several charts")]
    TooMany {
        /// What.
        what: String,
        /// How many there are.
        found: usize,
        /// How many can be drawn.
        most: usize,
    },
    /// The ends of an axis or of a zone the wrong way round.
    #[error("{what} runs from {from} to {to}; its end must lie above its start")]
    Backwards {
        /// Of what.
        what: String,
        /// Its start.
        from: f64,
        /// Its end.
        to: f64,
    },
    /// A band that does not hold its curve.
    #[error("{what}: the band from {low} to {high} does not hold {value}; give the low end first")]
    BandAside {
        /// Of what.
        what: String,
        /// Its low end.
        low: f64,
        /// The value.
        value: f64,
        /// Its high end.
        high: f64,
    },
    /// A field with another number of values than its axes ask for.
    #[error("{what} has {found} values; {columns} by {rows} places need {}", columns * rows)]
    Uneven {
        /// Of what.
        what: String,
        /// How many there are.
        found: usize,
        /// Places along the first axis.
        columns: usize,
        /// Places along the second.
        rows: usize,
    },
    /// Places of a field that do not rise.
    #[error("{what}: {after} follows {before}; places along an axis must rise")]
    NotRising {
        /// Of what.
        what: String,
        /// A place.
        before: f64,
        /// The next one.
        after: f64,
    },
    /// A width that holds no chart.
    #[error("a chart {width_mm} mm wide: must be from {} to {} mm", super::WIDTH_LEAST, super::WIDTH_MOST)]
    Width {
        /// What was asked for.
        width_mm: f64,
    },
}

/// A finite number of a size that can be drawn.
pub(super) fn sound(value: f64, what: &str) -> Result<f64, ChartFault> {
    if !value.is_finite() {
        return Err(ChartFault::NotANumber { what: what.to_owned(), value });
    }
    if value.abs() > LARGEST {
        return Err(ChartFault::TooLarge { what: what.to_owned(), value });
    }
    Ok(value)
}
