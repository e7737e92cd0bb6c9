//! Cases and locks of the rule of hole patterns: the sound bay, spoiled one way at a time.

use super::PATTERN_MATCH;
use crate::testing::{part, place, row, set};
use crate::testing_stack::{bay_is_sound, bay_told, bay_told_of};
use craft::schema::PartKind;
use craft::{Anchor, Craft};
use expect_test::{Expect, expect};

fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
    expected.assert_eq(&bay_told(&PATTERN_MATCH, spoil));
}

#[test]
fn boards_on_their_own_holes_are_sound() {
    bay_is_sound(&PATTERN_MATCH);
}

#[test]
fn holes_drilled_a_little_off_use_up_the_float() {
    // 20 against 20.4 mm: each hole 0.2·√2 = 0.283 mm off; M2 in holes of 2.4 mm floats 0.2 + 0.2 mm: 71 % used,
    // 0.117 mm left. At 20.47 mm it is 83 %.
    let drilled = |pitch: &str| {
        bay_told_of(&PATTERN_MATCH, "video transmitter", |craft| set(craft, "vtx.pattern[0].pitch", pitch))
    };
    expect![[r#"
        sound · video transmitter on rear stack of bay frame · 0.117 mm · over 99 %
          M2 screws pass at all 4 holes; the worst uses 71 % of its float of 0.4 mm
    "#]]
    .assert_eq(&drilled("20.4 mm ± 0.01, measured"));
    expect![[r#"
        tight · video transmitter on rear stack of bay frame · 0.068 mm · 93 %
          M2 screws pass at all 4 holes; the worst uses 83 % of its float of 0.4 mm
          > Open the board's holes by 0.3 mm, or put grommets in them.
          ? No measurement would settle this: what it rests on is known as well as one can measure, and the verdict is 93 % certain.
    "#]]
    .assert_eq(&drilled("20.47 mm ± 0.01, measured"));
}

#[test]
fn holes_drilled_too_far_off_are_broken() {
    // 20 against 21 mm: 0.5·√2 = 0.707 mm off, 0.307 mm more than the float.
    check(
        |craft| set(craft, "vtx.pattern[0].pitch", "21 mm, measured"),
        expect![[r#"
        broken · video transmitter on rear stack of bay frame · -0.307 mm · 0 %
          21 × 21 on 20 × 20: at the worst hole the two miss by 0.71 mm, the float of M2 is only 0.4 mm
          > Open the board's holes by 0.91 mm, or put grommets in them.
    "#]],
    );
}

#[test]
fn like_pitches_of_doubtful_origin_may_differ_either_way() {
    // Data sheets, ±0.15 mm each pitch; holes of 2.1 mm float 0.1 mm in all. |difference|·√2/2 must stay under 0.1 mm.
    check(
        |craft| {
            set(craft, "vtx.pattern[0].pitch", "20 mm, data sheet");
            set(craft, "frame.pattern[0].pitch", "20 mm, data sheet");
            set(craft, "vtx.pattern[0].hole", "2.1 mm");
            set(craft, "frame.pattern[0].hole", "2.1 mm");
        },
        expect![[r#"
            tight · video transmitter on rear stack of bay frame · 0.1 mm · 63 %
              M2 screws pass at all 4 holes; the worst uses 0 % of its float of 0.1 mm
              > Measure the hole diameter of hole pattern "mount" of "video transmitter" first: it decides.
              > Open the board's holes by 0.3 mm, or put grommets in them.
              ? hole diameter of hole pattern "mount" of "video transmitter"
        "#]],
    );
}

#[test]
fn another_pattern_asks_for_an_adapter_or_another_seat() {
    check(
        |craft| set(craft, "vtx.pattern[0].pitch", "30.5 mm, measured"),
        expect![[r#"
            broken · video transmitter on rear stack of bay frame
              30.5 × 30.5 holes do not meet 20 × 20 as seated
              > Seat it on frame/lid: that pattern fits.
              > Put an adapter plate from 30.5 × 30.5 to 20 × 20 between.
        "#]],
    );
    check(
        |craft| set(craft, "vtx.pattern[0].pitch", "25.5 mm, measured"),
        expect![[r#"
        broken · video transmitter on rear stack of bay frame
          25.5 × 25.5 holes do not meet 20 × 20 as seated
          > Put an adapter plate from 25.5 × 25.5 to 20 × 20 between.
    "#]],
    );
}

#[test]
fn a_pattern_set_cornerwise_is_met_by_a_turn_of_45_degrees() {
    let turned = |craft: &mut Craft| set(craft, "frame.pattern[0].turned", "45°");
    check(
        turned,
        expect![[r#"
        broken · video transmitter on rear stack of bay frame
          20 × 20 holes do not meet 20 × 20 as seated
          > Turn the board to 45°: there every screw passes.
    "#]],
    );
    let told = bay_told_of(&PATTERN_MATCH, "video transmitter", |craft| {
        turned(craft);
        set(craft, "place vtx.yaw", "45°");
    });
    assert!(told.starts_with("sound"), "{told}");
}

#[test]
fn holes_off_the_middle_of_a_board_say_where_it_belongs() {
    let off = |craft: &mut Craft| set(craft, "vtx.pattern[0].x", "3 mm, measured");
    check(
        off,
        expect![[r#"
        broken · video transmitter on rear stack of bay frame · -2.5 mm
          As placed the holes miss by 3 mm, though they would meet
          > Place it at x = -3 mm, y = 0 mm: there every screw passes.
    "#]],
    );
    let told = bay_told_of(&PATTERN_MATCH, "video transmitter", |craft| {
        off(craft);
        set(craft, "place vtx.x", "-3 mm, measured");
    });
    assert!(told.starts_with("sound"), "{told}");
    // Turned half round, its middle comes to lie on the other side.
    let told = bay_told_of(&PATTERN_MATCH, "video transmitter", |craft| {
        off(craft);
        set(craft, "place vtx.x", "3 mm, measured");
        set(craft, "place vtx.yaw", "180°");
    });
    assert!(told.starts_with("sound"), "{told}");
}

#[test]
fn an_uneven_pattern_on_a_lower_face_is_seen_from_below() {
    // One hole of four stands 1 mm aside, on both: seen from below left is right, and only a flipped board meets it.
    let uneven = |craft: &mut Craft| {
        for path in ["vtx.pattern[0].holes", "frame.pattern[0].holes"] {
            set(craft, path, "10,10; -10,10; -10,-10; 10,-13");
        }
        for path in ["vtx.pattern[0].holes_basis", "frame.pattern[0].holes_basis"] {
            set(craft, path, "measured");
        }
        set(craft, "vtx.pattern[0].pitch", "");
        set(craft, "frame.pattern[0].pitch", "");
        set(craft, "frame.pattern[0].face", "lower");
    };
    check(
        uneven,
        expect![[r#"
            broken · video transmitter on rear stack of bay frame
              mount, 4 holes over 20 × 23 do not meet rear stack, 4 holes over 20 × 23 as seated
              > Turn the board to 0°, flipped: there every screw passes.
        "#]],
    );
    let told = bay_told_of(&PATTERN_MATCH, "video transmitter", |craft| {
        uneven(craft);
        set(craft, "place vtx.flipped", "yes");
    });
    assert!(told.starts_with("sound"), "{told}");
}

#[test]
fn holes_listed_one_by_one_are_each_as_doubtful_as_their_basis() {
    // Alike on paper; M2 floats 0.2 mm in each hole. Typical holes are ±0.3 mm off each way, measured ones ±0.1 mm.
    let listed = |basis: &str| {
        bay_told_of(&PATTERN_MATCH, "video transmitter", |craft| {
            set(craft, "vtx.pattern[0].holes", "10,10; -10,10; -10,-10; 10,-10");
            set(craft, "vtx.pattern[0].pitch", "");
            set(craft, "vtx.pattern[0].holes_basis", basis);
        })
    };
    expect![[r#"
        sound · video transmitter on rear stack of bay frame · 0.4 mm · over 99 %
          M2 screws pass at all 4 holes; the worst uses 0 % of its float of 0.4 mm
    "#]]
    .assert_eq(&listed(""));
    expect![[r#"
        sound · video transmitter on rear stack of bay frame · 0.4 mm · 100 %
          M2 screws pass at all 4 holes; the worst uses 0 % of its float of 0.4 mm
    "#]]
    .assert_eq(&listed("data sheet"));
    expect![[r#"
        sound · video transmitter on rear stack of bay frame · 0.4 mm · 100 %
          M2 screws pass at all 4 holes; the worst uses 0 % of its float of 0.4 mm
    "#]]
    .assert_eq(&listed("measured"));
}

#[test]
fn an_oblong_is_as_doubtful_as_both_its_pitches() {
    let told = bay_told_of(&PATTERN_MATCH, "video transmitter", |craft| {
        for path in ["vtx.pattern[0]", "frame.pattern[0]"] {
            set(craft, &format!("{path}.pitch"), "20 mm, typical");
            set(craft, &format!("{path}.pitch_across"), "26 mm, typical");
        }
    });
    expect![[r#"
        sound · video transmitter on rear stack of bay frame · 0.4 mm · over 99 %
          M2 screws pass at all 4 holes; the worst uses 0 % of its float of 0.4 mm
    "#]]
    .assert_eq(&told);
}

#[test]
fn a_board_seated_on_its_spacers_is_held_to_the_holes_under_them() {
    let told = bay_told_of(&PATTERN_MATCH, "video transmitter", |craft| {
        set(craft, "vtx.pattern[0].pitch", "21 mm, measured");
        let vtx = craft.places.iter_mut().find(|place| place.id.as_str() == "vtx");
        vtx.into_iter().for_each(|vtx| vtx.on = Anchor::read("spacers").ok());
    });
    assert!(told.starts_with("broken · video transmitter on rear stack of bay frame"), "{told}");
}

#[test]
fn an_adapter_on_the_sheet_is_proposed_by_name() {
    let told = bay_told_of(&PATTERN_MATCH, "receiver board", |craft| {
        part(craft, PartKind::FlightController, "board", "receiver board", &[]);
        let facts = [("name", "mount"), ("pitch", "20 mm"), ("hole", "2.4 mm"), ("screw", "M2")];
        row(craft, "board", "pattern", &facts);
        place(craft, "board", "board", "frame/lid", &[("z", "3 mm")]);
    });
    assert!(told.contains("> Put adapter plate between."), "{told}");
}

#[test]
fn a_board_without_holes_or_a_screw_is_unknown() {
    check(
        |craft| {
            set(craft, "vtx.pattern[0].pitch", "");
            set(craft, "fc.pattern[0].hole", "");
        },
        expect![[r#"
            unknown · video transmitter on rear stack of bay frame
              Nobody can say yet: the pitch of hole pattern "mount" of "video transmitter" is not known
              > Measure or look up the pitch of hole pattern "mount" of "video transmitter".
            unknown · flight controller on front stack of bay frame
              Nobody can say yet: the hole diameter of hole pattern "mount" of "flight controller" is not known
              > Measure or look up the hole diameter of hole pattern "mount" of "flight controller".
        "#]],
    );
}
