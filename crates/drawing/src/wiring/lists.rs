//! The lists of the wiring on upright sheets: to solder, to set, to power.

use super::marked;
use crate::cautions::FLIGHT;
use crate::flow::{Head, Row, fill};
use crate::paper::{Page, Paper, opened};
use crate::scale::Area;
use crate::svg::{INK, Lettering, line, text};
use crate::wrap::{on_one_line, wrapped};
use craft::Craft;
use proof::wiring::{SolderRow, beside_the_wires, power_up_steps, settings_list};
use proof::{Proof, Proved};

const LEFT: f64 = 14.0;
const WIDTH: f64 = 182.0;
const ROOM: Area = Area { left: LEFT, top: 24.0, width: WIDTH, height: 262.0 };
const HEADING: Lettering = Lettering::plain(4.2).heading().bold();
const PLAIN: Lettering = Lettering::plain(3.3);
/// Pages at most: a sheet with thousands of wires is no craft.
const PAGES_MOST: usize = 24;

/// The sheets of lists; none where there is nothing to list.
pub(super) fn lists(craft: &Craft, proved: &Proved) -> Vec<Page> {
    let Some(model) = proved.wiring.as_deref() else { return Vec::new() };
    let proof = Proof::new(craft);
    let mut rows = Vec::new();
    if model.is_wired() {
        heading(&mut rows, "To solder and to plug");
        for (number, row) in model.solder_list().iter().enumerate() {
            solder(&mut rows, number + 1, row);
        }
        paragraph(
            &mut rows,
            "Lengths marked ≈ are worked out from where the pads stand, led square, with slack; cut long and trim.",
            0.0,
        );
        let beside = beside_the_wires(&proof);
        if !beside.is_empty() {
            heading(&mut rows, "Beside the wires, and not on the diagram");
        }
        for joint in &beside {
            lines(&mut rows, Some(Head::Label("•".to_owned())), &joint.words(), 9.0);
        }
    }
    let faults = marked(proved);
    if !faults.is_empty() {
        heading(&mut rows, "What is at fault");
        for fault in &faults {
            let words = format!("{}: {}", fault.letter, fault.message);
            let finding = proved.findings.get(fault.finding);
            lines(&mut rows, Some(Head::Verdict(fault.verdict)), &words, 7.0);
            for mend in finding.into_iter().flat_map(|finding| &finding.mends) {
                hold(&mut rows);
                lines(&mut rows, None, mend, 12.0);
            }
        }
    }
    let settings = settings_list(&proof);
    if !settings.is_empty() {
        heading(&mut rows, "To set, and to read back");
        for (number, setting) in settings.iter().enumerate() {
            lines(&mut rows, Some(Head::Label((number + 1).to_string())), setting, 9.0);
        }
    }
    heading(&mut rows, "First power-up after wiring, in this order");
    for (number, step) in power_up_steps(&proof).iter().enumerate() {
        lines(&mut rows, Some(Head::Label((number + 1).to_string())), &step.does, 9.0);
        hold(&mut rows);
        lines(&mut rows, None, &step.why, 12.0);
    }
    heading(&mut rows, "Cautions");
    for (what, words) in FLIGHT {
        lines(&mut rows, None, &format!("{what}: {words}"), 4.0);
    }
    rows.reverse();
    let mut pages = Vec::new();
    while !rows.is_empty() && pages.len() < PAGES_MOST {
        let title = format!("{}: wiring, lists", craft.name);
        let mut out = opened(
            Paper::UPRIGHT,
            &title,
            "What to solder, what to set, and the first power-up in the safe order.",
        );
        let name = on_one_line(&craft.name, 120.0, 6.0);
        text(&mut out, [LEFT, 16.0], Lettering::plain(6.0).heading().bold(), &name);
        let page = format!("wiring, list {}", pages.len() + 1);
        text(&mut out, [LEFT + WIDTH, 16.0], Lettering::plain(3.2).ending(), &page);
        line(&mut out, [LEFT, 19.5], [LEFT + WIDTH, 19.5], INK, 0.35);
        let before = rows.len();
        fill(&mut out, &mut rows, ROOM);
        out.push_str("</svg>\n");
        pages.push(Page::new(Paper::UPRIGHT, out));
        if rows.len() == before {
            break;
        }
    }
    pages
}

fn heading(rows: &mut Vec<Row>, words: &str) {
    if !rows.is_empty() {
        rows.push(Row::new(PLAIN, "", 4.0));
    }
    let mut row = Row::new(HEADING, words, 6.4);
    row.holds = true;
    rows.push(row);
}

/// What follows the last row stays beside it: a step with its reason, a fault with its mends.
fn hold(rows: &mut [Row]) {
    if let Some(last) = rows.last_mut() {
        last.holds = true;
    }
}

fn paragraph(rows: &mut Vec<Row>, words: &str, indent: f64) {
    lines(rows, None, words, indent);
}

fn lines(rows: &mut Vec<Row>, head: Option<Head>, words: &str, indent: f64) {
    let wrapped = wrapped(words, WIDTH - indent, PLAIN.size, 8);
    let count = wrapped.len();
    for (number, words) in wrapped.into_iter().enumerate() {
        let mut row = Row::new(PLAIN, words, if number + 1 == count { 4.9 } else { 4.2 });
        row.indent = indent;
        row.head = head.clone().filter(|_| number == 0);
        row.holds = number + 1 < count;
        rows.push(row);
    }
}

fn solder(rows: &mut Vec<Row>, number: usize, row: &SolderRow) {
    let mut words = format!("{} to {}", row.from, row.to);
    if let Some(pins) = row.pins {
        words.push_str(&format!(", ready-made lead of {pins} pins"));
    }
    words.push_str(
        &row.gauge.map_or_else(|| ", gauge not said".to_owned(), |gauge| format!(", gauge {gauge}")),
    );
    if let Some(colour) = &row.colour {
        words.push_str(&format!(", {colour}"));
    }
    words.push_str(&match row.length {
        Some((length, true)) => format!(", {length:.0} mm"),
        Some((length, false)) => format!(", ≈ {length:.0} mm"),
        None => ", length not known".to_owned(),
    });
    lines(rows, Some(Head::Label(number.to_string())), &words, 9.0);
}
