//! What a craft has been through: handed in as data, so that a proof stays a plain function of what it is given.
//!
//! A sheet has no history, and the rules that ask for one then have nothing to say. The workshop has: units with their
//! images, batches on their way, the journal, counters. `now` is handed in too, as seconds of universal time.

use crate::Proof;
use care::{Counter, Entry};
use firmware::{Batch, End, Image, MatchingSet, Recipe, Step, StepState, Unit};
use std::sync::Arc;

/// What is known beside the craft itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct History {
    /// Now, in seconds of universal time. Given by the hour, so that a proof holds for as long.
    pub now: i64,
    /// The journal.
    pub entries: Vec<Entry>,
    /// Counters.
    pub counters: Vec<Counter>,
    /// Units.
    pub units: Vec<Unit>,
    /// Images.
    pub images: Vec<Image>,
    /// Versions that go together.
    pub sets: Vec<MatchingSet>,
    /// How kinds of unit are loaded.
    pub recipes: Vec<Recipe>,
    /// Batches.
    pub batches: Vec<Batch>,
}

/// Seconds in an hour and in a day.
pub(crate) const HOUR: i64 = 3600;
pub(crate) const DAY: i64 = 24 * HOUR;

fn same(a: &str, b: &str) -> bool {
    a.trim().to_lowercase() == b.trim().to_lowercase()
}

impl History {
    /// Nothing that anybody wrote down.
    pub fn nothing(now: i64) -> Self {
        Self { now, ..Self::default() }
    }

    /// Units built into a craft.
    pub(crate) fn units_of<'a>(&'a self, craft: &'a str) -> impl Iterator<Item = &'a Unit> {
        self.units.iter().filter(move |unit| unit.craft.as_deref() == Some(craft))
    }

    /// How a unit is loaded.
    pub fn recipe_of(&self, unit: &Unit) -> Option<&Recipe> {
        self.recipes.iter().find(|recipe| same(&recipe.kind, &unit.kind))
    }

    /// Units on the ground of a video system.
    pub fn ground_of<'a>(&'a self, system: &'a str) -> impl Iterator<Item = &'a Unit> {
        self.units.iter().filter(move |unit| {
            self.recipe_of(unit)
                .is_some_and(|recipe| recipe.end == End::Ground && same(&recipe.system, system))
        })
    }

    /// Steps of batches that concern a unit, with their batch and how far they are.
    pub(crate) fn steps_of<'a>(
        &'a self,
        unit: &'a str,
    ) -> impl Iterator<Item = (&'a Batch, &'a Step, &'a StepState)> {
        self.batches.iter().flat_map(move |batch| {
            let steps = batch.plan.steps.iter().zip(&batch.states);
            steps.filter(move |(step, _)| step.unit == unit).map(move |(step, state)| (batch, step, state))
        })
    }

    /// The batches that are not done and concern a unit of a craft.
    pub(crate) fn open_batches<'a>(&'a self, craft: &'a str) -> impl Iterator<Item = &'a Batch> {
        let mine = move |label: &str| self.units_of(craft).any(|unit| unit.label == label);
        self.batches
            .iter()
            .filter(move |batch| !batch.is_done() && batch.plan.steps.iter().any(|step| mine(&step.unit)))
    }

    /// How long ago a moment was, in words.
    pub fn ago(&self, at: i64) -> String {
        match (self.now - at).max(0) {
            seconds if seconds < 2 * HOUR => "just now".to_owned(),
            seconds if seconds < 2 * DAY => format!("{} hours ago", seconds / HOUR),
            seconds => format!("{} days ago", seconds / DAY),
        }
    }
}

impl<'a> Proof<'a> {
    /// The same proof with what the craft has been through.
    pub fn with_history(mut self, history: Arc<History>) -> Self {
        self.history = Some(history);
        self
    }

    /// What the craft has been through, with its id; `None` for a sheet.
    pub(crate) fn history(&self) -> Option<(Arc<History>, &'a str)> {
        Some((Arc::clone(self.history.as_ref()?), self.craft.id.as_str()))
    }
}
