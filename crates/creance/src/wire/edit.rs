//! Edits as the pages send them: `{"edit": {"do": "set_part", "part": "cam", "key": …, "text": …}}`.
//!
//! The words are those of [`craft::Edit`]; only its mark is called `do` here, since the whole is already
//! called `edit`. [`EditShape`] is the same vocabulary for the generated TypeScript; a test holds the two
//! together.

use craft::Edit;
use serde::de::Error;
use serde::{Deserialize, Deserializer};
use serde_json::{Map, Value};

/// What a page sends to change something.
#[derive(Deserialize)]
pub struct EditSent {
    /// The edit.
    #[serde(deserialize_with = "edit")]
    pub edit: Edit,
}

fn edit<'de, D: Deserializer<'de>>(from: D) -> Result<Edit, D::Error> {
    let mut sent = Map::deserialize(from)?;
    let mark = sent.remove("do").ok_or_else(|| D::Error::missing_field("do"))?;
    sent.insert("edit".to_owned(), mark);
    serde_json::from_value(Value::Object(sent)).map_err(D::Error::custom)
}

#[cfg(test)]
pub mod shape {
    //! The vocabulary of edits, for the generated types.

    use serde::Serialize;
    use std::collections::BTreeMap;
    use ts_rs::TS;

    /// One change to a craft; `text: null` clears.
    #[derive(Serialize, TS)]
    #[serde(tag = "do", rename_all = "snake_case")]
    #[ts(rename = "Edit")]
    #[allow(missing_docs)] // The words are documented at craft::Edit.
    pub enum EditShape {
        SetCraft { key: String, text: Option<String> },
        AddPart { kind: String, name: String },
        RemovePart { part: String },
        RenamePart { part: String, name: String },
        SetPart { part: String, key: String, text: Option<String> },
        AddRow { part: String, table: String, values: BTreeMap<String, String> },
        SetRow { part: String, table: String, row: u32, key: String, text: Option<String> },
        RemoveRow { part: String, table: String, row: u32 },
        AddCraftRow { table: String, values: BTreeMap<String, String> },
        SetCraftRow { table: String, row: u32, key: String, text: Option<String> },
        RemoveCraftRow { table: String, row: u32 },
        DuplicatePart { part: String, name: String },
        AddPlace { part: String, on: Option<String> },
        SetPlace { place: String, key: String, text: Option<String> },
        RemovePlace { place: String },
        MovePlace { place: String, x: Option<f64>, y: Option<f64>, z: Option<f64> },
        SwapPart { part: String, with: String },
    }

    /// One of each.
    pub fn one_of_each() -> Vec<EditShape> {
        use EditShape::*;
        let text = || "cam".to_owned();
        let some = || Some(text());
        vec![
            SetCraft { key: text(), text: None },
            AddPart { kind: "camera".into(), name: text() },
            RemovePart { part: text() },
            RenamePart { part: text(), name: text() },
            SetPart { part: text(), key: text(), text: some() },
            AddRow { part: text(), table: text(), values: BTreeMap::from([(text(), text())]) },
            SetRow { part: text(), table: text(), row: 2, key: text(), text: None },
            RemoveRow { part: text(), table: text(), row: 2 },
            AddCraftRow { table: text(), values: BTreeMap::from([(text(), text())]) },
            SetCraftRow { table: text(), row: 2, key: text(), text: None },
            RemoveCraftRow { table: text(), row: 2 },
            DuplicatePart { part: text(), name: text() },
            AddPlace { part: text(), on: None },
            SetPlace { place: text(), key: text(), text: some() },
            RemovePlace { place: text() },
            MovePlace { place: text(), x: Some(1.0), y: None, z: Some(-2.5) },
            SwapPart { part: text(), with: text() },
        ]
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn every_edit_the_pages_know_is_read_with_all_it_says() {
        for shape in shape::one_of_each() {
            let sent = serde_json::to_value(&shape).unwrap();
            let read: EditSent = serde_json::from_value(serde_json::json!({ "edit": sent })).unwrap();
            let kept = serde_json::to_value(&read.edit).unwrap();
            for (key, value) in sent.as_object().unwrap() {
                let key = if key == "do" { "edit" } else { key };
                assert_eq!(&kept[key], value, "{kept}");
            }
        }
    }

    #[test]
    fn an_edit_without_its_mark_is_refused() {
        let read = serde_json::from_str::<EditSent>(r#"{"edit":{"part":"cam"}}"#);
        assert!(read.is_err_and(|told| told.to_string().contains("do")));
    }
}
