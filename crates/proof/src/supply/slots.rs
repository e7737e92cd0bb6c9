//! The numbers that the supply of a craft rests on, each in a slot, so that any result can be asked again with one of them moved.
//!
//! A result is a function of all numbers. Its slope on a fact is the difference over half of the fact's uncertainty, which tells more
//! of a bent result than a tiny step; its distribution comes from trials, every fact drawn from its doubt (`draws.rs`). Slots know their facts by
//! path, not by number in one ledger, so that what was found may be kept from one proof to the next.

use super::draws::Draws;
use super::reads::{look, noted};
use crate::Proof;
use craft::Reading;
use quantity::{FactLedger, FactPath, LedgerEntry, Linear, Measure, standard_uncertainty};
use std::collections::BTreeMap;

/// The place of one number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Slot(usize);

/// What a number leans on.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Leans {
    Nothing,
    Fact(LedgerEntry),
    /// Several facts, each so many times.
    Sum(Vec<(LedgerEntry, f64)>),
}

/// All numbers with what they lean on.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Slots {
    values: Vec<f64>,
    leans: Vec<Leans>,
    uncertainty: Vec<f64>,
}

/// A result with its slope on each slot that is in doubt.
#[derive(Clone, Debug, PartialEq)]
pub struct Sloped {
    /// At the facts as they stand.
    pub value: f64,
    slopes: Vec<(usize, f64)>,
}

impl Sloped {
    /// The same value with so many times its doubt.
    pub(super) fn times(mut self, factor: f64) -> Self {
        self.slopes.iter_mut().for_each(|(_, slope)| *slope *= factor);
        self
    }
}

/// A step over which a slope is taken, in uncertainties.
const STEP: f64 = 0.5;

impl Slots {
    fn push(&mut self, value: f64, leans: Leans, uncertainty: f64) -> Slot {
        self.values.push(value);
        self.leans.push(leans);
        self.uncertainty.push(uncertainty);
        Slot(self.values.len() - 1)
    }

    /// A fact.
    pub(crate) fn fact<M: Measure>(&mut self, reading: &Reading<M>) -> Slot {
        let mut ledger = FactLedger::default();
        let fact = reading.enter(&mut ledger);
        let entry = ledger.get(fact).cloned();
        let leans = entry.map_or(Leans::Nothing, Leans::Fact);
        self.push(reading.value.raw(), leans, reading.doubt.standard_uncertainty())
    }
    /// A sum of facts of a proof's ledger.
    pub(crate) fn sum(&mut self, proof: &Proof, sum: &Linear) -> Slot {
        let ledger = proof.ledger();
        let parts = sum.slopes.iter().filter_map(|(fact, times)| Some((ledger.get(*fact)?.clone(), *times)));
        let parts: Vec<_> = parts.collect();
        self.push(sum.value, Leans::Sum(parts), standard_uncertainty(sum, &ledger))
    }

    /// All numbers as they stand.
    pub fn values(&self) -> &[f64] {
        &self.values
    }
    /// One number as it stands.
    pub fn of(&self, slot: Slot) -> f64 {
        self.values.get(slot.0).copied().unwrap_or(f64::NAN)
    }
    /// The standard uncertainty of one number.
    pub fn doubt(&self, slot: Slot) -> f64 {
        self.uncertainty.get(slot.0).copied().unwrap_or(0.0)
    }
    /// All numbers, one of them another.
    pub fn with(&self, slot: Slot, value: f64) -> Vec<f64> {
        let mut values = self.values.clone();
        if let Some(place) = values.get_mut(slot.0) {
            *place = value;
        }
        values
    }

    /// A result with its slopes; none if it is no number.
    pub(crate) fn sloped(&self, of: impl Fn(&[f64]) -> Option<f64>) -> Option<Sloped> {
        self.sloped_at(&self.values, of)
    }
    /// The same at other numbers: what a change would make of it.
    pub(crate) fn sloped_at(&self, at: &[f64], of: impl Fn(&[f64]) -> Option<f64>) -> Option<Sloped> {
        self.sloped_together(at, |values| Some([of(values)?])).map(|[found]| found)
    }
    /// Several results that are worked out together; none if one of them is no number.
    pub(crate) fn sloped_together<const N: usize>(
        &self,
        at: &[f64],
        of: impl Fn(&[f64]) -> Option<[f64; N]>,
    ) -> Option<[Sloped; N]> {
        let of = |values: &[f64]| of(values).filter(|found| found.iter().all(|value| value.is_finite()));
        let (found, reads) = noted(|| of(at));
        let mut all = found?.map(|value| Sloped { value, slopes: Vec::new() });
        let mut moved = at.to_vec();
        for (k, uncertainty) in self.uncertainty.iter().enumerate().filter(|(_, u)| **u > 0.0) {
            if !reads.has(k) {
                continue;
            }
            let step = STEP * uncertainty;
            let mut off = |by: f64| {
                moved[k] = at[k] + by;
                let found = of(&moved);
                moved[k] = at[k];
                found.map(|found| (by, found))
            };
            // At the edge of what can be, the other side must do.
            let Some((by, found)) = off(step).or_else(|| off(-step)) else { continue };
            for (sloped, found) in all.iter_mut().zip(found) {
                let slope = (found - sloped.value) / by;
                if slope != 0.0 {
                    sloped.slopes.push((k, slope));
                }
            }
        }
        Some(all)
    }

