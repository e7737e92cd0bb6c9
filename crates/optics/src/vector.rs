//! Places and directions in the camera frame: x along the lens axis, y left, z up.
//!
//! [`Point`] is a place in millimetres, [`Direction`] has length one; both are built on a [`Triple`].

use crate::OpticsFault;
pub(crate) use quantity::Triple;

/// A place in the camera frame, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point(pub(crate) Triple);

impl Point {
    /// The eye: the front of the lens.
    pub const EYE: Self = Self(Triple::new(0.0, 0.0, 0.0));

    /// From millimetres forward, left and up.
    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Self(Triple::new(x, y, z))
    }
    /// Millimetres forward, left and up.
    pub const fn coordinates(self) -> [f64; 3] {
        [self.0.x, self.0.y, self.0.z]
    }
}

/// A direction in the camera frame, of length one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Direction(pub(crate) Triple);

impl Direction {
    /// Along the lens axis.
    pub const FORWARD: Self = Self(Triple::X);
    /// To the left of the picture.
    pub const LEFT: Self = Self(Triple::Y);
    /// To the top of the picture.
    pub const UP: Self = Self(Triple::Z);

    /// The direction of a difference forward, left and up.
    pub fn new(x: f64, y: f64, z: f64) -> Result<Self, OpticsFault> {
        Triple::new(x, y, z).unit().map(Self).ok_or(OpticsFault::NoDirection { x, y, z })
    }
    /// Its parts forward, left and up.
    pub const fn coordinates(self) -> [f64; 3] {
        [self.0.x, self.0.y, self.0.z]
    }
    /// The opposite direction.
    pub fn opposite(self) -> Self {
        Self(-self.0)
    }
}
