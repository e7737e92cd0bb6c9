//! The fleet: craft are begun, copied, edited, removed; each call is one transaction and one journal line.
//!
//! An edit of a part holds for every craft that uses the part. Where the edit carries names along (a
//! plug is renamed, and the leads that end in it follow), it does so in every such craft; if it would make any
//! of them unsound, it is refused and says which.

use crate::adopt::{Adopted, Sharing, adopt};
use crate::draft::{Draft, Standing};
use crate::fault::{Trouble, WorkshopFault};
use crate::journal::{self, Entry};
use crate::row::{self, Key, PartRow, Stored};
use crate::{JournalKind, Moment, Workshop};
use craft::{Craft, CraftClass, CraftId, Edit, PartId, apply};
use quantity::near_name;
use rusqlite::Connection;

/// One craft in the list of all.
#[derive(Clone, Debug, PartialEq)]
pub struct CraftCard {
    /// Its id.
    pub id: CraftId,
    /// What the builder calls it.
    pub name: String,
    /// Its class, if said.
    pub class: Option<CraftClass>,
    /// Whether it belongs to the demo.
    pub demo: bool,
    /// How many parts it uses.
    pub parts: usize,
}

impl Workshop {
    /// Every craft, in the order in which they came.
    pub fn list_craft(&self) -> Result<Vec<CraftCard>, WorkshopFault> {
        self.read(|conn| {
            let uses = row::uses(conn)?;
            let card = |(id, row): (CraftId, row::CraftRow)| CraftCard {
                parts: uses.iter().filter(|(craft, _)| craft == &id).count(),
                id,
                name: row.name,
                class: row.class,
                demo: row.demo,
            };
            Ok(row::crafts(conn)?.into_iter().map(card).collect())
        })
    }

    /// A craft with all its parts.
    pub fn craft(&self, id: &CraftId) -> Result<Craft, WorkshopFault> {
        self.read(|conn| Ok(need(conn, id)?.craft()))
    }

    /// Whether a craft belongs to the demo.
    pub fn is_demo(&self, id: &CraftId) -> Result<bool, WorkshopFault> {
        self.read(|conn| Ok(need(conn, id)?.row.demo))
    }

    /// Begins a craft; its id is made from the name.
    pub fn new_craft(
        &mut self,
        name: &str,
        class: Option<CraftClass>,
        at: Moment,
    ) -> Result<Craft, WorkshopFault> {
        self.write(|conn| {
            let mut craft = Craft::new(free_craft_id(conn, &CraftId::from_name(name))?, name.trim());
            craft.class = class;
            let mut draft = Draft::default();
            draft.set_craft(None, &craft, standing_of_new(conn, false)?)?;
            let what = format!("Begin craft {:?}", craft.name);
            journal::enter(conn, Entry::of_craft(at, JournalKind::Built, &craft.id, what), &draft)?;
            Ok(craft)
        })
    }

    /// Copies a craft under another name. The copy is the user's own, also when the original is of the demo.
    pub fn duplicate_craft(&mut self, id: &CraftId, name: &str, at: Moment) -> Result<Craft, WorkshopFault> {
        self.write(|conn| {
            let original = need(conn, id)?;
            let mut copy = original.craft();
            copy.id = free_craft_id(conn, &CraftId::from_name(name))?;
            copy.name = name.trim().to_owned();
            let adopted = adopt(conn, None, copy, false, Sharing::EqualParts)?;
            let standing = standing_of_new(conn, false)?;
            let mut draft = draft_of_new(&adopted, standing)?;
            let sheet: Option<String> = row::get(conn, &Key::Sheet(id.clone()))?;
            draft.set(Key::Sheet(adopted.craft.id.clone()), None, sheet.as_ref())?;
            let what = format!("Copy craft {:?} as {:?}", original.row.name, adopted.craft.name);
            let entry = Entry::of_craft(at, JournalKind::Duplicated, &adopted.craft.id, what);
            journal::enter(conn, entry, &draft)?;
            Ok(adopted.craft)
        })
    }

