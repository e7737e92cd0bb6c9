//! What can be wrong with a text of fault knowledge, told by line and column.

use std::fmt;

/// One thing wrong with the text.
#[derive(Clone, Debug, PartialEq)]
pub struct BaseFault {
    /// The line, from 1.
    pub line: usize,
    /// The column in letters, from 1.
    pub column: usize,
    /// What it belongs to, such as `test "tap_wiggle"`; empty where it is the text itself.
    pub called: String,
    /// What is wrong.
    pub what: BaseFaultKind,
}

/// What is wrong.
#[derive(Clone, Debug, PartialEq)]
pub enum BaseFaultKind {
    /// Larger than any such text should be.
    TooLarge {
        /// Its size in bytes.
        bytes: usize,
        /// The most that is read.
        most: usize,
    },
    /// No TOML.
    Syntax {
        /// In the words of the parser.
        message: String,
    },
    /// No line that says which layout it has, or one that is not known.
    Format {
        /// What stands there, if anything.
        given: Option<String>,
    },
    /// A key that is not known there.
    Unknown {
        /// The key.
        key: String,
        /// What was probably meant.
        did_you_mean: Option<String>,
    },
    /// A key that must stand.
    MustSay {
        /// The key.
        key: &'static str,
    },
    /// A value of the wrong sort or beyond its limits.
    Value {
        /// The key.
        key: String,
        /// What stands there.
        given: String,
        /// What must stand there.
        wanted: String,
    },
    /// An id that names nothing.
    NoSuch {
        /// `cause`, `sign`, `fact`, …
        sort: &'static str,
        /// The id.
        id: String,
        /// What was probably meant.
        did_you_mean: Option<String>,
    },
    /// An id that is none.
    BadId {
        /// What stands there.
        id: String,
    },
    /// Chances that must sum to 1 (or to no more) and do not.
    Sum {
        /// For which cause, or "other".
        of: String,
        /// What they sum to.
        sum: f64,
        /// Whether every outcome was given, so that they must sum to exactly 1.
        whole: bool,
    },
    /// Tests that each want the other first.
    Circle {
        /// The ids in the order in which they want one another; the first stands at the end again.
        ids: Vec<String>,
    },
    /// Something that says the same thing twice.
    Twice {
        /// What.
        id: String,
    },
}

impl fmt::Display for BaseFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}, column {}: ", self.line, self.column)?;
        if !self.called.is_empty() {
            write!(f, "{}: ", self.called)?;
        }
        write!(f, "{}", self.what)
    }
}

fn or_mend(near: &Option<String>, mend: &str) -> String {
    match near {
        Some(near) => format!("did you mean \"{near}\"?"),
        None => mend.to_owned(),
    }
}

impl fmt::Display for BaseFaultKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            BaseFaultKind::TooLarge { bytes, most } => {
                write!(f, "the text has {bytes} bytes and must have at most {most}; split it or shorten it")
            }
            BaseFaultKind::Syntax { message } => {
                let message = message.lines().next().unwrap_or("it cannot be read");
                write!(f, "this is no TOML: {message}")
            }
            BaseFaultKind::Format { given: None } => {
                write!(
                    f,
                    "no line says which layout this is; write creance_faults = {} at the top",
                    super::BASE_FORMAT
                )
            }
            BaseFaultKind::Format { given: Some(given) } => {
                write!(
                    f,
                    "layout {given} is not known; this program reads creance_faults = {}",
                    super::BASE_FORMAT
                )
            }
            BaseFaultKind::Unknown { key, did_you_mean } => {
                let mend = or_mend(did_you_mean, "the manual lists what may stand here");
                write!(f, "\"{key}\" is not known here; {mend}")
            }
            BaseFaultKind::MustSay { key } => write!(f, "\"{key}\" must be said; write {key} = …"),
            BaseFaultKind::Value { key, given, wanted } => write!(f, "{key} is {given} and must be {wanted}"),
            BaseFaultKind::NoSuch { sort, id, did_you_mean } => {
                let mend = or_mend(did_you_mean, "write one that stands in the knowledge, or add it");
                write!(f, "there is no {sort} \"{id}\"; {mend}")
            }
            BaseFaultKind::BadId { id } => {
                write!(
                    f,
                    "\"{id}\" is no id; write small letters, digits and _, beginning with a letter, at most 60"
                )
            }
            BaseFaultKind::Sum { of, sum, whole } => {
                let wanted = if *whole { "must sum to 1" } else { "must sum to no more than 1" };
                write!(f, "the chances of the outcomes for \"{of}\" sum to {sum:.4}; they {wanted}")
            }
            BaseFaultKind::Circle { ids } => {
                write!(
                    f,
                    "these want one another first, in a circle: {}; take one \"after\" out",
                    ids.join(" → ")
                )
            }
            BaseFaultKind::Twice { id } => write!(f, "\"{id}\" stands here a second time; keep one"),
        }
    }
}
