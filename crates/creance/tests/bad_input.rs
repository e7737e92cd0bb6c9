//! Bad input of every sort: clear words, exit status 2, nothing lost, no panic.

#![allow(clippy::unwrap_used)]

mod at_hand;

use at_hand::{Desk, Ran, TERN, files_in, low_tern, spoiled};

/// Checks a sheet of this content.
fn check(bytes: impl AsRef<[u8]>) -> Ran {
    let desk = Desk::new();
    desk.put("it.toml", bytes);
    let import = desk.run(&["import", "it.toml", "--workshop", "shop.sqlite"]);
    if import.status != 0 {
        import.ends(2);
        assert!(!desk.path("shop.sqlite").exists(), "a workshop was made for a sheet that was refused");
    }
    desk.run(&["check", "it.toml"])
}

#[test]
fn empty_and_blank_sheets_say_so() {
    check("").ends(2).says("line 1, column 1");
    check("\n \t\n").ends(2).says("line 1, column 1");
}

#[test]
fn bytes_that_are_no_text_are_told_by_place() {
    let mut bytes = TERN.as_bytes().to_vec();
    let at = TERN.find("small camera").unwrap();
    bytes[at] = 0xff;
    check(&bytes).ends(2).says("line 37");
    check([0_u8, 159, 146, 150]).ends(2);
    check([0xff, 0xfe, 0x41, 0x00]).ends(2).says("UTF-8");
}

#[test]
fn a_sheet_of_50_megabytes_is_told_its_limit() {
    let line = "# a line of nothing but words, again and again and again\n";
    check(line.repeat(50_000_000 / line.len() + 1)).ends(2).says("MiB");
}

#[test]
fn values_that_cannot_be_name_value_and_limit() {
    for (line, instead, words) in [
        ("mass = \"31 g, measured\"", "mass = \"-31 g, measured\"", "-31"),
        ("mass = \"31 g, measured\"", "mass = \"31 mm, measured\"", "mm"),
        ("mass = \"31 g, measured\"", "mass = \"heavy\"", "heavy"),
        ("mass = \"31 g, measured\"", "mass = \"1e300 g\"", "20000"),
        ("mass = \"31 g, measured\"", "mass = \"\"", "mass"),
        ("mass = \"31 g, measured\"", "masss = \"31 g\"", "did you mean \"mass\""),
        ("mass = \"31 g, measured\"", "mass = \"31 g, measured", "line"),
        ("on = \"cam/lens mount\"", "on = \"lens\"", "lens"),
        ("on = \"frame/nose\"", "on = \"fram/nose\"", "did you mean \"frame\""),
        ("part = \"lens\"", "part = \"len\"", "did you mean \"lens\""),
        ("creance_sheet = 1", "creance_sheet = 99", "99"),
    ] {
        check(spoiled(line, instead)).ends(2).says(words);
    }
}

#[test]
fn all_that_is_wrong_is_told_at_once() {
    let sheet = spoiled("mass = \"31 g, measured\"", "mass = \"-31 g\"")
        .replace("body_width = \"14 mm, measured\"", "body_width = \"14 kg\"");
    let told = check(sheet).ends(2).says("2 faults");
    assert!(told.err.contains("-31") && told.err.contains("unit kg must be mm"), "{}", told.err);
}

#[test]
fn half_a_sheet_still_opens() {
    check("creance_sheet = 1\n[craft]\nname = \"Bare\"\n[part.cam]\nkind = \"camera\"\n[place.cam]\npart = \"cam\"\n").ends(0);
}

#[test]
fn paths_that_lead_nowhere_are_told_apart() {
    let desk = Desk::new();
    desk.run(&["check", "no.toml"]).ends(2).says("is not there");
    desk.run(&["check", "tern.toml/a.toml"]).ends(2);
    std::fs::create_dir(desk.path("folder.toml")).unwrap();
    desk.run(&["check", "folder.toml"]).ends(2).says("is a folder");
    desk.run(&["check", "tern", "--workshop", "no.sqlite"]).ends(2).says("is not there");
    desk.run(&["check", "tern", "--workshop", "tern.toml"]).ends(2).says("is no workshop");
    desk.run(&["import", "tern.toml", "--workshop", "no/shop.sqlite"]).ends(2).says("no folder");
    desk.run(&["import", "tern.toml", "no.toml", "--workshop", "shop.sqlite"]).ends(2);
    assert_eq!(files_in(&desk.path("")), ["folder.toml", "tern.toml"]);
}

