//! The angle between two axes, and how it follows the facts that turn them.
//!
//! An axis has no head: the angle lies between 0 and 90°. With u and v the units along the two, φ the
//! angle from u to v and n = u × v / |u × v|, a turn ω (a vector along its axis, in radians) changes it by
//!
//! ```text
//! α = φ or 180° − φ, whichever is less;   dφ = n·(ω_v − ω_u)
//! ```
//!
//! Only turns move an axis; shifts, stretches and swellings leave it. Where the two are parallel no turn changes
//! the angle to first order, and its slopes are nought.

use crate::frame::BodyVector;
use crate::solid::{Drift, DriftField, add_slope};
use quantity::Linear;

/// The angle between two axes in degrees, 0 to 90; each comes with what moves it. `None` for an axis of no
/// length.
pub fn angle_of_axes(
    (a, a_drifts): (BodyVector, &[Drift]),
    (b, b_drifts): (BodyVector, &[Drift]),
) -> Option<Linear> {
    let (u, v) = (a.direction()?, b.direction()?);
    let (across, along) = (u.cross(v), u.dot(v));
    let folded = if along < 0.0 { -1.0 } else { 1.0 };
    let value = across.length().get().atan2(along.abs()).to_degrees();
    let mut angle = Linear { value, slopes: Vec::new() };
    if let Some(n) = across.direction() {
        for (drifts, sign) in [(a_drifts, -folded), (b_drifts, folded)] {
            for drift in drifts {
                if let DriftField::Turn { axis, radians, .. } = drift.field {
                    add_slope(&mut angle, drift.fact, sign * (radians * axis.dot(n)).to_degrees());
                }
            }
        }
    }
    angle.slopes.retain(|(_, slope)| *slope != 0.0);
    Some(angle)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::{BodyPoint, Pose};
    use proptest::prelude::*;
    use quantity::{Degrees, FactIndex};

    fn turn(fact: u32, axis: BodyVector) -> Drift {
        let (about, radians) = (BodyPoint::ORIGIN, 1f64.to_radians());
        Drift { fact: FactIndex(fact), field: DriftField::Turn { about, axis, radians } }
    }
    fn unit() -> impl Strategy<Value = BodyVector> {
        (-1.0..1.0f64, -1.0..1.0f64, -1.0..1.0f64)
            .prop_filter_map("no direction", |(x, y, z)| BodyVector::new(x, y, z).direction())
    }

    #[test]
    fn it_is_folded_to_a_right_angle_at_most() {
        let angle = |a, b| angle_of_axes((a, &[]), (b, &[])).unwrap().value;
        assert_eq!(angle(BodyVector::X, BodyVector::Z), 90.0);
        assert_eq!(angle(BodyVector::X, -BodyVector::X), 0.0);
        assert!((angle(BodyVector::Z, BodyVector::new(0.0, 3f64.sqrt(), -1.0)) - 60.0).abs() < 1e-9);
        assert!(angle_of_axes((BodyVector::ZERO, &[]), (BodyVector::X, &[])).is_none());
    }

    #[test]
    fn what_turns_both_alike_changes_nothing() {
        let drifts = [turn(0, BodyVector::Y)];
        let angle = angle_of_axes((BodyVector::X, &drifts), (BodyVector::new(0.3, 0.2, 1.0), &drifts));
        assert_eq!(angle.unwrap().slope_on(FactIndex(0)), 0.0);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(128))]

        #[test]
        fn it_follows_a_turn_as_its_slope_says(a in unit(), b in unit(), w in unit()) {
            let of = |a, b| angle_of_axes((a, &[]), (b, &[])).unwrap().value;
            let here = of(a, b);
            prop_assume!(here > 1.0 && here < 89.0);
            let slope = angle_of_axes((a, &[turn(0, w)]), (b, &[])).unwrap().slope_on(FactIndex(0));
            let turned = |by: f64| {
                let pose = Pose::turned_about(BodyPoint::ORIGIN, w, Degrees::new(by));
                of(pose.vector(crate::PartVector::new(a.x(), a.y(), a.z())), b)
            };
            prop_assert!((slope - (turned(1e-3) - turned(-1e-3)) / 2e-3).abs() < 1e-4);
        }
    }
}
