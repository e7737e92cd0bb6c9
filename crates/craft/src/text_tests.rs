//! Cases, locks and the round trip of values as text.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::schema::{camera, craft, drive, frame, place, shape};
use proptest::prelude::*;

fn refused(def: &FieldDef, text: &str, message: &str) {
    assert_eq!(read_value(def, text).unwrap_err().to_string(), message);
}

#[test]
fn each_kind_of_value_is_read() {
    assert_eq!(read_value(&drive::CELLS.def, " 4 "), Ok(Value::Count(4)));
    assert_eq!(read_value(&place::FLIPPED.def, "yes"), Ok(Value::Flag(true)));
    assert_eq!(read_value(&place::FLIPPED.def, "false"), Ok(Value::Flag(false)));
    assert_eq!(read_value(&frame::plate::MATERIAL.def, "carbon"), Ok(Value::Text("carbon".into())));
    assert_eq!(read_value(&place::FROM.def, " vtx / coax 1 "), Ok(Value::Text("vtx/coax 1".into())));
    let corners = Value::Points(vec![[0.0, -1.5], [20.0, 0.0], [0.0, 3.0]]);
    assert_eq!(read_value(&frame::plate::OUTLINE.def, "0,−1.5; 20, 0 ;0,3;"), Ok(corners));
    let Ok(Value::Fact(fact)) = read_value(&camera::BODY_WIDTH.def, "0.75 in, measured") else { panic!() };
    assert_eq!(fact.quantity.to_string(), "19.05 mm");
}

#[test]
fn what_cannot_stand_is_told_with_its_limit_and_mend() {
    let width = &camera::BODY_WIDTH.def;
    refused(width, "-14 mm", "body width -14 mm must be between 5 and 80 mm; check the sign");
    refused(
        width,
        "14 m, measured",
        "body width 14000 mm (written \"14 m\") must be between 5 and 80 mm; check the number and its unit",
    );
    refused(width, "14", "body width: 14 has no unit; write 14 mm");
    refused(
        width,
        "14 mm ± 90",
        "body width: tolerance 90 mm must be at most 75 mm, all the field may hold; check the tolerance",
    );
    refused(
        width,
        "",
        "body width: nothing stands here; write a number with its unit such as 29.2 mm, measured",
    );
    refused(
        &drive::CELLS.def,
        "4.5",
        "cells in series \"4.5\" must be a whole number from 1 to 16; count again",
    );
    refused(&drive::CELLS.def, "0", "cells in series \"0\" must be a whole number from 1 to 16; count again");
    refused(&place::FLIPPED.def, "maybe", "flipped \"maybe\" must be yes or no");
    refused(
        &frame::plate::MATERIAL.def,
        "Carbn",
        "material \"Carbn\" is not known here; did you mean \"carbon\"?",
    );
    refused(
        &frame::standoff::MATERIAL.def,
        "wood",
        "material \"wood\" must be \"aluminium\", \"steel\", \"titanium\" or \"plastic\"",
    );
    refused(&shape::NAME.def, "a\nb", "name must be one line; put the rest in a note");
    refused(&shape::NAME.def, "a\u{7}b", "name holds the unseen sign U+0007; take it out");
    refused(&shape::NAME.def, "a\u{202e}b", "name holds the unseen sign U+202E; take it out");
    refused(&shape::NAME.def, &"ö".repeat(201), "name: 201 letters must be at most 200; shorten it");
    refused(&craft::NOTE.def, "", "note: nothing stands here; fill it in or leave it out");
    refused(
        &place::FROM.def,
        "vtx",
        "plug it starts at \"vtx\" names no plug; write the place, a stroke and the plug, such as vtx/coax 1",
    );
    let outline = &frame::plate::OUTLINE.def;
    refused(outline, "0,0; 1;2,2", "outline, point 2: \"1\" must be two numbers in mm, x and y");
    refused(outline, "0,0; 1,inf", "outline, point 2: \"1,inf\" must be two numbers in mm, x and y");
    refused(
        outline,
        "0,0; 1,3e4",
        "outline, point 2: 30000 mm must be between -2000 and 2000 mm; check the number",
    );
    refused(
        outline,
        &"0,0;".repeat(2001),
        "outline: 2001 points must be at most 2000; leave out points on straight edges",
    );
}

fn defs() -> Vec<FieldDef> {
    vec![
        camera::BODY_WIDTH.def,
        drive::CELLS.def,
        place::FLIPPED.def,
        frame::plate::MATERIAL.def,
        shape::NAME.def,
        craft::NOTE.def,
        frame::plate::OUTLINE.def,
        place::FROM.def,
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn any_text_is_read_or_refused_and_what_is_read_reads_back(
        def in prop::sample::select(defs()),
        text in prop_oneof![any::<String>(), "[0-9.,; −-]{0,20}", "[0-9]{1,2}(\\.[0-9])? (mm|in)( ± 0\\.[0-9])?"],
    ) {
        match read_value(&def, &text) {
            Ok(value) => prop_assert_eq!(read_value(&def, &write_value(&value)), Ok(value)),
            Err(fault) => prop_assert!(fault.to_string().contains(def.label)),
        }
    }
}
