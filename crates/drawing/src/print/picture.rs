//! A print seen askew, as it lies in the printer: a small SVG without words.
//!
//! Triangles turned to the eye are painted from the far one to the near one. The order is exact, by parting space: the
//! plane of one triangle parts the others into those before it and those behind it, what crosses it is cut, and each side is
//! parted again. As every triangle here is turned to the eye, the eye stands before every plane; so what lies
//! behind is painted first, then the triangle, then what lies before it. Source: H. Fuchs, Z. M. Kedem, B. F. Naylor, On
//! visible surface generation by a priori tree structures, 1980, from memory.
//!
//! A line is drawn where the surface turns by more than [`CREASE`], and where it turns away from the eye. Cost: n² tests of
//! planes at the worst, some milliseconds for the thousand or so triangles of a print.

use crate::projection::Eye;
use crate::scale::Bounds;
use crate::silhouette::PaperPoint;
use crate::svg::{INK, escaped, number};
use fit::{BodyPoint, Mesh};
use std::collections::HashMap;
use std::fmt::Write;

/// The cosine of the turn of the surface at which an edge is drawn: of 30°.
const CREASE: f64 = 0.866;
/// How near a corner counts as lying in a plane, in mm.
const SKIN: f64 = 1e-6;
/// How many triangles are tried as the next to part by: the one that cuts the fewest is taken.
const TRIED: usize = 6;
/// Where the eye stands: ahead to the right and above.
const AZIMUTH: f64 = -38.0;
const ELEVATION: f64 = 34.0;
/// From where the light comes, in the frame of the print; need not be of length one.
const LIGHT: [f64; 3] = [0.5, -0.1, 0.86];
/// The tone of a face in full light.
const TONE: [f64; 3] = [240.0, 231.0, 209.0];
/// Steps of shade.
const SHADES: f64 = 24.0;

type Triple = [f64; 3];

/// A convex piece of a face, turned to the eye.
#[derive(Clone, Debug)]
struct Piece {
    corners: Vec<Triple>,
    /// Whether the edge from each corner to the next is drawn.
    drawn: Vec<bool>,
    normal: Triple,
}

/// A print as a small SVG; `words` say what it shows.
pub fn picture(mesh: &Mesh, words: &str) -> String {
    let eye = Eye::askew(AZIMUTH, ELEVATION);
    let land = |p: &Triple| {
        let seen = eye.see(BodyPoint::new(p[0], p[1], p[2]));
        [seen.u, -seen.v]
    };
    let painted: Vec<(Piece, Vec<PaperPoint>)> = from_far_to_near(turned_to(&eye, mesh))
        .into_iter()
        .map(|piece| {
            let ring = piece.corners.iter().map(land).collect();
            (piece, ring)
        })
        .collect();
    let bounds = Bounds::of(painted.iter().flat_map(|(_, ring)| ring))
        .unwrap_or(Bounds { low: [0.0; 2], high: [1.0; 2] });
    let [width, height] = bounds.size();
    let (margin, pen) = (0.04 * width.max(height), 0.005 * width.max(height));
    let mut out = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="{}mm" height="{}mm" viewBox="{} {} {} {}" role="img" aria-label="{}">"#,
        number(3.0 * (width + 2.0 * margin)),
        number(3.0 * (height + 2.0 * margin)),
        number(bounds.low[0] - margin),
        number(bounds.low[1] - margin),
        number(width + 2.0 * margin),
        number(height + 2.0 * margin),
        escaped(words)
    );
    let _ = write!(
        out,
        "\n<g stroke-width=\"{pen:.3}\" stroke-linejoin=\"round\" stroke-linecap=\"round\" fill=\"none\">\n"
    );
    let mut faces = Run::default();
    for (piece, ring) in &painted {
        let fill = shade(piece.normal);
        if faces.fill != fill {
            faces.end(&mut out);
            faces.fill = fill;
        }
        subpath(&mut faces.d, ring.iter(), true);
        let edges: String = edges(piece, ring);
        if !edges.is_empty() {
            faces.end(&mut out);
            let _ = writeln!(out, r#"<path d="{edges}" stroke="{INK}"/>"#);
        }
    }
    faces.end(&mut out);
    out.push_str("</g>\n</svg>\n");
    out
}

/// Faces of one shade that follow each other without a line between.
#[derive(Default)]
struct Run {
    fill: String,
    d: String,
}

