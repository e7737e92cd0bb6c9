//! How does the lens bend a straight line?
//!
//! An arc of a great circle between two directions is halved until the places of its quarters lie within
//! [`BEND_TOLERANCE`] of the chord in the picture; arcs longer than [`ARC_MAX`] are halved in any case, so that a bend there and
//! back is not overlooked. A law test holds what comes out to half a pixel of the curve itself.

use crate::vector::Triple;
use crate::{Direction, PicturePoint, View};

/// How far, in pixels, the quarters of an arc may lie off its chord.
pub const BEND_TOLERANCE: f64 = 0.2;
/// The cosine of the longest arc that is judged by its quarters: 12 degrees.
const ARC_MAX: f64 = 0.978_147_6;
/// Halvings at most: then a piece is thousands of times shorter than its arc.
const HALVINGS_MAX: u32 = 12;

/// A path of directions as the lens shows it. Directions that the projection has no place for are left out.
pub(super) fn bent(view: &View, path: &[Triple], closed: bool) -> Vec<PicturePoint> {
    let mut out: Vec<PicturePoint> = Vec::with_capacity(2 * path.len());
    let mut before: Option<(Triple, PicturePoint)> = None;
    let back = path.first().filter(|_| closed);
    for p in path.iter().chain(back) {
        let Some(place) = place(view, *p) else { continue };
        match before {
            Some(from) => halve(view, from, (*p, place), HALVINGS_MAX, &mut out),
            None => out.push(place),
        }
        before = Some((*p, place));
    }
    if closed {
        out.pop();
    }
    out
}

fn place(view: &View, p: Triple) -> Option<PicturePoint> {
    view.place_of(Direction(p)).ok()
}

/// Adds the places after the first up to the last.
fn halve(
    view: &View,
    (p, from): (Triple, PicturePoint),
    (q, to): (Triple, PicturePoint),
    left: u32,
    out: &mut Vec<PicturePoint>,
) {
    let halfway = |a: Triple, b: Triple| (a + b).unit().and_then(|m| Some((m, place(view, m)?)));
    let Some(middle) = halfway(p, q).filter(|_| left > 0) else {
        out.push(to);
        return;
    };
    let straight = || {
        let quarters = [halfway(p, middle.0), Some(middle), halfway(middle.0, q)];
        quarters.into_iter().flatten().all(|(_, at)| off_chord(at, from, to) <= BEND_TOLERANCE)
    };
    if p.dot(q) >= ARC_MAX && straight() {
        out.push(to);
        return;
    }
    halve(view, (p, from), middle, left - 1, out);
    halve(view, middle, (q, to), left - 1, out);
}

/// How far a place lies from the chord between two others.
pub(super) fn off_chord(at: PicturePoint, from: PicturePoint, to: PicturePoint) -> f64 {
    let (dx, dy) = (to.across - from.across, to.down - from.down);
    let (x, y) = (at.across - from.across, at.down - from.down);
    let square = dx * dx + dy * dy;
    let t = if square > 0.0 { ((x * dx + y * dy) / square).clamp(0.0, 1.0) } else { 0.0 };
    (x - t * dx).hypot(y - t * dy)
}
