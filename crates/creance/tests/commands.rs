//! Every command as a user runs it: what it says, its JSON, its exit status.

#![allow(clippy::unwrap_used)]

mod at_hand;

use at_hand::{Desk, TERN, files_in, low_tern};
use serde_json::Value;

fn keys(value: &Value) -> Vec<&str> {
    value.as_object().unwrap().keys().map(String::as_str).collect()
}

#[test]
fn check_ends_by_whether_anything_is_broken() {
    let desk = Desk::new();
    desk.run(&["check", "tern.toml"]).ends(0);
    desk.put("low.toml", low_tern());
    let low = desk.run(&["check", "low.toml"]).ends(1);
    assert!(low.out.starts_with("Tern (3-inch, open): broken\n\nBroken (2)\n"), "{}", low.out);
    let (broken, sound) = (low.out.find("Broken (").unwrap(), low.out.find("Sound (").unwrap());
    assert!(broken < sound);
    assert!(!low.out.contains('\u{1b}'), "no colour codes");
}

#[test]
fn check_as_json_has_the_documented_keys() {
    let desk = Desk::new();
    desk.put("low.toml", low_tern());
    let told = desk.run(&["check", "low.toml", "--json"]).ends(1).json();
    assert_eq!(keys(&told), ["counts", "craft", "findings", "verdict"]);
    assert_eq!(told["verdict"], "broken");
    assert_eq!(told["craft"]["id"], "tern");
    for finding in told["findings"].as_array().unwrap() {
        assert_eq!(keys(finding), ["certainty", "margin", "mend", "message", "rule", "unit", "verdict"]);
    }
    let worst = &told["findings"][0];
    assert_eq!((worst["rule"].as_str(), worst["unit"].as_str()), (Some("fit.pair_clearance"), Some("mm")));
    assert!(worst["margin"].as_f64().unwrap() < 0.0 && worst["certainty"].as_f64().unwrap() < 0.01);
    assert!(worst["mend"].as_str().unwrap().ends_with('.'));
}

#[test]
fn a_figure_says_what_it_is_and_opens_its_working() {
    let desk = Desk::new();
    let plain = desk.run(&["figures", "tern.toml", "--only", "craft.mass"]).ends(0).out;
    assert!(plain.starts_with("craft.mass") && plain.contains("    source: common practice"), "{plain}");
    let opened = desk.run(&["figures", "tern.toml", "--only", "craft.mass", "--working"]).ends(0).out;
    let lines: Vec<&str> = opened.lines().collect();
    assert!(lines.len() > 3 && lines[1].starts_with("    = "), "{opened}");
    assert!(lines[2].contains(" g  ") && lines[2].ends_with(')'), "{opened}");
    assert!(opened.contains("    source: common practice"), "{opened}");
}

#[test]
fn figures_as_json_have_the_documented_keys_and_may_be_chosen() {
    let desk = Desk::new();
    let all = desk.run(&["figures", "tern.toml", "--json"]).ends(0).json();
    let figures = all["figures"].as_array().unwrap();
    assert!(figures.len() > 2);
    for figure in figures {
        assert_eq!(
            keys(figure),
            ["basis", "formula", "id", "inputs", "source", "uncertainty", "unit", "value", "what"]
        );
    }
    let only = desk.run(&["figures", "tern.toml", "--only", "match.", "--json"]).ends(0).json();
    let ids: Vec<&str> =
        only["figures"].as_array().unwrap().iter().map(|f| f["id"].as_str().unwrap()).collect();
    assert!(!ids.is_empty() && ids.iter().all(|id| id.starts_with("match.")), "{ids:?}");
    let none = desk.run(&["figures", "tern.toml", "--only", "no.such"]).ends(2).says("\"no.such\"");
    assert_eq!(none.says("They begin with").says("match.").out, "");
}

#[test]
fn explain_tells_a_rule_or_lists_all() {
    let desk = Desk::new();
    let list = desk.run(&["explain"]).ends(0).out;
    assert!(
        list.starts_with("Rules\n") && list.contains("fit.pair_clearance") && list.contains("\nFigures\n")
    );
    let rule = desk.run(&["explain", "fit.pair_clearance"]).ends(0).out;
    assert!(rule.starts_with("fit.pair_clearance\n") && rule.contains("\nSound when\n"), "{rule}");
    desk.run(&["explain", "fit.pair_clearence"]).ends(2).says("Did you mean \"fit.pair_clearance\"?");
    desk.run(&["explain", "zzz"]).ends(2).says("there is no rule or figure \"zzz\"");
}

