//! Units over the command line: an odd one leads to the search for its fault, settings are held against those before a load, every
//! folder of a batch is looked at; and entries of the journal that are taken back, counted spares, facts from the craft.
#![allow(clippy::unwrap_used)]

mod at_hand;

use at_hand::{Desk, Ran};
use serde_json::{Value, json};

const RECIPE: &str = "creance_recipe = 1\nkind = \"small air unit\"\nsystem = \"Lanner\"\nend = \"air\"\nfile_name = \"AIR.IMG\"\nminutes = 8\nwatts = 9\n";

fn run(desk: &Desk, words: &[&str]) -> Ran {
    desk.run(&[words, &["--workshop", "shop.sqlite"]].concat())
}

fn json_of(desk: &Desk, words: &[&str]) -> Value {
    serde_json::from_str(&run(desk, &[words, &["--json"]].concat()).ends(0).out).unwrap()
}

/// A craft with a unit, a spare, an image, and the batch of both begun; gives the batch.
fn begun(desk: &Desk) -> String {
    desk.put("air.toml", RECIPE);
    desk.put("air-4.2.img", vec![7_u8; 40_000]);
    std::fs::create_dir(desk.path("card")).unwrap();
    run(desk, &["import", "tern.toml"]).ends(0);
    run(desk, &["load", "recipe", "air.toml"]).ends(0);
    let unit = ["load", "unit", "A1", "--kind", "small air unit", "--revision", "B", "--reports", "4.1"];
    run(desk, &[&unit[..], &["--craft", "tern"]].concat()).ends(0);
    run(desk, &["load", "unit", "A2", "--kind", "small air unit", "--reports", "4.1"]).ends(0);
    run(desk, &["load", "image", "air-4.2.img", "--image-version", "4.2", "--for", "small air unit"]).ends(0);
    let digest = json_of(desk, &["load"])["images"][0]["digest"].as_str().unwrap().to_owned();
    let (first, second) = (format!("A1={digest}"), format!("A2={digest}"));
    let words = ["load", "plan", &first, &second, "--card", "card", "--yes", "card", "--begin"];
    json_of(desk, &words)["id"].as_str().unwrap().to_owned()
}

#[test]
fn an_odd_unit_begins_a_search_with_what_is_known_of_it() {
    let desk = Desk::new();
    let batch = begun(&desk);
    run(&desk, &["load", "search", &batch]).ends(2).says("no unit of batch");
    run(&desk, &["load", "write", &batch]).ends(0);
    // The spare goes first, and reports what it had before.
    let told = run(&desk, &["load", "report", &batch, "4.1"]).ends(1);
    assert!(told.out.contains("creance load search"), "{}", told.out);
    run(&desk, &["load", "search", &batch]).ends(2).says("unit A2 is in no craft");
    let view = json_of(&desk, &["load", "search", &batch, "--craft", "tern"]);
    let session = &view["session"];
    assert_eq!(session["about"], "unit A2 was given 4.2 and reports 4.1");
    assert_eq!(session["causes"][0]["id"], "card_unsuitable");
    let seen: Vec<&str> =
        session["done"].as_array().unwrap().iter().map(|one| one["outcome"].as_str().unwrap()).collect();
    assert_eq!(seen, ["not seen", "not seen"]);
    run(&desk, &["load", "search", &batch, "--craft", "tern"]).ends(2).says("is open already");

    let server = desk.serve();
    let end = json!({"say": "end", "causes": [], "repair": null, "words": ""});
    server.post("/api/craft/tern/mend", end).ok();
    let left = json!({"step": 0, "again": false});
    server.post(&format!("/api/load/batch/{batch}/go-on"), left).ok();
    drop(server);
    run(&desk, &["load", "write", &batch]).ends(0);
    run(&desk, &["load", "report", &batch]).ends(1);
    let told = run(&desk, &["load", "search", &batch]).ends(0);
    assert!(told.out.contains("no start or endless blink since an image was loaded"), "{}", told.out);
    let server = desk.serve();
    let view = server.get("/api/craft/tern/mend").ok();
    assert_eq!(view["session"]["about"], "unit A1 was given 4.2 and did not come back");
    let recent = view["session"]["facts"].as_array().unwrap().iter().find(|fact| fact["id"] == "recent_load");
    assert_eq!(recent.unwrap()["holds"], true);
}