    /// Removes a craft. Its parts stay in the workshop, and undo brings it back.
    pub fn remove_craft(&mut self, id: &CraftId, at: Moment) -> Result<(), WorkshopFault> {
        self.write(|conn| {
            let stored = need(conn, id)?;
            let sheet: Option<String> = row::get(conn, &Key::Sheet(id.clone()))?;
            let mut draft = Draft::default();
            draft.remove_craft(&stored, sheet.as_ref())?;
            let what = format!("Remove craft {:?}", stored.row.name);
            journal::enter(conn, Entry::of_craft(at, JournalKind::Removed, id, what), &draft)?;
            Ok(())
        })
    }

    /// Carries out an edit and gives the craft as it then stands.
    ///
    /// A part that comes in may get another id than asked for, if the workshop knows that id already; look at
    /// the craft given back. An edit that changes nothing leaves no journal line.
    pub fn edit(&mut self, id: &CraftId, edit: &Edit, at: Moment) -> Result<Craft, WorkshopFault> {
        self.write(|conn| {
            let stored = need(conn, id)?;
            let craft = stored.craft();
            let mut edit = edit.clone().with_ids(&craft);
            let what = edit.describe(&craft);
            let after = apply(&craft, &edit).map_err(|why| WorkshopFault::Edit { why: Box::new(why) })?;
            let sharing = match edit {
                Edit::AddPartWhole { .. } | Edit::Together { .. } => Sharing::EqualParts,
                // A part begun or copied on the bench is meant as a new one, though it equals another still.
                _ => Sharing::Nothing,
            };
            let adopted = adopt(conn, Some(&stored), after, stored.row.demo, sharing)?;
            rename(&mut edit, &adopted);
            let mut draft = Draft::default();
            let seq = journal::last_seq(conn)? + 1;
            take_in(&mut draft, &adopted, stored.row.demo, seq)?;
            draft.set_craft(Some(&stored), &adopted.craft, Standing::of(&stored))?;
            for part in draft.changed_parts() {
                spread(conn, &mut draft, &part, Some(id), &edit)?;
            }
            if draft.is_empty() {
                return Ok(craft);
            }
            let json = edit_json(&edit)?;
            let entry = Entry::of_craft(at, JournalKind::Edited, id, what);
            journal::enter(conn, Entry { edit: Some(json), ..entry }, &draft)?;
            Ok(adopted.craft)
        })
    }

    /// Puts on record that a craft was written out, or anything else worth a line that changes nothing.
    pub fn note(
        &mut self,
        id: &CraftId,
        kind: JournalKind,
        what: &str,
        at: Moment,
    ) -> Result<(), WorkshopFault> {
        self.write(|conn| {
            need(conn, id)?;
            if !matches!(kind, JournalKind::Noted | JournalKind::Exported) {
                let what =
                    format!("a note cannot be of kind {:?}; use \"noted\" or \"exported\"", kind.word());
                return Err(WorkshopFault::Unsound { what }.into());
            }
            journal::enter(conn, Entry::of_craft(at, kind, id, what.to_owned()), &Draft::default())?;
            Ok(())
        })
    }
}

impl Standing {
    fn of(stored: &Stored) -> Self {
        Self { demo: stored.row.demo, position: stored.row.position, since: stored.row.since }
    }
}

/// The craft of an id, or the fault that says there is none.
pub(crate) fn need(conn: &Connection, id: &CraftId) -> Result<Stored, Trouble> {
    if let Some(stored) = row::stored(conn, id)? {
        return Ok(stored);
    }
    let known = row::crafts(conn)?;
    let near = near_name(id.as_str(), known.iter().map(|(id, _)| id.as_str())).map(str::to_owned);
    Err(WorkshopFault::NoCraft { id: id.to_string(), near }.into())
}

