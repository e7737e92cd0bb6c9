//! The antennas a craft carries, as bodies: what radiates, where its middle is, and how it would stand elsewhere.
//!
//! Video antennas are those that do not hang on a control receiver. An antenna without a body, for want of its length or
//! its diameter, is told with the facts that are missing; one that stands nowhere because a fact is wrong is
//! left out, for that is told of its seat.

use crate::inputs::{CraftSolid, Piece, Seat, solids_as_tried};
use crate::names::called;
use crate::subject::{ChainEnd, coax_chains};
use crate::{Placed, Proof};
use craft::Missing;
use craft::schema::PartKind;
use fit::{BodyVector, SolidIndex};
use std::collections::HashMap;

/// One antenna of the craft.
#[derive(Clone)]
pub(crate) struct Aerial<'a> {
    /// Its place.
    pub placed: Placed<'a>,
    /// The number of its place.
    pub number: usize,
    /// What a person calls it.
    pub called: String,
    /// What radiates, by its number in the scene, or what is missing to make it.
    pub element: Result<SolidIndex, Vec<Missing>>,
}

/// Every antenna that is a part of its own, in the order of the sheet: of the video, and of the control link if wanted.
pub(crate) fn aerials<'a>(proof: &Proof<'a>, control_too: bool) -> Vec<Aerial<'a>> {
    let wanted = |number: &usize| control_too || !proof.control_antennas().contains_key(number);
    let numbered = proof
        .places_of(PartKind::Antenna)
        .filter_map(|placed| Some((proof.number_of(&placed.place.id)?, placed)));
    numbered
        .filter(|(number, _)| wanted(number))
        .filter_map(|(number, placed)| aerial(proof, number, placed))
        .collect()
}

fn aerial<'a>(proof: &Proof<'a>, number: usize, placed: Placed<'a>) -> Option<Aerial<'a>> {
    let inputs = proof.inputs();
    let made = inputs.solids_of(number).find(|(_, solid)| solid.piece == Piece::Element);
    let element = match made {
        Some((index, _)) => Ok(index),
        None => {
            let lacking = inputs.unbuilt.iter().filter(|unbuilt| unbuilt.place == number);
            let missing: Vec<Missing> = lacking.flat_map(|unbuilt| unbuilt.missing.iter().cloned()).collect();
            if missing.is_empty() {
                return None;
            }
            Err(missing)
        }
    };
    Some(Aerial { placed, number, called: called(proof, placed), element })
}

/// A way an antenna could stand instead.
pub(crate) struct Instead {
    /// What to do, as an imperative without a full stop: `Raise antenna by 20 mm`.
    pub words: String,
    /// What radiates, as it would stand.
    pub element: CraftSolid,
}

/// The steps in which an antenna is tried elsewhere, and how far at most, in mm.
const STEP: u32 = 5;
const FARTHEST: u32 = 60;

impl<'a> Aerial<'a> {
    /// What radiates, where it has a body.
    pub fn solid<'p>(&self, proof: &'p Proof) -> Option<&'p CraftSolid> {
        proof.inputs().solids.get(self.element.as_ref().ok()?.0 as usize)
    }

    /// Where it could stand instead: raised, moved back, ahead or aside, the smallest change first, upward before others.
    pub fn elsewhere(&self, proof: &Proof<'a>) -> Vec<Instead> {
        let Some(seat) = proof.inputs().seat(self.number) else { return Vec::new() };
        let ways = [
            ("Raise", "", BodyVector::Z),
            ("Move", " back", -BodyVector::X),
            ("Move", " forward", BodyVector::X),
            ("Move", " to the left", BodyVector::Y),
            ("Move", " to the right", -BodyVector::Y),
        ];
        let steps = (1..=FARTHEST / STEP).flat_map(|n| ways.map(|way| (f64::from(n * STEP), way)));
        let tried = steps.filter_map(|(by, (verb, whither, way))| {
            let pose = seat.pose.shifted(way * by);
            let element = self.standing(proof, Seat::tried(pose, seat.anchor))?;
            Some(Instead { words: format!("{verb} {} by {by} mm{whither}", self.called), element })
        });
        tried.collect()
    }

    /// What radiates, were it seated so.
    fn standing(&self, proof: &Proof<'a>, seat: Seat) -> Option<CraftSolid> {
        let solids = solids_as_tried(proof, (self.number, self.placed.place), self.placed.part, &seat);
        solids.into_iter().find(|solid| solid.piece == Piece::Element)
    }
}

/// Antennas by the unit whose coax leads to them; one that no coax leads to stands alone.
pub(crate) fn by_unit<'g, 'a>(proof: &Proof<'a>, all: &'g [Aerial<'a>]) -> Vec<Vec<&'g Aerial<'a>>> {
    let mut unit_of: HashMap<usize, usize> = HashMap::new();
    for chain in coax_chains(proof) {
        if let ChainEnd::Antenna(antenna) = chain.end
            && let (Some(at), Some(unit)) =
                (proof.number_of(&antenna.place.id), proof.number_of(&chain.unit.place.id))
        {
            unit_of.entry(at).or_insert(unit);
        }
    }
    let mut groups: Vec<(Option<usize>, Vec<&Aerial>)> = Vec::new();
    for aerial in all {
        let unit = unit_of.get(&aerial.number).copied();
        match groups.iter_mut().find(|(known, _)| unit.is_some() && *known == unit) {
            Some((_, group)) => group.push(aerial),
            None => groups.push((unit, vec![aerial])),
        }
    }
    groups.into_iter().map(|(_, group)| group).collect()
}
