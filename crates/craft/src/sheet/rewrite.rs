//! Rewriting a sheet after a change: only what changed is touched.
//!
//! The old text is cut and patched at the places the parser gives for each value and heading, so that
//! comments, order, spacing and line endings of everything else stay byte for byte. A comment line
//! directly above a heading goes with that heading; one behind a value goes with the value.
//! The result is read again; if it does not hold the craft (the old text was no sheet, or was written
//! with tables in braces that must grow), the craft is written afresh and comments are lost.

use super::headings::{Block, block_of, blocks_under};
use super::lines::Lines;
use super::read::read_sheet;
use super::write::{self, Entry, write_sheet};
use crate::schema::TableDef;
use crate::{Craft, Part, Row};
use toml_edit::{ArrayOfTables, Document, Item, Table};

/// The old sheet, changed to hold this craft.
pub fn rewrite_sheet(old: &str, craft: &Craft) -> String {
    let before = read_sheet(old).craft;
    if before == *craft {
        return old.to_owned();
    }
    match patched(old, &before, craft) {
        Some(text) if read_sheet(&text).craft == *craft => text,
        _ => write_sheet(craft),
    }
}

fn patched(old: &str, before: &Craft, craft: &Craft) -> Option<String> {
    let mark = if old.starts_with('\u{feff}') { "\u{feff}" } else { "" };
    let text = &old[mark.len()..];
    let document = Document::parse(text).ok()?;
    let root = document.as_table();
    let lines = Lines::of(text);
    let mut patch = Patch { lines: &lines, cuts: Vec::new() };

    let table = root.get("craft").and_then(Item::as_table)?;
    patch.entries(table, &write::craft_entries(before), &write::craft_entries(craft))?;
    let craft_end = block_of(table)?.end;

    let parts = root.get("part").and_then(Item::as_table);
    let mut end = craft_end;
    for part in &before.parts {
        let item = parts?.get(part.id.as_str())?;
        match craft.part(&part.id) {
            None => patch.remove(item),
            Some(after) => patch.part(item, part, after)?,
        }
        end = end.max(end_of(item)?);
    }
    let new_parts = craft.parts.iter().filter(|part| before.part(&part.id).is_none());
    let parts_text: String = new_parts.map(|part| format!("\n{}", write::part_blocks(part))).collect();
    patch.insert_after(end, parts_text);

    let places = root.get("place").and_then(Item::as_table);
    let mut place_end = None;
    for place in &before.places {
        let item = places?.get(place.id.as_str())?;
        match craft.place(&place.id) {
            None => patch.remove(item),
            Some(after) => {
                patch.entries(
                    item.as_table()?,
                    &write::place_entries(place),
                    &write::place_entries(after),
                )?;
            }
        }
        place_end = place_end.max(end_of(item));
    }
    let new_places = craft.places.iter().filter(|place| before.place(&place.id).is_none());
    let places_text: String = new_places.map(|place| format!("\n{}", write::place_block(place))).collect();
    patch.insert_after(place_end.unwrap_or(end), places_text);
    Some(mark.to_owned() + &patch.applied())
}

fn end_of(item: &Item) -> Option<usize> {
    let mut blocks = Vec::new();
    blocks_under(item, &mut blocks);
    blocks.iter().map(|block| block.end).max()
}

struct Patch<'a> {
    lines: &'a Lines<'a>,
    /// What is cut out, and what comes in its stead.
    cuts: Vec<(std::ops::Range<usize>, String)>,
}

