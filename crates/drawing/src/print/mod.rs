//! Printable solids: adapter plates, camera wedges, side cheeks, antenna holders.
//!
//! Each solid takes its sizes in millimetres and is checked before it is made: walls and holes as
//! [`custom`] asks for, heads that do not meet, angles a print can have. Its surface is closed by the way it is built and
//! held to that by [`fit::Mesh`]. Left out: support, slicing and what else the printer's own program knows.

mod adapter_for_board;
mod adapter_plate;
mod adapter_turn;
mod as_part;
mod bore;
mod cheek;
mod cheeks_for_camera;
mod choices;
pub mod custom;
mod fault;
mod holder;
mod holder_for_antenna;
mod own_screws;
mod picture;
mod printed;
mod refusal;
mod ring;
mod stl;
#[cfg(test)]
mod testing;
mod three_mf;
mod wanted;
mod wedge;
mod wedge_for_camera;

pub(crate) use as_part::BASE;

pub use adapter_plate::{AdapterAsked, AdapterPlate, AdapterSide};
pub use bore::{HeadFace, HeadSeat, ScrewHole, ScrewInPrint};
pub use cheek::{Cheeks, CheeksAsked, Rims};
pub use choices::{Choice, Wish, choices, patterns_to_go_on, places_for, screws};
pub use fault::PrintFault;
pub use holder::{FixedBy, Fixing, Grip, Holder, HolderAsked, LEANS};
pub use picture::picture;
pub use printed::{Printed, adapters_for, print_for};
pub use refusal::PrintRefusal;
pub use stl::{HEAD_BYTES, TRIANGLE_BYTES, stl};
pub use three_mf::three_mf;
pub use wanted::{Finish, PrintKind, Wanted};
pub use wedge::{SLOPES, SeatHold, Wedge, WedgeAsked, WedgeBase};
