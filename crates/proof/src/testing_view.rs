//! A craft whose picture every rule of the view calls sound, and ways to spoil it: the sound bay with a short lens, its
//! settings, and screens on the ground. All figures are invented.

#![allow(clippy::unwrap_used)]

use crate::testing::{part, place, row, set, told_of};
use crate::testing_stack::sound_bay;
use crate::{Rule, Verdict};
use craft::Craft;
use craft::schema::PartKind;

/// The craft.
pub(crate) fn sighted() -> Craft {
    let mut craft = sound_bay();
    let sighted = &mut craft;
    for (path, text) in [
        ("lens.projection", "equidistant"),
        ("lens.focal_length", "1.5 mm, measured"),
        ("lens.f_number", "2"),
        ("lens.transmission", "90 %, measured"),
        ("lens.lock", "yes"),
        ("lens.thread", "M8x0.5"),
        ("cam.read_out", "8 ms, data sheet"),
        ("cam.latency", "6 ms, measured"),
        ("vtx.latency", "14 ms, measured"),
        ("place cam.shutter_limit", "2 ms"),
        ("place cam.sharpness", "35 %"),
        ("place lens.focused_at", "3 m, measured"),
        ("craft.cruise", "6 m/s"),
        ("craft.obstacle", "60 mm"),
        ("motor.thrust_full", "330 gf, measured"),
    ] {
        set(sighted, path, text);
    }
    row(
        sighted,
        "cam",
        "mode",
        &[("name", "smooth"), ("across", "1280"), ("down", "720"), ("rate", "60 Hz")],
    );
    part(sighted, PartKind::GroundReceiver, "ground", "ground unit", &[("latency", "9 ms, measured")]);
    place(sighted, "ground", "ground", "body", &[]);
    let eyes = [("across", "1920"), ("down", "1080"), ("rate", "100 Hz"), ("latency", "4 ms, measured")];
    part(sighted, PartKind::Display, "eyes", "goggle", &eyes);
    place(sighted, "eyes", "eyes", "body", &[]);
    craft
}

/// What a rule says of the craft once it is spoiled: one block a finding, worst first.
pub(crate) fn view_told(rule: &Rule, spoil: impl FnOnce(&mut Craft)) -> String {
    let mut craft = sighted();
    spoil(&mut craft);
    told_of(rule, &craft, |_| true)
}

/// Holds a rule to calling the craft sound, and to saying something.
pub(crate) fn view_is_sound(rule: &Rule) {
    let craft = sighted();
    let told = told_of(rule, &craft, |_| true);
    assert!(!told.is_empty(), "{} says nothing", rule.id);
    assert_eq!(told_of(rule, &craft, |finding| finding.verdict != Verdict::Sound), "");
}
