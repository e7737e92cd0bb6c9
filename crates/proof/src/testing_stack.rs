//! A small sound bay for the tests of the geometry rules, and ways to spoil it. All figures are invented.
//!
//! Two carbon plates 80 × 40 mm, 24 mm apart on four standoffs at (±36, ±16). Between them a video transmitter
//! on spacers (middle at x = -10) and a flight controller on soft mounts (middle at x = 20); a camera in a cage
//! ahead (side screws at x = 50, z = 12); four motors with 3-inch blades at (±60, ±60); an adapter plate on the
//! lid with a receiver, its whip tied across; an antenna behind; the pack beneath. Heights count from the bottom plate's upper face.

use crate::testing::{part, place, row, told_of};
use crate::{Rule, Verdict};
use craft::schema::PartKind;
use craft::{Craft, CraftClass, CraftId};

/// A bay in which every geometry rule is sound.
pub(crate) fn sound_bay() -> Craft {
    let mut sound = Craft::new(CraftId::from_name("bay"), "Bay");
    sound.class = Some(CraftClass::Ducted3);
    let craft = &mut sound;
    frame(craft);
    transmitter(craft);
    controller(craft);
    camera(craft);
    drive(craft);
    lid(craft);
    screws(craft);
    sound
}

/// The bay with a harness from its camera to its transmitter, a pigtail to its antenna, and what holds them.
pub(crate) fn led_bay() -> Craft {
    let mut led = sound_bay();
    let craft = &mut led;
    let socket = [
        ("name", "camera"),
        ("use", "camera"),
        ("face", "opposite"),
        ("x", "15.5 mm, measured"),
        ("z", "3.5 mm, measured"),
        ("length", "2 mm, measured"),
        ("width", "8 mm, measured"),
        ("height", "2 mm, measured"),
        ("pull", "forward"),
        ("leaves", "up"),
    ];
    row(craft, "vtx", "plug", &socket);
    let flat = [
        ("mass", "1 g, measured"),
        ("length", "60 mm, measured"),
        ("bundle_thickness", "1.2 mm, measured"),
        ("faces", "opposite"),
    ];
    part(craft, PartKind::CameraHarness, "flat", "flat harness", &flat);
    place(craft, "flat", "flat", "frame", &[("from", "cam/harness"), ("to", "vtx/camera")]);
    let tail =
        [("mass", "1 g, measured"), ("length", "60 mm, measured"), ("coax_diameter", "1.13 mm, measured")];
    part(craft, PartKind::Pigtail, "tail", "pigtail", &tail);
    place(craft, "tail", "tail", "frame/tail", &[("from", "vtx/coax")]);
    crate::testing::set(craft, "place antenna.from", "tail/second end");
    let bar = [
        ("mass", "0.1 g, measured"),
        ("length", "2 mm, measured"),
        ("width", "8 mm, measured"),
        ("height", "1 mm, measured"),
    ];
    part(craft, PartKind::Relief, "bar", "clamp bar", &bar);
    place(craft, "bar-cam", "bar", "cam", &[("x", "-9.5 mm, measured"), ("z", "1 mm, measured")]);
    place(craft, "bar-vtx", "bar", "vtx", &[("x", "15.5 mm, measured"), ("z", "4.5 mm, measured")]);
    place(craft, "bar-coax", "bar", "vtx", &[("x", "-12 mm, measured"), ("z", "8.5 mm, measured")]);
    led
}

/// What a rule says of the bay with leads once it is spoiled: one block a finding, worst first.
pub(crate) fn led_told(rule: &Rule, spoil: impl FnOnce(&mut Craft)) -> String {
    let mut craft = led_bay();
    spoil(&mut craft);
    told_of(rule, &craft, |_| true)
}

/// What a rule says of the bay once it is spoiled, without what is sound: one block a finding, worst first.
pub(crate) fn bay_told(rule: &Rule, spoil: impl FnOnce(&mut Craft)) -> String {
    let mut craft = sound_bay();
    spoil(&mut craft);
    told_of(rule, &craft, |finding| finding.verdict != Verdict::Sound)
}

