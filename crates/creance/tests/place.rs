//! Placements as a user gets them: by command as text, JSON or a sheet; over the wire as a search that is asked
//! for, ended and taken as one step.

#![allow(clippy::unwrap_used)]

mod at_hand;

use at_hand::{Desk, Served, files_in, racer};
use serde_json::{Value, json};

const BRAMBLING: &str = include_str!("../../../demo/brambling.toml");
const DUNNOCK: &str = include_str!("../../../demo/dunnock.toml");
const FIELDFARE: &str = include_str!("../../../demo/fieldfare.toml");
const WHINCHAT: &str = include_str!("../../../demo/whinchat.toml");

/// Both masts of the station ten metres further to the right.
const MASTS: [(&str, &str); 2] =
    [("aside = \"8 m\"", "aside = \"-2 m\""), ("aside = \"8.8 m\"", "aside = \"-1.2 m\"")];

/// The broken craft with its serial wires as they should be, seen to rise when armed, and its pilot ten metres to the right, from where no barn is in the
/// way: what is left to mend is where things stand.
fn wired() -> String {
    let swapped = [
        ("from = \"fc/VT\"\nto = \"vtx/TX\"", "from = \"fc/VT\"\nto = \"vtx/RX\""),
        ("from = \"fc/VR\"\nto = \"vtx/RX\"", "from = \"fc/VR\"\nto = \"vtx/TX\""),
        ("channel_set = \"5843 MHz\"\ngrid", "channel_set = \"5843 MHz\"\nrises = true\ngrid"),
        MASTS[0],
        MASTS[1],
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
fn the_broken_demo_craft_becomes_sound_by_taking_a_placement_with_all_that_is_exact() {
    let desk = Desk::new();
    desk.put("brambling.toml", BRAMBLING);
    let told = desk.run(&["place", "brambling.toml"]).ends(0).out;
    assert!(told.contains("now: broken, -3.25 mm between coax plug 1"), "{told}");
    assert!(told.contains("1. Turn Tansy medium air unit a quarter left: its coax plug 1"), "{told}");
    assert!(told.contains("None of 96 placements can have better than 0.6 mm"), "{told}");
    let folded = told.replace("\n   ", "").replace("\n  ", " ");
    assert!(
        folded.contains("--mend besides: Put M2×6 button at s-rr; Swap the two serial wires at fc"),
        "{told}"
    );
    desk.run(&["place", "brambling.toml", "--take", "1", "--out", "turned.toml"]).ends(1);
    // A sheet that is there is not written over unasked, least of all the one it was read from.
    let before = desk.text("brambling.toml");
    for there in ["turned.toml", "brambling.toml"] {
        desk.run(&["place", "brambling.toml", "--take", "1", "--out", there]).ends(2).says("say --replace");
    }
    assert_eq!(desk.text("brambling.toml"), before);
    let taken = ["place", "brambling.toml", "--take", "1", "--mend", "--out", "mended.toml", "--prints", "."];
    let ran = desk.run(&taken).ends(0).says("Brambling is written to mended.toml");
    let said = ran.out.replace("\n  ", " ");
    for told in [
        "Left over, and out of the craft: M2×7 button.",
        "Stays tight: Standby is on, and nobody has seen its level rise when armed. Blades off, antenna on, arm",
        "Lead: flat harness, 120 mm serves, with 11.1 mm of slack",
        "order the stock length of 120 mm, with its contacts on opposite faces",
        "Written to print: ./brambling-template.pdf. No adapter is needed",
    ] {
        assert!(said.contains(told), "{told}\n{said}");
    }
    assert!(std::fs::read(desk.path("brambling-template.pdf")).unwrap().starts_with(b"%PDF"));
    // Nothing is broken, no sheet fault stays, and what is tight is what must be looked at and turns behind the barn.
    let told = desk.run(&["check", "mended.toml"]).ends(0);
    assert!(told.out.starts_with("Brambling (3-inch, ducted): tight\n\nTight (4)\n"), "{}", told.out);
    assert!(told.out.contains("> Stand 10 m to the right: nothing is in the way there."), "{}", told.out);
    assert_eq!(told.err, "");
    desk.put(
        "seen.toml",
        MASTS.iter().fold(
            desk.text("mended.toml").replace("\n[place.vtx]\n", "\n[place.vtx]\nrises = true\n"),
            |sheet, (was, instead)| sheet.replacen(was, instead, 1),
        ),
    );
    assert!(desk.run(&["check", "seen.toml"]).ends(0).out.starts_with("Brambling (3-inch, ducted): sound"));
    let first = BRAMBLING.lines().next().unwrap();
    assert!(first.starts_with('#') && desk.text("mended.toml").starts_with(first), "comments are kept");
    assert_eq!(desk.text("brambling.toml"), BRAMBLING);
    // The screws alone, on standard output; then all that is exact, without a placement.
    let swapped = desk.run(&["place", "brambling.toml", "--swap", "--out", "-"]).ends(1).out;
    assert!(swapped.starts_with(first) && swapped != BRAMBLING && swapped.contains("to = \"vtx/TX\""));
    let said = desk.run(&["place", "brambling.toml", "--mend", "--out", "m.toml"]).ends(1).out;
    assert!(
        said.starts_with("Brambling: Put M2×6 button at s-rr; Swap the two serial wires at fc"),
        "{said}"
    );
}

#[test]
fn a_craft_of_the_workshop_is_changed_in_one_step_that_the_bench_takes_back() {
    let desk = Desk::new();
    desk.put("brambling.toml", BRAMBLING);
    let shop = ["--workshop", "shop.sqlite"];
    desk.run(&[&["import", "brambling.toml"], &shop[..]].concat()).ends(0);
    let keep = ["place", "Brambling", "--take", "1", "--mend", "--keep"];
    let ran = desk.run(&[&keep[..], &shop].concat()).ends(0).says("the bench can take it back");
    assert!(ran.out.contains("creance draw Brambling --workshop shop.sqlite template"), "{}", ran.out);
    desk.run(&[&["check", "Brambling"], &shop[..]].concat()).ends(0);
    let server = desk.serve();
    let told = server.get("/api/craft/brambling").ok();
    assert_eq!((told["verdict"].as_str(), told["counts"]["broken"].as_u64()), (Some("tight"), Some(0)));
    assert_eq!(server.post("/api/craft/brambling/undo", json!({})).ok()["counts"]["broken"], 7);
    // While the bench holds the workshop nothing else writes there.
    desk.run(&[&keep[..], &shop].concat()).ends(2);
    drop(server);
    desk.run(&["place", "brambling.toml", "--take", "1", "--keep"]).ends(2).says("no craft of the workshop");
}

#[test]
fn where_no_pattern_takes_a_board_its_holes_are_blamed_and_an_adapter_is_printed() {
    let desk = Desk::new();
    desk.put("racer.toml", racer());
    let told = desk.run(&["place", "racer.toml"]).ends(1).out;
    let words = told.replace("\n  ", " ").replace('\n', " ");
    let holes = "The holes of Tansy large air unit (vtx) are 20 × 20, and no hole pattern of this craft takes them in any \
                 turn: rear 30.5 of Whinchat frame, where it is seated, has 30.5 × 30.5.";
    assert!(words.contains(holes) && !words.contains("finds no place"), "{told}");
    assert!(words.contains("creance print racer.toml adapter --place vtx --out adapter.stl"), "{told}");
    let json = desk.run(&["place", "racer.toml", "--json"]).ends(1).json();
    assert_eq!(json["unmatched"][0]["place"], "vtx");
    assert_eq!(json["conflict"]["one"], "Tansy large air unit (vtx) with holes 20 × 20");
    // The command that is told prints it, and the search goes on with it in place.
    desk.run(&["print", "racer.toml", "adapter", "--place", "vtx", "--out", "adapter.stl"]).ends(0);
    assert!(!desk.run(&["place", "racer.toml", "--adapter", "vtx"]).ends(0).out.contains("goes between"));
    let taken = ["place", "racer.toml", "--adapter", "vtx", "--out", "r.toml", "--prints", "."];
    let said = desk.run(&taken).ends(0).out;
    assert!(said.contains("./whinchat-adapter-vtx.stl, ./whinchat-template.pdf"), "{said}");
    let (asked, written) =
        (std::fs::read(desk.path("adapter.stl")), std::fs::read(desk.path("whinchat-adapter-vtx.stl")));
    assert_eq!(asked.unwrap().len(), written.unwrap().len());
    desk.run(&["check", "r.toml"]).ends(0);
    // The adapter is all that was wanting: the one step of the help takes it too.
    let asked = ["place", "racer.toml", "--adapter", "vtx", "--take", "1", "--mend", "--out", "one.toml"];
    desk.run(&asked).ends(0);
    let [first, again] = ["r.toml", "one.toml"].map(|file| std::fs::read_to_string(desk.path(file)).unwrap());
    assert_eq!(first, again);
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
    // One with screws to be changed: every key there is.
    desk.put("brambling.toml", BRAMBLING);
    let told = desk.run(&["place", "brambling.toml", "--json", "--best", "2"]).ends(0).json();
    let best = told["best"].as_array().unwrap();
    assert!(!best.is_empty());
    let help = desk.run(&["help", "place"]).ends(0).out;
    let mut keys: Vec<&String> = told.as_object().unwrap().keys().collect();
    let mended = &best[0]["mended"];
    for inner in [
        &told["now"],
        &told["bound"],
        &best[0],
        &best[0]["then_swapped"],
        mended,
        &mended["leads"][0],
        &mended["left"][0],
    ] {
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
    let told = told.replace('\n', " ");
    assert!(told.contains("finds no place: as it lies, at best, on"), "{told}");
    assert!(told.contains("; turned over, at best, on"), "{told}");
}

#[test]
fn where_no_adapter_serves_both_sides_are_told_and_what_to_drill() {
    let desk = desk();
    // The holes of the rear pattern are 25.5: an adapter turns the unit by an eighth, and the ducts leave no room for that.
    let at = wired().find("name = \"rear 20\"").unwrap();
    let (before, after) =
        (wired()[..at].to_owned(), wired()[at..].replacen("pitch = \"20 mm", "pitch = \"25.5 mm", 1));
    desk.put("drilled.toml", before + &after);
    let told = desk.run(&["place", "drilled.toml", "--adapter", "vtx"]).ends(1).out.replace('\n', " ");
    assert!(told.starts_with("Brambling: vtx placed"), "{told}");
    assert!(
        told.contains("finds no place: as it lies, at best, on board side of adapter 25.5 to 20"),
        "{told}"
    );
    assert!(told.contains("; turned over, at best, on board side of adapter 25.5 to 20"), "{told}");
    assert!(
        told.contains("Drilling would serve: 20 × 20 holes of its own about the middle of rear 20"),
        "{told}"
    );
    assert!(told.contains("Turn Tansy medium air unit a quarter left"), "{told}");
    // Who takes one all the same is told why there is none.
    let asked = ["place", "drilled.toml", "--adapter", "vtx", "--take", "1", "--out", "taken.toml"];
    desk.run(&asked).ends(2).says("none was found").says("finds no place");
    // An adapter that was tried and does not serve is not advised: the holes to drill are.
    let told = desk.run(&["place", "drilled.toml", "--only", "vtx"]).ends(1).out.replace('\n', " ");
    assert!(told.contains("An adapter plate between does not serve: 3 plates were tried"), "{told}");
    assert!(!told.contains("--adapter vtx"), "{told}");
    assert!(told.contains("Drilling would serve"), "{told}");
}

#[test]
fn a_lead_without_a_way_is_told_wherever_leads_are() {
    let desk = desk();
    let wall = "\n[part.wall]\nkind = \"printed_part\"\nname = \"wall\"\n\n[[part.wall.plate]]\nname = \"across\"\nrole = \"other\"\n\
                material = \"printed, stiff\"\nstands = \"across\"\nthickness = \"2 mm, measured\"\nx = \"29 mm, measured\"\n\
                outline = [[-160, -90], [160, -90], [160, 120], [-160, 120]]\n\n[place.wall]\npart = \"wall\"\non = \"frame\"\n";
    desk.put("walled.toml", wired() + wall);
    let because = "There is no way for it from camera plug of Tansy nano camera to camera plug of Tansy medium air unit: \
                   plate across of wall closes the last gap";
    for command in [&["check", "walled.toml"][..], &["figures", "walled.toml", "--only", "fit.harness_slack"]]
    {
        let told = desk.run(command).ends(1).out;
        let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(told.contains(because), "{told}");
        assert!(told.contains("Make room at plate across of wall"), "{told}");
    }
    let placed = desk.run(&["place", "walled.toml", "--only", "vtx", "--json"]).ends(1).json();
    let leads = placed["mended"]["leads"].as_array().unwrap();
    assert!(
        leads
            .iter()
            .any(|lead| lead["words"].as_str().unwrap().contains("has no way. There is no way for it")),
        "{leads:?}"
    );
    // It is drawn, and the sheet comes to no harm.
    desk.run(&["draw", "walled.toml", "top", "--out", "walled.svg"]).ends(0);
    desk.run(&["draw", "walled.toml", "view", "--out", "walled.svg"]).ends(0);
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
    refused(&["--mend"], "--out");
    refused(&["--mend", "--out", "x.toml", "--keep"], "cannot be used with");
    refused(&["--adapter", "vtx", "--out", "x.toml"], "needs no adapter");
    refused(&["--adapter", "vtxx"], "did you mean \"vtx\"?");
    refused(&["--mend", "--out", "x.toml", "--prints", "brambling.toml/no"], "cannot be made");
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
    assert!(count > 0 && pictures.len() == count);
    assert!(pictures.iter().all(|svg| svg.as_str().unwrap().starts_with("<svg")));
    assert!(pictures.windows(2).all(|two| two[0] != two[1]));
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
