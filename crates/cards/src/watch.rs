//! Progress, and the word to stop: asked before each thing that is done to a card.

use std::io;

/// What is about to be done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Deed {
    /// A temporary file is begun.
    Begin {
        /// The name it shall have in the end.
        name: String,
    },
    /// Bytes go into it.
    Write {
        /// How many are in it.
        done: u64,
        /// How many there will be.
        of: u64,
    },
    /// A file or folder is forced onto the card.
    Sync,
    /// Bytes are read back.
    ReadBack {
        /// How many were read.
        done: u64,
        /// How many there are.
        of: u64,
    },
    /// From here on the new state holds: the record of what is left to do is put in place.
    Commit,
    /// An old file is taken away.
    Remove {
        /// Its name.
        name: String,
    },
    /// A temporary file gets its name.
    Rename {
        /// The name.
        name: String,
    },
    /// The record is taken away: all is done.
    Finish,
}

/// What is to be done about it.
#[derive(Debug)]
pub enum Turn {
    /// Go on.
    GoOn,
    /// Stop, and leave the card as it was. After the commit it is too late, and the writing goes on.
    Stop,
    /// Behave as if the machine had said this.
    Fail(io::Error),
}

/// Who is asked.
pub trait Watch {
    /// Something is about to be done.
    fn before(&mut self, deed: &Deed) -> Turn;
}

/// Nobody looks, nobody stops it.
pub struct Unwatched;

impl Watch for Unwatched {
    fn before(&mut self, _: &Deed) -> Turn {
        Turn::GoOn
    }
}

impl<F: FnMut(&Deed) -> Turn> Watch for F {
    fn before(&mut self, deed: &Deed) -> Turn {
        self(deed)
    }
}
