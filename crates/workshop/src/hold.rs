//! The hold: one program at a time may write a workshop.
//!
//! An advisory lock on `NAME.lock` is taken for as long as the workshop is open and freed by the operating
//! system when the program ends, however it ends. `NAME.holder` says who has it; it is another file
//! because some systems let nobody read a locked one. `NAME.lock` is never deleted: a program that
//! still has the deleted file open and one that makes a new one would both believe to hold it.

use crate::fault::{Holder, WorkshopFault};
use std::fs::{self, File, TryLockError};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// A lock held.
#[derive(Debug)]
pub(crate) struct Hold {
    // Closing the file frees the lock.
    _lock: File,
    word: PathBuf,
}

/// The path with something behind its name.
pub(crate) fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    PathBuf::from(name)
}

impl Hold {
    /// Takes the lock for the workshop at `path`, or says who has it.
    pub(crate) fn take(path: &Path) -> Result<Self, WorkshopFault> {
        let at = beside(path, ".lock");
        let open = File::options().create(true).truncate(false).write(true).open(&at);
        let lock = open.map_err(|source| match source.kind() {
            ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => WorkshopFault::ReadOnly {
                path: path.to_owned(),
                what: format!("its folder may not be written ({source})"),
            },
            ErrorKind::StorageFull => WorkshopFault::DiskFull { path: path.to_owned() },
            _ => WorkshopFault::Disk { path: path.to_owned(), doing: "make its lock file", source },
        })?;
        let word = beside(path, ".holder");
        match lock.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => {
                return Err(WorkshopFault::InUse { path: path.to_owned(), by: read_word(&word) });
            }
            Err(TryLockError::Error(source)) => {
                return Err(WorkshopFault::Disk { path: path.to_owned(), doing: "lock it", source });
            }
        }
        let hold = Self { _lock: lock, word };
        if hold.leave_word(path, None).is_err() {
            // A full disk must not keep anyone from opening. Without a word a second program is told less;
            // with that of an earlier holder it would be told wrong.
            fs::remove_file(&hold.word).ok();
        }
        Ok(hold)
    }

    /// Says who holds it.
    pub(crate) fn leave_word(&self, path: &Path, address: Option<&str>) -> Result<(), WorkshopFault> {
        let text = format!("{}\n{}\n", std::process::id(), address.unwrap_or_default());
        fs::write(&self.word, text).map_err(|source| match source.kind() {
            ErrorKind::StorageFull => WorkshopFault::DiskFull { path: path.to_owned() },
            _ => WorkshopFault::Disk { path: path.to_owned(), doing: "say who holds it", source },
        })
    }
}

impl Drop for Hold {
    fn drop(&mut self) {
        // Best effort: a word left behind is only read while somebody holds the lock, who then wrote anew.
        fs::remove_file(&self.word).ok();
    }
}

fn read_word(word: &Path) -> Holder {
    let text = fs::read_to_string(word).unwrap_or_default();
    let mut lines = text.lines();
    let process = lines.next().and_then(|line| line.parse().ok());
    let address = lines.next().filter(|line| !line.is_empty()).map(str::to_owned);
    Holder { process, address }
}
