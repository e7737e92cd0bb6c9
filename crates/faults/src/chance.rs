//! How likely is an observation if exactly these causes act? The plain formulas, one observation at a time.
//!
//! The same model as `network.rs`, written down the straight way: the steps to come are weighed with it, and the sweep is tested against it.

use crate::base::{Base, Reads};
use crate::cures::{mended_by, mended_by_repair};
use crate::evidence::{Evidence, Observation};
use crate::facts::Priors;
use crate::network::Shown;

/// The chance of each outcome of a test if exactly `acting` act; `also` is how likely each other cause acts, aside.
pub(crate) fn outcomes(
    base: &Base,
    test: usize,
    complaint: Option<usize>,
    acting: &[usize],
    also: &[f64],
) -> Vec<f64> {
    let test = &base.tests[test];
    match test.reads {
        Reads::Fault => spread(&Shown::of_test(base, test), acting, also),
        Reads::Cure => {
            let first = &test.shown[0];
            let gone =
                gone(base, complaint, &mended_by(base, &first.given, first.other), first.other, acting);
            vec![gone, 1.0 - gone]
        }
    }
}

/// The chances that a sign is seen, and not.
pub(crate) fn seen(base: &Base, sign: usize, is_complaint: bool, acting: &[usize], also: &[f64]) -> Vec<f64> {
    spread(&Shown::of_sign(base, sign, is_complaint), acting, also)
}

/// The chance that the complaint is gone after a repair.
pub(crate) fn repaired(base: &Base, repair: usize, complaint: Option<usize>, acting: &[usize]) -> f64 {
    gone(base, complaint, &mended_by_repair(base, repair), base.fluke, acting)
}

/// The chance that the complaint is gone after a cure that mends each cause by its chance, and by a fluke of `other`.
pub(crate) fn gone(
    base: &Base,
    complaint: Option<usize>,
    mended: &[f64],
    other: f64,
    acting: &[usize],
) -> f64 {
    let mut any = false;
    let mut all = 1.0;
    for cause in acting {
        if complaint.is_none_or(|sign| base.link(*cause, sign) > 0.0) {
            any = true;
            all *= mended[*cause];
        }
    }
    if any { other + (1.0 - other) * all } else { other }
}

/// Noisy-MAX: the chance of each outcome, the last taking the rest.
fn spread(shown: &Shown, acting: &[usize], also: &[f64]) -> Vec<f64> {
    Spread::of(shown, also).chances(acting)
}

/// Noisy-MAX laid out for many sets of acting causes.
pub(crate) struct Spread {
    /// For each outcome but the last: the chance of no such outcome, nor a stronger one, when none of the set acts.
    none: Vec<f64>,
    /// For each of them, by cause, the chance of it or a stronger one.
    up_to: Vec<Vec<f64>>,
}

impl Spread {
    pub(crate) fn of(shown: &Shown, also: &[f64]) -> Self {
        let causes = shown.given.first().map_or(0, Vec::len);
        let up_to: Vec<Vec<f64>> = (0..shown.given.len())
            .map(|outcome| {
                (0..causes).map(|cause| (0..=outcome).map(|at| shown.given[at][cause]).sum()).collect()
            })
            .collect();
        let none = up_to
            .iter()
            .enumerate()
            .map(|(outcome, up_to)| {
                let aside: f64 = also.iter().zip(up_to).map(|(acts, up_to)| 1.0 - acts * up_to).product();
                (1.0 - shown.other[..=outcome].iter().sum::<f64>()) * aside
            })
            .collect();
        Self { none, up_to }
    }

    pub(crate) fn chances(&self, acting: &[usize]) -> Vec<f64> {
        let mut chances = Vec::with_capacity(self.none.len() + 1);
        let mut above = 1.0;
        for (none, up_to) in self.none.iter().zip(&self.up_to) {
            let none = none * acting.iter().map(|cause| 1.0 - up_to[*cause]).product::<f64>();
            chances.push(above - none);
            above = none;
        }
        chances.push(above);
        chances
    }
}

/// The chance of all the evidence if exactly `acting` act, leaving out the prior.
pub(crate) fn of_evidence(base: &Base, evidence: &Evidence, acting: &[usize]) -> f64 {
    let mut chance = match evidence.complaint {
        Some(sign) => seen(base, sign, true, acting, &[])[0],
        None => 1.0,
    };
    for (_, one) in evidence.counting() {
        chance *= match one {
            Observation::Sign { sign, said } => {
                let (yes, no) = said.likelihoods();
                let seen = seen(base, sign, false, acting, &[]);
                yes * seen[0] + no * seen[1]
            }
            Observation::Test { test, outcome, sure } => {
                let chances = outcomes(base, test, evidence.complaint, acting, &[]);
                #[allow(clippy::cast_precision_loss)] // Two or three.
                let rest = (1.0 - sure) / (chances.len() - 1) as f64;
                chances
                    .iter()
                    .enumerate()
                    .map(|(at, chance)| chance * if at == outcome { sure } else { rest })
                    .sum()
            }
            Observation::Repair { repair, gone } => {
                let chance = repaired(base, repair, evidence.complaint, acting);
                if gone { chance } else { 1.0 - chance }
            }
        };
    }
    chance
}

/// The prior chance that exactly `acting` of the causes on act.
pub(crate) fn of_set(priors: &Priors, acting: &[usize]) -> f64 {
    let chance =
        |(cause, chance): (usize, &f64)| if acting.contains(&cause) { *chance } else { 1.0 - chance };
    priors.chances.iter().enumerate().map(chance).product()
}

/// The chances of all causes by enumeration of every set: for tests, and up to 20 causes.
pub fn by_enumeration(base: &Base, priors: &Priors, evidence: &Evidence) -> Option<Vec<f64>> {
    let on: Vec<usize> = (0..priors.chances.len()).filter(|cause| priors.chances[*cause] > 0.0).collect();
    if on.len() > 20 {
        return None;
    }
    let mut sums = vec![0.0; priors.chances.len()];
    let mut all = 0.0;
    for set in 0..1_u32 << on.len() {
        let acting: Vec<usize> =
            on.iter().enumerate().filter(|(bit, _)| set >> bit & 1 == 1).map(|(_, cause)| *cause).collect();
        let weight = of_set(priors, &acting) * of_evidence(base, evidence, &acting);
        all += weight;
        for cause in acting {
            sums[cause] += weight;
        }
    }
    (all > 0.0).then(|| sums.into_iter().map(|sum| sum / all).collect())
}
