//! Paths on a card: made of checked steps only, and never through a link.

use crate::CardFault;
use crate::fault::told;
use firmware::card_name;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// Endings of our own names on a card.
pub(crate) const HALF: &str = ".creance-half";
pub(crate) const RECORD: &str = "creance-record.json";

/// The folder of a card, if it is there and is a folder.
pub(crate) fn card_root(card: &Path) -> Result<(), CardFault> {
    if card.is_dir() { Ok(()) } else { Err(CardFault::NoCard { card: card.to_owned() }) }
}

/// A path on the card; every step is checked, and every folder on the way is a real one.
pub(crate) fn on_card(card: &Path, steps: &[String]) -> Result<PathBuf, CardFault> {
    let mut path = card.to_owned();
    for (number, step) in steps.iter().enumerate() {
        let step = card_name(step).map_err(|why| CardFault::Name { name: step.clone(), why })?;
        path.push(step);
        match fs::symlink_metadata(&path) {
            Ok(about) if about.is_symlink() => return Err(CardFault::Link { path }),
            Ok(about) if number + 1 < steps.len() && !about.is_dir() => {
                return Err(CardFault::NotAFile { path });
            }
            Ok(about) if number + 1 == steps.len() && !about.is_file() => {
                return Err(CardFault::NotAFile { path });
            }
            Err(source) if source.kind() != ErrorKind::NotFound => {
                return Err(told(card, &path, "look at it", source));
            }
            _ => {}
        }
    }
    Ok(path)
}

/// The temporary name of a path.
pub(crate) fn half_of(path: &Path) -> PathBuf {
    let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    path.with_file_name(format!("{name}{HALF}"))
}

/// Forces a folder's names onto the card. Systems that cannot open a folder keep its names with its files.
pub(crate) fn sync_folder(card: &Path, folder: &Path) -> Result<(), CardFault> {
    if !cfg!(unix) {
        return Ok(());
    }
    fs::File::open(folder)
        .and_then(|opened| opened.sync_all())
        .map_err(|source| told(card, folder, "force its names onto the card", source))
}
