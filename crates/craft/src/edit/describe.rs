//! An edit in words: one line for the journal and for "undo …".

use super::{Edit, Move};
use crate::schema::FieldDef;
use crate::text_fault::shown;
use crate::{Craft, Part, PartId, schema};

pub(super) fn describe(edit: &Edit, craft: &Craft) -> String {
    match edit {
        Edit::SetCraft { key, text } => {
            said(label(schema::craft::FIELDS, key), &format!("craft {:?}", craft.name), text.as_deref())
        }
        Edit::AddPart { kind, name, .. } => format!("Add {} {}", kind.def().plain, shown(name)),
        Edit::AddPartWhole { part } => {
            format!("Add {} {} with its facts", part.kind.def().plain, shown(&part.name))
        }
        Edit::RemovePart { part } => format!("Remove {}", called(craft, part)),
        Edit::RenamePart { part, name } => format!("Rename {} to {}", called(craft, part), shown(name)),
        Edit::SetPart { part, key, text } => {
            let fields = craft.part(part).map_or(&[][..], |part| part.kind.def().fields);
            said(label(fields, key), &called(craft, part), text.as_deref())
        }
        Edit::AddRow { part, table, values } => {
            let one = one_of(craft.part(part), table);
            match values.get("name") {
                Some(name) => format!("Add {one} {} to {}", shown(name), called(craft, part)),
                None => format!("Add {one} to {}", called(craft, part)),
            }
        }
        Edit::SetRow { part, table, row, key, text } => {
            let def = craft.part(part).and_then(|part| table_def(part, table));
            let fields = def.map_or(&[][..], |table| table.fields);
            said(label(fields, key), &called_row(craft, part, table, *row), text.as_deref())
        }
        Edit::RemoveRow { part, table, row } => format!("Remove {}", called_row(craft, part, table, *row)),
        Edit::AddCraftRow { table, values } => match (values.get("from"), values.get("to")) {
            (Some(from), Some(to)) => {
                format!("Add {} from {} to {}", craft_one(table), shown(from), shown(to))
            }
            _ => format!("Add {}", craft_one(table)),
        },
        Edit::SetCraftRow { table, row, key, text } => {
            let fields = craft_def(table).map_or(&[][..], |table| table.fields);
            said(label(fields, key), &craft_row(craft, table, *row), text.as_deref())
        }
        Edit::RemoveCraftRow { table, row } => format!("Remove {}", craft_row(craft, table, *row)),
        Edit::DuplicatePart { part, name } => format!("Copy {} as {}", called(craft, part), shown(name)),
        Edit::AddPlace { id, part, on } => {
            let at = id.as_ref().map_or(String::new(), |id| format!(" as \"{id}\""));
            let on = on.as_ref().map_or(String::new(), |on| format!(" on {on}"));
            format!("Place {}{on}{at}", called(craft, part))
        }
        Edit::SetPlace { place, key, text } => {
            let label = match key.as_str() {
                "on" => "seat",
                key => label(schema::place::FIELDS, key),
            };
            said(label, &format!("place \"{place}\""), text.as_deref())
        }
        Edit::RemovePlace { place } => format!("Remove place \"{place}\""),
        Edit::MovePlace { place, how, x, y, z, .. } => {
            let axes = [("x", x), ("y", y), ("z", z)];
            let told: Vec<String> = axes
                .iter()
                .filter_map(|(axis, number)| number.map(|number| (axis, (number * 100.0).round() / 100.0)))
                .map(|(axis, number)| match how {
                    Move::To => format!("{axis} {number} mm"),
                    Move::By => format!("{number:+} mm along {axis}"),
                })
                .collect();
            let word = if *how == Move::To { "to" } else { "by" };
            match told.is_empty() {
                true => format!("Leave place \"{place}\" where it is"),
                false => format!("Move place \"{place}\" {word} {}", told.join(", ")),
            }
        }
        Edit::Together { what, .. } => what.trim().to_owned(),
        Edit::SwapPart { part, with } => {
            format!("Put {} in place of {}", called(craft, with), called(craft, part))
        }
    }
}

fn said(label: &str, called: &str, text: Option<&str>) -> String {
    match text {
        None => format!("Clear {label} of {called}"),
        Some(text) if text.chars().count() > 60 => format!("Set {label} of {called}"),
        Some(text) => format!("Set {label} of {called} to {}", text.trim().replace('\n', " ")),
    }
}

fn label<'a>(fields: &[FieldDef], key: &'a str) -> &'a str {
    fields.iter().find(|def| def.key == key).map_or(key, |def| def.label)
}

fn called(craft: &Craft, part: &PartId) -> String {
    match craft.part(part) {
        Some(part) => format!("{} {:?}", part.kind.def().plain, part.name),
        None => format!("part \"{part}\""),
    }
}

fn table_def(part: &Part, table: &str) -> Option<&'static schema::TableDef> {
    part.kind.def().tables.iter().find(|def| def.key == table)
}

fn one_of<'a>(part: Option<&Part>, table: &'a str) -> &'a str {
    part.and_then(|part| table_def(part, table)).map_or(table, |def| def.one)
}

fn called_row(craft: &Craft, part: &PartId, table: &str, row: usize) -> String {
    let item = craft.part(part).and_then(|part| part.rows(table_def(part, table)?).nth(row));
    match item {
        Some(item) => item.called,
        None => format!(
            "{} {} of {}",
            one_of(craft.part(part), table),
            row.saturating_add(1),
            called(craft, part)
        ),
    }
}

fn craft_def(table: &str) -> Option<&'static schema::TableDef> {
    schema::wiring::TABLES.iter().find(|def| def.key == table)
}

fn craft_one(table: &str) -> &str {
    craft_def(table).map_or(table, |def| def.one)
}

/// A wire by its ends, another row by its number.
fn craft_row(craft: &Craft, table: &str, row: usize) -> String {
    let item = craft_def(table).and_then(|def| craft.rows(def).nth(row));
    let end = |key: &str| match item.as_ref()?.values.get(key) {
        Some(crate::Value::Text(text)) => Some(text.clone()),
        _ => None,
    };
    match (end("from"), end("to")) {
        (Some(from), Some(to)) => format!("{} {from} – {to}", craft_one(table)),
        _ => format!("{} {}", craft_one(table), row.saturating_add(1)),
    }
}
