//! How much power does it take to hold up a craft on its discs of air?
//!
//! Momentum theory. Hover: v = √(T/(2ρA)), P = T·v. Climb at V: v = −V/2 + √((V/2)² + v_h²), P = T·(V + v). Forward, discs
//! tilted nose down by α: v = v_h²/√((V·cos α)² + (V·sin α + v)²), P = T·(V·sin α + v). That is the least any rotor needs; a
//! figure of merit turns it into shaft power. Left out: descent, where the flow is none of these, discs that breathe each
//! other's wash, and ducts, which are known by their figure of merit only.

use crate::{Air, PowerFault, SquareCentimetres};
use quantity::{Degrees, Grade, Measure, MetresPerSecond, Millimetres, Newtons, Ratio, Rpm, Source, Watts};
use std::f64::consts::PI;

/// Where the formulas come from.
pub const DISC_SOURCE: Source = Source {
    title: "Leishman, Principles of Helicopter Aerodynamics, 2nd edition",
    place: "sections 2.2 (hover, figure of merit), 2.13 (climb), 2.14 (forward flight, after Glauert)",
    grade: Grade::Memory,
};

/// All the discs of a craft, alike.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Discs {
    square_metres: f64,
}

/// What momentum theory asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct IdealPower {
    /// Speed of the air through the disc that the thrust itself induces.
    pub induced: MetresPerSecond,
    /// Power into the air.
    pub power: Watts,
}

const FASTEST: MetresPerSecond = MetresPerSecond::new(100.0);

impl Discs {
    /// As many propellers of a diameter.
    pub fn new(count: u32, diameter: Millimetres) -> Result<Self, PowerFault> {
        let [one, most] = [1.0, 16.0].map(quantity::Count::of);
        let n = PowerFault::within(
            "number of propellers",
            quantity::Count::of(f64::from(count)),
            one,
            most,
            "count them",
        )?;
        let [least, most] = [10.0, 1500.0].map(Millimetres::new);
        let mend = "check the unit: 5 inches are 127 mm";
        let d = PowerFault::within("propeller diameter", diameter, least, most, mend)?.get() * 1e-3;
        Ok(Self { square_metres: n.get() * PI * d * d / 4.0 })
    }

    /// All of them together.
    pub fn area(self) -> SquareCentimetres {
        SquareCentimetres::new(self.square_metres * 1e4)
    }

    /// Hover: all discs together give this thrust.
    pub fn hover(self, thrust: Newtons, air: Air) -> Result<IdealPower, PowerFault> {
        self.forward(thrust, MetresPerSecond::new(0.0), Degrees::new(0.0), air)
    }

    /// Straight up at a speed.
    pub fn climb(self, thrust: Newtons, speed: MetresPerSecond, air: Air) -> Result<IdealPower, PowerFault> {
        self.forward(thrust, speed, Degrees::new(90.0), air)
    }

    /// Through the air at a speed, the discs tilted into it; 90° is a climb.
    pub fn forward(
        self,
        thrust: Newtons,
        speed: MetresPerSecond,
        tilt: Degrees,
        air: Air,
    ) -> Result<IdealPower, PowerFault> {
        let t =
            PowerFault::within("thrust", thrust, Newtons::new(0.0), Newtons::new(2_000.0), "check the unit")?
                .get();
        let still = MetresPerSecond::new(0.0);
        let v = PowerFault::within("air speed", speed, still, FASTEST, "descent is left out")?.get();
        let [level, up] = [0.0, 90.0].map(Degrees::new);
        let tilt = PowerFault::within("tilt into the air", tilt, level, up, "positive is nose down")?;
        let (sine, cosine) = tilt.get().to_radians().sin_cos();
        let in_hover = t / (2.0 * air.density().get() * self.square_metres);
        let induced = induced(v * sine, v * cosine, in_hover);
        Ok(IdealPower { induced: MetresPerSecond::new(induced), power: Watts::new(t * (v * sine + induced)) })
    }
}

/// The root of v·√(across² + (through + v)²) = v_h². The left side grows with v: halving finds the one there is.
fn induced(through: f64, across: f64, hover_squared: f64) -> f64 {
    let (mut low, mut high) = (0.0, hover_squared.sqrt());
    for _ in 0..60 {
        let v = 0.5 * (low + high);
        if v * across.hypot(through + v) < hover_squared { low = v } else { high = v }
    }
    0.5 * (low + high)
}

