//! Complex numbers: amplitudes with their phase, and media that lose.
//!
//! Only what the formulas of this crate need. The square root is the one with a real part of at least nought, so that
//! a wave e^(−jkr) in a medium ε' − jε'' decays.

use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

/// 1/n! by turns above and below nought: for odd n, and for even ones.
const SINE: [f64; 8] = [
    1.0,
    -1.0 / 6.0,
    1.0 / 120.0,
    -1.0 / 5_040.0,
    1.0 / 362_880.0,
    -1.0 / 39_916_800.0,
    1.0 / 6_227_020_800.0,
    -1.0 / 1_307_674_368_000.0,
];
const COSINE: [f64; 8] = [
    1.0,
    -1.0 / 2.0,
    1.0 / 24.0,
    -1.0 / 720.0,
    1.0 / 40_320.0,
    -1.0 / 3_628_800.0,
    1.0 / 479_001_600.0,
    -1.0 / 87_178_291_200.0,
];

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
    /// Of length one at an angle in quarters of a turn, to 1e-15 of the angle's own last digits: a few times faster than
    /// [`Complex::phase`], as nothing has to be divided by π and no case has to be told apart.
    #[inline]
    pub(crate) fn quarters(quarters: f64) -> Self {
        // Adding this leaves the nearest whole number in the last bits.
        const WHOLE: f64 = 6_755_399_441_055_744.0;
        if quarters.abs() >= 1e15 {
            return Self::phase(quarters % 4.0 * std::f64::consts::FRAC_PI_2);
        }
        let shifted = quarters + WHOLE;
        let whole = shifted.to_bits();
        let a = (quarters - (shifted - WHOLE)) * std::f64::consts::FRAC_PI_2;
        // At most an eighth of a turn is left: Taylor's series to the last digit, in halves that do not wait for each other.
        let (b, b2) = (a * a, a * a * a * a);
        let sum = |c: [f64; 8]| {
            let near = (c[0] + c[1] * b) + (c[2] + c[3] * b) * b2;
            near + ((c[4] + c[5] * b) + (c[6] + c[7] * b) * b2) * (b2 * b2)
        };
        let (sin, cos) = (a * sum(SINE), sum(COSINE));
        let (re, im) = if whole & 1 == 0 { (cos, sin) } else { (sin, cos) };
        let signed = |value: f64, minus: u64| f64::from_bits(value.to_bits() ^ ((minus >> 1 & 1) << 63));
        Self::new(signed(re, whole.wrapping_add(1)), signed(im, whole))
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
    /// The same root where no square runs over: faster.
    #[inline]
    pub(crate) fn root(self) -> Self {
        let size = self.power().sqrt();
        if size == 0.0 {
            return Self::ZERO;
        }
        let large = (0.5 * (size + self.re.abs())).sqrt();
        let small = 0.5 * self.im.abs() / large;
        let (re, im) = if self.re >= 0.0 { (large, small) } else { (small, large) };
        Self::new(re, im.copysign(self.im))
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
            prop_assert!((a.root() - root).size() < 1e-14 * (1.0 + root.size()));
        }
    }

    proptest! {
        #[test]
        fn quarters_of_a_turn_are_the_turn(quarters in -1e4..1e4f64) {
            let plain = Complex::phase(quarters % 4.0 * std::f64::consts::FRAC_PI_2);
            prop_assert!((Complex::quarters(quarters) - plain).size() < 1e-14);
        }
    }

    #[test]
    fn whole_quarters_stand_on_the_axes() {
        for (quarters, expected) in
            [(0.0, Complex::ONE), (1.0, Complex::J), (-2.0, -Complex::ONE), (7.0, -Complex::J)]
        {
            assert!((Complex::quarters(quarters) - expected).size() < 1e-15, "{quarters}");
        }
        assert!(Complex::quarters(f64::NAN).re.is_nan() && Complex::quarters(3e15).size() < 1.001);
    }

    #[test]
    fn a_turn_by_half_a_circle_is_minus_one() {
        assert!((Complex::phase(std::f64::consts::PI) + Complex::ONE).size() < 1e-15);
        assert!((Complex::new(1.0, std::f64::consts::PI).exp() + Complex::real(1f64.exp())).size() < 1e-14);
        assert_eq!(Complex::J * Complex::J, -Complex::ONE);
        assert_eq!(Complex::ZERO.sqrt(), Complex::ZERO);
    }
}
