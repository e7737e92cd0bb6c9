//! How fast may a craft fly and still dodge what it sees from a distance?
//!
//! It flies on at speed v for a delay (picture late, pilot reacting), then banks at a steady rate ω and is pulled aside
//! while it keeps its height and its speed, until it has moved aside by y. At bank φ the pull aside is g·tan φ, up to
//! what thrust leaves: with weight W, drag D and thrust T at most, a = √(T² − W² − D²)/m, at the bank φ_a = atan(a/g).
//! - while it banks, sideways speed (g/ω)·(−ln cos φ) and way (g/ω²)·∫₀^φ (−ln cos u) du;
//! - from φ_a on, both grow with a, as from a standing start.
//!
//! It clears when v·(delay + time aside) is no more than the distance. Where drag grows with speed the pull left is less
//! the faster it flies, so what is needed only grows, and one speed divides what clears from what does not.
//!
//! Left out: drag sideways, the craft's own turn toward the obstacle's side, and what the pilot does better: a dodge
//! may also climb, or brake and bank at once.

use crate::OpticsFault;
use crate::fault::within;
use quantity::{
    DegreesPerSecond, Grade, Grams, KilogramsPerCubicMetre, Metres, MetresPerSecond, MetresPerSecondSquared,
    Newtons, Seconds, Source, SquareMetres,
};

use quantity::STANDARD_GRAVITY as GRAVITY;
use std::f64::consts::FRAC_PI_2;

/// Where it comes from.
pub const DODGE_SOURCE: Source = Source {
    title: "elementary mechanics of a banked rotorcraft that keeps its height",
    place: "pull aside g·tan φ under a bank that grows at a steady rate",
    grade: Grade::WorkedFromTheStandard,
};

/// Places and weights of Gauss and Legendre's rule with eight places, of one half: the other mirrors it.
const GAUSS: [(f64, f64); 4] = [
    (0.183_434_642_495_649_8, 0.362_683_783_378_362),
    (0.525_532_409_916_329, 0.313_706_645_877_887_3),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_48),
    (0.960_289_856_497_536_3, 0.101_228_536_290_376_26),
];
/// The steepest bank: beyond it the whole thrust pulls aside all but a fraction.
const BANK_MAX: f64 = 1.55;

/// What a craft must do to dodge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dodge {
    /// From how far the obstacle is seen.
    pub seen_from: Metres,
    /// From the moment it could be seen until the craft begins to bank.
    pub delay: Seconds,
    /// How far it must move aside.
    pub aside: Metres,
    /// How fast it banks.
    pub bank_rate: DegreesPerSecond,
}

/// Thrust at full throttle at a speed, from that of a stand: what drag takes of the power no longer holds it up. T = T₀·(1 − v·D/P₀)^⅓, P₀ the ideal
/// power of the discs on the stand, √(T₀³ / 2ρA): momentum theory of a disc that air meets along its axis, v·D/T fast, with the power kept. None
/// is left where drag takes all of it. Blades that are at their greatest speed already lose more.
pub fn thrust_at_speed(
    stand: Newtons,
    drag: Newtons,
    speed: MetresPerSecond,
    discs: SquareMetres,
    air: KilogramsPerCubicMetre,
) -> Newtons {
    let ideal = (stand.get().powi(3) / (2.0 * air.get() * discs.get())).sqrt();
    let left = 1.0 - speed.get() * drag.get() / ideal;
    Newtons::new(if left > 0.0 { stand.get() * left.cbrt() } else { 0.0 })
}

/// What thrust leaves for a pull aside while height and speed are kept; `None` where it cannot keep them.
pub fn spare_acceleration(
    mass: Grams,
    thrust: Newtons,
    drag: Newtons,
) -> Result<Option<MetresPerSecondSquared>, OpticsFault> {
    let kg = within("mass", mass, (0.1, 1e6))? / 1000.0;
    let thrust = within("thrust", thrust, (0.0, 1e6))?;
    let drag = within("drag", drag, (0.0, 1e9))?;
    let spare = thrust * thrust - (kg * GRAVITY).powi(2) - drag * drag;
    Ok((spare > 0.0).then(|| MetresPerSecondSquared::new(spare.sqrt() / kg)))
}

