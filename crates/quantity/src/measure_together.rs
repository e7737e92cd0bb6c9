//! What measuring several facts does for a verdict where no single one would change it.
//!
//! With two facts of like doubt, neither reading alone may turn the verdict, and both together settle it. Where
//! [`crate::measure_next`] finds nothing, this says which two facts to measure, if two would do, and how certain
//! the verdict can become at all: with every fact measured as well as calipers, scale or meter tell.
//!
//! The certainty expected after measuring a set of facts is, as for a single one,
//!
//! ```text
//! Σ max(p, 1 − p) over the readings, each with its probability;   p = P(all margins ≥ 0 | the readings)
//! ```
//!
//! [`READINGS`] sets of readings are drawn; p of each is taken from [`TRIALS`] trials of what is left: all of an
//! unmeasured fact, of a measured one how far it lies from the middle of its reading's cell. The trials are the same
//! for each set of readings, and for each set of facts.
//!
//! Left out: more than two facts at once, and pairs beyond the [`TRIED`] facts that move the margins most.

use crate::measure_next::{Cells, facts_under, in_doubt};
use crate::monte_carlo::{BLOCK, SharedDraws};
use crate::{FactIndex, FactLedger, Linear, Probability, USUAL_SEED};

/// Sets of readings.
const READINGS: usize = BLOCK;
/// Trials for each.
const TRIALS: usize = 2 * BLOCK;
/// Facts of which pairs are tried.
const TRIED: usize = 6;
/// A pair is named only if it raises the certainty by this much: more than trials may be off.
const WORTH: f64 = 0.02;

/// Two facts to measure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pair {
    /// The facts, the one that moves the margins more first.
    pub facts: [FactIndex; 2],
    /// The certainty to be expected once both are measured.
    pub certainty_after: Probability,
}

/// How certain a verdict is and can become.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeasureTogether {
    /// The certainty of the verdict as things stand.
    pub certainty_now: Probability,
    /// The certainty to be expected once every fact is measured.
    pub certainty_all: Probability,
    /// Whether any fact is known less well than measuring would tell.
    pub measurable: bool,
    /// The two facts that raise it most together, if two do.
    pub pair: Option<Pair>,
}

/// How certain the verdict "all margins are at least nought" can become. `None` where it is as good as
/// certain already.
pub fn measure_together(margins: &[Linear], ledger: &FactLedger) -> Option<MeasureTogether> {
    let (open, certainty_now) = in_doubt(margins, ledger)?;
    let trials = Readings::draw(&open, ledger);
    let certainty = |gain: f64| Probability::open((certainty_now.get() + gain).min(1.0));
    let mut order = trials.facts.clone();
    order.retain(|fact| fact.moves > 0.0);
    order.sort_by(|a, b| b.moves.total_cmp(&a.moves).then(a.fact.cmp(&b.fact)));
    if order.is_empty() {
        let certainty_all = certainty_now;
        return Some(MeasureTogether { certainty_now, certainty_all, measurable: false, pair: None });
    }
    let tried = &order[..order.len().min(TRIED)];
    let pairs = tried.iter().enumerate().flat_map(|(n, a)| tried[n + 1..].iter().map(move |b| (a, b)));
    let pair = pairs
        .map(|(a, b)| ([a.fact, b.fact], trials.gain(|at| at == a.at || at == b.at)))
        .filter(|(_, gain)| *gain >= WORTH)
        .reduce(|best, next| if next.1 > best.1 { next } else { best });
    let all = trials.gain(|_| true).max(pair.map_or(0.0, |(_, gain)| gain)).max(0.0);
    let all = if all < WORTH { certainty_now } else { certainty(all) };
    let pair = pair.map(|(facts, gain)| Pair { facts, certainty_after: certainty(gain) });
    Some(MeasureTogether { certainty_now, certainty_all: all, measurable: true, pair })
}

/// A fact the margins lean on.
#[derive(Clone, Copy)]
struct Leant {
    fact: FactIndex,
    /// Its number among the facts.
    at: usize,
    /// How much measuring it can move a margin at most: slope times its standard uncertainty, nought for a fact
    /// that is known as well as measuring tells.
    moves: f64,
}

