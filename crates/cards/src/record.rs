//! The record on a card: what is left to do when all new files are whole.
//!
//! It lies at the top of the card from the moment the new state holds until everything has its name. If the power goes
//! before it is there, the card is as it was; after that, [`settle`](crate::settle) does the rest. It is put in place by
//! one rename, after it was forced onto the card under a temporary name.

use crate::CardFault;
use crate::fault::told;
use crate::paths::{RECORD, half_of, sync_folder};
use firmware::Digest;
use serde::{Deserialize, Serialize};
use std::fs::{self, File};
use std::io::{ErrorKind, Read, Write};
use std::path::{Path, PathBuf};

/// Records put aside side by side at most; after that the first is replaced.
const ASIDE_MOST: usize = 10;
/// The largest record read, in bytes.
const RECORD_BYTES_MAX: u64 = 64 * 1024;

/// One file of the new state.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct NewFile {
    /// Its steps on the card.
    pub steps: Vec<String>,
    /// Its digest.
    pub digest: Digest,
}

/// What is left to do.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Record {
    /// Files that get their names.
    pub files: Vec<NewFile>,
    /// Files that go, by their steps.
    pub gone: Vec<Vec<String>>,
}

impl Record {
    /// The record on a card, if there is a whole one.
    pub fn on(card: &Path) -> Result<Option<Self>, CardFault> {
        let path = card.join(RECORD);
        match fs::symlink_metadata(&path) {
            Ok(about) if about.is_symlink() => return Err(CardFault::Link { path }),
            Ok(about) if !about.is_file() => return Err(Self::aside(card, "it is no file".to_owned())),
            Err(source) if source.kind() == ErrorKind::NotFound => return Ok(None),
            _ => {}
        }
        let mut text = String::new();
        let read = File::open(&path).and_then(|file| file.take(RECORD_BYTES_MAX).read_to_string(&mut text));
        match read {
            Err(source) if source.kind() == ErrorKind::InvalidData => {
                return Err(Self::aside(card, "it is torn".to_owned()));
            }
            read => read.map_err(|source| told(card, &path, "read it", source))?,
        };
        serde_json::from_str(&text)
            .map(Some)
            .map_err(|error| Self::aside(card, format!("it makes no sense ({error})")))
    }

    /// Puts a record aside that cannot be carried out, so that it does not keep the card from being written for good.
    pub fn aside(card: &Path, why: String) -> CardFault {
        let record = card.join(RECORD);
        let mut names = (1..ASIDE_MOST).map(|number| match number {
            1 => record.with_extension("bad"),
            _ => record.with_extension(format!("bad-{number}")),
        });
        let free = |path: &PathBuf| fs::symlink_metadata(path).is_err();
        let aside = names.find(free).unwrap_or_else(|| record.with_extension("bad"));
        match fs::rename(&record, &aside).map_err(|source| told(card, &record, "put it aside", source)) {
            Ok(()) => match sync_folder(card, card) {
                Ok(()) => CardFault::BadRecord { record, aside, why },
                Err(fault) => fault,
            },
            Err(fault) => fault,
        }
    }

    /// Forces it onto the card under its temporary name.
    pub fn prepare(&self, card: &Path) -> Result<(), CardFault> {
        let half = half_of(&card.join(RECORD));
        if half.is_dir() {
            return Err(CardFault::FolderInTheWay { path: half });
        }
        let text = serde_json::to_string(self).unwrap_or_default();
        let write = || {
            let mut file = File::create(&half)?;
            file.write_all(text.as_bytes())?;
            file.sync_all()
        };
        write().map_err(|source| told(card, &half, "write the record", source))
    }

    /// Puts it in place.
    pub fn commit(card: &Path) -> Result<(), CardFault> {
        let path = card.join(RECORD);
        fs::rename(half_of(&path), &path)
            .map_err(|source| told(card, &path, "put the record in place", source))?;
        sync_folder(card, card)
    }

    /// Takes it away.
    pub fn finish(card: &Path) -> Result<(), CardFault> {
        let path = card.join(RECORD);
        match fs::remove_file(&path) {
            Err(source) if source.kind() != ErrorKind::NotFound => {
                Err(told(card, &path, "take the record away", source))
            }
            _ => sync_folder(card, card),
        }
    }
}
