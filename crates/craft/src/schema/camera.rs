//! Cameras, lenses and camera harnesses.

use super::{Field, TableDef};
use quantity::{Degrees, DoubtKind::*, Hertz, Micrometres, Millimetres, Milliseconds, Percent, Ratio, Watts};

/// The closed video system it belongs to.
pub const SYSTEM: Field<str> = Field::line("system", "video system")
    .core()
    .help("Camera, air unit and ground unit must be of one system, written the same way.");
/// Systems a part is listed to pair with.
pub const PAIRS_WITH: Field<str> = Field::line("pairs_with", "listed pairings")
    .help("Names of parts the maker lists as pairing with this one, separated by commas.");
/// Draw.
pub const DRAW: Field<Watts> = Field::quantity("draw", "supply power", VideoDraw, 0.01, 500.0)
    .help("What it takes from its supply when working.");

/// Outer depth of a camera body.
pub const BODY_DEPTH: Field<Millimetres> = Field::quantity("body_depth", "body depth", OuterSize, 3.0, 80.0)
    .core()
    .help("Along the view, without lens and without plug: data sheets quote it without the plug.");
/// Outer width of a camera body.
pub const BODY_WIDTH: Field<Millimetres> = Field::quantity("body_width", "body width", OuterSize, 5.0, 80.0)
    .core()
    .help("Across, between the faces with the side screws. Size names tell this width only.");
/// Outer height of a camera body.
pub const BODY_HEIGHT: Field<Millimetres> =
    Field::quantity("body_height", "body height", OuterSize, 5.0, 80.0)
        .core()
        .help("A 16 mm high body fouls a 14 mm window.");
/// Front face ahead of the screw axis.
pub const FACE_AHEAD: Field<Millimetres> =
    Field::quantity("face_ahead", "face ahead of the screws", OuterSize, -40.0, 60.0)
        .core()
        .help("From the axis of the side screws forward to the face the lens enters.");
/// Lens thread.
pub const LENS_THREAD: Field<str> = Field::choice(
    "lens_thread",
    "lens thread",
    &["M5x0.5", "M6x0.5", "M7x0.35", "M8x0.5", "M10x0.5", "M12x0.5"],
)
.core()
.help("The thread the lens screws into.");
/// Depth of the lens holder's thread.
pub const HOLDER_DEPTH: Field<Millimetres> =
    Field::quantity("holder_depth", "holder depth", OuterSize, 0.5, 40.0)
        .help("How far a barrel can go in before it meets filter or sensor.");
/// Window for the lens head.
pub const LENS_WINDOW: Field<Millimetres> =
    Field::quantity("lens_window", "lens window", OuterSize, 2.0, 60.0)
        .help("Largest head the body lets pass.");
/// Side screw.
pub const SIDE_SCREW: Field<str> = Field::choice("side_screw", "side screw", super::fixing::THREADS)
    .help("The screw that holds it on each side.");
/// Depth of the side thread.
pub const SIDE_DEPTH: Field<Millimetres> =
    Field::quantity("side_depth", "side thread depth", OuterSize, 0.3, 20.0)
        .help("How deep a side screw may go: a longer one crushes the sensor board.");
/// Sensor pixel pitch.
pub const PIXEL_PITCH: Field<Micrometres> =
    Field::quantity("pixel_pitch", "pixel pitch", Other, 0.5, 20.0).help("Side of one pixel.");
/// Sensor pixels across.
pub const PIXELS_ACROSS: Field<u32> = Field::how_many("pixels_across", "pixels across", 100, 20_000)
    .help("Active pixels of the whole sensor, across.");
/// Sensor pixels down.
pub const PIXELS_DOWN: Field<u32> = Field::how_many("pixels_down", "pixels down", 100, 20_000)
    .help("Active pixels of the whole sensor, down.");
/// Active diagonal.
pub const SENSOR_DIAGONAL: Field<Millimetres> =
    Field::quantity("sensor_diagonal", "sensor diagonal", Other, 1.0, 60.0).help(
        "Diagonal of the area in use. Formats such as 1/2 inch do not say it: pixel pitch times pixels does.",
    );
