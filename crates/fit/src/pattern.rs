//! The holes by which a board or a frame is mounted.
//!
//! A pattern is any list of round holes and slots in the part's own plane; the usual square of four is one
//! call. Holes need not be centred on the board: many are not.

use crate::outline::{Hole, PlanePoint};
use parry3d_f64::glamx::DVec2;
use quantity::{Degrees, Millimetres};
use thiserror::Error;

/// The most holes a pattern may have.
pub const PATTERN_HOLES_MAX: usize = 40;

/// A hole to mount by, round or a slot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MountHole {
    /// The middle of the hole, or of one end of the slot.
    pub at: PlanePoint,
    /// The middle of the slot's other end; `None` for a round hole.
    pub slot_to: Option<PlanePoint>,
    /// The width.
    pub diameter: Millimetres,
}

/// The holes of a board or of one place on a frame, in the part's frame.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct HolePattern {
    /// The holes.
    pub holes: Vec<MountHole>,
}

/// A pattern that cannot be laid on another.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum PatternFault {
    /// More holes than are handled.
    #[error("a pattern of {count} holes: at most {PATTERN_HOLES_MAX} are handled")]
    TooManyHoles {
        /// How many it has.
        count: usize,
    },
    /// A number that is none, or a hole without width.
    #[error("hole {} of a pattern: place and width must be numbers, the width above 0", hole + 1)]
    NotAHole {
        /// The hole, counted from nought.
        hole: usize,
    },
    /// A screw without diameter.
    #[error("screw diameter {diameter} must be above 0")]
    NotAScrew {
        /// What was given.
        diameter: Millimetres,
    },
}

impl HolePattern {
    /// Four holes on the corners of a square about a middle, turned against the part's x axis.
    pub fn square(middle: PlanePoint, pitch: Millimetres, diameter: Millimetres, turned: Degrees) -> Self {
        let half = pitch.get() / 2.0;
        let turn = DVec2::from_angle(turned.get().to_radians());
        let hole = |x: f64, y: f64| {
            let at = middle.raw() + turn.rotate(DVec2::new(x, y));
            MountHole { at: PlanePoint::new(at.x, at.y), slot_to: None, diameter }
        };
        Self { holes: vec![hole(half, half), hole(-half, half), hole(-half, -half), hole(half, -half)] }
    }

    /// The round holes and slots among the holes of an outline.
    pub fn of_holes<'a>(holes: impl IntoIterator<Item = &'a Hole>) -> Self {
        let holes = holes
            .into_iter()
            .filter_map(|hole| match hole {
                Hole::Round { centre, diameter } => {
                    Some(MountHole { at: *centre, slot_to: None, diameter: *diameter })
                }
                Hole::Slot { from, to, width } => {
                    Some(MountHole { at: *from, slot_to: Some(*to), diameter: *width })
                }
                Hole::Polygon(_) => None,
            })
            .collect();
        Self { holes }
    }

    pub(crate) fn check(&self) -> Result<(), PatternFault> {
        if self.holes.len() > PATTERN_HOLES_MAX {
            return Err(PatternFault::TooManyHoles { count: self.holes.len() });
        }
        let sound = |hole: &MountHole| {
            hole.at.raw().is_finite()
                && hole.slot_to.is_none_or(|to| to.raw().is_finite())
                && hole.diameter.get() > 0.0
                && hole.diameter.get().is_finite()
        };
        match self.holes.iter().position(|hole| !sound(hole)) {
            Some(hole) => Err(PatternFault::NotAHole { hole }),
            None => Ok(()),
        }
    }
}
