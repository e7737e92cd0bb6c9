//! Seats that go in a round, or rest too deep.
//!
//! Each place rests on at most one other, so the seats form chains; walking each chain once, with every
//! place marked by the walk that reached it, finds each round exactly once.

use super::CraftFaultKind;
use crate::limits::SEATS_DEEP_MAX;
use crate::{Anchor, Craft, Place, PlaceId};
use std::collections::HashMap;

/// How a place was found to rest.
#[derive(Clone, Copy, PartialEq)]
enum Mark {
    /// On the walk that is going on.
    Walking,
    /// With this many seats beneath it; those in or over a round count as resting on nothing.
    Deep(usize),
}

pub(super) fn seating_faults<'a>(
    craft: &'a Craft,
    places: &HashMap<&'a PlaceId, &'a Place>,
) -> Vec<(&'a Place, CraftFaultKind)> {
    let mut marks: HashMap<&PlaceId, Mark> = HashMap::new();
    let mut found = Vec::new();
    for start in &craft.places {
        let mut walk: Vec<&Place> = Vec::new();
        let mut at = Some(start);
        let mut beneath = 0;
        while let Some(place) = at {
            match marks.get(&place.id) {
                Some(Mark::Walking) => {
                    let from = walk.iter().position(|other| other.id == place.id).unwrap_or(0);
                    let round = walk[from..].iter().map(|place| place.id.clone()).collect();
                    found.push((place, CraftFaultKind::SeatingRound { round }));
                    break;
                }
                Some(Mark::Deep(deep)) => {
                    beneath = deep + 1;
                    break;
                }
                None => {}
            }
            marks.insert(&place.id, Mark::Walking);
            walk.push(place);
            at = place.on.as_ref().and_then(Anchor::place).and_then(|seat| places.get(seat).copied());
        }
        for (over, place) in walk.iter().rev().enumerate() {
            let deep = beneath + over;
            marks.insert(&place.id, Mark::Deep(deep));
            // Told once, where the chain first grows too deep.
            if deep == SEATS_DEEP_MAX + 1 {
                found.push((place, CraftFaultKind::SeatsTooDeep { limit: SEATS_DEEP_MAX }));
            }
        }
    }
    found
}
