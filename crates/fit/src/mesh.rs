//! A closed surface of triangles: what a printer is given, and the proof that it bounds a solid.
//!
//! A mesh that exists is sound: every edge is met once in each direction, so the surface is closed and all
//! triangles look outward together; the triangles round each point form one fan; none is thinner than
//! [`THINNEST`]; and every connected piece holds a positive volume.
//! - Volume by the divergence theorem: V = Σ v₁·(v₂ × v₃) / 6.
//! - Euler characteristic χ = V − E + F, which is 2·(pieces − handles): 2 for a block, 0 for a block with one
//!   hole through it, −2 with two.
//!
//! Left out: cavities, and whether far parts of the surface run through each other. Makers of meshes hold
//! their sizes so that they cannot.

use crate::frame::{InPart, PartPoint};
use crate::mesh_fault::MeshFault;
use crate::outline::SIZE_MAX;
use parry3d_f64::glamx::DVec3;
use quantity::Millimetres;
use std::collections::HashMap;

/// The least height of a triangle; below it, single precision in files makes it a line.
pub const THINNEST: Millimetres = Millimetres::new(1e-5);
/// The most triangles one mesh may have.
pub const TRIANGLES_MAX: usize = 500_000;

/// A closed surface of triangles in the frame of a part, in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct Mesh {
    points: Vec<PartPoint>,
    triangles: Vec<[u32; 3]>,
    pieces: usize,
}

impl Mesh {
    /// Checks a surface: points, and triangles as numbers of points, counter-clockwise seen from outside.
    pub fn new(points: Vec<PartPoint>, triangles: Vec<[u32; 3]>) -> Result<Self, MeshFault> {
        if triangles.is_empty() || triangles.len() > TRIANGLES_MAX {
            return Err(MeshFault::Count { triangles: triangles.len() });
        }
        let usable = |p: &PartPoint| p.coordinates().iter().all(|c| c.abs() <= SIZE_MAX.get());
        if let Some(point) = points.iter().position(|p| !usable(p)) {
            return Err(MeshFault::NotAPlace { point, at: points[point] });
        }
        for (triangle, corners) in triangles.iter().enumerate() {
            if corners.iter().any(|corner| *corner as usize >= points.len()) {
                return Err(MeshFault::NoSuchPoint { triangle });
            }
            let height = least_height(corners.map(|corner| points[corner as usize].0));
            // Not a number is thin too.
            if height.is_nan() || height < THINNEST.get() {
                return Err(MeshFault::Thin { triangle, height: Millimetres::new(height) });
            }
        }
        check_edges(&points, &triangles)?;
        check_fans(&points, &triangles)?;
        let pieces = check_pieces(&points, &triangles)?;
        Ok(Self { points, triangles, pieces })
    }

    /// Several meshes as one, side by side; they must not meet.
    pub fn together(meshes: &[Mesh]) -> Result<Self, MeshFault> {
        let mut points = Vec::new();
        let mut triangles = Vec::new();
        for mesh in meshes {
            let from = points.len() as u32;
            points.extend_from_slice(&mesh.points);
            triangles.extend(mesh.triangles.iter().map(|corners| corners.map(|corner| corner + from)));
        }
        Self::new(points, triangles)
    }

    /// The points.
    pub fn points(&self) -> &[PartPoint] {
        &self.points
    }
    /// The triangles, as numbers of points, counter-clockwise seen from outside.
    pub fn triangles(&self) -> &[[u32; 3]] {
        &self.triangles
    }
    /// How many separate pieces it is.
    pub fn pieces(&self) -> usize {
        self.pieces
    }
    /// Points less edges plus triangles.
    pub fn euler_characteristic(&self) -> i64 {
        // Each triangle has three edges and each edge two triangles.
        self.points.len() as i64 - self.triangles.len() as i64 / 2
    }
    /// How many holes go through it.
    pub fn handles(&self) -> i64 {
        self.pieces as i64 - self.euler_characteristic() / 2
    }
    /// The volume in mm³.
    pub fn volume_mm3(&self) -> f64 {
        self.triangles.iter().map(|corners| six_volumes(&self.points, corners)).sum::<f64>() / 6.0
    }
    /// The area of the surface in mm².
    pub fn area_mm2(&self) -> f64 {
        let twice = |corners: &[u32; 3]| {
            let [a, b, c] = corners.map(|corner| self.points[corner as usize].0);
            (b - a).cross(c - a).length()
        };
        self.triangles.iter().map(twice).sum::<f64>() / 2.0
    }
    /// The least and the greatest coordinates.
    pub fn bounds(&self) -> (PartPoint, PartPoint) {
        let (low, high) = self
            .points
            .iter()
            .fold((DVec3::INFINITY, DVec3::NEG_INFINITY), |(low, high), p| (low.min(p.0), high.max(p.0)));
        (PartPoint::of(low), PartPoint::of(high))
    }
    /// The same surface, turned and shifted.
    pub fn moved(&self, by: InPart) -> Self {
        Self { points: self.points.iter().map(|p| by.point(*p)).collect(), ..self.clone() }
    }
    /// The same surface seen in a mirror that stands at y = 0: left becomes right.
    pub fn mirrored(&self) -> Self {
        let across = |p: &PartPoint| PartPoint::new(p.x(), -p.y(), p.z());
        Self {
            points: self.points.iter().map(across).collect(),
            triangles: self.triangles.iter().map(|[a, b, c]| [*a, *c, *b]).collect(),
            pieces: self.pieces,
        }
    }
}

