//! Do our computations agree with the outside?
//!
//! Hands each row of the embedded vector files to the adapter that its folder names and compares value by
//! value: |ours − expected| ≤ allowed. A value that is not answered, an adapter that refuses and a NaN are
//! disagreements, never silence. Keys answered beyond those expected are left alone: an adapter may answer
//! with witnesses that one source prints and another does not.

use std::collections::BTreeMap;

use toml_edit::Table;

use crate::fault::{Fault, FaultKind};
use crate::read::read_vectors;
use crate::report::{Compared, Outcome, Report, Row};
use crate::row::{Check, MadeBy};
use crate::{doubt, faults, firmware, geometry, optics, power, radio, wiring};

/// Answers one question: what is asked, with which values, gives these values; or why it cannot.
type Adapter = fn(kind: &str, given: &Table) -> Result<BTreeMap<String, f64>, String>;

/// The adapters by the folder whose vectors they answer.
const ADAPTERS: &[(&str, Adapter)] = &[
    ("doubt", doubt::answer),
    ("faults", faults::answer),
    ("firmware", firmware::answer),
    ("geometry", geometry::answer),
    ("optics", optics::answer),
    ("power", power::answer),
    ("radio", radio::answer),
    ("wiring", wiring::answer),
];

/// The vector files as they were when this was built: name below `conformance/`, text.
const VECTORS: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/vectors.rs"));

/// Runs every check of every vector file.
pub fn run_all() -> Report {
    run(VECTORS, ADAPTERS)
}

fn run(files: &[(&str, &str)], adapters: &[(&str, Adapter)]) -> Report {
    let mut report = Report::default();
    if files.is_empty() {
        report.faults.push(Fault { file: "conformance".into(), line: 0, kind: FaultKind::NoFiles });
    }
    for (file, text) in files {
        let (vectors, faults) = read_vectors(file, text);
        report.faults.extend(faults);
        let folder = file.split('/').next().unwrap_or_default();
        match adapters.iter().find(|(name, _)| *name == folder) {
            Some((_, answer)) => {
                let made_by = &vectors.made_by;
                report
                    .rows
                    .extend(vectors.checks.into_iter().map(|check| ask(file, made_by, check, *answer)));
            }
            None => {
                let kind = FaultKind::NoAdapter(folder.to_owned());
                report.faults.push(Fault { file: (*file).to_owned(), line: 0, kind });
            }
        }
    }
    report
}

fn ask(file: &str, made_by: &Option<MadeBy>, check: Check, answer: Adapter) -> Row {
    let (values, outcome) = match &check.skip {
        Some(reason) => (Vec::new(), Outcome::Skipped(reason.clone())),
        None => compare(&check, answer(&check.kind, &check.given)),
    };
    Row {
        file: file.to_owned(),
        line: check.line,
        given: check.given.iter().map(|(key, item)| format!("{key} = {}", item.to_string().trim())).collect(),
        kind: check.kind,
        asks: check.asks,
        values,
        because: check.because,
        source: check.source,
        made_by: made_by.clone(),
        outcome,
    }
}

