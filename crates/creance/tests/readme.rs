//! What `README.md` shows of the program is what the program says.
//!
//! A block marked `console` is what was typed in the project's folder: lines after `$ ` are run, one after
//! the other, beside a copy of the demo, and the lines below must be what comes out. A line `…` stands
//! for any lines, a line that ends in ` …` for one that begins so.

#![allow(clippy::unwrap_used)]

use std::path::Path;
use std::process::Command;

struct Shown<'a> {
    command: &'a str,
    lines: Vec<&'a str>,
}

fn shown(readme: &str) -> Vec<Shown<'_>> {
    let mut all: Vec<Shown> = Vec::new();
    let mut inside = false;
    for line in readme.lines() {
        match line.strip_prefix("```") {
            Some(kind) => inside = kind == "console",
            None if !inside => {}
            None => match (line.strip_prefix("$ creance "), all.last_mut()) {
                (Some(command), _) => all.push(Shown { command, lines: Vec::new() }),
                (None, Some(last)) => last.lines.push(line),
                (None, None) => panic!("the README shows output before any command: {line}"),
            },
        }
    }
    all
}

/// Whether the lines that came out are the ones shown.
fn agree(shown: &[&str], said: &[&str]) -> bool {
    match (shown, said) {
        ([], []) => true,
        (["…", rest @ ..], _) => (0..=said.len()).any(|skipped| agree(rest, &said[skipped..])),
        ([first, shown @ ..], [line, said @ ..]) => {
            let alike = first.strip_suffix(" …").map_or(first == line, |begins| line.starts_with(begins));
            alike && agree(shown, said)
        }
        _ => false,
    }
}

#[test]
fn the_output_shown_is_what_the_program_says() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let readme = std::fs::read_to_string(root.join("README.md")).unwrap();
    let home = tempfile::tempdir().unwrap();
    // What the commands write must not stay in the project's folder.
    std::fs::create_dir(home.path().join("demo")).unwrap();
    for sheet in std::fs::read_dir(root.join("demo")).unwrap() {
        let sheet = sheet.unwrap();
        std::fs::copy(sheet.path(), home.path().join("demo").join(sheet.file_name())).unwrap();
    }
    let all = shown(&readme);
    assert!(all.len() > 3, "the README shows the program at work");
    for Shown { command, lines } in all {
        let mut program = Command::new(env!("CARGO_BIN_EXE_creance"));
        program.args(command.split_whitespace()).current_dir(home.path());
        for variable in ["XDG_DATA_HOME", "HOME", "APPDATA"] {
            program.env(variable, home.path());
        }
        let ended = program.output().unwrap();
        let said = [ended.stdout, ended.stderr].map(|bytes| String::from_utf8(bytes).unwrap()).concat();
        let said: Vec<&str> = said.lines().map(str::trim_end).collect();
        // Blank lines at the end of a block only part it from the next command.
        let end = lines.iter().rposition(|line| !line.is_empty()).map_or(0, |last| last + 1);
        assert!(agree(&lines[..end], &said), "creance {command} says\n{}", said.join("\n"));
    }
}

#[test]
fn a_line_left_out_or_shortened_is_seen_as_such_and_a_wrong_one_is_not_passed() {
    assert!(agree(&["a", "…", "d"], &["a", "b", "c", "d"]));
    assert!(agree(&["a …", "…"], &["a long line"]));
    assert!(!agree(&["a", "d"], &["a", "b", "d"]));
    assert!(!agree(&["…", "x"], &["a"]));
    assert!(!agree(&[], &["a"]));
}
