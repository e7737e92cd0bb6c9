//! How far every number of a supply is moved in each trial: drawn once, and kept for all that is asked of those trials.
//!
//! A fact draws from a stream of its own, named by where among the numbers it first comes, so that what a part is called decides nothing: two numbers that lean on one fact move together, and a sum moves with each
//! of its facts. So a column of draws belongs to its number alone, and may be drawn when it is first looked at.

use super::reads::Reads;
use super::slots::Slots;
use quantity::{LedgerEntry, USUAL_SEED, drawn};
use std::sync::OnceLock;

/// A column for each number, as long as there are trials.
#[derive(Debug)]
pub(crate) struct Draws {
    count: usize,
    columns: Vec<OnceLock<Box<[f64]>>>,
}

impl Draws {
    /// So many trials of so many numbers.
    pub(super) fn of(numbers: usize, count: usize) -> Self {
        Self { count, columns: (0..numbers).map(|_| OnceLock::new()).collect() }
    }

    /// How many trials there are.
    pub(super) fn count(&self) -> usize {
        self.count
    }

    /// By how much each number in doubt that is looked at is moved in each trial.
    pub(super) fn columns(&self, slots: &Slots, reads: &Reads) -> Vec<(usize, &[f64])> {
        let wanted = self.columns.iter().enumerate().filter(|(k, _)| reads.has(*k) && slots.is_in_doubt(*k));
        wanted.map(|(k, column)| (k, &**column.get_or_init(|| self.column(slots, k)))).collect()
    }

    fn column(&self, slots: &Slots, k: usize) -> Box<[f64]> {
        let mut column = vec![0.0; self.count];
        for (entry, times) in slots.leans_of(k) {
            let named = LedgerEntry { path: slots.first_leaning(&entry.path), ..entry.clone() };
            let moved = drawn(&named, self.count, USUAL_SEED);
            column.iter_mut().zip(moved).for_each(|(sum, by)| *sum += times * by);
        }
        column.into()
    }
}
