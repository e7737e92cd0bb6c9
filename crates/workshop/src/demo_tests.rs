//! Cases of the demo.
#![allow(clippy::unwrap_used)]

use crate::at_hand::{at, craft, craft_id, mass, moment, part_id, set_mass, workshop};
use crate::{JournalKind, Workshop};
use craft::Edit;

fn with_demo() -> Workshop {
    let mut shop = workshop();
    let demo = [(craft("wren", 50.0), "# wren\n".to_owned()), (craft("rook", 50.0), String::new())];
    assert_eq!(shop.load_demo(&demo, moment(1)).unwrap(), [craft_id("wren"), craft_id("rook")]);
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
    assert_eq!(shop.load_demo(&again, moment(3)).unwrap(), [craft_id("kite")]);
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
fn the_file_itself_refuses_to_mix_demo_and_own() {
    let mut shop = with_demo();
    shop.new_craft("Mine", None, moment(2)).unwrap();
    let mixed = shop.conn.execute(
        "INSERT INTO craft_part (craft, part, json, sum) VALUES ('mine', 'sender', '{\"position\":1}', 0)",
        [],
    );
    assert!(mixed.unwrap_err().to_string().contains("share no part"));
}
