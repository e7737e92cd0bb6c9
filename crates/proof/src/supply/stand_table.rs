//! A thrust stand's readings from a table of text: what one motor with its blades gives and takes, by throttle.
//!
//! Its columns are `throttle` (%), `thrust` (gf), `current` (A) and, where it was read, `voltage` (V) and `speed` (turns a minute); any other
//! is passed over. A unit in brackets behind a name is read: others of force, current and voltage are turned into these, and one that is not
//! known is a fault, for a table in another unit looks like a sound one. Where none stands, it is those above. How a table is written, `text_table.rs` says. Rows at rest are passed over: where nothing is lifted nothing is learnt. Throttle, thrust and current must rise together. All faults are told at once, each with its line. Rows of a sheet
//! with two such points and more take the place of disc theory in the flight (`drive.rs`).

use crate::text_table::{FAULTS_MAX, TableFault, TextTable};
use std::fmt;

/// The most rows of a table.
const ROWS_MAX: usize = 500;
const COLUMNS: [&str; 5] = ["throttle", "thrust", "current", "voltage", "speed"];
/// How many of them must be there.
const NEEDED: usize = 3;
/// What each column may hold, as on a sheet.
const LIMITS: [[f64; 2]; 5] = [[0.0, 100.0], [0.0, 50_000.0], [0.0, 500.0], [1.0, 100.0], [0.0, 500_000.0]];
const UNITS: [&str; 5] = ["%", "gf", "A", "V", "rpm"];

/// What each column may be read in, and how many of its own unit one of it is. Newton by standard gravity, 9.80665 m/s² (ISO 80000-3);
/// pound 453.59237 g and ounce a sixteenth of it (international avoirdupois pound).
const READ_IN: [&[(&str, f64)]; 5] = [
    &[("%", 1.0), ("percent", 1.0)],
    &[
        ("gf", 1.0),
        ("g", 1.0),
        ("kgf", 1e3),
        ("kg", 1e3),
        ("N", 1e3 / 9.80665),
        ("mN", 1.0 / 9.80665),
        ("ozf", 453.59237 / 16.0),
        ("oz", 453.59237 / 16.0),
        ("lbf", 453.59237),
        ("lb", 453.59237),
    ],
    &[("A", 1.0), ("mA", 1e-3)],
    &[("V", 1.0), ("mV", 1e-3)],
    &[("rpm", 1.0), ("1/min", 1.0), ("min⁻¹", 1.0), ("min-1", 1.0), ("1/s", 60.0), ("Hz", 60.0)],
];

/// One reading: throttle in %, thrust in gf, current in A, and where they were read voltage in V and speed in turns a minute.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StandReading {
    /// In the order of the columns; none for one that was not read.
    pub values: [Option<f64>; 5],
    /// Its line in the table, from 1.
    pub line: usize,
}

/// What is wrong with a table.
#[derive(Clone, Debug, PartialEq)]
pub enum StandFault {
    /// No line but comments.
    Empty,
    /// What any table may have wrong.
    Table(TableFault),
    /// A column that must be there is not.
    NoColumn(&'static str),
    /// A column in a unit that is not read.
    Unit {
        /// Which.
        column: &'static str,
        /// As written.
        unit: String,
        /// What it is read in.
        read: String,
    },
    /// Fewer than two rows that lift anything.
    Few(usize),
    /// One throttle twice.
    Twice {
        /// The second line.
        line: usize,
        /// The first.
        first: usize,
        /// The throttle.
        throttle: f64,
    },
    /// Thrust or current that falls or stays while the throttle rises.
    Falls {
        /// The line of the greater throttle.
        line: usize,
        /// That of the lesser.
        before: usize,
        /// Which.
        column: &'static str,
        /// There, and before.
        values: [f64; 2],
    },
}

impl fmt::Display for StandFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => {
                f.write_str("the table has no line; its first names the columns: throttle, thrust, current")
            }
            Self::Table(fault) => fault.fmt(f),
            Self::NoColumn(column) => write!(
                f,
                "line 1 names no column \"{column}\"; name the columns throttle, thrust, current and, where it was read, voltage"
            ),
            Self::Unit { column, unit, read } => write!(
                f,
                "line 1: {column} is in {unit:?}, and is read in {read}; turn the column into one of these and name it in brackets"
            ),
            Self::Few(found) => {
                write!(
                    f,
                    "{found} rows lift anything, and two at least are wanted; measure full throttle and half"
                )
            }
            Self::Twice { line, first, throttle } => {
                write!(f, "line {line}: {throttle} % stands on line {first} already; leave one out")
            }
            Self::Falls { line, before, column, values: [here, there] } => write!(
                f,
                "line {line}: {column} {here} is not above the {there} of line {before}, at less throttle; measure the later row again"
            ),
        }
    }
}

