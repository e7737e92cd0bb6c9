//! Where the end of a lead goes: the plug that a place's `from` or `to` names.

use crate::{Placed, Proof};
use craft::schema::{Field, shape::plug};
use craft::{Item, Missing, Place, PlugRef};

/// Where one end of a lead goes.
#[derive(Clone, Debug)]
pub(crate) enum End<'a> {
    /// Nobody said.
    Unsaid(Missing),
    /// It names a place or a plug that is not there; the text as written.
    Nowhere(&'a str),
    /// A plug of a part.
    Plug(Placed<'a>, Item<'a>),
    /// A part that has no table of plugs: a pigtail or an antenna, and the word after the stroke.
    Lead(Placed<'a>, String),
}

/// Where a place's `from` or `to` goes.
pub(crate) fn end<'a>(proof: &Proof<'a>, place: &'a Place, field: &Field<str>) -> End<'a> {
    let text = match place.item().text(field) {
        Ok(text) => text,
        Err(missing) => return End::Unsaid(missing),
    };
    let Some(PlugRef { place, plug: name }) = PlugRef::read(text) else { return End::Nowhere(text) };
    let Some(placed) = proof.placed_at(&place) else {
        return End::Nowhere(text);
    };
    if !placed.part.kind.def().tables.iter().any(|table| table.key == plug::TABLE.key) {
        return End::Lead(placed, name);
    }
    match placed.part.row_named(&plug::TABLE, &name) {
        Some(row) => End::Plug(placed, row),
        None => End::Nowhere(text),
    }
}
