//! A value as a part or place holds it, and the bag of values by key.

use quantity::Fact;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// One value. Which variant a key holds is said by its definition in the schema.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Value {
    /// A quantity with unit, tolerance and basis.
    Fact(Fact),
    /// How many.
    Count(u32),
    /// Yes or no.
    Flag(bool),
    /// A word or a line of text: a choice, a name, a reference or a note.
    Text(String),
    /// Points of an outline or of a hole pattern, in mm, in the plane of its plate.
    Points(Vec<[f64; 2]>),
}

/// Values by key. Keys are those of the schema, so that a stored key is always a known one.
pub type Values = BTreeMap<String, Value>;