/// The id, or the next one like it that no craft has.
pub(crate) fn free_craft_id(conn: &Connection, wanted: &CraftId) -> Result<CraftId, Trouble> {
    let known = row::crafts(conn)?;
    Ok(wanted.unlike(|id| known.iter().any(|(known, _)| known == id)))
}

/// How a craft stands that comes in with the next journal line: behind all others.
pub(crate) fn standing_of_new(conn: &Connection, demo: bool) -> Result<Standing, Trouble> {
    let last = row::crafts(conn)?.last().map_or(0, |(_, row)| row.position);
    Ok(Standing { demo, position: last + 1, since: journal::last_seq(conn)? + 1 })
}

/// A draft that takes in a new craft and the parts it brings.
pub(crate) fn draft_of_new(adopted: &Adopted, standing: Standing) -> Result<Draft, Trouble> {
    let mut draft = Draft::default();
    take_in(&mut draft, adopted, standing.demo, standing.since)?;
    draft.set_craft(None, &adopted.craft, standing)?;
    Ok(draft)
}

fn take_in(draft: &mut Draft, adopted: &Adopted, demo: bool, since: i64) -> Result<(), Trouble> {
    for part in &adopted.new_parts {
        draft.set(Key::Part(part.id.clone()), None, Some(&PartRow { part: part.clone(), demo, since }))?;
    }
    Ok(())
}

/// Carries an edit of a part out in every craft that uses it, but for the one it was made in.
pub(crate) fn spread(
    conn: &Connection,
    draft: &mut Draft,
    part: &PartId,
    made_in: Option<&CraftId>,
    edit: &Edit,
) -> Result<(), Trouble> {
    let uses = row::uses(conn)?;
    let others = uses.iter().filter(|(craft, used)| used == part && Some(craft) != made_in);
    for (id, _) in others {
        let stored = need(conn, id)?;
        let after = apply(&stored.craft(), edit).map_err(|why| WorkshopFault::EditElsewhere {
            craft: id.clone(),
            part: part.clone(),
            why: Box::new(why),
        })?;
        draft.set_craft(Some(&stored), &after, Standing::of(&stored))?;
    }
    Ok(())
}

pub(crate) fn edit_json(edit: &Edit) -> Result<String, Trouble> {
    let unsound = |error: serde_json::Error| WorkshopFault::Unsound {
        what: format!("this edit cannot be kept: {error}"),
    };
    Ok(serde_json::to_string(edit).map_err(unsound)?)
}

/// The edit as it was carried out, with the ids the workshop gave.
fn rename(edit: &mut Edit, adopted: &Adopted) {
    let named = match edit {
        Edit::AddPart { id: Some(id), .. } => id,
        Edit::AddPartWhole { part } => &mut part.id,
        Edit::Together { edits, .. } => {
            return edits.iter_mut().for_each(|edit| rename_within(edit, adopted));
        }
        _ => return,
    };
    renamed(named, adopted);
}

/// The same for a change among several, where a later one may put what an earlier one brought.
fn rename_within(edit: &mut Edit, adopted: &Adopted) {
    match edit {
        Edit::AddPartWhole { part } => renamed(&mut part.id, adopted),
        Edit::AddPlace { part, .. } | Edit::SwapPart { with: part, .. } => renamed(part, adopted),
        Edit::SetPlace { key, text: Some(text), .. } if key == "part" => {
            if let Some(kept) = PartId::new(text.trim()).ok().and_then(|id| adopted.renamed.get(&id)) {
                *text = kept.to_string();
            }
        }
        _ => {}
    }
}

fn renamed(named: &mut PartId, adopted: &Adopted) {
    if let Some(kept) = adopted.renamed.get(named) {
        *named = kept.clone();
    }
}

#[cfg(test)]
#[path = "fleet_tests.rs"]
mod tests;
