//! Motors, blades, packs, capacitors.

use super::{Field, TableDef};
use quantity::{
    Amperes, Celsius, Count, DoubtKind::*, Grams, GramsForce, Microfarads, MilliampereHours, Millimetres,
    Milliohms, Percent, Rpm, RpmPerVolt, Seconds, Volts,
};

/// Bell diameter.
pub const BELL_DIAMETER: Field<Millimetres> =
    Field::quantity("bell_diameter", "bell diameter", OuterSize, 3.0, 200.0)
        .core()
        .help("Across the turning bell.");
/// Height to the blade seat.
pub const MOTOR_HEIGHT: Field<Millimetres> = Field::quantity("height", "height", OuterSize, 3.0, 200.0)
    .core()
    .help("From the base to the face the blades sit on.");
/// Stator size.
pub const STATOR: Field<str> =
    Field::line("stator", "stator").help("Diameter and height as four figures, such as 1404.");
/// Speed constant.
pub const KV: Field<RpmPerVolt> = Field::quantity("kv", "speed constant", Other, 100.0, 60_000.0)
    .core()
    .help("Unloaded turns a minute for each volt.");
/// Bolt circle.
pub const BOLT_CIRCLE: Field<Millimetres> =
    Field::quantity("bolt_circle", "bolt circle", HolePosition, 3.0, 60.0)
        .help("Diameter of the circle its screws lie on.");
/// Screw.
pub const SCREW: Field<str> =
    Field::choice("screw", "screw", super::fixing::THREADS).help("The screw its base takes.");
/// Thread depth.
pub const SCREW_DEPTH: Field<Millimetres> =
    Field::quantity("screw_depth", "safe screw depth", OuterSize, 0.5, 30.0)
        .core()
        .help("From the base to the windings: a screw tip nearer than 0.5 mm burns the motor.");
/// Shaft.
pub const SHAFT: Field<Millimetres> =
    Field::quantity("shaft", "shaft diameter", HoleDiameter, 0.5, 12.0).help("Must suit the blades' hub.");
/// Pole pairs.
pub const POLE_PAIRS: Field<u32> =
    Field::how_many("pole_pairs", "pole pairs", 1, 40).help("Six or seven as a rule.");
/// Current at full throttle.
pub const CURRENT_FULL: Field<Amperes> =
    Field::quantity("current_full", "current at full throttle", MotorFull, 0.1, 500.0)
        .help("With the blades of this craft.");
/// Thrust at full throttle.
pub const THRUST_FULL: Field<GramsForce> =
    Field::quantity("thrust_full", "thrust at full throttle", MotorFull, 1.0, 50_000.0)
        .core()
        .help("With the blades and the cells of this craft, from a stand: in flight less.");
/// Fewest cells.
pub const CELLS_MIN: Field<u32> =
    Field::how_many("cells_min", "fewest cells", 1, 16).help("From the data sheet.");
/// Most cells.
pub const CELLS_MAX: Field<u32> =
    Field::how_many("cells_max", "most cells", 1, 16).help("From the data sheet.");

/// Stand measurements.
pub mod thrust {
    use super::*;

    /// Throttle.
    pub const THROTTLE: Field<Percent> =
        Field::quantity("throttle", "throttle", Exact, 0.0, 100.0).core().help("Share of full throttle.");
    /// Thrust.
    pub const THRUST: Field<GramsForce> = Field::quantity("thrust", "thrust", MotorFull, 0.0, 50_000.0)
        .core()
        .help("Of one motor with its blades.");
    /// Current.
    pub const CURRENT: Field<Amperes> =
        Field::quantity("current", "current", MotorFull, 0.0, 500.0).help("Of one motor.");
    /// Speed.
    pub const SPEED: Field<Rpm> =
        Field::quantity("speed", "speed", Other, 0.0, 500_000.0).help("Turns a minute.");

