//! Opening and making a workshop: everything that may be wrong with a path or a file, told apart.
//!
//! Order: the path; the lock; the first bytes; the marks; whether the file holds together; then, if its form
//! is older, a backup and the migrations. A new workshop is made under another name and moved into place
//! once it is whole, so a crash never leaves half a workshop.

use crate::Workshop;
use crate::backup::copy_whole;
use crate::fault::{BUSY_SECONDS, Trouble, WorkshopFault, damaged};
use crate::form::{self, APPLICATION_ID, FORM};
use crate::hold::{Hold, beside};
use crate::restore::{backups_of, last_good_backup, sync_folder};
use rusqlite::{Connection, OpenFlags};
use std::fs::{self, File};
use std::io::{ErrorKind, Read};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// A workshop just opened, and what opening it did.
#[derive(Debug)]
pub struct Opened {
    /// The workshop.
    pub workshop: Workshop,
    /// Whether it was made just now.
    pub made: bool,
    /// Set if the file had an older form.
    pub brought_up: Option<BroughtUp>,
}

/// A file was brought to this program's form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BroughtUp {
    /// The form it had.
    pub from: i64,
    /// The form it has now.
    pub to: i64,
    /// The backup made before.
    pub backup: PathBuf,
}

const FIRST_BYTES: &[u8; 16] = b"SQLite format 3\0";

impl Workshop {
    /// Opens a workshop for reading and writing, for this program alone.
    pub fn open(path: impl AsRef<Path>) -> Result<Opened, WorkshopFault> {
        let path = &real_path(path.as_ref());
        check_path(path)?;
        if !path.exists() {
            return Err(missing(path));
        }
        check_writable(path)?;
        let hold = Hold::take(path)?;
        open_held(path, hold)
    }

    /// Makes an empty workshop where there is no file yet, and opens it.
    pub fn create(path: impl AsRef<Path>) -> Result<Opened, WorkshopFault> {
        let path = &real_path(path.as_ref());
        check_path(path)?;
        check_folder_writable(path)?;
        let hold = Hold::take(path)?;
        if path.exists() {
            return Err(WorkshopFault::AlreadyThere { path: path.to_owned() });
        }
        make(path)?;
        Ok(Opened { made: true, ..open_held(path, hold)? })
    }

    /// Opens a workshop, or makes one if there is neither a file nor a backup of one.
    pub fn open_or_create(path: impl AsRef<Path>) -> Result<Opened, WorkshopFault> {
        match Self::open(path.as_ref()) {
            Err(WorkshopFault::Missing { last_good_backup: None, .. }) => Self::create(path),
            other => other,
        }
    }

    /// Opens a workshop for reading only, also while another program writes it.
    pub fn open_read_only(path: impl AsRef<Path>) -> Result<Workshop, WorkshopFault> {
        let path = &real_path(path.as_ref());
        check_path(path)?;
        if !path.exists() {
            return Err(missing(path));
        }
        check_first_bytes(path)?;
        let traces = Traces::before_reading(path);
        let opened = connect_read_only(path).and_then(|conn| {
            let form = check_marks(&conn, path)?;
            form::examine(&conn)?;
            if form == FORM {
                return Ok(conn);
            }
            // An older form is brought up in a copy, since the file itself may not be touched.
            let mut copy = Connection::open_in_memory()?;
            copy_whole(&conn, &mut copy)?;
            form::bring_up(&mut copy, FORM)?;
            copy.pragma_update(None, "query_only", true)?;
            Ok(copy)
        });
        let conn = match opened {
            Ok(conn) => conn,
            Err(trouble) => {
                // A damaged file is left as it is, with whatever lies beside it.
                std::mem::forget(traces);
                return Err(trouble.told(path));
            }
        };
        Ok(Workshop { conn, path: path.to_owned(), hold: None, read_only: true, _traces: traces })
    }

