//! What outline has each solid in the picture?
//!
//! A mask says which solid each pixel sees. Between two neighbours that see different things the border is
//! found by [`HALVINGS`] bisections along the line from middle to middle, so it is good to 1/64 of a pixel; from
//! there to there outlines run straight (marching squares: Lorensen & Cline, Marching cubes, 1987, in the plane). Points
//! that lie within [`STRAIGHT`] of a pixel of the line between their neighbours are left out (Douglas & Peucker, 1973).
//! At the frame of the picture outlines lie on the frame, corners and all.
//!
//! Where three solids meet, the outlines round off by up to half a pixel; what is thinner than a pixel may be missed.

use crate::mask::{CLEAR, DARK};
use crate::{Mask, PicturePoint, Scene, View};

/// Bisections between two pixels.
const HALVINGS: u32 = 6;
/// How far, in pixels, a point may lie off the line that replaces it.
const STRAIGHT: f64 = 0.12;

/// The outline of what is seen of one solid.
#[derive(Clone, Debug, PartialEq)]
pub struct Contour {
    /// The solid, by its number in the scene.
    pub solid: usize,
    /// Closed rings; a ring within another is a hole in it (even-odd).
    pub rings: Vec<Vec<PicturePoint>>,
}

/// The outlines of all that is seen, by solid. The mask must be of the same view and scene.
pub fn contours(view: &View, scene: &Scene, mask: &Mask) -> Vec<Contour> {
    let tracer = Tracer { view, scene, mask };
    let mut steps = tracer.steps();
    steps.sort_unstable();
    let mut used = vec![false; steps.len()];
    let mut all: Vec<Contour> = Vec::new();
    for first in 0..steps.len() {
        if used[first] {
            continue;
        }
        let solid = steps[first].solid;
        let mut ring = Vec::new();
        let mut next = Some(first);
        while let Some(n) = next.filter(|n| !used[*n]) {
            used[n] = true;
            ring.push(tracer.border(steps[n].from, solid));
            ring.extend(tracer.corner(steps[n].from, steps[n].to));
            next = steps.binary_search_by(|step| (step.solid, step.from).cmp(&(solid, steps[n].to))).ok();
        }
        let ring = straightened(&ring);
        if ring.len() < 3 {
            continue;
        }
        match all.last_mut().filter(|contour| contour.solid == solid as usize) {
            Some(contour) => contour.rings.push(ring),
            None => all.push(Contour { solid: solid as usize, rings: vec![ring] }),
        }
    }
    all
}

/// A line between two neighbouring pixels, the left or upper one named by its place; places begin at −1, outside the
/// picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Link {
    x: i64,
    y: i64,
    /// Whether the other pixel is the one below, else the one to the right.
    down: bool,
}

impl Link {
    fn other(self) -> (i64, i64) {
        if self.down { (self.x, self.y + 1) } else { (self.x + 1, self.y) }
    }
}

/// A piece of an outline, the solid on its right, from one link to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Step {
    solid: u32,
    from: Link,
    to: Link,
}

struct Tracer<'a> {
    view: &'a View,
    scene: &'a Scene,
    mask: &'a Mask,
}

