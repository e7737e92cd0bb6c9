//! What a lens shows: projections, sensors, views, and how much of the picture the craft itself fills.
//!
//! A [`Lens`] says where on the sensor a direction falls, a [`SensorArea`] how much of it is read, a
//! [`View`] puts both under a grid of pixels. The craft's own solids come in as [`Occluder`]s in the camera
//! frame: x along the lens axis, y left, z up, in millimetres, the eye at the origin. From these follow
//! [`shares`] (how much each fills), [`mask`] (which one each pixel sees), [`contours`] (its outline in the picture) and what movement of the camera
//! clears the picture. What lies beyond the craft is a [`course`] of simple solids.
//!
//! The eye is one point: the entrance pupil of such short lenses lies close behind the front glass, and
//! wanders by less than the places of parts are known. Beside the picture stand its light ([`LightPair`]) and its
//! sharpness ([`Objective`]), what motion does to it, and what the craft can still dodge of what it shows ([`Dodge`]). Plain functions over plain values; the crate knows only `quantity`.

mod cell;
mod clearing;
mod contour;
pub mod course;
mod detail;
mod dodge;
mod fault;
mod focus;
mod latency;
mod lens;
mod level_flight;
mod light;
mod mask;
mod measured;
mod meet;
mod motion;
mod outline;
mod rays;
mod scene;
mod sensor;
mod shape;
mod share;
mod share_known;
mod target;
mod vector;
mod view;
mod whereabouts;

pub use clearing::{Clearing, SHIFT_TOLERANCE, TURN_TOLERANCE, Wanted, least_shift, least_turn};
pub use contour::{Contour, contours};
pub use detail::{Detail, detail_at, focal_length_for, seen_from};
pub use dodge::{DODGE_SOURCE, Dodge, spare_acceleration, thrust_at_speed, time_aside};
pub use fault::OpticsFault;
pub use focus::{FOCUS_SOURCE, FocusedAt, Objective, SharpRange};
pub use latency::{LATENCY_SOURCE, Latency, fastest_stopped, flown_in, latency, stopping_distance};
pub use lens::{Lens, PROJECTION_SOURCE, Projection};
pub use level_flight::{LEVEL_FLIGHT_SOURCE, nose_down_in_level_flight};
pub use light::{
    DIFFRACTION_SOURCE, EXPOSURE_SOURCE, GREEN, LightPair, LightStops, airy_diameter, diffraction_cut_off,
    exposure_value, illuminance_at, noise_of, sensor_cut_off, stops_over,
};
pub use mask::{Mask, Pixel, mask};
pub use measured::MeasuredMap;
pub use motion::{Jelly, MOTION_SOURCE, jelly, passed_while, time_to_smear, turned_while};
pub use outline::Outline;
pub use scene::{Movement, Scene};
pub use sensor::{Aspect, SensorArea};
pub use shape::{Occluder, Placement, Shape};
pub use share::{SHARE_ERROR, Shares, share_of, shares};
pub use share_known::{KnownShares, shares_again};
pub use target::{TARGET_SOURCE, Task, width_in_picture};
pub use vector::{Direction, Point};
pub use view::{PIXELS_MAX, PicturePoint, View, ViewAngles, view_angles};
pub use whereabouts::whereabouts;
