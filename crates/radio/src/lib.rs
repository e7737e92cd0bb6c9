//! What reaches the receiver: antennas, polarisation, feeds, paths, noise and fading of a radio link.
//!
//! Everything between two antennas is one complex amplitude: a transmitting antenna gives a field with a
//! polarisation, the ground, a slab or an edge multiplies its parts, and the receiving antenna takes the part
//! that fits it. Hand, axial ratio, tilt and reflection come out of that one mechanism.
//!
//! The frame is that of the flying place: x, y and z up, in metres; an antenna or craft has x forward, y left, z up
//! and is turned into it. Time runs as e^(+jωt), waves as e^(−jkr). Plain functions over plain values; the crate
//! knows only `quantity`. Left out: bandwidth wide enough that delay matters, moving scatterers, the near field.

mod air;
mod antenna;
mod beam;
mod bounds;
mod budget;
mod carrier;
mod coax;
mod complex;
mod direction;
mod diversity;
mod edge;
mod fading;
mod fault;
mod feed;
mod fresnel;
mod ground;
mod helix;
mod lasting;
mod material;
mod measured;
mod measured_rows;
mod mismatch;
mod noise;
mod picture;
#[cfg(test)]
mod plain;
mod polarisation;
mod quadrature;
mod radiated;
mod reach;
mod reception;
mod screen;
mod share;
mod site;
mod slab;
mod turn;
mod two_walls;
mod wall;
mod way;
mod woodland;

pub use air::{
    FREE_SPACE_SOURCE, GAS_SOURCE, RAIN_SOURCE, free_space_loss, gas_loss, rain_coefficients, rain_loss,
};
pub use antenna::{Antenna, CURRENTS_SOURCE, DIPOLE_GAIN, DIPOLE_SOURCE, OMNI_SOURCE};
pub use beam::{BEAM_SOURCE, Beam};
pub use bounds::LossRange;
pub use budget::{BUDGET_SOURCE, Budget, BudgetTerm, Part, Station, Threshold, Weather, budget, carrying};
pub use carrier::Carrier;
pub use coax::{COAX_SOURCE, Coax};
pub use complex::Complex;
pub use direction::{Direction, Place};
pub use diversity::{Combining, DIVERSITY_SOURCE, selection_gain, share_held};
pub use edge::{EDGE_SOURCE, Edge, Path, edge_loss, first_zone, quick_edge_loss};
pub use fading::{FADING_SOURCE, Fading, SURROUNDINGS_SOURCE, Surroundings};
pub use fault::RadioFault;
pub use feed::{Feed, FeedLoss, FeedPart, JOINT_SOURCE, JointState};
pub use fresnel::fresnel_integrals;
pub use ground::{GROUND_SOURCE, Ground, ROUGHNESS, break_distance};
pub use helix::{HELIX_SOURCE, Helix};
pub use lasting::Lasting;
pub use material::{EARLIER_SOURCE, MATERIAL_SOURCE, Material, Surface, half_space};
pub use measured::MeasuredPattern;
pub use measured_rows::{MeasuredRow, rows_twice};
pub use mismatch::{MISMATCH_SOURCE, Match, mismatch_loss};
pub use noise::{
    LADDER_SOURCE, MODE_SOURCE, NOISE_SOURCE, VideoMode, chain_figure, coded_ratios, noise_floor,
};
pub use picture::{CLIFF_SOURCE, Cliff, Picture};
pub use polarisation::{
    Hand, Jones, POLARISATION_SOURCE, Polarisation, coupling, coupling_by_tilt, discrimination,
};
pub use radiated::{
    EMISSION_LIMITS, EXPOSURE_LEVEL_W_PER_M2, EXPOSURE_SOURCE, EmissionLimit, LIMIT_CAUTION,
    exposure_distance, field_at, radiated, radiated_from_field,
};
pub use reach::{Held, Reach, lowest_step};
pub use reception::{Bounce, End, Reception, Scenery, reception};
pub use screen::{SHADOW_MOST, SHADOW_SOURCE, Screen, shadow};
pub use share::{DEEPEST, loss_of};
pub use site::{Arrived, Site};
pub use slab::{Filling, SLAB_SOURCE, Slab, SlabWaves};
pub use turn::Turn;
pub use two_walls::two_walls;
pub use wall::{Wall, Wood};
pub use woodland::{
    WOODLAND_SOURCE, woodland_early, woodland_exponential, woodland_loss, woodland_weissberger,
};
