//! Why an edit is refused.

use super::TOGETHER_MAX;
use crate::check::or_mend;
use crate::text_fault::{any_of, shown};
use crate::{CraftFault, IdFault, PartId, PlaceId, ValueFault};
use std::fmt;

/// Why an edit is refused. Nothing has changed then.
#[derive(Clone, Debug, PartialEq)]
pub enum EditFault {
    /// No such part.
    NoPart {
        /// The part.
        part: PartId,
        /// What was probably meant.
        did_you_mean: Option<String>,
    },
    /// No such place.
    NoPlace {
        /// The place.
        place: PlaceId,
        /// What was probably meant.
        did_you_mean: Option<String>,
    },
    /// No such key.
    NoKey {
        /// Of what.
        called: String,
        /// The key.
        key: String,
        /// What was probably meant.
        did_you_mean: Option<&'static str>,
    },
    /// No such table.
    NoTable {
        /// The part.
        called: String,
        /// The table.
        table: String,
        /// What was probably meant.
        did_you_mean: Option<&'static str>,
    },
    /// No such row.
    NoRow {
        /// The part.
        called: String,
        /// One row in words.
        one: &'static str,
        /// Which row was asked for, from 0.
        row: usize,
        /// How many there are.
        count: usize,
    },
    /// A value that its field cannot hold.
    Value {
        /// Of what.
        called: String,
        /// Why not.
        fault: ValueFault,
    },
    /// A text that is no id.
    Id {
        /// Of what.
        called: String,
        /// Why not.
        fault: IdFault,
    },
    /// An id that is taken.
    IdTaken {
        /// The id.
        id: String,
        /// By what: `part` or `place`.
        by: &'static str,
    },
    /// Something that must be said cannot be cleared.
    Required {
        /// Of what.
        called: String,
        /// The key.
        key: String,
    },
    /// No such class.
    NoClass {
        /// What was given.
        text: String,
        /// What was probably meant.
        did_you_mean: Option<&'static str>,
        /// What there is.
        words: Vec<&'static str>,
    },
    /// A part that places use.
    PartInUse {
        /// The part.
        called: String,
        /// The places.
        places: Vec<PlaceId>,
    },
    /// A place that others are seated on or plugged into.
    PlaceInUse {
        /// The place.
        place: PlaceId,
        /// What is seated on it.
        seated: Vec<PlaceId>,
        /// What is plugged into it.
        plugged: Vec<PlaceId>,
    },
    /// A move by no number.
    NotFinite {
        /// The place.
        place: PlaceId,
        /// The axis.
        axis: &'static str,
    },
    /// A change among several that does not concern this craft alone.
    NotTogether {
        /// What the several are for.
        what: String,
        /// The change.
        change: String,
    },
    /// More changes in one step than are handled.
    TooManyTogether {
        /// What they are for.
        what: String,
        /// How many there are.
        count: usize,
    },
    /// One value that contradicts others as they stand. It may be that both are to change, and in the other order nothing speaks against it.
    OneOfTwo {
        /// What would be wrong, at least one: contradictions only.
        faults: Vec<CraftFault>,
    },
    /// After the edit the craft would not hold together.
    Unsound {
        /// What would be wrong, at least one.
        faults: Vec<CraftFault>,
    },
}

fn ids<I: fmt::Display>(ids: &[I]) -> String {
    const NAMED: usize = 8;
    let names: Vec<String> = ids.iter().take(NAMED).map(ToString::to_string).collect();
    match ids.len().saturating_sub(NAMED) {
        0 => any_of(&names).replace(" or ", " and "),
        more => format!("{} and {more} more", any_of(&names).replace(" or ", ", ")),
    }
}

impl fmt::Display for EditFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoPart { part, did_you_mean } => {
                let mend = or_mend(did_you_mean.as_deref(), "add it first");
                write!(f, "no part \"{part}\" in this craft{mend}")
            }
            Self::NoPlace { place, did_you_mean } => {
                let mend = or_mend(did_you_mean.as_deref(), "add it first");
                write!(f, "no place \"{place}\" in this craft{mend}")
            }
            Self::NoKey { called, key, did_you_mean } => {
                let mend = or_mend(*did_you_mean, "the manual lists what may be said of it");
                write!(f, "{called}: nothing called {} may be said of it{mend}", shown(key))
            }
            Self::NoTable { called, table, did_you_mean } => {
                let mend = or_mend(*did_you_mean, "the manual lists the tables of each kind");
                write!(f, "{called}: no table called {}{mend}", shown(table))
            }
            Self::NoRow { called, one, row, count } => {
                write!(f, "{called}: no {one} {}; it has {count}", row.saturating_add(1))
            }
            Self::Value { called, fault } => write!(f, "{called}: {fault}"),
            Self::Id { called, fault } => write!(f, "{called}: {fault}"),
            Self::IdTaken { id, by } => {
                write!(f, "id \"{id}\" belongs to another {by} already; choose another")
            }
            Self::Required { called, key } => {
                write!(f, "{called}: {key} must be said; write another one instead")
            }
            Self::NoClass { text, did_you_mean: Some(word), .. } => {
                write!(f, "class {} is not known; did you mean \"{word}\"?", shown(text))
            }
            Self::NoClass { text, words, .. } => write!(f, "class {} must be {}", shown(text), any_of(words)),
            Self::PartInUse { called, places } => {
                write!(f, "{called} stands at {}; remove or change the place first", ids(places))
            }
            Self::PlaceInUse { place, seated, plugged } => {
                write!(f, "place \"{place}\" is needed: ")?;
                if !seated.is_empty() {
                    write!(f, "seated on it: {}", ids(seated))?;
                }
                if !plugged.is_empty() {
                    let between = if seated.is_empty() { "" } else { ", " };
                    write!(f, "{between}plugged into it: {}", ids(plugged))?;
                }
                f.write_str("; seat and plug those elsewhere first")
            }
            Self::NotFinite { place, axis } => {
                write!(f, "place \"{place}\": {axis} must be moved by a number; check the number")
            }
            Self::NotTogether { what, change } => write!(
                f,
                "{what}: {change:?} cannot be one of several changes, since it is not of this craft alone; make it by itself"
            ),
            Self::TooManyTogether { what, count } => {
                write!(
                    f,
                    "{what}: {count} changes in one step, at most {TOGETHER_MAX} are handled; make it several"
                )
            }
            Self::OneOfTwo { faults } => {
                all(f, faults)?;
                f.write_str("; if both are to be another, change the other one first")
            }
            Self::Unsound { faults } => all(f, faults),
        }
    }
}

/// The first few, and how many more.
fn all(f: &mut fmt::Formatter<'_>, faults: &[CraftFault]) -> fmt::Result {
    for (number, fault) in faults.iter().take(5).enumerate() {
        write!(f, "{}{fault}", if number == 0 { "" } else { "; " })?;
    }
    match faults.len().saturating_sub(5) {
        0 => Ok(()),
        more => write!(f, "; and {more} more"),
    }
}

impl std::error::Error for EditFault {}
