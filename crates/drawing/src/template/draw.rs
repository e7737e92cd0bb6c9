//! Drawing a stencil true to size: rings, holes with their centre crosses and numbers, and its table of holes.

use super::stencil::{Bore, Spot, Stencil};
use crate::scale::Bounds;
use crate::silhouette::{PaperPoint, from_line};
use crate::svg::{HAIRLINE, INK, Lettering, RUST, line, number, path, text};
use crate::wrap::{on_one_line, width_of, wrapped};
use fit::{Hole, PlanePoint};
use quantity::{Millimetres, decimal};
use std::fmt::Write;

/// How far a centre cross reaches beyond the rim of its hole, in mm.
pub(crate) const CROSS: f64 = 1.6;
/// Height of a hole's number, and the air round it beyond which there is enough.
const LABEL: f64 = 2.6;
const ENOUGH: f64 = 2.5;
/// Height of a row of the table, and of what stands above it.
const ROW: f64 = 3.7;
const TABLE_HEAD: f64 = 9.0;
pub(crate) const TABLE_WIDTH: f64 = 86.0;

/// Where the stencil's plane lies on the paper: the middle of its bounds at a point, turned by a quarter or not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Laid {
    pub middle: Spot,
    pub at: PaperPoint,
    pub quarter: bool,
}

impl Laid {
    /// Where a spot lands.
    pub fn paper(&self, spot: Spot) -> PaperPoint {
        let [u, v] = [spot[0] - self.middle[0], spot[1] - self.middle[1]];
        let [u, v] = if self.quarter { [v, -u] } else { [u, v] };
        [self.at[0] + u, self.at[1] - v]
    }
}

/// The bounds of all that is drawn of a stencil, holes with their crosses.
pub(crate) fn bounds(stencil: &Stencil) -> Bounds {
    let mut points: Vec<PaperPoint> = stencil.outer.iter().map(|p| stencil.spot(*p)).collect();
    if !stencil.is_words() && !stencil.datum.edges {
        let [u, v] = stencil.datum.at;
        points.extend([[u, v], [u + 6.0, v], [u, v + 6.0]].map(|p| stencil.spot(p)));
    }
    for bore in &stencil.bores {
        let reach = bore.radius() + CROSS;
        for end in std::iter::once(bore.at).chain(bore.to) {
            let [u, v] = stencil.spot(end);
            points.extend([[u - reach, v - reach], [u + reach, v + reach]]);
        }
    }
    Bounds::of(&points).unwrap_or(Bounds { low: [0.0; 2], high: [0.0; 2] })
}

