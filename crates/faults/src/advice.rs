//! What to do next, and why?
//!
//! Every step that can be taken (a look for a sign, a test, a repair) is weighed twice over the explanations of what was seen:
//! - by information a minute: the expected fall of the doubt between explanations, in bits, over what the step costs;
//! - by the expected cost to a working picture with two steps of look-ahead: the step, then the best second step, then repairs by chance
//!   over cost. Costs are minutes on the bench plus parts at a rate (`minutes_per_part`).
//!
//! The step of least expected cost is advised; within a minute of it, the one of least risk, then the cheaper. Asking ends where no
//! test saves a minute. Left out: what depends on more than two steps ahead, and second steps beyond the most promising.

use crate::base::{Base, Reads};
use crate::choice::{Choice, choices, comes_first, may_end};
use crate::evidence::{Evidence, Observation};
use crate::explain::{Depth, Explanation, Explanations, explain};
use crate::facts::{Facts, Priors};
use crate::network::Network;
use crate::posterior::{EvidenceFault, Posterior, posterior};
use crate::repair_order::{Outlook, Scratch, Workload};
use crate::sweep::sweep;

/// How many first steps are looked at with two steps of look-ahead, and how many second steps.
const FIRST_STEPS: usize = 14;
const SECOND_STEPS: usize = 24;
/// A test must save this many minutes.
const SAVING_LEAST: f64 = 1.0;
/// Steps within these minutes of the least cost count as equal; the one of less risk is taken.
const AS_GOOD: f64 = 1.0;
/// A step that brings less than this many bits and mends nothing likely is no advice.
const BITS_LEAST: f64 = 0.01;
/// From this chance of two faults at once on, chance over cost is no longer proved best.
const TWO_FAULTS_MOST: f64 = 0.05;

/// What there is to work with.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Means {
    /// Tools that are not at hand, by place in the base.
    pub lacking: Vec<usize>,
    /// Tests that are struck out, by place.
    pub struck: Vec<usize>,
    /// Whether this is at the field, where minutes weigh double.
    pub at_the_field: bool,
}

/// Something one can do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// Look for a sign.
    Look(usize),
    /// Make a test.
    Try(usize),
    /// Make a repair.
    Mend(usize),
}

/// A step with its worth.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighed {
    /// The step.
    pub step: Step,
    /// Minutes it takes.
    pub minutes: f64,
    /// What it costs in all, in minutes.
    pub cost: f64,
    /// The chance of each outcome: of a look seen and not, of a test in its order, of a repair gone and stays.
    pub chances: Vec<f64>,
    /// The expected fall of the doubt, in bits.
    pub bits: f64,
    /// The same over the cost.
    pub bits_a_minute: f64,
    /// The expected cost to a working picture when this comes first, with two steps of look-ahead where that was reckoned.
    pub expected_cost: f64,
    /// Whether two steps were looked ahead, or one only.
    pub looked_ahead: bool,
    /// The risk, from 0 to 3.
    pub risk: u8,
    /// What may bring the picture back and waits until this test has come out right.
    pub opens: Option<Step>,
}

/// Whether the order of repairs by chance over cost is proved to be the best.
#[derive(Clone, Debug, PartialEq)]
pub enum OrderHolds {
    /// One fault, one repair for each, a check after each.
    Yes,
    /// Not all of that holds; the reason in words.
    RuleOfThumb(String),
}

/// The advice of one moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    /// The chances of all causes.
    pub posterior: Posterior,
    /// For each cause, whether it hangs together with the complaint or with something that was shown.
    pub concerned: Vec<bool>,
    /// The likeliest explanations.
    pub explanations: Vec<Explanation>,
    /// The share of the chance that they cover.
    pub covered: f64,
    /// The doubt between them, in bits.
    pub doubt: f64,
    /// Every step that can be taken, best first.
    pub steps: Vec<Weighed>,
    /// Repairs by chance over cost, up to where the craft is better handed over.
    pub repairs: Vec<usize>,
    /// The expected cost of repairing in that order at once.
    pub repair_cost: f64,
    /// Whether that order is proved best.
    pub order_holds: OrderHolds,
    /// The test or repair after which the complaint was gone, if one was.
    pub settled: Option<Step>,
    /// Whether no test saves a minute any more.
    pub stop_asking: bool,
    /// Whether nothing that is known and at hand can bring the picture back any more.
    pub nothing_left: bool,
    /// Whether handing over is cheaper than going on, or all that is left.
    pub hand_over: bool,
}

