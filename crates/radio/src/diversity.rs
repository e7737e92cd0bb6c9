//! For what share of the time does a link hold with several antennas?
//!
//! Each antenna has its own mean margin; all fade with one Rician factor. Their scattered parts are alike by ρ, the
//! correlation of the complex amplitudes: a part √ρ is common, the rest is each one's own.
//! - Selection: the best antenna is taken; all are lost together with the chance ∫ f(r)·Π F_i(r) dr over the common part r, F_i being
//!   Rician given r. With ρ = 0 the chances multiply; Rayleigh gives (1 − e^(−x))^M.
//! - Summing (maximal ratio): the powers add. The transform of their sum is
//!   Π 1/D_i · e^(−t·m²/(1+tρσ²))/(1+tρσ²), D_i = 1 + s·γ_i·σ²·(1−ρ), t = s·Σ γ_i/D_i, m² and σ² steady and scattered power; it is
//!   turned back along Talbot's contour with 24 points (Abate & Valkó 2004), good to 1e−8.
//!
//! The steady parts are taken to be in phase at all antennas, which favours neither.

use crate::fading::below;
use crate::quadrature::places;
use crate::{Complex, Fading, RadioFault};
use quantity::{Db, Grade, Measure, Probability, Ratio, Source};
use std::f64::consts::PI;

/// Where the formulas come from.
pub const DIVERSITY_SOURCE: Source = Source {
    title: "Goldsmith, Wireless Communications",
    place: "chapter 7, receiver diversity: selection and maximal-ratio combining",
    grade: Grade::Memory,
};

/// The most antennas.
const BRANCHES_MAX: usize = 8;
/// Antennas more alike than this count as one.
const ALIKE_MAX: f64 = 0.95;
const CONTOUR_POINTS: u32 = 24;
/// Panels over eighteen times the spread of the common part.
const PANELS: usize = 10;

/// What is done with several antennas.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Combining {
    /// The best is taken.
    Selection,
    /// All are added in phase, by their worth.
    Sum,
}

/// The share of the time that at least the threshold is there, from each antenna's mean margin.
pub fn share_held(
    margins: &[Db],
    fading: Fading,
    correlation: Ratio,
    combining: Combining,
) -> Result<Probability, RadioFault> {
    if margins.is_empty() || margins.len() > BRANCHES_MAX {
        return Err(RadioFault::Count { what: "antennas", most: BRANCHES_MAX });
    }
    for margin in margins {
        RadioFault::within(
            "margin of an antenna",
            *margin,
            Db::new(-400.0),
            Db::new(400.0),
            "check its budget",
        )?;
    }
    let law = Law::new(fading, correlation, combining)?;
    let lost = law.lost(&margins.iter().map(|margin| margin.get()).collect::<Vec<f64>>(), CONTOUR_POINTS);
    Ok(Probability::new(1.0 - lost.clamp(0.0, 1.0)))
}

/// How several antennas fade together, made ready.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Law {
    fading: Fading,
    alike: f64,
    combining: Combining,
    /// Where the best of several is taken that are alike: places of the common part squared, each with its weight.
    common: Vec<[f64; 2]>,
}

impl Law {
    pub fn new(fading: Fading, correlation: Ratio, combining: Combining) -> Result<Self, RadioFault> {
        let (none, most) = (Ratio::of(0.0), Ratio::of(ALIKE_MAX));
        let mend = "antennas more alike count as one";
        let alike = RadioFault::within("correlation of two antennas", correlation, none, most, mend)?.get();
        let chosen = combining == Combining::Selection && alike > 0.0;
        Ok(Self { fading, alike, combining, common: if chosen { common(fading, alike) } else { Vec::new() } })
    }

    /// The chance that all are lost together, by their mean margins in decibels.
    /// Where all are added, with so many points of the contour: each gives half a digit and more.
    pub fn lost(&self, margins: &[f64], points: u32) -> f64 {
        let one = |margin: f64| self.fading.share_lost(Db::new(margin)).get();
        match self.combining {
            _ if margins.len() == 1 => one(margins[0]),
            Combining::Selection if self.alike == 0.0 => margins.iter().map(|margin| one(*margin)).product(),
            Combining::Selection => self.all_below(margins),
            Combining::Sum => sum_below(margins, self.fading, self.alike, points),
        }
    }

    fn all_below(&self, margins: &[f64]) -> f64 {
        let own = (1.0 - self.alike) / (1.0 + self.fading.factor());
        let wanted: Vec<f64> = margins.iter().map(|margin| Db::new(-margin).ratio() / own).collect();
        let at = |[power, weight]: &[f64; 2]| {
            weight * wanted.iter().map(|wanted| below(power / own, *wanted)).product::<f64>()
        };
        self.common.iter().map(at).sum()
    }
}

/// How much several like antennas raise the mean of the best over that of one, without a steady ray: Σ 1/i.
pub fn selection_gain(antennas: usize) -> Db {
    let sum: f64 = (1..=antennas.clamp(1, BRANCHES_MAX)).map(|i| 1.0 / i as f64).sum();
    Db::new(10.0 * sum.log10())
}

/// Places of the common part, as power, each with the weight of its Rician density.
fn common(fading: Fading, alike: f64) -> Vec<[f64; 2]> {
    let k = fading.factor();
    let (steady, scattered) = (k / (1.0 + k), 1.0 / (1.0 + k));
    let common = scattered * alike;
    // r² over the common scatter is a Rician power: density 2r/c·e^(−(r−m)²/c)·[e^(−2rm/c)·I0(2rm/c)].
    let middle = steady.sqrt();
    let spread = (common / 2.0).sqrt();
    let density = |r: f64| {
        2.0 * r / common * (-(r - middle).powi(2) / common).exp() * scaled_bessel(2.0 * r * middle / common)
    };
    let (from, to) = ((middle - 9.0 * spread).max(0.0), middle + 9.0 * spread);
    let weighed = places(from, to, PANELS).map(|(r, weight)| [r * r, weight * density(r)]);
    weighed.filter(|[_, weight]| *weight > 1e-16).collect()
}

