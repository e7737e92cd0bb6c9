//! Prints as a user gets them: by command as a file, over the wire as a view, a file and one step on the bench.

#![allow(clippy::unwrap_used)]

mod at_hand;

use at_hand::{Desk, files_in, racer};
use serde_json::json;

#[test]
fn a_print_is_written_with_what_was_chosen_and_why() {
    let desk = Desk::new();
    desk.put("racer.toml", racer());
    let ran =
        desk.run(&["print", "racer.toml", "adapter", "--out", "a.stl"]).ends(0).says("is written in a.stl");
    assert!(ran.out.starts_with("adapter 30.5 to 20\n  For \""), "{}", ran.out);
    assert!(
        ran.out.contains("The board lies as it lay") && ran.out.contains("more than 70 °C"),
        "{}",
        ran.out
    );
    let bytes = std::fs::read(desk.path("a.stl")).unwrap();
    let count = u32::from_le_bytes(bytes[80..84].try_into().unwrap());
    assert_eq!(bytes.len(), 84 + 50 * count as usize);
    // Over its own kind it may be written again, with other wishes.
    let turned = ["print", "racer.toml", "adapter", "--out", "a.stl", "--turn", "-30", "--heads", "cone"];
    assert!(desk.run(&turned).ends(0).out.contains("turned by -30°"));
    desk.run(&["print", "racer.toml", "holder", "--out", "h.3MF", "--angle", "20", "--plain"]).ends(0);
    assert!(std::fs::read(desk.path("h.3MF")).unwrap().starts_with(b"PK"));
    desk.run(&["print", "racer.toml", "wedge", "--out", "w.stl"]).ends(0);
    assert_eq!(files_in(&desk.path("")), ["a.stl", "h.3MF", "racer.toml", "tern.toml", "w.stl"]);
}

#[test]
fn what_the_rules_find_anew_with_the_print_in_the_craft_is_told() {
    let desk = Desk::new();
    desk.put("racer.toml", racer());
    let wedge = ["print", "racer.toml", "wedge", "--out", "w.stl", "--sheet", "with.toml", "--flanges"];
    let ran = desk.run(&wedge).ends(0).says("With it in the craft the rules find anew: ");
    assert!(ran.err.contains("\n  broken: "), "{}", ran.err);
    // The sheet holds what was told, and nothing that was there is written over.
    let told = ran.err.lines().find(|line| line.starts_with("  broken: ")).unwrap();
    let message = told.trim_start_matches("  broken: ").chars().take(40).collect::<String>();
    let checked = desk.run(&["check", "with.toml"]).ends(1).out.clone();
    let one_line = checked.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(one_line.contains(&message), "{message}\n{checked}");
    desk.run(&wedge).ends(2).says("with.toml\" is there already; nothing was written");
    let server = desk.serve();
    server.import(racer()).ok();
    let view = server.get("/api/craft/whinchat/print/wedge?flanges=true").ok();
    assert!(view["found"].as_str().unwrap().starts_with("With it in the craft"), "{view}");
    assert_eq!(view["findings"][0]["verdict"], "broken");
}

#[test]
fn what_cannot_be_printed_or_written_is_told_and_nothing_is_lost() {
    let desk = Desk::new();
    desk.put("racer.toml", racer());
    let before = files_in(&desk.path(""));
    let refused = |words: &[&str], told: &str| {
        desk.run(&[&["print", "racer.toml"], words].concat()).ends(2).says(told);
    };
    refused(&["cheeks", "--out", "c.stl"], "no camera of this craft leaves 1.2 mm");
    refused(&["adapter", "--out", "a.obj"], "ends in .stl or .3mf");
    refused(&["adapter", "--out", "racer.toml"], "ends in .stl or .3mf");
    refused(&["adapter", "--out", "no/a.stl"], "there is no such folder");
    refused(&["adapter", "--out", "a.stl", "--thickness", "0.6"], "a printed wall must be at least 1.2 mm");
    refused(&["adapter", "--out", "a.stl", "--place", "vtxx"], "did you mean \"vtx\"?");
    refused(&["adapter", "--out", "a.stl", "--onto", "frame/nowhere"], "is no hole pattern of this craft");
    refused(&["wedge", "--out", "w.stl", "--angle", "75"], "must lie between 0° and 60°");
    refused(&["holder", "--out", "h.stl", "--turn", "3"], "has no turn; leave it out");
    desk.put("note.stl", "my notes on the club's printer, not to be lost");
    refused(&["wedge", "--out", "note.stl"], "is no .stl file; nothing was written");
    assert_eq!(desk.text("note.stl").len(), 46);
    desk.put("note.3mf", "also notes");
    refused(&["wedge", "--out", "note.3mf"], "is no .3mf file; nothing was written");
    let now = files_in(&desk.path(""));
    assert_eq!(now.len(), before.len() + 2, "{now:?}");
}

