//! In which order are repairs tried, and what does that cost until the complaint is gone?
//!
//! By chance over cost, highest first. With one fault at a time, repairs that each mend causes of their own, costs that do not hang
//! together and a check after each, that order has the least expected cost (Kadane & Simon 1977; Heckerman, Breese & Rommelse 1995): the
//! cost is `Σ cᵢ (1 − Σ_{j<i} pⱼ)`, and changing two neighbours changes it by `cᵢpⱼ − cⱼpᵢ`. Elsewhere it is a rule of thumb, and said so.
//! At the end, where going on costs more than it promises, stands handing the craft over to somebody else.

use crate::base::Base;
use crate::evidence::Evidence;
use crate::explain::Explanations;

/// A repair as it is weighed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate {
    /// The chance that it mends, its own success included.
    pub chance: f64,
    /// What it costs.
    pub cost: f64,
}

/// The order by chance over cost, highest first; equals in the order given.
pub fn by_chance_over_cost(candidates: &[Candidate]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..candidates.len()).collect();
    let ratio = |at: &usize| candidates[*at].chance / candidates[*at].cost;
    order.sort_by(|a, b| ratio(b).total_cmp(&ratio(a)));
    order
}

/// The expected cost of trying repairs in an order until one mends, one fault at a time.
pub fn expected_cost(candidates: &[Candidate], order: &[usize]) -> f64 {
    let mut left = 1.0;
    let mut cost = 0.0;
    for at in order {
        cost += candidates[*at].cost * left;
        left -= candidates[*at].chance;
    }
    cost
}

/// The repairs and explanations of one session, laid out for weighing many beliefs.
#[derive(Clone, Debug)]
pub(crate) struct Workload {
    /// What each repair costs.
    pub costs: Vec<f64>,
    /// How often each works.
    pub works: Vec<f64>,
    /// For each explanation, for each of its causes that bring the complaint: the repairs that mend it.
    pub wanted: Vec<Vec<Vec<usize>>>,
    /// For each explanation, the repairs that mend any of these causes.
    pub touched: Vec<Vec<usize>>,
    /// What handing the craft over costs.
    pub hand_over: f64,
}

/// What repairing by chance over cost is expected to cost.
#[derive(Clone, Debug, PartialEq, Default)]
pub(crate) struct Outlook {
    /// The expected cost until the complaint is gone.
    pub cost: f64,
    /// The repairs in order, up to where the craft is handed over.
    pub order: Vec<usize>,
    /// What is left for somebody else.
    pub left: f64,
}

impl Workload {
    /// The repairs under the explanations of what was seen; `rate` is what a minute weighs.
    pub(crate) fn of(base: &Base, evidence: &Evidence, explained: &Explanations, rate: f64) -> Self {
        let done: Vec<usize> = evidence.repaired();
        let mended = |cause: &usize| done.iter().any(|repair| base.repairs[*repair].mends.contains(cause));
        let brings = |cause: &&usize| evidence.complaint.is_none_or(|sign| base.link(**cause, sign) > 0.0);
        let wanted: Vec<Vec<Vec<usize>>> = explained
            .list
            .iter()
            .map(|one| {
                let all: Vec<usize> = one.causes.iter().filter(brings).copied().collect();
                let left: Vec<usize> = all.iter().copied().filter(|cause| !mended(cause)).collect();
                // If everything was mended and the complaint stays, the repair failed, and it is all to do again.
                let left = if left.is_empty() { all } else { left };
                left.iter()
                    .map(|cause| {
                        (0..base.repairs.len())
                            .filter(|repair| base.repairs[*repair].mends.contains(cause))
                            .collect()
                    })
                    .collect()
            })
            .collect();
        let touched = wanted
            .iter()
            .map(|wanted| {
                let mut touched: Vec<usize> = wanted.iter().flatten().copied().collect();
                touched.sort_unstable();
                touched.dedup();
                touched
            })
            .collect();
        Self {
            costs: base
                .repairs
                .iter()
                .map(|repair| rate * repair.minutes + base.minutes_per_part * repair.parts)
                .collect(),
            works: base.repairs.iter().map(|repair| repair.works).collect(),
            wanted,
            touched,
            hand_over: rate * base.hand_over_minutes,
        }
    }

    /// The outlook under a belief over the explanations, which need not sum to 1: the cost is per unit of belief.
    pub(crate) fn outlook(&self, belief: &[f64], scratch: &mut Scratch) -> Outlook {
        let total = self.tally(belief, scratch);
        if total <= 0.0 {
            return Outlook::default();
        }
        let (cost, cut, left) = self.walk(belief, total, scratch);
        Outlook { cost, order: scratch.order[..cut].to_vec(), left }
    }

    /// The cost alone.
    pub(crate) fn cost(&self, belief: &[f64], scratch: &mut Scratch) -> f64 {
        let total = self.tally(belief, scratch);
        if total <= 0.0 { 0.0 } else { self.walk(belief, total, scratch).0 }
    }

