//! What may stand in the picture: a solid with its own frame, placed in the camera frame.
//!
//! A disc swept by blades is a flat cylinder. All sizes in millimetres.

use crate::vector::Triple;
use crate::{Direction, OpticsFault, Outline, Point};
use quantity::Millimetres;
use std::sync::Arc;

/// The shape of a solid in its own frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape(pub(crate) Form);

#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Form {
    /// Half the sides, centred.
    Box([f64; 3]),
    /// Along z, centred.
    Cylinder { radius: f64, half_length: f64 },
    /// From z = 0 up.
    Prism { outline: Arc<Outline>, thickness: f64 },
}

fn checked(what: &'static str, value: Millimetres) -> Result<f64, OpticsFault> {
    let sound = value.get() > 0.0 && value.get().is_finite();
    sound.then_some(value.get()).ok_or(OpticsFault::Size { what, value })
}

impl Shape {
    /// A box, centred.
    pub fn cuboid(x: Millimetres, y: Millimetres, z: Millimetres) -> Result<Self, OpticsFault> {
        let sides = [checked("size along x", x)?, checked("size along y", y)?, checked("size along z", z)?];
        Ok(Self(Form::Box(sides.map(|side| side / 2.0))))
    }

    /// A cylinder along z, centred: a rod, or a disc swept by blades.
    pub fn cylinder(radius: Millimetres, length: Millimetres) -> Result<Self, OpticsFault> {
        let radius = checked("radius", radius)?;
        Ok(Self(Form::Cylinder { radius, half_length: checked("length", length)? / 2.0 }))
    }

    /// A plate of an outline, from z = 0 up.
    pub fn prism(outline: Outline, thickness: Millimetres) -> Result<Self, OpticsFault> {
        Ok(Self(Form::Prism { outline: Arc::new(outline), thickness: checked("thickness", thickness)? }))
    }

    /// The least and greatest coordinates in its own frame.
    pub(crate) fn bounds(&self) -> (Triple, Triple) {
        match &self.0 {
            Form::Box([x, y, z]) => (Triple::new(-x, -y, -z), Triple::new(*x, *y, *z)),
            Form::Cylinder { radius: r, half_length: h } => {
                (Triple::new(-r, -r, -h), Triple::new(*r, *r, *h))
            }
            Form::Prism { outline, thickness } => {
                let ([x0, y0], [x1, y1]) = outline.bounds();
                (Triple::new(x0, y0, 0.0), Triple::new(x1, y1, *thickness))
            }
        }
    }

    /// The least of n·p over its points p, in its own frame.
    pub(crate) fn least_along(&self, n: Triple) -> f64 {
        match &self.0 {
            Form::Box([x, y, z]) => -(n.x.abs() * x + n.y.abs() * y + n.z.abs() * z),
            Form::Cylinder { radius, half_length } => {
                -((n.x * n.x + n.y * n.y).sqrt() * radius + n.z.abs() * half_length)
            }
            Form::Prism { outline, thickness } => {
                let flat = outline.hull().iter().map(|[x, y]| n.x * x + n.y * y);
                flat.fold(f64::INFINITY, f64::min) + (n.z * thickness).min(0.0)
            }
        }
    }
}

/// Where a solid stands: its own axes and origin, as the camera sees them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    pub(crate) axes: [Triple; 3],
    pub(crate) origin: Triple,
}

impl Placement {
    /// Not turned, its origin at a place.
    pub const fn at(origin: Point) -> Self {
        Self { axes: [Triple::X, Triple::Y, Triple::Z], origin: origin.0 }
    }

    /// Its own x, y and z along these directions, which must stand square on each other and be right-handed.
    pub fn turned(origin: Point, axes: [Direction; 3]) -> Result<Self, OpticsFault> {
        let [x, y, z] = axes.map(|axis| axis.0);
        let square = x.dot(y).abs() < 1e-6 && (x.cross(y) - z).length() < 1e-6;
        square.then_some(Self { axes: [x, y, z], origin: origin.0 }).ok_or(OpticsFault::Axes)
    }

    /// A difference or direction of the camera frame, in its own.
    pub(crate) fn inward(&self, d: Triple) -> Triple {
        Triple::new(self.axes[0].dot(d), self.axes[1].dot(d), self.axes[2].dot(d))
    }

    /// A place of its own frame as the camera sees it.
    pub(crate) fn outward(&self, p: Triple) -> Triple {
        self.origin + self.axes[0] * p.x + self.axes[1] * p.y + self.axes[2] * p.z
    }
}

/// A solid that may stand in the picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Occluder {
    /// Its shape.
    pub shape: Shape,
    /// Where it stands.
    pub placement: Placement,
}
