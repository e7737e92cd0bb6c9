//! Places and directions in the camera frame: x along the lens axis, y left, z up.
//!
//! [`Point`] is a place in millimetres, [`Direction`] has length one; both are built on one plain triple.

use crate::OpticsFault;
use std::ops::{Add, Mul, Neg, Sub};

/// Three coordinates.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub(crate) struct Triple {
    pub x: f64,
    pub y: f64,
    pub z: f64,
}

impl Triple {
    pub const X: Self = Self::new(1.0, 0.0, 0.0);
    pub const Y: Self = Self::new(0.0, 1.0, 0.0);
    pub const Z: Self = Self::new(0.0, 0.0, 1.0);

    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Self { x, y, z }
    }
    pub fn dot(self, o: Self) -> f64 {
        self.x * o.x + self.y * o.y + self.z * o.z
    }
    pub fn cross(self, o: Self) -> Self {
        Self::new(self.y * o.z - self.z * o.y, self.z * o.x - self.x * o.z, self.x * o.y - self.y * o.x)
    }
    pub fn length(self) -> f64 {
        self.dot(self).sqrt()
    }
    pub fn unit(self) -> Option<Self> {
        let length = self.length();
        (length > 1e-12 && length.is_finite()).then(|| self * (1.0 / length))
    }
    /// Turned about an axis of length one by the right-hand rule (Rodrigues' formula).
    pub fn turned(self, axis: Self, radians: f64) -> Self {
        let (sin, cos) = radians.sin_cos();
        self * cos + axis.cross(self) * sin + axis * (axis.dot(self) * (1.0 - cos))
    }
}

impl Add for Triple {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self::new(self.x + o.x, self.y + o.y, self.z + o.z)
    }
}
impl Sub for Triple {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        Self::new(self.x - o.x, self.y - o.y, self.z - o.z)
    }
}
impl Neg for Triple {
    type Output = Self;
    fn neg(self) -> Self {
        Self::new(-self.x, -self.y, -self.z)
    }
}
impl Mul<f64> for Triple {
    type Output = Self;
    fn mul(self, k: f64) -> Self {
        Self::new(self.x * k, self.y * k, self.z * k)
    }
}

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
