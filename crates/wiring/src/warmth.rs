//! How much heat does a thin wire shed in still air?
//!
//! A level cylinder sheds by natural convection, Nu = {0.60 + 0.387·Ra^⅙ / [1 + (0.559/Pr)^(9/16)]^(8/27)}² (Churchill and
//! Chu), Ra = g·β·(T − T_air)·d³/(ν·α), and by radiation, ε·σ·(T⁴ − T_air⁴). Air at the mean of both temperatures: conductivity,
//! viscosity and diffusivity go with temperature by the powers fitted below to the table of a handbook. Continuous current in
//! a wire is then a question of heat, I = √(q'/R'), with R' of the copper at that temperature. Insulation is left out: on so
//! thin a wire it helps a little. Bundles are left out too, and shed less.

use quantity::{Celsius, Grade, Millimetres, Source};
use std::f64::consts::PI;

/// Where convection comes from.
pub const SHED_SOURCE: Source = Source {
    title: "Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975)",
    place: "horizontal cylinder, laminar and turbulent; as implemented in a heat-transfer library",
    grade: Grade::ReferenceProgram,
};
/// Where the limit of the insulation comes from.
pub const INSULATION_SOURCE: Source = Source {
    title: "Limits of wire insulation",
    place: "PVC 105 °C, silicone 200 °C; solder softens in between, so that 105 °C is kept for both",
    grade: Grade::Memory,
};
/// The temperature a wire is let reach: [`INSULATION_SOURCE`].
pub const WIRE_LIMIT: Celsius = Celsius::new(105.0);

const STEFAN_BOLTZMANN: f64 = 5.670_374e-8;
const EMISSIVITY: f64 = 0.9;
const KELVIN: f64 = 273.15;
const GRAVITY: f64 = 9.806_65;
const PRANDTL: f64 = 0.707;

/// Nusselt number of a level cylinder in still air.
pub fn level_cylinder(rayleigh: f64, prandtl: f64) -> f64 {
    let shape = (1.0 + (0.559 / prandtl).powf(9.0 / 16.0)).powf(8.0 / 27.0);
    (0.60 + 0.387 * rayleigh.max(0.0).powf(1.0 / 6.0) / shape).powi(2)
}

/// Conductivity (W/(m·K)) and kinematic viscosity (m²/s) of air at sea level: 0.0263 and 15.89e-6 at 300 K, 0.0338 and
/// 26.41e-6 at 400 K (Incropera, table A.4; from memory), powers between.
fn air(kelvin: f64) -> (f64, f64) {
    let t = kelvin / 300.0;
    (0.0263 * t.powf(0.872), 15.89e-6 * t.powf(1.766))
}

/// Heat shed by a metre of bare level wire, in watts; `None` where it is no warmer than the air or has no size.
pub fn shed_per_metre(diameter: Millimetres, wire: Celsius, still_air: Celsius) -> Option<f64> {
    let d = diameter.get() * 1e-3;
    let (hot, cold) = (wire.get() + KELVIN, still_air.get() + KELVIN);
    if !(d > 0.0 && d.is_finite() && hot > cold && cold > 0.0 && hot.is_finite()) {
        return None;
    }
    let film = 0.5 * (hot + cold);
    let (k, nu) = air(film);
    let rayleigh = GRAVITY * (hot - cold) / film * d.powi(3) * PRANDTL / (nu * nu);
    let convected = level_cylinder(rayleigh, PRANDTL) * k / d * (hot - cold);
    let radiated = EMISSIVITY * STEFAN_BOLTZMANN * (hot.powi(4) - cold.powi(4));
    Some(PI * d * (convected + radiated))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_thicker_and_a_hotter_wire_sheds_more(d in 0.1..4.0f64, t in 50.0..200.0f64, more in 0.01..1.0f64) {
            let shed = |d: f64, t: f64| shed_per_metre(Millimetres::new(d), Celsius::new(t), Celsius::new(30.0));
            prop_assert!(shed(d + more, t) > shed(d, t));
            prop_assert!(shed(d, t + 10.0 * more) > shed(d, t));
        }
    }

    #[test]
    fn a_wire_no_warmer_than_the_air_sheds_nothing() {
        let at = |wire: f64| shed_per_metre(Millimetres::new(1.0), Celsius::new(wire), Celsius::new(40.0));
        assert_eq!((at(40.0), at(30.0), at(f64::NAN)), (None, None, None));
    }
}