/// What a rule says of the spoiled bay about what carries these words in its subject.
pub(crate) fn bay_told_of(rule: &Rule, subject: &str, spoil: impl FnOnce(&mut Craft)) -> String {
    let mut craft = sound_bay();
    spoil(&mut craft);
    told_of(rule, &craft, |finding| finding.subject.contains(subject))
}

/// Holds a rule to calling the bay sound in everything it says, and to saying something.
pub(crate) fn bay_is_sound(rule: &Rule) {
    let craft = sound_bay();
    assert_eq!(told_of(rule, &craft, |finding| finding.verdict != Verdict::Sound), "");
    assert!(!told_of(rule, &craft, |_| true).is_empty(), "{} says nothing", rule.id);
}

fn frame(craft: &mut Craft) {
    part(craft, PartKind::Frame, "frame", "bay frame", &[("mass", "80 g, measured")]);
    let outline = "-40,-20; 40,-20; 40,20; -40,20";
    for (name, role, z) in [("bottom", "bottom", "-2 mm, measured"), ("top", "top", "24 mm, measured")] {
        let facts = [
            ("name", name),
            ("role", role),
            ("material", "carbon"),
            ("thickness", "2 mm, measured"),
            ("z", z),
            ("outline", outline),
        ];
        row(craft, "frame", "plate", &facts);
    }
    for (name, y) in [("left cage", "7.5 mm, measured"), ("right cage", "-9.5 mm, measured")] {
        let facts = [
            ("name", name),
            ("role", "cage"),
            ("material", "carbon"),
            ("stands", "along"),
            ("thickness", "2 mm, measured"),
            ("y", y),
            ("outline", "38,0; 62,0; 62,24; 38,24"),
        ];
        row(craft, "frame", "plate", &facts);
    }
    for (name, x, y) in corners("36 mm", "16 mm") {
        let facts = [
            ("name", name.as_str()),
            ("x", &x),
            ("y", &y),
            ("diameter", "5 mm, measured"),
            ("height", "24 mm, measured"),
            ("thread", "M3"),
            ("material", "aluminium"),
        ];
        row(craft, "frame", "standoff", &facts);
    }
    for (name, plate, x, pitch, hole, screw) in [
        ("rear stack", "bottom", "-10 mm, measured", "20 mm, measured", "2.4 mm, measured", "M2"),
        ("front stack", "bottom", "20 mm, measured", "20 mm, measured", "2.4 mm, measured", "M2"),
        ("lid", "top", "-10 mm, measured", "30.5 mm, measured", "3.4 mm, measured", "M3"),
    ] {
        let facts =
            [("name", name), ("plate", plate), ("x", x), ("pitch", pitch), ("hole", hole), ("screw", screw)];
        row(craft, "frame", "pattern", &facts);
    }
    let nose = [
        ("name", "nose"),
        ("x", "50 mm, measured"),
        ("z", "12 mm, measured"),
        ("clear_width", "15 mm, measured"),
        ("cheek", "2 mm, measured"),
        ("front", "62 mm, measured"),
    ];
    row(craft, "frame", "camera_mount", &nose);
    for (name, x, y) in corners("60 mm", "60 mm") {
        let facts = [
            ("name", format!("motor {name}")),
            ("x", x),
            ("y", y),
            ("bolt_circle", "9 mm, measured".to_owned()),
            ("plate_thickness", "4 mm, measured".to_owned()),
        ];
        row(craft, "frame", "motor_mount", &facts.each_ref().map(|(key, text)| (*key, text.as_str())));
    }
    let tail =
        [("name", "tail"), ("x", "-50 mm, measured"), ("y", "10 mm, measured"), ("z", "10 mm, measured")];
    row(craft, "frame", "antenna_mount", &tail);
    place(craft, "frame", "frame", "body", &[]);
}