#[test]
fn patterns_that_coincide_and_places_that_cannot_be_written_are_told() {
    let desk = Desk::new();
    desk.put("ducted.toml", include_str!("../../../demo/brambling.toml"));
    std::fs::create_dir(desk.path("dir.stl")).unwrap();
    let before = files_in(&desk.path(""));
    let refused = |words: &[&str], told: &str| {
        desk.run(&[&["print", "ducted.toml"], words].concat()).ends(2).says(told);
    };
    // The board's own holes are the frame's: nothing is needed, and a plate with both would have heads in heads.
    refused(
        &["adapter", "--place", "fc", "--out", "a.stl"],
        "needs no adapter: its holes meet esc/mount as they are",
    );
    refused(&["adapter", "--place", "vtx", "--turn", "0", "--out", "a.stl"], "leave the turn to the program");
    let sunk = ["adapter", "--place", "vtx", "--turn", "0", "--heads", "pocket", "--out", "a.stl"];
    let told = desk.run(&[&["print", "ducted.toml"], &sunk[..]].concat()).ends(2).err.clone();
    assert!(told.contains("leave the turn to the program") && !told.contains("sink"), "{told}");
    refused(
        &["adapter", "--place", "vtx", "--onto", "vtx/mount", "--turn", "0", "--out", "a.stl"],
        "a board: an adapter lies on a plate",
    );
    refused(&["wedge", "--out", "dir.stl"], "is a folder");
    refused(&["wedge", "--out", "no/where/w.stl"], "there is no such folder");
    refused(&["wedge", "--out", "ducted.toml/w.stl"], "is a file");
    assert_eq!(files_in(&desk.path("")), before);
}

#[test]
fn a_plate_left_out_since_its_patterns_coincide_is_told() {
    let desk = Desk::new();
    let sheet = include_str!("../../../demo/brambling.toml");
    let rear = "name = \"rear 20\"\nplate = \"bottom plate\"\nx = \"-30 mm, measured\"";
    assert!(sheet.contains(rear));
    let stack = sheet.split("name = \"stack 20\"").nth(1).unwrap();
    let x = stack.lines().find(|line| line.starts_with("x = ")).unwrap_or("x = \"0 mm, measured\"");
    let onto = format!("name = \"rear 20\"\nplate = \"bottom plate\"\n{x}");
    desk.put("coincide.toml", sheet.replace(rear, &onto));
    for what in ["top", "template"] {
        let drawn = desk.run(&["draw", "coincide.toml", what, "--out", "c.pdf"]).ends(0);
        drawn.says("not drawn is bottom plate of Brambling frame: ");
    }
}

