//! Every miniature push-on plug of the craft, and the strain relief nearest to it.
//!
//! Such plugs are those of camera harnesses and of coax, unless their type is a threaded one. A plug counts once
//! something is in it: a lead, or an antenna that is plugged in directly. Holes for a tie in a printed part hold as well as a relief
//! of its own: those whose names begin with [`TIE_HOLES`], as the holes of a printed antenna holder do.

use super::{End, end};
use crate::inputs::Piece;
use crate::{Placed, Proof};
use craft::schema::{PartKind, frame, place as place_schema, shape};
use craft::{Item, PlaceId};
use fit::{InPart, PartPoint, Relief, Role, Shape, Solid, SolidIndex, nearest_relief, relief_of};
use quantity::Millimetres;

/// A push-on plug and what holds it.
#[derive(Clone, Debug)]
pub struct PlugHold {
    /// Number of the place of the part that carries the plug.
    pub place: usize,
    /// Number of the place of the lead or antenna in it.
    pub lead: usize,
    /// What a person calls the plug.
    pub called: String,
    /// Its solid.
    pub plug: SolidIndex,
    /// The nearest relief, if the craft has any.
    pub relief: Option<Relief>,
}

/// Threaded kinds of coax connector, by what their names carry. Such a nut does not come off by a tug.
const THREADED: &[&str] = &["sma", "threaded", "screw-on"];

/// Every push-on plug with something in it, in the order of the leads.
pub(crate) fn push_on_plugs(proof: &Proof) -> Vec<PlugHold> {
    let scene = &proof.inputs().scene;
    let solids = proof.inputs().solids.iter().enumerate();
    let reliefs: Vec<SolidIndex> = solids
        .filter(|(_, s)| s.solid.role == Role::Relief)
        .map(|(number, _)| SolidIndex(number as u32))
        .collect();
    let tie_holes = tie_holes(proof);
    let mut held = Vec::new();
    for lead in proof.placed() {
        let fields = match lead.part.kind {
            PartKind::CameraHarness | PartKind::Pigtail => &[&place_schema::FROM, &place_schema::TO][..],
            PartKind::Antenna => &[&place_schema::FROM],
            _ => continue,
        };
        for field in fields {
            let End::Plug(unit, row) = end(proof, lead.place, field) else { continue };
            if !is_push_on(&row) {
                continue;
            }
            let Some((place, plug)) = plug_solid(proof, unit, &row) else { continue };
            let Some(number) = proof.number_of(&lead.place.id) else { continue };
            let called = proof.inputs().solids[plug.0 as usize].solid.name.clone();
            let own = nearest_relief(scene, plug, &reliefs);
            let body = &proof.inputs().solids[plug.0 as usize].solid;
            let tied = tie_holes.iter().filter_map(|(of, hole)| relief_of(body, hole, *of));
            let relief =
                own.into_iter().chain(tied).min_by(|a, b| a.distance.value.total_cmp(&b.distance.value));
            held.push(PlugHold { place, lead: number, called, plug, relief });
        }
    }
    held
}

/// How the names of holes begin that a tie goes through.
const TIE_HOLES: &str = "strain relief";

/// The holes for ties in printed parts that stand on the craft: the solid each is in, and the hole as a solid of its own.
fn tie_holes(proof: &Proof) -> Vec<(SolidIndex, Solid)> {
    let mut holes = Vec::new();
    for print in proof.places_of(PartKind::PrintedPart) {
        let Some(number) = proof.number_of(&print.place.id) else { continue };
        for hole in print.part.rows(&frame::hole::TABLE) {
            if !hole.name().is_some_and(|name| name.to_lowercase().starts_with(TIE_HOLES)) {
                continue;
            }
            holes.extend(hole_as_solid(proof, (print, number), &hole));
        }
    }
    holes
}

fn hole_as_solid(
    proof: &Proof,
    (print, number): (Placed, usize),
    hole: &Item,
) -> Option<(SolidIndex, Solid)> {
    let plate = hole.text(&frame::hole::PLATE).ok()?;
    let row = print.part.rows(&frame::plate::TABLE).position(|row| row.name() == Some(plate))?;
    let piece = Piece::Row(frame::plate::TABLE.key, row);
    let (index, solid) = proof.inputs().solids_of(number).find(|(_, solid)| solid.piece == piece)?;
    let Shape::Prism(prism) = &solid.solid.shape else { return None };
    let mm = |field| hole.read::<Millimetres>(field).ok().map(|reading| reading.value);
    let (u, v, across) = (mm(&frame::hole::U)?, mm(&frame::hole::V)?, mm(&frame::hole::DIAMETER)?);
    // Of a slot its middle: a tie lies anywhere in it.
    let [u, v] = [(u, &frame::hole::TO_U), (v, &frame::hole::TO_V)]
        .map(|(from, to)| mm(to).map_or(from.get(), |to| (from.get() + to.get()) / 2.0));
    let shape = Shape::cylinder(Millimetres::new(across.get() / 2.0), prism.thickness()).ok()?;
    let at = InPart::at(PartPoint::new(u, v, prism.thickness().get() / 2.0));
    Some((index, Solid { shape, pose: solid.solid.pose * at, ..solid.solid.clone() }))
}

fn is_push_on(row: &Item) -> bool {
    let threaded = row
        .text(&shape::plug::TYPE)
        .is_ok_and(|t| THREADED.iter().any(|word| t.to_lowercase().contains(word)));
    matches!(row.text(&shape::plug::USE), Ok("camera" | "coax")) && !threaded
}

/// The place and the solid of a plug of a part, if it has a body.
pub(crate) fn plug_solid(proof: &Proof, unit: Placed, row: &Item) -> Option<(usize, SolidIndex)> {
    let number = proof.number_of(&unit.place.id)?;
    let row_number = unit.part.rows(&shape::plug::TABLE).position(|other| other.name() == row.name())?;
    let piece = Piece::Row(shape::plug::TABLE.key, row_number);
    let mut solids = proof.inputs().solids_of(number);
    solids.find(|(_, s)| s.piece == piece).map(|(index, _)| (number, index))
}

impl PlugHold {
    /// The places concerned: the unit, the lead and what holds.
    pub(crate) fn places(&self, proof: &Proof) -> Vec<PlaceId> {
        let relief = self.relief.as_ref().map(|relief| proof.inputs().solids[relief.solid.0 as usize].place);
        let mut numbers = vec![self.place, self.lead];
        numbers.extend(relief);
        numbers.into_iter().map(|number| proof.craft.places[number].id.clone()).collect()
    }
}
