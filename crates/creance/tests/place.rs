//! Placements as a user gets them: by command as text, JSON or a sheet; over the wire as a search that is asked
//! for, ended and taken as one step.

#![allow(clippy::unwrap_used)]

mod at_hand;

use at_hand::{Desk, Served, files_in};
use serde_json::{Value, json};

const BRAMBLING: &str = include_str!("../../../demo/brambling.toml");
const DUNNOCK: &str = include_str!("../../../demo/dunnock.toml");
const FIELDFARE: &str = include_str!("../../../demo/fieldfare.toml");
const WHINCHAT: &str = include_str!("../../../demo/whinchat.toml");

/// The broken craft with its serial wires as they should be: what is left to mend is where things stand.
fn wired() -> String {
    let swapped = [
        ("from = \"fc/VT\"\nto = \"vtx/TX\"", "from = \"fc/VT\"\nto = \"vtx/RX\""),
        ("from = \"fc/VR\"\nto = \"vtx/RX\"", "from = \"fc/VR\"\nto = \"vtx/TX\""),
        ("channel_set = \"5843 MHz\"\ngrid", "channel_set = \"5843 MHz\"\nrises = true\ngrid"),
    ];
    swapped.into_iter().fold(BRAMBLING.to_owned(), |sheet, (was, instead)| {
        assert!(sheet.contains(was), "{was}");
        sheet.replacen(was, instead, 1)
    })
}

fn desk() -> Desk {
    let desk = Desk::new();
    desk.put("brambling.toml", wired());
    desk
}

/// The broken craft with an air unit too high for any of its seats.
fn too_high() -> String {
    let (was, instead) = ("height = \"8 mm ± 0.2, measured\"", "height = \"29 mm, measured\"");
    assert!(wired().contains(was));
    wired().replacen(was, instead, 1)
}

/// The search that a page asks for, once it is done.
fn done(server: &Served, craft: &str, asked: Value) -> Value {
    let begun = server.post(&format!("/api/craft/{craft}/place"), asked).ok();
    followed(server, craft, begun)
}

/// How a search stands at its end, from how it stood.
fn followed(server: &Served, craft: &str, mut view: Value) -> Value {
    while view["doing"] != "done" {
        view = server.get(&format!("/api/craft/{craft}/place/{}", view["search"])).ok();
    }
    view
}

#[test]
fn the_broken_demo_craft_becomes_sound_by_taking_a_placement() {
    let desk = desk();
    let told = desk.run(&["place", "brambling.toml"]).ends(0).out;
    assert!(told.contains("now: broken, -3.25 mm between coax plug 1"), "{told}");
    assert!(told.contains("1. Turn Tansy medium air unit a quarter left: its coax plug 1"), "{told}");
    assert!(told.contains("None of 96 placements can have better than 0.6 mm"), "{told}");
    desk.run(&["place", "brambling.toml", "--take", "1", "--out", "turned.toml"]).ends(1);
    let taken = ["place", "brambling.toml", "--take", "1", "--swap", "--out", "mended.toml"];
    desk.run(&taken).ends(0).says("Put M2×6 button at s-rr; written to mended.toml");
    assert!(desk.run(&["check", "mended.toml"]).ends(0).out.starts_with("Brambling (3-inch, ducted): sound"));
    let sheet = wired();
    let first = sheet.lines().next().unwrap();
    assert!(first.starts_with('#') && desk.text("mended.toml").starts_with(first), "comments are kept");
    assert_eq!(desk.text("brambling.toml"), sheet);
    // The screws alone, on standard output.
    let swapped = desk.run(&["place", "brambling.toml", "--swap", "--out", "-"]).ends(1).out;
    assert!(swapped.starts_with(first) && swapped != sheet);
}

#[test]
fn json_holds_every_key_that_the_help_names() {
    let desk = desk();
    desk.put("fieldfare.toml", FIELDFARE);
    let told = desk.run(&["place", "fieldfare.toml", "--json", "--best", "2"]).ends(0).json();
    assert_eq!(told["searched"], json!(["esc", "fc"]));
    assert_eq!((told["now"]["verdict"].as_str(), told["widened"].as_bool()), (Some("tight"), Some(false)));
    let best = told["best"].as_array().unwrap();
    assert_eq!(
        (best[0]["then"]["verdict"].as_str(), best[0]["is_better"].as_bool()),
        (Some("sound"), Some(true))
    );
    assert!(best[0]["edits"].as_array().unwrap().len() > 1 && best[0]["notes"][0].is_string());
    assert!(told["conflict"].is_null() && told["bound"]["whole"] == true);
    // Two that truly differ, with screws to be changed: every key there is.
    let told = desk.run(&["place", "brambling.toml", "--json", "--best", "2"]).ends(0).json();
    let best = told["best"].as_array().unwrap();
    assert_eq!(best.len(), 2);
    let help = desk.run(&["help", "place"]).ends(0).out;
    let mut keys: Vec<&String> = told.as_object().unwrap().keys().collect();
    for inner in [&told["now"], &told["bound"], &best[0], &best[0]["then_swapped"]] {
        keys.extend(inner.as_object().unwrap().keys());
    }
    for key in keys {
        assert!(help.contains(key.as_str()), "{key} is not in the help");
    }
}