/// The rows of a table that lift anything, rising in throttle.
pub fn read_stand(text: &str) -> Result<Vec<StandReading>, Vec<StandFault>> {
    let Some(table) = TextTable::of(text) else { return Err(vec![StandFault::Empty]) };
    let at = COLUMNS.map(|column| table.place(column));
    let absent: Vec<StandFault> =
        (0..NEEDED).filter(|n| at[*n].is_none()).map(|n| StandFault::NoColumn(COLUMNS[n])).collect();
    if !absent.is_empty() {
        return Err(absent);
    }
    let mut times = [1.0; 5];
    let mut strange = Vec::new();
    for (n, at) in at.iter().enumerate() {
        let Some(unit) = at.and_then(|at| table.unit(at)) else { continue };
        // Case tells milli from mega, but nobody writes megaampere.
        let same = |(word, _): &&(&str, f64)| word.eq_ignore_ascii_case(unit);
        match READ_IN[n].iter().find(same) {
            Some((_, more)) => times[n] = *more,
            None => strange.push(StandFault::Unit {
                column: COLUMNS[n],
                unit: unit.to_owned(),
                read: listed_or(READ_IN[n]),
            }),
        }
    }
    if !strange.is_empty() {
        return Err(strange);
    }
    if table.rows() > ROWS_MAX {
        let enough = "ten points of throttle are enough";
        return Err(vec![StandFault::Table(TableFault::Long { most: ROWS_MAX, enough })]);
    }
    let (mut rows, mut faults) = (Vec::new(), Vec::new());
    for read in table.each() {
        if faults.len() >= FAULTS_MAX {
            break;
        }
        match read
            .map_err(|fault| vec![fault])
            .and_then(|(line, cells)| row(&table, line, &cells, (at, times)))
        {
            Ok(row) => rows.push(row),
            Err(wrong) => faults.extend(wrong.into_iter().map(StandFault::Table)),
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let of = |row: &StandReading, n: usize| row.values[n].unwrap_or(0.0);
    rows.retain(|row| of(row, 1) > 0.0);
    rows.sort_by(|a, b| of(a, 0).total_cmp(&of(b, 0)));
    for pair in rows.windows(2) {
        let [before, here] = [&pair[0], &pair[1]];
        if of(here, 0) <= of(before, 0) {
            // Sorting is stable, so that the later line is the second of the two.
            let (line, first, throttle) = (here.line, before.line, of(here, 0));
            faults.push(StandFault::Twice { line, first, throttle });
            continue;
        }
        for n in [1, 2] {
            let values = [of(here, n), of(before, n)];
            if values[0] <= values[1] {
                let (line, before) = (here.line, before.line);
                faults.push(StandFault::Falls { line, before, column: COLUMNS[n], values });
            }
        }
    }
    if rows.len() < 2 {
        faults.push(StandFault::Few(rows.len()));
    }
    if faults.is_empty() { Ok(rows) } else { Err(faults) }
}

fn row(
    table: &TextTable,
    line: usize,
    cells: &[&str],
    (at, times): ([Option<usize>; 5], [f64; 5]),
) -> Result<StandReading, Vec<TableFault>> {
    let (mut values, mut faults) = ([None; 5], Vec::new());
    for (n, at) in at.iter().enumerate() {
        let Some(cell) = at.and_then(|at| cells.get(at)) else { continue };
        if cell.is_empty() && n >= NEEDED {
            continue;
        }
        match table.number(
            line,
            COLUMNS[n],
            cell,
            LIMITS[n].map(|limit| (limit / times[n] * 1e3).round() / 1e3),
        ) {
            // As read where nothing was turned into another unit; else to a thousandth, which no stand reads.
            Ok(value) if times[n] == 1.0 => values[n] = Some(value),
            Ok(value) => values[n] = Some((value * times[n] * 1e3).round() / 1e3),
            Err(fault) => faults.push(fault),
        }
    }
    if faults.is_empty() { Ok(StandReading { values, line }) } else { Err(faults) }
}

/// `gf, kgf or N`: each unit of a list.
fn listed_or(units: &[(&str, f64)]) -> String {
    let words: Vec<&str> = units.iter().map(|(word, _)| *word).collect();
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => words.concat(),
    }
}

/// The rows as they stand on a sheet, under a heading such as `part.motor.thrust`.
pub fn stand_on_sheet(rows: &[StandReading], heading: &str) -> String {
    let row = |row: &StandReading| {
        let mut text = format!("[[{heading}]]\n");
        for (n, value) in row.values.iter().enumerate() {
            if let Some(value) = value {
                // Throttle is what was set; all else was read off an instrument.
                let basis = if n == 0 { "" } else { ", measured" };
                text.push_str(&format!("{} = \"{value} {}{basis}\"\n", COLUMNS[n], UNITS[n]));
            }
        }
        text
    };
    rows.iter().map(row).collect::<Vec<_>>().join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn told(text: &str) -> Vec<String> {
        read_stand(text)
            .map_or_else(|faults| faults.iter().map(ToString::to_string).collect(), |_| Vec::new())
    }

    #[test]
    fn a_table_is_read_whatever_parts_its_cells_and_in_whatever_order() {
        let plain = "# stand in the shed\nthrottle (%), thrust (gf), current (A), voltage (V)\n0,0,0.02,16.1\n50,150,2.5,15.9\n100,330,9,15.2\n";
        let commas = "current;note;throttle;thrust;voltage\n9;full;100;330;15,2\n2,5;half;50;150;15,9\n";
        let read = |text: &str| -> Vec<[Option<f64>; 5]> {
            read_stand(text).unwrap_or_else(|_| unreachable!()).iter().map(|row| row.values).collect()
        };
        assert_eq!(read(plain), read(commas));
        let rows = read_stand(plain).unwrap_or_else(|_| unreachable!());
        assert_eq!(
            stand_on_sheet(&rows[..1], "part.motor.thrust"),
            "[[part.motor.thrust]]\nthrottle = \"50 %\"\nthrust = \"150 gf, measured\"\ncurrent = \"2.5 A, measured\"\nvoltage = \"15.9 V, measured\"\n"
        );
    }

    #[test]
    fn all_faults_of_a_table_are_told_with_their_lines() {
        assert_eq!(
            told("throttle,thrust,current\n50,150\n60,lots,3\n120,200,4\n"),
            [
                "line 2: 2 cells where the first line names 3; part them all by the same sign",
                "line 3: thrust \"lots\" is no number; leave the unit to the first line",
                "line 4: throttle 120 must lie between 0 and 100; check the unit",
            ]
        );
        assert_eq!(
            told("throttle,thrust,current\n100,330,9\n50,150,2.5\n75,140,2.4\n50,151,2.6\n"),
            [
                "line 5: 50 % stands on line 3 already; leave one out",
                "line 4: thrust 140 is not above the 151 of line 5, at less throttle; measure the later row again",
                "line 4: current 2.4 is not above the 2.6 of line 5, at less throttle; measure the later row again",
            ]
        );
        assert_eq!(
            told("throttle,force\n1,2\n"),
            ["thrust", "current"].map(|column| format!(
                "line 1 names no column \"{column}\"; name the columns throttle, thrust, current and, where it was read, voltage"
            ))
        );
        assert_eq!(
            told("throttle,thrust,current\n0,0,0\n100,330,9\n"),
            ["1 rows lift anything, and two at least are wanted; measure full throttle and half"]
        );
        assert_eq!(
            told("# nothing\n"),
            ["the table has no line; its first names the columns: throttle, thrust, current"]
        );
    }

    #[test]
    fn a_column_in_another_unit_is_turned_or_refused_and_never_read_as_it_stands() {
        let read = |text: &str| -> Vec<[Option<f64>; 5]> {
            read_stand(text).unwrap_or_default().iter().map(|row| row.values).collect()
        };
        // 1.5 N are 152.957 gf, 2.7 N 275.323 gf.
        let newton = "throttle (%),thrust (N),current (mA),voltage (V)\n50,1.5,54,7.4\n100,2.7,130,7.2\n";
        let row =
            |values: [f64; 4]| [Some(values[0]), Some(values[1]), Some(values[2]), Some(values[3]), None];
        assert_eq!(read(newton), [row([50.0, 152.957, 0.054, 7.4]), row([100.0, 275.323, 0.13, 7.2])]);
        let ounces = read("throttle,thrust [oz],current,voltage\n50,16,3,12\n100,32,9,12\n");
        assert_eq!(ounces[0][1], Some(453.592));
        assert_eq!(
            told("throttle (us),thrust (stone),current (A)\n1500,1,3\n2000,2,9\n"),
            [
                "line 1: throttle is in \"us\", and is read in % or percent; turn the column into one of these and name it in brackets",
                "line 1: thrust is in \"stone\", and is read in gf, g, kgf, kg, N, mN, ozf, oz, lbf or lb; turn the column into one of these and name it in brackets",
            ]
        );
        assert_eq!(
            told("throttle,thrust (N),current\n50,1.5,3\n100,600,9\n")[0],
            "line 3: thrust 600 must lie between 0 and 490.332; check the unit"
        );
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(200))]

        #[test]
        fn no_text_whatever_is_read_as_something_that_does_not_rise(text in "(throttle|thrust|current|[0-9,;.\t\n\"#-]| |NaN|inf|1e999){0,60}") {
            if let Ok(rows) = read_stand(&text) {
                prop_assert!(rows.len() >= 2);
                for pair in rows.windows(2) {
                    for n in 0..3 {
                        prop_assert!(pair[1].values[n] > pair[0].values[n]);
                    }
                }
            }
        }

        /// What rises is read as it is, and one row that falls is told by its line.
        #[test]
        fn rising_rows_are_read_and_a_falling_one_is_named(steps in prop::collection::vec((1u32..10, 1u32..90, 1u32..9), 2..9), fall in any::<prop::sample::Index>()) {
            let (mut throttle, mut thrust, mut current) = (0, 0, 0);
            let mut rows: Vec<[u32; 3]> = Vec::new();
            for (a, b, c) in &steps {
                (throttle, thrust, current) = (throttle + a, thrust + b, current + c);
                rows.push([throttle, thrust, current]);
            }
            let text = |rows: &[[u32; 3]]| {
                let lines = rows.iter().map(|[a, b, c]| format!("{a},{b},{c}\n")).collect::<String>();
                format!("throttle,thrust,current\n{lines}")
            };
            let read = read_stand(&text(&rows)).map(|rows| rows.len());
            prop_assert_eq!(read, Ok(rows.len()));
            let at = 1 + fall.index(rows.len() - 1);
            rows[at][1] = rows[at - 1][1];
            let told = told(&text(&rows));
            let named = format!("line {}: thrust", at + 2);
            prop_assert!(told.iter().any(|fault| fault.starts_with(&named)), "{:?}", told);
        }
    }
}
