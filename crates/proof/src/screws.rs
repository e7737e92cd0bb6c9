//! Which screws serve, asked by what brings its own such as a print; and which take nuts, asked by lists and steps.
//!
//! A nut is no part of a sheet: how many of which thread there must be follows from the screws. So nuts are listed and told, and left out of
//! the mass.

use crate::rules::{camera_screws_that_serve, nuts_on, screws_that_serve};
use crate::{Placed, Proof};
use craft::schema::{PartKind, fixing, frame};
use craft::{Anchor, PlaceId};
use quantity::Millimetres;

/// The stock lengths that serve a screw where it stands, the one that the rules of screws would name first. None where
/// the place holds no screw, or nobody can say what it holds.
pub fn stock_screws(proof: &Proof, place: &PlaceId) -> Vec<Millimetres> {
    let Some(screw) = proof.placed_at(place).filter(|placed| placed.part.kind == PartKind::Screw) else {
        return Vec::new();
    };
    let lengths = match holds_camera(proof, screw) {
        true => camera_screws_that_serve(proof, screw),
        false => screws_that_serve(proof, screw),
    };
    lengths.into_iter().map(Millimetres::new).collect()
}

/// The nuts of the screws at one place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Nuts {
    /// The place of the screws.
    pub place: PlaceId,
    /// Their thread, such as M3.
    pub thread: String,
    /// How many.
    pub count: u32,
}

/// The nuts a craft needs, in the order of its places: one on each screw that comes through what it holds.
pub fn nuts(proof: &Proof) -> Vec<Nuts> {
    let mut layers = None;
    let screws = proof.places_of(PartKind::Screw);
    let of = |screw: Placed| {
        let thread = screw.part.item().text(&fixing::THREAD).ok()?.to_owned();
        let count = nuts_on(proof, screw, &mut layers);
        (count > 0).then(|| Nuts { place: screw.place.id.clone(), thread, count })
    };
    screws.filter_map(of).collect()
}

fn holds_camera(proof: &Proof, screw: Placed) -> bool {
    let Some(Anchor::Feature(under, feature)) = &screw.place.on else { return false };
    proof
        .placed_at(under)
        .is_some_and(|holder| holder.part.row_named(&frame::camera_mount::TABLE, feature).is_some())
}
