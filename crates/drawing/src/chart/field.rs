//! A field over two axes: shades between contour lines that carry their numbers.

use super::axis::{LETTER, Plot, room_for};
use super::contour::{Contour, Grid, contours, rings};
use super::curves::Mark;
use super::fault::sound;
use super::lettering::{short, with_unit};
use super::room::frame;
use super::shade::shade;
use super::{Axis, Caption, ChartFault, Limit};
use crate::scale::Area;
use crate::svg::{Lettering, number, path, text};
use crate::wrap::width_of;
use quantity::Unit;
use std::fmt::Write;

/// Lines and letters on shades, and the plates of letters: the same on every ground.
const ON_SHADE: &str = "#1f2a34";
const PLATE: &str = "#f7f4ed";

/// A field over two axes.
#[derive(Clone, Debug, PartialEq)]
pub struct FieldChart {
    /// What stands about it.
    pub caption: Caption,
    /// The axis across.
    pub across: Axis,
    /// The upright axis.
    pub up: Axis,
    /// What the field is.
    pub label: String,
    /// In which unit.
    pub unit: Unit,
    /// Places along the axis across, rising.
    pub columns: Vec<f64>,
    /// Places along the upright axis, rising.
    pub rows: Vec<f64>,
    /// The values, row by row from the lowest: `values[row * columns.len() + column]`.
    pub values: Vec<f64>,
    /// The levels that get a line, rising.
    pub levels: Vec<f64>,
    /// A level that stands out, with words: what is needed.
    pub limit: Option<Limit>,
    /// Points with words.
    pub marks: Vec<Mark>,
}

/// The most places along an axis, and the most levels.
const PLACES: usize = 400;
const LEVELS: usize = 40;
/// Islands no wider and no higher than this, in mm, are not drawn: a string of them is how two samples lie to a crest or a null, and no feature.
const ISLAND: [f64; 2] = [11.0, 6.0];
/// A plot under so many mm is narrow, and carries so many labels at most.
const NARROW: f64 = 90.0;
const LABELS_NARROW: usize = 5;

impl FieldChart {
    fn check(&self) -> Result<(), ChartFault> {
        let what = format!("the field {:?}", self.label);
        for (axis, places) in [(&self.across, &self.columns), (&self.up, &self.rows)] {
            let what = format!("places along {:?} of {what}", axis.label);
            if places.len() < 2 {
                return Err(ChartFault::TooFew { what, found: places.len(), least: 2 });
            }
            if places.len() > PLACES {
                return Err(ChartFault::TooMany { what, found: places.len(), most: PLACES });
            }
            for place in places {
                axis.value(*place, &what)?;
            }
            if let Some(pair) = places.windows(2).find(|pair| pair[1] <= pair[0]) {
                return Err(ChartFault::NotRising { what, before: pair[0], after: pair[1] });
            }
        }
        let (columns, rows) = (self.columns.len(), self.rows.len());
        if self.values.len() != columns * rows {
            return Err(ChartFault::Uneven { what, found: self.values.len(), columns, rows });
        }
        for value in &self.values {
            sound(*value, &what)?;
        }
        if self.levels.is_empty() {
            return Err(ChartFault::TooFew { what: format!("levels of {what}"), found: 0, least: 1 });
        }
        if self.levels.len() > LEVELS {
            let found = self.levels.len();
            return Err(ChartFault::TooMany { what: format!("levels of {what}"), found, most: LEVELS });
        }
        for level in self.levels.iter().chain(self.limit.as_ref().map(|limit| &limit.at)) {
            sound(*level, &format!("a level of {what}"))?;
        }
        if let Some(pair) = self.levels.windows(2).find(|pair| pair[1] <= pair[0]) {
            let what = format!("levels of {what}");
            return Err(ChartFault::NotRising { what, before: pair[0], after: pair[1] });
        }
        for mark in &self.marks {
            let what = format!("the mark {:?}", mark.words);
            self.across.value(mark.at[0], &what)?;
            self.up.value(mark.at[1], &what)?;
        }
        Ok(())
    }

