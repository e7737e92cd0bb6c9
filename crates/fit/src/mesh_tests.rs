//! Which surfaces are taken for solids, and what is read off them.

use super::*;
use crate::faces::{Faces, PointRing};
use proptest::prelude::*;
use quantity::Degrees;

fn block(x: f64, y: f64, z: f64, holes: &[[f64; 3]]) -> Faces {
    let mut faces = Faces::default();
    let corners = [[0.0, 0.0], [x, 0.0], [x, y], [0.0, y]];
    let mut outer = |h: f64| faces.ring(corners.map(|[x, y]| PartPoint::new(x, y, h)));
    let (low, high) = (outer(0.0), outer(z));
    faces.wall(&low, &high);
    let round = |[cx, cy, r]: [f64; 3], h: f64| {
        (0..24).map(move |k| {
            let angle = f64::from(k) * std::f64::consts::TAU / 24.0;
            PartPoint::new(cx + r * angle.cos(), cy + r * angle.sin(), h)
        })
    };
    let (mut below, mut above): (Vec<PointRing>, Vec<PointRing>) = Default::default();
    for hole in holes {
        let (a, b) = (faces.ring(round(*hole, 0.0)), faces.ring(round(*hole, z)));
        faces.wall(&b, &a);
        below.push(a);
        above.push(b);
    }
    faces.face(&low.reversed(), &below.iter().collect::<Vec<_>>());
    faces.face(&high, &above.iter().collect::<Vec<_>>());
    faces
}

fn cube() -> Mesh {
    block(1.0, 1.0, 1.0, &[]).mesh().unwrap()
}

#[test]
fn a_unit_cube_has_volume_one_and_area_six() {
    let cube = cube();
    assert_eq!((cube.points().len(), cube.triangles().len()), (8, 12));
    assert_eq!((cube.euler_characteristic(), cube.handles(), cube.pieces()), (2, 0, 1));
    assert!((cube.volume_mm3() - 1.0).abs() < 1e-12 && (cube.area_mm2() - 6.0).abs() < 1e-12);
}

#[test]
fn each_hole_is_a_handle() {
    let mesh = block(20.0, 10.0, 3.0, &[[4.0, 5.0, 2.0], [12.0, 5.0, 3.0]]).mesh().unwrap();
    assert_eq!((mesh.euler_characteristic(), mesh.handles()), (-2, 2));
}

#[test]
fn a_triangle_left_out_leaves_an_edge_open() {
    let cube = cube();
    let fewer = cube.triangles()[1..].to_vec();
    assert!(matches!(Mesh::new(cube.points().to_vec(), fewer), Err(MeshFault::EdgeOpen { .. })));
}

#[test]
fn a_triangle_turned_over_meets_edges_twice() {
    let cube = cube();
    let mut triangles = cube.triangles().to_vec();
    triangles[3].swap(0, 1);
    assert!(matches!(Mesh::new(cube.points().to_vec(), triangles), Err(MeshFault::EdgeMetTwice { .. })));
}

#[test]
fn a_surface_turned_inside_out_is_refused() {
    let cube = cube();
    let triangles = cube.triangles().iter().map(|[a, b, c]| [*a, *c, *b]).collect();
    assert_eq!(Mesh::new(cube.points().to_vec(), triangles), Err(MeshFault::InsideOut));
}

#[test]
fn two_blocks_that_touch_in_a_corner_are_refused() {
    let cube = cube();
    let apart = cube.moved(InPart::at(PartPoint::new(1.0, 1.0, 1.0)));
    let both = Mesh::together(&[cube, apart]).unwrap();
    // The far corner of the one is the near corner of the other: joined, the point has two fans.
    let (kept, gone) = ((0..8).find(|k| both.points()[*k] == PartPoint::new(1.0, 1.0, 1.0)).unwrap(), 8);
    let renumbered = |k: u32| if k as usize == gone { kept as u32 } else { k - u32::from(k as usize > gone) };
    assert_eq!(both.points()[gone], PartPoint::new(1.0, 1.0, 1.0));
    let mut points = both.points().to_vec();
    points.remove(gone);
    let triangles = both.triangles().iter().map(|corners| corners.map(renumbered)).collect();
    assert!(matches!(Mesh::new(points, triangles), Err(MeshFault::PointMetTwice { .. })));
}

