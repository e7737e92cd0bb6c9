//! How much is in hand nearly all of the time, on all antennas together?
//!
//! Every antenna has its mean margin, and all fade. What is left for a share of the time is the x by which all means may fall
//! together until the picture holds for just that share (`diversity.rs`): over nought it holds, under nought it does not. More power
//! raises it decibel for decibel. It is looked for by the secant, from what the two best leave on.
//!
//! Two antennas matter most and are asked by the thousand: how much the second brings hangs on how far it lies below the first alone, and is tabled
//! for that every half decibel, good to a thousandth of one. Antennas [`FAR_BELOW`] under the best bring nothing.

use crate::diversity::Law;
use crate::{Combining, Fading, RadioFault};
use quantity::{Db, Measure, Probability, Ratio};
use std::sync::OnceLock;

/// Antennas so far below the best are as good as none: they bring less than a thousandth of a decibel.
const FAR_BELOW: f64 = 60.0;
/// Steps of the table for two antennas, in decibels.
const STEP: f64 = 0.5;
/// No number of antennas brings more than this over one alone, in decibels.
const MOST_BROUGHT: f64 = 60.0;
/// Where the search ends, as a share of what may be lost, and after how many steps at most: a thousandth of a decibel and less.
const ENDS_AT: f64 = 1e-5;
const STEPS_MAX: u32 = 60;
/// How fast the logarithm of what is lost grows with a decibel less, before it is known.
const STEEP: f64 = 0.4;
/// Points of the contour where antennas are added: good to seven digits.
const POINTS: u32 = 12;

/// What is left for a share of the time, made ready for one law of fading.
#[derive(Clone, Debug)]
pub struct Lasting {
    law: Law,
    /// The share of the time that is lost.
    lost: f64,
    /// What one antenna alone must have in hand.
    one: f64,
    /// What a second brings, by how far it lies below the first: worked out when first asked for.
    second: Vec<OnceLock<f64>>,
}

/// One law and one share: what was worked out of it so far is no part of it.
impl PartialEq for Lasting {
    fn eq(&self, other: &Self) -> bool {
        self.lost == other.lost && self.law == other.law
    }
}

impl Lasting {
    /// For antennas that fade so, alike by a correlation, and are put together in a way; and for a share of the time under certainty.
    pub fn new(
        fading: Fading,
        correlation: Ratio,
        combining: Combining,
        held: Probability,
    ) -> Result<Self, RadioFault> {
        let law = Law::new(fading, correlation, combining)?;
        let share = Ratio::of(held.get());
        RadioFault::within(
            "share of the time",
            share,
            Ratio::of(0.01),
            Ratio::of(0.9999),
            "nothing holds for certain",
        )?;
        let one = fading.allowance(held).map_or(0.0, Db::get);
        let steps = (FAR_BELOW / STEP) as u32 + 3;
        let second = (0..steps).map(|_| OnceLock::new()).collect();
        Ok(Self { law, lost: held.opposite().get(), one, second })
    }

    /// What is left for that share of the time of these mean margins.
    pub fn left(&self, margins: &[Db]) -> Db {
        let best = margins.iter().map(|margin| margin.get()).fold(f64::NEG_INFINITY, f64::max);
        if !best.is_finite() {
            return Db::new(best);
        }
        let near = || margins.iter().map(|margin| margin.get() - best).filter(|below| *below > -FAR_BELOW);
        let brought = match near().count() {
            1 => 0.0,
            2 => self.by_table(-near().sum::<f64>()),
            _ => {
                let near: Vec<f64> = near().collect();
                self.searched_from(&near, self.of_two(&near) - self.one) + self.one
            }
        };
        Db::new(best - self.one + brought)
    }

    /// No more than is left of them, and quickly: what the two best leave, which is all where there are no more.
    pub fn at_least(&self, margins: &[Db]) -> Db {
        let best = margins.iter().map(|margin| margin.get()).fold(f64::NEG_INFINITY, f64::max);
        if !best.is_finite() {
            return Db::new(best);
        }
        let below: Vec<f64> = margins.iter().map(|margin| margin.get() - best).collect();
        Db::new(best - self.one + self.of_two(&below))
    }

    /// What the second best brings, by how far all lie below the best.
    fn of_two(&self, below: &[f64]) -> f64 {
        let best = below.iter().position(|below| *below == 0.0);
        let rest = below.iter().enumerate().filter(|(n, _)| Some(*n) != best).map(|(_, below)| *below);
        match rest.fold(f64::NEG_INFINITY, f64::max) {
            second if second > -FAR_BELOW => self.by_table(-second),
            _ => 0.0,
        }
    }

    /// The chance that all are lost together.
    pub fn lost(&self, margins: &[Db]) -> f64 {
        self.law
            .lost(&margins.iter().map(|margin| margin.get()).collect::<Vec<f64>>(), POINTS)
            .clamp(0.0, 1.0)
    }

    /// What one antenna alone must have in hand.
    pub const fn one(&self) -> Db {
        Db::new(self.one)
    }

