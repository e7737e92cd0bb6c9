//! The few special functions that doubt needs: normal and Student distributions.
//!
//! - erf by its series in powers for |x| < 3 (DLMF 7.6.2) and erfc by its continued fraction beyond
//!   (DLMF 7.9.2): both good to about 1e-15.
//! - ln Γ by Stirling's series after raising the argument above 12 (DLMF 5.11.1).
//! - the incomplete beta function by its continued fraction (DLMF 8.17.22), for Student's t:
//!   P(|T| ≤ t) = 1 − I(ν/(ν+t²); ν/2, ½).
//!
//! Left out: everything else. Nothing here is tuned for extreme tails beyond 1e-300.

use std::f64::consts::{FRAC_1_SQRT_2, PI, SQRT_2};

/// The complementary error function.
fn erfc(x: f64) -> f64 {
    if x < 0.0 {
        return 2.0 - erfc(-x);
    }
    if x > 27.0 {
        return 0.0;
    }
    let scale = (-x * x).exp();
    if x < 3.0 {
        // DLMF 7.6.2: erf x = 2/√π · e^(−x²) · Σ 2ⁿ x^(2n+1) / (1·3·…·(2n+1))
        let (mut term, mut sum, mut odd) = (x, x, 1.0);
        while term > sum * 1e-17 {
            odd += 2.0;
            term *= 2.0 * x * x / odd;
            sum += term;
        }
        return 1.0 - 2.0 / PI.sqrt() * scale * sum;
    }
    // DLMF 7.9.2, from the tail up: √π e^(x²) erfc x = 1/(x + ½/(x + 1/(x + 1½/(x + …))))
    let tail = (1..=60).rev().fold(x, |below, k| x + 0.5 * f64::from(k) / below);
    scale / (PI.sqrt() * tail)
}

/// The share of a standard normal distribution below `z`.
pub fn normal_below(z: f64) -> f64 {
    0.5 * erfc(-z * FRAC_1_SQRT_2)
}

/// The density of the standard normal distribution at `z`.
pub fn normal_density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / (SQRT_2 * PI.sqrt())
}

/// The share of Student's distribution with `degrees` of freedom that lies within ±`t`; normal where
/// `degrees` is infinite.
pub fn student_within(t: f64, degrees: f64) -> f64 {
    if degrees.is_infinite() {
        return 1.0 - erfc(t.abs() * FRAC_1_SQRT_2);
    }
    1.0 - beta_share(degrees / (degrees + t * t), degrees / 2.0, 0.5)
}

/// The factor t such that ±t holds the share `level` of Student's distribution: t_p(ν) of
/// JCGM 100:2008, table G.2. `None` unless 0 < level < 1 and degrees > 0.
pub fn coverage_factor(level: f64, degrees: f64) -> Option<f64> {
    if !(level > 0.0 && level < 1.0 && degrees > 0.0) {
        return None;
    }
    let mut high = 1.0;
    while student_within(high, degrees) < level {
        high *= 2.0;
        if high > 1e12 {
            return None;
        }
    }
    let mut low = 0.0;
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if student_within(middle, degrees) < level { low = middle } else { high = middle }
    }
    Some(0.5 * (low + high))
}

fn ln_gamma(x: f64) -> f64 {
    let (mut x, mut shift) = (x, 0.0);
    while x < 12.0 {
        shift -= x.ln();
        x += 1.0;
    }
    let inverse = 1.0 / (x * x);
    let series = (1.0 / 12.0
        - inverse * (1.0 / 360.0 - inverse * (1.0 / 1260.0 - inverse * (1.0 / 1680.0 - inverse / 1188.0))))
        / x;
    shift + (x - 0.5) * x.ln() - x + 0.5 * (2.0 * PI).ln() + series
}

/// The regularised incomplete beta function I(x; a, b).
fn beta_share(x: f64, a: f64, b: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if x >= 1.0 {
        return 1.0;
    }
    if x > (a + 1.0) / (a + b + 2.0) {
        return 1.0 - beta_share(1.0 - x, b, a);
    }
    let front = (ln_gamma(a + b) - ln_gamma(a) - ln_gamma(b) + a * x.ln() + b * (1.0 - x).ln()).exp() / a;
    // DLMF 8.17.22, worked from the tail: d(2m) = m(b−m)x/((a+2m−1)(a+2m)),
    // d(2m+1) = −(a+m)(a+b+m)x/((a+2m)(a+2m+1)).
    let fraction = (1..=400).rev().fold(1.0, |below, k| {
        let m = f64::from(k / 2);
        let d = if k % 2 == 0 {
            m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m))
        } else {
            -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0))
        };
        1.0 + d / below
    });
    front / fraction
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_two_forms_of_erfc_meet() {
        // Same argument by both forms, and the reflection; erfc(1) as printed in DLMF table 7.23.
        assert!((erfc(3.0 - 1e-9) - erfc(3.0 + 1e-9)).abs() < 1e-12);
        assert!((erfc(1.0) - 0.157_299_207_050_285_13).abs() < 1e-15);
        assert!((erfc(-0.7) + erfc(0.7) - 2.0).abs() < 1e-15);
        assert!((normal_below(0.0) - 0.5).abs() < 1e-16);
    }

    #[test]
    fn gamma_of_whole_and_half_numbers_is_known() {
        assert!((ln_gamma(5.0) - 24f64.ln()).abs() < 1e-13);
        assert!((ln_gamma(0.5) - PI.sqrt().ln()).abs() < 1e-13);
    }

    #[test]
    fn student_with_one_and_two_degrees_has_closed_forms() {
        for t in [0.1f64, 1.0, 3.0, 20.0] {
            assert!((student_within(t, 1.0) - 2.0 / PI * t.atan()).abs() < 1e-12, "{t}");
            assert!((student_within(t, 2.0) - t / (2.0 + t * t).sqrt()).abs() < 1e-12, "{t}");
        }
        let far = student_within(2.0, 1e7) - student_within(2.0, f64::INFINITY);
        assert!(far.abs() < 1e-6);
    }

    #[test]
    fn a_factor_is_refused_where_it_has_no_meaning() {
        for (level, degrees) in [(0.0, 5.0), (1.0, 5.0), (0.9, 0.0), (f64::NAN, 5.0), (0.9, f64::NAN)] {
            assert_eq!(coverage_factor(level, degrees), None);
        }
    }
}