    /// A workshop that lies in memory and is gone when it is dropped; for tests and trials.
    pub fn in_memory() -> Result<Workshop, WorkshopFault> {
        let path = PathBuf::from(":memory:");
        let made = Connection::open_in_memory().map_err(Trouble::from).and_then(|mut conn| {
            set_up(&conn)?;
            form::bring_up(&mut conn, FORM)?;
            Ok(conn)
        });
        let conn = made.map_err(|trouble| trouble.told(&path))?;
        Ok(Workshop { conn, path, hold: None, read_only: false, _traces: None })
    }
}

fn open_held(path: &Path, hold: Hold) -> Result<Opened, WorkshopFault> {
    check_first_bytes(path)?;
    let opened = connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE).and_then(|mut conn| {
        let from = check_marks(&conn, path)?;
        form::examine(&conn)?;
        let mut brought_up = None;
        if from < FORM {
            let backup = free_name(path, &format!(".before-v{FORM}"));
            crate::backup::write_copy(&conn, &backup)?;
            form::bring_up(&mut conn, FORM)?;
            brought_up = Some(BroughtUp { from, to: FORM, backup });
        }
        conn.pragma_update_and_check(None, "journal_mode", "WAL", |_| Ok(()))?;
        Ok((conn, brought_up))
    });
    let (conn, brought_up) = opened.map_err(|trouble| trouble.told(path))?;
    let workshop =
        Workshop { conn, path: path.to_owned(), hold: Some(hold), read_only: false, _traces: None };
    Ok(Opened { workshop, made: false, brought_up })
}

/// `NAME.before-v2.backup`, or with a number if that is taken: a backup is never overwritten by itself.
fn free_name(path: &Path, middle: &str) -> PathBuf {
    let numbered = (2..).map(|n: u32| beside(path, &format!("{middle}-{n}.backup")));
    let mut names = std::iter::once(beside(path, &format!("{middle}.backup"))).chain(numbered);
    names.find(|name| !name.exists()).unwrap_or_else(|| beside(path, &format!("{middle}.backup")))
}

fn make(path: &Path) -> Result<(), WorkshopFault> {
    let disk = |doing, source| disk_fault(path, doing, source);
    let half = beside(path, ".half-made");
    // Left by a crash; the lock says that nobody is at it, and a half-made workshop holds nothing yet.
    clear_away(&half).map_err(|source| disk("clear away a half-made one", source))?;
    let made = connect(&half, OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE)
        .and_then(|mut conn| form::bring_up(&mut conn, FORM));
    made.map_err(|trouble| trouble.told(path))?;
    fs::rename(&half, path).map_err(|source| disk("put it in place", source))?;
    sync_folder(path).map_err(|source| disk("sync its folder", source))
}

pub(crate) fn disk_fault(path: &Path, doing: &'static str, source: std::io::Error) -> WorkshopFault {
    let path = path.to_owned();
    match source.kind() {
        ErrorKind::StorageFull => WorkshopFault::DiskFull { path },
        ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => {
            WorkshopFault::ReadOnly { path, what: format!("the machine would not {doing} ({source})") }
        }
        _ => WorkshopFault::Disk { path, doing, source },
    }
}

pub(crate) fn connect(path: &Path, flags: OpenFlags) -> Result<Connection, Trouble> {
    let conn = Connection::open_with_flags(path, flags | OpenFlags::SQLITE_OPEN_NO_MUTEX)?;
    set_up(&conn)?;
    Ok(conn)
}

fn set_up(conn: &Connection) -> Result<(), Trouble> {
    conn.busy_timeout(Duration::from_secs(BUSY_SECONDS))?;
    conn.pragma_update(None, "foreign_keys", true)?;
    conn.pragma_update(None, "synchronous", "FULL")?;
    conn.pragma_update(None, "cell_size_check", true)?;
    conn.pragma_update(None, "trusted_schema", false)?;
    conn.set_prepared_statement_cache_capacity(64);
    Ok(())
}

