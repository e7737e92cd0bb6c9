//! Cases of coax from transmitter to antenna: the sound craft spoilt in one way.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::testing::{is_sound, part, place, remove_place, row, set, told};
use craft::Craft;
use expect_test::{Expect, expect};

fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
    expected.assert_eq(&told(&ANTENNA_GENDER, spoil));
}

#[test]
fn pin_into_socket_up_to_the_antenna_is_sound() {
    is_sound(&ANTENNA_GENDER);
}

#[test]
fn two_sockets_make_no_contact() {
    check(
        |craft| set(craft, "stub.gender", "socket"),
        expect![[r#"
        broken · plug "coax 1" of "Lanner small air unit"
          The second end of "pigtail 60" and the "stub antenna" screw together, but neither has a pin in the middle: nothing connects, and the transmitter may burn
          > Take an antenna or pigtail with a pin in the middle.
          > Never power it without an antenna.
    "#]],
    );
}

#[test]
fn two_pins_make_no_contact() {
    let two_pins = told(&ANTENNA_GENDER, |craft| set(craft, "tail.gender_b", "pin"));
    assert!(two_pins.contains("both have a pin in the middle: nothing connects"), "{two_pins}");
}

#[test]
fn another_connector_does_not_mate() {
    check(
        |craft| set(craft, "stub.connector", "reverse SMA"),
        expect![[r#"
        broken · plug "coax 1" of "Lanner small air unit"
          The second end of "pigtail 60" is SMA, the "stub antenna" is reverse SMA: they do not mate
          > Take an antenna or pigtail with SMA.
          > Never power it without an antenna.
    "#]],
    );
}

#[test]
fn a_transmitter_with_nothing_on_its_plug_is_broken() {
    check(
        |craft| {
            remove_place(craft, "tail");
            remove_place(craft, "stub");
        },
        expect![[r#"
            broken · plug "coax 1" of "Lanner small air unit"
              Nothing is on the plug "coax 1" of "Lanner small air unit": powered like this, the transmitter may burn
              > Put an antenna on, and say which plug it starts at.
              > Never power it without an antenna.
        "#]],
    );
}

#[test]
fn a_pigtail_that_ends_in_the_air_is_broken() {
    check(
        |craft| remove_place(craft, "stub"),
        expect![[r#"
        broken · plug "coax 1" of "Lanner small air unit"
          Its coax stops at "pigtail 60": powered like this, the transmitter may burn
          > Put an antenna on, and say which plug it starts at.
          > Never power it without an antenna.
    "#]],
    );
}

#[test]
fn an_antenna_that_nobody_plugged_in_leaves_it_unknown() {
    check(
        |craft| set(craft, "place stub.from", ""),
        expect![[r#"
        unknown · plug "coax 1" of "Lanner small air unit"
          Nobody can say yet: the plug it starts at of place "stub" is not known
          > Measure or look up the plug it starts at of place "stub".
          > Never power it without an antenna.
    "#]],
    );
}

#[test]
fn an_antenna_on_the_wrong_end_makes_no_contact() {
    // The end at the transmitter is then the far one, and the connectors there differ.
    check(
        |craft| {
            set(craft, "place tail.from", "");
            set(craft, "place tail.to", "vtx/coax 1");
        },
        expect![[r#"
            broken · plug "coax 1" of "Lanner small air unit"
              The plug "coax 1" of "Lanner small air unit" is snap 1, the second end of "pigtail 60" is SMA: they do not mate
              > Take an antenna or pigtail with snap 1.
              > Never power it without an antenna.
        "#]],
    );
}

#[test]
fn an_adapter_on_the_way_is_tight() {
    check(
        |craft| {
            let ends = [("end_a", "SMA"), ("gender_a", "pin"), ("end_b", "SMA"), ("gender_b", "socket")];
            part(craft, PartKind::Pigtail, "knee", "angle adapter", &ends);
            place(craft, "knee", "knee", "frame", &[("from", "tail/second end")]);
            set(craft, "place stub.from", "knee/second end");
        },
        expect![[r#"
            tight · plug "coax 1" of "Lanner small air unit"
              It reaches its antenna over 2 leads and 3 joints: each costs level and may work loose
              > Take one pigtail that has both ends right.
        "#]],
    );
}

#[test]
fn a_pigtail_may_name_the_next_one_instead() {
    check(
        |craft| {
            let ends = [("end_a", "SMA"), ("gender_a", "socket"), ("end_b", "SMA"), ("gender_b", "pin")];
            part(craft, PartKind::Pigtail, "knee", "angle adapter", &ends);
            place(craft, "knee", "knee", "frame", &[]);
            set(craft, "place tail.to", "knee/second end");
            set(craft, "place stub.from", "knee/first end");
        },
        expect![[r#"
            tight · plug "coax 1" of "Lanner small air unit"
              It reaches its antenna over 2 leads and 3 joints: each costs level and may work loose
              > Take one pigtail that has both ends right.
        "#]],
    );
}

#[test]
fn an_unknown_gender_is_named() {
    check(
        |craft| set(craft, "vtx.plug[1].gender", ""),
        expect![[r#"
        unknown · plug "coax 1" of "Lanner small air unit"
          Nobody can say yet: the gender of plug "coax 1" of "Lanner small air unit" is not known
          > Measure or look up the gender of plug "coax 1" of "Lanner small air unit".
          > Never power it without an antenna.
    "#]],
    );
}

#[test]
fn a_transmitter_without_a_coax_plug_on_its_sheet_is_unknown() {
    check(
        |craft| {
            remove_place(craft, "tail");
            set(craft, "vtx.plug[1].use", "serial");
        },
        expect![[r#"
            unknown · coax of Lanner small air unit
              Nobody can say yet: the coax plug of "Lanner small air unit" is not known
              > Measure or look up the coax plug of "Lanner small air unit".
        "#]],
    );
}

#[test]
fn an_end_that_is_not_there_is_named() {
    check(
        |craft| set(craft, "place tail.to", "stubb/plug"),
        expect![[r#"
            unknown · plug "coax 1" of "Lanner small air unit"
              Nobody can say yet: its coax is said to go to "stubb/plug", which is not there
              > Name the place and the plug as they are called, as place/plug.
              > Never power it without an antenna.
        "#]],
    );
}

#[test]
fn a_pigtail_on_a_plug_that_is_not_there_leaves_it_unknown() {
    check(
        |craft| set(craft, "place tail.from", "vtx/coax 2"),
        expect![[r#"
        unknown · plug "coax 1" of "Lanner small air unit"
          Nobody can say yet: pigtail 60 is said to go to "vtx/coax 2", which is not there
          > Name the place and the plug as they are called, as place/plug.
          > Never power it without an antenna.
    "#]],
    );
}

#[test]
fn leads_that_go_in_a_ring_come_to_an_end() {
    check(
        |craft| {
            part(craft, PartKind::Pigtail, "ring", "pigtail ring", &[]);
            place(craft, "ring", "ring", "frame", &[("from", "tail/second end"), ("to", "tail/first end")]);
            set(craft, "place tail.to", "ring/first end");
            remove_place(craft, "stub");
        },
        expect![[r#"
            broken · plug "coax 1" of "Lanner small air unit"
              Its coax stops at "pigtail ring": powered like this, the transmitter may burn
              > Put an antenna on, and say which plug it starts at.
              > Never power it without an antenna.
        "#]],
    );
}

#[test]
fn a_free_input_of_a_ground_receiver_harms_nobody() {
    check(
        |craft| row(craft, "ground", "plug", &[("name", "input 1"), ("use", "coax"), ("type", "SMA")]),
        expect![[r#"
            sound · plug "coax 1" of "Lanner small air unit"
              Every joint mates, pin into socket, up to the antenna
        "#]],
    );
}
