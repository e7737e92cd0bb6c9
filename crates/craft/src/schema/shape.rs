//! Tables any part may carry: plugs, bare pads, extra bodies, hole patterns, ports, rails.
//!
//! All places are in the part frame. A coordinate left out is 0: that is how the sheet is meant.

use super::{Field, FieldDef, TableDef};
use quantity::{Amperes, Baud, Celsius, Degrees, DoubtKind::*, Millimetres, Percent, Volts};

/// The name of a row, by which messages and leads refer to it.
pub const NAME: Field<str> =
    Field::line("name", "name").core().help("What you call it; other entries refer to it by this name.");
/// Forward of the part's origin.
pub const X: Field<Millimetres> =
    Field::quantity("x", "x", OuterSize, -1000.0, 1000.0).or(0.0).help("Forward of the part's origin.");
/// Left of the part's origin.
pub const Y: Field<Millimetres> =
    Field::quantity("y", "y", OuterSize, -1000.0, 1000.0).or(0.0).help("Left of the part's origin.");
/// Above the part's origin.
pub const Z: Field<Millimetres> =
    Field::quantity("z", "z", OuterSize, -1000.0, 1000.0).or(0.0).help("Above the part's origin.");
/// Size along x.
pub const LENGTH: Field<Millimetres> =
    Field::quantity("length", "length", OuterSize, 0.05, 1000.0).core().help("Size along x.");
/// Size along y.
pub const WIDTH: Field<Millimetres> =
    Field::quantity("width", "width", OuterSize, 0.05, 1000.0).core().help("Size along y.");
/// Size along z.
pub const HEIGHT: Field<Millimetres> =
    Field::quantity("height", "height", ComponentHeight, 0.05, 500.0).core().help("Size along z.");

/// Directions along the axes of a part.
pub const DIRECTIONS: &[&str] = &["forward", "back", "left", "right", "up", "down"];

/// Plugs and sockets, card slots, buttons: whatever a hand or a tool must reach.
pub mod plug {
    use super::*;

    /// What the plug is for.
    pub const USE: Field<str> = Field::choice(
        "use",
        "use",
        &["power", "camera", "coax", "serial", "motor", "balance", "stack", "usb", "card", "button", "other"],
    )
    .core()
    .help("What it carries; card slots, USB sockets and buttons count as places that must stay reachable.");
    /// The type of plug, for mating.
    pub const TYPE: Field<str> = Field::line("type", "plug type")
        .core()
        .help("The type as the data sheet names it; two ends must agree.");
    /// Which half it is.
    pub const GENDER: Field<str> = Field::choice("gender", "gender", &["pin", "socket"]).help("Which half carries the centre contact as a pin; reversed-gender threaded sockets mate without contact.");
    /// Which face a flat harness meets.
    pub const FACE: Field<str> = Field::choice("face", "contact face", &["same", "opposite"]).help("For a harness: whether its two ends have their contacts on the same or on opposite faces. For a socket: which of the two it wants.");
    /// Which way it is pulled off.
    pub const PULL: Field<str> = Field::choice("pull", "pull direction", DIRECTIONS)
        .core()
        .help("Which way the plug comes off, seen in the part's own frame.");
    /// How far it must travel.
    pub const PULL_SPACE: Field<Millimetres> = Field::quantity("pull_space", "pull space", OuterSize, 0.5, 60.0)
        .help("Straight travel until the plug is free. Left out, custom applies: 6 mm for miniature coax, 5 for a camera harness, 10 for motor plugs, 15 for USB and cards, 8 otherwise.");
    /// Which way its lead leaves.
    pub const LEAVES: Field<str> = Field::choice("leaves", "lead leaves", DIRECTIONS).help("Which way the lead leaves the mated plug, seen in the part's own frame. Left out, a camera harness leaves the way it is pulled, and coax square to that.");
    /// How often it may be mated.
    pub const MATINGS: Field<u32> = Field::how_many("matings", "rated matings", 1, 100_000)
        .help("How often it may be plugged in its life.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "plug",
        one: "plug",
        many: "plugs and sockets",
        fields: &[
            NAME.def,
            USE.def,
            TYPE.def,
            GENDER.def,
            FACE.def,
            X.def,
            Y.def,
            Z.def,
            LENGTH.def,
            WIDTH.def,
            HEIGHT.def,
            PULL.def,
            PULL_SPACE.def,
            LEAVES.def,
            MATINGS.def,
        ],
        help: "Every plug, socket, card slot and button, with the mated plug's body: data sheets often leave it out of the outline. x, y, z is the middle of the body.",
    };
}

