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

/// The text in lines of at most 96 letters, each behind the indent.
pub fn folded(text: &str, indent: &str) -> String {
    let mut lines: Vec<String> = Vec::new();
    for paragraph in text.lines() {
        let mut line = indent.to_owned();
        for word in paragraph.split_whitespace() {
            if line.len() > indent.len() && line.chars().count() + 1 + word.chars().count() > 96 {
                lines.push(std::mem::replace(&mut line, indent.to_owned()));
            }
            if line.len() > indent.len() {
                line.push(' ');
            }
            line.push_str(word);
        }
        lines.push(line);
    }
    lines.join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_lines_are_folded() {
        let text = folded(&"word ".repeat(100), "  ");
        assert!(
            text.lines().count() > 4
                && text.lines().all(|line| line.len() <= 96 && line.starts_with("  word"))
        );
    }
}
