//! Faults of a vector file: the sound file spoilt in one way, with what is told.
#![allow(clippy::unwrap_used)]

use super::*;

const SOUND: &str = r#"
[source]
title = "a handbook, 3rd edition"
place = "table 2"
grade = "published value"

[made_by]
script = "make.py"
versions = { numpy = "2.4.6" }

[[check]]
kind = "sum"
asks = "one and two"
given = { a = 1, b = 2.0 }
expect = { sum = 3 }
within = { sum = 0.001, because = "printed to three places" }
"#;

/// The faults after one text in the sound file is replaced by another.
fn check(sound: &str, spoilt: &str, expected: &[&str]) {
    assert!(SOUND.contains(sound), "the sound file has no {sound:?}");
    let (_, faults) = read_vectors("folder/file.toml", &SOUND.replace(sound, spoilt));
    let words: Vec<String> = faults.iter().map(ToString::to_string).collect();
    assert_eq!(words, expected);
}

#[test]
fn the_sound_file_is_read_whole() {
    let (vectors, faults) = read_vectors("folder/file.toml", SOUND);
    assert_eq!(faults, []);
    assert_eq!(vectors.made_by, Some(MadeBy { script: "make.py".into(), versions: "numpy 2.4.6".into() }));
    let [check] = &vectors.checks[..] else { panic!("one row, not {}", vectors.checks.len()) };
    assert_eq!((check.line, check.kind.as_str(), check.skip.as_deref()), (11, "sum", None));
    assert_eq!(check.expected, [Expected { key: "sum".into(), value: 3.0, allowed: 0.001 }]);
    assert_eq!(check.source.grade, Grade::PublishedValue);
    assert_eq!(check.given.get("b").and_then(Item::as_float), Some(2.0));
}

#[test]
fn a_check_overrides_the_source_line_by_line() {
    let text = SOUND
        .replace("kind = \"sum\"", "kind = \"sum\"\nsource = { place = \"table 7\", grade = \"memory\" }");
    let (vectors, faults) = read_vectors("folder/file.toml", &text);
    assert_eq!(faults, []);
    let source = &vectors.checks[0].source;
    assert_eq!((source.title.as_str(), source.place.as_str()), ("a handbook, 3rd edition", "table 7"));
    assert_eq!(source.grade, Grade::Memory);
}

#[test]
fn broken_toml_names_file_and_line() {
    let (_, faults) = read_vectors("folder/file.toml", "[source]\ntitle = \"open\nplace = 1\n");
    assert_eq!(faults.len(), 1);
    assert!(faults[0].to_string().starts_with("folder/file.toml:2: "), "{}", faults[0]);
}

#[test]
fn a_file_without_rows_is_a_fault() {
    let head = SOUND.split("[[check]]").next().unwrap();
    let (_, faults) = read_vectors("folder/file.toml", head);
    assert_eq!(faults.iter().map(|fault| &fault.kind).collect::<Vec<_>>(), [&FaultKind::NoRows]);
    let (_, faults) = read_vectors("folder/file.toml", "");
    assert_eq!(faults.len(), 1);
}

#[test]
fn a_row_without_source_is_a_fault() {
    check(
        "title = \"a handbook, 3rd edition\"\nplace = \"table 2\"\n",
        "",
        &[
            "folder/file.toml:9: source needs `title = \"…\"`: the document with its edition",
            "folder/file.toml:9: source needs `place = \"…\"`: table, equation, clause or call",
        ],
    );
    check(
        "place = \"table 2\"",
        "place = \" \"",
        &["folder/file.toml:11: source needs `place = \"…\"`: table, equation, clause or call"],
    );
}

#[test]
fn an_unknown_grade_is_a_fault() {
    check(
        "published value",
        "hearsay",
        &[
            "folder/file.toml:11: grade `hearsay` is unknown; take one of: published value, reference program, \
         worked from the standard, common practice, memory",
        ],
    );
}

#[test]
fn a_tolerance_without_reason_is_a_fault() {
    check(
        ", because = \"printed to three places\"",
        "",
        &["folder/file.toml:11: within needs `because = \"…\"`: why that much may differ"],
    );
}

#[test]
fn a_row_without_tolerance_is_a_fault() {
    check(
        "sum = 0.001, ",
        "",
        &["folder/file.toml:11: `sum` is expected but `within` says no tolerance for it"],
    );
    check(
        "within = { sum = 0.001, because = \"printed to three places\" }",
        "",
        &["folder/file.toml:11: check needs `within = { … }`"],
    );
    check(
        "sum = 0.001",
        "sum = inf",
        &["folder/file.toml:11: tolerance of `sum` must be a finite number of 0 or more"],
    );
    check(
        "sum = 0.001",
        "sum = -1",
        &["folder/file.toml:11: tolerance of `sum` must be a finite number of 0 or more"],
    );
}

#[test]
fn a_tolerance_for_nothing_is_a_fault() {
    check(
        "sum = 0.001",
        "sum = 0.001, total = 1",
        &["folder/file.toml:11: `total` has a tolerance but is not expected"],
    );
}

#[test]
fn a_row_that_expects_nothing_is_a_fault() {
    check(
        "expect = { sum = 3 }",
        "expect = {}",
        &[
            "folder/file.toml:11: check needs `expect = { … }`",
            "folder/file.toml:11: `sum` has a tolerance but is not expected",
        ],
    );
    check("sum = 3", "sum = \"3\"", &["folder/file.toml:11: `sum` of expect must be a number"]);
    check("sum = 3", "sum = nan", &["folder/file.toml:11: `sum` of expect must be a number"]);
}

#[test]
fn a_skip_without_reason_is_a_fault() {
    for skip in ["skip = \"\"", "skip = true"] {
        check(
            "kind = \"sum\"",
            &format!("kind = \"sum\"\n{skip}"),
            &["folder/file.toml:11: check needs `skip = \"…\"`: a skip without a reason is a lost check"],
        );
    }
}

#[test]
fn a_key_that_nobody_reads_is_a_fault() {
    check(
        "kind = \"sum\"",
        "kind = \"sum\"\nexpects = { sum = 3 }",
        &[
            "folder/file.toml:13: `expects` is no key of check; known are kind, asks, given, expect, within, source, skip",
        ],
    );
}

#[test]
fn the_same_question_twice_is_a_fault() {
    let row = &SOUND[SOUND.find("[[check]]").unwrap()..];
    let (vectors, faults) = read_vectors("folder/file.toml", &format!("{SOUND}{row}"));
    assert_eq!(vectors.checks.len(), 1);
    assert_eq!(faults[0].kind, FaultKind::AskedTwice("one and two".into()));
}

#[test]
fn vectors_made_by_a_script_note_its_versions() {
    check(
        "versions = { numpy = \"2.4.6\" }",
        "",
        &["folder/file.toml:7: made_by needs `versions = \"…\"`: what the script called, with versions"],
    );
}
