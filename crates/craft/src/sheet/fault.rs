//! What can be wrong with a sheet, told by line and column.

use super::SHEET_FORMAT;
use crate::check::or_mend;
use crate::limits::{SHEET_BYTES_MAX, SHEET_ENTRIES_MAX, SHEET_HEADINGS_MAX};
use crate::text_fault::{any_of, shown};
use crate::{CraftFaultKind, IdFault, ValueFault};
use serde::Serialize;
use std::fmt;

/// How bad a fault is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// The sheet must be mended before it can be taken in.
    Refused,
    /// Worth a look; nothing is lost by it.
    Noticed,
}

/// One thing wrong with a sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetFault {
    /// The line, from 1.
    pub line: usize,
    /// The column in letters, from 1.
    pub column: usize,
    /// How bad it is.
    pub severity: Severity,
    /// What it belongs to, in words; empty where it is the sheet itself.
    pub called: String,
    /// What is wrong.
    pub what: SheetFaultKind,
}

/// What is wrong with a sheet.
#[derive(Clone, Debug, PartialEq)]
pub enum SheetFaultKind {
    /// Nothing stands on it.
    Empty,
    /// Too large to be read.
    TooLarge {
        /// Its size in bytes.
        bytes: usize,
    },
    /// More headings than any craft may have.
    TooManyHeadings {
        /// How many there are.
        count: usize,
    },
    /// More values and list entries than can be parsed in reasonable room.
    TooManyEntries {
        /// About how many there are.
        count: usize,
    },
    /// Bytes that are no UTF-8.
    NotUtf8 {
        /// Whether it looks like another encoding of two bytes a letter.
        wide: bool,
    },
    /// A line that is no TOML, in our words.
    Syntax {
        /// What is wrong and how to mend it.
        message: String,
    },
    /// No line that says which format it is.
    NoFormat,
    /// A format that is no whole number above 0.
    BadFormat {
        /// What stands there.
        given: String,
    },
    /// A format newer than this program.
    NewerFormat {
        /// The format.
        format: i64,
    },
    /// A craft without a name.
    NoName,
    /// A key or table that is not known there.
    Unknown {
        /// The key.
        key: String,
        /// What was probably meant.
        did_you_mean: Option<String>,
    },
    /// Something else where a table must stand.
    NotATable {
        /// What stands there.
        given: String,
        /// The heading that would do.
        heading: String,
    },
    /// One table, or something else, where rows must stand.
    NotRows {
        /// The heading that would do.
        heading: String,
        /// One row in words.
        one: &'static str,
    },
    /// A key without which the thing is nothing.
    MustSay {
        /// The key with an example: `kind = "camera"`.
        example: String,
    },
    /// An unknown kind of part or class of craft.
    UnknownWord {
        /// `kind` or `class`.
        key: &'static str,
        /// What stands there.
        text: String,
        /// What was probably meant.
        did_you_mean: Option<String>,
        /// What there is.
        words: Vec<&'static str>,
    },
    /// A text that is no id.
    Id(IdFault),
    /// A value its field cannot hold.
    Value(ValueFault),
    /// Something wrong with the craft as a whole.
    Craft(CraftFaultKind),
    /// A part that stands at no place.
    Unused,
    /// More faults than are told.
    More {
        /// How many more.
        count: usize,
    },
}

impl SheetFaultKind {
    pub(super) fn severity(&self) -> Severity {
        match self {
            Self::NoFormat | Self::NoName | Self::Unused => Severity::Noticed,
            _ => Severity::Refused,
        }
    }
}

impl fmt::Display for SheetFaultKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => {
                write!(
                    f,
                    "nothing stands on this sheet; begin with creance_sheet = {SHEET_FORMAT} and [craft]"
                )
            }
            Self::TooLarge { bytes } => write!(
                f,
                "the sheet is {} MiB and must be at most {} MiB; leave out what does not touch the proof",
                bytes.div_ceil(1 << 20),
                SHEET_BYTES_MAX >> 20
            ),
            Self::TooManyHeadings { count } => write!(
                f,
                "{count} parts, places and rows must be at most {SHEET_HEADINGS_MAX}; leave out what does not \
                 touch the proof"
            ),
            Self::TooManyEntries { count } => write!(
                f,
                "about {count} values and list entries must be at most {SHEET_ENTRIES_MAX}; leave out what does \
                 not touch the proof"
            ),
            Self::NotUtf8 { wide: true } => {
                f.write_str("the file is written with two bytes a letter; save it as UTF-8")
            }
            Self::NotUtf8 { wide: false } => {
                f.write_str("a byte here is no UTF-8; save the file as UTF-8, or is it no text at all?")
            }
            Self::Syntax { message } => f.write_str(message),
            Self::NoFormat => {
                write!(
                    f,
                    "no line says the format, so it was read as {SHEET_FORMAT}; begin with creance_sheet = 1"
                )
            }
            Self::BadFormat { given } => {
                write!(
                    f,
                    "creance_sheet: {given} stands where a whole number must stand; write creance_sheet = {SHEET_FORMAT}"
                )
            }
            Self::NewerFormat { format } => write!(
                f,
                "creance_sheet {format} must be at most {SHEET_FORMAT}, the newest format this program reads; \
                 use a newer program"
            ),
            Self::NoName => f.write_str("the craft has no name; write name = \"…\" under [craft]"),
            Self::Unknown { key, did_you_mean } => {
                let mend = or_mend(did_you_mean.as_deref(), "take it out or put it in a note");
                write!(f, "{} is not known here{mend}", shown(key))
            }
            Self::NotATable { given, heading } => {
                write!(f, "{given} stands where a table must stand; write it under {heading}")
            }
            Self::NotRows { heading, one } => {
                write!(f, "each {one} wants a heading of its own with two brackets; write {heading}")
            }
            Self::MustSay { example } => write!(f, "it must say {example}"),
            Self::UnknownWord { key, text, did_you_mean: Some(word), .. } => {
                write!(f, "{key} {} is not known; did you mean \"{word}\"?", shown(text))
            }
            Self::UnknownWord { key, text, words, .. } => {
                write!(f, "{key} {} must be {}", shown(text), any_of(words))
            }
            Self::Id(fault) => fault.fmt(f),
            Self::Value(fault) => fault.fmt(f),
            Self::Craft(fault) => fault.fmt(f),
            Self::Unused => f.write_str("it stands at no place; add a place for it or take it out"),
            Self::More { count } => write!(f, "{count} more are wrong; mend these first"),
        }
    }
}

impl SheetFault {
    /// The fault without its line and column.
    pub fn message(&self) -> String {
        match self.called.as_str() {
            "" => self.what.to_string(),
            called => format!("{called}: {}", self.what),
        }
    }
}

impl fmt::Display for SheetFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}, column {}: {}", self.line, self.column, self.message())
    }
}

impl std::error::Error for SheetFault {}
