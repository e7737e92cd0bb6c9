//! What pages ask for, beyond edits. Unknown keys are refused, so that a slip is told instead of ignored.

use serde::Deserialize;

/// A craft to begin.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CraftAsked {
    /// Its name.
    pub name: String,
    /// The word of its class.
    #[serde(default)]
    pub class: Option<String>,
}

/// A name for a copy.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NameAsked {
    /// The name.
    pub name: String,
}

/// A part to begin.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartAsked {
    /// The word of its kind.
    pub kind: String,
    /// Its name.
    pub name: String,
}

/// A backup to write.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BackupAsked {
    /// The name of its file, without folders.
    #[serde(default)]
    pub name: Option<String>,
}
