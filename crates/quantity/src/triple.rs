//! Three coordinates, as disciplines build their places and directions on: no unit of its own, no frame.
//!
//! Nothing takes or gives one across a discipline's edge: there stand places in millimetres or metres, and directions.

use std::ops::{Add, Mul, Neg, Sub};

/// Three coordinates: of what, and in which frame and unit, says the type that is built on it.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Triple {
    /// Along the first axis.
    pub x: f64,
    /// Along the second.
    pub y: f64,
    /// Along the third.
    pub z: f64,
}

impl Triple {
    /// Along the first axis, of length one.
    pub const X: Self = Self::new(1.0, 0.0, 0.0);
    /// Along the second.
    pub const Y: Self = Self::new(0.0, 1.0, 0.0);
    /// Along the third.
    pub const Z: Self = Self::new(0.0, 0.0, 1.0);

    /// From its parts.
    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Self { x, y, z }
    }
    /// The sum of the products of like parts.
    pub fn dot(self, o: Self) -> f64 {
        self.x * o.x + self.y * o.y + self.z * o.z
    }
    /// Square to both, by the right hand.
    pub fn cross(self, o: Self) -> Self {
        Self::new(self.y * o.z - self.z * o.y, self.z * o.x - self.x * o.z, self.x * o.y - self.y * o.x)
    }
    /// How long it is.
    pub fn length(self) -> f64 {
        self.dot(self).sqrt()
    }
    /// The same direction with a length of one; `None` for what has no length, or none that is a number.
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

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn what_has_no_length_has_no_direction() {
        assert_eq!(Triple::new(0.0, 0.0, 0.0).unit(), None);
        assert_eq!(Triple::new(f64::NAN, 0.0, 1.0).unit(), None);
        assert_eq!(Triple::new(0.0, 0.0, 3.0).unit(), Some(Triple::Z));
    }

    proptest! {
        #[test]
        fn turning_keeps_lengths_and_squareness(x in -9.0..9.0f64, y in -9.0..9.0f64, z in -9.0..9.0f64, by in -7.0..7.0f64) {
            let start = Triple::new(x, y, z);
            prop_assume!(start.length() > 1e-3);
            let turned = start.turned(Triple::Z, by);
            prop_assert!((turned.length() - start.length()).abs() < 1e-9 && (turned.z - z).abs() < 1e-12);
            let square = start.cross(turned);
            prop_assert!(square.dot(start).abs() < 1e-9 && square.dot(turned).abs() < 1e-9);
            prop_assert_eq!(start - start, Triple::default());
        }
    }
}
