//! Units: which exist, how they are written, and a newtype for each.
//!
//! A [`Unit`] is the tag a stored fact carries; a newtype such as [`Millimetres`] is what crosses a
//! public function. Each newtype stores its number in the unit it is named after, so nothing is
//! converted behind the reader's back. Other spellings of a unit (`in`, `mm2`, `Ohm`) are accepted
//! where text is read and are converted there, once.
//!
//! Inch: exactly 25.4 mm (international yard and pound agreement of 1959; ISO 80000-3).

use serde::{Deserialize, Serialize};
use std::fmt;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// A type that carries one unit.
pub trait Measure: Copy + PartialEq + PartialOrd + fmt::Debug {
    /// The unit in which [`raw`](Measure::raw) is given.
    const UNIT: Unit;
    /// The bare number, in [`UNIT`](Measure::UNIT).
    fn raw(self) -> f64;
    /// The value of a bare number in [`UNIT`](Measure::UNIT).
    fn of(raw: f64) -> Self;
}

/// A value with a unit known only at run time, as facts and figures hold it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Quantity {
    /// The number, in `unit`.
    pub value: f64,
    /// The unit.
    pub unit: Unit,
}

impl Quantity {
    /// The quantity of a typed measure.
    pub fn of<M: Measure>(measure: M) -> Self {
        Self { value: measure.raw(), unit: M::UNIT }
    }

    /// The typed measure, if the units agree.
    pub fn to<M: Measure>(self) -> Option<M> {
        (self.unit == M::UNIT).then(|| M::of(self.value))
    }
}

impl<M: Measure> From<M> for Quantity {
    fn from(measure: M) -> Self {
        Quantity::of(measure)
    }
}

