//! The three shapes a part is made of: cuboid, cylinder, and an outline of even thickness.
//!
//! In its own frame a cuboid is centred; a cylinder is centred with its axis along z; a prism stands on
//! its outline at z = 0 and rises to its thickness. Volumes are closed forms: x·y·z, π·r²·l, A·t.
//!
//! Left out: balls, cones and free surfaces. Data sheets give sizes, not surfaces.

use crate::outline::{Outline, SIZE_MAX};
use quantity::Millimetres;
use std::f64::consts::PI;
use thiserror::Error;

/// What is wrong with a size.
#[derive(Clone, Debug, PartialEq, Error)]
#[error("{what} {value} must be above 0 and at most {SIZE_MAX}")]
pub struct SizeFault {
    /// Which size.
    pub what: &'static str,
    /// Its value.
    pub value: Millimetres,
}

/// A box, centred.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cuboid {
    half: [f64; 3],
}

/// A cylinder along z, centred.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cylinder {
    radius: f64,
    half_length: f64,
}

/// An outline of even thickness, from z = 0 up.
#[derive(Clone, Debug, PartialEq)]
pub struct Prism {
    outline: Outline,
    thickness: f64,
}

/// The shape of a solid, in its own frame.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A box, centred.
    Cuboid(Cuboid),
    /// A cylinder along z, centred.
    Cylinder(Cylinder),
    /// A plate: an outline with holes, from z = 0 up.
    Prism(Prism),
}

fn checked(what: &'static str, value: Millimetres) -> Result<f64, SizeFault> {
    let within = value.get() > 0.0 && value.get() <= SIZE_MAX.get();
    within.then_some(value.get()).ok_or(SizeFault { what, value })
}

impl Shape {
    /// A box with these sizes along x, y and z.
    pub fn cuboid(x: Millimetres, y: Millimetres, z: Millimetres) -> Result<Self, SizeFault> {
        let half = [checked("size along x", x)?, checked("size along y", y)?, checked("size along z", z)?];
        Ok(Shape::Cuboid(Cuboid { half: half.map(|size| size / 2.0) }))
    }

    /// A cylinder along z.
    pub fn cylinder(radius: Millimetres, length: Millimetres) -> Result<Self, SizeFault> {
        let radius = checked("radius", radius)?;
        Ok(Shape::Cylinder(Cylinder { radius, half_length: checked("length", length)? / 2.0 }))
    }

    /// A plate of this outline.
    pub fn prism(outline: Outline, thickness: Millimetres) -> Result<Self, SizeFault> {
        Ok(Shape::Prism(Prism { outline, thickness: checked("thickness", thickness)? }))
    }

    /// The volume in mm³, exact: holes by πd²/4.
    pub fn volume_mm3(&self) -> f64 {
        match self {
            Shape::Cuboid(c) => c.half.iter().map(|h| 2.0 * h).product(),
            Shape::Cylinder(c) => PI * c.radius * c.radius * 2.0 * c.half_length,
            Shape::Prism(p) => p.outline.area_mm2() * p.thickness,
        }
    }
}

impl Cuboid {
    /// The sizes along x, y and z.
    pub fn size(&self) -> [Millimetres; 3] {
        self.half.map(|h| Millimetres::new(2.0 * h))
    }
    pub(crate) fn half(&self) -> [f64; 3] {
        self.half
    }
}

impl Cylinder {
    /// The radius.
    pub fn radius(&self) -> Millimetres {
        Millimetres::new(self.radius)
    }
    /// The length along z.
    pub fn length(&self) -> Millimetres {
        Millimetres::new(2.0 * self.half_length)
    }
}

impl Prism {
    /// The outline.
    pub fn outline(&self) -> &Outline {
        &self.outline
    }
    /// The thickness along z.
    pub fn thickness(&self) -> Millimetres {
        Millimetres::new(self.thickness)
    }
}
