//! Frames: plates with holes, standoffs, cage, mounts, ducts.

use super::shape::{HEIGHT, NAME, X, Y, Z};
use super::{Field, TableDef};
use quantity::{Degrees, DoubtKind::*, Grams, Millimetres};

/// Mass of a part.
pub const MASS: Field<Grams> =
    Field::quantity("mass", "mass", Mass, 0.01, 20_000.0).core().help("As it flies, with its own leads.");
/// Motor to motor, across the diagonal.
pub const WHEELBASE: Field<Millimetres> = Field::quantity("wheelbase", "wheelbase", OuterSize, 30.0, 2000.0)
    .help("Motor to motor across the diagonal, as data sheets quote it.");
/// Largest blade the maker allows.
pub const BLADE_MAX: Field<Millimetres> = Field::quantity("blade_max", "largest blade", Exact, 10.0, 1000.0)
    .help("The largest blade diameter the maker allows.");
/// Height between plates.
pub const CLEAR_HEIGHT: Field<Millimetres> =
    Field::quantity("clear_height", "clear height", OuterSize, 1.0, 300.0)
        .help("Between bottom and top plate or under the canopy, where no plate or standoff entry says it.");

/// What plates are made of.
pub const MATERIALS: &[&str] = &[
    "carbon",
    "glass fibre",
    "aluminium",
    "steel",
    "titanium",
    "printed, stiff",
    "printed, flexible",
    "moulded plastic",
];

/// Plates.
pub mod plate {
    use super::*;

    /// Outline.
    pub const OUTLINE: Field<[[f64; 2]]> = Field::points("outline", "outline")
        .core()
        .help("Corner points in order, in mm, in the plate's own plane.");
    /// Thickness.
    pub const THICKNESS: Field<Millimetres> =
        Field::quantity("thickness", "thickness", PlateThickness, 0.2, 50.0)
            .core()
            .help("Carbon runs 0.1 mm off its nominal thickness: calipers decide.");
    /// How it stands.
    pub const STANDS: Field<str> = Field::choice("stands", "how it stands", &["flat", "along", "across"])
        .help("flat: outline is x, y, the thickness goes up. along: an upright side plate, outline is x, z, the thickness goes left. across: an upright front plate, outline is y, z, the thickness goes forward. Flat when left out.");
    /// Material.
    pub const MATERIAL: Field<str> = Field::choice("material", "material", MATERIALS)
        .core()
        .help("Carbon conducts: bare pads must keep off it.");
    /// Role in the frame.
    pub const ROLE: Field<str> = Field::choice("role", "role", &["bottom", "arm", "top", "cage", "other"])
        .help("Cage plates guard the lens; the top plate bounds the stack.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "plate",
        one: "plate",
        many: "plates",
        fields: &[
            NAME.def,
            ROLE.def,
            MATERIAL.def,
            STANDS.def,
            THICKNESS.def,
            X.def,
            Y.def,
            Z.def,
            OUTLINE.def,
        ],
        help: "Each plate as an outline with a thickness. x, y, z is where the outline's origin lies; the thickness grows from there.",
    };
}

/// Round holes and slots in plates.
pub mod hole {
    use super::*;

    /// Plate.
    pub const PLATE: Field<str> =
        Field::line("plate", "plate").core().help("The name of the plate it is in.");
    /// Place along the outline's first axis.
    pub const U: Field<Millimetres> = Field::quantity("u", "place along", HolePosition, -1000.0, 1000.0)
        .core()
        .help("In the plate's outline coordinates, first axis.");
    /// Place along the outline's second axis.
    pub const V: Field<Millimetres> = Field::quantity("v", "place across", HolePosition, -1000.0, 1000.0)
        .core()
        .help("In the plate's outline coordinates, second axis.");
    /// Diameter or width.
    pub const DIAMETER: Field<Millimetres> =
        Field::quantity("diameter", "diameter", HoleDiameter, 0.3, 500.0)
            .core()
            .help("Of a slot: its width.");
    /// Other end of a slot.
    pub const TO_U: Field<Millimetres> =
        Field::quantity("to_u", "slot end along", HolePosition, -1000.0, 1000.0)
            .help("For a slot: where its other end's middle lies.");
    /// Other end of a slot.
    pub const TO_V: Field<Millimetres> =
        Field::quantity("to_v", "slot end across", HolePosition, -1000.0, 1000.0)
            .help("For a slot: where its other end's middle lies.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "hole",
        one: "hole",
        many: "holes and slots",
        fields: &[NAME.def, PLATE.def, U.def, V.def, DIAMETER.def, TO_U.def, TO_V.def],
        help: "Round holes and slots. The holes of a hole pattern are cut by the pattern itself and need no entry here.",
    };
}

/// Windows cut in plates.
pub mod cutout {
    use super::*;

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "cutout",
        one: "cut-out",
        many: "cut-outs",
        fields: &[NAME.def, hole::PLATE.def, plate::OUTLINE.def],
        help: "Windows of any outline, in the plate's outline coordinates.",
    };
}

/// Standoffs.
pub mod standoff {
    use super::*;

