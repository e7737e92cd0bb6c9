//! Dimension lines of a stencil: its outline over all, and from hole to hole, each true to size as the rest.
//!
//! Right of the drawing stand sizes along the sheet, under it those across, nearest the drawing the shortest; over all stands outermost.
//! Of a pattern one size each way is drawn, or along a side where it lies askew; of holes one by one those from each to the
//! next. Extension lines leave holes, their crosses and the outline alone, so that what is drilled by stays clear. Left out: where
//! a hole lies both ways, which its table says; sizes of a plate cut into tiles.

use super::draw::{CROSS, Laid, bounds};
use super::stencil::{Bore, Spot, Stencil};
use crate::dimension::{beyond, dimension_in};
use crate::silhouette::PaperPoint;
use crate::svg::{HAIRLINE, INK, Lettering, line};
use crate::wrap::width_of;
use fit::inside_edge;
use quantity::decimal;

const LETTERS: Lettering = Lettering::plain(2.6).ink(INK);
/// From the drawing to the first line, and from line to line, in mm.
const FIRST: f64 = 4.5;
const STEP: f64 = 4.6;
/// Lines beside each other at most: more is for the table.
const LINES_MAX: usize = 5;
/// Places that differ by less are the same, in mm.
const SAME: f64 = 0.05;
/// Air between an extension line and a line of the plate that it crosses.
const RING_AIR: f64 = 0.6;
/// From an askew pattern's holes to its line, in steps, and the air outside the plate.
const ASKEW_STEP: f64 = 0.5;
const ASKEW_AIR: f64 = 2.0;

/// A size across or along the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Span {
    low: f64,
    high: f64,
    /// Where its extension lines begin, on the other axis.
    from: [f64; 2],
    line: usize,
}

/// The sizes of one stencil, about the middle of its bounds as laid on the paper, x right, y down.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Sizes {
    half: [f64; 2],
    /// Outline and windows, which extension lines leave a gap for.
    rings: Vec<Vec<PaperPoint>>,
    across: Vec<Span>,
    along: Vec<Span>,
    /// Of askew patterns: the two holes, and how far the line lies beside them.
    askew: Vec<([PaperPoint; 2], [f64; 2], f64)>,
}

/// A hole as laid: its middle and how far its cross reaches.
struct Spotted<'a> {
    at: PaperPoint,
    reach: f64,
    bore: &'a Bore,
}

impl Sizes {
    /// The sizes of a stencil, turned a quarter or not.
    pub fn of(stencil: &Stencil, quarter: bool) -> Self {
        if stencil.is_words() {
            return Self::default();
        }
        let laid = Laid { middle: bounds(stencil).middle(), at: [0.0; 2], quarter };
        let paper = |at: Spot| laid.paper(stencil.spot(at));
        let size = bounds(stencil).size();
        let half = if quarter { [size[1], size[0]] } else { size }.map(|size| size / 2.0);
        let outlines = std::iter::once(&stencil.outer).chain(&stencil.windows);
        let rings = outlines.map(|ring| ring.iter().map(|at| paper(*at)).collect()).collect();
        let mut sizes = Self { half, rings, ..Self::default() };
        let holes: Vec<Spotted> = stencil
            .bores
            .iter()
            .filter(|bore| bore.to.is_none())
            .map(|bore| Spotted { at: paper(bore.at), reach: bore.radius() + CROSS, bore })
            .collect();
        let (mut patterns, mut singles): (Vec<Vec<&Spotted>>, Vec<&Spotted>) = (Vec::new(), Vec::new());
        for hole in &holes {
            let mates: Vec<&Spotted> =
                holes.iter().filter(|mate| stencil.one_set(mate.bore, hole.bore)).collect();
            match mates.len() {
                0 | 1 => singles.push(hole),
                _ if std::ptr::eq(mates[0], hole) => patterns.push(mates),
                _ => {}
            }
        }
        for pattern in &patterns {
            sizes.pattern(pattern, stencil, &paper);
        }
        sizes.chain(&singles);
        if stencil.datum.edges {
            let edge = paper(stencil.datum.at);
            let all: Vec<&Spotted> = holes.iter().collect();
            (0..2).for_each(|axis| sizes.edge(axis, edge[axis], &all));
        }
        sizes.place_new(&holes, stencil, &paper);
        sizes.across = in_lines(std::mem::take(&mut sizes.across));
        sizes.along = in_lines(std::mem::take(&mut sizes.along));
        // Over all, outermost.
        let outer: Vec<PaperPoint> = stencil.outer.iter().map(|at| paper(*at)).collect();
        if let Some(all) = crate::scale::Bounds::of(&outer) {
            for (axis, spans) in [(0, &mut sizes.across), (1, &mut sizes.along)] {
                let line = spans.iter().map(|span| span.line + 1).max().unwrap_or(0);
                let other = half[1 - axis] + 1.0;
                spans.push(Span { low: all.low[axis], high: all.high[axis], from: [other; 2], line });
            }
        }
        sizes
    }

