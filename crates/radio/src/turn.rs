//! Which way does a craft or an antenna look after it has been turned?
//!
//! A turn is yaw ψ, pitch θ, roll φ, made about z, then about the new y, then about the new x: R = Z(ψ)·Y(θ)·X(φ).
//! Positive yaw turns the nose to the left, positive pitch lifts it, positive roll lifts the left side. A craft that
//! flies forward has its nose down: negative pitch. A mast on the craft is turned by its own mount first, then by
//! the craft: `attitude.after(mount)`.

use crate::Direction;
use crate::direction::Triple;
use quantity::Degrees;

/// A turn: where forward, left and up come to lie.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    forward: Triple,
    left: Triple,
    up: Triple,
}

impl Turn {
    /// No turn.
    pub const NONE: Self = Self { forward: Triple::X, left: Triple::Y, up: Triple::Z };

    /// By yaw, pitch and roll.
    pub fn new(yaw: Degrees, pitch: Degrees, roll: Degrees) -> Self {
        let [(sy, cy), (sp, cp), (sr, cr)] = [yaw, pitch, roll].map(|turn| turn.get().to_radians().sin_cos());
        Self {
            forward: Triple::new(cy * cp, sy * cp, sp),
            left: Triple::new(-sy * cr - cy * sp * sr, cy * cr - sy * sp * sr, cp * sr),
            up: Triple::new(sy * sr - cy * sp * cr, -cy * sr - sy * sp * cr, cp * cr),
        }
    }

    /// So that forward looks along a direction, with left level.
    pub fn facing(aim: Direction) -> Self {
        let (left, up) = aim.basis();
        Self { forward: aim.0, left, up }
    }

    /// So that forward and left come to lie along two directions; left is drawn square to forward. `None` if they are one.
    pub fn of_axes(forward: Direction, left: Direction) -> Option<Self> {
        let up = forward.0.cross(left.0).unit()?;
        Some(Self { forward: forward.0, left: up.cross(forward.0), up })
    }

    /// Where forward, left and up come to lie.
    pub(crate) const fn forward_axis(self) -> Triple {
        self.forward
    }
    pub(crate) const fn left_axis(self) -> Triple {
        self.left
    }
    pub(crate) const fn up_axis(self) -> Triple {
        self.up
    }

    /// First the other turn, then this one.
    pub fn after(self, first: Turn) -> Self {
        Self { forward: self.turned(first.forward), left: self.turned(first.left), up: self.turned(first.up) }
    }

    /// Where a direction of the turned body points.
    pub fn outward(self, own: Direction) -> Direction {
        Direction(self.turned(own.0))
    }

    /// Which of its own directions points there.
    pub fn inward(self, outside: Direction) -> Direction {
        let d = outside.0;
        Direction(Triple::new(d.dot(self.forward), d.dot(self.left), d.dot(self.up)))
    }

    pub(crate) fn turned(self, own: Triple) -> Triple {
        self.forward * own.x + self.left * own.y + self.up * own.z
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn degrees(values: [f64; 3]) -> Turn {
        let [yaw, pitch, roll] = values.map(Degrees::new);
        Turn::new(yaw, pitch, roll)
    }

    #[test]
    fn positive_pitch_lifts_the_nose_and_positive_roll_the_left_side() {
        let near = |a: Direction, b: Direction| a.angle_to(b).get() < 1e-9;
        assert!(near(degrees([0.0, 90.0, 0.0]).outward(Direction::FORWARD), Direction::UP));
        assert!(near(degrees([0.0, 0.0, 90.0]).outward(Direction::LEFT), Direction::UP));
        assert!(near(degrees([90.0, 0.0, 0.0]).outward(Direction::FORWARD), Direction::LEFT));
    }

    #[test]
    fn a_turn_can_be_told_by_its_axes() {
        let turned = degrees([30.0, -20.0, 50.0]);
        let axes = Turn::of_axes(turned.outward(Direction::FORWARD), turned.outward(Direction::LEFT));
        assert!(axes.is_some_and(|axes| {
            axes.outward(Direction::UP).angle_to(turned.outward(Direction::UP)).get() < 1e-6
        }));
        assert_eq!(Turn::of_axes(Direction::UP, Direction::UP), None);
    }

    proptest! {
        #[test]
        fn a_direction_comes_back_and_turns_chain(a in [-180.0..180.0f64, -90.0..90.0f64, -180.0..180.0f64],
                                                 b in [-180.0..180.0f64, -90.0..90.0f64, -180.0..180.0f64],
                                                 x in -1.0..1.0f64, y in -1.0..1.0f64) {
            let (a, b) = (degrees(a), degrees(b));
            let d = Direction::new(x, y, 0.5).unwrap_or(Direction::UP);
            prop_assert!(a.inward(a.outward(d)).angle_to(d).get() < 1e-6);
            prop_assert!(a.after(b).outward(d).angle_to(a.outward(b.outward(d))).get() < 1e-6);
        }
    }
}
