//! How curves, zones, limits and marks are drawn, and where their names stand.

use super::axis::{LETTER, Plot, room_for};
use super::clip::{area_within, line_within};
use super::hatch::{DENSE, LIGHT, LOOKS};
use super::labels::{Taken, room_of, spread};
use super::room::{frame, over};
use super::{Across, ChartFault, Curve, CurveChart, Limit, Mark, Sample, Tone, Zone};
use crate::scale::Area;
use crate::svg::{HAIRLINE, INK, Lettering, PAPER, RUST, line, number, path, text};
use crate::wrap::{on_one_line, width_of, wrapped};
use std::fmt::Write;

type At = [f64; 2];

/// Under this width names of curves stand under the plot, a single one within it.
const NARROW: f64 = 125.0;
const KEY_ROW: f64 = 5.0;
impl CurveChart {
    pub(super) fn height(&self, width: f64) -> f64 {
        let key = if width < NARROW { self.key().len() as f64 * KEY_ROW } else { 0.0 };
        (width * 0.6).clamp(86.0, 150.0) + key
    }

    /// The curves that are named under the plot where there is no room beside it.
    fn key(&self) -> &[Curve] {
        if self.curves.len() > 1 { &self.curves } else { &[] }
    }

    /// Where the plot lies and how its axes run.
    fn plot(&self, area: Area, beside: f64) -> Result<Plot, ChartFault> {
        let [xs, ys] = self.values();
        // Names of upright zones stand in a row of their own over the plot, clear of curves.
        let zones = if self.zones.iter().any(|zone| zone.lies == Across::Upright) { 5.2 } else { 0.0 };
        let (head, foot) = (8.0 + zones, 14.0);
        let height = (area.height - head - foot).max(20.0);
        let up = self.up.laid(ys, height, true)?;
        let left = room_for(&up).max(8.0);
        let width = (area.width - left - beside - 2.0).max(20.0);
        let across = self.across.laid(xs, width, false)?;
        let area = Area { left: area.left + left, top: area.top + head, width, height };
        Ok(Plot { area, across, up, name_over: 2.6 + zones })
    }

    pub(super) fn draw(&self, out: &mut String, area: Area) -> Result<(), ChartFault> {
        self.check()?;
        // Names stand beside the plot, in up to a third of the width.
        let widest = self.curves.iter().map(|curve| width_of(&curve.name, LETTER)).fold(0.0, f64::max);
        let names = if self.curves.len() > 1 || widest < area.width * 0.28 {
            (widest + 0.5).min(area.width * 0.28).max(12.0)
        } else {
            area.width * 0.28
        };
        let narrow = area.width < NARROW;
        let key = if narrow { self.key().len() as f64 * KEY_ROW } else { 0.0 };
        let area = Area { height: area.height - key, ..area };
        let inside = narrow || self.curves.is_empty();
        let plot = self.plot(area, if inside { 3.0 } else { names + 7.0 })?;
        for zone in &self.zones {
            fill_zone(out, &plot, zone);
        }
        for (curve, look) in self.curves.iter().zip(LOOKS) {
            band(out, &plot, curve, look.band);
        }
        plot.draw_axes(out, [&self.across, &self.up], true);
        let mut taken = Taken::of(plot.area);
        for (curve, look) in self.curves.iter().zip(LOOKS) {
            for part in line_within(&on_paper(&plot, curve, |p| p.value), plot.area) {
                Plot::polyline(out, &part, look.ink, look.width, look.dashes);
                taken.crossed_by(&part);
            }
        }
        frame(out, plot.area);
        self.name_zones(out, &plot, &mut taken);
        // Lines before any words, or words would be struck through.
        for limit in &self.limits {
            draw_limit(out, &plot, limit, &mut taken);
        }
        for mark in &self.marks {
            draw_ring(out, &plot, mark, &mut taken);
        }
        for limit in &self.limits {
            name_limit(out, &plot, limit, &mut taken);
        }
        if inside && key == 0.0 {
            self.name_within(out, &plot, &mut taken);
        }
        for mark in &self.marks {
            name_mark(out, &plot, mark, &mut taken);
        }
        if key > 0.0 {
            self.name_under(out, &plot, area.top + area.height);
        } else if !inside {
            self.name_curves(out, &plot, names);
        }
        Ok(())
    }

