//! Constants of nature and of definition that more than one discipline computes with; each is typed in here and nowhere else.

use crate::{Grade, Source};

/// Where they come from.
pub const CONSTANTS_SOURCE: Source = Source {
    title: "3rd General Conference on Weights and Measures (1901); CODATA 2018",
    place: "standard gravity, exact by definition; Stefan-Boltzmann constant, exact since the kelvin rests on Boltzmann's",
    grade: Grade::Memory,
};
/// Standard gravity, m/s²: [`CONSTANTS_SOURCE`].
pub const STANDARD_GRAVITY: f64 = 9.806_65;
/// Stefan and Boltzmann's constant, W/(m²·K⁴): [`CONSTANTS_SOURCE`].
pub const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    /// σ = 2π⁵k⁴/(15h³c²), all three exact in the SI of 2019 (recalled).
    #[test]
    fn the_radiation_constant_follows_from_those_that_define_the_units() {
        let (k, h, c) = (1.380_649e-23, 6.626_070_15e-34, 299_792_458.0_f64);
        let worked = 2.0 * PI.powi(5) / 15.0 * f64::powi(k, 4) / (f64::powi(h, 3) * c * c);
        assert!((worked / STEFAN_BOLTZMANN - 1.0).abs() < 1e-9, "{worked}");
    }
}
