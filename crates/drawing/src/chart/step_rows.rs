//! How the rows of signed terms are drawn: name and numbers, bar, doubt, what is needed, and the dimension line of the margin.
//!
//! A row is as high as the lines of its name want; on wide paper names stand beside the bars, on narrow paper above them.

use super::axis::{Axis, LETTER, Laid, Plot};
use super::ground::{GRID, SOFT};
use super::hatch::LOOKS;
use super::room::over;
use crate::scale::Area;
use crate::svg::{HAIRLINE, INK, Lettering, PAPER, RUST, line, number, text};
use crate::wrap::width_of;
use std::fmt::Write;

/// From one line of a name to the next.
const PITCH: f64 = 4.0;

/// How rows lie on the paper.
pub(super) struct Rows {
    pub laid: Laid,
    pub track: Area,
    pub name: f64,
    pub beside: bool,
    pub column: f64,
    pub top: f64,
    pub row: f64,
    pub right: f64,
    pub names: Vec<Vec<String>>,
}

/// The height that the lines of names after their first take.
pub(super) fn more_lines(names: &[Vec<String>]) -> f64 {
    PITCH * names.iter().map(|lines| lines.len().saturating_sub(1)).sum::<usize>() as f64
}

impl Rows {
    fn x(&self, level: f64) -> f64 {
        self.track.left + self.track.width * self.laid.share(level)
    }

    /// Where a row begins, and how much higher it is than one whose name takes one line.
    fn top_of(&self, row: usize) -> (f64, f64) {
        let above = more_lines(&self.names[..row.min(self.names.len())]);
        let own = self.names.get(row).map_or(0.0, |lines| more_lines(std::slice::from_ref(lines)));
        (self.top + row as f64 * self.row + above, own)
    }

    /// The middle of the bar of a row, and half its height.
    fn bar_at(&self, row: usize) -> (f64, f64) {
        let (top, more) = self.top_of(row);
        if self.beside {
            (top + (self.row + more) / 2.0, self.row * 0.28)
        } else {
            (top + more + self.row * 0.74, self.row * 0.17)
        }
    }

    pub fn ground(&self, out: &mut String, rows: usize, axis: &Axis) {
        let (bottom, _) = self.top_of(rows);
        for (value, words) in &self.laid.marks {
            let x = self.x(*value);
            line(out, [x, self.top], [x, bottom], GRID, 0.18);
            line(out, [x, bottom], [x, bottom + 1.4], INK, 0.25);
            let half = width_of(words, LETTER) / 2.0;
            let x = x.clamp(self.track.left + half - 1.0, self.track.left + self.track.width - half + 2.0);
            text(out, [x, bottom + 5.2], Lettering::plain(LETTER).centred(), words);
        }
        line(out, [self.track.left, bottom], [self.track.left + self.track.width, bottom], INK, 0.3);
        let middle = [self.track.left + self.track.width / 2.0, bottom + 10.0];
        text(out, middle, Lettering::plain(LETTER).centred().bold(), &axis.words());
        for row in 1..rows {
            let (y, _) = self.top_of(row);
            line(out, [self.track.left - self.name, y], [self.right, y], GRID, 0.12);
        }
    }

    pub fn words(&self, out: &mut String, row: usize, change: Option<&str>, level: Option<&str>, bold: bool) {
        let letters = if bold { Lettering::plain(LETTER).bold() } else { Lettering::plain(LETTER) };
        let (top, more) = self.top_of(row);
        let y = if self.beside { top + (self.row + more) / 2.0 + 1.2 } else { top + self.row * 0.36 };
        // Beside a bar the lines of a name lie about its middle; above it they begin level with the numbers.
        let first = if self.beside { y - more / 2.0 } else { y };
        for (n, words) in self.names.get(row).into_iter().flatten().enumerate() {
            over(out, [self.track.left - self.name, first + PITCH * n as f64], letters, words);
        }
        if let Some(change) = change {
            text(out, [self.right - self.column - 3.0, y], letters.ending(), change);
        }
        if let Some(level) = level {
            text(out, [self.right, y], letters.ending().ink(if bold { INK } else { SOFT }), level);
        }
    }

