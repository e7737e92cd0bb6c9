//! The supply of a craft as charts: a flight, a punch by charge, how long the pack lasts, warming up, air speed.
//!
//! Numbers come from `proof::supply`; here they become charts with their words. Whatever shows a pack carries [`PACK_NOTE`], whatever
//! shows a hot unit [`HOT_NOTE`].

mod flight;
mod heat;

pub use flight::{by_warmth, endurance, over_flight, punch_by_charge};
pub use heat::{by_air_speed, warming_up};

use crate::chart::{Axis, ChartFault};
use crate::link::lack_words;
use proof::Proved;
use proof::supply::{Supply, SupplyAsked};
use quantity::Unit;
use thiserror::Error;

/// Stands wherever a pack is shown.
pub const PACK_NOTE: &str = "Computed from sheets and a plan: land early the first times, and charge attended. A crashed or puffed pack rests outdoors.";
/// Stands wherever a hot unit is shown.
pub const HOT_NOTE: &str = "Never power it without an antenna. A unit at its limit burns who touches it: let it cool. Blades off on the bench.";

/// From so many seconds on an axis counts minutes, as the sentences beside it do.
const IN_MINUTES: f64 = 180.0;

/// An axis of time for what lasts so long, and by what its seconds are multiplied.
fn time_axis(label: &str, longest: f64) -> (Axis, f64) {
    match longest >= IN_MINUTES {
        true => (Axis::even(format!("{label}, min"), Unit::Count), 1.0 / 60.0),
        false => (Axis::even(label, Unit::Seconds), 1.0),
    }
}

/// Why a supply is not drawn.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum SupplyFault {
    /// Nothing to feed.
    #[error(
        "{craft:?} has no pack or no video transmitter, so there is no supply to draw; put both on it first"
    )]
    Nothing {
        /// The craft.
        craft: String,
    },
    /// Something lacks.
    #[error("the supply of {craft:?} lacks {lacks}; enter that first")]
    Lacks {
        /// The craft.
        craft: String,
        /// What, in words.
        lacks: String,
    },
    /// Facts that cannot be.
    #[error("the supply of {craft:?} cannot be drawn: {wrong}")]
    Wrong {
        /// The craft.
        craft: String,
        /// What is wrong and its mend, in words.
        wrong: String,
    },
    /// A chart that cannot be drawn.
    #[error(transparent)]
    Chart(#[from] ChartFault),
}

/// A supply with what is asked of it.
pub struct SupplyShown<'a> {
    /// The craft's name.
    pub craft: &'a str,
    /// The supply as asked.
    pub supply: Supply,
}

impl<'a> SupplyShown<'a> {
    /// The supply of a proved craft, as asked.
    pub fn new(craft: &'a str, proved: &Proved, asked: &SupplyAsked) -> Result<Self, SupplyFault> {
        let none = || SupplyFault::Nothing { craft: craft.to_owned() };
        let supply = proved.supply.as_deref().ok_or_else(none)?;
        Ok(Self { craft, supply: supply.asked(asked) })
    }

    pub(crate) fn lacks(&self, lack: &proof::link::Lack) -> SupplyFault {
        let craft = self.craft.to_owned();
        match lack.missing.is_empty() {
            true => SupplyFault::Wrong { craft, wrong: lack_words(lack).join("; ") },
            false => SupplyFault::Lacks { craft, lacks: lack_words(lack).join("; ") },
        }
    }
}