    /// One size each way of a pattern, or one along its side.
    fn pattern(&mut self, pattern: &[&Spotted], stencil: &Stencil, paper: &impl Fn(Spot) -> PaperPoint) {
        let level = pairs(pattern).any(|[a, b]| (a.at[1] - b.at[1]).abs() < SAME);
        let upright = pairs(pattern).any(|[a, b]| (a.at[0] - b.at[0]).abs() < SAME);
        if level || upright {
            for axis in [0, 1] {
                self.span(axis, pattern);
            }
            return;
        }
        let apart = |[a, b]: &[&Spotted; 2]| (a.at[0] - b.at[0]).hypot(a.at[1] - b.at[1]);
        let Some(least) = pairs(pattern).map(|pair| apart(&pair)).min_by(f64::total_cmp) else { return };
        let count = pattern.len() as f64;
        let middle = [0, 1].map(|k| pattern.iter().map(|hole| hole.at[k]).sum::<f64>() / count);
        let ring: Vec<[f64; 2]> = stencil.outer.iter().map(|at| paper(*at)).collect();
        // The side from which the air outside the plate is nearest; of equals the one toward the upper right.
        let sides = pairs(pattern).filter(|pair| apart(pair) < least + SAME).map(|[a, b]| {
            let between = [0, 1].map(|k| (a.at[k] + b.at[k]) / 2.0);
            let out = [0, 1].map(|k| between[k] - middle[k]);
            let length = out[0].hypot(out[1]).max(1e-9);
            let out = out.map(|part| part / length);
            let mut off = a.reach.max(b.reach) + 1.0;
            let clear = |off: f64| {
                let air = |hole: &Spotted| -inside_edge([0, 1].map(|k| hole.at[k] + out[k] * off), &ring);
                ring.is_empty() || (air(a).min(air(b)) > ASKEW_AIR)
            };
            while !clear(off) && off < 60.0 {
                off += ASKEW_STEP;
            }
            ([a.at, b.at], out, off)
        });
        let rank =
            |(_, out, off): &([PaperPoint; 2], [f64; 2], f64)| (off * 2.0).round() - 0.1 * (out[0] - out[1]);
        self.askew.extend(sides.min_by(|a, b| rank(a).total_cmp(&rank(b))));
    }

    /// From the least to the greatest of some holes, along one axis of the paper.
    fn span(&mut self, axis: usize, holes: &[&Spotted]) {
        let by = |a: &&&Spotted, b: &&&Spotted| a.at[axis].total_cmp(&b.at[axis]);
        let (Some(first), Some(last)) = (holes.iter().min_by(by), holes.iter().max_by(by)) else { return };
        // Of several holes at one end the nearest to the lines carries them.
        let near = |end: f64| {
            let at_end = holes.iter().filter(|hole| (hole.at[axis] - end).abs() < SAME);
            at_end.map(|hole| hole.at[1 - axis] + hole.reach + 0.6).fold(f64::NEG_INFINITY, f64::max)
        };
        let (low, high) = (first.at[axis], last.at[axis]);
        let from = [near(low), near(high)];
        let spans = if axis == 0 { &mut self.across } else { &mut self.along };
        let known = |span: &&mut Span| (span.low - low).abs() < SAME && (span.high - high).abs() < SAME;
        if let Some(span) = spans.iter_mut().find(|span| known(span)) {
            span.from = [0, 1].map(|end| span.from[end].max(from[end]));
        } else if high - low > SAME {
            spans.push(Span { low, high, from, line: 0 });
        }
    }

    /// From an edge to the hole nearest to it: the others stand from there.
    fn edge(&mut self, axis: usize, edge: f64, holes: &[&Spotted]) {
        let off = |hole: &&Spotted| (hole.at[axis] - edge).abs();
        let Some(nearest) = holes.iter().map(off).min_by(f64::total_cmp) else { return };
        // Of several at the same place the nearest to the lines carries them.
        let level = holes.iter().filter(|hole| off(hole) - nearest < SAME);
        let Some(hole) = level.max_by(|a, b| a.at[1 - axis].total_cmp(&b.at[1 - axis])) else { return };
        let at_hole = hole.at[1 - axis] + hole.reach + 0.6;
        let at_edge = self.half[1 - axis] + 1.0;
        let (low, high) = (edge.min(hole.at[axis]), edge.max(hole.at[axis]));
        let from = if edge < hole.at[axis] { [at_edge, at_hole] } else { [at_hole, at_edge] };
        let spans = if axis == 0 { &mut self.across } else { &mut self.along };
        if high - low > SAME {
            spans.push(Span { low, high, from, line: 0 });
        }
    }