#[test]
fn draw_writes_one_view_and_nothing_else() {
    let desk = Desk::new();
    for view in ["top", "side", "front"] {
        desk.run(&["draw", "tern.toml", view, "--out", "tern.svg"]).ends(0);
        assert!(
            desk.text("tern.svg").starts_with("<svg ") && desk.text("tern.svg").contains("Tern from the")
        );
    }
    assert_eq!(files_in(&desk.path("")), ["tern.svg", "tern.toml"]);
    assert!(desk.run(&["draw", "tern.toml", "top", "--out", "-"]).ends(0).out.starts_with("<svg "));
    desk.run(&["draw", "tern.toml", "top", "--out", "tern.toml"])
        .ends(2)
        .says("\".toml\" is no kind of file");
    assert_eq!(desk.text("tern.toml"), TERN);
}

#[test]
fn draw_writes_what_the_name_of_the_file_asks_for() {
    let desk = Desk::new();
    let bytes = |name: &str| std::fs::read(desk.path(name)).unwrap();
    desk.run(&["draw", "tern.toml", "card", "--out", "card.pdf"]).ends(0).says("card.pdf");
    assert!(bytes("card.pdf").starts_with(b"%PDF-"));
    desk.run(&["draw", "tern.toml", "front", "--out", "front.PNG", "--dots-per-inch", "40"]).ends(0);
    // Width and height stand in the header: A4 across at 40 dots an inch.
    assert_eq!(bytes("front.PNG")[16..24], [0, 0, 1, 212, 0, 0, 1, 75]);
    desk.run(&["draw", "tern.toml", "card", "--out", "card.svg"]).ends(0).says("card-2.svg");
    assert!(desk.text("card-1.svg").contains("Parts") && desk.text("card-2.svg").contains("Placement"));
    desk.run(&["draw", "tern.toml", "exploded", "--out", "apart.pdf"]).ends(0);
    // Once more, over what it wrote itself.
    desk.run(&["draw", "tern.toml", "exploded", "--out", "apart.pdf"]).ends(0);
    let all = ["apart.pdf", "card-1.svg", "card-2.svg", "card.pdf", "front.PNG", "tern.toml"];
    assert_eq!(files_in(&desk.path("")), all);
}

#[test]
fn draw_makes_a_template_of_what_is_chosen() {
    let desk = Desk::new();
    let template = |of: &str| desk.run(&["draw", "tern.toml", "template", "--of", of, "--out", "-"]);
    let sheet = template("frame/bottom").ends(0).out;
    assert!(sheet.contains("check that this bar measures 100 mm before you drill"), "{sheet}");
    template("fram").ends(2).says("did you mean \"frame\"?");
    template("frame/nothing").ends(2).says("it has bottom");
    desk.run(&["draw", "tern.toml", "top", "--of", "frame", "--out", "-"]).ends(2).says("--of chooses");
}

#[test]
fn draw_shows_a_view_over_the_course_as_it_is_asked() {
    let desk = Desk::new();
    desk.put("fieldfare.toml", include_str!("../../../demo/fieldfare.toml"));
    let view = |options: &[&str]| {
        let line = ["draw", "fieldfare.toml", "view", "--out", "-"].iter().chain(options).copied();
        desk.run(&line.collect::<Vec<_>>())
    };
    let sheet = view(&["--tilt", "20", "--speed", "6", "--before", "4", "--left", "-15"]).ends(0).out;
    assert!(sheet.contains("camera tilted 20°"), "{sheet}");
    assert!(sheet.contains("4 m before the first gate, turned 15° to the right, at 6 m/s, nose"), "{sheet}");
    let pair = view(&["--beside", "4:3"]).ends(0).out;
    assert!(
        pair.contains("Second: the same lens in 4 : 3") && pair.contains("The second gives up"),
        "{pair}"
    );
    view(&["--beside", "5:4"]).ends(2).says("no shape of a picture");
    view(&["--speed", "-3"]).ends(2);
    view(&["--before", "0"]).ends(2).says("must lie between 1 and 40 m");
    desk.run(&["draw", "fieldfare.toml", "top", "--speed", "6", "--out", "-"])
        .ends(2)
        .says("--speed is for a view");
}

