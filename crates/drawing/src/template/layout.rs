//! Templates on sheets of A4 upright: what fits is drawn whole, several to a sheet; what is too large is cut into tiles that
//! overlap, with crosses to join them by.
//!
//! Everything is placed in shelves from the top: drawing, then its table of holes, side by side where there is room. A
//! plate that only fits turned by a quarter is turned. Tiles overlap by [`OVERLAP`]; the crosses of a seam stand at the same
//! spots of the plate on both sheets.

use super::bars::{FREE, bars};
use super::choice::{TemplateFault, stencils};
use super::draw::{Laid, TABLE_WIDTH, bounds, shape, table, table_size};
use super::sizes::Sizes;
use super::stencil::{Spot, Stencil};
use crate::paper::{Page, Paper, opened};
use crate::scale::Area;
use crate::svg::{HAIRLINE, Lettering, RUST, line, number, text};
use crate::wrap::{on_one_line, wrapped};
use craft::Craft;
use proof::Proved;
use std::fmt::Write;

/// How far tiles overlap, in mm.
const OVERLAP: f64 = 14.0;
/// Sheets one plate may take at most.
const TILES_MAX: usize = 12;
/// Rows of a table in one column.
const ROWS_MAX: usize = 60;
/// Air round a drawing, for the numbers of its holes.
const PAD: f64 = 4.0;
const GAP: f64 = 6.0;
const TITLE: f64 = 5.0;
/// Height of a further row of a title.
const TITLE_ROW: f64 = 4.4;
const NOTE: f64 = 3.6;

/// What is placed as one.
enum Block {
    /// The whole of a stencil.
    Whole { stencil: usize, quarter: bool },
    /// One tile of it: a sheet of its own.
    Tile { stencil: usize, quarter: bool, column: usize, row: usize, grid: [usize; 2] },
    /// Some rows of its table.
    Table { stencil: usize, first: usize, count: usize },
}

/// A template of a craft's plates and patterns at 1 : 1, on as many sheets as it takes.
///
/// `of` is `PLACE` or `PLACE/NAME`; without it, what the next work at the bench needs.
pub fn template(craft: &Craft, proved: &Proved, of: Option<&str>) -> Result<Vec<Page>, TemplateFault> {
    let mut stencils = stencils(craft, proved, of)?;
    for stencil in &mut stencils {
        // One plate too large for paper does not take the others along.
        if let (None, Err(fault)) = (of, blocks(0, stencil)) {
            *stencil = Stencil::of_words(stencil.title.clone(), vec![format!("Not drawn: {fault}.")]);
        }
    }
    let mut sheets: Vec<Vec<(Block, [f64; 2])>> = Vec::new();
    let mut shelf = Shelf::default();
    for (number, stencil) in stencils.iter().enumerate() {
        let blocks = blocks(number, stencil)?;
        // A table stays on the sheet of its plate.
        shelf.keep(together(&blocks, stencil), &sheets);
        for block in blocks {
            let size = size(&block, stencil);
            let at = shelf.place(size, &mut sheets);
            if let Some(sheet) = sheets.last_mut() {
                sheet.push((block, at));
            }
        }
        shelf.close();
    }
    let count = sheets.len();
    let page = |(number, sheet): (usize, Vec<(Block, [f64; 2])>)| {
        let mut out = head(craft, &stencils, number + 1, count);
        for (block, at) in &sheet {
            draw(&mut out, block, &stencils, *at);
        }
        out.push_str("</svg>\n");
        Page::new(Paper::UPRIGHT, out)
    };
    Ok(sheets.into_iter().enumerate().map(page).collect())
}

/// The plates that are too large for paper, in words: of a template of everything they are left out.
pub fn too_large(craft: &Craft, proved: &Proved, of: Option<&str>) -> Vec<String> {
    let stencils = if of.is_none() { stencils(craft, proved, of).unwrap_or_default() } else { Vec::new() };
    stencils.iter().filter_map(|stencil| blocks(0, stencil).err()).map(|fault| fault.to_string()).collect()
}

/// Where the next block goes: from left to right on a shelf, shelf under shelf, sheet after sheet.
#[derive(Default)]
struct Shelf {
    x: f64,
    y: f64,
    height: f64,
}

