//! From causes and evidence to a form that can be summed exactly.
//!
//! Every observation becomes factors of two sorts. What says that a cause did *not* show itself is a plain product over the causes: each
//! cause that acts keeps a share of its weight. What says that something *was* shown is a bit that any acting cause may set, each by its
//! own chance, and a weight for the bit set and not set; the leak lies in the weight of the bit not set. Three-way tests take two bits.
//! Cures are kept apart (`cures.rs`): however many were made in vain, few states of them can be reached.
//! All of these are sums and products of numbers that are not negative, so nothing is lost by subtraction.

use crate::base::{Base, Reads, Test};
use crate::cures::{Cure, Cures, mended_by, mended_by_repair};
use crate::evidence::{Evidence, Observation};
use crate::facts::Priors;

/// A bit that causes may set, by local cause.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Bit {
    pub links: Vec<(usize, f64)>,
}

/// Bits that are weighed together: `weights[state]`, the first bit being the lowest.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Group {
    pub bits: Vec<Bit>,
    pub weights: Vec<f64>,
}

/// Independent causes with what the evidence makes of them.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Network {
    /// The chance of each cause beforehand.
    pub prior: Vec<f64>,
    /// What an acting cause keeps of its weight.
    pub kept: Vec<f64>,
    /// What all share.
    pub shared: f64,
    /// The bits.
    pub groups: Vec<Group>,
    /// What cures say of the complaint.
    pub cures: Cures,
    /// The chance that no repair that was made mended a cause, before anything was said of the complaint.
    pub unmended: Vec<f64>,
}

/// How each cause answers an observation by a noisy-OR or noisy-MAX of two or three outcomes.
pub(crate) struct Shown {
    /// For each outcome but the last: the leak.
    pub other: Vec<f64>,
    /// For each outcome but the last: the chance by cause, nought where not listed.
    pub given: Vec<Vec<f64>>,
}

impl Shown {
    pub(crate) fn of_sign(base: &Base, sign: usize, is_complaint: bool) -> Self {
        let factor = if is_complaint { base.complaint_leak } else { 1.0 };
        let given = (0..base.causes.len()).map(|cause| base.link(cause, sign)).collect();
        Self { other: vec![base.signs[sign].leak * factor], given: vec![given] }
    }

    pub(crate) fn of_test(base: &Base, test: &Test) -> Self {
        let mut given = vec![vec![0.0; base.causes.len()]; test.shown.len()];
        for (row, outcome) in given.iter_mut().zip(&test.shown) {
            for (cause, chance) in &outcome.given {
                row[*cause] = *chance;
            }
        }
        Self { other: test.shown.iter().map(|outcome| outcome.other).collect(), given }
    }
}

