//! A probability, and how it is told to people.

use serde::Serialize;
use std::fmt;

/// A probability, 0 to 1. It is 0 or 1 exactly only where the doubts leave no other outcome.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize)]
#[serde(transparent)]
pub struct Probability(f64);

impl Probability {
    /// Certain: it cannot fail to be.
    pub const ONE: Probability = Probability(1.0);
    /// Impossible: it cannot be.
    pub const NOUGHT: Probability = Probability(0.0);

    /// The probability of a number; rounding that strays past the ends is brought back to them.
    pub fn new(share: f64) -> Self {
        debug_assert!((-1e-9..=1.0 + 1e-9).contains(&share), "{share} is no probability");
        Self(share.clamp(0.0, 1.0))
    }

    /// A computed probability of something that may or may not be: rounding never makes it 0 or 1.
    pub(crate) fn open(share: f64) -> Self {
        Self(share.clamp(1e-12, 1.0 - 1e-12))
    }

    /// The number, 0 to 1.
    pub const fn get(self) -> f64 {
        self.0
    }

    /// The probability that it is not so.
    pub fn opposite(self) -> Self {
        Self(1.0 - self.0)
    }

    /// How certain one may be of the likelier outcome, ½ to 1: max(p, 1 − p).
    pub fn certainty(self) -> Self {
        Self(self.0.max(1.0 - self.0))
    }
}

/// Whole per cent, `81 %`. Only what is certain reads `100 %` or `0 %`; what is merely close reads
/// `over 99 %` or `under 1 %`.
impl fmt::Display for Probability {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            0.0 => f.write_str("0 %"),
            1.0 => f.write_str("100 %"),
            p if p < 0.01 => f.write_str("under 1 %"),
            p if p > 0.99 => f.write_str("over 99 %"),
            p => write!(f, "{:.0} %", p * 100.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_is_certain_reads_a_hundred_per_cent() {
        let told = |p: f64| Probability::new(p).to_string();
        assert_eq!(told(1.0), "100 %");
        assert_eq!(told(1.0 - 1e-12), "over 99 %");
        assert_eq!(told(0.99), "99 %");
        assert_eq!(told(0.808), "81 %");
        assert_eq!(told(0.01), "1 %");
        assert_eq!(told(0.0099), "under 1 %");
        assert_eq!(told(0.0), "0 %");
    }

    #[test]
    fn rounding_never_makes_certainty() {
        assert!(Probability::open(1.0) < Probability::ONE);
        assert!(Probability::open(0.0) > Probability::NOUGHT);
        assert_eq!(Probability::new(1.0 + 1e-12), Probability::ONE);
        assert_eq!(Probability::new(0.25).opposite().certainty(), Probability::new(0.75));
    }
}
