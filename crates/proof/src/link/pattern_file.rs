//! A measured antenna pattern from a table of text: which gain lies in which direction?
//!
//! Its columns are `off` (the angle off the mast or off the aim, 0 to 180°), `gain` (dBi) and, unless the pattern is round, `round` (the angle
//! round that axis); where they were measured, `hand` (right or left) and `axial ratio` (dB). Any other is passed over. How a table is
//! written, `text_table.rs` says. All faults are told at once, each with its line.
//! Whether the rows make a pattern is for `radio` to say, of a file as of a sheet.

use crate::text_table::{FAULTS_MAX, TableFault, TextTable};
use quantity::{Basis, Db, Dbi, Degrees, DoubtKind};
use radio::{Hand, MeasuredPattern, MeasuredRow, RadioFault, rows_twice};
use std::fmt;

/// The most rows of a table: two degrees by two degrees and more.
const ROWS_MAX: usize = 20_000;
/// The columns of numbers, and that of a word.
const COLUMNS: [&str; 4] = ["off", "gain", "round", "axial ratio"];
const HAND: &str = "hand";
/// Columns that need not be there begin here.
const NEEDED: usize = 2;

/// What each column of numbers may hold.
fn limits(column: usize) -> [f64; 2] {
    match column {
        0 => MeasuredRow::OFF.map(Degrees::get),
        1 => MeasuredRow::GAIN.map(Dbi::get),
        2 => MeasuredRow::ROUND.map(Degrees::get),
        _ => MeasuredRow::AXIAL_RATIO.map(Db::get),
    }
}

/// What is wrong with a table.
#[derive(Clone, Debug, PartialEq)]
pub enum PatternFault {
    /// No line but comments.
    Empty,
    /// What any table may have wrong.
    Table(TableFault),
    /// A column that must be there is not.
    NoColumn(&'static str),
    /// A word that is no hand.
    NoHand {
        /// Its line.
        line: usize,
        /// What stands there.
        text: String,
    },
    /// A column of hands, and none of axial ratios, or the other way about.
    Alone {
        /// The column that is there.
        there: &'static str,
        /// The one that is not.
        absent: &'static str,
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
    /// An angle under nought, as a cut from -180 to 180 degrees has them.
    OtherSide {
        /// The line.
        line: usize,
        /// As it stands there.
        text: String,
    },
}

/// Whether a cell has an angle on the other side of the axis.
fn other_side(cell: &str) -> bool {
    let angle = cell.trim().replace(['−', '–'], "-").replace(',', ".").parse::<f64>();
    angle.is_ok_and(|angle| (-180.0..0.0).contains(&angle))
}

impl PatternFault {
    /// The line it is about; nought if it is about the whole.
    const fn line(&self) -> usize {
        match self {
            PatternFault::Table(fault) => fault.line(),
            PatternFault::NoHand { line, .. }
            | PatternFault::Twice { line, .. }
            | PatternFault::OtherSide { line, .. } => *line,
            _ => 0,
        }
    }
}

impl fmt::Display for PatternFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PatternFault::Empty => {
                f.write_str("the table has no line; its first names the columns: off, gain, round")
            }
            PatternFault::Table(fault) => fault.fmt(f),
            PatternFault::NoColumn(column) => {
                write!(
                    f,
                    "line 1 names no column \"{column}\"; name the columns off, gain and, if it is not round, round"
                )
            }
            PatternFault::Twice { line, first } => {
                write!(f, "line {line}: this direction stands on line {first} already; leave one out")
            }
            PatternFault::Whole(fault) => fault.fmt(f),
            PatternFault::OtherSide { line, text } => write!(
                f,
                "line {line}: off {text} lies on the other side of the axis; write it without its sign and with round 180, and the rows \
                 over nought with round 0"
            ),
            PatternFault::NoHand { line, text } => {
                write!(f, "line {line}: hand {text:?} is neither right nor left")
            }
            PatternFault::Alone { there, absent } => write!(
                f,
                "line 1 names a column \"{there}\" and none \"{absent}\"; name both, or neither and leave them to the \
                 antenna's own fields"
            ),
        }
    }
}

/// How far too high the gains of such a table may be: they go to the sheet as measured, with the doubt that measured gains have.
fn table_doubt() -> Db {
    Db::new(DoubtKind::AntennaGain.default_doubt(Basis::Measured, 0.0).minus)
}

