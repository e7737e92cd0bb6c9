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
