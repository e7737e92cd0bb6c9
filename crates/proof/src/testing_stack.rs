//! A small sound bay for the tests of the geometry rules: two carbon plates on four standoffs, a video
//! transmitter on spacers between them. All figures are invented.

use crate::testing::{part, place, row};
use craft::schema::PartKind;
use craft::{Craft, CraftClass, CraftId};

/// A bay in which every geometry rule is sound.
pub(crate) fn sound_bay() -> Craft {
    let mut sound = Craft::new(CraftId::from_name("bay"), "Bay");
    sound.class = Some(CraftClass::Ducted3);
    let craft = &mut sound;
    bay_frame(craft);
    transmitter(craft);
    sound
}

fn bay_frame(craft: &mut Craft) {
    part(craft, PartKind::Frame, "frame", "bay frame", &[("mass", "80 g, measured")]);
    let outline = "-40,-20; 40,-20; 40,20; -40,20";
    let plates = [("bottom", "bottom", "-2 mm, measured"), ("top", "top", "20 mm, measured")];
    for (name, role, z) in plates {
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
    for (name, x, y) in [
        ("rear left", "-36 mm, measured", "16 mm, measured"),
        ("rear right", "-36 mm, measured", "-16 mm, measured"),
        ("front left", "36 mm, measured", "16 mm, measured"),
        ("front right", "36 mm, measured", "-16 mm, measured"),
    ] {
        let facts = [
            ("name", name),
            ("x", x),
            ("y", y),
            ("diameter", "5 mm, measured"),
            ("height", "20 mm, measured"),
            ("thread", "M3"),
            ("material", "aluminium"),
        ];
        row(craft, "frame", "standoff", &facts);
    }
    let pattern = [
        ("name", "rear stack"),
        ("plate", "bottom"),
        ("x", "-10 mm, measured"),
        ("pitch", "20 mm, measured"),
        ("hole", "2.4 mm, measured"),
        ("screw", "M2"),
    ];
    row(craft, "frame", "pattern", &pattern);
    place(craft, "frame", "frame", "body", &[]);
}

fn transmitter(craft: &mut Craft) {
    part(
        craft,
        PartKind::VideoTransmitter,
        "vtx",
        "video transmitter",
        &[
            ("mass", "9 g, measured"),
            ("length", "29 mm, measured"),
            ("width", "29 mm, measured"),
            ("height", "7 mm, measured"),
        ],
    );
    let pattern =
        [("name", "mount"), ("pitch", "20 mm, measured"), ("hole", "2.4 mm, measured"), ("screw", "M2")];
    row(craft, "vtx", "pattern", &pattern);
    let plug = [
        ("name", "coax"),
        ("use", "coax"),
        ("type", "push-on"),
        ("x", "-12 mm, measured"),
        ("y", "0 mm, measured"),
        ("z", "7.5 mm, measured"),
        ("length", "3 mm, measured"),
        ("width", "3 mm, measured"),
        ("height", "2 mm, measured"),
        ("pull", "up"),
    ];
    row(craft, "vtx", "plug", &plug);
    let spacers = [
        ("mass", "0.4 g, measured"),
        ("height", "4 mm, measured"),
        ("outer", "4 mm, measured"),
        ("count", "4"),
    ];
    part(craft, PartKind::Spacer, "spacers", "spacers", &spacers);
    place(craft, "spacers", "spacers", "frame/rear stack", &[]);
    place(craft, "vtx", "vtx", "frame/rear stack", &[("z", "4 ± 0.1 mm, measured")]);
}
