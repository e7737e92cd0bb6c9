//! A measured antenna pattern from a table of text: which gain lies in which direction?
//!
//! The first line names its columns: `off` (the angle off the mast or off the aim, 0 to 180°), `gain` (dBi) and, unless the pattern
//! is round, `round` (the angle round that axis); a unit in brackets behind a name is passed over, so is any other column. Cells are
//! parted by commas, semicolons or tabs; a decimal comma is read where commas part nothing. Lines that begin with `#` are passed
//! over. All faults are told at once, each with its line. What comes out is a pattern that `radio` takes, and that radiates neither
//! more than it gets nor next to nothing: gains told over their own greatest, or losses without a sign, look like that.

use quantity::{Db, Dbi, Degrees};
use radio::{MeasuredPattern, RadioFault};
use std::collections::HashMap;
use std::fmt;

/// The most rows of a table: two degrees by two degrees and more.
const ROWS_MAX: usize = 20_000;
/// Faults told of one table.
const FAULTS_MAX: usize = 20;
/// A pattern that radiates less than this share is told over something else. Common practice: the worst whips radiate a third.
const LEAST_RADIATED: f64 = 0.05;
const COLUMNS: [&str; 3] = ["off", "gain", "round"];
/// What each column may hold.
const LIMITS: [[f64; 2]; 3] = [[0.0, 180.0], [-200.0, 40.0], [-360.0, 360.0]];

/// One direction of a pattern.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PatternRow {
    /// Off the axis.
    pub off: Degrees,
    /// Round it.
    pub round: Degrees,
    /// The gain there.
    pub gain: Dbi,
}

/// What is wrong with a table.
#[derive(Clone, Debug, PartialEq)]
pub enum PatternFault {
    /// No line but comments.
    Empty,
    /// More rows than are read.
    Long,
    /// A column that must be there is not.
    NoColumn(&'static str),
    /// A line with too few cells.
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
    /// One direction twice.
    Twice {
        /// The second line.
        line: usize,
        /// The first.
        first: usize,
    },
    /// The rows are right each by itself, and wrong together.
    Whole(RadioFault),
    /// Next to nothing is radiated.
    Faint {
        /// The share in per cent.
        per_cent: f64,
    },
}

impl fmt::Display for PatternFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PatternFault::Empty => {
                f.write_str("the table has no line; its first names the columns: off, gain, round")
            }
            PatternFault::Long => {
                write!(f, "the table has more than {ROWS_MAX} rows; every second degree is enough")
            }
            PatternFault::NoColumn(column) => {
                write!(
                    f,
                    "line 1 names no column \"{column}\"; name the columns off, gain and, if it is not round, round"
                )
            }
            PatternFault::Cells { line, found, wanted } => {
                write!(
                    f,
                    "line {line}: {found} cells where the first line names {wanted}; part them all by the same sign"
                )
            }
            PatternFault::Number { line, column, text } => {
                write!(f, "line {line}: {column} {text:?} is no number; leave the unit to the first line")
            }
            PatternFault::Beyond { line, column, value, limits: [least, most] } => {
                write!(f, "line {line}: {column} {value} must lie between {least} and {most}")
            }
            PatternFault::Twice { line, first } => {
                write!(f, "line {line}: this direction stands on line {first} already; leave one out")
            }
            PatternFault::Whole(fault) => fault.fmt(f),
            PatternFault::Faint { per_cent } => write!(
                f,
                "with these gains the antenna radiates {per_cent:.1} % of its power; enter gains over an isotropic antenna \
                 in dBi, not over their own greatest, and not losses"
            ),
        }
    }
}

