//! Does the video stay powered and cool, and for how long? Packs, supply rails, propulsion load, endurance, heat.
//!
//! Plain functions over plain values: air and discs give the load, a pack gives the voltage under it, wires and converters bring
//! it to each pin, and what is not radiated becomes heat. Electrical time runs from event to event, in steps as long as the error
//! allows. The crate knows only `quantity`. Left out: motors turn by turn, regenerative braking, cells that are charged.

mod air;
mod disc;
mod fault;
mod measures;
mod wire;

pub use air::{AIR_SOURCE, AIR_SPAN, Air};
pub use disc::{DISC_SOURCE, Discs, IdealPower, PropellerCoefficients};
pub use fault::PowerFault;
pub use measures::*;
pub use wire::{
    COPPER_SOURCE, FUSING_SOURCE, GAUGE_SOURCE, Lay, METRIC_SOURCE, Wire, copper_factor, gauge_diameter,
};
