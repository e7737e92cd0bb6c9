//! How many decibels is a share of power, and how deep is a loss told?
//!
//! L = −10·log10(share). Below 1e−30 of the power nothing is told apart from nothing: a perfect null has a loss of
//! [`DEEPEST`], so that no figure becomes infinite.

use quantity::Db;

/// The deepest loss there is: what is lost wholly is lost by this much.
pub const DEEPEST: Db = Db::new(300.0);

/// The loss that leaves a share of the power; a gain is negative.
pub fn loss_of(share: f64) -> Db {
    Db::from_ratio(share).map_or(DEEPEST, |ratio| if -ratio < DEEPEST { -ratio } else { DEEPEST })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_is_three_decibels_and_nothing_is_the_deepest() {
        assert!((loss_of(0.5).get() - 3.010_299_956_639_812).abs() < 1e-12);
        assert_eq!(loss_of(0.0), DEEPEST);
        assert_eq!(loss_of(f64::NAN), DEEPEST);
        assert_eq!(loss_of(1e-99), DEEPEST);
    }
}