    /// Voltage.
    pub const VOLTAGE: Field<Volts> = Field::quantity("voltage", "voltage", Other, 1.0, 100.0)
        .help("At the controller while it was read; the nominal voltage of the craft's pack when left out.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "thrust",
        one: "stand point",
        many: "stand measurements",
        fields: &[THROTTLE.def, THRUST.def, CURRENT.def, VOLTAGE.def, SPEED.def],
        help: "One motor with the blades of this craft on a stand, by throttle.",
    };
}

/// Blade diameter.
pub const DIAMETER: Field<Millimetres> = Field::quantity("diameter", "diameter", OuterSize, 10.0, 1000.0)
    .core()
    .help("Tip to tip as it turns. 1 inch is 25.4 mm.");
/// Pitch.
pub const PITCH: Field<Millimetres> =
    Field::quantity("pitch", "pitch", OuterSize, 1.0, 1000.0).help("Advance in one turn.");
/// Blades.
pub const BLADES: Field<u32> = Field::how_many("blades", "blades", 1, 12).help("How many.");
/// Height of the swept disc.
pub const SWEEP_HEIGHT: Field<Millimetres> =
    Field::quantity("sweep_height", "height swept", OuterSize, 0.5, 80.0)
        .core()
        .help("Thickness of the disc the blades sweep, hub included.");
/// Hub bore.
pub const HUB: Field<Millimetres> =
    Field::quantity("hub", "hub bore", HoleDiameter, 0.5, 12.0).help("Must suit the motor's shaft.");
/// Which way it pulls.
pub const HAND: Field<str> = Field::choice("hand", "direction of turn", &["clockwise", "anticlockwise"])
    .core()
    .help("Which way it must turn, seen from above, to push air down.");

/// Chemistry.
pub const CHEMISTRY: Field<str> = Field::choice(
    "chemistry",
    "chemistry",
    &["lithium polymer", "lithium polymer, high voltage", "lithium ion"],
)
.core()
.help("Charge it as this and nothing else.");
/// Cells.
pub const CELLS: Field<u32> = Field::how_many("cells", "cells in series", 1, 16).core().help("In series.");
/// Charge.
pub const CHARGE: Field<MilliampereHours> =
    Field::quantity("charge", "charge", Other, 10.0, 100_000.0).core().help("As printed.");
/// Cell resistance.
pub const CELL_RESISTANCE: Field<Milliohms> =
    Field::quantity("cell_resistance", "resistance of a cell", CellResistance, 0.1, 1000.0)
        .help("Measured warm and full: printed discharge rates are advertising.");
/// Claimed rate.
pub const CLAIMED_RATE: Field<Count> =
    Field::quantity("claimed_rate", "claimed discharge rate", Exact, 1.0, 500.0)
        .help("Printed, in multiples of its charge an hour; nothing is computed from it.");
/// Connector.
pub const CONNECTOR: Field<str> = Field::line("connector", "connector").help("Of the pack lead.");
/// Connector resistance.
pub const CONNECTOR_RESISTANCE: Field<Milliohms> =
    Field::quantity("connector_resistance", "connector resistance", Other, 0.01, 200.0).help("Of the pair.");
/// What the connector carries.
pub const CONNECTOR_CURRENT: Field<Amperes> =
    Field::quantity("connector_current", "connector current", Other, 0.1, 500.0)
        .help("What the pair carries for long; small pins heat up and drop the voltage.");
/// Lead length.
pub const LEAD: Field<Millimetres> =
    Field::quantity("lead", "lead length", LeadLength, 5.0, 1000.0).help("From cell to connector.");
/// Gauge of its lead.
pub const LEAD_GAUGE: Field<u32> = Field::how_many("lead_gauge", "gauge of the lead", 4, 36)
    .help("American wire gauge, as printed on the insulation: a greater number is a thinner wire.");
/// Strings in parallel.
pub const PARALLEL: Field<u32> = Field::how_many("parallel", "strings in parallel", 1, 16)
    .or(1.0)
    .help("Strings of cells that share the current; one when left out.");
/// Capacity left.
pub const CHARGE_LEFT: Field<Percent> =
    Field::quantity("charge_left", "charge left by age", Other, 20.0, 120.0).help(
        "What it still takes of the printed charge, by a charger that counts; all of it when left out.",
    );
