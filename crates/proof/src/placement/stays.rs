//! What stays where it is, and where something can be seated on it.

use super::body::{Body, Seated, ways_of};
use super::deck::{Deck, decks};
use super::stand::{Here, Seat};
use super::unit::{Unit, sort_of};
use crate::Proof;
use crate::inputs::SoftlyMounted;
use craft::Anchor;
use craft::schema::PartKind;

/// What stays and can be seated on.
#[derive(Clone, Debug)]
pub(crate) struct Slot {
    pub here: Here,
}

/// All that stays where it is: leads follow a route of their own.
pub(crate) fn stays(proof: &Proof, moving: &[Option<usize>]) -> Body {
    let soft = SoftlyMounted::of(proof);
    let mut body = Body::default();
    for number in (0..moving.len()).filter(|number| moving[*number].is_none()) {
        let kind = proof.part_of(number).map(|part| part.kind);
        if matches!(kind, Some(PartKind::CameraHarness | PartKind::Pigtail)) {
            continue;
        }
        let on = proof.craft.places[number].on.clone();
        let under = on.as_ref().and_then(Anchor::place).and_then(|id| proof.number_of(id));
        let seated = Seated { place: number, on, under, soft: soft.carries(number) };
        body.add(seated, proof.inputs().solids_of(number).map(|(_, solid)| solid.clone()));
        ways_of(proof, number).iter().for_each(|way| body.add_way(way, None));
    }
    body
}

/// Everything to be seated on that stays, unless something that stays is seated there already.
pub(crate) fn slots(proof: &Proof, moving: &[Option<usize>]) -> Vec<Slot> {
    let mut slots = Vec::new();
    for number in (0..moving.len()).filter(|number| moving[*number].is_none()) {
        let (Some(part), Some(seat)) = (proof.part_of(number), proof.inputs().seat(number)) else { continue };
        for deck in decks(proof, part) {
            let anchor = Anchor::Feature(proof.craft.places[number].id.clone(), deck.name.clone());
            let taken = (0..moving.len()).any(|other| {
                moving[other].is_none()
                    && proof.craft.places[other].on.as_ref() == Some(&anchor)
                    && sort_of(proof, other).is_some()
            });
            if !taken {
                let here = Here {
                    seat: Seat::Slot(slots.len()),
                    anchor,
                    under: number,
                    base: seat.pose * deck.frame,
                    near: deck.near,
                    far: deck.far,
                    holds: deck.holds,
                };
                slots.push(Slot { here });
            }
        }
    }
    slots
}

/// The seat of a unit as the craft has it.
pub(crate) fn seat_now(
    proof: &Proof,
    units: &[Unit],
    decks: &[Vec<Deck>],
    slots: &[Slot],
    place: usize,
) -> Option<(Seat, Here)> {
    let on = proof.craft.places[place].on.as_ref()?;
    if let Some(slot) = slots.iter().find(|slot| slot.here.anchor == *on) {
        return Some((slot.here.seat, slot.here.clone()));
    }
    let Anchor::Feature(under, feature) = on else { return None };
    let under = proof.number_of(under)?;
    let unit = units.iter().position(|unit| unit.place == under)?;
    let deck = decks[unit].iter().position(|deck| deck.name == *feature)?;
    let (seat, known) = (Seat::Unit { unit, deck }, &decks[unit][deck]);
    let base = proof.inputs().seat(under)?.pose * known.frame;
    let (near, far, holds) = (known.near, known.far, known.holds.clone());
    Some((seat, Here { seat, anchor: on.clone(), under, base, near, far, holds }))
}
