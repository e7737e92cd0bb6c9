//! How much of a wave passes an edge: Fresnel integrals.
//!
//! Past a half plane whose edge stands ν above the line of sight the field over that without it is
//! P(ν) = (1+j)/2·∫ν^∞ e^(−jπt²/2) dt = ½·erfc(e^(jπ/4)·√(π/2)·ν), ν = h·√(2/λ·(1/d1 + 1/d2)) (ITU-R P.526, section 4.1).
//! Exactly: erf by its series in powers near nought (DLMF 7.6.2), erfc by its continued fraction beyond (DLMF 7.9.3); both hold
//! along the line of 45° that is needed here, to 1e−13. There z² has no real part, so that both need real divisions alone.
//!
//! A link asks for it by the hundred. P·e^(jπν²/2) is smooth even in u = 1/(1+ν), from nought to one, so there it is read from
//! polynomials, which the compiler makes from the exact form (Chebyshev's points, [`PIECES`] pieces): no loop, no case told
//! apart, and within 1e−12 of the whole field everywhere (tested). What turns comes by [`Complex::quarters`].

use crate::Complex;
use std::f64::consts::{FRAC_1_SQRT_2, FRAC_2_SQRT_PI, FRAC_PI_2, PI, TAU};

/// Where the two exact forms meet, in |z|.
const MEETING: f64 = 2.5;
/// √(π/2).
const SCALE: f64 = 2.0 / FRAC_2_SQRT_PI * FRAC_1_SQRT_2;
/// Pieces over u, and coefficients of each.
const PIECES: usize = 64;
const TERMS: usize = 8;
/// From here on 2e−8 of the field is left at most, and its phase has no digits.
const ENDLESS: f64 = 1e7;

/// By rising powers of a place from −1 to 1 on each piece: real and imaginary parts.
static SMOOTH: [[[f64; 2]; TERMS]; PIECES] = pieces();

/// The share of amplitude that passes an edge; nought deep behind it, one far above it.
#[inline]
pub(crate) fn passed(nu: f64) -> Complex {
    let far = if nu.abs() > ENDLESS { ENDLESS } else { nu.abs() };
    let along = PIECES as f64 / (1.0 + far);
    // The last piece holds u = 1.
    let piece = (along as usize).min(PIECES - 1);
    let smooth = polynomial(&SMOOTH[piece], 2.0 * (along - piece as f64) - 1.0);
    let shadow = smooth * Complex::quarters(-far * far);
    let (whole, sign) = if nu < 0.0 { (1.0, -1.0) } else { (0.0, 1.0) };
    Complex::new(whole + sign * shadow.re, sign * shadow.im)
}

#[inline]
fn polynomial(c: &[[f64; 2]; TERMS], t: f64) -> Complex {
    let t2 = t * t;
    let t4 = t2 * t2;
    let part = |n: usize| {
        let pair = |k: usize| c[k][n] + c[k + 1][n] * t;
        (pair(0) + pair(2) * t2) + (pair(4) + pair(6) * t2) * t4
    };
    Complex::new(part(0), part(1))
}

/// The same exactly, for the pieces: arithmetic alone, so that the compiler can do it.
const fn exactly(nu: f64) -> [f64; 2] {
    let size = SCALE * nu;
    let square = 2.0 * size * size;
    if size < MEETING {
        // z·(1 + 2z²/3 + (2z²)²/(3·5) + …), 2z² = j·πν².
        let z = FRAC_1_SQRT_2 * size;
        let (mut term, mut sum, mut odd) = ([z, z], [z, z], 1.0);
        while odd < 160.0 {
            odd += 2.0;
            let next = square / odd;
            term = [-term[1] * next, term[0] * next];
            sum = [sum[0] + term[0], sum[1] + term[1]];
        }
        let turned = turn(0.5 * square);
        let k = FRAC_2_SQRT_PI;
        return [0.5 * (turned[0] - k * sum[0]), 0.5 * (turned[1] - k * sum[1])];
    }
    // √π·e^(z²)·erfc z = 2z/(2z² + 1 − 1·2/(2z² + 5 − 3·4/(2z² + 9 − …))), from the far end.
    let mut k = 200.0;
    let mut below = [4.0 * k + 1.0, square];
    while k > 0.0 {
        k -= 1.0;
        let part = (2.0 * k + 1.0) * (2.0 * k + 2.0) / (below[0] * below[0] + below[1] * below[1]);
        below = [4.0 * k + 1.0 - part * below[0], square + part * below[1]];
    }
    let over = FRAC_1_SQRT_2 * size * 0.5 * FRAC_2_SQRT_PI / (below[0] * below[0] + below[1] * below[1]);
    [over * (below[0] + below[1]), over * (below[0] - below[1])]
}

