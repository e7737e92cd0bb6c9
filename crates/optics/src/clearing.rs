//! What movement of the camera clears the picture?
//!
//! The least shift or turn, alone, after which the counted solids fill no more than a wanted share. Moved away,
//! a solid nearly always fills less and less; to be safe against the few that do not, [`STEPS`] even steps are
//! tried, and the first step that serves is narrowed down by bisection, to the tolerance. Shares are cut roughly
//! here, within [`SHARE_ERROR`] of the fine ones; so that the answer serves all the same, the search aims that much
//! under what is wanted.

use crate::share::share_roughly;
use crate::{Direction, Movement, Point, SHARE_ERROR, Scene, View, share_of};
use quantity::{Degrees, Measure, Millimetres, Percent};

/// How closely a shift is found.
pub const SHIFT_TOLERANCE: Millimetres = Millimetres::new(0.1);
/// How closely a turn is found.
pub const TURN_TOLERANCE: Degrees = Degrees::new(0.1);

/// Even steps tried before bisection.
const STEPS: u32 = 8;

/// What counts, and how little of it is wanted.
#[derive(Clone, Copy, Debug)]
pub struct Wanted<'a> {
    /// Whether each solid of the scene counts.
    pub counted: &'a [bool],
    /// The share of the lit picture they may fill.
    pub at_most: Percent,
}

impl Wanted<'_> {
    fn share(&self, view: &View, scene: &Scene) -> Percent {
        share_roughly(view, scene, self.counted)
    }
}

/// What a movement along one line comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Clearing<M> {
    /// The picture is as wanted without it.
    Already,
    /// This much of it serves.
    By(M),
    /// No movement within the limit serves; the least share found on the way.
    Never {
        /// The least share.
        least: Percent,
    },
}

/// The least shift of the camera along a direction, at most `up_to`, that makes the picture as wanted.
pub fn least_shift(
    view: &View,
    scene: &Scene,
    wanted: Wanted,
    along: Direction,
    up_to: Millimetres,
) -> Clearing<Millimetres> {
    least(view, scene, wanted, up_to, SHIFT_TOLERANCE, |by| Movement::Shift { along, by })
}

/// The least turn of the camera about an axis, at most `up_to`, that makes the picture as wanted.
pub fn least_turn(
    view: &View,
    scene: &Scene,
    wanted: Wanted,
    (about, axis): (Point, Direction),
    up_to: Degrees,
) -> Clearing<Degrees> {
    least(view, scene, wanted, up_to, TURN_TOLERANCE, |by| Movement::Turn { about, axis, by })
}

fn least<M: Measure>(
    view: &View,
    scene: &Scene,
    wanted: Wanted,
    up_to: M,
    tolerance: M,
    movement: impl Fn(M) -> Movement,
) -> Clearing<M> {
    let share = |by: f64| wanted.share(view, &scene.after(movement(M::of(by))));
    let now = share_of(view, scene, wanted.counted);
    if now <= wanted.at_most {
        return Clearing::Already;
    }
    let aim = wanted.at_most - SHARE_ERROR;
    let step = up_to.raw() / f64::from(STEPS);
    let mut least = now;
    for n in 1..=STEPS {
        let (mut short, mut enough) = (step * f64::from(n - 1), step * f64::from(n));
        let found = share(enough);
        least = least.min(found);
        if found > aim {
            continue;
        }
        while enough - short > tolerance.raw() {
            let middle = 0.5 * (short + enough);
            if share(middle) <= aim { enough = middle } else { short = middle }
        }
        return Clearing::By(M::of(enough));
    }
    Clearing::Never { least }
}
