//! The shelf: the store of parts, whichever craft use them.
//!
//! An edit made here holds for every craft that uses the part, like one made on the bench, and can be undone
//! here. A part in use cannot be removed.

use crate::draft::Draft;
use crate::fault::{Trouble, WorkshopFault};
use crate::fleet::{edit_json, spread};
use crate::journal::{self, Entry};
use crate::row::{self, Key, PartRow};
use crate::{JournalKind, Moment, Workshop};
use craft::{Craft, CraftId, Edit, Part, PartId, apply};
use quantity::near_name;
use rusqlite::Connection;

/// A part and who uses it.
#[derive(Clone, Debug, PartialEq)]
pub struct StoredPart {
    /// The part.
    pub part: Part,
    /// Whether it belongs to the demo.
    pub demo: bool,
    /// The craft that use it.
    pub used_by: Vec<CraftId>,
}

impl Workshop {
    /// Every part, by kind and name.
    pub fn parts(&self) -> Result<Vec<StoredPart>, WorkshopFault> {
        self.read(|conn| {
            let uses = row::uses(conn)?;
            let with_users = |row: PartRow| {
                let users = uses.iter().filter(|(_, part)| part == &row.part.id);
                StoredPart {
                    used_by: users.map(|(craft, _)| craft.clone()).collect(),
                    part: row.part,
                    demo: row.demo,
                }
            };
            let mut parts: Vec<StoredPart> = row::parts(conn)?.into_iter().map(with_users).collect();
            parts.sort_by(|a, b| (a.part.kind, &a.part.name).cmp(&(b.part.kind, &b.part.name)));
            Ok(parts)
        })
    }

    /// A part and who uses it.
    pub fn part(&self, id: &PartId) -> Result<StoredPart, WorkshopFault> {
        self.read(|conn| {
            let row = need(conn, id)?;
            Ok(StoredPart { part: row.part, demo: row.demo, used_by: users(conn, id)? })
        })
    }

    /// Takes in a part that no craft uses yet. If its id is taken it gets the next free one.
    pub fn new_part(&mut self, part: &Part, at: Moment) -> Result<Part, WorkshopFault> {
        let (what, kind) = (format!("Add part {:?}", part.name), JournalKind::Built);
        self.write(|conn| add(conn, part.clone(), kind, what, at))
    }

    /// Copies a part under another name. The copy is the user's own, also when the original is of the demo.
    pub fn duplicate_part(&mut self, id: &PartId, name: &str, at: Moment) -> Result<Part, WorkshopFault> {
        self.write(|conn| {
            let original = need(conn, id)?.part;
            let what = format!("Copy part {:?} as {:?}", original.name, name.trim());
            let copy = Part { id: PartId::from_name(name), name: name.trim().to_owned(), ..original };
            add(conn, copy, JournalKind::Duplicated, what, at)
        })
    }

    /// Carries out an edit of one part and gives the part as it then stands.
    pub fn edit_part(&mut self, id: &PartId, edit: &Edit, at: Moment) -> Result<Part, WorkshopFault> {
        self.write(|conn| {
            let row = need(conn, id)?;
            let mut tray = Craft::new(CraftId::from_name("tray"), "tray");
            tray.parts.push(row.part.clone());
            let after = apply(&tray, edit).map_err(|why| WorkshopFault::Edit { why: Box::new(why) })?;
            let part = match after.parts.as_slice() {
                [part]
                    if &part.id == id && after == (Craft { parts: after.parts.clone(), ..tray.clone() }) =>
                {
                    part
                }
                _ => {
                    let what =
                        format!("this edit is none of part {:?} alone; make it on the bench", id.as_str());
                    return Err(WorkshopFault::Unsound { what }.into());
                }
            };
            let mut draft = Draft::default();
            let now = PartRow { part: part.clone(), ..row.clone() };
            draft.set(Key::Part(id.clone()), Some(&row), Some(&now))?;
            if draft.is_empty() {
                return Ok(row.part);
            }
            spread(conn, &mut draft, id, None, edit)?;
            let entry = Entry::of_part(at, JournalKind::Edited, id, edit.describe(&tray));
            journal::enter(conn, Entry { edit: Some(edit_json(edit)?), ..entry }, &draft)?;
            Ok(now.part)
        })
    }

    /// Removes a part that no craft uses. Undo brings it back.
    pub fn remove_part(&mut self, id: &PartId, at: Moment) -> Result<(), WorkshopFault> {
        self.write(|conn| {
            let row = need(conn, id)?;
            let by = users(conn, id)?;
            if !by.is_empty() {
                return Err(WorkshopFault::PartInUse { part: id.clone(), by }.into());
            }
            let mut draft = Draft::default();
            draft.set(Key::Part(id.clone()), Some(&row), None)?;
            let what = format!("Remove part {:?}", row.part.name);
            journal::enter(conn, Entry::of_part(at, JournalKind::Removed, id, what), &draft)?;
            Ok(())
        })
    }
}

fn add(
    conn: &Connection,
    mut part: Part,
    kind: JournalKind,
    what: String,
    at: Moment,
) -> Result<Part, Trouble> {
    let known = row::parts(conn)?;
    part.id = part.id.unlike(|id| known.iter().any(|row| &row.part.id == id));
    let row = PartRow { part, demo: false, since: journal::last_seq(conn)? + 1 };
    let mut draft = Draft::default();
    draft.set(Key::Part(row.part.id.clone()), None, Some(&row))?;
    journal::enter(conn, Entry::of_part(at, kind, &row.part.id, what), &draft)?;
    Ok(row.part)
}

/// The part of an id, or the fault that says there is none.
pub(crate) fn need(conn: &Connection, id: &PartId) -> Result<PartRow, Trouble> {
    if let Some(row) = row::get(conn, &Key::Part(id.clone()))? {
        return Ok(row);
    }
    let known = row::parts(conn)?;
    let near = near_name(id.as_str(), known.iter().map(|row| row.part.id.as_str())).map(str::to_owned);
    Err(WorkshopFault::NoPart { id: id.to_string(), near }.into())
}

/// The craft that use a part.
pub(crate) fn users(conn: &Connection, part: &PartId) -> Result<Vec<CraftId>, Trouble> {
    Ok(row::uses(conn)?.into_iter().filter(|(_, used)| used == part).map(|(craft, _)| craft).collect())
}

#[cfg(test)]
#[path = "shelf_tests.rs"]
mod tests;
