//! Which resistance does a cell usually have, where nobody measured it?
//!
//! Milliohms fall as capacity grows, so that their product is much the same for cells built alike. Any one cell may have 0.6 to
//! 2 times that: what stands on such a number is a guess, and a load test of a minute is better.

use crate::PowerFault;
use crate::cell::ampere_hours;
use quantity::{MilliampereHours, Milliohms, Ratio, Source};

/// What a cell is built like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Build {
    /// A soft pouch for high currents.
    Pouch,
    /// A round can for much energy.
    RoundCan,
}

/// Where typical resistances come from.
pub const TYPICAL_SOURCE: Source = Source::common_practice(
    "milliohms a cell: 450 mAh 18 to 30, 850 mAh 4 to 8, 1300 mAh 2.5 to 5 in pouches; 10 to 18 in round cans of 4500 mAh; any one of them 0.6 to 2 times that",
);

/// Milliohms times ampere hours of small pouches, of pouches of 600 mAh and more, and of round cans.
const TYPICAL: [f64; 3] = [11.0, 5.0, 60.0];

/// How far a typical resistance may be off: times this at least, times that at most.
pub const TYPICAL_SPREAD: [Ratio; 2] = [Ratio::new(0.6), Ratio::new(2.0)];

/// The ohmic resistance that a cell of a capacity usually has, where nobody measured it.
pub fn typical_resistance(capacity: MilliampereHours, build: Build) -> Result<Milliohms, PowerFault> {
    let hours = ampere_hours(capacity)?;
    let product = match build {
        Build::Pouch if hours < 0.6 => TYPICAL[0],
        Build::Pouch => TYPICAL[1],
        Build::RoundCan => TYPICAL[2],
    };
    Ok(Milliohms::new(product / hours))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn typical_resistances_lie_where_the_trade_sees_them() {
        for (mah, build, least, most) in [
            (450.0, Build::Pouch, 18.0, 30.0),
            (850.0, Build::Pouch, 4.0, 8.0),
            (1300.0, Build::Pouch, 2.5, 5.0),
            (4500.0, Build::RoundCan, 10.0, 18.0),
        ] {
            let found =
                typical_resistance(MilliampereHours::new(mah), build).map_or(f64::NAN, Milliohms::get);
            assert!((least..most).contains(&found), "{mah}: {found}");
        }
    }
}