#[test]
fn what_is_best_already_is_left_as_it_stands() {
    let desk = desk();
    desk.put("dunnock.toml", DUNNOCK);
    let told = desk.run(&["place", "dunnock.toml"]).ends(0).out;
    assert!(told.contains("No other placement is better than the craft as it stands."), "{told}");
    desk.run(&["place", "dunnock.toml", "--take", "1", "--out", "d.toml"]).ends(2).says("none was found");
    desk.run(&["place", "dunnock.toml", "--swap", "--out", "d.toml"]).ends(2).says("nothing to take");
}

#[test]
fn where_nothing_serves_it_says_which_two_cannot_both_be_had() {
    let desk = desk();
    desk.put("high.toml", too_high());
    let ran = desk.run(&["place", "high.toml", "--only", "vtx", "--json"]).ends(1);
    let conflict = &ran.json()["conflict"];
    assert!(conflict["one"].as_str().unwrap().starts_with("Tansy medium air unit"), "{conflict}");
    assert!(conflict["why"].as_str().unwrap().contains("Tansy medium air unit finds no place"), "{conflict}");
    let told = desk.run(&["place", "high.toml", "--only", "vtx"]).ends(1).out;
    assert!(told.replace('\n', " ").contains("finds no place: at best, on"), "{told}");
}

#[test]
fn what_has_no_choice_is_told_as_that() {
    let desk = desk();
    let told = desk.run(&["place", "brambling.toml", "--only", "cam"]).ends(0).out;
    assert!(told.starts_with("Brambling: nothing to choose\n"), "{told}");
    assert!(told.contains("cam can stand in one way only"), "{told}");
    desk.put("wide.toml", BRAMBLING.replace("body_width = \"14 mm", "body_width = \"40 mm"));
    let told = desk.run(&["place", "wide.toml", "--only", "cam"]).ends(1).out;
    assert!(
        told.replace('\n', " ").contains("(cam) and Brambling frame (frame) cannot both be had"),
        "{told}"
    );
}

#[test]
fn slips_on_the_command_line_are_refused_and_nothing_is_lost() {
    let desk = desk();
    let refused = |words: &[&str], told: &str| {
        desk.run(&[&["place", "brambling.toml"], words].concat()).ends(2).says(told);
    };
    refused(&["--only", "vtxx"], "did you mean \"vtx\"?");
    refused(&["--only", "frame"], "these can be placed: esc, fc, vtx");
    refused(&["--only", "a b"], "only:");
    refused(&["--best", "99"], "at most 12");
    refused(&["--take", "1"], "--out");
    refused(&["--out", "x.toml"], "--take");
    refused(&["--take", "1", "--json", "--out", "x.toml"], "cannot be used with");
    refused(&["--take", "9", "--out", "x.toml"], "there is no placement 9");
    refused(&["--take", "0", "--out", "x.toml"], "there is no placement 0");
    refused(&["--take", "1", "--out", "no/x.toml"], "no such folder");
    refused(&["--take", "1", "--out", "tern.toml"], "holds another craft");
    desk.run(&["place", "tern.toml", "--only", "nobody"]).ends(2);
    assert_eq!(files_in(&desk.path("")), ["brambling.toml", "tern.toml"]);
}