/// Read-out time.
pub const READ_OUT: Field<Milliseconds> = Field::quantity("read_out", "read-out time", Other, 0.0, 100.0)
    .help("From the first line to the last: what makes jelly and skew.");
/// Latency.
pub const LATENCY: Field<Milliseconds> =
    Field::quantity("latency", "latency", Other, 0.0, 1000.0).help("Glass to link.");
/// How the sensor is read.
pub const SHUTTER: Field<str> = Field::choice("shutter", "shutter", &["rolling", "global"])
    .help("Rolling reads line by line and skews what moves; global takes the whole picture at once.");
/// Own analogue output.
pub const ANALOGUE_OUT: Field<bool> =
    Field::flag("analogue_out", "own analogue output").help("Whether it can serve an analogue link too.");
/// Where its settings are reached.
pub const SETTINGS_FROM: Field<str> = Field::line("settings_from", "settings reached from")
    .help("Ground unit, sticks, or a button on the camera.");

/// How a picture of one shape is fitted into another.
pub const FILL: Field<str> = Field::choice("fill", "fitting of other shapes", &["bars", "cut", "stretched"])
    .help("What becomes of a picture of another shape: bars beside it, its edges cut, or stretched to fill.");

/// Picture modes of a camera or a transmitter.
pub mod mode {
    use super::*;
    use crate::schema::shape::NAME;

    /// Lines across.
    pub const ACROSS: Field<u32> =
        Field::how_many("across", "pixels across", 100, 20_000).core().help("Of the picture as sent.");
    /// Lines down.
    pub const DOWN: Field<u32> =
        Field::how_many("down", "pixels down", 100, 20_000).core().help("Of the picture as sent.");
    /// Frames a second.
    pub const RATE: Field<Hertz> =
        Field::quantity("rate", "frame rate", Exact, 1.0, 1000.0).core().help("Frames a second.");
    /// Share of the sensor's width in use.
    pub const CROP: Field<Ratio> = Field::quantity("crop", "share of width used", Other, 0.1, 1.0)
        .or(1.0)
        .help("1 when the whole width of the sensor is read.");
    /// How a picture of another shape is fitted into it.
    pub const FILL: Field<str> = super::FILL;

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "mode",
        one: "mode",
        many: "picture modes",
        fields: &[NAME.def, ACROSS.def, DOWN.def, RATE.def, CROP.def, FILL.def],
        help: "Each picture it can give.",
    };
}

/// Barrel thread of a lens.
pub const THREAD: Field<str> =
    Field::choice("thread", "thread", &["M5x0.5", "M6x0.5", "M7x0.35", "M8x0.5", "M10x0.5", "M12x0.5"])
        .core()
        .help("The same thread does not mean the same back focus.");
/// Focal length.
pub const FOCAL_LENGTH: Field<Millimetres> =
    Field::quantity("focal_length", "focal length", Other, 0.5, 100.0)
        .help("From the data sheet; the view follows from it and the sensor.");
/// F-number.
pub const F_NUMBER: Field<Ratio> =
    Field::quantity("f_number", "f-number", Other, 0.7, 22.0).help("Smaller gathers more light.");
/// What the glass lets through.
pub const TRANSMISSION: Field<Percent> = Field::quantity("transmission", "transmission", Other, 1.0, 100.0)
    .help("Share of the light that passes its glass; about 90 % with coated glass.");
/// Image circle.
pub const IMAGE_CIRCLE: Field<Millimetres> =
    Field::quantity("image_circle", "image circle", Other, 1.0, 100.0)
        .core()
        .help("Diameter the lens lights on the sensor.");
/// Projection.
pub const PROJECTION: Field<str> = Field::choice(
    "projection",
    "projection",
    &["rectilinear", "equidistant", "equisolid", "stereographic", "measured"],
)
.help("How angles become places on the sensor; measured when the map below is filled in.");
/// Claimed view.
pub const VIEW_CLAIMED: Field<Degrees> =
    Field::quantity("view_claimed", "claimed diagonal view", ViewAngle, 10.0, 250.0)
        .help("Claimed for some other sensor as a rule: do not build on it.");
