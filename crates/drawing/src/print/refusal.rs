//! Why nothing can be printed for a craft: what is lacking, what is not needed, what cannot be.

use super::choices::screws;
use super::fault::PrintFault;
use super::wanted::PrintKind;
use craft::{Missing, PlaceId};
use std::fmt;

/// Why nothing can be printed for a craft.
#[derive(Clone, Debug, PartialEq)]
pub enum PrintRefusal {
    /// No place of that id.
    NoPlace {
        /// What was asked.
        place: PlaceId,
        /// What was probably meant.
        did_you_mean: Option<String>,
    },
    /// The place holds something else than this print is for.
    WrongPlace {
        /// What was asked.
        place: PlaceId,
        /// What stands there.
        is: &'static str,
        /// What would have to.
        wanted: &'static str,
    },
    /// Nothing in the craft is in need of it.
    NotNeeded {
        /// Why not, and what to do if it is wanted all the same.
        why: String,
    },
    /// Facts that it would be made from are not known.
    Missing {
        /// The facts.
        missing: Vec<Missing>,
    },
    /// Something it would be fixed to is not there.
    NothingThere {
        /// What is lacking and what to do.
        what: String,
    },
    /// This kind of print has no such thing.
    HasNone {
        /// The kind.
        kind: PrintKind,
        /// What was asked of it.
        what: &'static str,
    },
    /// A thread that is not in the table.
    NoThread {
        /// What was asked.
        text: String,
    },
    /// It cannot be printed so.
    Faults {
        /// The print, in words.
        what: String,
        /// All that is wrong.
        faults: Vec<PrintFault>,
    },
}

impl fmt::Display for PrintRefusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoPlace { place, did_you_mean: Some(near) } => {
                write!(f, "there is no place \"{place}\" in this craft; did you mean \"{near}\"?")
            }
            Self::NoPlace { place, .. } => {
                write!(f, "there is no place \"{place}\" in this craft; add it first, or name another")
            }
            Self::WrongPlace { place, is, wanted } => {
                write!(
                    f,
                    "at place \"{place}\" stands a {is}, this print is for {wanted}; name another place"
                )
            }
            Self::NotNeeded { why } => f.write_str(why),
            Self::Missing { missing } => {
                let labels: Vec<&str> = missing.iter().map(|missing| missing.label.as_str()).collect();
                write!(
                    f,
                    "not known: {}; measure and enter {}",
                    labels.join(", "),
                    if labels.len() == 1 { "it" } else { "them" }
                )
            }
            Self::NothingThere { what } => f.write_str(what),
            Self::HasNone { kind, what } => {
                write!(f, "a print of kind \"{}\" has no {what}; leave it out", kind.word())
            }
            Self::NoThread { text } => {
                write!(f, "screw {text:?} is not known; choose one of {}", screws().join(", "))
            }
            Self::Faults { what, faults } => {
                write!(f, "{what} cannot be printed so: ")?;
                for (number, fault) in faults.iter().enumerate() {
                    write!(f, "{}{fault}", if number == 0 { "" } else { "; " })?;
                }
                Ok(())
            }
        }
    }
}

impl std::error::Error for PrintRefusal {}

impl From<Missing> for PrintRefusal {
    fn from(missing: Missing) -> Self {
        Self::Missing { missing: vec![missing] }
    }
}