/// Drawn readings and what is left of each fact beside them.
struct Readings {
    facts: Vec<Leant>,
    /// For each margin its value, and its slope on each fact.
    margins: Vec<(f64, Vec<f64>)>,
    /// What each fact reads, in distances from its value.
    told: Vec<[f64; READINGS]>,
    /// What each fact may be where it is not measured.
    whole: Vec<Vec<f64>>,
    /// What is left of it where it is.
    left: Vec<Vec<f64>>,
}

impl Readings {
    fn draw(open: &[&Linear], ledger: &FactLedger) -> Self {
        let facts = facts_under(open);
        let columns = |seed: u64, blocks: usize| -> Vec<Vec<f64>> {
            let mut shared = SharedDraws::start(facts.iter(), ledger, seed);
            let mut block = vec![[0.0; BLOCK]; shared.count()];
            let mut columns = vec![Vec::with_capacity(blocks * BLOCK); shared.count()];
            for _ in 0..blocks {
                shared.next_block(&mut block);
                columns.iter_mut().zip(&block).for_each(|(column, block)| column.extend(block));
            }
            columns
        };
        let entries: Vec<_> = facts.iter().filter_map(|fact| Some((*fact, ledger.get(*fact)?))).collect();
        let cells: Vec<Option<Cells>> = entries.iter().map(|(_, entry)| Cells::of(entry)).collect();
        let read = |at: usize, distance: f64| cells[at].as_ref().map_or(0.0, |cells| cells.reading(distance));
        let truth = columns(USUAL_SEED, READINGS / BLOCK);
        let whole = columns(USUAL_SEED + 1, TRIALS / BLOCK);
        let told = truth.iter().enumerate().map(|(at, column)| {
            let mut told = [0.0; READINGS];
            told.iter_mut().zip(column).for_each(|(told, distance)| *told = read(at, *distance));
            told
        });
        let left = whole.iter().enumerate();
        let left = left.map(|(at, column)| column.iter().map(|d| d - read(at, *d)).collect());
        let leant = entries.iter().enumerate().map(|(at, (fact, entry))| {
            let slope = open.iter().map(|margin| margin.slope_on(*fact).abs()).fold(0.0, f64::max);
            let doubt = cells[at].as_ref().map_or(0.0, |_| entry.doubt.standard_uncertainty());
            Leant { fact: *fact, at, moves: slope * doubt }
        });
        let slopes = |margin: &Linear| entries.iter().map(|(fact, _)| margin.slope_on(*fact)).collect();
        Self {
            facts: leant.collect(),
            margins: open.iter().map(|margin| (margin.value, slopes(margin))).collect(),
            told: told.collect(),
            left: left.collect(),
            whole,
        }
    }