    /// What a second antenna brings that lies so far below: a parabola through three of the table.
    fn by_table(&self, below: f64) -> f64 {
        let place = below / STEP;
        let n = (place.round() as usize).clamp(1, self.second.len() - 2);
        let of = |n: usize| self.searched(&[0.0, -STEP * n as f64]) + self.one;
        let [a, b, c] = [n - 1, n, n + 1].map(|n| *self.second[n].get_or_init(|| of(n)));
        let t = place - n as f64;
        b + 0.5 * t * (c - a + t * (a - 2.0 * b + c))
    }

    /// By how much these margins may fall until so much is lost.
    fn searched(&self, margins: &[f64]) -> f64 {
        let best = margins.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        self.searched_from(margins, best - self.one)
    }

    /// The same from a place where no more is lost than that.
    fn searched_from(&self, margins: &[f64], from: f64) -> f64 {
        let mut lowered = margins.to_vec();
        let mut off = |less: f64| {
            lowered.iter_mut().zip(margins).for_each(|(lowered, margin)| *lowered = margin - less);
            self.law.lost(&lowered, POINTS).max(1e-300).ln() - self.lost.ln()
        };
        let (mut low, mut high) = (from - MOST_BROUGHT, from + MOST_BROUGHT);
        let (mut at, mut known): (f64, Option<(f64, f64)>) = (from, None);
        for _ in 0..STEPS_MAX {
            let now = off(at);
            if now.abs() < ENDS_AT {
                break;
            }
            if now > 0.0 {
                high = at
            } else {
                low = at
            }
            let steep = known.map(|(before, then)| (now - then) / (at - before));
            let steep = steep.filter(|steep| steep.is_finite() && *steep > 1e-3).unwrap_or(STEEP);
            known = Some((at, now));
            let next = at - now / steep;
            // Outside what is known to hold it the middle is taken.
            at = if next > low && next < high { next } else { 0.5 * (low + high) };
        }
        at
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::share_held;
    use proptest::prelude::*;

    fn lasting(factor: Option<f64>, alike: f64, combining: Combining) -> (Lasting, Fading) {
        let fading = factor.map_or(Ok(Fading::RAYLEIGH), |f| Fading::rician(Db::new(f)));
        let fading = fading.unwrap_or(Fading::RAYLEIGH);
        let made = Lasting::new(fading, Ratio::of(alike), combining, Probability::new(0.99));
        (made.unwrap_or_else(|fault| unreachable!("{fault}")), fading)
    }

    #[test]
    fn one_antenna_keeps_its_allowance() {
        let (lasting, fading) = lasting(Some(6.0), 0.3, Combining::Sum);
        let kept = fading.allowance(Probability::new(0.99)).map_or(f64::NAN, Db::get);
        assert!((lasting.left(&[Db::new(20.0)]).get() - (20.0 - kept)).abs() < 1e-9);
        assert!((lasting.left(&[Db::new(20.0), Db::new(-90.0)]).get() - (20.0 - kept)).abs() < 1e-3);
        assert_eq!(lasting.left(&[]), Db::new(f64::NEG_INFINITY));
    }

    #[test]
    fn two_rayleigh_antennas_of_which_the_best_is_taken() {
        // A tenth of each is lost: -ln 0.9 = 10^(-x/10).
        let (lasting, _) = lasting(None, 0.0, Combining::Selection);
        let kept = -10.0 * (-(0.9f64.ln())).log10();
        assert!((lasting.left(&[Db::new(30.0); 2]).get() - (30.0 - kept)).abs() < 1e-3);
    }

    #[test]
    fn certainty_and_antennas_too_much_alike_are_refused() {
        let of = |alike: f64, held: f64| {
            Lasting::new(Fading::RAYLEIGH, Ratio::of(alike), Combining::Sum, Probability::new(held)).is_err()
        };
        assert!(of(0.0, 1.0) && of(0.99, 0.99) && !of(0.3, 0.99));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(40))]

        #[test]
        fn what_is_left_is_where_the_share_is_met(
            margins in prop::collection::vec(-25.0..25.0f64, 1..5), factor in -3.0..12.0f64, alike in prop_oneof![Just(0.0), 0.05..0.9f64],
            sum in any::<bool>(),
        ) {
            let combining = if sum { Combining::Sum } else { Combining::Selection };
            let (lasting, fading) = lasting(Some(factor), alike, combining);
            let all: Vec<Db> = margins.iter().map(|m| Db::new(*m)).collect();
            let left = lasting.left(&all);
            let lowered: Vec<Db> = all.iter().map(|margin| *margin - left).collect();
            let held = share_held(&lowered, fading, Ratio::of(alike), combining).map_or(f64::NAN, Probability::get);
            prop_assert!((held - 0.99).abs() < 2e-5, "{held}");
            let more: Vec<Db> = all.iter().map(|margin| *margin + Db::new(3.0)).collect();
            prop_assert!((lasting.left(&more) - left - Db::new(3.0)).get().abs() < 1e-3);
        }
    }
}