#[test]
fn an_outline_that_crosses_itself_is_named_wherever_it_would_be_drawn() {
    let desk = Desk::new();
    let sheet = include_str!("../../../demo/brambling.toml");
    let sound = "[[58, -12], [58, 12], [48, 16], ";
    assert!(sheet.contains(sound));
    desk.put("crossed.toml", sheet.replace(sound, "[[58, -12], [48, 16], [58, 12], "));
    let crossed = "edge 1 crosses edge 3; put the";
    assert!(desk.run(&["check", "crossed.toml"]).ends(1).out.contains(crossed));
    let template = ["draw", "crossed.toml", "template", "--of", "frame/top plate", "--out", "t.pdf"];
    desk.run(&template).ends(2).says(crossed);
    let top = desk.run(&["draw", "crossed.toml", "top", "--out", "-"]).ends(0);
    assert!(top.out.contains("Not drawn, as its facts are missing or wrong: top plate of Brambling frame"));
    let left_out = "not drawn is top plate of Brambling frame: outer edge: edge 1 crosses edge 3; put the";
    let top = top.says(left_out);
    assert_eq!(top.err.matches("not drawn").count(), 1, "{}", top.err);
    desk.run(&["draw", "crossed.toml", "template", "--out", "all.pdf"]).ends(0).says(left_out);
    desk.run(&["draw", "crossed.toml", "template", "--of", "frame", "--out", "of.pdf"])
        .ends(0)
        .says(left_out);
    // What does not rest on that plate is drawn and printed all the same.
    desk.run(&["draw", "crossed.toml", "exploded", "--out", "e.svg"]).ends(0).says(left_out);
    let bottom = ["draw", "crossed.toml", "template", "--of", "frame/bottom plate", "--out", "b.pdf"];
    assert!(!desk.run(&bottom).ends(0).err.contains("not drawn"));
    desk.run(&["print", "crossed.toml", "wedge", "--out", "w.stl"]).ends(0);
}

#[test]
fn a_print_is_shown_loaded_and_taken_as_one_step() {
    let desk = Desk::new();
    let server = desk.serve();
    server.import(racer()).ok();
    let broken = server.get("/api/craft/whinchat").ok();
    assert_eq!(broken["verdict"], "broken");
    let view = server.get("/api/craft/whinchat/print/adapter").ok();
    assert_eq!((view["kind"].as_str(), view["for_place"].as_str()), (Some("adapter"), Some("vtx")));
    assert_eq!(view["files"], json!(["whinchat-adapter-vtx.stl", "whinchat-adapter-vtx.3mf"]));
    assert!(view["mass_g"].as_f64().unwrap() > 1.0 && view["says"].as_array().unwrap().len() > 4);
    let thick = server.get("/api/craft/whinchat/print/adapter?thickness_mm=5").ok();
    assert_eq!(thick["size_mm"][2], 5.0);
    let picture = server.get("/api/craft/whinchat/print/adapter.svg?thickness_mm=5");
    assert_eq!((picture.status, &picture.headers["content-type"]), (200, &"image/svg+xml".parse().unwrap()));
    let file = server.get("/api/craft/whinchat/print/adapter.3mf?place=vtx");
    assert_eq!(file.status, 200);
    assert_eq!(file.headers["content-type"], "model/3mf");
    assert!(file.headers["content-disposition"].to_str().unwrap().contains("whinchat-adapter-vtx.3mf"));
    let taken = server.post("/api/craft/whinchat/print/adapter/take", json!({})).ok();
    let matched = taken["findings"].as_array().unwrap().iter().filter(|f| f["rule"] == "fit.pattern_match");
    let verdicts: Vec<&str> = matched.map(|f| f["verdict"].as_str().unwrap()).collect();
    assert!(verdicts.len() > 2 && !verdicts.contains(&"broken"), "{verdicts:?}");
    assert!(taken["undo"].as_str().unwrap().starts_with("Print adapter 30.5 to 20"), "{}", taken["undo"]);
    assert!(taken["solids"].as_array().unwrap().iter().any(|solid| solid["place"] == view["place"]));
    let undone = server.post("/api/craft/whinchat/undo", json!({})).ok();
    assert_eq!(undone["places"], broken["places"]);
    assert_eq!(undone["parts"].as_array().unwrap().len(), broken["parts"].as_array().unwrap().len());
}

