//! What can be wrong with a craft as a whole, and where.

use crate::text_fault::{any_of, shown};
use crate::{PartId, PlaceId, ValueFault};
use std::fmt;

/// What a fault belongs to.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Owner {
    /// The craft as a whole.
    Craft,
    /// One of its parts.
    Part(PartId),
    /// One of its places.
    Place(PlaceId),
}

/// Where in a craft something stands: precise enough for a sheet to give line and column.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Spot {
    /// Whose value it is.
    pub owner: Owner,
    /// The table and the row, counted from 0, where it is a row's value.
    pub row: Option<(String, usize)>,
    /// The key; `None` for the thing itself.
    pub key: Option<String>,
}

impl Spot {
    /// The thing itself.
    pub fn of(owner: Owner) -> Self {
        Self { owner, row: None, key: None }
    }
    /// One row of a table.
    pub fn at_row(mut self, table: &str, row: usize) -> Self {
        self.row = Some((table.to_owned(), row));
        self
    }
    /// One value of it.
    pub fn at_key(mut self, key: &str) -> Self {
        self.key = Some(key.to_owned());
        self
    }
}

/// One thing wrong with a craft.
#[derive(Clone, Debug, PartialEq)]
pub struct CraftFault {
    /// Where.
    pub at: Spot,
    /// What a person calls that: `place "vtx"`, `hole 3 of "frame"`.
    pub called: String,
    /// What is wrong.
    pub what: CraftFaultKind,
}

/// What is wrong with a craft.
#[derive(Clone, Debug, PartialEq)]
pub enum CraftFaultKind {
    /// A value that its field cannot hold.
    Value(ValueFault),
    /// A key the schema does not know there.
    UnknownKey {
        /// The key.
        key: String,
        /// What was probably meant.
        did_you_mean: Option<String>,
    },
    /// A table this kind of part does not have.
    UnknownTable {
        /// The table.
        table: String,
        /// What was probably meant.
        did_you_mean: Option<String>,
    },
    /// A place of a part that is not there.
    UnknownPart {
        /// The part.
        part: PartId,
        /// What was probably meant.
        did_you_mean: Option<String>,
    },
    /// A seat on, or a plug of, a place that is not there.
    UnknownPlace {
        /// The place.
        place: PlaceId,
        /// What was probably meant.
        did_you_mean: Option<String>,
    },
    /// A name that nothing carries where it must: a feature, a plug, a plate.
    UnknownName {
        /// What it would be: `feature`, `plug`, `plate`.
        sort: &'static str,
        /// The name.
        name: String,
        /// Who should have it: `"nano camera"`.
        whose: String,
        /// The first few names there are.
        known: Vec<String>,
        /// What was probably meant.
        did_you_mean: Option<String>,
    },
    /// A feature name that two things of the part carry.
    Ambiguous {
        /// The name.
        feature: String,
        /// Who has it twice.
        whose: String,
    },
    /// Seats that rest on each other in a round.
    SeatingRound {
        /// The places, each seated on the next, the last on the first.
        round: Vec<PlaceId>,
    },
    /// Too many seats one on another.
    SeatsTooDeep {
        /// The most allowed.
        limit: usize,
    },
    /// Two rows of one table with the same name.
    DuplicateName {
        /// One row in words.
        one: &'static str,
        /// The name.
        name: String,
    },
    /// Two parts or two places with the same id.
    DuplicateId,
    /// More than allowed of something.
    TooMany {
        /// Of what.
        what: &'static str,
        /// How many there are.
        count: usize,
        /// How many may be.
        limit: usize,
    },
    /// Two values that cannot both be.
    Contradiction {
        /// One with its value.
        one: String,
        /// The other with its value, as it stands to the first.
        other: String,
        /// What to do.
        mend: &'static str,
    },
    /// The same wire once more.
    WireTwice {
        /// Its ends.
        ends: [String; 2],
        /// The first of the two, counted from 1.
        first: usize,
    },
    /// A wire from a pad to itself.
    WireToItself {
        /// The pad.
        pad: String,
    },
    /// An outline of fewer than three points.
    FewPoints {
        /// The field.
        label: &'static str,
        /// How many there are.
        count: usize,
    },
}

/// `; did you mean "x"?` or the mend that serves otherwise.
pub(crate) fn or_mend(did_you_mean: Option<&str>, mend: &str) -> String {
    match did_you_mean {
        Some(name) => format!("; did you mean \"{name}\"?"),
        None => format!("; {mend}"),
    }
}

impl fmt::Display for CraftFaultKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Value(fault) => fault.fmt(f),
            Self::UnknownKey { key, did_you_mean } => {
                let mend = or_mend(did_you_mean.as_deref(), "take it out or put it in the note");
                write!(f, "nothing called {} may stand here{mend}", shown(key))
            }
            Self::UnknownTable { table, did_you_mean } => {
                let mend = or_mend(did_you_mean.as_deref(), "take it out");
                write!(f, "no table called {} here{mend}", shown(table))
            }
            Self::UnknownPart { part, did_you_mean } => {
                let mend = or_mend(did_you_mean.as_deref(), "add the part first");
                write!(f, "no part \"{part}\" in this craft{mend}")
            }
            Self::UnknownPlace { place, did_you_mean } => {
                let mend = or_mend(did_you_mean.as_deref(), "add the place first");
                write!(f, "no place \"{place}\" in this craft{mend}")
            }
            Self::UnknownName { sort, name, whose, known, did_you_mean } => {
                let mend = match (did_you_mean, known.as_slice()) {
                    (Some(name), _) => format!("; did you mean \"{name}\"?"),
                    (None, []) => "; it has none at all".to_owned(),
                    (None, known) => format!("; it has {}", any_of(known).replace(" or ", " and ")),
                };
                write!(f, "no {sort} {} on {whose}{mend}", shown(name))
            }
            Self::Ambiguous { feature, whose } => {
                write!(f, "{} stands for two features of {whose}; give one another name", shown(feature))
            }
            Self::SeatingRound { round } => match round.as_slice() {
                [only] => write!(f, "\"{only}\" is seated on itself; seat it on body"),
                [first, rest @ ..] => {
                    write!(f, "\"{first}\"")?;
                    for place in rest.iter().chain([first]) {
                        write!(f, " on \"{place}\"")?;
                    }
                    f.write_str(" is a round that rests on nothing; seat one of them on body")
                }
                [] => Ok(()),
            },
            Self::SeatsTooDeep { limit } => {
                write!(f, "rests on more than {limit} seats one on another; seat it lower down")
            }
            Self::DuplicateName { one, name } => {
                write!(f, "another {one} is called {} already; give it a name of its own", shown(name))
            }
            Self::DuplicateId => f.write_str("another one has this id already; give it an id of its own"),
            Self::TooMany { what, count, limit } => {
                write!(f, "{count} {what} must be at most {limit}; leave out what does not touch the proof")
            }
            Self::Contradiction { one, other, mend } => write!(f, "{one} {other}; {mend}"),
            Self::WireTwice { ends: [from, to], first } => write!(
                f,
                "wire {first} joins {} and {} already; take one of them out",
                shown(from),
                shown(to)
            ),
            Self::WireToItself { pad } => {
                write!(
                    f,
                    "it starts and ends at {}; take one end to the pad it is to be joined to",
                    shown(pad)
                )
            }
            Self::FewPoints { label, count } => {
                write!(f, "{label} has {count} points and must have at least 3; add corners")
            }
        }
    }
}

impl fmt::Display for CraftFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.called, self.what)
    }
}

impl std::error::Error for CraftFault {}
