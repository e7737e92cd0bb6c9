//! What pattern goes with the gain and the beamwidth of an aimed antenna?
//!
//! Power over the greatest, θ off the axis: in front p = (1−s)·cosⁿθ + s, behind p = s + (b−s)·cos²θ, so that it runs
//! smoothly from the side level s at 90° to the back level b = 1/(front to back). The exponent n follows from the
//! beamwidth h by p(h/2) = ½. Energy is kept: the mean of p over the sphere times the gain is the efficiency, at most
//! one (Balanis, section 2.6). The side level is the one that uses the power up; a gain that is too small even for a side level of −8 dB, or
//! for sides that take more than the beam is worth, means loss; one that is too great even without sides is refused.
//!
//! Holds for patches and helices within a few decibels off the beam; on the beam within the doubt of the two stated
//! figures. Left out: nulls between side lobes (they fill on a real craft) and beams that are not round.

use crate::RadioFault;
use quantity::{Db, Dbi, Degrees, Grade, Source};

/// Where gain, beamwidth and efficiency are tied together.
pub const BEAM_SOURCE: Source = Source {
    title: "Balanis, Antenna Theory",
    place: "section 2.6, directivity as the mean over the sphere; cosⁿ beams of section 2.4",
    grade: Grade::Memory,
};

/// The highest side level, as a share of power: higher ones mean that power is lost in the antenna.
const SIDES_MAX: f64 = 0.16;
/// The least share of what is radiated that goes into the beam itself: with more than that beside it nobody would call it a beam, so that a gain far under
/// 41253 over both widths in degrees (Kraus) means loss and not sides. Common practice: aimed antennas keep half and more in the beam.
const IN_BEAM_LEAST: f64 = 0.4;

/// A round beam about an axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beam {
    gain: Dbi,
    width: Degrees,
    exponent: f64,
    sides: f64,
    back: f64,
    efficiency: f64,
}

