//! A draft: which rows a change touches, with what stood there before and what stands there after.
//!
//! One store call makes one draft, writes it, and enters it in the journal, in one transaction.
//! Only rows that differ are in it. Places keep their position numbers where the order allows, so that
//! moving one part touches one row however large the craft is.

use crate::fault::{Trouble, WorkshopFault};
use crate::row::{self, CraftRow, Key, PartRow, PlaceRow, Stored, UsesRow};
use craft::{Craft, CraftId, PartId};
use rusqlite::Connection;
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};
use std::hash::Hash;

/// Rows as they stand at one moment: those that are not there are null.
pub(crate) type Rows = Vec<(Key, Option<Value>)>;

/// The rows a change touches.
#[derive(Debug, Default)]
pub(crate) struct Draft {
    rows: BTreeMap<Key, (Option<Value>, Option<Value>)>,
}

/// What is said of a craft as a whole when it is written.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Standing {
    pub demo: bool,
    pub position: i64,
    pub since: i64,
}

impl Draft {
    /// Enters one row if it differs.
    pub(crate) fn set<T: Serialize + DeserializeOwned + PartialEq>(
        &mut self,
        key: Key,
        before: Option<&T>,
        after: Option<&T>,
    ) -> Result<(), Trouble> {
        if before == after {
            return Ok(());
        }
        let before = before.map(|row| row::to_json(&key, row)).transpose()?;
        let after = after.map(|row| row::to_json(&key, row)).transpose()?;
        self.rows.insert(key, (before, after));
        Ok(())
    }

    /// Enters one row as it was read and as it shall be.
    pub(crate) fn set_raw(&mut self, key: Key, before: Option<Value>, after: Option<Value>) {
        self.rows.insert(key, (before, after));
    }

    /// Enters a craft: as it stands, and as it shall stand.
    ///
    /// A part that the craft no longer uses stays in the workshop.
    pub(crate) fn set_craft(
        &mut self,
        before: Option<&Stored>,
        after: &Craft,
        standing: Standing,
    ) -> Result<(), Trouble> {
        unlike_each_other(after)?;
        let id = &after.id;
        let Standing { demo, position, since } = standing;
        let (name, class, values) = (after.name.clone(), after.class, after.values.clone());
        let tables = after.tables.clone();
        let head = CraftRow { name, class, values, tables, demo, position, since };
        self.set(Key::Craft(id.clone()), before.map(|stored| &stored.row), Some(&head))?;

        let old_places = before.map(|stored| stored.places.as_slice()).unwrap_or_default();
        let old: HashMap<_, _> = old_places.iter().map(|row| (&row.place.id, row)).collect();
        let order =
            positions(old_places.iter().map(|row| (&row.place.id, row.position)), &after.places, |place| {
                &place.id
            });
        for (place, position) in after.places.iter().zip(order) {
            let row = PlaceRow { place: place.clone(), position };
            self.set(Key::Place(id.clone(), place.id.clone()), old.get(&place.id).copied(), Some(&row))?;
        }
        let stay: HashSet<_> = after.places.iter().map(|place| &place.id).collect();
        for row in old_places.iter().filter(|row| !stay.contains(&row.place.id)) {
            self.set(Key::Place(id.clone(), row.place.id.clone()), Some(row), None)?;
        }

        let old_parts = before.map(|stored| stored.parts.as_slice()).unwrap_or_default();
        let old: HashMap<_, _> = old_parts.iter().map(|(uses, row)| (&row.part.id, (uses, row))).collect();
        let order = positions(
            old_parts.iter().map(|(uses, row)| (&row.part.id, uses.position)),
            &after.parts,
            |part| &part.id,
        );
        for (part, position) in after.parts.iter().zip(order) {
            let known = old.get(&part.id).copied();
            let uses = UsesRow { position };
            self.set(Key::Uses(id.clone(), part.id.clone()), known.map(|(uses, _)| uses), Some(&uses))?;
            if let Some((_, row)) = known {
                let now = PartRow { part: part.clone(), ..row.clone() };
                self.set(Key::Part(part.id.clone()), Some(row), Some(&now))?;
            }
        }
        let stay: HashSet<_> = after.parts.iter().map(|part| &part.id).collect();
        for (uses, row) in old_parts.iter().filter(|(_, row)| !stay.contains(&row.part.id)) {
            self.set(Key::Uses(id.clone(), row.part.id.clone()), Some(uses), None)?;
        }
        Ok(())
    }