/// The rows of a table, with the pattern they make.
pub fn read_pattern(text: &str) -> Result<(Vec<MeasuredRow>, MeasuredPattern), Vec<PatternFault>> {
    let Some(table) = TextTable::of(text) else { return Err(vec![PatternFault::Empty]) };
    let (at, hand_at) = (COLUMNS.map(|column| table.place(column)), table.place(HAND));
    let absent: Vec<PatternFault> = COLUMNS[..NEEDED]
        .iter()
        .zip(at)
        .filter(|(_, at)| at.is_none())
        .map(|(column, _)| PatternFault::NoColumn(column))
        .collect();
    if !absent.is_empty() {
        return Err(absent);
    }
    match (hand_at, at[3]) {
        (Some(_), None) => return Err(vec![PatternFault::Alone { there: HAND, absent: COLUMNS[3] }]),
        (None, Some(_)) => return Err(vec![PatternFault::Alone { there: COLUMNS[3], absent: HAND }]),
        _ => {}
    }
    if table.rows() > ROWS_MAX {
        let enough = "every second degree is enough";
        return Err(vec![PatternFault::Table(TableFault::Long { most: ROWS_MAX, enough })]);
    }
    let (mut rows, mut faults) = (Vec::new(), Vec::new());
    // The line that each row stands on.
    let mut stands: Vec<usize> = Vec::new();
    for read in table.each() {
        if faults.len() >= FAULTS_MAX {
            break;
        }
        let (line, cells) = match read {
            Ok(read) => read,
            Err(fault) => {
                faults.push(PatternFault::Table(fault));
                continue;
            }
        };
        let before = faults.len();
        let mut values = [0.0; COLUMNS.len()];
        for (n, at) in at.iter().enumerate() {
            let Some(cell) = at.and_then(|at| cells.get(at)) else { continue };
            match table.number(line, COLUMNS[n], cell, limits(n)) {
                Ok(value) => values[n] = value,
                Err(_) if COLUMNS[n] == "off" && other_side(cell) => {
                    faults.push(PatternFault::OtherSide { line, text: (*cell).to_owned() });
                }
                Err(fault) => faults.push(PatternFault::Table(fault)),
            }
        }
        let word = hand_at.and_then(|at| cells.get(at));
        let hand = match word.map(|word| word.to_lowercase()).as_deref() {
            None => None,
            Some("right") => Some(Hand::Right),
            Some("left") => Some(Hand::Left),
            Some(_) => {
                faults.push(PatternFault::NoHand {
                    line,
                    text: word.map_or(String::new(), |word| (*word).to_owned()),
                });
                None
            }
        };
        if faults.len() > before {
            continue;
        }
        let [off, gain, round, ratio] = values;
        let row = MeasuredRow::new(Degrees::new(off), Degrees::new(round), Dbi::new(gain));
        rows.push(hand.map_or(row, |hand| row.sending(hand, Db::new(ratio))));
        stands.push(line);
    }
    for [first, again] in rows_twice(&rows) {
        faults.push(PatternFault::Twice { line: stands[again], first: stands[first] });
    }
    if !faults.is_empty() {
        faults.sort_by_key(PatternFault::line);
        faults.truncate(FAULTS_MAX);
        return Err(faults);
    }
    let pattern =
        MeasuredPattern::new(&rows, table_doubt()).map_err(|fault| vec![PatternFault::Whole(fault)])?;
    Ok((rows, pattern))
}

/// The rows as they stand on a sheet, under a heading such as `part.omni.cut`, with the antenna they are of where a station has
/// several.
pub fn pattern_on_sheet(rows: &[MeasuredRow], heading: &str, antenna: Option<&str>) -> String {
    let of = antenna.map(|name| format!("antenna = {name:?}\n")).unwrap_or_default();
    let row = |row: &MeasuredRow| {
        let MeasuredRow { off, round, gain, sent } = row;
        let sent = sent.map_or(String::new(), |(hand, ratio)| {
            format!("hand = \"{}\"\naxial_ratio = \"{ratio}, measured\"\n", hand_word(hand))
        });
        format!(
            "[[{heading}]]\n{of}off = \"{off}\"\nround = \"{round}\"\ngain = \"{gain}, measured\"\n{sent}"
        )
    };
    rows.iter().map(row).collect::<Vec<_>>().join("\n")
}

/// A hand as a sheet and a table say it.
pub const fn hand_word(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "right",
        Hand::Left => "left",
    }
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
        assert!((0.5..6.0).contains(&pattern.directivity().get()));
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
                "line 4: off 200 must lie between 0 and 180; check the unit",
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
    fn a_cut_through_both_sides_is_told_how_to_stand() {
        assert_eq!(
            told("off,gain\n-90,1\n0,2\n90,1\n180,-3\n"),
            [
                "line 2: off -90 lies on the other side of the axis; write it without its sign and with round 180, and the rows over \
              nought with round 0"
            ]
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
                "with these gains the antenna radiates 1 % of its power, and the worst radiate 5 %; enter gains over an isotropic \
                 antenna in dBi, not over their own greatest, and not losses"
            ]
        );
    }

    #[test]
    fn hand_and_axial_ratio_are_read_and_stand_on_the_sheet() {
        let text =
            "off (°);gain (dBi);axial ratio (dB);hand\n0;6,5;1,2;left\n90;-6;9;Left\n180;-14;4;right\n";
        let (rows, pattern) = read_pattern(text).unwrap_or_else(|faults| unreachable!("{faults:?}"));
        let sent = pattern.polarisation_at_greatest();
        assert_eq!(sent.and_then(radio::Polarisation::hand), Some(Hand::Left));
        let sheet = pattern_on_sheet(&rows[2..], "part.p.cut", None);
        assert_eq!(
            sheet,
            "[[part.p.cut]]\noff = \"180°\"\nround = \"0°\"\ngain = \"-14 dBi, measured\"\nhand = \"right\"\naxial_ratio = \"4 dB, \
             measured\"\n"
        );
        assert_eq!(
            told("off,gain,hand,axial ratio\n0,1,up,2\n90,1,left,-1\n180,0,left,2\n"),
            [
                "line 2: hand \"up\" is neither right nor left",
                "line 3: axial ratio -1 must lie between 0 and 60; check the unit",
            ]
        );
        assert_eq!(
            told("off,gain,hand\n0,1,left\n"),
            [
                "line 1 names a column \"hand\" and none \"axial ratio\"; name both, or neither and leave them to the antenna's own \
              fields"
            ]
        );
    }

    #[test]
    fn one_line_on_the_axis_is_enough() {
        let mut text = "off,round,gain\n0,0,-9\n180,0,-14\n".to_owned();
        for round in [0, 120, 240] {
            text.push_str(&format!("60,{round},1\n120,{round},0\n"));
        }
        assert_eq!(told(&text), Vec::<String>::new());
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
