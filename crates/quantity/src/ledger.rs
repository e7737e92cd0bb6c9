//! The facts a computation rests on, numbered, so that results can say how they lean on each.
//!
//! A computation that depends on facts x₁ … xₙ reports its value and, for each fact, the sensitivity
//! cᵢ = ∂f/∂xᵢ. Sensitivities refer to facts by [`FactIndex`], so that two results which lean on the
//! same fact stay correlated when they are judged together.

use crate::{Basis, Doubt, DoubtKind, Unit};
use serde::Serialize;
use std::collections::HashMap;
use std::fmt;

/// Where a fact stands in a craft: owner, then the way to it, for example `cam.plug[0].length`.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(transparent)]
pub struct FactPath(pub String);

impl fmt::Display for FactPath {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// The number of a fact in one [`FactLedger`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FactIndex(pub u32);

/// One fact of a ledger.
#[derive(Clone, Debug, PartialEq)]
pub struct LedgerEntry {
    /// Where it stands.
    pub path: FactPath,
    /// What a person calls it: `height of "video transmitter"`.
    pub label: String,
    /// The value, in `unit`.
    pub value: f64,
    /// The unit of the value and the doubt.
    pub unit: Unit,
    /// How far it may be off.
    pub doubt: Doubt,
    /// What it rests on.
    pub basis: Basis,
    /// Which kind of fact it is: what measuring it would leave of the doubt.
    pub kind: DoubtKind,
}

/// The facts of one computation.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FactLedger {
    entries: Vec<LedgerEntry>,
    by_path: HashMap<FactPath, FactIndex>,
}

impl FactLedger {
    /// Enters a fact and gives its number. A path already entered keeps its number.
    pub fn enter(&mut self, entry: LedgerEntry) -> FactIndex {
        if let Some(&known) = self.by_path.get(&entry.path) {
            return known;
        }
        let index = FactIndex(self.entries.len() as u32);
        self.by_path.insert(entry.path.clone(), index);
        self.entries.push(entry);
        index
    }

    /// The number of the fact that stands at a path.
    pub fn find(&self, path: &FactPath) -> Option<FactIndex> {
        self.by_path.get(path).copied()
    }

    /// The fact of a number; `None` if the number is from another ledger.
    pub fn get(&self, index: FactIndex) -> Option<&LedgerEntry> {
        self.entries.get(index.0 as usize)
    }

    /// All facts, in order of entry.
    pub fn entries(&self) -> &[LedgerEntry] {
        &self.entries
    }
}

/// A result and its first-order dependence on the facts of a ledger.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Linear {
    /// The value at the facts as they stand.
    pub value: f64,
    /// ∂value/∂fact for each fact it leans on, in value's unit over fact's unit; each fact at most once.
    pub slopes: Vec<(FactIndex, f64)>,
}
