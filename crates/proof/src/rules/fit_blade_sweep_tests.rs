//! What the rule of blades says, word for word.

use super::BLADE_SWEEP;
use crate::Finding;
use crate::testing::{place, remove_place, row, set, told_of};
use crate::testing_stack::{bay_is_sound, bay_told, bay_told_of, led_bay};
use craft::Craft;
use expect_test::{Expect, expect};

fn check(spoil: impl FnOnce(&mut Craft), expected: Expect) {
    expected.assert_eq(&bay_told(&BLADE_SWEEP, spoil));
}

#[test]
fn soft_parts_that_keep_off_are_sound() {
    bay_is_sound(&BLADE_SWEEP);
    // The stem of 3 mm at (-50, 10) and the disc of 38 mm about (-60, 60): √(10² + 50²) - 38 - 1.5 = 11.49 mm: more
    // than the 10 mm after which it is no longer told.
    expect![[r#"
        sound · soft parts and blades
          No pack, lead or antenna comes near a swept disc
    "#]]
    .assert_eq(&bay_told_of(&BLADE_SWEEP, "", |_| {}));
}

#[test]
fn coax_wants_eight_millimetres_and_an_antenna_ten() {
    // At (-50, 14): √(10² + 46²) - 39.5 = 7.57 mm.
    check(
        |craft| set(craft, "frame.antenna_mount[0].y", "14 mm, measured"),
        expect![[r#"
        tight · stem of antenna and disc of blades (b-rl) · 4.574 mm · 100 %
          stem of antenna is 7.6 mm from the disc of blades (b-rl): a blade can reach it in a hard turn
          > Tie it down or shorten it, or move it 0.5 mm right.
    "#]],
    );
    // At (-50, 11.5): √(10² + 48.5²) - 39.5 = 10.02 mm: enough for coax, and just for an antenna that radiates there.
    check(|craft| set(craft, "frame.antenna_mount[0].y", "11.5 mm, measured"), expect![[""]]);
    check(
        |craft| {
            set(craft, "frame.antenna_mount[0].y", "12.5 mm, measured");
            set(craft, "antenna.active", "60 mm, measured");
        },
        expect![[r#"
            tight · element of antenna and disc of blades (b-rl) · 6.041 mm · 100 %
              element of antenna is 9 mm from the disc of blades (b-rl): a blade can reach it in a hard turn
              > Tie it down or shorten it, or move it 1 mm right.
        "#]],
    );
}

#[test]
fn a_pack_inside_a_disc_is_broken() {
    // The pack's corner at (-45, 35) is √(15² + 25²) = 29.15 mm from the disc's axis at (-60, 60): 8.85 mm inside.
    check(
        |craft| {
            set(craft, "place pack.x", "-15 mm, measured");
            set(craft, "place pack.y", "20 mm, measured");
            set(craft, "place pack.z", "4 mm, measured");
        },
        expect![[r#"
            broken · pack and disc of blades (b-rl) · -11.845 mm · 0 %
              pack stands 8.8 mm inside the disc of blades (b-rl)
              > Move it 19.7 mm right, and cut the tail of its strap.
        "#]],
    );
}

#[test]
fn the_wall_of_a_duct_is_a_barrier() {
    let told = bay_told_of(&BLADE_SWEEP, "rl", |craft| {
        set(craft, "frame.antenna_mount[0].y", "16 mm, measured");
        let duct = [
            ("name", "rear left"),
            ("x", "-60 mm"),
            ("y", "60 mm"),
            ("z", "10 mm"),
            ("height", "14 mm"),
            ("bore", "80 mm"),
            ("wall", "1 mm"),
        ];
        row(craft, "frame", "duct", &duct);
    });
    expect![[r#"
        sound · stem of antenna and disc of blades (b-rl)
          stem of antenna is 5.6 mm from the disc of blades (b-rl), with the duct rear left of bay frame between
    "#]].assert_eq(&told);
}

/// What is said of the leads of the bay, the rear left motor stood at these places beside the harness.
fn check_leads(x: &str, y: &str, spoil: impl FnOnce(&mut Craft), expected: Expect) {
    let mut craft = led_bay();
    set(&mut craft, "frame.motor_mount[0].x", x);
    set(&mut craft, "frame.motor_mount[0].y", y);
    spoil(&mut craft);
    let of_leads =
        |finding: &Finding| finding.subject.contains("flat") || finding.subject.contains("pigtail");
    expected.assert_eq(&told_of(&BLADE_SWEEP, &craft, of_leads));
}

#[test]
fn a_lead_counts_where_its_way_lies_with_its_thickness() {
    // The lead runs along y = 0; the disc of 38 mm about (20, 48): 10 - 0.6 = 9.4 mm.
    check_leads(
        "20 mm, measured",
        "48 mm, measured",
        |_| {},
        expect![[r#"
        tight · flat harness and disc of blades (b-rl) · 6.449 mm · 100 %
          flat harness can be laid 9.4 mm from the disc of blades (b-rl), but left loose the 4.6 mm it has over what it needs let it swing to within 0.16 mm
          > Tie it to plate top of bay frame about 15 mm from plug camera of video transmitter, and enter the tie as a strain relief.
          > Or take one that is 4.5 mm shorter.
    "#]],
    );
    // 7 mm from its rim to the middle line, less 0.6 mm of thickness: it is drawn round.
    check_leads(
        "20 mm, measured",
        "45 mm, measured",
        |_| {},
        expect![[r#"
        tight · flat harness and disc of blades (b-rl) · 4.998 mm · 100 %
          The way of flat harness goes round the disc of blades (b-rl), 17.8 mm after plug harness of nano camera, 8 mm from it: pulled tight or left loose it runs into the blades, only a tie keeps it away
          > Tie it to plate top of bay frame about 16 mm from plug camera of video transmitter, and enter the tie as a strain relief.
    "#]],
    );
    // The plug of the harness stands under the disc.
    check_leads(
        "20 mm, measured",
        "41 mm, measured",
        |_| {},
        expect![[r#"
        tight · flat harness and disc of blades (b-rl) · 2.73 mm · 100 %
          flat harness is 5.7 mm from the disc of blades (b-rl), 3.9 mm after plug camera of video transmitter: a blade can reach it in a hard turn
          > Turn video transmitter, or move it 2.6 mm right, so that the lead leaves farther from the blades.
    "#]],
    );
}

#[test]
fn a_lead_whose_plug_stands_under_a_disc_is_broken() {
    check_leads(
        "20 mm, measured",
        "37 mm, measured",
        |_| {},
        expect![[r#"
        broken · flat harness and disc of blades (b-rl) · -0.785 mm · 0 %
          flat harness is 2.2 mm from the disc of blades (b-rl), 5.1 mm after plug camera of video transmitter: a blade can reach it in a hard turn
          > Turn video transmitter, or move it 6.8 mm right, so that the lead leaves farther from the blades.
    "#]],
    );
}

#[test]
fn a_lead_that_is_drawn_round_a_disc_wants_a_tie() {
    let tie = |craft: &mut Craft| {
        place(
            craft,
            "tie",
            "bar",
            "frame",
            &[("x", "21 mm, measured"), ("y", "-2 mm, measured"), ("z", "13 mm, measured")],
        );
    };
    check_leads(
        "20 mm, measured",
        "45 mm, measured",
        tie,
        expect![[r#"
        sound · flat harness and disc of blades (b-rl) · 4.998 mm · 100 %
          The way of flat harness goes round the disc of blades (b-rl), 17.8 mm after plug harness of nano camera, 8 mm from it, and clamp bar (tie) holds it there
    "#]],
    );
}

#[test]
fn a_lead_far_too_long_can_swing_into_a_disc() {
    let long = |craft: &mut Craft| set(craft, "flat.length", "90 mm, measured");
    check_leads(
        "20 mm, measured",
        "55 mm, measured",
        long,
        expect![[r#"
        tight · flat harness and disc of blades (b-rl) · 13.429 mm · 100 %
          flat harness can be laid 16.4 mm from the disc of blades (b-rl), but left loose the 34.6 mm it has over what it needs let it swing into them
          > Tie it to plate top of bay frame about 15 mm from plug camera of video transmitter, and enter the tie as a strain relief.
          > Or take one that is 30.8 mm shorter.
        tight · flat harness and disc of blades (b-fl) · 22.047 mm · 100 %
          flat harness can be laid 25 mm from the disc of blades (b-fl), but left loose the 34.6 mm it has over what it needs let it swing into them
          > Tie it to plate right cage of bay frame about 6 mm from plug harness of nano camera, and enter the tie as a strain relief.
          > Or take one that is 14.7 mm shorter.
        tight · flat harness and disc of blades (b-fr) · 22.047 mm · 100 %
          flat harness can be laid 25 mm from the disc of blades (b-fr), but left loose the 34.6 mm it has over what it needs let it swing into them
          > Tie it to plate right cage of bay frame about 6 mm from plug harness of nano camera, and enter the tie as a strain relief.
          > Or take one that is 14.7 mm shorter.
    "#]],
    );
}

#[test]
fn a_lead_without_a_way_is_not_called_clear() {
    check_leads(
        "60 mm",
        "60 mm",
        |craft| set(craft, "flat.bundle_thickness", ""),
        expect![[r#"
        unknown · flat harness and blades
          Nobody can say yet: the bundle thickness of "flat harness" is not known
          > Measure or look up the bundle thickness of "flat harness".
    "#]],
    );
}

#[test]
fn without_blades_or_soft_parts_nothing_is_said() {
    check(
        |craft| {
            ["b-rl", "b-rr", "b-fl", "b-fr"].iter().for_each(|id| remove_place(craft, id));
        },
        expect![[""]],
    );
}
