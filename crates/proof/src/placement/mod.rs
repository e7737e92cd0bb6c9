//! Where the units of a craft would stand best.
mod search;