    fn name_curves(&self, out: &mut String, plot: &Plot, width: f64) {
        let right = plot.area.left + plot.area.width;
        let (top, bottom) = (plot.area.top - 2.0, plot.area.top + plot.area.height + 2.0);
        let named: Vec<_> = self
            .curves
            .iter()
            .zip(LOOKS)
            .filter_map(|(curve, look)| {
                // The last of it that is seen.
                let end = *line_within(&on_paper(plot, curve, |p| p.value), plot.area).last()?.last()?;
                let rows = wrapped(&curve.name, width + 0.5, LETTER, 4);
                Some((end, rows, look))
            })
            .collect();
        let wanted: Vec<(f64, f64)> =
            named.iter().map(|(end, rows, _)| (end[1], rows.len() as f64 * 4.2 + 1.2)).collect();
        for ((end, rows, look), y) in named.iter().zip(spread(&wanted, top, bottom)) {
            line(out, *end, [right + 1.5, end[1]], HAIRLINE, 0.15);
            line(out, [right + 1.5, end[1]], [right + 4.5, y], HAIRLINE, 0.15);
            Plot::polyline(out, &[[right + 4.5, y], [right + 6.5, y]], look.ink, look.width, "");
            let first = y - (rows.len() as f64 - 1.0) * 2.1 + 1.2;
            for (n, row) in rows.iter().enumerate() {
                let at = [right + 7.2, first + 4.2 * n as f64];
                text(out, at, Lettering::plain(LETTER).ink(look.ink), row);
            }
        }
    }

    /// Names of the curves under the plot, each with a piece of its stroke: for a phone.
    fn name_under(&self, out: &mut String, plot: &Plot, top: f64) {
        let Area { left, width, .. } = plot.area;
        for (n, (curve, look)) in self.curves.iter().zip(LOOKS).enumerate() {
            let y = top + 3.4 + KEY_ROW * n as f64;
            Plot::polyline(out, &[[left, y - 1.1], [left + 8.0, y - 1.1]], look.ink, look.width, look.dashes);
            let words = on_one_line(&curve.name, width - 10.0, LETTER);
            text(out, [left + 10.0, y], Lettering::plain(LETTER).ink(look.ink), &words);
        }
    }

    /// The name of a curve near its end, within the plot.
    fn name_within(&self, out: &mut String, plot: &Plot, taken: &mut Taken) {
        let Area { left, top, width, height } = plot.area;
        for (curve, look) in self.curves.iter().zip(LOOKS) {
            let parts = line_within(&on_paper(plot, curve, |p| p.value), plot.area);
            let Some(end) = parts.last().and_then(|part| part.last()) else { continue };
            let words = on_one_line(&curve.name, width * 0.7, LETTER);
            let wide = width_of(&words, LETTER);
            let right = end[0].clamp((left + wide + 9.0).min(left + width - 1.0), left + width - 1.0);
            // Over the end of the curve, then lower and lower, then higher.
            let feet = [-2.2, 5.6, 10.4, 15.2, -7.0, -11.8].map(|down| end[1] + down);
            let feet = feet.into_iter().map(|foot| foot.clamp(top + 4.2, top + height - 1.6));
            // And where a steep end leaves no room beside it, at the other side of the plot.
            let far = (left + wide + 9.0).min(right);
            let places: Vec<(Area, At)> = feet
                .flat_map(|foot| [[right, foot], [far, foot]])
                .map(|[right, foot]| (room_of(right - wide - 8.5, foot, wide + 8.5, 1), [right, foot]))
                .collect();
            let Some([right, foot]) = taken.choose(&places) else { continue };
            over(out, [right, foot], Lettering::plain(LETTER).ink(look.ink).ending(), &words);
            let sample = right - wide - 1.0;
            Plot::polyline(
                out,
                &[[sample - 6.5, foot - 1.2], [sample, foot - 1.2]],
                look.ink,
                look.width,
                look.dashes,
            );
        }
    }

    fn name_zones(&self, out: &mut String, plot: &Plot, taken: &mut Taken) {
        let letters = Lettering::plain(LETTER).centred().bold();
        let mut upright = Vec::new();
        for zone in &self.zones {
            let Some(area) = zone_area(plot, zone) else { continue };
            let middle = area.left + area.width / 2.0;
            if zone.lies == Across::Upright {
                upright.push((zone.words.as_str(), middle, area.width));
            } else if area.width >= 7.0 {
                let words = on_one_line(&zone.words, area.width, LETTER);
                let (wide, foot) = (width_of(&words, LETTER) * BOLDER, area.top + area.height / 2.0 + 1.2);
                let (near, far) = (area.left + 2.0 + wide / 2.0, area.left + area.width - 2.0 - wide / 2.0);
                let places = [middle, near, far].map(|x| (room_of(x - wide / 2.0, foot, wide, 1), x));
                let Some(x) = taken.choose(&places) else { continue };
                over(out, [x, foot], letters, &words);
            }
        }
        for (words, x, middle) in names_in_a_row(&upright, [plot.area.left, plot.area.left + plot.area.width])
        {
            let top = plot.area.top;
            text(out, [x, top - 1.6], letters, words);
            // A name that is wider than its stretch is tied to it.
            if let Some(middle) = middle {
                line(out, [middle, top - 1.2], [middle, top], INK, 0.3);
            }
        }
    }
}

