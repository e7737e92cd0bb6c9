//! How far a point is from a shape, and which way leads away from it, in closed form.
//!
//! Negative inside: then it is the distance to the nearest face. A box and a cylinder are a distance
//! across and a distance along their axis joined: outside, √(max(a, 0)² + max(b, 0)²); inside, the larger of
//! the two. A plate is the signed distance to its outline joined with that to its two faces in the same
//! way; inside a hole the outline is as far as the hole's wall. Holes are true circles here.

use crate::outline::{Hole, Outline, PlanePoint};
use crate::ring_cells::Edge;
use crate::shape::Shape;
use parry3d_f64::glamx::{DVec2, DVec3};

/// Signed distance of a point to a shape in the shape's own frame, and the unit that leads away.
pub(crate) fn from_surface(shape: &Shape, p: DVec3) -> (f64, DVec3) {
    match shape {
        Shape::Cuboid(c) => {
            let over = p.abs() - DVec3::from_array(c.half());
            let out = over.max(DVec3::ZERO);
            let sign = DVec3::ONE.copysign(p);
            let far = out.length();
            if far > 0.0 {
                return (far, out * sign / far);
            }
            let axis = if over.x >= over.y && over.x >= over.z {
                DVec3::X
            } else if over.y >= over.z {
                DVec3::Y
            } else {
                DVec3::Z
            };
            (over.max_element(), axis * sign)
        }
        Shape::Cylinder(c) => {
            let flat = p.truncate();
            let across = flat.length();
            let way = if across > 1e-12 { flat / across } else { DVec2::X };
            joined(across - c.radius().get(), way, p.z, c.length().get() / 2.0)
        }
        Shape::Prism(plate) => {
            let (off, way) = from_outline(plate.outline(), p.truncate());
            let half = plate.thickness().get() / 2.0;
            joined(off, way, p.z - half, half)
        }
    }
}

/// Joins a signed distance across with that along z, from the middle of a span.
fn joined(across: f64, way: DVec2, z: f64, half: f64) -> (f64, DVec3) {
    let along = z.abs() - half;
    let up = 1f64.copysign(z);
    if across > 0.0 && along > 0.0 {
        let far = (across * across + along * along).sqrt();
        let way = way * (across / far);
        return (far, DVec3::new(way.x, way.y, up * along / far));
    }
    if across >= along { (across, way.extend(0.0)) } else { (along, DVec3::new(0.0, 0.0, up)) }
}

/// Signed distance to an outline and its holes in their plane.
fn from_outline(outline: &Outline, p: DVec2) -> (f64, DVec2) {
    let cells = outline.cells();
    let (near, crossed) = cells.matter(p);
    let mut best = from_edges(near.iter().copied(), crossed.iter().copied(), p);
    for hole in outline.holes() {
        let (off, way) = match hole {
            // A hole's wall is never farther inside than half its width.
            Hole::Round { diameter: width, .. } | Hole::Slot { width, .. } if width.get() / 2.0 <= best.0 => {
                continue;
            }
            Hole::Round { centre, diameter } => from_slot(*centre, *centre, diameter.get(), p),
            Hole::Slot { from, to, width } => from_slot(*from, *to, width.get(), p),
            Hole::Polygon(points) => {
                let (off, way) = from_ring(points, p);
                (-off, -way)
            }
        };
        if off > best.0 {
            best = (off, way);
        }
    }
    best
}

fn from_slot(from: PlanePoint, to: PlanePoint, width: f64, p: DVec2) -> (f64, DVec2) {
    let inward = nearest_on(from.raw(), to.raw(), p) - p;
    let far = inward.length();
    (width / 2.0 - far, if far > 1e-12 { inward / far } else { DVec2::X })
}

fn nearest_on(a: DVec2, b: DVec2, p: DVec2) -> DVec2 {
    let side = b - a;
    let square = side.length_squared();
    if square == 0.0 { a } else { a + side * ((p - a).dot(side) / square).clamp(0.0, 1.0) }
}

/// Signed distance to a ring, negative inside, whichever way it goes round.
fn from_ring(ring: &[PlanePoint], p: DVec2) -> (f64, DVec2) {
    let before = ring.iter().cycle().skip(ring.len().saturating_sub(1));
    let edges = || before.clone().zip(ring).map(|(a, b)| Edge::new(a.raw(), b.raw()));
    from_edges(edges(), edges(), p)
}