/// Bare conductors: pads, solder, screw terminals.
pub mod pad {
    use super::*;

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "pad",
        one: "pad",
        many: "bare pads",
        fields: &[NAME.def, X.def, Y.def, Z.def, LENGTH.def, WIDTH.def, HEIGHT.def],
        help: "Bare conductors that may touch carbon: pads with their solder, capacitor legs. x, y, z is the middle.",
    };
}

/// Further bodies: heat sinks, shields, fans.
pub mod body {
    use super::*;

    /// What the body is to its neighbours.
    pub const ROLE: Field<str> = Field::choice(
        "role",
        "role",
        &["component", "hot face", "bare conductor", "insulator", "keep clear", "antenna element", "soft"],
    )
    .core()
    .help("Says which clearances apply.");
    /// Its shape.
    pub const SHAPE: Field<str> = Field::choice("shape", "shape", &["box", "cylinder"])
        .core()
        .help("A cylinder stands along its axis; its length is the size along that axis.");
    /// The axis of a cylinder.
    pub const AXIS: Field<str> =
        Field::choice("axis", "axis", &["x", "y", "z"]).help("The axis of a cylinder; z when left out.");
    /// The diameter of a cylinder.
    pub const DIAMETER: Field<Millimetres> =
        Field::quantity("diameter", "diameter", OuterSize, 0.05, 500.0).help("For a cylinder.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "body",
        one: "body",
        many: "further bodies",
        fields: &[
            NAME.def,
            ROLE.def,
            SHAPE.def,
            AXIS.def,
            DIAMETER.def,
            X.def,
            Y.def,
            Z.def,
            LENGTH.def,
            WIDTH.def,
            HEIGHT.def,
        ],
        help: "Heat sinks, shields, fans and whatever stands out of the plain outline. x, y, z is the middle. A cylinder takes its diameter and its length.",
    };
}

/// Hole patterns.
pub mod pattern {
    use super::*;

    /// Which plate carries it.
    pub const PLATE: Field<str> = Field::line("plate", "plate")
        .help("On a frame or adapter: the plate that carries the holes. A board's own pattern needs none.");
    /// On which face of the plate things are mounted.
    pub const FACE: Field<str> = Field::choice("face", "mounting face", &["upper", "lower"])
        .help("The face of the plate things are mounted on; upper when left out.");
    /// Side of the hole square.
    pub const PITCH: Field<Millimetres> = Field::quantity("pitch", "pitch", HolePosition, 2.0, 200.0).core().help("Side of the hole square, middle to middle. Measure across the holes' outer edges and take one diameter off.");
    /// Other side, for an oblong.
    pub const PITCH_ACROSS: Field<Millimetres> =
        Field::quantity("pitch_across", "pitch across", HolePosition, 2.0, 200.0)
            .help("The other side, when the pattern is oblong: along y, while the pitch is along x.");
    /// Hole diameter.
    pub const HOLE: Field<Millimetres> = Field::quantity("hole", "hole diameter", HoleDiameter, 0.5, 20.0)
        .core()
        .help("Diameter of the holes; of the grommet's bore where a grommet stays in.");
    /// Turn of the pattern.
    pub const TURNED: Field<Degrees> = Field::quantity("turned", "turn", Exact, -180.0, 180.0)
        .or(0.0)
        .help("Turn of the square about z: 45° for boards set cornerwise.");
    /// Holes of a free pattern.
    pub const HOLES: Field<[[f64; 2]]> = Field::points("holes", "holes").help("Instead of a pitch: the holes one by one, from the pattern's middle. Never assume symmetry: video boards are often drilled off centre.");
    /// What the listed holes rest on.
    pub const HOLES_BASIS: Field<str> = Field::choice(
        "holes_basis",
        "basis of the holes",
        &["measured", "data sheet", "typical"],
    )
    .help(
        "What the holes listed one by one rest on: it says how far each may be off. Typical when left out.",
    );
    /// How far components stay away.
    pub const CLEAR: Field<Millimetres> =
        Field::quantity("clear", "diameter free of components", OuterSize, 1.0, 60.0)
            .help("On a board: the circle round each hole with no components and no copper in it. Left out, boards are taken to leave room for the head of the screw they name and no more.");
    /// What a screw passes.
    pub const THICKNESS: Field<Millimetres> =
        Field::quantity("thickness", "thickness at the holes", PlateThickness, 0.2, 50.0)
            .help("Transmitters and other units: what a screw passes there, the bare board or an ear of the case. Frames, adapters and boards say it elsewhere.");
    /// Threaded holes.
    pub const THREAD_DEPTH: Field<Millimetres> =
        Field::quantity("thread_depth", "thread depth", OuterSize, 0.3, 50.0)
            .help("Where the holes are threaded, as in a metal case: how deep the thread goes. Left out for plain holes.");
    /// The screw it is meant for.
    pub const SCREW: Field<str> =
        Field::choice("screw", "screw", super::super::fixing::THREADS).help("The screw that goes through.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "pattern",
        one: "hole pattern",
        many: "hole patterns",
        fields: &[
            NAME.def,
            PLATE.def,
            FACE.def,
            X.def,
            Y.def,
            PITCH.def,
            PITCH_ACROSS.def,
            HOLE.def,
            TURNED.def,
            HOLES.def,
            HOLES_BASIS.def,
            CLEAR.def,
            THICKNESS.def,
            THREAD_DEPTH.def,
            SCREW.def,
        ],
        help: "Each set of holes a board can be screwed to. x, y is its middle, in the plate's outline coordinates on a frame or adapter, in the part frame otherwise.",
    };
}

