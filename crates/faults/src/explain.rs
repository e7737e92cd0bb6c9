//! Which sets of causes explain what was seen, and how much of the chance do they cover?
//!
//! The steps to come are weighed over explanations: sets of acting causes among those that hang together with what was shown. Sets are
//! gathered by size, all singles and pairs first, then the best of each size with one more, and the likeliest are kept. Since the chance
//! of the evidence is known exactly, so is the share that the kept sets cover; it is told wherever a choice rests on them.

use crate::network::Network;
use std::collections::HashSet;

/// A set of causes that act together, and its chance.
#[derive(Clone, Debug, PartialEq)]
pub struct Explanation {
    /// The causes, rising by place.
    pub causes: Vec<usize>,
    /// Its chance among the explanations kept; these sum to 1.
    pub chance: f64,
}

/// The explanations kept.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Explanations {
    pub list: Vec<Explanation>,
    /// The share of the exact chance that they cover.
    pub covered: f64,
    /// For each cause, whether it hangs together with what was shown.
    pub concerned: Vec<bool>,
}

/// How many explanations are kept at most, and how much chance is enough.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Depth {
    /// The most explanations.
    pub most: usize,
    /// The share of the chance that is enough.
    pub enough: f64,
}

impl Default for Depth {
    fn default() -> Self {
        Self { most: 240, enough: 0.9995 }
    }
}

/// How many sets of one size are tried with one more cause.
const WIDENED: usize = 40;
/// The largest set that is tried.
const LARGEST: usize = 7;

pub(crate) fn explain(network: &Network, log_linked: f64, depth: Depth) -> Explanations {
    let count = network.prior.len();
    let mut concerned = vec![false; count];
    for link in network.groups.iter().flat_map(|group| &group.bits).flat_map(|bit| &bit.links) {
        concerned[link.0] = true;
    }
    (0..count).for_each(|cause| concerned[cause] |= network.cures.concern(cause));
    let members: Vec<usize> = (0..count).filter(|cause| concerned[*cause]).collect();
    let scale = Scale::of(network, &members);
    let mut all: Vec<(Vec<usize>, f64)> = vec![(Vec::new(), scale.weigh(&[]))];
    let mut level: Vec<(Vec<usize>, f64)> = all.clone();
    for size in 1..=LARGEST.min(members.len()) {
        let mut met: HashSet<Vec<usize>> = HashSet::new();
        let mut next: Vec<(Vec<usize>, f64)> = Vec::new();
        let widened = if size <= 2 { level.len() } else { WIDENED };
        for (set, _) in level.iter().take(widened) {
            for cause in &members {
                let Err(place) = set.binary_search(cause) else { continue };
                let mut wider = set.clone();
                wider.insert(place, *cause);
                if met.insert(wider.clone()) {
                    let weight = scale.weigh(&wider);
                    if weight > 0.0 {
                        next.push((wider, weight));
                    }
                }
            }
        }
        next.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
        all.extend(next.iter().cloned());
        let total: f64 = all.iter().map(|(_, weight)| weight).sum();
        let whole = total / log_linked.exp();
        if next.is_empty() || size >= 2 && whole > depth.enough {
            break;
        }
        level = next;
    }
    all.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    let whole = log_linked.exp();
    let mut kept = 0.0;
    let mut list = Vec::new();
    for (causes, weight) in all {
        if weight <= 0.0 || list.len() >= depth.most || whole > 0.0 && kept / whole > depth.enough {
            break;
        }
        kept += weight;
        list.push(Explanation { causes, chance: weight });
    }
    list.iter_mut().for_each(|one| one.chance /= kept);
    let covered = if whole > 0.0 { (kept / whole).min(1.0) } else { 0.0 };
    Explanations { list, covered, concerned }
}

/// The network laid out for weighing many sets.
struct Scale<'n> {
    network: &'n Network,
    /// The weight of no cause acting.
    base: f64,
    /// For each cause, what its acting multiplies the prior part with.
    odds: Vec<f64>,
    /// For each group and bit, the link of each cause.
    links: Vec<Vec<Vec<f64>>>,
}

impl<'n> Scale<'n> {
    fn of(network: &'n Network, members: &[usize]) -> Self {
        let count = network.prior.len();
        let base = members.iter().map(|cause| 1.0 - network.prior[*cause]).product();
        let odds = (0..count)
            .map(|cause| {
                network.prior[cause] * network.kept[cause]
                    / (1.0 - network.prior[cause]).max(f64::MIN_POSITIVE)
            })
            .collect();
        let dense = |links: &[(usize, f64)]| {
            let mut row = vec![0.0; count];
            links.iter().for_each(|(cause, link)| row[*cause] = *link);
            row
        };
        let links = network
            .groups
            .iter()
            .map(|group| group.bits.iter().map(|bit| dense(&bit.links)).collect())
            .collect();
        Self { network, base, odds, links }
    }

    fn weigh(&self, set: &[usize]) -> f64 {
        let mut weight = self.base * set.iter().map(|cause| self.odds[*cause]).product::<f64>();
        for (group, links) in self.network.groups.iter().zip(&self.links) {
            if weight == 0.0 {
                return 0.0;
            }
            let clear = |row: &Vec<f64>| set.iter().map(|cause| 1.0 - row[*cause]).product::<f64>();
            weight *= match &links[..] {
                [one] => {
                    let clear = clear(one);
                    clear * group.weights[0] + (1.0 - clear) * group.weights[1]
                }
                rows => {
                    // Bits are set independently, given who acts: the weights are summed out bit by bit.
                    let mut weights = group.weights.clone();
                    for row in rows {
                        let clear = clear(row);
                        weights = weights
                            .chunks_exact(2)
                            .map(|pair| clear * pair[0] + (1.0 - clear) * pair[1])
                            .collect();
                    }
                    weights[0]
                }
            };
        }
        weight * self.network.cures.weigh(set)
    }
}