#[test]
fn a_placement_is_searched_taken_as_one_step_and_undone_over_the_wire() {
    let desk = desk();
    let server = desk.serve();
    server.import(wired()).ok();
    let before = server.get("/api/craft/brambling").ok();
    let view = done(&server, "brambling", json!({}));
    assert_eq!(view["found"]["best"][0]["then_swapped"]["verdict"], "sound");
    let count = view["found"]["best"].as_array().unwrap().len();
    let pictures = view["pictures"].as_array().unwrap();
    assert!(count > 1 && pictures.len() == count);
    assert!(pictures.iter().all(|svg| svg.as_str().unwrap().starts_with("<svg")));
    assert_ne!(pictures[0], pictures[1]);
    let taken = json!({"search": view["search"], "number": 1, "swap": true});
    let after = server.post("/api/craft/brambling/place/take", taken.clone()).ok();
    assert_eq!(after["verdict"], "sound");
    assert!(
        after["undo"].as_str().unwrap().starts_with("Turn Tansy medium air unit a quarter left; "),
        "{}",
        after["undo"]
    );
    // What was found holds for the craft as it was.
    let told = server.post("/api/craft/brambling/place/take", taken.clone()).refused(409);
    assert!(told.contains("changed since it was searched"), "{told}");
    let undone = server.post("/api/craft/brambling/undo", json!({})).ok();
    assert_eq!((&undone["places"], &undone["parts"]), (&before["places"], &before["parts"]));
    assert_eq!(server.post("/api/craft/brambling/place/take", taken).ok()["verdict"], "sound");
}

#[test]
fn spacers_to_be_bought_become_a_part_of_the_workshop_and_go_again() {
    let desk = desk();
    let server = desk.serve();
    server.import(FIELDFARE).ok();
    let parts = server.get("/api/parts").ok().as_array().unwrap().len();
    let view = done(&server, "fieldfare", json!({"best": 1}));
    let taken = json!({"search": view["search"], "number": 1, "swap": false});
    server.post("/api/craft/fieldfare/place/take", taken).ok();
    let now = server.get("/api/parts").ok();
    assert_eq!(now.as_array().unwrap().len(), parts + 1);
    assert!(now.as_array().unwrap().iter().any(|part| part["name"].as_str().unwrap().ends_with(", 8 mm")));
    server.post("/api/craft/fieldfare/undo", json!({})).ok();
    server.post("/api/craft/fieldfare/redo", json!({})).ok();
    assert_eq!(server.get("/api/parts").ok().as_array().unwrap().len(), parts + 1);
}

#[test]
fn a_search_under_way_holds_nobody_up_and_ends_when_told() {
    let desk = desk();
    let server = desk.serve();
    server.import(WHINCHAT).ok();
    let view = server.post("/api/craft/whinchat/place", json!({})).ok();
    assert_eq!(server.get("/api/craft/whinchat").ok()["verdict"], "unknown");
    let path = format!("/api/craft/whinchat/place/{}", view["search"]);
    // On a busy machine the answer may come before the search has noticed.
    let ended = followed(&server, "whinchat", server.delete(&path).ok());
    let bound = &ended["found"]["bound"];
    let words = bound["words"].as_str().unwrap();
    assert_eq!(bound["whole"] == false, words.starts_with("Stopped"), "{bound}");
    assert_eq!(server.get(&path).ok()["found"], ended["found"]);
    // Another one for the same craft ends the one before and has a number of its own.
    let next = server.post("/api/craft/whinchat/place", json!({})).ok();
    assert_ne!(next["search"], view["search"]);
    server.delete(&format!("/api/craft/whinchat/place/{}", next["search"])).ok();
}

#[test]
fn slips_over_the_wire_are_refused_in_words() {
    let desk = desk();
    let server = desk.serve();
    server.import(wired()).ok();
    let ask = |json| server.post("/api/craft/brambling/place", json);
    ask(json!({"onlly": []})).refused(400);
    assert!(ask(json!({"only": ["vtxx"]})).refused(404).contains("did you mean \"vtx\"?"));
    assert!(ask(json!({"only": ["frame"]})).refused(422).contains("these can be placed"));
    assert!(ask(json!({"best": 400})).refused(400).contains("at most 12"));
    server.post("/api/craft/nobody/place", json!({})).refused(404);
    assert!(server.get("/api/craft/brambling/place/999").refused(404).contains("not known any more"));
    server.get("/api/craft/brambling/place/first").refused(404);
    server.delete("/api/craft/brambling/place/999").refused(404);
    let view = done(&server, "brambling", json!({}));
    let take = |number: Value| {
        let taken = json!({"search": view["search"], "number": number, "swap": false});
        server.post("/api/craft/brambling/place/take", taken)
    };
    assert!(take(json!(7)).refused(404).contains("there is no placement 7"));
    assert!(take(json!(null)).refused(422).contains("nothing to take"));
    server.post("/api/craft/tern/place/take", json!({"search": 1, "number": 1, "swap": false})).refused(404);
    assert_eq!(server.get("/api/craft/brambling/journal").ok().as_array().unwrap().len(), 1);
}