impl Beam {
    /// Of the gain on the axis, the width at half power, and the front to back ratio where one is known; without
    /// one the back is as the sides.
    pub fn new(gain: Dbi, width: Degrees, front_to_back: Option<Db>) -> Result<Self, RadioFault> {
        let mend = "take a pattern of the whole sphere for such an antenna";
        RadioFault::within("beamwidth", width, Degrees::new(5.0), Degrees::new(140.0), mend)?;
        RadioFault::within("gain", gain, Dbi::new(-20.0), Dbi::new(35.0), "check the sign and the unit")?;
        if let Some(ratio) = front_to_back {
            RadioFault::within("front to back ratio", ratio, Db::new(0.0), Db::new(80.0), "check the sign")?;
        }
        let backed = front_to_back.map(|ratio| 1.0 / ratio.ratio());
        let of_sides = |sides: f64| {
            let half = (width.get() / 2.0).to_radians().cos();
            let exponent = ((0.5 - sides) / (1.0 - sides)).ln() / half.ln();
            let back = backed.unwrap_or(sides);
            let shape = Self { gain, width, exponent, sides, back, efficiency: 1.0 };
            Self { efficiency: Db::new(gain.get()).ratio() * shape.mean(), ..shape }
        };
        let bare = of_sides(0.0);
        if bare.efficiency > 1.0 {
            // Rounded down, so that the value told is itself taken.
            let most = Dbi::new(((gain.get() - 10.0 * bare.efficiency.log10()) * 100.0).floor() / 100.0);
            let shape = format!("a beam of {width}");
            return Err(RadioFault::GainBeyondShape { gain, shape, most });
        }
        let (mut low, mut high) = (0.0, SIDES_MAX);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            let tried = of_sides(middle);
            if tried.efficiency <= 1.0 && tried.in_beam() >= IN_BEAM_LEAST {
                low = middle
            } else {
                high = middle
            }
        }
        Ok(of_sides(low))
    }

    /// The gain on the axis.
    pub const fn gain(&self) -> Dbi {
        self.gain
    }
    /// The width between the two half-power directions.
    pub const fn width(&self) -> Degrees {
        self.width
    }
    /// How far the sides lie below the axis.
    pub fn side_level(&self) -> Db {
        crate::loss_of(self.sides)
    }
    /// The share of the power that is radiated.
    pub const fn efficiency(&self) -> f64 {
        self.efficiency
    }

    /// Power over the greatest, by the cosine of the angle off the axis.
    pub(crate) fn share(&self, cosine: f64) -> f64 {
        if cosine > 0.0 {
            (1.0 - self.sides) * cosine.powf(self.exponent) + self.sides
        } else {
            self.sides + (self.back - self.sides) * cosine * cosine
        }
    }

    /// The share of what it radiates that goes into the beam itself.
    fn in_beam(&self) -> f64 {
        0.5 * (1.0 - self.sides) / (self.exponent + 1.0) / self.mean()
    }

    /// The mean of that over the sphere.
    fn mean(&self) -> f64 {
        let front = (1.0 - self.sides) / (self.exponent + 1.0) + self.sides;
        let behind = self.sides + (self.back - self.sides) / 3.0;
        0.5 * (front + behind)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn beam(gain: f64, width: f64, back: Option<f64>) -> Result<Beam, RadioFault> {
        Beam::new(Dbi::new(gain), Degrees::new(width), back.map(Db::new))
    }

    #[test]
    fn a_gain_too_great_for_the_beam_is_refused() {
        let told = beam(11.0, 70.0, None).map_err(|fault| fault.to_string());
        assert!(told.is_err_and(|words| words.starts_with(
            "a gain of 11 dBi does not go with a beam of 70°: without any loss it could be 9.5"
        )));
        assert!(beam(8.0, 4.0, None).is_err() && beam(f64::NAN, 70.0, None).is_err());
        assert!(beam(8.0, 70.0, Some(-3.0)).is_err());
    }

    #[test]
    fn a_gain_too_small_means_loss() {
        let weak = beam(0.0, 70.0, Some(15.0));
        assert!(weak.is_ok_and(|beam| beam.efficiency() < 0.5));
    }

    #[test]
    fn a_beam_far_narrower_than_its_gain_is_loss_and_no_sides() {
        // 41253/(5·5) is 32 dBi: 8 of them are left.
        let narrow = beam(8.0, 5.0, None);
        assert!(narrow.is_ok_and(|beam| beam.efficiency() < 0.03));
        // Usual patches and arrays keep what they had.
        for (gain, width) in [(8.0, 68.0), (9.0, 65.0), (11.0, 45.0), (13.0, 35.0)] {
            assert!(beam(gain, width, None).is_ok_and(|beam| beam.efficiency() > 0.9), "{gain} {width}");
        }
    }

    proptest! {
        #[test]
        fn half_power_lies_at_half_the_width_and_energy_is_kept(width in 20.0..100.0f64, less in 0.0..3.0f64) {
            let most = match beam(35.0, width, None) {
                Err(RadioFault::GainBeyondShape { most, .. }) => most.get(),
                _ => f64::NAN,
            };
            let beam = beam(most - less, width, Some(30.0).filter(|_| less > 1.0)).unwrap_or_else(|f| unreachable!("{f}"));
            prop_assert!((beam.share((width / 2.0).to_radians().cos()) - 0.5).abs() < 1e-9);
            prop_assert!((beam.share(1.0) - 1.0).abs() < 1e-12);
            prop_assert!(beam.efficiency() <= 1.0);
            // The mean again, by steps over the cosine.
            let steps = 20_000;
            let sum: f64 = (0..steps).map(|n| beam.share(-1.0 + (2 * n + 1) as f64 / steps as f64)).sum();
            let mean = sum / steps as f64 * 10f64.powf(beam.gain().get() / 10.0);
            prop_assert!((mean - beam.efficiency()).abs() < 1e-3, "{mean} {}", beam.efficiency());
        }
    }
}
