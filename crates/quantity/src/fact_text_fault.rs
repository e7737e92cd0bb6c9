//! Why a text is no fact, said so that the reader can mend it.

use crate::Unit;
use std::fmt;

/// The longest text that is read as a fact, in bytes.
pub const FACT_TEXT_LIMIT: usize = 200;

/// Why a text is no fact. Its `Display` says what stands there, what may, and the mend.
#[derive(Clone, Debug, PartialEq)]
pub enum FactTextFault {
    /// Nothing but blanks.
    Empty {
        /// The unit of the field.
        wanted: Unit,
    },
    /// Longer than [`FACT_TEXT_LIMIT`].
    TooLong {
        /// How long it is, in bytes.
        length: usize,
    },
    /// Something else stands where a number must.
    NotANumber {
        /// What stands there.
        text: String,
    },
    /// A number beyond what can be held, or `inf` or `nan`.
    NotFinite {
        /// What stands there.
        text: String,
    },
    /// Digits with a comma between them.
    DecimalComma {
        /// What stands there.
        text: String,
    },
    /// A unit the field cannot be in.
    WrongUnit {
        /// The unit given.
        given: String,
        /// The unit of the field.
        wanted: Unit,
        /// Every spelling the field takes.
        accepted: Vec<&'static str>,
    },
    /// No unit where one is needed.
    UnitMissing {
        /// The value without its unit.
        value: String,
        /// The unit of the field.
        wanted: Unit,
    },
    /// A word that is neither unit nor basis, or stands where it may not.
    UnknownWord {
        /// The word.
        word: String,
        /// What it was probably meant to be.
        did_you_mean: Option<&'static str>,
    },
    /// A tolerance below nought.
    NegativeTolerance {
        /// The tolerance as written.
        text: String,
    },
    /// A tolerance to one side only.
    OneSided {
        /// The side that is missing.
        missing: char,
    },
    /// A share of nought: it would claim a value without doubt.
    ShareOfNought {
        /// The unit of the field.
        wanted: Unit,
    },
}

impl fmt::Display for FactTextFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty { wanted } => {
                write!(f, "nothing stands here; write {}, measured", example(*wanted))
            }
            Self::TooLong { length } => write!(
                f,
                "{length} characters must be at most {FACT_TEXT_LIMIT}; keep to value, tolerance and basis"
            ),
            Self::NotANumber { text } if text.is_empty() => {
                f.write_str("no number stands after the sign; write one, such as ± 0.1")
            }
            Self::NotANumber { text } => {
                write!(f, "\"{text}\" is no number; begin with digits, such as 29.2")
            }
            Self::NotFinite { text } => {
                write!(f, "{text} is beyond what a number here can hold; write a finite number")
            }
            Self::DecimalComma { text } => {
                let (point, none) = (text.replace(',', "."), text.replace(',', ""));
                write!(f, "\"{text}\" has a comma; decimals take a point: write {point}")?;
                let thousands = text.rsplit(',').next().is_some_and(|end| end.len() == 3);
                if thousands { write!(f, ", or {none} if thousands were meant") } else { Ok(()) }
            }
            Self::WrongUnit { given, accepted, .. } if accepted.is_empty() => {
                write!(f, "unit {given} where a plain number must stand; leave the unit out")
            }
            Self::WrongUnit { given, accepted, .. } => {
                write!(f, "unit {given} must be {}; check which value this is", listed(accepted))
            }
            // What lasts seconds and what lasts minutes is entered in one unit; a practitioner means minutes.
            Self::UnitMissing { value, wanted: Unit::Seconds } => {
                write!(f, "{value} has no unit; write {value} min, or {value} s if seconds are meant")
            }
            Self::UnitMissing { value, wanted } => {
                write!(f, "{value} has no unit; write {}", number_with(value, *wanted))
            }
            Self::UnknownWord { word, did_you_mean: Some(name) } => {
                write!(f, "\"{word}\" is not known here; did you mean \"{name}\"?")
            }
            Self::UnknownWord { word, did_you_mean: None } => write!(
                f,
                "\"{word}\" is not known here; after the value come a tolerance such as ± 0.1 and measured, \
                 data sheet or typical"
            ),
            Self::NegativeTolerance { text } => write!(
                f,
                "tolerance {text} must not be below 0; drop the sign, or write +0.2/-0.1 for uneven limits"
            ),
            Self::OneSided { missing } => write!(
                f,
                "the tolerance has no {missing} side; write both, such as +0.2/-0.1, or {missing}0 for none"
            ),
            Self::ShareOfNought { wanted } => write!(
                f,
                "a share of 0 leaves no tolerance at all; give the tolerance as {}",
                number_with("0.1", *wanted)
            ),
        }
    }
}

impl std::error::Error for FactTextFault {}

/// A number with its unit, as the house writes it.
pub(crate) fn number_with(number: &str, unit: Unit) -> String {
    match unit.symbol() {
        "" => number.to_owned(),
        "°" => format!("{number}°"),
        symbol => format!("{number} {symbol}"),
    }
}

fn example(wanted: Unit) -> String {
    let what =
        if wanted.symbol().is_empty() { "a number such as " } else { "a number with its unit such as " };
    what.to_owned() + &number_with("29.2", wanted)
}

fn listed(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [only] => (*only).to_owned(),
        [start @ .., last] => format!("{} or {last}", start.join(", ")),
    }
}