#[test]
fn the_form_of_each_print_says_what_may_be_set_and_every_key_of_it_is_read() {
    let desk = Desk::new();
    let server = desk.serve();
    server.import(racer()).ok();
    let forms = server.get("/api/craft/whinchat/print").ok();
    let kinds: Vec<&str> = forms.as_array().unwrap().iter().map(|f| f["kind"].as_str().unwrap()).collect();
    assert_eq!(kinds, ["adapter", "wedge", "cheeks", "holder"]);
    let mut asked = 0;
    for form in forms.as_array().unwrap() {
        let kind = form["kind"].as_str().unwrap();
        for choice in form["choices"].as_array().unwrap() {
            let key = choice["key"].as_str().unwrap();
            let ask = |value: &str| server.get(&format!("/api/craft/whinchat/print/{kind}?{key}={value}"));
            let entered = &choice["entered"];
            if let Some(least) = entered["number"]["least"].as_f64() {
                let beyond = ask(&format!("{}", least - 1000.0));
                // A turn is an angle, of any number of rounds.
                assert!(key == "turn_degrees" || beyond.status == 422, "{kind} {key}: {}", beyond.status);
            }
            let value = match entered["number"]["least"].as_f64() {
                Some(least) => format!("{}", least + 1.5),
                None => entered["one_of"][0][0].as_str().unwrap_or("true").replace(' ', "%20"),
            };
            let answer = ask(&value);
            // It is either made or refused for a reason of the craft: never misread, never for a key it does not have.
            assert!([200, 422].contains(&answer.status), "{kind} {key}={value}: {}", answer.status);
            if answer.status == 422 {
                assert!(!answer.refused(422).contains("leave it out"), "{kind} {key}={value}");
            }
            asked += 1;
        }
    }
    assert!(asked > 15, "{asked}");
    server.get("/api/craft/nobody/print").refused(404);
}

#[test]
fn slips_over_the_wire_are_refused_in_words() {
    let desk = Desk::new();
    let server = desk.serve();
    server.import(racer()).ok();
    let get = |path: &str| server.get(&format!("/api/craft/whinchat/print/{path}"));
    assert!(get("addapter").refused(404).contains("there is no print \"addapter\""));
    assert!(get("adapter.obj").refused(404).contains("there is no file \"adapter.obj\""));
    get("adapter?thickness_mm=thin").refused(400);
    get("adapter?colour=red").refused(400);
    assert!(get("adapter?place=nobody").refused(404).contains("no place \"nobody\""));
    assert!(get("adapter?place=cam").refused(422).contains("this print is for a board"));
    assert!(get("wedge.stl?angle_degrees=80").refused(422).contains("between 0° and 60°"));
    server.get("/api/craft/nobody/print/adapter").refused(404);
    let take = |json| server.post("/api/craft/whinchat/print/adapter/take", json);
    take(json!({"thicknes_mm": 3})).refused(400);
    assert!(take(json!({"thickness_mm": 0.2})).refused(422).contains("at least 1.2 mm"));
    assert_eq!(server.get("/api/craft/whinchat/journal").ok().as_array().unwrap().len(), 1);
}

#[test]
fn the_slack_against_every_stock_length_is_told() {
    let desk = Desk::new();
    desk.put("brambling.toml", include_str!("../../../demo/brambling.toml"));
    let told = desk.run(&["figures", "brambling.toml", "--only", "fit.harness_slack"]).ends(1).out;
    let rows: Vec<&str> = told.lines().filter(|line| line.contains("in stock")).map(str::trim).collect();
    assert_eq!(rows.len(), 8, "{told}");
    assert!(rows[0].starts_with("40 mm") && rows[0].ends_with("mm short  too short"), "{told}");
    assert!(told.contains("120 mm  its own     38.7 mm slack  must be folded"), "{told}");
    assert!(told.contains("sold in any length"), "{told}");
    let json = desk.run(&["figures", "brambling.toml", "--only", "fit.harness", "--json"]).ends(1).json();
    assert_eq!(json["lengths"][0]["stock"].as_array().map(Vec::len), Some(8), "{json}");
    assert!(
        json["lengths"][0]["mends"][0].as_str().unwrap().contains("order the stock length of 100 mm"),
        "{json}"
    );
    let rest = desk.run(&["figures", "brambling.toml", "--only", "craft.", "--json"]).json();
    assert_eq!(rest["lengths"], json!([]));
}

#[test]
fn a_plate_too_large_for_paper_is_told_where_the_file_is_named() {
    let desk = Desk::new();
    let (was, instead) =
        ("outline = [[66, -10], [66, 10], [56, 16]", "outline = [[966, -700], [966, 710], [56, 716]");
    let sheet = include_str!("../../../demo/brambling.toml").replacen(was, instead, 1);
    assert!(sheet.contains(instead));
    desk.put("wide.toml", sheet);
    desk.run(&["draw", "wide.toml", "template", "--out", "t.pdf"]).ends(0).says("not drawn is bottom plate");
}
