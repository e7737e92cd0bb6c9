//! Video transmitters, antennas, pigtails, control receivers, GNSS modules.

use super::{Field, TableDef};
use quantity::{
    Amperes, Celsius, Db, Dbi, Dbm, Degrees, DoubtKind::*, Grams, Megahertz, Millimetres, Milliseconds,
    Milliwatts, Ratio, Seconds, SquareMetres, Volts, Watts,
};

/// Outline of a board along x, plugs left out.
pub const LENGTH: Field<Millimetres> = Field::quantity("length", "length", OuterSize, 2.0, 300.0)
    .core()
    .help("Along x. Printed outlines often leave out coax plugs (2 mm) and heat sink screws.");
/// Outline of a board along y.
pub const WIDTH: Field<Millimetres> =
    Field::quantity("width", "width", OuterSize, 2.0, 300.0).core().help("Along y.");
/// Overall height.
pub const HEIGHT: Field<Millimetres> = Field::quantity("height", "height", ComponentHeight, 0.5, 150.0)
    .core()
    .help("From the underside to the top of the highest component or sink.");
/// Height without its sink.
pub const BARE_HEIGHT: Field<Millimetres> =
    Field::quantity("bare_height", "height without sink", ComponentHeight, 0.5, 150.0)
        .help("Where the sink comes off: what is left. The height is with it.");
/// Least supply.
pub const SUPPLY_MIN: Field<Volts> = Field::quantity("supply_min", "least supply", Other, 0.5, 100.0)
    .help("Below this it restarts: seconds of blindness.");
/// Greatest supply.
pub const SUPPLY_MAX: Field<Volts> = Field::quantity("supply_max", "greatest supply", Other, 0.5, 100.0)
    .help("Braking pumps the supply well above the pack: stay clear of it.");
/// Start-up peak.
pub const START_PEAK: Field<Amperes> = Field::quantity("start_peak", "start-up peak", Other, 0.0, 100.0)
    .help("Current at start-up, for a moment.");
/// How long the start-up peak lasts.
pub const START_TIME: Field<Seconds> =
    Field::quantity("start_time", "length of the start-up", Exact, 0.001, 60.0)
        .help("How long the start-up peak lasts: 0.1 to 3 s.");
/// How long it is dark after a restart.
pub const RESTART: Field<Seconds> = Field::quantity("restart", "time to restart", Exact, 0.1, 120.0)
    .help("From the return of its supply to a picture: 8 to 25 s of blindness.");
/// What it takes at standby.
pub const STANDBY_DRAW: Field<Watts> = Field::quantity("standby_draw", "supply power at standby", VideoDraw, 0.01, 500.0)
    .help("What it takes before the motors are armed, where it can stand by: the encoder runs on, the radio hardly.");
/// How much the draw swings about its mean.
pub const SWING: Field<quantity::Percent> = Field::quantity("swing", "swing of its draw", Other, 0.0, 200.0)
    .help("By how much its draw rises above its mean for moments; 20 % when left out.");
/// Surface that cools it.
pub const COOLING_AREA: Field<SquareMetres> =
    Field::quantity("cooling_area", "cooling surface", Other, 1e-5, 1.0)
        .help("All faces that air reaches, fins counted. Left out, both faces and the sides of its outline.");
/// Mass of its sink.
pub const SINK_MASS: Field<Grams> = Field::quantity("sink_mass", "mass of its sink", Mass, 0.1, 500.0)
    .help("Of a sink or plate that takes its heat behind a pad, screwed to it; part of its mass. None when left out.");
/// Surface of its sink.
pub const SINK_AREA: Field<SquareMetres> =
    Field::quantity("sink_area", "surface of its sink", Other, 1e-5, 1.0)
        .help("Of the sink, fins counted: what air reaches.");
/// Thickness of the pad.
pub const PAD_THICKNESS: Field<Millimetres> =
    Field::quantity("pad_thickness", "thickness of its pad", OuterSize, 0.05, 10.0)
        .help("Of the soft pad between board and sink: 0.5 to 1 mm.");
