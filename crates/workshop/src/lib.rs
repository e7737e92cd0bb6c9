//! The workshop: one file on disk that holds parts, craft and the journal of all that happened to them.
//!
//! The store is SQLite with a write-ahead log, every commit synced to disk before it is acknowledged.
//! - Every change is one transaction and one journal line; every edit can be undone and redone.
//! - A part is shared by the craft that use it: editing it changes it for all of them.
//! - One program at a time may write; others may read meanwhile.
//! - A damaged file is noticed when it is opened, and the last good backup offered.
//!
//! The crate reads no clock and prints nothing: whoever calls says when ([`Moment`]) and tells the user.
//! It knows the craft model and the sheet format's two doors, and no discipline, no page, no network.
//!
//! ```no_run
//! # fn main() -> Result<(), workshop::WorkshopFault> {
//! use workshop::{Moment, Workshop};
//! let mut shop = Workshop::open_or_create("garage.creance")?.workshop;
//! let racer = shop.new_craft("Racer", None, Moment::from_unix_seconds(1_900_000_000))?;
//! assert_eq!(shop.craft(&racer.id)?, racer);
//! # Ok(())
//! # }
//! ```

#[cfg(test)]
mod at_hand;

mod backup;
mod demo;
mod exchange;
mod fleet;
mod form;
mod history;
mod hold;
mod keeping;
mod mending;
mod open;
mod restore;
mod setting;
mod shelf;
mod workshop;

mod adopt;
mod draft;
mod journal;
mod row;

mod fault;
mod moment;

pub use exchange::Imported;
pub use fault::{Holder, Later, WorkshopFault};
pub use fleet::CraftCard;
pub use journal::{JournalKind, JournalLine};
pub use keeping::{Drawer, Keep, Keepable, Kept, KeptLine};
pub use mending::{Ended, MendingRow};
pub use moment::Moment;
pub use open::{BroughtUp, Opened};
pub use restore::Restored;
pub use shelf::StoredPart;
pub use workshop::Workshop;
