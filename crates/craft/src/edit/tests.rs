//! Cases and laws of editing.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::{Anchor, CraftId, Value, write_value};

fn from_json(json: &str) -> Edit {
    serde_json::from_str(json).unwrap()
}

/// A craft built by edits alone, as the page builds it.
fn built(edits: &[&str]) -> Craft {
    let craft = Craft::new(CraftId::new("wren").unwrap(), "Wren");
    edits.iter().fold(craft, |craft, edit| apply(&craft, &from_json(edit)).unwrap_or_else(|e| panic!("{e}")))
}

fn wren() -> Craft {
    built(&[
        r#"{"edit":"add_part","kind":"frame","name":"Wren frame","id":"frame"}"#,
        r#"{"edit":"add_row","part":"frame","table":"plate","values":{"name":"bottom","thickness":"2.5 mm"}}"#,
        r#"{"edit":"add_row","part":"frame","table":"pattern","values":{"name":"rear stack","plate":"bottom"}}"#,
        r#"{"edit":"add_part","kind":"video_transmitter","name":"VTX"}"#,
        r#"{"edit":"add_row","table":"plug","part":"vtx","values":{"name":"coax 1"}}"#,
        r#"{"edit":"add_part","kind":"antenna","name":"Whip"}"#,
        r#"{"edit":"add_place","part":"frame","on":"body"}"#,
        r#"{"edit":"add_place","part":"vtx","on":"frame/rear stack"}"#,
        r#"{"edit":"add_place","part":"whip"}"#,
        r#"{"edit":"set_place","place":"whip","key":"from","text":"vtx/coax 1"}"#,
        r#"{"edit":"set_place","place":"vtx","key":"z","text":"4 mm ± 0.1, measured"}"#,
    ])
}

fn refused(edit: &str, message: &str) {
    assert_eq!(apply(&wren(), &from_json(edit)).unwrap_err().to_string(), message);
}

fn place_value(craft: &Craft, place: &str, key: &str) -> Option<String> {
    craft.place(&PlaceId::new(place).unwrap()).unwrap().values.get(key).map(write_value)
}

#[test]
fn a_craft_is_built_by_edits_alone() {
    let craft = wren();
    assert_eq!(craft.parts.len(), 3);
    assert_eq!(craft.places[1].on, Some(Anchor::read("frame/rear stack").unwrap()));
    assert_eq!(place_value(&craft, "vtx", "z").as_deref(), Some("4 mm ± 0.1, measured"));
}

