//! How likely is each cause before anything is seen: weights, facts of the craft, findings of its proof, and the fleet's own counts?
//!
//! `P(cause) = 1 − exp(−weight × Π factors / 100)`: the weight is the number of such faults in a hundred visits, and a visit is one draw
//! of a Poisson count. A cause whose facts do not hold is off, which is not the same as unlikely.

use crate::base::Base;
use crate::counts::Counts;

/// What a rule said of the craft.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ruling {
    /// It is broken.
    Broken,
    /// It is tight.
    Tight,
    /// It is sound, with a certainty above 95 %.
    SurelySound,
}

/// What holds for one craft on one day.
#[derive(Clone, Debug, PartialEq)]
pub struct Facts {
    /// For each fact of the base, whether it holds.
    pub holds: Vec<bool>,
    /// What the rules that concern causes said, by rule.
    pub rulings: Vec<(String, Ruling)>,
}

impl Facts {
    /// What holds where nothing is said.
    pub fn usual(base: &Base) -> Self {
        Self { holds: base.facts.iter().map(|fact| fact.usually).collect(), rulings: Vec::new() }
    }

    /// Says of a fact whether it holds; false if there is no such fact.
    pub fn say(&mut self, base: &Base, id: &str, holds: bool) -> bool {
        let place = base.fact(id);
        if let Some(place) = place {
            self.holds[place] = holds;
        }
        place.is_some()
    }
}

/// The chance of every cause before anything is seen, and how it came about.
#[derive(Clone, Debug, PartialEq)]
pub struct Priors {
    /// For each cause, whether its facts hold.
    pub on: Vec<bool>,
    /// For each cause, its weight after facts, rules and counts; nought where it is off.
    pub weights: Vec<f64>,
    /// For each cause, its chance; nought where it is off.
    pub chances: Vec<f64>,
    /// For each cause, what was multiplied: the fact or rule, and the factor.
    pub because: Vec<Vec<(String, f64)>>,
}

/// The chances that follow from facts and counts.
pub fn priors(base: &Base, facts: &Facts, counts: &Counts) -> Priors {
    let on: Vec<bool> = base
        .causes
        .iter()
        .map(|cause| cause.needs.iter().all(|need| facts.holds.get(*need).copied().unwrap_or(false)))
        .collect();
    let mut because: Vec<Vec<(String, f64)>> = vec![Vec::new(); base.causes.len()];
    for event in &base.events {
        let holds = base.fact(&event.id).and_then(|fact| facts.holds.get(fact).copied()).unwrap_or(false);
        for (cause, factor) in event.factors.iter().filter(|_| holds) {
            because[*cause].push((event.id.clone(), *factor));
        }
    }
    for (id, ruling) in &facts.rulings {
        let Some(rule) = base.rules.iter().find(|rule| rule.id == *id) else { continue };
        for (cause, factor) in &rule.factors {
            let factor = match ruling {
                Ruling::Broken => *factor,
                Ruling::Tight if rule.tight => factor.sqrt(),
                Ruling::Tight => continue,
                Ruling::SurelySound => 1.0 / base.sound_divides,
            };
            because[*cause].push((id.clone(), factor));
        }
    }
    let learnt = counts.weights(base);
    let weights: Vec<f64> = (0..base.causes.len())
        .map(|cause| {
            let factors: f64 = because[cause].iter().map(|(_, factor)| factor).product();
            if on[cause] { learnt[cause] * factors } else { 0.0 }
        })
        .collect();
    let chances = weights.iter().map(|weight| -(-weight / 100.0).exp_m1()).collect();
    Priors { on, weights, chances, because }
}
