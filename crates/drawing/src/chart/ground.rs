//! Charts on paper, or on slate after dark.
//!
//! A chart is drawn for paper; on slate every ink it may use is put in the place of another. Hatches and strokes, which carry the meaning, stay.

use crate::svg::{HAIRLINE, INK, PAPER, RUST};

/// A light tint, for bands.
pub(super) const TINT: &str = "#e6dfcf";
/// Grid lines.
pub(super) const GRID: &str = "#d9d2c2";
/// Letters of less weight.
pub(super) const SOFT: &str = "#4a535b";

/// What a chart lies on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Ground {
    /// Ink on paper.
    #[default]
    Paper,
    /// Chalk on slate.
    Slate,
}

/// Each ink of paper with its ink of slate.
const INKS: [(&str, &str); 7] = [
    (PAPER, "#141a1f"),
    (INK, "#e9e4d6"),
    (HAIRLINE, "#77828b"),
    (RUST, "#e28a62"),
    (TINT, "#2b353d"),
    (GRID, "#2a333a"),
    (SOFT, "#b7b5aa"),
];

/// A chart drawn for paper, on this ground.
pub(crate) fn on(svg: String, ground: Ground) -> String {
    match ground {
        Ground::Paper => svg,
        // No ink of slate is one of paper, so that none is changed twice.
        Ground::Slate => INKS
            .iter()
            .fold(svg, |svg, (paper, slate)| svg.replace(&format!("\"{paper}\""), &format!("\"{slate}\""))),
    }
}