/// The advice after the evidence.
pub fn advise(
    base: &Base,
    facts: &Facts,
    priors: &Priors,
    evidence: &Evidence,
    means: &Means,
    depth: Depth,
) -> Result<Advice, EvidenceFault> {
    let posterior = posterior(base, priors, evidence)?;
    let network = Network::of(base, priors, evidence);
    let swept = sweep(&network).map_err(|fault| EvidenceFault::Entangled { open: fault.open })?;
    let explained = explain(&network, swept.log_linked, depth);
    let belief: Vec<f64> = explained.list.iter().map(|one| one.chance).collect();
    let rate = if means.at_the_field { 2.0 } else { 1.0 };
    let load = Workload::of(base, evidence, &explained, rate);
    let mut scratch = Scratch::default();
    let mut outlook = load.outlook(&belief, &mut scratch);
    let choose = |evidence: &Evidence| choices(base, facts, evidence, means, &posterior, &explained, rate);
    let options = choose(evidence);
    // A repair that only waits for a test is left, though the tool for that test may be missing.
    let nothing_left = !options.iter().any(|option| may_end(base, evidence, &belief, option))
        && !outlook.order.iter().any(|repair| comes_first(base, evidence, *repair).is_some());
    if nothing_left {
        outlook = Outlook { cost: load.hand_over, order: Vec::new(), left: 1.0 };
    }

    let opened = opened(base, evidence, &belief, &options, &choose);
    let steps: Vec<Weighed> = options
        .iter()
        .zip(&opened)
        .map(|(option, opened)| {
            let (bits, chances) = information(&belief, option);
            let expected_cost =
                option.cost + after(&belief, option, |_, belief| load.cost(belief, &mut scratch));
            Weighed {
                step: option.step,
                minutes: option.minutes,
                cost: option.cost,
                chances,
                bits,
                bits_a_minute: bits / option.cost,
                expected_cost,
                looked_ahead: false,
                risk: option.risk,
                opens: opened.first().map(|option| option.step),
            }
        })
        .collect();
    let worth = |step: &Weighed| {
        step.bits >= BITS_LEAST || matches!(step.step, Step::Mend(_)) || step.opens.is_some()
    };
    let (kept, ways): (Vec<Weighed>, Vec<Way>) = steps
        .into_iter()
        .zip(options.into_iter().zip(opened).map(|(option, opened)| Way { option, opened }))
        .filter(|(step, _)| worth(step))
        .unzip();
    let mut steps = kept;
    look_ahead(&belief, &ways, &load, &mut steps, &mut scratch);

    let least = steps
        .iter()
        .filter(|step| step.looked_ahead)
        .map(|step| step.expected_cost)
        .fold(f64::INFINITY, f64::min);
    let key = |step: &Weighed| {
        let as_good = step.looked_ahead && step.expected_cost <= least + AS_GOOD;
        // That a plug wears or a setting is lost is no reason to wait.
        let risk = if as_good { step.risk.max(1) } else { u8::MAX };
        (!as_good, risk, step.expected_cost)
    };
    steps.sort_by(|a, b| {
        let (a, b) = (key(a), key(b));
        (a.0, a.1).cmp(&(b.0, b.1)).then(a.2.total_cmp(&b.2))
    });
    let asking = steps.iter().filter(|step| !matches!(step.step, Step::Mend(_)));
    let mending = steps.iter().filter(|step| matches!(step.step, Step::Mend(_)) && step.looked_ahead);
    let cheapest = |steps: &mut dyn Iterator<Item = &Weighed>| {
        steps.map(|step| step.expected_cost).fold(f64::INFINITY, f64::min)
    };
    let (ask, mend) =
        (cheapest(&mut asking.into_iter()), cheapest(&mut mending.into_iter()).min(outlook.cost));
    let ready = outlook.order.first().is_some_and(|first| comes_first(base, evidence, *first).is_none());
    let stop_asking = ready && ask > mend - SAVING_LEAST;
    if stop_asking {
        let first = outlook.order.first().copied();
        if let Some(at) = steps.iter().position(|step| Some(step.step) == first.map(Step::Mend)) {
            let step = steps.remove(at);
            steps.insert(0, step);
        }
    }
    Ok(Advice {
        doubt: entropy(&belief),
        covered: explained.covered,
        hand_over: nothing_left || outlook.order.is_empty() && ask >= load.hand_over - SAVING_LEAST,
        nothing_left,
        order_holds: order_holds(base, &explained, &load, &outlook.order),
        concerned: explained.concerned,
        explanations: explained.list,
        steps,
        repair_cost: outlook.cost,
        repairs: outlook.order,
        settled: settled(base, evidence),
        stop_asking,
        posterior,
    })
}

