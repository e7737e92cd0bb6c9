//! The trail: every change of the store, in order. It only grows; triggers in the file refuse all else.
//!
//! Its table is called `journal` since the first form. What pages call the journal, the owner's own words on what
//! happened to a craft, are things like any other (`keeping.rs`); putting one in is a line here.
//!
//! A line says when, what kind of event, which craft or part it concerns, and in words what was done.
//! It holds every row the event touched, before and after, so that the line alone suffices to take the
//! event back. Undo and redo are lines themselves, which name the line they are about as their target.
//!
//! Line numbers run 1, 2, 3 … without gaps; a gap means that the file is damaged.

use crate::Moment;
use crate::draft::{Draft, Rows};
use crate::fault::Trouble;
use crate::row::{checksum, id};
use craft::{CraftId, PartId};
use rusqlite::{Connection, Row, params};

macro_rules! kinds {
    ($($(#[$doc:meta])* $kind:ident = $word:literal;)*) => {
        /// What kind of event a journal line tells.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        pub enum JournalKind { $($(#[$doc])* $kind,)* }

        impl JournalKind {
            /// The word in the file and on the wire.
            pub const fn word(self) -> &'static str {
                match self { $(JournalKind::$kind => $word,)* }
            }

            fn from_word(word: &str) -> Result<Self, Trouble> {
                match word { $($word => Ok(JournalKind::$kind),)* other => Err(JournalKind::unknown(other)) }
            }
        }
    };
}

kinds! {
    /// A craft or part was begun.
    Built = "built";
    /// A craft or part was copied from another.
    Duplicated = "duplicated";
    /// A craft came from a sheet.
    Imported = "imported";
    /// A craft or part was changed.
    Edited = "edited";
    /// A change was taken back.
    Undone = "undone";
    /// A change taken back was made again.
    Redone = "redone";
    /// A craft or part was removed.
    Removed = "removed";
    /// A craft was written out as a sheet.
    Exported = "exported";
    /// The demo was put in.
    DemoLoaded = "demo_loaded";
    /// The demo was taken out.
    DemoRemoved = "demo_removed";
    /// Units, images, entries of a craft's journal and the like were kept, changed or taken out.
    Kept = "kept";
    /// Something was put on record that changed no part or craft; the end of a mending session brings its entry along.
    Noted = "noted";
}

/// One line of the journal.
#[derive(Clone, Debug, PartialEq)]
pub struct JournalLine {
    /// Its number, rising from 1.
    pub seq: i64,
    /// When.
    pub at: Moment,
    /// What kind of event.
    pub kind: JournalKind,
    /// The craft it concerns, if one.
    pub craft: Option<CraftId>,
    /// The part it concerns, if it was made on the page of parts.
    pub part: Option<PartId>,
    /// What was done, in words.
    pub what: String,
    /// The line it takes back or makes again.
    pub target: Option<i64>,
    /// The edit as JSON, if the event was one.
    pub edit: Option<String>,
    pub(crate) before: String,
    pub(crate) after: String,
}

/// What a new line says.
#[derive(Debug)]
pub(crate) struct Entry<'a> {
    pub at: Moment,
    pub kind: JournalKind,
    pub craft: Option<&'a CraftId>,
    pub part: Option<&'a PartId>,
    pub what: String,
    pub target: Option<i64>,
    pub edit: Option<String>,
}

impl<'a> Entry<'a> {
    /// A line about a craft.
    pub(crate) fn of_craft(at: Moment, kind: JournalKind, craft: &'a CraftId, what: String) -> Self {
        Self { craft: Some(craft), ..Self::of_workshop(at, kind, what) }
    }

    /// A line about a part, made on the page of parts.
    pub(crate) fn of_part(at: Moment, kind: JournalKind, part: &'a PartId, what: String) -> Self {
        Self { part: Some(part), ..Self::of_workshop(at, kind, what) }
    }

