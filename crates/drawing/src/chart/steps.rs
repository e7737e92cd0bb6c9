//! Signed terms, one row each, with the running total: what a level starts from, what helps, what takes, what is left.
//!
//! Read down the page, like an account: left the term, then a bar from the level before it to the level after it, right
//! its number and the level reached. The last row is what arrives, with its band of doubt; a dimension line from what is needed to it is the margin.

use super::axis::{Axis, LETTER, Laid, Plot};
use super::fault::sound;
use super::ground::{GRID, SOFT};
use super::hatch::LOOKS;
use super::lettering::{fixed, signed, with_unit};
use super::room::over;
use super::{Caption, ChartFault};
use crate::scale::Area;
use crate::svg::{HAIRLINE, INK, Lettering, PAPER, RUST, line, number, text};
use crate::wrap::{width_of, wrapped};
use quantity::Unit;
use std::fmt::Write;

/// A signed term.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Of what.
    pub name: String,
    /// How it changes the level: above 0 it helps.
    pub change: f64,
    /// How much worse and how much better it may be, both at least 0.
    pub worse: f64,
    /// How much better it may be.
    pub better: f64,
}

impl Step {
    /// A term without doubt of its own.
    pub fn sure(name: impl Into<String>, change: f64) -> Self {
        Self { name: name.into(), change, worse: 0.0, better: 0.0 }
    }
}

/// A level with its name.
#[derive(Clone, Debug, PartialEq)]
pub struct Level {
    /// What it is.
    pub name: String,
    /// How high it is.
    pub value: f64,
}

/// Signed terms with their running total.
#[derive(Clone, Debug, PartialEq)]
pub struct StepChart {
    /// What stands about it.
    pub caption: Caption,
    /// The unit of levels.
    pub level_unit: Unit,
    /// The unit of changes.
    pub change_unit: Unit,
    /// What the level starts from.
    pub start: Level,
    /// The terms, in the order in which they are met.
    pub terms: Vec<Step>,
    /// What the level that is left is called.
    pub left: String,
    /// The band of doubt of what is left, low end first; made from the terms' own, all at their worst and best, when left out.
    pub band: Option<[f64; 2]>,
    /// What must be left.
    pub needed: Level,
}

/// The most terms.
const MOST: usize = 40;
/// The least height of a row.
const ROW: f64 = 6.6;
/// From this width on names stand beside the bars, under it above them.
const BESIDE: f64 = 150.0;
/// From one line of a name to the next, and the most lines.
const PITCH: f64 = 4.0;
const LINES: usize = 4;

impl StepChart {
    /// What is left.
    pub fn total(&self) -> f64 {
        self.terms.iter().fold(self.start.value, |level, term| level + term.change)
    }

    /// What is left beyond what is needed.
    pub fn margin(&self) -> f64 {
        self.total() - self.needed.value
    }

    /// Its band, low end first.
    pub fn band(&self) -> [f64; 2] {
        let sum = |of: fn(&Step) -> f64| self.terms.iter().map(of).sum::<f64>();
        self.band.unwrap_or([self.total() - sum(|t| t.worse), self.total() + sum(|t| t.better)])
    }

    fn check(&self) -> Result<(), ChartFault> {
        let what = format!("the account {:?}", self.caption.title);
        if self.terms.is_empty() {
            return Err(ChartFault::TooFew { what, found: 0, least: 1 });
        }
        if self.terms.len() > MOST {
            return Err(ChartFault::TooMany { what, found: self.terms.len(), most: MOST });
        }
        for level in [&self.start, &self.needed] {
            sound(level.value, &format!("{:?}", level.name))?;
        }
        for term in &self.terms {
            for value in [term.change, term.worse, term.better] {
                sound(value, &format!("{:?}", term.name))?;
            }
            if term.worse < 0.0 || term.better < 0.0 {
                let (low, high) = (term.change - term.worse, term.change + term.better);
                return Err(ChartFault::BandAside { what: term.name.clone(), low, value: term.change, high });
            }
        }
        let [low, high] = self.band();
        for end in [low, high] {
            sound(end, &format!("the band of {:?}", self.left))?;
        }
        if !(low..=high).contains(&self.total()) {
            return Err(ChartFault::BandAside { what: self.left.clone(), low, value: self.total(), high });
        }
        Ok(())
    }

