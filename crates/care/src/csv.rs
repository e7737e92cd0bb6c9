//! The journal as a table for a spreadsheet: RFC 4180, one line an entry.
//!
//! A cell that a spreadsheet would take for a formula gets an apostrophe before it: words from a journal must not start
//! anything on somebody else's machine.

use crate::{Entry, Reading};

/// The heads of the columns.
const HEADS: [&str; 14] = [
    "at",
    "kind",
    "craft",
    "words",
    "minutes",
    "parts",
    "units",
    "packs",
    "plugs pulled",
    "readings",
    "as new",
    "pack hit",
    "check list",
    "taken back",
];

/// These entries as a table; `at` turns a second into a date.
pub fn as_csv<'a>(entries: impl IntoIterator<Item = &'a Entry>, at: impl Fn(i64) -> String) -> String {
    let mut text = line(HEADS.map(str::to_owned));
    for entry in entries {
        text.push_str(&line(cells(entry, &at)));
    }
    text
}

fn cells(entry: &Entry, at: &impl Fn(i64) -> String) -> [String; 14] {
    let yes = |is: bool| if is { "yes".to_owned() } else { String::new() };
    let measured =
        entry.measured.iter().map(|one| told(one.reading, one.value)).collect::<Vec<_>>().join("; ");
    let ticked = entry.ticked.as_ref().map(|ticked| {
        let left =
            if ticked.left.is_empty() { String::new() } else { format!(", left: {}", ticked.left.join(" ")) };
        format!("{}: {} ticked{left}", ticked.list.plain(), ticked.ticked.len())
    });
    [
        at(entry.at),
        entry.kind.word().to_owned(),
        entry.craft.clone().unwrap_or_default(),
        entry.words.clone(),
        entry.minutes.map(|minutes| minutes.to_string()).unwrap_or_default(),
        entry.parts.join("; "),
        entry.units.join("; "),
        entry.packs.join("; "),
        entry.plugged.join("; "),
        measured,
        yes(entry.as_new),
        yes(entry.pack_hit),
        ticked.unwrap_or_default(),
        entry.taken_back.map(at).unwrap_or_default(),
    ]
}

fn told(reading: Reading, value: f64) -> String {
    format!("{} {value} {}", reading.plain(), reading.unit()).trim_end().to_owned()
}

fn line<const N: usize>(cells: [String; N]) -> String {
    cells.map(|cell| quoted(&cell)).join(",") + "\r\n"
}

fn quoted(cell: &str) -> String {
    let safe = match cell.chars().next() {
        Some('=' | '+' | '-' | '@' | '\t' | '\r') if cell.parse::<f64>().is_err() => format!("'{cell}"),
        _ => cell.to_owned(),
    };
    match safe.contains([',', '"', '\n', '\r', ';']) {
        true => format!("\"{}\"", safe.replace('"', "\"\"")),
        false => safe,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::EntryKind;
    use expect_test::expect;

    #[test]
    fn cells_are_quoted_and_start_nothing() {
        let mut entry = Entry::new(0, EntryKind::Flown, "=cmd(), \"quick\"\nsecond line").of("merlin");
        entry.minutes = Some(5.5);
        entry.packs = vec!["P1".into(), "P2".into()];
        let text = as_csv([&entry], |at| format!("day {at}"));
        expect![[r#"
            at,kind,craft,words,minutes,parts,units,packs,plugs pulled,readings,as new,pack hit,check list,taken back
            day 0,flown,merlin,"'=cmd(), ""quick""
            second line",5.5,,,"P1; P2",,,,,,
        "#]]
        .assert_eq(&text.replace("\r\n", "\n"));
    }
}
