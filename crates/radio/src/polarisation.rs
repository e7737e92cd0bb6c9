//! How much of a wave does an antenna take, from hand, axial ratio and tilt alone?
//!
//! A wave is two complex amplitudes square to its way (Jones vector): across (level, to the left of one who looks
//! along it) and up. With e^(+jωt) a right-hand wave is (1, −j)/√2, a left-hand one (1, +j)/√2: right-hand turns
//! clockwise seen from behind. An ellipse with axial ratio r and tilt τ of its long axis above level is
//! Z(τ)·(cos χ, ∓j·sin χ), tan χ = 1/r.
//!
//! An antenna that sends b the other way takes the share |−a₁b₁ + a₂b₂|² of a wave a: its own level axis points the
//! other way, so equal hands fit and so do two upright dipoles. Equal to the handbook form
//! ½ + (±4r₁r₂ + (1−r₁²)(1−r₂²)·cos 2Δ) / (2(1+r₁²)(1+r₂²)).
//!
//! A surface multiplies the two parts by its two reflection coefficients, and the new up is again square to the new
//! way. A mirror met square on has −1 across and +1 up: the hand is reversed. At grazing both are −1: it is kept.

use crate::{Complex, RadioFault};
use quantity::{Db, Degrees, Grade, Source};

/// Where the definitions come from.
pub const POLARISATION_SOURCE: Source = Source {
    title: "Balanis, Antenna Theory; IEEE Std 145 for the hands",
    place: "section 2.12, polarisation loss factor",
    grade: Grade::Memory,
};

/// The axial ratio past which a wave counts as linear.
const LINEAR: Db = Db::new(60.0);

/// Which way a circular wave turns.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Hand {
    /// Clockwise, seen from behind.
    Right,
    /// Anticlockwise, seen from behind.
    Left,
}

/// Up to this ratio of the axes, a hundredth of a decibel, a wave is round.
const ROUND: f64 = 1.001_152;

impl Hand {
    /// The other hand.
    pub const fn other(self) -> Self {
        match self {
            Hand::Right => Hand::Left,
            Hand::Left => Hand::Right,
        }
    }
}

/// The polarisation of an antenna in the direction it is meant for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Polarisation {
    /// Long axis over short, as amplitudes; infinite if linear.
    ratio: f64,
    tilt: Degrees,
    hand: Hand,
}

impl Polarisation {
    /// Upright: along the mast.
    pub const UPRIGHT: Self = Self::linear(Degrees::new(90.0));

    /// Linear, tilted so far above the level.
    pub const fn linear(tilt: Degrees) -> Self {
        Self { ratio: f64::INFINITY, tilt, hand: Hand::Right }
    }
    /// Perfectly circular.
    pub const fn circular(hand: Hand) -> Self {
        Self { ratio: 1.0, tilt: Degrees::new(0.0), hand }
    }
    /// Elliptical, with the tilt of the long axis above the level. An axial ratio of 0 dB is circular.
    pub fn elliptical(hand: Hand, axial_ratio: Db, tilt: Degrees) -> Result<Self, RadioFault> {
        RadioFault::within(
            "axial ratio",
            axial_ratio,
            Db::new(0.0),
            LINEAR,
            "give it as a ratio of at least 1",
        )?;
        Ok(Self { ratio: 10f64.powf(axial_ratio.get() / 20.0), tilt, hand })
    }
    /// The axial ratio; `None` if linear.
    pub fn axial_ratio(self) -> Option<Db> {
        self.ratio.is_finite().then(|| Db::new(20.0 * self.ratio.log10()))
    }
    /// The hand; `None` if linear.
    pub fn hand(self) -> Option<Hand> {
        self.ratio.is_finite().then_some(self.hand)
    }
    /// The tilt of its long axis above the level, from −90 to 90 degrees; `None` where it is so round that no axis is the longer.
    pub fn tilt(self) -> Option<Degrees> {
        let turned = (self.tilt.get() + 90.0).rem_euclid(180.0) - 90.0;
        // −90 and 90 degrees are one.
        let turned = if turned <= -90.0 { 90.0 } else { turned };
        (self.ratio > ROUND).then(|| Degrees::new(turned))
    }
    /// The same ellipse turned the other way; `None` if linear.
    pub fn other_handed(self) -> Option<Self> {
        self.hand().map(|hand| Self { hand: hand.other(), ..self })
    }
    /// Its two amplitudes, of power one together.
    pub fn jones(self) -> Jones {
        let short = (1.0 / self.ratio).atan();
        let (sin, cos) = short.sin_cos();
        let turning = match self.hand {
            Hand::Right => -Complex::J,
            Hand::Left => Complex::J,
        };
        let (long, short) = (Complex::real(cos), turning * sin);
        let (st, ct) = self.tilt.get().to_radians().sin_cos();
        Jones { across: long * ct - short * st, up: long * st + short * ct }
    }
}