/// Limit temperature.
pub const LIMIT_TEMPERATURE: Field<Celsius> =
    Field::quantity("limit_temperature", "limit temperature", Other, 30.0, 200.0)
        .help("Case temperature at which it folds back or shuts down.");
/// Temperature at which it folds back.
pub const FOLD_BACK: Field<Celsius> =
    Field::quantity("fold_back", "fold-back temperature", Other, 30.0, 200.0)
        .help("Above this it lowers its level by itself: heat that looks like radio.");
/// Which face is hot.
pub const HOT_FACE: Field<str> = Field::choice("hot_face", "hot face", super::shape::DIRECTIONS)
    .help("Turn it to open air, never to pack or foam.");
/// Lower band edge.
pub const BAND_LOW: Field<Megahertz> =
    Field::quantity("band_low", "lowest frequency", Exact, 100.0, 100_000.0)
        .core()
        .help("The lowest frequency it is meant for.");
/// Upper band edge.
pub const BAND_HIGH: Field<Megahertz> =
    Field::quantity("band_high", "highest frequency", Exact, 100.0, 100_000.0)
        .core()
        .help("The highest frequency it is meant for.");
/// Occupied width.
pub const OCCUPIED_WIDTH: Field<Megahertz> =
    Field::quantity("occupied_width", "occupied width", Other, 0.1, 500.0).help("Width of the signal.");
/// Channels.
pub const CHANNELS: Field<str> = Field::line("channels", "channels")
    .help("Centre frequencies it can be set to, in MHz, separated by commas.");
/// Antennas it drives.
pub const CHAINS: Field<u32> =
    Field::how_many("chains", "antenna sockets", 1, 8).help("One or two on the craft.");
/// Recording card.
pub const CARD: Field<bool> = Field::flag("card", "recording card").help("Whether it takes a card.");
/// A light for the pilot to switch.
pub const CAMERA_LIGHT: Field<bool> =
    Field::flag("camera_light", "camera light").help("Whether it feeds a light beside the camera.");
/// Latency.
pub const LATENCY: Field<Milliseconds> =
    Field::quantity("latency", "latency", Other, 0.0, 1000.0).help("From camera to antenna.");
/// Image revision loaded.
pub const REVISION: Field<str> = Field::line("revision", "hardware revision")
    .help("As printed on the unit; decides which image it takes.");

/// Levels a transmitter offers.
pub mod level {
    use super::*;

    /// Radiated level at the connector.
    pub const OUT: Field<Milliwatts> = Field::quantity("out", "level", Exact, 0.0, 10_000.0)
        .core()
        .help("As it is offered in the unit's own table.");
    /// Supply power at that level.
    pub const DRAW: Field<Watts> = Field::quantity("draw", "supply power", VideoDraw, 0.01, 500.0)
        .help("What it takes from its supply at that level.");
    /// As a meter reads it.
    pub const AT_SOCKET: Field<Dbm> =
        Field::quantity("at_socket", "level at the socket", RadioLevel, -40.0, 60.0)
            .help("As a power meter reads it, all sockets together. Without it the level itself is taken, with the doubt that such numbers have.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "level",
        one: "level",
        many: "radio levels",
        fields: &[OUT.def, DRAW.def, AT_SOCKET.def],
        help: "Each level it offers and what it draws there.",
    };
}

/// Kind of element.
pub const ELEMENT: Field<str> = Field::choice(
    "element",
    "kind of element",
    &["whip", "dipole", "circular omni", "patch", "helix", "measured"],
)
.core()
.help("Says its pattern.");
/// Hand of polarisation.
pub const HAND: Field<str> = Field::choice("hand", "polarisation", &["linear", "right", "left"])
    .core()
    .help("All antennas of one system want one hand.");
/// Gain.
pub const GAIN: Field<Dbi> =
    Field::quantity("gain", "gain", AntennaGain, -20.0, 40.0).help("The peak is quoted, not the rim.");