pub(crate) fn connect_read_only(path: &Path) -> Result<Connection, Trouble> {
    let open = |conn: Connection| -> Result<Connection, Trouble> {
        set_up(&conn)?;
        form::marks(&conn)?;
        Ok(conn)
    };
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let plain = Connection::open_with_flags(path, flags).map_err(Trouble::from).and_then(open);
    match (plain, still_name(path)) {
        // On a medium that cannot be written, the store can make no index for the log. Without a log it needs none.
        (Err(Trouble::Store(error)), Some(name))
            if error.sqlite_error_code() == Some(rusqlite::ErrorCode::CannotOpen)
                && !beside(path, "-wal").exists() =>
        {
            open(Connection::open_with_flags(name, flags | OpenFlags::SQLITE_OPEN_URI)?)
        }
        (plain, _) => plain,
    }
}

/// The log and its index that reading leaves beside a file: a reader may not take them away itself.
#[derive(Debug)]
pub(crate) struct Traces {
    path: PathBuf,
}

impl Traces {
    /// To be cleared away when dropped; `None` where they are there already, and somebody else's.
    fn before_reading(path: &Path) -> Option<Self> {
        let theirs = ["-wal", "-shm"].iter().any(|ending| beside(path, ending).exists());
        (!theirs).then(|| Self { path: path.to_owned() })
    }

    /// Opens the file for writing and closes it again, which clears both away unless somebody else still has
    /// it open.
    fn clear(&self) -> Result<(), Trouble> {
        // While a program holds the workshop, they are its own. Where no lock was ever made, none does.
        let lock = beside(&self.path, ".lock").exists();
        let _hold = if lock { Some(Hold::take(&self.path)?) } else { None };
        let conn = connect(&self.path, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
        form::marks(&conn).map(drop)
    }
}

impl Drop for Traces {
    fn drop(&mut self) {
        if beside(&self.path, "-wal").exists() && check_writable(&self.path).is_ok() {
            // Best effort: what stays behind does no harm.
            self.clear().ok();
        }
    }
}

/// The name by which the store opens a file that nobody changes meanwhile.
fn still_name(path: &Path) -> Option<String> {
    let whole = std::path::absolute(path).ok()?;
    let mut name = String::from("file:");
    let text = whole.to_str()?.replace('\\', "/");
    if !text.starts_with('/') {
        name.push('/');
    }
    for c in text.chars() {
        match c {
            '%' => name.push_str("%25"),
            '?' => name.push_str("%3f"),
            '#' => name.push_str("%23"),
            c => name.push(c),
        }
    }
    name.push_str("?immutable=1");
    Some(name)
}

/// The file a link leads to: one file must have one lock and one log, whatever it is called by.
pub(crate) fn real_path(path: &Path) -> PathBuf {
    match path.is_symlink() {
        true => fs::canonicalize(path).unwrap_or_else(|_| path.to_owned()),
        false => path.to_owned(),
    }
}

/// Takes away a half-written file and whatever the store put beside it.
pub(crate) fn clear_away(half: &Path) -> std::io::Result<()> {
    for ending in ["", "-wal", "-shm", "-journal"] {
        match fs::remove_file(beside(half, ending)) {
            Err(source) if source.kind() != ErrorKind::NotFound => return Err(source),
            _ => {}
        }
    }
    Ok(())
}

fn missing(path: &Path) -> WorkshopFault {
    WorkshopFault::Missing { path: path.to_owned(), last_good_backup: last_good_backup(path) }
}

pub(crate) fn folder_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_owned(),
        _ => PathBuf::from("."),
    }
}

pub(crate) fn check_path(path: &Path) -> Result<(), WorkshopFault> {
    if path.is_dir() || path.file_name().is_none() {
        return Err(WorkshopFault::IsAFolder { path: path.to_owned() });
    }
    let folder = folder_of(path);
    if !folder.is_dir() {
        return Err(WorkshopFault::NoFolder { path: path.to_owned(), folder });
    }
    Ok(())
}

fn check_writable(path: &Path) -> Result<(), WorkshopFault> {
    let refused = |what: &str| WorkshopFault::ReadOnly { path: path.to_owned(), what: what.to_owned() };
    // Asked for by its mark, not by trying: an administrator may write what is marked as read-only, but should not.
    if fs::metadata(path).is_ok_and(|about| about.permissions().readonly()) {
        return Err(refused("the file is marked read-only; unmark it, or copy it elsewhere"));
    }
    check_folder_writable(path)
}

