//! What does the lens show of a course, from where the eye stands?
//!
//! The ground is half the sphere, its border the horizon of flat ground far away. Of a solid the faces that look to the eye
//! are seen, and what they enclose together. Whatever the lens does not reach is cut off at a rim a little outside
//! the picture, or where the projection itself ends.

use super::bend::bent;
use super::cap::Cap;
use super::order::{Cone, Shown, painted};
use super::solid::Face;
use super::{Course, CourseSolid, EyeStand};
use crate::vector::Triple;
use crate::{PicturePoint, View};

/// How far out, against the corner of the picture, the rim lies.
const BEYOND: f64 = 1.15;
/// Closer than this to its plane, in metres, the eye does not see a face.
const EDGE_ON: f64 = 1e-9;

/// Closed rings in the picture, filled by even and odd.
pub type Rings = Vec<Vec<PicturePoint>>;

/// What a lens shows of a course.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Sight {
    /// The ground.
    pub ground: Rings,
    /// The horizon: open lines.
    pub horizon: Rings,
    /// The lines on the ground: open.
    pub lines: Rings,
    /// The solids, those behind first.
    pub solids: Vec<SolidInSight>,
    /// The solid that holds the eye, by its number in the course; it is not shown.
    pub within: Option<usize>,
    /// Whether some solids hide one another in a ring, so that the order shows one of them wrongly.
    pub is_cut: bool,
}

/// What is seen of one solid, whatever stands before it.
#[derive(Clone, Debug, PartialEq)]
pub struct SolidInSight {
    /// Its number in the course.
    pub solid: usize,
    /// All of it.
    pub outline: Rings,
    /// The faces that look to the eye.
    pub faces: Vec<FaceInSight>,
    /// Where two such faces meet, and what is drawn on them: open lines.
    pub edges: Rings,
}

/// One face of a solid.
#[derive(Clone, Debug, PartialEq)]
pub struct FaceInSight {
    /// What of it is in the picture.
    pub rings: Rings,
    /// Which way it looks on the course: along, left, up, of length one.
    pub normal: [f64; 3],
}

/// What a lens shows of a course.
pub fn sight(view: &View, course: &Course, stand: &EyeStand) -> Sight {
    let Some(reach) = reach(view) else { return Sight::default() };
    let look = Look { view, stand, cap: Cap::new(reach) };
    let level = look.level();
    let shown: Vec<Shown> =
        course.solids.iter().enumerate().filter_map(|(number, solid)| look.shown(number, solid)).collect();
    let painted = painted(&course.solids, &shown, stand.place);
    let mut horizon = level.clone();
    horizon.extend(level.first().copied());
    let line = |path: &Vec<Triple>| {
        let seen: Vec<Triple> = path.iter().filter_map(|p| stand.inward(*p).unit()).collect();
        look.open(&seen)
    };
    Sight {
        ground: look.closed(&level),
        horizon: look.open(&horizon),
        lines: course.lines.iter().flat_map(|drawn| line(&drawn.path)).collect(),
        solids: painted
            .order
            .iter()
            .map(|n| look.solid(&shown[*n], &course.solids[shown[*n].solid]))
            .filter(|seen| !seen.outline.is_empty())
            .collect(),
        within: course.solids.iter().position(|solid| solid.holds(stand.place)),
        is_cut: painted.cut,
    }
}

/// How far off the axis things are shown, in radians.
fn reach(view: &View) -> Option<f64> {
    let lens = view.lens();
    let corner = view.area().diagonal().get() / 2.0;
    lens.angle_at((BEYOND * corner).min(lens.model_radius()) * (1.0 - 1e-9))
}

struct Look<'a> {
    view: &'a View,
    stand: &'a EyeStand,
    cap: Cap,
}