    /// The standard uncertainty of a result, its facts taken as independent. Numbers that lean on the same fact move together.
    pub(crate) fn uncertainty(&self, sloped: &Sloped) -> f64 {
        let mut by_fact: BTreeMap<&str, [f64; 2]> = BTreeMap::new();
        for (k, slope) in &sloped.slopes {
            for (entry, times) in self.leans_of(*k) {
                let found = by_fact.entry(&entry.path.0).or_insert([0.0, entry.doubt.standard_uncertainty()]);
                found[0] += slope * times;
            }
        }
        by_fact.values().map(|[slope, doubt]| (slope * doubt).powi(2)).sum::<f64>().sqrt()
    }
    /// All numbers where a result is likeliest to be off by so many of its standard uncertainties, in first order: each moves by what it adds.
    pub(super) fn toward(&self, sloped: &Sloped, uncertainties: f64) -> Vec<f64> {
        let mut values = self.values.clone();
        let whole =
            sloped.slopes.iter().map(|(k, slope)| (slope * self.uncertainty[*k]).powi(2)).sum::<f64>();
        for (k, slope) in &sloped.slopes {
            values[*k] += uncertainties * slope * self.uncertainty[*k].powi(2) / whole.sqrt().max(1e-30);
        }
        values
    }
    /// Whether a number is in doubt.
    pub(super) fn is_in_doubt(&self, k: usize) -> bool {
        self.uncertainty[k] > 0.0
    }
    /// The facts that a number leans on, and how many times each.
    pub(super) fn leans_of(&self, k: usize) -> impl Iterator<Item = (&LedgerEntry, f64)> {
        let (one, sum) = match &self.leans[k] {
            Leans::Nothing => (None, &[][..]),
            Leans::Fact(entry) => (Some((entry, 1.0)), &[][..]),
            Leans::Sum(sum) => (None, &sum[..]),
        };
        one.into_iter().chain(sum.iter().map(|(entry, times)| (entry, *times)))
    }
    /// Where among the numbers a fact first comes, as the name of a stream: the same whatever its part is called.
    pub(super) fn first_leaning(&self, path: &FactPath) -> FactPath {
        let at = (0..self.leans.len()).find_map(|k| {
            let within = self.leans_of(k).position(|(entry, _)| entry.path == *path)?;
            Some(format!("{k}.{within}"))
        });
        FactPath(at.unwrap_or_default())
    }
    /// A result in first order at other numbers than those it was found at.
    pub(crate) fn estimate(sloped: &Sloped, found_at: &[f64], values: &[f64]) -> f64 {
        let more = sloped.slopes.iter().map(|(k, slope)| slope * (Slot(*k).at(values) - found_at[*k]));
        sloped.value + more.sum::<f64>()
    }

    /// A result that leans on the facts of a proof's ledger.
    pub(crate) fn linear(&self, proof: &Proof, sloped: &Sloped) -> Linear {
        let facts = |(k, slope): &(usize, f64)| {
            let slope = *slope;
            self.leans_of(*k).map(move |(entry, times)| (slope * times, leaning(proof, entry)))
        };
        let parts: Vec<(f64, Linear)> = sloped.slopes.iter().flat_map(facts).collect();
        let parts: Vec<(f64, &Linear)> = parts.iter().map(|(slope, fact)| (*slope, fact)).collect();
        Linear::chained(sloped.value, &parts)
    }

    /// A result without its slopes on some slots: those that nobody can measure beforehand.
    pub(crate) fn without(&self, sloped: &Sloped, left_out: &[Slot]) -> Sloped {
        let kept = |(k, _): &&(usize, f64)| !left_out.contains(&Slot(*k));
        Sloped { value: sloped.value, slopes: sloped.slopes.iter().filter(kept).copied().collect() }
    }

    /// A result in each trial: every number it looks at is moved as its facts are drawn.
    pub(crate) fn trials<T>(&self, at: &[f64], draws: &Draws, of: impl Fn(&[f64]) -> T) -> Vec<T> {
        // Every fact draws from a stream of its own: what is left out stirs no other.
        let (_, mut reads) = noted(|| of(at));
        loop {
            let columns = draws.columns(self, &reads);
            let mut values = at.to_vec();
            let (found, seen) = noted(|| {
                let trial = |n: usize| {
                    for (k, column) in &columns {
                        values[*k] = at[*k] + column[n];
                    }
                    of(&values)
                };
                (0..draws.count()).map(trial).collect()
            });
            // A trial may go another way and look at a number that was not drawn: then it is drawn, and all trials are made again.
            if (0..at.len()).all(|k| reads.has(k) || !seen.has(k)) {
                return found;
            }
            reads.join(&seen);
        }
    }

