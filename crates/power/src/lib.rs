//! Does the video stay powered and cool, and for how long? Packs, supply rails, propulsion load, endurance, heat.
//!
//! Plain functions over plain values: air and discs give the load, a pack gives the voltage under it, wires and converters bring
//! it to each pin, and what is not radiated becomes heat. Electrical time runs from event to event, in steps as long as the error
//! allows. The crate knows only `quantity`. Left out: motors turn by turn, regenerative braking, cells that are charged.

mod air;
mod bare_wire;
mod bus;
mod cell;
mod cold;
mod converter;
mod curve;
mod disc;
mod discharge;
mod endurance;
mod face;
mod fault;
mod fit;
mod flight;
mod heat;
mod load;
mod load_test;
mod measures;
mod pack;
mod propulsion;
mod ripple;
mod supply;
mod switched;
mod terminals;
mod touch;
mod typical;
mod wire;

pub use air::{AIR_SOURCE, AIR_SPAN, Air};
pub use bare_wire::{
    COPPER_HEAT_SOURCE, INSULATION_SOURCE, SHED_SOURCE, WIRE_LIMIT, level_cylinder, shed_per_metre,
};
pub use bus::{Bus, Impedances, Swings, Tap, out_of_step};
pub use cell::{Age, BRANCHES_MOST, Branch, CELL_SOURCE, CELL_SPAN, Cell, SHAPE_SOURCE, WARMTH_SOURCE};
pub use cold::{COLD_SOURCE, charge_to_be_had};
pub use converter::{CONVERTER_SOURCE, Conversion, Converter, RailState, greatest_power};
pub use curve::{CURVE_SOURCE, OpenCircuit};
pub use disc::{DISC_SOURCE, Discs, IdealPower, PropellerCoefficients};
pub use discharge::STEP_ERROR;
pub use endurance::{
    Endurance, Landing, LandingVoltages, Over, endurance, endurance_within, fails_below, landing_voltages,
    time_for_mass,
};
pub use face::{
    Attitude, Face, MIXED_AIR_SOURCE, MOVING_AIR_SOURCE, STILL_AIR_SOURCE, Surroundings, cylinder,
    flat_plate, level_plate, mixed, upright_plate,
};
pub use fault::PowerFault;
pub use fit::{FittedCell, Train, fit_cell};
pub use flight::{Ending, Flight, Leg, LegReport, NoRails, Rails, Usage, fly};
pub use heat::{Body, COOLING_SOURCE, Unit, Warmth, heat_of};
pub use load::{Demand, Load};
pub use load_test::LoadTest;
pub use measures::*;
pub use pack::{Draw, Fold, Pack, PackState, Standing, Warming};
pub use propulsion::{LevelFlight, MERIT_SOURCE, Propulsion, StandPoint, weight};
pub use ripple::{Capacitor, Chopping, FILTER_SOURCE, Filter};
pub use supply::{LoadReport, LowestPin, NetReport, PACK, Rail, RailReport, SupplyNet};
pub use touch::{Contact, Skin, TOUCH_SOURCE, longest_contact, touch_limit};
pub use typical::{Build, TYPICAL_SOURCE, TYPICAL_SPREAD, typical_resistance};
pub use wire::{
    COPPER_MELTS, COPPER_SOURCE, FUSING_SOURCE, GAUGE_SOURCE, Lay, METRIC_SOURCE, Wire, copper_factor,
    gauge_diameter,
};
