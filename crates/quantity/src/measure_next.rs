//! Which fact to measure next: the one that is expected to make the verdict surest.
//!
//! The verdict on some margins is whether all are at least nought; with probability p that they are, its
//! certainty is max(p, 1 − p). Measuring fact x with calipers, scale or meter leaves the doubt that a
//! measured fact of its kind has by default. Nobody knows the reading beforehand, so the range of x is
//! cut into the fewest equal cells no wider than that doubt: a reading says which cell the truth is in.
//!
//! ```text
//! certainty expected after measuring x = Σ w(k)·max(p(k), 1 − p(k)),   p(k) = P(all margins ≥ 0 | x in cell k)
//! ```
//!
//! with w(k) the probability of the cell. Since Σ w(k)·p(k) = p, measuring never makes the verdict less
//! certain, and a fact known better than its cells gains nothing. This is the expected value of
//! perfect reading of a decision with two outcomes (R. A. Howard, Information value theory, 1966; cited
//! from memory), with certainty as the value.
//!
//! p(k) comes from [`TRIALS`] trials of all other facts; in each, x may lie in an interval, whose overlap with
//! a cell is exact. Results are linear, so a second fact's reading would be judged after the first is in.
//!
//! Left out: what measuring costs. Two facts may gain together what neither gains alone: `measure_together.rs`.

use crate::least::moved;
use crate::monte_carlo::{BLOCK, SharedDraws};
use crate::special::normal_below;
use crate::{
    Basis, Doubt, FactIndex, FactLedger, LedgerEntry, Linear, Probability, Shape, USUAL_SEED, USUAL_TRIALS,
    chance_all_at_least, chance_at_least,
};

/// Trials for each candidate.
pub const TRIALS: usize = 8 * BLOCK;
/// The most cells a fact's range is cut into: finer readings say nothing more about a verdict.
const MOST_CELLS: usize = 32;
/// Margins less likely than this to fail do not decide what to measure.
const NEGLIGIBLE: f64 = 1e-5;
/// A verdict as certain as this is not worth measuring for.
const SETTLED: f64 = 0.999;
/// The least gain for which a fact is named. Certainties are told in whole per cent: what raises one by less than half of
/// one changes nothing that anybody sees, and is no more than the trials may be off.
pub const LEAST_GAIN: f64 = 0.005;

/// A fact worth measuring.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeasureNext {
    /// The fact.
    pub fact: FactIndex,
    /// The certainty of the verdict as things stand.
    pub certainty_now: Probability,
    /// The certainty to be expected once the fact is measured.
    pub certainty_after: Probability,
}

/// The fact to measure first, if measuring any one fact helps. See [`measuring_order`].
pub fn measure_next(margins: &[Linear], ledger: &FactLedger) -> Option<MeasureNext> {
    measuring_order(margins, ledger).into_iter().next()
}

/// Every fact whose measuring makes the verdict "all margins are at least nought" surer, best first.
/// Empty where the verdict is as good as certain already (over 99.9 %) or no single fact helps by [`LEAST_GAIN`].
pub fn measuring_order(margins: &[Linear], ledger: &FactLedger) -> Vec<MeasureNext> {
    let Some((open, certainty_now)) = in_doubt(margins, ledger) else { return Vec::new() };
    let mut candidates = candidates(&open, ledger);
    run_trials(&open, &mut candidates, ledger);

    let mut gains: Vec<(FactIndex, f64)> =
        candidates.iter().map(|candidate| (candidate.fact, candidate.gain())).collect();
    gains.retain(|(_, gain)| *gain >= LEAST_GAIN);
    gains.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let after = |gain: f64| Probability::open(certainty_now.get() + gain);
    gains
        .into_iter()
        .map(|(fact, gain)| MeasureNext { fact, certainty_now, certainty_after: after(gain) })
        .collect()
}

/// The margins that may fail, and the certainty of the verdict as things stand; `None` where one is sure to
/// fail, or the verdict is as good as certain.
pub(crate) fn in_doubt<'a>(
    margins: &'a [Linear],
    ledger: &FactLedger,
) -> Option<(Vec<&'a Linear>, Probability)> {
    let mut open = Vec::new();
    for margin in margins {
        let chance = chance_at_least(margin, ledger, 0.0);
        if chance == Probability::NOUGHT {
            return None;
        }
        if chance.get() < 1.0 - NEGLIGIBLE {
            open.push(margin);
        }
    }
    if open.is_empty() {
        return None;
    }
    let now = chance_all_at_least(margins, ledger, 0.0, USUAL_TRIALS, USUAL_SEED).certainty();
    (now.get() <= SETTLED).then_some((open, now))
}

/// The facts some margins lean on, each once.
pub(crate) fn facts_under(margins: &[&Linear]) -> Vec<FactIndex> {
    let slopes = margins.iter().flat_map(|margin| &margin.slopes);
    let mut facts: Vec<FactIndex> = slopes.map(|(fact, _)| *fact).collect();
    facts.sort();
    facts.dedup();
    facts
}

/// A fact that might be measured.
struct Candidate {
    fact: FactIndex,
    doubt: Doubt,
    /// The margins that lean on it: place among the open ones, slope.
    leaning: Vec<(usize, f64)>,
    /// Where its cells begin and end, as shares of its own distribution, 0 to 1.
    edges: Vec<f64>,
    /// For each cell, the sum over trials of the share of it in which all margins hold.
    held: Vec<f64>,
}

