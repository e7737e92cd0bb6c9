//! The sheet: a craft with all its parts as one text file. Only this module knows TOML.
//!
//! A sheet is TOML 1.0 in UTF-8 (a byte order mark and either line ending are fine) of this shape:
//!
//! ```text
//! creance_sheet = 1                  the format; a newer one is refused by name
//!
//! [craft]
//! name = "Wren"                      then class, and the keys of schema::craft
//!
//! [part.ID]                          an id is lower-case letters, digits, hyphens
//! kind = "camera"                    a kind of part; says which keys and tables may follow
//! name = "nano camera"               the id when left out
//! body_width = "14 mm ± 0.1, measured"
//!
//! [[part.ID.plug]]                   one heading a row
//! name = "harness"
//!
//! [place.ID]
//! part = "ID"
//! on = "frame/nose"                  body, a place, or a place and one of its features
//! z = "4 mm, measured"               then the keys of schema::place
//! ```
//!
//! - A fact is a string in the fact grammar of `quantity`; only fields without a unit take a bare number.
//! - A count is a whole number, a flag `true` or `false`, points an array of `[x, y]` in mm.
//! - Everything else is a string: one line of at most 200 letters, notes of at most 4000.
//! - `id` in `[craft]` is written only where it does not follow from the name.
//!
//! [`read_sheet`] tells everything wrong in one pass, with line, column, value, limit and mend. A fact
//! that is missing is no fault. [`write_sheet`] writes in the order of the schema; [`rewrite_sheet`]
//! changes an old text only where the craft changed, so that comments, order and spacing stay.
//! [`manual`] is the same schema as data for the manual. Limits are in [`limits`](crate::limits).
//!
//! Left out: including other files, references to parts in a store, defaults of one's own.

mod fault;
mod form;
mod headings;
mod lines;
mod manual;
mod read;
mod reader;
mod rewrite;
mod syntax;
mod write;

pub use fault::{Severity, SheetFault, SheetFaultKind};
pub use manual::{DoubtTexts, ManualField, ManualKind, ManualTable, SheetManual, manual};
pub use read::{SheetReading, read_sheet, read_sheet_bytes};
pub use rewrite::rewrite_sheet;
pub use write::write_sheet;

/// The newest format of a sheet this program reads, and the one it writes.
pub const SHEET_FORMAT: u32 = 1;
