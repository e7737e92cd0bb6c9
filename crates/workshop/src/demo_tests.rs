//! Cases of the demo.
#![allow(clippy::unwrap_used)]

use crate::at_hand::{at, craft, craft_id, mass, moment, part_id, set_mass, workshop};
use crate::{JournalKind, Workshop};
use craft::Edit;

fn with_demo() -> Workshop {
    let mut shop = workshop();
    let demo = [(craft("wren", 50.0), "# wren\n".to_owned()), (craft("rook", 50.0), String::new())];
    assert_eq!(shop.load_demo(&demo, &[], moment(1)).unwrap(), [craft_id("wren"), craft_id("rook")]);
    shop
}

#[test]
fn the_demo_comes_in_and_goes_in_one_line_each() {
    let mut shop = with_demo();
    assert!(shop.is_demo(&craft_id("wren")).unwrap() && shop.has_demo().unwrap());
    assert_eq!(shop.parts().unwrap().len(), 3, "equal parts of the demo are shared");
    assert_eq!(shop.remove_demo(moment(2)).unwrap(), 2);
    assert!(!shop.has_demo().unwrap());
    assert!(shop.list_craft().unwrap().is_empty() && shop.parts().unwrap().is_empty());
    let kinds: Vec<JournalKind> = shop.journal(None, 9).unwrap().iter().map(|line| line.kind).collect();
    assert_eq!(kinds, [JournalKind::DemoRemoved, JournalKind::DemoLoaded]);
    assert_eq!(shop.remove_demo(moment(3)).unwrap(), 0);
    assert_eq!(shop.last_seq().unwrap(), 2);
}

#[test]
fn loading_the_demo_again_keeps_what_was_done_to_it() {
    let mut shop = with_demo();
    shop.edit(&craft_id("wren"), &set_mass("frame", 60.0), moment(2)).unwrap();
    let again = [(craft("wren", 50.0), String::new()), (craft("kite", 40.0), String::new())];
    assert_eq!(shop.load_demo(&again, &[], moment(3)).unwrap(), [craft_id("kite")]);
    assert!(mass(&shop.craft(&craft_id("wren")).unwrap(), "frame").unwrap().starts_with("60 g"));
}

#[test]
fn a_users_craft_with_a_demo_part_gets_a_copy_and_outlives_the_demo() {
    let mut shop = with_demo();
    let own = shop.new_craft("Mine", None, moment(2)).unwrap().id;
    let part = shop.part(&part_id("sender")).unwrap().part;
    let mine = shop.edit(&own, &Edit::AddPartWhole { part }, moment(3)).unwrap();
    assert_eq!(mine.parts[0].id, part_id("sender-2"));
    shop.edit(&craft_id("wren"), &set_mass("sender", 9.0), moment(4)).unwrap();
    shop.remove_demo(moment(5)).unwrap();
    assert_eq!(shop.craft(&own).unwrap(), mine);
}

#[test]
fn a_copy_of_a_demo_craft_is_the_users_own() {
    let mut shop = with_demo();
    let copy = shop.duplicate_craft(&craft_id("wren"), "My wren", moment(2)).unwrap();
    assert_eq!(at(&copy, "sender").part, part_id("sender-2"));
    assert!(!shop.is_demo(&copy.id).unwrap());
    shop.remove_demo(moment(3)).unwrap();
    assert_eq!(shop.craft(&copy.id).unwrap(), copy);
    assert!(craft::faults(&copy).is_empty());
}

#[test]
fn a_demo_craft_with_a_users_part_gets_a_copy_that_goes_with_the_demo() {
    let mut shop = with_demo();
    shop.import(&craft("racer", 70.0), "", moment(2)).unwrap();
    let frame = shop.craft(&craft_id("racer")).unwrap().parts[0].clone();
    shop.edit(&craft_id("wren"), &Edit::AddPartWhole { part: frame }, moment(3)).unwrap();
    let before = shop.craft(&craft_id("racer")).unwrap();
    shop.remove_demo(moment(4)).unwrap();
    assert_eq!(shop.craft(&craft_id("racer")).unwrap(), before);
    assert_eq!(shop.parts().unwrap().len(), 3);
}

#[test]
fn what_is_kept_beside_the_demo_comes_and_goes_with_it_and_spares_ones_own() {
    use crate::Keep;
    use care::{Entry, EntryKind};
    use firmware::Unit;
    let mut shop = workshop();
    // The owner's own craft has the name of a demo craft, and a unit of the owner's has the label of a demo unit.
    shop.import(&craft("wren", 70.0), "", moment(1)).unwrap();
    shop.keep("Describe unit A1", &[Keep::Unit(Unit::new("A1", "own kind"))], moment(1)).unwrap();
    let unit = |label: &str, craft: Option<&str>| {
        let mut unit = Unit::new(label, "demo kind");
        unit.craft = craft.map(str::to_owned);
        Keep::Unit(unit)
    };
    let entry =
        |words: &str, craft: &str| Keep::Entry(None, Entry::new(9, EntryKind::Changed, words).of(craft));
    let beside = [
        unit("A1", None),
        unit("D1", Some("wren")),
        entry("first", "wren"),
        entry("second", "wren"),
        entry("of a craft that is not there", "kite"),
    ];
    let demo = [(craft("wren", 50.0), String::new())];
    assert_eq!(shop.load_demo(&demo, &beside, moment(2)).unwrap(), [craft_id("wren-2")]);
    let units = shop.kept::<Unit>().unwrap();
    assert_eq!((units[0].thing.kind.as_str(), units[0].demo), ("own kind", false));
    assert_eq!((units[1].thing.craft.as_deref(), units[1].demo), (Some("wren-2"), true));
    let entries = shop.kept::<Entry>().unwrap();
    let told: Vec<_> =
        entries.iter().map(|one| (one.thing.words.as_str(), one.thing.craft.as_deref())).collect();
    assert_eq!(told, [("first", Some("wren-2")), ("second", Some("wren-2"))]);
    shop.remove_demo(moment(4)).unwrap();
    assert_eq!((shop.kept::<Unit>().unwrap().len(), shop.kept::<Entry>().unwrap().len()), (1, 0));
    assert!(!shop.has_demo().unwrap());
}

#[test]
fn the_file_itself_refuses_to_mix_demo_and_own() {
    let mut shop = with_demo();
    shop.new_craft("Mine", None, moment(2)).unwrap();
    let mixed = shop.conn.execute(
        "INSERT INTO craft_part (craft, part, json, sum) VALUES ('mine', 'sender', '{\"position\":1}', 0)",
        [],
    );
    assert!(mixed.unwrap_err().to_string().contains("share no part"));
}
