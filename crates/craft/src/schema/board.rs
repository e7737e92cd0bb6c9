//! Flight controllers, speed controllers and boards that are both.

use super::Field;
use quantity::{Amperes, DoubtKind::*, Hertz, Millimetres, Ratio, Watts};

/// Thickness of the bare board.
pub const BOARD: Field<Millimetres> = Field::quantity("board", "board thickness", PlateThickness, 0.3, 5.0)
    .core()
    .help("The bare laminate: 1.0 to 1.6 mm.");
/// Parts above the board.
pub const ABOVE: Field<Millimetres> =
    Field::quantity("above", "height above the board", ComponentHeight, 0.0, 40.0)
        .core()
        .help("Height of the highest component over the board's upper face, plugs left out.");
/// Parts below the board.
pub const BELOW: Field<Millimetres> =
    Field::quantity("below", "depth below the board", ComponentHeight, 0.0, 40.0)
        .core()
        .help("Depth of the lowest component under the board's lower face.");
/// Processor family.
pub const PROCESSOR: Field<str> = Field::line("processor", "processor").help("As printed.");
/// Current scale.
pub const CURRENT_SCALE: Field<Ratio> =
    Field::quantity("current_scale", "current scale", Other, 0.0, 100_000.0)
        .help("As the maker states it, in tenths of a millivolt of its sensor for each ampere.");
/// Voltage scale.
pub const VOLTAGE_SCALE: Field<Ratio> =
    Field::quantity("voltage_scale", "voltage scale", Other, 0.0, 100_000.0).help("As the maker states it.");
/// Log memory.
pub const LOG_MEMORY: Field<str> = Field::choice("log_memory", "log memory", &["none", "chip", "card"])
    .help("Where it keeps its flight log.");
/// Pads for analogue video.
pub const ANALOGUE_PADS: Field<str> =
    Field::choice("analogue_pads", "analogue video pads", &["none", "in", "out", "in and out"])
        .help("Pads for a camera in, a transmitter out, or both. A digital system needs neither.");
/// Arrow direction.
pub const ARROW: Field<str> = Field::choice("arrow", "arrow", super::shape::DIRECTIONS)
    .help("Which way its arrow points in the part's frame: forward unless printed otherwise.");
/// Continuous current.
pub const CONTINUOUS: Field<Amperes> =
    Field::quantity("continuous", "continuous current", Other, 0.5, 500.0).core().help("For each motor.");
/// Burst current.
pub const BURST: Field<Amperes> =
    Field::quantity("burst", "burst current", Other, 0.5, 800.0).help("For ten seconds, in wind.");
/// Fewest cells.
pub const CELLS_MIN: Field<u32> =
    Field::how_many("cells_min", "fewest cells", 1, 16).help("From the data sheet.");
/// Most cells.
pub const CELLS_MAX: Field<u32> =
    Field::how_many("cells_max", "most cells", 1, 16).help("From the data sheet.");
/// Pads for the bus capacitor.
pub const CAPACITOR_PADS: Field<bool> = Field::flag("capacitor_pads", "capacitor pads")
    .help("Whether it has pads of its own for the capacitor on the pack lead.");
/// What the board takes itself.
pub const OWN_DRAW: Field<Watts> = Field::quantity("own_draw", "own power", Other, 0.0, 50.0)
    .help("What it takes for itself from what feeds it; 0.8 W, give or take half of that, when left out.");
/// How often the motors are switched.
pub const SWITCHING: Field<Hertz> =
    Field::quantity("switching", "switching rate", Exact, 1_000.0, 1_000_000.0)
        .help("How often it switches the motors: 24 to 96 kHz. The ripple on the supply goes with it.");
/// Telemetry.
pub const TELEMETRY: Field<bool> =
    Field::flag("telemetry", "telemetry line").help("Whether it reports speed or temperature on a wire.");