/// e^(−x)·I0(x) (Abramowitz & Stegun 9.6.16 by middles over the half circle: exact to rounding for a periodic integrand).
fn scaled_bessel(x: f64) -> f64 {
    if x > 400.0 {
        // A&S 9.7.1, two terms past the first: below 1e-9 here.
        let e = 1.0 / (8.0 * x);
        return (1.0 + e * (1.0 + 4.5 * e * (1.0 + 25.0 / 3.0 * e))) / (2.0 * PI * x).sqrt();
    }
    let points = 128;
    let sum: f64 =
        (0..points).map(|n| (x * ((PI * (f64::from(n) + 0.5) / f64::from(points)).cos() - 1.0)).exp()).sum();
    sum / f64::from(points)
}

fn sum_below(margins: &[f64], fading: Fading, alike: f64, points: u32) -> f64 {
    let k = fading.factor();
    let (steady, scattered) = (k / (1.0 + k), 1.0 / (1.0 + k));
    let means: Vec<f64> = margins.iter().map(|margin| Db::new(*margin).ratio()).collect();
    let transform = |s: Complex| {
        let (mut product, mut sum) = (Complex::ONE, Complex::ZERO);
        for mean in &means {
            let d = Complex::ONE + s * (mean * scattered * (1.0 - alike));
            product = product / d;
            sum += Complex::real(*mean) / d;
        }
        let t = s * sum;
        let spread = Complex::ONE + t * (alike * scattered);
        product * (-(t * steady) / spread).exp() / spread / s
    };
    // Talbot's contour s = r·θ·(cot θ + j), r = 2M/5, at the threshold 1.
    let m = f64::from(points);
    let r = 0.4 * m;
    let mut sum = 0.5 * transform(Complex::real(r)).re * r.exp();
    for n in 1..points {
        let angle = PI * f64::from(n) / m;
        let cot = 1.0 / angle.tan();
        let s = Complex::new(r * angle * cot, r * angle);
        let turn = Complex::new(1.0, angle + (angle * cot - 1.0) * cot);
        sum += (s.exp() * transform(s) * turn).re;
    }
    0.4 * sum
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn lost(margins: &[f64], factor: Option<f64>, alike: f64, combining: Combining) -> f64 {
        let margins: Vec<Db> = margins.iter().map(|m| Db::new(*m)).collect();
        let fading = factor.map_or(Ok(Fading::RAYLEIGH), |f| Fading::rician(Db::new(f)));
        let held = fading.and_then(|fading| share_held(&margins, fading, Ratio::of(alike), combining));
        held.map_or(f64::NAN, |held| held.opposite().get())
    }

    #[test]
    fn two_rayleigh_antennas_square_the_chance() {
        let one = -(-0.1f64).exp_m1();
        assert!((lost(&[10.0; 2], None, 0.0, Combining::Selection) - one * one).abs() < 1e-12);
        let summed = 1.0 - (-0.1f64).exp() * 1.1;
        assert!((lost(&[10.0; 2], None, 0.0, Combining::Sum) - summed).abs() < 1e-9);
    }

    #[test]
    fn bad_counts_and_correlations_are_refused() {
        let told =
            share_held(&[], Fading::RAYLEIGH, Ratio::of(0.0), Combining::Sum).map_err(|f| f.to_string());
        assert_eq!(told, Err("antennas: there is none; give one at least and 8 at most".to_owned()));
        assert!(share_held(&[Db::new(f64::NAN)], Fading::RAYLEIGH, Ratio::of(0.0), Combining::Sum).is_err());
        assert!(lost(&[1.0, 2.0], None, 0.99, Combining::Sum).is_nan());
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn correlation_and_fewer_antennas_lose_more(factor in -5.0..12.0f64, margin in 0.0..15.0f64, alike in 0.05..0.9f64) {
            for combining in [Combining::Selection, Combining::Sum] {
                let at = |count: usize, alike: f64| lost(&vec![margin; count], Some(factor), alike, combining);
                prop_assert!(at(2, 0.0) <= at(2, alike) + 2e-7, "{combining:?}");
                prop_assert!(at(2, alike) <= at(1, 0.0) + 2e-7 && at(3, alike) <= at(2, alike) + 2e-7, "{combining:?}");
            }
        }

        #[test]
        fn summing_is_never_worse_than_choosing(factor in -5.0..10.0f64, a in 0.0..15.0f64, b in 0.0..15.0f64, alike in 0.0..0.9f64) {
            let at = |combining| lost(&[a, b], Some(factor), alike, combining);
            prop_assert!(at(Combining::Sum) <= at(Combining::Selection) + 2e-7);
        }

        #[test]
        fn a_deaf_second_antenna_changes_nothing(factor in -5.0..12.0f64, margin in -3.0..15.0f64, alike in 0.0..0.9f64) {
            let one = lost(&[margin], Some(factor), 0.0, Combining::Selection);
            for combining in [Combining::Selection, Combining::Sum] {
                prop_assert!((lost(&[margin, -90.0], Some(factor), alike, combining) - one).abs() < 1e-6, "{combining:?}");
            }
        }
    }
}
