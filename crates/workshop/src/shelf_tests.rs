//! Cases of the shelf.
#![allow(clippy::unwrap_used)]

use crate::at_hand::{craft, craft_id, edit, mass, moment, part_id, set_mass, workshop};
use crate::{Workshop, WorkshopFault};
use craft::{Part, schema::PartKind};

fn with_racer() -> Workshop {
    let mut shop = workshop();
    shop.import(&craft("racer", 50.0), "", moment(1)).unwrap();
    shop
}

#[test]
fn a_part_says_who_uses_it() {
    let mut shop = with_racer();
    let camera = shop.new_part(&Part::new(part_id("camera"), PartKind::Camera, "Camera"), moment(2)).unwrap();
    assert!(shop.part(&camera.id).unwrap().used_by.is_empty());
    assert_eq!(shop.part(&part_id("frame")).unwrap().used_by, [craft_id("racer")]);
    let names: Vec<String> = shop.parts().unwrap().into_iter().map(|stored| stored.part.name).collect();
    assert_eq!(names, ["Frame", "Camera", "Sender", "Whip"], "by kind, in the order of the manual");
}

#[test]
fn a_part_taken_in_under_a_taken_id_gets_the_next() {
    let mut shop = with_racer();
    let part = shop.new_part(&Part::new(part_id("frame"), PartKind::Frame, "Another"), moment(2)).unwrap();
    assert_eq!(part.id, part_id("frame-2"));
    let copy = shop.duplicate_part(&part.id, "Frame", moment(3)).unwrap();
    assert_eq!((copy.id, copy.name.as_str()), (part_id("frame-3"), "Frame"));
}

#[test]
fn an_edit_on_the_shelf_shows_in_the_craft_and_is_undone_on_the_shelf() {
    let mut shop = with_racer();
    let (frame, racer) = (part_id("frame"), craft_id("racer"));
    shop.edit_part(&frame, &set_mass("frame", 61.0), moment(2)).unwrap();
    assert!(mass(&shop.craft(&racer).unwrap(), "frame").unwrap().starts_with("61 g"));
    assert_eq!(shop.can_undo(&racer).unwrap(), None, "the craft's own history is untouched");
    assert!(shop.can_undo_part(&frame).unwrap().unwrap().contains("61 g"));
    shop.undo_part(&frame, moment(3)).unwrap();
    assert_eq!(shop.craft(&racer).unwrap(), craft("racer", 50.0));
    shop.redo_part(&frame, moment(4)).unwrap();
    assert!(mass(&shop.craft(&racer).unwrap(), "frame").unwrap().starts_with("61 g"));
    assert_eq!(shop.can_redo_part(&frame).unwrap(), None);
}

#[test]
fn an_edit_of_something_else_is_refused_on_the_shelf() {
    let mut shop = with_racer();
    for json in [
        r#"{"edit":"add_part","kind":"lens","name":"Lens"}"#,
        r#"{"edit":"remove_part","part":"frame"}"#,
        r#"{"edit":"set_craft","key":"name","text":"Other"}"#,
        r#"{"edit":"add_place","part":"frame"}"#,
    ] {
        let fault = shop.edit_part(&part_id("frame"), &edit(json), moment(2)).unwrap_err();
        assert!(matches!(fault, WorkshopFault::Unsound { .. }), "{fault}");
    }
}

#[test]
fn a_part_in_use_stays_and_one_out_of_use_goes_and_comes_back() {
    let mut shop = with_racer();
    let whip = part_id("whip");
    let fault = shop.remove_part(&whip, moment(2)).unwrap_err();
    assert_eq!(fault.to_string(), "part \"whip\" is used by craft \"racer\"; take it out there first");
    shop.remove_craft(&craft_id("racer"), moment(3)).unwrap();
    shop.remove_part(&whip, moment(4)).unwrap();
    let fault = shop.part(&whip).unwrap_err();
    assert_eq!(fault.to_string(), "no part \"whip\" in this workshop");

    let fault = shop.undo(&craft_id("racer"), moment(5)).unwrap_err().to_string();
    assert_eq!(
        fault,
        "craft \"racer\": \"Remove craft \\\"racer\\\"\" cannot be taken back or made again, for part \"whip\" was \
         changed since on the page of parts: \"Remove part \\\"Whip\\\"\" at 2030-03-17T17:46:44Z; undo that first"
    );
    shop.undo_part(&whip, moment(6)).unwrap();
    assert_eq!(shop.undo(&craft_id("racer"), moment(7)).unwrap(), craft("racer", 50.0));
    let fault = shop.redo_part(&whip, moment(8)).unwrap_err();
    assert!(matches!(fault, WorkshopFault::PartInUse { .. }), "{fault}");
}