#[test]
fn places_that_cannot_be_written_are_told_apart() {
    let desk = Desk::new();
    for (out, words) in
        [("no/a.svg", "no such folder"), ("tern.toml/a.svg", "is a file"), (".", "is a folder")]
    {
        desk.run(&["draw", "tern.toml", "top", "--out", out]).ends(2).says(words);
        desk.run(&["export", "tern.toml", "--out", out]).ends(2).says(words);
    }
    desk.run(&["import", "tern.toml", "--workshop", "shop.sqlite"]).ends(0);
    desk.run(&["backup", "--to", "no/a.sqlite", "--workshop", "shop.sqlite"]).ends(2).says("no folder");
    desk.run(&["import", "tern.toml", "--workshop", "tern.toml/shop.sqlite"]).ends(2);
    assert_eq!(desk.text("tern.toml"), TERN);
}

#[test]
fn a_full_disk_is_told() {
    if !std::path::Path::new("/dev/full").exists() {
        return;
    }
    let desk = Desk::new();
    desk.run(&["draw", "tern.toml", "top", "--out", "/dev/full"]).ends(2).says("full");
}

#[test]
fn a_busy_port_is_named() {
    let desk = Desk::new();
    let taken = std::net::TcpListener::bind(("127.0.0.1", 0)).unwrap();
    let port = taken.local_addr().unwrap().port().to_string();
    let told = desk.run(&["serve", "--no-open", "--port", &port, "--workshop", "shop.sqlite"]).ends(2);
    told.says(&format!("port {port} is in use"));
}

#[test]
fn a_second_program_on_the_same_workshop_is_told_where_the_first_is() {
    let desk = Desk::new();
    let first = desk.serve();
    let second = desk.run(&["serve", "--no-open", "--workshop", "shop.sqlite"]).ends(2);
    second.says(&first.url);
    desk.run(&["import", "tern.toml", "--workshop", "shop.sqlite"]).ends(2).says("is held by");
    first.import(TERN).ok();
    desk.run(&["check", "tern", "--workshop", "shop.sqlite"]).ends(0);
}

#[test]
fn a_damaged_workshop_is_told_and_left_as_it_is() {
    let desk = Desk::new();
    desk.put("shop.sqlite", "no workshop at all, but a letter");
    desk.run(&["serve", "--no-open", "--workshop", "shop.sqlite"]).ends(2).says("is no workshop");
    assert_eq!(desk.text("shop.sqlite"), "no workshop at all, but a letter");
}

#[test]
fn a_craft_with_thousands_of_solids_is_judged() {
    let post = |n: u32| {
        format!(
            "[[part.frame.standoff]]\nname = \"post {n}\"\nx = \"{} mm\"\ny = \"{} mm\"\ndiameter = \"3 mm\"\nheight = \"20 mm\"\n",
            (n % 100) * 6,
            n / 100 * 6
        )
    };
    let posts: String = (0..2_000).map(post).collect();
    let sheet = low_tern().replace("[part.cam]", &format!("{posts}\n[part.cam]"));
    check(sheet).ends(1);
}

#[test]
fn a_number_below_nought_is_refused_by_what_it_may_be() {
    let desk = Desk::new();
    desk.put("brambling.toml", include_str!("../../../demo/brambling.toml"));
    for (picture, wish, words) in [
        ("budget", "--distance", "distance -3 m must lie between 1 and"),
        ("range", "--height", "height -3 m must lie between"),
        ("budget", "--level", "no level of -3 mW"),
        ("view", "--speed", "speed -3 m/s must lie between 0 and"),
        ("view", "--before", "distance before the gate -3 m must lie between"),
    ] {
        desk.run(&["draw", "brambling.toml", picture, wish, "-3", "--out", "x.svg"]).ends(2).says(words);
    }
}

#[test]
fn a_supply_that_cannot_be_is_told_with_what_is_wrong_and_not_as_lacking() {
    let desk = Desk::new();
    let demo = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/redpoll.toml");
    let sheet = std::fs::read_to_string(demo).unwrap();
    let long = sheet.replace("punch = \"1.5 s\"", "punch = \"30 s\"");
    assert_ne!(long, sheet);
    desk.put("long.toml", long);
    let told = desk.run(&["draw", "long.toml", "supply", "--out", "x.svg"]).ends(2);
    told.says(
        "a punch of 30 s does not end before the next, 15 s later; shorten punch, or lengthen punch_every",
    );
}
