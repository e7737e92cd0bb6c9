//! Putting the last good backup in the place of a damaged workshop. Nothing is ever deleted.
//!
//! The damaged file and its log go to `NAME.damaged-1` (or the next free number). The log goes first: the
//! store would replay it into whatever lies under the name. Then the damaged file gets its second name and the
//! copy of the backup takes the first in one step, so that at every moment there is a file under the name.

use crate::Workshop;
use crate::fault::WorkshopFault;
use crate::hold::{Hold, beside};
use crate::open::{check_path, disk_fault, folder_of, is_sound, real_path};
use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// What restoring did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Restored {
    /// The backup that was put in place; it is still there too.
    pub backup: PathBuf,
    /// Where the damaged file went, if there was one.
    pub damaged: Option<PathBuf>,
}

/// How many backups are looked at before giving up.
const LOOKED_AT_MAX: usize = 20;

impl Workshop {
    /// Puts the last good backup beside a workshop in its place.
    pub fn restore_from_backup(path: impl AsRef<Path>) -> Result<Restored, WorkshopFault> {
        let path = &*real_path(path.as_ref());
        let none = || WorkshopFault::NoBackup { path: path.to_owned() };
        let backup = last_good_backup(path).ok_or_else(none)?;
        Self::restore_from(path, backup)
    }

    /// Puts a backup in the place of a workshop.
    pub fn restore_from(path: impl AsRef<Path>, backup: impl AsRef<Path>) -> Result<Restored, WorkshopFault> {
        let (path, backup) = (&*real_path(path.as_ref()), backup.as_ref());
        check_path(path)?;
        let _hold = Hold::take(path)?;
        if !is_sound(backup) {
            let what = "it is missing, damaged, or no workshop, so nothing was restored from it".to_owned();
            return Err(WorkshopFault::NotAWorkshop { path: backup.to_owned(), what });
        }
        let disk = |doing| move |source| disk_fault(path, doing, source);
        let half = beside(path, ".half-restored");
        fs::copy(backup, &half).map_err(disk("copy the backup"))?;
        File::options().write(true).open(&half).and_then(|file| file.sync_all()).map_err(disk("sync it"))?;

        let aside = (1..)
            .map(|n: u32| beside(path, &format!(".damaged-{n}")))
            .find(|name| ["", "-wal", "-shm"].iter().all(|ending| !beside(name, ending).exists()));
        let Some(aside) = aside else { return Err(WorkshopFault::NoBackup { path: path.to_owned() }) };
        for ending in ["-wal", "-shm"] {
            if beside(path, ending).exists() {
                fs::rename(beside(path, ending), beside(&aside, ending))
                    .map_err(disk("move its log aside"))?;
            }
        }
        let damaged = path.exists().then(|| aside.clone());
        if path.exists() {
            // Some file systems know no second names; there the file is moved, with a short gap.
            fs::hard_link(path, &aside)
                .or_else(|_| fs::rename(path, &aside))
                .map_err(disk("move it aside"))?;
        }
        fs::rename(&half, path).map_err(disk("put the backup in place"))?;
        sync_folder(path).map_err(disk("sync its folder"))?;
        Ok(Restored { backup: backup.to_owned(), damaged })
    }
}

/// The files beside a workshop that are named as its backups.
pub(crate) fn backups_of(path: &Path) -> Vec<PathBuf> {
    let Some(name) = path.file_name().map(|name| name.to_string_lossy().into_owned()) else {
        return Vec::new();
    };
    let Ok(folder) = fs::read_dir(folder_of(path)) else { return Vec::new() };
    let is_one = |found: &str| {
        let middle = found.strip_prefix(&name).and_then(|rest| rest.strip_suffix(".backup"));
        middle.is_some_and(|middle| {
            [".kept-", ".made-", ".before-v"].iter().any(|word| middle.starts_with(word))
        })
    };
    let files = folder.flatten().map(|entry| entry.path()).filter(|path| path.is_file());
    files.filter(|path| path.file_name().and_then(|name| name.to_str()).is_some_and(is_one)).collect()
}

/// The newest backup beside a workshop that holds together.
pub(crate) fn last_good_backup(path: &Path) -> Option<PathBuf> {
    let mut named: Vec<(SystemTime, PathBuf)> = backups_of(path)
        .into_iter()
        .filter_map(|path| Some((fs::metadata(&path).and_then(|about| about.modified()).ok()?, path)))
        .collect();
    named.sort();
    named.into_iter().rev().take(LOOKED_AT_MAX).map(|(_, path)| path).find(|path| is_sound(path))
}

/// Makes a change of names in a folder last through a power cut, where the system knows how.
pub(crate) fn sync_folder(path: &Path) -> io::Result<()> {
    if cfg!(unix) { File::open(folder_of(path))?.sync_all() } else { Ok(()) }
}

#[cfg(test)]
#[path = "restore_tests.rs"]
mod tests;
