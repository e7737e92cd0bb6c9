//! Which solid stands before which, as the eye sees them?
//!
//! Two solids whose outlines do not overlap on the sphere round the eye have nothing to do with each other. Between two
//! others, convex and apart, lies a plane: the one on the eye's side of it is never hidden by the other. From all such
//! pairs follows an order in which to paint (Newell, Newell and Sancha, A solution to the hidden surface problem,
//! 1972, for convex solids). Solids could stand in a ring, each hiding the next; then the farthest is painted first and the
//! picture says so by [`Painted::cut`].

use super::solid::CourseSolid;
use crate::vector::Triple;

/// How far, in metres, solids may run into each other and still count as apart.
const TOUCH: f64 = 1e-6;

/// Of two solids, which may hide the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Before {
    First,
    Second,
    /// Neither hides the other.
    Neither,
    /// No plane between them was found.
    Unsaid,
}

/// Of two solids, which may hide the other, as seen from an eye.
pub(super) fn before(a: &CourseSolid, b: &CourseSolid, eye: Triple) -> Before {
    // The first lies on the near side of a plane, the second beyond it.
    let told = |normal: Triple, at: f64| match normal.dot(eye) - at {
        side if side < -TOUCH => Before::First,
        side if side > TOUCH => Before::Second,
        _ => Before::Neither,
    };
    let beyond = |solid: &CourseSolid, normal: Triple, at: f64| {
        solid.corners.iter().all(|corner| normal.dot(*corner) >= at - TOUCH)
    };
    if let Some(face) = a.faces.iter().find(|face| beyond(b, face.normal, face.out)) {
        return told(face.normal, face.out);
    }
    if let Some(face) = b.faces.iter().find(|face| beyond(a, face.normal, face.out)) {
        return told(-face.normal, -face.out);
    }
    for one in edges(a) {
        for normal in edges(b).filter_map(|other| one.cross(other).unit()) {
            for normal in [normal, -normal] {
                let most = extent(a, normal);
                if beyond(b, normal, most) {
                    return told(normal, most);
                }
            }
        }
    }
    Before::Unsaid
}

fn extent(solid: &CourseSolid, along: Triple) -> f64 {
    solid.corners.iter().map(|corner| along.dot(*corner)).fold(f64::NEG_INFINITY, f64::max)
}

/// The ways its edges run.
fn edges(solid: &CourseSolid) -> impl Iterator<Item = Triple> + '_ {
    solid.faces.iter().flat_map(move |face| {
        let of = &face.corners;
        (0..of.len()).map(move |n| solid.corners[of[(n + 1) % of.len()]] - solid.corners[of[n]])
    })
}

/// Solids in the order to paint them.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Painted {
    /// Which of those shown, those behind first.
    pub order: Vec<usize>,
    /// Whether some stood in a ring that had to be cut, or had no plane between them.
    pub cut: bool,
}

/// One solid as seen from the eye.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Shown {
    /// Its number in the course.
    pub solid: usize,
    pub cone: Cone,
    /// Its outline, with what it encloses on its left.
    pub outline: Vec<Triple>,
}

impl Shown {
    /// Whether two outlines overlap by more than a touch.
    fn overlaps(&self, other: &Self) -> bool {
        let apart = |a: &[Triple], b: &[Triple]| {
            (0..a.len()).any(|n| {
                let inward = a[n].cross(a[(n + 1) % a.len()]);
                b.iter().all(|p| inward.dot(*p) <= 1e-9)
            })
        };
        self.cone.meets(&other.cone)
            && !apart(&self.outline, &other.outline)
            && !apart(&other.outline, &self.outline)
    }
}

/// The order in which to paint solids.
pub(super) fn painted(solids: &[CourseSolid], shown: &[Shown], eye: Triple) -> Painted {
    let mut hides: Vec<Vec<usize>> = vec![Vec::new(); shown.len()];
    let mut behind_left = vec![0usize; shown.len()];
    let mut cut = false;
    for first in 0..shown.len() {
        for second in first + 1..shown.len() {
            if !shown[first].overlaps(&shown[second]) {
                continue;
            }
            let pair = [first, second].map(|n| &solids[shown[n].solid]);
            let (nearer, farther) = match before(pair[0], pair[1], eye) {
                Before::First => (first, second),
                Before::Second => (second, first),
                Before::Neither => continue,
                Before::Unsaid => {
                    cut = true;
                    let far = |n: usize| shown[n].cone.far;
                    if far(first) <= far(second) { (first, second) } else { (second, first) }
                }
            };
            // What is farther comes first.
            hides[farther].push(nearer);
            behind_left[nearer] += 1;
        }
    }
    let mut left: Vec<usize> = (0..shown.len()).collect();
    left.sort_by(|a, b| shown[*b].cone.far.total_cmp(&shown[*a].cone.far));
    let mut order = Vec::with_capacity(shown.len());
    while !left.is_empty() {
        let next = left.iter().position(|n| behind_left[*n] == 0).unwrap_or_else(|| {
            cut = true;
            0
        });
        let next = left.remove(next);
        order.push(next);
        for &nearer in &hides[next] {
            behind_left[nearer] = behind_left[nearer].saturating_sub(1);
        }
    }
    Painted { order, cut }
}

/// The cone round a solid as seen from the eye.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Cone {
    pub axis: Triple,
    pub cos: f64,
    pub sin: f64,
    /// The farthest corner.
    pub far: f64,
}

impl Cone {
    /// Round corners as seen from the eye; it may be wider than half a turn.
    pub fn round(corners: &[Triple]) -> Option<Self> {
        let units: Vec<Triple> = corners.iter().filter_map(|corner| corner.unit()).collect();
        let axis = units.iter().fold(Triple::default(), |sum, unit| sum + *unit).unit()?;
        let cos = units.iter().map(|unit| unit.dot(axis)).fold(1.0, f64::min);
        let far = corners.iter().map(|corner| corner.length()).fold(0.0, f64::max);
        Some(Self { axis, cos, sin: (1.0 - cos * cos).max(0.0).sqrt(), far })
    }

    fn meets(&self, other: &Self) -> bool {
        let sum_sin = self.sin * other.cos + self.cos * other.sin;
        sum_sin < 0.0 || self.axis.dot(other.axis) >= self.cos * other.cos - self.sin * other.sin - 1e-12
    }
}
