//! Ground stations: where the pilot stands, what antennas stand there, and what stands about.
//!
//! The station is the middle of its own place: x runs ahead along the flying line, y to the left, z up from the
//! ground, in metres. Where it stands and which way it looks is a plan, so these numbers carry no doubt.

use super::{Field, TableDef, air, shape};
use quantity::{Db, Degrees, DoubtKind::*, Metres, Millimetres, Ratio};

/// What is about.
pub const SURROUNDINGS: Field<str> =
    Field::choice("surroundings", "surroundings", &["open field", "park", "yard", "woodland", "hall"])
        .core()
        .help("Says how strongly reflections come and go: least in an open field, most in a hall.");
/// Steady over scattered power.
pub const RICIAN: Field<Db> = Field::quantity("rician", "Rician factor", Other, -20.0, 20.0)
    .help("Steady over scattered power, if a log told it; otherwise that of the surroundings is taken.");
/// What the ground is.
pub const GROUND: Field<str> = Field::choice(
    "ground",
    "ground",
    &["very dry ground", "medium dry ground", "wet ground", "concrete", "wood"],
)
.core()
.help("Grass on soil counts as medium dry, after rain as wet; asphalt as very dry. A hall has concrete or wood.");
/// How uneven it is.
pub const ROUGHNESS: Field<Millimetres> =
    Field::quantity("roughness", "roughness of the ground", Exact, 0.0, 1000.0)
        .core()
        .help("Standard deviation of its height: asphalt 2 mm, mown grass 10, meadow 30, ploughed field 80.");
/// Rain.
pub const WEATHER: Field<str> = Field::choice("weather", "weather", &["dry", "shower", "cloudburst"])
    .help("A shower brings 10 mm/h, a cloudburst 100; both cost less than a decibel a kilometre. Dry when left out.");
/// How alike the inputs fade.
pub const CORRELATION: Field<Ratio> = Field::quantity("correlation", "correlation of the inputs", Exact, 0.0, 0.95)
    .or(0.3)
    .help("How alike the antennas fade: 0 for antennas that look different ways, 0.3 from 5 cm apart (taken when left out).");

/// Antennas as they stand.
pub mod antenna {
    use super::*;

    /// Ahead.
    pub const AHEAD: Field<Metres> = Field::quantity("ahead", "ahead", Exact, -100.0, 100.0)
        .or(0.0)
        .help("Along the flying line from where the pilot stands; nought when left out.");
    /// Aside.
    pub const ASIDE: Field<Metres> = Field::quantity("aside", "aside", Exact, -100.0, 100.0)
        .or(0.0)
        .help("To the left of the flying line, to the right below nought; nought when left out.");
    /// Height.
    pub const HEIGHT: Field<Metres> = Field::quantity("height", "height above the ground", Exact, 0.0, 100.0)
        .core()
        .help("Of the middle of the antenna. Above heads, or people stand in the way: 2 m and more.");
    /// Aim.
    pub const AIM: Field<Degrees> = Field::quantity("aim", "aim", Exact, -360.0, 360.0)
        .or(0.0)
        .help("Which way it looks, from the flying line, left positive; nought when left out.");
    /// Elevation.
    pub const ELEVATION: Field<Degrees> = Field::quantity("elevation", "elevation", Exact, -90.0, 90.0)
        .or(0.0)
        .help("How far an aimed antenna looks up; a mast leans back from its aim by as much. Nought when left out.");
    /// Roll about its aim.
    pub const LEAN: Field<Degrees> = Field::quantity("lean", "lean to the right", Exact, -180.0, 180.0)
        .or(0.0)
        .help("Turned about the line it looks along, right side down positive; nought when left out.");
    /// Coax between it and the receiver.
    pub const COAX: Field<str> = Field::choice(
        "coax",
        "coax",
        &["none", "0.81 mm", "1.13 mm", "1.37 mm", "1.8 mm", "2.2 mm semi-rigid", "2.5 mm"],
    )
    .core()
    .help("By its outer diameter; none where the antenna sits on the receiver.");
    /// Its length.
    pub const COAX_LENGTH: Field<Metres> =
        Field::quantity("coax_length", "length of the coax", Other, 0.0, 100.0).help(
            "A metre of thin coax takes half the power and more: put the receiver up, not the antenna alone.",
        );
    /// Loss, measured.
    pub const LOSS: Field<Db> = Field::quantity("loss", "loss of the feed", Other, 0.0, 60.0)
        .help("Coax, joints and adapters together, if measured: it wins over coax and length.");
    /// Adapters.
    pub const ADAPTERS: Field<u32> = Field::how_many("adapters", "adapters", 0, 10)
        .or(0.0)
        .help("Between antenna and receiver: each is a joint more. None when left out.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "antenna",
        one: "antenna",
        many: "antennas",
        fields: &[
            shape::NAME.def,
            AHEAD.def,
            ASIDE.def,
            HEIGHT.def,
            AIM.def,
            ELEVATION.def,
            LEAN.def,
            air::ELEMENT.def,
            air::HAND.def,
            air::GAIN.def,
            air::AXIAL_RATIO.def,
            air::VSWR.def,
            air::BEAM_WIDTH.def,
            air::FRONT_TO_BACK.def,
            air::TURNS.def,
            air::COIL_DIAMETER.def,
            air::COIL_PITCH.def,
            air::MEASURED_ABOUT.def,
            COAX.def,
            COAX_LENGTH.def,
            LOSS.def,
            ADAPTERS.def,
            air::JOINT.def,
        ],
        help: "Each antenna of the receiver as it stands: where, how high, which way it looks, what hand it has.",
    };
}

