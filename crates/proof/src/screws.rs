//! Which screws serve: asked by what brings its own screws, such as a print.

use crate::rules::{camera_screws_that_serve, screws_that_serve};
use crate::{Placed, Proof};
use craft::schema::{PartKind, frame};
use craft::{Anchor, PlaceId};
use quantity::Millimetres;

/// The stock lengths that serve a screw where it stands, the shortest first: what the rules of screws would name. None where
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

fn holds_camera(proof: &Proof, screw: Placed) -> bool {
    let Some(Anchor::Feature(under, feature)) = &screw.place.on else { return false };
    proof
        .placed_at(under)
        .is_some_and(|holder| holder.part.row_named(&frame::camera_mount::TABLE, feature).is_some())
}
