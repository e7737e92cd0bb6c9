//! Writing a sheet: always the same text for the same craft, in the order of the schema.

use super::SHEET_FORMAT;
use super::form::{string_text, value_text};
use crate::schema::{self, FieldDef, TableDef};
use crate::{Craft, CraftId, Part, Place, Values};

/// Writes a craft as a sheet; [`read_sheet`](super::read_sheet) gives the same craft back.
pub fn write_sheet(craft: &Craft) -> String {
    let mut text = format!("creance_sheet = {SHEET_FORMAT}\n\n{}", craft_block(craft));
    for part in &craft.parts {
        text.push('\n');
        text.push_str(&part_blocks(part));
    }
    for place in &craft.places {
        text.push('\n');
        text.push_str(&place_block(place));
    }
    text
}

/// A key with its value as it is written.
pub(super) type Entry = (&'static str, String);

pub(super) fn craft_entries(craft: &Craft) -> Vec<Entry> {
    let mut entries = vec![("name", string_text(&craft.name))];
    if craft.id != CraftId::from_name(&craft.name) {
        entries.push(("id", string_text(craft.id.as_str())));
    }
    entries.extend(craft.class.map(|class| ("class", string_text(class.word()))));
    entries.extend(value_entries(schema::craft::FIELDS, &craft.values));
    entries
}

pub(super) fn part_entries(part: &Part) -> Vec<Entry> {
    let mut entries = vec![("kind", string_text(part.kind.def().word)), ("name", string_text(&part.name))];
    entries.extend(value_entries(part.kind.def().fields, &part.values));
    entries
}

pub(super) fn place_entries(place: &Place) -> Vec<Entry> {
    let mut entries = vec![("part", string_text(place.part.as_str()))];
    entries.extend(place.on.as_ref().map(|on| ("on", string_text(&on.to_string()))));
    entries.extend(value_entries(schema::place::FIELDS, &place.values));
    entries
}

pub(super) fn value_entries(fields: &[FieldDef], values: &Values) -> Vec<Entry> {
    let entry = |def: &FieldDef| Some((def.key, value_text(def, values.get(def.key)?, def.key.len() + 3)));
    fields.iter().filter_map(entry).collect()
}

/// The craft with all its rows, a blank line between headings.
pub(super) fn craft_block(craft: &Craft) -> String {
    let mut text = block("[craft]", &craft_entries(craft));
    for table in schema::wiring::TABLES {
        for row in craft.tables.get(table.key).into_iter().flatten() {
            text.push('\n');
            text.push_str(&row_block("craft", table, &row.0));
        }
    }
    text
}

/// A part with all its rows, a blank line between headings.
pub(super) fn part_blocks(part: &Part) -> String {
    let mut text = block(&format!("[part.{}]", part.id), &part_entries(part));
    for table in part.kind.def().tables {
        for row in part.tables.get(table.key).into_iter().flatten() {
            text.push('\n');
            text.push_str(&row_block(&format!("part.{}", part.id), table, &row.0));
        }
    }
    text
}

/// One row under the heading of what it belongs to.
pub(super) fn row_block(under: &str, table: &TableDef, row: &Values) -> String {
    block(&format!("[[{under}.{}]]", table.key), &value_entries(table.fields, row))
}

pub(super) fn place_block(place: &Place) -> String {
    block(&format!("[place.{}]", place.id), &place_entries(place))
}

fn block(heading: &str, entries: &[Entry]) -> String {
    let mut text = format!("{heading}\n");
    for (key, value) in entries {
        text.push_str(&format!("{key} = {value}\n"));
    }
    text
}
