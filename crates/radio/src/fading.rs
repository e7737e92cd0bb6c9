//! For what share of the time does a link hold, when reflections come and go?
//!
//! One steady ray and many scattered ones: the power is Rician with factor K = steady over scattered. It lies below x
//! times its mean with the chance 1 − Q1(√(2K), √(2(1+K)x)), Q1 Marcum's function. That is the chance that one
//! Poisson count with mean y = (1+K)x exceeds another with mean K, and so it is summed: Σ_j p_K(j)·P(I > j). K = 0 is Rayleigh, 1 − e^(−x).
//!
//! The mean here is that of steady and scattered power together. K by surroundings is custom; a log tells better.

use crate::RadioFault;
use quantity::{Db, Grade, Probability, Source};

/// Where the formulas come from.
pub const FADING_SOURCE: Source = Source {
    title: "Goldsmith, Wireless Communications",
    place: "sections 3.2 and 6.3, Rician fading and outage",
    grade: Grade::Memory,
};
/// Where the factor by surroundings comes from.
pub const SURROUNDINGS_SOURCE: Source =
    Source::common_practice("Rician factor at 5.8 GHz with a clear line: open field 12 dB to hall 0 dB");

/// The largest factor: above it nothing fades.
const FACTOR_MAX: Db = Db::new(20.0);
/// The deepest fades looked at.
const MARGIN_MAX: f64 = 90.0;

/// Where one flies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Surroundings {
    /// Nothing near.
    OpenField,
    /// Grass with single trees.
    Park,
    /// Between buildings.
    Yard,
    /// Among trees.
    Woodland,
    /// Inside walls.
    Hall,
}

impl Surroundings {
    /// Every kind.
    pub const ALL: [Surroundings; 5] = [
        Surroundings::OpenField,
        Surroundings::Park,
        Surroundings::Yard,
        Surroundings::Woodland,
        Surroundings::Hall,
    ];

    /// How its reflections fade.
    pub const fn fading(self) -> Fading {
        let factor = match self {
            Surroundings::OpenField => 12.0,
            Surroundings::Park => 9.0,
            Surroundings::Yard => 6.0,
            Surroundings::Woodland => 3.0,
            Surroundings::Hall => 0.0,
        };
        Fading { decibels: Some(factor) }
    }
}

/// How a link fades.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fading {
    /// The factor in decibels; `None` if nothing is steady.
    decibels: Option<f64>,
}

impl Fading {
    /// No steady ray at all.
    pub const RAYLEIGH: Self = Self { decibels: None };

    /// Of the factor: the steady power over the scattered.
    pub fn rician(factor: Db) -> Result<Self, RadioFault> {
        RadioFault::within("Rician factor", factor, Db::new(-40.0), FACTOR_MAX, "above that nothing fades")?;
        Ok(Self { decibels: Some(factor.get()) })
    }

    /// Steady over scattered power, as a plain ratio.
    pub(crate) fn factor(self) -> f64 {
        self.decibels.map_or(0.0, |factor| Db::new(factor).ratio())
    }

    /// The chance that the signal stands at least at the threshold, with so much margin in the mean.
    pub fn share_held(self, margin: Db) -> Probability {
        self.share_lost(margin).opposite()
    }

    /// The chance that it stands below.
    pub fn share_lost(self, margin: Db) -> Probability {
        let k = self.factor();
        Probability::new(below(k, (1.0 + k) * (-margin).ratio()))
    }

    /// How much margin the mean needs so that the link holds this share of the time; `None` at certainty.
    pub fn allowance(self, held: Probability) -> Option<Db> {
        // Half a thousandth of a millionth is where the deepest fades looked at end.
        if held.get() > 1.0 - 5e-10 {
            return None;
        }
        let (mut low, mut high) = (-30.0, MARGIN_MAX);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if self.share_held(Db::new(middle)) < held { low = middle } else { high = middle }
        }
        Some(Db::new(0.5 * (low + high)))
    }
}

/// The chance that a Poisson count of mean `y` exceeds one of mean `k`: a non-central χ² of two degrees, below 2y.
pub(crate) fn below(k: f64, y: f64) -> f64 {
    if y <= 0.0 || y.is_nan() {
        return 0.0;
    }
    if y > k + 45.0 * (k + 1.0).sqrt() + 800.0 {
        return 1.0;
    }
    let (start_y, start_k) = (start(y), start(k));
    let last = start_y.max(start_k + 1);
    // Below both counts nothing is left to add: the tail is one there and the other count is not.
    let low = y.min(k);
    let first = (low - 14.0 * low.sqrt() - 60.0).max(1.0) as usize;
    let (mut at_y, mut at_k) = (poisson(start_y, y), poisson(start_k, k));
    let (mut tail, mut sum) = (0.0, 0.0);
    for i in (first..=last).rev() {
        let n = i as f64;
        if i <= start_y {
            tail += at_y;
            at_y *= n / y;
        }
        if i <= start_k + 1 {
            sum += at_k * tail;
            at_k *= if k > 0.0 { (n - 1.0) / k } else { 0.0 };
        }
    }
    sum.min(1.0)
}