/// Names and places of four corners, each with its doubt.
fn corners(x: &str, y: &str) -> [(String, String, String); 4] {
    [("rear left", "-", ""), ("rear right", "-", "-"), ("front left", "", ""), ("front right", "", "-")].map(
        |(name, back, right)| {
            (name.to_owned(), format!("{back}{x}, measured"), format!("{right}{y}, measured"))
        },
    )
}

/// 4 to 11 mm over the bottom plate, its coax plug up to 12.5 mm.
fn transmitter(craft: &mut Craft) {
    let facts = [
        ("mass", "9 g, measured"),
        ("length", "29 mm, measured"),
        ("width", "29 mm, measured"),
        ("height", "7 mm, measured"),
        ("hot_face", "up"),
    ];
    part(craft, PartKind::VideoTransmitter, "vtx", "video transmitter", &facts);
    let pattern = [
        ("name", "mount"),
        ("pitch", "20 mm, measured"),
        ("hole", "2.4 mm, measured"),
        ("screw", "M2"),
        ("thread_depth", "5 mm, measured"),
    ];
    row(craft, "vtx", "pattern", &pattern);
    let coax = [
        ("name", "coax"),
        ("use", "coax"),
        ("type", "push-on"),
        ("x", "-12 mm, measured"),
        ("z", "7.5 mm, measured"),
        ("length", "3 mm, measured"),
        ("width", "3 mm, measured"),
        ("height", "2 mm, measured"),
        ("pull", "up"),
    ];
    row(craft, "vtx", "plug", &coax);
    let card = [
        ("name", "card slot"),
        ("use", "card"),
        ("x", "6 mm, measured"),
        ("y", "-15 mm, measured"),
        ("z", "3 mm, measured"),
        ("length", "11 mm, measured"),
        ("width", "2 mm, measured"),
        ("height", "1.5 mm, measured"),
        ("pull", "right"),
    ];
    row(craft, "vtx", "plug", &card);
    let spacers = [
        ("mass", "0.4 g, measured"),
        ("height", "4 mm, measured"),
        ("outer", "4 mm, measured"),
        ("bore", "2.2 mm, measured"),
        ("count", "4"),
        ("material", "aluminium"),
    ];
    part(craft, PartKind::Spacer, "spacers", "spacers", &spacers);
    place(craft, "spacers", "spacers", "frame/rear stack", &[]);
    place(craft, "vtx", "vtx", "frame/rear stack", &[("z", "4 ± 0.1 mm, measured")]);
}

/// Board from 4 to 5.6 mm over the bottom plate, components from 3 to 8.6 mm.
fn controller(craft: &mut Craft) {
    let facts = [
        ("mass", "6 g, measured"),
        ("length", "26 mm, measured"),
        ("width", "26 mm, measured"),
        ("board", "1.6 mm, measured"),
        ("above", "3 mm, measured"),
        ("below", "1 mm, measured"),
    ];
    part(craft, PartKind::FlightController, "fc", "flight controller", &facts);
    let pattern =
        [("name", "mount"), ("pitch", "20 mm, measured"), ("hole", "2.4 mm, measured"), ("screw", "M2")];
    row(craft, "fc", "pattern", &pattern);
    let usb = [
        ("name", "USB socket"),
        ("use", "usb"),
        ("y", "12 mm, measured"),
        ("z", "4 mm, measured"),
        ("length", "8 mm, measured"),
        ("width", "6 mm, measured"),
        ("height", "3 mm, measured"),
        ("pull", "left"),
    ];
    row(craft, "fc", "plug", &usb);
    let button = [
        ("name", "boot button"),
        ("use", "button"),
        ("x", "6 mm, measured"),
        ("y", "4 mm, measured"),
        ("z", "6.1 mm, measured"),
        ("length", "3 mm, measured"),
        ("width", "3 mm, measured"),
        ("height", "1 mm, measured"),
        ("pull", "up"),
    ];
    row(craft, "fc", "plug", &button);
    let pad = [
        ("name", "supply"),
        ("y", "-6 mm, measured"),
        ("z", "-0.25 mm, measured"),
        ("length", "2 mm, measured"),
        ("width", "2 mm, measured"),
        ("height", "0.5 mm, measured"),
    ];
    row(craft, "fc", "pad", &pad);
    let soft = [
        ("mass", "0.6 g, measured"),
        ("height", "4 mm, measured"),
        ("outer", "5 mm, measured"),
        ("bore", "2.2 mm, measured"),
        ("play", "0.5 mm"),
        ("count", "4"),
    ];
    part(craft, PartKind::SoftMount, "soft", "soft mounts", &soft);
    place(craft, "soft", "soft", "frame/front stack", &[]);
    place(craft, "fc", "fc", "frame/front stack", &[("z", "3 ± 0.1 mm, measured")]);
}

