//! Units, decibels, facts with tolerance and basis, figures with working, sources.
//!
//! Every number in the program is one of three things: a *fact* (it came from calipers, a data sheet
//! or custom, and carries a doubt), a *published constant* (it came from a standard and carries a
//! source) or a *figure* (it was computed and carries its working). This crate holds those three and
//! the arithmetic of doubt between them. It knows nobody and does no I/O.

mod chance;
mod constants;
mod decimal;
mod distribution;
mod doubt;
mod fact;
mod fact_text;
mod fact_text_fault;
mod figure;
mod least;
mod ledger;
#[cfg(test)]
mod ledger_for_tests;
mod level;
mod measure_next;
mod measure_together;
mod monte_carlo;
mod near_name;
mod probability;
mod propagate;
mod source;
mod special;
mod triple;
mod unit;

pub use chance::chance_at_least;
pub use constants::{CONSTANTS_SOURCE, STANDARD_GRAVITY, STEFAN_BOLTZMANN};
pub use decimal::decimal;
pub use distribution::Distribution;
pub use doubt::{DEFAULT_DOUBT_SOURCE, DEFAULT_DOUBTS, Doubt, DoubtKind, DoubtRow, Shape, Spread};
pub use fact::{Basis, Fact};
pub use fact_text::{accepted_spellings, read_fact, write_fact};
pub use fact_text_fault::{FACT_TEXT_LIMIT, FactTextFault};
pub use figure::{Figure, FigureId, Term, Working};
pub use least::{Least, chance_all_at_least, least_of};
pub use ledger::{FactIndex, FactLedger, FactPath, LedgerEntry, Linear};
pub use level::{Db, Dbi, Dbm};
pub use measure_next::{LEAST_GAIN, MeasureNext, measure_next, measuring_order};
pub use measure_together::{MeasureTogether, Pair, measure_together};
pub use monte_carlo::{
    Enough, USUAL_SEED, USUAL_TRIALS, drawn, propagate_adaptively, propagate_distributions,
};
pub use near_name::near_name;
pub use probability::Probability;
pub use propagate::{
    BudgetRow, correlated_uncertainty, correlation, effective_degrees_of_freedom, expanded_uncertainty,
    expected_value, standard_uncertainty, uncertainty_budget, worst_cases,
};
pub use source::{Grade, Source};
pub use special::{coverage_factor, normal_below, student_within};
pub use triple::Triple;
pub use unit::*;