/// Length of the lens ahead of the camera's face.
pub const PROUD: Field<Millimetres> =
    Field::quantity("proud", "length ahead of the face", OuterSize, 0.0, 80.0)
        .core()
        .help("From the camera's face to the front of the lens, as focused.");
/// Head diameter.
pub const HEAD_DIAMETER: Field<Millimetres> =
    Field::quantity("head_diameter", "head diameter", OuterSize, 2.0, 80.0)
        .core()
        .help("Widest part ahead of the camera's face.");
/// Length inside.
pub const BARREL: Field<Millimetres> = Field::quantity("barrel", "barrel length", OuterSize, 0.5, 60.0)
    .help("Threaded length that can go into the holder.");
/// Back focus.
pub const BACK_FOCUS: Field<Millimetres> = Field::quantity("back_focus", "back focus", OuterSize, 0.5, 60.0)
    .help("From the last glass to the sensor.");
/// Filter in the lens.
pub const FILTER: Field<bool> = Field::flag("filter", "infra-red filter in the lens")
    .help("If neither lens nor sensor has one, grass turns pink.");
/// Lock ring.
pub const LOCK: Field<bool> =
    Field::flag("lock", "lock ring").help("Without a lock vibration unscrews the lens.");

/// A lens's measured map from angle to place.
pub mod map {
    use super::*;

    /// Angle off the axis.
    pub const ANGLE: Field<Degrees> = Field::quantity("angle", "angle off axis", Other, 0.0, 130.0)
        .core()
        .help("Half angle from the axis.");
    /// Place on the sensor.
    pub const RADIUS: Field<Millimetres> =
        Field::quantity("radius", "distance from the middle", Other, 0.0, 50.0)
            .core()
            .help("On the sensor, from the middle.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "map",
        one: "map point",
        many: "measured map",
        fields: &[ANGLE.def, RADIUS.def],
        help: "Measured projection, point by point.",
    };
}

/// Length of a lead, plug tip to plug tip.
pub const LEAD_LENGTH: Field<Millimetres> =
    Field::quantity("length", "length", LeadLength, 5.0, 2000.0).core().help("Plug tip to plug tip.");
/// Strands of a harness.
pub const STRANDS: Field<u32> =
    Field::how_many("strands", "strands", 1, 100).help("Twenty to thirty as a rule.");
/// Bundle width.
pub const BUNDLE_WIDTH: Field<Millimetres> =
    Field::quantity("bundle_width", "bundle width", OuterSize, 0.3, 40.0)
        .help("Four to seven millimetres as a rule.");
/// Bundle thickness.
pub const BUNDLE_THICKNESS: Field<Millimetres> =
    Field::quantity("bundle_thickness", "bundle thickness", OuterSize, 0.2, 20.0)
        .help("About one millimetre as a rule.");
/// Least bend radius.
pub const BEND: Field<Millimetres> = Field::quantity("bend", "least bend radius", Exact, 0.5, 100.0)
    .help("5 mm for a bundle of hair-thin coaxial strands unless the maker says less.");
/// Plug type at one end.
pub const END_A: Field<str> =
    Field::line("end_a", "plug type, first end").core().help("As the data sheet names it.");
/// Plug type at the other end.
pub const END_B: Field<str> =
    Field::line("end_b", "plug type, second end").core().help("As the data sheet names it.");
/// Handedness.
pub const FACES: Field<str> = Field::choice("faces", "contact faces", &["same", "opposite"]).core().help("Whether the two ends have their contacts on the same or on opposite faces. A mirrored harness fits, and kills or mutes. Compare the marks of pin 1.");
/// Matings.
pub const MATINGS: Field<u32> = Field::how_many("matings", "rated matings", 1, 100_000)
    .help("How often its plugs may be mated: twenty to thirty for fine ones.");