/// The rows of a table, with the pattern they make.
pub fn read_pattern(text: &str) -> Result<(Vec<PatternRow>, MeasuredPattern), Vec<PatternFault>> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let lines = text.lines().enumerate().map(|(number, line)| (number + 1, line.trim()));
    let mut lines = lines.filter(|(_, line)| !line.is_empty() && !line.starts_with('#'));
    let Some((_, head)) = lines.next() else { return Err(vec![PatternFault::Empty]) };
    let parting = ['\t', ';', ','].into_iter().find(|sign| head.contains(*sign)).unwrap_or(',');
    let names: Vec<String> = head
        .split(parting)
        .map(|name| name.split(['(', '[']).next().unwrap_or("").trim().trim_matches('"').to_lowercase())
        .collect();
    let at = COLUMNS.map(|column| names.iter().position(|name| name == column));
    let [Some(_), Some(_), _] = at else {
        let absent = COLUMNS[..2].iter().zip(at).filter(|(_, at)| at.is_none());
        return Err(absent.map(|(column, _)| PatternFault::NoColumn(column)).collect());
    };
    let (mut rows, mut faults) = (Vec::new(), Vec::new());
    let mut known: HashMap<[u64; 2], usize> = HashMap::new();
    for (line, text) in lines {
        if rows.len() >= ROWS_MAX {
            return Err(vec![PatternFault::Long]);
        }
        if faults.len() >= FAULTS_MAX {
            break;
        }
        let cells: Vec<&str> = text.split(parting).map(str::trim).collect();
        if cells.len() != names.len() {
            faults.push(PatternFault::Cells { line, found: cells.len(), wanted: names.len() });
            continue;
        }
        let mut values = [0.0; 3];
        let mut right = true;
        for (n, at) in at.iter().enumerate() {
            let Some(cell) = at.and_then(|at| cells.get(at)) else { continue };
            match number(cell, parting) {
                Some(value) if (LIMITS[n][0]..=LIMITS[n][1]).contains(&value) => values[n] = value,
                Some(value) => {
                    faults.push(PatternFault::Beyond { line, column: COLUMNS[n], value, limits: LIMITS[n] });
                    right = false;
                }
                None => {
                    faults.push(PatternFault::Number { line, column: COLUMNS[n], text: (*cell).to_owned() });
                    right = false;
                }
            }
        }
        let [off, gain, round] = values;
        // On the axis itself every angle round it is one direction, yet a full grid has them all.
        let key = [off.to_bits(), round.rem_euclid(360.0).to_bits()];
        if !right {
            continue;
        }
        if let Some(first) = known.insert(key, line) {
            faults.push(PatternFault::Twice { line, first });
        }
        rows.push(PatternRow { off: Degrees::new(off), round: Degrees::new(round), gain: Dbi::new(gain) });
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let grid: Vec<(Degrees, Degrees, Dbi)> = rows.iter().map(|row| (row.off, row.round, row.gain)).collect();
    let pattern = MeasuredPattern::new(&grid).map_err(|fault| vec![PatternFault::Whole(fault)])?;
    if pattern.efficiency() < LEAST_RADIATED {
        return Err(vec![PatternFault::Faint { per_cent: 100.0 * pattern.efficiency() }]);
    }
    Ok((rows, pattern))
}

fn number(cell: &str, parting: char) -> Option<f64> {
    let cell = cell.trim_matches('"').trim().replace('\u{2212}', "-");
    let cell = if parting == ',' { cell } else { cell.replace(',', ".") };
    cell.parse().ok().filter(|value: &f64| value.is_finite())
}

/// The rows as they stand on a sheet, under a heading such as `part.omni.cut`, with the antenna they are of where a station has
/// several.
pub fn pattern_on_sheet(rows: &[PatternRow], heading: &str, antenna: Option<&str>) -> String {
    let of = antenna.map(|name| format!("antenna = {name:?}\n")).unwrap_or_default();
    let row = |row: &PatternRow| {
        let PatternRow { off, round, gain } = row;
        format!("[[{heading}]]\n{of}off = \"{off}\"\nround = \"{round}\"\ngain = \"{gain}, measured\"\n")
    };
    rows.iter().map(row).collect::<Vec<_>>().join("\n")
}