/// How long it takes to move aside, banking at a rate, with a pull of so much at most.
pub fn time_aside(
    aside: Metres,
    bank_rate: DegreesPerSecond,
    pull: MetresPerSecondSquared,
) -> Result<Seconds, OpticsFault> {
    let y = within("way aside", aside, (0.0, 1e4))?;
    let rate = within("bank rate", bank_rate, (1.0, 1e5))?.to_radians();
    let a = within("pull aside", pull, (1e-3, 1e5))?;
    let full = (a / GRAVITY).atan().min(BANK_MAX);
    let (speed_unit, way_unit) = (GRAVITY / rate, GRAVITY / (rate * rate));
    let way = way_unit * log_secant_integral(full);
    if y <= way {
        // Within the bank. The way is at least φ³/6 of its unit and bends upward: Newton's steps come down to it from above.
        let wanted = y / way_unit;
        let mut bank = (6.0 * wanted).cbrt().min(full);
        for _ in 0..40 {
            let slope = -bank.cos().ln();
            let step = (log_secant_integral(bank) - wanted) / slope.max(1e-300);
            bank -= step;
            if step.abs() <= 1e-13 * bank.abs() {
                break;
            }
        }
        return Ok(Seconds::new(bank.max(0.0) / rate));
    }
    let speed = -speed_unit * full.cos().ln();
    // ½·a·s² + speed·s = rest, the root written so that nothing cancels.
    let rest = y - way;
    let after = 2.0 * rest / (speed + (speed * speed + 2.0 * a * rest).sqrt());
    Ok(Seconds::new(full / rate + after))
}

/// ∫₀^φ (−ln cos u) du. Of the integrand the part −ln(π/2 − u), which has no bound at a right angle, is integrated by its
/// formula; the rest is so smooth that eight places give it to 1e-11.
fn log_secant_integral(bank: f64) -> f64 {
    let end = |w: f64| w - w * w.ln();
    let steep = end(FRAC_PI_2) - end(FRAC_PI_2 - bank);
    let smooth = |u: f64| ((FRAC_PI_2 - u) / u.cos()).ln();
    let half = 0.5 * bank;
    let rest: f64 =
        GAUSS.iter().map(|(x, weight)| weight * (smooth(half * (1.0 - x)) + smooth(half * (1.0 + x)))).sum();
    steep + half * rest
}

impl Dodge {
    /// How far the craft flies at a speed until it has moved aside.
    pub fn needs(&self, speed: MetresPerSecond, pull: MetresPerSecondSquared) -> Result<Metres, OpticsFault> {
        let v = within("speed", speed, (0.0, 1e4))?;
        let delay = within("delay", self.delay, (0.0, 3_600.0))?;
        Ok(Metres::new(v * (delay + time_aside(self.aside, self.bank_rate, pull)?.get())))
    }

