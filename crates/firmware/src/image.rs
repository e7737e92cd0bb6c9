//! What is an image: a file for some kinds of unit, known by its digest.

use crate::{Digest, End, Unit, Version};
use serde::{Deserialize, Serialize};

/// The largest image taken, in bytes: 1 GiB. Images of such units are some tens of MiB (common practice); a file beyond
/// this is something else, such as a copy of a whole card.
pub const IMAGE_BYTES_MAX: u64 = 1 << 30;

/// One kind of unit that an image is for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Fits {
    /// The kind.
    pub kind: String,
    /// The board revisions; empty for all of them.
    #[serde(default)]
    pub revisions: Vec<String>,
}

/// One image.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Image {
    /// The name of the file, for the eye.
    pub file: String,
    /// Where the master copy lies; it is only ever read.
    pub master: String,
    /// The digest of the master copy.
    pub digest: Digest,
    /// Its size, in bytes.
    pub size: u64,
    /// Its version.
    pub version: Version,
    /// What it is for.
    pub fits: Vec<Fits>,
    /// What its maker or the owner says of it.
    #[serde(default)]
    pub notes: String,
    /// A step that may not be skipped: units below this version go to it first, and those at or above it never go back below.
    #[serde(default)]
    pub step: Option<Version>,
    /// Which end is loaded first, where the notes say so.
    #[serde(default)]
    pub first: Option<End>,
}

/// How an image stands toward a unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fit {
    /// It is for this kind and revision.
    Fits,
    /// It is for this kind; the revision matters, and the unit's is not known.
    RevisionUnknown,
    /// It is for this kind, but not for this revision.
    OtherRevision,
    /// It is for other kinds.
    OtherKind,
}

impl Image {
    /// How it stands toward a unit.
    pub fn fit(&self, unit: &Unit) -> Fit {
        let same = |a: &str, b: &str| a.trim().to_lowercase() == b.trim().to_lowercase();
        let Some(fits) = self.fits.iter().find(|fits| same(&fits.kind, &unit.kind)) else {
            return Fit::OtherKind;
        };
        match &unit.revision {
            _ if fits.revisions.is_empty() => Fit::Fits,
            Some(revision) if fits.revisions.iter().any(|known| same(known, revision)) => Fit::Fits,
            Some(_) => Fit::OtherRevision,
            None => Fit::RevisionUnknown,
        }
    }

    /// What it is for, in words.
    pub fn for_words(&self) -> String {
        let one = |fits: &Fits| match fits.revisions.as_slice() {
            [] => fits.kind.clone(),
            revisions => format!("{} revision {}", fits.kind, revisions.join(" or ")),
        };
        let all: Vec<String> = self.fits.iter().map(one).collect();
        if all.is_empty() { "no kind at all".to_owned() } else { all.join(", ") }
    }
}
