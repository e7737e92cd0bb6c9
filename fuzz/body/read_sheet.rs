//! What must hold of the sheet reader whatever the bytes: the fuzz target and a plain test share it.
//!
//! It never panics, places every fault on the sheet, and what it takes in without refusal comes back the
//! same from its own writing and from rewriting.

use craft::sheet::{read_sheet, read_sheet_bytes, rewrite_sheet, write_sheet};

/// Panics where the reader breaks one of its promises.
pub fn read_sheet_holds(bytes: &[u8]) {
    let reading = read_sheet_bytes(bytes);
    let lines = bytes.iter().filter(|byte| **byte == b'\n').count() + 1;
    for fault in &reading.faults {
        assert!((1..=lines).contains(&fault.line) && fault.column > 0, "{fault}");
    }
    let Ok(text) = std::str::from_utf8(bytes) else {
        assert!(reading.is_refused());
        return;
    };
    assert_eq!(reading, read_sheet(text));
    if reading.is_refused() {
        return;
    }
    assert_eq!(rewrite_sheet(text, &reading.craft), text);
    let written = read_sheet(&write_sheet(&reading.craft));
    assert!(!written.is_refused(), "{:?}", written.faults);
    assert_eq!(written.craft, reading.craft);
    let mut renamed = reading.craft.clone();
    renamed.name = "another name".to_owned();
    assert_eq!(read_sheet(&rewrite_sheet(text, &renamed)).craft, renamed);
}
