//! What did the fleet's own verdicts teach, and how much do they weigh against the lore?
//!
//! Kinds of fault are a Dirichlet distribution: the lore counts as `lore_visits` visits to the bench, shared out by the weights, and each
//! cause found adds one to its own count, so the mean share of a cause is `(A·wᵢ/W + nᵢ) / (A + N)` with `A = lore_visits × W / 100`
//! faults. Chances of signs and outcomes are Beta and Dirichlet distributions in the same way, the lore counting as `lore_looks` looks.
//! Source of the rule: Gelman et al., Bayesian Data Analysis, 3rd ed., §2.4 and §3.4 (conjugate means; memory).
//! Only sessions that ended with a single cause teach chances: with two, nobody can say which one brought the sign.

use crate::base::Base;
use std::collections::BTreeMap;

/// Counts of one fleet, by id so that they outlive changes of the knowledge.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Counts {
    /// Sessions that ended in a verdict.
    pub visits: u32,
    /// How often each cause was found.
    pub found: BTreeMap<String, u32>,
    /// By cause and sign: how often it was looked for, and how often seen.
    pub signs: BTreeMap<(String, String), (u32, u32)>,
    /// By cause, test and outcome: how often.
    pub outcomes: BTreeMap<(String, String, String), u32>,
}

/// How much of what is believed is the fleet's own.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OwnShare {
    /// Faults that the lore counts for.
    pub lore: f64,
    /// Faults the fleet found itself.
    pub own: f64,
}

impl OwnShare {
    /// The own part, from 0 to 1.
    pub fn share(self) -> f64 {
        if self.lore + self.own > 0.0 { self.own / (self.lore + self.own) } else { 0.0 }
    }
}

impl Counts {
    /// Puts one ended session on record.
    pub fn learn(
        &mut self,
        base: &Base,
        causes: &[usize],
        signs: &[(usize, bool)],
        outcomes: &[(usize, usize)],
    ) {
        self.visits = self.visits.saturating_add(1);
        let id = |cause: usize| base.causes[cause].id.clone();
        for cause in causes {
            let count = self.found.entry(id(*cause)).or_default();
            *count = count.saturating_add(1);
        }
        let [cause] = causes else { return };
        for (sign, seen) in signs {
            let (looked, times) = self.signs.entry((id(*cause), base.signs[*sign].id.clone())).or_default();
            *looked = looked.saturating_add(1);
            *times = times.saturating_add(u32::from(*seen));
        }
        for (test, outcome) in outcomes {
            let Some(word) = base.tests[*test].outcomes().nth(*outcome) else { continue };
            let key = (id(*cause), base.tests[*test].id.clone(), word.to_owned());
            let count = self.outcomes.entry(key).or_default();
            *count = count.saturating_add(1);
        }
    }

    /// The weight of each cause after the counts.
    pub fn weights(&self, base: &Base) -> Vec<f64> {
        let lore: f64 = base.causes.iter().map(|cause| cause.weight).sum();
        let faults = base.lore_visits * lore / 100.0;
        let counts: Vec<f64> = base
            .causes
            .iter()
            .map(|cause| f64::from(self.found.get(&cause.id).copied().unwrap_or(0)))
            .collect();
        let own: f64 = counts.iter().sum();
        if own <= 0.0 {
            return base.causes.iter().map(|cause| cause.weight).collect();
        }
        let alphas: Vec<f64> = base.causes.iter().map(|cause| faults * cause.weight / lore).collect();
        dirichlet_means(&alphas, &counts).into_iter().map(|share| lore * share).collect()
    }

    /// How much of the weights is lore and how much the fleet's own.
    pub fn own_share(&self, base: &Base) -> OwnShare {
        let lore: f64 = base.causes.iter().map(|cause| cause.weight).sum();
        OwnShare {
            lore: base.lore_visits * lore / 100.0,
            // Begun at nought: the sum of no numbers is a negative zero, and that would be told as -0 %.
            own: self.found.values().copied().map(f64::from).fold(0.0, |sum, one| sum + one),
        }
    }

