//! A solid on the craft, and how it moves when a fact it rests on changes.
//!
//! A drift field gives the velocity of each surface point for each unit by which a fact grows:
//! - shift: v(p) = s;
//! - stretch along a unit axis a from a plane through c: v(p) = k·((p − c)·a)·a. A box whose side L
//!   grows about its centre has k = 1/L: its faces, at L/2, move by 1/2. Anchored at a face, c lies there;
//! - swell from the axis a through c: v(p) = k·(p − c less its part along a). A cylinder whose radius R
//!   grows has k = 1/R, whose diameter D grows has k = 1/D;
//! - turn about the axis a through c: v(p) = ω·a × (p − c), ω in radians.
//!
//! Several drifts for one fact add up. Left out: second order. Doubts are small against sizes.

use crate::frame::{BodyPoint, BodyVector, PartVector, Pose};
use crate::point::from_surface;
use crate::role::Role;
use crate::shape::Shape;
use quantity::{FactIndex, Linear, Millimetres};

/// The number of a solid in its scene.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SolidIndex(pub u32);

/// The part a solid belongs to. Solids of one owner are not held against each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct OwnerIndex(pub u32);

/// How every point of a solid moves for each unit of a fact.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum DriftField {
    /// All points move alike, by this many mm for each unit.
    Shift(BodyVector),
    /// Points move along the axis in proportion to their distance from a plane that stays.
    Stretch {
        /// A point of the plane that stays.
        from: BodyPoint,
        /// The axis, of length one.
        axis: BodyVector,
        /// Movement over distance, for each unit.
        per_unit: f64,
    },
    /// Points move away from an axis that stays, in proportion to their distance.
    Swell {
        /// A point of the axis that stays.
        from: BodyPoint,
        /// The axis, of length one.
        axis: BodyVector,
        /// Movement over distance, for each unit.
        per_unit: f64,
    },
    /// The faces of a stepped outline: points nearer than `within` to a plane that stays move away from it by
    /// the one rate, those beyond by the other. Only faces across the axis have such points; between the two
    /// lie faces along it, which the movement leaves where they are.
    Step {
        /// A point of the plane that stays.
        from: BodyPoint,
        /// The axis, of length one.
        axis: BodyVector,
        /// Up to where the inner faces lie, in mm.
        within: f64,
        /// Movement of the inner faces outward, for each unit.
        inner: f64,
        /// Movement of the outer faces outward, for each unit.
        outer: f64,
    },
    /// Points turn about an axis by the right-hand rule.
    Turn {
        /// A point of the axis.
        about: BodyPoint,
        /// The axis, of length one.
        axis: BodyVector,
        /// Radians for each unit.
        radians: f64,
    },
}

impl DriftField {
    /// How far a point moves for each unit of the fact, in mm.
    pub fn displacement(&self, p: BodyPoint) -> BodyVector {
        match *self {
            DriftField::Shift(by) => by,
            DriftField::Stretch { from, axis, per_unit } => axis * ((p - from).dot(axis) * per_unit),
            DriftField::Swell { from, axis, per_unit } => {
                let out = p - from;
                (out - axis * out.dot(axis)) * per_unit
            }
            DriftField::Step { from, axis, within, inner, outer } => {
                let off = (p - from).dot(axis);
                axis * (if off.abs() < within { inner } else { outer } * off.signum())
            }
            DriftField::Turn { about, axis, radians } => axis.cross(p - about) * radians,
        }
    }

    /// Whether every number in it is finite.
    pub fn is_finite(&self) -> bool {
        let both = match *self {
            DriftField::Step { within, inner, outer, .. } => {
                within.is_finite() && (inner + outer).is_finite()
            }
            _ => true,
        };
        both && self.displacement(BodyPoint::new(1.0, 1.0, 1.0)).is_finite()
    }
}

/// How a solid moves when one fact grows by one unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drift {
    /// The fact.
    pub fact: FactIndex,
    /// The movement.
    pub field: DriftField,
}

/// One solid of a craft.
#[derive(Clone, Debug, PartialEq)]
pub struct Solid {
    /// What a person calls it.
    pub name: String,
    /// The part it belongs to.
    pub owner: OwnerIndex,
    /// What it is.
    pub role: Role,
    /// Its shape, in its own frame.
    pub shape: Shape,
    /// Where it stands.
    pub pose: Pose,
    /// How it moves with the facts.
    pub drifts: Vec<Drift>,
}

impl Solid {
    /// How far a place is from the surface, negative inside, and the place on the surface nearest to it.
    pub fn nearest_to(&self, place: BodyPoint) -> (Millimetres, BodyPoint) {
        let (apart, out) = from_surface(&self.shape, self.pose.inverse().point(place).0);
        (Millimetres::new(apart), place - self.pose.vector(PartVector::of(out)) * apart)
    }

    /// How fast the point `at` of this solid moves along `direction`, for each fact.
    pub(crate) fn add_slopes(&self, at: BodyPoint, direction: BodyVector, sign: f64, sum: &mut Linear) {
        for drift in &self.drifts {
            let slope = sign * drift.field.displacement(at).dot(direction);
            add_slope(sum, drift.fact, slope);
        }
    }
}

/// Adds to the slope of one fact; each fact stands at most once.
pub(crate) fn add_slope(sum: &mut Linear, fact: FactIndex, slope: f64) {
    match sum.slopes.iter_mut().find(|(known, _)| *known == fact) {
        Some((_, known)) => *known += slope,
        None => sum.slopes.push((fact, slope)),
    }
}

/// `sum + times · other`, value and slopes alike.
pub(crate) fn add_linear(sum: &mut Linear, other: &Linear, times: f64) {
    sum.value += times * other.value;
    for (fact, slope) in &other.slopes {
        add_slope(sum, *fact, times * slope);
    }
}
