//! Which steps can be taken now, and why not the others?
//!
//! A look, a test and a repair are weighed alike: each has outcomes, and each outcome a likelihood under every explanation.

use crate::advice::{Means, Step};
use crate::base::{Base, Hindrance, Reads};
use crate::chance::{self, Spread};
use crate::cures::{mended_by, mended_by_repair};
use crate::evidence::Evidence;
use crate::explain::Explanations;
use crate::facts::Facts;
use crate::network::Shown;
use crate::posterior::Posterior;

/// A repair that ends the complaint less often than this, beyond a fluke, is no advice.
const GAIN_LEAST: f64 = 0.005;

/// A step as it is weighed: the likelihood of each outcome under each explanation.
pub(crate) struct Choice {
    pub step: Step,
    pub minutes: f64,
    pub cost: f64,
    pub risk: u8,
    pub likelihoods: Vec<Vec<f64>>,
    /// The outcome after which the picture is back, and what it costs to make that last.
    pub done: Option<(usize, f64)>,
}

/// Everything that can be looked for, tried or mended now, with how likely each outcome is under each explanation.
pub(crate) fn choices(
    base: &Base,
    facts: &Facts,
    evidence: &Evidence,
    means: &Means,
    posterior: &Posterior,
    explained: &Explanations,
    rate: f64,
) -> Vec<Choice> {
    let aside: Vec<f64> = posterior
        .chances
        .iter()
        .zip(&explained.concerned)
        .map(|(chance, concerned)| if *concerned { 0.0 } else { *chance })
        .collect();
    let under = |of: &dyn Fn(&[usize]) -> Vec<f64>| {
        let rows: Vec<Vec<f64>> = explained.list.iter().map(|one| of(&one.causes)).collect();
        let count = rows.first().map_or(0, Vec::len);
        (0..count).map(|outcome| rows.iter().map(|row| row[outcome]).collect()).collect::<Vec<Vec<f64>>>()
    };
    let mut options = Vec::new();
    for (sign, look) in base.signs.iter().enumerate().filter(|(sign, _)| !evidence.looked_for(*sign)) {
        let spread = Spread::of(&Shown::of_sign(base, sign, false), &aside);
        let likelihoods = under(&|set| spread.chances(set));
        options.push(Choice {
            step: Step::Look(sign),
            minutes: look.minutes,
            cost: rate * look.minutes,
            risk: 0,
            likelihoods,
            done: None,
        });
    }
    for (place, test) in
        base.tests.iter().enumerate().filter(|(test, _)| may_try(base, facts, evidence, means, *test))
    {
        let likelihoods = match test.reads {
            Reads::Fault => {
                let spread = Spread::of(&Shown::of_test(base, test), &aside);
                under(&|set| spread.chances(set))
            }
            Reads::Cure => {
                let first = &test.shown[0];
                let mended = mended_by(base, &first.given, first.other);
                under(&|set| both(chance::gone(base, evidence.complaint, &mended, first.other, set)))
            }
        };
        let cost = rate * test.minutes + base.minutes_per_part * test.parts;
        let settle =
            |repair: usize| rate * base.settle_minutes + base.minutes_per_part * base.repairs[repair].parts;
        let done = test.stands_for.filter(|_| test.reads == Reads::Cure).map(|repair| (0, settle(repair)));
        options.push(Choice {
            step: Step::Try(place),
            minutes: test.minutes,
            cost,
            risk: test.risk,
            likelihoods,
            done,
        });
    }
    for (place, repair) in base.repairs.iter().enumerate() {
        if evidence.repaired().contains(&place) || comes_first(base, evidence, place).is_some() {
            continue;
        }
        let mended = mended_by_repair(base, place);
        let likelihoods =
            under(&|set| both(chance::gone(base, evidence.complaint, &mended, base.fluke, set)));
        // What mends nothing that brings the complaint is no repair of it, however few minutes it takes.
        let gone: f64 = likelihoods[0].iter().zip(&explained.list).map(|(gone, one)| gone * one.chance).sum();
        if gone - base.fluke < GAIN_LEAST {
            continue;
        }
        let cost = rate * repair.minutes + base.minutes_per_part * repair.parts;
        options.push(Choice {
            step: Step::Mend(place),
            minutes: repair.minutes,
            cost,
            risk: 1,
            likelihoods,
            done: Some((0, 0.0)),
        });
    }
    options
}

