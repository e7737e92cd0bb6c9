//! Cases of keeping: one call is one line, and a line can be taken back as a whole.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::at_hand::{craft, craft_id, moment, workshop};
use care::EntryKind;
use firmware::{Version, digest_of};

fn unit(label: &str) -> Unit {
    Unit::new(label, "Lanner small air unit")
}

fn flown(minutes: f64) -> Entry {
    Entry { minutes: Some(minutes), ..Entry::new(1_900_000_000, EntryKind::Flown, "at the hill").of("racer") }
}

#[test]
fn several_things_are_one_line_and_go_back_together() {
    let mut shop = workshop();
    let one =
        shop.keep("Load A1", &[Keep::Unit(unit("A1")), Keep::Entry(None, flown(6.0))], moment(1)).unwrap();
    assert_eq!((one.line, one.ids.as_slice()), (Some(1), &["A1".to_owned(), "000001".to_owned()][..]));
    assert_eq!(shop.journal(None, 9).unwrap().len(), 1);
    let mut newer = unit("A1");
    newer.version = Some(Version::read("4.2").unwrap());
    let two = shop.keep("Read A1", &[Keep::Unit(newer.clone())], moment(2)).unwrap();
    let refused = shop.take_back(1, moment(3)).unwrap_err().to_string();
    assert!(refused.contains("unit \"A1\" was changed since"), "{refused}");
    shop.take_back(two.line.unwrap(), moment(3)).unwrap();
    assert!(shop.take_back(two.line.unwrap(), moment(3)).is_err(), "once is enough");
    assert_eq!(shop.kept::<Unit>().unwrap()[0].thing, unit("A1"));
    shop.take_back(1, moment(4)).unwrap();
    assert!(shop.kept::<Unit>().unwrap().is_empty() && shop.kept::<Entry>().unwrap().is_empty());
}

#[test]
fn what_changes_nothing_leaves_no_line() {
    let mut shop = workshop();
    shop.keep("Describe A1", &[Keep::Unit(unit("A1"))], moment(1)).unwrap();
    assert_eq!(shop.keep("Describe A1", &[Keep::Unit(unit("A1"))], moment(2)).unwrap().line, None);
    assert_eq!(shop.last_seq().unwrap(), 1);
}

#[test]
fn a_line_of_another_sort_is_not_taken_back_here() {
    let mut shop = workshop();
    shop.import(&craft("racer", 50.0), "", moment(1)).unwrap();
    assert!(shop.take_back(1, moment(2)).is_err());
    assert!(shop.take_back(99, moment(2)).is_err());
    assert!(shop.craft(&craft_id("racer")).is_ok());
}

#[test]
fn keeping_something_leaves_the_undo_of_a_craft_alone() {
    let mut shop = workshop();
    shop.import(&craft("racer", 50.0), "", moment(1)).unwrap();
    shop.edit(&craft_id("racer"), &crate::at_hand::set_mass("frame", 60.0), moment(2)).unwrap();
    let line = shop.keep("Fly", &[Keep::Entry(None, flown(5.0))], moment(3)).unwrap().line.unwrap();
    shop.take_back(line, moment(4)).unwrap();
    assert!(shop.can_undo(&craft_id("racer")).unwrap().is_some());
    assert_eq!(shop.can_redo(&craft_id("racer")).unwrap(), None);
}

#[test]
fn a_number_is_never_given_twice() {
    let mut shop = workshop();
    let first = shop.keep("Fly", &[Keep::Entry(None, flown(5.0))], moment(1)).unwrap();
    shop.keep("Take out", &[Keep::Without(Drawer::Entry, first.ids[0].clone())], moment(2)).unwrap();
    let second =
        shop.keep("Fly", &[Keep::Entry(None, flown(6.0)), Keep::Entry(None, flown(7.0))], moment(3)).unwrap();
    assert_ne!(first.ids[0], second.ids[0]);
    assert_ne!(second.ids[0], second.ids[1]);
    shop.take_back(2, moment(4)).unwrap();
    assert_eq!(shop.kept::<Entry>().unwrap().len(), 3);
}

#[test]
fn what_cannot_be_is_refused_whole() {
    let mut shop = workshop();
    let cases: Vec<(Keep, &str)> = vec![
        (Keep::Unit(unit(" ")), "the label of a unit must have 1 to 120 letters"),
        (Keep::Entry(None, flown(f64::NAN)), "NaN min must be above 0"),
        (Keep::Entry(Some("77".into()), flown(5.0)), "no entry \"77\""),
        (Keep::Entry(None, flown(5.0).of("../x")), "craft \"../x\""),
        (Keep::Without(Drawer::Unit, "A9".into()), "no unit \"A9\""),
        (
            Keep::Counter(
                None,
                Counter {
                    craft: None,
                    thing: "P1".into(),
                    kind: care::CounterKind::PackCycles,
                    base: -1.0,
                    since: 0,
                    life: None,
                },
            ),
            "between 0 and 1 000 000",
        ),
    ];
    for (bad, words) in cases {
        let refused = shop.keep("Try", &[Keep::Unit(unit("A1")), bad], moment(1)).unwrap_err().to_string();
        assert!(refused.contains(words), "{refused}");
        assert!(shop.kept::<Unit>().unwrap().is_empty(), "nothing of it stays");
    }
    assert_eq!(shop.last_seq().unwrap(), 0);
}

#[test]
fn what_is_of_the_demo_goes_with_it() {
    let mut shop = workshop();
    shop.keep_demo("Demo", &[Keep::Unit(unit("D1")), Keep::Entry(None, flown(5.0))], moment(1)).unwrap();
    shop.keep("Mine", &[Keep::Unit(unit("A1"))], moment(2)).unwrap();
    assert!(shop.has_demo().unwrap());
    shop.remove_demo(moment(3)).unwrap();
    let left: Vec<String> = shop.kept::<Unit>().unwrap().into_iter().map(|kept| kept.id).collect();
    assert_eq!(left, ["A1"]);
    assert!(!shop.has_demo().unwrap());
}

#[test]
fn a_row_that_is_not_as_written_is_told() {
    let mut shop = workshop();
    let image = Image {
        file: "air.img".into(),
        master: "/masters/air.img".into(),
        digest: digest_of(b"x"),
        size: 1,
        version: Version::read("4.2").unwrap(),
        fits: Vec::new(),
        notes: String::new(),
        step: None,
        first: None,
    };
    shop.keep("Take in", &[Keep::Image(image)], moment(1)).unwrap();
    shop.conn.execute("UPDATE image SET json = replace(json, '4.2', '4.3')", []).unwrap();
    let fault = shop.kept::<Image>().unwrap_err().to_string();
    assert!(fault.contains("is not as it was written"), "{fault}");
    assert!(crate::form::examine(&shop.conn).is_err());
}
