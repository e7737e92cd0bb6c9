//! What a pilot asks of the link behind the barn: why the picture breaks, at which place, and whether the command that is printed shows the
//! very number that was told.

#![allow(clippy::unwrap_used)]

mod at_hand;

use at_hand::Desk;

const BRAMBLING: &str = include_str!("../../../demo/brambling.toml");

/// One finding of a check, its lines in one.
fn finding(told: &str, rule: &str) -> String {
    let from = told.find(&format!("  {rule}:")).unwrap_or_else(|| panic!("{rule} in {told}"));
    let whole = &told[from..];
    let end = whole[2..].find("\n  link.").or(whole[2..].find("\n\n")).map_or(whole.len(), |end| end + 2);
    whole[..end].replace("\n    ", " ")
}

/// The text of a drawn page without its marks.
fn text(svg: &str) -> String {
    svg.split('<').filter_map(|tag| tag.split_once('>')).map(|(_, text)| text).collect()
}

#[test]
fn the_place_that_is_told_shows_the_number_that_is_told() {
    let desk = Desk::new();
    desk.put("brambling.toml", BRAMBLING);
    let told = desk.run(&["check", "brambling.toml"]).out;
    let wall = finding(&told, "link.wall_plan");
    assert!(
        wall.contains("turning away") && wall.contains("25 mW: 200 mW is set, but its serial wires"),
        "{wall}"
    );
    // The whole of it is told: how long it is gone, that it holds flown straight, and what a better pair changes in metres.
    for words in ["the picture is lost for 17 m in all", "; flown straight, nose home, ", "better antennas, "]
    {
        assert!(wall.contains(words), "{words}: {wall}");
    }
    let short = wall.split(" too little ").next().unwrap().rsplit(": ").next().unwrap().to_owned();
    let asked = wall.split("creance draw CRAFT budget ").nth(1).unwrap().split('`').next().unwrap();
    let mut words = vec!["draw", "brambling.toml", "budget"];
    words.extend(asked.split(' '));
    desk.run(&words).ends(0);
    let drawn = text(&desk.text("budget.svg"));
    assert!(drawn.contains(&format!("{short} short of what is needed")), "{short} in {drawn}");
}

#[test]
fn the_mended_twin_flies_the_same_line_and_holds_but_for_moments() {
    let desk = Desk::new();
    desk.put("linnet.toml", include_str!("../../../demo/linnet.toml"));
    let told = desk.run(&["check", "linnet.toml"]).ends(0).out;
    let wall = finding(&told, "link.wall_plan");
    assert!(told.contains(": tight\n") && !wall.contains(" lost "), "{told}");
    assert!(wall.contains("it holds 97 % of the time") && wall.contains("Stand 10 m to the right"), "{wall}");
    let figures = desk.run(&["figures", "linnet.toml", "--only", "link.change_behind"]).ends(0).out;
    let gained = figures.split_whitespace().find_map(|word| word.parse::<f64>().ok());
    assert!(gained.is_some_and(|metres| (6.0..10.0).contains(&metres)), "{figures}");
}

#[test]
fn a_level_that_cannot_be_set_says_so_wherever_it_is_asked_for() {
    let desk = Desk::new();
    desk.put("brambling.toml", BRAMBLING);
    desk.run(&["draw", "brambling.toml", "budget", "--level", "200", "--out", "budget.svg"]).ends(0);
    let drawn = text(&desk.text("budget.svg"));
    assert!(drawn.contains("cannot be set to 200 mW"), "{drawn}");
    desk.run(&["draw", "brambling.toml", "budget", "--level", "25", "--out", "low.svg"]).ends(0);
    assert!(!text(&desk.text("low.svg")).contains("cannot be set"));
}
