//! How likely one result is to reach a limit, in closed form: no trials, no noise.
//!
//! A result that is linear in independent facts is its expected value, plus a sum of rectangular parts
//! with half-widths aᵢ = |cᵢ|·(plus + minus)/2, plus a normal part with standard uncertainty σ. The
//! distribution of n rectangular parts and a normal one is
//!
//! ```text
//! P(Y ≤ y) = 1/(2ⁿ·Πaᵢ) · Σ over all signs ε of (Πεᵢ) · Jₙ(y + Σεᵢaᵢ),   Jₙ(v) = E[max(v + σZ, 0)ⁿ]/n!
//! J₋₁ = φ(v/σ)/σ,  J₀ = Φ(v/σ),  n·Jₙ = v·Jₙ₋₁ + σ²·Jₙ₋₂;   for σ = 0, Jₙ = max(v, 0)ⁿ/n!
//! ```
//!
//! which is the n-fold integral of the normal distribution, differenced over each width. For σ = 0 it
//! is the distribution of a sum of unlike uniforms.
//!
//! The six widest rectangular parts are taken so. Parts beyond those, or narrower than 1/50 of the
//! widest, join the normal part with their variance: the error this leaves was at most 0.002 in all
//! cases tried (worst with a dozen equal parts), a quarter of what 4,000 trials would scatter. Six parts
//! cost 64 terms: one chance with ten doubts takes 5 to 10 µs (`benches/doubt.rs`).
//!
//! Where no normal doubt takes part, what lies wholly on one side of the limit is certain, exactly.

use crate::propagate::{bounds, doubts};
use crate::special::{normal_below, normal_density};
use crate::{FactLedger, Linear, Probability, Shape, expected_value};

/// How many rectangular parts are convolved exactly.
const EXACT_PARTS: usize = 6;
/// Parts narrower than this share of the widest join the normal part.
const NARROW: f64 = 0.02;

/// The probability that a result is at least `limit`. Nothing is likelier than not where the result is
/// no number: a NaN is never at least anything.
pub fn chance_at_least(result: &Linear, ledger: &FactLedger, limit: f64) -> Probability {
    let (low, high) = bounds(result, ledger, f64::INFINITY);
    // Sums of decimals miss by their last bit: 0.3 − 0.1 − 0.2 is not quite 0, yet it touches.
    let size = low.abs() + high.abs() + limit.abs();
    let rounding = if size.is_finite() { 1e-14 * size } else { 0.0 };
    if low >= limit - rounding {
        return Probability::ONE;
    }
    if high < limit - rounding || result.value.is_nan() || limit.is_nan() {
        return Probability::NOUGHT;
    }
    let mut widths = Vec::with_capacity(result.slopes.len());
    let mut variance = 0.0;
    for (slope, doubt) in doubts(result, ledger) {
        match doubt.shape {
            Shape::Rectangular => widths.push((slope * (doubt.plus + doubt.minus) / 2.0).abs()),
            Shape::Normal => variance += (slope * doubt.standard_uncertainty()).powi(2),
        }
    }
    Probability::open(share_below(expected_value(result, ledger) - limit, &mut widths, variance))
}

/// The share of a centred sum (rectangular parts of these half-widths, a normal part) below `y`.
pub(crate) fn share_below(y: f64, widths: &mut [f64], mut variance: f64) -> f64 {
    widths.sort_by(|a, b| b.total_cmp(a));
    let widest = widths.first().copied().unwrap_or(0.0);
    let exact = widths.iter().take(EXACT_PARTS).take_while(|a| **a > NARROW * widest).count();
    let (parts, rest) = widths.split_at(exact);
    variance += rest.iter().map(|a| a * a / 3.0).sum::<f64>();
    let sigma = variance.sqrt();
    // In units of the largest part, so that powers neither overflow nor vanish.
    let scale = widest.max(sigma);
    if scale == 0.0 || !scale.is_finite() {
        return if y >= 0.0 { 1.0 } else { 0.0 };
    }
    if sigma < 1e-9 * scale {
        differenced(y / scale, parts, scale, |v, n| (1..=n).fold(step(v), |j, k| j * v / f64::from(k)))
    } else {
        let sigma = sigma / scale;
        differenced(y / scale, parts, scale, |v, n| normal_integral(v, sigma, n))
    }
}

fn step(v: f64) -> f64 {
    if v > 0.0 { 1.0 } else { 0.0 }
}

/// 1/(2ⁿ·Πaᵢ) · Σ over signs of (Πεᵢ)·J(y + Σεᵢaᵢ).
fn differenced(y: f64, parts: &[f64], scale: f64, integral: impl Fn(f64, u32) -> f64) -> f64 {
    let n = parts.len() as u32;
    let mut sum = 0.0;
    for signs in 0..1u32 << n {
        let at = parts
            .iter()
            .enumerate()
            .fold(y, |at, (i, a)| if signs >> i & 1 == 1 { at - a / scale } else { at + a / scale });
        let term = integral(at, n);
        sum += if signs.count_ones() % 2 == 1 { -term } else { term };
    }
    sum / parts.iter().map(|a| 2.0 * a / scale).product::<f64>()
}

/// Jₙ(v) for a normal part of standard uncertainty `sigma`.
fn normal_integral(v: f64, sigma: f64, n: u32) -> f64 {
    let z = v / sigma;
    // Beyond nine standard uncertainties the normal distribution is a step to 1e-19.
    let (mut before, mut now) =
        if z.abs() > 9.0 { (0.0, step(v)) } else { (normal_density(z) / sigma, normal_below(z)) };
    for k in 1..=n {
        (before, now) = (now, (v * now + sigma * sigma * before) / f64::from(k));
    }
    now
}

#[cfg(test)]
#[path = "chance_tests.rs"]
mod tests;