    fn words_of(&self, value: f64) -> String {
        with_unit(&short(value), self.unit)
    }

    pub(super) fn told(&self) -> Result<String, ChartFault> {
        self.check()?;
        let columns = self.columns.len();
        let place = |n: usize| {
            format!(
                "{} {}, {} {}",
                self.across.label,
                self.across.told(self.columns[n % columns]),
                self.up.label,
                self.up.told(self.rows[n / columns])
            )
        };
        let by = |a: &(usize, &f64), b: &(usize, &f64)| a.1.total_cmp(b.1);
        let mut words = format!("{} over {} and {}.", self.label, self.across.label, self.up.label);
        let ends = [self.values.iter().enumerate().min_by(by), self.values.iter().enumerate().max_by(by)];
        for (end, name) in ends.into_iter().zip(["Least", "Greatest"]) {
            if let Some((n, value)) = end {
                let _ = write!(words, " {name} {} at {}.", self.words_of(*value), place(n));
            }
        }
        if let Some(limit) = &self.limit {
            let under = self.values.iter().filter(|value| **value < limit.at).count();
            let share = 100.0 * under as f64 / self.values.len() as f64;
            let _ = write!(
                words,
                " {}: {}; under it lie {share:.0} % of the places computed.",
                limit.words,
                self.words_of(limit.at)
            );
        }
        for mark in &self.marks {
            let [x, y] = [self.across.told(mark.at[0]), self.up.told(mark.at[1])];
            let _ = write!(words, " {}: at {x}, {y}.", mark.words);
        }
        Ok(words)
    }

    pub(super) fn height(&self, width: f64) -> f64 {
        (width * 0.62).clamp(88.0, 150.0) + 13.0
    }

    pub(super) fn draw(&self, out: &mut String, area: Area) -> Result<(), ChartFault> {
        self.check()?;
        let (head, foot, key) = (8.0, 14.0, 13.0);
        let height = (area.height - head - foot - key).max(20.0);
        let within = |axis: &Axis, places: &[f64]| {
            let ends = [places[0], places[places.len() - 1]];
            axis.ends.map_or_else(|| axis.clone().between(ends[0], ends[1]), |_| axis.clone())
        };
        let (x_axis, y_axis) = (within(&self.across, &self.columns), within(&self.up, &self.rows));
        let up = y_axis.laid(self.rows.iter().copied(), height, true)?;
        let left = room_for(&up).max(8.0);
        let width = (area.width - left - 7.0).max(20.0);
        let across = x_axis.laid(self.columns.iter().copied(), width, false)?;
        let plot = Plot {
            area: Area { left: area.left + left, top: area.top + head, width, height },
            across,
            up,
            name_over: 2.6,
        };
        self.shades(out, &plot);
        self.lines(out, &plot);
        plot.draw_axes(out, [&self.across, &self.up], false);
        frame(out, plot.area);
        for mark in &self.marks {
            let [x, y] = plot.at(mark.at);
            let _ = writeln!(
                out,
                r#"<circle cx="{}" cy="{}" r="1.3" fill="{PLATE}" stroke="{ON_SHADE}" stroke-width="0.5"/>"#,
                number(x),
                number(y)
            );
            let before = x + 4.0 + width_of(&mark.words, LETTER) > plot.area.left + width;
            plate(
                out,
                [if before { x - 2.4 } else { x + 2.4 }, y + 1.2],
                &mark.words,
                if before { "end" } else { "start" },
            );
        }
        self.key(out, &plot, area.top + area.height - 9.0);
        Ok(())
    }

    /// The share of the scale of what lies from one level up.
    fn tone(&self, n: usize) -> String {
        // One shade more than there are levels: what lies under the lowest too.
        shade(n as f64 / self.levels.len() as f64)
    }

