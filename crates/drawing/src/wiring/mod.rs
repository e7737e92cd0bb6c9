//! The wiring of a craft on paper: the diagram across one sheet, then the lists that lie beside it on the bench.
//!
//! First sheet: parts as blocks, pads in their true order, wires run square with few crossings, what is wrong marked in place
//! by shape and letter, the letters told below. Then upright sheets: what to solder with gauge, colour and length; what to set in
//! plain words; the first power-up in the safe order with its cautions.

mod channel;
mod crossing;
mod layout;
mod lists;
mod orders;
mod paint;
mod place;
mod plan;

use crate::paper::{Page, Paper, opened};
use crate::scale::Area;
use crate::svg::{HAIRLINE, Lettering, PAPER, escaped, line, number, text};
use crate::title_block::{hue, mark, title_block};
use crate::wrap::wrapped;
use craft::Craft;
use layout::{Layout, layout};
use proof::wiring::{WiringModel, wires_concerned};
use proof::{Proved, Verdict};
use std::fmt::Write;

/// What is wrong with the wiring, with the wires it is about.
#[derive(Clone, Debug, PartialEq)]
pub struct Marked {
    /// Its letter on the diagram.
    pub letter: String,
    /// The number of the finding in the proof.
    pub finding: usize,
    /// How it stands.
    pub verdict: Verdict,
    /// What it says.
    pub message: String,
    /// The wires concerned, by row of the craft.
    pub rows: Vec<usize>,
    /// The units concerned.
    pub units: Vec<usize>,
}

/// A pad on the diagram.
#[derive(Clone, Debug, PartialEq)]
pub struct DiagramPad {
    /// The pad's number in the model.
    pub pad: usize,
    /// Where it is, mm from the upper left of the diagram.
    pub at: [f64; 2],
    /// Whether it looks to the right.
    pub right: bool,
}

/// The diagram alone, for the screen.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagram {
    /// The picture.
    pub svg: String,
    /// Its width, mm.
    pub width: f64,
    /// Its height, mm.
    pub height: f64,
    /// Every pad with its place on it.
    pub pads: Vec<DiagramPad>,
    /// How often wires cross.
    pub crossings: usize,
    /// That in words, and how sure it is that no drawing has fewer.
    pub crossed: String,
    /// What is wrong, in the letters of the picture.
    pub marked: Vec<Marked>,
}

const ROOM: Area = Area { left: 12.0, top: 20.0, width: 273.0, height: 136.0 };
const BLOCK: Area = Area { left: 203.0, top: 161.0, width: 87.0, height: 42.0 };
const TOLD: Area = Area { left: 12.0, top: 168.0, width: 184.0, height: 34.0 };
/// What is told of ground, rails and their feed and is mended by moving a wire.
const OF_RAILS: [&str; 5] =
    ["feed.ground_return", "feed.rail_load", "feed.max_voltage", "feed.dropout", "feed.inrush"];
/// Faults that get a letter; further ones are counted.
const MARKED_MOST: usize = 12;
/// Paper round the diagram on the screen.
const MARGIN: f64 = 4.0;

/// Everything that is not sound about wires, worst first, with letters.
pub fn marked(proved: &Proved) -> Vec<Marked> {
    let Some(model) = proved.wiring.as_deref() else { return Vec::new() };
    let about = |rule: &str| rule.starts_with("wire.") || OF_RAILS.contains(&rule);
    let found = proved.findings.iter().enumerate();
    found
        .filter(|(_, finding)| about(finding.rule) && finding.verdict != Verdict::Sound)
        .take(MARKED_MOST)
        .enumerate()
        .map(|(n, (number, finding))| Marked {
            letter: char::from(b'A' + (n % 26) as u8).to_string(),
            finding: number,
            verdict: finding.verdict,
            message: finding.message.clone(),
            rows: wires_concerned(model, &finding.subject, &finding.message),
            units: finding.places.iter().filter_map(|place| model.unit_at(place)).collect(),
        })
        .collect()
}

/// The diagram alone.
pub fn wiring_diagram(craft: &Craft, proved: &Proved) -> Option<Diagram> {
    let model = proved.wiring.as_deref().filter(|model| !model.pads.is_empty())?;
    let found = layout(model);
    let marked = marked(proved);
    let (width, height) = (found.width + 2.0 * MARGIN, found.height + 2.0 * MARGIN);
    let mut svg = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {} {}" role="img" aria-label="{}">"#,
        number(width),
        number(height),
        escaped(&described(craft, model, &found, &marked)),
    );
    let _ =
        write!(svg, "\n<rect width=\"{}\" height=\"{}\" fill=\"{PAPER}\"/>\n", number(width), number(height));
    let _ = writeln!(svg, r#"<g transform="translate({MARGIN} {MARGIN})">"#);
    paint::paint(&mut svg, model, &found, &marked);
    svg.push_str("</g>\n</svg>\n");
    let pads = found.spots.iter().map(|spot| DiagramPad {
        pad: spot.pad,
        at: [spot.at[0] + MARGIN, spot.at[1] + MARGIN],
        right: spot.right,
    });
    Some(Diagram {
        svg,
        width,
        height,
        pads: pads.collect(),
        crossings: found.crossings,
        crossed: crossed(&found),
        marked,
    })
}

