//! Do the parts go into the frame: solids, clearances, mounts, screws, stacks and mass.
//!
//! A craft is handed in as [`Solid`]s: shapes with a role, placed in the body frame, with a note of how
//! each moves when a fact grows. [`clearances`] then gives, for each pair that comes near, the distance,
//! the two places, what the pair needs and how the distance follows each fact. Around it stand the sums
//! of the bench: hole patterns that meet, screws that bite, stacks under a plate, plugs that come out,
//! and where the craft balances.
//!
//! All lengths are millimetres. Everything is plain functions over plain values; the crate knows only
//! `quantity`, reads nothing and keeps nothing. Left out: bending, and anything that moves by itself.

mod clearance;
mod convex;
mod crossing;
mod frame;
mod outline;
mod pairing;
mod penetration;
mod pieces;
mod role;
mod scene;
mod shape;
mod solid;

pub use clearance::{
    Clearance, ClearanceQuestion, Gap, TooManyPairs, clearances, clearances_after, distance_between,
};
pub use frame::{
    Body, BodyPoint, BodyVector, InPart, Part, PartPoint, PartVector, Placement, Point, Pose, Vector,
};
pub use outline::{
    HOLES_MAX, Hole, Outline, OutlineFault, PlanePoint, RING_POINTS_MAX, ROUNDING, Ring, SIZE_MAX,
};
pub use role::{APART, NO_DEMAND, REQUIREMENTS, Requirement, RequirementRow, Role, required_clearance};
pub use scene::{Extent, Scene, SolidFault};
pub use shape::{Cuboid, Cylinder, Prism, Shape, SizeFault};
pub use solid::{Drift, DriftField, OwnerIndex, Solid, SolidIndex};
