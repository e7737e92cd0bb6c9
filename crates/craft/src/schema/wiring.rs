//! Which pad joins which, and what the ports of a craft are set to.
//!
//! Pads are rows of the table of pins on each part: those of a plug in the plug's order, those to be soldered in the
//! order of the board's edge. Wires are rows of the craft: they name pads of parts in their places. A wire that names a
//! plug at both ends stands for a ready-made lead, pin by pin.

use super::{Field, TableDef};
use quantity::{Baud, DoubtKind::*, Millimetres};

/// What a pad may do.
pub const ROLES: &[&str] = &[
    "ground",
    "supply in",
    "supply out",
    "send",
    "receive",
    "half duplex",
    "analogue in",
    "analogue out",
    "one wire",
    "bus",
    "camera lane",
    "motor phase",
    "nothing",
];

/// Colours of insulation.
pub const COLOURS: &[&str] =
    &["red", "black", "yellow", "white", "green", "blue", "orange", "brown", "purple", "grey"];

/// What a serial port may be set to serve.
pub const FUNCTIONS: &[&str] =
    &["nothing", "video", "control receiver", "satellite receiver", "speed telemetry", "other"];

/// Wires of a craft.
pub mod wire {
    use super::*;

    /// One end.
    pub const FROM: Field<str> = Field::plug_of_place("from", "pad it starts at")
        .core()
        .help("As place/pad, by the name printed beside the pad. place/plug at both ends stands for a ready-made lead, pin by pin.");
    /// The other end.
    pub const TO: Field<str> = Field::plug_of_place("to", "pad it ends at").core().help("As place/pad.");
    /// Gauge.
    pub const GAUGE: Field<u32> = Field::how_many("gauge", "gauge", 4, 40)
        .help("American gauge: a greater number is a thinner wire. Signals take 28 to 32, packs 12 to 20.");
    /// Colour.
    pub const COLOUR: Field<str> = Field::choice("colour", "colour", COLOURS)
        .help("Of its insulation. Black for ground and red for supply only: it saves a board one day.");
    /// Length as cut.
    pub const LENGTH: Field<Millimetres> = Field::quantity("length", "length", LeadLength, 1.0, 2000.0)
        .help("As cut. Left out, it is worked out from where the pads stand, with slack.");
    /// A remark.
    pub const NOTE: Field<str> = Field::line("note", "note").help("Anything worth remembering.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "wire",
        one: "wire",
        many: "wires",
        fields: &[FROM.def, TO.def, GAUGE.def, COLOUR.def, LENGTH.def, NOTE.def],
        help: "Which pad joins which: one row for each wire as it is soldered, or for a ready-made lead from plug to plug.",
    };
}

/// What the ports are set to.
pub mod port_set {
    use super::*;

    /// Which port.
    pub const PORT: Field<str> = Field::plug_of_place("port", "port")
        .core()
        .help("As place/port, by the name of the port on the sheet of the board.");
    /// What it serves.
    pub const FUNCTION: Field<str> = Field::choice("function", "function as set", FUNCTIONS)
        .core()
        .help("As read back from the board, not as remembered.");
    /// At what rate.
    pub const RATE: Field<Baud> = Field::quantity("rate", "bit rate as set", Exact, 300.0, 10_000_000.0)
        .help("As read back. Left out where the board finds it by itself.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "port_set",
        one: "port setting",
        many: "settings of the ports",
        fields: &[PORT.def, FUNCTION.def, RATE.def],
        help: "What each serial port of a flight controller is set to, as read back from it.",
    };
}

/// The tables of a craft.
pub const TABLES: &[TableDef] = &[wire::TABLE, port_set::TABLE];
