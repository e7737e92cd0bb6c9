//! Signed terms, one row each, with the running total: what a level starts from, what helps, what takes, what is left.
//!
//! Read down the page, like an account: left the term, then a bar from the level before it to the level after it, right
//! its number and the level reached. The last row is what arrives, with its band of doubt; a dimension line from what is needed to it is the margin.

use super::axis::{Axis, LETTER};
use super::fault::sound;
use super::lettering::{fixed, signed, with_unit};
use super::step_rows::{Rows, more_lines};
use super::{Caption, ChartFault};
use crate::scale::Area;
use crate::svg::{Lettering, text};
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
/// The most lines of a name.
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
