//! The worst clearances: a dimension line between the two deciding points, a letter, and words beside.

use crate::dimension::Words;
use crate::projection::View;
use crate::scale::{Area, Scale};
use crate::silhouette::PaperPoint;
use crate::svg::{INK, Lettering, PAPER, RUST, line, number, text};
use crate::title_block::{hue, mark};
use crate::wrap::wrapped;
use fit::BodyPoint;
use proof::{Finding, Verdict, Witness};
use quantity::decimal;
use std::fmt::Write;

/// How many clearances are called out at most.
pub(crate) const CALLED_OUT_MAX: usize = 5;
/// Lines of words to one of them at most.
const ROWS_MAX: usize = 10;
/// Radius of the circle round a letter.
const RING: f64 = 2.7;
/// How far the rim of that circle stays from the middle of the words of a size: half their height and some air.
const BESIDE_WORDS: f64 = 2.2;
/// Below this length on paper a pair is seen along its line and ringed instead.
const SEEN_ALONG: f64 = 0.9;

/// One clearance to be called out.
pub(crate) struct Callout<'a> {
    pub letter: char,
    pub finding: &'a Finding,
    witness: &'a Witness,
}

/// The worst clearances, the worst first: findings with two deciding points.
pub(crate) fn callouts(findings: &[Finding]) -> Vec<Callout<'_>> {
    let mut pairs: Vec<(&Finding, &Witness)> =
        findings.iter().filter_map(|f| Some((f, f.witness.as_ref()?))).collect();
    let in_hand = |f: &Finding| f.margin.map_or(f64::INFINITY, |margin| margin.quantity.value);
    pairs.sort_by(|(a, _), (b, _)| a.verdict.cmp(&b.verdict).then(in_hand(a).total_cmp(&in_hand(b))));
    let lettered = pairs.into_iter().take(CALLED_OUT_MAX).zip('A'..);
    lettered.map(|((finding, witness), letter)| Callout { letter, finding, witness }).collect()
}

