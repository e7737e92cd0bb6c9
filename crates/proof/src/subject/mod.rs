//! What rules ask about: the coax from a unit to its antenna, the motors with their blades, the mass.
//!
//! Each file finds one such thing in a craft, so that rules which judge it agree on what it is.

mod aerial;
mod all_up_mass;
mod antenna_axis;
mod balance_figures;
mod beside_camera;
mod better_turn;
mod blade_share;
mod camera_moved;
mod camera_tilt;
mod coax_chain;
mod drive;
mod flying;
pub(crate) mod hole_match;
mod joined;
mod lead;
mod lead_blades;
mod lead_fold;
mod leaning;
mod level_flight;
mod link_plan;
mod make_room;
mod motor_layout;
mod other_lens;
mod plug_end;
pub(crate) mod pull;
mod pull_way;
mod push_on;
mod radiating;
mod screw_column;
mod screw_joint;
mod screw_sheets;
mod shafts;
mod sight;
mod thrust_curve;
mod unbuilt;
mod wanting_plates;

pub(crate) use aerial::{Aerial, aerials, by_unit};
pub(crate) use all_up_mass::{all_up_mass, stays_on_the_ground};
pub(crate) use antenna_axis::{AntennaAxis, axes_of_control, axes_of_video, control_antennas};
pub(crate) use balance_figures::balance_figures;
pub(crate) use beside_camera::beside_camera;
pub(crate) use better_turn::{BOARDS_MAX, better_turn};
pub(crate) use blade_share::{BladeShare, Clears, blade_share, clears};
pub(crate) use camera_moved::{CameraMove, Hindrance, hindrances};
pub use camera_tilt::{CameraTilt, HeldTilt, TiltSlot, TiltStopper, WhatTurns};
pub(crate) use camera_tilt::{Turned, camera_tilts};
pub(crate) use coax_chain::{Chain, ChainEnd, Half, coax_chains, named_end};
pub(crate) use drive::{Drive, drives, ducted, of_each_part, pack_voltage};
pub(crate) use flying::{Flying, Late, late};
pub(crate) use joined::{JoinedLeads, firsts_of_rows, joined_leads};
pub use lead::{Lead, LeadTip, LeadWay, Unlaid};
pub(crate) use lead::{leads, questions};
pub(crate) use lead_blades::{BladeNear, blades_near, duct_between, tie_at};
pub(crate) use lead_fold::{Fold, FoldPlace, fold_place};
pub(crate) use leaning::{by_custom, leaning, said_or_custom};
pub use level_flight::{CruiseNose, LevelFlight, level_flight};
pub(crate) use level_flight::{air_density, cruise_nose};
pub(crate) use link_plan::{
    LinkPlan, OUT_AND_HOME, PlannedLink, SURELY, Wanted, db, fault_and_mend, lacking, link_tried, metres,
    milliwatts, nose, plan_tried, reaches, stationed, turned, words_and_mend, wrong, wrong_and_mend,
};
pub(crate) use make_room::{make_room, plain_direction, seat_right};
pub(crate) use motor_layout::{Stand, apart, motor_layout};
pub(crate) use other_lens::other_lens;
pub(crate) use plug_end::{End, end};
pub(crate) use pull_way::{PUSHED_ASIDE, PluggedIn, pull_spaces, pull_ways};
pub use push_on::PlugHold;
pub(crate) use push_on::{plug_solid, push_on_plugs};
pub(crate) use radiating::{Radiating, radiating, within_limit};
pub(crate) use screw_column::{Column, Into, Layers, Undrawn, axes as screw_axes, printed_under_head};
pub(crate) use screw_joint::{Alike, Behind, Joint, Unjudged, joints};
pub(crate) use shafts::meetings;
pub use shafts::screws_in_holes_of;
pub(crate) use sight::{Sight, each_sight};
pub(crate) use thrust_curve::{BEND, Curve, full_thrust, stand_air, thinner, thrust_curve};
pub(crate) use unbuilt::unbuilt;
pub(crate) use wanting_plates::{WantingPlate, wanting_plates};