    /// How much certainer the verdict is expected to be once these facts are measured.
    fn gain(&self, measured: impl Fn(usize) -> bool) -> f64 {
        let mut known = vec![[0.0; READINGS]; self.margins.len()];
        let mut open = vec![[0.0; TRIALS]; self.margins.len()];
        for (j, (value, slopes)) in self.margins.iter().enumerate() {
            open[j] = [*value; TRIALS];
            for (at, slope) in slopes.iter().enumerate().filter(|(_, slope)| **slope != 0.0) {
                let left = if measured(at) { &self.left[at] } else { &self.whole[at] };
                open[j].iter_mut().zip(left).for_each(|(sum, d)| *sum += slope * d);
                if measured(at) {
                    known[j].iter_mut().zip(&self.told[at]).for_each(|(sum, d)| *sum += slope * d);
                }
            }
        }
        if let [open] = open.as_mut_slice() {
            open.sort_by(f64::total_cmp);
        }
        let holds = |m: usize| match (known.as_slice(), open.as_slice()) {
            // In order, what holds begins somewhere and goes on to the end.
            ([known], [open]) => TRIALS - open.partition_point(|open| known[m] + open < 0.0),
            _ => {
                let mut held = [true; TRIALS];
                for (known, open) in known.iter().zip(&open) {
                    held.iter_mut().zip(open).for_each(|(held, open)| *held &= known[m] + open >= 0.0);
                }
                held.iter().filter(|held| **held).count()
            }
        };
        let holds = |m: usize| holds(m) as f64 / TRIALS as f64;
        let certainty = |p: f64| p.max(1.0 - p);
        let chances: Vec<f64> = (0..READINGS).map(holds).collect();
        let mean = |of: &dyn Fn(f64) -> f64| chances.iter().map(|p| of(*p)).sum::<f64>() / READINGS as f64;
        mean(&certainty) - certainty(mean(&|p| p))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::ledger_for_tests::{ledger_of, linear};
    use crate::{Doubt, measure_next};
    use proptest::prelude::*;

    // The facts of these ledgers are outer sizes: calipers leave ± 0.1.

    #[test]
    fn two_facts_may_settle_what_neither_does_alone() {
        // 0.55 + x + y with x and y within ± 0.5: whatever one reads, the other leaves it more likely to hold.
        // Together they fail where x + y < -0.55: a triangle of side 0.45, 0.45²/2 = 0.101 of the square.
        let ledger = ledger_of(&[Doubt::even(0.5), Doubt::even(0.5)]);
        let margins = [linear(0.55, &[1.0, 1.0])];
        assert_eq!(measure_next(&margins, &ledger), None);
        let found = measure_together(&margins, &ledger).unwrap();
        assert!((found.certainty_now.get() - 0.89875).abs() < 1e-3, "{found:?}");
        let pair = found.pair.unwrap();
        assert_eq!(pair.facts, [FactIndex(0), FactIndex(1)]);
        assert!(pair.certainty_after.get() > 0.95, "{found:?}");
        assert_eq!(found.certainty_all, pair.certainty_after);
    }

    #[test]
    fn the_two_that_move_it_most_are_named() {
        let doubts = [Doubt::even(0.12), Doubt::even(0.5), Doubt::even(0.11), Doubt::even(0.5)];
        let margins = [linear(0.56, &[1.0, 1.0, -1.0, -1.0])];
        let found = measure_together(&margins, &ledger_of(&doubts)).unwrap();
        assert_eq!(found.pair.unwrap().facts, [FactIndex(1), FactIndex(3)]);
        assert!(found.certainty_all >= found.pair.unwrap().certainty_after);
    }

    #[test]
    fn what_is_known_as_well_as_calipers_tell_stays_as_uncertain() {
        let ledger = ledger_of(&[Doubt::even(0.1), Doubt::even(0.1)]);
        let found = measure_together(&[linear(0.1, &[1.0, 1.0])], &ledger).unwrap();
        assert_eq!((found.certainty_all, found.pair), (found.certainty_now, None));
        assert!(!found.measurable);
    }

    #[test]
    fn where_it_takes_more_than_two_no_pair_is_named() {
        // Ten facts, each too small to matter alone or with one other.
        let ledger = ledger_of(&[Doubt::even(0.4); 10]);
        let found = measure_together(&[linear(0.9, &[1.0; 10])], &ledger).unwrap();
        assert_eq!(found.pair, None, "{found:?}");
        assert!(found.certainty_all.get() > found.certainty_now.get() + 0.02, "{found:?}");
    }

    #[test]
    fn a_certain_verdict_asks_for_nothing() {
        let ledger = ledger_of(&[Doubt::even(0.5)]);
        assert_eq!(measure_together(&[linear(0.6, &[1.0])], &ledger), None);
        assert_eq!(measure_together(&[], &ledger), None);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]

        #[test]
        fn more_readings_never_make_a_verdict_less_certain(
            values in prop::collection::vec(-0.5..1.0f64, 1..3),
            slopes in prop::collection::vec(-1.0..1.0f64, 8),
            widths in prop::collection::vec(0.05..0.8f64, 4),
        ) {
            let ledger = ledger_of(&widths.iter().map(|width| Doubt::even(*width)).collect::<Vec<_>>());
            let margins: Vec<Linear> =
                values.iter().enumerate().map(|(i, v)| linear(*v, &slopes[4 * i..4 * i + 4])).collect();
            if let Some(found) = measure_together(&margins, &ledger) {
                prop_assert!(found.certainty_all >= found.certainty_now);
                if let Some(pair) = found.pair {
                    prop_assert!(pair.certainty_after > found.certainty_now);
                    prop_assert!(found.certainty_all >= pair.certainty_after);
                }
            }
        }
    }
}
