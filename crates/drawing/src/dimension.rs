//! Dimension lines: a thin line with an arrow at each end and the size in mm above it, to a tenth.
//!
//! After ISO 129-1 (from memory): extension lines stand a little beyond the line, arrows are slim and filled, sizes
//! read from below or from the right. Where a line is too short for its arrows they stand outside, pointing in.

use crate::scale::{Area, Bounds, Scale};
use crate::silhouette::{PaperPoint, from_line};
use crate::svg::{HAIRLINE, INK, Lettering, PAPER, line, number, text};
use crate::wrap::width_of;
use quantity::decimal;
use std::fmt::Write;

const LETTERS: Lettering = Lettering::plain(3.4);
/// How far a dimension line lies from what it measures, and from the next one.
pub(crate) const STEP: f64 = 7.0;
/// Length and half width of an arrow, in mm of paper.
const ARROW: [f64; 2] = [2.4, 0.4];

/// Where the words of a dimension stand, as a line through their middle: letters of callouts keep clear of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Words {
    ends: [PaperPoint; 2],
}

impl Words {
    /// How far a point lies from the line through the middle of the words.
    pub fn from(&self, p: PaperPoint) -> f64 {
        from_line(p, self.ends[0], self.ends[1])
    }
}

/// Overall sizes on the sheet: length and width of what is solid, and of all with the blades where that is more.
pub(crate) fn overall(out: &mut String, solid: Bounds, with_blades: Bounds, scale: &Scale) -> Vec<Words> {
    let edge = [with_blades.low[0].min(solid.low[0]), with_blades.low[1].min(solid.low[1])];
    let [left, bottom] = scale.at(edge);
    let more = |axis: usize| with_blades.size()[axis] > solid.size()[axis] + 0.05;
    let what = |axis: usize| if more(axis) { " without blades" } else { " over all" };
    let mut words = vec![
        across(out, solid, scale, bottom + STEP, what(0)),
        upright(out, solid, scale, left - STEP, what(1)),
    ];
    if more(0) {
        words.push(across(out, with_blades, scale, bottom + 2.0 * STEP, " over the blades"));
    }
    if more(1) {
        words.push(upright(out, with_blades, scale, left - 2.0 * STEP, " over the blades"));
    }
    words.into_iter().flatten().collect()
}

/// The width of some bounds, drawn level at a height of the paper.
pub(crate) fn across(out: &mut String, bounds: Bounds, scale: &Scale, y: f64, what: &str) -> Option<Words> {
    let (low, high) = (scale.at(bounds.low), scale.at(bounds.high));
    // Extension lines lie toward what is measured.
    let toward = if y < high[1] { 1.0 } else { -1.0 };
    for end in [low[0], high[0]] {
        line(out, [end, y + 3.0 * toward], [end, y - 1.2 * toward], HAIRLINE, 0.13);
    }
    let words = format!("{}{what}", sized(bounds.size()[0]));
    dimension(out, [low[0], y], [high[0], y], &words)
}

/// The height of some bounds, drawn upright at a place across the paper.
pub(crate) fn upright(out: &mut String, bounds: Bounds, scale: &Scale, x: f64, what: &str) -> Option<Words> {
    let (low, high) = (scale.at(bounds.low), scale.at(bounds.high));
    let toward = if x > high[0] { -1.0 } else { 1.0 };
    for end in [low[1], high[1]] {
        line(out, [x + 3.0 * toward, end], [x - 1.2 * toward, end], HAIRLINE, 0.13);
    }
    let words = format!("{}{what}", sized(bounds.size()[1]));
    dimension(out, [x, low[1]], [x, high[1]], &words)
}

/// A dimension line between two points of the paper with its words above the middle.
pub(crate) fn dimension(out: &mut String, a: PaperPoint, b: PaperPoint, words: &str) -> Option<Words> {
    measured(out, a, b, words, LETTERS, true)
}

/// How far a dimension line that is too short for its arrows reaches beyond its ends.
pub(crate) fn beyond(length: f64) -> f64 {
    if length > 3.0 * ARROW[0] { 0.0 } else { 2.0 * ARROW[0] }
}

/// The same in other letters, with nothing behind them.
pub(crate) fn dimension_in(out: &mut String, a: PaperPoint, b: PaperPoint, words: &str, letters: Lettering) {
    measured(out, a, b, words, letters, false);
}

