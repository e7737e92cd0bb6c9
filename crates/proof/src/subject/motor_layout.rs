//! Where the motors stand, in the order in which one meets them going round the craft.

use super::{Drive, drives};
use crate::{Placed, Proof};
use fit::{BodyPoint, BodyVector, DriftField};
use quantity::Linear;

/// A motor and where its base stands.
#[derive(Clone, Debug)]
pub(crate) struct Stand<'a> {
    /// The motor with its blades.
    pub drive: Drive<'a>,
    /// Where its base stands in the craft's frame.
    pub at: BodyPoint,
    /// The same along x, y and z, with the facts it rests on.
    pub along: [Linear; 3],
}

impl<'a> Stand<'a> {
    /// The motor.
    pub fn motor(&self) -> Placed<'a> {
        self.drive.motor
    }
}

/// Every motor, anticlockwise round their middle as seen from above; `None` where one stands nowhere yet.
pub(crate) fn motor_layout<'a>(proof: &Proof<'a>) -> Option<Vec<Stand<'a>>> {
    let mut stands: Vec<Stand> =
        drives(proof).into_iter().map(|drive| stand(proof, drive)).collect::<Option<_>>()?;
    let places: Vec<BodyPoint> = stands.iter().map(|stand| stand.at).collect();
    let middle = fit::thrust_centre(&places)?;
    let angle = |at: BodyPoint| (at.y() - middle.y()).atan2(at.x() - middle.x());
    stands.sort_by(|a, b| angle(a.at).total_cmp(&angle(b.at)));
    Some(stands)
}

fn stand<'a>(proof: &Proof<'a>, drive: Drive<'a>) -> Option<Stand<'a>> {
    let number = proof.number_of(&drive.motor.place.id)?;
    let seat = proof.inputs().seat(number)?;
    let at = seat.pose.origin();
    let axes = [BodyVector::X, BodyVector::Y, BodyVector::Z];
    let along = std::array::from_fn(|axis| {
        let moved = seat.drifts.iter().filter_map(|drift| {
            let slope = match drift.field {
                DriftField::Shift(by) => by.dot(axes[axis]),
                field => field.displacement(at).dot(axes[axis]),
            };
            (slope != 0.0).then_some((drift.fact, slope))
        });
        // Several drifts may rest on one fact; chaining adds them up.
        Linear::chained(at.coordinates()[axis], &[(1.0, &Linear { value: 0.0, slopes: moved.collect() })])
    });
    Some(Stand { drive, at, along })
}

/// How far apart two motors stand, seen from above.
pub(crate) fn apart(a: &Stand, b: &Stand) -> Linear {
    let (dx, dy) = (&a.along[0] - &b.along[0], &a.along[1] - &b.along[1]);
    let distance = dx.value.hypot(dy.value);
    if distance == 0.0 {
        return Linear::exact(0.0);
    }
    Linear::chained(distance, &[(dx.value / distance, &dx), (dy.value / distance, &dy)])
}
