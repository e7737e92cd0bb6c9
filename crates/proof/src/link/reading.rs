//! Facts as the model of the link holds them: a number, where it stands in the ledger, and what is lacking.

use super::Lack;
use crate::Proof;
use craft::schema::Field;
use craft::{Item, Missing, Reading};
use quantity::{FactIndex, Measure};

/// A fact with its number in the ledger.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Known {
    /// Its value, in its own unit.
    pub value: f64,
    /// Where it stands.
    pub fact: FactIndex,
    /// Whether it may be off at all.
    pub doubted: bool,
}

impl Known {
    pub fn of<M: Measure>(proof: &Proof, reading: &Reading<M>) -> Self {
        Self {
            value: reading.value.raw(),
            fact: proof.enter(reading),
            doubted: reading.doubt.standard_uncertainty() > 0.0,
        }
    }
}

/// Reads facts and notes what lacks.
pub(super) struct Reader<'p, 'a> {
    pub proof: &'p Proof<'a>,
    pub lack: Lack,
}

impl<'p, 'a> Reader<'p, 'a> {
    pub fn new(proof: &'p Proof<'a>) -> Self {
        Self { proof, lack: Lack::default() }
    }

    /// Notes what is missing.
    pub fn noted<T>(&mut self, read: Result<T, Missing>) -> Option<T> {
        read.map_err(|missing| self.lack.missing.push(missing)).ok()
    }
    /// Notes what is wrong with the thing called so.
    pub fn right<T, E: std::fmt::Display>(&mut self, called: &str, made: Result<T, E>) -> Option<T> {
        made.map_err(|fault| self.lack.wrong.push(format!("{called}: {fault}"))).ok()
    }
    /// A fact that is needed.
    pub fn need<M: Measure>(&mut self, item: &Item<'_>, field: &Field<M>) -> Option<Known> {
        let read = self.noted(item.read(field))?;
        Some(Known::of(self.proof, &read))
    }
    /// A fact that may be left out.
    pub fn maybe<M: Measure>(&mut self, item: &Item<'_>, field: &Field<M>) -> Option<Known> {
        Some(Known::of(self.proof, &item.read(field).ok()?))
    }
    /// What was read, unless something lacks.
    pub fn done<T>(self, made: Option<T>) -> Result<T, Lack> {
        match made {
            Some(made) if self.lack.is_empty() => Ok(made),
            _ => Err(self.lack),
        }
    }
}