    /// Holes that are to be drilled stand somewhere: each row of them that no size ties to a hole or an edge that is there is tied to the
    /// nearer end of the plate.
    fn place_new(&mut self, holes: &[Spotted], stencil: &Stencil, paper: &impl Fn(Spot) -> PaperPoint) {
        let outer: Vec<PaperPoint> = stencil.outer.iter().map(|at| paper(*at)).collect();
        let Some(all) = crate::scale::Bounds::of(&outer) else { return };
        let new: Vec<&Spotted> = holes.iter().filter(|hole| hole.bore.new).collect();
        for axis in [0, 1] {
            let is_new = |end: f64| new.iter().any(|hole| (hole.at[axis] - end).abs() < SAME);
            let spans = if axis == 0 { &self.across } else { &self.along };
            let mut tied: Vec<f64> = spans
                .iter()
                .flat_map(|s| [(s.low, s.high), (s.high, s.low)])
                .filter(|(own, other)| is_new(*own) && !is_new(*other))
                .map(|(own, _)| own)
                .collect();
            // Across, one tie serves all that sizes join to it.
            let joined = |a: f64, b: f64| {
                let ends = |s: &Span| {
                    ((s.low - a).abs() < SAME && (s.high - b).abs() < SAME)
                        || ((s.low - b).abs() < SAME && (s.high - a).abs() < SAME)
                };
                spans.iter().any(ends)
            };
            let mut wanted = Vec::new();
            for hole in &new {
                let at = hole.at[axis];
                if tied.iter().any(|known| (known - at).abs() < SAME || joined(*known, at)) {
                    continue;
                }
                tied.push(at);
                wanted.push(at);
            }
            for at in wanted {
                let row: Vec<&Spotted> =
                    new.iter().filter(|hole| (hole.at[axis] - at).abs() < SAME).copied().collect();
                let (low, high) = (all.low[axis], all.high[axis]);
                self.edge(axis, if at - low <= high - at { low } else { high }, &row);
            }
        }
    }

    /// Holes one by one: along the sheet from each to the next, across it between those that lie level, or else to the next.
    fn chain(&mut self, holes: &[&Spotted]) {
        for axis in [1, 0] {
            let mut order: Vec<&Spotted> = holes.to_vec();
            order.sort_by(|a, b| a.at[axis].total_cmp(&b.at[axis]));
            let rows: Vec<Vec<&Spotted>> =
                order.into_iter().fold(Vec::new(), |mut rows: Vec<Vec<&Spotted>>, hole| {
                    match rows.last_mut() {
                        Some(row) if (row[0].at[axis] - hole.at[axis]).abs() < SAME => row.push(hole),
                        _ => rows.push(vec![hole]),
                    }
                    rows
                });
            // Rows that lie level say how far apart across.
            if axis == 1 && rows.iter().any(|row| row.len() > 1) {
                rows.iter().filter(|row| row.len() > 1).for_each(|row| self.span(0, row));
            }
            if axis == 0 && !self.across.is_empty() {
                continue;
            }
            for two in rows.windows(2) {
                let both: Vec<&Spotted> = two.iter().flatten().copied().collect();
                self.span(axis, &both);
            }
        }
    }

    /// What the sizes take round the drawing: left, top, right, bottom.
    pub fn margins(&self) -> [f64; 4] {
        let lines = |spans: &[Span]| match spans.iter().map(|span| span.line + 1).max() {
            Some(lines) => FIRST + STEP * (lines - 1) as f64 + 1.5,
            None => 0.0,
        };
        let mut margins = [0.0, 0.0, lines(&self.along), lines(&self.across)];
        // A short size has its arrows, and its words, beyond its ends.
        let over = |span: &Span, half: f64| {
            let [low, high] = reach(span);
            (high.max(-low) - half).max(0.0)
        };
        let wide = self.across.iter().map(|span| over(span, self.half[0])).fold(0.0, f64::max);
        let tall = self.along.iter().map(|span| over(span, self.half[1])).fold(0.0, f64::max);
        for (margin, least) in margins.iter_mut().zip([wide, tall, wide, tall]) {
            *margin = margin.max(least);
        }
        for (ends, out, off) in &self.askew {
            for end in ends {
                let at = [0, 1].map(|k| end[k] + out[k] * (off + 4.0));
                let past = [
                    -at[0] - self.half[0],
                    -at[1] - self.half[1],
                    at[0] - self.half[0],
                    at[1] - self.half[1],
                ];
                for (margin, past) in margins.iter_mut().zip(past) {
                    *margin = margin.max(past);
                }
            }
        }
        margins
    }

