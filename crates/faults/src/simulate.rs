//! How many minutes does a way of mending take, over many faults drawn from the knowledge itself?
//!
//! A trial draws which causes act, what can be seen of them, and what brings the craft to the bench; then each way of mending works on the
//! very same craft until the complaint is gone or it is handed over. Tests and repairs answer the same whenever they are tried. The
//! truth may differ from what the advice believes: weights, links and chances bent by a factor, each at random up or down.
//! The ways compared: the advice; swapping parts from the cheapest up, then settings; repairs by probability alone, which forgets costs.

use crate::advice::{Means, Step, advise, as_observation};
use crate::base::{Base, Reads};
use crate::chance;
use crate::counts::Counts;
use crate::cures::{mended_by, mended_by_repair};
use crate::evidence::Evidence;
use crate::explain::Depth;
use crate::facts::{Facts, Priors, priors};
use crate::network::Shown;
use crate::posterior::posterior;

/// A way of mending.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Whatever the advice puts first.
    Advised,
    /// Parts from the cheapest up, then what costs no parts, in the order of the base.
    SwapParts,
    /// The likeliest repair first, again and again.
    ByProbability,
    /// The repair of highest chance over cost first, without tests.
    ByChanceOverCost,
}

/// What one way took on one craft.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Took {
    /// Minutes at the bench.
    pub minutes: f64,
    /// The same with parts at their rate.
    pub cost: f64,
    /// Whether it ended by handing over.
    pub handed_over: bool,
}

/// Numbers that look drawn at random, from a seed (splitmix64; Steele, Lea & Flood 2014).
#[derive(Clone, Debug)]
pub struct Dice(u64);

impl Dice {
    /// Dice of a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// A number from 0 to below 1.
    pub fn roll(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        #[allow(clippy::cast_precision_loss)] // 53 bits are exact.
        let whole = (z >> 11) as f64;
        whole / (1_u64 << 53) as f64
    }
}

/// The knowledge with every weight, link and chance bent by the factor or its inverse, as odds.
pub fn bent(base: &Base, factor: f64, dice: &mut Dice) -> Base {
    let mut bent = base.clone();
    let mut up_or_down = || if dice.roll() < 0.5 { factor } else { 1.0 / factor };
    let odds =
        |chance: f64, by: f64| if chance >= 1.0 { 1.0 } else { chance * by / (1.0 - chance + chance * by) };
    for cause in &mut bent.causes {
        cause.weight *= up_or_down();
        for (_, link) in &mut cause.signs {
            *link = odds(*link, up_or_down());
        }
    }
    for test in &mut bent.tests {
        for outcome in &mut test.shown {
            for (_, chance) in &mut outcome.given {
                *chance = odds(*chance, up_or_down());
            }
        }
        // Two outcomes of one test may not exceed certainty together.
        if let [first, second] = &mut test.shown[..] {
            for (cause, chance) in &mut second.given {
                let before = first.given.iter().find(|(at, _)| at == cause).map_or(0.0, |(_, one)| *one);
                *chance = chance.min(1.0 - before);
            }
        }
    }
    bent
}

/// A craft with faults, as it truly is.
struct Bench {
    acting: Vec<usize>,
    complaint: usize,
    seen: Vec<bool>,
    outcomes: Vec<usize>,
    gone_after_repair: Vec<Vec<bool>>,
}