/// Resistance when new.
pub const RESISTANCE_NEW: Field<Milliohms> =
    Field::quantity("resistance_new", "resistance of a cell when new", CellResistance, 0.1, 1000.0)
        .help("As first measured: what it has risen by is its age.");

/// The user's own load test.
pub mod load_test {
    use super::*;

    /// Current drawn.
    pub const CURRENT: Field<Amperes> = Field::quantity("current", "current", Other, 0.0, 1000.0)
        .core()
        .help("What the pack gave; nothing is allowed for the lesser load.");
    /// What the pack showed.
    pub const VOLTAGE: Field<Volts> = Field::quantity("voltage", "voltage", PackReading, 1.0, 100.0)
        .core()
        .help("Of the whole pack at its balance lead, so that plug and leads do not count.");
    /// How long.
    pub const HELD: Field<Seconds> = Field::quantity("held", "held for", Exact, 0.1, 120.0)
        .help("How long the load was held before reading: 2 to 10 seconds; 5 when left out.");
    /// Temperature.
    pub const TEMPERATURE: Field<Celsius> =
        Field::quantity("temperature", "temperature of the pack", Exact, -20.0, 60.0)
            .help("While testing; 25 °C when left out.");
    /// Charge.
    pub const CHARGE: Field<Percent> = Field::quantity("charge", "charge while testing", Exact, 0.0, 100.0)
        .help("Share of its charge; half when left out, where a test tells most.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "load_test",
        one: "load",
        many: "load test",
        fields: &[CURRENT.def, VOLTAGE.def, HELD.def, TEMPERATURE.def, CHARGE.def],
        help: "Two rows: the pack at a small and at a great load. Its resistance then comes from them and not from the sheet.",
    };
}

/// Cells one by one.
pub mod cell {
    use super::*;

    /// Resistance now.
    pub const NOW: Field<Milliohms> = Field::quantity("now", "resistance now", CellResistance, 0.1, 1000.0)
        .core()
        .help("As last measured.");
    /// Resistance when new.
    pub const NEW: Field<Milliohms> =
        Field::quantity("new", "resistance when new", CellResistance, 0.1, 1000.0).help("As first measured.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "cell",
        one: "cell",
        many: "cells one by one",
        fields: &[NOW.def, NEW.def],
        help: "A row for each cell in series, from the negative lead: what a cell meter shows. The worst one decides.",
    };
}

/// Capacitance.
pub const CAPACITANCE: Field<Microfarads> =
    Field::quantity("capacitance", "capacitance", Other, 0.01, 100_000.0).core().help("As printed.");
/// Rated voltage.
pub const RATED: Field<Volts> = Field::quantity("rated", "rated voltage", Exact, 1.0, 500.0)
    .core()
    .help("At least 1.3 times the full pack.");
/// Series resistance.
pub const ESR: Field<Milliohms> =
    Field::quantity("esr", "series resistance", Other, 0.1, 10_000.0).help("Low types: 15 to 40 mΩ.");
/// Which way round it goes.
pub const POLARITY: Field<str> = Field::choice("polarity", "which way round", &[ONE_WAY, EITHER_WAY]).help(
    "A can with a stripe goes one way: the stripe marks minus, and the other way it bursts. A ceramic block goes either way.",
);
/// A capacitor with a plus and a minus.
pub const ONE_WAY: &str = "one way";
/// A capacitor without.
pub const EITHER_WAY: &str = "either way";
/// Ripple current.
pub const RIPPLE: Field<Amperes> =
    Field::quantity("ripple", "ripple current", Other, 0.0, 100.0).help("From the data sheet.");
/// Diameter.
pub const CAN_DIAMETER: Field<Millimetres> = Field::quantity("diameter", "diameter", OuterSize, 1.0, 80.0)
    .core()
    .help("Of the can, which lies along x.");
/// Length.
pub const CAN_LENGTH: Field<Millimetres> =
    Field::quantity("length", "length", OuterSize, 1.0, 150.0).core().help("Of the can, legs left out.");
/// Mass of a unit.
pub const MASS: Field<Grams> = super::frame::MASS;