/// From x = 42 to 58 mm, z = 5 to 19 mm; the lens to x = 60 mm, the cage to x = 62 mm.
fn camera(craft: &mut Craft) {
    let facts = [
        ("mass", "3 g, measured"),
        ("body_depth", "16 mm, measured"),
        ("body_width", "14 mm, measured"),
        ("body_height", "14 mm, measured"),
        ("face_ahead", "8 mm, measured"),
        ("side_screw", "M2"),
        ("side_depth", "3 mm, measured"),
        ("pixel_pitch", "2 µm, data sheet"),
        ("pixels_across", "1920"),
        ("pixels_down", "1080"),
    ];
    part(craft, PartKind::Camera, "cam", "nano camera", &facts);
    let plug = [
        ("name", "harness"),
        ("use", "camera"),
        ("x", "-9.5 mm, measured"),
        ("length", "3 mm, measured"),
        ("width", "8 mm, measured"),
        ("height", "2 mm, measured"),
        ("pull", "back"),
    ];
    row(craft, "cam", "plug", &plug);
    let lens = [
        ("mass", "1 g, measured"),
        ("proud", "2 mm, measured"),
        ("head_diameter", "10 mm, measured"),
        ("focal_length", "4 mm, data sheet"),
        ("projection", "rectilinear"),
        ("image_circle", "4.6 mm, data sheet"),
    ];
    part(craft, PartKind::Lens, "lens", "lens", &lens);
    place(craft, "cam", "cam", "frame/nose", &[]);
    place(craft, "lens", "lens", "cam/lens mount", &[]);
}

/// Discs of 38 mm radius from 14 to 20 mm over the mounts.
fn drive(craft: &mut Craft) {
    let motor = [
        ("mass", "9 g, measured"),
        ("bell_diameter", "18 mm, measured"),
        ("height", "14 mm, measured"),
        ("screw", "M2"),
        ("screw_depth", "4 mm, measured"),
    ];
    part(craft, PartKind::Motor, "motor", "motor", &motor);
    let blades =
        [("mass", "1 g, measured"), ("diameter", "76 mm, measured"), ("sweep_height", "6 mm, measured")];
    part(craft, PartKind::Blades, "blades", "blades", &blades);
    for (id, mount) in
        [("rl", "rear left"), ("rr", "rear right"), ("fl", "front left"), ("fr", "front right")]
    {
        place(craft, &format!("m-{id}"), "motor", &format!("frame/motor {mount}"), &[]);
        place(craft, &format!("b-{id}"), "blades", &format!("m-{id}/shaft"), &[]);
    }
    let antenna = [
        ("mass", "4 g, measured"),
        ("length", "60 mm, measured"),
        ("diameter", "3 mm, measured"),
        ("active", "20 mm, measured"),
    ];
    part(craft, PartKind::Antenna, "antenna", "antenna", &antenna);
    place(craft, "antenna", "antenna", "frame/tail", &[]);
    let pack = [
        ("mass", "70 g, measured"),
        ("length", "60 mm, measured"),
        ("width", "30 mm, measured"),
        ("height", "24 mm, measured"),
    ];
    part(craft, PartKind::Pack, "pack", "pack", &pack);
    place(craft, "pack", "pack", "frame", &[("z", "-30 mm, measured")]);
}

