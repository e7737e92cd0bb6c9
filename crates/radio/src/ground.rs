//! What does the ground send back?
//!
//! Flat ground at height nought, of a material of the table (grass on soil counts as medium dry ground). The bounce at the
//! grazing angle ψ has the two coefficients of a half space at θ = 90° − ψ (`material`), times e^(−g²/2) with
//! g = 4π·σ·sin ψ/λ for a surface that is rough by σ (Ament 1953; what is scattered is left to fading). With r the direct
//! and r' the bounced way the factor on free space is 1 + R·(r/r')·e^(−jk(r' − r)), for each polarisation; beyond 4·h1·h2/λ it falls
//! with the square of distance. Left out: slopes, tall grass as a volume, the surface wave (below 0.1 dB at a metre and 5.8 GHz).

use crate::material::{Surface, half_space};
use crate::{Carrier, Complex, Material, RadioFault};
use quantity::{Degrees, Grade, Metres, Source};

/// Where the two-ray sum comes from.
pub const GROUND_SOURCE: Source = Source {
    title: "Rappaport, Wireless Communications; Ament, Proc. IRE 41 (1953) for rough ground",
    place: "section 4.6, ground reflection (two-ray) model",
    grade: Grade::Memory,
};

const HEIGHT_MAX: Metres = Metres::new(1e4);

/// Flat ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ground {
    material: Material,
    roughness: f64,
}

/// Ground on one carrier, asked by the thousand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct GroundAt {
    permittivity: Complex,
    rough: f64,
}

impl GroundAt {
    /// Its two coefficients by the sine of the grazing angle.
    pub(crate) fn reflection(&self, sine: f64) -> Surface {
        let smooth = half_space(self.permittivity, sine);
        let g = self.rough * sine;
        let left = (-0.5 * g * g).exp();
        Surface { across: smooth.across * left, within: smooth.within * left }
    }
}

/// Usual roughness by surface: common practice.
pub const ROUGHNESS: [(&str, Metres); 4] = [
    ("asphalt", Metres::new(0.002)),
    ("mown grass", Metres::new(0.01)),
    ("meadow", Metres::new(0.03)),
    ("ploughed field", Metres::new(0.08)),
];

impl Ground {
    /// Of a material and the standard deviation of its height.
    pub fn new(material: Material, roughness: Metres) -> Result<Self, RadioFault> {
        let most = Metres::new(1.0);
        RadioFault::within(
            "roughness of the ground",
            roughness,
            Metres::new(0.0),
            most,
            "rougher ground is no plane",
        )?;
        Ok(Self { material, roughness: roughness.get() })
    }

    /// What else it may be: drier and wetter by a row of the table, smoother and rougher by half of what is stated.
    pub fn others(&self) -> Vec<Ground> {
        let moist = self.material.others().into_iter().map(|material| Self { material, ..*self });
        let rough = [0.5, 1.5].map(|times| Self { roughness: (self.roughness * times).min(1.0), ..*self });
        moist.chain(rough).collect()
    }

    /// What it is made of.
    pub const fn material(&self) -> Material {
        self.material
    }

    /// Its two coefficients at a grazing angle: across is level, within is upright.
    pub fn reflection(&self, grazing: Degrees, carrier: Carrier) -> Result<Surface, RadioFault> {
        let (least, most) = (Degrees::new(0.0), Degrees::new(90.0));
        RadioFault::within("grazing angle", grazing, least, most, "count it up from the ground")?;
        self.at_sine(grazing.get().to_radians().sin(), carrier)
    }

    pub(crate) fn at_sine(&self, sine: f64, carrier: Carrier) -> Result<Surface, RadioFault> {
        Ok(self.at(carrier)?.reflection(sine))
    }

    /// Made ready for a carrier.
    pub(crate) fn at(&self, carrier: Carrier) -> Result<GroundAt, RadioFault> {
        let permittivity = self.material.permittivity(carrier)?;
        Ok(GroundAt { permittivity, rough: 2.0 * carrier.wave_number() * self.roughness })
    }