/// Draws the rings, the holes and the mark of the origin.
pub(crate) fn shape(out: &mut String, stencil: &Stencil, laid: &Laid) {
    let ring = |points: &[[f64; 2]]| points.iter().map(|p| laid.paper(stencil.spot(*p))).collect::<Vec<_>>();
    let mut rings = Vec::new();
    if !stencil.outer.is_empty() {
        rings.push(ring(&stencil.outer));
    }
    rings.extend(stencil.windows.iter().map(|window| ring(window)));
    if !rings.is_empty() {
        let _ =
            writeln!(out, r#"<path d="{}" fill="none" stroke="{INK}" stroke-width="0.25"/>"#, path(&rings));
    }
    origin(out, stencil, laid);
    let mut labels = Vec::new();
    for (n, bore) in stencil.bores.iter().enumerate() {
        hole(out, stencil, laid, bore, n + 1, &mut labels);
    }
}

/// How long the arms of the axes are, at most and at least, and how far before a hole they end, in mm.
const ARM: f64 = 6.0;
const ARM_LEAST: f64 = 1.2;
const BEFORE_HOLE: f64 = 2.4;

/// What positions are measured from, with the axes they are measured along.
fn origin(out: &mut String, stencil: &Stencil, laid: &Laid) {
    // Edges are there to be seen, and sizes stand from them.
    if stencil.is_words() || stencil.datum.edges {
        return;
    }
    let [u, v] = stencil.datum.at;
    let from = laid.paper(stencil.spot(stencil.datum.at));
    // An arm ends before a hole that lies on it, with room for its letter.
    let arm = |k: usize| {
        let reach = stencil.bores.iter().filter_map(|bore| {
            let along = [bore.at[k] - stencil.datum.at[k], bore.at[1 - k] - stencil.datum.at[1 - k]];
            let is_on_it = along[0] > 0.0 && along[1].abs() < bore.radius() + 1.5;
            is_on_it.then(|| along[0] - bore.radius() - BEFORE_HOLE)
        });
        reach.fold(ARM, f64::min).max(ARM_LEAST)
    };
    for (axis, end) in stencil.axes.into_iter().zip([[u + arm(0), v], [u, v + arm(1)]]) {
        let to = laid.paper(stencil.spot(end));
        line(out, from, to, HAIRLINE, 0.15);
        text(out, [to[0] + 0.6, to[1] - 0.4], Lettering::plain(2.6).ink(HAIRLINE), axis);
    }
}

fn hole(
    out: &mut String,
    stencil: &Stencil,
    laid: &Laid,
    bore: &Bore,
    label: usize,
    labels: &mut Vec<PaperPoint>,
) {
    let ink = if bore.new { RUST } else { INK };
    let radius = bore.radius();
    match bore.to {
        // Nobody said how wide: its middle alone is marked.
        None if bore.diameter.is_none() => {}
        None => {
            let [x, y] = laid.paper(stencil.spot(bore.at)).map(number);
            let r = number(radius);
            let _ = writeln!(
                out,
                r#"<circle cx="{x}" cy="{y}" r="{r}" fill="none" stroke="{ink}" stroke-width="0.2"/>"#
            );
        }
        Some(to) => {
            let at = |p: [f64; 2]| PlanePoint::new(p[0], p[1]);
            let slot = Hole::Slot { from: at(bore.at), to: at(to), width: Millimetres::new(2.0 * radius) };
            let ring: Vec<PaperPoint> =
                slot.corners().iter().map(|p| laid.paper(stencil.spot([p.x, p.y]))).collect();
            let d = path(&[ring]);
            let _ = writeln!(out, r#"<path d="{d}" fill="none" stroke="{ink}" stroke-width="0.2"/>"#);
        }
    }
    // A sink ends within the plate: dashed where it begins at the face that is not seen.
    if let Some(sink) = bore.sink {
        let [x, y] = laid.paper(stencil.spot(bore.at)).map(number);
        let r = number(sink.diameter / 2.0);
        let dashes = if sink.from_below { r#" stroke-dasharray="0.8 0.5""# } else { "" };
        let _ = writeln!(
            out,
            r#"<circle cx="{x}" cy="{y}" r="{r}" fill="none" stroke="{ink}" stroke-width="0.15"{dashes}/>"#
        );
    }
    for end in std::iter::once(bore.at).chain(bore.to) {
        let [x, y] = laid.paper(stencil.spot(end));
        let reach = radius + CROSS;
        line(out, [x - reach, y], [x + reach, y], ink, 0.1);
        line(out, [x, y - reach], [x, y + reach], ink, 0.1);
    }
    let letters = Lettering::plain(LABEL).ink(ink);
    let (at, letters) = label_place(stencil, laid, label - 1, letters, labels);
    text(out, at, letters, &label.to_string());
}

/// Where a hole's number stands: beside it toward the corner that is freest of other holes and of
/// lines of the plate.
fn label_place(
    stencil: &Stencil,
    laid: &Laid,
    number: usize,
    letters: Lettering,
    labels: &mut Vec<PaperPoint>,
) -> (PaperPoint, Lettering) {
    let bore = &stencil.bores[number];
    let from = laid.paper(stencil.spot(bore.at));
    let off = bore.widest() * std::f64::consts::FRAC_1_SQRT_2 + 0.6;
    let corner =
        |[sx, sy]: [f64; 2]| [from[0] + sx * (off + LABEL / 2.0), from[1] + sy * (off + LABEL / 2.0)];
    let air = |side: &[f64; 2]| {
        let middle = corner(*side);
        let others = stencil.bores.iter().enumerate().filter(|(n, _)| *n != number);
        let rims = others.flat_map(|(_, other)| {
            let ends = [Some(other.at), other.to].into_iter().flatten();
            ends.map(move |end| (laid.paper(stencil.spot(end)), other.radius()))
        });
        let lines = std::iter::once(&stencil.outer).chain(&stencil.windows).flat_map(|ring| {
            let next = ring.iter().cycle().skip(1);
            ring.iter().zip(next).map(|(a, b)| [a, b].map(|p| laid.paper(stencil.spot(*p))))
        });
        let beside_lines = lines.map(|[a, b]| from_line(middle, a, b));
        // Beyond some air more of it makes no difference: then the usual corner is kept.
        let beside_rims = rims.map(|([x, y], r)| (x - middle[0]).hypot(y - middle[1]) - r);
        let beside_labels = labels.iter().map(|[x, y]| (x - middle[0]).hypot(y - middle[1]) - LABEL);
        let least = beside_rims.chain(beside_lines).chain(beside_labels).fold(ENOUGH, f64::min);
        (least * 10.0).round() as i64
    };
    let sides = [[1.0, -1.0], [-1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]];
    let [sx, sy] = sides.into_iter().rev().max_by_key(air).unwrap_or(sides[0]);
    let middle = corner([sx, sy]);
    labels.push(middle);
    let y = if sy < 0.0 { from[1] - off } else { from[1] + off + LABEL * 0.7 };
    let letters = if sx < 0.0 { letters.ending() } else { letters };
    ([from[0] + sx * off, y], letters)
}

/// Height of a further row of a table's heading.
const HEADING_ROW: f64 = 3.8;

/// What stands over a table: the title of its stencil, whole.
fn table_heading(stencil: &Stencil) -> Vec<String> {
    wrapped(&stencil.title, TABLE_WIDTH - 2.0, 3.0, 4)
}

/// How wide and high the table of so many holes is.
pub(crate) fn table_size(stencil: &Stencil, count: usize) -> [f64; 2] {
    let more = HEADING_ROW * (table_heading(stencil).len() as f64 - 1.0);
    [TABLE_WIDTH, TABLE_HEAD + more + ROW * count as f64]
}

/// The table of some of the holes, from a corner.
pub(crate) fn table(out: &mut String, stencil: &Stencil, first: usize, count: usize, at: PaperPoint) {
    let [x, y] = at;
    let headings = table_heading(stencil);
    let y = y + HEADING_ROW * (headings.len() as f64 - 1.0);
    for (row, words) in headings.iter().rev().enumerate() {
        text(out, [x, y + 3.2 - HEADING_ROW * row as f64], Lettering::plain(3.0).bold(), words);
    }
    let small = Lettering::plain(2.7);
    let ends = [x + 5.0, x + 17.0, x + 29.0, x + 38.0];
    for (end, words) in ends.into_iter().zip(["no.", stencil.axes[0], stencil.axes[1], "Ø"]) {
        text(out, [end, y + 7.4], small.ending().ink(HAIRLINE), words);
    }
    text(out, [x + 41.0, y + 7.4], small.ink(HAIRLINE), "what");
    line(out, [x, y + 8.3], [x + TABLE_WIDTH, y + 8.3], HAIRLINE, 0.15);
    let from = |at: [f64; 2], k: usize| fine(at[k] - stencil.datum.at[k]);
    for (n, bore) in stencil.bores.iter().enumerate().skip(first).take(count) {
        let y = y + TABLE_HEAD + ROW * (n - first) as f64 + 2.7;
        let letters = if bore.new { small.bold().ink(RUST) } else { small };
        let wide = bore.diameter.map_or("?".to_owned(), fine);
        let cells = [(n + 1).to_string(), from(bore.at, 0), from(bore.at, 1), wide];
        for (end, words) in ends.into_iter().zip(cells) {
            text(out, [end, y], letters.ending(), &words);
        }
        let slot = bore.to.map_or(String::new(), |to| format!("slot to {}, {}; ", from(to, 0), from(to, 1)));
        let at = stencil.where_in_set(bore);
        let at = if at.is_empty() { String::new() } else { format!(", {at}") };
        let words = format!("{slot}{}{at}", bore.what);
        // Long words are set smaller before they are cut.
        let room = TABLE_WIDTH - 41.0;
        let size = (small.size * room / width_of(&words, small.size).max(1e-9)).clamp(2.0, small.size) - 1e-3;
        text(out, [x + 41.0, y], Lettering { size, ..letters }, &on_one_line(&words, room, size));
    }
}

/// A coordinate to a hundredth.
fn fine(value: f64) -> String {
    decimal(value, 2)
}
