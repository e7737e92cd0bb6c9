//! Decibels: ratios, levels and antenna gains, kept apart.
//!
//! A level moves by a ratio and two levels differ by a ratio; two levels never add. With P in mW,
//! level = 10·log10(P / 1 mW) dBm (ISO 80000-3:2006, annex C gives the decibel for power quantities).

use crate::{Measure, Milliwatts, Unit};
use serde::{Deserialize, Serialize};
use std::fmt;
use std::ops::{Add, Neg, Sub};

/// A ratio in decibels: what lies between two levels.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Db(f64);

/// A power level in decibels over one milliwatt.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Dbm(f64);

/// An antenna gain in decibels over an isotropic antenna.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Dbi(f64);

macro_rules! decibel_type {
    ($name:ident, $symbol:literal) => {
        impl $name {
            /// The value of a number of decibels.
            pub const fn new(raw: f64) -> Self {
                Self(raw)
            }
            /// The number of decibels.
            pub const fn get(self) -> f64 {
                self.0
            }
        }
        impl Measure for $name {
            const UNIT: Unit = Unit::$name;
            fn raw(self) -> f64 {
                self.0
            }
            fn of(raw: f64) -> Self {
                Self(raw)
            }
        }
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)?;
                f.write_str(concat!(" ", $symbol))
            }
        }
    };
}
decibel_type!(Db, "dB");
decibel_type!(Dbm, "dBm");
decibel_type!(Dbi, "dBi");

impl Db {
    /// The ratio of two powers in decibels; `None` unless it is above nought.
    pub fn from_ratio(ratio: f64) -> Option<Self> {
        (ratio > 0.0 && ratio.is_finite()).then(|| Self(10.0 * ratio.log10()))
    }
    /// The ratio of two powers.
    pub fn ratio(self) -> f64 {
        10f64.powf(self.0 / 10.0)
    }
}

impl Dbm {
    /// The level of a power; `None` unless it is above nought.
    pub fn from_power(power: Milliwatts) -> Option<Self> {
        Db::from_ratio(power.get()).map(|db| Self(db.0))
    }
    /// The power of this level.
    pub fn power(self) -> Milliwatts {
        Milliwatts::new(10f64.powf(self.0 / 10.0))
    }
}

impl Add for Db {
    type Output = Db;
    fn add(self, other: Db) -> Db {
        Db(self.0 + other.0)
    }
}
impl Sub for Db {
    type Output = Db;
    fn sub(self, other: Db) -> Db {
        Db(self.0 - other.0)
    }
}
impl Neg for Db {
    type Output = Db;
    fn neg(self) -> Db {
        Db(-self.0)
    }
}
impl Add<Db> for Dbm {
    type Output = Dbm;
    fn add(self, gain: Db) -> Dbm {
        Dbm(self.0 + gain.0)
    }
}
impl Sub<Db> for Dbm {
    type Output = Dbm;
    fn sub(self, loss: Db) -> Dbm {
        Dbm(self.0 - loss.0)
    }
}
impl Sub for Dbm {
    type Output = Db;
    fn sub(self, floor: Dbm) -> Db {
        Db(self.0 - floor.0)
    }
}
impl Add<Dbi> for Dbm {
    type Output = Dbm;
    fn add(self, gain: Dbi) -> Dbm {
        Dbm(self.0 + gain.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn levels_of_usual_powers() {
        // Worked from the definition: 25 mW is 13.979 dBm, 1 W is 30 dBm.
        let level = |mw: f64| Dbm::from_power(Milliwatts::new(mw)).map(Dbm::get);
        assert!((level(25.0).unwrap_or(f64::NAN) - 13.979_400_086_720_375).abs() < 1e-12);
        assert!((level(1000.0).unwrap_or(f64::NAN) - 30.0).abs() < 1e-12);
        assert_eq!(level(0.0), None);
    }
}
