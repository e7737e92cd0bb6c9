//! What to carry, as JSON: the page and `creance spares` read the same figures.

use super::journal::CraftName;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// What is planned.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SparesAsked {
    /// The craft, by id; the first one that has a class when empty.
    #[serde(default)]
    pub craft: String,
    /// Flights planned.
    #[serde(default = "some_flights")]
    pub flights: f64,
    /// How sure it shall be that each part suffices, in per cent.
    #[serde(default = "rather_sure")]
    pub sure: f64,
}

/// Flights planned where nobody says how many.
pub fn some_flights() -> f64 {
    30.0
}

/// How sure, in per cent, where nobody says.
pub fn rather_sure() -> f64 {
    90.0
}

/// What to carry.
#[derive(Serialize, TS)]
pub struct SparesView {
    /// The craft's name; empty where no craft has a class yet.
    pub craft: String,
    /// Its id.
    pub id: String,
    /// Craft one can ask for.
    pub choices: Vec<CraftName>,
    /// Flights planned.
    pub flights: f64,
    /// How sure it shall be that each part suffices, in per cent.
    pub sure: f64,
    /// Part by part.
    pub lines: Vec<SpareLine>,
    /// The chance that no part at all is wanting.
    pub all_suffice: f64,
    /// Mass of all, in g.
    pub grams: f64,
    /// Cost of all, in prices of one set of blades.
    pub blade_sets: f64,
    /// The fleet's own record that went in.
    pub record: SparesRecord,
    /// What the fleet's record says of parts nobody knows: names in the journal that lead to no part.
    pub unknown: Vec<String>,
}

/// One part.
#[derive(Serialize, TS)]
pub struct SpareLine {
    /// Its id.
    pub id: String,
    /// What it is.
    pub is: String,
    /// How many to carry.
    pub number: u32,
    /// How many failures are expected.
    pub expected: f64,
    /// How many the lore alone would expect.
    pub expected_by_lore: f64,
    /// The chance that the number suffices.
    pub suffices: f64,
    /// Mass of that many, in g.
    pub grams: f64,
    /// Cost of that many, in prices of one set of blades.
    pub blade_sets: f64,
    /// Failures of the fleet's own that went in.
    pub own: u32,
}

/// What the fleet's own journal counts.
#[derive(Serialize, TS)]
pub struct SparesRecord {
    /// Flights of all craft of the class.
    pub flights: f64,
    /// Hours of them, where minutes were written down.
    pub hours: f64,
    /// Craft of the class, by name.
    pub craft: Vec<String>,
    /// Parts that were replaced in repairs.
    pub replaced: u32,
}
