//! Cases of rewriting: one edit, and the lines of the sheet it touches.
#![allow(clippy::unwrap_used)]

use craft::{Edit, PartId, apply, read_sheet, rewrite_sheet};
use expect_test::{Expect, expect};

const SHEET: &str = r#"# my craft
creance_sheet = 1

[craft]
name = "Wren"   # as painted on it

# --- the frame, measured on a Sunday
[part.frame]
name="Wren plates"
kind  =  "frame"
mass = "31 g, measured"  # with screws

[[part.frame.plate]]
name = "bottom"
outline = [
  [0, 0],   # left
  [30, 0],
  [0, 20],
]
# the top one is printed
[[part.frame.plate]]
name = "top"

[part.vtx]
kind = "video_transmitter"

# places
[place.frame]
part = "frame"
on = "body"

[place.vtx]
on = "frame"
part = "vtx"
z = "4 mm"

# end
"#;

/// What an edit does to the sheet: the lines taken out and put in.
fn check(edit: &str, expected: Expect) {
    let edit: Edit = serde_json::from_str(edit).unwrap();
    let after = apply(&read_sheet(SHEET).craft, &edit).unwrap();
    let text = rewrite_sheet(SHEET, &after);
    assert_eq!(read_sheet(&text).craft, after);
    let (old, new): (Vec<&str>, Vec<&str>) = (SHEET.lines().collect(), text.lines().collect());
    let head = old.iter().zip(&new).take_while(|(a, b)| a == b).count();
    let tail = old[head..].iter().rev().zip(new[head..].iter().rev()).take_while(|(a, b)| a == b).count();
    let mut told = format!("line {}\n", head + 1);
    old[head..old.len() - tail].iter().for_each(|line| told += &format!("- {line}\n"));
    new[head..new.len() - tail].iter().for_each(|line| told += &format!("+ {line}\n"));
    expected.assert_eq(&told);
}