#[test]
fn settings_after_a_load_are_held_against_those_before() {
    let desk = Desk::new();
    run(&desk, &["import", "tern.toml"]).ends(0);
    let unit = ["load", "unit", "A1", "--kind", "small air unit", "--reports", "4.1", "--craft", "tern"];
    let with = |more: &[&str]| run(&desk, &[&unit[..], more].concat());
    with(&["--before", "level=25 mW", "--before", "channel=5806 MHz"]).ends(0);
    assert_eq!(json_of(&desk, &["load"])["units"][0]["settings_lost"], json!([]));
    with(&["--after", "level=400 mW", "--after", "channel=5806 MHz"]).ends(0);
    let lost = &json_of(&desk, &["load"])["units"][0]["settings_lost"];
    assert_eq!(*lost, json!(["level 25 mW → 400 mW"]));
    let checked = run(&desk, &["check", "tern"]);
    assert!(checked.out.contains("level 25 mW → 400 mW"), "{}", checked.out);
    let long = format!("level={}", "9".repeat(200));
    with(&["--after", &long]).ends(2).says("a setting of 200 letters is longer than 120");
    with(&["--after", "level"]).ends(2).says("is no setting; write its name and its value");
}

#[test]
fn a_stray_image_in_the_folder_of_the_second_recipe_is_refused_too() {
    let desk = Desk::new();
    let batch = begun(&desk);
    run(&desk, &["load", "give-up", &batch]).ends(0);
    desk.put(
        "ground.toml",
        RECIPE
            .replace("small air", "ground")
            .replace("\"air\"", "\"ground\"")
            .replace("file_name = \"AIR.IMG\"", "file_name = \"GROUND.IMG\"\nfolder = \"ground\""),
    );
    desk.put("ground-4.2.img", vec![9_u8; 40_000]);
    run(&desk, &["load", "recipe", "ground.toml"]).ends(0);
    run(&desk, &["load", "unit", "G1", "--kind", "ground unit", "--reports", "4.1"]).ends(0);
    run(&desk, &["load", "image", "ground-4.2.img", "--image-version", "4.2", "--for", "ground unit"])
        .ends(0);
    std::fs::create_dir(desk.path("card/ground")).unwrap();
    std::fs::write(desk.path("card/ground/OLD.IMG"), "x").unwrap();
    let images = json_of(&desk, &["load"])["images"].clone();
    let digest = |file: &str| {
        let image = images.as_array().unwrap().iter().find(|image| image["file"] == file).unwrap();
        image["digest"].as_str().unwrap().to_owned()
    };
    let (air, ground) = (format!("A1={}", digest("air-4.2.img")), format!("G1={}", digest("ground-4.2.img")));
    let told = run(&desk, &["load", "plan", &air, &ground, "--card", "card", "--yes", "card"]).ends(1);
    assert!(told.out.contains("OLD.IMG"), "{}", told.out);
    std::fs::remove_file(desk.path("card/ground/OLD.IMG")).unwrap();
    run(&desk, &["load", "plan", &air, &ground, "--card", "card", "--yes", "card"]).ends(0);
}

#[test]
fn an_entry_that_is_taken_back_stays_and_counts_for_nothing() {
    let desk = Desk::new();
    run(&desk, &["import", "tern.toml"]).ends(0);
    let enter =
        |words: &[&str]| run(&desk, &[&["journal", "--craft", "tern", "--enter"], words].concat()).ends(0);
    enter(&["crashed", "--words", "gate", "--at", "2024-05-04T10:00:00Z"]);
    // Of the same second, and entered after it: it is a flight after the crash.
    enter(&["flown", "--minutes", "4", "--at", "2024-05-04T10:00:00Z"]);
    let checked = || run(&desk, &["check", "tern"]).out;
    assert!(checked().contains("Flown once since a crash"), "{}", checked());
    let view = json_of(&desk, &["journal"]);
    let crash = view["entries"].as_array().unwrap().iter().find(|one| one["kind"] == "crashed").unwrap();
    let id = crash["id"].as_str().unwrap();
    run(&desk, &["journal", "--take-back", id]).ends(0);
    assert!(!checked().contains("since a crash"), "{}", checked());
    let view = json_of(&desk, &["journal"]);
    assert_eq!(view["total"], 2);
    assert!(view["entries"].as_array().unwrap().iter().any(|one| one["taken_back"].is_string()));
    run(&desk, &["journal", "--csv", "j.csv"]).ends(0);
    assert!(desk.text("j.csv").lines().any(|line| line.contains("gate") && line.contains(",20")));
    run(&desk, &["journal", "--stand-again", id]).ends(0);
    assert!(checked().contains("Flown once since a crash"));
    run(&desk, &["journal", "--take-back", "000099"]).ends(2).says("there is no entry \"000099\"");
}

