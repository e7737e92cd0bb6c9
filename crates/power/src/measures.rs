//! Which units does this crate need that no data sheet of a part is written in?
//!
//! Newtypes like those of `quantity`, for values that only pass between functions here: densities, pressures, areas, heat
//! capacities. [`Stated`] is any of them with its unit, as a fault tells it.

pub use quantity::Joules;
use quantity::Measure;
use std::fmt;

/// A number with the unit it is told in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stated {
    /// The number.
    pub value: f64,
    /// Its unit, as written; empty for plain numbers.
    pub unit: &'static str,
}

impl fmt::Display for Stated {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // What was worked out has more digits than anybody reads: five that count are told.
        let decimals = match self.value.abs() {
            size if size > 0.0 && size.is_finite() => (4.0 - size.log10().floor()).clamp(0.0, 12.0) as i32,
            _ => 0,
        };
        let steps = 10f64.powi(decimals);
        let told = (self.value * steps).round() / steps;
        (if told.is_finite() { told } else { self.value }).fmt(f)?;
        match self.unit {
            "" | "°" => f.write_str(self.unit),
            unit => write!(f, " {unit}"),
        }
    }
}

/// A value that can be told with its unit.
pub trait Told: Copy + PartialOrd {
    /// The number and its unit.
    fn stated(self) -> Stated;
}

impl<M: Measure> Told for M {
    fn stated(self) -> Stated {
        Stated { value: self.raw(), unit: M::UNIT.symbol() }
    }
}

macro_rules! measures {
    ($($(#[$doc:meta])* $name:ident, $symbol:literal;)*) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            /// The value of a number in this unit.
            pub const fn new(raw: f64) -> Self { Self(raw) }
            /// The number in this unit.
            pub const fn get(self) -> f64 { self.0 }
        }
        impl Told for $name {
            fn stated(self) -> Stated { Stated { value: self.0, unit: $symbol } }
        }
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result { self.stated().fmt(f) }
        }
    )*};
}

measures! {
    /// Density of air.
    KilogramsPerCubicMetre, "kg/m³";
    /// Pressure.
    Pascals, "Pa";
    /// Dynamic viscosity.
    PascalSeconds, "Pa·s";
    /// Thermal conductivity.
    WattsPerMetreKelvin, "W/(m·K)";
    /// Heat transfer coefficient.
    WattsPerSquareMetreKelvin, "W/(m²·K)";
    /// Conductance of heat.
    WattsPerKelvin, "W/K";
    /// Heat capacity of a thing.
    JoulesPerKelvin, "J/K";
    /// Cross-section of a conductor.
    SquareMillimetres, "mm²";
    /// Surface that gives off heat.
    SquareCentimetres, "cm²";
    /// Resistance of a metre of wire.
    MilliohmsPerMetre, "mΩ/m";
    /// Inductance of a filter's coil.
    Microhenries, "µH";
    /// Differences of temperature.
    Kelvins, "K";
    /// Electrical energy.
    WattHours, "Wh";
}

/// 0 °C in kelvin.
pub(crate) const FREEZING: f64 = 273.15;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_worked_out_is_told_in_five_digits_and_what_was_said_as_it_was() {
        let told = [0.02313181921598074, -5.0, 100_000.0, 123_456.7, 0.1, 4.0 / 3.0]
            .map(|value| Stated { value, unit: "V" }.to_string());
        assert_eq!(told, ["0.023132 V", "-5 V", "100000 V", "123457 V", "0.1 V", "1.3333 V"]);
    }
    use quantity::{Degrees, Volts};

    #[test]
    fn every_unit_is_told() {
        assert_eq!(Pascals::new(101_325.0).to_string(), "101325 Pa");
        assert_eq!(Volts::new(3.5).stated().to_string(), "3.5 V");
        assert_eq!(Degrees::new(30.0).stated().to_string(), "30°");
    }
}