impl Shelf {
    fn place(&mut self, [width, height]: [f64; 2], sheets: &mut Vec<Vec<(Block, [f64; 2])>>) -> [f64; 2] {
        if self.x > 0.0 && (self.x + width > FREE.width || self.y + height > FREE.height) {
            self.close();
        }
        if sheets.is_empty() || (self.y > 0.0 && self.y + height > FREE.height) {
            sheets.push(Vec::new());
            *self = Self::default();
        }
        let at = [FREE.left + self.x, FREE.top + self.y];
        self.x += width + GAP;
        self.height = self.height.max(height);
        at
    }

    /// Begins a sheet where what belongs together would be parted by the end of this one.
    fn keep(&mut self, height: f64, sheets: &[Vec<(Block, [f64; 2])>]) {
        if !sheets.is_empty() && self.y > 0.0 && self.y + height > FREE.height {
            self.y = FREE.height + GAP;
        }
    }

    fn close(&mut self) {
        if self.height > 0.0 {
            self.y += self.height + GAP;
        }
        (self.x, self.height) = (0.0, 0.0);
    }
}

/// How high a drawing is with its tables, beside it or under it.
fn together(blocks: &[Block], stencil: &Stencil) -> f64 {
    let (mut x, mut row, mut height) = (0.0, 0.0f64, 0.0);
    for [wide, high] in blocks.iter().map(|block| size(block, stencil)) {
        if x > 0.0 && x + wide > FREE.width {
            height += row + GAP;
            (x, row) = (0.0, 0.0);
        }
        x += wide + GAP;
        row = row.max(high);
    }
    height + row
}

fn words_height(stencil: &Stencil, quarter: bool) -> f64 {
    let width = words_width(stencil, quarter);
    let notes = note_rows(stencil, quarter, "").len() + warning_rows(stencil, width).len();
    TITLE + TITLE_ROW * (title_rows(stencil, width).len() as f64 - 1.0) + NOTE * notes as f64
}

fn title_rows(stencil: &Stencil, width: f64) -> Vec<String> {
    wrapped(&stencil.title, width, 3.6, 4)
}

/// How wide its words may run: no further than its drawing where its table may stand beside it.
fn words_width(stencil: &Stencil, quarter: bool) -> f64 {
    let beside = FREE.width - TABLE_WIDTH - GAP;
    let [width, _] = sized_size(stencil, quarter);
    if !stencil.is_words() && width + 2.0 * PAD <= beside { beside } else { FREE.width }
}

fn note_rows(stencil: &Stencil, quarter: bool, more: &str) -> Vec<String> {
    if stencil.is_words() {
        return Vec::new();
    }
    let turned = if quarter { "; turned a quarter on the sheet" } else { "" };
    let marked = match stencil.datum.edges {
        true => String::new(),
        false => format!(", marked {} and {}", stencil.axes[0], stencil.axes[1]),
    };
    let note = format!("{}; measured from {}{marked}{turned}{more}", stencil.note, stencil.datum.what);
    wrapped(&note, words_width(stencil, quarter) - 2.0, 2.9, 3)
}

fn warning_rows(stencil: &Stencil, width: f64) -> Vec<String> {
    stencil.warnings.iter().flat_map(|warning| wrapped(warning, width - 4.0, 2.9, 9)).collect()
}

fn drawn_size(stencil: &Stencil, quarter: bool) -> [f64; 2] {
    let [width, height] = bounds(stencil).size();
    if quarter { [height, width] } else { [width, height] }
}

/// The drawing with the sizes round it.
fn sized_size(stencil: &Stencil, quarter: bool) -> [f64; 2] {
    let [width, height] = drawn_size(stencil, quarter);
    let [left, top, right, bottom] = Sizes::of(stencil, quarter).margins();
    [width + left + right, height + top + bottom]
}