/// A wave's two amplitudes, square to its way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Jones {
    /// Level, to the left of one who looks along the wave.
    pub across: Complex,
    /// Upward.
    pub up: Complex,
}

impl Jones {
    /// The power of the wave.
    pub fn power(self) -> f64 {
        self.across.power() + self.up.power()
    }
    /// After a surface in whose plane `across` lies, with its coefficients across and in the plane of incidence.
    pub fn reflected(self, across: Complex, up: Complex) -> Jones {
        Jones { across: self.across * across, up: self.up * up }
    }
    /// Its amplitude of one hand.
    pub fn of_hand(self, hand: Hand) -> Complex {
        let turning = match hand {
            Hand::Right => Complex::J,
            Hand::Left => -Complex::J,
        };
        (self.across + self.up * turning) * std::f64::consts::FRAC_1_SQRT_2
    }
    /// The shares of it that an antenna takes, however the long axes of both ellipses lie to each other: the greatest and the least. Both are given as sent,
    /// each in its own frame; nothing is taken of no wave.
    pub(crate) fn fits_at_any_tilt(self, receiving: Jones) -> [f64; 2] {
        let both = self.power() * receiving.power();
        let [right, left] =
            [Hand::Right, Hand::Left].map(|hand| self.of_hand(hand).size() * receiving.of_hand(hand).size());
        // Turning one ellipse turns the phases of its two hands against each other, and nothing else.
        let share = |amplitude: f64| {
            let taken = if both > 0.0 { amplitude * amplitude / both } else { 0.0 };
            taken.clamp(PUREST * PUREST, 1.0)
        };
        [share(right + left), share((right - left).abs())]
    }
    /// Its polarisation, as an ellipse; `None` if there is no wave.
    pub fn polarisation(self) -> Option<Polarisation> {
        let (right, left) = (self.of_hand(Hand::Right), self.of_hand(Hand::Left));
        let (r, l) = (right.size(), left.size());
        let whole = r.max(l);
        if !(whole > 0.0 && whole.is_finite()) {
            return None;
        }
        let hand = if r >= l { Hand::Right } else { Hand::Left };
        // Right is (1, −j), left (1, j): the long axis lies where the two meet, halfway between their phases.
        let tilt = Degrees::new(0.5 * (right.angle() - left.angle()).to_degrees());
        let ratio = if (r - l).abs() < 1e-12 * whole { f64::INFINITY } else { (r + l) / (r - l).abs() };
        Some(Polarisation { ratio, tilt, hand })
    }
}

/// The amplitude that an antenna takes of a wave, both given as sent, each in its own frame.
pub(crate) fn taken(sent: Jones, receiving: Jones) -> Complex {
    sent.up * receiving.up - sent.across * receiving.across
}

/// How far below what would fit an antenna takes at least, as amplitudes: none sends so purely that nothing is left across.
/// Good antennas of a workshop keep 30 dB. Common practice.
pub(crate) const PUREST: f64 = 0.031_622_776_601_683_79;

/// The amplitude that an antenna takes of a wave, where both antennas are as pure as antennas are: of what it would take if all fitted, so
/// little at least.
///
/// What is left across goes the way of the wave, over walls and ground, and fares by the mean of what they do to either polarisation (the
/// root of the product of both), so that it is the same from either end.
pub(crate) fn taken_as_built(arriving: Jones, receiving: Jones, fitting: f64) -> Complex {
    let fits = taken(arriving, receiving);
    let (size, least) = (fits.power().sqrt(), PUREST * fitting);
    if size >= least {
        fits
    } else if size > 0.0 {
        fits * (least / size)
    } else {
        Complex::new(least, 0.0)
    }
}

