//! From the craft's own frame to the paper: three views along its axes, and one askew.
//!
//! Body frame: x forward, y left, z up. On the paper u goes right and v up; depth grows toward the eye.
//! - top: the eye is above, the nose points up the sheet: u = −y, v = x, depth = z;
//! - side: the eye is at the right, the nose points right: u = x, v = z, depth = −y;
//! - front: the eye is ahead, looking back: u = y, v = z, depth = x;
//! - askew: the eye stands at an azimuth (from ahead toward the left) and an elevation. With e the direction
//!   to the eye, u = up × e made one long, v = e × u, depth along e. All parallel: nothing shrinks with depth.

use fit::{BodyPoint, BodyVector};

/// From where the craft is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum View {
    /// From above.
    Top,
    /// From its right side.
    Side,
    /// From ahead.
    Front,
}

/// A place on the paper, in mm of the craft, with its depth toward the eye.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Seen {
    pub u: f64,
    pub v: f64,
    pub depth: f64,
}

impl View {
    /// Every view.
    pub const ALL: [View; 3] = [View::Top, View::Side, View::Front];

    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            View::Top => "top",
            View::Side => "side",
            View::Front => "front",
        }
    }

    /// The view of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|view| view.word() == word)
    }

    /// From where it is seen, in words.
    pub const fn plain(self) -> &'static str {
        match self {
            View::Top => "seen from above, nose up the sheet",
            View::Side => "seen from its right, nose to the right",
            View::Front => "seen from ahead",
        }
    }

    /// Where the eye stands.
    pub(crate) const fn eye(self) -> Eye {
        let (x, y, z) = ([1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]);
        match self {
            View::Top => Eye { u: [0.0, -1.0, 0.0], v: x, toward: z },
            View::Side => Eye { u: x, v: z, toward: [0.0, -1.0, 0.0] },
            View::Front => Eye { u: y, v: z, toward: x },
        }
    }
}

/// Where the eye stands: the directions that go right and up on the paper, and the one toward the eye.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Eye {
    u: [f64; 3],
    v: [f64; 3],
    toward: [f64; 3],
}

impl Eye {
    /// An eye at an azimuth from ahead toward the left and an elevation, in degrees; not straight above.
    pub fn askew(azimuth: f64, elevation: f64) -> Self {
        let ((sa, ca), (se, ce)) = (azimuth.to_radians().sin_cos(), elevation.to_radians().sin_cos());
        Self { u: [-sa, ca, 0.0], v: [-se * ca, -se * sa, ce], toward: [ce * ca, ce * sa, se] }
    }

    /// Where a point lands.
    pub fn see(&self, p: BodyPoint) -> Seen {
        let [u, v, depth] = [self.u, self.v, self.toward].map(|axis| dot(axis, p.coordinates()));
        Seen { u, v, depth }
    }

    /// How far a direction points toward the eye.
    pub fn faces(&self, direction: BodyVector) -> f64 {
        dot(self.toward, direction.coordinates())
    }

    /// How far a direction points to the right of the paper.
    pub fn right(&self, direction: [f64; 3]) -> f64 {
        dot(self.u, direction)
    }

    /// The direction toward the eye.
    pub fn toward(&self) -> [f64; 3] {
        self.toward
    }
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_view_is_right_handed_toward_the_eye() {
        for eye in View::ALL.map(View::eye).into_iter().chain([Eye::askew(-52.0, 28.0)]) {
            let at = |x, y, z| {
                let seen = eye.see(BodyPoint::new(x, y, z));
                [seen.u, seen.v, seen.depth]
            };
            let (a, b, c) = (at(1.0, 0.0, 0.0), at(0.0, 1.0, 0.0), at(0.0, 0.0, 1.0));
            let cross = [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
            let off = cross.iter().zip(c).fold(0.0f64, |off, (x, y)| off.max((x - y).abs()));
            assert!(off < 1e-12, "{eye:?} mirrors the craft");
        }
    }
}