impl Bench {
    /// Draws a craft whose complaint is brought by a cause that acts.
    fn draw(truth: &Base, priors: &Priors, dice: &mut Dice) -> Self {
        loop {
            let acting: Vec<usize> =
                (0..truth.causes.len()).filter(|cause| dice.roll() < priors.chances[*cause]).collect();
            let seen: Vec<bool> = (0..truth.signs.len())
                .map(|sign| dice.roll() < chance::seen(truth, sign, false, &acting, &[])[0])
                .collect();
            let complaints: Vec<usize> = truth
                .complaints
                .iter()
                .map(|one| one.sign)
                .filter(|sign| seen[*sign] && acting.iter().any(|cause| truth.link(*cause, *sign) > 0.0))
                .collect();
            if complaints.is_empty() {
                continue;
            }
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)]
            // A place in a short list.
            let complaint = complaints[(dice.roll() * complaints.len() as f64) as usize];
            // Per cause and step, so that tests and repairs that do the same to a cause do it alike each time.
            let outcomes = truth.tests.iter().map(|test| {
                let shown = Shown::of_test(truth, test);
                match test.reads {
                    Reads::Fault => {
                        let spread = chance::outcomes(
                            truth,
                            truth.test(&test.id).unwrap_or(0),
                            Some(complaint),
                            &acting,
                            &[],
                        );
                        let roll = dice.roll();
                        let mut sum = 0.0;
                        spread
                            .iter()
                            .position(|one| {
                                sum += one;
                                roll < sum
                            })
                            .unwrap_or(spread.len() - 1)
                    }
                    Reads::Cure => {
                        let mended = mended_by(truth, &test.shown[0].given, shown.other[0]);
                        let relevant = acting.iter().filter(|cause| truth.link(**cause, complaint) > 0.0);
                        let rolls: Vec<bool> = relevant.map(|cause| dice.roll() < mended[*cause]).collect();
                        let mended = !rolls.is_empty() && rolls.iter().all(|mended| *mended);
                        let fluke = dice.roll() < shown.other[0];
                        usize::from(!(mended || fluke))
                    }
                }
            });
            let outcomes = outcomes.collect();
            let gone_after_repair = (0..truth.repairs.len())
                .map(|repair| {
                    mended_by_repair(truth, repair).iter().map(|chance| dice.roll() < *chance).collect()
                })
                .collect();
            return Self { acting, complaint, seen, outcomes, gone_after_repair };
        }
    }

    /// Whether the complaint is gone after these repairs, each tried once.
    fn is_gone(&self, base: &Base, repairs: &[usize]) -> bool {
        let brings = |cause: &&usize| base.link(**cause, self.complaint) > 0.0;
        self.acting.iter().filter(brings).all(|cause| {
            repairs.iter().any(|repair| {
                base.repairs[*repair].mends.contains(cause) && self.gone_after_repair[*repair][*cause]
            })
        })
    }
}

/// How each way does on one craft drawn by the dice.
pub fn trial(believed: &Base, truth: &Base, facts: &Facts, ways: &[Way], dice: &mut Dice) -> Vec<Took> {
    let counts = Counts::default();
    let bench = Bench::draw(truth, &priors(truth, facts, &counts), dice);
    let believed_priors = priors(believed, facts, &counts);
    ways.iter()
        .map(|way| match way {
            Way::Advised => advised(believed, &believed_priors, facts, &bench),
            _ => by_repairs(believed, &believed_priors, &bench, *way),
        })
        .collect()
}

/// The most steps before a craft is handed over in any case.
const STEPS_MOST: usize = 80;

fn advised(base: &Base, priors: &Priors, facts: &Facts, bench: &Bench) -> Took {
    let mut evidence = Evidence { complaint: Some(bench.complaint), seen: Vec::new() };
    let mut repairs = Vec::new();
    let (mut minutes, mut cost) = (0.0, 0.0);
    for _ in 0..STEPS_MOST {
        let Ok(advice) = advise(base, facts, priors, &evidence, &Means::default(), Depth::default()) else {
            break;
        };
        let Some(next) = advice.steps.first().filter(|_| !advice.hand_over) else { break };
        minutes += next.minutes;
        cost += next.cost;
        let outcome = match next.step {
            Step::Look(sign) => usize::from(!bench.seen[sign]),
            Step::Try(test) => {
                let outcome = bench.outcomes[test];
                if let (0, Some(repair)) = (outcome, base.tests[test].stands_for) {
                    let parts = base.minutes_per_part * base.repairs[repair].parts;
                    return Took {
                        minutes: minutes + base.settle_minutes,
                        cost: cost + base.settle_minutes + parts,
                        handed_over: false,
                    };
                }
                outcome
            }
            Step::Mend(repair) => {
                repairs.push(repair);
                if bench.is_gone(base, &repairs) {
                    return Took { minutes, cost, handed_over: false };
                }
                1
            }
        };
        evidence.seen.push(as_observation(next.step, outcome));
    }
    Took { minutes: minutes + base.hand_over_minutes, cost: cost + base.hand_over_minutes, handed_over: true }
}