#[test]
fn draw_spares_files_of_others_and_refuses_what_it_cannot_write() {
    let desk = Desk::new();
    for (name, text) in
        [("mine.pdf", "%PDF-1.4 a letter"), ("mine.svg", "<svg>a bird</svg>"), ("card-2.svg", "x")]
    {
        desk.put(name, text);
    }
    let card = |out: &str| desk.run(&["draw", "tern.toml", "card", "--out", out]);
    card("mine.pdf").ends(2).says("is no drawing of this program; nothing was written");
    desk.run(&["draw", "tern.toml", "top", "--out", "mine.svg"]).ends(2).says("is no drawing");
    // The second page would fall on another's file: then the first is not written either.
    card("card.svg").ends(2).says("card-2.svg");
    assert_eq!(files_in(&desk.path("")), ["card-2.svg", "mine.pdf", "mine.svg", "tern.toml"]);
    card("card.gif").ends(2).says(".svg, .pdf or .png");
    card("card").ends(2).says("does not say what kind of file").says("ends in .svg, .pdf or .png");
    assert!(!desk.path("card").exists() && !desk.path("card-1").exists());
    card("-").ends(2).says("2 pages");
    card("no/card.pdf").ends(2).says("no such folder");
    let dots = |out: &str, dots: &str| {
        desk.run(&["draw", "tern.toml", "top", "--out", out, "--dots-per-inch", dots])
    };
    dots("a.png", "9999").ends(2).says("must be from 36 to 600");
    dots("a.png", "-1").ends(2);
    dots("a.pdf", "100").ends(2).says("is for PNG");
}

#[test]
fn what_is_imported_can_be_named_and_comes_out_with_its_comments() {
    let desk = Desk::new();
    let shop = ["--workshop", "shop.sqlite"];
    let with = |words: &[&str]| desk.run(&[words, &shop].concat());
    assert!(with(&["import", "tern.toml"]).ends(0).out.contains("Tern is now in the workshop, as tern"));
    assert!(with(&["import", "tern.toml"]).ends(0).out.contains("already"));
    with(&["check", "tern"]).ends(0);
    with(&["check", "TERN"]).ends(0);
    with(&["check", "tren"]).ends(2).says("Did you mean \"tern\"?");
    assert_eq!(with(&["export", "tern", "--out", "-"]).ends(0).out, TERN);
    with(&["export", "tern", "--out", "copy.toml"]).ends(0);
    assert_eq!(desk.text("copy.toml"), TERN);
}

#[test]
fn export_keeps_the_comments_of_the_sheet_that_is_there() {
    let desk = Desk::new();
    desk.put("there.toml", TERN.replace("# with its screws", "# weighed twice"));
    desk.put("low.toml", low_tern());
    desk.run(&["export", "low.toml", "--out", "there.toml"]).ends(0);
    let text = desk.text("there.toml");
    assert!(text.contains("# weighed twice") && text.contains("z = \"9 mm, measured\""), "{text}");
}

#[test]
fn export_spares_what_is_no_sheet_of_this_craft() {
    let desk = Desk::new();
    desk.put("notes.toml", "shopping = 3\n");
    desk.run(&["export", "tern.toml", "--out", "notes.toml"]).ends(2).says("no sound sheet");
    assert_eq!(desk.text("notes.toml"), "shopping = 3\n");
    desk.put("other.toml", TERN.replace("name = \"Tern\"", "name = \"Other\""));
    desk.run(&["export", "tern.toml", "--out", "other.toml"]).ends(2).says("holds another craft, other");
}

#[test]
fn backup_is_a_workshop_itself() {
    let desk = Desk::new();
    desk.run(&["import", "tern.toml", "--workshop", "shop.sqlite"]).ends(0);
    desk.run(&["backup", "--to", "kept.sqlite", "--workshop", "shop.sqlite"]).ends(0);
    desk.run(&["check", "tern", "--workshop", "kept.sqlite"]).ends(0);
    desk.run(&["backup", "--to", "tern.toml", "--workshop", "shop.sqlite"]).ends(2);
    assert_eq!(desk.text("tern.toml"), TERN);
}

#[test]
fn the_own_workshop_lies_in_the_data_folder() {
    let desk = Desk::new();
    desk.run(&["check", "tern"]).ends(2).says("no workshop of your own yet");
    desk.run(&["import", "tern.toml"]).ends(0);
    desk.run(&["check", "tern"]).ends(0);
    if cfg!(target_os = "linux") {
        assert!(desk.path("data/creance/workshop.sqlite").is_file());
    }
}

#[test]
fn help_and_version_end_well_and_usage_does_not() {
    let desk = Desk::new();
    assert!(desk.run(&["--help"]).ends(0).out.contains("Exit status:"));
    assert!(desk.run(&["check", "--help"]).ends(0).out.contains("\"certainty\""));
    assert!(desk.run(&["--version"]).ends(0).out.starts_with("creance "));
    for words in
        [&["chekc"][..], &["check"], &["draw", "tern.toml", "below", "--out", "a.svg"], &["--port", "99999"]]
    {
        desk.run(words).ends(2);
    }
}