/// A count so far above the mean that what lies beyond is under 1e−40 of it, yet its chance is no underflow.
fn start(mean: f64) -> usize {
    match mean {
        0.0 => 0,
        mean if mean < 1e-3 => 20,
        mean => (mean + 14.0 * mean.sqrt() + 60.0).ceil() as usize,
    }
}

fn poisson(count: usize, mean: f64) -> f64 {
    if mean == 0.0 {
        return if count == 0 { 1.0 } else { 0.0 };
    }
    let n = count as f64;
    // ln n! by Stirling's series from 20 up (DLMF 5.11.1), by the product below.
    let ln_factorial = if count < 20 {
        (2..=count).map(|k| (k as f64).ln()).sum()
    } else {
        let inverse = 1.0 / (n * n);
        n * n.ln() - n
            + 0.5 * (std::f64::consts::TAU * n).ln()
            + (1.0 / 12.0 - inverse * (1.0 / 360.0 - inverse / 1260.0)) / n
    };
    (n * mean.ln() - mean - ln_factorial).exp()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn rician(factor: f64) -> Fading {
        Fading::rician(Db::new(factor)).unwrap_or(Fading::RAYLEIGH)
    }

    #[test]
    fn nothing_steady_is_rayleigh() {
        for margin in [-10.0, 0.0, 10.0, 30.0] {
            let lost = Fading::RAYLEIGH.share_lost(Db::new(margin)).get();
            let expected = -(-10f64.powf(-margin / 10.0)).exp_m1();
            assert!((lost / expected - 1.0).abs() < 1e-10, "{margin}: {lost}");
        }
        assert!(Fading::rician(Db::new(30.0)).is_err() && Fading::rician(Db::new(f64::NAN)).is_err());
    }

    #[test]
    fn the_running_sum_is_the_plain_one() {
        // Every chance by itself, every tail summed afresh.
        let plain = |k: f64, y: f64| -> f64 {
            let end = (k.max(y) * 2.0 + 150.0) as usize;
            let tail = |j: usize| (j + 1..=end).map(|i| poisson(i, y)).sum::<f64>();
            (0..=end).map(|j| poisson(j, k) * tail(j)).sum()
        };
        for k in [0.0, 0.2, 4.0, 40.0, 100.0] {
            for y in [1e-7, 1e-3, 0.3, 6.0, 39.0, 150.0] {
                let (fast, slow) = (below(k, y), plain(k, y));
                assert!((fast - slow).abs() <= 1e-10 * slow, "{k} {y}: {fast:e} {slow:e}");
            }
        }
    }

    #[test]
    fn an_open_field_asks_for_less_in_hand_than_a_hall() {
        let wanted = Surroundings::ALL
            .map(|place| place.fading().allowance(Probability::new(0.99)).map_or(f64::NAN, Db::get));
        assert!(wanted.windows(2).all(|pair| pair[0] < pair[1]), "{wanted:?}");
        assert_eq!(Surroundings::Hall.fading().allowance(Probability::ONE), None);
    }

    proptest! {
        #[test]
        fn more_margin_holds_longer(factor in -20.0..20.0f64, margin in -20.0..40.0f64) {
            let at = |m: f64| rician(factor).share_held(Db::new(m)).get();
            prop_assert!(at(margin + 1.0) >= at(margin) - 1e-10);
            prop_assert!((0.0..=1.0).contains(&at(margin)));
        }

        #[test]
        fn the_allowance_holds_the_share_it_was_asked_for(factor in -10.0..15.0f64, held in 0.5..0.9999f64) {
            let fading = rician(factor);
            let margin = fading.allowance(Probability::new(held)).unwrap_or(Db::new(f64::NAN));
            prop_assert!((fading.share_held(margin).get() - held).abs() < 1e-9);
        }

        #[test]
        fn no_margin_whatever_makes_a_share_that_is_none(factor in any::<f64>(), margin in any::<f64>()) {
            if let Ok(fading) = Fading::rician(Db::new(factor)) {
                let share = fading.share_held(Db::new(margin)).get();
                prop_assert!((0.0..=1.0).contains(&share));
            }
        }
    }
}
