//! One view of a craft on one sheet.
//!
//! A4 across, 297 by 210 mm, one unit of the SVG for each mm. Left the view with its overall and key sizes and
//! scale bar, right the least clearances in words and the title block.

use crate::callout::{Callout, callouts, draw_callouts, tell_callouts};
use crate::dimension::{overall, scale_bar};
use crate::key_sizes::key_sizes;
use crate::layers::{Layer, corners, hatching, layers, paint};
use crate::paper::{Page, Paper, opened};
use crate::projection::View;
use crate::scale::{Area, Bounds, Scale};
use crate::svg::{HAIRLINE, Lettering, RUST, line, text};
use crate::title_block::title_block;
use crate::wrap::on_one_line;
use craft::Craft;
use proof::{Proof, Proved, Verdict};
use std::fmt::Write;

const VIEW: Area = Area { left: 30.0, top: 20.0, width: 164.0, height: 146.0 };
const LETTERS: Area = Area { left: 12.0, top: 13.0, width: 186.0, height: 168.0 };
const WORDS: Area = Area { left: 207.0, top: 11.0, width: 81.0, height: 145.0 };
const BLOCK: Area = Area { left: 203.0, top: 161.0, width: 87.0, height: 42.0 };
const BAR: Area = Area { left: 13.0, top: 197.0, width: 60.0, height: 4.0 };
const NOT_DRAWN: Area = Area { left: 13.0, top: 188.0, width: 185.0, height: 3.4 };
const LEGEND: &str = "Carbon hatched; hidden edges dashed; swept and kept-clear space dotted.";

/// A view of a craft as a page.
pub fn page(craft: &Craft, proved: &Proved, view: View) -> Page {
    Page::new(Paper::ACROSS, draw(craft, proved, view))
}

/// A view of a craft as SVG.
pub fn draw(craft: &Craft, proved: &Proved, view: View) -> String {
    let layers = layers(&proved.solids, view);
    let called = callouts(&proved.findings);
    let mut out = head(craft, proved, view, &called);
    hatching(&mut out);
    let scale = the_view(&mut out, craft, proved, &layers, view, &called);
    tell_callouts(&mut out, &called, WORDS);
    let scale = scale.map_or("No scale".to_owned(), |scale| format!("Scale {}", scale.words));
    title_block(&mut out, craft, &proved.findings, view.plain(), &scale, BLOCK);
    out.push_str("</svg>\n");
    out
}

fn head(craft: &Craft, proved: &Proved, view: View, called: &[Callout]) -> String {
    let title = format!("{} from the {}", craft.name, view.word());
    let mut out = opened(Paper::ACROSS, &title, &described(craft, proved, view, called));
    line(&mut out, [203.0, 7.0], [203.0, 203.0], HAIRLINE, 0.15);
    out
}

/// What the sheet shows, for those who cannot see it.
fn described(craft: &Craft, proved: &Proved, view: View, called: &[Callout]) -> String {
    let count = |verdict| proved.findings.iter().filter(|f| f.verdict == verdict).count();
    let mut words = format!(
        "{}, {}, {}. Findings: {} broken, {} tight, {} unknown, {} sound.",
        craft.name,
        craft.class.map_or("class not said", |class| class.plain()),
        view.plain(),
        count(Verdict::Broken),
        count(Verdict::Tight),
        count(Verdict::Unknown),
        count(Verdict::Sound),
    );
    for callout in called {
        let _ = write!(
            words,
            " {}: {}, {}.",
            callout.letter,
            callout.finding.verdict.word(),
            callout.finding.message
        );
    }
    words
}

fn the_view(
    out: &mut String,
    craft: &Craft,
    proved: &Proved,
    layers: &[Layer],
    view: View,
    called: &[Callout],
) -> Option<Scale> {
    let all = Bounds::of(corners(layers, false).chain(corners(layers, true)));
    let Some(all) = all else {
        let middle = [VIEW.left + VIEW.width / 2.0, VIEW.top + VIEW.height / 2.0];
        text(out, middle, Lettering::plain(4.0).centred(), "Nothing has a size and a place yet.");
        return None;
    };
    let solid = Bounds::of(corners(layers, false)).unwrap_or(all);
    let scale = Scale::fitting(all, VIEW);
    paint(out, layers, &scale);
    let mut words = overall(out, solid, all, &scale);
    words.extend(key_sizes(out, craft, proved, view, all, &scale));
    draw_callouts(out, called, view, &scale, LETTERS, &words);
    scale_bar(out, &scale, BAR);
    text(out, [90.0, 199.0], Lettering::plain(3.0), LEGEND);
    let left_out = proved.solids.len() - layers.len();
    if left_out > 0 {
        let words =
            format!("Simplified: the {left_out} smallest of {} solids are not drawn.", proved.solids.len());
        text(out, [90.0, 194.6], Lettering::plain(3.0).ink(RUST), &words);
    }
    not_drawn(out, craft);
    Some(scale)
}

/// What could not be drawn, so that nobody takes its place for free.
fn not_drawn(out: &mut String, craft: &Craft) {
    let proof = Proof::new(craft);
    let mut names: Vec<&str> = proof.inputs().unbuilt.iter().map(|unbuilt| unbuilt.what.as_str()).collect();
    names.dedup();
    if names.is_empty() {
        return;
    }
    let words = format!("Not drawn, as its facts are missing or wrong: {}.", names.join("; "));
    let words = on_one_line(&words, NOT_DRAWN.width, NOT_DRAWN.height);
    text(out, [NOT_DRAWN.left, NOT_DRAWN.top], Lettering::plain(NOT_DRAWN.height).bold().ink(RUST), &words);
}
