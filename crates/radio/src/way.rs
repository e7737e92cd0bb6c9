//! The way between two antennas: seen from above, and along the straight ray or the one off the ground.
//!
//! From above, both rays run along one line, so where they cross a wall or enter a wood is worked out once, as a part of the way.
//! The ray off the ground is the straight one to the image of its end: it falls by both heights together, and after the
//! bounce it rises as it fell.

use crate::direction::Triple;

/// Both rays between two ends, seen from above.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Way {
    /// Where it begins.
    pub from: Triple,
    /// Where it ends.
    pub to: Triple,
    /// The level part of the way: along x, along y, and its square.
    pub x: f64,
    pub y: f64,
    pub flat_squared: f64,
    /// Level, square to it, to the left.
    pub level: Triple,
}

/// One of its rays: how far it rises, how long it is.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ray {
    pub rise: f64,
    pub length: f64,
    /// Its direction, and upward, square to it.
    pub along: Triple,
    pub up: Triple,
}

impl Way {
    pub fn new(from: Triple, to: Triple) -> Self {
        let (x, y) = (to.x - from.x, to.y - from.y);
        let flat_squared = x * x + y * y;
        let flat = flat_squared.sqrt();
        // Straight up or down there is no left: y, as for every direction.
        let level = if flat > 1e-9 { Triple::new(-y / flat, x / flat, 0.0) } else { Triple::Y };
        Self { from, to, x, y, flat_squared, level }
    }

    /// The ray that rises by so much on it.
    pub fn ray(&self, rise: f64) -> Ray {
        let length = (self.flat_squared + rise * rise).sqrt();
        let along = Triple::new(self.x, self.y, rise) * (1.0 / length);
        Ray { rise, length, along, up: along.cross(self.level) }
    }
}