impl Run {
    fn end(&mut self, out: &mut String) {
        if !self.d.is_empty() {
            // Edged in its own tone, so that no seam shows between neighbours.
            let (d, fill) = (&self.d, &self.fill);
            let _ = writeln!(out, r#"<path d="{d}" fill="{fill}" stroke="{fill}"/>"#);
            self.d.clear();
        }
    }
}

fn subpath<'a>(d: &mut String, points: impl Iterator<Item = &'a PaperPoint>, closed: bool) {
    for (n, [x, y]) in points.enumerate() {
        let _ = write!(d, "{}{} {}", if n == 0 { 'M' } else { 'L' }, number(*x), number(*y));
    }
    if closed {
        d.push('Z');
    }
}

fn edges(piece: &Piece, ring: &[PaperPoint]) -> String {
    let mut d = String::new();
    for (n, _) in piece.drawn.iter().enumerate().filter(|(_, drawn)| **drawn) {
        subpath(&mut d, [ring[n], ring[(n + 1) % ring.len()]].iter(), false);
    }
    d
}

fn shade(normal: Triple) -> String {
    let lit = dot(normal, LIGHT) / dot(LIGHT, LIGHT).sqrt();
    let times = 0.64 + 0.36 * lit.max(0.0);
    let [r, g, b] = TONE.map(|full| (full * (times * SHADES).round() / SHADES) as u8);
    format!("#{r:02x}{g:02x}{b:02x}")
}

/// The triangles that are turned to the eye, with the edges that are drawn.
fn turned_to(eye: &Eye, mesh: &Mesh) -> Vec<Piece> {
    let points: Vec<Triple> = mesh.points().iter().map(|p| p.coordinates()).collect();
    let corners = |t: &[u32; 3]| t.map(|corner| points[corner as usize]);
    let normals: Vec<Triple> = mesh.triangles().iter().map(|t| normal(corners(t))).collect();
    let sides = |t: &[u32; 3]| [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])];
    let owner: HashMap<(u32, u32), usize> = mesh
        .triangles()
        .iter()
        .enumerate()
        .flat_map(|(number, t)| sides(t).map(|side| (side, number)))
        .collect();
    let faces = |normal: Triple| dot(normal, eye.toward()) > 1e-9;
    let piece = |(number, t): (usize, &[u32; 3])| {
        let own = normals[number];
        let drawn = sides(t).map(|(from, to)| {
            let beside = owner.get(&(to, from)).map(|other| normals[*other]);
            beside.is_none_or(|beside| !faces(beside) || dot(own, beside) < CREASE)
        });
        faces(own).then(|| Piece { corners: corners(t).to_vec(), drawn: drawn.to_vec(), normal: own })
    };
    mesh.triangles().iter().enumerate().filter_map(piece).collect()
}

/// What is still to be done; the last of the list comes next.
enum Work {
    Part(Vec<Piece>),
    Paint(Vec<Piece>),
}

fn from_far_to_near(pieces: Vec<Piece>) -> Vec<Piece> {
    let mut painted = Vec::with_capacity(pieces.len());
    let mut work = vec![Work::Part(pieces)];
    while let Some(next) = work.pop() {
        let pieces = match next {
            Work::Paint(pieces) => {
                painted.extend(pieces);
                continue;
            }
            Work::Part(pieces) => pieces,
        };
        let Some((normal, at)) = parting(&pieces) else { continue };
        let (mut behind, mut within, mut before) = (Vec::new(), Vec::new(), Vec::new());
        for piece in pieces {
            let heights: Vec<f64> = piece.corners.iter().map(|p| dot(normal, *p) - at).collect();
            match (heights.iter().any(|h| *h < -SKIN), heights.iter().any(|h| *h > SKIN)) {
                (false, false) => within.push(piece),
                (true, false) => behind.push(piece),
                (false, true) => before.push(piece),
                (true, true) => {
                    behind.push(cut(&piece, &heights, -1.0));
                    before.push(cut(&piece, &heights, 1.0));
                }
            }
        }
        work.extend([Work::Part(before), Work::Paint(within), Work::Part(behind)]);
    }
    painted
}

/// The plane to part by: of a few triangles the one whose plane cuts the fewest others.
fn parting(pieces: &[Piece]) -> Option<(Triple, f64)> {
    let plane = |n: usize| {
        let piece = &pieces[n * pieces.len() / TRIED.min(pieces.len())];
        (piece.normal, dot(piece.normal, piece.corners[0]))
    };
    let cuts = |(normal, at): &(Triple, f64)| {
        let crossed = |piece: &&Piece| {
            let heights = || piece.corners.iter().map(|p| dot(*normal, *p) - at);
            heights().any(|h| h < -SKIN) && heights().any(|h| h > SKIN)
        };
        pieces.iter().filter(crossed).count()
    };
    (0..TRIED.min(pieces.len())).map(plane).min_by_key(cuts)
}

