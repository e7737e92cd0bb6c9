//! A table of text that an instrument or a person wrote: its columns by name, its numbers within limits.
//!
//! The first line names the columns, each with its unit in brackets where it has one; what units are read is for those to say who ask. Cells are parted by commas, semicolons or tabs; a
//! decimal comma is read where commas part nothing. Lines that begin with `#` are passed over. What the rows mean is for those to say who
//! ask: antenna patterns (`link/pattern_file.rs`), thrust stands (`supply/stand_table.rs`).

use std::fmt;

/// Faults told of one table.
pub(crate) const FAULTS_MAX: usize = 20;

/// What is wrong with a table, whatever it is about.
#[derive(Clone, Debug, PartialEq)]
pub enum TableFault {
    /// More rows than are read.
    Long {
        /// The most that are.
        most: usize,
        /// How many would do.
        enough: &'static str,
    },
    /// A line with another number of cells.
    Cells {
        /// Its line, from 1.
        line: usize,
        /// How many there are.
        found: usize,
        /// How many the first line names.
        wanted: usize,
    },
    /// A cell that is no number.
    Number {
        /// Its line.
        line: usize,
        /// Its column.
        column: &'static str,
        /// What stands there.
        text: String,
    },
    /// A number beyond what it may be.
    Beyond {
        /// Its line.
        line: usize,
        /// Its column.
        column: &'static str,
        /// As given.
        value: f64,
        /// The least and the most.
        limits: [f64; 2],
    },
}

impl TableFault {
    /// The line it is about; nought if it is about the whole.
    pub(crate) const fn line(&self) -> usize {
        match self {
            Self::Long { .. } => 0,
            Self::Cells { line, .. } | Self::Number { line, .. } | Self::Beyond { line, .. } => *line,
        }
    }
}

impl fmt::Display for TableFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Long { most, enough } => write!(f, "the table has more than {most} rows; {enough}"),
            Self::Cells { line, found, wanted } => write!(
                f,
                "line {line}: {found} cells where the first line names {wanted}; part them all by the same sign"
            ),
            Self::Number { line, column, text } => {
                write!(f, "line {line}: {column} {text:?} is no number; leave the unit to the first line")
            }
            Self::Beyond { line, column, value, limits: [least, most] } => {
                write!(f, "line {line}: {column} {value} must lie between {least} and {most}; check the unit")
            }
        }
    }
}

/// A table with its columns named.
pub(crate) struct TextTable<'t> {
    names: Vec<String>,
    units: Vec<Option<String>>,
    parting: char,
    lines: Vec<(usize, &'t str)>,
}

impl<'t> TextTable<'t> {
    /// The lines of a text; none if it has none but comments.
    pub fn of(text: &'t str) -> Option<Self> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let lines = text.lines().enumerate().map(|(number, line)| (number + 1, line.trim()));
        let mut lines = lines.filter(|(_, line)| !line.is_empty() && !line.starts_with('#'));
        let (_, head) = lines.next()?;
        let parting = ['\t', ';', ','].into_iter().find(|sign| head.contains(*sign)).unwrap_or(',');
        let names = head.split(parting).map(named).collect();
        let units = head.split(parting).map(unit_of).collect();
        Some(Self { names, units, parting, lines: lines.collect() })
    }

    /// Where a column stands.
    pub fn place(&self, column: &str) -> Option<usize> {
        self.names.iter().position(|name| name == column)
    }

    /// The unit in brackets behind the name of the column at a place, as it is written; none where there is none.
    pub fn unit(&self, at: usize) -> Option<&str> {
        self.units.get(at)?.as_deref()
    }

    /// How many rows there are.
    pub fn rows(&self) -> usize {
        self.lines.len()
    }

    /// Each row's line and its cells, as many as the first line names.
    pub fn each(&self) -> impl Iterator<Item = Result<(usize, Vec<&'t str>), TableFault>> {
        self.lines.iter().map(|(line, text)| {
            let cells: Vec<&str> = text.split(self.parting).map(bare).collect();
            let (line, found, wanted) = (*line, cells.len(), self.names.len());
            if found == wanted { Ok((line, cells)) } else { Err(TableFault::Cells { line, found, wanted }) }
        })
    }

    /// The number in a cell, within its limits.
    pub fn number(
        &self,
        line: usize,
        column: &'static str,
        cell: &str,
        limits: [f64; 2],
    ) -> Result<f64, TableFault> {
        let plain = cell.replace('\u{2212}', "-");
        let plain = if self.parting == ',' { plain } else { plain.replace(',', ".") };
        match plain.parse::<f64>().ok().filter(|value| value.is_finite()) {
            Some(value) if (limits[0]..=limits[1]).contains(&value) => Ok(value),
            Some(value) => Err(TableFault::Beyond { line, column, value, limits }),
            None => Err(TableFault::Number { line, column, text: cell.to_owned() }),
        }
    }
}

/// What a cell holds, without blanks and quotation marks round it.
fn bare(cell: &str) -> &str {
    cell.trim().trim_matches('"').trim()
}

/// The name of a column, without its unit in brackets.
fn named(cell: &str) -> String {
    bare(cell.split(['(', '[']).next().unwrap_or("")).to_lowercase().replace('_', " ")
}

/// What stands in brackets behind the name of a column.
fn unit_of(cell: &str) -> Option<String> {
    let (_, rest) = cell.split_once(['(', '['])?;
    let unit = bare(rest.split([')', ']']).next().unwrap_or(""));
    (!unit.is_empty()).then(|| unit.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whatever_parts_the_cells_the_same_is_read() {
        for text in ["a (mm),b\n# no\n1.5,\"2\"\n", "A;\"b\"\n1,5;2\n", "\u{feff}a\tb [x]\n1.5\t 2\n"] {
            let table = TextTable::of(text).unwrap_or_else(|| unreachable!());
            let rows: Vec<_> = table.each().collect();
            let Ok((line, cells)) = &rows[0] else { unreachable!() };
            assert_eq!((table.place("a"), table.place("b"), rows.len()), (Some(0), Some(1), 1));
            assert_eq!(table.number(*line, "a", cells[0], [0.0, 2.0]), Ok(1.5));
            assert_eq!(table.number(*line, "b", cells[1], [0.0, 2.0]), Ok(2.0));
        }
        assert!(TextTable::of("# nothing\n\n").is_none());
    }
}
