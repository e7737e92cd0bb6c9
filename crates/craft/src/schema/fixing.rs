//! Adapters, spacers, soft mounts, printed parts, screws.

use super::Field;
use quantity::{Celsius, DoubtKind::*, Millimetres};

/// Threads the tool knows, ISO metric coarse.
pub const THREADS: &[&str] = &["M1.4", "M1.6", "M2", "M2.5", "M3", "M4", "M5"];

/// Outer diameter of a spacer or grommet.
pub const OUTER: Field<Millimetres> =
    Field::quantity("outer", "outer diameter", OuterSize, 1.0, 80.0).core().help("Of each one.");
/// Bore.
pub const BORE: Field<Millimetres> =
    Field::quantity("bore", "bore", HoleDiameter, 0.5, 40.0).help("The hole through it.");
/// Height of a spacer.
pub const SPACER_HEIGHT: Field<Millimetres> =
    Field::quantity("height", "height", OuterSize, 0.1, 100.0).core().help("What it holds apart.");
/// Height of a soft mount under load.
pub const LOADED_HEIGHT: Field<Millimetres> =
    Field::quantity("height", "height under load", SoftMount, 0.1, 60.0)
        .core()
        .help("As squeezed by its screw: it gives 0.3 to 0.8 mm.");
/// How far it lets the board move.
pub const PLAY: Field<Millimetres> = Field::quantity("play", "play", Exact, 0.0, 10.0)
    .help("How far the board may move on it, each way; half a millimetre as a rule.");
/// How many.
pub const COUNT: Field<u32> =
    Field::how_many("count", "how many", 1, 64).core().help("In one place, one at each hole.");
/// Material of a spacer.
pub const MATERIAL: Field<str> = Field::choice("material", "material", super::frame::MATERIALS)
    .help("Says whether it conducts and what heat it stands.");
/// Softening temperature.
pub const SOFTENS: Field<Celsius> = Field::quantity("softens", "softens at", Other, 40.0, 400.0)
    .help("Common plastics soften between 55 and 80 °C.");

/// Size of a printed part along x.
pub const LENGTH: Field<Millimetres> =
    Field::quantity("length", "length", PrintedSize, 0.3, 500.0).core().help("Along x.");
/// Size of a printed part along y.
pub const WIDTH: Field<Millimetres> =
    Field::quantity("width", "width", PrintedSize, 0.3, 500.0).core().help("Along y.");
/// Size of a printed part along z.
pub const HEIGHT: Field<Millimetres> =
    Field::quantity("height", "height", PrintedSize, 0.3, 500.0).core().help("Along z.");

/// What a printed part holds still.
pub const HOLDS: Field<str> = Field::choice("holds", "holds still", &[HOLDS_TILT])
    .help("A wedge under a camera: that it stops the tilt is what it is for.");
/// The word for a print that holds the tilt of a camera.
pub const HOLDS_TILT: &str = "camera tilt";

/// What kind of strain relief.
pub const RELIEF_FORM: Field<str> =
    Field::choice("form", "form", &["clamp bar", "tie", "flexible glue", "keeper"])
        .help("A clamp bar of the maker, a tie through two holes, a dab of flexible glue, a printed keeper.");

/// Screw thread.
pub const THREAD: Field<str> = Field::choice("thread", "thread", THREADS).core().help("ISO metric coarse.");
/// Screw length.
pub const SCREW_LENGTH: Field<Millimetres> = Field::quantity("length", "length", Exact, 1.0, 120.0)
    .core()
    .help("Under the head, as sold; the whole length for a countersunk one.");
/// Head kind.
pub const HEAD: Field<str> = Field::choice("head", "head", &["button", "cap", "countersunk", "flat"])
    .core()
    .help("Says its size where none is given.");
/// Head diameter.
pub const HEAD_DIAMETER: Field<Millimetres> =
    Field::quantity("head_diameter", "head diameter", OuterSize, 1.0, 30.0)
        .help("Left out, custom applies: 3.8 mm for M2, 5.7 mm for M3 button heads.");
/// Head height.
pub const HEAD_HEIGHT: Field<Millimetres> =
    Field::quantity("head_height", "head height", OuterSize, 0.2, 20.0).help("Left out, custom applies.");
/// Screw material.
pub const SCREW_MATERIAL: Field<str> =
    Field::choice("screw_material", "screw material", &["steel", "titanium", "aluminium", "plastic"])
        .help("Steel when left out.");
