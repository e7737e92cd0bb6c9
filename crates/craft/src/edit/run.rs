//! Carrying an edit out.

use super::describe;
use super::rename::carry_along;
use super::{Edit, EditFault, Move, TOGETHER_MAX};
use crate::check::Guesses;
use crate::schema::{self, FieldDef, TableDef};
use crate::{
    Anchor, Craft, CraftClass, CraftFault, CraftFaultKind, Owner, Part, PartId, Place, PlaceId, PlugRef, Row,
    Value, Values, faults, read_value,
};
use quantity::{Basis, Fact, Millimetres, near_name};

/// The craft after an edit, or why there is none.
pub fn apply(craft: &Craft, edit: &Edit) -> Result<Craft, EditFault> {
    let mut after = craft.clone();
    change(&mut after, edit)?;
    let faults = new_faults(craft, &after, edit);
    if faults.is_empty() {
        return Ok(after);
    }
    let one_value = matches!(
        edit,
        Edit::SetCraft { text: Some(_), .. }
            | Edit::SetPart { text: Some(_), .. }
            | Edit::SetRow { text: Some(_), .. }
            | Edit::SetCraftRow { text: Some(_), .. }
    );
    let contradicts = |fault: &CraftFault| matches!(fault.what, CraftFaultKind::Contradiction { .. });
    Err(match one_value && faults.iter().all(contradicts) {
        true => EditFault::OneOfTwo { faults },
        false => EditFault::Unsound { faults },
    })
}

pub(super) fn change(craft: &mut Craft, edit: &Edit) -> Result<(), EditFault> {
    match edit {
        Edit::SetCraft { key, text } => set_craft(craft, key, text.as_deref()),
        Edit::AddPart { id, kind, name } => {
            let id = match id {
                Some(id) if craft.part(id).is_some() => {
                    return Err(EditFault::IdTaken { id: id.to_string(), by: "part" });
                }
                Some(id) => id.clone(),
                None => part_id(craft, &PartId::from_name(name)),
            };
            let name = read_name(&format!("new {}", kind.def().plain), name)?;
            craft.parts.push(Part::new(id, *kind, name));
            Ok(())
        }
        Edit::AddPartWhole { part } => {
            let id = part_id(craft, &part.id);
            let mut part = Part { id, ..part.clone() };
            part.tables.retain(|_, rows| !rows.is_empty());
            craft.parts.push(part);
            Ok(())
        }
        Edit::RemovePart { part } => {
            let called = called_part(part_mut(craft, part)?);
            let places: Vec<PlaceId> = craft
                .places
                .iter()
                .filter(|place| &place.part == part)
                .map(|place| place.id.clone())
                .collect();
            if !places.is_empty() {
                return Err(EditFault::PartInUse { called, places });
            }
            craft.parts.retain(|other| &other.id != part);
            Ok(())
        }
        Edit::RenamePart { part, name } => {
            let part = part_mut(craft, part)?;
            part.name = read_name(&called_part(part), name)?;
            Ok(())
        }
        Edit::SetPart { part, key, text } => {
            let part = part_mut(craft, part)?;
            let called = called_part(part);
            if key == "name" {
                part.name = read_name(&called, &required(&called, key, text.as_deref())?)?;
                return Ok(());
            }
            set(&called, part.kind.def().fields, &mut part.values, key, text.as_deref())
        }
        Edit::AddRow { part, table, values } => {
            let part = part_mut(craft, part)?;
            let table = table_of(part, table)?;
            let called = format!("new {} of {:?}", table.one, part.name);
            let mut row = Row::default();
            for (key, text) in values {
                set(&called, table.fields, &mut row.0, key, Some(text))?;
            }
            part.tables.entry(table.key.to_owned()).or_default().push(row);
            Ok(())
        }
        Edit::SetRow { part, table, row, key, text } => {
            set_row(craft, part, table, *row, key, text.as_deref())
        }
        Edit::RemoveRow { part, table, row } => {
            let part = part_mut(craft, part)?;
            let table = table_of(part, table)?;
            row_of(part, table, *row)?;
            if let Some(rows) = part.tables.get_mut(table.key) {
                rows.remove(*row);
                // A table without rows is no table: a sheet could not tell it from one left out.
                if rows.is_empty() {
                    part.tables.remove(table.key);
                }
            }
            Ok(())
        }
        Edit::AddCraftRow { table, values } => {
            let table = craft_table(craft, table)?;
            let called = format!("new {}", table.one);
            let mut row = Row::default();
            for (key, text) in values {
                set(&called, table.fields, &mut row.0, key, Some(text))?;
            }
            craft.tables.entry(table.key.to_owned()).or_default().push(row);
            Ok(())
        }
        Edit::SetCraftRow { table, row, key, text } => {
            let table = craft_table(craft, table)?;
            let found = craft_row(craft, table, *row)?;
            set(&format!("{} {}", table.one, row + 1), table.fields, &mut found.0, key, text.as_deref())
        }
        Edit::RemoveCraftRow { table, row } => {
            let table = craft_table(craft, table)?;
            craft_row(craft, table, *row)?;
            if let Some(rows) = craft.tables.get_mut(table.key) {
                rows.remove(*row);
                if rows.is_empty() {
                    craft.tables.remove(table.key);
                }
            }
            Ok(())
        }
        Edit::DuplicatePart { part, name } => {
            let like = part_mut(craft, part)?.clone();
            let name = read_name(&format!("copy of {}", called_part(&like)), name)?;
            let id = part_id(craft, &PartId::from_name(&name));
            craft.parts.push(Part { id, name, ..like });
            Ok(())
        }
        Edit::AddPlace { id, part, on } => {
            part_mut(craft, part)?;
            let id = match id {
                Some(id) if craft.place(id).is_some() => {
                    return Err(EditFault::IdTaken { id: id.to_string(), by: "place" });
                }
                Some(id) => id.clone(),
                None => place_id(craft, part),
            };
            let on = on.as_deref().map(|on| read_anchor(&id, on)).transpose()?;
            craft.places.push(Place { id, part: part.clone(), on, values: Values::new() });
            Ok(())
        }
        Edit::SetPlace { place, key, text } => set_place(craft, place, key, text.as_deref()),
        Edit::RemovePlace { place } => remove_place(craft, place),
        Edit::MovePlace { place, how, x, y, z, basis } => {
            let place = place_mut(craft, place)?;
            for (axis, number) in [("x", x), ("y", y), ("z", z)] {
                if let Some(number) = number {
                    move_along(place, axis, *how, *number, basis.unwrap_or(Basis::Typical))?;
                }
            }
            Ok(())
        }
        Edit::SwapPart { part, with } => {
            part_mut(craft, part)?;
            part_mut(craft, with)?;
            for place in craft.places.iter_mut().filter(|place| &place.part == part) {
                place.part = with.clone();
            }
            Ok(())
        }
        Edit::Together { what, edits } => {
            read_name("several changes", what)?;
            if edits.len() > TOGETHER_MAX {
                return Err(EditFault::TooManyTogether { what: what.clone(), count: edits.len() });
            }
            edits.iter().try_for_each(|edit| match edit.is_of_one_craft() {
                true => change(craft, edit),
                false => Err(EditFault::NotTogether {
                    what: what.clone(),
                    change: describe::describe(edit, craft),
                }),
            })
        }
    }
}