impl Patch<'_> {
    /// Changes the values under one heading.
    fn entries(&mut self, table: &Table, before: &[Entry], after: &[Entry]) -> Option<()> {
        if before == after {
            return Some(());
        }
        for (key, _) in before {
            if !after.iter().any(|(other, _)| other == key)
                && let Some(name) = table.key(key)
            {
                let (from, to) = (name.span()?.start, table.get(key)?.span()?.end);
                self.cuts
                    .push((self.lines.start(from)..self.lines.next(to.max(from + 1) - 1), String::new()));
            }
        }
        let mut last = block_of(table)?.start;
        for (key, value) in after {
            let old = before.iter().find(|(other, _)| other == key).map(|(_, value)| value);
            match table.get(key) {
                Some(item) => {
                    let span = item.span()?;
                    last = span.end.max(1) - 1;
                    if old != Some(value) {
                        self.cuts.push((span, value.clone()));
                    }
                }
                // What the reader filled in, such as a name from the id, stays unwritten until it changes.
                None if old == Some(value) => {}
                None => self.insert_after(last, format!("{key} = {value}\n")),
            }
        }
        Some(())
    }

    fn part(&mut self, item: &Item, before: &Part, after: &Part) -> Option<()> {
        if before == after {
            return Some(());
        }
        if before.kind != after.kind {
            return None;
        }
        let table = item.as_table()?;
        self.entries(table, &write::part_entries(before), &write::part_entries(after))?;
        // New rows of a table stand behind its old ones, or behind the tables that come before it.
        let mut end = block_of(table)?.end;
        for def in before.kind.def().tables {
            let rows = |part: &Part| part.tables.get(def.key).cloned().unwrap_or_default();
            let (old, new) = (rows(before), rows(after));
            match table.get(def.key) {
                None => self.new_rows(end, after, def, &new),
                Some(_) if old == new => end = end.max(end_of(table.get(def.key)?)?),
                Some(item) => end = end.max(self.rows(item.as_array_of_tables()?, after, def, &old, &new)?),
            }
        }
        Some(())
    }

    /// Changes rows one by one: what is alike at both ends stays, what lies between is matched in order.
    fn rows(
        &mut self,
        tables: &ArrayOfTables,
        part: &Part,
        def: &'static TableDef,
        old: &[Row],
        new: &[Row],
    ) -> Option<usize> {
        let head = old.iter().zip(new).take_while(|(a, b)| a == b).count();
        let (old_rest, new_rest) = (&old[head..], &new[head..]);
        let tail = old_rest.iter().rev().zip(new_rest.iter().rev()).take_while(|(a, b)| a == b).count();
        let (old_mid, new_mid) = (&old_rest[..old_rest.len() - tail], &new_rest[..new_rest.len() - tail]);
        for (place, (before, after)) in old_mid.iter().zip(new_mid).enumerate() {
            let entries = |row: &Row| write::value_entries(def.fields, &row.0);
            self.entries(tables.get(head + place)?, &entries(before), &entries(after))?;
        }
        let both = old_mid.len().min(new_mid.len());
        for place in both..old_mid.len() {
            self.remove_block(&block_of(tables.get(head + place)?)?);
        }
        let before_new = head + both;
        let end = match before_new.checked_sub(1) {
            Some(last) => block_of(tables.get(last)?)?.end,
            // Rows that come first of all stand in front of the first old one.
            None if both < new_mid.len() => return None,
            None => 0,
        };
        self.new_rows(end, part, def, &new_mid[both..]);
        tables.iter().filter_map(block_of).map(|block| block.end).max()
    }

    fn new_rows(&mut self, end: usize, part: &Part, def: &'static TableDef, rows: &[Row]) {
        let text: String =
            rows.iter().map(|row| format!("\n{}", write::row_block(part, def, &row.0))).collect();
        self.insert_after(end, text);
    }

    /// Puts text on the lines after that of an offset.
    fn insert_after(&mut self, offset: usize, text: String) {
        if text.is_empty() {
            return;
        }
        let at = self.lines.next(offset);
        self.cuts.push((at..at, text));
    }

    fn remove(&mut self, item: &Item) {
        let mut blocks = Vec::new();
        blocks_under(item, &mut blocks);
        for block in &blocks {
            self.remove_block(block);
        }
    }

    /// Takes out a heading with its values, the comment right above it and the blank lines after it.
    fn remove_block(&mut self, block: &Block) {
        let mut first = self.lines.number(block.start);
        while first > 0 && self.lines.line(first - 1).trim_start().starts_with('#') {
            first -= 1;
        }
        let mut to = self.lines.next(block.end.max(1) - 1);
        while to < self.lines.text.len() && self.lines.line(self.lines.number(to)).trim().is_empty() {
            to = self.lines.next(to);
        }
        self.cuts.push((self.lines.line_start(first)..to, String::new()));
    }

    fn applied(mut self) -> String {
        // Stable, so that what is put at one place keeps its order.
        self.cuts.sort_by_key(|(range, _)| (range.start, range.end));
        let text = self.lines.text;
        let ending = match text.find('\n') {
            Some(at) if text[..at].ends_with('\r') => "\r\n",
            _ => "\n",
        };
        let mut out = String::with_capacity(text.len());
        let mut at = 0;
        for (range, new) in self.cuts {
            out.push_str(text.get(at..range.start.max(at)).unwrap_or(""));
            if new.ends_with('\n') && !out.is_empty() && !out.ends_with('\n') {
                out.push_str(ending);
            }
            out.push_str(&new.replace('\n', ending));
            at = range.end.max(at);
        }
        out + text.get(at..).unwrap_or("")
    }
}