/// How often wires cross, and how sure it is that no drawing has fewer.
fn crossed(layout: &Layout) -> String {
    let times = match layout.crossings {
        0 => return "No wire crosses another.".to_owned(),
        1 => "Wires cross once".to_owned(),
        n => format!("Wires cross {n} times"),
    };
    match layout.unspared {
        _ if layout.proven => format!("{times}: no order of parts, plugs and tracks has fewer."),
        n if n == layout.crossings => {
            format!("{times}, and no tracks spare one with the parts in this order.")
        }
        0 => format!("{times}; another order might spare them."),
        n => format!("{times}; with the parts in this order {n} cannot be spared."),
    }
}

fn described(craft: &Craft, model: &WiringModel, layout: &Layout, marked: &[Marked]) -> String {
    let mut words = format!(
        "Wiring of {}: {} parts, {} pads, {} wires as drawn. {}",
        craft.name,
        layout.blocks.len(),
        model.pads.len(),
        layout.ways.len(),
        crossed(layout)
    );
    for fault in marked {
        let _ = write!(words, " {}: {}, {}.", fault.letter, fault.verdict.word(), fault.message);
    }
    words
}

/// The sheets of the wiring: the diagram, then the lists.
pub fn wiring(craft: &Craft, proved: &Proved) -> Vec<Page> {
    let mut pages = vec![first(craft, proved)];
    pages.extend(lists::lists(craft, proved));
    pages
}

fn first(craft: &Craft, proved: &Proved) -> Page {
    let title = format!("{}: wiring", craft.name);
    let model = proved.wiring.as_deref().filter(|model| !model.pads.is_empty());
    let Some(model) = model else {
        let words = "No part has pads yet. Enter the pads and pins on the sheets of flight controller, transmitter and receiver, in their true order.";
        let mut out = opened(Paper::ACROSS, &title, words);
        let mut y = 60.0;
        for row in wrapped(words, 150.0, 4.4, 4) {
            text(&mut out, [30.0, y], Lettering::plain(4.4), &row);
            y += 6.0;
        }
        title_block(&mut out, craft, &proved.findings, "wiring", "No scale", BLOCK);
        out.push_str("</svg>\n");
        return Page::new(Paper::ACROSS, out);
    };
    let found = layout(model);
    let marked = marked(proved);
    let mut out = opened(Paper::ACROSS, &title, &described(craft, model, &found, &marked));
    text(&mut out, [12.0, 15.0], Lettering::plain(5.0).heading().bold(), "Wiring");
    let crossed = crossed(&found);
    let words = format!("Pads in their true order, top to bottom. Gauge is American. {crossed}");
    text(&mut out, [36.0, 15.0], Lettering::plain(3.0), &words);
    let scale = (ROOM.width / found.width).min(ROOM.height / found.height).min(1.15);
    let (dx, dy) = (
        ROOM.left + 0.5 * (ROOM.width - scale * found.width),
        ROOM.top + 0.5 * (ROOM.height - scale * found.height),
    );
    let _ = writeln!(
        out,
        r#"<g transform="translate({} {}) scale({})">"#,
        number(dx),
        number(dy),
        (scale * 1e4).round() / 1e4
    );
    paint::paint(&mut out, model, &found, &marked);
    out.push_str("</g>\n");
    legend(&mut out);
    told(&mut out, &marked);
    title_block(&mut out, craft, &proved.findings, "wiring", "No scale", BLOCK);
    out.push_str("</svg>\n");
    Page::new(Paper::ACROSS, out)
}

fn legend(out: &mut String) {
    let mut x = 14.0;
    for (word, says) in paint::LEGEND {
        paint::shape(out, Some(word), [x, 162.0], 1.0);
        text(out, [x + 2.6, 163.0], Lettering::plain(2.8), says);
        x += 7.0 + crate::wrap::width_of(says, 2.8);
    }
    line(out, [12.0, 165.4], [197.0, 165.4], HAIRLINE, 0.15);
}

fn told(out: &mut String, marked: &[Marked]) {
    let mut y = TOLD.top + 2.0;
    if marked.is_empty() {
        mark(out, Verdict::Sound, [TOLD.left + 2.0, y - 1.1]);
        text(out, [TOLD.left + 6.0, y], Lettering::plain(3.2), "Nothing about these wires is at fault.");
        return;
    }
    for (number, fault) in marked.iter().enumerate() {
        let rows = wrapped(&fault.message, TOLD.width - 12.0, 3.1, 3);
        if y + 3.8 * rows.len() as f64 > TOLD.top + TOLD.height {
            let left = marked.len() - number;
            text(
                out,
                [TOLD.left + 6.0, y],
                Lettering::plain(3.1),
                &format!("{left} more are told on the next sheet."),
            );
            return;
        }
        mark(out, fault.verdict, [TOLD.left + 2.0, y - 1.1]);
        text(out, [TOLD.left + 5.2, y], Lettering::plain(3.1).bold().ink(hue(fault.verdict)), &fault.letter);
        for row in rows {
            text(out, [TOLD.left + 9.0, y], Lettering::plain(3.1), &row);
            y += 3.8;
        }
        y += 0.6;
    }
}

#[cfg(test)]
mod tests;