/// Cosine and sine by their series, of an angle of at least nought.
const fn turn(mut angle: f64) -> [f64; 2] {
    while angle > PI {
        angle -= TAU;
    }
    let (mut term, mut both, mut n) = (1.0, [1.0, 0.0], 0.0);
    while n < 60.0 {
        term *= angle / (n + 1.0);
        both[1] += term;
        term *= -angle / (n + 2.0);
        both[0] += term;
        n += 2.0;
    }
    both
}

const fn pieces() -> [[[f64; 2]; TERMS]; PIECES] {
    let mut all = [[[0.0; 2]; TERMS]; PIECES];
    let mut piece = 0;
    while piece < PIECES {
        all[piece] = fitted(piece);
        piece += 1;
    }
    all
}

/// Through Chebyshev's points of a piece: Σ aₙ·Tₙ(t), aₙ = 2/N·Σ w(tₖ)·cos n·θₖ, written out in powers.
const fn fitted(piece: usize) -> [[f64; 2]; TERMS] {
    let mut chebyshev = [[0.0; 2]; TERMS];
    let mut k = 0;
    while k < TERMS {
        let angle = PI * (k as f64 + 0.5) / TERMS as f64;
        let value = exactly(PIECES as f64 / (piece as f64 + 0.5 * (1.0 + turn(angle)[0])) - 1.0);
        let mut n = 0;
        while n < TERMS {
            let weight = turn(n as f64 * angle)[0] * if n == 0 { 1.0 } else { 2.0 } / TERMS as f64;
            chebyshev[n] = [chebyshev[n][0] + value[0] * weight, chebyshev[n][1] + value[1] * weight];
            n += 1;
        }
        k += 1;
    }
    // T₀ = 1, T₁ = t, Tₙ₊₁ = 2t·Tₙ − Tₙ₋₁, by their own powers.
    let mut powers = [[0.0; 2]; TERMS];
    let (mut before, mut now) = ([0.0; TERMS], [0.0; TERMS]);
    now[0] = 1.0;
    let mut n = 0;
    while n < TERMS {
        let mut next = [0.0; TERMS];
        let mut k = 0;
        while k < TERMS {
            powers[k] = [powers[k][0] + chebyshev[n][0] * now[k], powers[k][1] + chebyshev[n][1] * now[k]];
            if k + 1 < TERMS {
                next[k + 1] += now[k] * if n == 0 { 1.0 } else { 2.0 };
            }
            next[k] -= before[k];
            k += 1;
        }
        (before, now) = (now, next);
        n += 1;
    }
    powers
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

/// [`passed`] by the exact forms alone.
#[cfg(test)]
pub(crate) fn passed_exactly(nu: f64) -> Complex {
    if nu.is_infinite() {
        return if nu > 0.0 { Complex::ZERO } else { Complex::ONE };
    }
    let [re, im] = exactly(nu.abs());
    let shadow = Complex::new(re, im) * Complex::phase(-FRAC_PI_2 * nu * nu);
    if nu < 0.0 { Complex::ONE - shadow } else { shadow }
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
    fn the_polynomials_are_the_exact_form_to_a_million_millionth() {
        let mut worst: f64 = 0.0;
        for n in 0..60_000 {
            let nu = f64::from(n) * 4.1e-4 - 4.0;
            worst = worst.max((passed(nu) - passed_exactly(nu)).size());
        }
        assert!(worst < 1e-12, "{worst:e}");
        for far in [30.0, 200.0, 3e3, 1e4] {
            let off = (passed(far) - passed_exactly(far)).size();
            assert!(off < 1e-12, "{far}: {off:e}");
        }
    }

    #[test]
    fn the_two_exact_forms_meet() {
        let at = MEETING / FRAC_PI_2.sqrt();
        assert!((passed_exactly(at - 1e-13) - passed_exactly(at + 1e-13)).size() < 1e-12);
        // A straight run across the seam: the slope is e^(−jπν²/2)·(1+j)/2 to first order.
        let slope = (passed_exactly(at + 1e-4) - passed_exactly(at - 1e-4)) * (1.0 / 2e-4);
        let expected = -Complex::new(0.5, 0.5) * Complex::phase(-FRAC_PI_2 * at * at);
        assert!((slope - expected).size() < 1e-6, "{slope:?} {expected:?}");
    }

    #[test]
    fn half_passes_at_the_edge_and_all_far_above() {
        assert!((passed(0.0) - Complex::real(0.5)).size() < 1e-13);
        assert!((passed(-400.0) - Complex::ONE).size() < 1e-3 && passed(400.0).size() < 1e-3);
        for endless in [f64::INFINITY, 1e9] {
            assert!(passed(endless).size() < 1e-7 && (passed(-endless) - Complex::ONE).size() < 1e-7);
        }
        assert!(passed(f64::NAN).re.is_nan());
    }
}
