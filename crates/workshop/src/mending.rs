//! Mending sessions: one row for each, as text its owner understands, and a line of the record for each change of it.
//!
//! A session outlives the page it was begun on and the craft it was about. The lines change no row of a craft, so that undo passes
//! them by; what was answered, taken back and found stands in them in words, with the moment.

use crate::draft::Draft;
use crate::fault::{Trouble, WorkshopFault};
use crate::journal::{self, Entry};
use crate::row::{self, checksum};
use crate::{JournalKind, Keep, Moment, Workshop, keeping, setting};
use craft::CraftId;
use rusqlite::{Connection, OptionalExtension};

/// The longest text of a session, in bytes.
const SESSION_BYTES_MAX: usize = 1 << 20;

/// A session as it is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MendingRow {
    /// Its number, rising from 1.
    pub number: i64,
    /// The craft it is about.
    pub craft: String,
    /// Whether it has ended.
    pub ended: bool,
    /// The session as text.
    pub text: String,
}

impl Workshop {
    /// Every mending session of a craft, or of all, newest first.
    pub fn mendings(&self, craft: Option<&CraftId>) -> Result<Vec<MendingRow>, WorkshopFault> {
        self.read(|conn| rows(conn, craft))
    }

    /// Keeps a session: a new one without a number, or as it now stands; gives its number. `what` says in words what happened. The
    /// journal entry that its end leaves, if one, goes in with it: both are there or neither is.
    pub fn keep_mending(
        &mut self,
        number: Option<i64>,
        craft: &CraftId,
        text: &str,
        ended: Ended,
        what: String,
        at: Moment,
    ) -> Result<i64, WorkshopFault> {
        self.write(|conn| {
            if text.len() > SESSION_BYTES_MAX {
                let what = format!("a mending session of {} bytes must be at most {SESSION_BYTES_MAX}; end it and begin another", text.len());
                return Err(WorkshopFault::Unsound { what }.into());
            }
            let number = match number {
                Some(number) => number,
                None => conn.query_row("SELECT coalesce(max(number), 0) + 1 FROM mending", [], |row| row.get(0))?,
            };
            let over = !matches!(ended, Ended::No);
            let sum = sum(number, craft.as_str(), over, text);
            conn.execute(
                "INSERT INTO mending (number, craft, ended, text, sum) VALUES (?1, ?2, ?3, ?4, ?5) \
                 ON CONFLICT (number) DO UPDATE SET ended = excluded.ended, text = excluded.text, sum = excluded.sum",
                rusqlite::params![number, craft.as_str(), over, text, sum],
            )?;
            let mut draft = Draft::default();
            if let Ended::WithEntry(mut entry) = ended {
                entry.search = Some(number);
                let demo = row::stored(conn, craft)?.is_some_and(|stored| stored.row.demo);
                keeping::enter(conn, &mut draft, &Keep::Entry(None, *entry), demo)?;
            }
            journal::enter(conn, Entry::of_craft(at, JournalKind::Noted, craft, what), &draft)?;
            Ok(number)
        })
    }
}

/// The longest text of fault knowledge of one's own, in bytes.
const KNOWLEDGE_BYTES_MAX: usize = 1 << 18;
/// The key under which it lies.
const KNOWLEDGE: &str = "mend.knowledge";

impl Workshop {
    /// The fault knowledge of one's own, as text, if there is any.
    pub fn knowledge(&self) -> Result<Option<String>, WorkshopFault> {
        self.setting(KNOWLEDGE)
    }

    /// Keeps fault knowledge of one's own in the place of what there was; `None` takes it out. `what` says it in words.
    pub fn keep_knowledge(
        &mut self,
        text: Option<&str>,
        what: &str,
        at: Moment,
    ) -> Result<(), WorkshopFault> {
        self.write(|conn| {
            if text.is_some_and(|text| text.len() > KNOWLEDGE_BYTES_MAX) {
                let what = format!(
                    "fault knowledge may have at most {KNOWLEDGE_BYTES_MAX} bytes; leave some of it out"
                );
                return Err(WorkshopFault::Unsound { what }.into());
            }
            setting::put(conn, KNOWLEDGE, text)?;
            journal::enter(
                conn,
                Entry::of_workshop(at, JournalKind::Noted, what.to_owned()),
                &Draft::default(),
            )?;
            Ok(())
        })
    }
}

/// Whether a session has ended, and what that leaves in the journal.
#[derive(Clone, Debug, PartialEq)]
pub enum Ended {
    /// It is still open.
    No,
    /// With an entry in the journal of its craft.
    WithEntry(Box<care::Entry>),
}

fn sum(number: i64, craft: &str, ended: bool, text: &str) -> i64 {
    checksum([number.to_string().as_str(), craft, if ended { "ended" } else { "open" }, text].into_iter())
}

