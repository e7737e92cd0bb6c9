//! What the program says: plain text to standard output, faults to standard error.
//!
//! A reader that has gone away (`creance figures … | head -1`) is no fault: the rest is simply not said.

use crate::refusal::{Cause, Refusal};
use std::io::{ErrorKind, Write};

/// Says a text on standard output.
pub fn say(text: &str) -> Result<(), Refusal> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(cause) if cause.kind() != ErrorKind::BrokenPipe => {
            Err(Refusal::new(Cause::Ours, format!("standard output takes no more: {cause}")))
        }
        _ => Ok(()),
    }
}

/// Notes something on standard error; whether anybody reads it does not matter.
pub fn note(text: &str) {
    let _ = writeln!(std::io::stderr(), "{text}");
}
