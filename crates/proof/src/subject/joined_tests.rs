//! Rows of leads: found whichever side names the other, laid and judged as one.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::rules::rule_of;
use crate::testing::{part, place, remove_place, set, told_of};
use crate::testing_stack::led_bay;
use craft::Craft;
use expect_test::{Expect, expect};

/// The bay with its pigtail of 60 mm cut in two: one of so many millimetres in the socket, an extension on it.
fn extended(length: &str) -> Craft {
    let mut craft = led_bay();
    let tail = [("mass", "1 g, measured"), ("length", length), ("coax_diameter", "1.13 mm, measured")];
    part(&mut craft, PartKind::Pigtail, "more", "extension", &tail);
    set(&mut craft, "tail.length", "30 mm, measured");
    place(&mut craft, "more", "more", "frame/tail", &[("from", "tail/second end")]);
    set(&mut craft, "place antenna.from", "more/second end");
    craft
}

fn rows(craft: &Craft) -> Vec<Vec<String>> {
    let ids = |row: JoinedLeads| row.leads.iter().map(|lead| lead.place.id.to_string()).collect();
    joined_leads(&Proof::new(craft)).into_iter().map(ids).collect()
}

fn check(id: &str, craft: &Craft, expected: Expect) {
    expected.assert_eq(&told_of(rule_of(id).unwrap(), craft, |finding| !finding.subject.contains("flat")));
}

#[test]
fn a_joint_is_found_whichever_side_names_it() {
    let joined = [vec!["flat".to_owned()], vec!["tail".to_owned(), "more".to_owned()]];
    assert_eq!(rows(&extended("30 mm, measured")), joined);
    let mut other = extended("30 mm, measured");
    set(&mut other, "place more.from", "");
    set(&mut other, "place tail.to", "more/first end");
    assert_eq!(rows(&other), joined);
    // Both may name the joint; a word that names no end means the one that names this lead.
    set(&mut other, "place more.from", "tail/far side");
    assert_eq!(rows(&other), joined);
}

#[test]
fn a_ring_and_leads_of_two_kinds_are_not_joined() {
    let mut craft = extended("30 mm, measured");
    set(&mut craft, "place tail.from", "more/second end");
    assert_eq!(rows(&craft).len(), 3);
    let mut craft = led_bay();
    set(&mut craft, "place tail.from", "flat/second end");
    assert_eq!(rows(&craft).len(), 2);
}

#[test]
fn two_in_a_row_are_judged_as_one_of_their_whole_length() {
    check(
        "fit.harness_length",
        &extended("31 mm, measured"),
        expect![[r#"
        sound · pigtail and extension · 22.168 mm · 100 %
          The shortest way is 32.8 mm and its plugs take 4 mm, what is joined 2 mm: with 61 mm in all the slack is 22.2 mm, more than it needs
    "#]],
    );
    check(
        "fit.harness_length",
        &extended("6 mm, measured"),
        expect![[r#"
        broken · pigtail and extension · -2.832 mm · 0 %
          The shortest way is 32.8 mm and its plugs take 4 mm, what is joined 2 mm: with 36 mm in all it is 2.8 mm short
          > Order a pigtail of 42 to 49 mm, plug tip to plug tip, in place of those that are joined.
    "#]],
    );
}

#[test]
fn the_thicker_of_the_two_says_how_sharply_they_bend() {
    let mut craft = extended("31 mm, measured");
    set(&mut craft, "more.coax_diameter", "1.5 mm, measured");
    check(
        "fit.harness_bend",
        &craft,
        expect![[r#"
        sound · pigtail and extension
          Its sharpest bend is 7.5 mm, 14.2 mm after foot of antenna; it may be bent to 7.5 mm
    "#]],
    );
}

/// The bay with its harness lengthened by a second one, and nothing that holds it at the transmitter.
fn lengthened() -> Craft {
    let mut craft = led_bay();
    let facts =
        [("mass", "1 g, measured"), ("length", "30 mm, measured"), ("bundle_thickness", "1.2 mm, measured")];
    part(&mut craft, PartKind::CameraHarness, "longer", "second harness", &facts);
    place(&mut craft, "longer", "longer", "frame", &[("from", "flat/second end"), ("to", "vtx/camera")]);
    set(&mut craft, "place flat.to", "");
    remove_place(&mut craft, "bar-vtx");
    craft
}

#[test]
fn what_holds_the_far_end_of_a_row_holds_it_all() {
    let told = |craft: &Craft| {
        told_of(rule_of("fit.relief_present").unwrap(), craft, |finding| {
            finding.subject.contains("camera of video")
        })
    };
    assert!(told(&lengthened()).starts_with("tight"), "{}", told(&lengthened()));
    // The same two, not joined: nothing holds the second.
    let mut apart = lengthened();
    set(&mut apart, "place longer.from", "");
    assert!(told(&apart).starts_with("broken"), "{}", told(&apart));
}

#[test]
fn a_length_nobody_stated_is_named() {
    check(
        "fit.harness_length",
        &extended(""),
        expect![[r#"
        unknown · pigtail and extension
          Nobody can say yet: the length of "extension" is not known
          > Measure or look up the length of "extension".
          > Order a pigtail of 42 to 49 mm, plug tip to plug tip, in place of those that are joined.
    "#]],
    );
}
