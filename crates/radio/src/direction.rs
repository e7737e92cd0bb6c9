//! Places and directions: x and y level, z up; an antenna or craft has x forward, y left, z up.
//!
//! [`Place`] is a place in metres, [`Direction`] has length one; both are built on a [`Triple`].

use crate::RadioFault;
pub(crate) use quantity::Triple;
use quantity::{Degrees, Metres};

/// How far from the middle of the site a place may lie, in each direction.
const REACH_MAX: f64 = 1e6;

/// A place on the site, in metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place(pub(crate) Triple);

impl Place {
    /// From metres along x, y and up.
    pub fn new(x: Metres, y: Metres, z: Metres) -> Result<Self, RadioFault> {
        let triple = Triple::new(x.get(), y.get(), z.get());
        for (what, value) in [("place along x", x), ("place along y", y), ("height", z)] {
            let most = Metres::new(REACH_MAX);
            RadioFault::within(what, value, -most, most, "place the middle of the site nearer")?;
        }
        Ok(Self(triple))
    }
    /// Along x.
    pub fn x(self) -> Metres {
        Metres::new(self.0.x)
    }
    /// Along y.
    pub fn y(self) -> Metres {
        Metres::new(self.0.y)
    }
    /// Above the ground's level.
    pub fn z(self) -> Metres {
        Metres::new(self.0.z)
    }
    /// How far another place is.
    pub fn distance_to(self, other: Place) -> Metres {
        Metres::new((other.0 - self.0).length())
    }
    /// The direction to another place.
    pub fn toward(self, other: Place) -> Result<Direction, RadioFault> {
        let way = other.0 - self.0;
        Direction::new(way.x, way.y, way.z)
    }
}

/// A direction, of length one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Direction(pub(crate) Triple);

impl Direction {
    /// Forward.
    pub const FORWARD: Self = Self(Triple::X);
    /// To the left.
    pub const LEFT: Self = Self(Triple::Y);
    /// Up.
    pub const UP: Self = Self(Triple::Z);

    /// The direction of a difference along x, y and z.
    pub fn new(x: f64, y: f64, z: f64) -> Result<Self, RadioFault> {
        Triple::new(x, y, z).unit().map(Self).ok_or(RadioFault::NoDirection { x, y, z })
    }
    /// So far round to the left from forward, and so far up from the level.
    pub fn of_angles(round: Degrees, up: Degrees) -> Result<Self, RadioFault> {
        let ((sr, cr), (su, cu)) = (round.get().to_radians().sin_cos(), up.get().to_radians().sin_cos());
        Self::new(cr * cu, sr * cu, su)
    }
    /// Along x, y and z.
    pub const fn coordinates(self) -> [f64; 3] {
        [self.0.x, self.0.y, self.0.z]
    }
    /// The opposite direction.
    pub fn opposite(self) -> Self {
        Self(-self.0)
    }
    /// The angle to another direction.
    pub fn angle_to(self, other: Direction) -> Degrees {
        let (across, along) = (self.0.cross(other.0).length(), self.0.dot(other.0));
        Degrees::new(across.atan2(along).to_degrees())
    }

    /// The two units square to it in which its polarisation is told, first × second along it: level to the left
    /// (of one who looks along it), and upward. Looking straight up or down, the first is y.
    pub(crate) fn basis(self) -> (Triple, Triple) {
        let level = Triple::Z.cross(self.0).unit().unwrap_or(Triple::Y);
        (level, self.0.cross(level))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_basis_is_right_handed_everywhere() {
        for (x, y, z) in [(1.0, 0.0, 0.0), (0.3, -0.8, 0.2), (0.0, 0.0, 1.0), (0.0, 0.0, -1.0)] {
            let d = Direction::new(x, y, z).unwrap_or(Direction::UP);
            let (level, up) = d.basis();
            assert!((level.cross(up) - d.0).length() < 1e-12 && level.z.abs() < 1e-12, "{d:?}");
        }
    }

    #[test]
    fn no_direction_and_no_place_are_refused() {
        assert!(Direction::new(0.0, 0.0, 0.0).is_err());
        assert!(Direction::new(f64::NAN, 0.0, 1.0).is_err());
        let told =
            Place::new(Metres::new(0.0), Metres::new(0.0), Metres::new(f64::NAN)).map_err(|f| f.to_string());
        let words =
            "height NaN m must lie between -1000000 m and 1000000 m; place the middle of the site nearer";
        assert_eq!(told, Err(words.to_owned()));
    }
}