/// What is wrong after the edit that was not wrong before.
fn new_faults(before: &Craft, after: &Craft, edit: &Edit) -> Vec<CraftFault> {
    let found = faults(after);
    if found.is_empty() {
        return found;
    }
    let mut old = faults(before);
    if let Edit::RemoveCraftRow { table, row } = edit {
        for fault in &mut old {
            if let (Owner::Craft, Some((other, number))) = (&fault.at.owner, &mut fault.at.row)
                && other == table
                && *number > *row
            {
                *number -= 1;
            }
        }
    }
    if let Edit::RemoveRow { part, table, row } = edit {
        // Rows behind the removed one moved up by one, and so did what was wrong with them.
        for fault in &mut old {
            if let (Owner::Part(owner), Some((other, number))) = (&fault.at.owner, &mut fault.at.row)
                && owner == part
                && other == table
                && *number > *row
            {
                *number -= 1;
            }
        }
    }
    // The same sort of fault at the same spot is the same fault, though the names it offers may differ.
    let sort = |fault: &CraftFault| std::mem::discriminant(&fault.what);
    let was = |fault: &CraftFault| old.iter().any(|old| old.at == fault.at && sort(old) == sort(fault));
    found.into_iter().filter(|fault| !was(fault)).collect()
}

fn set_craft(craft: &mut Craft, key: &str, text: Option<&str>) -> Result<(), EditFault> {
    let called = format!("craft {:?}", craft.name);
    match (key, text) {
        ("name", text) => craft.name = read_name(&called, &required(&called, key, text)?)?,
        ("class", None) => craft.class = None,
        ("class", Some(text)) => {
            let word = text.trim();
            let words = || CraftClass::ALL.iter().map(|class| class.word());
            craft.class = Some(CraftClass::from_word(word).ok_or_else(|| EditFault::NoClass {
                text: word.to_owned(),
                did_you_mean: near_name(word, words()),
                words: words().collect(),
            })?);
        }
        _ => set_with(&called, schema::craft::FIELDS, &["name", "class"], &mut craft.values, key, text)?,
    }
    Ok(())
}