/// Serial ports.
pub mod port {
    use super::*;

    /// Which lines are brought out.
    pub const LINES: Field<str> = Field::choice("lines", "lines", &["both", "send only", "receive only"])
        .help("Which of the two lines is brought out.");
    /// Signal level.
    pub const LEVEL: Field<Volts> = Field::quantity("level", "signal level", Other, 0.5, 30.0)
        .help("Voltage of the high state: 3.3 V on most boards.");
    /// Highest level its receiver stands.
    pub const STANDS: Field<Volts> = Field::quantity("stands", "highest level it stands", Other, 0.5, 60.0)
        .help("What the receiving pin survives: 3.6 V, or 5.5 V where the data sheet says so.");
    /// Bit rate.
    pub const RATE: Field<Baud> = Field::quantity("rate", "bit rate", Exact, 300.0, 10_000_000.0)
        .help("For a unit that speaks at one rate only.");
    /// Inverter present.
    pub const INVERTER: Field<bool> =
        Field::flag("inverter", "inverter").help("Whether the port can invert its lines.");
    /// Lines idle low.
    pub const INVERTED: Field<bool> = Field::flag("inverted", "idles low").or(0.0).help(
        "Receivers and sensors: whether their lines idle low, so that the other end needs an inverter.",
    );
    /// Highest rate.
    pub const RATE_MAX: Field<Baud> =
        Field::quantity("rate_max", "highest bit rate", Exact, 300.0, 10_000_000.0)
            .help("Boards: the highest rate the port keeps up with, where the data sheet says one.");
    /// Kept for something on the board itself.
    pub const KEPT_FOR: Field<str> = Field::line("kept_for", "kept for")
        .help("Where the board itself uses the port, such as for a receiver built in: for what. It is not free then.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "port",
        one: "serial port",
        many: "serial ports",
        fields: &[
            NAME.def,
            LINES.def,
            LEVEL.def,
            STANDS.def,
            RATE.def,
            INVERTER.def,
            INVERTED.def,
            RATE_MAX.def,
            KEPT_FOR.def,
        ],
        help: "Serial ports with their lines and levels.",
    };
}

/// Supply rails a board offers.
pub mod rail {
    use super::*;