macro_rules! units {
    ($($(#[$doc:meta])* $name:ident, $symbol:literal, [$($also:literal => $factor:expr),*];)*) => {
        /// Which unit a number is in.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
        #[serde(rename_all = "snake_case")]
        pub enum Unit {
            $($(#[$doc])* $name,)*
            /// Decibels: a ratio of two powers.
            Db,
            /// Decibels over one milliwatt: a power level.
            Dbm,
            /// Decibels over an isotropic antenna: a gain.
            Dbi,
        }

        impl Unit {
            /// Every unit there is, in the order of the manual.
            pub const ALL: &[Unit] = &[$(Unit::$name,)* Unit::Db, Unit::Dbm, Unit::Dbi];

            /// How the unit is written; empty for plain numbers.
            pub const fn symbol(self) -> &'static str {
                match self {
                    $(Unit::$name => $symbol,)*
                    Unit::Db => "dB",
                    Unit::Dbm => "dBm",
                    Unit::Dbi => "dBi",
                }
            }

            /// Other accepted spellings, each with the factor that takes a number to this unit.
            pub const fn spellings(self) -> &'static [(&'static str, f64)] {
                match self {
                    $(Unit::$name => &[$(($also, $factor)),*],)*
                    Unit::Db | Unit::Dbm => &[],
                    Unit::Dbi => &[("dBic", 1.0)],
                }
            }
        }

        $(
            $(#[$doc])*
            #[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default, Serialize, Deserialize)]
            #[serde(transparent)]
            pub struct $name(f64);

            impl $name {
                /// The value of a number in this unit.
                pub const fn new(raw: f64) -> Self { Self(raw) }
                /// The number in this unit.
                pub const fn get(self) -> f64 { self.0 }
                /// The value without its sign.
                pub const fn abs(self) -> Self { Self(self.0.abs()) }
                /// The larger of two values.
                pub const fn max(self, other: Self) -> Self { Self(self.0.max(other.0)) }
                /// The smaller of two values.
                pub const fn min(self, other: Self) -> Self { Self(self.0.min(other.0)) }
            }
            impl Measure for $name {
                const UNIT: Unit = Unit::$name;
                fn raw(self) -> f64 { self.0 }
                fn of(raw: f64) -> Self { Self(raw) }
            }
            impl Add for $name { type Output = Self; fn add(self, o: Self) -> Self { Self(self.0 + o.0) } }
            impl Sub for $name { type Output = Self; fn sub(self, o: Self) -> Self { Self(self.0 - o.0) } }
            impl Neg for $name { type Output = Self; fn neg(self) -> Self { Self(-self.0) } }
            impl Mul<f64> for $name { type Output = Self; fn mul(self, k: f64) -> Self { Self(self.0 * k) } }
            impl Div<f64> for $name { type Output = Self; fn div(self, k: f64) -> Self { Self(self.0 / k) } }
            /// A ratio of two like values is a plain number.
            impl Div for $name { type Output = f64; fn div(self, o: Self) -> f64 { self.0 / o.0 } }
            impl std::iter::Sum for $name {
                fn sum<I: Iterator<Item = Self>>(values: I) -> Self { Self(values.map(|v| v.0).sum()) }
            }
            impl fmt::Display for $name {
                fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                    self.0.fmt(f)?;
                    if $symbol.is_empty() { Ok(()) } else if $symbol == "°" { f.write_str("°") } else { write!(f, " {}", $symbol) }
                }
            }
        )*
    };
}

units! {
    /// Lengths on the bench.
    Millimetres, "mm", ["cm" => 10.0, "m" => 1000.0, "in" => 25.4, "um" => 0.001, "µm" => 0.001];
    /// Lengths on a sensor.
    Micrometres, "µm", ["um" => 1.0, "mm" => 1000.0];
    /// Lengths on a flying place.
    Metres, "m", ["km" => 1000.0, "mm" => 0.001, "ft" => 0.3048];
    /// Drag areas.
    SquareMetres, "m²", ["m2" => 1.0, "cm2" => 1e-4, "cm²" => 1e-4];
    /// Densities.
    KilogramsPerCubicMetre, "kg/m³", ["kg/m3" => 1.0];
    /// Masses of parts.
    Grams, "g", ["kg" => 1000.0, "mg" => 0.001, "oz" => 28.349523125];
    /// Angles.
    Degrees, "°", ["deg" => 1.0];
    /// Voltage.
    Volts, "V", ["mV" => 0.001];
    /// Electric current.
    Amperes, "A", ["mA" => 0.001];
    /// Resistance of cells, joints and leads.
    Milliohms, "mΩ", ["mOhm" => 1.0, "Ohm" => 1000.0, "Ω" => 1000.0];
    /// Power drawn or turned to heat.
    Watts, "W", ["mW" => 0.001];
    /// Energy.
    Joules, "J", ["mJ" => 0.001];
    /// Radiated power, as units offer it.
    Milliwatts, "mW", ["W" => 1000.0];
    /// Radio frequency.
    Megahertz, "MHz", ["GHz" => 1000.0, "kHz" => 0.001];
    /// Rates.
    Hertz, "Hz", ["kHz" => 1000.0, "/s" => 1.0, "fps" => 1.0];
    /// Durations on the ground.
    Seconds, "s", ["min" => 60.0, "ms" => 0.001];
    /// Durations in a video system.
    Milliseconds, "ms", ["s" => 1000.0, "us" => 0.001, "µs" => 0.001];
    /// Charge of a pack.
    MilliampereHours, "mAh", ["Ah" => 1000.0];
    /// Capacitance.
    Microfarads, "µF", ["uF" => 1.0, "nF" => 0.001];
    /// Inductance.
    Microhenries, "µH", ["uH" => 1.0, "mH" => 1000.0];
    /// Temperature on the Celsius scale.
    Celsius, "°C", ["degC" => 1.0];
    /// Motor speed for each volt, unloaded.
    RpmPerVolt, "rpm/V", [];
    /// Turning rate.
    Rpm, "rpm", [];
    /// Speed.
    MetresPerSecond, "m/s", ["km/h" => 1.0 / 3.6];
    /// Force.
    Newtons, "N", ["mN" => 0.001];
    /// Static thrust as test stands print it: the mass it would hold.
    GramsForce, "gf", ["g" => 1.0, "kgf" => 1000.0, "N" => 101.971_621_297_792_83];
    /// Moment of inertia.
    GramSquareMillimetres, "g·mm²", ["g*mm2" => 1.0];
    /// Bit rates of serial links.
    Baud, "Bd", ["baud" => 1.0, "kBd" => 1000.0];
    /// How fine a picture is.
    PixelsPerDegree, "px/°", [];
    /// Widths in a picture.
    Pixels, "px", [];
    /// Doublings of light.
    Stops, "stops", ["stop" => 1.0];
    /// Light that falls on a scene.
    Lux, "lx", [];
    /// How fine a pattern a lens or a sensor can hold.
    LinePairsPerMillimetre, "lp/mm", [];
    /// How fast something turns.
    DegreesPerSecond, "°/s", ["deg/s" => 1.0];
    /// How fast a speed changes.
    MetresPerSecondSquared, "m/s²", ["m/s2" => 1.0];
    /// Shares of a whole.
    Percent, "%", [];
    /// Plain ratios.
    Ratio, "", [];
    /// How many.
    Count, "", [];
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol())
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.value.fmt(f)?;
        match self.unit.symbol() {
            "" => Ok(()),
            "°" => f.write_str("°"),
            symbol => write!(f, " {symbol}"),
        }
    }
}