fn measured(
    out: &mut String,
    a: PaperPoint,
    b: PaperPoint,
    words: &str,
    letters: Lettering,
    strip: bool,
) -> Option<Words> {
    let [dx, dy] = [b[0] - a[0], b[1] - a[1]];
    let length = dx.hypot(dy);
    if length < 1e-6 {
        return None;
    }
    let along = [dx / length, dy / length];
    let beyond = beyond(length);
    let inside = beyond == 0.0;
    let past = |p: PaperPoint, by: f64| [p[0] + along[0] * by, p[1] + along[1] * by];
    line(out, past(a, -beyond), past(b, beyond), INK, 0.18);
    let inward = if inside { 1.0 } else { -1.0 };
    arrow(out, a, [along[0] * inward, along[1] * inward]);
    arrow(out, b, [-along[0] * inward, -along[1] * inward]);
    // Text reads from below or from the right.
    let mut angle = dy.atan2(dx).to_degrees();
    if angle > 90.0 - 1e-9 {
        angle -= 180.0;
    } else if angle < -90.0 - 1e-9 {
        angle += 180.0;
    }
    let middle = [(a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0];
    turned_text(out, middle, angle, words, letters, strip);
    // The words stand over the line, read along it.
    let (sin, cos) = angle.to_radians().sin_cos();
    let at = |along: f64| [middle[0] + along * cos + 2.2 * sin, middle[1] + along * sin - 2.2 * cos];
    let half = width_of(words, letters.size) / 2.0;
    Some(Words { ends: [at(-half), at(half)] })
}

/// Words above a point, turned about it; on a strip of paper that keeps them readable over a drawing.
fn turned_text(out: &mut String, at: PaperPoint, angle: f64, words: &str, letters: Lettering, strip: bool) {
    let [x, y] = at.map(number);
    if angle != 0.0 {
        let _ = writeln!(out, r#"<g transform="rotate({} {x} {y})">"#, number(angle));
    }
    if strip {
        let width = width_of(words, letters.size);
        let _ = writeln!(
            out,
            r#"<rect x="{}" y="{}" width="{}" height="3.3" fill="{PAPER}" fill-opacity="0.75"/>"#,
            number(at[0] - width / 2.0),
            number(at[1] - 3.8),
            number(width),
        );
    }
    text(out, [at[0], at[1] - 1.0], letters.centred(), words);
    if angle != 0.0 {
        out.push_str("</g>\n");
    }
}

/// A filled arrow with its tip at a point, its body lying along a direction from there.
pub(crate) fn arrow(out: &mut String, tip: PaperPoint, body: PaperPoint) {
    let [length, half] = ARROW;
    let foot = [tip[0] + body[0] * length, tip[1] + body[1] * length];
    let side = [-body[1] * half, body[0] * half];
    let _ = writeln!(
        out,
        r#"<path d="M{} {}L{} {}L{} {}Z" fill="{INK}"/>"#,
        number(tip[0]),
        number(tip[1]),
        number(foot[0] + side[0]),
        number(foot[1] + side[1]),
        number(foot[0] - side[0]),
        number(foot[1] - side[1]),
    );
}

/// A size as these drawings write it: to a tenth of a millimetre.
pub(crate) fn sized(size: f64) -> String {
    decimal(size, 1)
}

/// A bar of a round length, to check a print by.
pub(crate) fn scale_bar(out: &mut String, scale: &Scale, area: Area) {
    let fits = |length: &&f64| **length * scale.times <= 60.0;
    let lengths = [5000.0, 2000.0, 1000.0, 500.0, 200.0, 100.0, 50.0, 20.0, 10.0, 5.0, 2.0, 1.0];
    let length = *lengths.iter().find(fits).unwrap_or(&1.0);
    let (x, y, step) = (area.left, area.top, length * scale.times / 5.0);
    for n in 0..5 {
        let fill = if n % 2 == 0 { INK } else { "none" };
        let _ = writeln!(
            out,
            r#"<rect x="{}" y="{}" width="{}" height="1.4" fill="{fill}" stroke="{INK}" stroke-width="0.15"/>"#,
            number(x + step * f64::from(n)),
            number(y),
            number(step),
        );
    }
    text(out, [x, y - 1.2], LETTERS, "0");
    text(out, [x + 5.0 * step, y - 1.2], LETTERS.centred(), &format!("{length} mm"));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_size_has_its_arrows_outside_pointing_in() {
        let ends = |length: f64| {
            let mut out = String::new();
            dimension(&mut out, [0.0, 0.0], [length, 0.0], "x");
            out.lines().filter(|row| row.starts_with("<path")).map(str::to_owned).collect::<Vec<_>>()
        };
        assert!(ends(20.0)[0].contains("M0 0L2.4 "), "{:?}", ends(20.0));
        assert!(ends(3.0)[0].contains("M0 0L-2.4 "), "{:?}", ends(3.0));
    }

    #[test]
    fn sizes_read_from_below_or_from_the_right() {
        for (to, turn) in
            [([0.0, 9.0], "-90"), ([0.0, -9.0], "-90"), ([-9.0, -9.0], "45"), ([9.0, -9.0], "-45")]
        {
            let mut out = String::new();
            dimension(&mut out, [0.0, 0.0], to, "x");
            assert!(out.contains(&format!("rotate({turn} ")), "{to:?}: {out}");
        }
    }
}