#[test]
fn a_damaged_workshop_is_told_and_its_last_good_backup_put_back() {
    let desk = Desk::new();
    let with = |words: &[&'static str]| [words, &["--workshop", "shop.sqlite"][..]].concat();
    desk.run(&with(&["import", "tern.toml"])).ends(0);
    desk.run(&with(&["backup", "--to", "shop.sqlite.kept-now.backup"])).ends(0);
    let mut bytes = std::fs::read(desk.path("shop.sqlite")).unwrap();
    let at = bytes.windows(4).position(|found| found == b"Tern").unwrap();
    bytes[at] = b'X';
    desk.put("shop.sqlite", bytes);
    desk.run(&with(&["check", "tern"])).ends(2).says("damaged").says("creance restore");
    let restored = desk.run(&with(&["restore"])).ends(0);
    assert!(restored.out.contains("what was there is kept in shop.sqlite.damaged-1"), "{}", restored.out);
    desk.run(&with(&["check", "tern"])).ends(0);
}

#[test]
fn a_backup_that_is_none_is_not_put_in_place() {
    let desk = Desk::new();
    desk.run(&["import", "tern.toml", "--workshop", "shop.sqlite"]).ends(0);
    desk.run(&["restore", "--from", "tern.toml", "--workshop", "shop.sqlite"]).ends(2).says("tern.toml");
    desk.run(&["restore", "--workshop", "shop.sqlite"]).ends(2).says("no sound backup");
    desk.run(&["check", "tern", "--workshop", "shop.sqlite"]).ends(0);
}

#[test]
fn a_reader_that_goes_away_is_no_fault() {
    let desk = Desk::new();
    let mut child = desk.command(&["explain"]).stdout(std::process::Stdio::piped()).spawn().unwrap();
    drop(child.stdout.take());
    assert_eq!(child.wait().unwrap().code(), Some(0));
}

#[test]
fn a_measured_pattern_becomes_rows_of_a_sheet_or_says_what_is_wrong_line_by_line() {
    let desk = Desk::new();
    desk.put("yard.csv", "off (deg);gain (dBi)\n0;-12,5\n90;1,4\n180;-15\n");
    let told = desk.run(&["pattern", "yard.csv", "--part", "omni"]).ends(0);
    assert!(told.err.contains("measured_about = \"mast\" or \"aim\""), "{}", told.err);
    assert!(
        told.out
            .starts_with("[[part.omni.cut]]\noff = \"0°\"\nround = \"0°\"\ngain = \"-12.5 dBi, measured\"\n")
    );
    assert!(told.err.contains("3 directions, greatest gain 1.4 dBi"), "{}", told.err);
    desk.put("holed.csv", "off,gain\n0,-12\n90,much\n170\n");
    let told = desk.run(&["pattern", "holed.csv", "--part", "omni"]).ends(2);
    assert!(told.out.is_empty());
    assert!(told.err.contains("line 3: gain \"much\" is no number"), "{}", told.err);
    assert!(told.err.contains("line 4: 1 cells where the first line names 2"), "{}", told.err);
}

#[test]
fn readings_of_a_stand_become_rows_of_a_sheet_or_say_what_is_wrong_line_by_line() {
    let desk = Desk::new();
    desk.put("stand.csv", "throttle (%);thrust (gf);current (A)\n0;0;0\n50;150;2,5\n100;330;9\n");
    let told = desk.run(&["stand", "stand.csv", "--part", "motor"]).ends(0);
    assert!(
        told.out.starts_with(
            "[[part.motor.thrust]]\nthrottle = \"50 %\"\nthrust = \"150 gf, measured\"\ncurrent = \"2.5 A, measured\"\n"
        ),
        "{}",
        told.out
    );
    assert!(told.err.contains("2 points, at the highest throttle 330 gf and 9 A"), "{}", told.err);
    desk.put("bent.csv", "throttle,thrust,current\n50,150,2.5\n75,150,much\n100\n");
    let told = desk.run(&["stand", "bent.csv", "--part", "motor"]).ends(2);
    assert!(told.out.is_empty());
    assert!(told.err.contains("line 3: current \"much\" is no number"), "{}", told.err);
    assert!(told.err.contains("line 4: 1 cells where the first line names 3"), "{}", told.err);
}
