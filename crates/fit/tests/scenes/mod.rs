//! Shapes and poses in few words, for the tests that set up scenes: sizes in mm, angles in degrees.

use fit::{BodyPoint, OwnerIndex, Pose, Role, Shape, Solid};
use quantity::{Degrees, Millimetres};

pub fn mm(x: f64) -> Millimetres {
    Millimetres::new(x)
}

/// A solid named by its role, without doubt.
pub fn solid(owner: u32, role: Role, shape: Shape, pose: Pose) -> Solid {
    Solid { name: role.words().into(), owner: OwnerIndex(owner), role, shape, pose, drifts: vec![] }
}

pub fn cuboid(x: f64, y: f64, z: f64) -> Shape {
    Shape::cuboid(mm(x), mm(y), mm(z)).unwrap()
}

pub fn cylinder(radius: f64, length: f64) -> Shape {
    Shape::cylinder(mm(radius), mm(length)).unwrap()
}

pub fn at(x: f64, y: f64, z: f64) -> Pose {
    Pose::at(BodyPoint::new(x, y, z))
}

pub fn turned(x: f64, y: f64, z: f64, yaw: f64, pitch: f64, roll: f64) -> Pose {
    Pose::turned(BodyPoint::new(x, y, z), Degrees::new(yaw), Degrees::new(pitch), Degrees::new(roll))
}
