//! Numbered balloons in two columns beside a picture, each with a thin line to what it names.
//!
//! Each goes to the nearer side and keeps the height of what it names as far as its neighbours let it: the columns are
//! filled from the top with a least step, then pushed up from the bottom where they run out of room. Lines of one column do not cross.

use crate::scale::Area;
use crate::silhouette::PaperPoint;
use crate::svg::{HAIRLINE, INK, Lettering, PAPER, line, number, text};
use std::fmt::Write;

/// Radius of a balloon, and the least step between two, in mm of paper.
const RING: f64 = 2.6;
const STEP: f64 = 6.0;
/// How far the columns stand outside the picture.
const OUT: f64 = 7.0;

/// Draws a balloon for each number about its point; what a column cannot hold goes to the other.
pub(crate) fn balloons(out: &mut String, named: &[(usize, PaperPoint)], area: Area) {
    let room = (area.height / STEP) as usize + 1;
    let middle = area.left + area.width / 2.0;
    let mut sides: [Vec<(usize, PaperPoint)>; 2] = [Vec::new(), Vec::new()];
    for entry in named {
        sides[usize::from(entry.1[0] > middle)].push(*entry);
    }
    for side in 0..2 {
        while sides[side].len() > room && sides[1 - side].len() < room {
            // The one nearest the middle crosses over.
            let nearest = (0..sides[side].len())
                .min_by(|a, b| {
                    let off = |n: &usize| (sides[side][*n].1[0] - middle).abs();
                    off(a).total_cmp(&off(b))
                })
                .unwrap_or(0);
            let entry = sides[side].remove(nearest);
            sides[1 - side].push(entry);
        }
    }
    for (side, mut column) in sides.into_iter().enumerate() {
        let x = if side == 0 { area.left - OUT } else { area.left + area.width + OUT };
        column.sort_by(|a, b| a.1[1].total_cmp(&b.1[1]));
        let heights = heights(&column, area);
        uncross(&mut column, &heights, x);
        for ((label, point), y) in column.iter().zip(heights) {
            balloon(out, *label, *point, [x, y]);
        }
    }
}

/// Exchanges balloons of a column until no two lines cross: each exchange makes the lines shorter in all, so it ends.
fn uncross(column: &mut [(usize, PaperPoint)], heights: &[f64], x: f64) {
    let long = |at: PaperPoint, y: f64| (at[0] - x).hypot(at[1] - y);
    loop {
        let mut changed = false;
        for i in 0..column.len() {
            for k in i + 1..column.len() {
                let (a, b) = (column[i].1, column[k].1);
                let now = long(a, heights[i]) + long(b, heights[k]);
                if long(a, heights[k]) + long(b, heights[i]) < now - 1e-6 {
                    column.swap(i, k);
                    changed = true;
                }
            }
        }
        if !changed {
            return;
        }
    }
}

fn heights(column: &[(usize, PaperPoint)], area: Area) -> Vec<f64> {
    let bottom = area.top + area.height;
    let step = STEP.min(area.height / (column.len().max(2) - 1) as f64);
    let mut heights: Vec<f64> = Vec::with_capacity(column.len());
    for (_, point) in column {
        let least = heights.last().map_or(area.top, |y| y + step);
        heights.push(point[1].max(least));
    }
    let mut most = bottom;
    for y in heights.iter_mut().rev() {
        *y = y.min(most);
        most = *y - step;
    }
    heights
}

fn balloon(out: &mut String, label: usize, point: PaperPoint, at: PaperPoint) {
    line(out, point, at, HAIRLINE, 0.18);
    let [x, y] = point.map(number);
    let _ = writeln!(out, r#"<circle cx="{x}" cy="{y}" r="0.5" fill="{INK}"/>"#);
    let [x, y] = at.map(number);
    let _ = writeln!(
        out,
        r#"<circle cx="{x}" cy="{y}" r="{RING}" fill="{PAPER}" stroke="{INK}" stroke-width="0.3"/>"#
    );
    text(out, [at[0], at[1] + 1.1], Lettering::plain(3.1).centred().bold(), &label.to_string());
}

#[cfg(test)]
mod tests {
    use super::*;

    const AREA: Area = Area { left: 0.0, top: 10.0, width: 100.0, height: 60.0 };

    #[test]
    fn balloons_of_one_column_stay_apart_and_on_the_sheet() {
        let crowd: Vec<(usize, PaperPoint)> = (0..11).map(|n| (n, [10.0, 50.0 + n as f64])).collect();
        let heights = heights(&crowd, AREA);
        assert!(heights.windows(2).all(|pair| pair[1] - pair[0] > STEP - 1e-9), "{heights:?}");
        assert!(heights[0] >= 10.0 - 1e-9 && heights[10] <= 70.0 + 1e-9, "{heights:?}");
    }

    #[test]
    fn no_two_lines_of_a_column_cross() {
        let crowd: Vec<(usize, PaperPoint)> =
            (0..9).map(|n| (n, [90.0 - 7.0 * ((n * 5) % 9) as f64, 55.0 + n as f64])).collect();
        let mut column = crowd.clone();
        let heights = heights(&crowd, AREA);
        uncross(&mut column, &heights, 107.0);
        let turn = |a: [f64; 2], b: [f64; 2], c: [f64; 2]| {
            (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
        };
        for i in 0..9 {
            for k in 0..i {
                let (a, b) = (column[i].1, [107.0, heights[i]]);
                let (c, d) = (column[k].1, [107.0, heights[k]]);
                let apart = turn(a, b, c) * turn(a, b, d) >= 0.0 || turn(c, d, a) * turn(c, d, b) >= 0.0;
                assert!(apart, "{i} {k}");
            }
        }
    }

    #[test]
    fn every_balloon_is_drawn_even_where_one_side_is_full() {
        let crowd: Vec<(usize, PaperPoint)> = (1..=40).map(|n| (n, [10.0 + n as f64, 30.0])).collect();
        let mut out = String::new();
        balloons(&mut out, &crowd, AREA);
        assert!((1..=40).all(|n| out.contains(&format!(">{n}</text>"))));
    }
}