    /// A line about the workshop as a whole.
    pub(crate) fn of_workshop(at: Moment, kind: JournalKind, what: String) -> Self {
        Self { at, kind, craft: None, part: None, what, target: None, edit: None }
    }
}

impl JournalLine {
    /// The rows it touched, as they stood before.
    pub(crate) fn before(&self) -> Result<Rows, Trouble> {
        read_rows(self.seq, &self.before)
    }

    /// The rows it touched, as they stood after.
    pub(crate) fn after(&self) -> Result<Rows, Trouble> {
        read_rows(self.seq, &self.after)
    }
}

fn read_rows(seq: i64, text: &str) -> Result<Rows, Trouble> {
    serde_json::from_str(text)
        .map_err(|error| Trouble::Rotten(format!("journal line {seq} cannot be read: {error}")))
}

/// The number of the last line; 0 for an empty journal.
pub(crate) fn last_seq(conn: &Connection) -> Result<i64, Trouble> {
    Ok(conn.prepare_cached("SELECT coalesce(max(seq), 0) FROM journal")?.query_row([], |row| row.get(0))?)
}

/// Writes the rows of a draft and the line that tells of them; gives the line's number.
pub(crate) fn enter(conn: &Connection, entry: Entry<'_>, draft: &Draft) -> Result<i64, Trouble> {
    draft.write(conn)?;
    let seq = last_seq(conn)? + 1;
    let text = |rows| serde_json::to_string(&rows).map_err(|error| Trouble::Rotten(error.to_string()));
    let (before, after) = (text(draft.before())?, text(draft.after())?);
    let (at, kind) = (entry.at.to_string(), entry.kind.word());
    let (craft, part) = (entry.craft.map(CraftId::as_str), entry.part.map(PartId::as_str));
    let edit = entry.edit.as_deref();
    let sum = sum(seq, &at, kind, craft, part, &entry.what, entry.target, edit, &before, &after);
    conn.prepare_cached(
        "INSERT INTO journal (seq, at, kind, craft, part, what, target, edit, before, after, sum) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
    )?
    .execute(params![seq, at, kind, craft, part, entry.what, entry.target, edit, before, after, sum])?;
    Ok(seq)
}

#[allow(clippy::too_many_arguments)] // One for each column; a struct would only name them twice.
fn sum(
    seq: i64,
    at: &str,
    kind: &str,
    craft: Option<&str>,
    part: Option<&str>,
    what: &str,
    target: Option<i64>,
    edit: Option<&str>,
    before: &str,
    after: &str,
) -> i64 {
    let (seq, target) = (seq.to_string(), target.unwrap_or(0).to_string());
    let (craft, part, edit) = (craft.unwrap_or(""), part.unwrap_or(""), edit.unwrap_or(""));
    checksum([&seq, at, kind, craft, part, what, &target, edit, before, after].into_iter())
}

const COLUMNS: &str = "seq, at, kind, craft, part, what, target, edit, before, after, sum";

fn line(row: &Row<'_>) -> Result<JournalLine, Trouble> {
    let seq: i64 = row.get(0)?;
    let rotten = |what: &str| Trouble::Rotten(format!("journal line {seq} {what}"));
    let (at, kind): (String, String) = (row.get(1)?, row.get(2)?);
    let (craft, part): (Option<String>, Option<String>) = (row.get(3)?, row.get(4)?);
    let (what, target, edit): (String, Option<i64>, Option<String>) = (row.get(5)?, row.get(6)?, row.get(7)?);
    let (before, after): (String, String) = (row.get(8)?, row.get(9)?);
    let found = sum(
        seq,
        &at,
        &kind,
        craft.as_deref(),
        part.as_deref(),
        &what,
        target,
        edit.as_deref(),
        &before,
        &after,
    );
    if found != row.get::<_, i64>(10)? {
        return Err(rotten("is not as it was written; its checksum differs"));
    }
    Ok(JournalLine {
        seq,
        at: Moment::read(&at).ok_or_else(|| rotten(&format!("has {at:?} where a moment must stand")))?,
        kind: JournalKind::from_word(&kind)?,
        craft: craft.is_some().then(|| id(row, 3)).transpose()?,
        part: part.is_some().then(|| id(row, 4)).transpose()?,
        what,
        target,
        edit,
        before,
        after,
    })
}

