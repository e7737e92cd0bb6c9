//! What a run of the checks found, as data for the manual's page and as a table for the terminal.
//!
//! A row is *passed*, *failed* or *skipped*; a fault is a row or file that could not be trusted to be run at
//! all. A run is sound when nothing failed and there is no fault. The counts by grade say how much of the
//! agreement rests on printed values and how much on custom.

use std::fmt::Write;

use quantity::Grade;
use serde::Serialize;

use crate::fault::Fault;
use crate::row::{MadeBy, RowSource};

/// One value held against the outside.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Compared {
    /// What the value is called in the vectors, its unit last.
    pub key: String,
    /// What the source says.
    pub expected: f64,
    /// What our code says.
    pub ours: f64,
    /// Ours less expected.
    pub difference: f64,
    /// How large the difference may be.
    pub allowed: f64,
    /// Whether it is no larger.
    pub agrees: bool,
}

/// How a row fared.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// Every expected value agrees.
    Passed,
    /// What does not agree, a line each.
    Failed(Vec<String>),
    /// Why it was not run.
    Skipped(String),
}

/// One check as it came out.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Row {
    /// The vector file below `conformance/`.
    pub file: String,
    /// The line of the row in it.
    pub line: usize,
    /// What the adapter was asked for.
    pub kind: String,
    /// The question in words.
    pub asks: String,
    /// The values given, each as `key = value`.
    pub given: Vec<String>,
    /// The values compared.
    pub values: Vec<Compared>,
    /// Why that much may differ.
    pub because: String,
    /// Where the expected values come from.
    pub source: RowSource,
    /// The script that made them, if one did.
    pub made_by: Option<MadeBy>,
    /// How it fared.
    pub outcome: Outcome,
}

/// The passed checks of one grade.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct GradeCount {
    /// The grade.
    pub grade: Grade,
    /// The grade in words.
    pub words: &'static str,
    /// How many checks of it passed.
    pub passed: usize,
}

/// All checks of one run.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Report {
    /// The rows, by file and in file order.
    pub rows: Vec<Row>,
    /// What is wrong with the vector files themselves.
    pub faults: Vec<Fault>,
}

impl Report {
    /// Nothing failed and every file could be trusted.
    pub fn is_sound(&self) -> bool {
        self.failed() == 0 && self.faults.is_empty()
    }

    /// How many rows agree with the outside.
    pub fn passed(&self) -> usize {
        self.rows.iter().filter(|row| row.outcome == Outcome::Passed).count()
    }

    /// How many rows do not.
    pub fn failed(&self) -> usize {
        self.rows.iter().filter(|row| matches!(row.outcome, Outcome::Failed(_))).count()
    }

    /// How many rows were left out, with their reason.
    pub fn skipped(&self) -> usize {
        self.rows.iter().filter(|row| matches!(row.outcome, Outcome::Skipped(_))).count()
    }

    /// The passed checks by grade, strongest first, grades without a check included.
    pub fn by_grade(&self) -> Vec<GradeCount> {
        let passed = |grade| {
            let of_grade = |row: &&Row| row.source.grade == grade && row.outcome == Outcome::Passed;
            self.rows.iter().filter(of_grade).count()
        };
        let count = |grade: Grade| GradeCount { grade, words: grade.words(), passed: passed(grade) };
        Grade::ALL.into_iter().map(count).collect()
    }

    /// Every failure and fault, a line each; empty when the run is sound.
    pub fn failures(&self) -> String {
        let mut lines: Vec<String> = self.faults.iter().map(|fault| format!("fault   {fault}")).collect();
        for row in &self.rows {
            if let Outcome::Failed(reasons) = &row.outcome {
                let told = reasons
                    .iter()
                    .map(|reason| format!("failed  {}:{}: {}: {reason}", row.file, row.line, row.asks));
                lines.extend(told);
            }
        }
        lines.join("\n")
    }

    /// The whole run as a table, closed by the counts by grade and by `N checks passed`.
    pub fn table(&self) -> String {
        let mut out = String::new();
        let mut file = "";
        for row in &self.rows {
            if row.file != file {
                file = &row.file;
                heading(&mut out, row);
            }
            row_lines(&mut out, row);
        }
        out.push_str("\npassed checks by grade\n");
        for count in self.by_grade() {
            let _ = writeln!(out, "{:>6}  {}", count.passed, count.words);
        }
        let failures = self.failures();
        if !failures.is_empty() {
            let _ = writeln!(out, "\n{failures}");
        }
        let _ = write!(out, "\n{} checks passed", self.passed());
        for (count, word) in [
            (self.failed(), "failed"),
            (self.skipped(), "skipped"),
            (self.faults.len(), "faults in the files"),
        ] {
            if count > 0 {
                let _ = write!(out, ", {count} {word}");
            }
        }
        out.push('\n');
        out
    }
}

