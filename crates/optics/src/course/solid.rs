//! The solids of a course: convex, with flat faces, in metres.
//!
//! Built from rings of corners one above or behind the other: a box is two squares, a barn two gables, a crown some
//! octagons. Corners run round each face as one sees them from outside, turning left.

use crate::vector::Triple;

/// What a solid is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Matter {
    /// A gate to fly through.
    Gate,
    /// A building.
    Building,
    /// Posts and rails.
    Fence,
    /// Straw in bales.
    Straw,
    /// The stem of a tree.
    Stem,
    /// Leaves: crowns and hedges.
    Leaves,
}

/// A convex solid that stands on the course.
#[derive(Clone, Debug, PartialEq)]
pub struct CourseSolid {
    /// What it is made of.
    pub matter: Matter,
    /// What a person calls it.
    pub name: &'static str,
    pub(super) corners: Vec<Triple>,
    pub(super) faces: Vec<Face>,
    /// Lines drawn on a face, such as a door: the face and the path.
    pub(super) marks: Vec<(usize, Vec<Triple>)>,
}

#[derive(Clone, Debug, PartialEq)]
pub(super) struct Face {
    /// Numbers of its corners in order round.
    pub corners: Vec<usize>,
    /// Outward, of length one.
    pub normal: Triple,
    /// How far out it lies along the normal.
    pub out: f64,
}

/// Where a solid stands and how far it is turned to the left.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    pub at: [f64; 3],
    pub left_degrees: f64,
}

impl Spot {
    pub const fn at(x: f64, y: f64, z: f64) -> Self {
        Self { at: [x, y, z], left_degrees: 0.0 }
    }
    pub const fn turned(self, left_degrees: f64) -> Self {
        Self { left_degrees, ..self }
    }
    fn of(&self, [x, y, z]: [f64; 3]) -> Triple {
        let turned = Triple::new(x, y, z).turned(Triple::Z, self.left_degrees.to_radians());
        turned + Triple::new(self.at[0], self.at[1], self.at[2])
    }
}

impl CourseSolid {
    /// From rings of as many corners each; the first and the last are faces, between them run flat sides.
    pub(super) fn of_rings(matter: Matter, name: &'static str, spot: Spot, rings: &[Vec<[f64; 3]>]) -> Self {
        let round = rings.first().map_or(0, Vec::len);
        let corners: Vec<Triple> = rings.iter().flatten().map(|corner| spot.of(*corner)).collect();
        let last = round * rings.len().saturating_sub(1);
        let mut faces: Vec<Vec<usize>> = vec![(0..round).collect(), (last..last + round).collect()];
        for ring in 1..rings.len() {
            let (below, above) = ((ring - 1) * round, ring * round);
            faces.extend((0..round).map(|n| {
                let next = (n + 1) % round;
                vec![below + n, below + next, above + next, above + n]
            }));
        }
        let sum = corners.iter().fold(Triple::default(), |sum, corner| sum + *corner);
        let middle = sum * (1.0 / corners.len().max(1) as f64);
        let faces = faces.into_iter().filter_map(|face| Face::new(face, &corners, middle)).collect();
        Self { matter, name, corners, faces, marks: Vec::new() }
    }

    /// A box, its middle above the spot by half its height.
    pub(super) fn cuboid(matter: Matter, name: &'static str, spot: Spot, [x, y, z]: [f64; 3]) -> Self {
        let (x, y) = (x / 2.0, y / 2.0);
        let square = |z: f64| vec![[-x, -y, z], [x, -y, z], [x, y, z], [-x, y, z]];
        Self::of_rings(matter, name, spot, &[square(0.0), square(z)])
    }