    /// The fastest speed at which it still dodges, where `pull` says what pull is left at a speed (never more at a higher
    /// one) and `None` that the craft cannot fly so fast; at most `up_to`.
    pub fn fastest(
        &self,
        pull: impl Fn(MetresPerSecond) -> Option<MetresPerSecondSquared>,
        up_to: MetresPerSecond,
    ) -> Result<MetresPerSecond, OpticsFault> {
        let seen_from = within("distance", self.seen_from, (0.0, 1e7))?;
        let up_to = within("speed", up_to, (0.0, 1e4))?;
        // What is asked once at the start tells whether it can be asked at all.
        self.needs(MetresPerSecond::new(0.0), MetresPerSecondSquared::new(1.0))?;
        let clears = |v: f64| {
            let speed = MetresPerSecond::new(v);
            pull(speed)
                .is_some_and(|pull| self.needs(speed, pull).is_ok_and(|needs| needs.get() <= seen_from))
        };
        if clears(up_to) {
            return Ok(MetresPerSecond::new(up_to));
        }
        let (mut low, mut high) = (0.0, up_to);
        for _ in 0..45 {
            let middle = 0.5 * (low + high);
            if clears(middle) { low = middle } else { high = middle }
        }
        Ok(MetresPerSecond::new(low))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_power_of_the_stand_is_shared_between_drag_and_what_holds_up() {
        let (stand, drag, discs, air) = (12.0, 3.0, 0.012, 1.225);
        let [speed, thrust] = [10.0, 20.0].map(|v| {
            let thrust = thrust_at_speed(
                Newtons::new(stand),
                Newtons::new(drag),
                MetresPerSecond::new(v),
                SquareMetres::new(discs),
                KilogramsPerCubicMetre::new(air),
            );
            // T·(w/2 + √(w²/4 + T/2ρA)) is what a disc takes that air meets at w along its axis (momentum theory).
            let (t, w) = (thrust.get(), v * drag / thrust.get());
            let power = t * (0.5 * w + (0.25 * w * w + t / (2.0 * air * discs)).sqrt());
            let ideal = stand * (stand / (2.0 * air * discs)).sqrt();
            assert!((power / ideal - 1.0).abs() < 1e-9, "{power} {ideal}");
            t
        });
        assert!(thrust < speed && speed < stand);
    }

    fn time(y: f64, rate: f64, a: f64) -> f64 {
        time_aside(Metres::new(y), DegreesPerSecond::new(rate), MetresPerSecondSquared::new(a)).unwrap().get()
    }

    /// The same by stepping through the motion.
    fn stepped(y: f64, rate: f64, a: f64) -> f64 {
        let (rate, full) = (rate.to_radians(), (a / GRAVITY).atan());
        let (mut t, mut v, mut x) = (0.0f64, 0.0f64, 0.0f64);
        let step = 1e-5;
        let pull = |t: f64| GRAVITY * (rate * t).min(full).tan();
        while x < y {
            let middle = pull(t + 0.5 * step);
            x += v * step + 0.5 * middle * step * step;
            v += middle * step;
            t += step;
        }
        t
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn time_aside_is_what_stepping_through_finds(y in 0.05..3.0f64, rate in 100.0..900.0f64, a in 3.0..90.0f64) {
            let (found, slow) = (time(y, rate, a), stepped(y, rate, a));
            prop_assert!((found - slow).abs() < 5e-5, "{found} against {slow}");
        }

        #[test]
        fn farther_slower_and_weaker_takes_longer(y in 0.05..3.0f64, rate in 50.0..900.0f64, a in 1.0..90.0f64, more in 1.01..2.0f64) {
            let once = time(y, rate, a);
            prop_assert!(time(y * more, rate, a) > once && time(y, rate / more, a) > once);
            prop_assert!(time(y, rate, a / more) >= once - 1e-12);
            // Never sooner than with the whole pull from the start.
            prop_assert!(once > (2.0 * y / a).sqrt());
        }

        #[test]
        fn the_fastest_speed_needs_just_the_distance_and_more_delay_slows(d in 1.0..60.0f64, delay in 0.05..1.0f64, y in 0.1..2.0f64, drag in 0.0..0.05f64) {
            let dodge = |delay: f64| Dodge {
                seen_from: Metres::new(d), delay: Seconds::new(delay), aside: Metres::new(y),
                bank_rate: DegreesPerSecond::new(400.0),
            };
            let pull = |v: MetresPerSecond| {
                spare_acceleration(Grams::new(500.0), Newtons::new(25.0), Newtons::new(drag * v.get() * v.get())).unwrap()
            };
            let up_to = MetresPerSecond::new(200.0);
            let fastest = dodge(delay).fastest(pull, up_to).unwrap();
            let needs = dodge(delay).needs(fastest, pull(fastest).unwrap()).unwrap().get();
            // Where the craft cannot fly faster its own top speed is the limit.
            let faster = pull(MetresPerSecond::new(fastest.get() * 1.001 + 1e-6));
            prop_assert!(needs <= d * (1.0 + 1e-9));
            if faster.is_some() && fastest < up_to {
                prop_assert!(needs > d * 0.999 || pull(fastest).unwrap().get() < 1.0, "{needs} of {d}");
            }
            prop_assert!(dodge(delay * 1.2).fastest(pull, up_to).unwrap() <= fastest);
        }
    }

    #[test]
    fn a_craft_that_cannot_hold_itself_has_no_pull_left() {
        let spare = |thrust: f64, drag: f64| {
            spare_acceleration(Grams::new(1000.0), Newtons::new(thrust), Newtons::new(drag)).unwrap()
        };
        assert_eq!(spare(9.0, 0.0), None);
        assert_eq!(spare(20.0, 19.0), None);
        assert!(spare(20.0, 1.0).is_some());
        assert!(spare_acceleration(Grams::new(f64::NAN), Newtons::new(1.0), Newtons::new(0.0)).is_err());
    }

    #[test]
    fn what_cannot_be_is_refused_before_it_is_searched() {
        let dodge = Dodge {
            seen_from: Metres::new(5.0),
            delay: Seconds::new(-0.1),
            aside: Metres::new(1.0),
            bank_rate: DegreesPerSecond::new(400.0),
        };
        let told = dodge.fastest(|_| None, MetresPerSecond::new(50.0)).unwrap_err().to_string();
        assert_eq!(told, "delay -0.1 s must lie between 0 s and 3600 s; check the sign and the unit");
        let grounded = Dodge { delay: Seconds::new(0.1), ..dodge };
        let none = grounded.fastest(|_| None, MetresPerSecond::new(50.0)).unwrap();
        assert_eq!(none, MetresPerSecond::new(0.0));
    }
}
