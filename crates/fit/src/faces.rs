//! From flat faces to a mesh: the way every printable solid is built, closed because corners are shared.
//!
//! A maker sets points, joins them to rings and says which faces there are: flat faces with holes in any
//! plane, and walls between two rings of like count. Faces that meet use the same points, so no edge is
//! left open; [`Faces::mesh`] holds the result to that all the same. The outward side of a face is the one from
//! which its outer ring goes counter-clockwise; how its holes go round does not matter.

use crate::cut::cut;
use crate::frame::PartPoint;
use crate::mesh::Mesh;
use crate::mesh_fault::MeshFault;

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
            let holes: Vec<&[u32]> = holes.iter().map(PointRing::points).collect();
            let cut = cut(&self.points, outer.points(), &holes);
            triangles.extend(cut.ok_or(MeshFault::FaceNotCut { face })?);
        }
        Mesh::new(self.points, triangles)
    }
}