fn check_folder_writable(path: &Path) -> Result<(), WorkshopFault> {
    // Elsewhere the mark on a folder says nothing about writing into it.
    if cfg!(unix) && fs::metadata(folder_of(path)).is_ok_and(|about| about.permissions().readonly()) {
        let what = "its folder is marked read-only; unmark it, or copy the file elsewhere".to_owned();
        return Err(WorkshopFault::ReadOnly { path: path.to_owned(), what });
    }
    Ok(())
}

/// A file that is no workshop; if backups of one lie beside it, a workshop that no longer is one.
fn no_workshop(path: &Path, what: String) -> WorkshopFault {
    if backups_of(path).is_empty() {
        WorkshopFault::NotAWorkshop { path: path.to_owned(), what }
    } else {
        damaged(path.to_owned(), what)
    }
}

fn check_first_bytes(path: &Path) -> Result<(), WorkshopFault> {
    let mut first = Vec::new();
    let read = File::open(path).and_then(|file| {
        let bytes = file.metadata()?.len();
        file.take(100).read_to_end(&mut first)?;
        Ok(bytes)
    });
    let bytes = read.map_err(|source| disk_fault(path, "read it", source))?;
    match first.as_slice() {
        [] => Err(no_workshop(path, "the file is empty".to_owned())),
        header if header.starts_with(FIRST_BYTES) => match least_bytes(header) {
            // While there is a log, the pages missing here may stand in it.
            Some(least)
                if bytes < least && !fs::metadata(beside(path, "-wal")).is_ok_and(|log| log.len() > 0) =>
            {
                let what = format!("it was cut short to {bytes} of {least} bytes");
                Err(damaged(path.to_owned(), what))
            }
            _ => Ok(()),
        },
        _ => Err(no_workshop(path, "its first bytes are not those of a workshop".to_owned())),
    }
}

/// How long a file must be by its header (SQLite file format, 1.3): pages times bytes a page, where that count holds.
fn least_bytes(header: &[u8]) -> Option<u64> {
    let four = |at: usize| Some(u32::from_be_bytes(header.get(at..at + 4)?.try_into().ok()?));
    let page = u64::from(u16::from_be_bytes(header.get(16..18)?.try_into().ok()?));
    let page = if page == 1 { 65_536 } else { page };
    (four(24)? == four(92)?).then(|| four(28).map(|pages| u64::from(pages) * page))?
}

fn check_marks(conn: &Connection, path: &Path) -> Result<i64, Trouble> {
    let (mark, form) = form::marks(conn)?;
    if mark != APPLICATION_ID {
        return Err(no_workshop(path, "it is a data file of another program".to_owned()).into());
    }
    if form > FORM {
        return Err(WorkshopFault::NewerForm { path: path.to_owned(), found: form, known: FORM }.into());
    }
    Ok(form)
}

/// Whether the file at `path` is a workshop that this program can read and that holds together.
pub(crate) fn is_sound(path: &Path) -> bool {
    let look = || -> Result<(), Trouble> {
        check_first_bytes_only(path)?;
        let conn = connect_read_only(path)?;
        let (mark, form) = form::marks(&conn)?;
        if mark != APPLICATION_ID || !(1..=FORM).contains(&form) {
            return Err(Trouble::Rotten("its marks are not those of a workshop".to_owned()));
        }
        form::examine(&conn)
    };
    look().is_ok()
}

/// Whether a file has the first bytes and the mark of a workshop, sound or not.
pub(crate) fn looks_like_one(path: &Path) -> bool {
    let mut header = [0_u8; 72];
    let read = File::open(path).and_then(|mut file| file.read_exact(&mut header));
    read.is_ok() && header.starts_with(FIRST_BYTES) && header[68..72] == (APPLICATION_ID as u32).to_be_bytes()
}

fn check_first_bytes_only(path: &Path) -> Result<(), Trouble> {
    match looks_like_one(path) {
        true => Ok(()),
        false => Err(Trouble::Rotten("its first bytes are not those of a workshop".to_owned())),
    }
}

#[cfg(test)]
#[path = "open_tests.rs"]
mod tests;
