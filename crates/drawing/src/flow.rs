//! Rows of text that run down a column and on into the next.

use crate::scale::Area;
use crate::svg::{Lettering, text};
use crate::title_block::mark;
use proof::Verdict;

/// What stands before a row, left of its indent.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Head {
    /// A number or letter.
    Label(String),
    /// The shape of a verdict.
    Verdict(Verdict),
}

/// One row, with the room it takes down to the next.
#[derive(Clone, Debug)]
pub(crate) struct Row {
    pub head: Option<Head>,
    pub indent: f64,
    pub letters: Lettering,
    pub words: String,
    pub room: f64,
    /// Whether the next row must stand in the same column.
    pub holds: bool,
}

impl Row {
    /// A row of its own at the left.
    pub fn new(letters: Lettering, words: impl Into<String>, room: f64) -> Self {
        Self { head: None, indent: 0.0, letters, words: words.into(), room, holds: false }
    }
}

/// Fills a column with rows from the end of the list, which stands reversed. What holds together goes on elsewhere as a
/// whole, unless it is longer than a column.
pub(crate) fn fill(out: &mut String, rows: &mut Vec<Row>, area: Area) {
    let mut y = area.top + 3.0;
    let bottom = area.top + area.height;
    let mut within = false;
    while let Some(next) = rows.last() {
        let mut held = 0.0;
        for row in rows.iter().rev() {
            held += row.room;
            if !row.holds {
                break;
            }
        }
        let needs = if within || held > area.height { next.room } else { held };
        if y + needs > bottom + 1.0 {
            return;
        }
        let Some(row) = rows.pop() else { return };
        within = row.holds;
        match &row.head {
            Some(Head::Label(label)) => {
                text(out, [area.left + row.indent - 2.5, y], row.letters.ending(), label);
            }
            Some(Head::Verdict(verdict)) => mark(out, *verdict, [area.left + row.indent - 3.2, y - 1.1]),
            None => {}
        }
        text(out, [area.left + row.indent, y], row.letters, &row.words);
        y += row.room;
    }
}