    /// A term: filled where it takes, open where it helps, with a line down to the next row.
    pub fn bar(&self, out: &mut String, row: usize, before: f64, after: f64) {
        let (y, half) = self.bar_at(row);
        let [from, to] = [self.x(before), self.x(after)];
        let (above, _) = self.bar_at(row - 1);
        line(out, [from, above + half], [from, y - half], HAIRLINE, 0.2);
        let fill = if after < before { INK } else { PAPER };
        let _ = writeln!(
            out,
            r#"<rect x="{}" y="{}" width="{}" height="{}" fill="{fill}" stroke="{INK}" stroke-width="0.35"/>"#,
            number(from.min(to)),
            number(y - half),
            number((to - from).abs()),
            number(2.0 * half)
        );
    }

    /// A level that is stood on.
    pub fn post(&self, out: &mut String, row: usize, level: f64) {
        let (y, half) = self.bar_at(row);
        let x = self.x(level);
        if row > 0 {
            let (above, _) = self.bar_at(row - 1);
            line(out, [x, above + half], [x, y - half * 1.5], HAIRLINE, 0.2);
        }
        line(out, [x, y - half * 1.5], [x, y + half * 1.5], INK, 1.0);
    }

    /// How far a term may be off: a thin line with ends under its bar.
    pub fn doubt(&self, out: &mut String, row: usize, [low, high]: [f64; 2]) {
        let (y, half) = self.bar_at(row);
        let y = y + half + 0.9;
        let [from, to] = [self.x(low), self.x(high)];
        line(out, [from, y], [to, y], RUST, 0.4);
        for x in [from, to] {
            line(out, [x, y - 0.7], [x, y + 0.7], RUST, 0.4);
        }
    }

    pub fn band(&self, out: &mut String, row: usize, [low, high]: [f64; 2]) {
        if low == high {
            return;
        }
        let (y, half) = self.bar_at(row);
        let _ = writeln!(
            out,
            r#"<rect x="{}" y="{}" width="{}" height="{}" fill="{}" stroke="{HAIRLINE}" stroke-width="0.2"/>"#,
            number(self.x(low)),
            number(y - half * 1.5),
            number(self.x(high) - self.x(low)),
            number(3.0 * half),
            LOOKS[0].band
        );
    }

    pub fn threshold(&self, out: &mut String, row: usize, needed: f64) {
        let x = self.x(needed);
        let (y, half) = self.bar_at(row);
        if self.beside {
            Plot::polyline(out, &[[x, self.top], [x, y + half * 1.5]], RUST, 0.45, "2.4 1.2");
            return;
        }
        // Names stand above their bars there: it runs beside the bars alone.
        for row in 0..=row {
            let (y, half) = self.bar_at(row);
            Plot::polyline(out, &[[x, y - half * 1.6], [x, y + half * 1.6]], RUST, 0.45, "");
        }
    }

    /// A dimension line from what is needed to what is left.
    pub fn dimension(&self, out: &mut String, row: usize, needed: f64, level: f64, words: &str) {
        let (y, half) = self.bar_at(row);
        let [from, to] = [self.x(needed), self.x(level)];
        let (above, _) = self.bar_at(row - 1);
        line(out, [to, above + half * 1.5], [to, y + half], RUST, 0.2);
        line(out, [from, y], [to, y], RUST, 0.3);
        let way = if to < from { 1.0 } else { -1.0 };
        if (to - from).abs() > 3.5 {
            for (x, way) in [(from, -way), (to, way)] {
                let _ = writeln!(
                    out,
                    r#"<path d="M{} {}L{} {}V{}Z" fill="{RUST}"/>"#,
                    number(x),
                    number(y),
                    number(x + 1.8 * way),
                    number(y - 0.6),
                    number(y + 0.6)
                );
            }
        }
        let letters = Lettering::plain(LETTER).ink(RUST).bold();
        let wide = width_of(words, LETTER);
        if (to - from).abs() > wide + 6.0 {
            let _ = writeln!(
                out,
                r#"<rect x="{}" y="{}" width="{}" height="3.6" fill="{PAPER}"/>"#,
                number((from + to - wide) / 2.0 - 0.6),
                number(y - 1.8),
                number(wide + 1.2)
            );
            over(out, [(from + to) / 2.0, y + 1.2], letters.centred(), words);
        } else if from.max(to) + wide + 3.0 < self.track.left + self.track.width {
            over(out, [from.max(to) + 2.0, y + 1.2], letters, words);
        } else {
            let end = (from.min(to) - 2.0).max(self.track.left + wide);
            over(out, [end, y + 1.2], letters.ending(), words);
        }
    }
}
