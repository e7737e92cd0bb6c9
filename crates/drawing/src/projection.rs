//! From the craft's own frame to the paper: three views along its axes.
//!
//! Body frame: x forward, y left, z up. On the paper u goes right and v up; depth grows toward the eye.
//! - top: the eye is above, the nose points up the sheet: u = −y, v = x, depth = z;
//! - side: the eye is at the right, the nose points right: u = x, v = z, depth = −y;
//! - front: the eye is ahead, looking back: u = y, v = z, depth = x.

use fit::BodyPoint;

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

    pub(crate) fn see(self, p: BodyPoint) -> Seen {
        match self {
            View::Top => Seen { u: -p.y(), v: p.x(), depth: p.z() },
            View::Side => Seen { u: p.x(), v: p.z(), depth: -p.y() },
            View::Front => Seen { u: p.y(), v: p.z(), depth: p.x() },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_view_is_right_handed_toward_the_eye() {
        for view in View::ALL {
            let at = |x, y, z| {
                let seen = view.see(BodyPoint::new(x, y, z));
                [seen.u, seen.v, seen.depth]
            };
            let (a, b, c) = (at(1.0, 0.0, 0.0), at(0.0, 1.0, 0.0), at(0.0, 0.0, 1.0));
            let cross = [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
            assert_eq!(cross, c, "{view:?} mirrors the craft");
        }
    }
}