/// The amplitude that would be taken of a wave if it fitted, both as sent.
pub(crate) fn if_it_fitted(sent: Jones, receiving: Jones) -> f64 {
    (sent.power() * receiving.power()).sqrt()
}

/// The share of a wave's power that an antenna takes; both polarisations are given as the antennas send, each
/// seen by one who looks along its own wave. Two tilts of 45° are therefore crossed.
pub fn coupling(sending: Polarisation, receiving: Polarisation) -> f64 {
    taken(sending.jones(), receiving.jones()).power()
}

/// The least and the greatest coupling when the tilts are not known.
pub fn coupling_by_tilt(sending: Polarisation, receiving: Polarisation) -> (f64, f64) {
    let at =
        |polarisation: Polarisation, tilt: f64| Polarisation { tilt: Degrees::new(tilt), ..polarisation };
    let along = coupling(at(sending, 0.0), at(receiving, 0.0));
    let crossed = coupling(at(sending, 0.0), at(receiving, 90.0));
    (along.min(crossed), along.max(crossed))
}

/// How much weaker the other hand is than the antenna's own: 20·log10((r+1)/(r−1)); the deepest loss if it is
/// perfectly circular, nought if linear.
pub fn discrimination(polarisation: Polarisation) -> Db {
    let jones = polarisation.jones();
    let (right, left) = (jones.of_hand(Hand::Right).power(), jones.of_hand(Hand::Left).power());
    crate::loss_of(right.min(left) / right.max(left))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{DEEPEST, loss_of};
    use proptest::prelude::*;

    fn ellipse(hand: Hand, ratio: f64, tilt: f64) -> Polarisation {
        Polarisation::elliptical(hand, Db::new(ratio), Degrees::new(tilt)).unwrap_or(Polarisation::UPRIGHT)
    }

    /// The handbook's form, of ratios and the tilt between the two as one sees both.
    fn handbook(r1: f64, r2: f64, equal: bool, between: f64) -> f64 {
        let (a, b) = (r1 * r1, r2 * r2);
        let sign = if equal { 4.0 } else { -4.0 };
        let turning = (1.0 - a) * (1.0 - b) * (2.0 * between.to_radians()).cos();
        0.5 + (sign * r1 * r2 + turning) / (2.0 * (1.0 + a) * (1.0 + b))
    }

    #[test]
    fn the_other_hand_keeps_the_ellipse_and_turns_the_other_way() {
        let right = Polarisation::elliptical(Hand::Right, Db::new(2.0), Degrees::new(30.0));
        let left = Polarisation::elliptical(Hand::Left, Db::new(2.0), Degrees::new(30.0)).ok();
        assert_eq!(right.ok().and_then(Polarisation::other_handed), left);
        assert_eq!(Polarisation::UPRIGHT.other_handed(), None);
    }

    #[test]
    fn like_hands_fit_and_unlike_do_not() {
        let (right, left) = (Polarisation::circular(Hand::Right), Polarisation::circular(Hand::Left));
        assert!((coupling(right, right) - 1.0).abs() < 1e-12 && coupling(right, left) < 1e-30);
        assert!((coupling(right, Polarisation::UPRIGHT) - 0.5).abs() < 1e-12);
        assert!((coupling(Polarisation::UPRIGHT, Polarisation::UPRIGHT) - 1.0).abs() < 1e-12);
        assert_eq!(discrimination(right), DEEPEST);
        assert!(discrimination(Polarisation::UPRIGHT).get().abs() < 1e-9);
    }

    #[test]
    fn a_mirror_reverses_the_hand_and_a_grazing_bounce_keeps_it() {
        let right = Polarisation::circular(Hand::Right).jones();
        let mirrored = right.reflected(-Complex::ONE, Complex::ONE);
        assert_eq!(mirrored.polarisation().and_then(Polarisation::hand), Some(Hand::Left));
        let grazed = right.reflected(-Complex::ONE, -Complex::ONE);
        assert_eq!(grazed.polarisation().and_then(Polarisation::hand), Some(Hand::Right));
    }

    #[test]
    fn a_ratio_below_one_is_refused() {
        let fault =
            Polarisation::elliptical(Hand::Left, Db::new(-1.0), Degrees::new(0.0)).map_err(|f| f.to_string());
        let words = "axial ratio -1 dB must lie between 0 dB and 60 dB; give it as a ratio of at least 1";
        assert_eq!(fault, Err(words.to_owned()));
    }

    #[test]
    fn of_all_tilts_the_best_and_the_worst_are_those_of_the_handbook() {
        // ½ + (4·r₁·r₂ ± (1−r₁²)(1−r₂²)) / (2(1+r₁²)(1+r₂²)): axes alike, and crossed.
        for (a, b) in [(1.0, 1.0), (1.2, 1.5), (2.0, 3.0), (1.2, f64::INFINITY)] {
            let of = |ratio: f64, tilt: f64| {
                Polarisation { ratio, tilt: Degrees::new(tilt), hand: Hand::Right }.jones()
            };
            let book = |sign: f64| {
                let [x, y] = [a, b].map(|r: f64| 2.0 / (r + 1.0 / r));
                let [u, v] = [x, y].map(|x: f64| (1.0 - x * x).sqrt());
                0.5 + 0.5 * (x * y + sign * u * v)
            };
            for tilt in [0.0, 30.0, 90.0] {
                let [most, least] = of(a, 20.0).fits_at_any_tilt(of(b, tilt));
                assert!((most - book(1.0)).abs() < 1e-9 && (least - book(-1.0)).abs() < 1e-9, "{a} {b}");
                let now = taken(of(a, 20.0), of(b, tilt)).power();
                assert!(least - 1e-9 <= now && now <= most + 1e-9);
            }
        }
    }

    proptest! {
        #[test]
        fn coupling_is_the_handbooks(a in 0.0..20.0f64, b in 0.0..20.0f64, ta in -90.0..90.0f64, tb in -90.0..90.0f64,
                                     equal in any::<bool>()) {
            let other = if equal { Hand::Right } else { Hand::Left };
            let (one, two) = (ellipse(Hand::Right, a, ta), ellipse(other, b, tb));
            let ratio = |db: f64| 10f64.powf(db / 20.0);
            // The second looks the other way: its tilt is mirrored for one who sees both.
            let expected = handbook(ratio(a), ratio(b), equal, ta + tb);
            prop_assert!((coupling(one, two) - expected).abs() < 1e-9);
            prop_assert!((coupling(one, two) - coupling(two, one)).abs() < 1e-12);
            let (least, most) = coupling_by_tilt(one, two);
            prop_assert!(least - 1e-12 <= expected && expected <= most + 1e-12);
        }

        #[test]
        fn both_hands_together_take_all(a in 0.0..20.0f64, tilt in -90.0..90.0f64) {
            let wave = ellipse(Hand::Left, a, tilt);
            let sum: f64 = [Hand::Left, Hand::Right].map(|hand| coupling(wave, Polarisation::circular(hand))).iter().sum();
            prop_assert!((sum - 1.0).abs() < 1e-12);
            prop_assert!((wave.jones().power() - 1.0).abs() < 1e-12);
        }

        #[test]
        fn an_ellipse_is_told_again_from_its_wave(a in 0.1..30.0f64, tilt in -89.0..89.0f64) {
            let told = ellipse(Hand::Left, a, tilt).jones().polarisation();
            let told = told.unwrap_or(Polarisation::UPRIGHT);
            prop_assert_eq!(told.hand(), Some(Hand::Left));
            prop_assert!((told.axial_ratio().map_or(f64::NAN, Db::get) - a).abs() < 1e-6);
            let off = (told.tilt.get() - tilt).rem_euclid(180.0);
            prop_assert!(off.min(180.0 - off) < 1e-4, "{} for {tilt}", told.tilt);
        }

        #[test]
        fn opposite_hands_of_equal_ratio_lose_least_when_along(a in 0.5..6.0f64) {
            let (least, most) = coupling_by_tilt(ellipse(Hand::Right, a, 0.0), ellipse(Hand::Left, a, 0.0));
            prop_assert!(least < 1e-12 && loss_of(most).get() < 40.0);
        }
    }
}
