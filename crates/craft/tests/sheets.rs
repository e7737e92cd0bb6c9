//! Locks: what is told of each sheet in `sheets/`, one flaw a file, named for its flaw.
//!
//! `UPDATE_EXPECT=1 cargo test -p craft --test sheets` writes the snapshots anew; read them by eye.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use craft::sheet::{manual, read_sheet_bytes};
use craft::{read_sheet, rewrite_sheet, write_sheet};
use expect_test::expect_file;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

fn sheets(folder: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/sheets").join(folder);
    let mut found: Vec<PathBuf> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    found.sort();
    assert!(!found.is_empty());
    found
}

/// What is told of every sheet of a folder, file by file.
fn told(folder: &str) -> String {
    let mut text = String::new();
    for path in sheets(folder) {
        writeln!(text, "{}", path.file_name().unwrap().to_string_lossy()).unwrap();
        let reading = read_sheet_bytes(&std::fs::read(&path).unwrap());
        assert_eq!(reading.is_refused(), folder == "refused", "{}", path.display());
        for fault in &reading.faults {
            writeln!(text, "  {fault}").unwrap();
        }
    }
    text
}

#[test]
fn whole_sheets_are_read_without_a_word() {
    for path in sheets("whole") {
        let text = std::fs::read_to_string(&path).unwrap();
        let reading = read_sheet(&text);
        assert_eq!(reading.faults, [], "{}", path.display());
        assert_eq!(read_sheet(&write_sheet(&reading.craft)).craft, reading.craft, "{}", path.display());
        assert_eq!(rewrite_sheet(&text, &reading.craft), text, "{}", path.display());
    }
}

#[test]
fn partial_sheets_open_and_say_what_they_noticed() {
    expect_file!["sheets/partial.txt"].assert_eq(&told("partial"));
}

#[test]
fn refused_sheets_say_all_that_is_wrong_and_where() {
    expect_file!["sheets/refused.txt"].assert_eq(&told("refused"));
}

#[test]
fn the_example_of_the_manual_reads_without_a_word() {
    let manual = manual();
    assert_eq!(read_sheet(&manual.example).faults, []);
    expect_file!["sheets/manual_example.txt"].assert_eq(&manual.example);
}