    fn ring_on_paper(plot: &Plot, rings: Vec<Vec<[f64; 2]>>) -> String {
        let mut rings: Vec<Vec<[f64; 2]>> =
            rings.into_iter().map(|ring| ring.into_iter().map(|p| plot.at(p)).collect()).collect();
        rings.retain(|ring| !is_small(ring));
        path(&rings)
    }

    fn shades(&self, out: &mut String, plot: &Plot) {
        let Area { left, top, width, height } = plot.area;
        let [x, y, w, h] = [left, top, width, height].map(number);
        let _ = writeln!(
            out,
            r#"<svg x="{x}" y="{y}" width="{w}" height="{h}" viewBox="{x} {y} {w} {h}" overflow="hidden"><rect x="{x}" y="{y}" width="{w}" height="{h}" fill="{}"/>"#,
            self.tone(0)
        );
        let grid = Grid { across: &self.columns, up: &self.rows, values: &self.values };
        for (n, level) in self.levels.iter().enumerate() {
            let rings = rings(&grid, *level);
            if !rings.is_empty() {
                let d = Self::ring_on_paper(plot, rings);
                let _ = writeln!(out, r#"<path d="{d}" fill="{}" fill-rule="evenodd"/>"#, self.tone(n + 1));
            }
        }
        out.push_str("</svg>\n");
    }

    fn lines(&self, out: &mut String, plot: &Plot) {
        let mut placed: Vec<Area> = Vec::new();
        let mut labels = String::new();
        let narrow = plot.area.width < NARROW;
        // Nothing is written over a mark's words.
        placed.extend(self.marks.iter().map(|mark| {
            let [x, y] = plot.at(mark.at);
            let wide = width_of(&mark.words, 3.2) + 5.0;
            Area { left: x - wide, top: y - 3.2, width: 2.0 * wide, height: 6.4 }
        }));
        let marks = placed.len();
        let mut draw = |level: f64, width: f64, dashes: &str, words: &str, every: bool| {
            let mut lines: Vec<Vec<[f64; 2]>> = contours(&self.columns, &self.rows, &self.values, level)
                .into_iter()
                .map(|line| on_paper(plot, line))
                .filter(|line| !is_island(line))
                .flat_map(|line| super::clip::line_within(&line, plot.area))
                .collect();
            for line in &lines {
                Plot::polyline(out, line, ON_SHADE, width, dashes);
            }
            lines.sort_by(|a, b| length(b).total_cmp(&length(a)));
            let least = width_of(words, 3.2) * 1.6;
            let times = if every || narrow { 1 } else { 2 };
            for line in lines.iter().filter(|line| length(line) > least).take(times) {
                // On narrow paper few labels stand clear; the scale below names every shade.
                if narrow && placed.len() - marks >= LABELS_NARROW {
                    break;
                }
                if let Some(spot) = spot(line, words, plot.area, &placed) {
                    placed.push(spot);
                    plate(&mut labels, [spot.left + spot.width / 2.0, spot.top + 3.1], words, "middle");
                }
            }
        };
        if let Some(limit) = &self.limit {
            draw(limit.at, 0.8, "2.4 1.2", &format!("{}: {}", limit.words, self.words_of(limit.at)), true);
        }
        for level in &self.levels {
            if self.limit.as_ref().is_none_or(|limit| limit.at != *level) {
                draw(*level, 0.28, "", &self.words_of(*level), false);
            }
        }
        out.push_str(&labels);
    }

    /// The scale: each shade with the levels between which it lies.
    fn key(&self, out: &mut String, plot: &Plot, y: f64) {
        let Area { left, width, .. } = plot.area;
        let words = match self.unit.symbol() {
            "" => self.label.clone(),
            symbol => format!("{}, {symbol}", self.label),
        };
        text(out, [left, y], Lettering::plain(LETTER).bold(), &words);
        let start = left + width_of(&words, LETTER) + 4.0;
        let room = left + width - start;
        let (start, room, y) =
            if room < width * 0.5 { (left, width, y + 1.6) } else { (start, room, y - 3.2) };
        let count = self.levels.len() + 1;
        let each = room / count as f64;
        for n in 0..count {
            let _ = writeln!(
                out,
                r#"<rect x="{}" y="{}" width="{}" height="3.6" fill="{}" stroke="{ON_SHADE}" stroke-width="0.15"/>"#,
                number(start + each * n as f64),
                number(y),
                number(each),
                self.tone(n)
            );
        }
        let widest = self.levels.iter().map(|level| width_of(&short(*level), 3.2)).fold(0.0, f64::max) + 2.0;
        let every = (widest / each).ceil().max(1.0) as usize;
        for (n, level) in self.levels.iter().enumerate().step_by(every) {
            let at = [start + each * (n + 1) as f64, y + 7.2];
            text(out, at, Lettering::plain(3.2).centred(), &short(*level));
        }
    }
}

/// Whether a line runs round something too small to be drawn.
fn is_island(line: &[[f64; 2]]) -> bool {
    line.len() > 2 && line.first() == line.last() && is_small(line)
}

fn is_small(ring: &[[f64; 2]]) -> bool {
    (0..2).all(|axis| {
        let along = ring.iter().map(|point| point[axis]);
        let [low, high] = along.fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], x| [a.min(x), b.max(x)]);
        high - low <= ISLAND[axis]
    })
}

