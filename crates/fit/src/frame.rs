//! Where things are: points and vectors that know their frame, and poses that lead from one to another.
//!
//! All lengths are millimetres. The body frame has x forward, y left, z up. A part frame is whatever
//! the part's sheet says. Frames are types, so a body point and a part point cannot be mixed by
//! mistake: only a [`Pose`] leads from one to the other.
//!
//! A turn is written as yaw ψ, pitch θ, roll φ and is made about z, then about the new y, then about
//! the new x: R = Z(ψ)·Y(θ)·X(φ), p_body = R·p_part + t, with
//! - Z(ψ) = [cos ψ, −sin ψ, 0; sin ψ, cos ψ, 0; 0, 0, 1]: positive yaw turns the nose to the left;
//! - Y(θ) = [cos θ, 0, −sin θ; 0, 1, 0; sin θ, 0, cos θ]: positive pitch lifts the nose, which is how
//!   camera tilt is counted (the right-handed turn about +y by −θ);
//! - X(φ) = [1, 0, 0; 0, cos φ, −sin φ; 0, sin φ, cos φ]: positive roll lifts the left side.
//!
//! Left out: scaling and mirroring. A flipped board is a board rolled by 180°.

use parry3d_f64::glamx::{DPose3, DQuat, DVec3};
use quantity::{Degrees, Millimetres};
use std::fmt;
use std::marker::PhantomData;
use std::ops::{Add, Mul, Neg, Sub};

/// The frame of the craft: x forward, y left, z up, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Body {}

/// The frame of one part, as its sheet draws it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {}

/// A place in the frame `F`, in millimetres.
pub struct Point<F>(pub(crate) DVec3, PhantomData<F>);

/// A difference of two places in the frame `F`, in millimetres, or a direction without a unit.
pub struct Vector<F>(pub(crate) DVec3, PhantomData<F>);

/// A place on the craft.
pub type BodyPoint = Point<Body>;
/// A difference of places on the craft, or a direction there.
pub type BodyVector = Vector<Body>;
/// A place on a part.
pub type PartPoint = Point<Part>;
/// A difference of places on a part, or a direction there.
pub type PartVector = Vector<Part>;

macro_rules! triple {
    ($name:ident) => {
        impl<F> Clone for $name<F> {
            fn clone(&self) -> Self {
                *self
            }
        }
        impl<F> Copy for $name<F> {}
        impl<F> PartialEq for $name<F> {
            fn eq(&self, other: &Self) -> bool {
                self.0 == other.0
            }
        }
        impl<F> fmt::Debug for $name<F> {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "({}, {}, {})", self.0.x, self.0.y, self.0.z)
            }
        }
        impl<F> $name<F> {
            /// From coordinates along x, y and z.
            pub const fn new(x: f64, y: f64, z: f64) -> Self {
                Self(DVec3::new(x, y, z), PhantomData)
            }
            pub(crate) const fn of(raw: DVec3) -> Self {
                Self(raw, PhantomData)
            }
            /// The coordinate along x.
            pub const fn x(self) -> f64 {
                self.0.x
            }
            /// The coordinate along y.
            pub const fn y(self) -> f64 {
                self.0.y
            }
            /// The coordinate along z.
            pub const fn z(self) -> f64 {
                self.0.z
            }
            /// All three coordinates.
            pub const fn coordinates(self) -> [f64; 3] {
                [self.0.x, self.0.y, self.0.z]
            }
            /// Whether every coordinate is a number.
            pub fn is_finite(self) -> bool {
                self.0.is_finite()
            }
        }
    };
}
triple!(Point);
triple!(Vector);

impl<F> Point<F> {
    /// The origin of the frame.
    pub const ORIGIN: Self = Self::new(0.0, 0.0, 0.0);

    /// How far another place is.
    pub fn distance_to(self, other: Self) -> Millimetres {
        Millimetres::new((other.0 - self.0).length())
    }
}

impl<F> Vector<F> {
    /// No difference.
    pub const ZERO: Self = Self::new(0.0, 0.0, 0.0);
    /// The direction of x: forward in the body frame.
    pub const X: Self = Self::new(1.0, 0.0, 0.0);
    /// The direction of y: left in the body frame.
    pub const Y: Self = Self::new(0.0, 1.0, 0.0);
    /// The direction of z: up in the body frame.
    pub const Z: Self = Self::new(0.0, 0.0, 1.0);

