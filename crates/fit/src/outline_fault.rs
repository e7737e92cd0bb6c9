//! What can be wrong with an outline, told in the user's own numbers.
//!
//! Points, edges and holes are counted from nought here and from one where they are shown.

use crate::outline::{HOLES_MAX, RING_POINTS_MAX, SIZE_MAX};
use quantity::Millimetres;
use thiserror::Error;

/// Which ring of an outline is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ring {
    /// The outer polygon.
    Outer,
    /// The hole with this number, counted from nought.
    Hole(usize),
}

impl std::fmt::Display for Ring {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Ring::Outer => f.write_str("outer edge"),
            Ring::Hole(n) => write!(f, "hole {}", n + 1),
        }
    }
}

/// What is wrong with an outline. Points, edges and holes are counted from one when shown.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum OutlineFault {
    /// A ring of fewer than three points.
    #[error("{ring}: {count} points, but an outline needs at least 3")]
    TooFewPoints {
        /// The ring.
        ring: Ring,
        /// How many points it has.
        count: usize,
    },
    /// A ring of more points than are handled.
    #[error("{ring}: {count} points, but at most {RING_POINTS_MAX} are handled; draw it coarser")]
    TooManyPoints {
        /// The ring.
        ring: Ring,
        /// How many points it has.
        count: usize,
    },
    /// More holes than are handled.
    #[error("{count} holes, but at most {HOLES_MAX} are handled")]
    TooManyHoles {
        /// How many there are.
        count: usize,
    },
    /// A coordinate that is no number or far outside any craft.
    #[error("{ring}: point {} at {x}, {y} must lie within {SIZE_MAX} of the origin", point + 1)]
    NotAPlace {
        /// The ring.
        ring: Ring,
        /// The point, counted from nought.
        point: usize,
        /// Its x.
        x: f64,
        /// Its y.
        y: f64,
    },
    /// Two neighbouring points in one place.
    #[error("{ring}: point {} repeats the point before it; leave it out", point + 1)]
    RepeatedPoint {
        /// The ring.
        ring: Ring,
        /// The second of the two, counted from nought.
        point: usize,
    },
    /// Two edges of one ring that cross or touch.
    #[error("{ring}: edge {} crosses edge {}; put the points in the order in which they go round", first + 1, second + 1)]
    EdgesCross {
        /// The ring.
        ring: Ring,
        /// The one edge, from the point with this number, counted from nought.
        first: usize,
        /// The other edge.
        second: usize,
    },
    /// A ring that encloses nothing.
    #[error("{ring}: encloses no area")]
    NoArea {
        /// The ring.
        ring: Ring,
    },
    /// A hole whose width cannot be.
    #[error("hole {}: {size} wide must be above 0 and at most {SIZE_MAX}", hole + 1)]
    HoleSize {
        /// The hole, counted from nought.
        hole: usize,
        /// Its width.
        size: Millimetres,
    },
    /// A hole that is not wholly inside the outer polygon.
    #[error("hole {}: reaches over the outer edge; move it in or cut the outer edge instead", hole + 1)]
    HoleOutside {
        /// The hole, counted from nought.
        hole: usize,
    },
    /// Two holes that meet.
    #[error("hole {} and hole {} meet; draw them as one", first + 1, second + 1)]
    HolesMeet {
        /// The one hole, counted from nought.
        first: usize,
        /// The other.
        second: usize,
    },
    /// An outline that could not be cut into pieces although nothing else is wrong with it.
    #[error(
        "the outline is too fine to be cut into pieces: points or edges lie closer than can be told apart"
    )]
    TooFine,
}
