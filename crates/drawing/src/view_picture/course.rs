//! The course behind the craft: ground to the horizon with its lines, solids from behind to front, each face in a tone of
//! its own by how the light falls, and the craft's own blades and cage before all of it.
//!
//! Drawn in the units of a picture, as [`picture`](super::picture) does; no letters stand in it. Thin things far away get thin
//! lines, so that a fence does not turn into a black bar.

use super::picture::{Detail, craft_outlines, fill_ground};
use crate::scale::Area;
use crate::svg::{INK, number};
use proof::{Course, LensView, Matter, OverCourse, PicturePoint, SolidInSight};
use std::fmt::Write;

/// The ground, and the lines on it.
const GROUND: &str = "#e7e2d4";
const GROUND_LINE: &str = "#c6bea9";
/// Where the light comes from: from behind on the left, and above.
const LIGHT: [f64; 3] = [-0.42, 0.43, 0.8];

/// The tones of a matter: where light falls full, aslant, and not at all.
const fn tones(matter: Matter) -> [&'static str; 3] {
    match matter {
        Matter::Gate => ["#e0916d", "#cc6d46", "#b4512d"],
        Matter::Building => ["#f1e8d8", "#e2d5bf", "#cabba1"],
        Matter::Fence => ["#efe6d3", "#ddd1b9", "#c5b799"],
        Matter::Straw => ["#f0e2b4", "#e3d196", "#cdb877"],
        Matter::Stem => ["#cbbfaa", "#b5a78f", "#9d8f77"],
        Matter::Leaves => ["#d6ddc7", "#c6cfb4", "#b3bd9f"],
    }
}

/// The picture over the course, set into an area of its shape.
pub(super) fn set_course(out: &mut String, view: &LensView, flight: &OverCourse, area: Area, own: usize) {
    let [w, h] = Detail::Course.size(view).map(number);
    let Area { left, top, width, height } = area;
    let _ = writeln!(
        out,
        r#"<svg x="{}" y="{}" width="{}" height="{}" viewBox="0 0 {w} {h}" preserveAspectRatio="none" overflow="hidden">"#,
        number(left),
        number(top),
        number(width),
        number(height)
    );
    over_course(out, view, flight, Detail::Course, own);
    let _ = writeln!(
        out,
        "<rect width=\"{w}\" height=\"{h}\" fill=\"none\" stroke=\"{INK}\" stroke-width=\"3\"/>\n</svg>"
    );
}

/// What a lens shows of the course from where the craft flies, with the craft before it; `own` sets it apart from others on
/// the same page.
pub(super) fn over_course(
    out: &mut String,
    view: &LensView,
    flight: &OverCourse,
    detail: Detail,
    own: usize,
) {
    let [wide, high] = detail.size(view);
    fill_ground(out, view, [wide, high]);
    // What is dark stays dark, whatever stands there.
    let lit = view.lit_within().map(|[rx, ry]| {
        let _ = writeln!(
            out,
            r#"<clipPath id="lit-{own}"><ellipse cx="{:.1}" cy="{:.1}" rx="{:.1}" ry="{:.1}"/></clipPath>"#,
            wide / 2.0,
            high / 2.0,
            rx * wide,
            ry * high
        );
        format!(r#" clip-path="url(#lit-{own})""#)
    });
    let _ = writeln!(
        out,
        r#"<g stroke-linejoin="round" stroke-linecap="round" fill-rule="evenodd"{}>"#,
        lit.unwrap_or_default()
    );
    let course = Course::orchard();
    // Pixels are whole, the units of the picture need not be.
    let scale = high / high.round().max(1.0);
    if let Some(seen) = view.over(&course, flight, detail.pixels()) {
        let _ = writeln!(out, r#"<path d="{}" fill="{GROUND}"/>"#, closed(&seen.ground, scale));
        let _ = writeln!(
            out,
            r#"<path d="{}" fill="none" stroke="{GROUND_LINE}" stroke-width="0.9"/>"#,
            open(&seen.lines, scale)
        );
        let _ = writeln!(
            out,
            r#"<path d="{}" fill="none" stroke="{INK}" stroke-width="1.3"/>"#,
            open(&seen.horizon, scale)
        );
        for solid in &seen.solids {
            one(out, solid, course.solids[solid.solid].matter, scale);
        }
    }
    out.push_str("</g>\n");
    craft_outlines(out, view, &[], [wide, high], detail);
}

fn one(out: &mut String, seen: &SolidInSight, matter: Matter, scale: f64) {
    let stroke = stroke(seen);
    let tones = tones(matter);
    // Under the faces, so that no paper shines through between them.
    let _ = writeln!(
        out,
        r#"<path d="{}" fill="{}" stroke="{INK}" stroke-width="{stroke:.2}"/>"#,
        closed(&seen.outline, scale),
        tones[1]
    );
    for face in &seen.faces {
        let light: f64 = face.normal.iter().zip(LIGHT).map(|(n, l)| n * l).sum();
        let tone = match light {
            l if l > 0.55 => tones[0],
            l if l > 0.0 => tones[1],
            _ => tones[2],
        };
        if tone != tones[1] {
            let _ = writeln!(out, r#"<path d="{}" fill="{tone}"/>"#, closed(&face.rings, scale));
        }
    }
    if seen.edges.is_empty() {
        return;
    }
    let (ink, width) = match matter {
        Matter::Leaves | Matter::Stem => (tones[2], 0.6 * stroke),
        _ => (INK, 0.7 * stroke),
    };
    let _ = writeln!(
        out,
        r#"<path d="{}" fill="none" stroke="{ink}" stroke-width="{width:.2}"/>"#,
        open(&seen.edges, scale)
    );
}

/// How wide the line round a solid is: thin for what is thin in the picture.
fn stroke(seen: &SolidInSight) -> f64 {
    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for at in seen.outline.iter().flatten() {
        for (k, value) in [at.across, at.down].into_iter().enumerate() {
            low[k] = low[k].min(value);
            high[k] = high[k].max(value);
        }
    }
    let thin = (high[0] - low[0]).min(high[1] - low[1]);
    (0.3 + 0.09 * thin).clamp(0.35, 1.6)
}

/// The path of closed rings.
fn closed<'p>(rings: impl IntoIterator<Item = &'p Vec<PicturePoint>>, scale: f64) -> String {
    path(rings, scale, "Z")
}

/// The path of open lines.
fn open<'p>(lines: impl IntoIterator<Item = &'p Vec<PicturePoint>>, scale: f64) -> String {
    path(lines, scale, "")
}

fn path<'p>(lines: impl IntoIterator<Item = &'p Vec<PicturePoint>>, scale: f64, end: &str) -> String {
    let mut out = String::new();
    for line in lines {
        for (n, at) in line.iter().enumerate() {
            let first = if n == 0 { 'M' } else { 'L' };
            let _ = write!(out, "{first}{:.1} {:.1}", at.across, at.down * scale);
        }
        out.push_str(end);
    }
    out
}
