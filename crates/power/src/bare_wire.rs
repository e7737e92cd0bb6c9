//! How warm does a wire get, for good and within a punch?
//!
//! For good: a level cylinder sheds by still air, Nu = {0.60 + 0.387·Ra^⅙ / [1 + (0.559/Pr)^(9/16)]^(8/27)}² (Churchill and Chu), or by moving
//! air (Churchill and Bernstein), whichever gives more, and by radiation, ε·σ·(T⁴ − T_air⁴); what it is fed is I²·R'(T). Within seconds nearly
//! all heat stays in the copper: dT/dt = I²·R'(T)/C', whose solution grows by exp(α·I²·R'₂₀·t/C'). Insulation is left out: on so thin a wire it
//! helps a little. Bundles are left out too, and shed less; so are cold ends, which help short leads.

use crate::cylinder;
use crate::measures::FREEZING;
use crate::wire::COEFFICIENT;
use crate::{PowerFault, Surroundings, Wire, copper_factor};
use quantity::STANDARD_GRAVITY as GRAVITY;
use quantity::{Amperes, Celsius, Grade, Millimetres, STEFAN_BOLTZMANN, Seconds, Source};
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
/// Where the heat that copper takes comes from.
pub const COPPER_HEAT_SOURCE: Source = Source {
    title: "Handbook values of copper",
    place: "8960 kg/m³ and 385 J/(kg·K) at 20 °C",
    grade: Grade::Memory,
};
/// The temperature a wire is let reach: [`INSULATION_SOURCE`].
pub const WIRE_LIMIT: Celsius = Celsius::new(105.0);

/// J/(m³·K): [`COPPER_HEAT_SOURCE`].
const COPPER_HEAT: f64 = 8_960.0 * 385.0;
const EMISSIVITY: f64 = 0.9;
/// Beyond this no insulation is left and nothing here holds, °C.
const HOTTEST: f64 = 1_000.0;

/// Nusselt number of a level cylinder in still air.
pub fn level_cylinder(rayleigh: f64, prandtl: f64) -> f64 {
    let shape = (1.0 + (0.559 / prandtl).powf(9.0 / 16.0)).powf(8.0 / 27.0);
    (0.60 + 0.387 * rayleigh.max(0.0).powf(1.0 / 6.0) / shape).powi(2)
}

/// Heat shed by a metre of bare level wire, in W/m; none where it is no warmer than the air or has no size.
pub fn shed_per_metre(diameter: Millimetres, wire: Celsius, about: Surroundings) -> Option<f64> {
    let d = diameter.get() * 1e-3;
    let (hot, cold) = (wire.get() + FREEZING, about.air.kelvin());
    if !(d > 0.0 && d.is_finite() && hot > cold && hot.is_finite()) {
        return None;
    }
    let film = about.air.at_kelvin(0.5 * (hot + cold));
    let (k, v, prandtl) = (film.conductivity().get(), film.kinematic(), film.prandtl());
    let rayleigh = GRAVITY * (hot - cold) / film.kelvin() * d.powi(3) * prandtl / (v * v);
    let still = level_cylinder(rayleigh, prandtl);
    let moving = if about.speed.get() > 0.0 { cylinder(about.speed.get() * d / v, prandtl) } else { 0.0 };
    let convected = still.max(moving) * k / d * (hot - cold);
    let radiated = EMISSIVITY * STEFAN_BOLTZMANN * (hot.powi(4) - cold.powi(4));
    Some(PI * d * (convected + radiated))
}

impl Wire {
    /// Diameter of its copper as one round rod.
    pub fn diameter(self) -> Millimetres {
        Millimetres::new((4.0 * self.area().get() / PI).sqrt())
    }

    /// Ω/m at a temperature.
    fn ohms(self, celsius: f64) -> f64 {
        1e-3 * self.per_metre().get() * copper_factor(Celsius::new(celsius))
    }

    /// The current that warms it to a temperature for good; none in air as warm as that.
    pub fn steady_current(self, at: Celsius, about: Surroundings) -> Option<Amperes> {
        let shed = shed_per_metre(self.diameter(), at, about)?;
        Some(Amperes::new((shed / self.ohms(at.get())).sqrt()))
    }