    /// Output.
    pub const OUT: Field<Volts> =
        Field::quantity("out", "output", Other, 0.5, 60.0).core().help("The voltage it gives.");
    /// Rated current.
    pub const CURRENT: Field<Amperes> = Field::quantity("current", "rated current", Other, 0.01, 100.0)
        .core()
        .help("What it carries for good; small boards in still air carry a quarter less.");
    /// Least input.
    pub const INPUT_MIN: Field<Volts> =
        Field::quantity("input_min", "least input", Other, 0.5, 100.0).help("Below this it drops out.");
    /// Greatest input.
    pub const INPUT_MAX: Field<Volts> = Field::quantity("input_max", "greatest input", Other, 0.5, 100.0)
        .help("Above this it may be destroyed.");
    /// How it makes its voltage.
    pub const CONVERSION: Field<str> =
        Field::choice("conversion", "kind of converter", &["step-down", "step-up", "linear"])
            .help("Left out, a rail above its greatest input counts as step-up, any other as step-down.");
    /// How far the input must lie above the output.
    pub const HEADROOM: Field<Volts> = Field::quantity("headroom", "headroom", Other, 0.0, 5.0)
        .help("By how much its input must lie above its output: 0.7 to 1.2 V for a step-down. Left out, the least input says it.");
    /// Efficiency.
    pub const EFFICIENCY: Field<Percent> = Field::quantity("efficiency", "efficiency", Other, 5.0, 99.9)
        .help("At half its current; 75 to 90 % by load when left out. A linear one burns the difference.");
    /// What a linear one takes itself.
    pub const OWN: Field<Amperes> = Field::quantity("own", "own current", Other, 0.0, 1.0)
        .help("Of a linear one: what it takes itself; 5 mA when left out.");
    /// Where derating begins.
    pub const DERATES_FROM: Field<Celsius> =
        Field::quantity("derates_from", "gives less from", Other, -40.0, 200.0)
            .help("Temperature about it from which it gives less than its rated current.");
    /// Where nothing is left.
    pub const DERATES_TO: Field<Celsius> =
        Field::quantity("derates_to", "gives nothing at", Other, -40.0, 250.0)
            .help("Temperature at which nothing of its current would be left, in a straight line.");
    /// What feeds it.
    pub const FROM: Field<str> = Field::line("from", "fed from the rail").help(
        "The name of another rail of this part that feeds it. Left out, it hangs on what feeds the part.",
    );

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "rail",
        one: "rail",
        many: "supply rails",
        fields: &[
            NAME.def,
            OUT.def,
            CURRENT.def,
            INPUT_MIN.def,
            INPUT_MAX.def,
            CONVERSION.def,
            HEADROOM.def,
            EFFICIENCY.def,
            OWN.def,
            DERATES_FROM.def,
            DERATES_TO.def,
            FROM.def,
        ],
        help: "The supply rails it offers to other parts.",
    };
}

/// Pin order of plugs.
pub mod pin {
    use super::*;

    /// Which plug.
    pub const PLUG: Field<str> = Field::line("plug", "plug")
        .core()
        .help("The name of the plug it belongs to; left out for a pad to be soldered.");
    /// Which pin.
    pub const NUMBER: Field<u32> = Field::how_many("number", "pin number", 1, 200)
        .core()
        .help("Counted from the mark on the plug, or along the edge of the board.");
    /// What it carries.
    pub const CARRIES: Field<str> = Field::line("carries", "what it carries")
        .core()
        .help("ground, 5 V, send, receive, and so on. Makers differ: never assume.");
    /// What it does.
    pub const ROLE: Field<str> = Field::choice("role", "what it does", super::super::wiring::ROLES)
        .core()
        .help("Seen from its own part: send is where this part talks, supply in is where it is fed.");
    /// Serial port.
    pub const PORT: Field<str> = Field::line("port", "serial port")
        .help("For send and receive: the name of the port whose line it is, for its level and rate.");
    /// Rail.
    pub const RAIL: Field<str> = Field::line("rail", "rail it gives")
        .help("For supply out: the name of the rail on this sheet, or pack where the pack comes through.");
    /// Least voltage.
    pub const LEAST: Field<Volts> = Field::quantity("least", "least voltage", Other, 0.5, 100.0)
        .help("For supply in: the least it works at. Left out, that of the part.");
    /// Greatest voltage.
    pub const GREATEST: Field<Volts> = Field::quantity("greatest", "greatest voltage", Other, 0.5, 100.0)
        .help("For supply in: the most it stands. Left out, that of the part.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "pin",
        one: "pin",
        many: "pads and pins",
        fields: &[
            NAME.def,
            PLUG.def,
            NUMBER.def,
            CARRIES.def,
            ROLE.def,
            PORT.def,
            RAIL.def,
            LEAST.def,
            GREATEST.def,
        ],
        help: "Every pad to be soldered and every pin of every plug, in their true order, with what it does. Wires of the craft name them.",
    };
}

/// The fields every row that has a place shares.
pub const PLACE_FIELDS: &[FieldDef] = &[X.def, Y.def, Z.def];