/// Axial ratio.
pub const AXIAL_RATIO: Field<Db> = Field::quantity("axial_ratio", "axial ratio", AntennaGain, 0.0, 40.0)
    .help("How far from round its polarisation is.");
/// Standing wave ratio.
pub const VSWR: Field<Ratio> =
    Field::quantity("vswr", "standing wave ratio", Other, 1.0, 50.0).help("Worst over the band in use.");
/// Width of the beam.
pub const BEAM_WIDTH: Field<Degrees> = Field::quantity("beam_width", "beam width", Other, 5.0, 140.0)
    .help("Of a patch or helix: between the two directions where half the power is left.");
/// Front to back.
pub const FRONT_TO_BACK: Field<Db> = Field::quantity("front_to_back", "front to back", Other, 0.0, 80.0)
    .help("How far what goes out behind lies below the beam. Without it the back is as the sides.");
/// Turns of a helix.
pub const TURNS: Field<u32> = Field::how_many("turns", "turns", 3, 20)
    .help("Of a helix: with diameter and pitch of its coil they say gain and beam.");
/// Diameter of its coil.
pub const COIL_DIAMETER: Field<Millimetres> =
    Field::quantity("coil_diameter", "diameter of the coil", OuterSize, 3.0, 1000.0)
        .help("Of a helix, from middle to middle of the wire: about a third of the wavelength.");
/// Pitch of its coil.
pub const COIL_PITCH: Field<Degrees> = Field::quantity("coil_pitch", "pitch of the coil", Other, 5.0, 30.0)
    .help("Of a helix: how steeply the wire rises, 11 to 15 degrees.");
/// About which axis a pattern was measured.
pub const MEASURED_ABOUT: Field<str> =
    Field::choice("measured_about", "axis of the measured pattern", &["mast", "aim"])
        .help("Whether the angles of a measured pattern are counted off its mast or off the way it looks.");
/// State of a joint.
pub const JOINT: Field<str> =
    Field::choice("joint", "state of its joint", &["sound", "worn", "half unplugged"]).help(
        "A worn or pinched push-on plug takes 1 to 6 dB, one that is half out 20 to 35. Sound when left out.",
    );
/// Loss inside a socket's own match.
pub const SOCKET_VSWR: Field<Ratio> =
    Field::quantity("socket_vswr", "standing wave ratio of the socket", Exact, 1.0, 50.0)
        .or(1.5)
        .help("How well the unit itself is matched: 1.5 when left out, which is custom.");

/// Measured patterns.
pub mod cut {
    use super::*;

    /// Off the axis.
    pub const OFF: Field<Degrees> = Field::quantity("off", "angle off the axis", Exact, 0.0, 180.0)
        .core()
        .help("From the mast or from the way it looks.");
    /// Round the axis.
    pub const ROUND: Field<Degrees> = Field::quantity("round", "angle round the axis", Exact, -360.0, 360.0)
        .or(0.0)
        .help("Nought when left out: the pattern is round.");
    /// Gain there.
    pub const GAIN: Field<Dbi> = Field::quantity("gain", "gain", AntennaGain, -200.0, 40.0)
        .core()
        .help("Over an isotropic antenna, both polarisations together.");
    /// Hand there.
    pub const HAND: Field<str> = Field::choice("hand", "hand", &["right", "left"])
        .help("Which way the wave turns there; that of the antenna when left out. It wants an axial ratio beside it.");
    /// Axial ratio there.
    pub const AXIAL_RATIO: Field<Db> = Field::quantity("axial_ratio", "axial ratio", AntennaGain, 0.0, 60.0)
        .help("How far from round the wave is there, its long axis along the mast: in every row or in none.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "cut",
        one: "row of a pattern",
        many: "measured pattern",
        fields: &[OFF.def, ROUND.def, GAIN.def, HAND.def, AXIAL_RATIO.def],
        help: "The gain direction by direction, from the axis round to behind: 0 to 180 degrees off it, every angle off it with the same angles round it.",
    };
}

/// Connector type.
pub const CONNECTOR: Field<str> =
    Field::line("connector", "connector").core().help("As the trade names it; two ends must agree.");
