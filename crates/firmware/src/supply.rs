//! Does the supply outlast the longest load?

use serde::{Deserialize, Serialize};

/// What feeds a unit while it is loaded.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", tag = "from")]
pub enum Supply {
    /// A bench supply or a charger that does not run out.
    Bench,
    /// A pack.
    Pack {
        /// What it is called.
        label: String,
        /// Energy it can still give before it is below 3.7 V a cell, in Wh.
        watt_hours: f64,
    },
}

/// The least share of the supply that must be left when the longest load ends.
pub const SPARE_LEAST: f64 = 0.30;
/// Where that comes from.
pub const SUPPLY_SOURCE: &str = "common practice: a supply for loading has a third in hand";

impl Supply {
    /// How long it lasts at this draw, in minutes; `None` for one that does not run out or a draw that is none.
    pub fn minutes(&self, watts: f64) -> Option<f64> {
        match self {
            Supply::Pack { watt_hours, .. } if watts.is_finite() && watts > 0.0 => {
                Some(watt_hours.max(0.0) / watts * 60.0)
            }
            _ => None,
        }
    }
}