    fn level(&self, value: f64) -> String {
        with_unit(&fixed(value, 1), self.level_unit)
    }

    fn change(&self, value: f64) -> String {
        with_unit(&signed(value), self.change_unit)
    }

    /// The margin in words: `12.3 dB over what is needed`.
    fn margin_words(&self) -> String {
        let margin = self.margin();
        let side = if margin < 0.0 { "short" } else { "over" };
        format!("{} {side}", with_unit(&fixed(margin.abs(), 1), self.change_unit))
    }

    pub(super) fn told(&self) -> Result<String, ChartFault> {
        self.check()?;
        let mut words = format!("{}: {}.", self.start.name, self.level(self.start.value));
        let mut level = self.start.value;
        for term in &self.terms {
            level += term.change;
            let _ =
                write!(words, " {}: {}, then {}.", term.name, self.change(term.change), self.level(level));
        }
        let [low, high] = self.band();
        let _ = write!(words, " {}: {}", self.left, self.level(level));
        if low < high {
            let _ = write!(words, ", between {} and {}", self.level(low), self.level(high));
        }
        let _ = write!(
            words,
            ". {}: {}; that is {}.",
            self.needed.name,
            self.level(self.needed.value),
            self.margin_words()
        );
        Ok(words)
    }

    fn rows(&self) -> usize {
        self.terms.len() + 3
    }

    pub(super) fn height(&self, width: f64) -> f64 {
        let row = if width < BESIDE { ROW * 1.75 } else { ROW * 1.15 };
        // A picture keeps a millimetre free at either side.
        self.rows() as f64 * row + more_lines(&self.names(width - 2.0)) + 16.0
    }

    /// How wide names stand beside the bars, if they do, and how wide a column of numbers is.
    fn columns(&self, width: f64) -> (f64, f64) {
        let names =
            self.terms.iter().map(|term| &term.name).chain([&self.start.name, &self.left, &self.needed.name]);
        let widest = names.map(|name| width_of(name, LETTER)).fold(0.0, f64::max) + 3.0;
        let name = if width >= BESIDE { widest.min(width * 0.3) } else { 0.0 };
        (name, width_of(&self.level(-888.8), LETTER) + 1.0)
    }

    /// The name of each row, in the lines it takes at a width: a name is never cut for want of room beside the numbers.
    fn names(&self, width: f64) -> Vec<Vec<String>> {
        let (name, column) = self.columns(width);
        let room = if width >= BESIDE { name - 2.0 } else { width - 1.0 - 2.0 * column - 4.0 };
        let names = [&self.start.name].into_iter().chain(self.terms.iter().map(|term| &term.name));
        names.chain([&self.left, &self.needed.name]).map(|name| wrapped(name, room, LETTER, LINES)).collect()
    }

    /// All levels that the scale must hold.
    fn levels(&self) -> Vec<f64> {
        let mut level = self.start.value;
        let mut levels = vec![level, self.needed.value];
        for term in &self.terms {
            level += term.change;
            levels.extend([level, level - term.worse, level + term.better]);
        }
        levels.extend(self.band());
        levels
    }

