//! Undo and redo: journal lines that take back or make again what another line did.
//!
//! Each craft has its own history, and so has each part for the edits made on the page of parts. What can be
//! undone follows from the journal alone: an edit or removal can be undone until it is, what was undone
//! can be redone until something new is done. A history begins where the craft or part came in.
//!
//! Undo puts back the rows that the line touched, and only if each still stands as the line left it. A part
//! may have been changed since through another craft; then undo is refused and says by what.
//! A part that came in by the line but is used elsewhere by now stays in the workshop.

use crate::draft::Draft;
use crate::fault::{Later, Trouble, WorkshopFault};
use crate::fleet::need;
use crate::journal::{self, Entry, JournalLine};
use crate::row::{self, CraftRow, Key, PartRow};
use crate::shelf::{need as need_part, users};
use crate::{JournalKind, Moment, Workshop};
use craft::{Craft, CraftId, Part, PartId};
use rusqlite::{Connection, OptionalExtension};
use serde_json::Value;
use std::fmt;

/// Whose history.
#[derive(Clone, Copy, Debug)]
enum Subject<'a> {
    Craft(&'a CraftId),
    Part(&'a PartId),
}

/// Which way.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Way {
    Back,
    Again,
}

/// Lines that can be undone and redone, the next one last.
#[derive(Debug, Default)]
struct Stacks {
    done: Vec<i64>,
    undone: Vec<i64>,
}

impl Workshop {
    /// Takes back the last edit of a craft that is not taken back yet, its removal included, and gives the craft.
    pub fn undo(&mut self, id: &CraftId, at: Moment) -> Result<Craft, WorkshopFault> {
        self.write(|conn| {
            go(conn, Subject::Craft(id), Way::Back, at)?;
            Ok(need(conn, id)?.craft())
        })
    }

    /// Makes the edit of a craft again that was last taken back. Gives `None` if that was its removal.
    pub fn redo(&mut self, id: &CraftId, at: Moment) -> Result<Option<Craft>, WorkshopFault> {
        self.write(|conn| {
            go(conn, Subject::Craft(id), Way::Again, at)?;
            Ok(row::stored(conn, id)?.map(|stored| stored.craft()))
        })
    }

    /// What undo would take back, in words.
    pub fn can_undo(&self, id: &CraftId) -> Result<Option<String>, WorkshopFault> {
        self.read(|conn| words(conn, Subject::Craft(id), Way::Back))
    }

    /// What redo would make again, in words.
    pub fn can_redo(&self, id: &CraftId) -> Result<Option<String>, WorkshopFault> {
        self.read(|conn| words(conn, Subject::Craft(id), Way::Again))
    }

    /// Takes back the last edit of a part made on the page of parts, its removal included, and gives the part.
    pub fn undo_part(&mut self, id: &PartId, at: Moment) -> Result<Part, WorkshopFault> {
        self.write(|conn| {
            go(conn, Subject::Part(id), Way::Back, at)?;
            Ok(need_part(conn, id)?.part)
        })
    }

    /// Makes the edit of a part again that was last taken back on the page of parts. Gives `None` if that was its
    /// removal.
    pub fn redo_part(&mut self, id: &PartId, at: Moment) -> Result<Option<Part>, WorkshopFault> {
        self.write(|conn| {
            go(conn, Subject::Part(id), Way::Again, at)?;
            Ok(row::get::<PartRow>(conn, &Key::Part(id.clone()))?.map(|row| row.part))
        })
    }

    /// What undo on the page of parts would take back, in words.
    pub fn can_undo_part(&self, id: &PartId) -> Result<Option<String>, WorkshopFault> {
        self.read(|conn| words(conn, Subject::Part(id), Way::Back))
    }

    /// What redo on the page of parts would make again, in words.
    pub fn can_redo_part(&self, id: &PartId) -> Result<Option<String>, WorkshopFault> {
        self.read(|conn| words(conn, Subject::Part(id), Way::Again))
    }
}

impl fmt::Display for Subject<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Subject::Craft(id) => write!(f, "craft {:?}", id.as_str()),
            Subject::Part(id) => write!(f, "part {:?}", id.as_str()),
        }
    }
}

