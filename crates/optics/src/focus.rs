//! What is sharp, how blurred is the rest, and what does a turn of the lens in its thread do?
//!
//! Thin lens of focal length f and f-number N, circle of confusion c, set to a distance s from the lens:
//! - image distance f·s/(s − f), so from far away to s the lens moves out by f²/(s − f);
//! - hyperfocal distance H = f²/(N·c) + f: set there, all from H/2 on is sharp;
//! - near limit s·(H − f)/(H + s − 2f), far limit s·(H − f)/(H − s), none from s = H on;
//! - something at d draws a disc b = f²/N · |d − s|/(d·(s − f)) across; from far away f²/(N·(s − f)).
//!
//! A turn by an angle φ in a thread of pitch P moves the lens by P·φ/360°. A lens turned out beyond the place of some
//! distance is set nearer; one turned in beyond the place of far away is sharp nowhere.
//!
//! Left out: field curvature, and what a wide lens does off its axis.

use crate::OpticsFault;
use crate::fault::within;
use quantity::{Degrees, Grade, Micrometres, Millimetres, Ratio, Source};

/// Where depth of field comes from.
pub const FOCUS_SOURCE: Source = Source {
    title: "Ray, Applied Photographic Optics",
    place: "depth of field, hyperfocal distance, thin lens",
    grade: Grade::Memory,
};

/// The farthest distance that is told apart from far away.
const FAR_MM: f64 = 1e9;

/// A lens as focus sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Objective {
    focal_length: f64,
    f_number: f64,
}

/// Where a lens is sharp.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FocusedAt {
    /// At a distance from the lens.
    Distance(Millimetres),
    /// Far away.
    Infinity,
    /// Nowhere: it stands nearer to the sensor than far away wants.
    BeyondInfinity,
}

/// From where to where a picture is sharp enough.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SharpRange {
    /// The nearest.
    pub near: Millimetres,
    /// The farthest; `None` where all beyond is sharp enough.
    pub far: Option<Millimetres>,
}

impl Objective {
    /// A lens of a focal length and an f-number.
    pub fn new(focal_length: Millimetres, f_number: Ratio) -> Result<Self, OpticsFault> {
        Ok(Self {
            focal_length: within("focal length", focal_length, (0.01, 1_000.0))?,
            f_number: within("f-number", f_number, (0.5, 64.0))?,
        })
    }

    /// A distance beyond the focal length, in mm.
    fn beyond(&self, distance: Millimetres) -> Result<f64, OpticsFault> {
        let s = within("distance", distance, (0.0, FAR_MM))?;
        if s > self.focal_length {
            return Ok(s);
        }
        let focal_length = Millimetres::new(self.focal_length);
        Err(OpticsFault::WithinFocalLength { distance, focal_length })
    }

    /// How far the lens stands out of its place for far away, set to a distance.
    pub fn extension(&self, set_to: Millimetres) -> Result<Millimetres, OpticsFault> {
        let f = self.focal_length;
        Ok(Millimetres::new(f * f / (self.beyond(set_to)? - f)))
    }

    /// Where it is sharp when it stands so far out.
    pub fn focused_at(&self, extension: Millimetres) -> Result<FocusedAt, OpticsFault> {
        let out = within("extension", extension, (-1_000.0, 1_000.0))?;
        let f = self.focal_length;
        Ok(match out {
            out if out < 0.0 => FocusedAt::BeyondInfinity,
            out if out * (FAR_MM - f) <= f * f => FocusedAt::Infinity,
            out => FocusedAt::Distance(Millimetres::new(f + f * f / out)),
        })
    }

    /// The hyperfocal distance for a circle of confusion.
    pub fn hyperfocal(&self, circle: Micrometres) -> Result<Millimetres, OpticsFault> {
        let c = within("circle of confusion", circle, (0.01, 10_000.0))? / 1000.0;
        let f = self.focal_length;
        Ok(Millimetres::new(f * f / (self.f_number * c) + f))
    }

    /// From where to where it is sharp to a circle of confusion, set to a distance.
    pub fn sharp_range(&self, set_to: Millimetres, circle: Micrometres) -> Result<SharpRange, OpticsFault> {
        let (s, f) = (self.beyond(set_to)?, self.focal_length);
        let hyperfocal = self.hyperfocal(circle)?.get();
        let far = (s < hyperfocal).then(|| s * (hyperfocal - f) / (hyperfocal - s));
        Ok(SharpRange {
            near: Millimetres::new(s * (hyperfocal - f) / (hyperfocal + s - 2.0 * f)),
            far: far.map(Millimetres::new),
        })
    }

    /// How wide a point at a distance is drawn, the lens set to another; `None` is far away.
    pub fn blur(&self, set_to: Millimetres, at: Option<Millimetres>) -> Result<Micrometres, OpticsFault> {
        let (s, f) = (self.beyond(set_to)?, self.focal_length);
        let off = match at {
            None => 1.0,
            Some(at) => {
                let d = self.beyond(at)?;
                (d - s).abs() / d
            }
        };
        Ok(Micrometres::new(1000.0 * f * f / self.f_number * off / (s - f)))
    }

    /// How wide a point is drawn when the lens stands so far from where it would be sharp: the cone of light is one wide
    /// for N long.
    pub fn blur_of_shift(&self, shift: Millimetres) -> Result<Micrometres, OpticsFault> {
        Ok(Micrometres::new(1000.0 * within("shift", shift, (-1_000.0, 1_000.0))?.abs() / self.f_number))
    }
}

/// How far a turn in a thread moves the lens.
pub(crate) fn shift_of_turn(turn: Degrees, pitch: Millimetres) -> Result<Millimetres, OpticsFault> {
    let pitch = within("thread pitch", pitch, (0.05, 10.0))?;
    Ok(Millimetres::new(pitch * within("turn", turn, (-36_000.0, 36_000.0))? / 360.0))
}

