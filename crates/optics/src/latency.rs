//! How late is the picture, and how far does the craft fly meanwhile?
//!
//! What each unit takes adds up. What happens waits besides until the next picture is taken, and a picture until the
//! screen draws its next: each wait lies anywhere between nought and one period, so half a period on the mean (standard
//! uncertainty period/√12) and a whole one at worst. A screen that takes pictures as they come adds no wait.
//!
//! Flown blind: v·t. To a stand with deceleration a, after a delay t: v·t + v²/(2a); the fastest speed from which a
//! distance d suffices is −a·t + √(a²t² + 2·a·d).

use crate::OpticsFault;
use crate::fault::within;
use quantity::{
    Grade, Hertz, Metres, MetresPerSecond, MetresPerSecondSquared, Milliseconds, Seconds, Source,
};

/// Where it comes from.
pub const LATENCY_SOURCE: Source = Source {
    title: "elementary kinematics; periods of 60, 90 and 120 Hz",
    place: "distance = speed · time; stop = v·t + v²/(2a); half a period of waiting on the mean",
    grade: Grade::Memory,
};

/// How late the picture is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Latency {
    /// On the mean.
    pub mean: Milliseconds,
    /// When what happens has just missed every picture.
    pub worst: Milliseconds,
    /// The standard uncertainty that waiting alone adds to a single moment.
    pub waiting: Milliseconds,
}

/// How late the picture is behind units that take so long each, with waits for periods of these rates.
pub fn latency(units: &[Milliseconds], rates: &[Hertz]) -> Result<Latency, OpticsFault> {
    let mut taken = 0.0;
    for unit in units {
        taken += within("latency", *unit, (0.0, 60_000.0))?;
    }
    let (mut periods, mut squares) = (0.0, 0.0);
    for rate in rates {
        let period = 1000.0 / within("frame rate", *rate, (0.1, 100_000.0))?;
        periods += period;
        squares += period * period / 12.0;
    }
    Ok(Latency {
        mean: Milliseconds::new(taken + periods / 2.0),
        worst: Milliseconds::new(taken + periods),
        waiting: Milliseconds::new(squares.sqrt()),
    })
}

const SPEEDS: (f64, f64) = (0.0, 10_000.0);
const DELAYS: (f64, f64) = (0.0, 3_600.0);
const DECELERATIONS: (f64, f64) = (1e-6, 1e6);

/// How far the craft flies in a time.
pub fn flown_in(speed: MetresPerSecond, time: Seconds) -> Result<Metres, OpticsFault> {
    Ok(Metres::new(within("speed", speed, SPEEDS)? * within("time", time, DELAYS)?))
}

/// How far the craft flies until it stands, slowing down after a delay.
pub fn stopping_distance(
    speed: MetresPerSecond,
    delay: Seconds,
    deceleration: MetresPerSecondSquared,
) -> Result<Metres, OpticsFault> {
    let v = within("speed", speed, SPEEDS)?;
    let a = within("deceleration", deceleration, DECELERATIONS)?;
    Ok(Metres::new(v * within("delay", delay, DELAYS)? + v * v / (2.0 * a)))
}

/// The fastest speed from which the craft stands within a distance.
pub fn fastest_stopped(
    within_distance: Metres,
    delay: Seconds,
    deceleration: MetresPerSecondSquared,
) -> Result<MetresPerSecond, OpticsFault> {
    let d = within("distance", within_distance, (0.0, 1e6))?;
    let a = within("deceleration", deceleration, DECELERATIONS)?;
    let t = within("delay", delay, DELAYS)?;
    // The root written so that nothing cancels: 2d / (t + √(t² + 2d/a)).
    let under = t + (t * t + 2.0 * d / a).sqrt();
    Ok(MetresPerSecond::new(if under > 0.0 { 2.0 * d / under } else { 0.0 }))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(128))]

        #[test]
        fn the_fastest_speed_stops_just_in_time(d in 0.1..500.0f64, t in 0.0..2.0f64, a in 0.5..60.0f64) {
            let (delay, a) = (Seconds::new(t), MetresPerSecondSquared::new(a));
            let v = fastest_stopped(Metres::new(d), delay, a).unwrap();
            prop_assert!((stopping_distance(v, delay, a).unwrap().get() / d - 1.0).abs() < 1e-9);
        }

        #[test]
        fn a_unit_more_is_never_sooner_and_a_faster_rate_never_later(a in 0.0..50.0f64, b in 0.0..50.0f64, rate in 20.0..200.0f64) {
            let of = |units: &[f64], rate: f64| {
                let units: Vec<_> = units.iter().map(|u| Milliseconds::new(*u)).collect();
                latency(&units, &[Hertz::new(rate)]).unwrap()
            };
            prop_assert!(of(&[a, b], rate).mean >= of(&[a], rate).mean);
            prop_assert!(of(&[a], 2.0 * rate).worst < of(&[a], rate).worst);
            let one = of(&[a], rate);
            prop_assert!((one.worst - one.mean).get() > one.waiting.get());
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let told = latency(&[Milliseconds::new(-3.0)], &[]).unwrap_err().to_string();
        assert_eq!(told, "latency -3 ms must lie between 0 ms and 60000 ms; check the sign and the unit");
        assert!(latency(&[], &[Hertz::new(0.0)]).is_err());
        assert!(flown_in(MetresPerSecond::new(f64::NAN), Seconds::new(0.1)).is_err());
        let none = fastest_stopped(Metres::new(0.0), Seconds::new(0.0), MetresPerSecondSquared::new(9.0));
        assert_eq!(none.unwrap(), MetresPerSecond::new(0.0));
    }
}