    /// Which share of the trials leaves a result at nought or more. A trial without a number counts as lost.
    pub(crate) fn share_held(&self, at: &[f64], draws: &Draws, of: impl Fn(&[f64]) -> Option<f64>) -> f64 {
        let found = self.trials(at, draws, |values| of(values).is_some_and(is_held));
        found.iter().filter(|held| **held).count() as f64 / draws.count() as f64
    }
}

/// Whether a result is a number of nought or more.
pub(super) fn is_held(found: f64) -> bool {
    found.is_finite() && found >= 0.0
}

fn leaning(proof: &Proof, entry: &LedgerEntry) -> Linear {
    let fact = proof.enter_entry(entry.clone());
    Linear { value: 0.0, slopes: vec![(fact, 1.0)] }
}

impl Slot {
    /// Another number in its place.
    pub(crate) fn set(self, values: &mut [f64], to: impl FnOnce(f64) -> f64) {
        if let Some(value) = values.get_mut(self.0) {
            *value = to(*value);
        }
    }
    /// Its number among some.
    pub(crate) fn at(self, values: &[f64]) -> f64 {
        look(self.0);
        values.get(self.0).copied().unwrap_or(f64::NAN)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::{Basis, Doubt, DoubtKind, Shape, Unit};

    fn slots(count: usize) -> Slots {
        let doubt = Doubt { minus: 2.0, plus: 2.0, shape: Shape::Normal };
        let entry = |k: usize| LedgerEntry {
            path: FactPath(format!("part/fact-{k}")),
            label: String::new(),
            value: 0.0,
            unit: Unit::Volts,
            doubt,
            basis: Basis::Measured,
            kind: DoubtKind::OuterSize,
        };
        Slots {
            values: vec![0.0; count],
            leans: (0..count).map(|k| Leans::Fact(entry(k))).collect(),
            uncertainty: vec![1.0; count],
        }
    }

    #[test]
    fn trials_that_go_another_way_are_made_again_with_what_they_look_at_drawn() {
        // One in ten falls short. Trials below nought look at a number that the unmoved way never reads.
        let of = |values: &[f64]| {
            let first = Slot(0).at(values);
            let second = if first < -0.1 { Slot(1).at(values) } else { 0.5 };
            Some(if first < -1.28 || second == 0.0 { -1.0 } else { 1.0 })
        };
        let slots = slots(2);
        let share = slots.share_held(slots.values(), &Draws::of(2, 2000), of);
        assert!((share - 0.9).abs() < 0.02, "{share}");
    }

    #[test]
    fn what_falls_short_unmoved_is_no_trial() {
        let slots = slots(1);
        let of = |values: &[f64]| (Slot(0).at(values) != 0.0).then_some(1.0);
        assert_eq!(slots.share_held(slots.values(), &Draws::of(1, 100), of), 1.0);
    }

    /// The sum of one fact taken twice has twice its doubt, not once and not the root of two.
    #[test]
    fn two_numbers_of_one_fact_move_together() {
        let mut slots = slots(1);
        slots.push(0.0, slots.leans[0].clone(), 1.0);
        let both = |values: &[f64]| Some(2.0 + Slot(0).at(values) + Slot(1).at(values));
        let share = slots.share_held(slots.values(), &Draws::of(2, 4000), both);
        // Two less than nothing is one uncertainty away: 84.1 %.
        assert!((share - 0.841).abs() < 0.02, "{share}");
        let doubt = slots.sloped(both).map(|sloped| slots.uncertainty(&sloped));
        assert_eq!(doubt, Some(2.0));
        let none = |values: &[f64]| Some(Slot(0).at(values) - Slot(1).at(values));
        assert_eq!(slots.share_held(slots.values(), &Draws::of(2, 500), none), 1.0);
    }

    /// A sum moves with each of its facts, in a trial as in first order.
    #[test]
    fn a_sum_moves_with_the_facts_it_is_made_of() {
        let mut slots = slots(2);
        let part = |k: usize, times: f64| match &slots.leans[k] {
            Leans::Fact(entry) => Some((entry.clone(), times)),
            _ => None,
        };
        let sum: Vec<_> = [part(0, 3.0), part(1, -4.0)].into_iter().flatten().collect();
        slots.push(0.0, Leans::Sum(sum), 5.0);
        let apart = |values: &[f64]| {
            let [a, b, sum] = [0, 1, 2].map(|k| Slot(k).at(values));
            Some(1e-9 - (sum - 3.0 * a + 4.0 * b).abs())
        };
        assert_eq!(slots.share_held(slots.values(), &Draws::of(3, 500), apart), 1.0);
        let alone = slots.sloped(|values| Some(Slot(2).at(values)));
        assert_eq!(alone.map(|sloped| slots.uncertainty(&sloped)), Some(5.0));
    }
}
