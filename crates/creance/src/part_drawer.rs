//! The drawer of parts: what the page of parts asks of the open workshop.

use crate::bench::{Bench, named, now, unknown_word};
use crate::refusal::Refusal;
use crate::wire::part::{PartView, UsedBy};
use craft::schema::PartKind;
use craft::{CraftId, Edit, Part, PartId};
use workshop::{CraftCard, StoredPart};

impl Bench {
    /// Every part of the store.
    pub fn part_views(&self) -> Result<Vec<PartView>, Refusal> {
        let names = self.shop().list_craft()?;
        let parts = self.shop().parts()?;
        Ok(parts.iter().map(|stored| part_view(stored, &names)).collect())
    }

    /// One part of the store.
    pub fn part_view(&self, id: &PartId) -> Result<PartView, Refusal> {
        Ok(part_view(&self.shop().part(id)?, &self.shop().list_craft()?))
    }

    /// Adds a part about which nothing is known yet.
    pub fn new_part(&mut self, kind: &str, name: &str) -> Result<PartView, Refusal> {
        let kind = PartKind::from_word(kind).ok_or_else(|| {
            let words = PartKind::ALL.iter().map(|kind| kind.def().word);
            unknown_word("kind of part", kind, words)
        })?;
        let name = named("part", name)?;
        let part = self.shop_mut().new_part(&Part::new(PartId::from_name(name), kind, name), now())?;
        self.part_view(&part.id)
    }

    /// Copies a part.
    pub fn duplicate_part(&mut self, id: &PartId, name: &str) -> Result<PartView, Refusal> {
        let part = self.shop_mut().duplicate_part(id, named("part", name)?, now())?;
        self.part_view(&part.id)
    }

    /// Changes a part, for every craft that uses it.
    pub fn edit_part(&mut self, id: &PartId, edit: &Edit) -> Result<PartView, Refusal> {
        self.shop_mut().edit_part(id, edit, now())?;
        self.part_view(id)
    }

    /// Removes a part that no craft uses.
    pub fn remove_part(&mut self, id: &PartId) -> Result<(), Refusal> {
        Ok(self.shop_mut().remove_part(id, now())?)
    }

    /// Takes back the last change of a part made on the page of parts.
    pub fn undo_part(&mut self, id: &PartId) -> Result<PartView, Refusal> {
        self.shop_mut().undo_part(id, now())?;
        self.part_view(id)
    }

    /// Makes the change of a part again that was last taken back.
    pub fn redo_part(&mut self, id: &PartId) -> Result<PartView, Refusal> {
        self.shop_mut().redo_part(id, now())?;
        self.part_view(id)
    }
}

fn part_view(stored: &StoredPart, names: &[CraftCard]) -> PartView {
    PartView::new(&stored.part, users(stored, names), stored.demo)
}

pub(crate) fn users(stored: &StoredPart, names: &[CraftCard]) -> Vec<UsedBy> {
    let used = |id: &CraftId| {
        let name =
            names.iter().find(|card| &card.id == id).map_or_else(|| id.to_string(), |card| card.name.clone());
        UsedBy { id: id.to_string(), name }
    };
    stored.used_by.iter().map(used).collect()
}