#[test]
fn a_changed_value_changes_its_own_text_only() {
    check(
        r#"{"edit":"set_part","part":"frame","key":"mass","text":"32 g, measured"}"#,
        expect![[r#"
        line 11
        - mass = "31 g, measured"  # with screws
        + mass = "32 g, measured"  # with screws
    "#]],
    );
    check(
        r#"{"edit":"rename_part","part":"frame","name":"Robin plates"}"#,
        expect![[r#"
        line 9
        - name="Wren plates"
        + name="Robin plates"
    "#]],
    );
    check(
        r#"{"edit":"move_place","place":"vtx","z":5}"#,
        expect![[r#"
        line 35
        - z = "4 mm"
        + z = "5 mm, typical"
    "#]],
    );
    check(
        r#"{"edit":"set_row","part":"frame","table":"plate","row":0,"key":"outline","text":"0,0; 30,0; 0,25"}"#,
        expect![[r#"
            line 15
            - outline = [
            -   [0, 0],   # left
            -   [30, 0],
            -   [0, 20],
            - ]
            + outline = [[0, 0], [30, 0], [0, 25]]
        "#]],
    );
}

#[test]
fn a_new_value_stands_in_the_order_of_the_schema() {
    check(
        r#"{"edit":"set_craft","key":"class","text":"ducted_3"}"#,
        expect![[r#"
        line 6
        + class = "ducted_3"
    "#]],
    );
    check(
        r#"{"edit":"move_place","place":"vtx","x":1.5}"#,
        expect![[r#"
        line 34
        + x = "1.5 mm, typical"
    "#]],
    );
    check(
        r#"{"edit":"set_part","part":"vtx","key":"card","text":"yes"}"#,
        expect![[r#"
        line 26
        + card = true
    "#]],
    );
    check(
        r#"{"edit":"set_row","part":"frame","table":"plate","row":0,"key":"material","text":"carbon"}"#,
        expect![[r#"
            line 15
            + material = "carbon"
        "#]],
    );
}

#[test]
fn a_cleared_value_takes_its_line_along() {
    check(
        r#"{"edit":"set_part","part":"frame","key":"mass","text":null}"#,
        expect![[r#"
        line 11
        - mass = "31 g, measured"  # with screws
    "#]],
    );
    check(
        r#"{"edit":"set_row","part":"frame","table":"plate","row":0,"key":"outline","text":null}"#,
        expect![[r#"
            line 15
            - outline = [
            -   [0, 0],   # left
            -   [30, 0],
            -   [0, 20],
            - ]
        "#]],
    );
}

#[test]
fn new_rows_parts_and_places_stand_behind_their_like() {
    check(
        r#"{"edit":"add_row","part":"frame","table":"plate","values":{"name":"cage"}}"#,
        expect![[r#"
        line 24
        + [[part.frame.plate]]
        + name = "cage"
        + 
    "#]],
    );
    check(
        r#"{"edit":"add_row","part":"frame","table":"pattern","values":{"name":"rear"}}"#,
        expect![[r#"
        line 24
        + [[part.frame.pattern]]
        + name = "rear"
        + 
    "#]],
    );
    check(
        r#"{"edit":"add_part","kind":"lens","name":"wide"}"#,
        expect![[r#"
        line 27
        + [part.wide]
        + kind = "lens"
        + name = "wide"
        + 
    "#]],
    );
    check(
        r#"{"edit":"add_place","part":"vtx","id":"spare"}"#,
        expect![[r#"
        line 37
        + [place.spare]
        + part = "vtx"
        + 
    "#]],
    );
}

#[test]
fn what_is_removed_takes_its_own_remarks_along() {
    check(
        r#"{"edit":"remove_row","part":"frame","table":"plate","row":1}"#,
        expect![[r#"
        line 20
        - # the top one is printed
        - [[part.frame.plate]]
        - name = "top"
        - 
    "#]],
    );
    check(
        r#"{"edit":"remove_row","part":"frame","table":"plate","row":0}"#,
        expect![[r#"
        line 13
        - [[part.frame.plate]]
        - name = "bottom"
        - outline = [
        -   [0, 0],   # left
        -   [30, 0],
        -   [0, 20],
        - ]
    "#]],
    );
    check(
        r#"{"edit":"remove_place","place":"vtx"}"#,
        expect![[r#"
        line 32
        - [place.vtx]
        - on = "frame"
        - part = "vtx"
        - z = "4 mm"
        - 
    "#]],
    );
}

/// Written by hand in other ways that TOML allows.
const BRACES: &str = r#"creance_sheet = 1 # remark
[craft]
name = "Wren" # remark

[place]
# remark
cam = { part = "cam", on = "body" } # remark
top = { part = "frame" }

[part.frame] # remark
kind = "frame"
plate = [ { name = "bottom" }, { name = "top", x = "1 mm" } ] # remark

[part.cam]
kind = "camera"
"#;

#[test]
fn tables_in_braces_change_where_they_stand() {
    let check = |edit: &str, old: &str, new: &str| {
        let edit: Edit = serde_json::from_str(edit).unwrap();
        let after = apply(&read_sheet(BRACES).craft, &edit).unwrap();
        assert!(BRACES.contains(old));
        assert_eq!(rewrite_sheet(BRACES, &after), BRACES.replacen(old, new, 1));
    };
    check(
        r#"{"edit":"set_row","part":"frame","table":"plate","row":1,"key":"x","text":"2 mm"}"#,
        "1 mm",
        "2 mm, typical",
    );
    check(
        r#"{"edit":"set_row","part":"frame","table":"plate","row":0,"key":"x","text":"2 mm"}"#,
        r#"{ name = "bottom" }"#,
        r#"{ name = "bottom", x = "2 mm, typical" }"#,
    );
    check(
        r#"{"edit":"remove_row","part":"frame","table":"plate","row":0}"#,
        r#"[ { name = "bottom" }, { name = "top", x = "1 mm" } ]"#,
        "[\n    { name = \"top\", x = \"1 mm, typical\" },\n]",
    );
    check(
        r#"{"edit":"move_place","place":"cam","x":3}"#,
        r#"on = "body" }"#,
        r#"on = "body", x = "3 mm, typical" }"#,
    );
    check(r#"{"edit":"remove_place","place":"top"}"#, "top = { part = \"frame\" }\n", "");
    check(
        r#"{"edit":"add_row","part":"cam","table":"plug","values":{"name":"harness"}}"#,
        "kind = \"camera\"\n",
        "kind = \"camera\"\n\n[[part.cam.plug]]\nname = \"harness\"\n",
    );
    check(
        r#"{"edit":"rename_part","part":"cam","name":"nano"}"#,
        "\"camera\"\n",
        "\"camera\"\nname = \"nano\"\n",
    );
}

#[test]
fn a_sheet_without_a_craft_heading_gets_one_when_there_is_something_to_say() {
    let old = "creance_sheet = 1 # remark\n";
    let edit: Edit = serde_json::from_str(r#"{"edit":"set_craft","key":"class","text":"open_5"}"#).unwrap();
    let after = apply(&read_sheet(old).craft, &edit).unwrap();
    let new = format!("{old}\n[craft]\nname = \"unnamed\"\nclass = \"open_5\"\n");
    assert_eq!(rewrite_sheet(old, &after), new);
}

#[test]
fn a_sheet_without_a_last_line_end_can_grow() {
    let old = "creance_sheet = 1\n[craft]\nname = \"Wren\"";
    let edit: Edit = serde_json::from_str(r#"{"edit":"add_part","kind":"lens","name":"wide"}"#).unwrap();
    let after = apply(&read_sheet(old).craft, &edit).unwrap();
    assert_eq!(
        rewrite_sheet(old, &after),
        format!("{old}\n\n[part.wide]\nkind = \"lens\"\nname = \"wide\"\n")
    );
}

#[test]
fn what_is_no_sheet_is_written_afresh() {
    let craft = read_sheet(SHEET).craft;
    assert_eq!(rewrite_sheet("{}", &craft), craft::write_sheet(&craft));
}

#[test]
fn a_part_under_another_id_keeps_its_remarks_and_only_its_headings_change() {
    let mut craft = read_sheet(SHEET).craft;
    for (part, id) in craft.parts.iter_mut().zip(["frame-2", "vtx-2"]) {
        part.id = PartId::new(id).unwrap();
    }
    for (place, id) in craft.places.iter_mut().zip(["frame-2", "vtx-2"]) {
        place.part = PartId::new(id).unwrap();
    }
    let wanted = SHEET
        .replace("[part.frame]", "[part.frame-2]")
        .replace("[[part.frame.plate]]", "[[part.frame-2.plate]]")
        // The reader took this name from the id.
        .replace("[part.vtx]\n", &format!("[part.vtx-2]\nname = {:?}\n", craft.parts[1].name))
        .replace("part = \"frame\"", "part = \"frame-2\"")
        .replace("part = \"vtx\"", "part = \"vtx-2\"");
    assert_eq!(rewrite_sheet(SHEET, &craft), wanted);
    assert_eq!(rewrite_sheet(&wanted, &read_sheet(&wanted).craft), wanted);
}
