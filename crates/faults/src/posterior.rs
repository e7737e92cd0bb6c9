//! How likely is each cause after what was observed?
//!
//! Exact, with any number of faults acting at once (see `sweep.rs` for the method). Evidence that cannot be is refused by name: first the
//! pairs that the knowledge calls impossible, then, if the chance of all evidence together is nought, the single observation, the pair or
//! the smallest set that makes it so.

use crate::base::{Base, Half};
use crate::evidence::{Evidence, Observation, Said};
use crate::facts::Priors;
use crate::network::Network;
use crate::sweep::sweep;
use std::fmt;

/// The chances after the evidence.
#[derive(Clone, Debug, PartialEq)]
pub struct Posterior {
    /// For each cause, the chance that it acts, or acted until a repair mended it.
    pub chances: Vec<f64>,
    /// For each cause, the chance that it is at fault still: it acts, and no repair that was made mended it.
    pub still: Vec<f64>,
    /// The natural logarithm of the chance of the evidence.
    pub log_evidence: f64,
}

impl Posterior {
    /// Causes by chance, likeliest first; equals in the order of the base.
    pub fn ranked(&self) -> Vec<usize> {
        by_chance(&self.chances)
    }

    /// The same by the chance that they are at fault still.
    pub fn ranked_still(&self) -> Vec<usize> {
        by_chance(&self.still)
    }
}

fn by_chance(chances: &[f64]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..chances.len()).collect();
    order.sort_by(|a, b| chances[*b].total_cmp(&chances[*a]));
    order
}

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq)]
pub enum EvidenceFault {
    /// Two observations that cannot both hold.
    Clash {
        /// The two in words.
        both: [String; 2],
        /// When, if not always.
        note: String,
    },
    /// Observations that no set of causes can bring about together.
    Impossible {
        /// The fewest that will not go together, in words.
        together: Vec<String>,
    },
    /// Too much that hangs together to be summed exactly.
    Entangled {
        /// How many bits would be open at once.
        open: usize,
    },
}

impl fmt::Display for EvidenceFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            EvidenceFault::Clash { both: [one, two], note } => {
                let note = if note.is_empty() { String::new() } else { format!(" ({note})") };
                write!(
                    f,
                    "\"{one}\" and \"{two}\" cannot both hold{note}; look again and take back the one that is not so"
                )
            }
            EvidenceFault::Impossible { together } => {
                let all: Vec<String> = together.iter().map(|one| format!("\"{one}\"")).collect();
                let all = all.join(" and ");
                write!(
                    f,
                    "no cause that is switched on can bring about {all}; take one back, or say *perhaps*, or switch on what the craft has"
                )
            }
            EvidenceFault::Entangled { open } => {
                write!(
                    f,
                    "{open} findings hang together, too many to be summed exactly; take back what does not belong to the complaint"
                )
            }
        }
    }
}

/// The chances of all causes, or why the evidence cannot be.
pub fn posterior(base: &Base, priors: &Priors, evidence: &Evidence) -> Result<Posterior, EvidenceFault> {
    if let Some(fault) = clash(base, evidence) {
        return Err(fault);
    }
    let swept = sweep(&Network::of(base, priors, evidence))
        .map_err(|fault| EvidenceFault::Entangled { open: fault.open })?;
    if swept.log_evidence == f64::NEG_INFINITY {
        return Err(impossible(base, priors, evidence));
    }
    Ok(Posterior { chances: swept.chances, still: swept.still, log_evidence: swept.log_evidence })
}

pub(crate) fn clash(base: &Base, evidence: &Evidence) -> Option<EvidenceFault> {
    let mut halves: Vec<(Half, String)> = Vec::new();
    if let Some(sign) = evidence.complaint {
        let words = Observation::Sign { sign, said: Said::Yes }.plain(base);
        halves.push((Half::Sign(sign, true), words));
    }
    halves.extend(
        evidence.counting().iter().filter_map(|(_, one)| one.half().map(|half| (half, one.plain(base)))),
    );
    let denied = evidence.complaint.filter(|sign| evidence.denies(*sign));
    if let Some(sign) = denied {
        let words = |said| Observation::Sign { sign, said }.plain(base);
        return Some(EvidenceFault::Clash {
            both: [words(Said::Yes), words(Said::No)],
            note:
                "the one is what the search is about; if it is gone, say after which step, or end the search"
                    .to_owned(),
        });
    }
    for clash in &base.clashes {
        let find = |half: &Half| halves.iter().find(|(at, _)| at == half).map(|(_, words)| words.clone());
        if let (Some(one), Some(two)) = (find(&clash.both[0]), find(&clash.both[1])) {
            return Some(EvidenceFault::Clash { both: [one, two], note: clash.note.clone() });
        }
    }
    None
}

/// The fewest observations whose chance together is nought: singles, then pairs, then what is left when none can be spared.
fn impossible(base: &Base, priors: &Priors, evidence: &Evidence) -> EvidenceFault {
    let mut all: Vec<Observation> = evidence.counting().into_iter().map(|(_, one)| one).collect();
    if let Some(sign) = evidence.complaint {
        all.insert(0, Observation::Sign { sign, said: Said::Yes });
    }
    let fails = |some: &[Observation]| {
        let has_complaint = some
            .iter()
            .any(|one| matches!(one, Observation::Sign { sign, .. } if Some(*sign) == evidence.complaint));
        let part = Evidence { complaint: evidence.complaint.filter(|_| has_complaint), seen: some.to_vec() };
        sweep(&Network::of(base, priors, &part)).is_ok_and(|swept| swept.log_evidence == f64::NEG_INFINITY)
    };
    let told = |some: &[Observation]| EvidenceFault::Impossible {
        together: some.iter().map(|one| one.plain(base)).collect(),
    };
    for one in &all {
        if fails(&[*one]) {
            return told(&[*one]);
        }
    }
    for (place, one) in all.iter().enumerate() {
        for two in &all[place + 1..] {
            if fails(&[*one, *two]) {
                return told(&[*one, *two]);
            }
        }
    }
    let mut least = all;
    let mut at = 0;
    while at < least.len() {
        let mut fewer = least.clone();
        fewer.remove(at);
        if fails(&fewer) { least = fewer } else { at += 1 }
    }
    told(&least)
}