    /// The factor on free space between two antennas that look alike everywhere, level and upright, for two heights
    /// and the distance along the ground.
    pub fn two_ray(
        &self,
        heights: [Metres; 2],
        distance: Metres,
        carrier: Carrier,
    ) -> Result<Surface, RadioFault> {
        let [one, two] = checked(heights)?;
        RadioFault::within(
            "distance",
            distance,
            Metres::new(0.01),
            Metres::new(1e6),
            "move the two antennas apart",
        )?;
        let (direct, bounced) = (distance.get().hypot(one - two), distance.get().hypot(one + two));
        let surface = self.at_sine((one + two) / bounced, carrier)?;
        // The difference of two long ways, without losing its digits.
        let longer = 4.0 * one * two / (direct + bounced);
        let late = Complex::phase(-carrier.wave_number() * longer) * (direct / bounced);
        Ok(Surface {
            across: Complex::ONE + surface.across * late,
            within: Complex::ONE + surface.within * late,
        })
    }
}

fn checked(heights: [Metres; 2]) -> Result<[f64; 2], RadioFault> {
    for height in heights {
        RadioFault::within(
            "height above the ground",
            height,
            Metres::new(0.0),
            HEIGHT_MAX,
            "it must stand above the ground",
        )?;
    }
    Ok(heights.map(Metres::get))
}

/// The distance beyond which there are no more lobes and the ground takes the square of the distance: 4·h1·h2/λ.
pub fn break_distance(heights: [Metres; 2], carrier: Carrier) -> Result<Metres, RadioFault> {
    let [one, two] = checked(heights)?;
    Ok(Metres::new(4.0 * one * two / carrier.lambda()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Hand, Jones, Polarisation};
    use proptest::prelude::*;
    use quantity::Megahertz;

    fn carrier() -> Carrier {
        Carrier::new(Megahertz::new(5800.0)).unwrap_or_else(|f| unreachable!("{f}"))
    }
    fn soil(roughness: f64) -> Ground {
        Ground::new(Material::ALL[11], Metres::new(roughness)).unwrap_or_else(|f| unreachable!("{f}"))
    }
    fn bounced(grazing: f64) -> Jones {
        let surface =
            soil(0.0).reflection(Degrees::new(grazing), carrier()).unwrap_or_else(|f| unreachable!("{f}"));
        Polarisation::circular(Hand::Right).jones().reflected(surface.across, surface.within)
    }

    #[test]
    fn a_circular_wave_keeps_its_hand_below_brewsters_angle_and_turns_above() {
        let hand = |grazing| bounced(grazing).polarisation().and_then(Polarisation::hand);
        assert_eq!(hand(5.0), Some(Hand::Right));
        assert_eq!(hand(25.0), Some(Hand::Left));
        assert_eq!(hand(90.0), Some(Hand::Left));
    }

    #[test]
    fn beyond_the_break_the_square_of_the_distance_is_taken() {
        let at = |d: f64| {
            let factor = soil(0.0).two_ray([Metres::new(1.0); 2], Metres::new(d), carrier());
            factor.map_or(f64::NAN, |f| 20.0 * f.across.size().log10())
        };
        assert!((at(4000.0) - at(8000.0) - 6.02).abs() < 0.1);
    }

    #[test]
    fn an_antenna_in_the_ground_is_refused() {
        let told = soil(0.0).two_ray([Metres::new(-1.0), Metres::new(2.0)], Metres::new(50.0), carrier());
        let words =
            "height above the ground -1 m must lie between 0 m and 10000 m; it must stand above the ground";
        assert_eq!(told.map_err(|fault| fault.to_string()), Err(words.to_owned()));
        assert!(Ground::new(Material::ALL[0], Metres::new(f64::NAN)).is_err());
    }

    proptest! {
        #[test]
        fn rough_ground_sends_back_less(grazing in 1.0..89.0f64, roughness in 0.002..0.1f64) {
            let size = |roughness| soil(roughness).reflection(Degrees::new(grazing), carrier()).map_or(f64::NAN, |s| s.across.size());
            prop_assert!(size(roughness) < size(0.0));
        }

        #[test]
        fn the_factor_lies_between_nothing_and_twice(one in 0.0..30.0f64, two in 0.0..30.0f64, d in 1.0..5000.0f64) {
            let factor = soil(0.0).two_ray([Metres::new(one), Metres::new(two)], Metres::new(d), carrier());
            let swapped = soil(0.0).two_ray([Metres::new(two), Metres::new(one)], Metres::new(d), carrier());
            let size = |f: &Result<Surface, RadioFault>| f.as_ref().map_or(f64::NAN, |f| f.within.size());
            prop_assert!(size(&factor) <= 2.0 && (size(&factor) - size(&swapped)).abs() < 1e-9);
        }
    }
}
