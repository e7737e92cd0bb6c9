//! Rewriting a sheet after a change: only what changed is touched.
//!
//! The old text is cut and patched at the places the parser gives for each value and heading, so that
//! comments, order, spacing and line endings of everything else stay byte for byte. A comment line
//! directly above a heading goes with that heading; one behind a value goes with the value.
//! Tables written in braces are patched value by value, and set anew on their line when they must grow.
//! The result is read again; if it does not hold the craft (the old text was no sheet, or its parts
//! must change their order), the craft is written afresh and comments are lost.

use super::headings::{Block, block_of, blocks_under};
use super::lines::Lines;
use super::read::read_sheet;
use super::write::{self, Entry, write_sheet};
use crate::schema::{self, TableDef};
use crate::{Craft, Part, Row};
use std::collections::{BTreeMap, HashMap, HashSet};
use std::ops::Range;
use toml_edit::{Document, Item, TableLike, Value};

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

    let mut end = root.get("creance_sheet").and_then(Item::span).map(|span| span.start);
    let (old_entries, new_entries) = (write::craft_entries(before), write::craft_entries(craft));
    match root.get("craft") {
        Some(item) => {
            patch.entries(item, &old_entries, &new_entries)?;
            if before.tables != craft.tables {
                let (was, is) = (&before.tables, &craft.tables);
                patch.tables(item, "craft", schema::wiring::TABLES, was, is)?;
            }
            end = end.max(end_of(item));
        }
        None if old_entries == new_entries && before.tables == craft.tables => {}
        None => patch.insert_after(end?, format!("\n{}", write::craft_block(craft))),
    }

    let parts = root.get("part").and_then(Item::as_table_like);
    let after: HashMap<_, _> = craft.parts.iter().map(|part| (&part.id, part)).collect();
    let known: HashMap<_, _> = before.parts.iter().map(|part| (&part.id, part)).collect();
    // The same part under another id: it stands where the old one stood, and only its headings change.
    let renamed: HashMap<_, _> = before
        .parts
        .iter()
        .zip(&craft.parts)
        .filter(|(was, is)| {
            was.kind == is.kind && !after.contains_key(&was.id) && !known.contains_key(&is.id)
        })
        .map(|(was, is)| (&was.id, is))
        .collect();
    for part in &before.parts {
        let item = parts?.get(part.id.as_str())?;
        match (after.get(&part.id), renamed.get(&part.id)) {
            (Some(after), _) => patch.part(item, part, after)?,
            (None, Some(after)) => {
                patch.rename(parts?, part, after)?;
                patch.part(item, part, after)?;
            }
            (None, None) => patch.remove(parts?, part.id.as_str())?,
        }
        end = end.max(end_of(item));
    }
    let renamed: HashSet<_> = renamed.values().map(|part| &part.id).collect();
    let new = craft.parts.iter().filter(|part| !known.contains_key(&part.id) && !renamed.contains(&part.id));
    let text: String = new.map(|part| format!("\n{}", write::part_blocks(part))).collect();
    patch.insert_after(end?, text);

    let places = root.get("place").and_then(Item::as_table_like);
    let after: HashMap<_, _> = craft.places.iter().map(|place| (&place.id, place)).collect();
    let known: HashMap<_, _> = before.places.iter().map(|place| (&place.id, place)).collect();
    let mut place_end = None;
    for place in &before.places {
        let item = places?.get(place.id.as_str())?;
        match after.get(&place.id) {
            None => patch.remove(places?, place.id.as_str())?,
            Some(after) => patch.entries(item, &write::place_entries(place), &write::place_entries(after))?,
        }
        place_end = place_end.max(end_of(item));
    }
    let new = craft.places.iter().filter(|place| !known.contains_key(&place.id));
    let text: String = new.map(|place| format!("\n{}", write::place_block(place))).collect();
    patch.insert_after(place_end.or(end)?, text);
    Some(mark.to_owned() + &patch.applied())
}

