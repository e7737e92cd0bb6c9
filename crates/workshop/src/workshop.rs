//! The open workshop, and the two doors through which everything passes: reading and writing.

use crate::JournalLine;
use crate::fault::{Trouble, WorkshopFault};
use crate::hold::Hold;
use crate::journal;
use crate::open::Traces;
use craft::CraftId;
use rusqlite::{Connection, Transaction, TransactionBehavior};
use std::path::{Path, PathBuf};

/// An open workshop. It may be sent to another thread; only one thread uses it at a time.
#[derive(Debug)]
pub struct Workshop {
    pub(crate) conn: Connection,
    pub(crate) path: PathBuf,
    /// Held while this program may write. Declared after `conn`, so that the store closes first.
    pub(crate) hold: Option<Hold>,
    pub(crate) read_only: bool,
    /// What reading leaves beside the file. Declared after `conn`, for the same reason.
    pub(crate) _traces: Option<Traces>,
}

impl Workshop {
    /// Where the file lies.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Whether changes are refused because it was opened for reading only.
    pub fn is_read_only(&self) -> bool {
        self.read_only
    }

    /// Leaves word where the pages of this program are served, for a second program to tell.
    pub fn announce(&self, address: &str) -> Result<(), WorkshopFault> {
        self.hold.as_ref().map_or(Ok(()), |hold| hold.leave_word(&self.path, Some(address)))
    }

    /// The latest journal lines, newest first: of one craft, or of the whole workshop.
    pub fn journal(&self, craft: Option<&CraftId>, limit: u32) -> Result<Vec<JournalLine>, WorkshopFault> {
        self.read(|conn| journal::latest(conn, craft, limit))
    }

    /// The number of the last journal line; 0 while nothing has happened. It rises with every change.
    pub fn last_seq(&self) -> Result<i64, WorkshopFault> {
        self.read(journal::last_seq)
    }

    /// Reads in one transaction, so that all that is read belongs together.
    pub(crate) fn read<T>(
        &self,
        look: impl FnOnce(&Connection) -> Result<T, Trouble>,
    ) -> Result<T, WorkshopFault> {
        let looked = self.conn.unchecked_transaction().map_err(Trouble::from).and_then(|held| look(&held));
        looked.map_err(|trouble| trouble.told(&self.path))
    }

    /// Changes in one transaction, which is on disk when this returns; on a fault nothing was changed.
    pub(crate) fn write<T>(
        &mut self,
        change: impl FnOnce(&Transaction<'_>) -> Result<T, Trouble>,
    ) -> Result<T, WorkshopFault> {
        attempt(&mut self.conn, change).map_err(|trouble| trouble.told(&self.path))
    }
}

fn attempt<T>(
    conn: &mut Connection,
    change: impl FnOnce(&Transaction<'_>) -> Result<T, Trouble>,
) -> Result<T, Trouble> {
    let held = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let outcome = change(&held)?;
    held.commit()?;
    Ok(outcome)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_workshop_may_go_to_another_thread() {
        fn goes<T: Send + 'static>() {}
        goes::<Workshop>();
        goes::<WorkshopFault>();
    }
}
