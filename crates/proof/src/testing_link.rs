//! The sound craft of `testing` with a radio link, for the tests of the rules that ask about it. All figures are invented.
//!
//! A right-hand omni behind the pack sends 25 mW over a pigtail; an omni and a patch beside it stand 2.6 m high in an open field, a shed
//! aside of the flying line. It is flown to 120 m, 15 m high, the nose 15° down, banked by 30° in turns.

use crate::testing::{part, place, row, set, sound_craft, told_of};
use crate::{Rule, Verdict};
use craft::Craft;
use craft::schema::PartKind;

/// A craft of which every rule of the link is sound.
pub(crate) fn sound_link() -> Craft {
    let mut sound = sound_craft();
    let craft = &mut sound;
    for (key, text) in [
        ("cruise_tilt", "15°"),
        ("bank", "30°"),
        ("fly_to", "120 m"),
        ("fly_height", "15 m"),
        ("level", "25 mW"),
        ("channel", "5800 MHz"),
        ("video_mode", "smooth"),
        ("radiated_limit", "100 mW"),
        ("people_at", "1 m"),
        ("cruise", "6 m/s"),
        ("free_space", "150 m"),
    ] {
        set(craft, &format!("craft.{key}"), text);
    }
    set(craft, "vtx.restart", "9 s, measured");
    for out in ["25 mW", "100 mW", "400 mW"] {
        row(craft, "vtx", "level", &[("out", out)]);
    }
    for (key, text) in
        [("length", "60 mm, measured"), ("coax", "1.13 mm"), ("coax_diameter", "1.13 mm, measured")]
    {
        set(craft, &format!("tail.{key}"), text);
    }
    for (key, text) in [
        ("element", "circular omni"),
        ("hand", "right"),
        ("gain", "1.6 dBi, measured"),
        ("axial_ratio", "1.2 dB, measured"),
        ("length", "60 mm, measured"),
        ("diameter", "3 mm, measured"),
        ("active", "18 mm, measured"),
    ] {
        set(craft, &format!("stub.{key}"), text);
    }
    set(craft, "ground.diversity", "selection");
    set(craft, "ground.noise_figure", "6 dB");
    for (name, level) in [("smooth", "-95 dBm, measured"), ("detail", "-91 dBm, measured")] {
        row(craft, "ground", "threshold", &[("name", name), ("width", "20 MHz"), ("level", level)]);
    }
    let about = [("surroundings", "open field"), ("ground", "medium dry ground"), ("roughness", "20 mm")];
    part(craft, PartKind::Station, "field", "club field", &about);
    let round = [
        ("hand", "right"),
        ("axial_ratio", "1.5 dB, measured"),
        ("vswr", "1.4, data sheet"),
        ("coax", "none"),
        ("height", "2.6 m"),
    ];
    let omni = [("name", "omni"), ("element", "circular omni"), ("gain", "1.8 dBi, measured")];
    row(craft, "field", "antenna", &[&omni[..], &round[..]].concat());
    let patch = [
        ("name", "patch"),
        ("aside", "-0.3 m"),
        ("element", "patch"),
        ("gain", "8 dBi, measured"),
        ("beam_width", "68°, data sheet"),
        ("elevation", "5°"),
    ];
    row(craft, "field", "antenna", &[&patch[..], &round[..]].concat());
    let shed = [
        ("name", "shed"),
        ("form", "building"),
        ("material", "brick"),
        ("thickness", "240 mm"),
        ("ahead", "50 m"),
        ("aside", "-30 m"),
        ("width", "8 m"),
        ("depth", "6 m"),
        ("height", "5 m"),
    ];
    row(craft, "field", "obstacle", &shed);
    place(craft, "field", "field", "body", &[]);
    sound
}

/// What a rule says of that craft once it is spoiled: one block a finding, worst first.
pub(crate) fn link_told(rule: &Rule, spoil: impl FnOnce(&mut Craft)) -> String {
    let mut craft = sound_link();
    spoil(&mut craft);
    told_of(rule, &craft, |_| true)
}

/// Holds a rule to calling that craft sound in everything it says, and to saying something.
pub(crate) fn link_is_sound(rule: &Rule) {
    let craft = sound_link();
    assert_eq!(told_of(rule, &craft, |finding| finding.verdict != Verdict::Sound), "");
    assert!(!told_of(rule, &craft, |_| true).is_empty(), "{} says nothing", rule.id);
}

/// Holds a rule to saying *unknown* once this fact is taken away, to naming it, and to nothing broken.
#[track_caller]
pub(crate) fn link_names_missing(rule: &Rule, path: &str, label: &str) {
    let told = link_told(rule, |craft| set(craft, path, ""));
    assert!(told.contains(&format!("the {label} is not known")), "{told}");
    assert!(!told.contains("broken ·"), "{told}");
}
