//! What may be said of a part in its place.

use super::{Field, FieldDef};
use quantity::{
    Degrees, DoubtKind::*, Megahertz, Metres, MetresPerSecond, Microhenries, Millimetres, Milliohms,
    Milliseconds, Percent,
};

/// Along the anchor's x.
pub const X: Field<Millimetres> = Field::quantity("x", "x", PlacePosition, -2000.0, 2000.0)
    .or(0.0)
    .help("Along the anchor's x; nought when left out.");
/// Along the anchor's y.
pub const Y: Field<Millimetres> = Field::quantity("y", "y", PlacePosition, -2000.0, 2000.0)
    .or(0.0)
    .help("Along the anchor's y; nought when left out.");
/// Along the anchor's z: how far it stands off.
pub const Z: Field<Millimetres> = Field::quantity("z", "height", PlacePosition, -2000.0, 2000.0)
    .or(0.0)
    .help("Along the anchor's z: how far it stands off the face it is on, by spacer or soft mount.");
/// Turn about z.
pub const YAW: Field<Degrees> =
    Field::quantity("yaw", "turn", Exact, -360.0, 360.0).or(0.0).help("About the anchor's z, left positive.");
/// Nose up.
pub const PITCH: Field<Degrees> =
    Field::quantity("pitch", "tilt", Exact, -180.0, 180.0).or(0.0).help("Nose up positive: a camera's tilt.");
/// Right side down.
pub const ROLL: Field<Degrees> =
    Field::quantity("roll", "roll", Exact, -180.0, 180.0).or(0.0).help("Right side down positive.");
/// Upside down.
pub const FLIPPED: Field<bool> =
    Field::flag("flipped", "flipped").or(0.0).help("Turned over about its own x axis.");
/// Insulating sheet beneath.
pub const INSULATED: Field<bool> =
    Field::flag("insulated", "insulating sheet").help("Whether a sheet lies between it and the carbon.");
/// Which way the motor is set to turn.
pub const SPIN: Field<str> = Field::choice("spin", "direction it is set to", &["clockwise", "anticlockwise"])
    .help("Motors: the direction the setting gives, seen from above.");
/// First end of a lead, or where an antenna plugs in.
pub const FROM: Field<str> = Field::plug_of_place("from", "plug it starts at")
    .help("Leads and antennas: the plug of the part it starts at, as place/plug. An antenna on a pigtail starts at tail/second end.");
/// Other end of a lead.
pub const TO: Field<str> = Field::plug_of_place("to", "plug it ends at")
    .help("Leads: the plug of the part it ends at, as place/plug.");
/// State of the plug it starts with.
pub const JOINT: Field<str> = super::air::JOINT;
/// Washer under a screw head.
pub const WASHER: Field<Millimetres> = Field::quantity("washer", "washer", OuterSize, 0.0, 20.0)
    .or(0.0)
    .help("Screws: thickness of washers under the head.");
/// How many of the part.
pub const COUNT: Field<u32> = Field::how_many("count", "how many", 1, 64)
    .or(1.0)
    .help("Screws: how many are set here alike. The mass of each counts.");
/// Longest shutter time.
pub const SHUTTER_LIMIT: Field<Milliseconds> = Field::quantity(
    "shutter_limit",
    "longest shutter time",
    Exact,
    0.01,
    1000.0,
)
.help("Cameras: the longest time the shutter may stay open. Short keeps turns sharp, and dusk comes sooner.");
/// Sharpness.
pub const SHARPNESS: Field<Percent> = Field::quantity("sharpness", "sharpness setting", Exact, 0.0, 100.0)
    .help(
        "Cameras: where the setting stands on its scale. High makes halos and feeds leaves to the encoder.",
    );
/// Distance a lens is focused at.
pub const FOCUSED_AT: Field<Metres> =
    Field::quantity("focused_at", "distance it is focused at", Other, 0.05, 1000.0).help(
        "Lenses: how far away the target was that it was set sharp on. 3 m or more, rechecked at 20 m.",
    );
/// What feeds it.
pub const FED_FROM: Field<str> = Field::line("fed_from", "fed from").help(
    "Where its supply comes from: pack, or a rail as place/rail such as fc/10 V, or a place whose pins it shares. A      capacitor: what it stands across. Boards with rails of their own hang on the pack when it is left out; a camera      then lives on what its transmitter draws.",
);
/// Gauge of its supply wires.
pub const SUPPLY_GAUGE: Field<u32> = Field::how_many("supply_gauge", "gauge of its supply wires", 4, 36)
    .help("American wire gauge of plus and minus: 26 for a video unit, 18 to 22 for a small pack lead.");
/// Length of its supply wires.
pub const SUPPLY_LENGTH: Field<Millimetres> =
    Field::quantity("supply_length", "length of its supply wires", LeadLength, 1.0, 5000.0)
        .help("One way, from what feeds it to its pins; the way back is counted too.");
