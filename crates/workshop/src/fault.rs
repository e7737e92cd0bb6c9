//! Everything that can go wrong with a workshop, a variant a circumstance, sorted by whose move it is.
//!
//! Inside the crate, functions give [`Trouble`]: what the store said, or a text that does not hold
//! together, or a fault already told. At the crate's door [`Trouble::told`] turns it into a
//! [`WorkshopFault`] that knows the file and, where the file is damaged, the last good backup.

use crate::{JournalKind, Moment};
use craft::{CraftId, EditFault, PartId};
use std::fmt;
use std::path::{Path, PathBuf};

/// Who holds a workshop.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Holder {
    /// The number of the process, if it left word.
    pub process: Option<u32>,
    /// Where its pages are served, if it left word.
    pub address: Option<String>,
}

impl fmt::Display for Holder {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.process, &self.address) {
            (Some(process), Some(address)) => write!(f, "process {process}, whose pages are at {address}"),
            (Some(process), None) => write!(f, "process {process}"),
            (None, Some(address)) => write!(f, "the program whose pages are at {address}"),
            (None, None) => f.write_str("another running program"),
        }
    }
}

/// A later change that stands in the way of an undo or redo.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Later {
    /// When it was made.
    pub at: Moment,
    /// What it was, in words.
    pub what: String,
    /// The craft it was made through; `None` when it was made on the page of parts.
    pub craft: Option<CraftId>,
}

/// What went wrong, with the mend. Your move first, then the machine's, then ours.
#[derive(Debug, thiserror::Error)]
#[allow(missing_docs)] // The words of each variant say what its fields are.
pub enum WorkshopFault {
    #[error("workshop {path:?} is not there{}", offer(.last_good_backup))]
    Missing { path: PathBuf, last_good_backup: Option<PathBuf> },
    #[error("workshop {path:?}: there is no folder {folder:?}; make it first or name another place")]
    NoFolder { path: PathBuf, folder: PathBuf },
    #[error("{path:?} is a folder, not a workshop; name a file in it")]
    IsAFolder { path: PathBuf },
    #[error("{path:?} is no workshop: {what}; name another file")]
    NotAWorkshop { path: PathBuf, what: String },
    #[error("workshop {path:?} is already there; open it, or name another file for the new one")]
    AlreadyThere { path: PathBuf },
    #[error("workshop {path:?} is held by {by}; use that one or end it first")]
    InUse { path: PathBuf, by: Holder },
    #[error("workshop {path:?} may not be written: {what}; nothing was changed")]
    ReadOnly { path: PathBuf, what: String },
    #[error(
        "workshop {path:?} has form {found}, this program knows forms up to {known}; open it with the newer program that wrote it"
    )]
    NewerForm { path: PathBuf, found: i64, known: i64 },
    #[error("{path:?} was not overwritten: {what}; name another file")]
    NotOverwritten { path: PathBuf, what: String },
    #[error("no craft {id:?} in this workshop{}", did_you_mean(.near))]
    NoCraft { id: String, near: Option<String> },
    #[error("no part {id:?} in this workshop{}", did_you_mean(.near))]
    NoPart { id: String, near: Option<String> },
    #[error("part {:?} is used by {}; take it out there first", .part.as_str(), listed(.by))]
    PartInUse { part: PartId, by: Vec<CraftId> },
    #[error("no {what} {id:?} in this workshop; it may have been taken out")]
    NoKept { what: &'static str, id: String },
    #[error(
        "line {line} of the trail cannot be taken back here; only what was kept by itself can, and only once"
    )]
    NotTakenBack { line: i64 },
    #[error("{subject}: nothing to undo")]
    NothingToUndo { subject: String },
    #[error("{subject}: nothing to redo")]
    NothingToRedo { subject: String },
    #[error("{subject}: {what:?} cannot be taken back or made again, for {thing} was changed since{}", by_whom(.later))]
    ChangedSince { subject: String, what: String, thing: String, later: Option<Box<Later>> },
    #[error("{why}")]
    Edit { why: Box<EditFault> },
    #[error("part {:?} is shared with craft {:?}, where this cannot stand: {why}", .part.as_str(), .craft.as_str())]
    EditElsewhere { craft: CraftId, part: PartId, why: Box<EditFault> },
    #[error("{what}; nothing was changed")]
    Unsound { what: String },

    #[error("workshop {path:?} is damaged: {what}{}", restore(.last_good_backup))]
    Damaged { path: PathBuf, what: String, last_good_backup: Option<PathBuf> },
    #[error("workshop {path:?} holds no sound backup beside it; name one to restore from")]
    NoBackup { path: PathBuf },
    #[error(
        "the disk under {path:?} is full; nothing was changed and all that was saved is safe; free some room and do it again"
    )]
    DiskFull { path: PathBuf },
    #[error("workshop {path:?} stayed busy for {seconds} s; nothing was changed; do it again")]
    Busy { path: PathBuf, seconds: u64 },
    #[error("{path:?}: the machine would not {doing}")]
    Disk { path: PathBuf, doing: &'static str, source: std::io::Error },

    #[error(
        "workshop {path:?}: the store refused; nothing was changed; this is a fault of the program, please report it"
    )]
    Store { path: PathBuf, source: rusqlite::Error },
}

