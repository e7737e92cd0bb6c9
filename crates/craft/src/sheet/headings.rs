//! Where things stand on a sheet: headings, the blocks under them, and single values.

use crate::{Owner, Spot};
use toml_edit::{Document, Item, Table, TableLike};

/// How many headings a text seems to have, counted without parsing it.
pub(super) fn heading_count(text: &str) -> usize {
    let heading = |line: &&str| {
        let line = line.trim_start();
        line.starts_with('[')
            && line.trim_start_matches(['[', ' ']).starts_with(|c: char| c.is_alphabetic() || c == '"')
    };
    text.lines().filter(heading).count()
}

/// Where the thing at a spot stands, as a byte offset.
pub(super) fn offset_of(document: &Document<&str>, spot: &Spot) -> Option<usize> {
    let root = document.as_table();
    let item = match &spot.owner {
        Owner::Craft => root.get("craft")?,
        Owner::Part(id) => root.get("part")?.as_table_like()?.get(id.as_str())?,
        Owner::Place(id) => root.get("place")?.as_table_like()?.get(id.as_str())?,
    };
    let whole = item.span().map(|span| span.start);
    let Some(mut table) = item.as_table_like() else { return whole };
    let mut whole = whole;
    if let Some((key, row)) = &spot.row {
        let rows = table.get(key)?;
        let found: Option<(&dyn TableLike, _)> = match rows {
            Item::ArrayOfTables(rows) => rows.get(*row).map(|row| (row as &dyn TableLike, row.span())),
            Item::Value(toml_edit::Value::Array(rows)) => rows
                .get(*row)
                .and_then(|row| row.as_inline_table())
                .map(|row| (row as &dyn TableLike, row.span())),
            _ => None,
        };
        let Some((row, span)) = found else { return whole };
        table = row;
        whole = span.map(|span| span.start).or(whole);
    }
    let Some(key) = &spot.key else { return whole };
    table.get(key).and_then(Item::span).map(|span| span.start).or(whole)
}

/// One heading with the values under it.
#[derive(Clone, Debug)]
pub(super) struct Block {
    /// Where the heading starts.
    pub(super) start: usize,
    /// Where its last value, or the heading itself, ends.
    pub(super) end: usize,
}

/// The block of a table with a heading of its own.
pub(super) fn block_of(table: &Table) -> Option<Block> {
    if table.is_implicit() || table.is_dotted() {
        return None;
    }
    let span = table.span()?;
    let mut block = Block { start: span.start, end: span.end };
    grow(table, &mut block.end);
    Some(block)
}

/// Takes the end of every value that stands under the table's own heading.
fn grow(table: &Table, end: &mut usize) {
    for (_, item) in table.iter() {
        match item {
            Item::Value(value) => *end = (*end).max(value.span().map_or(0, |span| span.end)),
            Item::Table(inner) if inner.is_dotted() => grow(inner, end),
            _ => {}
        }
    }
}

/// Every block under an item: its own and those of all tables within.
pub(super) fn blocks_under(item: &Item, blocks: &mut Vec<Block>) {
    match item {
        Item::Table(table) => table_blocks(table, blocks),
        Item::ArrayOfTables(tables) => tables.iter().for_each(|table| table_blocks(table, blocks)),
        _ => {}
    }
}

fn table_blocks(table: &Table, blocks: &mut Vec<Block>) {
    blocks.extend(block_of(table));
    for (_, item) in table.iter() {
        blocks_under(item, blocks);
    }
}