/// Measured patterns of antennas.
pub mod cut {
    use super::*;

    /// Of which antenna of the station.
    pub const ANTENNA: Field<str> = Field::line("antenna", "antenna")
        .core()
        .help("The name of the antenna of this station that it was measured of.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "cut",
        one: "row of a pattern",
        many: "measured patterns",
        fields: &[
            ANTENNA.def,
            air::cut::OFF.def,
            air::cut::ROUND.def,
            air::cut::GAIN.def,
            air::cut::HAND.def,
            air::cut::AXIAL_RATIO.def,
        ],
        help: "The gain of a measured antenna, direction by direction.",
    };
}

/// What stands in the way.
pub mod obstacle {
    use super::*;

    /// What it is.
    pub const FORM: Field<str> = Field::choice("form", "form", &["wall", "building", "trees"])
        .core()
        .help("A building is four walls; trees are a hedge, a row or a wood.");
    /// Of what.
    pub const MATERIAL: Field<str> = Field::choice(
        "material",
        "material",
        &[
            "concrete",
            "brick",
            "plasterboard",
            "wood",
            "glass",
            "ceiling board",
            "chipboard",
            "plywood",
            "marble",
            "metal",
        ],
    )
    .help("Of the walls. Sheet roofing and foil in the wall count as metal.");
    /// Ahead.
    pub const AHEAD: Field<Metres> = Field::quantity("ahead", "ahead", Exact, -5000.0, 5000.0)
        .core()
        .help("Its middle, along the flying line from where the pilot stands.");
    /// Aside.
    pub const ASIDE: Field<Metres> = Field::quantity("aside", "aside", Exact, -5000.0, 5000.0)
        .or(0.0)
        .help("Its middle, to the left of the flying line; nought when left out.");
    /// Across the line.
    pub const WIDTH: Field<Metres> = Field::quantity("width", "width", Exact, 0.1, 2000.0)
        .core()
        .help("Across the flying line, before it is turned.");
    /// Along the line.
    pub const DEPTH: Field<Metres> = Field::quantity("depth", "depth", Exact, 0.1, 2000.0)
        .help("Along the flying line, before it is turned: of a building or of trees.");
    /// Height.
    pub const HEIGHT: Field<Metres> =
        Field::quantity("height", "height", Exact, 0.1, 500.0).core().help("From the ground to its top.");
    /// Turn.
    pub const TURN: Field<Degrees> = Field::quantity("turn", "turn", Exact, -360.0, 360.0)
        .or(0.0)
        .help("Seen from above, left positive; nought when left out: it stands square to the line.");
    /// Thickness of a wall.
    pub const THICKNESS: Field<Millimetres> =
        Field::quantity("thickness", "thickness of the wall", Exact, 0.1, 5000.0)
            .help("Of one wall. Sheet metal of half a millimetre stops as much as a metre of brick.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "obstacle",
        one: "obstacle",
        many: "obstacles",
        fields: &[
            shape::NAME.def,
            FORM.def,
            MATERIAL.def,
            AHEAD.def,
            ASIDE.def,
            WIDTH.def,
            DEPTH.def,
            HEIGHT.def,
            TURN.def,
            THICKNESS.def,
        ],
        help: "Walls, buildings and trees between the station and where the craft flies.",
    };
}