fn blocks(number: usize, stencil: &Stencil) -> Result<Vec<Block>, TemplateFault> {
    let room =
        |quarter: bool| [FREE.width - 2.0 * PAD, FREE.height - 2.0 * PAD - words_height(stencil, quarter)];
    let fits = |quarter: bool| {
        let room = room(quarter);
        let size = sized_size(stencil, quarter);
        size[0] <= room[0] && size[1] <= room[1]
    };
    let mut blocks = Vec::new();
    if let Some(quarter) = [false, true].into_iter().find(|quarter| fits(*quarter)) {
        blocks.push(Block::Whole { stencil: number, quarter });
    } else {
        let grid = |quarter: bool| {
            let (size, room) = (drawn_size(stencil, quarter), room(quarter));
            let count = |k: usize| ((size[k] - OVERLAP) / (room[k] - OVERLAP)).ceil().max(1.0);
            [count(0), count(1)]
        };
        let quarter = grid(true)[0] * grid(true)[1] < grid(false)[0] * grid(false)[1];
        let [columns, rows] = grid(quarter);
        if columns * rows > TILES_MAX as f64 {
            let [width, height] = drawn_size(stencil, false);
            let what = stencil.title.clone();
            let sheets = (columns * rows) as usize;
            return Err(TemplateFault::TooLarge { what, width, height, sheets, most: TILES_MAX });
        }
        let grid = [columns as usize, rows as usize];
        for row in 0..grid[1] {
            for column in 0..grid[0] {
                blocks.push(Block::Tile { stencil: number, quarter, column, row, grid });
            }
        }
    }
    let holes = stencil.bores.len();
    let table = |first| Block::Table { stencil: number, first, count: ROWS_MAX.min(holes - first) };
    blocks.extend((0..holes).step_by(ROWS_MAX).map(table));
    Ok(blocks)
}

fn size(block: &Block, stencil: &Stencil) -> [f64; 2] {
    match block {
        Block::Whole { quarter, .. } => {
            let [width, height] = sized_size(stencil, *quarter);
            // Words are not cut for a small drawing, unless its table stands beside it.
            let least = words_width(stencil, *quarter);
            [(width + 2.0 * PAD).max(least), height + 2.0 * PAD + words_height(stencil, *quarter)]
        }
        Block::Tile { .. } => [FREE.width, FREE.height],
        Block::Table { count, .. } => table_size(stencil, *count),
    }
}

fn head(craft: &Craft, stencils: &[Stencil], sheet: usize, of: usize) -> String {
    let title = format!("{}: template, 1 : 1", craft.name);
    let names: Vec<&str> = stencils.iter().map(|stencil| stencil.title.as_str()).collect();
    let words =
        format!("Sheet {sheet} of {of}. Shown at 1 : 1: {}. {}.", names.join("; "), super::CHECK_LINE);
    let mut out = opened(Paper::UPRIGHT, &title, &words);
    let heading = on_one_line(&title, 140.0, 5.0);
    text(&mut out, [FREE.left, 15.0], Lettering::plain(5.0).heading().bold(), &heading);
    let right = FREE.left + FREE.width;
    text(
        &mut out,
        [right, 15.0],
        Lettering::plain(3.2).ending(),
        &format!("sheet {sheet} of {of}, A4; sizes in mm"),
    );
    line(&mut out, [FREE.left, 18.5], [right, 18.5], HAIRLINE, 0.2);
    bars(&mut out);
    let words = "Scribe each cross that is to be drilled, drill under size first, and mind what lies beneath. Carbon dust harms: damp it, mask on.";
    text(&mut out, [105.0, 291.5], Lettering::plain(2.7).centred().ink(RUST), words);
    out
}

fn draw(out: &mut String, block: &Block, stencils: &[Stencil], at: [f64; 2]) {
    match block {
        Block::Whole { stencil, quarter } => {
            let stencil = &stencils[*stencil];
            let top = words(out, stencil, *quarter, "", at);
            let [width, height] = drawn_size(stencil, *quarter);
            let sizes = Sizes::of(stencil, *quarter);
            let [left, above, ..] = sizes.margins();
            let middle = [at[0] + PAD + left + width / 2.0, top + PAD + above + height / 2.0];
            shape(out, stencil, &Laid { middle: bounds(stencil).middle(), at: middle, quarter: *quarter });
            sizes.draw(out, middle);
        }
        Block::Tile { stencil, quarter, column, row, grid } => {
            tile(out, &stencils[*stencil], *quarter, [*column, *row], *grid, at);
        }
        Block::Table { stencil, first, count } => table(out, &stencils[*stencil], *first, *count, at),
    }
}