/// Coil in its plus wire.
pub const COIL: Field<Microhenries> = Field::quantity("coil", "coil in its supply", Other, 0.01, 10_000.0).help(
    "Coil in its plus wire, which with the capacitor across its pins keeps the motors' noise out: 4.7 to 22 µH. None when left out.",
);
/// Resistance of that coil.
pub const COIL_RESISTANCE: Field<Milliohms> =
    Field::quantity("coil_resistance", "resistance of the coil", Other, 0.1, 10_000.0)
        .help("Of its winding: 20 to 100 mΩ.");
/// Air past it in hover.
pub const AIR_PAST: Field<MetresPerSecond> = Field::quantity("air_past", "air past it in hover", Other, 0.0, 60.0).help(
    "Video transmitters: speed of the air along it in hover; half of the speed through the discs unless said. A closed canopy leaves 1 to 2 m/s.",
);
/// Channel as set.
pub const CHANNEL_SET: Field<Megahertz> =
    Field::quantity("channel_set", "channel as set", Exact, 100.0, 100_000.0)
        .help("Video transmitters and ground units: the channel read back from this very unit.");
/// Width of the channel as set.
pub const WIDTH_SET: Field<Megahertz> = Field::quantity("width_set", "channel width as set", Exact, 0.1, 500.0)
    .help("Video transmitters and ground units: the width of the channel read back from this very unit, such as 20 MHz.");
/// Region as set.
pub const REGION_SET: Field<str> = Field::line("region_set", "region as set")
    .help("Video transmitters and ground units: the region or rule set that this unit says it follows. It decides which channels and levels there are.");
/// Image it runs.
pub const IMAGE_SET: Field<str> = Field::line("image_set", "image it reports").help(
    "Video transmitters and ground units: the version of the image that this unit reports, as it writes it.",
);
/// Grid of the overlay text.
pub const GRID_SET: Field<str> = Field::line("grid_set", "overlay grid as set")
    .help("Flight controllers and video transmitters: columns × rows of the overlay text, such as 53 x 20. Both must agree.");
/// Turn of the board as set.
pub const TURN_SET: Field<Degrees> = Field::quantity("turn_set", "board turn as set", Exact, -360.0, 360.0)
    .help("Flight controllers: the turn about the upright axis that the setting says, left positive. It must be that of the arrow.");
/// Board upside down, as set.
pub const OVER_SET: Field<bool> = Field::flag("over_set", "board upside down as set")
    .help("Flight controllers: whether the setting says that the board lies on its face.");
/// Picture turned, as set.
pub const PICTURE_TURNED: Field<bool> = Field::flag("picture_turned", "picture turned over as set")
    .help("Cameras: whether the setting turns the picture half round, as it must for a camera that hangs upside down.");
/// Failsafe.
pub const FAILSAFE: Field<str> =
    Field::choice("failsafe", "failsafe as set", &["drop", "return", "land", "none"])
        .help("Flight controllers and control receivers: what happens when the control link is lost.");
/// When it was tried.
pub const FAILSAFE_TRIED: Field<str> =
    Field::choice("failsafe_tried", "failsafe last tried", &["this month", "longer ago", "never"])
        .help("Flight controllers: tried with the blades off, the control transmitter switched off.");
/// Seen to rise.
pub const RISES: Field<bool> = Field::flag("rises", "level seen to rise when armed")
    .help("Video transmitters: that its level was seen to rise at arming, with the blades off. It proves the serial link.");
/// Note.
pub const NOTE: Field<str> = Field::note("note", "note").help("Anything worth remembering.");

/// Everything that may be said of a part in its place, in the order of the form.
pub const FIELDS: &[FieldDef] = &[
    X.def,
    Y.def,
    Z.def,
    YAW.def,
    PITCH.def,
    ROLL.def,
    FLIPPED.def,
    INSULATED.def,
    SPIN.def,
    FROM.def,
    TO.def,
    JOINT.def,
    WASHER.def,
    COUNT.def,
    SHUTTER_LIMIT.def,
    SHARPNESS.def,
    FOCUSED_AT.def,
    FED_FROM.def,
    SUPPLY_GAUGE.def,
    SUPPLY_LENGTH.def,
    COIL.def,
    COIL_RESISTANCE.def,
    AIR_PAST.def,
    CHANNEL_SET.def,
    WIDTH_SET.def,
    REGION_SET.def,
    IMAGE_SET.def,
    GRID_SET.def,
    TURN_SET.def,
    OVER_SET.def,
    PICTURE_TURNED.def,
    FAILSAFE.def,
    FAILSAFE_TRIED.def,
    RISES.def,
    NOTE.def,
];
