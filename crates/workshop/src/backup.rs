//! Backups: a whole copy of the workshop as it stands, while it is in use.
//!
//! The copy is made by the store's own means in one go under a read lock, into a file beside its place; it is
//! examined, synced to disk, and only then moved into place. So a file named as a backup is always a
//! whole one, and an older one is replaced only by a newer whole one.
//!
//! Names: `NAME.before-vN.backup` before migration to form N; `NAME.kept-20310504T093000Z.backup` now and then, of
//! which only the newest stay; `NAME.made-20310504T093000Z.backup` when the user asks, which all stay.

use crate::fault::{Trouble, WorkshopFault};
use crate::hold::{Hold, beside};
use crate::open::{check_path, clear_away, connect, disk_fault, is_sound, looks_like_one, real_path};
use crate::restore::sync_folder;
use crate::{Moment, Workshop};
use rusqlite::backup::{Backup, StepResult};
use rusqlite::{Connection, OpenFlags};
use std::fs::{self, File};
use std::path::{Path, PathBuf};

impl Workshop {
    /// Copies the workshop to a file, which is a whole workshop itself. An older workshop or backup there is
    /// replaced; anything else, and a workshop in use, is left alone.
    pub fn backup(&self, to: impl AsRef<Path>) -> Result<(), WorkshopFault> {
        let to = &real_path(to.as_ref());
        check_path(to)?;
        check_target(&self.path, to)?;
        let _at_rest = if beside(to, ".lock").exists() { Some(Hold::take(to)?) } else { None };
        write_copy(&self.conn, to).map_err(|trouble| trouble.told(to))
    }

    /// The name for a backup beside the workshop that the user asks for. Such a backup is never taken away, and is
    /// among those offered should the workshop be damaged.
    pub fn backup_name(&self, at: Moment) -> PathBuf {
        beside(&self.path, &format!(".made-{}.backup", at.compact()))
    }

    /// Makes a backup beside the workshop if the newest such one is at least `days` old, and keeps the newest `keep`.
    /// Gives the backup made.
    pub fn backup_if_older(
        &self,
        at: Moment,
        days: u32,
        keep: usize,
    ) -> Result<Option<PathBuf>, WorkshopFault> {
        // Backups from the future were made under a wrong clock and say nothing of their age.
        let newest =
            kept(&self.path).into_iter().map(|(moment, _)| moment).filter(|moment| *moment <= at).max();
        if newest.is_some_and(|newest| at.days_since(newest) < i64::from(days)) {
            return Ok(None);
        }
        let to = beside(&self.path, &format!(".kept-{}.backup", at.compact()));
        self.backup(&to)?;
        let mut all = kept(&self.path);
        // The one just made stays whatever the names of the others say.
        all.retain(|(_, name)| name != &to);
        all.sort();
        let spare = all.len().saturating_sub(keep.saturating_sub(1));
        for (_, name) in all.into_iter().take(spare) {
            fs::remove_file(&name).map_err(|source| disk_fault(&name, "take away an old backup", source))?;
        }
        Ok(Some(to))
    }
}

/// The backups made now and then, by their names.
fn kept(path: &Path) -> Vec<(Moment, PathBuf)> {
    let stem = path.file_name().map(|name| format!("{}.kept-", name.to_string_lossy())).unwrap_or_default();
    let named = |name: PathBuf| {
        let text = name.file_name()?.to_str()?.strip_prefix(&stem)?.strip_suffix(".backup")?.to_owned();
        Some((Moment::read_compact(&text)?, name))
    };
    crate::restore::backups_of(path).into_iter().filter_map(named).collect()
}

fn check_target(own: &Path, to: &Path) -> Result<(), WorkshopFault> {
    let refused = |what: &str| WorkshopFault::NotOverwritten { path: to.to_owned(), what: what.to_owned() };
    if ["-wal", "-shm", "-journal", ".lock", ".holder"].iter().any(|ending| beside(own, ending) == to) {
        return Err(refused("the workshop needs a file of that name for itself"));
    }
    if !to.exists() {
        return Ok(());
    }
    if own.exists() && fs::canonicalize(own).ok() == fs::canonicalize(to).ok() {
        return Err(refused("it is the workshop itself"));
    }
    if !looks_like_one(to) {
        return Err(refused("it is no workshop"));
    }
    if fs::metadata(beside(to, "-wal")).is_ok_and(|log| log.len() > 0) {
        return Err(refused("it is a workshop in use, or one whose log was not put away yet"));
    }
    Ok(())
}

/// Copies an open store into a file, whole or not at all.
pub(crate) fn write_copy(conn: &Connection, to: &Path) -> Result<(), Trouble> {
    let half = beside(to, &format!(".half-{}", std::process::id()));
    let written = write_half(conn, &half, to);
    if written.is_err() {
        // The fault to tell is the first one; what cannot be cleared away now is cleared before the next.
        clear_away(&half).ok();
    }
    written
}

fn write_half(conn: &Connection, half: &Path, to: &Path) -> Result<(), Trouble> {
    let disk = |doing| move |source| Trouble::from(disk_fault(to, doing, source));
    clear_away(half).map_err(disk("clear away a half-written backup"))?;
    let mut copy = connect(half, OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE)?;
    copy_whole(conn, &mut copy)?;
    // A copy of a file with a log says of itself that it has one; a backup is one file and nothing beside it.
    copy.pragma_update_and_check(None, "journal_mode", "DELETE", |_| Ok(()))?;
    copy.close().map_err(|(_, error)| error)?;
    if !is_sound(half) {
        let what =
            "the copy did not read back whole, so no backup was kept; the workshop or the disk is failing";
        return Err(Trouble::Rotten(what.to_owned()));
    }
    File::options()
        .write(true)
        .open(half)
        .and_then(|file| file.sync_all())
        .map_err(disk("sync the backup"))?;
    fs::rename(half, to).map_err(disk("put the backup in place"))?;
    sync_folder(to).map_err(disk("sync the folder"))
}

/// Copies all of one store into another.
pub(crate) fn copy_whole(from: &Connection, to: &mut Connection) -> Result<(), Trouble> {
    match Backup::new(from, to)?.step(-1)? {
        StepResult::Done => Ok(()),
        _ => {
            let code = rusqlite::ffi::Error::new(rusqlite::ffi::SQLITE_BUSY);
            Err(Trouble::Store(rusqlite::Error::SqliteFailure(code, None)))
        }
    }
}

#[cfg(test)]
#[path = "backup_tests.rs"]
mod tests;
