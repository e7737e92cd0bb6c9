//! A solid that turns about an axis beside one that stands still: how near they are at an angle, and how
//! fast that can change.
//!
//! A point at the distance ρ from the axis moves by ρ·dθ, so the distance of the pair changes by at most
//! ρ_max·dθ, ρ_max being the farthest point of the turning solid; and since turning the one by θ is
//! turning the other by −θ, the smaller of both ρ_max holds. Where they overlap, the same bound holds for
//! how deep each pair of convex pieces bites, and so for the deepest.
//!
//! Each solid, turned all the way round, fills a ring: between its least and greatest ρ, and between its
//! least and greatest place along the axis. Pairs whose rings are far enough apart never meet.

use crate::frame::{Body, BodyPoint, BodyVector, Placement};
use crate::pairing::{Pieces, nearest_or_bite};
use crate::role::Requirement;
use crate::solid::{Drift, DriftField, Solid, SolidIndex, add_slope};
use crate::sweep::farthest;
use parry3d_f64::glamx::DVec3;
use quantity::{Degrees, Linear};

/// Nearer to its need than this a pair counts as meeting it, in mm: far below what can be made, well above
/// the rounding of the searches.
pub(crate) const TOUCH: f64 = 1e-5;

/// An axis in the body frame.
#[derive(Clone, Copy)]
pub(crate) struct Axis {
    pub about: BodyPoint,
    /// Of length one.
    pub along: BodyVector,
}

impl Axis {
    /// The turn by an angle in radians.
    pub(crate) fn turn(&self, radians: f64) -> Placement<Body, Body> {
        Placement::IDENTITY.turned_further(self.about, self.along, Degrees::new(radians.to_degrees()))
    }

    /// The part of a place that leads away from the axis.
    fn off(&self, p: DVec3) -> DVec3 {
        let r = p - self.about.0;
        r - self.along.0 * r.dot(self.along.0)
    }
}

/// The ring a solid fills when it turns all the way round.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RingOf {
    /// Never more than the least and never less than the greatest distance from the axis.
    off: [f64; 2],
    /// Least and greatest place along the axis.
    along: [f64; 2],
}

impl RingOf {
    pub(crate) fn new(solid: &Solid, axis: &Axis) -> Self {
        let (middle, half) = Pieces::filled(&solid.shape).node_box(0);
        let raw = &solid.pose.raw;
        let place = |p: DVec3| axis.off(raw.rotation * p + raw.translation);
        let centre = place(middle);
        let (mut most, mut spread) = (0.0f64, 0.0f64);
        for corner in 0..8 {
            let side = |bit: u32| if corner >> bit & 1 == 0 { -1.0 } else { 1.0 };
            let at = place(middle + half * DVec3::new(side(0), side(1), side(2)));
            most = most.max(at.length());
            spread = spread.max((at - centre).length());
        }
        let along = |n: BodyVector| (farthest(solid, n) - axis.about).dot(axis.along);
        Self {
            off: [(centre.length() - spread).max(0.0), most],
            along: [along(-axis.along), along(axis.along)],
        }
    }

    /// Never more than the distance the two solids have at any angle; negative where the rings overlap.
    fn gap(&self, other: &RingOf) -> f64 {
        let apart = |a: [f64; 2], b: [f64; 2]| (a[0] - b[1]).max(b[0] - a[1]);
        let (off, along) = (apart(self.off, other.off), apart(self.along, other.along));
        if off < 0.0 || along < 0.0 { off.max(along) } else { off.hypot(along) }
    }
}

/// A turning solid and one that may stop it.
pub(crate) struct TurningPair<'a> {
    pub turning: (SolidIndex, &'a Solid),
    pub against: (SolidIndex, &'a Solid),
    pub needs: Requirement,
    /// The most the distance changes for each radian.
    pub rate: f64,
}

/// How a pair stands at an angle: places and direction in the body frame.
pub(crate) struct Facing {
    /// The distance; negative where they overlap.
    pub apart: f64,
    pub on_turning: BodyPoint,
    pub on_against: BodyPoint,
    /// Of length one, from the turning solid to the other.
    pub direction: BodyVector,
}

impl<'a> TurningPair<'a> {
    /// The pair; `None` if it keeps its need at every angle.
    pub(crate) fn new(
        turning: (SolidIndex, &'a Solid, &RingOf),
        against: (SolidIndex, &'a Solid, &RingOf),
        needs: Requirement,
    ) -> Option<Self> {
        let never = turning.2.gap(against.2) >= needs.distance.get() - TOUCH;
        let rate = turning.2.off[1].min(against.2.off[1]);
        (!never).then_some(Self {
            turning: (turning.0, turning.1),
            against: (against.0, against.1),
            needs,
            rate,
        })
    }

    /// Distance less need at an angle, negative where the pair is too near; `None` if above `limit`.
    pub(crate) fn spare(&self, axis: &Axis, radians: f64, limit: f64) -> Option<f64> {
        let found = self.look(axis, radians, limit + self.needs.distance.get())?;
        Some(found.apart - self.needs.distance.get())
    }

    fn look(&self, axis: &Axis, radians: f64, limit: f64) -> Option<Facing> {
        let (turning, against) = (self.turning.1, self.against.1);
        let pose = axis.turn(radians) * turning.pose;
        let b_in_a = (pose.inverse() * against.pose).raw;
        let found = nearest_or_bite(&turning.shape, &against.shape, b_in_a, limit)?;
        let place = |p: DVec3| BodyPoint::of(pose.raw.rotation * p + pose.raw.translation);
        Some(Facing {
            apart: found.distance,
            on_turning: place(found.on_a),
            on_against: place(found.on_b),
            direction: BodyVector::of(pose.raw.rotation * found.direction),
        })
    }

    /// The places that face each other at an angle, however far apart.
    pub(crate) fn facing(&self, axis: &Axis, radians: f64) -> Option<Facing> {
        self.look(axis, radians, f64::MAX)
    }

    /// How the distance follows the angle, in mm for each radian.
    pub(crate) fn speed(&self, axis: &Axis, facing: &Facing) -> f64 {
        -facing.direction.dot(axis.along.cross(facing.on_turning - axis.about))
    }

    /// How the distance follows each fact at an angle. The turning solid's places are moved by the drifts
    /// of the axis, and by what its own drifts do beyond that, turned along:
    /// v(p) = A(p) + R·(D − A)(R⁻¹p), D being its own field and A the axis'.
    pub(crate) fn slopes(&self, axis: &Axis, axis_drifts: &[Drift], radians: f64, facing: &Facing) -> Linear {
        let mut sum = Linear::default();
        self.against.1.add_slopes(facing.on_against, facing.direction, 1.0, &mut sum);
        let turn = axis.turn(radians);
        let before = turn.inverse().point(facing.on_turning);
        let mut add = |drift: &Drift, at: BodyPoint, turned: bool, sign: f64| {
            let v = drift.field.displacement(at);
            let v = if turned { turn.vector(v) } else { v };
            add_slope(&mut sum, drift.fact, -sign * v.dot(facing.direction));
        };
        for drift in &self.turning.1.drifts {
            add(drift, before, true, 1.0);
        }
        for drift in axis_drifts.iter().filter(|d| moves_axes(&d.field)) {
            add(drift, facing.on_turning, false, 1.0);
            add(drift, before, true, -1.0);
        }
        sum.slopes.retain(|(_, slope)| *slope != 0.0);
        sum
    }
}

/// Only what moves as a whole moves an axis.
pub(crate) fn moves_axes(field: &DriftField) -> bool {
    matches!(field, DriftField::Shift(_) | DriftField::Turn { .. })
}