    /// The scalar product.
    pub fn dot(self, other: Self) -> f64 {
        self.0.dot(other.0)
    }
    /// The vector product.
    pub fn cross(self, other: Self) -> Self {
        Self::of(self.0.cross(other.0))
    }
    /// The length.
    pub fn length(self) -> Millimetres {
        Millimetres::new(self.0.length())
    }
    /// The direction with length one; `None` for no or a non-finite difference.
    pub fn direction(self) -> Option<Self> {
        self.0.try_normalize().filter(|v| v.is_finite()).map(Self::of)
    }
}

impl<F> Sub for Point<F> {
    type Output = Vector<F>;
    fn sub(self, other: Self) -> Vector<F> {
        Vector::of(self.0 - other.0)
    }
}
impl<F> Add<Vector<F>> for Point<F> {
    type Output = Point<F>;
    fn add(self, by: Vector<F>) -> Point<F> {
        Point::of(self.0 + by.0)
    }
}
impl<F> Sub<Vector<F>> for Point<F> {
    type Output = Point<F>;
    fn sub(self, by: Vector<F>) -> Point<F> {
        Point::of(self.0 - by.0)
    }
}
impl<F> Add for Vector<F> {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::of(self.0 + other.0)
    }
}
impl<F> Sub for Vector<F> {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::of(self.0 - other.0)
    }
}
impl<F> Neg for Vector<F> {
    type Output = Self;
    fn neg(self) -> Self {
        Self::of(-self.0)
    }
}
impl<F> Mul<f64> for Vector<F> {
    type Output = Self;
    fn mul(self, times: f64) -> Self {
        Self::of(self.0 * times)
    }
}

/// A rigid placement of the frame `From` in the frame `To`: first turned, then shifted.
pub struct Placement<From, To> {
    pub(crate) raw: DPose3,
    frames: PhantomData<(From, To)>,
}

/// Where a part stands on the craft: leads from its frame to the body frame.
pub type Pose = Placement<Part, Body>;

/// Where a piece of a part stands in the part's own frame.
pub type InPart = Placement<Part, Part>;

impl<A, B> Clone for Placement<A, B> {
    fn clone(&self) -> Self {
        *self
    }
}
impl<A, B> Copy for Placement<A, B> {}
impl<A, B> PartialEq for Placement<A, B> {
    fn eq(&self, other: &Self) -> bool {
        self.raw == other.raw
    }
}
impl<A, B> fmt::Debug for Placement<A, B> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "turned {:?}, at {:?}", self.raw.rotation, self.raw.translation)
    }
}

impl<A, B> Placement<A, B> {
    /// Both frames coincide.
    pub const IDENTITY: Self = Self::of(DPose3::IDENTITY);

    pub(crate) const fn of(raw: DPose3) -> Self {
        Self { raw, frames: PhantomData }
    }

    /// Not turned, origin at `at`.
    pub fn at(at: Point<B>) -> Self {
        Self::of(DPose3 { rotation: DQuat::IDENTITY, translation: at.0 })
    }

    /// Turned by yaw (nose left), then pitch (nose up), then roll (left side up), origin at `at`. The
    /// matrices stand in the head of this file.
    pub fn turned(at: Point<B>, yaw: Degrees, pitch: Degrees, roll: Degrees) -> Self {
        let rotation = DQuat::from_rotation_z(yaw.get().to_radians())
            * DQuat::from_rotation_y(-pitch.get().to_radians())
            * DQuat::from_rotation_x(roll.get().to_radians());
        Self::of(DPose3 { rotation, translation: at.0 })
    }

    /// Turned about an axis by the right-hand rule, origin at `at`; not turned where the axis has no
    /// direction.
    pub fn turned_about(at: Point<B>, axis: Vector<B>, angle: Degrees) -> Self {
        let rotation = axis
            .direction()
            .map_or(DQuat::IDENTITY, |axis| DQuat::from_axis_angle(axis.0, angle.get().to_radians()));
        Self::of(DPose3 { rotation, translation: at.0 })
    }