    pub(super) fn draw(&self, out: &mut String, area: Area) -> Result<(), ChartFault> {
        self.check()?;
        let beside = area.width >= BESIDE;
        let (name, column) = self.columns(area.width);
        let numbers = 2.0 * column + 3.0;
        let track = if beside {
            Area { left: area.left + name, width: area.width - name - numbers, ..area }
        } else {
            Area { left: area.left + 1.0, width: area.width - 4.0, ..area }
        };
        let axis = Axis::even("level", self.level_unit);
        let laid = axis.laid(self.levels(), track.width, false)?;
        let (head, foot) = (if beside { 6.5 } else { 2.0 }, 12.0);
        let names = self.names(area.width);
        let row = (area.height - head - foot - more_lines(&names)) / self.rows() as f64;
        let sheet = Rows {
            laid,
            track,
            name,
            beside,
            column,
            top: area.top + head,
            row,
            right: area.left + area.width,
            names,
        };
        sheet.ground(out, self.rows(), &axis);
        if beside {
            let y = area.top + 3.6;
            text(out, [area.left, y], Lettering::plain(LETTER).bold(), "term");
            let right = sheet.right;
            text(out, [right - column - 3.0, y], Lettering::plain(LETTER).bold().ending(), "change");
            text(out, [right, y], Lettering::plain(LETTER).bold().ending(), "level");
        }
        sheet.threshold(out, self.terms.len() + 2, self.needed.value);
        self.account(out, &sheet);
        Ok(())
    }

    fn account(&self, out: &mut String, sheet: &Rows) {
        sheet.words(out, 0, None, Some(&self.level(self.start.value)), true);
        let mut level = self.start.value;
        sheet.post(out, 0, level);
        for (n, term) in self.terms.iter().enumerate() {
            let (before, row) = (level, n + 1);
            level += term.change;
            sheet.bar(out, row, before, level);
            if term.worse > 0.0 || term.better > 0.0 {
                sheet.doubt(out, row, [level - term.worse, level + term.better]);
            }
            let numbers = [self.change(term.change), self.level(level)];
            sheet.words(out, row, Some(&numbers[0]), Some(&numbers[1]), false);
        }
        let last = self.terms.len() + 1;
        let [low, high] = self.band();
        sheet.band(out, last, [low, high]);
        sheet.post(out, last, level);
        sheet.words(out, last, None, Some(&self.level(level)), true);
        let needed = self.needed.value;
        sheet.words(out, last + 1, None, Some(&self.level(needed)), true);
        sheet.dimension(out, last + 1, needed, level, &self.margin_words());
    }
}

/// How rows lie on the paper.
struct Rows {
    laid: Laid,
    track: Area,
    name: f64,
    beside: bool,
    column: f64,
    top: f64,
    row: f64,
    right: f64,
    names: Vec<Vec<String>>,
}

/// The height that the lines of names after their first take.
fn more_lines(names: &[Vec<String>]) -> f64 {
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

    fn ground(&self, out: &mut String, rows: usize, axis: &Axis) {
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

    fn words(&self, out: &mut String, row: usize, change: Option<&str>, level: Option<&str>, bold: bool) {
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
    fn bar(&self, out: &mut String, row: usize, before: f64, after: f64) {
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
    fn post(&self, out: &mut String, row: usize, level: f64) {
        let (y, half) = self.bar_at(row);
        let x = self.x(level);
        if row > 0 {
            let (above, _) = self.bar_at(row - 1);
            line(out, [x, above + half], [x, y - half * 1.5], HAIRLINE, 0.2);
        }
        line(out, [x, y - half * 1.5], [x, y + half * 1.5], INK, 1.0);
    }

    /// How far a term may be off: a thin line with ends under its bar.
    fn doubt(&self, out: &mut String, row: usize, [low, high]: [f64; 2]) {
        let (y, half) = self.bar_at(row);
        let y = y + half + 0.9;
        let [from, to] = [self.x(low), self.x(high)];
        line(out, [from, y], [to, y], RUST, 0.4);
        for x in [from, to] {
            line(out, [x, y - 0.7], [x, y + 0.7], RUST, 0.4);
        }
    }

    fn band(&self, out: &mut String, row: usize, [low, high]: [f64; 2]) {
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

    fn threshold(&self, out: &mut String, row: usize, needed: f64) {
        let x = self.x(needed);
        let (y, half) = self.bar_at(row);
        Plot::polyline(out, &[[x, self.top], [x, y + half * 1.5]], RUST, 0.45, "2.4 1.2");
    }

    /// A dimension line from what is needed to what is left.
    fn dimension(&self, out: &mut String, row: usize, needed: f64, level: f64, words: &str) {
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