fn set_row(
    craft: &mut Craft,
    id: &PartId,
    table: &str,
    row: usize,
    key: &str,
    text: Option<&str>,
) -> Result<(), EditFault> {
    let part = part_mut(craft, id)?;
    let table = table_of(part, table)?;
    row_of(part, table, row)?;
    let called = part.rows(table).nth(row).map(|item| item.called).unwrap_or_default();
    let Some(row) = part.tables.get_mut(table.key).and_then(|rows| rows.get_mut(row)) else { return Ok(()) };
    let name = |row: &Row| match row.0.get("name") {
        Some(Value::Text(name)) => Some(name.clone()),
        _ => None,
    };
    let old = name(row);
    set(&called, table.fields, &mut row.0, key, text)?;
    if let ("name", Some(old), Some(new)) = (key, old, name(row)) {
        carry_along(craft, id, table.key, &old, &new);
    }
    Ok(())
}

fn set_place(craft: &mut Craft, id: &PlaceId, key: &str, text: Option<&str>) -> Result<(), EditFault> {
    let place = place_mut(craft, id)?;
    let called = place.item().called;
    match (key, text) {
        ("on", None) => place.on = None,
        ("on", Some(text)) => place.on = Some(read_anchor(id, text)?),
        ("part", text) => {
            let text = required(&called, key, text)?;
            let part = PartId::new(text.trim()).map_err(|fault| EditFault::Id { called, fault })?;
            part_mut(craft, &part)?;
            place_mut(craft, id)?.part = part;
        }
        _ => set_with(&called, schema::place::FIELDS, &["on", "part"], &mut place.values, key, text)?,
    }
    Ok(())
}

fn remove_place(craft: &mut Craft, id: &PlaceId) -> Result<(), EditFault> {
    place_mut(craft, id)?;
    let others = || craft.places.iter().filter(|place| &place.id != id);
    let seated: Vec<PlaceId> = others()
        .filter(|place| place.on.as_ref().and_then(Anchor::place) == Some(id))
        .map(|place| place.id.clone())
        .collect();
    let into = |value: Option<&Value>| match value {
        Some(Value::Text(text)) => PlugRef::read(text).is_some_and(|plug| &plug.place == id),
        _ => false,
    };
    let plugged: Vec<PlaceId> = others()
        .filter(|place| {
            let ends = [schema::place::FROM.def.key, schema::place::TO.def.key];
            ends.iter().any(|key| into(place.values.get(*key)))
        })
        .map(|place| place.id.clone())
        .collect();
    if !seated.is_empty() || !plugged.is_empty() {
        return Err(EditFault::PlaceInUse { place: id.clone(), seated, plugged });
    }
    craft.places.retain(|place| &place.id != id);
    Ok(())
}

fn move_along(
    place: &mut Place,
    axis: &'static str,
    how: Move,
    number: f64,
    basis: Basis,
) -> Result<(), EditFault> {
    if !number.is_finite() {
        return Err(EditFault::NotFinite { place: place.id.clone(), axis });
    }
    let now = match place.values.get(axis) {
        Some(Value::Fact(fact)) => fact.quantity.value,
        _ => 0.0,
    };
    let wanted = if how == Move::By { now + number } else { number };
    let wanted = (wanted * 100.0).round() / 100.0;
    if wanted != now {
        let fact = Fact::new(Millimetres::new(wanted), basis);
        place.values.insert(axis.to_owned(), Value::Fact(fact));
    }
    Ok(())
}

fn set(
    called: &str,
    fields: &'static [FieldDef],
    values: &mut Values,
    key: &str,
    text: Option<&str>,
) -> Result<(), EditFault> {
    set_with(called, fields, &[], values, key, text)
}