    /// Diameter.
    pub const DIAMETER: Field<Millimetres> = Field::quantity("diameter", "diameter", OuterSize, 1.0, 50.0)
        .core()
        .help("Across the round body, or across corners of a hexagon.");
    /// Thread.
    pub const THREAD: Field<str> =
        Field::choice("thread", "thread", super::super::fixing::THREADS).help("The thread inside.");
    /// Material.
    pub const MATERIAL: Field<str> =
        Field::choice("material", "material", &["aluminium", "steel", "titanium", "plastic"])
            .help("Says how far a screw must bite.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "standoff",
        one: "standoff",
        many: "standoffs",
        fields: &[NAME.def, X.def, Y.def, Z.def, DIAMETER.def, HEIGHT.def, THREAD.def, MATERIAL.def],
        help: "Posts between plates. x, y, z is the middle of the lower end.",
    };
}

/// Where a camera hangs.
pub mod camera_mount {
    use super::*;

    /// Clear width.
    pub const CLEAR_WIDTH: Field<Millimetres> =
        Field::quantity("clear_width", "clear width", OuterSize, 5.0, 100.0)
            .core()
            .help("Between the inner faces that hold the camera.");
    /// Clear height.
    pub const CLEAR_HEIGHT: Field<Millimetres> =
        Field::quantity("clear_height", "clear height", OuterSize, 5.0, 100.0)
            .help("Where a window bounds the camera above and below.");
    /// Cheek thickness.
    pub const CHEEK: Field<Millimetres> =
        Field::quantity("cheek", "cheek thickness", PlateThickness, 0.2, 30.0)
            .help("What the side screw passes before it reaches the camera.");
    /// Cage front plane.
    pub const FRONT: Field<Millimetres> = Field::quantity("front", "cage front", OuterSize, -1000.0, 1000.0)
        .help("x of the foremost edge that guards the lens, in the frame's coordinates.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "camera_mount",
        one: "camera mount",
        many: "camera mounts",
        fields: &[NAME.def, X.def, Y.def, Z.def, CLEAR_WIDTH.def, CLEAR_HEIGHT.def, CHEEK.def, FRONT.def],
        help: "Where the camera's side screws pass. x, y, z is the middle between the two screw holes.",
    };
}

/// Where motors sit.
pub mod motor_mount {
    use super::*;

    /// Bolt circle.
    pub const BOLT_CIRCLE: Field<Millimetres> =
        Field::quantity("bolt_circle", "bolt circle", HolePosition, 3.0, 60.0)
            .help("Diameter of the circle the screws lie on.");
    /// Material under the motor.
    pub const PLATE_THICKNESS: Field<Millimetres> =
        Field::quantity("plate_thickness", "arm thickness", PlateThickness, 0.2, 30.0)
            .core()
            .help("What the motor screws pass before they reach the motor.");
    /// Bore of a duct round the blades.
    pub const DUCT_BORE: Field<Millimetres> =
        Field::quantity("duct_bore", "duct bore", OuterSize, 10.0, 500.0)
            .help("Inner diameter of the duct round this motor's blades, where there is one.");
    /// Which way it looks.
    pub const FACES: Field<str> = Field::choice("faces", "faces", &["up", "down"])
        .help("down for motors hung under the arm; up when left out.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "motor_mount",
        one: "motor mount",
        many: "motor mounts",
        fields: &[
            NAME.def,
            X.def,
            Y.def,
            Z.def,
            BOLT_CIRCLE.def,
            PLATE_THICKNESS.def,
            DUCT_BORE.def,
            FACES.def,
        ],
        help: "Where each motor's base sits. x, y, z is the middle of the base.",
    };
}

/// Where antennas are held.
pub mod antenna_mount {
    use super::*;

    /// Lean.
    pub const LEAN: Field<Degrees> = Field::quantity("lean", "lean back", Exact, -90.0, 90.0)
        .or(0.0)
        .help("How far the element leans back from upright; negative leans forward.");
    /// Turn.
    pub const TOWARD: Field<Degrees> = Field::quantity("toward", "lean toward", Exact, -180.0, 180.0)
        .or(0.0)
        .help("Turns the lean about upright: 0 is back, 90 is right.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "antenna_mount",
        one: "antenna mount",
        many: "antenna mounts",
        fields: &[NAME.def, X.def, Y.def, Z.def, LEAN.def, TOWARD.def],
        help: "Where an antenna leaves its holder.",
    };
}

/// Duct rings.
pub mod duct {
    use super::*;

    /// Bore.
    pub const BORE: Field<Millimetres> =
        Field::quantity("bore", "bore", OuterSize, 10.0, 500.0).core().help("Inner diameter.");
    /// Wall.
    pub const WALL: Field<Millimetres> =
        Field::quantity("wall", "wall", OuterSize, 0.2, 30.0).core().help("Thickness of the wall.");

    /// The table.
    pub const TABLE: TableDef = TableDef {
        key: "duct",
        one: "duct",
        many: "ducts",
        fields: &[NAME.def, X.def, Y.def, Z.def, BORE.def, WALL.def, HEIGHT.def],
        help: "Rings round the blades. x, y, z is the middle of the lower edge.",
    };
}