    /// Round about the upright with eight sides: heights and radii from below.
    pub(super) fn round(matter: Matter, name: &'static str, spot: Spot, rings: &[[f64; 2]]) -> Self {
        let ring = |[z, radius]: &[f64; 2]| {
            let corner = |n: u32| {
                let (sin, cos) = (f64::from(n) * std::f64::consts::TAU / 8.0).sin_cos();
                [radius * cos, radius * sin, *z]
            };
            (0..8).map(corner).collect()
        };
        Self::of_rings(matter, name, spot, &rings.iter().map(ring).collect::<Vec<_>>())
    }

    /// The same with a line drawn on the face that looks most along a direction of the spot.
    pub(super) fn marked(mut self, spot: Spot, along: [f64; 3], path: &[[f64; 3]]) -> Self {
        let along = spot.of(along) - spot.of([0.0; 3]);
        let looks = |face: &Face| face.normal.dot(along);
        let most =
            (0..self.faces.len()).max_by(|a, b| looks(&self.faces[*a]).total_cmp(&looks(&self.faces[*b])));
        if let Some(face) = most {
            self.marks.push((face, path.iter().map(|corner| spot.of(*corner)).collect()));
        }
        self
    }

    /// Its corners in metres: along the course, left, up.
    pub fn corners(&self) -> impl Iterator<Item = super::CoursePoint> + '_ {
        self.corners.iter().map(|corner| super::CoursePoint(*corner))
    }

    /// Its faces as half spaces: outward direction, and how far out each lies along it, in metres. A place is in the solid
    /// if it lies no farther out than any.
    pub fn half_spaces(&self) -> impl Iterator<Item = ([f64; 3], f64)> + '_ {
        self.faces.iter().map(|face| ([face.normal.x, face.normal.y, face.normal.z], face.out))
    }

    /// Whether a place lies within.
    pub(super) fn holds(&self, p: Triple) -> bool {
        self.faces.iter().all(|face| face.normal.dot(p) <= face.out)
    }

    pub(super) fn moved(&self, by: &dyn Fn(Triple) -> Triple) -> Self {
        let corners: Vec<Triple> = self.corners.iter().map(|corner| by(*corner)).collect();
        let sum = corners.iter().fold(Triple::default(), |sum, corner| sum + *corner);
        let middle = sum * (1.0 / corners.len().max(1) as f64);
        let face = |face: &Face| Face::new(face.corners.clone(), &corners, middle);
        let faces = self.faces.iter().filter_map(face).collect();
        let marks =
            self.marks.iter().map(|(face, path)| (*face, path.iter().map(|p| by(*p)).collect())).collect();
        Self { corners, faces, marks, ..self.clone() }
    }
}

impl Face {
    /// A face of these corners, turned so that it looks away from the middle.
    fn new(mut corners: Vec<usize>, of: &[Triple], middle: Triple) -> Option<Self> {
        let mut normal = Triple::default();
        for n in 0..corners.len() {
            normal = normal + of[corners[n]].cross(of[corners[(n + 1) % corners.len()]]);
        }
        let mut normal = normal.unit()?;
        let first = of[*corners.first()?];
        if normal.dot(first - middle) < 0.0 {
            normal = -normal;
            corners.reverse();
        }
        Some(Self { corners, normal, out: normal.dot(first) })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_face_is_flat_and_looks_outward() {
        let spot = Spot::at(3.0, -2.0, 0.5).turned(30.0);
        let solids = [
            CourseSolid::cuboid(Matter::Straw, "bale", spot, [1.0, 2.0, 3.0]),
            CourseSolid::round(Matter::Leaves, "crown", spot, &[[0.0, 0.4], [1.0, 1.0], [3.0, 0.2]]),
        ];
        for solid in solids {
            for face in &solid.faces {
                let on = |n: &usize| (face.normal.dot(solid.corners[*n]) - face.out).abs() < 1e-9;
                assert!(face.corners.iter().all(on), "{}: {face:?}", solid.name);
                assert!(solid.corners.iter().all(|corner| face.normal.dot(*corner) <= face.out + 1e-9));
            }
        }
    }
}