/// Title, note and warnings; the height at which the drawing may begin.
fn words(out: &mut String, stencil: &Stencil, quarter: bool, more: &str, at: [f64; 2]) -> f64 {
    let [x, mut y] = at;
    y += 3.6;
    let width = words_width(stencil, quarter);
    for (n, title) in title_rows(stencil, width).iter().enumerate() {
        y += if n == 0 { 0.0 } else { TITLE_ROW };
        text(out, [x, y], Lettering::plain(3.6).bold(), title);
    }
    y += TITLE - 0.6 - NOTE;
    for row in note_rows(stencil, quarter, more) {
        y += NOTE;
        text(out, [x, y], Lettering::plain(2.9), &row);
    }
    for row in warning_rows(stencil, width) {
        y += NOTE;
        text(out, [x, y], Lettering::plain(2.9).bold().ink(RUST), &row);
    }
    at[1] + words_height(stencil, quarter)
}

fn tile(
    out: &mut String,
    stencil: &Stencil,
    quarter: bool,
    [column, row]: [usize; 2],
    grid: [usize; 2],
    at: [f64; 2],
) {
    let more = format!("; tile {} of {} across, {} of {} down", column + 1, grid[0], row + 1, grid[1]);
    let top = words(out, stencil, quarter, &more, at);
    let room = Area {
        left: at[0] + PAD,
        top: top + PAD,
        width: FREE.width - 2.0 * PAD,
        height: FREE.height - 2.0 * PAD - words_height(stencil, quarter),
    };
    let size = drawn_size(stencil, quarter);
    // The whole, laid so that this tile's share of it falls into the room.
    let corner =
        [room.left - column as f64 * (room.width - OVERLAP), room.top - row as f64 * (room.height - OVERLAP)];
    let middle = [corner[0] + size[0] / 2.0, corner[1] + size[1] / 2.0];
    let laid = Laid { middle: bounds(stencil).middle(), at: middle, quarter };
    let id = format!("tile-{column}-{row}");
    let _ = writeln!(
        out,
        r#"<clipPath id="{id}"><rect x="{}" y="{}" width="{}" height="{}"/></clipPath>"#,
        number(room.left),
        number(room.top),
        number(room.width),
        number(room.height),
    );
    let _ = writeln!(out, r#"<g clip-path="url(#{id})">"#);
    shape(out, stencil, &laid);
    out.push_str("</g>\n");
    seams(out, room, [column, row], grid);
}

/// The crosses of the seams this tile shares with its neighbours, lettered by seam.
fn seams(out: &mut String, room: Area, [column, row]: [usize; 2], grid: [usize; 2]) {
    let half = OVERLAP / 2.0;
    let (right, bottom) = (room.left + room.width, room.top + room.height);
    let quarters = |from: f64, length: f64| [from + length * 0.25, from + length * 0.75];
    let mut marks: Vec<(Spot, String)> = Vec::new();
    let mut upright = |x: f64, seam: usize| {
        let named = |(n, y): (usize, f64)| ([x, y], format!("{seam}{}", ["a", "b"][n]));
        marks.extend(quarters(room.top, room.height).into_iter().enumerate().map(named));
    };
    if column > 0 {
        upright(room.left + half, column);
    }
    if column + 1 < grid[0] {
        upright(right - half, column + 1);
    }
    let mut level = |y: f64, seam: usize| {
        let named = |(n, x): (usize, f64)| ([x, y], format!("{seam}{}", ["c", "d"][n]));
        marks.extend(quarters(room.left, room.width).into_iter().enumerate().map(named));
    };
    if row > 0 {
        level(room.top + half, row);
    }
    if row + 1 < grid[1] {
        level(bottom - half, row + 1);
    }
    for ([x, y], name) in marks {
        line(out, [x - 4.0, y], [x + 4.0, y], RUST, 0.15);
        line(out, [x, y - 4.0], [x, y + 4.0], RUST, 0.15);
        text(out, [x + 1.0, y - 1.0], Lettering::plain(2.6).ink(RUST), &name);
    }
}