impl Look<'_> {
    /// Level directions round, the ground on their left.
    fn level(&self) -> Vec<Triple> {
        let round = |n: u32| {
            let (sin, cos) = (-f64::from(n) * std::f64::consts::TAU / 12.0).sin_cos();
            self.stand.inward_along(Triple::new(cos, sin, 0.0))
        };
        (0..12).map(round).collect()
    }

    fn closed(&self, outline: &[Triple]) -> Rings {
        self.cap.rings(outline).iter().map(|ring| bent(self.view, ring, true)).collect()
    }

    fn open(&self, path: &[Triple]) -> Rings {
        self.cap.parts(path).iter().map(|part| bent(self.view, part, false)).collect()
    }

    /// The faces of a solid that look to the eye.
    fn facing<'s>(&'s self, solid: &'s CourseSolid) -> impl Iterator<Item = (usize, &'s Face)> + 's {
        let looks = |face: &Face| face.normal.dot(self.stand.place) > face.out + EDGE_ON;
        solid.faces.iter().enumerate().filter(move |(_, face)| looks(face))
    }

    /// A solid, if the lens may reach it and it does not hold the eye.
    fn shown(&self, number: usize, solid: &CourseSolid) -> Option<Shown> {
        let seen: Vec<Triple> = solid.corners.iter().map(|corner| self.stand.inward(*corner)).collect();
        let cone = Cone::round(&seen).filter(|cone| self.cap.may_reach(cone.axis, cone.cos, cone.sin))?;
        let (outline, _) = edges_of(self.facing(solid).map(|(_, face)| face));
        // From outside corners turn left, which is right as the sphere round the eye counts.
        let outline: Vec<Triple> = outline.iter().rev().map(|n| seen[*n].unit()).collect::<Option<_>>()?;
        (outline.len() > 2).then_some(Shown { solid: number, cone, outline })
    }

    fn solid(&self, shown: &Shown, solid: &CourseSolid) -> SolidInSight {
        let toward = |p: Triple| self.stand.inward(p).unit().unwrap_or(Triple::X);
        let seen: Vec<Triple> = solid.corners.iter().map(|corner| toward(*corner)).collect();
        let of_face = |face: &Face| face.corners.iter().rev().map(|n| seen[*n]).collect::<Vec<_>>();
        let faces = self.facing(solid).map(|(_, face)| FaceInSight {
            rings: self.closed(&of_face(face)),
            normal: [face.normal.x, face.normal.y, face.normal.z],
        });
        let (_, within) = edges_of(self.facing(solid).map(|(_, face)| face));
        let mut edges: Rings = within.iter().flat_map(|(a, b)| self.open(&[seen[*a], seen[*b]])).collect();
        let marks = solid.marks.iter().filter(|(at, _)| self.facing(solid).any(|(n, _)| n == *at));
        for (_, path) in marks {
            let path: Vec<Triple> = path.iter().map(|p| toward(*p)).collect();
            edges.extend(self.open(&path));
        }
        SolidInSight {
            solid: shown.solid,
            outline: self.closed(&shown.outline),
            faces: faces.filter(|face| !face.rings.is_empty()).collect(),
            edges,
        }
    }
}

/// The corners round some faces that hang together, and the edges where two of them meet.
fn edges_of<'f>(faces: impl Iterator<Item = &'f Face>) -> (Vec<usize>, Vec<(usize, usize)>) {
    let mut rim: Vec<(usize, usize)> = Vec::new();
    let mut within: Vec<(usize, usize)> = Vec::new();
    for face in faces {
        let of = &face.corners;
        for (a, b) in (0..of.len()).map(|n| (of[n], of[(n + 1) % of.len()])) {
            match rim.iter().position(|edge| *edge == (b, a)) {
                Some(other) => within.push(rim.swap_remove(other)),
                None => rim.push((a, b)),
            }
        }
    }
    (chained(&rim), within)
}

/// Edges end to end.
fn chained(edges: &[(usize, usize)]) -> Vec<usize> {
    let Some((first, mut at)) = edges.first().copied() else { return Vec::new() };
    let mut chain = vec![first];
    while at != first && chain.len() <= edges.len() {
        chain.push(at);
        match edges.iter().find(|(from, _)| *from == at) {
            Some((_, to)) => at = *to,
            None => break,
        }
    }
    chain
}