/// The latest test or repair after which the complaint was certainly gone.
fn settled(base: &Base, evidence: &Evidence) -> Option<Step> {
    evidence.counting().into_iter().rev().find_map(|(_, one)| match one {
        Observation::Repair { repair, gone: true } => Some(Step::Mend(repair)),
        Observation::Test { test, outcome: 0, sure }
            if sure >= 1.0 && base.tests[test].reads == Reads::Cure =>
        {
            base.tests[test].stands_for.map(|_| Step::Try(test))
        }
        _ => None,
    })
}

/// The doubt of a belief that sums to 1, in bits.
pub fn entropy(belief: &[f64]) -> f64 {
    -belief.iter().filter(|one| **one > 0.0).map(|one| one * one.log2()).sum::<f64>()
}

/// The information that an observation is expected to bring: `H(prior) − Σ P(outcome)·H(posterior)`, in bits, with the chance of each
/// outcome. `likelihoods[outcome][explanation]`; the belief sums to 1.
pub fn expected_information(belief: &[f64], likelihoods: &[Vec<f64>]) -> (f64, Vec<f64>) {
    // As the sum over both of p·log(p(outcome | one)/p(outcome)), every term of which is small when the outcome says little.
    let chances: Vec<f64> = likelihoods
        .iter()
        .map(|row| row.iter().zip(belief).map(|(likely, one)| likely * one).sum())
        .collect();
    let mut bits = 0.0;
    for (row, chance) in likelihoods.iter().zip(&chances) {
        for (likely, one) in row.iter().zip(belief).filter(|(likely, one)| **likely > 0.0 && **one > 0.0) {
            bits += one * likely * (likely / chance).log2();
        }
    }
    (bits.max(0.0), chances)
}

fn information(belief: &[f64], option: &Choice) -> (f64, Vec<f64>) {
    expected_information(belief, &option.likelihoods)
}

/// A first step with the steps that wait for it: they may be taken when it has come out right, its last outcome.
struct Way {
    option: Choice,
    opened: Vec<Choice>,
}

/// For each step, what may bring the picture back and waits until it has come out right.
fn opened(
    base: &Base,
    evidence: &Evidence,
    belief: &[f64],
    options: &[Choice],
    choose: &dyn Fn(&Evidence) -> Vec<Choice>,
) -> Vec<Vec<Choice>> {
    let now: Vec<Step> = options.iter().map(|option| option.step).collect();
    let waits = |test: usize| base.tests.iter().any(|other| other.after.contains(&test));
    let opened = |option: &Choice| match option.step {
        Step::Try(test) if waits(test) => {
            let mut then = evidence.clone();
            then.seen.push(as_observation(option.step, base.tests[test].outcome_count().saturating_sub(1)));
            let mut opened = choose(&then);
            opened.retain(|option| !now.contains(&option.step) && may_end(base, &then, belief, option));
            opened
        }
        _ => Vec::new(),
    };
    options.iter().map(opened).collect()
}