/// Thrust and power of one propeller as measured, without units: C_T = T/(ρn²D⁴), C_P = P/(ρn³D⁵).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PropellerCoefficients {
    thrust: f64,
    power: f64,
}

impl PropellerCoefficients {
    /// Of two coefficients at rest.
    pub fn new(thrust: Ratio, power: Ratio) -> Result<Self, PowerFault> {
        let [least, most] = [1e-4, 1.0].map(Ratio::of);
        let thrust =
            PowerFault::within("thrust coefficient", thrust, least, most, "check n: turns a second")?;
        let power = PowerFault::within("power coefficient", power, least, most, "check n: turns a second")?;
        let found = Self { thrust: thrust.get(), power: power.get() };
        let [most, merit] = [1.0, found.figure_of_merit()].map(Ratio::of);
        PowerFault::within(
            "figure of merit from both coefficients",
            merit,
            Ratio::of(0.0),
            most,
            "no propeller is better than its ideal disc: measure both again",
        )?;
        Ok(found)
    }

    /// Ideal power over shaft power at rest: √(2/π)·C_T^1.5/C_P.
    pub fn figure_of_merit(self) -> f64 {
        (2.0 / PI).sqrt() * self.thrust.powf(1.5) / self.power
    }

    /// Thrust and shaft power at a rate.
    pub fn at(self, rate: Rpm, diameter: Millimetres, air: Air) -> (Newtons, Watts) {
        let (n, d, density) = (rate.get() / 60.0, diameter.get() * 1e-3, air.density().get());
        let force = density * n.powi(2) * d.powi(4);
        (Newtons::new(self.thrust * force), Watts::new(self.power * force * n * d))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use quantity::Metres;

    fn sea() -> Air {
        Air::standard(Metres::new(0.0)).unwrap_or_else(|f| unreachable!("{f}"))
    }
    fn discs(count: u32, mm: f64) -> Discs {
        Discs::new(count, Millimetres::new(mm)).unwrap_or_else(|f| unreachable!("{f}"))
    }

    #[test]
    fn no_thrust_costs_nothing() {
        let still = discs(4, 127.0).hover(Newtons::new(0.0), sea());
        assert_eq!(still.map(|ideal| ideal.power.get()), Ok(0.0));
    }

    #[test]
    fn coefficients_that_beat_the_ideal_disc_are_refused() {
        let told = PropellerCoefficients::new(Ratio::of(0.12), Ratio::of(0.02)).map_err(|f| f.to_string());
        assert!(told.is_err_and(|words| words.contains("no propeller is better than its ideal disc")));
    }

    proptest! {
        #[test]
        fn power_goes_with_thrust_to_the_power_of_one_and_a_half(t in 0.1..50.0f64, mm in 30.0..400.0f64) {
            let power = |k: f64| discs(4, mm).hover(Newtons::new(t * k), sea()).map_or(f64::NAN, |i| i.power.get());
            prop_assert!((power(4.0) / power(1.0) - 8.0).abs() < 1e-9);
        }

        #[test]
        fn a_climb_costs_more_and_level_flight_induces_less(t in 0.5..50.0f64, v in 0.5..40.0f64) {
            let d = discs(4, 127.0);
            let (thrust, v) = (Newtons::new(t), MetresPerSecond::new(v));
            let (hover, climb) = (d.hover(thrust, sea()), d.climb(thrust, v, sea()));
            let level = d.forward(thrust, v, Degrees::new(0.0), sea());
            let raw = |ideal: Result<IdealPower, PowerFault>| ideal.map_or([f64::NAN; 2], |i| [i.power.get(), i.induced.get()]);
            let [hover, climb, level] = [hover, climb, level].map(raw);
            prop_assert!(climb[0] > hover[0]);
            prop_assert!(level[1] < hover[1]);
        }

        #[test]
        fn no_number_comes_out_as_no_number(t in any::<f64>(), v in any::<f64>(), a in any::<f64>()) {
            if let Ok(ideal) = discs(4, 127.0).forward(Newtons::new(t), MetresPerSecond::new(v), Degrees::new(a), sea()) {
                prop_assert!(ideal.power.get().is_finite() && ideal.induced.get().is_finite());
            }
        }
    }
}
