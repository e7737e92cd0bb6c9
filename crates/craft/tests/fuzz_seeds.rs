//! The body of the fuzz target over its seeds and over every sheet of these tests, with a stable compiler.
#![allow(clippy::unwrap_used)]

#[path = "../../../fuzz/body/read_sheet.rs"]
mod body;

use std::path::Path;

fn files_under(folder: &Path, found: &mut Vec<std::path::PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files_under(&path, found);
        } else if path.extension().is_some_and(|end| end == "toml") {
            found.push(path);
        }
    }
}

#[test]
fn the_reader_holds_on_every_seed_and_on_every_beginning_of_it() {
    let crate_folder = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    files_under(&crate_folder.join("../../fuzz/seeds/read_sheet"), &mut files);
    files_under(&crate_folder.join("tests/sheets"), &mut files);
    assert!(files.len() > 40);
    for path in files {
        let bytes = std::fs::read(path).unwrap();
        body::read_sheet_holds(&bytes);
        for end in (0..bytes.len()).step_by(61) {
            body::read_sheet_holds(&bytes[..end]);
        }
    }
}
