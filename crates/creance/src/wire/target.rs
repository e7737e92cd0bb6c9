//! Where a fact is entered, read back from its path, so that a page can bring its field into view.
//!
//! Paths are made by [`craft::Item`]: `cam.body_width`, `cam.plug[0].length`, `place vtx.z`, `craft.cruise`.

use craft::{Craft, schema};
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
        let (stem, key) = path.rsplit_once('.').unwrap_or(("craft", path));
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

/// `cam.plug[0]` taken apart.
fn row_of(stem: &str) -> Option<(&str, &str, u32)> {
    let (part, rest) = stem.split_once('.')?;
    let (table, number) = rest.strip_suffix(']')?.split_once('[')?;
    Some((part, table, number.parse().ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use craft::CraftId;

    #[test]
    fn paths_lead_back_to_their_fields() {
        let craft = Craft::new(CraftId::from_name("first"), "first");
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
        assert_eq!(told("place vtx.z"), (Owner::Place, "vtx".into(), None, None, "z".into()));
        assert_eq!(told("craft.cruise"), (Owner::Craft, "first".into(), None, None, "cruise".into()));
    }
}