    /// A place of the inner frame as the outer frame sees it.
    pub fn point(&self, p: Point<A>) -> Point<B> {
        Point::of(self.raw.rotation * p.0 + self.raw.translation)
    }
    /// A difference or direction of the inner frame as the outer frame sees it.
    pub fn vector(&self, v: Vector<A>) -> Vector<B> {
        Vector::of(self.raw.rotation * v.0)
    }
    /// The way back.
    pub fn inverse(&self) -> Placement<B, A> {
        Placement::of(self.raw.inverse())
    }
    /// The origin of the inner frame.
    pub fn origin(&self) -> Point<B> {
        Point::of(self.raw.translation)
    }
    /// The same turn, shifted further.
    pub fn shifted(&self, by: Vector<B>) -> Self {
        Self::of(DPose3 { rotation: self.raw.rotation, translation: self.raw.translation + by.0 })
    }
    /// Turned further about an axis through a place of the outer frame, by the right-hand rule.
    pub fn turned_further(&self, about: Point<B>, axis: Vector<B>, angle: Degrees) -> Self {
        let turn = Placement::<B, B>::turned_about(Point::ORIGIN, axis, angle).raw.rotation;
        Self::of(DPose3 {
            rotation: (turn * self.raw.rotation).normalize(),
            translation: about.0 + turn * (self.raw.translation - about.0),
        })
    }
    /// Whether every number in it is finite.
    pub fn is_finite(&self) -> bool {
        self.raw.rotation.is_finite() && self.raw.translation.is_finite()
    }
    /// The turn as a unit quaternion x, y, z, w, for pictures.
    pub fn quaternion(&self) -> [f64; 4] {
        self.raw.rotation.to_array()
    }
}

/// Composition: `outer * inner` leads from the innermost frame to the outermost.
impl<A, B, C> Mul<Placement<A, B>> for Placement<B, C> {
    type Output = Placement<A, C>;
    fn mul(self, inner: Placement<A, B>) -> Placement<A, C> {
        Placement::of(DPose3 {
            rotation: (self.raw.rotation * inner.raw.rotation).normalize(),
            translation: self.raw.rotation * inner.raw.translation + self.raw.translation,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: BodyVector, b: BodyVector) {
        assert!((a - b).length().get() < 1e-12, "{a:?} against {b:?}");
    }

    #[test]
    fn pitch_lifts_the_nose_and_yaw_turns_it_left() {
        let at = |yaw, pitch, roll| {
            Pose::turned(BodyPoint::ORIGIN, Degrees::new(yaw), Degrees::new(pitch), Degrees::new(roll))
        };
        near(at(0.0, 90.0, 0.0).vector(PartVector::X), BodyVector::Z);
        near(at(90.0, 0.0, 0.0).vector(PartVector::X), BodyVector::Y);
        near(at(0.0, 0.0, 90.0).vector(PartVector::Y), BodyVector::Z);
        // Yawed left first, then pitched about the new y axis: the nose still rises.
        near(at(90.0, 90.0, 0.0).vector(PartVector::X), BodyVector::Z);
    }

    #[test]
    fn a_turn_matches_the_matrices_of_the_head() {
        let (psi, theta, phi) = (0.3f64, -0.7f64, 1.1f64);
        let pose = Pose::turned(
            BodyPoint::ORIGIN,
            Degrees::new(psi.to_degrees()),
            Degrees::new(theta.to_degrees()),
            Degrees::new(phi.to_degrees()),
        );
        let x =
            |v: [f64; 3]| [v[0], phi.cos() * v[1] - phi.sin() * v[2], phi.sin() * v[1] + phi.cos() * v[2]];
        let y = |v: [f64; 3]| {
            [theta.cos() * v[0] - theta.sin() * v[2], v[1], theta.sin() * v[0] + theta.cos() * v[2]]
        };
        let z =
            |v: [f64; 3]| [psi.cos() * v[0] - psi.sin() * v[1], psi.sin() * v[0] + psi.cos() * v[1], v[2]];
        let [a, b, c] = z(y(x([1.0, 2.0, 3.0])));
        near(pose.vector(PartVector::new(1.0, 2.0, 3.0)), BodyVector::new(a, b, c));
    }

    #[test]
    fn composition_and_inverse_undo_each_other() {
        let pose = Pose::turned(
            BodyPoint::new(1.0, 2.0, 3.0),
            Degrees::new(20.0),
            Degrees::new(30.0),
            Degrees::new(40.0),
        );
        let back = pose.inverse() * pose;
        let p = PartPoint::new(5.0, -6.0, 7.0);
        assert!(back.point(p).distance_to(p).get() < 1e-12);
    }
}
