//! Doubt carried by trials: JCGM 101:2008, for results that are not straight lines.
//!
//! In each trial every fact takes a value drawn from its doubt (rectangular: 6.4.2, normal: 6.4.7), and
//! the result is worked out from those. The trials together are the result's [`Distribution`].
//!
//! Each fact draws from a stream of its own (a permuted congruential generator, 128-bit state), named by
//! the seed and the fact's path. The same seed gives the same trials, and a fact that is added, changed
//! or left out does not stir the draws of the others, so that one edit moves a probability only by what
//! it means. Logarithm and root are the machine's: normal draws may differ in the last bit between
//! kinds of machine.
//!
//! Left out: correlated draws (write correlated inputs as functions of independent facts) and draws by
//! quasi-random sequences.

use crate::{Distribution, Doubt, FactIndex, FactLedger, LedgerEntry, Shape};
use rand_pcg::{Pcg64, rand_core::Rng};

/// The trials that serve where a probability is shown in whole per cent: its standard error is at most
/// 0.8 %.
pub const USUAL_TRIALS: usize = 4_000;
/// The seed that serves where nobody chose one, so that every door shows the same probability.
pub const USUAL_SEED: u64 = 20_080_101;

/// The draws of one fact, as distances from its value.
pub(crate) struct Draws {
    stream: Pcg64,
    doubt: Doubt,
}

impl Draws {
    pub(crate) fn of(entry: &LedgerEntry, seed: u64) -> Self {
        // FNV-1a over the path: a name for the stream, nothing more.
        let name = entry.path.0.bytes().fold(0xcbf2_9ce4_8422_2325u64, |hash, byte| {
            (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
        });
        Self {
            stream: Pcg64::new(u128::from(seed) << 64 | u128::from(name), u128::from(name)),
            doubt: entry.doubt,
        }
    }

    /// A number from 0 to 1, both left out.
    fn uniform(&mut self) -> f64 {
        ((self.stream.next_u64() >> 11) as f64 + 0.5) * (0.5f64).powi(53)
    }

    pub(crate) fn fill(&mut self, distances: &mut [f64]) {
        let Doubt { minus, plus, shape } = self.doubt;
        match shape {
            _ if minus + plus == 0.0 => distances.fill(0.0),
            Shape::Rectangular => distances.fill_with(|| self.uniform() * (plus + minus) - minus),
            Shape::Normal => {
                let (centre, u) = (self.doubt.centre_offset(), self.doubt.standard_uncertainty());
                for pair in distances.chunks_mut(2) {
                    let normals = self.normal_pair();
                    pair.iter_mut().zip(normals).for_each(|(d, z)| *d = centre + u * z);
                }
            }
        }
    }

    /// Two standard normal numbers, by the polar method.
    fn normal_pair(&mut self) -> [f64; 2] {
        loop {
            let (v, w) = (2.0 * self.uniform() - 1.0, 2.0 * self.uniform() - 1.0);
            let square = v * v + w * w;
            if square < 1.0 && square > 0.0 {
                let factor = (-2.0 * square.ln() / square).sqrt();
                return [v * factor, w * factor];
            }
        }
    }
}

/// How far a fact lies from its value in each of so many trials: what [`propagate_distributions`] draws of it with that seed.
pub fn drawn(entry: &LedgerEntry, trials: usize, seed: u64) -> Vec<f64> {
    let mut distances = vec![0.0; trials];
    Draws::of(entry, seed).fill(&mut distances);
    distances
}

/// Trials in a block: a column of this many numbers stays in the nearest cache.
pub(crate) const BLOCK: usize = 256;

/// The distribution of any function of the facts, from a fixed number of trials. `result` is given the
/// value of each fact in the order of the ledger. `None` if a trial gave no finite number, or there were
/// fewer than two.
pub fn propagate_distributions(
    result: impl Fn(&[f64]) -> f64,
    ledger: &FactLedger,
    trials: usize,
    seed: u64,
) -> Option<Distribution> {
    let mut run = Trials::start(ledger, seed);
    let mut values = Vec::new();
    run.add(&result, trials, &mut values);
    Distribution::of_trials(values)
}

/// When [`propagate_adaptively`] may stop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Enough {
    /// Mean, uncertainty and both ends of the interval are to be stable to this, in the result's unit.
    pub tolerance: f64,
    /// The share the interval holds.
    pub level: f64,
    /// Never more trials than this.
    pub most_trials: usize,
}

