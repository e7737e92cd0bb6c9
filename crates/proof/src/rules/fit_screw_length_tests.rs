//! Cases and locks of the rule of screws: the sound bay, spoiled one way at a time.

use super::SCREW_LENGTH;
use crate::testing::{part, place, row, set};
use crate::testing_stack::{arm, bay_is_sound, bay_told, bay_told_of};
use craft::Craft;
use craft::schema::PartKind;
use expect_test::{Expect, expect};

fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
    expected.assert_eq(&bay_told(&SCREW_LENGTH, spoil));
}

#[test]
fn screws_that_bite_and_stop_short_are_sound() {
    bay_is_sound(&SCREW_LENGTH);
}

#[test]
fn every_set_of_screws_says_what_it_does() {
    // Motor: 7 - 4 mm of arm = 3 mm, 4 mm of depth less that = 1 mm. Post: 8 - 2 = 6 mm, half of 24 mm less that.
    // Boards: 1.6 + 4 + 2 = 7.6 mm passed. Transmitter: 2 + 4 = 6 mm passed, 4 of its 5 mm. Lid: 1.5 + 2 = 3.5 mm.
    expect![[r#"
        sound · M2×7 at motor rear left, motor rear right, motor front left and motor front right · 0.7 mm · 100 %
          M2×7 bites 3 mm, its tip stays 1 mm from the windings
        sound · M3×8 at rear left, rear right, front left and front right · 3 mm · 100 %
          M3×8 bites 6 mm, its tip stays 6 mm from the middle of the post
        sound · M2×10 at front stack · 0.8 mm · 100 %
          M2×10 passes 7.6 mm, 2.4 mm come through for the nut
        sound · M2×10 at rear stack · 0.7 mm · 100 %
          M2×10 bites 4 mm, its tip stays 1 mm from the end of the thread
        sound · M3×8 at lid · 2.1 mm · 100 %
          M3×8 passes 3.5 mm, 4.5 mm come through for the nut
    "#]]
    .assert_eq(&bay_told_of(&SCREW_LENGTH, "", |_| {}));
}

#[test]
fn a_motor_screw_a_millimetre_too_long_burns_the_motor() {
    // 8 - 4 = 4 mm of bite leave nothing of 4 mm of depth: 0.3 mm short of the least.
    check(
        |craft| set(craft, "m2x7.length", "8 mm"),
        expect![[r#"
            broken · M2×7 at motor rear left, motor rear right, motor front left and motor front right · -0.3 mm · 0 %
              M2×8 bites 4 mm, its tip reaches the windings
              > Take M2×7.
        "#]],
    );
}

#[test]
fn a_motor_screw_too_short_lets_go() {
    // 5 - 4 = 1 mm of bite, half a diameter.
    check(
        |craft| set(craft, "m2x7.length", "5 mm"),
        expect![[r#"
            broken · M2×7 at motor rear left, motor rear right, motor front left and motor front right · -1 mm · 0 %
              M2×5 bites 1 mm, 3 mm are wanted, its tip stays 3 mm from the windings
              > Take M2×7.
        "#]],
    );
}

#[test]
fn doubt_in_the_arm_leaves_a_screw_tight_and_names_it() {
    // 7.5 - 4 = 3.5 mm of bite leave 0.4 mm of air, ±0.05 mm from the arm and ±0.3 mm from the motor's depth.
    check(
        |craft| {
            set(craft, "m2x7.length", "7.5 mm");
            set(craft, "motor.screw_depth", "3.9 mm, data sheet");
        },
        expect![[r#"
            tight · M2×7 at motor rear left, motor rear right, motor front left and motor front right · 0.1 mm · 67 %
              M2×7.5 bites 3.5 mm, its tip stays 0.4 mm from the windings
              > Measure the safe screw depth of "motor" first: it decides.
              > Take M2×7.
              ? safe screw depth of "motor"
        "#]],
    );
}

#[test]
fn a_screw_of_another_thread_is_broken() {
    check(
        |craft| set(craft, "motor.screw", "M3"),
        expect![[r#"
            broken · M2×7 at motor rear left, motor rear right, motor front left and motor front right
              M2×7 is M2, motor takes M3
              > Take M3 screws.
        "#]],
    );
    check(
        |craft| set(craft, "frame.standoff[0].thread", "M2.5"),
        expect![[r#"
            broken · M3×8 at rear left
              M3×8 is M3, standoff rear left takes M2.5
              > Take M2.5 screws.
        "#]],
    );
}

#[test]
fn a_screw_past_the_middle_of_a_post_meets_the_other() {
    // 16 - 2 = 14 mm into a post of 24 mm: 2 mm past its middle.
    check(
        |craft| {
            part(
                craft,
                PartKind::Screw,
                "m3x16",
                "M3×16",
                &[("mass", "1 g"), ("thread", "M3"), ("length", "16 mm"), ("head", "button")],
            );
            let place = craft.places.iter_mut().find(|place| place.id.as_str() == "t-rl");
            place.into_iter().for_each(|place| place.part = craft::PartId::from_name("m3x16"));
        },
        expect![[r#"
            broken · M3×16 at rear left · -2.3 mm · 0 %
              M3×16 bites 12 mm, its tip goes 2 mm past the middle of the post, where the other screw comes
              > Take M3×7.
        "#]],
    );
}

#[test]
fn a_screw_from_below_holds_the_lower_plate() {
    // 8 - 2 = 6 mm into the post, through the bottom plate whose upper face is at nought.
    let told = bay_told_of(&SCREW_LENGTH, "rear left", |craft| {
        place(craft, "u-rl", "m3x8", "frame/rear left", &[("z", "-26 mm"), ("flipped", "yes")]);
    });
    // It says the same as the four from above, and is told with them.
    assert!(told.contains("at rear left, rear right, front left and 2 more"), "{told}");
}

#[test]
fn a_plastic_post_wants_a_deeper_bite() {
    // 2.5 diameters of 3 mm: 7.5 mm; 6 mm are just the least.
    check(
        |craft| set(craft, "frame.standoff[0].material", "plastic"),
        expect![[r#"
            tight · M3×8 at rear left · 0 mm · 50 %
              M3×8 bites 6 mm, 7.5 mm are wanted, its tip stays 6 mm from the middle of the post
              > Take M3×10.
              ? No measurement would settle this: what it rests on is known as well as one can measure, and the verdict is 50 % certain.
        "#]],
    );
}

#[test]
fn a_stack_that_grows_leaves_nothing_for_the_nut() {
    // Soft mounts of 6 mm: 1.6 + 6 + 2 = 9.6 mm; 0.4 mm of 10 come through.
    check(
        |craft| {
            set(craft, "soft.height", "6 mm, measured");
            set(craft, "place fc.z", "5 mm, measured");
            set(craft, "place fc-screws.z", "7.6 mm");
        },
        expect![[r#"
            broken · M2×10 at front stack · -1.2 mm · 0 %
              M2×10 passes 9.6 mm, 0.4 mm come through for the nut, it wants 2 mm
              > Take M2×12.
        "#]],
    );
}

#[test]
fn a_screw_too_long_for_a_case_stops_before_it_clamps() {
    check(
        |craft| set(craft, "vtx.pattern[0].thread_depth", "3 mm, measured"),
        expect![[r#"
        broken · M2×10 at rear stack · -1.3 mm · 0 %
          M2×10 bites 3 mm, its tip goes 1 mm past the end of the thread: it stops before it clamps
          > No stock length does both: change the washer or the plate, or cut a screw to length.
    "#]],
    );
}

#[test]
fn a_unit_that_says_neither_thread_nor_thickness_leaves_it_unknown() {
    check(
        |craft| set(craft, "vtx.pattern[0].thread_depth", ""),
        expect![[r#"
        unknown · M2×10 at rear stack
          Nobody can say yet: the thickness at the holes of hole pattern "mount" of "video transmitter" is not known
          > Measure or look up the thickness at the holes of hole pattern "mount" of "video transmitter".
    "#]],
    );
    // With ears of 1.5 mm the screw passes 2 + 4 + 1.5 = 7.5 mm.
    let told = bay_told_of(&SCREW_LENGTH, "rear stack", |craft| {
        set(craft, "vtx.pattern[0].thread_depth", "");
        set(craft, "vtx.pattern[0].thickness", "1.5 mm, measured");
    });
    assert!(told.contains("M2×10 passes 7.5 mm, 2.5 mm come through for the nut"), "{told}");
}

#[test]
fn a_spacer_with_a_small_bore_is_threaded() {
    // Bore 1.6 mm for M2: from below 2 mm of plate, then the post of 4 mm: 8 mm are left, the post takes 4.
    let spoil = |craft: &mut Craft| set(craft, "spacers.bore", "1.6 mm, measured");
    let told = bay_told_of(&SCREW_LENGTH, "rear stack", spoil);
    assert!(told.contains("sound") && told.contains("M2×10 bites 4 mm"), "{told}");
    check(
        |craft| set(craft, "spacers.bore", ""),
        expect![[r#"
        unknown · M2×10 at rear stack
          Nobody can say yet: the bore of "spacers" is not known
          > Measure or look up the bore of "spacers".
    "#]],
    );
}

#[test]
fn a_gap_nobody_filled_counts_as_passed_where_the_screw_reaches_on() {
    // Without its soft mounts the board hangs 4 mm over the plate: the sum stays 1.6 + 4 + 2 mm.
    let told = bay_told_of(&SCREW_LENGTH, "front stack", |craft| {
        crate::testing::remove_place(craft, "soft");
    });
    assert!(told.contains("M2×10 passes 7.6 mm, 2.4 mm come through for the nut"), "{told}");
}

#[test]
fn a_screw_on_a_board_passes_what_the_board_stands_on() {
    let told = bay_told_of(&SCREW_LENGTH, "mount", |craft| {
        // The same four screws, seated on the board's own holes: 2.6 mm up from its underside.
        craft.places.retain(|place| place.id.as_str() != "fc-screws");
        place(craft, "on-board", "m2x10", "fc/mount", &[("z", "2.6 mm"), ("count", "4")]);
    });
    assert!(told.contains("M2×10 passes 7.6 mm, 2.4 mm come through for the nut"), "{told}");
}

#[test]
fn an_arm_in_the_way_of_two_screws_of_a_stack_is_passed_by_those_two() {
    // 1.6 + 4 + 2 = 7.6 mm without the arm, 11.6 mm with it. M2×14 serves all four: 6.4 and 2.4 mm come through.
    check(
        |craft| arm(craft, "22,-16; 40,-16; 40,16; 22,16"),
        expect![[r#"
            broken · M2×10 at front stack, front 2 of 4 · -3.2 mm · 0 %
              M2×10 does not come through: it passes 11.6 mm, 1.6 mm are wanting
              > Take M2×14.
        "#]],
    );
    let mut craft = crate::testing_stack::sound_bay();
    arm(&mut craft, "22,-16; 40,-16; 40,16; 22,16");
    let proof = crate::Proof::new(&craft);
    let screws = proof.places_of(PartKind::Screw).find(|placed| placed.place.id.as_str() == "fc-screws");
    let serving = screws.map(|screws| super::serving(&proof, screws)).unwrap_or_default();
    assert_eq!(serving.first(), Some(&14.0));
}

#[test]
fn an_arm_whose_edge_the_shank_only_cuts_is_in_the_way_all_the_same() {
    // The axis lies 0.9 mm beside the arm, half the shank is 1 mm wide; 1.1 mm beside it nothing is met.
    let of = |edge: &str| {
        bay_told_of(&SCREW_LENGTH, "front stack", |craft| {
            arm(craft, &format!("{edge},-16; 40,-16; 40,16; {edge},16"))
        })
    };
    assert!(of("30.9").contains("it passes 11.6 mm"), "{}", of("30.9"));
    assert!(!of("31.1").contains("it passes 11.6 mm"), "{}", of("31.1"));
}

#[test]
fn a_post_is_held_through_every_plate_that_lies_at_its_end() {
    // From below: 2 mm of bottom plate and 4 mm of arm leave 2 mm of an M3×8, and 4.5 mm are wanted.
    check(
        |craft| {
            arm(craft, "-40,-20; -30,-20; -30,-10; -40,-10");
            for seat in ["frame/rear right", "frame/rear left"] {
                let facts = [("z", "-26 mm"), ("flipped", "yes")];
                place(craft, &format!("low-{}", seat.len()), "m3x8", seat, &facts);
            }
        },
        expect![[r#"
            broken · M3×8 at rear right · -1 mm · 0 %
              M3×8 bites 2 mm, 4.5 mm are wanted, its tip stays 10 mm from the middle of the post
              > Take M3×12.
        "#]],
    );
}

#[test]
fn what_a_screw_lacks_is_named() {
    check(
        |craft| {
            set(craft, "m3x8.length", "");
            set(craft, "frame.motor_mount[0].plate_thickness", "");
        },
        expect![[r#"
            unknown · M2×7 at motor rear left
              Nobody can say yet: the arm thickness of motor mount "motor rear left" of "bay frame" is not known
              > Measure or look up the arm thickness of motor mount "motor rear left" of "bay frame".
            unknown · M3×8 at rear left, rear right, front left and 2 more
              Nobody can say yet: the length of "M3×8" is not known
              > Measure or look up the length of "M3×8".
        "#]],
    );
}

#[test]
fn a_screw_that_holds_nothing_is_unknown() {
    check(
        |craft| place(craft, "lost", "m2x4", "frame", &[("x", "30 mm"), ("z", "40 mm")]),
        expect![[r#"
            unknown · M2×4 at lost
              Nobody can say yet what M2×4 holds: nothing with holes lies under its head
              > Seat it on the hole pattern, motor mount or standoff it is meant for, and say how high its head lies.
        "#]],
    );
}

#[test]
fn a_standoff_without_a_plate_is_unknown() {
    check(
        |craft| {
            let facts = [
                ("name", "lone post"),
                ("x", "0 mm"),
                ("y", "17 mm"),
                ("z", "5 mm"),
                ("diameter", "5 mm"),
                ("height", "10 mm"),
                ("material", "aluminium"),
            ];
            row(craft, "frame", "standoff", &facts);
            place(craft, "lone", "m3x8", "frame/lone post", &[]);
        },
        expect![[r#"
            unknown · M3×8 at lone post
              Nobody can say yet: the plate on standoff lone post is not known
              > Measure or look up the plate on standoff lone post.
        "#]],
    );
}