impl Subject<'_> {
    /// The condition on journal lines that are this subject's own.
    const fn lines(&self) -> &'static str {
        match self {
            Subject::Craft(_) => "craft = ?1",
            Subject::Part(_) => "part = ?1",
        }
    }

    fn id(&self) -> &str {
        match self {
            Subject::Craft(id) => id.as_str(),
            Subject::Part(id) => id.as_str(),
        }
    }

    fn key(&self) -> Key {
        match self {
            Subject::Craft(id) => Key::Craft((*id).clone()),
            Subject::Part(id) => Key::Part((*id).clone()),
        }
    }

    /// The line with which the subject came in; `None` if it is not there and was not removed by a line of its own.
    fn since(&self, conn: &Connection) -> Result<Option<i64>, Trouble> {
        let here = match self {
            Subject::Craft(_) => row::get::<CraftRow>(conn, &self.key())?.map(|row| row.since),
            Subject::Part(_) => row::get::<PartRow>(conn, &self.key())?.map(|row| row.since),
        };
        if here.is_some() {
            return Ok(here);
        }
        // Not there: if its last line removed it, the row that line took out still says since when it was.
        let sql = format!(
            "SELECT coalesce(target, seq) FROM journal WHERE {} AND kind IN ('removed', 'redone') ORDER BY seq DESC LIMIT 1",
            self.lines()
        );
        let removal: Option<i64> =
            conn.prepare_cached(&sql)?.query_row([self.id()], |row| row.get(0)).optional()?;
        let Some(removal) = removal else { return Ok(None) };
        let line = journal::line_of(conn, removal)?;
        if !line.after()?.contains(&(self.key(), None)) {
            return Ok(None);
        }
        let taken_out = line.before()?.into_iter().find(|(key, _)| key == &self.key());
        Ok(taken_out.and_then(|(_, row)| row?.get("since")?.as_i64()))
    }

    fn stacks(&self, conn: &Connection) -> Result<Stacks, Trouble> {
        let mut stacks = Stacks::default();
        let Some(since) = self.since(conn)? else { return Ok(stacks) };
        let sql =
            format!("SELECT seq, kind, target FROM journal WHERE {} AND seq > ?2 ORDER BY seq", self.lines());
        let mut statement = conn.prepare_cached(&sql)?;
        let mut rows = statement.query((self.id(), since))?;
        while let Some(row) = rows.next()? {
            let (seq, target): (i64, Option<i64>) = (row.get(0)?, row.get(2)?);
            let target = target.unwrap_or(seq);
            match row.get_ref(1)?.as_str().unwrap_or_default() {
                "edited" | "removed" => {
                    stacks.done.push(seq);
                    stacks.undone.clear();
                }
                "undone" => {
                    stacks.done.retain(|seq| *seq != target);
                    stacks.undone.push(target);
                }
                "redone" => {
                    stacks.undone.retain(|seq| *seq != target);
                    stacks.done.push(target);
                }
                _ => {}
            }
        }
        Ok(stacks)
    }

    fn next(&self, conn: &Connection, way: Way) -> Result<Option<JournalLine>, Trouble> {
        let stacks = self.stacks(conn)?;
        let top = if way == Way::Back { stacks.done.last() } else { stacks.undone.last() };
        top.map(|seq| journal::line_of(conn, *seq)).transpose()
    }
}

fn words(conn: &Connection, subject: Subject<'_>, way: Way) -> Result<Option<String>, Trouble> {
    Ok(subject.next(conn, way)?.map(|line| line.what))
}

fn go(conn: &Connection, subject: Subject<'_>, way: Way, at: Moment) -> Result<(), Trouble> {
    let name = subject.to_string();
    let nothing = match way {
        Way::Back => WorkshopFault::NothingToUndo { subject: name.clone() },
        Way::Again => WorkshopFault::NothingToRedo { subject: name.clone() },
    };
    let line = subject.next(conn, way)?.ok_or(nothing)?;
    let draft = turned(conn, &name, &line, way)?;
    let (kind, word) = match way {
        Way::Back => (JournalKind::Undone, "Undo"),
        Way::Again => (JournalKind::Redone, "Redo"),
    };
    let what = format!("{word}: {}", line.what);
    let entry = match subject {
        Subject::Craft(id) => Entry::of_craft(at, kind, id, what),
        Subject::Part(id) => Entry::of_part(at, kind, id, what),
    };
    journal::enter(conn, Entry { target: Some(line.seq), ..entry }, &draft)?;
    Ok(())
}