    fn tally(&self, belief: &[f64], scratch: &mut Scratch) -> f64 {
        scratch.gains.clear();
        scratch.gains.resize(self.costs.len(), 0.0);
        let mut total = 0.0;
        for (one, touched) in belief.iter().zip(&self.touched) {
            total += one;
            for repair in touched {
                scratch.gains[*repair] += one * self.works[*repair];
            }
        }
        scratch.order.clear();
        scratch.order.extend((0..self.costs.len()).filter(|repair| scratch.gains[*repair] > 1e-6 * total));
        let ratio = |repair: &usize| scratch.gains[*repair] / self.costs[*repair];
        scratch.order.sort_unstable_by(|a, b| ratio(b).total_cmp(&ratio(a)).then(a.cmp(b)));
        total
    }

    /// The least cost over all points at which one may hand over, that point, and what is left there.
    fn walk(&self, belief: &[f64], total: f64, scratch: &mut Scratch) -> (f64, usize, f64) {
        scratch.rank.clear();
        scratch.rank.resize(self.costs.len(), usize::MAX);
        for (at, repair) in scratch.order.iter().enumerate() {
            scratch.rank[*repair] = at;
        }
        scratch.mended.clear();
        scratch.mended.resize(scratch.order.len(), 0.0);
        for (one, wanted) in belief.iter().zip(&self.wanted) {
            let mut last = 0;
            let mut works = if wanted.is_empty() { 0.0 } else { 1.0 };
            let mut done = None;
            for repairs in wanted {
                let first = repairs.iter().copied().min_by_key(|repair| scratch.rank[*repair]);
                match first.map(|repair| (repair, scratch.rank[repair])) {
                    Some((repair, at)) if at != usize::MAX => {
                        last = last.max(at);
                        if done != Some(repair) {
                            works *= self.works[repair];
                        }
                        done = Some(repair);
                    }
                    _ => works = 0.0,
                }
            }
            if works > 0.0 {
                scratch.mended[last] += one * works;
            }
        }
        let (mut spent, mut paid, mut left) = (0.0, 0.0, total);
        let mut best = (self.hand_over, 0, 1.0);
        for (at, repair) in scratch.order.iter().enumerate() {
            spent += self.costs[*repair];
            paid += scratch.mended[at] * spent;
            left -= scratch.mended[at];
            let cost = (paid + left * (spent + self.hand_over)) / total;
            if cost < best.0 {
                best = (cost, at + 1, left / total);
            }
        }
        best
    }
}

/// Room that is used again and again.
#[derive(Clone, Debug, Default)]
pub(crate) struct Scratch {
    gains: Vec<f64>,
    order: Vec<usize>,
    rank: Vec<usize>,
    mended: Vec<f64>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn orders(left: &mut Vec<usize>, so_far: &mut Vec<usize>, all: &mut Vec<Vec<usize>>) {
        if left.is_empty() {
            all.push(so_far.clone());
        }
        for at in 0..left.len() {
            let one = left.remove(at);
            so_far.push(one);
            orders(left, so_far, all);
            so_far.pop();
            left.insert(at, one);
        }
    }

    proptest! {
        #[test]
        fn no_order_of_a_single_fault_costs_less(parts in prop::collection::vec((0.01_f64..1.0, 0.5_f64..100.0), 1..6)) {
            let sum: f64 = parts.iter().map(|(chance, _)| chance).sum();
            let candidates: Vec<Candidate> = parts.iter().map(|(chance, cost)| Candidate { chance: chance / sum, cost: *cost }).collect();
            let ours = expected_cost(&candidates, &by_chance_over_cost(&candidates));
            let mut all = Vec::new();
            orders(&mut (0..candidates.len()).collect(), &mut Vec::new(), &mut all);
            let least = all.iter().map(|order| expected_cost(&candidates, order)).fold(f64::INFINITY, f64::min);
            prop_assert!(ours <= least + 1e-9, "{ours} {least}");
        }
    }

    #[test]
    fn the_last_resort_is_taken_where_it_is_cheaper() {
        let load = Workload {
            costs: vec![100.0],
            works: vec![0.5],
            wanted: vec![vec![vec![0]], vec![]],
            touched: vec![vec![0], vec![]],
            hand_over: 30.0,
        };
        let outlook = load.outlook(&[0.5, 0.5], &mut Scratch::default());
        assert_eq!((outlook.cost, outlook.order), (30.0, vec![]));
        let load = Workload { costs: vec![10.0], hand_over: 300.0, ..load };
        let outlook = load.outlook(&[0.5, 0.5], &mut Scratch::default());
        assert_eq!(outlook.order, [0]);
        assert!((outlook.cost - (10.0 + 0.75 * 300.0)).abs() < 1e-12);
    }
}