impl Tracer<'_> {
    /// What a pixel sees; outside the picture nothing.
    fn label(&self, x: i64, y: i64) -> u32 {
        self.mask.label(x, y).unwrap_or(DARK)
    }

    fn steps(&self) -> Vec<Step> {
        let (across, down) = self.mask.pixels();
        let mut steps = Vec::new();
        for y in -1..i64::from(down) {
            let (mut left, mut left_below) = (self.label(-1, y), self.label(-1, y + 1));
            for x in -1..i64::from(across) {
                let (right, right_below) = (self.label(x + 1, y), self.label(x + 1, y + 1));
                if left != right || left != left_below || left != right_below {
                    square((x, y), [left, right, right_below, left_below], &mut steps);
                }
                (left, left_below) = (right, right_below);
            }
        }
        steps
    }

    /// Where on a link the border of a solid lies.
    fn border(&self, link: Link, solid: u32) -> PicturePoint {
        let middle = |(x, y): (i64, i64)| [x as f64 + 0.5, y as f64 + 0.5];
        let (one, other) = ((link.x, link.y), link.other());
        let (mut a, mut b) = (middle(one), middle(other));
        let half = |a: [f64; 2], b: [f64; 2]| [(a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0];
        let (la, lb) = (self.label(one.0, one.1), self.label(other.0, other.1));
        if self.is_within(one) && self.is_within(other) {
            let of: Vec<u32> = [la, lb].into_iter().filter(|label| *label < DARK).collect();
            for _ in 0..HALVINGS {
                let m = half(a, b);
                let seen = self.seen(m, &of) == solid;
                if seen == (la == solid) { a = m } else { b = m }
            }
        }
        let [across, down] = half(a, b);
        PicturePoint { across, down }
    }

    /// The corner of the picture, where an outline turns round it.
    fn corner(&self, from: Link, to: Link) -> Option<PicturePoint> {
        let leaves = |link: Link| self.is_within((link.x, link.y)) != self.is_within(link.other());
        let (right, down) = if to.down { (from, to) } else { (to, from) };
        let turns = from.down != to.down && leaves(from) && leaves(to);
        turns.then(|| PicturePoint { across: (right.x + 1) as f64, down: (down.y + 1) as f64 })
    }

    fn is_within(&self, (x, y): (i64, i64)) -> bool {
        self.mask.label(x, y).is_some()
    }

    /// Which of some solids a place sees first.
    fn seen(&self, [x, y]: [f64; 2], of: &[u32]) -> u32 {
        match self.view.ray(PicturePoint { across: x, down: y }) {
            Some(ray) => self.scene.first(ray.0, of).map_or(CLEAR, |(n, _)| n),
            None => DARK,
        }
    }
}

/// The pieces of outlines among four pixels: left, right, right below, left below.
fn square((x, y): (i64, i64), labels: [u32; 4], steps: &mut Vec<Step>) {
    let links = [
        Link { x, y, down: false },
        Link { x: x + 1, y, down: true },
        Link { x, y: y + 1, down: false },
        Link { x, y, down: true },
    ];
    for (k, solid) in labels.into_iter().enumerate() {
        if solid >= DARK || labels[..k].contains(&solid) {
            continue;
        }
        // Round the four links in order: where the solid begins an outline enters, where it ends the outline leaves
        // by that link. Two pixels across from each other are kept apart.
        for n in 0..4 {
            if labels[n] == solid && labels[(n + 3) % 4] != solid {
                let mut last = n;
                while labels[(last + 1) % 4] == solid {
                    last += 1;
                }
                steps.push(Step { solid, from: links[last % 4], to: links[(n + 3) % 4] });
            }
        }
    }
}

/// A closed ring without the points that lie on the line between their neighbours.
fn straightened(ring: &[PicturePoint]) -> Vec<PicturePoint> {
    if ring.len() < 4 {
        return ring.to_vec();
    }
    // From the first point to the one farthest from it, and back.
    let from = |p: &PicturePoint| (p.across - ring[0].across).hypot(p.down - ring[0].down);
    let far = (1..ring.len()).max_by(|a, b| from(&ring[*a]).total_cmp(&from(&ring[*b]))).unwrap_or(1);
    let mut kept = vec![false; ring.len() + 1];
    (kept[0], kept[far]) = (true, true);
    let at = |n: usize| ring[n % ring.len()];
    let mut open = vec![(0, far), (far, ring.len())];
    while let Some((first, last)) = open.pop() {
        let (a, b) = (at(first), at(last));
        let farthest = (first + 1..last)
            .map(|n| (n, off_line(at(n), a, b)))
            .max_by(|one, other| one.1.total_cmp(&other.1));
        if let Some((n, off)) = farthest
            && off > STRAIGHT
        {
            kept[n] = true;
            open.extend([(first, n), (n, last)]);
        }
    }
    let mut left: Vec<PicturePoint> =
        ring.iter().zip(&kept).filter(|(_, kept)| **kept).map(|(point, _)| *point).collect();
    // Where the ring was begun is a corner by chance only.
    if let [first, second, .., last] = left[..]
        && off_line(first, last, second) <= STRAIGHT
    {
        left.remove(0);
    }
    left
}

