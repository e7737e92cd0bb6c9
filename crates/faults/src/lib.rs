//! What may be wrong with a craft, what to try next, and what was learnt from it?
//!
//! Knowledge is data ([`Base`], from a text of its own); the facts of a craft switch it on ([`Facts`]); what was seen and tried is
//! evidence ([`Evidence`]); the posterior chance of every cause follows exactly, several faults at once allowed ([`posterior`]).
//! The crate knows only `quantity`: no craft, no file, no clock.

mod base;

pub use base::{
    Alike, BASE_FORMAT, Base, BaseFault, BaseFaultKind, Basis, Caution, Cause, Clash, Complaint, FLEETS, Fact, Half,
    Hindrance, KNOWLEDGE, Outcome, Raise, Reads, Repair, Side, Sign, Spare, Test,
};