#[test]
fn loose_points_thin_triangles_and_numbers_that_are_none_are_told() {
    let cube = cube();
    let mut points = cube.points().to_vec();
    points.push(PartPoint::ORIGIN);
    let loose = Mesh::new(points, cube.triangles().to_vec());
    assert!(matches!(loose, Err(MeshFault::LoosePoint { .. })), "{loose:?}");
    let mut points = cube.points().to_vec();
    points[3] = points[0];
    assert!(matches!(Mesh::new(points, cube.triangles().to_vec()), Err(MeshFault::Thin { .. })));
    let mut points = cube.points().to_vec();
    points[3] = PartPoint::new(f64::NAN, 0.0, 0.0);
    assert!(matches!(Mesh::new(points, cube.triangles().to_vec()), Err(MeshFault::NotAPlace { .. })));
    assert!(matches!(Mesh::new(Vec::new(), Vec::new()), Err(MeshFault::Count { .. })));
    let none = Mesh::new(cube.points().to_vec(), vec![[0, 1, 99]]);
    assert_eq!(none, Err(MeshFault::NoSuchPoint { triangle: 0 }));
}

#[test]
fn a_face_with_a_corner_in_line_keeps_it() {
    // The upper face has a corner in the middle of one edge, which its neighbour below needs.
    let mut faces = Faces::default();
    let p = PartPoint::new;
    let flat = [[0.0, 0.0], [1.0, 0.0], [2.0, 0.0], [2.0, 1.0], [0.0, 1.0]];
    let low = faces.ring(flat.map(|[x, y]| p(x, y, 0.0)));
    let high = faces.ring(flat.map(|[x, y]| p(x, y, 1.0)));
    faces.wall(&low, &high);
    faces.face(&high, &[]);
    faces.face(&low.reversed(), &[]);
    let mesh = faces.mesh().unwrap();
    assert!((mesh.volume_mm3() - 2.0).abs() < 1e-12);
}

#[test]
fn a_mirrored_mesh_still_looks_outward() {
    let mesh = block(2.0, 3.0, 1.0, &[[1.0, 1.0, 0.5]]).mesh().unwrap();
    let mirrored = mesh.mirrored();
    assert!((mirrored.volume_mm3() - mesh.volume_mm3()).abs() < 1e-12);
    assert_eq!(mirrored.bounds().0.y(), -3.0);
    assert!(Mesh::new(mirrored.points().to_vec(), mirrored.triangles().to_vec()).is_ok());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn a_drilled_block_is_closed_and_keeps_its_volume_wherever_it_stands(
        x in 5.0f64..40.0, y in 5.0f64..40.0, z in 0.5f64..10.0,
        columns in 1usize..5, yaw in -180.0f64..180.0, pitch in -90.0f64..90.0,
    ) {
        let step = x / columns as f64;
        let r = 0.35 * step.min(y);
        let holes: Vec<[f64; 3]> = (0..columns).map(|k| [step * (k as f64 + 0.5), y / 2.0, r]).collect();
        let mesh = block(x, y, z, &holes).mesh().unwrap();
        prop_assert_eq!(mesh.handles(), columns as i64);
        // A regular polygon of n corners on a circle has n/2·r²·sin(2π/n).
        let polygon = 12.0 * r * r * (std::f64::consts::TAU / 24.0).sin();
        let expected = (x * y - columns as f64 * polygon) * z;
        prop_assert!((mesh.volume_mm3() - expected).abs() < 1e-9 * expected.max(1.0));
        let pose = InPart::turned(PartPoint::new(3.0, -50.0, 20.0), Degrees::new(yaw), Degrees::new(pitch), Degrees::new(10.0));
        let moved = mesh.moved(pose);
        prop_assert!((moved.volume_mm3() - expected).abs() < 1e-7 * expected.max(1.0));
    }
}
