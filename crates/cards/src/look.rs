//! What is this card? Asked of the system, without writing anything.
//!
//! On Linux the table of mounts says where the file system begins and what it is called, and the device tree says
//! whether its drive can be taken out. Elsewhere nobody says, and the owner has to name the card with a yes of his own.

use crate::CardFault;
use crate::fault::told;
use crate::master::summed;
use crate::paths::{HALF, RECORD, card_root, on_card};
use firmware::{CardSeen, FileSeen, OnCard};
use std::fs::{self, File};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// Files in one folder at most: a card with more is no fresh one.
const FILES_MAX: usize = 20_000;

/// Looks at a card and at the files in each of the folders where images go.
pub fn look(card: &Path, folders: &[Vec<String>]) -> Result<CardSeen, CardFault> {
    card_root(card)?;
    let real = fs::canonicalize(card).map_err(|source| told(card, card, "find it", source))?;
    let mount = mount_of(&real);
    let is_mount = mount.as_ref().is_some_and(|mount| mount.at == real);
    let (size, free) = room(&real);
    let mut seen = Vec::new();
    for (_, folder) in folders.iter().enumerate().filter(|(number, one)| !folders[..*number].contains(one)) {
        seen.extend(files(card, folder)?);
    }
    Ok(CardSeen {
        path: card.display().to_string(),
        removable: mount.as_ref().filter(|_| is_mount).and_then(|mount| removable(&mount.device)),
        is_mount,
        file_system: mount.map(|mount| mount.kind),
        size,
        free,
        files: seen,
    })
}

fn files(card: &Path, folder: &[String]) -> Result<Vec<FileSeen>, CardFault> {
    let mut path = card.to_owned();
    for step in folder {
        let step = firmware::card_name(step).map_err(|why| CardFault::Name { name: step.clone(), why })?;
        path.push(step);
        match fs::symlink_metadata(&path) {
            Ok(about) if about.is_symlink() => return Err(CardFault::Link { path }),
            Ok(about) if !about.is_dir() => return Err(CardFault::NotAFile { path }),
            Err(source) if source.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
            Err(source) => return Err(told(card, &path, "look at it", source)),
            Ok(_) => {}
        }
    }
    let fault = |source| told(card, &path, "read the folder", source);
    let mut found = Vec::new();
    for (number, entry) in fs::read_dir(&path).map_err(fault)?.enumerate() {
        if number >= FILES_MAX {
            let (card, folder) = (card.to_owned(), format!("/{}", folder.join("/")));
            return Err(CardFault::TooManyFiles { card, folder, most: FILES_MAX });
        }
        let entry = entry.map_err(fault)?;
        let name = entry.file_name().to_string_lossy().into_owned();
        let kind = entry.file_type().map_err(fault)?;
        if kind.is_dir() || name.ends_with(HALF) || name == RECORD {
            continue;
        }
        let size = entry.metadata().map(|about| about.len()).unwrap_or(0);
        found.push(FileSeen { folder: folder.join("/"), name, size, is_link: kind.is_symlink() });
    }
    found.sort_by(|a, b| a.name.cmp(&b.name));
    Ok(found)
}

/// What lies on the card of all that was written; a file that is gone or changed is missing or has another digest.
pub fn read_back(card: &Path, written: &[OnCard]) -> Result<Vec<OnCard>, CardFault> {
    card_root(card)?;
    let mut found = Vec::new();
    for one in written {
        let steps: Vec<String> = one.file.split('/').map(str::to_owned).collect();
        let path = on_card(card, &steps)?;
        match File::open(&path).and_then(summed) {
            Ok((digest, _)) => found.push(OnCard { file: one.file.clone(), digest }),
            Err(source) if source.kind() == ErrorKind::NotFound => {}
            Err(source) => return Err(told(card, &path, "read it back", source)),
        }
    }
    Ok(found)
}

/// One mounted file system.
#[derive(Debug, PartialEq, Eq)]
struct Mount {
    device: String,
    at: PathBuf,
    kind: String,
}

/// The file system a path lies in, where the system tells.
fn mount_of(path: &Path) -> Option<Mount> {
    let text = fs::read_to_string("/proc/self/mounts").ok()?;
    let mounts = text.lines().filter_map(mount);
    mounts.filter(|mount| path.starts_with(&mount.at)).max_by_key(|mount| mount.at.as_os_str().len())
}

/// A line of the table of mounts: device, where, kind; blanks in names are written as `\040`.
fn mount(line: &str) -> Option<Mount> {
    let mut words = line.split(' ');
    let plain = |word: &str| word.replace("\\040", " ").replace("\\011", "\t").replace("\\134", "\\");
    let (device, at) = (plain(words.next()?), PathBuf::from(plain(words.next()?)));
    Some(Mount { device, at, kind: words.next()?.to_owned() })
}

/// Whether the drive of a device can be taken out; a card reader of its own kind (`mmcblk`) always can.
fn removable(device: &str) -> Option<bool> {
    let name = Path::new(device).file_name()?.to_str()?.to_owned();
    if name.starts_with("mmcblk") {
        return Some(true);
    }
    let drive = name.trim_end_matches(|c: char| c.is_ascii_digit());
    let said = fs::read_to_string(format!("/sys/block/{drive}/removable")).ok()?;
    Some(said.trim() == "1")
}

#[cfg(unix)]
fn room(path: &Path) -> (Option<u64>, Option<u64>) {
    match rustix::fs::statvfs(path) {
        Ok(about) => {
            let each = about.f_frsize;
            (about.f_blocks.checked_mul(each), about.f_bavail.checked_mul(each))
        }
        Err(_) => (None, None),
    }
}

#[cfg(not(unix))]
fn room(_: &Path) -> (Option<u64>, Option<u64>) {
    (None, None)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_line_of_mounts_reads_with_its_blanks() {
        let read = mount("/dev/sdb1 /media/my\\040card vfat rw,nosuid 0 0").unwrap();
        let at = PathBuf::from("/media/my card");
        assert_eq!(read, Mount { device: "/dev/sdb1".into(), at, kind: "vfat".into() });
        assert_eq!(mount("nonsense"), None);
    }

    #[test]
    fn a_folder_of_the_machine_is_no_card() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("note.txt"), "x").unwrap();
        let seen = look(folder.path(), &[Vec::new()]).unwrap();
        assert!(!seen.is_mount);
        assert_eq!(seen.removable, None);
        let file = |folder: &str, name: &str, size| FileSeen {
            folder: folder.into(),
            name: name.into(),
            size,
            is_link: false,
        };
        assert_eq!(seen.files, [file("", "note.txt", 1)]);
        // Each folder is looked at once; one that is not there yet is empty.
        fs::create_dir_all(folder.path().join("load/now")).unwrap();
        fs::write(folder.path().join("load/now/OLD.IMG"), "xy").unwrap();
        let deep = vec!["load".to_owned(), "now".to_owned()];
        let seen = look(folder.path(), &[deep.clone(), Vec::new(), deep, vec!["none".into()]]).unwrap();
        assert_eq!(seen.files, [file("load/now", "OLD.IMG", 2), file("", "note.txt", 1)]);
    }
}