/// The line of a number.
pub(crate) fn line_of(conn: &Connection, seq: i64) -> Result<JournalLine, Trouble> {
    let sql = format!("SELECT {COLUMNS} FROM journal WHERE seq = ?1");
    let mut statement = conn.prepare_cached(&sql)?;
    let mut rows = statement.query([seq])?;
    match rows.next()? {
        Some(row) => line(row),
        None => Err(Trouble::Rotten(format!("journal line {seq} is gone"))),
    }
}

/// The latest lines, newest first: of one craft, or of the whole workshop.
pub(crate) fn latest(
    conn: &Connection,
    craft: Option<&CraftId>,
    limit: u32,
) -> Result<Vec<JournalLine>, Trouble> {
    let condition = if craft.is_some() { "craft = ?1" } else { "?1 IS NULL" };
    let sql = format!("SELECT {COLUMNS} FROM journal WHERE {condition} ORDER BY seq DESC LIMIT ?2");
    let mut statement = conn.prepare_cached(&sql)?;
    let mut rows = statement.query(params![craft.map(CraftId::as_str), limit])?;
    let mut lines = Vec::new();
    while let Some(row) = rows.next()? {
        lines.push(line(row)?);
    }
    Ok(lines)
}

/// Whether lines are missing from the journal.
pub(crate) fn examine(conn: &Connection) -> Result<(), Trouble> {
    let (count, last): (i64, i64) =
        conn.query_row("SELECT count(*), coalesce(max(seq), 0) FROM journal", [], |row| {
            Ok((row.get(0)?, row.get(1)?))
        })?;
    if count == last {
        return Ok(());
    }
    Err(Trouble::Rotten(format!("its journal has {count} lines, but the last is numbered {last}")))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::at_hand::{craft, moment, workshop};

    #[test]
    fn no_line_is_ever_changed_or_taken_out() {
        let mut shop = workshop();
        shop.import(&craft("racer", 50.0), "", moment(1)).unwrap();
        for (sql, words) in [
            ("UPDATE journal SET what = 'nothing'", "no line is ever changed"),
            ("DELETE FROM journal", "no line is ever taken out"),
            ("REPLACE INTO journal SELECT * FROM journal", "the next line has the next number"),
            (
                "INSERT INTO journal (seq, at, kind, what, before, after, sum) VALUES (9, '', '', '', '', '', 0)",
                "the next line has the next number",
            ),
        ] {
            let refused = shop.conn.execute(sql, []).unwrap_err().to_string();
            assert!(refused.contains(words), "{sql}: {refused}");
        }
        assert_eq!(shop.journal(None, 9).unwrap().len(), 1);
    }

    #[test]
    fn a_line_that_is_not_as_written_is_told() {
        let mut shop = workshop();
        shop.import(&craft("racer", 50.0), "", moment(1)).unwrap();
        shop.conn
            .execute_batch("DROP TRIGGER journal_is_never_rewritten; UPDATE journal SET what = 'nothing'")
            .unwrap();
        let fault = shop.journal(None, 9).unwrap_err().to_string();
        assert!(fault.contains("journal line 1 is not as it was written; its checksum differs"), "{fault}");
    }

    #[test]
    fn lines_come_newest_first_and_no_more_than_asked() {
        let mut shop = workshop();
        for n in 1..=5 {
            shop.new_craft(&format!("Craft {n}"), None, moment(n)).unwrap();
        }
        let lines: Vec<i64> = shop.journal(None, 3).unwrap().iter().map(|line| line.seq).collect();
        assert_eq!(lines, [5, 4, 3]);
    }
}
