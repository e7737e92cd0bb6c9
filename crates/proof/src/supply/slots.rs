//! The numbers that the supply of a craft rests on, each in a slot, so that any result can be asked again with one of them moved.
//!
//! A result is a function of all numbers. Its slope on a fact is the difference over half of the fact's uncertainty, which tells more
//! of a bent result than a tiny step; its distribution comes from trials, every fact drawn from its doubt. Slots know their facts by
//! path, not by number in one ledger, so that what was found may be kept from one proof to the next.

use super::reads::{Reads, look, noted};
use crate::Proof;
use craft::Reading;
use quantity::{
    Doubt, FactLedger, LedgerEntry, Linear, Measure, Shape, USUAL_SEED, propagate_distributions,
    standard_uncertainty,
};
use std::cell::Cell;

/// The place of one number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Slot(usize);

/// What a number leans on.
#[derive(Clone, Debug, PartialEq)]
enum Leans {
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

    /// The standard uncertainty of a result, its facts taken as independent.
    pub(crate) fn uncertainty(&self, sloped: &Sloped) -> f64 {
        sloped.slopes.iter().map(|(k, slope)| (slope * self.uncertainty[*k]).powi(2)).sum::<f64>().sqrt()
    }
    /// A result in first order at other numbers than those it was found at.
    pub(crate) fn estimate(sloped: &Sloped, found_at: &[f64], values: &[f64]) -> f64 {
        let more = sloped.slopes.iter().map(|(k, slope)| slope * (Slot(*k).at(values) - found_at[*k]));
        sloped.value + more.sum::<f64>()
    }

    /// A result that leans on the facts of a proof's ledger.
    pub(crate) fn linear(&self, proof: &Proof, sloped: &Sloped) -> Linear {
        let mut parts: Vec<(f64, Linear)> = Vec::new();
        for (k, slope) in &sloped.slopes {
            match &self.leans[*k] {
                Leans::Nothing => {}
                Leans::Fact(entry) => parts.push((*slope, leaning(proof, entry))),
                Leans::Sum(sum) => {
                    parts.extend(sum.iter().map(|(entry, times)| (slope * times, leaning(proof, entry))))
                }
            }
        }
        let parts: Vec<(f64, &Linear)> = parts.iter().map(|(slope, fact)| (*slope, fact)).collect();
        Linear::chained(sloped.value, &parts)
    }

    /// A result without its slopes on some slots: those that nobody can measure beforehand.
    pub(crate) fn without(&self, sloped: &Sloped, left_out: &[Slot]) -> Sloped {
        let kept = |(k, _): &&(usize, f64)| !left_out.contains(&Slot(*k));
        Sloped { value: sloped.value, slopes: sloped.slopes.iter().filter(kept).copied().collect() }
    }

    /// Which share of so many trials leaves a result at nought or more. A trial without a number counts as lost.
    pub(crate) fn share_held(&self, at: &[f64], trials: usize, of: impl Fn(&[f64]) -> Option<f64>) -> f64 {
        self.share_down_to(at, trials, 0.0, of)
    }

    /// The same; once it must fall under `least`, the trials left count as lost.
    fn share_down_to(
        &self,
        at: &[f64],
        trials: usize,
        least: f64,
        of: impl Fn(&[f64]) -> Option<f64>,
    ) -> f64 {
        // Every fact draws from a stream of its own: what is left out stirs no other.
        let (_, mut reads) = noted(|| of(at));
        loop {
            let (ledger, slots) = self.ledger(at, &reads);
            // Of this round alone: trials that are made again are not lost twice.
            let lost = Cell::new(0);
            let result = |drawn: &[f64]| {
                if ((trials - lost.get()) as f64 / trials as f64) < least {
                    return -1.0;
                }
                let mut values = at.to_vec();
                for (k, value) in slots.iter().zip(drawn) {
                    values[*k] = *value;
                }
                let found = of(&values).filter(|value| value.is_finite()).unwrap_or(-1.0);
                lost.set((lost.get() + usize::from(found < 0.0)).min(trials));
                found
            };
            let (found, seen) = noted(|| propagate_distributions(result, &ledger, trials, USUAL_SEED));
            // A trial may go another way and look at a number that was not drawn: then it is drawn, and all trials are made again.
            if (0..at.len()).all(|k| reads.has(k) || !seen.has(k)) {
                return found.map_or(0.0, |trials| trials.share_at_least(0.0));
            }
            reads.join(&seen);
        }
    }

    /// Whether a share of so many trials leaves a result at nought or more; trials end as soon as too many are lost.
    pub(crate) fn holds(
        &self,
        at: &[f64],
        trials: usize,
        share: f64,
        of: impl Fn(&[f64]) -> Option<f64>,
    ) -> bool {
        self.share_down_to(at, trials, share, of) >= share
    }

    /// The slots in doubt that are looked at, as a ledger of their own; a sum of many facts counts as one that is bell-shaped.
    fn ledger(&self, at: &[f64], reads: &Reads) -> (FactLedger, Vec<usize>) {
        let (mut ledger, mut slots) = (FactLedger::default(), Vec::new());
        let drawn = |k: &usize| self.uncertainty[*k] > 0.0 && reads.has(*k);
        for (k, leans) in self.leans.iter().enumerate().filter(|(k, _)| drawn(k)) {
            let entry = match leans {
                Leans::Nothing => continue,
                Leans::Fact(entry) => LedgerEntry { value: at[k], ..entry.clone() },
                Leans::Sum(sum) => {
                    let Some((first, _)) = sum.first() else { continue };
                    let half = 2.0 * self.uncertainty[k];
                    let doubt = Doubt { minus: half, plus: half, shape: Shape::Normal };
                    LedgerEntry { value: at[k], doubt, ..first.clone() }
                }
            };
            // Two slots of one fact would be drawn twice; the ledger keeps the first.
            let before = ledger.entries().len();
            ledger.enter(entry);
            if ledger.entries().len() > before {
                slots.push(k);
            }
        }
        (ledger, slots)
    }
}

fn leaning(proof: &Proof, entry: &LedgerEntry) -> Linear {
    let fact = proof.enter_entry(entry.clone());
    Linear { value: 0.0, slopes: vec![(fact, 1.0)] }
}

impl Slot {
    /// Its number among some.
    pub(crate) fn at(self, values: &[f64]) -> f64 {
        look(self.0);
        values.get(self.0).copied().unwrap_or(f64::NAN)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::{Basis, DoubtKind, FactPath, Unit};

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
    fn trials_that_are_made_again_are_lost_once() {
        // One in ten falls short. Trials below nought look at a number that the unmoved way never reads, so all are made twice.
        let of = |values: &[f64]| {
            let first = Slot(0).at(values);
            let second = if first < -0.1 { Slot(1).at(values) } else { 0.0 };
            Some(if first < -1.28 { -1.0 } else { 1.0 + 0.0 * second })
        };
        let slots = slots(2);
        let share = slots.share_held(slots.values(), 2000, of);
        assert!((share - 0.9).abs() < 0.02, "{share}");
        assert!(slots.holds(slots.values(), 2000, 0.86, of) && !slots.holds(slots.values(), 2000, 0.94, of));
    }

    #[test]
    fn what_falls_short_unmoved_is_no_trial() {
        let slots = slots(1);
        let of = |values: &[f64]| (Slot(0).at(values) != 0.0).then_some(1.0);
        assert!(slots.holds(slots.values(), 100, 1.0, of));
    }
}
