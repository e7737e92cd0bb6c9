//! How much of a wave passes an edge: Fresnel integrals, by the complementary error function of a complex number.
//!
//! Past a half plane whose edge stands ν above the line of sight the field over that without it is
//! (1+j)/2·∫ν^∞ e^(−jπt²/2) dt = ½·erfc(e^(jπ/4)·√(π/2)·ν), ν = h·√(2/λ·(1/d1 + 1/d2)) (ITU-R P.526, section 4.1).
//! erf by its series in powers near nought (DLMF 7.6.2), erfc by its continued fraction beyond (DLMF 7.9.3); both hold along
//! the line of 45° that is needed here, to 1e−12. There z² has no real part, so that both need real divisions alone.

use crate::Complex;
use std::f64::consts::{FRAC_1_SQRT_2, FRAC_PI_2, PI};

/// Where the two forms meet, in |z|.
const MEETING: f64 = 2.5;

/// The share of amplitude that passes an edge; nought deep behind it, one far above it.
pub(crate) fn passed(nu: f64) -> Complex {
    if nu == f64::INFINITY {
        return Complex::ZERO;
    }
    if nu < 0.0 {
        return Complex::ONE - passed(-nu);
    }
    let size = FRAC_PI_2.sqrt() * nu;
    let z = Complex::new(FRAC_1_SQRT_2, FRAC_1_SQRT_2) * size;
    // e^(−z²) with z² = j·πν²/2 exactly.
    let scale = Complex::phase(-FRAC_PI_2 * nu * nu);
    if size < MEETING {
        let square = 2.0 * size * size;
        let (mut term, mut sum, mut odd) = (z, z, 1.0);
        while term.power() > 1e-34 && odd < 400.0 {
            odd += 2.0;
            let next = square / odd;
            term = Complex::new(-term.im * next, term.re * next);
            sum += term;
        }
        return (Complex::ONE - scale * sum * (2.0 / PI.sqrt())) * 0.5;
    }
    // √π·e^(z²)·erfc z = 2z/(2z² + 1 − 1·2/(2z² + 5 − 3·4/(2z² + 9 − …))), from the far end.
    // The farther out, the fewer terms: 80 where the two forms meet, 6 from |z| = 9 on.
    let terms = (500.0 / (size * size)).ceil().clamp(6.0, 80.0) as u32;
    let square = 2.0 * size * size;
    let last = Complex::new(4.0 * f64::from(terms) + 1.0, square);
    let below = (0..terms).rev().fold(last, |below, k| {
        let k = f64::from(k);
        let part = (2.0 * k + 1.0) * (2.0 * k + 2.0) / below.power();
        Complex::new(4.0 * k + 1.0 - part * below.re, square + part * below.im)
    });
    scale * z / (below * PI.sqrt())
}

/// The same, true to 0.003 of the whole field, by the rational forms of the auxiliary functions f and g (Abramowitz & Stegun
/// 7.3.32 and 7.3.33): for screens on a craft, asked by the hundred and known to some decibels.
pub(crate) fn passed_nearly(nu: f64) -> Complex {
    if nu < 0.0 {
        return Complex::ONE - passed_nearly(-nu);
    }
    if nu > 1e8 {
        return Complex::ZERO;
    }
    let f = (1.0 + 0.926 * nu) / (2.0 + nu * (1.792 + 3.104 * nu));
    let g = 1.0 / (2.0 + nu * (4.142 + nu * (3.492 + 6.670 * nu)));
    let (sine, cosine) = (FRAC_PI_2 * nu * nu).sin_cos();
    // ½ − C = g·cos − f·sin, ½ − S = f·cos + g·sin.
    Complex::new(0.5, 0.5) * Complex::new(g * cosine - f * sine, -(f * cosine + g * sine))
}

/// The Fresnel integrals C and S of π/2·t², from nought to x.
pub fn fresnel_integrals(x: f64) -> (f64, f64) {
    let both = Complex::new(0.5, -0.5) * (Complex::ONE - passed(x) * 2.0);
    (both.re, -both.im)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_quick_form_is_near() {
        for n in -600..600 {
            let nu = f64::from(n) * 0.01;
            assert!((passed(nu) - passed_nearly(nu)).size() < 0.003, "{nu}");
        }
    }

    #[test]
    fn the_two_forms_meet() {
        let at = MEETING / FRAC_PI_2.sqrt();
        assert!((passed(at - 1e-13) - passed(at + 1e-13)).size() < 1e-12);
        // A straight run across the seam: the slope is e^(−jπν²/2)·(1+j)/2 to first order.
        let slope = (passed(at + 1e-4) - passed(at - 1e-4)) * (1.0 / 2e-4);
        let expected = -Complex::new(0.5, 0.5) * Complex::phase(-FRAC_PI_2 * at * at);
        assert!((slope - expected).size() < 1e-6, "{slope:?} {expected:?}");
    }

    #[test]
    fn fewer_terms_far_out_are_as_good() {
        for n in 0..400 {
            let size = MEETING + 0.05 * f64::from(n);
            let z = Complex::new(FRAC_1_SQRT_2, FRAC_1_SQRT_2) * size;
            let tail = (1..=2000).rev().fold(z, |below, k| z + Complex::real(0.5 * f64::from(k)) / below);
            let nu = size / FRAC_PI_2.sqrt();
            let full = Complex::phase(-FRAC_PI_2 * nu * nu) / (tail * PI.sqrt()) * 0.5;
            assert!((passed(nu) - full).size() < 1e-12, "{nu}: {:e}", (passed(nu) - full).size());
        }
    }

    #[test]
    fn half_passes_at_the_edge_and_all_far_above() {
        assert!((passed(0.0) - Complex::real(0.5)).size() < 1e-15);
        assert!((passed(-400.0) - Complex::ONE).size() < 1e-3 && passed(400.0).size() < 1e-3);
        assert_eq!(passed(f64::INFINITY), Complex::ZERO);
        assert_eq!(passed(f64::NEG_INFINITY), Complex::ONE);
    }
}
