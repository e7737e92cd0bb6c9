//! The master copy of an image: looked at once when it is taken in, and again whenever it is copied. It is only ever read.

use crate::CardFault;
use firmware::{Digest, IMAGE_BYTES_MAX, Summing};
use std::fs::{self, File};
use std::io::{ErrorKind, Read};
use std::path::Path;

/// What a master file is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Master {
    /// Its digest.
    pub digest: Digest,
    /// Its size, in bytes.
    pub size: u64,
}

/// How much is read at a time, in bytes.
pub(crate) const AT_A_TIME: usize = 1 << 18;

/// Opens a master after looking at its size, so that a wrong file is not read for minutes.
pub(crate) fn open_master(path: &Path) -> Result<(File, u64), CardFault> {
    let fault = |source: std::io::Error| match source.kind() {
        ErrorKind::NotFound => CardFault::NoMaster { path: path.to_owned() },
        _ => CardFault::Disk { path: path.to_owned(), doing: "read it", source },
    };
    let about = fs::metadata(path).map_err(fault)?;
    match about.len() {
        _ if about.is_dir() => Err(CardFault::FolderMaster { path: path.to_owned() }),
        0 => Err(CardFault::EmptyMaster { path: path.to_owned() }),
        bytes if bytes > IMAGE_BYTES_MAX => {
            Err(CardFault::LargeMaster { path: path.to_owned(), bytes, most: IMAGE_BYTES_MAX })
        }
        bytes => Ok((File::open(path).map_err(fault)?, bytes)),
    }
}

/// Reads a master to its end and sums it.
pub fn look_at_master(path: &Path) -> Result<Master, CardFault> {
    let (file, _) = open_master(path)?;
    let (digest, size) =
        summed(file).map_err(|source| CardFault::Disk { path: path.to_owned(), doing: "read it", source })?;
    Ok(Master { digest, size })
}

/// The digest and length of all that a file gives.
pub(crate) fn summed(mut file: File) -> std::io::Result<(Digest, u64)> {
    let mut buffer = vec![0; AT_A_TIME];
    let (mut summing, mut size) = (Summing::default(), 0);
    loop {
        let read = file.read(&mut buffer)?;
        if read == 0 {
            return Ok((summing.digest(), size));
        }
        summing.put(&buffer[..read]);
        size += read as u64;
    }
}
