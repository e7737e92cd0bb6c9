//! From flat faces to a mesh: the way every printable solid is built, closed because corners are shared.
//!
//! A maker sets points, joins them to rings and says which faces there are: flat faces with holes in any
//! plane, and walls between two rings of like count. Faces that meet use the same points, so no edge is
//! left open; [`Faces::mesh`] holds the result to that all the same. The outward side of a face is the one from
//! which its outer ring goes counter-clockwise; how its holes go round does not matter.
//!
//! A face is cut by ear clipping in its own plane. A cut that leaves out a corner lying in line with others
//! would open an edge, so each is checked, and tried again from another side if need be.

use crate::frame::PartPoint;
use crate::mesh::{Mesh, edges, least_height};
use crate::mesh_fault::MeshFault;
use earcut::Earcut;
use parry3d_f64::glamx::{DVec2, DVec3};
use std::collections::HashSet;

/// A closed line of points, by their numbers.
#[derive(Clone, Debug, PartialEq)]
pub struct PointRing(Vec<u32>);

impl PointRing {
    /// The same ring, the other way round.
    pub fn reversed(&self) -> Self {
        Self(self.0.iter().rev().copied().collect())
    }
    /// A ring through chosen points of this one and others, in order.
    pub fn of(points: impl IntoIterator<Item = u32>) -> Self {
        Self(points.into_iter().collect())
    }
    /// The numbers of its points.
    pub fn points(&self) -> &[u32] {
        &self.0
    }
}

/// Faces being gathered.
#[derive(Clone, Debug, Default)]
pub struct Faces {
    points: Vec<PartPoint>,
    flat: Vec<(PointRing, Vec<PointRing>)>,
    triangles: Vec<[u32; 3]>,
}

impl Faces {
    /// Sets a point.
    pub fn point(&mut self, at: PartPoint) -> u32 {
        self.points.push(at);
        self.points.len() as u32 - 1
    }

    /// Sets points and joins them to a ring.
    pub fn ring(&mut self, points: impl IntoIterator<Item = PartPoint>) -> PointRing {
        PointRing(points.into_iter().map(|at| self.point(at)).collect())
    }

    /// Adds a flat face; the outer ring goes counter-clockwise seen from outside.
    pub fn face(&mut self, outer: &PointRing, holes: &[&PointRing]) {
        self.flat.push((outer.clone(), holes.iter().map(|ring| (*ring).clone()).collect()));
    }

    /// Adds the wall from one ring to another of like count. Going along `from`, `to` lies to the left
    /// when seen from outside: for the outer wall of an upright block both rings go counter-clockwise seen
    /// from above and `from` is the lower one; for a hole through it `from` is the upper one.
    pub fn wall(&mut self, from: &PointRing, to: &PointRing) {
        let count = from.0.len().min(to.0.len());
        for k in 0..count {
            let next = (k + 1) % count;
            self.triangles.push([from.0[k], from.0[next], to.0[next]]);
            self.triangles.push([from.0[k], to.0[next], to.0[k]]);
        }
    }

    /// Adds a wall through a chain of rings, each to the next.
    pub fn walls(&mut self, rings: &[PointRing]) {
        for pair in rings.windows(2) {
            self.wall(&pair[0], &pair[1]);
        }
    }

    /// The mesh these faces make.
    pub fn mesh(self) -> Result<Mesh, MeshFault> {
        let mut triangles = self.triangles;
        for (face, (outer, holes)) in self.flat.iter().enumerate() {
            let cut = cut(&self.points, outer, holes).ok_or(MeshFault::FaceNotCut { face })?;
            triangles.extend(cut);
        }
        Mesh::new(self.points, triangles)
    }
}

/// Turns of the plane, in radians, from which a face is tried one after the other.
const TRIED_FROM: [f64; 6] = [0.0, 0.7, 1.9, 3.0, 4.1, 5.3];
/// A triangle of a cut must be this high: well above what a mesh asks for.
const CUT_HEIGHT: f64 = 2e-5;

fn cut(points: &[PartPoint], outer: &PointRing, holes: &[PointRing]) -> Option<Vec<[u32; 3]>> {
    let at = |k: u32| points[k as usize].0;
    // Newell's normal: the sum over the edges of a × b.
    let normal = ring_edges(&outer.0).map(|(a, b)| at(a).cross(at(b))).sum::<DVec3>().try_normalize()?;
    let (u, v) = normal.any_orthonormal_pair();
    let numbers: Vec<u32> = outer.0.iter().chain(holes.iter().flat_map(|ring| &ring.0)).copied().collect();
    let mut starts = Vec::with_capacity(holes.len());
    let mut from = outer.0.len();
    for ring in holes {
        starts.push(from as u32);
        from += ring.0.len();
    }
    TRIED_FROM.iter().find_map(|turn| {
        let turn = DVec2::from_angle(*turn);
        let flat: Vec<DVec2> =
            numbers.iter().map(|k| turn.rotate(DVec2::new(at(*k).dot(u), at(*k).dot(v)))).collect();
        let mut corners: Vec<u32> = Vec::new();
        Earcut::new().earcut(flat.iter().map(|p| [p.x, p.y]), &starts, &mut corners);
        let triangles: Vec<[u32; 3]> = corners
            .chunks_exact(3)
            .map(|corner| {
                let [a, b, c] = [corner[0], corner[1], corner[2]].map(|k| flat[k as usize]);
                let round = if (b - a).perp_dot(c - a) < 0.0 { [0, 2, 1] } else { [0, 1, 2] };
                round.map(|k| numbers[corner[k] as usize])
            })
            .collect();
        is_whole(points, &triangles, &flat, outer, holes).then_some(triangles)
    })
}

fn ring_edges(ring: &[u32]) -> impl Iterator<Item = (u32, u32)> {
    ring.iter().copied().zip(ring.iter().copied().cycle().skip(1))
}

/// Whether a cut fills the face, keeps every edge of its rings, and has no line among its triangles.
fn is_whole(
    points: &[PartPoint],
    triangles: &[[u32; 3]],
    flat: &[DVec2],
    outer: &PointRing,
    holes: &[PointRing],
) -> bool {
    let solid = |corners: &[u32; 3]| least_height(corners.map(|k| points[k as usize].0)) >= CUT_HEIGHT;
    if !triangles.iter().all(solid) {
        return false;
    }
    let mut open: HashSet<(u32, u32)> = HashSet::new();
    for (a, b) in triangles.iter().flat_map(edges) {
        if !open.remove(&(b, a)) && !open.insert((a, b)) {
            return false;
        }
    }
    // Holes may be given either way round; on the face they go clockwise.
    let mut from = outer.0.len();
    let mut wanted: HashSet<(u32, u32)> = ring_edges(&outer.0).collect();
    for ring in holes {
        let corners = &flat[from..from + ring.0.len()];
        let area: f64 = corners.iter().zip(corners.iter().cycle().skip(1)).map(|(a, b)| a.perp_dot(*b)).sum();
        wanted.extend(ring_edges(&ring.0).map(|(a, b)| if area > 0.0 { (b, a) } else { (a, b) }));
        from += ring.0.len();
    }
    open == wanted
}
