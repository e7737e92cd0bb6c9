//! Strokes and hatches by which curves and their bands are told apart without colour.

use super::ground::TINT;
use crate::svg::{INK, RUST};
use std::fmt::Write;

/// How a curve is drawn.
#[derive(Clone, Copy, Debug)]
pub(super) struct Look {
    pub ink: &'static str,
    pub width: f64,
    pub dashes: &'static str,
    /// How its band is filled.
    pub band: &'static str,
}

/// The looks there are, in the order in which curves take them.
pub(super) const LOOKS: [Look; 6] = [
    Look { ink: INK, width: 0.7, dashes: "", band: "url(#band-0)" },
    Look { ink: RUST, width: 0.7, dashes: "3 1.4", band: "url(#band-1)" },
    Look { ink: INK, width: 0.5, dashes: "0.9 1.1", band: "url(#band-2)" },
    Look { ink: RUST, width: 0.4, dashes: "", band: "url(#band-3)" },
    Look { ink: INK, width: 0.5, dashes: "4 1.2 0.8 1.2", band: "url(#band-0)" },
    Look { ink: RUST, width: 0.5, dashes: "1.6 0.9", band: "url(#band-1)" },
];

/// A light and a dense hatch for zones.
pub(super) const LIGHT: &str = "url(#zone-light)";
pub(super) const DENSE: &str = "url(#zone-dense)";

/// All hatches, for the head of a chart.
pub(super) fn hatches(out: &mut String) {
    out.push_str("<defs>");
    let mut hatch = |id: &str, size: f64, turn: f64, ground: &str, ink: &str, width: f64| {
        let _ = write!(
            out,
            r#"<pattern id="{id}" width="{size}" height="{size}" patternUnits="userSpaceOnUse" patternTransform="rotate({turn})"><rect width="{size}" height="{size}" fill="{ground}"/><path d="M0 0V{size}" stroke="{ink}" stroke-width="{width}" fill="none"/></pattern>"#
        );
    };
    hatch("band-0", 2.2, 45.0, TINT, INK, 0.12);
    hatch("band-1", 2.2, -45.0, TINT, RUST, 0.14);
    hatch("band-2", 1.6, 0.0, TINT, INK, 0.1);
    hatch("band-3", 1.6, 90.0, TINT, RUST, 0.1);
    hatch("zone-light", 4.0, 60.0, "none", INK, 0.12);
    hatch("zone-dense", 1.7, 60.0, TINT, INK, 0.16);
    out.push_str("</defs>\n");
}
