//! The ways in which a vector file can be wrong, each with its file and line.
//!
//! Every variant is a circumstance in which a check could not be trusted, so that none passes in silence.

use serde::Serialize;

/// What is wrong with a vector file, and where.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Fault {
    /// The file below `conformance/`.
    pub file: String,
    /// The line, from 1; 0 when it concerns the whole file.
    pub line: usize,
    /// What is wrong.
    pub kind: FaultKind,
}

impl std::fmt::Display for Fault {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.line {
            0 => write!(out, "{}: {}", self.file, self.kind),
            line => write!(out, "{}:{line}: {}", self.file, self.kind),
        }
    }
}

/// The ways in which a vector file can be wrong.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, thiserror::Error)]
pub enum FaultKind {
    /// The text is no TOML.
    #[error("{0}")]
    Toml(String),
    /// There is no vector file at all.
    #[error("no vector file was found; put one into a folder of conformance/")]
    NoFiles,
    /// No adapter goes by the folder's name.
    #[error("folder `{0}` has no adapter; list one in conformance/src/runner.rs")]
    NoAdapter(String),
    /// A file without rows checks nothing.
    #[error("no [[check]] in this file; add a row or delete the file")]
    NoRows,
    /// A key that nobody reads.
    #[error("`{0}` is no key of {1}; known are {2}")]
    UnknownKey(String, &'static str, String),
    /// A text that must be there is not.
    #[error("{0} needs `{1} = \"…\"`: {2}")]
    Missing(&'static str, &'static str, &'static str),
    /// A table that must be there is not.
    #[error("check needs `{0} = {{ … }}`")]
    MissingTable(&'static str),
    /// The grade is none of ours.
    #[error("grade `{0}` is unknown; take one of: {1}")]
    UnknownGrade(String, String),
    /// A value that is no number.
    #[error("`{0}` of {1} must be a number")]
    NoNumber(String, &'static str),
    /// An expected value without tolerance.
    #[error("`{0}` is expected but `within` says no tolerance for it")]
    NoTolerance(String),
    /// A tolerance without expected value.
    #[error("`{0}` has a tolerance but is not expected")]
    NotExpected(String),
    /// A tolerance that no difference can meet, or that every difference meets.
    #[error("tolerance of `{0}` must be a finite number of 0 or more")]
    BadTolerance(String),
    /// The same question asked twice in one file.
    #[error("`{0}` is asked twice in this file; say what differs")]
    AskedTwice(String),
}
