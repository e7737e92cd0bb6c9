//! What would the lens show of a simple course?
//!
//! A [`Course`] is plain data: convex solids that stand on flat ground, and lines drawn on the ground, all in
//! metres. An [`EyeStand`] says where the eye is and which way the camera looks. [`sight`] turns both into outlines in
//! the picture of a [`View`](crate::View): the ground to the horizon, the lines on it, and every solid with its faces
//! and edges, those behind first.
//!
//! Only directions matter to a lens, so everything is worked out on the sphere round the eye. An edge is an arc of a
//! great circle, cut where the lens ends ([`cap`]) and bent as the lens bends it, in steps so short that a chord is off by
//! less than [`BEND_TOLERANCE`]. Which solid stands before which is told by a plane between the two ([`order`]); for the
//! solids of [`Course::orchard`] that is always possible, so painting them in this order hides exactly what is hidden.
//!
//! Left out: light, blur, haze, and ground that is not flat.

mod bend;
mod cap;
mod layout;
mod order;
mod sight;
mod solid;
mod stand;

pub use bend::BEND_TOLERANCE;
pub use layout::{Course, GATE_OPENING, GroundLine};
pub use sight::{FaceInSight, Sight, SolidInSight, sight};
pub use solid::{CourseSolid, Matter};
pub use stand::{Attitude, CoursePoint, EyeStand};