    /// The temperature that a current warms it to for good; none if it runs away.
    pub fn steady_temperature(
        self,
        current: Amperes,
        about: Surroundings,
    ) -> Result<Option<Celsius>, PowerFault> {
        let i = checked(current)?;
        let more_shed = |celsius: f64| {
            let shed = shed_per_metre(self.diameter(), Celsius::new(celsius), about).unwrap_or(0.0);
            shed >= i * i * self.ohms(celsius)
        };
        let (mut low, mut high) = (about.air.temperature().get(), HOTTEST);
        if i <= 0.0 {
            return Ok(Some(Celsius::new(low)));
        }
        if !more_shed(high) {
            return Ok(None);
        }
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            if more_shed(middle) { high = middle } else { low = middle }
        }
        Ok(Some(Celsius::new(high)))
    }

    /// Its temperature after a short time at a current, all heat kept.
    pub fn warmed(self, from: Celsius, current: Amperes, time: Seconds) -> Result<Celsius, PowerFault> {
        let i = checked(current)?;
        let [none, minute] = [0.0, 60.0].map(Seconds::new);
        let mend = "beyond that heat escapes: take the temperature it comes to for good";
        let t = PowerFault::within("time at the peak", time, none, minute, mend)?.get();
        let capacity = COPPER_HEAT * 1e-6 * self.area().get();
        let grown = (COEFFICIENT * i * i * self.ohms(20.0) * t / capacity).exp();
        let offset = 1.0 / COEFFICIENT - 20.0;
        Ok(Celsius::new((from.get() + offset) * grown - offset))
    }
}

fn checked(current: Amperes) -> Result<f64, PowerFault> {
    let [none, most] = [0.0, 1_000.0].map(Amperes::new);
    Ok(PowerFault::within("current", current, none, most, "check the unit")?.get())
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::{Air, Lay};
    use proptest::prelude::*;
    use quantity::{Metres, MetresPerSecond};

    fn about(celsius: f64, speed: f64) -> Surroundings {
        let air = Air::at(Metres::new(0.0), Celsius::new(celsius)).unwrap();
        Surroundings { air, speed: MetresPerSecond::new(speed) }
    }

    fn gauge(number: i32) -> Wire {
        Wire::gauge(number, Lay::Stranded).unwrap()
    }

    proptest! {
        #[test]
        fn a_thicker_and_a_hotter_wire_sheds_more(d in 0.1..4.0f64, t in 50.0..200.0f64, more in 0.01..1.0f64) {
            let shed = |d: f64, t: f64| shed_per_metre(Millimetres::new(d), Celsius::new(t), about(30.0, 0.0));
            prop_assert!(shed(d + more, t) > shed(d, t));
            prop_assert!(shed(d, t + 10.0 * more) > shed(d, t));
        }

        #[test]
        fn the_temperature_of_a_current_is_the_one_whose_current_it_is(g in 8..36i32, i in 0.1..20.0f64, w in 0.0..5.0f64) {
            let found = gauge(g).steady_temperature(Amperes::new(i), about(30.0, w)).unwrap();
            if let Some(at) = found.filter(|at| at.get() < 900.0 && at.get() > 30.5) {
                let back = gauge(g).steady_current(at, about(30.0, w)).unwrap().get();
                prop_assert!((back - i).abs() < 1e-3 * i, "{back} {i}");
            }
        }

        #[test]
        fn wind_and_thickness_cool(g in 8..34i32, i in 0.5..10.0f64, w in 0.5..10.0f64) {
            let at = |g: i32, w: f64| {
                gauge(g).steady_temperature(Amperes::new(i), about(30.0, w)).unwrap().map_or(f64::INFINITY, Celsius::get)
            };
            prop_assert!(at(g, w) <= at(g, 0.0) + 1e-6);
            prop_assert!(at(g, w) <= at(g + 2, w) + 1e-6);
        }
    }

    #[test]
    fn a_wire_no_warmer_than_the_air_sheds_nothing() {
        let at = |wire: f64| shed_per_metre(Millimetres::new(1.0), Celsius::new(wire), about(40.0, 0.0));
        assert_eq!((at(40.0), at(30.0), at(f64::NAN)), (None, None, None));
    }

    /// Onderdonk's current is the one that brings copper to its melting point: his constants and ours are not the same numbers.
    #[test]
    fn what_melts_a_wire_within_a_second_brings_it_to_where_copper_melts() {
        for number in [12, 18, 26] {
            let melts = gauge(number).fuses_within(Seconds::new(1.0), Celsius::new(40.0)).unwrap();
            let at = gauge(number).warmed(Celsius::new(40.0), melts, Seconds::new(1.0)).unwrap();
            assert!((950.0..1250.0).contains(&at.get()), "{number}: {at:?}");
        }
    }

    #[test]
    fn a_current_beyond_all_bounds_is_refused_and_one_that_runs_away_is_told() {
        assert!(gauge(30).steady_temperature(Amperes::new(f64::NAN), about(30.0, 0.0)).is_err());
        assert_eq!(gauge(36).steady_temperature(Amperes::new(90.0), about(30.0, 0.0)).unwrap(), None);
    }
}