/// What of a piece lies on one side of a plane; `side` is −1 behind it, 1 before it.
fn cut(piece: &Piece, heights: &[f64], side: f64) -> Piece {
    let count = piece.corners.len();
    let mut kept = Piece { corners: Vec::new(), drawn: Vec::new(), normal: piece.normal };
    for n in 0..count {
        let next = (n + 1) % count;
        let (here, there) = (heights[n] * side, heights[next] * side);
        let across = (here > SKIN && there < -SKIN) || (here < -SKIN && there > SKIN);
        if here >= -SKIN {
            kept.corners.push(piece.corners[n]);
            // Along the cut itself nothing is drawn.
            kept.drawn.push(piece.drawn[n] && (across || there >= -SKIN));
        }
        if across {
            let share = here / (here - there);
            let [a, b] = [piece.corners[n], piece.corners[next]];
            kept.corners.push([0, 1, 2].map(|k| a[k] + share * (b[k] - a[k])));
            kept.drawn.push(piece.drawn[n] && there > 0.0);
        }
    }
    kept
}

fn normal([a, b, c]: [Triple; 3]) -> Triple {
    let [p, q] = [b, c].map(|end| [0, 1, 2].map(|k| end[k] - a[k]));
    let cross = [p[1] * q[2] - p[2] * q[1], p[2] * q[0] - p[0] * q[2], p[0] * q[1] - p[1] * q[0]];
    let length = dot(cross, cross).sqrt();
    cross.map(|c| c / length)
}

fn dot(a: Triple, b: Triple) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::print::testing::{some_of_each, unit_cube};

    /// How deep a piece lies at a point of the paper; `None` where it does not cover it.
    fn depth_at(piece: &Piece, eye: &Eye, at: PaperPoint) -> Option<f64> {
        let seen: Vec<[f64; 3]> = piece
            .corners
            .iter()
            .map(|p| eye.see(BodyPoint::new(p[0], p[1], p[2])))
            .map(|seen| [seen.u, seen.v, seen.depth])
            .collect();
        let turn = |a: [f64; 3], b: [f64; 3]| (b[0] - a[0]) * (at[1] - a[1]) - (b[1] - a[1]) * (at[0] - a[0]);
        let inside = (0..seen.len()).all(|n| turn(seen[n], seen[(n + 1) % seen.len()]) > 1e-7);
        let n = normal([seen[0], seen[1], seen[2]]);
        inside.then(|| {
            let p = seen[0];
            p[2] - (n[0] * (at[0] - p[0]) + n[1] * (at[1] - p[1])) / n[2]
        })
    }

    #[test]
    fn what_is_painted_last_at_a_point_is_what_lies_nearest_to_the_eye_there() {
        let eye = Eye::askew(AZIMUTH, ELEVATION);
        for (name, mesh) in some_of_each() {
            let whole = turned_to(&eye, &mesh);
            let painted = from_far_to_near(whole.clone());
            let mut covered = 0;
            for n in 0..400 {
                let at = [f64::from(n % 20) * 2.37 - 24.0, f64::from(n / 20) * 2.11 - 20.0];
                let nearest = whole.iter().filter_map(|p| depth_at(p, &eye, at)).reduce(f64::max);
                let last = painted.iter().rev().find_map(|p| depth_at(p, &eye, at));
                match (nearest, last) {
                    (Some(nearest), Some(last)) => {
                        assert!((nearest - last).abs() < 1e-6, "{name} at {at:?}: {nearest} is not {last}");
                        covered += 1;
                    }
                    (None, None) => {}
                    // A point right on a cut is in neither half.
                    odd => assert!(odd.1.is_none(), "{name} at {at:?}: {odd:?}"),
                }
            }
            assert!(covered > 20, "{name}: only {covered} points lie on it");
        }
    }

    #[test]
    fn a_cube_shows_three_shades_and_nine_edges() {
        let svg = picture(&unit_cube(), "a <cube>");
        assert!(svg.contains("aria-label=\"a &lt;cube&gt;\""));
        let fills: std::collections::BTreeSet<&str> =
            svg.split("fill=\"#").skip(1).map(|rest| &rest[..6]).collect();
        assert_eq!(fills.len(), 3, "{svg}");
        let eye = Eye::askew(AZIMUTH, ELEVATION);
        let drawn = turned_to(&eye, &unit_cube()).iter().flat_map(|p| p.drawn.clone()).filter(|d| *d).count();
        // The three edges between two faces that show are drawn by both.
        assert_eq!(drawn, 12);
    }
}
