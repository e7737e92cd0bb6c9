//! What a vector file says, once read: rows fit to be run, each with its source and its tolerances.
//!
//! Plain data. How a file becomes these, and what may be wrong with it, is in `read.rs`.

use quantity::Grade;
use serde::Serialize;
use toml_edit::Table;

/// Where an expected value comes from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct RowSource {
    /// The document with its edition, or the program with its version.
    pub title: String,
    /// Table, equation, clause or call.
    pub place: String,
    /// How far it goes.
    pub grade: Grade,
}

/// The script that made a file of vectors.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct MadeBy {
    /// Its name, beside the vectors.
    pub script: String,
    /// The versions of what it called.
    pub versions: String,
}

/// One value that is expected, and how far ours may differ from it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Expected {
    pub key: String,
    pub value: f64,
    pub allowed: f64,
}

/// One row, fit to be run.
#[derive(Clone, Debug)]
pub(crate) struct Check {
    pub line: usize,
    pub kind: String,
    pub asks: String,
    pub given: Table,
    pub expected: Vec<Expected>,
    pub because: String,
    pub source: RowSource,
    pub skip: Option<String>,
}

/// One file of vectors.
#[derive(Clone, Debug, Default)]
pub(crate) struct Vectors {
    pub made_by: Option<MadeBy>,
    pub checks: Vec<Check>,
}
