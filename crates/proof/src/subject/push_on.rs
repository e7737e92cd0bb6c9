//! Every miniature push-on plug of the craft, and the strain relief nearest to it.
//!
//! Such plugs are those of camera harnesses and of coax, unless their type is a threaded one. A plug counts once
//! something is in it: a lead, or an antenna that is plugged in directly.

use super::{End, end};
use crate::inputs::Piece;
use crate::{Placed, Proof};
use craft::schema::{PartKind, place as place_schema, shape};
use craft::{Item, PlaceId};
use fit::{Relief, Role, SolidIndex, nearest_relief};

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
            let relief = nearest_relief(scene, plug, &reliefs);
            held.push(PlugHold { place, lead: number, called, plug, relief });
        }
    }
    held
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
