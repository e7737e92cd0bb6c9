//! What a lens shows: projections, sensors, views, and how much of the picture the craft itself fills.
//!
//! A [`Lens`] says where on the sensor a direction falls, a [`SensorArea`] how much of it is read, a
//! [`View`] puts both under a grid of pixels. The craft's own solids come in as [`Occluder`]s in the camera
//! frame: x along the lens axis, y left, z up, in millimetres, the eye at the origin. From these follow
//! [`shares`] (how much each fills), [`mask`] (which one each pixel sees), [`contours`] (its outline in the picture) and what movement of the camera
//! clears the picture.
//!
//! The eye is one point: the entrance pupil of such short lenses lies close behind the front glass, and
//! wanders by less than the places of parts are known. Plain functions over plain values; the crate knows
//! only `quantity`. Left out: sharpness, light, and anything that moves by itself.

mod cell;
mod clearing;
mod contour;
mod detail;
mod fault;
mod lens;
mod mask;
mod measured;
mod meet;
mod outline;
mod rays;
mod scene;
mod sensor;
mod shape;
mod share;
mod vector;
mod view;
mod whereabouts;

pub use clearing::{Clearing, SHIFT_TOLERANCE, TURN_TOLERANCE, Wanted, least_shift, least_turn};
pub use contour::{Contour, contours};
pub use detail::{Detail, detail_at, focal_length_for, seen_from};
pub use fault::OpticsFault;
pub use lens::{Lens, PROJECTION_SOURCE, Projection};
pub use mask::{Mask, Pixel, mask};
pub use measured::MeasuredMap;
pub use outline::Outline;
pub use scene::{Movement, Scene};
pub use sensor::{Aspect, SensorArea};
pub use shape::{Occluder, Placement, Shape};
pub use share::{SHARE_ERROR, Shares, share_of, shares};
pub use vector::{Direction, Point};
pub use view::{PIXELS_MAX, PicturePoint, View, ViewAngles, view_angles};
pub use whereabouts::whereabouts;