impl WorkshopFault {
    /// The sound backup that may be put in the file's place, where this fault knows one.
    pub fn last_good_backup(&self) -> Option<&Path> {
        match self {
            Self::Damaged { last_good_backup, .. } | Self::Missing { last_good_backup, .. } => {
                last_good_backup.as_deref()
            }
            _ => None,
        }
    }

    /// Whether what was asked for is not there at all.
    pub fn is_not_found(&self) -> bool {
        matches!(
            self,
            Self::NoCraft { .. } | Self::NoPart { .. } | Self::NoKept { .. } | Self::Missing { .. }
        )
    }
}

fn offer(backup: &Option<PathBuf>) -> String {
    match backup {
        Some(backup) => format!("; its last good backup is {backup:?}: restore it or make a new workshop"),
        None => "; make a new one or name another file".to_owned(),
    }
}

fn restore(backup: &Option<PathBuf>) -> String {
    match backup {
        Some(backup) => {
            format!("; restore the last good backup {backup:?}; the damaged file is kept beside it")
        }
        None => {
            "; no sound backup lies beside it; restore one from elsewhere; keep the damaged file".to_owned()
        }
    }
}

fn did_you_mean(near: &Option<String>) -> String {
    near.as_ref().map(|near| format!("; did you mean {near:?}?")).unwrap_or_default()
}

fn listed(craft: &[CraftId]) -> String {
    let names: Vec<String> = craft.iter().map(|id| format!("craft {:?}", id.as_str())).collect();
    names.join(", ")
}

fn by_whom(later: &Option<Box<Later>>) -> String {
    match later.as_deref() {
        Some(Later { at, what, craft: Some(craft) }) => {
            format!(" through craft {:?}: {what:?} at {at}; undo that first", craft.as_str())
        }
        Some(Later { at, what, craft: None }) => {
            format!(" on the page of parts: {what:?} at {at}; undo that first")
        }
        None => "; change it by hand".to_owned(),
    }
}

/// How long a writer waits for another, in seconds.
pub(crate) const BUSY_SECONDS: u64 = 5;

/// What functions inside the crate give when something is wrong.
#[derive(Debug)]
pub(crate) enum Trouble {
    /// What the store said.
    Store(rusqlite::Error),
    /// A stored text that does not hold together; in words.
    Rotten(String),
    /// A fault already told.
    Told(Box<WorkshopFault>),
}

impl From<rusqlite::Error> for Trouble {
    fn from(error: rusqlite::Error) -> Self {
        Self::Store(error)
    }
}

impl From<WorkshopFault> for Trouble {
    fn from(fault: WorkshopFault) -> Self {
        Self::Told(Box::new(fault))
    }
}

impl Trouble {
    /// The fault to tell, for the workshop at `path`.
    pub(crate) fn told(self, path: &Path) -> WorkshopFault {
        use rusqlite::ErrorCode::*;
        let path = path.to_owned();
        let error = match self {
            Self::Told(fault) => return *fault,
            Self::Rotten(what) => return damaged(path, what),
            Self::Store(error) => error,
        };
        if is_misread(&error) {
            return damaged(path, plain(&error));
        }
        match error.sqlite_error_code() {
            Some(DiskFull) => WorkshopFault::DiskFull { path },
            Some(ReadOnly) => {
                WorkshopFault::ReadOnly { path, what: "it is open for reading only".to_owned() }
            }
            Some(PermissionDenied) => WorkshopFault::ReadOnly { path, what: "permission denied".to_owned() },
            Some(CannotOpen) => WorkshopFault::ReadOnly {
                path,
                what: "it, or a file the store needs beside it, cannot be opened".to_owned(),
            },
            Some(DatabaseCorrupt | NotADatabase) => damaged(path, plain(&error)),
            Some(DatabaseBusy | DatabaseLocked) => WorkshopFault::Busy { path, seconds: BUSY_SECONDS },
            Some(SystemIoFailure) => WorkshopFault::Disk {
                path,
                doing: "read or write it",
                source: std::io::Error::other(plain(&error)),
            },
            _ => WorkshopFault::Store { path, source: error },
        }
    }
}

pub(crate) fn damaged(path: PathBuf, what: String) -> WorkshopFault {
    let last_good_backup = crate::restore::last_good_backup(&path);
    WorkshopFault::Damaged { path, what, last_good_backup }
}

/// Whether a column held something other than its table allows.
pub(crate) fn is_misread(error: &rusqlite::Error) -> bool {
    use rusqlite::Error::*;
    matches!(
        error,
        InvalidColumnType(..) | FromSqlConversionFailure(..) | IntegralValueOutOfRange(..) | Utf8Error(..)
    )
}

/// The store's own words, without its codes.
pub(crate) fn plain(error: &rusqlite::Error) -> String {
    match error {
        rusqlite::Error::SqliteFailure(_, Some(words)) => words.clone(),
        other => other.to_string(),
    }
}

impl JournalKind {
    /// Why a line of a kind this program does not know cannot be read.
    pub(crate) fn unknown(word: &str) -> Trouble {
        Trouble::Rotten(format!("the journal holds a line of unknown kind {word:?}"))
    }
}