fn by_repairs(base: &Base, priors: &Priors, bench: &Bench, way: Way) -> Took {
    let concerned = |repair: &usize| {
        base.repairs[*repair]
            .mends
            .iter()
            .any(|cause| priors.on[*cause] && base.link(*cause, bench.complaint) > 0.0)
    };
    let mut left: Vec<usize> = (0..base.repairs.len()).filter(concerned).collect();
    // Parts from the cheapest up; what costs no part comes after them, as people do who swap.
    left.sort_by(|a, b| {
        let key = |repair: &usize| {
            let parts = base.repairs[*repair].parts;
            (parts < 0.5, parts)
        };
        let (a, b) = (key(a), key(b));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    let mut evidence = Evidence { complaint: Some(bench.complaint), seen: Vec::new() };
    let mut made = Vec::new();
    let (mut minutes, mut cost) = (0.0, 0.0);
    while !left.is_empty() {
        let at = if way == Way::SwapParts {
            0
        } else {
            let Ok(found) = posterior(base, priors, &evidence) else { break };
            let worth = |repair: &usize| {
                let row = &base.repairs[*repair];
                let mends: f64 = row
                    .mends
                    .iter()
                    .filter(|cause| base.link(**cause, bench.complaint) > 0.0)
                    .map(|cause| found.chances[*cause])
                    .sum();
                let cost = row.minutes + base.minutes_per_part * row.parts;
                mends * row.works / if way == Way::ByChanceOverCost { cost } else { 1.0 }
            };
            (0..left.len()).max_by(|a, b| worth(&left[*a]).total_cmp(&worth(&left[*b]))).unwrap_or(0)
        };
        let repair = left.remove(at);
        let row = &base.repairs[repair];
        minutes += row.minutes;
        cost += row.minutes + base.minutes_per_part * row.parts;
        made.push(repair);
        if bench.is_gone(base, &made) {
            return Took { minutes, cost, handed_over: false };
        }
        evidence.seen.push(as_observation(Step::Mend(repair), 1));
    }
    Took { minutes: minutes + base.hand_over_minutes, cost: cost + base.hand_over_minutes, handed_over: true }
}

/// A mean with the half-width of its 95 % interval.
pub fn mean(values: &[f64]) -> (f64, f64) {
    #[allow(clippy::cast_precision_loss)] // Far fewer than 2^53 trials.
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let spread = values.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / (count - 1.0).max(1.0);
    (mean, 1.96 * (spread / count).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_advice_beats_swapping_and_the_same_seed_gives_the_same_trial() {
        let (base, _) = Base::embedded();
        let facts = Facts::usual(&base);
        let run = || {
            let mut dice = Dice::new(5);
            (0..12)
                .map(|_| trial(&base, &base, &facts, &[Way::Advised, Way::SwapParts], &mut dice))
                .collect::<Vec<_>>()
        };
        let (once, again) = (run(), run());
        assert_eq!(once, again);
        let cost = |way: usize| once.iter().map(|took| took[way].cost).sum::<f64>();
        assert!(cost(0) < cost(1), "{} {}", cost(0), cost(1));
    }

    #[test]
    fn bent_knowledge_keeps_its_sums() {
        let (base, _) = Base::embedded();
        let bent = bent(&base, 2.0, &mut Dice::new(1));
        for test in &bent.tests {
            for cause in 0..base.causes.len() {
                let sum: f64 = test
                    .shown
                    .iter()
                    .flat_map(|one| &one.given)
                    .filter(|(at, _)| *at == cause)
                    .map(|(_, one)| one)
                    .sum();
                assert!(sum <= 1.0 + 1e-12, "{}", test.id);
            }
        }
        assert!(bent.causes.iter().zip(&base.causes).all(
            |(a, b)| (a.weight / b.weight - 2.0).abs() < 1e-9 || (a.weight / b.weight - 0.5).abs() < 1e-9
        ));
    }
}
