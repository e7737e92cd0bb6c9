//! The radio link of a craft: from its antennas through the air to those of its ground station.
//!
//! [`LinkModel`] is read from the craft once a proof: the craft's antennas with feed, place, turn and what shadows them, the
//! antennas of the ground station, what stands about, what the receiver needs, and the levels. Each part is there or says
//! what it lacks; [`LinkModel::link`] gives the [`Link`] once nothing lacks, and that answers: what arrives at a place in an
//! attitude, which antenna carries, how far the link holds.
//!
//! Frame: that of the station, in metres: x along the flying line, y left, z up from the ground. A heading of nought flies
//! away along the line. A mast (whip, dipole, circular omni) has its axis along the z of its place; a patch or helix on a craft
//! looks along it. Whips and dipoles have the gain of their pattern, whatever their sheet says. A unit with several antennas shares
//! its level evenly among them; their powers add at the receiver.
//!
//! No finding rests on the figures of a link (`figures.rs`): they are worked out when somebody asks.
//!
//! Left out: more than one transmitter, receiver or station (the first of each counts), the pilot's own body, and
//! everything `radio` leaves out.

mod account;
mod asked;
mod at;
mod behind;
mod carries;
mod cost;
mod doubt;
mod farthest;
mod figures;
mod model;
mod pattern;
mod pattern_file;
mod plan;
mod radiator;
mod reading;
mod scenery;
mod shadow;
mod sweep;
mod way;
#[cfg(test)]
mod tests;

pub use account::{Account, AccountTerm, picture_at, picture_word};
pub use asked::LinkAsked;
pub use at::{Attitude, InputAt, LinkAt, PairAt};
pub use carries::Carried;
pub use cost::{Cost, LOOKED};
pub(crate) use behind::Behind;
pub use farthest::{Farthest, KEPT_FOR, KEPT_WORDS};
pub(crate) use figures::{feed_figure, link_figures};
pub use model::{Lack, Link, LinkAntenna, LinkModel, LinkObstacle, LinkThreshold, RadioLevel, Side};
pub use pattern::{PatternPoint, Plane};
pub use pattern_file::{PatternFault, PatternRow, directivity, pattern_on_sheet, read_pattern};
pub use plan::FlightPlan;
pub use radiator::Mounted;
pub use sweep::{LinkRange, MarginPoint};
