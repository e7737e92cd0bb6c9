//! The form of the file: its marks, its numbered migrations, and whether it holds together.
//!
//! A workshop is an SQLite file whose application id is [`APPLICATION_ID`] and whose user version is the
//! number of the last migration it went through. A migration is one SQL file, numbered, never changed once
//! it was released; the number in the file name is its place in [`MIGRATIONS`].
//!
//! A migration that changes the JSON of rows must leave the journal alone and keep the old rows readable
//! (new fields with a default), or undo across it would restore rows nobody can read.

use crate::fault::{Trouble, is_misread, plain};
use crate::{journal, keeping, row};
use rusqlite::{Connection, ErrorCode, TransactionBehavior};

/// "Crea" in ASCII, in the header of every workshop.
pub(crate) const APPLICATION_ID: i64 = 0x4372_6561;

const MIGRATIONS: &[&str] = &[
    include_str!("migrations/0001_parts_craft_journal.sql"),
    include_str!("migrations/0002_settings.sql"),
    include_str!("migrations/0003_units_images_journal.sql"),
    include_str!("migrations/0004_mending.sql"),
];

/// The form this program writes.
pub(crate) const FORM: i64 = MIGRATIONS.len() as i64;

/// The mark and the form of a file.
pub(crate) fn marks(conn: &Connection) -> Result<(i64, i64), Trouble> {
    let mark = conn.pragma_query_value(None, "application_id", |row| row.get(0))?;
    let form = conn.pragma_query_value(None, "user_version", |row| row.get(0))?;
    Ok((mark, form))
}

/// Brings a file from its form to `to`, in one transaction.
pub(crate) fn bring_up(conn: &mut Connection, to: i64) -> Result<(), Trouble> {
    let held = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let (_, from) = marks(&held)?;
    for form in from..to {
        let sql = usize::try_from(form).ok().and_then(|form| MIGRATIONS.get(form));
        let sql = sql.ok_or_else(|| Trouble::Rotten(format!("it has form {form}, which never was")))?;
        held.execute_batch(sql)?;
    }
    held.pragma_update(None, "application_id", APPLICATION_ID)?;
    held.pragma_update(None, "user_version", to)?;
    held.commit()?;
    Ok(())
}

/// Whether the file holds together: its pages, its tables, its references, every row, the numbers of the journal.
pub(crate) fn examine(conn: &Connection) -> Result<(), Trouble> {
    look_through(conn).map_err(|trouble| match trouble {
        // What a query chokes on is the file's doing here: the queries are known to be good.
        Trouble::Store(error)
            if is_misread(&error) || error.sqlite_error_code() == Some(ErrorCode::Unknown) =>
        {
            Trouble::Rotten(plain(&error))
        }
        other => other,
    })
}

fn look_through(conn: &Connection) -> Result<(), Trouble> {
    // The whole in one transaction, or a writer in between would look like a gap.
    let held = conn.unchecked_transaction()?;
    let mut words: Vec<String> = Vec::new();
    held.pragma_query(None, "quick_check", |row| {
        words.push(row.get(0)?);
        Ok(())
    })?;
    if words != ["ok"] {
        words.truncate(3);
        return Err(Trouble::Rotten(words.join("; ").replace('\n', "; ")));
    }
    let (_, form) = marks(&held)?;
    let mut model = Connection::open_in_memory()?;
    bring_up(&mut model, form)?;
    if tables(&held)? != tables(&model)? {
        return Err(Trouble::Rotten(format!("its tables are not those of form {form}")));
    }
    let mut dangling: Vec<String> = Vec::new();
    held.pragma_query(None, "foreign_key_check", |row| {
        dangling.push(format!("a row of table {:?} refers to nothing", row.get::<_, String>(0)?));
        Ok(())
    })?;
    if let Some(first) = dangling.into_iter().next() {
        return Err(Trouble::Rotten(first));
    }
    row::examine(&held)?;
    keeping::examine(&held)?;
    journal::examine(&held)
}

/// Every table, index and trigger with its definition.
fn tables(conn: &Connection) -> Result<Vec<(String, String)>, Trouble> {
    let sql = "SELECT name, sql FROM sqlite_schema WHERE name NOT LIKE 'sqlite~_%' ESCAPE '~' ORDER BY name";
    let mut statement = conn.prepare(sql)?;
    let rows = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
    Ok(rows.collect::<Result<_, _>>()?)
}

#[cfg(test)]
#[path = "form_tests.rs"]
mod tests;
