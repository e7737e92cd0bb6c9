//! What may be wrong with a craft, what to try next, and what was learnt from it?
//!
//! Knowledge is data ([`Base`], from a text of its own); the facts of a craft switch it on ([`Facts`]); what was seen and tried is
//! evidence ([`Evidence`]); the posterior chance of every cause follows exactly, several faults at once allowed ([`posterior`]).
//! The crate knows only `quantity`: no craft, no file, no clock.

mod base;
mod chance;
mod counts;
mod evidence;
mod facts;
mod network;
mod posterior;
mod sweep;

#[cfg(test)]
mod posterior_tests;

pub use base::{
    Alike, BASE_FORMAT, Base, BaseFault, BaseFaultKind, Basis, Cause, Caution, Clash, Complaint, FLEETS,
    Fact, Half, Hindrance, KNOWLEDGE, Outcome, Raise, Reads, Repair, Side, Sign, Spare, Test,
};
pub use chance::by_enumeration;
pub use counts::{Counts, OwnShare, beta_mean, dirichlet_means};
pub use evidence::{Evidence, Observation, Said};
pub use facts::{Facts, Priors, Ruling, priors};
pub use posterior::{EvidenceFault, Posterior, posterior};
