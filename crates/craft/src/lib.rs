//! The model: parts, places, craft; the schema they follow; the sheet format.
//!
//! A *part* is one kind of thing with facts from a data sheet or calipers. A *place* puts a part
//! somewhere in a craft. A *craft* is places, the parts they use, and how it is meant to be flown.
//! What facts a part may carry is said once, in [`schema`]; reading a sheet, the form on the page, the
//! manual, the limits and the default doubts all follow that table.
//!
//! This crate knows `quantity` and nothing else: no discipline, no store, no page.

mod check;
mod craft;
mod edit;
mod ids;
mod item;
pub mod limits;
mod part;
mod place;
pub mod schema;
pub mod sheet;
mod text;
mod text_fault;
mod value;

pub use check::{
    CraftFault, CraftFaultKind, Owner, Spot, faults, feature_names, pad_names, plug_names, port_names,
};
pub use craft::{Craft, CraftClass};
pub use edit::{Edit, EditFault, Move, apply};
pub use ids::{CraftId, IdFault, PartId, PlaceId};
pub use item::{Item, Missing, Reading};
pub use part::{Part, Row};
pub use place::{Anchor, Place, PlugRef};
pub use sheet::{SheetFault, SheetReading, read_sheet, rewrite_sheet, write_sheet};
pub use text::{check_value, is_unseen, read_value, write_value};
pub use text_fault::ValueFault;
pub use value::{Value, Values};