/// Takes back a line that kept things beside parts and craft.
pub(crate) fn taken_back(conn: &Connection, seq: i64, at: Moment) -> Result<(), Trouble> {
    let not = || WorkshopFault::NotTakenBack { line: seq };
    if seq < 1 || seq > journal::last_seq(conn)? {
        return Err(not().into());
    }
    let line = journal::line_of(conn, seq)?;
    let sql = "SELECT count(*) FROM journal WHERE kind = 'undone' AND target = ?1";
    let before: i64 = conn.prepare_cached(sql)?.query_row([seq], |row| row.get(0))?;
    if line.kind != JournalKind::Kept || before > 0 {
        return Err(not().into());
    }
    let draft = turned(conn, "the journal", &line, Way::Back)?;
    let entry = Entry::of_workshop(at, JournalKind::Undone, format!("Undo: {}", line.what));
    journal::enter(conn, Entry { target: Some(seq), ..entry }, &draft)?;
    Ok(())
}

/// The rows that take a line back, or make it again.
fn turned(conn: &Connection, subject: &str, line: &JournalLine, way: Way) -> Result<Draft, Trouble> {
    let (from, to) = match way {
        Way::Back => (line.after()?, line.before()?),
        Way::Again => (line.before()?, line.after()?),
    };
    let mut draft = Draft::default();
    for ((key, from), (_, to)) in from.into_iter().zip(to) {
        let now: Option<Value> = row::get(conn, &key)?;
        let stays = now == to || (to.is_none() && stays_in_use(conn, &key, line)?);
        if stays {
            continue;
        }
        let gone = match &key {
            Key::Uses(_, part) if to.is_some() && !will_be_there(conn, part, &draft)? => {
                Some(Key::Part(part.clone()))
            }
            _ => None,
        };
        if now != from || gone.is_some() {
            let key = gone.unwrap_or(key);
            let (subject, what, thing) = (subject.to_owned(), line.what.clone(), key.to_string());
            // Where a craft or part was changed is worth telling; what is kept beside them is changed in one place only.
            let told = !matches!(key, Key::Kept(..));
            let later = later_change(conn, line.seq, &key)?.filter(|_| told).map(Box::new);
            return Err(WorkshopFault::ChangedSince { subject, what, thing, later }.into());
        }
        draft.set_raw(key, now, to);
    }
    Ok(draft)
}

/// Whether a part that would go is used by a craft the line is not about.
fn stays_in_use(conn: &Connection, key: &Key, line: &JournalLine) -> Result<bool, Trouble> {
    let Key::Part(part) = key else { return Ok(false) };
    let by: Vec<CraftId> =
        users(conn, part)?.into_iter().filter(|craft| Some(craft) != line.craft.as_ref()).collect();
    if !by.is_empty() && line.part.is_some() {
        // Here the going of the part is all there is to do.
        return Err(WorkshopFault::PartInUse { part: part.clone(), by }.into());
    }
    Ok(!by.is_empty())
}

fn will_be_there(conn: &Connection, part: &PartId, draft: &Draft) -> Result<bool, Trouble> {
    let key = Key::Part(part.clone());
    Ok(draft.brings(&key) || row::get::<Value>(conn, &key)?.is_some())
}

/// The latest line after `seq` that touched a row.
fn later_change(conn: &Connection, seq: i64, key: &Key) -> Result<Option<Later>, Trouble> {
    for number in (seq + 1..=journal::last_seq(conn)?).rev() {
        let line = journal::line_of(conn, number)?;
        if line.after()?.iter().any(|(touched, _)| touched == key) {
            return Ok(Some(Later { at: line.at, what: line.what, craft: line.craft }));
        }
    }
    Ok(None)
}

#[cfg(test)]
#[path = "history_tests.rs"]
mod tests;