fn heading(out: &mut String, row: &Row) {
    let RowSource { title, place, grade } = &row.source;
    let _ = writeln!(out, "\n{}\n  {title}, {place} ({})", row.file, grade.words());
    if let Some(MadeBy { script, versions }) = &row.made_by {
        let _ = writeln!(out, "  made by {script} with {versions}");
    }
    let _ = writeln!(
        out,
        "  {:<58} {:<20} {:>13} {:>13} {:>11} {:>10}  {:<8} grade",
        "asked", "value", "expected", "ours", "difference", "allowed", ""
    );
}

fn row_lines(out: &mut String, row: &Row) {
    let grade = row.source.grade.words();
    if row.values.is_empty() {
        let (word, why) = match &row.outcome {
            Outcome::Skipped(reason) => ("skipped", reason.as_str()),
            Outcome::Failed(reasons) => ("FAILED", reasons.first().map_or("", String::as_str)),
            Outcome::Passed => ("", ""),
        };
        let _ = writeln!(out, "  {:<58} {word}: {why} ({grade})", shortened(&row.asks, 58));
    }
    for (index, value) in row.values.iter().enumerate() {
        let asks = if index == 0 { shortened(&row.asks, 58) } else { String::new() };
        let _ = writeln!(
            out,
            "  {asks:<58} {:<20} {:>13} {:>13} {:>11} {:>10}  {:<8} {grade}",
            shortened(&value.key, 20),
            number(value.expected),
            number(value.ours),
            number(value.difference),
            number(value.allowed),
            if value.agrees { "agrees" } else { "DIFFERS" },
        );
    }
}

fn shortened(text: &str, columns: usize) -> String {
    if text.chars().count() <= columns {
        return text.to_owned();
    }
    let kept: String = text.chars().take(columns - 1).collect();
    kept + "…"
}

/// A number with at most six decimals, or with an exponent where those would hide it.
fn number(value: f64) -> String {
    let size = value.abs();
    if size != 0.0 && !(1e-4..1e7).contains(&size) {
        return if size < 1e-15 { "0".to_owned() } else { format!("{value:.2e}") };
    }
    let fixed = format!("{value:.6}");
    let trimmed = fixed.trim_end_matches('0').trim_end_matches('.');
    trimmed.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fault::FaultKind;

    fn row(asks: &str, grade: Grade, outcome: Outcome) -> Row {
        let agrees = outcome == Outcome::Passed;
        Row {
            file: "sums/a.toml".into(),
            line: 7,
            kind: "sum".into(),
            asks: asks.into(),
            given: vec!["a = 1".into()],
            values: vec![Compared {
                key: "sum".into(),
                expected: 3.0,
                ours: 3.00025,
                difference: 0.00025,
                allowed: 0.001,
                agrees,
            }],
            because: "binary fractions".into(),
            source: RowSource { title: "arithmetic".into(), place: "sums".into(), grade },
            made_by: None,
            outcome,
        }
    }

    #[test]
    fn the_table_closes_with_the_number_passed() {
        let rows = vec![
            row("one and two", Grade::PublishedValue, Outcome::Passed),
            row("two and one", Grade::Memory, Outcome::Passed),
        ];
        let report = Report { rows, faults: vec![] };
        assert!(report.is_sound());
        let table = report.table();
        assert!(table.ends_with("\n2 checks passed\n"), "{table}");
        assert!(table.contains("     1  published value\n     0  reference program\n"), "{table}");
        assert!(
            table.contains("3.00025") && table.contains("0.00025") && table.contains("agrees"),
            "{table}"
        );
    }

    #[test]
    fn failures_are_listed_and_counted_apart() {
        let rows = vec![
            row("one and two", Grade::Memory, Outcome::Failed(vec!["`sum`: 4 instead of 3".into()])),
            row("two and two", Grade::Memory, Outcome::Skipped("under review".into())),
        ];
        let faults = vec![Fault { file: "sums/b.toml".into(), line: 0, kind: FaultKind::NoRows }];
        let report = Report { rows, faults };
        let table = report.table();
        assert!(table.contains("failed  sums/a.toml:7: one and two: `sum`: 4 instead of 3"), "{table}");
        assert!(table.contains("fault   sums/b.toml: no [[check]]"), "{table}");
        assert!(table.ends_with("0 checks passed, 1 failed, 1 skipped, 1 faults in the files\n"), "{table}");
        assert_eq!(report.by_grade().iter().map(|count| count.passed).sum::<usize>(), 0);
    }

    #[test]
    fn numbers_stay_readable_at_both_ends() {
        let shown: Vec<String> =
            [0.0, 3.0, -0.4, 1.25e-6, 4e-17, 123456.789, 2.5e9, f64::INFINITY, 12.3456789].map(number).into();
        assert_eq!(shown, ["0", "3", "-0.4", "1.25e-6", "0", "123456.789", "2.50e9", "inf", "12.345679"]);
    }
}