#[test]
fn flights_and_repairs_of_the_journal_move_the_spares() {
    let desk = Desk::new();
    run(&desk, &["import", "tern.toml"]).ends(0);
    let list = || json_of(&desk, &["spares", "tern"]);
    let of = |list: &Value, id: &str, key: &str| {
        let lines = list["lines"].as_array().unwrap();
        lines.iter().find(|line| line["id"] == id).unwrap()[key].clone()
    };
    let before = list();
    for _ in 0..6 {
        run(&desk, &["journal", "--craft", "tern", "--enter", "flown", "--minutes", "5"]).ends(0);
        let repair =
            ["journal", "--craft", "tern", "--enter", "repaired", "--words", "again", "--part", "pigtail"];
        run(&desk, &repair).ends(0);
    }
    let after = list();
    assert_eq!(after["record"], json!({"flights": 6.0, "hours": 0.5, "craft": ["Tern"], "replaced": 6}));
    assert_eq!(of(&after, "pigtail", "own"), 6);
    let (few, many) = (of(&before, "pigtail", "number").as_u64(), of(&after, "pigtail", "number").as_u64());
    assert!(many > few, "{few:?} {many:?}");
    // The page reads the very same figures.
    let server = desk.serve();
    let page = server.get("/api/spares?craft=tern").ok();
    assert_eq!(page["lines"], after["lines"]);
    server.get("/api/spares?craft=turn").refused(404);
    assert_eq!(server.get("/api/spares?craft=tern&flights=60&sure=99").ok()["sure"], 99.0);
    server.get("/api/spares?flights=many").refused(400);
}

#[test]
fn facts_come_from_parts_wires_and_settings_and_say_from_which() {
    let desk = Desk::new();
    let facts = |sheet: &str| -> Value {
        desk.put("craft.toml", sheet);
        let told = desk.run(&["mend", "craft.toml", "--about", "no_picture", "--json"]).ends(0);
        told.json()["session"]["facts"].clone()
    };
    let told = |facts: &Value, id: &str| -> (bool, String) {
        let fact = facts.as_array().unwrap().iter().find(|fact| fact["id"] == id).unwrap();
        (fact["holds"].as_bool().unwrap(), fact["because"].as_str().unwrap().to_owned())
    };
    let dunnock = include_str!("../../../demo/dunnock.toml");
    let found = facts(dunnock);
    for (id, holds, because) in [
        ("has_serial_control", true, "vtx/link is wired to aio/serial 1"),
        ("standby_enabled", true, "it is set so"),
        ("video_on_rail", true, "wired to aio/5V"),
        ("one_cell", true, "its pack has one cell"),
        ("large_motor_current", false, "its motors take up to 17 A"),
        ("has_pigtail", false, "no pigtail among its parts"),
        ("several_ground_inputs", true, "Tansy club receiver has 4"),
        ("integrated_board", false, "Tansy micro video board, 25.5 is a board of its own"),
        ("others_flying", false, ""),
    ] {
        assert_eq!(told(&found, id), (holds, because.to_owned()), "{id}");
    }
    // Set otherwise, it is told otherwise.
    let found = facts(&dunnock.replace("standby = true", "standby = false"));
    assert_eq!(told(&found, "standby_enabled"), (false, "it is set otherwise".to_owned()));
    let found = facts(include_str!("../../../demo/whinchat.toml"));
    assert!(told(&found, "large_motor_current").0);
    assert_eq!(told(&found, "has_threaded_antenna"), (true, "pigtail, 40 mm: SMA".to_owned()));
}
