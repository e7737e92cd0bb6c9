//! Cases and locks of the rule of stacks: the sound bay, spoiled one way at a time.

use super::STACK_HEIGHT;
use crate::testing::{place, row, set};
use crate::testing_stack::{bay_is_sound, bay_told, bay_told_of};
use craft::Craft;
use expect_test::{Expect, expect};

fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
    expected.assert_eq(&bay_told(&STACK_HEIGHT, spoil));
}

#[test]
fn a_stack_with_air_over_it_is_sound() {
    bay_is_sound(&STACK_HEIGHT);
    // The coax plug ends at 4 + 8.5 = 12.5 mm under a plate at 24 mm.
    expect![[r#"
        sound · stack under the top plate · 11.5 mm · 100 %
          plug coax of video transmitter leaves 11.5 mm of air under the top plate
    "#]]
    .assert_eq(&bay_told_of(&STACK_HEIGHT, "", |_| {}));
}

#[test]
fn a_stack_a_little_too_high_is_tight_and_says_what_to_measure() {
    // The transmitter on 15 mm of spacers ends at 23.5 mm with its plug: 0.5 mm of air.
    check(
        |craft| set(craft, "place vtx.z", "15 mm, data sheet"),
        expect![[r#"
        tight · stack under the top plate · 0.5 mm · 95 %
          plug coax of video transmitter leaves 0.5 mm of air under the top plate
          > Take standoffs 1.5 mm longer, or seat video transmitter that much lower.
    "#]],
    );
}

#[test]
fn a_stack_through_the_top_plate_is_broken() {
    check(
        |craft| set(craft, "place vtx.z", "17 mm, measured"),
        expect![[r#"
        broken · stack under the top plate · -1.5 mm · 0 %
          plug coax of video transmitter stands 1.5 mm too high for the top plate
          > Take standoffs 3.5 mm longer, or seat video transmitter that much lower.
    "#]],
    );
}

#[test]
fn soft_mounts_want_their_play_too() {
    // The controller's button ends at 3 + 6.6 = 9.6 mm; 14 mm higher it ends at 23.6 mm: 0.4 mm of air, and its
    // mounts let it move 0.5 mm.
    check(
        |craft| set(craft, "place fc.z", "17 mm, measured"),
        expect![[r#"
            broken · stack under the top plate · -0.1 mm · 28 %
              boot button of flight controller leaves 0.4 mm of air under the top plate; its soft mounts let it move 0.5 mm
              > Take standoffs 1.6 mm longer, or seat flight controller that much lower.
              ? No measurement would settle this: what it rests on is known as well as one can measure, and the verdict is 72 % certain.
        "#]],
    );
}

#[test]
fn what_lies_under_a_window_or_beside_the_plate_is_not_under_it() {
    let window = |craft: &mut Craft| {
        set(craft, "place vtx.z", "14.8 mm, measured");
        let facts = [("plate", "top"), ("outline", "-25,-5; -19,-5; -19,5; -25,5")];
        row(craft, "frame", "cutout", &facts);
    };
    // The plug, from x = -23.5 to -20.5 mm, rises into the window; the body ends at 21.8 mm and leaves 2.2 mm.
    let told = bay_told_of(&STACK_HEIGHT, "", window);
    assert!(told.contains("video transmitter leaves 2.2 mm"), "{told}");
    let told = bay_told_of(&STACK_HEIGHT, "", |craft| {
        place(craft, "rx-2", "rx", "frame", &[("x", "-60 mm"), ("z", "22 mm")]);
    });
    assert!(told.contains("plug coax of video transmitter leaves 11.5 mm"), "{told}");
}

#[test]
fn of_two_top_plates_each_is_judged() {
    let told = bay_told_of(&STACK_HEIGHT, "", |craft| {
        let facts = [
            ("name", "front lid"),
            ("role", "top"),
            ("material", "carbon"),
            ("thickness", "1 mm, measured"),
            ("z", "12 mm, measured"),
            ("outline", "6,-15; 40,-15; 40,15; 6,15"),
        ];
        row(craft, "frame", "plate", &facts);
    });
    // The controller's button ends at 9.6 mm, under the lid at 12 mm.
    assert!(
        told.contains("boot button of flight controller leaves 2.4 mm of air under the front lid plate"),
        "{told}"
    );
    assert!(
        told.contains("plug coax of video transmitter leaves 11.5 mm of air under the top plate"),
        "{told}"
    );
}

#[test]
fn without_a_top_plate_the_clear_height_counts() {
    let bare = |craft: &mut Craft| set(craft, "frame.plate[1].role", "other");
    check(
        bare,
        expect![[r#"
        unknown · stack in bay frame
          Nobody can say yet: the clear height of "bay frame" is not known
          > Measure or look up the clear height of "bay frame".
    "#]],
    );
    check(
        |craft| {
            bare(craft);
            set(craft, "frame.clear_height", "13 mm, measured");
        },
        expect![[r#"
            tight · stack under the clear height · 0.5 mm · over 99 %
              plug coax of video transmitter leaves 0.5 mm of the clear height
              > Raise the canopy by 1.5 mm, or seat video transmitter that much lower.
        "#]],
    );
}