/// Sets or clears one value; `also` are keys that may stand there beside the fields.
fn set_with(
    called: &str,
    fields: &'static [FieldDef],
    also: &[&'static str],
    values: &mut Values,
    key: &str,
    text: Option<&str>,
) -> Result<(), EditFault> {
    let Some(def) = fields.iter().find(|def| def.key == key) else {
        let known = fields.iter().map(|def| def.key).chain(also.iter().copied());
        let (called, key) = (called.to_owned(), key.to_owned());
        return Err(EditFault::NoKey { did_you_mean: near_name(&key, known), called, key });
    };
    match text {
        None => values.remove(key),
        Some(text) => {
            let value = read_value(def, text)
                .map_err(|fault| EditFault::Value { called: called.to_owned(), fault })?;
            values.insert(key.to_owned(), value)
        }
    };
    Ok(())
}

fn required(called: &str, key: &str, text: Option<&str>) -> Result<String, EditFault> {
    let missing = || EditFault::Required { called: called.to_owned(), key: key.to_owned() };
    text.map(str::to_owned).ok_or_else(missing)
}

fn read_name(called: &str, text: &str) -> Result<String, EditFault> {
    match read_value(&schema::shape::NAME.def, text) {
        Ok(Value::Text(name)) => Ok(name),
        Ok(_) => Ok(text.trim().to_owned()),
        Err(fault) => Err(EditFault::Value { called: called.to_owned(), fault }),
    }
}

fn read_anchor(place: &PlaceId, text: &str) -> Result<Anchor, EditFault> {
    Anchor::read(text).map_err(|fault| EditFault::Id { called: format!("place \"{place}\", on"), fault })
}

fn called_part(part: &Part) -> String {
    format!("{} {:?}", part.kind.def().plain, part.name)
}

fn part_mut<'a>(craft: &'a mut Craft, id: &PartId) -> Result<&'a mut Part, EditFault> {
    let Some(at) = craft.parts.iter().position(|part| &part.id == id) else {
        let known = craft.parts.iter().map(|part| part.id.as_str());
        let did_you_mean = Guesses::new().near(id.as_str(), known);
        return Err(EditFault::NoPart { part: id.clone(), did_you_mean });
    };
    Ok(&mut craft.parts[at])
}

fn place_mut<'a>(craft: &'a mut Craft, id: &PlaceId) -> Result<&'a mut Place, EditFault> {
    let Some(at) = craft.places.iter().position(|place| &place.id == id) else {
        let known = craft.places.iter().map(|place| place.id.as_str());
        let did_you_mean = Guesses::new().near(id.as_str(), known);
        return Err(EditFault::NoPlace { place: id.clone(), did_you_mean });
    };
    Ok(&mut craft.places[at])
}

fn table_of(part: &Part, key: &str) -> Result<&'static TableDef, EditFault> {
    let tables = part.kind.def().tables;
    tables.iter().find(|table| table.key == key).ok_or_else(|| EditFault::NoTable {
        called: called_part(part),
        table: key.to_owned(),
        did_you_mean: near_name(key, tables.iter().map(|table| table.key)),
    })
}

fn craft_table(craft: &Craft, key: &str) -> Result<&'static TableDef, EditFault> {
    let tables = schema::wiring::TABLES;
    tables.iter().find(|table| table.key == key).ok_or_else(|| EditFault::NoTable {
        called: format!("craft {:?}", craft.name),
        table: key.to_owned(),
        did_you_mean: near_name(key, tables.iter().map(|table| table.key)),
    })
}

fn craft_row<'a>(craft: &'a mut Craft, table: &TableDef, row: usize) -> Result<&'a mut Row, EditFault> {
    let called = format!("craft {:?}", craft.name);
    let rows = craft.tables.get_mut(table.key).map_or(&mut [][..], Vec::as_mut_slice);
    let count = rows.len();
    rows.get_mut(row).ok_or(EditFault::NoRow { called, one: table.one, row, count })
}

fn row_of(part: &Part, table: &'static TableDef, row: usize) -> Result<(), EditFault> {
    let count = part.tables.get(table.key).map_or(0, Vec::len);
    if row < count {
        return Ok(());
    }
    Err(EditFault::NoRow { called: called_part(part), one: table.one, row, count })
}

/// The id a new part gets.
pub(super) fn part_id(craft: &Craft, wanted: &PartId) -> PartId {
    let taken: std::collections::HashSet<&PartId> = craft.parts.iter().map(|part| &part.id).collect();
    wanted.unlike(|id| taken.contains(id))
}

/// The id a new place of a part gets.
pub(super) fn place_id(craft: &Craft, part: &PartId) -> PlaceId {
    let taken: std::collections::HashSet<&PlaceId> = craft.places.iter().map(|place| &place.id).collect();
    PlaceId::from_name(part.as_str()).unlike(|id| taken.contains(id))
}