/// Where the names of stretches side by side stand, given each one's middle and width: whole or not at all. Those that fit theirs stand in its
/// middle; the others, widest first, over it and as much of its neighbours as no other name takes, and are told where their own middle is.
fn names_in_a_row<'w>(
    stretches: &[(&'w str, f64, f64)],
    [left, right]: [f64; 2],
) -> Vec<(&'w str, f64, Option<f64>)> {
    let wide = |words: &str| width_of(words, LETTER);
    let (fitting, mut narrow): (Vec<_>, Vec<_>) =
        stretches.iter().copied().partition(|(words, _, width)| wide(words) <= *width);
    let mut placed: Vec<_> = fitting.into_iter().map(|(words, middle, _)| (words, middle, None)).collect();
    narrow.sort_by(|a, b| b.2.total_cmp(&a.2));
    for (words, middle, _) in narrow {
        let half = wide(words) / 2.0;
        let free = |x: &f64| {
            placed.iter().all(|(other, at, _)| (x - at).abs() >= half + wide(other) / 2.0 + BETWEEN)
                && x - half >= left - BETWEEN
                && x + half <= right + BETWEEN
        };
        let aside = [0.0, 0.25, -0.25, 0.5, -0.5, 0.75, -0.75, 0.9, -0.9];
        let found = aside.into_iter().map(|share| middle + share * half).find(free);
        placed.extend(found.map(|x| (words, x, Some(middle))));
    }
    placed
}

fn on_paper(plot: &Plot, curve: &Curve, of: impl Fn(&Sample) -> f64) -> Vec<[f64; 2]> {
    curve.points.iter().map(|point| plot.at([point.at, of(point)])).collect()
}

fn band(out: &mut String, plot: &Plot, curve: &Curve, fill: &str) {
    if curve.points.iter().all(|point| point.band[0] == point.band[1]) {
        return;
    }
    let mut ring = on_paper(plot, curve, |point| point.band[1]);
    ring.extend(on_paper(plot, curve, |point| point.band[0]).into_iter().rev());
    let ring = area_within(&ring, plot.area);
    if ring.len() > 2 {
        let _ = writeln!(
            out,
            r#"<path d="{}" fill="{fill}" fill-opacity="0.75" stroke="{HAIRLINE}" stroke-width="0.15"/>"#,
            path(&[ring])
        );
    }
}

/// The part of the plot that a zone takes.
fn zone_area(plot: &Plot, zone: &Zone) -> Option<Area> {
    let laid = if zone.lies == Across::Upright { &plot.across } else { &plot.up };
    let [from, to] = zone.span.map(|end| laid.share(end).clamp(0.0, 1.0));
    let Area { left, top, width, height } = plot.area;
    let area = match zone.lies {
        Across::Upright => Area { left: left + width * from, width: width * (to - from), ..plot.area },
        Across::Level => Area { top: top + height * (1.0 - to), height: height * (to - from), ..plot.area },
    };
    (to > from).then_some(area)
}

fn fill_zone(out: &mut String, plot: &Plot, zone: &Zone) {
    let Some(area) = zone_area(plot, zone) else { return };
    let fill = match zone.tone {
        Tone::Bare => "none",
        Tone::Light => LIGHT,
        Tone::Dense => DENSE,
    };
    let _ = writeln!(
        out,
        r#"<rect x="{}" y="{}" width="{}" height="{}" fill="{fill}" stroke="{HAIRLINE}" stroke-width="0.2"/>"#,
        number(area.left),
        number(area.top),
        number(area.width),
        number(area.height)
    );
}

fn limit_line(plot: &Plot, limit: &Limit) -> Option<[[f64; 2]; 2]> {
    let Area { left, top, width, height } = plot.area;
    match limit.lies {
        Across::Level if plot.up.holds(limit.at) => {
            let y = top + height * (1.0 - plot.up.share(limit.at));
            Some([[left, y], [left + width, y]])
        }
        Across::Upright if plot.across.holds(limit.at) => {
            let x = left + width * plot.across.share(limit.at);
            Some([[x, top], [x, top + height]])
        }
        _ => None,
    }
}

fn draw_limit(out: &mut String, plot: &Plot, limit: &Limit, taken: &mut Taken) {
    if let Some(line) = limit_line(plot, limit) {
        Plot::polyline(out, &line, RUST, 0.45, "2.4 1.2");
        taken.crossed_by(&line);
    }
}

/// Where words begin or end, and which of both.
type Anchored = ([f64; 2], bool);

/// The words of a limit along its line: the first free place of those near its head, then further on.
fn name_limit(out: &mut String, plot: &Plot, limit: &Limit, taken: &mut Taken) {
    let Some([start, end]) = limit_line(plot, limit) else { return };
    let wide = width_of(&limit.words, LETTER) * BOLDER;
    let mut places: Vec<(Area, Anchored)> = Vec::new();
    let mut put = |at: [f64; 2], ending: bool| {
        let left = if ending { at[0] - wide } else { at[0] };
        places.push((room_of(left, at[1], wide, 1), (at, ending)));
    };
    match limit.lies {
        Across::Level => {
            let middle = (start[0] + end[0] - wide) / 2.0;
            for foot in [start[1] - 1.4, start[1] + 4.4] {
                put([start[0] + 2.0, foot], false);
                put([end[0] - 2.0, foot], true);
                put([middle, foot], false);
            }
        }
        Across::Upright => {
            let mut foot = start[1] + 4.8;
            while foot < end[1] - 1.0 {
                put([start[0] + 1.2, foot], false);
                put([start[0] - 1.2, foot], true);
                foot += 4.4;
            }
        }
    }
    let Some((at, ending)) = taken.choose(&places) else { return };
    let letters = Lettering::plain(LETTER).ink(RUST).bold();
    over(out, at, if ending { letters.ending() } else { letters }, &limit.words);
}

/// The least way between two names in a row.
const BETWEEN: f64 = 1.2;
/// Bold letters are so much wider.
const BOLDER: f64 = 1.06;

fn marked(plot: &Plot, mark: &Mark) -> Option<[f64; 2]> {
    (plot.across.holds(mark.at[0]) && plot.up.holds(mark.at[1])).then(|| plot.at(mark.at))
}

fn draw_ring(out: &mut String, plot: &Plot, mark: &Mark, taken: &mut Taken) {
    let Some([x, y]) = marked(plot, mark) else { return };
    taken.take(Area { left: x - 1.3, top: y - 1.3, width: 2.6, height: 2.6 });
    let _ = writeln!(
        out,
        r#"<circle cx="{}" cy="{}" r="1.1" fill="{PAPER}" stroke="{INK}" stroke-width="0.4"/>"#,
        number(x),
        number(y)
    );
}

/// The words of a mark, in the first free place about it; further off they hang on a hairline.
fn name_mark(out: &mut String, plot: &Plot, mark: &Mark, taken: &mut Taken) {
    let Some([x, y]) = marked(plot, mark) else { return };
    let rows = wrapped(&mark.words, (plot.area.width * 0.45).max(24.0), LETTER, 3);
    let wide = rows.iter().map(|row| width_of(row, LETTER)).fold(0.0, f64::max);
    let more = 4.0 * (rows.len() as f64 - 1.0);
    let mut places: Vec<(Area, Anchored)> = Vec::new();
    // The foot of the first row: over the mark, under it, beside it; then a row further off each time.
    for far in [0.0, 4.6, 9.2, 13.8] {
        for foot in [y - 1.9 - more - far, y + 4.8 + far] {
            for (at, ending) in [([x + 1.8, foot], false), ([x - 1.8, foot], true)] {
                let left = if ending { at[0] - wide } else { at[0] };
                places.push((room_of(left, foot, wide, rows.len()), (at, ending)));
            }
        }
    }
    let Some((at, ending)) = taken.choose(&places) else { return };
    let near = if at[1] > y { at[1] - 0.85 * LETTER } else { at[1] + more + 0.3 };
    if (near - y).abs() > 4.0 {
        line(out, [x, y + (near - y).signum() * 1.1], [at[0], near], INK, 0.15);
    }
    let letters = Lettering::plain(LETTER).ink(INK);
    let letters = if ending { letters.ending() } else { letters };
    for (n, row) in rows.iter().enumerate() {
        over(out, [at[0], at[1] + 4.0 * n as f64], letters, row);
    }
}
