//! Words and places that the rules of supply and heat share.

use crate::numbers::rounded;
use crate::{Finding, Proof};

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

/// The id of a figure of a rail.
pub(crate) fn rail_figure(key: &str, rail: &str) -> String {
    format!("{key}[{rail}]")
}