/// Draws the dimension lines with their letters.
pub(crate) fn draw_callouts(
    out: &mut String,
    callouts: &[Callout],
    view: View,
    scale: &Scale,
    area: Area,
    words: &[Words],
) {
    let centre = [area.left + area.width / 2.0, area.top + area.height / 2.0];
    let eye = view.eye();
    let mut taken: Vec<PaperPoint> = Vec::new();
    for callout in callouts {
        let on_paper = |[x, y, z]: [f64; 3]| {
            let seen = eye.see(BodyPoint::new(x, y, z));
            scale.at([seen.u, seen.v])
        };
        let (a, b) = (on_paper(callout.witness.on_a), on_paper(callout.witness.on_b));
        let middle = [(a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0];
        let at = free_place(middle, centre, &taken, area, words);
        taken.push(at);
        measured(out, a, b, middle);
        lettered(out, callout.letter, middle, at);
    }
}

fn measured(out: &mut String, a: PaperPoint, b: PaperPoint, middle: PaperPoint) {
    if (a[0] - b[0]).hypot(a[1] - b[1]) < SEEN_ALONG {
        let _ = writeln!(
            out,
            r#"<circle cx="{}" cy="{}" r="1.3" fill="none" stroke="{RUST}" stroke-width="0.4"/>"#,
            number(middle[0]),
            number(middle[1])
        );
        return;
    }
    line(out, a, b, RUST, 0.45);
    for [x, y] in [a, b] {
        let _ = writeln!(out, r#"<circle cx="{}" cy="{}" r="0.6" fill="{RUST}"/>"#, number(x), number(y));
    }
}

fn lettered(out: &mut String, letter: char, from: PaperPoint, at: PaperPoint) {
    let length = (at[0] - from[0]).hypot(at[1] - from[1]).max(1e-9);
    let toward = |r: f64| [at[0] + (from[0] - at[0]) * r / length, at[1] + (from[1] - at[1]) * r / length];
    line(out, from, toward(RING), RUST, 0.2);
    let _ = writeln!(
        out,
        r#"<circle cx="{}" cy="{}" r="{RING}" fill="{PAPER}" stroke="{RUST}" stroke-width="0.35"/>"#,
        number(at[0]),
        number(at[1])
    );
    let letters = Lettering::plain(3.6).centred().bold().ink(RUST);
    text(out, [at[0], at[1] + 1.3], letters, &letter.to_string());
}

/// A place for a letter: outward from the middle of the sheet, clear of the letters before it and of the words of sizes.
fn free_place(
    from: PaperPoint,
    centre: PaperPoint,
    taken: &[PaperPoint],
    area: Area,
    words: &[Words],
) -> PaperPoint {
    let outward = (from[1] - centre[1]).atan2(from[0] - centre[0]);
    let candidates = [10.0, 15.0, 21.0, 28.0].into_iter().flat_map(|reach: f64| {
        [0.0, 0.5, -0.5, 1.0, -1.0, 1.6, -1.6, 2.3, -2.3, 3.1].into_iter().map(move |turn: f64| {
            let (sin, cos) = (outward + turn).sin_cos();
            [from[0] + reach * cos, from[1] + reach * sin]
        })
    });
    let inside = |p: &PaperPoint| {
        (area.left..=area.left + area.width).contains(&p[0])
            && (area.top..=area.top + area.height).contains(&p[1])
    };
    let apart = |p: &PaperPoint| taken.iter().all(|q| (p[0] - q[0]).hypot(p[1] - q[1]) > 2.0 * RING + 1.0);
    let clear = |p: &PaperPoint| words.iter().all(|words| words.from(*p) > RING + BESIDE_WORDS);
    candidates.into_iter().find(|p| inside(p) && apart(p) && clear(p)).unwrap_or([from[0] + 10.0, from[1]])
}

/// The words of each callout, one under the other.
pub(crate) fn tell_callouts(out: &mut String, callouts: &[Callout], area: Area) {
    let heading = Lettering::plain(4.4).heading().bold();
    text(out, [area.left, area.top + 4.0], heading, "Least clearances");
    let mut y = area.top + 11.0;
    if callouts.is_empty() {
        text(out, [area.left, y], Lettering::plain(3.4), "No pair of solids was measured.");
    }
    let rows = |most: usize| -> Vec<Vec<String>> {
        let told = |callout: &Callout| wrapped(&callout.finding.message, area.width - 5.0, 3.3, most);
        callouts.iter().map(told).collect()
    };
    let high = |rows: &[Vec<String>]| -> f64 {
        rows.iter().map(|rows| 7.5 + 4.3 * rows.len() as f64).sum::<f64>() - 7.5
    };
    // As many lines to each as the paper has room for; some, where it has none.
    let rows = (4..=ROWS_MAX).rev().map(rows).find(|rows| y + high(rows) <= area.top + area.height);
    let rows = rows.unwrap_or_else(|| {
        callouts.iter().map(|callout| wrapped(&callout.finding.message, area.width - 5.0, 3.3, 4)).collect()
    });
    for (callout, rows) in callouts.iter().zip(rows) {
        let finding = callout.finding;
        text(out, [area.left, y], Lettering::plain(3.8).bold().ink(RUST), &callout.letter.to_string());
        mark(out, finding.verdict, [area.left + 7.0, y - 1.25]);
        let letters = Lettering::plain(3.6).bold().ink(hue(finding.verdict));
        text(out, [area.left + 10.5, y], letters, &headline(finding));
        for row in rows {
            y += 4.3;
            text(out, [area.left + 5.0, y], Lettering::plain(3.3).ink(INK), &row);
        }
        y += 7.5;
    }
}

/// The verdict with what is in hand or short.
pub(crate) fn headline(finding: &Finding) -> String {
    let word = finding.verdict.word();
    let Some(margin) = finding.margin else { return word.to_owned() };
    let value = margin.quantity.value;
    let doubt = margin.uncertainty.map_or(String::new(), |u| format!(" ± {}", shown(u)));
    let unit = margin.quantity.unit.symbol();
    let how = if value < 0.0 { "short" } else { "in hand" };
    match finding.verdict {
        Verdict::Unknown => word.to_owned(),
        _ => format!("{word}: {}{doubt} {unit} {how}", shown(value.abs())),
    }
}

/// One decimal, two where one would say too little.
fn shown(value: f64) -> String {
    match value {
        0.0 => "0".to_owned(),
        little if little < 0.095 => decimal(little, 2),
        more => decimal(more, 1),
    }
}