/// Signed distance to the nearest of some edges of a ring; inside it if a ray crosses an odd number of some others.
fn from_edges(
    near: impl Iterator<Item = Edge>,
    crossed: impl Iterator<Item = Edge>,
    p: DVec2,
) -> (f64, DVec2) {
    let (mut least, mut to, mut side) = (f64::INFINITY, p, DVec2::X);
    for edge in near {
        let on = edge.nearest_to(p);
        let square = (p - on).length_squared();
        if square < least {
            (least, to, side) = (square, on, edge.side);
        }
    }
    let within = crossed.filter(|edge| edge.crosses(p)).count() % 2 == 1;
    let far = least.sqrt();
    let sign = if within { -1.0 } else { 1.0 };
    let way =
        if far > 1e-12 { (p - to) * (sign / far) } else { side.perp().try_normalize().unwrap_or(DVec2::X) };
    (sign * far, way)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::ring_cells::RingCells;
    use quantity::Millimetres;

    #[test]
    fn the_edges_that_matter_to_a_square_tell_what_all_edges_tell() {
        // A star of eleven rays with two notches, so that nearest edges change often.
        let corner = |n: u32| {
            let (s, c) = (f64::from(n) * std::f64::consts::TAU / 22.0).sin_cos();
            let far = [[31.0, 9.5], [24.0, 14.0]][usize::from(n.is_multiple_of(5))][(n % 2) as usize];
            DVec2::new(far * c + 3.0, far * s - 7.0)
        };
        let corners: Vec<DVec2> = (0..22).map(corner).collect();
        let cells = RingCells::of(&corners);
        let mut looked = 0;
        for n in 0..20_000u32 {
            let share = |k: f64| (f64::from(n) * k).fract() - 0.5;
            let p = DVec2::new(share(0.618_034) * 150.0, share(0.754_878) * 150.0);
            let told = |near: &[Edge], crossed: &[Edge]| {
                from_edges(near.iter().copied(), crossed.iter().copied(), p)
            };
            let (near, crossed) = cells.matter(p);
            looked += usize::from(near.len() < 22);
            assert_eq!(told(near, crossed), told(cells.edges(), cells.edges()), "{p:?}");
        }
        assert!(looked > 10_000, "{looked}");
    }

    #[test]
    fn a_point_is_as_far_as_a_ball_of_no_size() {
        // Held against the general search with a tiny box at the point.
        let mm = Millimetres::new;
        let window = [(-9.0, -4.0), (-3.0, -4.0), (-6.0, 3.0)].map(|(x, y)| PlanePoint::new(x, y));
        let holes = vec![
            Hole::Round { centre: PlanePoint::new(6.0, 0.0), diameter: mm(6.0) },
            Hole::Slot { from: PlanePoint::new(-4.0, 6.0), to: PlanePoint::new(4.0, 6.5), width: mm(2.0) },
            Hole::Polygon(window.to_vec()),
        ];
        let plate = Shape::prism(Outline::rectangle(mm(24.0), mm(18.0), holes).unwrap(), mm(2.0)).unwrap();
        let shapes = [
            Shape::cuboid(mm(9.0), mm(5.0), mm(3.0)).unwrap(),
            Shape::cylinder(mm(4.0), mm(7.0)).unwrap(),
            plate,
        ];
        let dot = Shape::cuboid(mm(1e-6), mm(1e-6), mm(1e-6)).unwrap();
        for shape in &shapes {
            for n in 0..400 {
                let share = |k: f64| (f64::from(n) * k).fract() - 0.5;
                let p = DVec3::new(share(0.618_034) * 30.0, share(0.754_878) * 24.0, share(0.569_84) * 9.0);
                let (far, way) = from_surface(shape, p);
                assert!((way.length() - 1.0).abs() < 1e-9);
                let pose = parry3d_f64::glamx::DPose3::from_translation(p);
                let general = crate::pairing::nearest_or_bite(shape, &dot, pose, f64::MAX).unwrap();
                if far > 1e-3 {
                    assert!((general.distance - far).abs() < 1.1e-3, "{p:?}: {far} {general:?}");
                    assert!(general.direction.dot(way) > 0.999, "{p:?}: {way:?} {general:?}");
                } else if far < -2e-3 {
                    assert!(general.distance <= 0.0);
                    // Going out by as much leads to the surface.
                    let (there, _) = from_surface(shape, p - way * far);
                    assert!(there.abs() < 1e-9, "{p:?} {there}");
                }
            }
        }
    }
}
