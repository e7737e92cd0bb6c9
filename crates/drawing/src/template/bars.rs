//! The two bars of exactly 100 mm by which a print is checked before anybody drills.
//!
//! Printers shrink a page to their margins unless told not to, and some stretch one direction: hence a bar each way.
//! A bar's length is that from the middle of its first tick to the middle of its last.

use crate::scale::Area;
use crate::svg::{INK, Lettering, line, number, text};
use std::fmt::Write;

/// What stands beside the bar.
pub const CHECK_LINE: &str = "Print at 100 %: check that this bar measures 100 mm before you drill";

/// The length of a bar, in mm.
pub(crate) const BAR: f64 = 100.0;
/// Where the level bar begins, and where the upright one begins, at its upper end.
pub(crate) const LEVEL: [f64; 2] = [55.0, 284.0];
pub(crate) const UPRIGHT: [f64; 2] = [12.0, 90.0];
/// What the bars leave of the sheet for the drawing.
pub(crate) const FREE: Area = Area { left: 22.0, top: 24.0, width: 180.0, height: 248.0 };

/// Draws both bars.
pub(crate) fn bars(out: &mut String) {
    let [x, y] = LEVEL;
    line(out, [x, y], [x + BAR, y], INK, 0.2);
    for n in 0..=10 {
        let at = x + BAR * f64::from(n) / 10.0;
        let long = if n % 10 == 0 { 2.6 } else { 1.2 };
        line(out, [at, y - long], [at, y + long], INK, 0.2);
    }
    text(out, [x + BAR / 2.0, y - 3.8], Lettering::plain(3.4).centred().bold(), CHECK_LINE);
    text(out, [x + BAR + 2.0, y + 1.1], Lettering::plain(3.0), "100 mm");
    let [x, y] = UPRIGHT;
    line(out, [x, y], [x, y + BAR], INK, 0.2);
    for n in 0..=10 {
        let at = y + BAR * f64::from(n) / 10.0;
        let long = if n % 10 == 0 { 3.0 } else { 1.2 };
        line(out, [x - long, at], [x + long, at], INK, 0.2);
    }
    let _ = writeln!(out, r#"<g transform="rotate(-90 {} {})">"#, number(x - 2.4), number(y + BAR / 2.0));
    let words = "100 mm too: both ways, or the print is stretched";
    text(out, [x - 2.4, y + BAR / 2.0], Lettering::plain(3.0).centred(), words);
    out.push_str("</g>\n");
}
