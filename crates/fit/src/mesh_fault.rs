//! What keeps a surface of triangles from bounding a solid.

use crate::frame::PartPoint;
use crate::mesh::{THINNEST, TRIANGLES_MAX};
use crate::outline::SIZE_MAX;
use quantity::Millimetres;
use thiserror::Error;

/// What is wrong with a surface; the first fault found.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum MeshFault {
    /// No triangle, or more than are handled.
    #[error("a surface of {triangles} triangles must have at least one and at most {TRIANGLES_MAX}")]
    Count {
        /// How many it has.
        triangles: usize,
    },
    /// A coordinate that is no number or far outside any craft.
    #[error("point {point} at {at:?} must lie within {SIZE_MAX} of the origin")]
    NotAPlace {
        /// Its number.
        point: usize,
        /// Where it is said to be.
        at: PartPoint,
    },
    /// A triangle of a point that is not there.
    #[error("triangle {triangle} names a point that is not there")]
    NoSuchPoint {
        /// Its number.
        triangle: usize,
    },
    /// A triangle that is hardly more than a line.
    #[error("triangle {triangle} is {height} high, must be at least {THINNEST}")]
    Thin {
        /// Its number.
        triangle: usize,
        /// Its least height.
        height: Millimetres,
    },
    /// An edge with a triangle on one side only.
    #[error("the edge from {from:?} to {to:?} is open: a triangle is missing beside it")]
    EdgeOpen {
        /// One end.
        from: PartPoint,
        /// The other end.
        to: PartPoint,
    },
    /// An edge that two triangles run along the same way.
    #[error("the edge from {from:?} to {to:?} is met twice the same way: surfaces overlap there")]
    EdgeMetTwice {
        /// One end.
        from: PartPoint,
        /// The other end.
        to: PartPoint,
    },
    /// Two surfaces that touch in a point.
    #[error("two surfaces touch in the point {at:?}")]
    PointMetTwice {
        /// The point.
        at: PartPoint,
    },
    /// A point of no triangle.
    #[error("the point {at:?} belongs to no triangle")]
    LoosePoint {
        /// The point.
        at: PartPoint,
    },
    /// A piece that looks inward.
    #[error("a piece of the surface looks inward: its volume is not above 0")]
    InsideOut,
    /// A face that could not be cut into triangles.
    #[error("face {face} cannot be cut into triangles: its edges meet, or points lie too close")]
    FaceNotCut {
        /// Its number.
        face: usize,
    },
}