    /// The knowledge with the chances of signs and outcomes as the fleet's own looks have moved them.
    pub fn applied(&self, base: &Base) -> Base {
        let mut moved = base.clone();
        if self.signs.is_empty() && self.outcomes.is_empty() {
            return moved;
        }
        for cause in &mut moved.causes {
            for (sign, chance) in &mut cause.signs {
                let key = (cause.id.clone(), base.signs[*sign].id.clone());
                if let Some((looked, seen)) = self.signs.get(&key) {
                    *chance = beta_mean(base.lore_looks, *chance, f64::from(*seen), f64::from(*looked));
                }
            }
        }
        for test in &mut moved.tests {
            let words: Vec<String> = test.outcomes().map(str::to_owned).collect();
            let listed: Vec<usize> =
                test.shown.iter().flat_map(|outcome| &outcome.given).map(|(cause, _)| *cause).collect();
            for cause in listed {
                let count = |word: &String| {
                    let key = (base.causes[cause].id.clone(), test.id.clone(), word.clone());
                    f64::from(self.outcomes.get(&key).copied().unwrap_or(0))
                };
                let looked: f64 = words.iter().map(count).sum();
                let counts: Vec<f64> = words.iter().map(count).collect();
                for (outcome, times) in test.shown.iter_mut().zip(counts) {
                    for (_, chance) in outcome.given.iter_mut().filter(|(at, _)| *at == cause && looked > 0.0)
                    {
                        *chance = beta_mean(base.lore_looks, *chance, times, looked);
                    }
                }
            }
        }
        moved
    }
}

/// The mean shares of a Dirichlet distribution after counts: `(αᵢ + nᵢ) / Σ(α + n)`.
pub fn dirichlet_means(alphas: &[f64], counts: &[f64]) -> Vec<f64> {
    let total: f64 = alphas.iter().chain(counts).sum();
    alphas.iter().zip(counts).map(|(alpha, count)| (alpha + count) / total).collect()
}

/// The mean of a Beta distribution that began as `looks` looks at `chance`, after `times` of `looked`.
pub fn beta_mean(looks: f64, chance: f64, times: f64, looked: f64) -> f64 {
    if looks + looked > 0.0 { (looks * chance + times) / (looks + looked) } else { chance }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_fleet_without_verdicts_has_nought_of_its_own_and_no_sign() {
        let share = Counts::default().own_share(&Base::embedded().0).share();
        assert!(share == 0.0 && share.is_sign_positive(), "{share:?}");
    }

    #[test]
    fn a_cause_found_grows_and_the_others_give_way() {
        let (base, _) = Base::embedded();
        let mut counts = Counts::default();
        let harness = base.cause("harness_damaged").unwrap();
        let before = counts.weights(&base);
        counts.learn(&base, &[harness], &[], &[]);
        let after = counts.weights(&base);
        assert!(after[harness] > 1.5 * before[harness], "{} {}", before[harness], after[harness]);
        assert!((0..after.len()).filter(|cause| *cause != harness).all(|cause| after[cause] < before[cause]));
        let sums: (f64, f64) = (before.iter().sum(), after.iter().sum());
        assert!((sums.0 - sums.1).abs() < 1e-9);
        assert!((counts.own_share(&base).share() - 1.0 / 27.16).abs() < 1e-9);
    }

    #[test]
    fn chances_move_with_looks_and_never_leave_0_to_1() {
        let (base, _) = Base::embedded();
        let mut counts = Counts::default();
        let (cause, test) = (base.cause("harness_loose").unwrap(), base.test("reseat_harness").unwrap());
        let sign = base.sign("camera_light_off").unwrap();
        for _ in 0..30 {
            counts.learn(&base, &[cause], &[(sign, false)], &[(test, 1)]);
        }
        let moved = counts.applied(&base);
        assert!((moved.link(cause, sign) - 0.8 * 10.0 / 40.0).abs() < 1e-12);
        assert!((moved.tests[test].shown[0].given[0].1 - 0.9 * 10.0 / 40.0).abs() < 1e-12);
    }

    #[test]
    fn two_causes_at_once_teach_how_often_but_not_which_sign() {
        let (base, _) = Base::embedded();
        let mut counts = Counts::default();
        counts.learn(&base, &[0, 1], &[(0, true)], &[(0, 0)]);
        assert_eq!((counts.found.len(), counts.signs.len(), counts.outcomes.len()), (2, 0, 0));
    }
}
