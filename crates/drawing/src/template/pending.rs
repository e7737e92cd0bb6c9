//! Holes that are still to be drilled: a board whose holes do not meet those it is seated on, and a print that stands on a
//! plate and is screwed to it.
//!
//! The board's own holes are carried from its frame through its seat into the plane of the plate below. Their width is
//! the clearance hole of the screw, medium series of ISO 273, or the board's own where no screw is named. What the
//! new holes leave of the plate is said (`webs`): too narrow a web breaks out. A print's holes are as wide as the print's
//! own; where the plate has a hole there already, nothing is to be drilled.

use super::stencil::{Bore, Stencil};
use super::webs;
use crate::print::BASE;
use craft::schema::{PartKind, shape};
use craft::{Anchor, Craft};
use fit::{PartPoint, Prism, Thread, clearance_hole, from_line, inside_edge};
use proof::{CraftSolid, Proof, Proved, Verdict, pattern_holes};
use quantity::Millimetres;

/// The rule whose broken findings ask for new holes.
const RULE: &str = "fit.pattern_match";

/// What is still to be drilled for.
pub(crate) struct Pending {
    pub boards: Vec<Wanted>,
    pub prints: Vec<Stood>,
}

impl Pending {
    pub fn of(proof: &Proof, craft: &Craft, proved: &Proved) -> Self {
        Self { boards: wanted(proof, craft, proved), prints: stood(proof, craft) }
    }
}

/// A board to be drilled for, and the pattern it is seated on.
pub(crate) struct Wanted {
    /// The number of the board's place.
    pub board: usize,
    /// The number of the place below.
    pub under: usize,
    /// The name of the pattern it is seated on.
    pub pattern: String,
}

/// Boards whose holes do not meet those below.
fn wanted(proof: &Proof, craft: &Craft, proved: &Proved) -> Vec<Wanted> {
    let broken = proved.findings.iter().filter(|f| f.rule == RULE && f.verdict == Verdict::Broken);
    let board = |finding: &proof::Finding| {
        let board = proof.number_of(finding.places.first()?)?;
        let Some(Anchor::Feature(under, pattern)) = &craft.places.get(board)?.on else { return None };
        Some(Wanted { board, under: proof.number_of(under)?, pattern: pattern.clone() })
    };
    broken.filter_map(board).collect()
}

/// A print that stands on a part and is screwed to it: the numbers of its place and of the one below.
pub(crate) struct Stood {
    pub print: usize,
    pub under: usize,
}

/// Prints with screws through their base that stand free on a part.
fn stood(proof: &Proof, craft: &Craft) -> Vec<Stood> {
    let stands = |(print, place): (usize, &craft::Place)| {
        let Some(Anchor::Place(under)) = &place.on else { return None };
        let part = proof.part_of(print).filter(|part| part.kind == PartKind::PrintedPart)?;
        part.row_named(&shape::pattern::TABLE, BASE)?;
        Some(Stood { print, under: proof.number_of(under)? })
    };
    craft.places.iter().enumerate().filter_map(stands).collect()
}

/// How far a print's base may lie off the plate it stands on, in mm: tape or paint between.
const ON_PLATE: f64 = 0.5;
/// How far a hole that is there may lie off the one a print wants and still be it, in mm.
const SAME_HOLE: f64 = 0.3;

/// Adds the holes of a print's base to the stencil of the plate it stands on.
pub(crate) fn add_base(
    proof: &Proof,
    stood: &Stood,
    solid: &CraftSolid,
    prism: &Prism,
    stencil: &mut Stencil,
) {
    let (Some(part), Some(seat)) = (proof.part_of(stood.print), proof.inputs().seat(stood.print)) else {
        return;
    };
    let Some(row) = part.row_named(&shape::pattern::TABLE, BASE).filter(|_| solid.place == stood.under)
    else {
        return;
    };
    let Ok(hole) = row.read::<Millimetres>(&shape::pattern::HOLE) else { return };
    let diameter = hole.value.get();
    let screw = row.text(&shape::pattern::SCREW).map_or(String::new(), |screw| format!(", {screw}"));
    // Its name says more than the table holds: the place is enough.
    let name = proof.craft.places.get(stood.print).map_or("", |place| place.id.as_str());
    let into_plate = solid.solid.pose.inverse();
    let before = stencil.bores.len();
    for [u, v] in pattern_holes(&row).unwrap_or_default() {
        let at = into_plate.point(seat.pose.point(PartPoint::new(u, v, 0.0)));
        let spot = [at.x(), at.y()];
        let off = at.z().abs().min((at.z() - prism.thickness().get()).abs());
        let there = stencil.bores.iter().take(before).any(|bore| {
            bore.diameter.is_some_and(|there| there > diameter - SAME_HOLE)
                && apart_from(bore, spot) < SAME_HOLE
        });
        if off > ON_PLATE || inside_edge(spot, &stencil.outer) <= 0.0 || there {
            continue;
        }
        let what = format!("drill for {name}{screw}");
        stencil.bores.push(Bore {
            at: spot,
            to: None,
            diameter: Some(diameter),
            what,
            new: true,
            sink: None,
        });
    }
    webs::of_new(stencil, before);
}

/// How far a place lies from the middle of a hole, or of a slot's way.
fn apart_from(bore: &Bore, spot: [f64; 2]) -> f64 {
    let to = bore.to.unwrap_or(bore.at);
    from_line(bore.at, to, spot)
}

/// Whether a board is to be drilled for in this plate of the place below.
pub(crate) fn concerns(proof: &Proof, wanted: &Wanted, solid: &CraftSolid, plate: Option<&str>) -> bool {
    let on = proof.part_of(wanted.under).and_then(|part| {
        let row = part.row_named(&shape::pattern::TABLE, &wanted.pattern)?;
        row.text(&shape::pattern::PLATE).ok()
    });
    solid.place == wanted.under && (on == plate || plate.is_none())
}

/// Adds the holes a board wants to the stencil of the plate below it.
pub(crate) fn add(proof: &Proof, wanted: &Wanted, solid: &CraftSolid, stencil: &mut Stencil) {
    let (Some(part), Some(seat)) = (proof.part_of(wanted.board), proof.inputs().seat(wanted.board)) else {
        return;
    };
    let into_plate = solid.solid.pose.inverse();
    let before = stencil.bores.len();
    for row in part.rows(&shape::pattern::TABLE).take(1) {
        let Ok(own) = row.read::<Millimetres>(&shape::pattern::HOLE) else { continue };
        let screw = row.text(&shape::pattern::SCREW).ok().and_then(Thread::named);
        let diameter = screw.and_then(|screw| clearance_hole(&screw)).map_or(own.value, |hole| hole.medium);
        let middle = |field| row.read::<Millimetres>(field).map_or(0.0, |v| v.value.get());
        let (x, y) = (middle(&shape::X), middle(&shape::Y));
        for [u, v] in pattern_holes(&row).unwrap_or_default() {
            let at = into_plate.point(seat.pose.point(PartPoint::new(x + u, y + v, 0.0)));
            stencil.bores.push(Bore {
                at: [at.x(), at.y()],
                to: None,
                diameter: Some(diameter.get()),
                what: format!(
                    "drill for {}{}",
                    part.name,
                    screw.map_or(String::new(), |s| format!(", {}", s.name))
                ),
                new: true,
                sink: None,
            });
        }
    }
    webs::of_new(stencil, before);
}
