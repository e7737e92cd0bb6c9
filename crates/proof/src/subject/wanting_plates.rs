//! Which plates and posts a frame is without, so that nobody takes the room where they belong for free.
//!
//! One may have no body, since a fact is missing or cannot be, or may not be entered at all: a frame whose standoffs
//! carry no top plate, a camera mount that its cage plates guard on one side alone. What it would be too near to nobody
//! can say. It can take room away and give none: what is broken without it stays broken, what is sound is *unknown*.
//!
//! Left out: frames moulded in one, which have no standoffs, and plates of no role.

use crate::names::called;
use crate::{Placed, Proof};
use craft::PlaceId;
use craft::schema::{PartKind, frame};

/// A plate or post that a frame is without.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct WantingPlate {
    /// The place of the frame.
    pub place: PlaceId,
    /// What it is: `top plate of Brambling frame`.
    pub what: String,
    /// Why, in a clause: `it has no body: outer edge: …`.
    pub why: String,
    /// What to do.
    pub mend: String,
}

/// The plates and posts that the frames of a craft are without.
pub(crate) fn wanting_plates(proof: &Proof) -> Vec<WantingPlate> {
    proof
        .places_of(PartKind::Frame)
        .flat_map(|placed| without_body(proof, placed).chain(not_entered(proof, placed)).collect::<Vec<_>>())
        .collect()
}

fn without_body<'a>(proof: &'a Proof, placed: Placed<'a>) -> impl Iterator<Item = WantingPlate> + 'a {
    let number = proof.number_of(&placed.place.id).filter(|number| proof.inputs().seat(*number).is_some());
    let unbuilt = proof.inputs().unbuilt.iter().filter(move |one| Some(one.place) == number);
    unbuilt.map(move |one| {
        let missing: Vec<&str> = one.missing.iter().map(|fact| fact.label.as_str()).collect();
        let why = match &one.wrong {
            Some(wrong) => format!("it has no body: {wrong}"),
            None => format!("it has no body: {} is not known", missing.join(", ")),
        };
        let mend = match one.missing.first() {
            Some(fact) => format!("Measure or look up the {}.", fact.label),
            None => format!("Correct the facts of {}.", one.what),
        };
        WantingPlate { place: placed.place.id.clone(), what: one.what.clone(), why, mend }
    })
}

fn not_entered<'a>(proof: &'a Proof, placed: Placed<'a>) -> impl Iterator<Item = WantingPlate> + 'a {
    let (part, name) = (placed.part, called(proof, placed));
    let of_role = move |role: &str| {
        let rows = part.rows(&frame::plate::TABLE);
        rows.filter(|row| row.text(&frame::plate::ROLE) == Ok(role)).count()
    };
    let posts = part.rows(&frame::standoff::TABLE).next().is_some();
    let clear = part.item().read(&frame::CLEAR_HEIGHT).is_ok();
    let top = (posts && !clear && of_role("top") == 0)
        .then_some(("top plate", "its standoffs carry none that is entered"));
    let half = of_role("cage") == 1 && part.rows(&frame::camera_mount::TABLE).next().is_some();
    let cage = half.then_some(("second cage plate", "the camera mount has one on one side alone"));
    top.into_iter().chain(cage).map(move |(what, why)| WantingPlate {
        place: placed.place.id.clone(),
        what: format!("{what} of {name}"),
        why: why.to_owned(),
        mend: format!("Enter the {what} of {name}: where it lies, its outline and how thick it is."),
    })
}