    /// Enters that a craft goes; its parts stay in the workshop.
    pub(crate) fn remove_craft(&mut self, stored: &Stored, sheet: Option<&String>) -> Result<(), Trouble> {
        let id: &CraftId = &stored.id;
        self.set(Key::Craft(id.clone()), Some(&stored.row), None)?;
        for row in &stored.places {
            self.set(Key::Place(id.clone(), row.place.id.clone()), Some(row), None)?;
        }
        for (uses, row) in &stored.parts {
            self.set(Key::Uses(id.clone(), row.part.id.clone()), Some(uses), None)?;
        }
        self.set(Key::Sheet(id.clone()), sheet, None)
    }

    /// Takes over the rows of another draft.
    pub(crate) fn absorb(&mut self, other: Draft) {
        self.rows.extend(other.rows);
    }

    /// Parts that stand already and would change.
    pub(crate) fn changed_parts(&self) -> Vec<PartId> {
        let changed = |(key, rows): (&Key, &(Option<Value>, Option<Value>))| match (key, rows) {
            (Key::Part(part), (Some(_), Some(_))) => Some(part.clone()),
            _ => None,
        };
        self.rows.iter().filter_map(changed).collect()
    }

    /// Whether it puts a row in.
    pub(crate) fn brings(&self, key: &Key) -> bool {
        self.rows.get(key).is_some_and(|(_, after)| after.is_some())
    }

    /// Whether nothing would change.
    pub(crate) fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// Writes the rows as they shall stand.
    pub(crate) fn write(&self, conn: &Connection) -> Result<(), Trouble> {
        for (key, (_, after)) in &self.rows {
            row::put(conn, key, after.as_ref())?;
        }
        Ok(())
    }

    /// The rows as they stood.
    pub(crate) fn before(&self) -> Vec<(&Key, Option<&Value>)> {
        self.rows.iter().map(|(key, (before, _))| (key, before.as_ref())).collect()
    }

    /// The rows as they shall stand.
    pub(crate) fn after(&self) -> Vec<(&Key, Option<&Value>)> {
        self.rows.iter().map(|(key, (_, after))| (key, after.as_ref())).collect()
    }
}

/// Rising position numbers for things in their new order; old numbers are kept where they still rise.
fn positions<'a, I: Eq + Hash + 'a, T>(
    old: impl Iterator<Item = (&'a I, i64)>,
    new: &'a [T],
    id: impl Fn(&'a T) -> &'a I,
) -> Vec<i64> {
    let old: HashMap<&I, i64> = old.collect();
    let mut last = 0;
    new.iter()
        .map(|thing| {
            last = old.get(id(thing)).copied().unwrap_or(0).max(last + 1);
            last
        })
        .collect()
}

fn unlike_each_other(craft: &Craft) -> Result<(), Trouble> {
    let called = craft.id.as_str();
    let mut places = BTreeSet::new();
    if let Some(twice) = craft.places.iter().find(|place| !places.insert(&place.id)) {
        let what = format!("craft {called:?} has two places {:?}; rename one", twice.id.as_str());
        return Err(WorkshopFault::Unsound { what }.into());
    }
    let mut parts = BTreeSet::new();
    if let Some(twice) = craft.parts.iter().find(|part| !parts.insert(&part.id)) {
        let what = format!("craft {called:?} lists part {:?} twice; rename one", twice.id.as_str());
        return Err(WorkshopFault::Unsound { what }.into());
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_thing_added_at_the_end_moves_no_other() {
        let old = [(&'a', 1), (&'b', 4)];
        assert_eq!(positions(old.into_iter(), &['a', 'b', 'c'], |c| c), [1, 4, 5]);
    }

    proptest! {
        #[test]
        fn positions_always_rise(
            old in proptest::collection::hash_map(0u8..20, 1i64..50, 0..20),
            new in proptest::collection::vec(0u8..20, 0..20),
        ) {
            let order = positions(old.iter().map(|(id, position)| (id, *position)), &new, |id| id);
            prop_assert!(order.is_sorted_by(|a, b| a < b));
        }
    }
}
