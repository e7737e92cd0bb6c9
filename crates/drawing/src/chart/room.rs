//! What stands about a chart, and the room it is given: a sheet, or a picture for a screen.

use super::ground::on;
use super::hatch::hatches;
use super::{Chart, ChartFault, Ground};
use crate::paper::{Page, Paper, opened};
use crate::scale::Area;
use crate::svg::{HAIRLINE, INK, Lettering, PAPER, escaped, line, number, text};
use crate::wrap::wrapped;
use std::fmt::Write;

/// The least width of a picture, in mm: a phone held upright.
pub const WIDTH_LEAST: f64 = 60.0;
/// The most: a sheet.
pub const WIDTH_MOST: f64 = 297.0;

/// What stands about a chart.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Caption {
    /// What it shows, of what.
    pub title: String,
    /// What it says, in a sentence or two, for those who see it and those who do not.
    pub message: String,
    /// What it rests on and what to be careful of, a line each; on a sheet they stand at its foot.
    pub notes: Vec<String>,
}

impl Caption {
    /// A title and a message without notes.
    pub fn new(title: impl Into<String>, message: impl Into<String>) -> Self {
        Self { title: title.into(), message: message.into(), notes: Vec::new() }
    }

    /// The same with a note more.
    #[must_use]
    pub fn noting(mut self, note: impl Into<String>) -> Self {
        self.notes.push(note.into());
        self
    }
}

const LEFT: f64 = 15.0;
const WIDTH: f64 = 267.0;
const NOTE: f64 = 3.2;

pub(super) fn page(chart: &Chart) -> Result<Page, ChartFault> {
    let caption = chart.caption();
    let mut out = opened(Paper::ACROSS, &caption.title, &spoken(chart)?);
    hatches(&mut out);
    let mut y = 18.5;
    for row in wrapped(&caption.title, WIDTH, 6.2, 2) {
        text(&mut out, [LEFT, y], Lettering::plain(6.2).heading().bold(), &row);
        y += 7.2;
    }
    for row in wrapped(&caption.message, WIDTH, 4.0, 4) {
        text(&mut out, [LEFT, y], Lettering::plain(4.0), &row);
        y += 5.2;
    }
    let notes: Vec<String> = caption.notes.iter().flat_map(|note| wrapped(note, WIDTH, NOTE, 3)).collect();
    let foot = 200.0 - notes.len() as f64 * 4.2;
    if !notes.is_empty() {
        line(&mut out, [LEFT, foot], [LEFT + WIDTH, foot], HAIRLINE, 0.15);
    }
    for (n, row) in notes.iter().enumerate() {
        text(&mut out, [LEFT, foot + 4.6 + 4.2 * n as f64], Lettering::plain(NOTE), row);
    }
    let room = Area { left: LEFT, top: y, width: WIDTH, height: (foot - 3.0 - y).max(40.0) };
    // An account is not pulled apart further than reads well; all else takes the room there is.
    let height = match chart {
        Chart::Steps(_) => (chart.height(WIDTH) * 1.25).min(room.height),
        _ => room.height,
    };
    chart.draw(&mut out, Area { height, ..room })?;
    out.push_str("</svg>\n");
    Ok(Page::new(Paper::ACROSS, out))
}

pub(super) fn picture(chart: &Chart, width: f64, ground: Ground) -> Result<String, ChartFault> {
    if !(WIDTH_LEAST..=WIDTH_MOST).contains(&width) {
        return Err(ChartFault::Width { width_mm: width });
    }
    let height = chart.height(width);
    let [w, h] = [width, height].map(number);
    let mut out = format!(
        concat!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}" role="img">"#,
            "\n<title>{title}</title>\n<desc>{words}</desc>\n",
            r#"<rect width="{w}" height="{h}" fill="{paper}"/>"#,
            "\n"
        ),
        w = w,
        h = h,
        title = escaped(&chart.caption().title),
        words = escaped(&spoken(chart)?),
        paper = PAPER,
    );
    hatches(&mut out);
    chart.draw(&mut out, Area { left: 1.0, top: 0.5, width: width - 2.0, height: height - 1.0 })?;
    out.push_str("</svg>\n");
    Ok(on(out, ground))
}

/// Message, then what is shown.
fn spoken(chart: &Chart) -> Result<String, ChartFault> {
    let told = chart.told()?;
    let message = &chart.caption().message;
    Ok(if message.is_empty() { told } else { format!("{message} {told}") })
}

/// A frame about a plot.
pub(super) fn frame(out: &mut String, plot: Area) {
    let _ = writeln!(
        out,
        r#"<rect x="{}" y="{}" width="{}" height="{}" fill="none" stroke="{INK}" stroke-width="0.3"/>"#,
        number(plot.left),
        number(plot.top),
        number(plot.width),
        number(plot.height)
    );
}

/// Words with a border of paper about each letter, so that they read over lines.
pub(super) fn over(out: &mut String, at: [f64; 2], letters: Lettering, words: &str) {
    let weight = if letters.bold { r#" font-weight="bold""# } else { "" };
    let _ = writeln!(
        out,
        r#"<text x="{}" y="{}" font-family="{}" font-size="{}" text-anchor="{}" fill="{}" stroke="{PAPER}" stroke-width="1" stroke-linejoin="round" paint-order="stroke"{weight}>{}</text>"#,
        number(at[0]),
        number(at[1]),
        letters.family,
        letters.size,
        letters.anchor,
        letters.ink,
        escaped(words),
    );
}
