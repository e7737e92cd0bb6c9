//! Files written where the user pointed: whole or not at all.
//!
//! The contents go to a new file in the same folder, is synced, and takes the place of the old one by a
//! rename. A link is followed first, so that it stays a link. What is no plain file (`/dev/stdout`, a pipe)
//! is written straight through.

use crate::refusal::{Cause, Refusal};
use std::fs::{self, File, OpenOptions};
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

/// Writes a file.
pub fn write(path: &Path, contents: impl AsRef<[u8]>) -> Result<(), Refusal> {
    let contents = contents.as_ref();
    let told = |cause| refusal(path, &cause);
    if path.is_dir() || path.file_name().is_none() {
        return Err(Refusal::new(Cause::Misread, format!("{path:?} is a folder")).hint("Name a file in it."));
    }
    let path = if path.exists() { fs::canonicalize(path).map_err(told)? } else { path.to_owned() };
    if path.metadata().is_ok_and(|about| !about.is_file()) {
        return through(&path, contents).map_err(told);
    }
    if path.metadata().is_ok_and(|about| about.permissions().readonly()) {
        return Err(Refusal::new(
            Cause::Misread,
            format!("{path:?} is marked read-only; nothing was written"),
        )
        .hint("Unmark it, or name another file."));
    }
    replace(&path, contents).map_err(|cause| refusal(&path, &cause))
}

fn through(path: &Path, contents: &[u8]) -> std::io::Result<()> {
    let mut file = OpenOptions::new().write(true).open(path)?;
    match file.write_all(contents) {
        Err(cause) if cause.kind() == ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

fn replace(path: &Path, contents: &[u8]) -> std::io::Result<()> {
    let (beside, mut file) = new_file_beside(path)?;
    let written = file.write_all(contents).and_then(|()| file.sync_all());
    drop(file);
    let placed = written.and_then(|()| {
        if let Ok(about) = path.metadata() {
            fs::set_permissions(&beside, about.permissions())?;
        }
        fs::rename(&beside, path)
    });
    if placed.is_err() {
        // The half-written file is of no use to anybody; that it cannot be removed either changes nothing.
        let _ = fs::remove_file(&beside);
    }
    placed
}

/// A file that was not there before, in the same folder.
fn new_file_beside(path: &Path) -> std::io::Result<(PathBuf, File)> {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let mut number = 0_u32;
    loop {
        let beside = path.with_file_name(format!(".{name}.{}-{number}.part", std::process::id()));
        match OpenOptions::new().write(true).create_new(true).open(&beside) {
            Err(cause) if cause.kind() == ErrorKind::AlreadyExists && number < 100 => number += 1,
            other => return other.map(|file| (beside, file)),
        }
    }
}

fn refusal(path: &Path, cause: &std::io::Error) -> Refusal {
    let (words, hint) = match cause.kind() {
        ErrorKind::NotFound if path.parent().is_some_and(Path::is_dir) => {
            ("its folder takes no files", "Name another place.")
        }
        ErrorKind::NotFound => ("there is no such folder", "Make the folder first, or name another file."),
        ErrorKind::NotADirectory => ("what should be its folder is a file", "Name another place."),
        ErrorKind::PermissionDenied => ("you may not write there", "Name another place."),
        ErrorKind::ReadOnlyFilesystem => ("the disk is read-only", "Name another place."),
        ErrorKind::StorageFull => ("the disk is full", "Free some room and do it again."),
        ErrorKind::InvalidFilename => ("the name cannot be", "Name it shorter and without special letters."),
        _ => return Refusal::new(Cause::Ours, format!("{path:?} was not written: {cause}")),
    };
    Refusal::new(Cause::Misread, format!("{path:?} was not written: {words}")).hint(hint)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_replaced_whole_and_nothing_else_is_left() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.svg");
        write(&path, "one").unwrap();
        write(&path, "two").unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "two");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn what_cannot_be_written_is_told_by_its_reason() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("file");
        fs::write(&file, "x").unwrap();
        let told = |path: &Path| write(path, "x").unwrap_err().to_string();
        assert!(told(folder.path()).contains("is a folder"));
        assert!(told(&folder.path().join("no/a.svg")).contains("no such folder"));
        assert!(told(&file.join("a.svg")).contains("is a file"), "{}", told(&file.join("a.svg")));
    }

    #[cfg(unix)]
    #[test]
    fn a_link_stays_a_link() {
        let folder = tempfile::tempdir().unwrap();
        let (file, link) = (folder.path().join("file"), folder.path().join("link"));
        fs::write(&file, "x").unwrap();
        std::os::unix::fs::symlink(&file, &link).unwrap();
        write(&link, "y").unwrap();
        assert!(link.symlink_metadata().unwrap().is_symlink());
        assert_eq!(fs::read_to_string(&file).unwrap(), "y");
    }
}