    /// An extension line at a place of one axis, along the other, without what it would touch of the rings.
    fn pieces(&self, axis: usize, end: f64, [from, to]: [f64; 2]) -> Vec<[f64; 2]> {
        let other = 1 - axis;
        let mut kept = vec![[from, to]];
        let edges = self.rings.iter().flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)));
        for (a, b) in edges {
            if (a[axis] - end) * (b[axis] - end) > 0.0 {
                continue;
            }
            let rise = (b[other] - a[other]) / (b[axis] - a[axis]);
            let (low, high, gap) = match rise.is_finite() {
                true => {
                    let at = a[other] + (end - a[axis]) * rise;
                    (at, at, RING_AIR * (1.0 + rise * rise).sqrt().min(6.0))
                }
                false => (a[other].min(b[other]), a[other].max(b[other]), RING_AIR),
            };
            let (low, high) = (low - gap, high + gap);
            let cut = |[from, to]: [f64; 2]| [[from, to.min(low)], [from.max(high), to]];
            kept = kept.into_iter().flat_map(cut).filter(|[from, to]| to - from > 1e-6).collect();
        }
        kept
    }

    /// Draws them about the middle of the drawing.
    pub fn draw(&self, out: &mut String, middle: PaperPoint) {
        let put = |[x, y]: [f64; 2]| [middle[0] + x, middle[1] + y];
        for (axis, spans) in [(0, &self.across), (1, &self.along)] {
            for span in spans {
                let at = self.half[1 - axis] + FIRST + STEP * span.line as f64;
                let point = |along: f64, other: f64| {
                    if axis == 0 { put([along, other]) } else { put([other, along]) }
                };
                for (end, from) in [span.low, span.high].into_iter().zip(span.from) {
                    for [low, high] in self.pieces(axis, end, [from, at + 1.0]) {
                        line(out, point(end, low), point(end, high), HAIRLINE, 0.1);
                    }
                }
                let words = decimal(span.high - span.low, 2);
                dimension_in(out, point(span.low, at), point(span.high, at), short(&words), LETTERS);
            }
        }
        for ([a, b], away, off) in &self.askew {
            let beside = |p: &PaperPoint, by: f64| put([0, 1].map(|k| p[k] + away[k] * by));
            for end in [a, b] {
                line(out, beside(end, off - 1.0), beside(end, off + 1.0), HAIRLINE, 0.1);
            }
            let words = decimal((a[0] - b[0]).hypot(a[1] - b[1]), 2);
            dimension_in(out, beside(a, *off), beside(b, *off), short(&words), LETTERS);
        }
    }
}

/// A size without noughts that say nothing.
fn short(words: &str) -> &str {
    if words.contains('.') { words.trim_end_matches('0').trim_end_matches('.') } else { words }
}

fn pairs<'a, 'b>(holes: &'a [&'b Spotted<'b>]) -> impl Iterator<Item = [&'b Spotted<'b>; 2]> + 'a {
    holes.iter().enumerate().flat_map(move |(n, a)| holes[n + 1..].iter().map(move |b| [*a, *b]))
}

/// What a span takes of its line, arrows and words with it.
fn reach(span: &Span) -> [f64; 2] {
    let length = span.high - span.low;
    let words = width_of(short(&decimal(length, 2)), LETTERS.size);
    let over = beyond(length).max((words - length) / 2.0);
    [span.low - over, span.high + over]
}

/// Puts spans on lines, the shortest nearest the drawing, so that none meets another.
fn in_lines(mut spans: Vec<Span>) -> Vec<Span> {
    spans.sort_by(|a, b| (a.high - a.low).total_cmp(&(b.high - b.low)).then(a.low.total_cmp(&b.low)));
    let mut laid: Vec<Span> = Vec::new();
    for mut span in spans {
        let [low, high] = reach(&span);
        let free = |line: &usize| {
            laid.iter().filter(|other| other.line == *line).all(|other| {
                let [from, to] = reach(other);
                // Two that share an end may stand in one row.
                let (shares, words) = (
                    (other.low - span.high).abs() < SAME || (other.high - span.low).abs() < SAME,
                    from >= span.high - SAME || to <= span.low + SAME,
                );
                high + 1.0 <= from || to + 1.0 <= low || (shares && words)
            })
        };
        if let Some(line) = (0..LINES_MAX).find(free) {
            span.line = line;
            laid.push(span);
        }
    }
    laid
}
