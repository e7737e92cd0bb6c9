//! Why a text or a value cannot stand in its field, said so that the reader can mend it.

use crate::limits::{POINT_MM_MAX, POINTS_MAX};
use quantity::{FactTextFault, Quantity, Unit};
use std::fmt;

/// Why a value cannot stand in its field. Every variant carries the field's label.
#[derive(Clone, Debug, PartialEq)]
pub enum ValueFault {
    /// The text is no fact.
    Fact {
        /// The field.
        label: &'static str,
        /// Why not.
        fault: FactTextFault,
    },
    /// A quantity outside its field's limits.
    Beyond {
        /// The field.
        label: &'static str,
        /// The value in the field's unit.
        value: Quantity,
        /// What was written, where it was written in another unit.
        written: Option<String>,
        /// The least value.
        min: f64,
        /// The greatest value.
        max: f64,
    },
    /// A tolerance wider than all the field may hold.
    ToleranceBeyond {
        /// The field.
        label: &'static str,
        /// The tolerance.
        tolerance: Quantity,
        /// The widest that makes sense.
        most: f64,
    },
    /// Not a whole number.
    NotACount {
        /// The field.
        label: &'static str,
        /// What stands there.
        text: String,
        /// The least count.
        min: f64,
        /// The greatest count.
        max: f64,
    },
    /// Neither yes nor no.
    NotAFlag {
        /// The field.
        label: &'static str,
        /// What stands there.
        text: String,
    },
    /// None of the words the field takes.
    NotAChoice {
        /// The field.
        label: &'static str,
        /// What stands there.
        text: String,
        /// The words it takes.
        words: &'static [&'static str],
        /// What was probably meant.
        did_you_mean: Option<&'static str>,
    },
    /// Nothing stands there.
    Empty {
        /// The field.
        label: &'static str,
    },
    /// Several lines where one must do.
    SeveralLines {
        /// The field.
        label: &'static str,
    },
    /// A sign that cannot be seen.
    ControlSign {
        /// The field.
        label: &'static str,
        /// The sign.
        sign: char,
    },
    /// Blanks around the text.
    Untidy {
        /// The field.
        label: &'static str,
        /// What stands there.
        text: String,
    },
    /// More letters than allowed.
    TooLong {
        /// The field.
        label: &'static str,
        /// How many there are.
        letters: usize,
        /// How many may be.
        max: usize,
    },
    /// Something else where a point must stand.
    NotAPoint {
        /// The field.
        label: &'static str,
        /// Which point, from 1.
        number: usize,
        /// What stands there.
        text: String,
    },
    /// A point too far out.
    PointBeyond {
        /// The field.
        label: &'static str,
        /// Which point, from 1.
        number: usize,
        /// The coordinate.
        coordinate: f64,
    },
    /// More points than allowed.
    TooManyPoints {
        /// The field.
        label: &'static str,
        /// How many there are.
        count: usize,
    },
    /// No plug of a place.
    NotAPlug {
        /// The field.
        label: &'static str,
        /// What stands there.
        text: String,
    },
    /// A value of another form than the field holds.
    WrongForm {
        /// The field.
        label: &'static str,
        /// What stands there.
        given: String,
        /// What must stand there.
        wanted: String,
    },
}

impl fmt::Display for ValueFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Fact { label, fault } => write!(f, "{label}: {fault}"),
            Self::Beyond { label, value, written, min, max } => {
                write!(f, "{label} {}", brief(*value))?;
                if let Some(written) = written {
                    write!(f, " (written {written})")?;
                }
                write!(f, " must be between {min} and {}; ", Quantity { value: *max, unit: value.unit })?;
                f.write_str(match (value.value < 0.0 && *min >= 0.0, value.unit.symbol()) {
                    (true, _) => "check the sign",
                    (false, "") => "check the number",
                    (false, _) => "check the number and its unit",
                })
            }
            Self::ToleranceBeyond { label, tolerance, most } => write!(
                f,
                "{label}: tolerance {} must be at most {}, all the field may hold; check the tolerance",
                brief(*tolerance),
                Quantity { value: *most, unit: tolerance.unit }
            ),
            Self::NotACount { label, text, min, max } => {
                write!(f, "{label} {} must be a whole number from {min} to {max}; count again", shown(text))
            }
            Self::NotAFlag { label, text } => {
                write!(f, "{label} {} must be yes or no", shown(text))
            }
            Self::NotAChoice { label, text, did_you_mean: Some(word), .. } => {
                write!(f, "{label} {} is not known here; did you mean \"{word}\"?", shown(text))
            }
            Self::NotAChoice { label, text, words, .. } => {
                write!(f, "{label} {} must be {}", shown(text), any_of(words))
            }
            Self::Empty { label } => write!(f, "{label}: nothing stands here; fill it in or leave it out"),
            Self::SeveralLines { label } => write!(f, "{label} must be one line; put the rest in a note"),
            Self::ControlSign { label, sign } => {
                write!(f, "{label} holds the unseen sign U+{:04X}; take it out", u32::from(*sign))
            }
            Self::Untidy { label, text } => {
                write!(f, "{label} {} must have no blanks around it; take them off", shown(text))
            }
            Self::TooLong { label, letters, max } => {
                write!(f, "{label}: {letters} letters must be at most {max}; shorten it")
            }
            Self::NotAPoint { label, number, text } => {
                write!(f, "{label}, point {number}: {} must be two numbers in mm, x and y", shown(text))
            }
            Self::PointBeyond { label, number, coordinate } => write!(
                f,
                "{label}, point {number}: {coordinate} mm must be between -{POINT_MM_MAX} and {POINT_MM_MAX} mm; \
                 check the number"
            ),
            Self::TooManyPoints { label, count } => {
                write!(
                    f,
                    "{label}: {count} points must be at most {POINTS_MAX}; leave out points on straight edges"
                )
            }
            Self::NotAPlug { label, text } => write!(
                f,
                "{label} {} names no plug; write the place, a stroke and the plug, such as vtx/coax 1",
                shown(text)
            ),
            Self::WrongForm { label, given, wanted } => {
                write!(f, "{label}: {given} stands where {wanted} must stand")
            }
        }
    }
}

impl std::error::Error for ValueFault {}

/// A quantity as a person would write it, with a power of ten where digits would fill the line.
fn brief(value: Quantity) -> String {
    if value.value == 0.0 || (1e-6..1e12).contains(&value.value.abs()) {
        return value.to_string();
    }
    format!("{:e} {}", value.value, value.unit).trim_end().to_owned()
}

/// A text in quotes, cut short where it is long.
pub(crate) fn shown(text: &str) -> String {
    const LETTERS: usize = 60;
    if text.chars().count() <= LETTERS {
        return format!("{text:?}");
    }
    let start: String = text.chars().take(LETTERS).collect();
    format!("{:?}", start + "…")
}

/// `"carbon", "steel" or "titanium"`, for any kind of word.
pub(crate) fn any_of<S: AsRef<str>>(words: &[S]) -> String {
    let quoted: Vec<String> = words.iter().map(|word| format!("\"{}\"", word.as_ref())).collect();
    match quoted.as_slice() {
        [] => String::new(),
        [only] => only.clone(),
        [start @ .., last] => format!("{} or {last}", start.join(", ")),
    }
}

/// A number with its unit as a person would write it: the example in a mend.
pub(crate) fn example_of(unit: Unit, min: f64, max: f64) -> String {
    let value = if min <= 20.0 && 20.0 <= max { 20.0 } else { max.min(min.max(1.0)) };
    Quantity { value, unit }.to_string()
}
