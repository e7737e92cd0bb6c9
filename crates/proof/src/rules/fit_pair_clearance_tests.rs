//! Cases and locks of the rule of clearances: the sound bay, spoiled one way at a time.
#![allow(clippy::unwrap_used)]

use super::PAIR_CLEARANCE;
use crate::testing::{part, place, remove_place, row, set, told_of};
use crate::testing_stack::{bay_is_sound, bay_told, bay_told_of, sound_bay};
use crate::{Proof, Verdict};
use craft::schema::PartKind;
use craft::{Anchor, Craft};
use expect_test::{Expect, expect};

fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
    expected.assert_eq(&bay_told(&PAIR_CLEARANCE, spoil));
}

#[test]
fn parts_with_room_are_sound() {
    bay_is_sound(&PAIR_CLEARANCE);
}

#[test]
fn a_plug_inside_a_standoff_is_broken() {
    // The rear left corner of the plug stands at (-34.5, 15.5): that is 1.58 mm from the standoff's axis at
    // (-36, 16), whose radius is 2.5 mm: 0.92 mm deep.
    check(
        |craft| {
            set(craft, "vtx.plug[0].x", "-23 mm, data sheet");
            set(craft, "vtx.plug[0].y", "14 mm, data sheet");
        },
        expect![[r#"
            broken · standoff rear left of bay frame and plug coax of video transmitter · -0.919 mm · 0 %
              standoff rear left of bay frame and plug coax of video transmitter overlap by 0.92 mm: two solids cannot share a place
              > Turn video transmitter to -90°: there it stands clear, its plugs come out and its holes meet.
              > Seat video transmitter on another hole pattern, at least 1 mm forward.
        "#]],
    );
}

#[test]
fn a_board_a_little_too_near_is_tight_and_says_what_to_measure() {
    // Board to board on soft mounts: 1.5 mm. The edges stand at 4.5 and 7 mm: 2.5 mm. With a board 27.8 mm
    // long by its data sheet, ±0.3 mm, the nearer edge stands at 6.1 mm, ±0.15 mm: 0.1 mm in hand.
    check(
        |craft| {
            set(craft, "fc.length", "27.8 mm, data sheet");
        },
        expect![[r#"
            tight · video transmitter and board of flight controller · 0.1 mm · 78 %
              video transmitter and board of flight controller are 1.6 mm apart and need 1.5 mm: boards flex in a crash (78 % likely to hold)
              > Measure the length of "flight controller" first: it decides.
              > Seat flight controller on another hole pattern, at least 0.3 mm forward.
              ? length of "flight controller"
        "#]],
    );
}

#[test]
fn a_board_over_another_is_raised_with_a_spacer() {
    check(
        |craft| {
            place(craft, "fc-2", "fc", "frame/front stack", &[("z", "9.2 mm, measured"), ("yaw", "180°")]);
        },
        expect![[r#"
            broken · components on flight controller (fc) and components under flight controller (fc-2) · -0.9 mm · 0 %
              components on flight controller (fc) and components under flight controller (fc-2) are 0.6 mm apart and need 1.5 mm: boards flex in a crash
              > Raise flight controller at fc-2 by 0.9 mm, with a spacer.
        "#]],
    );
}

#[test]
fn a_receiver_against_a_screw_head_is_moved_the_plain_way() {
    // Heads at (15.25, 15.25) from the adapter's middle, 5.7 mm across: from 12.4 mm on. The receiver, 12 × 10 mm,
    // moved by 7 and 9 mm reaches (13, 14): 2.574 mm from the middle of the head, 0.276 mm inside its rim.
    check(
        |craft| {
            set(craft, "place rx.x", "7 mm");
            set(craft, "place rx.y", "9 mm");
        },
        expect![[r#"
            broken · receiver and head of M3×8 1 (lid-screws) · -0.276 mm · 34 %
              receiver and head of M3×8 1 (lid-screws) overlap by 0.28 mm: two solids cannot share a place
              > Measure the x of place "rx" first: it decides.
              > Move receiver 0.4 mm back.
              ? x of place "rx"
        "#]],
    );
}

#[test]
fn a_camera_that_tilts_into_its_cage_floor_is_told_of_a_tilt_only_where_one_is_free() {
    let over = |z: &'static str| {
        move |craft: &mut Craft| {
            let floor = [
                ("name", "floor"),
                ("role", "cage"),
                ("material", "carbon"),
                ("thickness", "2 mm, measured"),
                ("z", z),
                ("outline", "41,-6; 62,-6; 62,6; 41,6"),
            ];
            row(craft, "frame", "plate", &floor);
            set(craft, "place cam.pitch", "20°");
        }
    };
    check(
        over("2.6 mm, measured"),
        expect![[r#"
        broken · plate floor of bay frame and nano camera · -2.214 mm · 0 %
          plate floor of bay frame and nano camera overlap by 1.9 mm: a camera that rubs cannot tilt
          > Take one smaller than nano camera, or a mount that gives 2.3 mm more: no tilt near the one that is set is clear.
    "#]],
    );
    check(
        over("1.8 mm, measured"),
        expect![[r#"
        broken · plate floor of bay frame and nano camera · -1.414 mm · 0 %
          plate floor of bay frame and nano camera overlap by 1.1 mm: a camera that rubs cannot tilt
          > Tilt nano camera to 3.5°: there all of it is clear. Or take a smaller one, or a mount that gives 1.5 mm more.
    "#]],
    );
}

#[test]
fn what_is_meant_to_touch_may_touch_but_not_sink_in() {
    // The spacers are 4 mm high; a transmitter seated at 3 mm stands 1 mm in them.
    check(
        |craft| set(craft, "place vtx.z", "3 mm, measured"),
        expect![[r#"
        broken · spacers 1 and video transmitter · -0.8 mm · 0 %
          spacers 1 sinks 1 mm into video transmitter: they are meant to touch, not to share a place
          > Correct the seat of video transmitter: it belongs 1 mm further up.
    "#]],
    );
}

#[test]
fn a_space_to_keep_free_is_called_one() {
    check(
        |craft| {
            let free = [
                ("name", "fan"),
                ("role", "keep clear"),
                ("shape", "box"),
                ("x", "16 mm, measured"),
                ("z", "4 mm, measured"),
                ("length", "6 mm, measured"),
                ("width", "20 mm, measured"),
                ("height", "2 mm, measured"),
            ];
            row(craft, "vtx", "body", &free);
        },
        expect![[r#"
            broken · body fan of video transmitter and components on flight controller · -1.6 mm · 0 %
              components on flight controller and body fan of video transmitter overlap by 1.6 mm: that space must stay free
              > Turn video transmitter to -90°: there it stands clear, its plugs come out and its holes meet.
              > Raise video transmitter by 1.6 mm, with a spacer.
            tight · body fan of video transmitter and head of M2×10 2 (fc-screws) · 0.1 mm · 55 %
              body fan of video transmitter and head of M2×10 2 (fc-screws) are 0.1 mm apart; they must not meet (55 % likely to hold)
              > Measure the height of place "fc-screws" first: it decides.
              > Turn video transmitter to -90°: there it stands clear, its plugs come out and its holes meet.
              > Raise video transmitter by 0.3 mm, with a spacer.
              ? height of place "fc-screws"
        "#]],
    );
}

#[test]
fn a_fact_that_four_motors_lack_is_told_once() {
    check(
        |craft| {
            set(craft, "motor.bell_diameter", "");
            set(craft, "vtx.plug[0].length", "");
            set(craft, "vtx.plug[0].height", "");
            set(craft, "vtx.height", "");
        },
        expect![[r#"
            unknown · video transmitter
              Nobody can say yet: the height of "video transmitter" and 2 more are not known
              > Measure or look up the height of "video transmitter".
              > Measure or look up the length of plug "coax" of "video transmitter".
              > Measure or look up the height of plug "coax" of "video transmitter".
            unknown · motor
              Nobody can say yet: the bell diameter of "motor" is not known
              > Measure or look up the bell diameter of "motor".
        "#]],
    );
}

#[test]
fn a_plate_without_a_material_is_unknown_and_taken_for_carbon() {
    check(
        |craft| set(craft, "frame.plate[0].material", ""),
        expect![[r#"
        unknown · bay frame
          Nobody can say yet: the material of plate "bottom" of "bay frame" is not known
          > Measure or look up the material of plate "bottom" of "bay frame".
    "#]],
    );
}

#[test]
fn a_frame_without_a_seat_is_told_once_for_all_that_rests_on_it() {
    check(
        |craft| {
            craft.places.iter_mut().filter(|p| p.id.as_str() == "frame").for_each(|p| p.on = None);
        },
        expect![[r#"
            unknown · seat of bay frame
              Nobody can say yet: bay frame is seated on nothing; 31 places rest on it and can be judged no more than it
              > Say what bay frame is seated on.
        "#]],
    );
}

#[test]
fn seats_that_lead_nowhere_are_told_with_their_mend() {
    let seat = |craft: &mut Craft, id: &str, on: &str| {
        let place = craft.places.iter_mut().find(|place| place.id.as_str() == id).unwrap();
        place.on = Some(Anchor::read(on).unwrap());
    };
    check(
        |craft| seat(craft, "pack", "shelf"),
        expect![[r#"
        unknown · seat of pack
          place "pack" cannot be placed: it is seated on "shelf", which is no place of this craft; choose another seat
          > Correct the facts of place "pack".
    "#]],
    );
    check(
        |craft| seat(craft, "pack", "frame/shelf"),
        expect![[r#"
        unknown · seat of pack
          place "pack" cannot be placed: "bay frame" has no feature "shelf"; seat it on another
          > Correct the facts of place "pack".
    "#]],
    );
    check(
        |craft| {
            seat(craft, "pack", "rx");
            seat(craft, "rx", "pack");
        },
        expect![[r#"
            unknown · seat of receiver
              place "rx" cannot be placed: its seat leads back to itself (pack on rx); seat one of them on the frame; one place rests on it and can be judged no more than it
              > Correct the facts of place "rx".
        "#]],
    );
}

#[test]
fn a_part_that_is_put_nowhere_is_named() {
    check(
        |craft| {
            remove_place(craft, "antenna");
            part(craft, PartKind::Gnss, "gnss", "satellite receiver", &[]);
            part(craft, PartKind::GroundReceiver, "ground", "ground unit", &[]);
        },
        expect![[r#"
            unknown · parts without a place
              antenna and satellite receiver are on the sheet but in no place: nobody can say yet whether it all fits
              > Put each somewhere, or take it off the sheet.
        "#]],
    );
}

#[test]
fn the_witness_lies_on_both_solids_and_the_margin_is_actual_less_required() {
    let craft = sound_bay();
    let proof = Proof::new(&craft);
    let answer = (PAIR_CLEARANCE.run)(&proof);
    let about = |words: &str| answer.findings.iter().find(|f| f.subject.contains(words)).unwrap();
    // Camera from y = -7 to 7, cage plates from 7.5: 0.5 mm less the 0.3 mm a camera needs.
    let finding = about("left cage");
    let margin = finding.margin.unwrap();
    assert!((margin.quantity.value - 0.2).abs() < 1e-9, "{margin:?}");
    let witness = finding.witness.as_ref().unwrap();
    assert!((witness.on_a[1] - 7.5).abs() < 1e-9 && (witness.on_b[1] - 7.0).abs() < 1e-9, "{witness:?}");
    assert_eq!(finding.verdict, Verdict::Sound);
    let figure = answer.figures.iter().find(|f| Some(&f.id) == finding.figure.as_ref()).unwrap();
    assert!((figure.quantity.value - 0.2).abs() < 1e-9);
}

#[test]
fn a_head_too_wide_for_its_board_is_as_doubtful_as_where_the_components_stop() {
    // 4.1 mm across where the board's M2 has 3.8 mm: 0.15 mm less than custom leaves, ±0.5 mm for nobody measured it.
    let told = |clear: &str| {
        bay_told_of(&PAIR_CLEARANCE, "components on flight controller and head", |craft| {
            set(craft, "m2x10.head_diameter", "4.1 mm, measured");
            set(craft, "fc.pattern[0].clear", clear);
        })
    };
    expect![[r#"
        broken · components on flight controller and head of M2×10 1 (fc-screws) · -0.15 mm · 35 %
          components on flight controller and head of M2×10 1 (fc-screws) are 0.65 mm apart and need 0.8 mm: a screw head beside pads is the classic short (35 % likely to hold)
          > Measure the diameter free of components of hole pattern "mount" of "flight controller" first: it decides.
          > Take smaller heads for M2×10 at fc-screws: 0.3 mm are wanting.
          ? diameter free of components of hole pattern "mount" of "flight controller"
    "#]].assert_eq(&told(""));
    expect![[r#"
        tight · components on flight controller and head of M2×10 1 (fc-screws) · 0.25 mm · 86 %
          components on flight controller and head of M2×10 1 (fc-screws) are 1.1 mm apart and need 0.8 mm: a screw head beside pads is the classic short (86 % likely to hold)
          > Measure the diameter free of components of hole pattern "mount" of "flight controller" first: it decides.
          > Take smaller heads for M2×10 at fc-screws: 0.3 mm are wanting.
          ? diameter free of components of hole pattern "mount" of "flight controller"
    "#]].assert_eq(&told("6.2 mm ± 0.7, measured"));
}

#[test]
fn a_camera_wants_room_behind_it_and_not_beside_it() {
    let post = |craft: &mut Craft, x: &str, y: &str| {
        let facts = [
            ("name", "extra"),
            ("x", x),
            ("y", y),
            ("height", "24 mm, measured"),
            ("diameter", "2 mm, measured"),
        ];
        row(craft, "frame", "standoff", &facts);
    };
    let told = |x: &str, y: &str| {
        bay_told_of(&PAIR_CLEARANCE, "extra", |craft| {
            // The left cheek out of the way.
            set(craft, "frame.plate[2].y", "14 mm, measured");
            post(craft, x, y);
        })
    };
    // The camera is 14 mm wide: its side is 1 mm from a post of 1 mm radius at y = 9 mm.
    expect![[r#"
        sound · standoff extra of bay frame and nano camera · 1 mm · 100 %
          standoff extra of bay frame and nano camera are 1 mm apart; they must not meet
    "#]]
    .assert_eq(&told("56 mm, measured", "9 mm, measured"));
    // Its plug ends at x = 39 mm, the harness bends until 34 mm: a post there is 2 mm in that room.
    expect![[r#"
        broken · standoff extra of bay frame and bend of the harness at plug harness of nano camera · -2 mm · 0 %
          standoff extra of bay frame and bend of the harness at plug harness of nano camera overlap by 2 mm: the harness leaves at the back of the camera and must bend
          > Take one smaller than nano camera, or a mount that gives 2 mm more: no tilt near the one that is set is clear.
        sound · standoff extra of bay frame and board of flight controller · 1 mm · 100 %
          standoff extra of bay frame and board of flight controller are 1 mm apart; they must not meet
    "#]].assert_eq(&told("35 mm, measured", "0 mm, measured"));
}

#[test]
fn a_plug_wholly_in_a_standoff_stands_inside_it_and_is_moved_out_first() {
    check(
        |craft| {
            set(craft, "vtx.plug[0].x", "-26 mm, data sheet");
            set(craft, "vtx.plug[0].y", "17 mm, data sheet");
        },
        expect![[r#"
            broken · standoff rear left of bay frame and plug coax of video transmitter · -3 mm · 0 %
              plug coax of video transmitter stands inside standoff rear left of bay frame, 3 mm deep: one of them is in the wrong place
              > Move video transmitter out of standoff rear left of bay frame: look first at what it is seated on, and at its x, y, z and turn.
              > Turn video transmitter to -90°: there it stands clear, its plugs come out and its holes meet.
              > Seat video transmitter on another hole pattern, at least 3 mm left.
        "#]],
    );
}

#[test]
fn a_transmitter_lowered_into_a_plate_stands_inside_it() {
    check(
        |craft| set(craft, "place vtx.z", "-3 mm, measured"),
        expect![[r#"
            broken · plate bottom of bay frame and video transmitter · -3 mm · 0 %
              video transmitter stands inside plate bottom of bay frame, 3 mm deep: one of them is in the wrong place
              > Move video transmitter out of plate bottom of bay frame: look first at what it is seated on, and at its x, y, z and turn.
              > Raise video transmitter by 3 mm, with a spacer.
            broken · spacers 1 and video transmitter · -3.8 mm · 0 %
              spacers 1 stands inside video transmitter, 4 mm deep: one of them is in the wrong place
              > Move spacers out of video transmitter: look first at what it is seated on, and at its x, y, z and turn.
              > Correct the seat of video transmitter: it belongs 4 mm further down.
            broken · hot face of video transmitter and soft mounts 2 · 0 mm · 49 %
              hot face of video transmitter and soft mounts 2 are 5 mm apart and need 5 mm: heat swells packs and softens foam and prints (49 % likely to hold)
              > Seat soft mounts on another hole pattern, at least 0.3 mm forward.
              ? No measurement would settle this: what it rests on is known as well as one can measure, and the verdict is 51 % certain.
            broken · video transmitter and head of M2×10 3 (vtx-screws) · -0.8 mm · 10 %
              video transmitter sinks 1 mm into head of M2×10 3 (vtx-screws): they are meant to touch, not to share a place
              > Correct the seat of M2×10 at vtx-screws: it belongs 1 mm further down.
              ? No single measurement would change this verdict, nor would two: it is 90 % certain now, and would be 90 % certain with every fact measured.
        "#]],
    );
}

#[test]
fn what_lies_on_a_plate_is_not_lowered_into_it() {
    let sheet = include_str!("../../../../demo/fieldfare.toml");
    let mut craft = craft::read_sheet(sheet).craft;
    set(&mut craft, "place gnss.x", "-57 mm, measured");
    let told = told_of(&PAIR_CLEARANCE, &craft, |finding| {
        finding.subject.contains("element of right-hand omni and sat")
    });
    assert!(told.contains("Place satellite receiver, 18 elsewhere"), "{told}");
    assert!(told.contains("down it meets"), "{told}");
}
