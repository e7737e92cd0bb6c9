//! Checks of the computations against the outside: standards, handbook tables, reference programs.
//!
//! A check is a row in a vector file, `conformance/FOLDER/NAME.toml`: what is given, what a source outside
//! this project says comes out, how far ours may differ and why that far. The folder names the adapter,
//! a plain function that hands the given values to the crate concerned and reads the answer off it.
//!
//! ```toml
//! [source]                        # stands for every check of the file; a check may override any line of it
//! title = "…"                     # the document with its edition, or the program with its version
//! place = "…"                     # table, equation, clause, call
//! grade = "published value"       # or: reference program, worked from the standard, common practice, memory
//!
//! [made_by]                       # only where a script made the file
//! script = "NAME.py"              # lies beside it and checks itself with --check
//! versions = "…"
//!
//! [[check]]
//! kind = "…"                      # what the adapter is asked for
//! asks = "…"                      # the same in words, for the reader
//! given = { … }
//! expect = { key = 1.0 }
//! within = { key = 0.01, because = "…" }
//! skip = "…"                      # optional: the reason why this row is not run; it stays visible
//! ```
//!
//! An answer may hold more keys than the row expects; each key expected needs its own tolerance. Left out
//! on purpose: our own former output never stands here. A lock against change is a test of its crate.

mod fault;
mod given;
mod read;
mod row;

mod doubt;
mod faults;
mod firmware;
mod flying;
mod geometry;
mod heat;
mod light;
mod optics;
mod pack;
mod power;
mod radio;
mod receiver;
mod supply;
mod wiring;

mod report;
mod runner;

pub use fault::{Fault, FaultKind};
pub use report::{Compared, GradeCount, Outcome, Report, Row};
pub use row::{MadeBy, RowSource};
pub use runner::run_all;
