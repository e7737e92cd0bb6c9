//! Cards for loading units: what lies on one, and how one is written so that no half-written image can ever be taken for a whole.
//!
//! [`look`] says what a card is; [`put`] writes one image with the files that stay beside it; [`settle`] brings a card
//! that was pulled out in the middle back to the old state or on to the new one; [`read_back`] says whether what lies
//! there is still what was written. The plan comes from `firmware`, which opens no file; this crate decides nothing.
//!
//! Only names below the folder that was pointed at are touched, each checked to be one step; links are not followed.

mod fault;
mod look;
mod master;
mod paths;
mod put;
mod record;
mod settle;
mod watch;

pub use fault::CardFault;
pub use look::{look, read_back};
pub use master::{Master, look_at_master};
pub use put::{Load, put};
pub use settle::{Settled, settle};
pub use watch::{Deed, Turn, Unwatched, Watch};
