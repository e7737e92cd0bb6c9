//! The picture itself: outlines of what stands in it, each kind with a hatch of its own, the horizon, the dark beyond
//! the image circle.
//!
//! Drawn in its own units, so many across as pixels it is made from, so that hatches and lines look alike whatever it is
//! set to.

use crate::scale::Area;
use crate::silhouette::PaperPoint;
use crate::svg::{INK, RUST, escaped, number, path};
use proof::{CraftSolid, LensView, SeenAs};
use quantity::Degrees;
use std::fmt::Write;

/// What is beyond the image circle.
pub(super) const DARK: &str = "#3c4248";
/// What is free.
pub(super) const FREE: &str = "#eef2f3";

/// How much a picture says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Detail {
    /// Both horizons, names of solids as one points at them.
    Screen,
    /// Outlines and horizon only.
    Small,
    /// For a picture over the course, on paper or on a screen.
    Course,
}

impl Detail {
    /// Pixels from which the outlines are made, across.
    pub(super) const fn pixels(self) -> u32 {
        match self {
            Detail::Screen | Detail::Course => 1280,
            Detail::Small => 320,
        }
    }

    /// Width and height of a picture, in its own units.
    pub(super) fn size(self, view: &LensView) -> [f64; 2] {
        let wide = f64::from(self.pixels());
        [wide, wide / view.aspect()]
    }
}

/// The hatches, for the head of a page. One hatch serves all pictures of it.
pub(super) fn hatches(out: &mut String) {
    let hatch = |out: &mut String, id: &str, ground: &str, size: f64, turn: f64, lines: &str| {
        let _ = writeln!(
            out,
            r#"<pattern id="seen-{id}" width="{size}" height="{size}" patternUnits="userSpaceOnUse" patternTransform="rotate({turn})"><rect width="{size}" height="{size}" fill="{ground}"/><path d="{lines}" stroke="{INK}" stroke-width="1.3" fill="none"/></pattern>"#
        );
    };
    out.push_str("<defs>");
    hatch(out, "blades", "#f0dccb", 16.0, 0.0, "M3 8H13");
    hatch(out, "arms", "#e2ded3", 11.0, 45.0, "M0 0V11");
    hatch(out, "cage", "#d9dedb", 12.0, 0.0, "M0 0V12M0 0H12");
    hatch(out, "antennas", "#e8d9d5", 9.0, 135.0, "M0 0V5");
    out.push_str("</defs>\n");
}

/// How a kind is filled.
pub(super) const fn fill(kind: SeenAs) -> &'static str {
    match kind {
        SeenAs::Blades => "url(#seen-blades)",
        SeenAs::Arms => "url(#seen-arms)",
        SeenAs::Cage => "url(#seen-cage)",
        SeenAs::Antennas => "url(#seen-antennas)",
        SeenAs::Rest => "#d5d0c2",
    }
}

/// The largest area of a picture's shape in the middle of an area, against its top.
pub(super) fn fitted(view: &LensView, area: Area) -> Area {
    let width = area.width.min(area.height * view.aspect());
    Area { left: area.left + (area.width - width) / 2.0, width, height: width / view.aspect(), ..area }
}

/// Draws a picture into an area of its shape.
pub(super) fn picture(out: &mut String, view: &LensView, solids: &[CraftSolid], area: Area, detail: Detail) {
    let size = detail.size(view);
    let [w, h] = size.map(number);
    let _ = writeln!(
        out,
        r#"<svg x="{}" y="{}" width="{}" height="{}" viewBox="0 0 {w} {h}" preserveAspectRatio="none" overflow="hidden">"#,
        number(area.left),
        number(area.top),
        number(area.width),
        number(area.height)
    );
    inside(out, view, solids, size, detail);
    let _ = writeln!(
        out,
        "<rect width=\"{w}\" height=\"{h}\" fill=\"none\" stroke=\"{INK}\" stroke-width=\"3\"/>\n</svg>"
    );
}

/// What is in a picture of a size.
pub(super) fn inside(
    out: &mut String,
    view: &LensView,
    solids: &[CraftSolid],
    [wide, high]: [f64; 2],
    detail: Detail,
) {
    fill_ground(out, view, [wide, high]);
    horizons(out, view, [wide, high], detail);
    craft_outlines(out, view, solids, [wide, high], detail);
}

/// What is free, and the dark beyond the image circle.
pub(super) fn fill_ground(out: &mut String, view: &LensView, [wide, high]: [f64; 2]) {
    let ground = match view.lit_within() {
        Some([rx, ry]) => {
            let _ =
                writeln!(out, r#"<rect width="{}" height="{}" fill="{DARK}"/>"#, number(wide), number(high));
            format!(
                r#"<ellipse cx="{}" cy="{}" rx="{}" ry="{}" fill="{FREE}"/>"#,
                number(wide / 2.0),
                number(high / 2.0),
                number(rx * wide),
                number(ry * high)
            )
        }
        None => format!(r#"<rect width="{}" height="{}" fill="{FREE}"/>"#, number(wide), number(high)),
    };
    let _ = writeln!(out, "{ground}");
}

/// The outlines of the craft's own solids, kind by kind.
pub(super) fn craft_outlines(
    out: &mut String,
    view: &LensView,
    solids: &[CraftSolid],
    [wide, high]: [f64; 2],
    detail: Detail,
) {
    let at = |[x, y]: [f64; 2]| [x * wide, y * high];
    let outlines = view.outlines(detail.pixels());
    for kind in SeenAs::ALL {
        let _ = writeln!(
            out,
            r#"<g fill="{}" stroke="{INK}" stroke-width="1.6" stroke-linejoin="round" fill-rule="evenodd">"#,
            fill(kind)
        );
        for outlined in outlines.iter().filter(|outlined| outlined.seen_as == kind) {
            let rings: Vec<Vec<PaperPoint>> =
                outlined.rings.iter().map(|ring| ring.iter().map(|p| at(*p)).collect()).collect();
            let name = solids.get(outlined.solid).filter(|_| detail == Detail::Screen);
            let name =
                name.map_or(String::new(), |solid| format!("<title>{}</title>", escaped(&solid.solid.name)));
            let _ = writeln!(out, r#"<path d="{}">{name}</path>"#, path(&rings));
        }
        out.push_str("</g>\n");
    }
}

/// How far the nose is down for the second horizon: a brisk cruise.
const NOSE_DOWN: f64 = 20.0;

/// The horizon when the craft hovers level, and when its nose is down.
fn horizons(out: &mut String, view: &LensView, size: [f64; 2], detail: Detail) {
    let dashes = [("", 0.0), (r#" stroke-dasharray="18 10""#, -NOSE_DOWN)];
    for (dash, nose_up) in dashes {
        if nose_up != 0.0 && detail == Detail::Small {
            continue;
        }
        let line: Vec<PaperPoint> =
            view.horizon(Degrees::new(nose_up)).iter().map(|[x, y]| [x * size[0], y * size[1]]).collect();
        let points: Vec<String> =
            line.iter().map(|[x, y]| format!("{},{}", number(*x), number(*y))).collect();
        let _ = writeln!(
            out,
            r#"<polyline points="{}" fill="none" stroke="{RUST}" stroke-width="2.5"{dash}/>"#,
            points.join(" ")
        );
    }
}
