//! A lens's measured map: from the angle off the axis to the distance from the middle, point by point.
//!
//! Between the points runs a piecewise cubic whose slope at each point is the weighted harmonic mean of the slopes
//! beside it (Fritsch & Butland, SIAM J. Sci. Stat. Comput. 5, 1984), so that the curve never turns back. The axis
//! itself is the point (0, 0); there the slope is that to the first point, since a lens treats both sides of its
//! axis alike. At the last point it is the slope of the parabola through the last three, nought at least. The way back is found by bisection on the same curve, to 1e-12 of the last angle.
//! Beyond the last point nothing is known, and nothing is shown.

use crate::OpticsFault;
use quantity::{Degrees, Millimetres};

/// The most points a map may have.
const POINTS_MAX: usize = 1_000;

/// A measured projection.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredMap {
    /// Angle in radians, radius in mm, slope in mm a radian; the axis first.
    points: Vec<[f64; 3]>,
}

impl MeasuredMap {
    /// A map of points off the axis, from the innermost to the outermost. A point on the axis itself is left out.
    pub fn new(points: &[(Degrees, Millimetres)]) -> Result<Self, OpticsFault> {
        let off_axis = |(angle, radius): &&(Degrees, Millimetres)| angle.get() != 0.0 || radius.get() != 0.0;
        let mut map = vec![[0.0; 3]];
        for (number, (angle, radius)) in points.iter().filter(off_axis).enumerate() {
            let before = map[map.len() - 1];
            let next = [angle.get().to_radians(), radius.get(), 0.0];
            let farther = next[0] > before[0] && next[1] > before[1];
            if !farther || angle.get() > 180.0 || !radius.get().is_finite() {
                return Err(OpticsFault::MapOrder { number: number + 1, angle: *angle, radius: *radius });
            }
            map.push(next);
        }
        if map.len() < 2 || map.len() > POINTS_MAX {
            return Err(OpticsFault::MapSize { count: map.len() - 1, limit: POINTS_MAX });
        }
        let step = |n: usize| (map[n + 1][0] - map[n][0], map[n + 1][1] - map[n][1]);
        let secant = |n: usize| step(n).1 / step(n).0;
        let last = map.len() - 1;
        let slopes: Vec<f64> = (0..=last)
            .map(|n| match n {
                0 => secant(0),
                n if n == last => {
                    let before = if last > 1 { n - 2 } else { n - 1 };
                    let (near, far) = (step(n - 1).0, step(before).0);
                    (((2.0 * near + far) * secant(n - 1) - near * secant(before)) / (near + far)).max(0.0)
                }
                n => {
                    let (before, after) = (step(n - 1).0, step(n).0);
                    let (w1, w2) = (2.0 * after + before, after + 2.0 * before);
                    (w1 + w2) / (w1 / secant(n - 1) + w2 / secant(n))
                }
            })
            .collect();
        for (point, slope) in map.iter_mut().zip(slopes) {
            point[2] = slope;
        }
        Ok(Self { points: map })
    }

    /// The slope on the axis, in mm a radian: the focal length.
    pub(crate) fn focal_length(&self) -> f64 {
        self.points[0][2]
    }

    /// The outermost angle in radians and its radius in mm.
    pub(crate) fn end(&self) -> (f64, f64) {
        let [angle, radius, _] = self.points[self.points.len() - 1];
        (angle, radius)
    }

    /// The radius at an angle within the map.
    pub(crate) fn radius(&self, angle: f64) -> f64 {
        let n = self.points.partition_point(|p| p[0] <= angle).clamp(1, self.points.len() - 1);
        self.between(n, angle)
    }

    /// The angle at a radius within the map.
    pub(crate) fn angle(&self, radius: f64) -> f64 {
        let n = self.points.partition_point(|p| p[1] <= radius).clamp(1, self.points.len() - 1);
        let (mut low, mut high) = (self.points[n - 1][0], self.points[n][0]);
        for _ in 0..48 {
            let middle = 0.5 * (low + high);
            if self.between(n, middle) < radius { low = middle } else { high = middle }
        }
        0.5 * (low + high)
    }

    /// The cubic between the points n − 1 and n.
    fn between(&self, n: usize, angle: f64) -> f64 {
        let ([a, ra, ma], [b, rb, mb]) = (self.points[n - 1], self.points[n]);
        let (h, t) = (b - a, (angle - a) / (b - a));
        let (t2, t3) = (t * t, t * t * t);
        ra * (2.0 * t3 - 3.0 * t2 + 1.0)
            + rb * (3.0 * t2 - 2.0 * t3)
            + h * (ma * (t3 - 2.0 * t2 + t) + mb * (t3 - t2))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn map(points: &[(f64, f64)]) -> Result<MeasuredMap, OpticsFault> {
        let points: Vec<_> = points.iter().map(|(a, r)| (Degrees::new(*a), Millimetres::new(*r))).collect();
        MeasuredMap::new(&points)
    }

    #[test]
    fn the_curve_goes_through_its_points_and_between_them_in_order() {
        let map = map(&[(20.0, 0.74), (40.0, 1.5), (60.0, 2.1), (80.0, 2.2)]).unwrap();
        for (angle, radius) in [(20.0f64, 0.74), (60.0, 2.1), (80.0, 2.2)] {
            assert!((map.radius(angle.to_radians()) - radius).abs() < 1e-12);
        }
        let walk: Vec<f64> = (0..=800).map(|n| map.radius((f64::from(n) / 10.0).to_radians())).collect();
        assert!(walk.is_sorted_by(|a, b| a < b));
    }

    #[test]
    fn a_map_that_turns_back_is_refused_by_number() {
        let fault = map(&[(20.0, 0.74), (40.0, 0.7)]).unwrap_err();
        assert_eq!(
            fault.to_string(),
            "map point 2 (40° at 0.7 mm) must lie farther out than the point before it, in angle and in radius; sort the points or measure it again"
        );
        assert!(matches!(map(&[(0.0, 0.0)]), Err(OpticsFault::MapSize { count: 0, .. })));
        assert!(map(&[(f64::NAN, 1.0)]).is_err() && map(&[(10.0, f64::INFINITY)]).is_err());
    }
}