/// How far a point lies off the piece of line from a to b.
fn off_line(p: PicturePoint, a: PicturePoint, b: PicturePoint) -> f64 {
    let (dx, dy) = (b.across - a.across, b.down - a.down);
    let (px, py) = (p.across - a.across, p.down - a.down);
    let long = dx * dx + dy * dy;
    let t = if long > 0.0 { ((px * dx + py * dy) / long).clamp(0.0, 1.0) } else { 0.0 };
    (px - t * dx).hypot(py - t * dy)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::{Lens, Occluder, Placement, Point, Projection, SensorArea, Shape, mask, shares};
    use quantity::Millimetres;

    fn mm(value: f64) -> Millimetres {
        Millimetres::new(value)
    }

    fn area(rings: &[Vec<PicturePoint>]) -> f64 {
        let twice = |ring: &Vec<PicturePoint>| {
            let next = ring.iter().cycle().skip(1);
            ring.iter().zip(next).map(|(a, b)| a.across * b.down - b.across * a.down).sum::<f64>()
        };
        rings.iter().map(twice).sum::<f64>().abs() / 2.0
    }

    /// A 320 × 240 picture of a few boxes given by middle and size.
    fn seen(boxes: &[([f64; 3], [f64; 3])]) -> (View, Scene, Vec<Contour>) {
        let lens = Lens::new(Projection::Equidistant, mm(2.1)).unwrap();
        let view = View::new(lens, SensorArea::of_sides(mm(4.8), mm(3.6)).unwrap(), 320, 240).unwrap();
        let occluder = |([x, y, z], [a, b, c]): &([f64; 3], [f64; 3])| Occluder {
            shape: Shape::cuboid(mm(*a), mm(*b), mm(*c)).unwrap(),
            placement: Placement::at(Point::new(*x, *y, *z)),
        };
        let scene = Scene::new(boxes.iter().map(occluder).collect());
        let found = contours(&view, &scene, &mask(&view, &scene));
        (view, scene, found)
    }

    #[test]
    fn outlines_hold_the_area_that_shares_say() {
        let (view, scene, found) = seen(&[
            ([30.0, 5.0, -2.0], [1.0, 9.0, 7.0]),
            ([40.0, -4.0, 0.0], [3.0, 30.0, 3.0]),
            ([20.0, -24.0, -12.0], [8.0, 12.0, 8.0]),
        ]);
        let shares = shares(&view, &scene);
        assert_eq!(found.iter().map(|contour| contour.solid).collect::<Vec<_>>(), [0, 1, 2]);
        for contour in found {
            let percent = 100.0 * area(&contour.rings) / (320.0 * 240.0);
            let share = shares.of(contour.solid).get();
            assert!((percent - share).abs() < 0.02, "solid {}: {percent} against {share}", contour.solid);
        }
    }

    #[test]
    fn a_wall_before_the_lens_is_outlined_by_the_frame_of_the_picture() {
        let (_, _, found) = seen(&[([5.0, 0.0, 0.0], [1.0, 400.0, 400.0])]);
        let mut corners: Vec<[f64; 2]> = found[0].rings[0].iter().map(|p| [p.across, p.down]).collect();
        corners.sort_by(|a, b| a.partial_cmp(b).unwrap());
        assert_eq!(corners, [[0.0, 0.0], [0.0, 240.0], [320.0, 0.0], [320.0, 240.0]]);
    }

    #[test]
    fn a_solid_cut_in_two_by_another_has_two_rings() {
        let (_, _, found) =
            seen(&[([30.0, 0.0, 0.0], [1.0, 2.0, 60.0]), ([40.0, 0.0, 0.0], [1.0, 30.0, 3.0])]);
        assert_eq!(found.iter().map(|contour| contour.rings.len()).collect::<Vec<_>>(), [1, 2]);
    }

    #[test]
    fn nothing_in_the_picture_has_no_outline() {
        assert_eq!(seen(&[([-30.0, 0.0, 0.0], [1.0, 2.0, 60.0])]).2, []);
    }
}
