//! What a lens shows over the course: the craft flies level along the lane towards the first gate, turned to the left or
//! right, its nose down as its speed wants it.
//!
//! The eye is the front of the lens; the craft is about it as it is built, so a tilt of the camera turns the picture and not
//! the eye's place.

use super::LensView;
use fit::PartVector;
use optics::course::{Attitude, Course, CoursePoint, EyeStand, GATE_OPENING, Sight, sight};
use optics::{Direction, PIXELS_MAX, View};
use quantity::{Degrees, Metres};

/// Where the craft is on the course, and how it lies in the air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OverCourse {
    /// How far before the first gate the eye is, at the height of its middle.
    pub before_gate: Metres,
    /// How far the nose is to the left of the way to the gate.
    pub left: Degrees,
    /// How far the nose is down.
    pub nose_down: Degrees,
}

impl LensView {
    /// What the lens shows of the course, in a picture so many pixels wide; nothing if that is no picture.
    pub fn over(&self, course: &Course, flight: &OverCourse, pixels_across: u32) -> Option<Sight> {
        let across = pixels_across.clamp(16, PIXELS_MAX / 4);
        let down = (f64::from(across) / self.aspect()).round().clamp(1.0, f64::from(PIXELS_MAX)) as u32;
        let view = self.view.clone().with_pixels(across, down).ok()?;
        Some(sight(&view, course, &self.stand(flight)?))
    }

    /// Where the eye is on the course.
    pub fn stand(&self, flight: &OverCourse) -> Option<EyeStand> {
        let attitude =
            Attitude { left: flight.left, nose_up: -flight.nose_down, left_side_up: Degrees::new(0.0) };
        let axis = |own: PartVector| {
            let [x, y, z] = self.eye_frame().vector(own).coordinates();
            Direction::new(x, y, z).ok().map(|axis| attitude.turned(axis))
        };
        let axes = [axis(PartVector::X)?, axis(PartVector::Y)?, axis(PartVector::Z)?];
        let height = Course::first_gate_height();
        let place = CoursePoint::new(-flight.before_gate, Metres::new(0.0), height);
        EyeStand::new(place, axes).ok()
    }
}

/// How many pixels of a picture so many pixels wide the opening of the gate is wide, seen along the axis of the lens from so
/// far away; nothing where the lens does not see all of it.
pub(crate) fn gate_pixels(view: &View, across: u32, distance: Metres) -> Option<f64> {
    let half = (GATE_OPENING.get() / 2.0).atan2(distance.get()).to_degrees();
    let radius = view.lens().radius(Degrees::new(half)).ok()?;
    let width = view.area().width();
    (radius <= width * 0.5).then(|| 2.0 * (radius / width) * f64::from(across))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::prove;
    use crate::testing::set;
    use crate::testing_stack::sound_bay;

    fn looking(tilt: &str) -> LensView {
        let mut craft = sound_bay();
        set(&mut craft, "lens.projection", "equidistant");
        set(&mut craft, "lens.focal_length", "1.5 mm, data sheet");
        let camera = craft.places.iter().position(|place| place.id.as_str() == "cam").unwrap();
        let edit = craft::Edit::SetPlace {
            place: craft.places[camera].id.clone(),
            key: "pitch".to_owned(),
            text: Some(tilt.to_owned()),
        };
        let craft = craft::apply(&craft, &edit).unwrap();
        prove(&craft).views.remove(0).unwrap()
    }

    fn flight(before: f64, left: f64, down: f64) -> OverCourse {
        OverCourse {
            before_gate: Metres::new(before),
            left: Degrees::new(left),
            nose_down: Degrees::new(down),
        }
    }

    /// The height of the horizon above the middle of the picture, in degrees of an equidistant lens.
    fn horizon(view: &LensView, flight: &OverCourse) -> f64 {
        let seen = view.over(&Course::orchard(), flight, 1280).unwrap();
        let nearest = seen
            .horizon
            .iter()
            .flatten()
            .min_by(|a, b| (a.across - 640.0).abs().total_cmp(&(b.across - 640.0).abs()))
            .unwrap();
        let [width, height] = view.sensor_mm();
        let down = 1280.0 * height / width;
        ((down / 2.0 - nearest.down) * width / 1280.0 / 1.5).to_degrees()
    }

    #[test]
    fn the_nose_down_lifts_the_horizon_and_the_tilt_lowers_it() {
        let view = looking("20°");
        for (down, expected) in [(0.0, -20.0), (20.0, 0.0), (35.0, 15.0)] {
            let found = horizon(&view, &flight(10.0, 0.0, down));
            assert!((found - expected).abs() < 0.3, "{found} against {expected}");
        }
        assert!((horizon(&looking("5°"), &flight(10.0, 0.0, 0.0)) + 5.0).abs() < 0.3);
    }

    #[test]
    fn the_gate_is_as_wide_as_it_is_said_to_be() {
        let view = looking("0°");
        let stand = view.stand(&flight(8.0, 0.0, 0.0)).unwrap();
        let grid = view.view.clone().with_pixels(1920, 1080).unwrap();
        // The inner edges of the posts, in the plane of the gate and at the height of its middle.
        let [left, right] = [0.75, -0.75].map(|aside| {
            let edge = CoursePoint::new(Metres::new(0.0), Metres::new(aside), Course::first_gate_height());
            grid.place_of(stand.toward(edge).unwrap()).unwrap().across
        });
        let said = gate_pixels(&view.view, 1920, Metres::new(8.0)).unwrap();
        assert!((right - left - said).abs() < 1e-6, "{left} to {right} against {said}");
        assert!(gate_pixels(&view.view, 1920, Metres::new(16.0)).unwrap() < 0.51 * said);
    }

    #[test]
    fn turned_to_the_left_the_gate_goes_to_the_right() {
        let view = looking("0°");
        let course = Course::orchard();
        let middle = |left: f64| {
            let seen = view.over(&course, &flight(12.0, left, 0.0), 1280).unwrap();
            let at: Vec<f64> = seen
                .solids
                .iter()
                .filter(|solid| course.solids[solid.solid].name == "first gate")
                .flat_map(|solid| solid.outline.iter().flatten().map(|at| at.across))
                .collect();
            at.iter().sum::<f64>() / at.len() as f64
        };
        assert!(middle(30.0) > middle(0.0) + 100.0 && middle(-30.0) < middle(0.0) - 100.0);
    }
}
