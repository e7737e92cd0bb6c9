//! The craft turned into the disciplines' own inputs: where everything stands, its solids, its mass.
//!
//! The order: `seats` finds the pose of every place with the facts that move it; `bodies` makes the
//! solids of each part in its own frame from its facts; the two together give a scene that `fit` can
//! judge. What cannot be made for want of a fact is kept as [`Unbuilt`], so that rules can say *unknown*
//! and name it.

mod board_bodies;
mod bodies;
mod builder;
mod camera_bodies;
#[cfg(test)]
mod drift_tests;
mod fixing_bodies;
mod frame_bodies;
mod glass;
mod heads;
mod holes;
mod in_picture;
mod meeting_holes;
mod near;
mod over_course;
mod seats;
mod seen_as;
mod touching;
mod view;
mod weights;

pub use bodies::Material;
pub(crate) use frame_bodies::holes_in;
pub(crate) use heads::head_of;
pub(crate) use holes::leaning_holes;
pub use holes::pattern_holes;
pub use in_picture::{Fills, Outlined};
pub(crate) use meeting_holes::NamedHole;
pub use near::NearPair;
pub(crate) use near::{ALLOWANCE, SoftlyMounted, needs_here};
pub use over_course::OverCourse;
pub(crate) use over_course::gate_pixels;
pub use seats::Seat;
pub(crate) use seats::{feature_frame, read_linear, seats_of};
pub use seen_as::SeenAs;
pub(crate) use touching::{Contacts, Rest, holds_a_tilt, plug_row};
pub(crate) use view::{Grown, lens_views};
pub use view::{LensView, Unseen};
pub use weights::Weights;

use crate::engine::Proof;
use craft::Missing;
use fit::{OwnerIndex, Scene, Solid, SolidIndex};
use std::ops::Range;

/// One solid of the craft, with where it belongs.
#[derive(Clone, Debug)]
pub struct CraftSolid {
    /// The solid, placed in the craft's own frame.
    pub solid: Solid,
    /// Number of its place in the craft.
    pub place: usize,
    /// What it is made of, for drawing.
    pub material: Material,
    /// Whether it is only space: a swept disc, room to pull a plug.
    pub ghost: bool,
    /// What part of its part it is: the row's name for a plug, a plate, a pad.
    pub piece: Piece,
}

/// Which piece of its part a solid is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Piece {
    /// The part itself, or its main body.
    Whole,
    /// The bare laminate of a board.
    Laminate,
    /// Components on a board.
    Components,
    /// A named row of a table: the table's key and the row's number.
    Row(&'static str, usize),
    /// The face that sheds a transmitter's heat.
    HotFace,
    /// The radiating part of an antenna.
    Element,
    /// One of several like pieces: a spacer, a screw head.
    OneOf(usize),
    /// Room behind a camera for its plug or for the bend of a harness, by the number of the plug.
    RearRoom(usize),
    /// The space a plug takes on its way out, by the number of the plug.
    WayOut(usize),
}

/// A piece that could not be made.
#[derive(Clone, Debug, PartialEq)]
pub struct Unbuilt {
    /// Number of its place in the craft.
    pub place: usize,
    /// What it is, in words.
    pub what: String,
    /// What is missing, if a fact is.
    pub missing: Vec<Missing>,
    /// What is wrong, if a fact is there and cannot be.
    pub wrong: Option<String>,
    /// The place that keeps this one from standing anywhere, where it is another.
    pub because: Option<usize>,
}

/// Everything geometric about a craft.
#[derive(Clone, Debug, Default)]
pub struct Inputs {
    /// The seat of each place, by the place's number; an error says why it is nowhere.
    pub seats: Vec<Result<Seat, Unbuilt>>,
    /// All solids, in the order of the scene.
    pub solids: Vec<CraftSolid>,
    /// The scene of these solids.
    pub scene: Scene,
    /// What could not be made.
    pub unbuilt: Vec<Unbuilt>,
    /// The solids of each place, by the place's number: they stand in a row.
    spans: Vec<Range<usize>>,
}

impl Inputs {
    /// Works everything out.
    pub(crate) fn of(proof: &Proof) -> Self {
        let seats = proof.seats().to_vec();
        let mut unbuilt: Vec<Unbuilt> =
            seats.iter().filter_map(|seat| seat.as_ref().err().cloned()).collect();
        let mut solids = Vec::new();
        for (number, place) in proof.craft.places.iter().enumerate() {
            let (Some(part), Some(Ok(seat))) = (proof.part_of(number), seats.get(number)) else {
                continue;
            };
            let shared = proof.stands_at(&place.part) > 1;
            let mut maker = builder::Builder::new(proof, number, place, part, seat, shared);
            bodies::bodies(&mut maker);
            let (made, not_made) = maker.done();
            solids.extend(made);
            unbuilt.extend(not_made);
        }
        // A solid with a size of nought or beyond all limits is reported and left out; the rest stands.
        let (solids, scene) = match Scene::new(solids.iter().map(|s| s.solid.clone()).collect()) {
            Ok(scene) => (solids, scene),
            Err(_) => {
                let (good, bad): (Vec<CraftSolid>, Vec<CraftSolid>) =
                    solids.into_iter().partition(|s| Scene::new(vec![s.solid.clone()]).is_ok());
                unbuilt.extend(bad.into_iter().map(|s| Unbuilt {
                    place: s.place,
                    what: s.solid.name,
                    missing: Vec::new(),
                    wrong: Some("its size or place is out of all bounds; check the numbers".to_owned()),
                    because: None,
                }));
                let scene = Scene::new(good.iter().map(|s| s.solid.clone()).collect()).unwrap_or_default();
                (good, scene)
            }
        };
        let spans = spans(&solids, proof.craft.places.len());
        Self { seats, solids, scene, unbuilt, spans }
    }

    /// The solids of one place, with their numbers in the scene.
    pub fn solids_of(&self, place: usize) -> impl Iterator<Item = (SolidIndex, &CraftSolid)> {
        let span = self.spans.get(place).cloned().unwrap_or(0..0);
        span.filter_map(|number| Some((SolidIndex(number as u32), self.solids.get(number)?)))
    }

    /// The seat of a place, if it has one.
    pub fn seat(&self, place: usize) -> Option<&Seat> {
        self.seats.get(place)?.as_ref().ok()
    }
}

/// The solids of one place as it would stand in another pose, on another seat or with another part.
pub(crate) fn solids_as_tried(
    proof: &Proof,
    (number, place): (usize, &craft::Place),
    part: &craft::Part,
    seat: &Seat,
) -> Vec<CraftSolid> {
    let shared = proof.stands_at(&proof.craft.places[number].part) > 1;
    let mut maker = builder::Builder::new(proof, number, place, part, seat, shared);
    bodies::bodies(&mut maker);
    maker.done().0
}

fn spans(solids: &[CraftSolid], places: usize) -> Vec<Range<usize>> {
    let mut spans = vec![0..0; places];
    for (number, solid) in solids.iter().enumerate() {
        let span = &mut spans[solid.place];
        *span = if span.start == span.end { number..number + 1 } else { span.start..number + 1 };
    }
    spans
}

pub(crate) fn owner(place: usize) -> OwnerIndex {
    OwnerIndex(place as u32)
}