/// The distribution of any function of the facts, from as many trials as it takes: JCGM 101:2008, 7.9.
/// Batches of 10,000 are added until twice the standard error over the batches of mean, uncertainty and
/// both ends of the symmetric interval is within the tolerance. The second answer says whether it was
/// reached. `None` as for [`propagate_distributions`].
pub fn propagate_adaptively(
    result: impl Fn(&[f64]) -> f64,
    ledger: &FactLedger,
    enough: Enough,
    seed: u64,
) -> Option<(Distribution, bool)> {
    const BATCH: usize = 10_000;
    let mut run = Trials::start(ledger, seed);
    let mut all = Vec::new();
    let mut seen: [Vec<f64>; 4] = Default::default();
    loop {
        let before = all.len();
        run.add(&result, BATCH.min(enough.most_trials.saturating_sub(before)), &mut all);
        let batch = Distribution::of_trials(all[before..].to_vec())?;
        let (low, high) = batch.symmetric_interval(enough.level);
        let ends = [batch.mean(), batch.standard_uncertainty(), low, high];
        seen.iter_mut().zip(ends).for_each(|(list, new)| list.push(new));
        let stable = seen.iter().all(|list| {
            Distribution::of_trials(list.clone())
                .is_some_and(|spread| 2.0 * spread.standard_error() <= enough.tolerance)
        });
        if stable || all.len() + 1 >= enough.most_trials {
            return Distribution::of_trials(all).map(|found| (found, stable));
        }
    }
}

/// Trials under way: the streams of all facts of a ledger.
struct Trials<'a> {
    ledger: &'a FactLedger,
    draws: Vec<Draws>,
    columns: Vec<[f64; BLOCK]>,
    /// How far into the block that was drawn last the trials have been used.
    used: usize,
}

impl<'a> Trials<'a> {
    fn start(ledger: &'a FactLedger, seed: u64) -> Self {
        let draws: Vec<Draws> = ledger.entries().iter().map(|entry| Draws::of(entry, seed)).collect();
        Self { ledger, columns: vec![[0.0; BLOCK]; draws.len()], draws, used: BLOCK }
    }

    fn add(&mut self, result: &impl Fn(&[f64]) -> f64, trials: usize, values: &mut Vec<f64>) {
        let mut facts = vec![0.0; self.draws.len()];
        for _ in 0..trials {
            if self.used == BLOCK {
                self.columns.iter_mut().zip(&mut self.draws).for_each(|(column, draws)| draws.fill(column));
                self.used = 0;
            }
            for ((fact, entry), column) in facts.iter_mut().zip(self.ledger.entries()).zip(&self.columns) {
                *fact = entry.value + column[self.used];
            }
            values.push(result(&facts));
            self.used += 1;
        }
    }
}

/// The draws of the facts that some results lean on, block by block.
pub(crate) struct SharedDraws {
    draws: Vec<Draws>,
    /// For each fact of the ledger, its column; `usize::MAX` where no result leans on it.
    column_of: Vec<usize>,
}

impl SharedDraws {
    pub(crate) fn start<'a>(
        facts: impl Iterator<Item = &'a FactIndex>,
        ledger: &FactLedger,
        seed: u64,
    ) -> Self {
        let mut column_of = vec![usize::MAX; ledger.entries().len()];
        let mut draws = Vec::new();
        for fact in facts {
            if let Some(entry) = ledger.get(*fact)
                && column_of[fact.0 as usize] == usize::MAX
            {
                column_of[fact.0 as usize] = draws.len();
                draws.push(Draws::of(entry, seed));
            }
        }
        Self { draws, column_of }
    }

    pub(crate) fn count(&self) -> usize {
        self.draws.len()
    }

    /// The column of a fact; `None` for one of another ledger.
    pub(crate) fn column(&self, fact: FactIndex) -> Option<usize> {
        self.column_of.get(fact.0 as usize).copied().filter(|at| *at != usize::MAX)
    }

    pub(crate) fn next_block(&mut self, columns: &mut [[f64; BLOCK]]) {
        self.draws.iter_mut().zip(columns).for_each(|(draws, column)| draws.fill(column));
    }
}

#[cfg(test)]
#[path = "monte_carlo_tests.rs"]
mod tests;