/// Which turn in a thread moves the lens so far.
pub(crate) fn turn_of_shift(shift: Millimetres, pitch: Millimetres) -> Result<Degrees, OpticsFault> {
    let pitch = within("thread pitch", pitch, (0.05, 10.0))?;
    Ok(Degrees::new(360.0 * within("shift", shift, (-1_000.0, 1_000.0))? / pitch))
}

impl Objective {
    /// How far it must be turned in a thread to go from far away to a distance.
    pub fn turn_to(&self, set_to: Millimetres, pitch: Millimetres) -> Result<Degrees, OpticsFault> {
        turn_of_shift(self.extension(set_to)?, pitch)
    }

    /// Where it is sharp after it is turned further out in its thread; inward is negative.
    pub fn after_turn(
        &self,
        set_to: Millimetres,
        turn: Degrees,
        pitch: Millimetres,
    ) -> Result<FocusedAt, OpticsFault> {
        self.focused_at(self.extension(set_to)? + shift_of_turn(turn, pitch)?)
    }

    /// How wide a point is drawn that was sharp before a turn.
    pub fn blur_of_turn(&self, turn: Degrees, pitch: Millimetres) -> Result<Micrometres, OpticsFault> {
        self.blur_of_shift(shift_of_turn(turn, pitch)?)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn mm(value: f64) -> Millimetres {
        Millimetres::new(value)
    }

    fn objective(f: f64, n: f64) -> Objective {
        Objective::new(mm(f), Ratio::new(n)).unwrap()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(128))]

        #[test]
        fn at_both_limits_a_point_is_drawn_as_wide_as_the_circle(f in 1.0..8.0f64, n in 1.0..5.0f64, share in 0.05..0.95f64, c in 1.0..10.0f64) {
            let lens = objective(f, n);
            let circle = Micrometres::new(c);
            let set_to = lens.hyperfocal(circle).unwrap() * share;
            prop_assume!(set_to.get() > 1.5 * f);
            let range = lens.sharp_range(set_to, circle).unwrap();
            for limit in [range.near, range.far.unwrap()] {
                let blur = lens.blur(set_to, Some(limit)).unwrap();
                prop_assert!((blur.get() / c - 1.0).abs() < 1e-6, "{blur} at {limit}");
            }
            prop_assert!(range.near < set_to && set_to < range.far.unwrap());
        }

        #[test]
        fn set_to_the_hyperfocal_distance_all_from_its_half_on_is_sharp(f in 1.0..8.0f64, n in 1.0..5.0f64, c in 1.0..10.0f64) {
            let lens = objective(f, n);
            let hyperfocal = lens.hyperfocal(Micrometres::new(c)).unwrap();
            let range = lens.sharp_range(hyperfocal, Micrometres::new(c)).unwrap();
            prop_assert!((range.near.get() - hyperfocal.get() / 2.0).abs() < 1e-6 * hyperfocal.get() && range.far.is_none());
            prop_assert!((lens.blur(hyperfocal, None).unwrap().get() / c - 1.0).abs() < 1e-9);
        }

        #[test]
        fn turning_out_and_in_again_comes_back(f in 1.0..8.0f64, s in 100.0..5000.0f64, turn in 0.1..90.0f64) {
            let lens = objective(f, 2.0);
            let pitch = mm(0.5);
            let FocusedAt::Distance(nearer) = lens.after_turn(mm(s), Degrees::new(turn), pitch).unwrap() else {
                return Err(TestCaseError::fail("turned out and sharp nowhere"));
            };
            prop_assert!(nearer.get() < s);
            let FocusedAt::Distance(back) = lens.after_turn(nearer, Degrees::new(-turn), pitch).unwrap() else {
                return Err(TestCaseError::fail("turned back and sharp nowhere"));
            };
            prop_assert!((back.get() / s - 1.0).abs() < 1e-6);
            // Two ways to the same blur, but for the lens standing a little farther off: f² against f·(f + extension).
            let (by_turn, by_distance) = (lens.blur_of_turn(Degrees::new(turn), pitch).unwrap(), lens.blur(nearer, Some(mm(s))).unwrap());
            let longer = 1.0 + lens.extension(mm(s)).unwrap().get() / f;
            prop_assert!((by_distance.get() * longer / by_turn.get() - 1.0).abs() < 1e-9);
        }
    }

    #[test]
    fn turned_in_past_far_away_it_is_sharp_nowhere() {
        let lens = objective(2.1, 2.0);
        let after = |turn: f64| lens.after_turn(mm(3000.0), Degrees::new(turn), mm(0.5)).unwrap();
        assert_eq!(after(-10.0), FocusedAt::BeyondInfinity);
        assert_eq!(lens.focused_at(mm(0.0)).unwrap(), FocusedAt::Infinity);
    }

    #[test]
    fn what_cannot_be_is_refused_with_its_limit() {
        let told = objective(2.1, 2.0).extension(mm(2.0)).unwrap_err().to_string();
        assert_eq!(told, "2 mm lies within the focal length of 2.1 mm: nothing is sharp so near");
        let told = Objective::new(mm(f64::NAN), Ratio::new(2.0)).unwrap_err().to_string();
        assert_eq!(
            told,
            "focal length NaN mm must lie between 0.01 mm and 1000 mm; check the sign and the unit"
        );
        assert!(objective(2.1, 2.0).blur(mm(500.0), Some(mm(f64::INFINITY))).is_err());
        assert!(objective(2.1, 2.0).turn_to(mm(500.0), mm(0.0)).is_err());
    }
}