impl Network {
    pub(crate) fn of(base: &Base, priors: &Priors, evidence: &Evidence) -> Self {
        let count = base.causes.len();
        let mut network = Self {
            prior: priors.chances.clone(),
            kept: vec![1.0; count],
            shared: 1.0,
            groups: Vec::new(),
            cures: Cures::default(),
            unmended: vec![1.0; count],
        };
        let mut cures = Vec::new();
        if let Some(sign) = evidence.complaint {
            network.shown(&Shown::of_sign(base, sign, true), &[1.0, 0.0]);
        }
        for (_, one) in evidence.counting() {
            match one {
                Observation::Sign { sign, said } => {
                    let (yes, no) = said.likelihoods();
                    network.shown(&Shown::of_sign(base, sign, false), &[yes, no]);
                }
                Observation::Test { test, outcome, sure } => {
                    let test = &base.tests[test];
                    let count = test.outcome_count();
                    #[allow(clippy::cast_precision_loss)] // Two or three.
                    let rest = (1.0 - sure) / (count - 1) as f64;
                    let said: Vec<f64> =
                        (0..count).map(|at| if at == outcome { sure } else { rest }).collect();
                    match test.reads {
                        Reads::Fault => network.shown(&Shown::of_test(base, test), &said),
                        Reads::Cure => {
                            let first = &test.shown[0];
                            let mended = mended_by(base, &first.given, first.other);
                            let (gone, stays) = (said[0], said[1]);
                            cures.push(Cure { mended, fluke: first.other, gone, stays, lasts: false });
                        }
                    }
                }
                Observation::Repair { repair, gone } => {
                    let mended = mended_by_repair(base, repair);
                    let (gone, stays) = if gone { (1.0, 0.0) } else { (0.0, 1.0) };
                    let left = |cause: usize| 1.0 - mended[cause];
                    network.unmended.iter_mut().enumerate().for_each(|(cause, share)| *share *= left(cause));
                    cures.push(Cure { mended, fluke: base.fluke, gone, stays, lasts: true });
                }
            }
        }
        let brings = |cause: &usize| evidence.complaint.is_none_or(|sign| base.link(*cause, sign) > 0.0);
        let concerned: Vec<usize> = (0..count).filter(|cause| network.on(*cause)).filter(brings).collect();
        network.cures = Cures::of(&concerned, count, &cures);
        network
    }

    fn on(&self, cause: usize) -> bool {
        self.prior[cause] > 0.0
    }

    fn links(&self, given: &[f64]) -> Vec<(usize, f64)> {
        given
            .iter()
            .enumerate()
            .filter(|(cause, link)| **link > 0.0 && self.on(*cause))
            .map(|(cause, link)| (cause, *link))
            .collect()
    }

    fn keep(&mut self, share: impl Fn(usize) -> f64) {
        for cause in 0..self.kept.len() {
            self.kept[cause] *= share(cause).max(0.0);
        }
    }

    /// Takes in an observation whose outcomes were said with these likelihoods.
    fn shown(&mut self, shown: &Shown, said: &[f64]) {
        match (&shown.given[..], &shown.other[..], said) {
            ([given], [other], [first, last]) => {
                if *first == 0.0 {
                    self.keep(|cause| 1.0 - given[cause]);
                    self.shared *= last * (1.0 - other);
                } else {
                    self.one_bit(given, &[(1.0 - other) * last + other * first, *first]);
                }
            }
            ([one, two], [leak_one, leak_two], [first, second, last]) => {
                let later = |cause: usize| {
                    if one[cause] < 1.0 { (two[cause] / (1.0 - one[cause])).min(1.0) } else { 0.0 }
                };
                if *first == 0.0 && *second == 0.0 {
                    self.keep(|cause| 1.0 - one[cause] - two[cause]);
                    self.shared *= last * (1.0 - leak_one - leak_two);
                } else if *first == 0.0 && *last == 0.0 {
                    self.keep(|cause| 1.0 - one[cause]);
                    let given: Vec<f64> = (0..one.len()).map(later).collect();
                    self.one_bit(&given, &[second * leak_two, second * (1.0 - leak_one)]);
                } else if *second == *last {
                    self.one_bit(one, &[(1.0 - leak_one) * last + leak_one * first, *first]);
                } else {
                    let given: Vec<f64> = (0..one.len()).map(later).collect();
                    let bits = vec![Bit { links: self.links(one) }, Bit { links: self.links(&given) }];
                    let none = leak_one * first + leak_two * second + (1.0 - leak_one - leak_two) * last;
                    let only_two = leak_one * first + (1.0 - leak_one) * second;
                    self.groups.push(Group { bits, weights: vec![none, *first, only_two, *first] });
                }
            }
            _ => {}
        }
    }

    fn one_bit(&mut self, given: &[f64], weights: &[f64; 2]) {
        let links = self.links(given);
        if links.is_empty() {
            self.shared *= weights[0];
        } else {
            self.groups.push(Group { bits: vec![Bit { links }], weights: weights.to_vec() });
        }
    }
}