fn six_volumes(points: &[PartPoint], corners: &[u32; 3]) -> f64 {
    let [a, b, c] = corners.map(|corner| points[corner as usize].0);
    a.dot(b.cross(c))
}

/// The least height of a triangle: twice its area over its longest side.
pub(crate) fn least_height([a, b, c]: [DVec3; 3]) -> f64 {
    let longest = (b - a).length().max((c - b).length()).max((a - c).length());
    (b - a).cross(c - a).length() / longest
}

/// Every edge once in each direction.
fn check_edges(points: &[PartPoint], triangles: &[[u32; 3]]) -> Result<(), MeshFault> {
    let mut met: HashMap<(u32, u32), usize> = HashMap::with_capacity(3 * triangles.len());
    for edge in triangles.iter().flat_map(edges) {
        *met.entry(edge).or_default() += 1;
    }
    let told = |(from, to): (u32, u32)| (points[from as usize], points[to as usize]);
    for edge in triangles.iter().flat_map(edges) {
        let (from, to) = told(edge);
        if met[&edge] > 1 {
            return Err(MeshFault::EdgeMetTwice { from, to });
        }
        if !met.contains_key(&(edge.1, edge.0)) {
            return Err(MeshFault::EdgeOpen { from, to });
        }
    }
    Ok(())
}

pub(crate) fn edges(corners: &[u32; 3]) -> [(u32, u32); 3] {
    let [a, b, c] = *corners;
    [(a, b), (b, c), (c, a)]
}

/// The triangles round each point form one fan; a point of none is a slip.
fn check_fans(points: &[PartPoint], triangles: &[[u32; 3]]) -> Result<(), MeshFault> {
    let mut round = vec![0_u32; points.len()];
    let mut next: HashMap<(u32, u32), u32> = HashMap::with_capacity(3 * triangles.len());
    let mut start: Vec<Option<u32>> = vec![None; points.len()];
    for [a, b, c] in triangles {
        for (at, from, to) in [(*a, *b, *c), (*b, *c, *a), (*c, *a, *b)] {
            round[at as usize] += 1;
            start[at as usize] = Some(from);
            next.insert((at, from), to);
        }
    }
    for (point, first) in start.iter().enumerate() {
        let at = points[point];
        let Some(first) = *first else { return Err(MeshFault::LoosePoint { at }) };
        let mut seen = 0;
        let mut spoke = first;
        loop {
            seen += 1;
            match next.get(&(point as u32, spoke)) {
                Some(to) if *to == first => break,
                Some(to) if seen <= round[point] => spoke = *to,
                _ => return Err(MeshFault::PointMetTwice { at }),
            }
        }
        if seen != round[point] {
            return Err(MeshFault::PointMetTwice { at });
        }
    }
    Ok(())
}

/// How many pieces hang together; each must look outward.
fn check_pieces(points: &[PartPoint], triangles: &[[u32; 3]]) -> Result<usize, MeshFault> {
    let mut head: Vec<u32> = (0..points.len() as u32).collect();
    fn find(head: &mut [u32], mut at: u32) -> u32 {
        while head[at as usize] != at {
            head[at as usize] = head[head[at as usize] as usize];
            at = head[at as usize];
        }
        at
    }
    for [a, b, c] in triangles {
        let root = find(&mut head, *a);
        for other in [*b, *c] {
            let other = find(&mut head, other);
            head[other as usize] = root;
        }
    }
    let mut volumes: HashMap<u32, f64> = HashMap::new();
    for corners in triangles {
        *volumes.entry(find(&mut head, corners[0])).or_default() += six_volumes(points, corners);
    }
    match volumes.values().all(|volume| *volume > 0.0) {
        true => Ok(volumes.len()),
        false => Err(MeshFault::InsideOut),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
#[path = "mesh_tests.rs"]
mod tests;
