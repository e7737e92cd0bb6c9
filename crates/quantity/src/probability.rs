//! A probability, and how it is said.

use serde::Serialize;
use std::fmt;

/// A probability between nought and one.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize)]
#[serde(transparent)]
pub struct Probability(f64);

impl Probability {
    /// Certain.
    pub const ONE: Probability = Probability(1.0);
    /// Impossible.
    pub const NOUGHT: Probability = Probability(0.0);

    /// The probability of a number; rounding that strays past the ends is brought back to them.
    pub fn new(p: f64) -> Self {
        debug_assert!((-1e-9..=1.0 + 1e-9).contains(&p), "{p} is no probability");
        Self(p.clamp(0.0, 1.0))
    }

    /// The number.
    pub fn get(self) -> f64 {
        self.0
    }

    /// That it is not so.
    pub fn opposite(self) -> Self {
        Self(1.0 - self.0)
    }
}

impl fmt::Display for Probability {
    /// `81 %`; near the ends `over 99 %` and `under 1 %`, so that only certainty reads as certainty.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            p if p >= 1.0 => f.write_str("100 %"),
            p if p <= 0.0 => f.write_str("0 %"),
            p if p > 0.99 => f.write_str("over 99 %"),
            p if p < 0.01 => f.write_str("under 1 %"),
            p => write!(f, "{:.0} %", p * 100.0),
        }
    }
}
