//! What goes wrong with cards and masters, with the mend.

use firmware::{Digest, NameFault};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

/// Why a card was not written, or a master not read.
#[derive(Debug, thiserror::Error)]
#[allow(missing_docs)] // The words of each variant say what its fields are.
pub enum CardFault {
    #[error("card {card:?} is not there; put it in and name the folder it appears under")]
    NoCard { card: PathBuf },
    #[error(
        "card {card:?} was pulled out or is gone; what lay on it before is still whole. Put it in and settle it"
    )]
    Pulled { card: PathBuf },
    #[error("card {card:?} is full; the old image on it is untouched. Empty it or take a larger one")]
    Full { card: PathBuf },
    #[error("card {card:?} may not be written: {why}; move its lock or take another")]
    ReadOnly { card: PathBuf, why: String },
    #[error("{path:?} is a link that leads elsewhere; nothing was written through it. Take another card")]
    Link { path: PathBuf },
    #[error("{path:?} is not a plain file; nothing was written. Take another card")]
    NotAFile { path: PathBuf },
    #[error("{path:?} is a folder where a file is to be written; nothing was written. Take it off the card")]
    FolderInTheWay { path: PathBuf },
    #[error(
        "card {card:?} holds more than {most} files in {folder:?}, too many to see whether a wrong image is among them; empty it or take another"
    )]
    TooManyFiles { card: PathBuf, folder: String, most: usize },
    #[error("{name:?} cannot stand on a card: {why}")]
    Name { name: String, why: NameFault },
    #[error("the copy on the card differs from the master from byte {byte}: copy again, or try another card")]
    Differs { path: PathBuf, byte: u64 },
    #[error(
        "file {path:?} is not the image that was taken in: digest {found:?} instead of {wanted:?}; fetch it anew from its maker"
    )]
    OtherMaster { path: PathBuf, wanted: Digest, found: Digest },
    #[error("image {path:?} is not there; put the masters back or take the image in anew")]
    NoMaster { path: PathBuf },
    #[error("image {path:?} is empty; fetch it anew from its maker")]
    EmptyMaster { path: PathBuf },
    #[error(
        "image {path:?} holds {bytes} bytes, more than the {most} an image may have; it is something else, such as a copy of a whole card"
    )]
    LargeMaster { path: PathBuf, bytes: u64, most: u64 },
    #[error("image {path:?} is a folder; name a file")]
    FolderMaster { path: PathBuf },
    #[error(
        "the record {record:?} of a writing that was cut off cannot be carried out: {why}. It was put aside as {aside:?} and no image was touched; write the card again"
    )]
    BadRecord { record: PathBuf, aside: PathBuf, why: String },
    #[error("stopped as asked; the card is as it was")]
    Stopped,
    #[error("{path:?}: the machine would not {doing}: {source}")]
    Disk { path: PathBuf, doing: &'static str, source: io::Error },
}

/// A fault of the machine while something was done to a path of a card.
pub(crate) fn told(card: &Path, path: &Path, doing: &'static str, source: io::Error) -> CardFault {
    let card = card.to_owned();
    match source.kind() {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded | ErrorKind::FileTooLarge => {
            CardFault::Full { card }
        }
        ErrorKind::ReadOnlyFilesystem | ErrorKind::PermissionDenied => {
            CardFault::ReadOnly { card, why: source.to_string() }
        }
        _ if !card.is_dir() => CardFault::Pulled { card },
        _ => CardFault::Disk { path: path.to_owned(), doing, source },
    }
}