/// How far the greatest gain of a pattern lies above its mean.
pub fn directivity(pattern: &MeasuredPattern) -> Db {
    Db::new(pattern.greatest().get() - 10.0 * pattern.efficiency().log10())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn told(text: &str) -> Vec<String> {
        read_pattern(text)
            .map_or_else(|faults| faults.iter().map(ToString::to_string).collect(), |_| Vec::new())
    }

    #[test]
    fn a_round_pattern_is_read_whatever_parts_its_cells() {
        let plain = "# from the yard\noff (°), gain (dBi)\n0, -12\n90, 1.6\n180, -14\n";
        let commas = "gain;off;note\n-12,0;0;top\n1,6;90;rim\n−14;180;foot\n";
        let (one, two) = (read_pattern(plain), read_pattern(commas));
        assert!(one.is_ok());
        assert_eq!(one, two);
        let (rows, pattern) = one.unwrap_or_else(|_| unreachable!());
        assert_eq!((rows.len(), pattern.greatest()), (3, Dbi::new(1.6)));
        assert!((0.5..6.0).contains(&directivity(&pattern).get()));
        let sheet = pattern_on_sheet(&rows[..1], "part.yard.cut", Some("patch"));
        assert_eq!(
            sheet,
            "[[part.yard.cut]]\nantenna = \"patch\"\noff = \"0°\"\nround = \"0°\"\ngain = \"-12 dBi, measured\"\n"
        );
    }

    #[test]
    fn all_faults_of_a_table_are_told_with_their_lines() {
        assert_eq!(
            told("off,gain\n0,-12\n90\n200,1\n100,strong\n0,-11\n120,NaN\n"),
            [
                "line 3: 1 cells where the first line names 2; part them all by the same sign",
                "line 4: off 200 must lie between 0 and 180",
                "line 5: gain \"strong\" is no number; leave the unit to the first line",
                "line 6: this direction stands on line 2 already; leave one out",
                "line 7: gain \"NaN\" is no number; leave the unit to the first line",
            ]
        );
        assert_eq!(
            told("# nothing\n"),
            ["the table has no line; its first names the columns: off, gain, round"]
        );
        assert_eq!(
            told("angle,level\n1,2\n"),
            ["off", "gain"].map(|column| format!(
                "line 1 names no column \"{column}\"; name the columns off, gain and, if it is not round, round"
            ))
        );
    }

    #[test]
    fn holes_short_tables_losses_and_too_much_gain_are_told() {
        let grid = |skip: Option<(i32, i32)>, gain: f64| {
            let mut text = "off,round,gain\n".to_owned();
            for off in [0, 45, 90, 135, 180] {
                for round in [0, 120, 240] {
                    if skip != Some((off, round)) {
                        text.push_str(&format!("{off},{round},{gain}\n"));
                    }
                }
            }
            text
        };
        assert!(told(&grid(None, -1.0)).is_empty());
        assert_eq!(
            told(&grid(Some((90, 120)), -1.0)),
            [
                "the pattern has no gain at 90° off the axis and 120° round it; measure it there, or leave that row out whole"
            ]
        );
        assert_eq!(
            told("off,gain\n30,1\n90,1\n150,1\n"),
            ["the pattern begins at 30° and ends at 150° off the axis; it must go from 0° to 180°"]
        );
        assert!(
            told(&grid(None, 6.0))[0].starts_with("the pattern radiates 6 dB more than the antenna gets")
        );
        assert_eq!(
            told(&grid(None, -20.0)),
            [
                "with these gains the antenna radiates 1.0 % of its power; enter gains over an isotropic antenna in dBi, not over \
              their own greatest, and not losses"
            ]
        );
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(300))]

        #[test]
        fn no_text_whatever_is_read_as_something_that_is_no_number(text in "(off|gain|round|[0-9,;.\t\n\"#-]| |NaN|inf|1e999){0,60}") {
            if let Ok((rows, pattern)) = read_pattern(&text) {
                prop_assert!(rows.iter().all(|row| row.off.get().is_finite() && row.gain.get().is_finite()));
                prop_assert!(pattern.efficiency().is_finite());
            }
        }
    }
}