/// Gender.
pub const GENDER: Field<str> = Field::choice("gender", "gender", &["pin", "socket"])
    .core()
    .help("Look into it: a pin or a hole in the middle. Outer threads do not tell.");
/// Length overall.
pub const ELEMENT_LENGTH: Field<Millimetres> = Field::quantity("length", "length", OuterSize, 1.0, 1000.0)
    .core()
    .help("From where it leaves its holder to its tip.");
/// Diameter of the stem.
pub const STEM_DIAMETER: Field<Millimetres> =
    Field::quantity("diameter", "stem diameter", OuterSize, 0.3, 50.0).core().help("Coax or stem.");
/// Active part at the tip.
pub const ACTIVE_LENGTH: Field<Millimetres> =
    Field::quantity("active", "active length", OuterSize, 1.0, 500.0).help(
        "The part at the tip that radiates: the last 25 to 35 mm of a whip, the cap of a circular one.",
    );
/// Diameter of the active part.
pub const CAP_DIAMETER: Field<Millimetres> =
    Field::quantity("cap_diameter", "cap diameter", OuterSize, 0.3, 100.0)
        .help("Diameter of the active part when it is wider than the stem.");
/// Stiff or bending.
pub const STIFF: Field<bool> = Field::flag("stiff", "stiff").help("A whip that bends counts at its worst.");

/// Coax type.
pub const COAX: Field<str> =
    Field::line("coax", "coax").help("Outer diameter or trade type: decides loss and bend.");
/// Coax diameter.
pub const COAX_DIAMETER: Field<Millimetres> =
    Field::quantity("coax_diameter", "coax diameter", OuterSize, 0.3, 10.0)
        .help("Five times this is its least bend radius.");
/// Loss.
pub const LOSS: Field<Db> = Field::quantity("loss", "loss at 5.8 GHz", Other, 0.0, 60.0)
    .help("Whole lead with its joints, if measured.");
/// Connector, first end.
pub const END_A: Field<str> =
    Field::line("end_a", "connector, first end").core().help("Toward the transmitter.");
/// Gender, first end.
pub const GENDER_A: Field<str> =
    Field::choice("gender_a", "gender, first end", &["pin", "socket"]).core().help("Toward the transmitter.");
/// Connector, other end.
pub const END_B: Field<str> =
    Field::line("end_b", "connector, second end").core().help("Toward the antenna.");
/// Gender, other end.
pub const GENDER_B: Field<str> =
    Field::choice("gender_b", "gender, second end", &["pin", "socket"]).core().help("Toward the antenna.");

/// Telemetry power of a control receiver.
pub const TELEMETRY: Field<Milliwatts> =
    Field::quantity("telemetry", "telemetry power", RadioLevel, 0.0, 5000.0).help("What it sends back.");
/// Control link band.
pub const CONTROL_BAND: Field<Megahertz> =
    Field::quantity("band", "band", Exact, 100.0, 6000.0).core().help("868, 915 or 2400 MHz.");
/// Update rate.
pub const UPDATE_RATE: Field<quantity::Hertz> =
    Field::quantity("update_rate", "update rate", Exact, 1.0, 5000.0).help("Frames a second.");
/// Antennas.
pub const ANTENNAS: Field<u32> =
    Field::how_many("antennas", "antennas", 1, 8).help("One, or two for diversity.");
/// How often a satellite receiver tells its place.
pub const FIX_RATE: Field<quantity::Hertz> =
    Field::quantity("update_rate", "update rate", Exact, 0.1, 100.0).help("Positions a second.");
/// Compass.
pub const COMPASS: Field<bool> =
    Field::flag("compass", "compass").help("Needs a bus beside its serial port.");
/// Supply current.
pub const CURRENT: Field<Amperes> =
    Field::quantity("current", "supply current", Other, 0.0, 20.0).help("From its rail.");
/// Mass, re-used by every kind.
pub const MASS: Field<Grams> = super::frame::MASS;