fn on_paper(plot: &Plot, line: Contour) -> Vec<[f64; 2]> {
    let mut points: Vec<[f64; 2]> = line.points.into_iter().map(|p| plot.at(p)).collect();
    if line.closed {
        points.extend(points.first().copied());
    }
    points
}

fn length(line: &[[f64; 2]]) -> f64 {
    line.windows(2).map(|pair| (pair[1][0] - pair[0][0]).hypot(pair[1][1] - pair[0][1])).sum()
}

/// Room for words on a line, within the plot and clear of what is there already: as near to the middle of the line as can be.
fn spot(line: &[[f64; 2]], words: &str, plot: Area, placed: &[Area]) -> Option<Area> {
    let (width, height) = (width_of(words, 3.2) + 1.6, 4.4);
    let middle = line.len() / 2;
    let mut order: Vec<usize> = (0..line.len()).collect();
    order.sort_by_key(|n| n.abs_diff(middle));
    let area =
        |n: usize| Area { left: line[n][0] - width / 2.0, top: line[n][1] - height / 2.0, width, height };
    let within = |a: &Area| {
        a.left > plot.left + 0.5
            && a.top > plot.top + 0.5
            && a.left + a.width < plot.left + plot.width - 0.5
            && a.top + a.height < plot.top + plot.height - 0.5
    };
    let clear = |a: &Area| {
        placed.iter().all(|b| {
            a.left > b.left + b.width + 1.0
                || b.left > a.left + a.width + 1.0
                || a.top > b.top + b.height + 1.0
                || b.top > a.top + a.height + 1.0
        })
    };
    order.into_iter().map(area).find(|spot| within(spot) && clear(spot))
}

/// Words on a small plate, at the middle, start or end of their line.
fn plate(out: &mut String, at: [f64; 2], words: &str, anchor: &'static str) {
    let width = width_of(words, 3.2) + 1.2;
    let left = match anchor {
        "middle" => at[0] - width / 2.0,
        "end" => at[0] - width + 0.6,
        _ => at[0] - 0.6,
    };
    let _ = writeln!(
        out,
        r#"<rect x="{}" y="{}" width="{}" height="4.2" rx="0.6" fill="{PLATE}" fill-opacity="0.88"/>"#,
        number(left),
        number(at[1] - 3.1),
        number(width)
    );
    let mut letters = Lettering::plain(3.2).ink(ON_SHADE);
    letters.anchor = anchor;
    text(out, at, letters, words);
}
