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
//! A link is one thing, told as all antennas of the station get it, chosen or put together as the receiver does: what is in hand in the mean, and what of it
//! is left 99 % of the time ([`Link::lasting`]), from which the words clean, thin, breaking and lost follow ([`radio::Cliff`]). One notion of a range
//! (`farthest.rs`) serves figures, charts, costs, rules and mends: how far something is left 99 % of the time, short breaks apart;
//! every lobe of the ground is looked into (`way.rs`), once for all that is asked (`outward.rs`). What walls, leaves and ground may be off by is a
//! doubt like any other (`spread.rs`).
//!
//! No finding rests on the figures of a link (`figures/`): they are worked out when somebody asks. What a rule judges has its figure there.
//!
//! Left out: more than one transmitter, receiver or station (the first of each counts), the pilot's own body, and
//! everything `radio` leaves out. In the null of a lobe, and behind walls and leaves, the scattered power that fades are made of is not added to the mean, so that
//! the margin there errs toward too little; and the factor of the fades is that of a clear line there as well, so that what they take errs toward too
//! little too. Both go together: who lowers the factor behind a wall has to add what is scattered round it.

mod account;
mod asked;
mod at;
mod band;
mod behind;
mod carries;
mod changes;
mod cost;
mod doubt;
mod ends;
mod farthest;
mod figures;
mod held;
mod lack;
#[cfg(test)]
mod limit_tests;
mod model;
mod needs;
mod outward;
mod pattern;
mod pattern_file;
mod plan;
mod radiator;
#[cfg(test)]
mod range_tests;
mod reading;
mod ready;
mod scenery;
mod shadow;
mod spread;
mod sweep;
#[cfg(test)]
mod tests;
mod told;
mod way;

pub use account::{Account, AccountTerm, picture_word};
pub use asked::LinkAsked;
pub use at::{Attitude, InputAt, LinkAt, PairAt};
pub use band::{TIMES, together as ends_together};
pub(crate) use behind::Behind;
pub use carries::Carried;
pub(crate) use changes::better_pair;
pub use cost::{AsItIs, Cost};
pub(crate) use ends::walled_in;
pub use farthest::{Blink, Farthest, KEPT_FOR, KEPT_WORDS, LOOKED};
pub use figures::RangeTold;
pub(crate) use figures::{feed_figure, link_figures};
pub use held::{held_percent, held_words};
pub use lack::Lack;
pub use model::{Link, LinkAntenna, LinkModel, LinkObstacle, LinkThreshold, RadioLevel, Side};
pub use outward::{Gone, Outward};
pub use pattern::{PatternPoint, Plane};
pub use pattern_file::{PatternFault, hand_word, pattern_on_sheet, read_pattern};
pub use plan::{FlightPlan, HeldLow};
pub use radiator::Mounted;
pub(crate) use scenery::outline;
pub(crate) use spread::spread_lines;
pub use sweep::{MarginPoint, Seen};
