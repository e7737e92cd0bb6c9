//! The least of many margins that lean on the same facts, by trials.
//!
//! A minimum is not smooth, and its margins are correlated, so the distribution is taken by trials
//! (JCGM 101:2008): in each, every fact is drawn once and every margin is moved by its slopes.
//!
//! A margin that cannot be the least is left out beforehand: one whose lowest value lies above the highest
//! value of some other. Normal doubts are cut at seven standard uncertainties for that, which leaves
//! out less than 1e-11. A craft has 100 to 600 pairs with about ten slopes over about 200 facts; at 4,000
//! trials that would be 24 million multiplications if none were left out, and a few hundred thousand
//! in practice.

use crate::monte_carlo::{BLOCK, SharedDraws};
use crate::propagate::bounds;
use crate::{Distribution, FactLedger, Linear, Probability, chance_at_least};

/// Where a normal doubt is taken to end when margins are left out, in standard uncertainties.
pub(crate) const CUT: f64 = 7.0;

/// The least of several margins.
#[derive(Clone, Debug, PartialEq)]
pub struct Least {
    /// Its distribution.
    pub distribution: Distribution,
    /// Which margin was the least in what share of the trials: its place among the margins, most often
    /// first. Those that never were are not named.
    pub decided_by: Vec<(usize, f64)>,
}

/// The least of several margins in the same unit. `None` if there are none, fewer than two trials, or a
/// margin is not finite.
pub fn least_of(margins: &[Linear], ledger: &FactLedger, trials: usize, seed: u64) -> Option<Least> {
    if margins.is_empty() || margins.iter().any(|margin| !margin.value.is_finite()) {
        return None;
    }
    let ranges: Vec<(f64, f64)> = margins.iter().map(|margin| bounds(margin, ledger, CUT)).collect();
    let ceiling = ranges.iter().map(|range| range.1).fold(f64::INFINITY, f64::min);
    let open: Vec<usize> = (0..margins.len()).filter(|&i| ranges[i].0 <= ceiling).collect();
    let facts = open.iter().flat_map(|&i| margins[i].slopes.iter().map(|(fact, _)| fact));
    let mut shared = SharedDraws::start(facts, ledger, seed);
    let mut columns = vec![[0.0; BLOCK]; shared.count()];
    let mut least = Vec::with_capacity(trials.next_multiple_of(BLOCK));
    let mut wins = vec![0usize; open.len()];
    while least.len() < trials {
        shared.next_block(&mut columns);
        let mut lowest = [f64::INFINITY; BLOCK];
        let mut lowest_by = [0usize; BLOCK];
        for (place, &i) in open.iter().enumerate() {
            let moved = moved(&margins[i], &shared, &columns);
            for t in 0..BLOCK {
                if moved[t] < lowest[t] {
                    (lowest[t], lowest_by[t]) = (moved[t], place);
                }
            }
        }
        let used = BLOCK.min(trials - least.len());
        least.extend_from_slice(&lowest[..used]);
        lowest_by[..used].iter().for_each(|&place| wins[place] += 1);
    }
    let mut decided_by: Vec<(usize, f64)> = open
        .iter()
        .zip(&wins)
        .filter(|(_, won)| **won > 0)
        .map(|(&i, &won)| (i, won as f64 / trials as f64))
        .collect();
    decided_by.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    Some(Least { distribution: Distribution::of_trials(least)?, decided_by })
}

/// A margin in each trial of a block.
pub(crate) fn moved(margin: &Linear, shared: &SharedDraws, columns: &[[f64; BLOCK]]) -> [f64; BLOCK] {
    let mut moved = [margin.value; BLOCK];
    for &(fact, slope) in &margin.slopes {
        if let Some(column) = shared.column(fact) {
            moved.iter_mut().zip(&columns[column]).for_each(|(m, d)| *m += slope * d);
        }
    }
    moved
}

/// The probability that every margin is at least `limit`. Margins that hold but for one case in a
/// thousand million are left out of the trials; if one remains it is exact, otherwise by [`least_of`].
/// Of no margins all hold.
pub fn chance_all_at_least(
    margins: &[Linear],
    ledger: &FactLedger,
    limit: f64,
    trials: usize,
    seed: u64,
) -> Probability {
    let mut open = Vec::new();
    let mut certain = true;
    for margin in margins {
        let chance = chance_at_least(margin, ledger, limit);
        if chance == Probability::NOUGHT {
            return Probability::NOUGHT;
        }
        certain &= chance == Probability::ONE;
        if chance.get() < 1.0 - 1e-9 {
            open.push(margin.clone());
        }
    }
    match &open[..] {
        [] if certain => Probability::ONE,
        [] => Probability::open(1.0),
        [only] => chance_at_least(only, ledger, limit),
        _ => least_of(&open, ledger, trials, seed).map_or(Probability::NOUGHT, |least| {
            // Between counts: not one trial in n failing still allows half a trial to.
            let unseen = 0.5 / trials as f64;
            Probability::open(least.distribution.share_at_least(limit).clamp(unseen, 1.0 - unseen))
        }),
    }
}

#[cfg(test)]
#[path = "least_tests.rs"]
mod tests;
