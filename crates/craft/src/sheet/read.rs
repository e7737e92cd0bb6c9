//! Reading a sheet: the craft it holds, and all that is wrong with it.

use super::Severity;
use super::fault::{SheetFault, SheetFaultKind};
use super::headings::heading_count;
use super::lines::Lines;
use super::reader::{Reader, start};
use super::syntax::{LOST, mended};
use crate::check::Guesses;
use crate::limits::{SHEET_BYTES_MAX, SHEET_ENTRIES_MAX, SHEET_FAULTS_MAX, SHEET_HEADINGS_MAX};
use crate::{Craft, CraftId};
use std::collections::HashSet;
use toml_edit::Document;

/// What a sheet holds.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetReading {
    /// The craft, as far as it could be read. Take it in only if nothing is [refused](SheetReading::is_refused).
    pub craft: Craft,
    /// Everything wrong with the sheet, in the order of its lines.
    pub faults: Vec<SheetFault>,
}

impl SheetReading {
    /// Whether the sheet must be mended before it can be taken in.
    pub fn is_refused(&self) -> bool {
        self.faults.iter().any(|fault| fault.severity == Severity::Refused)
    }

    pub(super) fn only(what: SheetFaultKind, line: usize, column: usize) -> Self {
        let fault = SheetFault { line, column, severity: what.severity(), called: String::new(), what };
        Self { craft: nameless(), faults: vec![fault] }
    }
}

fn nameless() -> Craft {
    Craft::new(CraftId::from_name(""), "unnamed")
}

/// Reads a sheet from the bytes of a file.
pub fn read_sheet_bytes(bytes: &[u8]) -> SheetReading {
    if bytes.len() > SHEET_BYTES_MAX {
        return SheetReading::only(SheetFaultKind::TooLarge { bytes: bytes.len() }, 1, 1);
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => read_sheet(text),
        Err(error) => {
            let before = String::from_utf8_lossy(&bytes[..error.valid_up_to()]);
            let (line, column) = Lines::of(&before).place(before.len());
            let wide = bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]);
            SheetReading::only(SheetFaultKind::NotUtf8 { wide }, line, column)
        }
    }
}

/// Reads a sheet.
pub fn read_sheet(text: &str) -> SheetReading {
    if text.len() > SHEET_BYTES_MAX {
        return SheetReading::only(SheetFaultKind::TooLarge { bytes: text.len() }, 1, 1);
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.trim().is_empty() {
        return SheetReading::only(SheetFaultKind::Empty, 1, 1);
    }
    let count = heading_count(text);
    if count > SHEET_HEADINGS_MAX {
        return SheetReading::only(SheetFaultKind::TooManyHeadings { count }, 1, 1);
    }
    let count = text.bytes().filter(|sign| matches!(sign, b'=' | b',' | b'[' | b'{')).count();
    if count > SHEET_ENTRIES_MAX {
        return SheetReading::only(SheetFaultKind::TooManyEntries { count }, 1, 1);
    }
    match Document::parse(text) {
        Ok(document) => read_document(&document, text, true),
        Err(_) => {
            let parsed = mended(text);
            let slips = parsed.slips.into_iter().map(|(line, column, what)| {
                let called = String::new();
                SheetFault { line, column, severity: what.severity(), called, what }
            });
            let mut reading = match Document::parse(parsed.text.as_str()) {
                Ok(document) if parsed.readable => read_document(&document, &parsed.text, false),
                _ => SheetReading { craft: nameless(), faults: Vec::new() },
            };
            reading.faults.extend(slips);
            in_order(&mut reading.faults);
            reading
        }
    }
}

/// Reads what was parsed; `whole` when nothing of the sheet is missing from it.
fn read_document(document: &Document<&str>, text: &str, whole: bool) -> SheetReading {
    let lines = Lines::of(text);
    let mut reader = Reader {
        lines: &lines,
        whole,
        guesses: Guesses::new(),
        faults: Vec::new(),
        lost: HashSet::new(),
        craft: nameless(),
    };
    let root = document.as_table();
    if let Some(newer) = reader.format(root) {
        return newer;
    }
    for (key, item) in root.iter() {
        match key {
            "creance_sheet" | LOST => {}
            "craft" => reader.whole(item),
            "part" => reader.each(item, "part", Reader::part),
            "place" => reader.each(item, "place", Reader::place),
            _ => reader.unknown(root, key, "", &[], ["creance_sheet", "craft", "part", "place"]),
        }
    }
    if whole {
        let craft = root.get("craft");
        if craft.is_none_or(|craft| craft.as_table_like().is_some_and(|craft| !craft.contains_key("name"))) {
            reader.tell(craft.and_then(start), "", SheetFaultKind::NoName);
        }
        reader.check(document);
    }
    let mut reading = SheetReading { craft: reader.craft, faults: reader.faults };
    in_order(&mut reading.faults);
    reading
}

fn in_order(faults: &mut Vec<SheetFault>) {
    faults.sort_by_key(|fault| (fault.line, fault.column));
    if let Some(count) = faults.len().checked_sub(SHEET_FAULTS_MAX).filter(|count| *count > 0) {
        faults.truncate(SHEET_FAULTS_MAX);
        let (line, column) = faults.last().map_or((1, 1), |last| (last.line, last.column));
        let what = SheetFaultKind::More { count };
        faults.push(SheetFault { line, column, severity: what.severity(), called: String::new(), what });
    }
}
