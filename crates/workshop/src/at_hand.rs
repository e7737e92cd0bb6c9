//! What the tests have at hand: a workshop in memory, small craft, moments, edits.
#![allow(clippy::unwrap_used)]

use crate::{Moment, Workshop};
use craft::{Craft, CraftId, Edit, PartId, Place, PlaceId, apply};

pub(crate) fn workshop() -> Workshop {
    Workshop::in_memory().unwrap()
}

/// The n-th moment of the tests.
pub(crate) fn moment(n: i64) -> Moment {
    Moment::from_unix_seconds(1_900_000_000 + n)
}

pub(crate) fn craft_id(text: &str) -> CraftId {
    CraftId::new(text).unwrap()
}

pub(crate) fn part_id(text: &str) -> PartId {
    PartId::new(text).unwrap()
}

pub(crate) fn edit(json: &str) -> Edit {
    serde_json::from_str(json).unwrap()
}

pub(crate) fn set_mass(part: &str, grams: f64) -> Edit {
    Edit::SetPart { part: part_id(part), key: "mass".to_owned(), text: Some(format!("{grams} g")) }
}

pub(crate) fn move_sender(z: f64) -> Edit {
    edit(&format!(r#"{{"edit":"move_place","place":"sender","z":{z}}}"#))
}

/// A craft of a frame of so many grams, a transmitter with a plug, and a whip in that plug.
pub(crate) fn craft(id: &str, frame_grams: f64) -> Craft {
    let edits = [
        r#"{"edit":"add_part","kind":"frame","name":"Frame","id":"frame"}"#,
        r#"{"edit":"add_row","part":"frame","table":"plate","values":{"name":"bottom","thickness":"2.5 mm"}}"#,
        r#"{"edit":"add_part","kind":"video_transmitter","name":"Sender"}"#,
        r#"{"edit":"add_row","part":"sender","table":"plug","values":{"name":"coax 1"}}"#,
        r#"{"edit":"add_part","kind":"antenna","name":"Whip"}"#,
        r#"{"edit":"add_place","part":"frame","on":"body"}"#,
        r#"{"edit":"add_place","part":"sender","on":"frame"}"#,
        r#"{"edit":"add_place","part":"whip"}"#,
        r#"{"edit":"set_place","place":"whip","key":"from","text":"sender/coax 1"}"#,
    ];
    let empty = Craft::new(craft_id(id), id);
    let craft = edits.iter().fold(empty, |craft, json| apply(&craft, &edit(json)).unwrap());
    apply(&craft, &set_mass("frame", frame_grams)).unwrap()
}

pub(crate) fn at<'a>(craft: &'a Craft, place: &str) -> &'a Place {
    craft.place(&PlaceId::new(place).unwrap()).unwrap()
}

/// A part's mass, as written.
pub(crate) fn mass(craft: &Craft, part: &str) -> Option<String> {
    craft.part(&part_id(part)).unwrap().values.get("mass").map(craft::write_value)
}
