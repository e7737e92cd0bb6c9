//! A refusal as JSON: what is the matter, and the mend.

use serde::Serialize;
use ts_rs::TS;

/// What the server answers when it does not do what was asked.
#[derive(Debug, Serialize, TS)]
pub struct Refused {
    /// What is the matter.
    pub refused: String,
    /// What to do.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub hint: Option<String>,
    /// All that is wrong with a sheet, in the order of its lines.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[ts(as = "Option<Vec<SheetFaultView>>", optional)]
    pub faults: Vec<SheetFaultView>,
}

/// One thing wrong with a sheet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, TS)]
pub struct SheetFaultView {
    /// The line, from 1.
    pub line: u32,
    /// The column, from 1.
    pub column: u32,
    /// What is wrong.
    pub message: String,
    /// What to do.
    pub hint: Option<String>,
}
