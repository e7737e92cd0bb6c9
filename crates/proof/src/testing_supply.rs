//! The wired craft of `testing_wiring` with everything its supply and warmth rest on, for the tests of those rules. All figures are invented.
//!
//! A pack of four cells with 650 mAh feeds a speed controller with four motors; the flight controller makes 5 V for the control receiver and
//! 9 V for the transmitter, which sends 25 mW, stands by until armed and has a fan on the bench. A capacitor stands across the pack lead.

pub(crate) use crate::testing::set;
use crate::testing::{part, place, row, told_of};
pub(crate) use crate::testing_wiring::{gauge, unwire};
use crate::testing_wiring::{rewire_source, sound_wiring};
use crate::{Rule, Verdict};
use craft::Craft;
use craft::schema::PartKind;
use expect_test::Expect;

/// A craft of which every rule of supply and heat is sound.
pub(crate) fn sound_supply() -> Craft {
    let mut sound = sound_wiring();
    let craft = &mut sound;
    plan(craft);
    pack(craft);
    transmitter(craft);
    for (key, text) in [("current_full", "9 A, measured"), ("bell_diameter", "18 mm, measured")] {
        set(craft, &format!("motor.{key}"), text);
    }
    for (key, text) in
        [("switching", "48 kHz"), ("continuous", "15 A, data sheet"), ("burst", "20 A, data sheet")]
    {
        set(craft, &format!("esc.{key}"), text);
    }
    set(craft, "fc.mass", "6 g, measured");
    set(craft, "rx.mass", "1.2 g, measured");
    for (key, text) in
        [("input_min", "7 V, data sheet"), ("input_max", "30 V, data sheet"), ("efficiency", "90 %")]
    {
        set(craft, &format!("fc.rail[0].{key}"), text);
    }
    for (key, text) in
        [("input_min", "10 V, data sheet"), ("input_max", "30 V, data sheet"), ("efficiency", "90 %")]
    {
        set(craft, &format!("fc.rail[1].{key}"), text);
    }
    sound
}

fn plan(craft: &mut Craft) {
    for (key, text) in [
        ("planned_flight", "3 min"),
        ("cruise", "8 m/s"),
        ("cruise_tilt", "15°"),
        ("land_charge", "25 %"),
        ("coldest", "10 °C"),
        ("hottest", "30 °C"),
        ("pack_temperature", "20 °C"),
        ("punch", "1.5 s"),
        ("punch_every", "20 s"),
        ("level", "25 mW"),
        ("bench_time", "4 min"),
        ("bench_fan", "yes"),
        ("wait", "60 s"),
    ] {
        set(craft, &format!("craft.{key}"), text);
    }
}

fn pack(craft: &mut Craft) {
    for (key, text) in [
        ("charge", "650 mAh, data sheet"),
        ("cell_resistance", "7 mΩ, measured"),
        ("resistance_new", "6.5 mΩ, measured"),
        ("connector_resistance", "1.2 mΩ, measured"),
        ("connector_current", "30 A, data sheet"),
        ("lead", "60 mm, measured"),
        ("lead_gauge", "16"),
    ] {
        set(craft, &format!("pack.{key}"), text);
    }
    set(craft, "place esc.supply_gauge", "16");
    set(craft, "place esc.supply_length", "30 mm, measured");
    let facts = [
        ("mass", "2 g, measured"),
        ("diameter", "8 mm, measured"),
        ("length", "14 mm, measured"),
        ("capacitance", "470 µF, data sheet"),
        ("rated", "25 V"),
        ("esr", "9 mΩ, measured"),
    ];
    part(craft, PartKind::Capacitor, "cap", "capacitor, 470 µF", &facts);
    place(craft, "cap", "cap", "frame", &[("x", "-40 mm"), ("z", "20 mm"), ("fed_from", "pack")]);
}

fn transmitter(craft: &mut Craft) {
    for (key, text) in [
        ("length", "30 mm, measured"),
        ("width", "30 mm, measured"),
        ("height", "7 mm, measured"),
        ("hot_face", "up"),
        ("cooling_area", "40 cm², measured"),
        ("standby_draw", "2 W, data sheet"),
        ("limit_temperature", "90 °C, data sheet"),
        ("fold_back", "80 °C, data sheet"),
        ("start_peak", "0.9 A, data sheet"),
        ("restart", "9 s, measured"),
    ] {
        set(craft, &format!("vtx.{key}"), text);
    }
    row(craft, "vtx", "level", &[("out", "200 mW"), ("draw", "7 W, data sheet")]);
    set(craft, "place vtx.supply_length", "60 mm, measured");
    set(craft, "place vtx.air_past", "6 m/s, measured");
}

/// What a rule says of that craft once it is spoiled, without what is sound: one block a finding, worst first.
pub(crate) fn told(rule: &Rule, spoil: impl FnOnce(&mut Craft)) -> String {
    let mut craft = sound_supply();
    spoil(&mut craft);
    told_of(rule, &craft, |finding| finding.verdict != Verdict::Sound)
}

/// Holds what a rule says of the craft once it is spoiled.
#[track_caller]
pub(crate) fn check(rule: &Rule, spoil: impl FnOnce(&mut Craft), expected: Expect) {
    expected.assert_eq(&told(rule, spoil));
}

/// Holds a rule to calling that craft sound in everything it says, and to saying something.
#[track_caller]
pub(crate) fn is_sound(rule: &Rule) {
    let craft = sound_supply();
    assert_eq!(told_of(rule, &craft, |finding| finding.verdict != Verdict::Sound), "");
    assert!(!told_of(rule, &craft, |_| true).is_empty(), "{} says nothing", rule.id);
}

/// Takes the transmitter off its rail and feeds it from the pack, at a pad of the speed controller.
pub(crate) fn on_the_pack(craft: &mut Craft) {
    row(craft, "esc", "pin", &[("name", "BAT"), ("role", "supply out"), ("rail", "pack")]);
    rewire_source(craft, "vtx/VCC", "esc/BAT");
}

/// Makes it a craft of one cell: both rails step up, the motors are small.
pub(crate) fn one_cell(craft: &mut Craft) {
    for (path, text) in [
        ("pack.cells", "1"),
        ("pack.charge", "550 mAh, data sheet"),
        ("pack.cell_resistance", "12 mΩ, measured"),
        ("pack.connector_resistance", "8 mΩ, measured"),
        ("pack.lead", "30 mm, measured"),
        ("motor.current_full", "3 A, measured"),
        ("motor.thrust_full", "34 gf, measured"),
        ("craft.drive_merit", "0.3"),
    ] {
        set(craft, path, text);
    }
    // Light enough for its cell.
    for part in ["frame", "motor", "pack", "esc", "fc", "cap", "vtx", "stub", "tail", "flat", "cam"] {
        set(craft, &format!("{part}.mass"), "1.5 g, measured");
    }
    for rail in 0..2 {
        for (key, text) in [
            ("conversion", "step-up"),
            ("input_min", "2.5 V, data sheet"),
            ("input_max", "4.8 V, data sheet"),
        ] {
            set(craft, &format!("fc.rail[{rail}].{key}"), text);
        }
    }
}

/// The craft as said has its pack, net, motors, plan and warmth: a rule that says nothing of it does so for a reason of its own.
#[test]
fn nothing_lacks_of_the_craft() {
    let craft = sound_supply();
    let proof = crate::Proof::new(&craft);
    let model = proof.supply().map(|supply| supply.model().chain().map(|_| ()));
    assert_eq!(model, Some(Ok(())));
    assert!(proof.supply().is_some_and(|supply| supply.model().heat.is_ok()));
}