fn rows(conn: &Connection, craft: Option<&CraftId>) -> Result<Vec<MendingRow>, Trouble> {
    // A reader may have opened a file of a form that had no such table yet.
    let there: Option<i64> = conn
        .query_row("SELECT 1 FROM sqlite_master WHERE name = 'mending'", [], |row| row.get(0))
        .optional()?;
    if there.is_none() {
        return Ok(Vec::new());
    }
    let condition = if craft.is_some() { "craft = ?1" } else { "?1 IS NULL" };
    let sql =
        format!("SELECT number, craft, ended, text, sum FROM mending WHERE {condition} ORDER BY number DESC");
    let mut statement = conn.prepare_cached(&sql)?;
    let mut found = statement.query([craft.map(CraftId::as_str)])?;
    let mut rows = Vec::new();
    while let Some(row) = found.next()? {
        let kept =
            MendingRow { number: row.get(0)?, craft: row.get(1)?, ended: row.get(2)?, text: row.get(3)? };
        if sum(kept.number, &kept.craft, kept.ended, &kept.text) != row.get::<_, i64>(4)? {
            return Err(Trouble::Rotten(format!(
                "mending session {} is not as it was written; its checksum differs",
                kept.number
            )));
        }
        rows.push(kept);
    }
    Ok(rows)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::Ended;
    use crate::at_hand::{craft, moment, workshop};
    use care::{Entry, EntryKind};

    #[test]
    fn a_session_is_kept_and_leaves_its_line_each_time() {
        let mut shop = workshop();
        shop.import(&craft("racer", 50.0), "", moment(1)).unwrap();
        let id = craft("racer", 50.0).id;
        let number = shop
            .keep_mending(None, &id, "{}", Ended::No, "Mending begun: no picture".into(), moment(2))
            .unwrap();
        assert_eq!(
            shop.keep_mending(
                Some(number),
                &id,
                "{\"a\":1}",
                repaired("racer"),
                "Mending ended".into(),
                moment(3)
            )
            .unwrap(),
            number
        );
        assert_eq!(
            shop.keep_mending(None, &id, "{}", Ended::No, "Mending begun: soft".into(), moment(4)).unwrap(),
            number + 1
        );
        let rows = shop.mendings(Some(&id)).unwrap();
        assert_eq!(
            rows.iter().map(|row| (row.number, row.ended)).collect::<Vec<_>>(),
            [(2, false), (1, true)]
        );
        let lines: Vec<String> =
            shop.journal(Some(&id), 3).unwrap().into_iter().map(|line| line.what).collect();
        assert_eq!(lines, ["Mending begun: soft", "Mending ended", "Mending begun: no picture"]);
        assert!(shop.can_undo(&id).unwrap().is_none_or(|what| !what.contains("Mending")));
    }

    fn repaired(craft: &str) -> Ended {
        let mut entry = Entry::new(3, EntryKind::Repaired, "harness swapped");
        entry.craft = Some(craft.to_owned());
        Ended::WithEntry(Box::new(entry))
    }

    #[test]
    fn the_end_of_a_session_and_its_entry_go_in_together_or_not_at_all() {
        let mut shop = workshop();
        shop.import(&craft("racer", 50.0), "", moment(1)).unwrap();
        let id = craft("racer", 50.0).id;
        let number = shop.keep_mending(None, &id, "{}", Ended::No, "begun".into(), moment(2)).unwrap();
        let Ended::WithEntry(mut bad) = repaired("racer") else { unreachable!() };
        bad.minutes = Some(-1.0);
        let end = Ended::WithEntry(bad);
        assert!(shop.keep_mending(Some(number), &id, "{\"a\":1}", end, "ended".into(), moment(3)).is_err());
        assert!(
            !shop.mendings(Some(&id)).unwrap()[0].ended,
            "an entry that is refused leaves the session open"
        );
        let end = repaired("racer");
        shop.keep_mending(Some(number), &id, "{\"a\":1}", end, "ended".into(), moment(3)).unwrap();
        assert!(shop.mendings(Some(&id)).unwrap()[0].ended);
        let entries = shop.kept::<Entry>().unwrap();
        assert_eq!(
            entries.iter().map(|kept| kept.thing.words.as_str()).collect::<Vec<_>>(),
            ["harness swapped"]
        );
        assert_eq!(shop.journal(None, 9).unwrap().len(), 3, "one line for each step");
    }

    #[test]
    fn a_session_that_is_not_as_written_is_told() {
        let mut shop = workshop();
        shop.import(&craft("racer", 50.0), "", moment(1)).unwrap();
        let id = craft("racer", 50.0).id;
        shop.keep_mending(None, &id, "{}", Ended::No, "x".into(), moment(2)).unwrap();
        shop.conn.execute("UPDATE mending SET text = '{ }'", []).unwrap();
        assert!(
            shop.mendings(None)
                .unwrap_err()
                .to_string()
                .contains("mending session 1 is not as it was written")
        );
    }
}
