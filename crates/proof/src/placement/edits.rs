//! The edits that make a placement out of the craft as it stands.
//!
//! What carries comes before what it carries, so that no edit on the way leads in a round. Only what differs is
//! edited. A coordinate that changes is worked out and not measured: it becomes *typical*, with the doubt of the
//! spacers it now rests on, or the one it had.

use super::judged;
use super::mover::{HeightFrom, Mover};
use super::puzzle::Puzzle;
use super::same_stand::turn_between;
use super::search::Found;
use super::stand::{Stand, Tried};
use super::unit::{angle, flipped, length};
use crate::Proof;
use crate::numbers::rounded;
use craft::schema::{Field, fixing, frame, place as place_schema};
use craft::{Craft, Edit, Part, PartId, PlaceId};
use quantity::{Grams, Millimetres};
use std::collections::BTreeSet;

/// Coordinates nearer than this are the same, in mm.
const SAME: f64 = 0.005;

/// The edits of a combination.
pub(crate) fn edits(puzzle: &Puzzle, found: &Found) -> Vec<Edit> {
    let mut edits = Vec::new();
    let mut left_over: BTreeSet<usize> = BTreeSet::new();
    for (unit, stand) in puzzle.as_seated(found) {
        of_stand(puzzle.proof, &puzzle.movers[unit], &stand, &mut edits);
        left_over.extend(&stand.closing.dropped);
    }
    edits.extend(left_over.into_iter().map(|place| Edit::RemovePlace { place: id(puzzle.proof, place) }));
    edits
}

fn of_stand(proof: &Proof, mover: &Mover, stand: &Stand, edits: &mut Vec<Edit>) {
    let doubt = doubt_of(proof, mover);
    let height = &mover.heights[stand.height];
    let swapped = match (&height.from, mover.unit.stand_off) {
        (HeightFrom::AtHand(part), Some(_)) => Some(part.clone()),
        (HeightFrom::Stock, Some(place)) => stock_part(proof, place, height.mm, edits),
        _ => None,
    };
    for tried in &stand.tried {
        edits.extend(of_place(proof, tried, &doubt));
        if let (Some(part), Some(place)) = (&swapped, mover.unit.stand_off)
            && tried.place == place
        {
            let (place, key) = (id(proof, place), "part".to_owned());
            edits.push(Edit::SetPlace { place, key, text: Some(part.to_string()) });
        }
    }
}

/// How far off a height over these spacers may be, as written.
fn doubt_of(proof: &Proof, mover: &Mover) -> String {
    let own =
        proof.craft.places[mover.unit.place].item().read(&place_schema::Z).map_or(0.0, |z| z.doubt.plus);
    rounded(own.max(0.1), 2)
}

/// What differs at one place.
fn of_place(proof: &Proof, tried: &Tried, doubt: &str) -> Vec<Edit> {
    let place = &proof.craft.places[tried.place];
    let mut edits = Vec::new();
    let mut set = |key: &str, text: String| {
        edits.push(Edit::SetPlace { place: place.id.clone(), key: key.to_owned(), text: Some(text) });
    };
    if place.on.as_ref() != Some(&tried.anchor) {
        set("on", tried.anchor.to_string());
    }
    let fields: [&Field<Millimetres>; 3] = [&place_schema::X, &place_schema::Y, &place_schema::Z];
    for (field, at) in fields.into_iter().zip(tried.at) {
        if (length(proof, tried.place, field) - at).abs() > SAME {
            set(field.def.key, format!("{} mm ± {doubt}, typical", rounded(at, 2)));
        }
    }
    if turn_between(angle(proof, tried.place, &place_schema::YAW), tried.yaw) > 0.05 {
        set(place_schema::YAW.def.key, format!("{}°", rounded(tried.yaw, 2)));
    }
    if flipped(proof, tried.place) != tried.flipped {
        set(place_schema::FLIPPED.def.key, if tried.flipped { "yes" } else { "no" }.to_owned());
    }
    edits
}

/// A part like the spacers at a place in another height, brought in whole unless an edit before did so.
fn stock_part(proof: &Proof, place: usize, mm: f64, edits: &mut Vec<Edit>) -> Option<PartId> {
    let part = proof.part_of(place)?;
    let name = stock_name(&part.name, mm);
    // Changed among nothing else, which is looked over far sooner than the whole craft.
    let mut alone = Craft::new(proof.craft.id.clone(), name.clone());
    alone.parts.push(part.clone());
    let new = PartId::from_name(&name).unlike(|id| *id == part.id);
    let mut made = vec![Edit::DuplicatePart { part: part.id.clone(), name }];
    let mut set = |key: &str, text: String| {
        made.push(Edit::SetPart { part: new.clone(), key: key.to_owned(), text: Some(text) });
    };
    set(fixing::SPACER_HEIGHT.def.key, format!("{} mm ± 0.1, data sheet", rounded(mm, 2)));
    let was = part.item().read(&fixing::SPACER_HEIGHT).map(|height| height.value.get());
    let mass = part.item().read::<Grams>(&frame::MASS).map(|mass| mass.value.get());
    if let (Ok(was), Ok(mass)) = (was, mass) {
        set(frame::MASS.def.key, format!("{} g, typical", rounded((mass * mm / was).max(0.01), 2)));
    }
    // Whole, since a step of several changes may change no part that other craft have too.
    let mut part = judged::made(&alone, &made)?.part(&new)?.clone();
    part.id = new.unlike(|id| proof.craft.part(id).is_some());
    let brought: Vec<&Part> = edits.iter().filter_map(brought).collect();
    let alike = |other: &&&Part| Part { id: part.id.clone(), ..(**other).clone() } == part;
    if let Some(known) = brought.iter().find(alike) {
        return Some(known.id.clone());
    }
    part.id = part
        .id
        .unlike(|id| proof.craft.part(id).is_some() || brought.iter().any(|brought| brought.id == *id));
    let id = part.id.clone();
    edits.push(Edit::AddPartWhole { part });
    Some(id)
}

fn brought(edit: &Edit) -> Option<&Part> {
    match edit {
        Edit::AddPartWhole { part } => Some(part),
        _ => None,
    }
}

/// `spacers, 6.5 mm` in another height: the height in the name goes with it.
pub(crate) fn stock_name(name: &str, mm: f64) -> String {
    let stem =
        name.rsplit_once(',').map_or(name, |(stem, last)| if last.contains("mm") { stem } else { name });
    format!("{}, {} mm", stem.trim(), rounded(mm, 2))
}

fn id(proof: &Proof, place: usize) -> PlaceId {
    proof.craft.places[place].id.clone()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_height_in_a_name_goes_with_the_height() {
        assert_eq!(stock_name("spacers, 6.5 mm", 8.0), "spacers, 8 mm");
        assert_eq!(stock_name("brass posts", 2.5), "brass posts, 2.5 mm");
    }
}