fn candidates(open: &[&Linear], ledger: &FactLedger) -> Vec<Candidate> {
    facts_under(open)
        .into_iter()
        .filter_map(|fact| {
            let entry = ledger.get(fact)?;
            let edges = Cells::of(entry)?.edges(&entry.doubt);
            let leaning = open.iter().enumerate().map(|(j, margin)| (j, margin.slope_on(fact)));
            let leaning = leaning.filter(|(_, slope)| *slope != 0.0).collect();
            let held = vec![0.0; edges.len() - 1];
            Some(Candidate { fact, doubt: entry.doubt, leaning, edges, held })
        })
        .collect()
}

/// The equal cells a reading tells apart, in distances from the fact's value.
pub(crate) struct Cells {
    start: f64,
    width: f64,
    count: usize,
}

impl Cells {
    /// `None` for a fact that is known as well as measuring would tell.
    pub(crate) fn of(entry: &LedgerEntry) -> Option<Self> {
        let reading = entry.kind.default_doubt(Basis::Measured, entry.value);
        let told_apart = reading.minus + reading.plus;
        let stated = entry.doubt.minus + entry.doubt.plus;
        // A normal doubt reaches beyond its interval of two standard uncertainties; cells cover three.
        let (start, range) = match entry.doubt.shape {
            Shape::Rectangular => (-entry.doubt.minus, stated),
            Shape::Normal => (entry.doubt.centre_offset() - 0.75 * stated, 1.5 * stated),
        };
        if stated <= told_apart || stated == 0.0 {
            return None;
        }
        let count = (range / told_apart - 1e-9).ceil().clamp(1.0, MOST_CELLS as f64) as usize;
        (count > 1).then(|| Self { start, width: range / count as f64, count })
    }

    /// Where they begin and end, as shares of the fact's own distribution.
    fn edges(&self, doubt: &Doubt) -> Vec<f64> {
        let inner = (1..self.count).map(|k| share_of(doubt, self.start + self.width * k as f64));
        [0.0].into_iter().chain(inner).chain([1.0]).collect()
    }

    /// The middle of the cell in which a distance lies: what a reading says.
    pub(crate) fn reading(&self, distance: f64) -> f64 {
        let cell = ((distance - self.start) / self.width).floor().clamp(0.0, (self.count - 1) as f64);
        self.start + self.width * (cell + 0.5)
    }
}

/// The share of a doubt's distribution that lies below a distance from the value.
fn share_of(doubt: &Doubt, distance: f64) -> f64 {
    match doubt.shape {
        Shape::Rectangular => ((distance + doubt.minus) / (doubt.minus + doubt.plus)).clamp(0.0, 1.0),
        Shape::Normal => normal_below((distance - doubt.centre_offset()) / doubt.standard_uncertainty()),
    }
}

fn run_trials(open: &[&Linear], candidates: &mut [Candidate], ledger: &FactLedger) {
    let facts = open.iter().flat_map(|margin| margin.slopes.iter().map(|(fact, _)| fact));
    let mut shared = SharedDraws::start(facts, ledger, USUAL_SEED);
    let mut columns = vec![[0.0; BLOCK]; shared.count()];
    for _ in 0..TRIALS / BLOCK {
        shared.next_block(&mut columns);
        let moved: Vec<[f64; BLOCK]> = open.iter().map(|margin| moved(margin, &shared, &columns)).collect();
        let mut failing = [0usize; BLOCK];
        for margin in &moved {
            failing.iter_mut().zip(margin).for_each(|(count, m)| *count += usize::from(*m < 0.0));
        }
        for candidate in candidates.iter_mut() {
            let Some(column) = shared.column(candidate.fact) else { continue };
            for t in 0..BLOCK {
                candidate.judge(failing[t], columns[column][t], |j| moved[j][t]);
            }
        }
    }
}

impl Candidate {
    /// One trial: how much of each cell lets all margins hold, the other facts being as drawn.
    fn judge(&mut self, failing: usize, drawn: f64, margin: impl Fn(usize) -> f64) {
        let (mut from, mut to) = (f64::NEG_INFINITY, f64::INFINITY);
        let mut failing_here = 0;
        for &(j, slope) in &self.leaning {
            let moved = margin(j);
            failing_here += usize::from(moved < 0.0);
            let turn = drawn - moved / slope;
            if slope > 0.0 { from = from.max(turn) } else { to = to.min(turn) }
        }
        if failing > failing_here || from >= to {
            return;
        }
        let from = if from == f64::NEG_INFINITY { 0.0 } else { share_of(&self.doubt, from) };
        let to = if to == f64::INFINITY { 1.0 } else { share_of(&self.doubt, to) };
        for (held, edge) in self.held.iter_mut().zip(self.edges.windows(2)) {
            let overlap = (to.min(edge[1]) - from.max(edge[0])).max(0.0);
            *held += if overlap > 0.0 { overlap / (edge[1] - edge[0]) } else { 0.0 };
        }
    }

    /// How much certainer the verdict is expected to be after measuring.
    fn gain(&self) -> f64 {
        let certainty = |p: f64| p.max(1.0 - p);
        let cells = || self.edges.windows(2).map(|edge| edge[1] - edge[0]).zip(&self.held);
        let now: f64 = cells().map(|(weight, held)| weight * held / TRIALS as f64).sum();
        let after: f64 = cells().map(|(weight, held)| weight * certainty(held / TRIALS as f64)).sum();
        after - certainty(now)
    }
}

#[cfg(test)]
#[path = "measure_next_tests.rs"]
mod tests;
