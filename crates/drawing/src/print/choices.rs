//! What may be set of each print, between which limits, and what there is in a craft to choose from.
//!
//! One list for every door: the page makes its form of it, and a wish for what a kind does not have is refused by it.

use super::adapter_for_board::BOARDS;
use super::adapter_plate::THICKNESSES;
use super::cheeks_for_camera::CAMERAS;
use super::holder::{BASES, LEANS};
use super::holder_for_antenna::ANTENNAS;
use super::printed::places_of;
use super::wanted::PrintKind;
use super::wedge::{FLOORS, SLOPES};
use craft::schema::{PartKind, shape};
use craft::{Anchor, Craft, PlaceId};
use fit::CLEARANCE_HOLES;

/// What may be wished.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wish {
    /// The board, camera or antenna it is for.
    Place,
    /// The hole pattern it goes on.
    Onto,
    /// A thickness, in mm.
    Thickness,
    /// How far a board is turned, in degrees.
    Turn,
    /// A slope or lean, in degrees.
    Angle,
    /// A screw.
    Screw,
    /// Where heads lie.
    Heads,
    /// Where the holes of a wedge are.
    Base,
    /// Plain instead of as usual.
    Finish,
}

/// One thing that may be set of a print.
#[derive(Clone, Copy, Debug)]
pub struct Choice {
    /// What it is.
    pub wish: Wish,
    /// What it is called on a form.
    pub label: &'static str,
    /// Where a number must lie.
    pub between: Option<(f64, f64)>,
    /// What it does, and what happens when it is left out.
    pub help: &'static str,
}

const fn choice(wish: Wish, label: &'static str, help: &'static str) -> Choice {
    Choice { wish, label, between: None, help }
}

const fn number(wish: Wish, label: &'static str, between: (f64, f64), help: &'static str) -> Choice {
    Choice { wish, label, between: Some(between), help }
}

const ADAPTER: &[Choice] = &[
    choice(Wish::Place, "for the board at", "left out: the first board whose holes do not meet its seat"),
    choice(Wish::Onto, "goes on the pattern", "left out: the pattern the board is seated on"),
    number(Wish::Thickness, "thickness", THICKNESSES, "left out: as thin as the sunk heads allow"),
    number(Wish::Turn, "board turned by", (-180.0, 180.0), "left out: as little as keeps screw heads apart"),
    choice(Wish::Screw, "screws into the frame", "left out: those of the frame's pattern"),
    choice(Wish::Heads, "screw heads", "left out: sunk where they would be in the way"),
];
const WEDGE: &[Choice] = &[
    choice(Wish::Place, "for the camera at", "left out: the first camera"),
    number(Wish::Angle, "slope", SLOPES, "left out: the camera's tilt"),
    number(
        Wish::Thickness,
        "floor under its screws",
        FLOORS,
        "what bears the heads; left out: enough for M2",
    ),
    choice(Wish::Screw, "held by screws", "left out: small ones"),
    choice(Wish::Base, "a flange on each side", "left out: its screws go through the seat"),
];
const CHEEKS: &[Choice] = &[
    choice(Wish::Place, "for the camera at", "left out: the first that leaves room beside it"),
    choice(Wish::Finish, "without rims", "left out: rims keep them from turning on the camera"),
];
const HOLDER: &[Choice] = &[
    choice(Wish::Place, "for the antenna at", "left out: the first antenna"),
    number(Wish::Angle, "lean", LEANS, "left out: as the antenna leans now"),
    number(Wish::Thickness, "base", BASES, "the plate it stands on; left out: thick enough for the tie"),
    choice(Wish::Screw, "held by screws", "left out: those of the rear standoffs"),
    choice(Wish::Finish, "without a slit", "left out: a slit lets the tie clamp the stem"),
];

/// What may be set of a kind of print.
pub const fn choices(kind: PrintKind) -> &'static [Choice] {
    match kind {
        PrintKind::Adapter => ADAPTER,
        PrintKind::Wedge => WEDGE,
        PrintKind::Cheeks => CHEEKS,
        PrintKind::Holder => HOLDER,
    }
}

const fn parts_of(kind: PrintKind) -> &'static [PartKind] {
    match kind {
        PrintKind::Adapter => BOARDS,
        PrintKind::Wedge | PrintKind::Cheeks => CAMERAS,
        PrintKind::Holder => ANTENNAS,
    }
}

/// The places of a craft that a print could be for.
pub fn places_for(craft: &Craft, kind: PrintKind) -> Vec<PlaceId> {
    places_of(craft, parts_of(kind)).map(|at| at.place.id.clone()).collect()
}

/// The hole patterns of a craft that an adapter could go on: those of whatever is no board itself.
pub fn patterns_to_go_on(craft: &Craft) -> Vec<Anchor> {
    let mut anchors = Vec::new();
    for place in &craft.places {
        let Some(part) = craft.part_at(place).filter(|part| !BOARDS.contains(&part.kind)) else { continue };
        for row in part.rows(&shape::pattern::TABLE) {
            anchors.extend(row.name().map(|name| Anchor::Feature(place.id.clone(), name.to_owned())));
        }
    }
    anchors
}

/// The screws that may be named.
pub fn screws() -> Vec<&'static str> {
    // Printed holes are wide by custom, so the smallest needs no row of that table.
    std::iter::once("M1.4").chain(CLEARANCE_HOLES.iter().map(|hole| hole.thread)).collect()
}
