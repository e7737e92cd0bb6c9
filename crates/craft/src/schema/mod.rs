//! What facts a part, a place and a craft may carry: the one table all else follows.
//!
//! A [`FieldDef`] says a field's key on the sheet, its words, unit, limits, default doubt and the trap
//! to mind. A [`KindDef`] lists the fields and tables of one kind of part in the order of a data sheet.
//! The sheet reader, the form on the page, the manual and the limits in messages are all made from
//! these; nothing else in the house lists fields.

pub mod air;
pub mod board;
pub mod camera;
pub mod craft;
pub mod drive;
mod field;
pub mod fixing;
pub mod frame;
pub mod ground;
mod kind;
pub mod place;
pub mod shape;
pub mod station;
pub mod wiring;

pub use field::{Field, FieldDef, Need, TableDef, ValueKind};
pub use kind::{KindDef, PartKind};