/// Where the last thing under an item ends.
fn end_of(item: &Item) -> Option<usize> {
    let mut blocks = Vec::new();
    blocks_under(item, &mut blocks);
    let values = item.as_table_like().into_iter().flat_map(|table| table.iter().map(|(_, item)| item));
    let values = values.filter(|item| item.is_value()).filter_map(Item::span);
    blocks
        .iter()
        .map(|block| block.end)
        .chain(values.map(|span| span.end))
        .chain(braces(item).map(|b| b.end))
        .max()
}

/// The span of a table or of rows written as a value, in braces.
fn braces(item: &Item) -> Option<Range<usize>> {
    item.is_value().then(|| item.span()).flatten()
}

fn heading(item: &Item) -> Option<Block> {
    item.as_table().and_then(block_of)
}

fn in_braces(entries: &[Entry]) -> String {
    let entries: Vec<String> = entries.iter().map(|(key, value)| format!("{key} = {value}")).collect();
    if entries.is_empty() { "{}".to_owned() } else { format!("{{ {} }}", entries.join(", ")) }
}

struct Patch<'a> {
    lines: &'a Lines<'a>,
    /// What is cut out, and what comes in its stead.
    cuts: Vec<(Range<usize>, String)>,
}

impl Patch<'_> {
    /// Changes the values of one table.
    fn entries(&mut self, item: &Item, before: &[Entry], after: &[Entry]) -> Option<()> {
        self.table_entries(item.as_table_like()?, heading(item), braces(item), before, after)
    }

    fn table_entries(
        &mut self,
        table: &dyn TableLike,
        heading: Option<Block>,
        braces: Option<Range<usize>>,
        before: &[Entry],
        after: &[Entry],
    ) -> Option<()> {
        if before == after {
            return Some(());
        }
        let said = |entries: &[Entry], key: &str| entries.iter().any(|(other, _)| *other == key);
        let old = |key: &str| before.iter().find(|(other, _)| *other == key).map(|(_, value)| value);
        let grows = after.iter().any(|(key, value)| !table.contains_key(key) && old(key) != Some(value));
        let shrinks = before.iter().any(|(key, _)| table.contains_key(key) && !said(after, key));
        if let (Some(span), true) = (braces, grows || shrinks) {
            self.cuts.push((span, in_braces(after)));
            return Some(());
        }
        for (key, _) in before.iter().filter(|(key, _)| !said(after, key)) {
            if table.contains_key(key) {
                self.remove_lines(table, key)?;
            }
        }
        let mut last = heading.map(|block| block.start);
        for (key, value) in after {
            match table.get(key) {
                Some(item) => {
                    let span = item.span()?;
                    last = Some(span.end.max(1) - 1);
                    if old(key) != Some(value) {
                        self.cuts.push((span, value.clone()));
                    }
                }
                // What the reader filled in, such as a name from the id, stays unwritten until it changes.
                None if old(key) == Some(value) => {}
                None => {
                    self.insert_after(last?, format!("{key} = {value}\n"));
                }
            }
        }
        Some(())
    }

    /// Puts another id into every heading of a part.
    fn rename(&mut self, parts: &dyn TableLike, before: &Part, after: &Part) -> Option<()> {
        let (old, item) = (before.id.as_str(), parts.get(before.id.as_str())?);
        let mut blocks = Vec::new();
        blocks_under(item, &mut blocks);
        if blocks.is_empty() {
            self.cuts.push((parts.key(old)?.span()?, after.id.to_string()));
            return Some(());
        }
        for block in &blocks {
            let line = self.lines.line(self.lines.number(block.start));
            let from = self.lines.start(block.start);
            let dot = line.find('.')?;
            let at = from + dot + line.get(dot..)?.find(old)?;
            self.cuts.push((at..at + old.len(), after.id.to_string()));
        }
        // A name the reader took from the old id has to be said from now on.
        if item.as_table_like().is_some_and(|table| !table.contains_key("name")) {
            let entries = write::part_entries(after);
            let (key, value) = entries.iter().find(|(key, _)| *key == "name")?;
            self.insert_after(heading(item)?.start, format!("{key} = {value}\n"));
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
        self.entries(item, &write::part_entries(before), &write::part_entries(after))?;
        let under = format!("part.{}", after.id);
        self.tables(item, &under, before.kind.def().tables, &before.tables, &after.tables)
    }

    /// Changes the rows under a heading. New rows of a table stand behind its old ones, or behind the tables that come before it.
    fn tables(
        &mut self,
        item: &Item,
        under: &str,
        defs: &'static [TableDef],
        before: &BTreeMap<String, Vec<Row>>,
        after: &BTreeMap<String, Vec<Row>>,
    ) -> Option<()> {
        let table = item.as_table()?;
        let mut end = block_of(table)?.end;
        for def in defs {
            let rows = |tables: &BTreeMap<String, Vec<Row>>| tables.get(def.key).cloned().unwrap_or_default();
            let (old, new) = (rows(before), rows(after));
            match table.get(def.key) {
                None => self.new_rows(end, under, def, &new),
                Some(_) if old == new => {}
                Some(_) if new.is_empty() => self.remove(table, def.key)?,
                Some(item) => self.rows(item, under, def, &old, &new)?,
            }
            // Rows in braces stand among the values, above any heading.
            end = end.max(table.get(def.key).filter(|item| !item.is_value()).and_then(end_of).unwrap_or(0));
        }
        Some(())
    }

    /// Changes rows one by one: what is alike at both ends stays, what lies between is matched in order.
    fn rows(
        &mut self,
        item: &Item,
        under: &str,
        def: &'static TableDef,
        old: &[Row],
        new: &[Row],
    ) -> Option<()> {
        let head = old.iter().zip(new).take_while(|(a, b)| a == b).count();
        let (old_rest, new_rest) = (&old[head..], &new[head..]);
        let tail = old_rest.iter().rev().zip(new_rest.iter().rev()).take_while(|(a, b)| a == b).count();
        let (old_mid, new_mid) = (&old_rest[..old_rest.len() - tail], &new_rest[..new_rest.len() - tail]);
        let both = old_mid.len().min(new_mid.len());
        let entries = |row: &Row| write::value_entries(def.fields, &row.0);
        let pairs =
            || old_mid.iter().zip(new_mid).enumerate().map(|(n, (a, b))| (head + n, entries(a), entries(b)));
        match item {
            Item::ArrayOfTables(tables) => {
                for (number, before, after) in pairs() {
                    let table = tables.get(number)?;
                    self.table_entries(table, block_of(table), None, &before, &after)?;
                }
                for number in both..old_mid.len() {
                    self.remove_block(&block_of(tables.get(head + number)?)?);
                }
                if new_mid.len() > both {
                    // Rows that come first of all would stand above the first old one: left to a fresh writing.
                    let last = tables.get((head + both).checked_sub(1)?)?;
                    self.new_rows(block_of(last)?.end, under, def, &new_mid[both..]);
                }
            }
            Item::Value(Value::Array(array)) if old.len() == new.len() => {
                for (number, before, after) in pairs() {
                    let table = array.get(number)?.as_inline_table()?;
                    self.table_entries(table, None, table.span(), &before, &after)?;
                }
            }
            _ => {
                let rows: Vec<String> =
                    new.iter().map(|row| format!("    {},\n", in_braces(&entries(row)))).collect();
                self.cuts.push((braces(item)?, format!("[\n{}]", rows.concat())));
            }
        }
        Some(())
    }

    fn new_rows(&mut self, end: usize, under: &str, def: &'static TableDef, rows: &[Row]) {
        let text: String =
            rows.iter().map(|row| format!("\n{}", write::row_block(under, def, &row.0))).collect();
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

    /// Takes out one part, place or table of rows, in whichever way it is written.
    fn remove(&mut self, table: &dyn TableLike, key: &str) -> Option<()> {
        let mut blocks = Vec::new();
        blocks_under(table.get(key)?, &mut blocks);
        if blocks.is_empty() {
            return self.remove_lines(table, key);
        }
        for block in &blocks {
            self.remove_block(block);
        }
        Some(())
    }

    /// Takes out the lines of one value.
    fn remove_lines(&mut self, table: &dyn TableLike, key: &str) -> Option<()> {
        let (from, to) = (table.key(key)?.span()?.start, table.get(key)?.span()?.end);
        let lines = self.lines.start(from)..self.lines.next(to.max(from + 1) - 1);
        self.cuts.push((lines, String::new()));
        Some(())
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
