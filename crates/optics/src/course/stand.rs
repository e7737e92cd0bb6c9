//! Where is the eye on the course, and which way does the camera look?
//!
//! The course frame: x along the course, y left, z up, in metres, ground at z = 0. An attitude is yaw, then pitch,
//! then roll, each about the axis as it then stands: nose to the left, nose up, left side up are positive.

use crate::vector::Triple;
use crate::{Direction, OpticsFault};
use quantity::{Degrees, Metres};

/// A place on the course.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoursePoint(pub(crate) Triple);

impl CoursePoint {
    /// From metres along the course, left of its line, and above the ground.
    pub const fn new(along: Metres, left: Metres, up: Metres) -> Self {
        Self(Triple::new(along.get(), left.get(), up.get()))
    }

    /// Metres along the course, left of its line, and above the ground.
    pub const fn coordinates(self) -> [f64; 3] {
        [self.0.x, self.0.y, self.0.z]
    }
}

/// How something is turned against the course.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Attitude {
    /// The nose to the left.
    pub left: Degrees,
    /// The nose up.
    pub nose_up: Degrees,
    /// The left side up.
    pub left_side_up: Degrees,
}

impl Attitude {
    /// A direction of what is so turned (forward, left, up), as the course has it.
    pub fn turned(&self, own: Direction) -> Direction {
        let radians = |angle: Degrees| angle.get().to_radians();
        let rolled = own.0.turned(Triple::X, radians(self.left_side_up));
        // Nose up turns forward towards up: about the axis to the right.
        let pitched = rolled.turned(-Triple::Y, radians(self.nose_up));
        Direction(pitched.turned(Triple::Z, radians(self.left)))
    }
}

/// The eye on the course.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EyeStand {
    pub(crate) place: Triple,
    /// The camera's forward, left and up, as the course has them.
    pub(crate) axes: [Triple; 3],
}

impl EyeStand {
    /// At a place, the camera's forward, left and up along these directions of the course, which must stand square on
    /// each other and be right-handed.
    pub fn new(place: CoursePoint, axes: [Direction; 3]) -> Result<Self, OpticsFault> {
        let [x, y, z] = axes.map(|axis| axis.0);
        let square = x.dot(y).abs() < 1e-6 && (x.cross(y) - z).length() < 1e-6;
        square.then_some(Self { place: place.0, axes: [x, y, z] }).ok_or(OpticsFault::Axes)
    }

    /// At a place, the camera itself so turned.
    pub fn turned(place: CoursePoint, attitude: Attitude) -> Self {
        let axes = [Direction::FORWARD, Direction::LEFT, Direction::UP].map(|axis| attitude.turned(axis).0);
        Self { place: place.0, axes }
    }

    /// Where the eye is.
    pub const fn place(&self) -> CoursePoint {
        CoursePoint(self.place)
    }

    /// The camera's forward, left and up, as the course has them.
    pub fn axes(&self) -> [Direction; 3] {
        self.axes.map(Direction)
    }

    /// A place of the course as the camera has it, in metres from the eye.
    pub(crate) fn inward(&self, p: Triple) -> Triple {
        self.inward_along(p - self.place)
    }

    /// A direction of the course as the camera has it.
    pub(crate) fn inward_along(&self, d: Triple) -> Triple {
        Triple::new(self.axes[0].dot(d), self.axes[1].dot(d), self.axes[2].dot(d))
    }

    /// Which way a place is seen; an error if it is the eye itself.
    pub fn toward(&self, p: CoursePoint) -> Result<Direction, OpticsFault> {
        let Triple { x, y, z } = self.inward(p.0);
        Direction::new(x, y, z)
    }

    /// The same eye after it and all the course were turned to the left about the upright through the origin and shifted
    /// along the ground.
    pub fn moved(&self, left: Degrees, along: Metres, leftward: Metres) -> Self {
        let turned = |v: Triple| v.turned(Triple::Z, left.get().to_radians());
        let by = Triple::new(along.get(), leftward.get(), 0.0);
        Self { place: turned(self.place) + by, axes: self.axes.map(turned) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: Direction, b: [f64; 3]) -> bool {
        a.coordinates().iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-12)
    }

    #[test]
    fn yaw_pitch_and_roll_turn_as_they_are_named() {
        let turned = |left: f64, up: f64, side: f64| Attitude {
            left: Degrees::new(left),
            nose_up: Degrees::new(up),
            left_side_up: Degrees::new(side),
        };
        let half = 0.5f64.sqrt();
        assert!(near(turned(90.0, 0.0, 0.0).turned(Direction::FORWARD), [0.0, 1.0, 0.0]));
        assert!(near(turned(0.0, 45.0, 0.0).turned(Direction::FORWARD), [half, 0.0, half]));
        assert!(near(turned(0.0, 0.0, 90.0).turned(Direction::LEFT), [0.0, 0.0, 1.0]));
        assert!(near(turned(90.0, 45.0, 0.0).turned(Direction::FORWARD), [0.0, half, half]));
    }

    #[test]
    fn what_lies_ahead_is_seen_ahead() {
        let here = CoursePoint::new(Metres::new(-12.0), Metres::new(0.0), Metres::new(1.5));
        let stand = EyeStand::turned(here, Attitude { left: Degrees::new(90.0), ..Attitude::default() });
        let there = CoursePoint::new(Metres::new(-12.0), Metres::new(8.0), Metres::new(1.5));
        assert!(stand.toward(there).is_ok_and(|seen| near(seen, [1.0, 0.0, 0.0])));
        assert!(stand.toward(here).is_err());
    }
}
