//! When two ways to stand are one: the same seat and spacers, the same screws over it, and the same place and turn to a hundredth of a thousandth.

use super::stand::{Closing, Seat, Stand};
use fit::Pose;

/// What a way to stand is known by.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(super) struct StandKey {
    unit: usize,
    seat: Seat,
    height: usize,
    closing: Closing,
    met: bool,
    pose: [i64; 7],
}

pub(super) fn key(unit: usize, stand: &Stand) -> StandKey {
    StandKey {
        unit,
        seat: stand.seat,
        height: stand.height,
        closing: stand.closing.as_ref().clone(),
        met: stand.met,
        pose: pose_key(&stand.pose),
    }
}

/// The angle between two turns, in degrees from 0 to 180.
pub(crate) fn turn_between(a: f64, b: f64) -> f64 {
    let turn = (a - b).rem_euclid(360.0);
    turn.min(360.0 - turn)
}

fn pose_key(pose: &Pose) -> [i64; 7] {
    let at = pose.origin().coordinates();
    let mut turn = pose.quaternion();
    // A turn and its negative are one.
    let sign = turn.iter().copied().find(|part| part.abs() > 1e-6).map_or(1.0, f64::signum);
    turn.iter_mut().for_each(|part| *part *= sign);
    let whole = |part: f64| (part * 1e5).round() as i64;
    [at[0], at[1], at[2], turn[0], turn[1], turn[2], turn[3]].map(whole)
}
