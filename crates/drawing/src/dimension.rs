//! Overall sizes as dimension lines below and left of the view, and the scale bar.

use crate::scale::{Area, Bounds, Scale};
use crate::svg::{HAIRLINE, INK, Lettering, line, number, text};
use std::fmt::Write;

const LETTERS: Lettering = Lettering::plain(3.4);
/// How far a dimension line lies from what it measures.
const STEP: f64 = 7.0;

/// Length and width of what is solid, and of all with the blades where that is more.
pub(crate) fn overall(out: &mut String, solid: Bounds, with_blades: Bounds, scale: &Scale) {
    let edge = [with_blades.low[0].min(solid.low[0]), with_blades.low[1].min(solid.low[1])];
    let [left, bottom] = scale.at(edge);
    across(out, solid, scale, bottom + STEP, "");
    upright(out, solid, scale, left - STEP, "");
    let more = |axis: usize| with_blades.size()[axis] > solid.size()[axis] + 0.05;
    if more(0) {
        across(out, with_blades, scale, bottom + 2.0 * STEP, " over the blades");
    }
    if more(1) {
        upright(out, with_blades, scale, left - 2.0 * STEP, " over the blades");
    }
}

fn across(out: &mut String, bounds: Bounds, scale: &Scale, y: f64, what: &str) {
    let (low, high) = (scale.at(bounds.low), scale.at(bounds.high));
    for end in [low[0], high[0]] {
        line(out, [end, y - 3.0], [end, y + 1.5], HAIRLINE, 0.13);
        line(out, [end - 0.9, y + 0.9], [end + 0.9, y - 0.9], INK, 0.3);
    }
    line(out, [low[0], y], [high[0], y], INK, 0.18);
    let words = format!("{}{what}", shown(bounds.size()[0]));
    text(out, [(low[0] + high[0]) / 2.0, y - 1.0], LETTERS.centred(), &words);
}

fn upright(out: &mut String, bounds: Bounds, scale: &Scale, x: f64, what: &str) {
    let (low, high) = (scale.at(bounds.low), scale.at(bounds.high));
    for end in [low[1], high[1]] {
        line(out, [x - 1.5, end], [x + 3.0, end], HAIRLINE, 0.13);
        line(out, [x - 0.9, end + 0.9], [x + 0.9, end - 0.9], INK, 0.3);
    }
    line(out, [x, low[1]], [x, high[1]], INK, 0.18);
    let middle = (low[1] + high[1]) / 2.0;
    let _ = writeln!(out, r#"<g transform="rotate(-90 {} {})">"#, number(x - 1.0), number(middle));
    let words = format!("{}{what}", shown(bounds.size()[1]));
    text(out, [x - 1.0, middle], LETTERS.centred(), &words);
    out.push_str("</g>\n");
}

/// A size as drawings write it: one decimal, none where it is nought.
fn shown(size: f64) -> String {
    format!("{size:.1}").trim_end_matches(".0").to_owned()
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
    text(out, [x + 5.0 * step, y - 1.2], LETTERS.centred(), &format!("{} mm", shown(length)));
}
