//! Tilts that the camera cannot take: its picture there is shown all the same, since a builder may move what stops it, but it is marked by
//! a sign and in words.

use crate::scale::Area;
use crate::svg::{PAPER, RUST, line, number};
use proof::{LensView, Proved};
use quantity::decimal;
use std::fmt::Write;

/// What stops a camera short of a tilt, in words; `None` where the tilt is free, or nobody knows how far it goes.
pub(super) fn beyond(view: &LensView, proved: &Proved, by: f64) -> Option<String> {
    let camera = proved.tilts.iter().find(|tilt| tilt.place == view.camera)?;
    let asked = camera.wanted.value + by;
    let free = &camera.here.free;
    let inside = |low: f64, high: f64| (low - 1e-6..=high + 1e-6).contains(&asked);
    if free.is_empty() || free.iter().any(|arc| inside(arc.low.angle.value, arc.high.angle.value)) {
        return None;
    }
    // The end at which the camera is stopped on its way from where it stands; what lies beyond a stop is not reached.
    let stands = camera.wanted.value;
    let own = free.iter().find(|arc| (arc.low.angle.value..=arc.high.angle.value).contains(&stands));
    let arcs = own.map_or(&free[..], std::slice::from_ref);
    let ends = arcs.iter().flat_map(|arc| [&arc.low, &arc.high]);
    let near = ends.min_by(|a, b| (a.angle.value - asked).abs().total_cmp(&(b.angle.value - asked).abs()))?;
    // On the scale of what the lens sees.
    let at = near.angle.value - camera.wanted.value + view.tilt.get();
    let against = near.stop.as_ref().and_then(|stop| proved.solids.get(stop.against.0 as usize));
    let by = against.map_or(String::new(), |solid| format!(" by {}", solid.solid.name));
    Some(format!("stops at {}°{by}", decimal(at, 1)))
}

/// The sign of a tilt that cannot be taken: a cross in a ring, and a picture struck through from corner to corner.
pub(super) fn strike(out: &mut String, area: Area, is_picture: bool) {
    let Area { left, top, width, height } = area;
    let (right, bottom) = (left + width, top + height);
    let _ = writeln!(
        out,
        r#"<rect x="{}" y="{}" width="{}" height="{}" fill="none" stroke="{RUST}" stroke-width="0.7"/>"#,
        number(left),
        number(top),
        number(width),
        number(height)
    );
    if is_picture {
        line(out, [left, bottom], [right, top], RUST, 0.5);
    }
    let (x, y, r) = (left + 4.0, top + 4.0, 2.6);
    let _ = writeln!(
        out,
        r#"<circle cx="{}" cy="{}" r="{r}" fill="{PAPER}" stroke="{RUST}" stroke-width="0.5"/>"#,
        number(x),
        number(y)
    );
    line(out, [x - 1.3, y - 1.3], [x + 1.3, y + 1.3], RUST, 0.6);
    line(out, [x - 1.3, y + 1.3], [x + 1.3, y - 1.3], RUST, 0.6);
}
