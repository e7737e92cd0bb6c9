//! What happened to a craft, and what does it ask for now?
//!
//! The journal is a list of [`Entry`]; counters are held against rated lives ([`due`]), readings against those when the
//! craft was new ([`drift`]), and check lists are made from a craft's own facts ([`check_list`]). Times are seconds in
//! universal time and are handed in, `now` too: the crate reads no clock. It knows no craft model: a craft is its id.

mod check_list;
mod counter;
mod csv;
mod drift;
mod entry;
mod history;
mod since;

pub use check_list::{CheckItem, CraftFacts, ListKind, check_list};
pub use counter::{Counter, CounterKind, Due, Standing, count, counters_of, due, standing};
pub use csv::as_csv;
pub use drift::{Drift, drift, pack_drift};
pub use entry::{Entry, EntryFault, EntryKind, Measured, Reading, Ticked, WORDS_MAX};
pub use history::Search;
pub use since::{
    Charge, Lately, charge_of, crash_unchecked, flights, flown_since, last_of, lately, pack_hit,
};
