//! Which lenses of the workshop are at hand for a craft: all that it holds, each with the craft that carry it.
//!
//! The demo's lenses are at hand for the demo's craft only, and one's own for one's own: taking the demo away never takes a lens that
//! a mend has named.

use craft::schema::PartKind;
use craft::{Craft, CraftId};
use proof::PartAtHand;
use workshop::{CraftCard, StoredPart, Workshop};

use crate::refusal::Refusal;

/// What a workshop holds, read once for all that is asked of it.
pub struct Shelf {
    stored: Vec<StoredPart>,
    cards: Vec<CraftCard>,
}

impl Shelf {
    /// Of a workshop.
    pub fn of(shop: &Workshop) -> Result<Self, Refusal> {
        let lens = |stored: &StoredPart| stored.part.kind == PartKind::Lens;
        Ok(Self { stored: shop.parts()?.into_iter().filter(lens).collect(), cards: shop.list_craft()? })
    }

    /// The lenses at hand for a craft.
    pub fn for_craft(&self, craft: &CraftId) -> Vec<PartAtHand> {
        let demo = self.cards.iter().any(|card| card.id == *craft && card.demo);
        let name = |id: &CraftId| {
            let card = self.cards.iter().find(|card| card.id == *id);
            card.map_or_else(|| id.to_string(), |card| card.name.clone())
        };
        let at_hand = |stored: &StoredPart| PartAtHand {
            part: stored.part.clone(),
            on: stored.used_by.iter().filter(|user| *user != craft).map(name).collect(),
        };
        self.stored.iter().filter(|stored| stored.demo == demo).map(at_hand).collect()
    }
}

/// The same where one craft alone is asked for.
pub fn at_hand(shop: &Workshop, craft: &Craft) -> Result<Vec<PartAtHand>, Refusal> {
    Ok(Shelf::of(shop)?.for_craft(&craft.id))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::{bench::now, demo};

    #[test]
    fn lenses_of_the_demo_are_at_hand_for_the_demo_with_who_carries_them() {
        let folder = tempfile::tempdir().unwrap();
        let mut shop = Workshop::open_or_create(folder.path().join("shop.creance")).unwrap().workshop;
        let came = shop.load_demo(&demo::craft().unwrap(), &[], now()).unwrap();
        let own = shop.new_craft("Wren", None, now()).unwrap().id;
        let shelf = Shelf::of(&shop).unwrap();
        assert!(shelf.for_craft(&own).is_empty(), "one's own craft borrows nothing of the demo");
        let here = shop.craft(&came[0]).unwrap();
        let beside = at_hand(&shop, &here).unwrap();
        assert!(beside.iter().any(|other| !other.on.is_empty() && !other.on.contains(&here.name)));
        // A lens that this craft alone carries is on no other.
        let mine = beside.iter().find(|other| here.places.iter().any(|place| place.part == other.part.id));
        assert!(mine.unwrap().on.iter().all(|name| *name != here.name));
    }
}