fn compare(check: &Check, answer: Result<BTreeMap<String, f64>, String>) -> (Vec<Compared>, Outcome) {
    let answer = match answer {
        Ok(answer) => answer,
        Err(reason) => return (Vec::new(), Outcome::Failed(vec![format!("no answer: {reason}")])),
    };
    let mut values = Vec::new();
    let mut wrong = Vec::new();
    for expected in &check.expected {
        let Some(&ours) = answer.get(&expected.key) else {
            let known: Vec<&str> = answer.keys().map(String::as_str).collect();
            wrong.push(format!("`{}` is not answered; answered are: {}", expected.key, known.join(", ")));
            continue;
        };
        // Equal infinities differ by nothing; their subtraction would say NaN.
        let difference = if ours == expected.value { 0.0 } else { ours - expected.value };
        let agrees = difference.abs() <= expected.allowed;
        if !agrees {
            wrong.push(format!(
                "`{}`: {ours} instead of {}; {} may differ",
                expected.key, expected.value, expected.allowed
            ));
        }
        values.push(Compared {
            key: expected.key.clone(),
            expected: expected.value,
            ours,
            difference,
            allowed: expected.allowed,
            agrees,
        });
    }
    let outcome = if wrong.is_empty() { Outcome::Passed } else { Outcome::Failed(wrong) };
    (values, outcome)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    const SUMS: &str = r#"
[source]
title = "arithmetic"
place = "sums"
grade = "worked from the standard"

[[check]]
kind = "sum"
asks = "one and two"
given = { a = 1.0, b = 2.0 }
expect = { sum = 3.0 }
within = { sum = 0.001, because = "binary fractions" }
"#;

    fn sums(kind: &str, given: &Table) -> Result<BTreeMap<String, f64>, String> {
        let value = |key: &str| given.get(key).and_then(|item| item.as_float()).ok_or(format!("no `{key}`"));
        match kind {
            "sum" => Ok(BTreeMap::from([("sum".into(), value("a")? + value("b")?), ("terms".into(), 2.0)])),
            "lost" => Ok(BTreeMap::from([("sum".into(), f64::NAN)])),
            other => Err(format!("unknown kind `{other}`")),
        }
    }

    /// How the one row fares after one text in it is replaced by another.
    fn check(sound: &str, spoilt: &str, expected: Outcome) {
        assert!(SUMS.contains(sound), "the sound file has no {sound:?}");
        let report = run(&[("sums/a.toml", &SUMS.replace(sound, spoilt))], &[("sums", sums)]);
        assert_eq!(report.faults, []);
        let outcomes: Vec<&Outcome> = report.rows.iter().map(|row| &row.outcome).collect();
        assert_eq!(outcomes, [&expected]);
        assert_eq!(report.is_sound(), !matches!(expected, Outcome::Failed(_)));
    }

    fn failed(words: &str) -> Outcome {
        Outcome::Failed(vec![words.to_owned()])
    }

    #[test]
    fn agreement_within_the_tolerance_passes() {
        check("sum = 3.0", "sum = 3.0009", Outcome::Passed);
    }

    #[test]
    fn a_difference_beyond_the_tolerance_fails() {
        check("sum = 3.0", "sum = 3.5", failed("`sum`: 3 instead of 3.5; 0.001 may differ"));
    }

    #[test]
    fn an_answer_that_is_no_number_fails() {
        check("kind = \"sum\"", "kind = \"lost\"", failed("`sum`: NaN instead of 3; 0.001 may differ"));
    }

    #[test]
    fn an_unknown_kind_fails() {
        check("kind = \"sum\"", "kind = \"product\"", failed("no answer: unknown kind `product`"));
    }

    #[test]
    fn an_expected_value_that_is_not_answered_fails() {
        let text = SUMS.replace("sum = 3.0 }", "total = 3.0 }").replace("sum = 0.001", "total = 0.001");
        let report = run(&[("sums/a.toml", &text)], &[("sums", sums)]);
        assert_eq!(report.rows[0].outcome, failed("`total` is not answered; answered are: sum, terms"));
    }

    #[test]
    fn a_skipped_row_stays_visible_and_is_not_counted_as_passed() {
        check(
            "kind = \"sum\"",
            "kind = \"sum\"\nskip = \"the source is being checked\"",
            Outcome::Skipped("the source is being checked".into()),
        );
        let text = SUMS.replace("kind = \"sum\"", "kind = \"sum\"\nskip = \"the source is being checked\"");
        let report = run(&[("sums/a.toml", &text)], &[("sums", sums)]);
        assert_eq!((report.passed(), report.failed(), report.skipped()), (0, 0, 1));
    }

    #[test]
    fn a_folder_without_adapter_is_a_fault() {
        let report = run(&[("sums/a.toml", SUMS)], &[]);
        assert_eq!(report.faults[0].kind, FaultKind::NoAdapter("sums".into()));
        assert!(!report.is_sound());
    }

    #[test]
    fn nothing_to_run_is_a_fault() {
        let report = run(&[], &[("sums", sums)]);
        assert_eq!(report.faults[0].kind, FaultKind::NoFiles);
        assert!(!report.is_sound());
    }

    #[test]
    fn a_faulty_row_beside_a_sound_one_spoils_the_run() {
        let text = format!("{SUMS}\n[[check]]\nkind = \"sum\"\n");
        let report = run(&[("sums/a.toml", &text)], &[("sums", sums)]);
        assert_eq!(report.passed(), 1);
        assert!(!report.faults.is_empty() && !report.is_sound());
    }

    #[test]
    fn every_check_agrees_with_the_outside() {
        let report = run_all();
        assert!(report.is_sound(), "{}", report.failures());
    }
}
