//! How dense, thick and conducting is the air up there?
//!
//! Standard atmosphere below 11 km: T = 288.15 K − 6.5 K/km·H, p = 101 325 Pa·(T/288.15)^5.255 88, with geopotential height
//! H = r·Z/(r + Z). Pressure follows the height, temperature that of the day where it is known: ρ = p/(R·T). Viscosity by
//! Sutherland, conductivity by the formula of the same standard. Left out: moisture (damp air is up to 1 % lighter) and weather
//! (a deep low takes 3 % of the pressure).

use crate::measures::FREEZING;
use crate::{KilogramsPerCubicMetre, PascalSeconds, Pascals, PowerFault, WattsPerMetreKelvin};
use quantity::{Celsius, Grade, Metres, Source};
use std::f64::consts::LN_10;

/// Where the formulas and constants come from.
pub const AIR_SOURCE: Source = Source {
    title: "U.S. Standard Atmosphere 1976 (as ISO 2533 below 32 km)",
    place: "tables 1 to 4, equations 18, 23, 33a, 42, 51 and 53",
    grade: Grade::Memory,
};

const SEA_LEVEL_K: f64 = 288.15;
const SEA_LEVEL_PA: f64 = 101_325.0;
/// Fall of temperature in K/m.
const LAPSE: f64 = 6.5e-3;
/// R*/M in J/(kg·K): 8314.32/28.9644.
const GAS_CONSTANT: f64 = 8_314.32 / 28.964_4;
const GRAVITY_EXPONENT: f64 = quantity::STANDARD_GRAVITY / (GAS_CONSTANT * LAPSE);
/// Radius for geopotential height, in m.
const EARTH: f64 = 6_356_766.0;
/// Heat capacity of dry air at constant pressure: 3.5·R.
const HEAT_CAPACITY: f64 = 3.5 * GAS_CONSTANT;

/// The coldest and hottest air that is reckoned with.
pub const AIR_SPAN: [Celsius; 2] = [Celsius::new(-40.0), Celsius::new(60.0)];
const LOWEST: Metres = Metres::new(-500.0);
const HIGHEST: Metres = Metres::new(9_000.0);

/// Air at a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    kelvin: f64,
    pascals: f64,
}

impl Air {
    /// The standard air at a height above the sea.
    pub fn standard(height: Metres) -> Result<Self, PowerFault> {
        let z = PowerFault::within("height above the sea", height, LOWEST, HIGHEST, "check the unit")?.get();
        let kelvin = SEA_LEVEL_K - LAPSE * EARTH * z / (EARTH + z);
        Ok(Self { kelvin, pascals: SEA_LEVEL_PA * (kelvin / SEA_LEVEL_K).powf(GRAVITY_EXPONENT) })
    }

    /// The air at a height on a day of this temperature.
    pub fn at(height: Metres, temperature: Celsius) -> Result<Self, PowerFault> {
        let [least, most] = AIR_SPAN;
        let there =
            PowerFault::within("air temperature", temperature, least, most, "check the unit: °C is meant")?;
        Ok(Self { kelvin: there.get() + FREEZING, ..Self::standard(height)? })
    }

    /// The same pressure at another temperature, such as that of a film between a hot board and this air.
    pub(crate) fn at_kelvin(self, kelvin: f64) -> Self {
        Self { kelvin, ..self }
    }
    pub(crate) fn kelvin(self) -> f64 {
        self.kelvin
    }
    /// Its temperature.
    pub fn temperature(self) -> Celsius {
        Celsius::new(self.kelvin - FREEZING)
    }
    /// Its pressure.
    pub fn pressure(self) -> Pascals {
        Pascals::new(self.pascals)
    }
    /// Its density.
    pub fn density(self) -> KilogramsPerCubicMetre {
        KilogramsPerCubicMetre::new(self.pascals / (GAS_CONSTANT * self.kelvin))
    }
    /// Its dynamic viscosity.
    pub fn viscosity(self) -> PascalSeconds {
        PascalSeconds::new(1.458e-6 * self.kelvin * self.kelvin.sqrt() / (self.kelvin + 110.4))
    }
    /// Its thermal conductivity.
    pub fn conductivity(self) -> WattsPerMetreKelvin {
        let t = self.kelvin;
        WattsPerMetreKelvin::new(2.646_38e-3 * t * t.sqrt() / (t + 245.4 * (-12.0 * LN_10 / t).exp()))
    }
    /// Its kinematic viscosity in m²/s.
    pub(crate) fn kinematic(self) -> f64 {
        self.viscosity().get() / self.density().get()
    }
    /// Its conductivity, kinematic viscosity and Prandtl number, for those who ask for all of them a thousand times.
    pub(crate) fn film(self) -> [f64; 3] {
        let (viscosity, conductivity) = (self.viscosity().get(), self.conductivity().get());
        [conductivity, viscosity / self.density().get(), HEAT_CAPACITY * viscosity / conductivity]
    }
    /// Its Prandtl number.
    pub fn prandtl(self) -> f64 {
        HEAT_CAPACITY * self.viscosity().get() / self.conductivity().get()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn air(height: f64) -> Air {
        Air::standard(Metres::new(height)).unwrap_or_else(|f| unreachable!("{f}"))
    }

    #[test]
    fn the_air_at_sea_level_is_the_standard_one() {
        let sea = air(0.0);
        assert!((sea.density().get() - 1.2250).abs() < 5e-5);
        assert!((sea.viscosity().get() - 1.789_4e-5).abs() < 5e-10);
        assert!((sea.conductivity().get() - 2.532_6e-2).abs() < 5e-6);
        assert!((0.70..0.72).contains(&sea.prandtl()));
    }

    #[test]
    fn a_hot_day_is_thin() {
        let hot = Air::at(Metres::new(1500.0), Celsius::new(35.0)).map(|a| a.density().get());
        assert!(hot.is_ok_and(|density| (density - 0.956).abs() < 1e-3));
    }

    #[test]
    fn what_lies_beyond_is_told() {
        let told = Air::at(Metres::new(0.0), Celsius::new(300.0)).map_err(|f| f.to_string());
        let words = "air temperature 300 °C must lie between -40 °C and 60 °C; check the unit: °C is meant";
        assert_eq!(told, Err(words.to_owned()));
        assert!(Air::standard(Metres::new(f64::NAN)).is_err());
    }

    proptest! {
        #[test]
        fn air_thins_with_height_and_with_heat(z in -400.0..8_000.0f64, t in -30.0..50.0f64) {
            let at = |z: f64, t: f64| Air::at(Metres::new(z), Celsius::new(t)).map_or(f64::NAN, |a| a.density().get());
            prop_assert!(at(z + 10.0, t) < at(z, t) && at(z, t + 1.0) < at(z, t));
        }
    }
}
