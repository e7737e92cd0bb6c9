//! Do the parts go into the frame: solids, clearances, mounts, screws, stacks and mass.
//!
//! A craft is handed in as [`Solid`]s: shapes with a role, placed in the body frame, with a note of how
//! each moves when a fact grows. [`clearances`] then gives, for each pair that comes near, the distance,
//! the two places, what the pair needs and how the distance follows each fact. Around it stand the sums
//! of the bench: hole patterns that meet, screws that bite, stacks under a plate, plugs that come out,
//! how far a camera tilts, how long a lead must be, and where the craft balances.
//!
//! All lengths are millimetres. Everything is plain functions over plain values; the crate knows only
//! `quantity`, reads nothing and keeps nothing. Left out: bending, and anything that moves by itself.

mod adapter;
mod air;
mod axes;
mod banded;
mod clearance;
mod convex;
mod crossing;
mod cut;
mod enclosing;
mod faces;
mod frame;
mod hidden;
mod in_ring;
mod lead_stock;
mod mass;
mod mesh;
mod mesh_fault;
mod mount;
mod outline;
mod outline_fault;
mod pairing;
mod pattern;
mod penetration;
mod pieces;
mod plan_gap;
mod point;
mod relief;
mod ring_cells;
mod role;
mod route;
mod route_air;
mod route_even;
mod route_gap;
mod route_known;
mod route_pull;
mod route_rest;
mod route_search;
mod route_twist;
mod scene;
mod screw;
mod settle;
mod shape;
mod solid;
mod stack;
mod sweep;
mod tilt;
mod tilt_search;
mod torque;
mod turning;
mod web;

pub use adapter::{HEAD_SPARE, HEAD_SPARE_SOURCE, HeadGap, best_head_turn, head_gap};
pub use air::Air;
pub use axes::angle_of_axes;
pub use clearance::{
    Clearance, ClearanceQuestion, Gap, Nearness, TooManyPairs, apart_at_least, clearances, clearances_after,
    distance_between, keeps_from, nearer_than, nearer_unless_deep, overlap,
};
pub use faces::{Faces, PointRing};
pub use frame::{
    Body, BodyPoint, BodyVector, InPart, Part, PartPoint, PartVector, Placement, Point, Pose, Vector,
};
pub use hidden::{Hidden, HiddenArc, hidden_round};
pub use in_ring::{in_ring, in_rings};
pub use lead_stock::{
    LEAD_PRACTICE, LeadKind, LeadPractice, Slack, StockFit, length_to_order, slack_of, stock_choice,
};
pub use mass::{Balance, MassProperties, WeighedPart, balance, slide_to_balance, thrust_centre};
pub use mesh::{Mesh, THINNEST, TRIANGLES_MAX};
pub use mesh_fault::MeshFault;
pub use mount::{CAPTURE, Meeting, float_left_as_met, meet};
pub use outline::{HOLES_MAX, Hole, Outline, PlanePoint, RING_POINTS_MAX, ROUNDING, SIZE_MAX};
pub use outline_fault::{OutlineFault, Ring};
pub use pattern::{HolePattern, MountHole, PATTERN_HOLES_MAX, PatternFault};
pub use plan_gap::{PlanGap, plan_gap};
pub use relief::{RELIEF_SOURCE, RELIEF_WITHIN, Relief, nearest_relief, relief_of};
pub use role::{
    APART, NO_DEMAND, PLUG_ROOM, REQUIREMENTS, Requirement, RequirementRow, Role, needs_at_most,
    required_clearance,
};
pub use route::{AskedRoute, Bend, LeadEnd, Lean, NoRoute, Route, RouteQuestion, shortest_route};
pub use route_gap::{RouteGap, route_gap};
pub use route_known::{KnownRoute, route_again, route_kept};
pub use route_twist::{
    FREE_BEND, TWIST_MOST, TWIST_OVER, TWIST_OVER_LEAST, TWIST_SOURCE, Twist, sharpest_twist,
};
pub use scene::{Extent, Scene, SolidFault};
pub use screw::{
    CLEARANCE_HOLE_SOURCE, CLEARANCE_HOLES, ClearanceHole, ENGAGEMENT_SOURCE, ENGAGEMENTS, EngagementRow,
    HEAD_SOURCE, HEADS, Head, HeadForm, STOCK_LENGTHS_MM, ScrewFit, ScrewJoint, THREAD_SOURCE, THREADS,
    TIP_GAP_LEAST, TIP_GAP_WANTED, Thread, ThreadMaterial, clearance_hole, head_of, lengths_that_serve,
    screw_fit,
};
pub use shape::{Cuboid, Cylinder, Prism, Shape, SizeFault};
pub use solid::{Drift, DriftField, OwnerIndex, Solid, SolidIndex};
pub use stack::{Block, Footprint, StackGap, StackLayer, StackNeed, highest_under, stack_height};
pub use sweep::{Pull, Stop, meets_after, straight_sweep_free};
pub use tilt::{
    FreeTilt, GRAZING, TiltEnd, TiltFault, TiltQuestion, TiltRoom, TiltStop, free_tilts, tilt_room,
};
pub use torque::{TORQUE_SOURCE, TORQUES, Torque, torque};
pub use web::{Drilled, from_line, inside_edge, web_between, web_to_ring};