#[test]
fn a_drag_is_typical_and_leaves_untouched_axes_alone() {
    let moved = |edit| apply(&wren(), &from_json(edit)).unwrap();
    let craft = moved(r#"{"edit":"move_place","place":"vtx","how":"by","x":1.23456,"z":0}"#);
    assert_eq!(place_value(&craft, "vtx", "x").as_deref(), Some("1.23 mm, typical"));
    assert_eq!(place_value(&craft, "vtx", "z").as_deref(), Some("4 mm ± 0.1, measured"));
    let craft = moved(r#"{"edit":"move_place","place":"vtx","z":5.5}"#);
    assert_eq!(place_value(&craft, "vtx", "z").as_deref(), Some("5.5 mm, typical"));
    let craft = moved(r#"{"edit":"move_place","place":"vtx","z":5.5,"basis":"measured"}"#);
    assert_eq!(place_value(&craft, "vtx", "z").as_deref(), Some("5.5 mm, measured"));
    refused(
        r#"{"edit":"move_place","place":"vtx","how":"by","y":1e9}"#,
        "place \"vtx\": y 1000000000 mm must be between -2000 and 2000 mm; check the number and its unit",
    );
    let edit = Edit::MovePlace {
        place: PlaceId::new("vtx").unwrap(),
        how: Move::By,
        x: Some(f64::NAN),
        y: None,
        z: None,
        basis: None,
    };
    assert!(apply(&wren(), &edit).is_err());
}

#[test]
fn what_is_in_use_stays_and_says_by_what() {
    refused(
        r#"{"edit":"remove_part","part":"vtx"}"#,
        "video transmitter \"VTX\" stands at \"vtx\"; remove or change the place first",
    );
    refused(
        r#"{"edit":"remove_place","place":"frame"}"#,
        "place \"frame\" is needed: seated on it: \"vtx\"; seat and plug those elsewhere first",
    );
    refused(
        r#"{"edit":"remove_place","place":"vtx"}"#,
        "place \"vtx\" is needed: plugged into it: \"whip\"; seat and plug those elsewhere first",
    );
    refused(
        r#"{"edit":"remove_row","part":"frame","table":"plate","row":0}"#,
        "hole pattern \"rear stack\" of \"Wren frame\": no plate \"bottom\" on \"Wren frame\"; it has none at all",
    );
}

#[test]
fn a_new_name_carries_its_references_along() {
    let rename = |edit| apply(&wren(), &from_json(edit)).unwrap();
    let craft =
        rename(r#"{"edit":"set_row","part":"frame","table":"plate","row":0,"key":"name","text":"base"}"#);
    assert_eq!(craft.parts[0].tables["pattern"][0].0["plate"], Value::Text("base".into()));
    let craft =
        rename(r#"{"edit":"set_row","part":"frame","table":"pattern","row":0,"key":"name","text":"tail"}"#);
    assert_eq!(craft.places[1].on.as_ref().unwrap().to_string(), "frame/tail");
    let craft =
        rename(r#"{"edit":"set_row","table":"plug","part":"vtx","row":0,"key":"name","text":"left"}"#);
    assert_eq!(place_value(&craft, "whip", "from").as_deref(), Some("vtx/left"));
}

#[test]
fn slips_are_told_with_what_was_meant() {
    refused(
        r#"{"edit":"set_part","part":"vtxx","key":"mass","text":"7 g"}"#,
        "no part \"vtxx\" in this craft; did you mean \"vtx\"?",
    );
    refused(
        r#"{"edit":"set_part","part":"vtx","key":"masss","text":"7 g"}"#,
        "video transmitter \"VTX\": nothing called \"masss\" may be said of it; did you mean \"mass\"?",
    );
    refused(
        r#"{"edit":"set_part","part":"vtx","key":"mass","text":"-7 g"}"#,
        "video transmitter \"VTX\": mass -7 g must be between 0.01 and 20000 g; check the sign",
    );
    refused(
        r#"{"edit":"add_row","part":"frame","table":"plates"}"#,
        "frame \"Wren frame\": no table called \"plates\"; did you mean \"plate\"?",
    );
    refused(
        r#"{"edit":"set_row","part":"frame","table":"plate","row":1,"key":"x","text":"1 mm"}"#,
        "frame \"Wren frame\": no plate 2; it has 1",
    );
    refused(
        r#"{"edit":"set_craft","key":"class","text":"duct_75"}"#,
        "class \"duct_75\" is not known; did you mean \"ducted_75\"?",
    );
    refused(
        r#"{"edit":"set_craft","key":"name","text":null}"#,
        "craft \"Wren\": name must be said; write another one instead",
    );
    refused(
        r#"{"edit":"set_place","place":"frame","key":"on","text":"vtx"}"#,
        "place \"frame\": \"frame\" on \"vtx\" on \"frame\" is a round that rests on nothing; seat one of them on body",
    );
    refused(
        r#"{"edit":"add_part","kind":"lens","name":"x","id":"vtx"}"#,
        "id \"vtx\" belongs to another part already; choose another",
    );
}

#[test]
fn a_swap_takes_every_place_and_refuses_what_would_dangle() {
    let craft =
        apply(&wren(), &from_json(r#"{"edit":"duplicate_part","part":"vtx","name":"Spare VTX"}"#)).unwrap();
    let swapped =
        apply(&craft, &from_json(r#"{"edit":"swap_part","part":"vtx","with":"spare-vtx"}"#)).unwrap();
    assert_eq!(swapped.places[1].part.as_str(), "spare-vtx");
    assert_eq!(
        apply(&craft, &from_json(r#"{"edit":"swap_part","part":"vtx","with":"whip"}"#))
            .unwrap_err()
            .to_string(),
        "place \"whip\": no plug \"coax 1\" on \"Whip\"; it has none at all"
    );
}

#[test]
fn what_was_wrong_before_does_not_stop_other_edits() {
    let mut craft = wren();
    craft.places[2].values.insert("from".into(), Value::Text("vtx/coax 9".into()));
    craft.parts[1].tables.get_mut("plug").unwrap()[0].0.insert("x".into(), Value::Count(1));
    let plug = r#"{"edit":"add_row","table":"plug","part":"vtx","values":{"name":"usb"}}"#;
    let craft = apply(&craft, &from_json(plug)).unwrap();
    assert_eq!(crate::faults(&craft).len(), 2);
    assert!(apply(&craft, &from_json(plug)).is_err());
    let usb = r#"{"edit":"remove_row","table":"plug","part":"vtx","row":1}"#;
    assert_eq!(apply(&craft, &from_json(usb)).unwrap().parts[1].tables["plug"].len(), 1);
}

#[test]
fn the_journal_line_says_what_happened() {
    let craft = wren();
    let line = |edit: &str, expected: &str| assert_eq!(from_json(edit).describe(&craft), expected);
    line(
        r#"{"edit":"set_place","place":"vtx","key":"z","text":"4 mm"}"#,
        "Set height of place \"vtx\" to 4 mm",
    );
    line(r#"{"edit":"set_craft","key":"cruise","text":null}"#, "Clear cruise speed of craft \"Wren\"");
    line(
        r#"{"edit":"set_row","table":"plug","part":"vtx","row":0,"key":"x","text":"1 mm"}"#,
        "Set x of plug \"coax 1\" of \"VTX\" to 1 mm",
    );
    line(
        r#"{"edit":"move_place","place":"vtx","how":"by","x":-1.5,"z":2}"#,
        "Move place \"vtx\" by -1.5 mm along x, +2 mm along z",
    );
    line(r#"{"edit":"move_place","place":"vtx","y":3}"#, "Move place \"vtx\" to y 3 mm");
    line(r#"{"edit":"add_place","part":"vtx","on":"body"}"#, "Place video transmitter \"VTX\" on body");
    line(
        r#"{"edit":"remove_row","table":"plug","part":"vtx","row":7}"#,
        "Remove plug 8 of video transmitter \"VTX\"",
    );
    line(
        r#"{"edit":"swap_part","part":"vtx","with":"gone"}"#,
        "Put part \"gone\" in place of video transmitter \"VTX\"",
    );
}

#[test]
fn the_ids_of_a_journal_are_those_that_were_given() {
    let craft = wren();
    for edit in [r#"{"edit":"add_part","kind":"lens","name":"VTX"}"#, r#"{"edit":"add_place","part":"vtx"}"#]
    {
        let short = from_json(edit);
        let full = short.clone().with_ids(&craft);
        assert_ne!(short, full);
        assert_eq!(apply(&craft, &short), apply(&craft, &full));
        let back: Edit = serde_json::from_str(&serde_json::to_string(&full).unwrap()).unwrap();
        assert_eq!(back, full);
    }
}

#[test]
fn a_whole_part_is_held_to_the_schema_and_gets_an_id_of_its_own() {
    let mut part = Part::new(PartId::new("vtx").unwrap(), PartKind::VideoTransmitter, "Spare");
    part.tables.insert("plug".into(), Vec::new());
    let after = apply(&wren(), &Edit::AddPartWhole { part: part.clone() }).unwrap();
    assert_eq!(after.parts[3].id.as_str(), "vtx-2");
    assert!(after.parts[3].tables.is_empty());
    part.values.insert("mass".into(), Value::Count(7));
    assert_eq!(
        apply(&wren(), &Edit::AddPartWhole { part }).unwrap_err().to_string(),
        "video transmitter \"Spare\": mass: a count stands where a fact such as \"20 g, measured\" must stand"
    );
}

#[test]
fn several_changes_are_one_step_and_all_or_none() {
    let plate = r#"{"id":"plate","kind":"adapter","name":"plate","values":{},"tables":{}}"#;
    let together = |last: &str| {
        format!(
            r#"{{"edit":"together","what":"Put a plate under the VTX","edits":[{{"edit":"add_part_whole","part":{plate}}},
            {{"edit":"add_place","part":"plate","on":"frame/rear stack"}},{last}]}}"#
        )
    };
    let edit = from_json(&together(r#"{"edit":"set_place","place":"vtx","key":"on","text":"plate"}"#));
    assert_eq!(edit.describe(&wren()), "Put a plate under the VTX");
    let craft = apply(&wren(), &edit).unwrap();
    assert_eq!(craft.place(&PlaceId::new("vtx").unwrap()).unwrap().on, Some(Anchor::read("plate").unwrap()));
    // What the journal keeps names the ids that were chosen.
    let kept = edit.clone().with_ids(&craft);
    let Edit::Together { edits, .. } = &kept else { panic!("{kept:?}") };
    assert!(
        matches!(&edits[1], Edit::AddPlace { id: Some(id), .. } if id.as_str() == "plate-2"),
        "{edits:?}"
    );
    refused(
        &together(r#"{"edit":"set_place","place":"vtx","key":"on","text":"plat"}"#),
        r#"place "vtx": no place "plat" in this craft; did you mean "plate"?"#,
    );
    refused(
        &together(r#"{"edit":"set_part","part":"vtx","key":"mass","text":"3 g"}"#),
        r#"Put a plate under the VTX: "Set mass of video transmitter \"VTX\" to 3 g" cannot be one of several changes, since it is not of this craft alone; make it by itself"#,
    );
}

#[test]
fn what_is_left_over_goes_in_the_same_step() {
    let step = |last: &str| {
        format!(
            r#"{{"edit":"together","what":"Another one","edits":[{{"edit":"add_part_whole","part":
            {{"id":"spare","kind":"antenna","name":"Spare","values":{{}},"tables":{{}}}}}},
            {{"edit":"set_place","place":"whip","key":"part","text":"spare"}},{last}]}}"#
        )
    };
    let after = apply(&wren(), &from_json(&step(r#"{"edit":"remove_part","part":"whip"}"#))).unwrap();
    assert!(after.part(&PartId::new("whip").unwrap()).is_none());
    // What still stands somewhere is not taken out.
    assert!(apply(&wren(), &from_json(&step(r#"{"edit":"remove_part","part":"frame"}"#))).is_err());
}

/// Two boards with a pad each, joined by a wire.
fn wired() -> Craft {
    built(&[
        r#"{"edit":"add_part","kind":"flight_controller","name":"FC"}"#,
        r#"{"edit":"add_row","part":"fc","table":"pin","values":{"name":"T1","role":"send"}}"#,
        r#"{"edit":"add_row","part":"fc","table":"port","values":{"name":"serial 1"}}"#,
        r#"{"edit":"add_part","kind":"video_transmitter","name":"VTX"}"#,
        r#"{"edit":"add_row","table":"pin","part":"vtx","values":{"name":"RX","role":"receive"}}"#,
        r#"{"edit":"add_place","part":"fc"}"#,
        r#"{"edit":"add_place","part":"vtx"}"#,
        r#"{"edit":"add_craft_row","table":"wire","values":{"from":"fc/T1","to":"vtx/RX","colour":"green"}}"#,
        r#"{"edit":"add_craft_row","table":"port_set","values":{"port":"fc/serial 1","function":"video"}}"#,
    ])
}

fn wire_end(craft: &Craft, key: &str) -> String {
    write_value(&craft.tables["wire"][0].0[key])
}

#[test]
fn a_wire_follows_the_names_of_its_pads_and_holds_to_pads_that_are_there() {
    let change = |edit: &str| apply(&wired(), &from_json(edit));
    let craft =
        change(r#"{"edit":"set_row","part":"fc","table":"pin","row":0,"key":"name","text":"send 1"}"#)
            .unwrap();
    assert_eq!(wire_end(&craft, "from"), "fc/send 1");
    let craft =
        change(r#"{"edit":"set_row","part":"fc","table":"port","row":0,"key":"name","text":"A"}"#).unwrap();
    assert_eq!(write_value(&craft.tables["port_set"][0].0["port"]), "fc/A");
    let told = |edit: &str| change(edit).unwrap_err().to_string();
    let dangling = told(r#"{"edit":"set_craft_row","table":"wire","row":0,"key":"to","text":"vtx/RXX"}"#);
    assert!(dangling.contains("RXX") && dangling.contains("RX"), "{dangling}");
    assert!(told(r#"{"edit":"remove_place","place":"vtx"}"#).contains("vtx"));
    assert!(told(r#"{"edit":"remove_craft_row","table":"wire","row":1}"#).contains("no wire 2"));
    assert!(told(r#"{"edit":"add_craft_row","table":"wires"}"#).contains("did you mean \"wire\"?"));
    let bare = change(r#"{"edit":"remove_craft_row","table":"wire","row":0}"#).unwrap();
    assert!(!bare.tables.contains_key("wire"));
}

#[test]
fn wires_are_changed_as_one_step_and_told_by_their_ends() {
    let swap = from_json(
        r#"{"edit":"together","what":"Swap two wires","edits":[
            {"edit":"set_craft_row","table":"wire","row":0,"key":"from","text":"vtx/RX"},
            {"edit":"set_craft_row","table":"wire","row":0,"key":"to","text":"fc/T1"}]}"#,
    );
    assert_eq!(wire_end(&apply(&wired(), &swap).unwrap(), "to"), "fc/T1");
    let one = from_json(r#"{"edit":"set_craft_row","table":"wire","row":0,"key":"colour","text":"white"}"#);
    assert_eq!(one.describe(&wired()), "Set colour of wire fc/T1 – vtx/RX to white");
}

#[test]
fn a_wire_changed_on_a_sheet_leaves_the_rest_as_it_stood() {
    let sheet =
        crate::write_sheet(&wired()).replace("colour = \"green\"", "colour = \"green\"    # hair-thin");
    assert_eq!(crate::read_sheet(&sheet).craft, wired());
    let one = from_json(r#"{"edit":"set_craft_row","table":"wire","row":0,"key":"gauge","text":"30"}"#);
    let after = apply(&wired(), &one).unwrap();
    let written = crate::rewrite_sheet(&sheet, &after);
    assert!(written.contains("# hair-thin") && written.contains("gauge = 30"), "{written}");
    assert_eq!(crate::read_sheet(&written).craft, after);
}

/// Both ends of a span go up: the lower one alone would lie above the upper as it still stands, and the refusal says how it goes.
#[test]
fn a_value_that_contradicts_another_says_which_to_change_first() {
    let set = |craft: &Craft, key: &str, text: &str| {
        let (key, text) = (key.to_owned(), Some(text.to_owned()));
        apply(craft, &Edit::SetCraft { key, text })
    };
    let craft = set(&wren(), "coldest", "5 °C").and_then(|craft| set(&craft, "hottest", "15 °C")).unwrap();
    let told = set(&craft, "coldest", "20 °C").map_err(|fault| fault.to_string());
    let words = "craft \"Wren\": coldest air 20 °C lies above the hottest, 15 °C; swap them, or correct the one that is wrong; if both are to be another, change the other one first";
    assert_eq!(told.map(|_| ()), Err(words.to_owned()));
    let other_first = set(&craft, "hottest", "30 °C").and_then(|craft| set(&craft, "coldest", "20 °C"));
    assert!(other_first.is_ok(), "{other_first:?}");
}