/// An adapter from 30.5 to 20 mm on the top plate, a receiver on it.
fn lid(craft: &mut Craft) {
    let adapter = [
        ("mass", "2 g, measured"),
        ("length", "36 mm, measured"),
        ("width", "36 mm, measured"),
        ("thickness", "1.5 mm, measured"),
        ("material", "glass fibre"),
    ];
    part(craft, PartKind::Adapter, "adapter", "adapter plate", &adapter);
    for (name, pitch, hole, screw) in [
        ("outer", "30.5 mm, measured", "3.4 mm, measured", "M3"),
        ("inner", "20 mm, measured", "2.4 mm, measured", "M2"),
    ] {
        let facts = [("name", name), ("pitch", pitch), ("hole", hole), ("screw", screw)];
        row(craft, "adapter", "pattern", &facts);
    }
    place(craft, "adapter", "adapter", "frame/lid", &[]);
    let receiver = [
        ("mass", "2 g, measured"),
        ("length", "12 mm, measured"),
        ("width", "10 mm, measured"),
        ("height", "3 mm, measured"),
    ];
    part(craft, PartKind::ControlReceiver, "rx", "receiver", &receiver);
    let whip = [
        ("name", "whip"),
        ("role", "antenna element"),
        ("shape", "cylinder"),
        ("axis", "y"),
        ("diameter", "1.2 mm, measured"),
        ("length", "30 mm, measured"),
        ("x", "40 mm, measured"),
        ("y", "25 mm, measured"),
        ("z", "18 mm, measured"),
    ];
    row(craft, "rx", "body", &whip);
    place(craft, "rx", "rx", "adapter", &[("z", "1.5 mm")]);
}

fn screws(craft: &mut Craft) {
    for (id, name, thread, length) in [
        ("m2x4", "M2×4", "M2", "4 mm"),
        ("m2x7", "M2×7", "M2", "7 mm"),
        ("m2x10", "M2×10", "M2", "10 mm"),
        ("m3x8", "M3×8", "M3", "8 mm"),
    ] {
        let facts = [("mass", "0.3 g, measured"), ("thread", thread), ("length", length), ("head", "button")];
        part(craft, PartKind::Screw, id, name, &facts);
    }
    for (id, corner) in
        [("rl", "rear left"), ("rr", "rear right"), ("fl", "front left"), ("fr", "front right")]
    {
        let mount = format!("frame/motor {corner}");
        place(
            craft,
            &format!("s-{id}"),
            "m2x7",
            &mount,
            &[("z", "-4 mm"), ("flipped", "yes"), ("count", "4")],
        );
        place(craft, &format!("t-{id}"), "m3x8", &format!("frame/{corner}"), &[("z", "2 mm")]);
    }
    for (id, y, roll) in [("c-l", "9.5 mm", "-90°"), ("c-r", "-9.5 mm", "90°")] {
        place(craft, id, "m2x4", "frame/nose", &[("y", y), ("roll", roll)]);
    }
    place(craft, "fc-screws", "m2x10", "frame/front stack", &[("z", "5.6 mm"), ("count", "4")]);
    let below = [("z", "-2 mm"), ("flipped", "yes"), ("count", "4")];
    place(craft, "vtx-screws", "m2x10", "frame/rear stack", &below);
    place(craft, "lid-screws", "m3x8", "frame/lid", &[("z", "1.5 mm"), ("count", "4")]);
}

/// Puts an arm of 4 mm under the bottom plate, as its outline says, without a hole.
pub(crate) fn arm(craft: &mut Craft, outline: &str) {
    let facts = [
        ("name", "arm"),
        ("role", "arm"),
        ("material", "carbon"),
        ("thickness", "4 mm, measured"),
        ("z", "-6 mm, measured"),
        ("outline", outline),
    ];
    row(craft, "frame", "plate", &facts);
}
