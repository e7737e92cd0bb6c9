//! Ground receivers and displays.

use super::{Field, TableDef};
use quantity::{Dbm, Degrees, DoubtKind::*, Hertz, Megahertz, Milliseconds, Volts};

/// Antenna inputs.
pub const INPUTS: Field<u32> =
    Field::how_many("inputs", "antenna inputs", 1, 16).core().help("Two to four as a rule.");
/// What it does with several inputs.
pub const DIVERSITY: Field<str> = Field::choice("diversity", "diversity", &["selection", "combining"])
    .help("Selection takes the better input, combining adds both.");
/// Noise figure.
pub const NOISE_FIGURE: Field<quantity::Db> =
    Field::quantity("noise_figure", "noise figure", ReceiverThreshold, 0.0, 30.0)
        .help("Six decibels as a rule.");
/// Greatest supply.
pub const SUPPLY_MIN: Field<Volts> = Field::quantity("supply_min", "least supply", Other, 0.5, 100.0)
    .help("Below this the picture drops out.");
/// Least supply.
pub const SUPPLY_MAX: Field<Volts> = Field::quantity("supply_max", "greatest supply", Other, 0.5, 100.0)
    .help("Above this it may be destroyed.");
/// Recorder.
pub const RECORDER: Field<bool> =
    Field::flag("recorder", "recorder").help("Whether it records what it shows.");
/// Own screen.
pub const SCREEN: Field<bool> = Field::flag("screen", "own screen")
    .help("Whether it shows the picture itself or hands it to a display by cable.");

/// What it gives out for a screen elsewhere.
pub const OUTPUT: Field<str> = Field::line("output", "picture output")
    .help("The cable or link to a display; none where only its own screen shows.");
/// Reception thresholds.
pub mod threshold {
    use super::*;
    use crate::schema::shape::NAME;

    /// Occupied width.
    pub const WIDTH: Field<Megahertz> =
        Field::quantity("width", "width", Exact, 0.1, 500.0).core().help("Of the mode.");
    /// Level at which the picture breaks.
    pub const LEVEL: Field<Dbm> = Field::quantity("level", "weakest level", ReceiverThreshold, -130.0, 0.0)
        .core()
        .help("The level at which the picture breaks; measure it with attenuators if you can. Where it is not known, the ratio over noise stands in, with the noise figure of the receiver: 6 to 12 dB are usual.");
    /// Needed over the noise.
    pub const RATIO: Field<quantity::Db> =
        Field::quantity("ratio", "ratio over noise", ReceiverThreshold, -20.0, 50.0)
            .help("Where the threshold itself is not known: what the mode needs over the noise, 6 to 12 dB.");

    /// Margin from which the picture is whole.
    pub const WHOLE: Field<quantity::Db> = Field::quantity("whole", "whole from", Exact, 0.0, 30.0)
        .help("Over the threshold: below it the picture breaks into blocks, from here on it is whole. Usual is 3 dB; measure it with attenuators.");
    /// Margin from which the picture is clean.
    pub const CLEAN: Field<quantity::Db> = Field::quantity("clean", "clean from", Exact, 0.0, 40.0)
        .help("Over the threshold: from here on nothing is lost of the picture. Usual is 6 dB; light encoders want up to 8, heavy ones 4.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "threshold",
        one: "threshold",
        many: "thresholds",
        fields: &[NAME.def, WIDTH.def, LEVEL.def, RATIO.def, WHOLE.def, CLEAN.def],
        help: "Weakest level at which each mode holds.",
    };
}

/// Pixels across.
pub const ACROSS: Field<u32> =
    Field::how_many("across", "pixels across", 100, 20_000).core().help("Of one eye.");
/// Pixels down.
pub const DOWN: Field<u32> = Field::how_many("down", "pixels down", 100, 20_000).core().help("Of one eye.");
/// Rate.
pub const RATE: Field<Hertz> =
    Field::quantity("rate", "frame rate", Exact, 1.0, 1000.0).help("Frames a second.");
/// View angle.
pub const VIEW: Field<Degrees> =
    Field::quantity("view", "view angle", ViewAngle, 5.0, 180.0).help("Diagonal, as the eye sees it.");
/// Latency.
pub const LATENCY: Field<Milliseconds> =
    Field::quantity("latency", "latency", Other, 0.0, 1000.0).help("From its input to the eye.");
/// Input.
pub const INPUT: Field<str> = Field::line("input", "input").help("What cable or unit it takes.");
/// A pack of its own.
pub const OWN_PACK: Field<bool> = Field::flag("own_pack", "own pack")
    .help("Whether it runs from a pack of its own: when that is flat, the picture goes.");
/// Fan.
pub const FAN: Field<bool> = Field::flag("fan", "fan").help("Whether it has one.");
