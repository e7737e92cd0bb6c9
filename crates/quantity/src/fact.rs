//! A fact: a value with its unit, how far it may be off, and what it rests on.

use crate::{Doubt, DoubtKind, Measure, Quantity};
use serde::{Deserialize, Serialize};

/// What a fact rests on, strongest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Basis {
    /// Calipers, scale or meter, on this very part.
    Measured,
    /// The maker's data sheet.
    DataSheet,
    /// What such parts usually are.
    Typical,
}

impl Basis {
    /// Every basis, strongest first.
    pub const ALL: [Basis; 3] = [Basis::Measured, Basis::DataSheet, Basis::Typical];

    /// The basis in words, as sheets write it.
    pub const fn words(self) -> &'static str {
        match self {
            Basis::Measured => "measured",
            Basis::DataSheet => "data sheet",
            Basis::Typical => "typical",
        }
    }

    /// The weaker of two: a figure rests on its weakest fact.
    pub fn weaker(self, other: Basis) -> Basis {
        self.max(other)
    }
}

/// A value with unit, tolerance and basis.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Fact {
    /// The value and its unit.
    pub quantity: Quantity,
    /// The tolerance somebody stated; `None` when the default of its kind applies.
    pub stated: Option<Doubt>,
    /// What it rests on.
    pub basis: Basis,
}

impl Fact {
    /// A fact with no stated tolerance.
    pub fn new<M: Measure>(value: M, basis: Basis) -> Self {
        Self { quantity: Quantity::of(value), stated: None, basis }
    }

    /// The same fact with an even stated tolerance, in the value's unit.
    pub fn within(mut self, half_width: f64) -> Self {
        self.stated = Some(Doubt::even(half_width));
        self
    }

    /// The doubt that applies: the stated one, else the default of the kind.
    pub fn doubt(&self, kind: DoubtKind) -> Doubt {
        self.stated.unwrap_or_else(|| kind.default_doubt(self.basis, self.quantity.value))
    }
}
