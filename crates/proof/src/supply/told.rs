//! Words and places that the rules of supply and heat share.

use crate::link::Lack;
use crate::numbers::rounded;
use crate::subject::lacking;
use crate::{Answer, Finding, Proof};

/// A voltage to a hundredth under ten, to a tenth above.
pub(crate) fn volts(value: f64) -> String {
    format!("{} V", rounded(value, if value.abs() < 9.95 { 2 } else { 1 }))
}

/// A time in minutes, in seconds under two minutes.
pub(crate) fn minutes(seconds: f64) -> String {
    if seconds < 119.5 {
        format!("{} s", rounded(seconds, 0))
    } else {
        format!("{} min", rounded(seconds / 60.0, 1))
    }
}

/// The same finding at the video transmitter.
pub(crate) fn of_unit(proof: &Proof, finding: Finding) -> Finding {
    match proof.supply() {
        Some(supply) => finding.at([supply.model().unit.clone()]),
        None => finding,
    }
}

/// What a rule says that needs what is wrong: unknown, with the line to write. What nobody entered yet is told once, by the rule of that
/// matter, and not by all that rest on it.
pub(crate) fn spoilt(proof: &Proof, rule: &'static str, subject: &str, lack: &Lack) -> Answer {
    if lack.wrong.is_empty() || !lack.missing.is_empty() {
        return Answer::default();
    }
    Answer::of(of_unit(proof, lacking(rule, subject, lack)))
}

/// The id of a figure of a rail.
pub(crate) fn rail_figure(key: &str, rail: &str) -> String {
    format!("{key}[{rail}]")
}
