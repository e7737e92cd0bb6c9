//! A solid seen askew: the faces turned to the eye, each with the shade of the way it looks.
//!
//! A box shows three faces, a cylinder its side and one end, a plate the walls of its rim and of its holes that look
//! to the eye, and over them its near face with the holes left out. All shapes here are right prisms, so painting the
//! walls first and the face last hides what the solid itself hides.

use crate::projection::Eye;
use crate::silhouette::{PaperPoint, RIM_POINTS};
use fit::{PartPoint, PartVector, PlanePoint, Pose, Shape, Solid};
use std::f64::consts::TAU;

/// Which way a face looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Shade {
    /// Up or down.
    Flat,
    /// To the right of the sheet.
    Right,
    /// To the left of the sheet.
    Left,
}

/// Some rings of one shade; rings within rings are holes.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Face {
    pub rings: Vec<Vec<PaperPoint>>,
    pub shade: Shade,
}

/// The faces of a solid turned to the eye, in the order they are painted.
pub(crate) fn faces(solid: &Solid, eye: &Eye) -> Vec<Face> {
    match &solid.shape {
        Shape::Cuboid(cuboid) => {
            let [x, y, z] = cuboid.size().map(|side| side.get());
            let p = PlanePoint::new;
            let ring =
                vec![p(-x / 2.0, -y / 2.0), p(x / 2.0, -y / 2.0), p(x / 2.0, y / 2.0), p(-x / 2.0, y / 2.0)];
            prism(&[ring], [-z / 2.0, z / 2.0], &solid.pose, eye)
        }
        Shape::Cylinder(cylinder) => {
            let (r, half) = (cylinder.radius().get(), cylinder.length().get() / 2.0);
            let corner = |n: usize| {
                let (sin, cos) = (TAU * n as f64 / RIM_POINTS as f64).sin_cos();
                PlanePoint::new(r * cos, r * sin)
            };
            prism(&[(0..RIM_POINTS).map(corner).collect()], [-half, half], &solid.pose, eye)
        }
        Shape::Prism(plate) => {
            let outline = plate.outline();
            let mut rings = vec![outline.outer().to_vec()];
            rings.extend(outline.holes().iter().map(|hole| against(hole.corners())));
            prism(&rings, [0.0, plate.thickness().get()], &solid.pose, eye)
        }
    }
}

/// A hole's ring, clockwise, so that its walls look into it.
fn against(mut ring: Vec<PlanePoint>) -> Vec<PlanePoint> {
    let next = ring.iter().cycle().skip(1);
    let area: f64 = ring.iter().zip(next).map(|(a, b)| a.x * b.y - a.y * b.x).sum();
    if area > 0.0 {
        ring.reverse();
    }
    ring
}

/// The walls and the near face of rings between two heights; the first ring runs anticlockwise, holes clockwise.
fn prism(rings: &[Vec<PlanePoint>], heights: [f64; 2], pose: &Pose, eye: &Eye) -> Vec<Face> {
    let at = |p: PlanePoint, z: f64| {
        let seen = eye.see(pose.point(PartPoint::new(p.x, p.y, z)));
        [seen.u, seen.v]
    };
    let mut walls = [Shade::Right, Shade::Left, Shade::Flat].map(|shade| Face { rings: Vec::new(), shade });
    for ring in rings {
        for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            let normal = pose.vector(PartVector::new(b.y - a.y, a.x - b.x, 0.0));
            if eye.faces(normal) <= 1e-9 {
                continue;
            }
            let quad = vec![at(*a, heights[0]), at(*b, heights[0]), at(*b, heights[1]), at(*a, heights[1])];
            let shade = shade(normal.coordinates(), eye);
            if let Some(wall) = walls.iter_mut().find(|wall| wall.shade == shade) {
                wall.rings.push(quad);
            }
        }
    }
    let mut faces: Vec<Face> = walls.into_iter().filter(|wall| !wall.rings.is_empty()).collect();
    let up = pose.vector(PartVector::Z);
    let toward = eye.faces(up);
    if toward.abs() > 1e-9 {
        let z = if toward > 0.0 { heights[1] } else { heights[0] };
        let rings = rings.iter().map(|ring| ring.iter().map(|p| at(*p, z)).collect()).collect();
        faces.push(Face { rings, shade: shade(up.coordinates().map(|c| c * toward.signum()), eye) });
    }
    faces
}

fn shade(normal: [f64; 3], eye: &Eye) -> Shade {
    let length = normal.iter().map(|c| c * c).sum::<f64>().sqrt();
    if normal[2].abs() > 0.7 * length {
        return Shade::Flat;
    }
    if eye.right(normal) > 0.0 { Shade::Right } else { Shade::Left }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use fit::{BodyPoint, Hole, Outline, OwnerIndex, Role};
    use quantity::Millimetres;

    fn solid(shape: Shape) -> Solid {
        let pose = Pose::at(BodyPoint::new(3.0, 2.0, 1.0));
        Solid { name: "it".into(), owner: OwnerIndex(0), role: Role::Other, shape, pose, drifts: vec![] }
    }

    fn mm(size: f64) -> Millimetres {
        Millimetres::new(size)
    }

    fn area(face: &Face) -> f64 {
        let ring = |ring: &Vec<PaperPoint>| {
            let next = ring.iter().cycle().skip(1);
            ring.iter().zip(next).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum::<f64>() / 2.0
        };
        face.rings.iter().map(ring).sum()
    }

    #[test]
    fn the_three_faces_of_a_box_cover_the_shadow_it_throws() {
        let eye = Eye::askew(-52.0, 28.0);
        let faces = faces(&solid(Shape::cuboid(mm(3.0), mm(4.0), mm(5.0)).unwrap()), &eye);
        assert_eq!(
            faces.iter().map(|f| f.shade).collect::<Vec<_>>(),
            [Shade::Right, Shade::Left, Shade::Flat]
        );
        let [x, y, z] = eye.toward().map(f64::abs);
        let expected = 4.0 * 5.0 * x + 3.0 * 5.0 * y + 3.0 * 4.0 * z;
        assert!((faces.iter().map(area).sum::<f64>() - expected).abs() < 1e-9);
    }

    #[test]
    fn a_hole_shows_the_wall_beyond_it_and_is_left_out_of_the_face() {
        let hole = Hole::Round { centre: PlanePoint::new(0.0, 0.0), diameter: mm(4.0) };
        let outline = Outline::rectangle(mm(20.0), mm(10.0), vec![hole]).unwrap();
        let eye = Eye::askew(-52.0, 28.0);
        let faces = faces(&solid(Shape::prism(outline, mm(2.0)).unwrap()), &eye);
        let face = faces.last().unwrap();
        let round = std::f64::consts::PI * 4.0;
        assert!((area(face) - (200.0 - round) * eye.toward()[2]).abs() < 0.02, "{}", area(face));
        let walls: usize = faces[..faces.len() - 1].iter().map(|face| face.rings.len()).sum();
        assert!(walls > 2 + 10, "{walls}");
    }
}
