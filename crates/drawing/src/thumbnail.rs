//! A small top view for lists: lines in the colour of the text around it, no words, no hatching.
//!
//! What is too small to be seen at this size is left out, so that a list of many craft stays light.

use crate::layers::{corners, layers};
use crate::projection::View;
use crate::scale::Bounds;
use crate::silhouette::PaperPoint;
use crate::svg::{escaped, path};
use craft::{Craft, PlaceId};
use proof::{CraftSolid, Proved};
use std::fmt::Write;

const WIDTH: f64 = 120.0;
const HEIGHT: f64 = 90.0;
const MARGIN: f64 = 3.0;
/// How much more than what is marked is shown.
const AROUND: f64 = 1.7;
/// The least size of a ring, and the least step of a line, in units of the picture.
const RING_MIN: f64 = 3.0;
const STEP_MIN: f64 = 0.4;

/// A small top view of a craft as SVG.
pub fn thumbnail(craft: &Craft, proved: &Proved) -> String {
    thumbnail_marking(craft, proved, &[])
}

/// The same with what stands at some places drawn darker, and so near that their turn can be seen.
pub fn thumbnail_marking(craft: &Craft, proved: &Proved, marked: &[PlaceId]) -> String {
    let is_marked =
        |solid: &CraftSolid| craft.places.get(solid.place).is_some_and(|place| marked.contains(&place.id));
    let layers = layers(&proved.solids, View::Top);
    let name = escaped(&craft.name);
    let mut out = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" aria-label="{name} from above" fill="none" stroke="currentColor" stroke-width="0.6" stroke-linejoin="round">"#
    );
    let near = layers.iter().filter(|layer| !layer.solid.ghost && is_marked(layer.solid));
    let near = Bounds::of(near.flat_map(|layer| layer.seen.fills.iter().flatten()));
    let whole = Bounds::of(corners(&layers, false).chain(corners(&layers, true)));
    if let Some(bounds) = near.or(whole) {
        let to_paper = fitted(bounds, if near.is_some() { AROUND } else { 1.0 });
        for layer in &layers {
            let rings: Vec<_> = layer.seen.edges.iter().filter_map(|ring| thinned(ring, &to_paper)).collect();
            if rings.is_empty() {
                continue;
            }
            let look = if !layer.solid.ghost && is_marked(layer.solid) {
                r#"stroke-width="1.1" fill="currentColor" fill-opacity="0.3" fill-rule="evenodd""#
            } else if layer.solid.ghost {
                r#"stroke-width="0.35" stroke-dasharray="0.4 1.4""#
            } else {
                r#"fill="currentColor" fill-opacity="0.07" fill-rule="evenodd""#
            };
            let _ = write!(out, r#"<path d="{}" {look}/>"#, path(&rings));
        }
    }
    out.push_str("</svg>");
    out
}

fn fitted(bounds: Bounds, around: f64) -> impl Fn(&PaperPoint) -> PaperPoint {
    let [width, height] = bounds.size().map(|size| size * around);
    let times = ((WIDTH - 2.0 * MARGIN) / width.max(1e-3)).min((HEIGHT - 2.0 * MARGIN) / height.max(1e-3));
    let middle = bounds.middle();
    move |p| [WIDTH / 2.0 + (p[0] - middle[0]) * times, HEIGHT / 2.0 - (p[1] - middle[1]) * times]
}

/// A ring without steps too small to be seen; `None` for a ring too small itself.
fn thinned(ring: &[PaperPoint], to_paper: &impl Fn(&PaperPoint) -> PaperPoint) -> Option<Vec<PaperPoint>> {
    let all: Vec<PaperPoint> = ring.iter().map(to_paper).collect();
    let [width, height] = Bounds::of(&all)?.size();
    if width.max(height) < RING_MIN {
        return None;
    }
    let mut kept: Vec<PaperPoint> = Vec::new();
    for p in all {
        if kept.last().is_none_or(|q| (p[0] - q[0]).hypot(p[1] - q[1]) > STEP_MIN) {
            kept.push([(p[0] * 10.0).round() / 10.0, (p[1] * 10.0).round() / 10.0]);
        }
    }
    Some(kept)
}
