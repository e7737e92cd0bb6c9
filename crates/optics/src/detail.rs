//! How fine is the picture where, from how far is a small thing seen, and which focal length sees as wide as is wanted?
//!
//! With k pixels for each mm of the sensor, a degree at an angle θ off the axis takes, of pixels,
//! - along the radius k·dr/dθ·π/180;
//! - across it k·r/sin θ·π/180, which in the middle is the same.
//!
//! What must be n pixels wide to be seen is, with p pixels a degree and a size s, seen from d = s / (2·tan(n/(2·p))). To
//! see an angle α over a side s of the sensor, a projection r = f·g(θ) wants f = s / (2·g(α/2)).

use crate::{Lens, OpticsFault, Projection, View};
use quantity::{Degrees, Millimetres};

/// Over how many radians a measured map is looked at to find its slope.
const STEP: f64 = 1e-4;

/// Pixels a degree at some place of the picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Detail {
    /// Along the radius, from the middle outward.
    pub along: f64,
    /// Across the radius.
    pub across: f64,
}

impl Detail {
    /// The coarser of the two.
    pub fn least(self) -> f64 {
        self.along.min(self.across)
    }
}

/// Pixels a degree where the picture sees an angle off the axis.
pub fn detail_at(view: &View, angle: Degrees) -> Result<Detail, OpticsFault> {
    let radius = view.lens().radius(angle)?.get();
    let (theta, lens) = (angle.get().to_radians(), view.lens());
    let per_mm = f64::from(view.pixels().0) / view.area().width().get();
    let per_degree = per_mm * std::f64::consts::PI / 180.0;
    let focal = lens.focal_length().get();
    // Nearer to the axis than this the two are one.
    let across = if theta < 1e-6 { focal } else { radius / theta.sin() };
    Ok(Detail { along: per_degree * lens.slope_at(theta), across: per_degree * across })
}

/// From how far something is seen that must be so many pixels wide.
pub fn seen_from(size: Millimetres, pixels: f64, pixels_a_degree: f64) -> Millimetres {
    size * (0.5 / (0.5 * pixels / pixels_a_degree).to_radians().tan())
}

/// The focal length with which a projection sees an angle over a side of the sensor.
pub fn focal_length_for(
    projection: Projection,
    over: Millimetres,
    angle: Degrees,
) -> Result<Millimetres, OpticsFault> {
    let one = Millimetres::new(1.0);
    let radius = Lens::new(projection, one)?.radius(angle * 0.5)?;
    Ok(Millimetres::new(over.get() / (2.0 * radius.get())))
}

impl Lens {
    /// How fast the radius grows, in mm for each radian, at an angle in radians.
    fn slope_at(&self, angle: f64) -> f64 {
        let f = self.focal_length().get();
        match self.projection() {
            Some(Projection::Rectilinear) => f / angle.cos().powi(2),
            Some(Projection::Equidistant) => f,
            Some(Projection::Equisolid) => f * (angle / 2.0).cos(),
            Some(Projection::Stereographic) => f / (angle / 2.0).cos().powi(2),
            None => {
                let at = |angle: f64| self.radius_at(angle).map(|radius| (angle, radius));
                // A map ends somewhere: there it is looked at from within.
                let (low, high) = (at((angle - STEP).max(0.0)), at(angle + STEP).or_else(|| at(angle)));
                match (low, high) {
                    (Some((a, r)), Some((b, s))) if b > a => (s - r) / (b - a),
                    _ => f,
                }
            }
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::{Direction, SensorArea};
    use proptest::prelude::*;

    fn view(projection: Projection) -> View {
        let area = SensorArea::of_sides(Millimetres::new(3.84), Millimetres::new(2.16)).unwrap();
        View::new(Lens::new(projection, Millimetres::new(2.1)).unwrap(), area, 1920, 1080).unwrap()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(128))]

        #[test]
        fn detail_is_how_far_two_near_directions_fall_apart(which in 0..4usize, off in 0.5..55.0f64, round in 0.0..360.0f64) {
            let view = view(Projection::ALL[which]);
            let place = |off: f64, round: f64| {
                let (s, c) = off.to_radians().sin_cos();
                let (y, z) = round.to_radians().sin_cos();
                view.place_of(Direction::new(c, s * y, s * z).unwrap()).unwrap()
            };
            let apart = |a: crate::PicturePoint, b: crate::PicturePoint| (a.across - b.across).hypot(a.down - b.down);
            let step = 1e-4;
            let detail = detail_at(&view, Degrees::new(off)).unwrap();
            let along = apart(place(off + step, round), place(off - step, round)) / (2.0 * step);
            // A turn about the axis moves a direction by sin θ of it.
            let across = apart(place(off, round + step), place(off, round - step)) / (2.0 * step * off.to_radians().sin());
            prop_assert!((detail.along / along - 1.0).abs() < 1e-5, "{detail:?} against {along}");
            prop_assert!((detail.across / across - 1.0).abs() < 1e-5, "{detail:?} against {across}");
        }

        #[test]
        fn the_focal_length_found_sees_what_was_wanted(which in 0..4usize, wanted in 20.0..150.0f64) {
            let over = Millimetres::new(2.16);
            let found = focal_length_for(Projection::ALL[which], over, Degrees::new(wanted)).unwrap();
            let lens = Lens::new(Projection::ALL[which], found).unwrap();
            prop_assert!((2.0 * lens.angle(over * 0.5).unwrap().get() - wanted).abs() < 1e-9);
        }
    }

    #[test]
    fn in_the_middle_both_are_the_focal_length_and_beyond_the_projection_is_refused() {
        for projection in Projection::ALL {
            let detail = detail_at(&view(projection), Degrees::new(0.0)).unwrap();
            // 500 pixels a mm, 2.1 mm, a degree.
            let expected = 500.0 * 2.1 * std::f64::consts::PI / 180.0;
            assert!((detail.along - expected).abs() < 1e-9 && (detail.across - expected).abs() < 1e-9);
        }
        assert!(detail_at(&view(Projection::Rectilinear), Degrees::new(90.0)).is_err());
        assert!(
            focal_length_for(Projection::Rectilinear, Millimetres::new(2.0), Degrees::new(180.0)).is_err()
        );
    }
}