/// The expected cost after a step, times the sum of the belief: over its outcomes, of what follows.
fn after(belief: &[f64], option: &Choice, mut follows: impl FnMut(usize, &[f64]) -> f64) -> f64 {
    let mut cost = 0.0;
    for (outcome, row) in option.likelihoods.iter().enumerate() {
        let joint: Vec<f64> = row.iter().zip(belief).map(|(likely, one)| likely * one).collect();
        let chance: f64 = joint.iter().sum();
        if chance > 1e-9 {
            cost += chance
                * match option.done {
                    Some((done, settles)) if done == outcome => settles,
                    _ => follows(outcome, &joint),
                };
        }
    }
    cost
}

fn look_ahead(belief: &[f64], ways: &[Way], load: &Workload, steps: &mut [Weighed], scratch: &mut Scratch) {
    let mut by_cost: Vec<usize> = (0..steps.len()).collect();
    by_cost.sort_by(|a, b| steps[*a].expected_cost.total_cmp(&steps[*b].expected_cost));
    let mut by_bits: Vec<usize> =
        (0..steps.len()).filter(|at| !matches!(steps[*at].step, Step::Mend(_))).collect();
    by_bits.sort_by(|a, b| steps[*b].bits_a_minute.total_cmp(&steps[*a].bits_a_minute));
    let chosen = |most: usize| {
        let mut chosen: Vec<usize> = by_cost.iter().take(most * 2 / 3).copied().collect();
        for at in by_bits.iter().chain(&by_cost) {
            if chosen.len() < most && !chosen.contains(at) {
                chosen.push(*at);
            }
        }
        chosen
    };
    let seconds = chosen(SECOND_STEPS);
    for first in chosen(FIRST_STEPS) {
        let Way { option, opened } = &ways[first];
        let right = option.likelihoods.len().saturating_sub(1);
        let cost = option.cost
            + after(belief, option, |outcome, belief| {
                let total: f64 = belief.iter().sum();
                let mut best = load.cost(belief, scratch);
                let opened = opened.iter().filter(|_| outcome == right);
                let open =
                    seconds.iter().filter(|second| **second != first).map(|second| &ways[*second].option);
                for second in opened.chain(open) {
                    if second.cost < best {
                        best = best.min(
                            second.cost
                                + after(belief, second, |_, belief| load.cost(belief, scratch)) / total,
                        );
                    }
                }
                best
            });
        steps[first].expected_cost = cost;
        steps[first].looked_ahead = true;
    }
}

fn order_holds(base: &Base, explained: &Explanations, load: &Workload, order: &[usize]) -> OrderHolds {
    // What was mended, or does not bring this complaint, is no second fault.
    let left = explained.list.iter().zip(&load.wanted);
    let several: f64 = left.filter(|(_, wanted)| wanted.len() > 1).map(|(one, _)| one.chance).sum();
    if several > TWO_FAULTS_MOST {
        let words = format!(
            "two or more faults are still at work together with a chance of {:.0} %",
            100.0 * several
        );
        return OrderHolds::RuleOfThumb(words);
    }
    let shared = order.iter().enumerate().find_map(|(at, one)| {
        let two = order[at + 1..].iter().find(|two| {
            base.repairs[**two].mends.iter().any(|cause| base.repairs[*one].mends.contains(cause))
        })?;
        Some((*one, *two))
    });
    match shared {
        Some((one, two)) => OrderHolds::RuleOfThumb(format!(
            "{} and {} mend the same cause",
            base.repairs[one].id, base.repairs[two].id
        )),
        None => OrderHolds::Yes,
    }
}

/// What a step would add to the evidence if it turned out so.
pub fn as_observation(step: Step, outcome: usize) -> Observation {
    use crate::evidence::Said;
    match step {
        Step::Look(sign) => Observation::Sign { sign, said: if outcome == 0 { Said::Yes } else { Said::No } },
        Step::Try(test) => Observation::Test { test, outcome, sure: 1.0 },
        Step::Mend(repair) => Observation::Repair { repair, gone: outcome == 0 },
    }
}
