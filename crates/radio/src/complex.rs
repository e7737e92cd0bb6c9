//! Complex numbers: amplitudes with their phase, and media that lose.
//!
//! Only what the formulas of this crate need. The square root is the one with a real part of at least nought, so that
//! a wave e^(−jkr) in a medium ε' − jε'' decays.

use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

/// A complex number.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Complex {
    /// The real part.
    pub re: f64,
    /// The imaginary part.
    pub im: f64,
}

impl Complex {
    /// Nought.
    pub const ZERO: Self = Self::new(0.0, 0.0);
    /// One.
    pub const ONE: Self = Self::new(1.0, 0.0);
    /// The imaginary unit.
    pub const J: Self = Self::new(0.0, 1.0);

    /// Of a real and an imaginary part.
    pub const fn new(re: f64, im: f64) -> Self {
        Self { re, im }
    }
    /// A plain number.
    pub const fn real(re: f64) -> Self {
        Self::new(re, 0.0)
    }
    /// Of length one at an angle in radians.
    pub fn phase(radians: f64) -> Self {
        let (sin, cos) = radians.sin_cos();
        Self::new(cos, sin)
    }
    /// e to this power.
    pub fn exp(self) -> Self {
        Self::phase(self.im) * self.re.exp()
    }
    /// The conjugate.
    pub fn conj(self) -> Self {
        Self::new(self.re, -self.im)
    }
    /// The length squared: the power of an amplitude.
    pub fn power(self) -> f64 {
        self.re * self.re + self.im * self.im
    }
    /// The length.
    pub fn size(self) -> f64 {
        self.re.hypot(self.im)
    }
    /// The angle in radians.
    pub fn angle(self) -> f64 {
        self.im.atan2(self.re)
    }
    /// The square root whose real part is at least nought.
    pub fn sqrt(self) -> Self {
        let size = self.size();
        if size == 0.0 {
            return Self::ZERO;
        }
        // The larger part by the root, the other from 2·re·im: no digits are lost near either axis.
        let large = (0.5 * (size + self.re.abs())).sqrt();
        let small = 0.5 * self.im.abs() / large;
        let (re, im) = if self.re >= 0.0 { (large, small) } else { (small, large) };
        Self::new(re, im.copysign(self.im))
    }
}

impl Add for Complex {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self::new(self.re + o.re, self.im + o.im)
    }
}
impl AddAssign for Complex {
    fn add_assign(&mut self, o: Self) {
        *self = *self + o;
    }
}
impl Sub for Complex {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        Self::new(self.re - o.re, self.im - o.im)
    }
}
impl Neg for Complex {
    type Output = Self;
    fn neg(self) -> Self {
        Self::new(-self.re, -self.im)
    }
}
impl Mul for Complex {
    type Output = Self;
    fn mul(self, o: Self) -> Self {
        Self::new(self.re * o.re - self.im * o.im, self.re * o.im + self.im * o.re)
    }
}
impl Mul<f64> for Complex {
    type Output = Self;
    fn mul(self, k: f64) -> Self {
        Self::new(self.re * k, self.im * k)
    }
}
impl Div for Complex {
    type Output = Self;
    fn div(self, o: Self) -> Self {
        // Scaled by the larger part, so that no square runs over.
        let scale = o.re.abs().max(o.im.abs());
        let (re, im) = (o.re / scale, o.im / scale);
        let below = re * re + im * im;
        let over = self * Self::new(re, -im);
        Self::new(over.re / below / scale, over.im / below / scale)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn any() -> impl Strategy<Value = Complex> {
        (-1e3..1e3f64, -1e3..1e3f64).prop_map(|(re, im)| Complex::new(re, im))
    }

    proptest! {
        #[test]
        fn a_quotient_times_its_divisor_is_the_number(a in any(), b in any()) {
            prop_assume!(b.size() > 1e-3);
            prop_assert!((a / b * b - a).size() < 1e-9 * (1.0 + a.size()));
        }

        #[test]
        fn a_root_squared_is_the_number_and_does_not_grow(a in any()) {
            let root = a.sqrt();
            prop_assert!(root.re >= 0.0 && (root * root - a).size() < 1e-9 * (1.0 + a.size()));
        }
    }

    #[test]
    fn a_turn_by_half_a_circle_is_minus_one() {
        assert!((Complex::phase(std::f64::consts::PI) + Complex::ONE).size() < 1e-15);
        assert!((Complex::new(1.0, std::f64::consts::PI).exp() + Complex::real(1f64.exp())).size() < 1e-14);
        assert_eq!(Complex::J * Complex::J, -Complex::ONE);
        assert_eq!(Complex::ZERO.sqrt(), Complex::ZERO);
    }
}
