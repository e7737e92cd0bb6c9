//! What may be wrong with a craft, what to try next, and what was learnt from it?
//!
//! Knowledge is data ([`Base`], from a text of its own); the facts of a craft switch it on ([`Facts`]); what was seen and tried is
//! evidence ([`Evidence`]); the posterior chance of every cause follows exactly, several faults at once allowed ([`posterior`]).
//! The crate knows only `quantity`: no craft, no file, no clock.

mod advice;
mod base;
mod chance;
mod choice;
mod counts;
mod cures;
mod evidence;
mod explain;
mod facts;
mod network;
mod posterior;
mod repair_order;
mod session;
pub mod simulate;
mod spares;
mod sweep;
mod words;

#[cfg(test)]
mod advice_tests;
#[cfg(test)]
mod posterior_tests;

pub use advice::{
    Advice, Means, OrderHolds, Step, Weighed, advise, as_observation, entropy, expected_information,
};
pub use base::{
    Alike, BASE_FORMAT, Base, BaseFault, BaseFaultKind, Basis, Cause, Caution, Clash, Complaint, FLEETS,
    Fact, Half, Hindrance, KNOWLEDGE, Outcome, Raise, Reads, Repair, Side, Sign, Spare, Test,
};
pub use chance::by_enumeration;
pub use choice::{WhyNot, may_try, why_not};
pub use counts::{Counts, OwnShare, beta_mean, dirichlet_means};
pub use evidence::{Evidence, Observation, Said};
pub use explain::{Depth, Explanation};
pub use facts::{Facts, Priors, Ruling, priors};
pub use posterior::{EvidenceFault, Posterior, posterior};
pub use repair_order::{Candidate, by_chance_over_cost, expected_cost};
pub use session::{Answer, Entry, Session, SessionFault, Verdict};
pub use spares::{Carried, GammaRate, Plan, PlanFault, SparesList, spares};
pub use words::{chance_words, in_doubt, minutes_words, order_words, percent_words, reason};

/// The mean minutes of each way of mending, as `examples/mean_minutes.rs` printed them.
pub const MEAN_MINUTES: &str = include_str!("mean_minutes.txt");
