//! Where a fact is entered, read back from its path, so that a page can bring its field into view.
//!
//! Paths are made by [`craft::Item`]: `cam.body_width`, `cam.plug[0].length`, `place vtx.z`, `craft.cruise`.
//! A fact of a row that is not there yet has a path too (`vtx.pitch`); it leads to the table that wants the
//! row (`vtx.pattern`).

use craft::{Craft, Part, schema};
use serde::Serialize;
use ts_rs::TS;

/// Whose fact it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Owner {
    /// A part.
    Part,
    /// A place.
    Place,
    /// The craft.
    Craft,
}

/// The field of one fact.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, TS)]
pub struct Target {
    /// The path, as findings name it.
    pub path: String,
    /// What a person calls it.
    pub label: String,
    /// Whose it is.
    pub owner: Owner,
    /// The id of the part, place or craft.
    pub id: String,
    /// The table it stands in.
    pub table: Option<String>,
    /// The row there, from 0.
    pub row: Option<u32>,
    /// The key of the field.
    pub key: String,
}

impl Target {
    /// The field a path leads to.
    pub fn new(craft: &Craft, path: &str, label: &str) -> Self {
        let enterable = enterable(craft, path);
        let (stem, key) = enterable.rsplit_once('.').unwrap_or(("craft", &enterable));
        let of_craft = stem == "craft" && schema::craft::FIELDS.iter().any(|def| def.key == key);
        let (owner, id, table, row) = if let Some(place) = stem.strip_prefix("place ") {
            (Owner::Place, place, None, None)
        } else if of_craft {
            (Owner::Craft, craft.id.as_str(), None, None)
        } else if let Some((part, table, row)) = row_of(stem) {
            (Owner::Part, part, Some(table.to_owned()), Some(row))
        } else {
            (Owner::Part, stem, None, None)
        };
        Self { path: path.into(), label: label.into(), owner, id: id.into(), table, row, key: key.into() }
    }
}

/// The path at which something can be entered: the table instead of a row that is not there.
pub fn enterable(craft: &Craft, path: &str) -> String {
    let owned = path.split_once('.').and_then(|(id, key)| {
        let part = craft.parts.iter().find(|part| part.id.as_str() == id)?;
        Some(format!("{id}.{}", table_of_row(part, key)?))
    });
    owned.unwrap_or_else(|| path.to_owned())
}

/// The table whose rows have a key that the part itself does not have.
fn table_of_row(part: &Part, key: &str) -> Option<&'static str> {
    let def = part.kind.def();
    let own = |fields: &[schema::FieldDef]| fields.iter().any(|field| field.key == key);
    let unlike = !own(def.fields) && !def.tables.iter().any(|table| table.key == key);
    unlike.then(|| def.tables.iter().find(|table| own(table.fields))).flatten().map(|table| table.key)
}

/// `cam.plug[0]` taken apart.
fn row_of(stem: &str) -> Option<(&str, &str, u32)> {
    let (part, rest) = stem.split_once('.')?;
    let (table, number) = rest.strip_suffix(']')?.split_once('[')?;
    Some((part, table, number.parse().ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use craft::schema::PartKind;
    use craft::{CraftId, PartId};

    #[test]
    fn paths_lead_back_to_their_fields() {
        let mut craft = Craft::new(CraftId::from_name("first"), "first");
        craft.parts.push(Part::new(PartId::from_name("vtx"), PartKind::VideoTransmitter, "vtx"));
        let told = |path| {
            let t = Target::new(&craft, path, "");
            (t.owner, t.id, t.table, t.row, t.key)
        };
        let some = |text: &str| Some(text.to_owned());
        assert_eq!(told("cam.body_width"), (Owner::Part, "cam".into(), None, None, "body_width".into()));
        assert_eq!(
            told("cam.plug[2].length"),
            (Owner::Part, "cam".into(), some("plug"), Some(2), "length".into())
        );
        assert_eq!(told("vtx.pitch"), (Owner::Part, "vtx".into(), None, None, "pattern".into()));
        assert_eq!(told("vtx.height"), (Owner::Part, "vtx".into(), None, None, "height".into()));
        assert_eq!(told("place vtx.z"), (Owner::Place, "vtx".into(), None, None, "z".into()));
        assert_eq!(told("craft.cruise"), (Owner::Craft, "first".into(), None, None, "cruise".into()));
    }
}