/// The test that must come before a repair and did not prove what it asks for: what holds for trying it out holds for making it.
pub(crate) fn comes_first(base: &Base, evidence: &Evidence, repair: usize) -> Option<usize> {
    let trials = base.tests.iter().filter(|test| test.stands_for == Some(repair));
    trials.flat_map(|test| test.after.iter().copied()).find(|first| !evidence.proved(base, *first))
}

/// Whether a step can bring the picture back, by more than a fluke: the trial of a repair that was made in vain cannot.
pub(crate) fn may_end(base: &Base, evidence: &Evidence, belief: &[f64], option: &Choice) -> bool {
    let made = evidence.repaired();
    if let Step::Try(test) = option.step
        && base.tests[test].stands_for.is_some_and(|repair| made.contains(&repair))
    {
        return false;
    }
    option.done.is_some_and(|(outcome, _)| {
        let gone: f64 = option.likelihoods[outcome].iter().zip(belief).map(|(gone, one)| gone * one).sum();
        gone - base.fluke >= GAIN_LEAST
    })
}

/// The chances that the complaint is gone, and that it stays.
fn both(gone: f64) -> Vec<f64> {
    vec![gone, 1.0 - gone]
}

/// Whether a test may be tried: what it needs is there, nothing forbids it, it was not tried, and what must come first has.
pub fn may_try(base: &Base, facts: &Facts, evidence: &Evidence, means: &Means, test: usize) -> bool {
    why_not(base, facts, evidence, means, test).is_none()
}

/// Why a test may not be tried for now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WhyNot {
    /// It was tried.
    Tried,
    /// It was struck out.
    Struck,
    /// A tool is lacking.
    Lacks(String),
    /// A fact does not hold, or something is not at hand.
    Needs(String),
    /// It would be dangerous while this is so.
    Never(String),
    /// Another test must come first.
    After(String),
    /// It mends or shows nothing of this complaint.
    Pointless,
}

/// Why a test may not be tried for now; nothing if it may.
pub fn why_not(
    base: &Base,
    facts: &Facts,
    evidence: &Evidence,
    means: &Means,
    test: usize,
) -> Option<WhyNot> {
    let row = &base.tests[test];
    let holds = |fact: &usize| facts.holds.get(*fact).copied().unwrap_or(false);
    if evidence.tried(test) {
        return Some(WhyNot::Tried);
    }
    if means.struck.contains(&test) {
        return Some(WhyNot::Struck);
    }
    if let Some(tool) = row.tools.iter().find(|tool| means.lacking.contains(tool)) {
        return Some(WhyNot::Lacks(base.tools[*tool].clone()));
    }
    if let Some(need) = row.needs.iter().find(|need| !holds(need)) {
        return Some(WhyNot::Needs(base.facts[*need].id.clone()));
    }
    for hindrance in &row.never_while {
        match hindrance {
            Hindrance::Sign(sign) if evidence.saw(*sign) => {
                return Some(WhyNot::Never(base.signs[*sign].id.clone()));
            }
            Hindrance::Fact(fact) if holds(fact) => return Some(WhyNot::Never(base.facts[*fact].id.clone())),
            _ => {}
        }
    }
    if let Some(first) = row.after.iter().find(|first| !evidence.proved(base, **first)) {
        return Some(WhyNot::After(base.tests[*first].id.clone()));
    }
    if row.reads == Reads::Cure
        && let Some(sign) = evidence.complaint
        && !row.shown[0].given.iter().any(|(cause, _)| base.link(*cause, sign) > 0.0)
    {
        return Some(WhyNot::Pointless);
    }
    None
}
