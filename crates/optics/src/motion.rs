//! How far does the picture smear while the shutter is open, and skew while the sensor is read?
//!
//! Turning at ω (°/s) for t, with p pixels a degree: ω·t·p pixels. With the shutter's time that is blur; with the time
//! from the first line of the sensor to the last it is the shear of upright things. Passing something at distance R
//! and speed v, square to the line of sight: (v/R)·t·(180/π)·p. A vibration of amplitude a and frequency n that is
//! read over t draws n·t waves of a·p pixels from top to bottom: jelly.
//!
//! Small angles: the whole smear lies where the picture is as fine as p says. Left out: that smear is smoothed.

use crate::OpticsFault;
use crate::fault::within;
use quantity::{
    Degrees, DegreesPerSecond, Grade, Hertz, Metres, MetresPerSecond, Milliseconds, Pixels, PixelsPerDegree,
    Source,
};

/// Where it comes from.
pub const MOTION_SOURCE: Source = Source {
    title: "elementary geometry of a turning camera",
    place: "angle turned while the shutter is open, or while the sensor is read",
    grade: Grade::Memory,
};

pub(crate) const PIXELS_A_DEGREE: (f64, f64) = (1e-6, 1e6);
const TIMES_MS: (f64, f64) = (0.0, 1e6);

/// How far the picture moves while something takes so long, turning at a rate.
pub fn turned_while(
    rate: DegreesPerSecond,
    time: Milliseconds,
    fine: PixelsPerDegree,
) -> Result<Pixels, OpticsFault> {
    let rate = within("turn rate", rate, (0.0, 1e5))?;
    let seconds = within("time", time, TIMES_MS)? / 1000.0;
    Ok(Pixels::new(rate * seconds * within("pixels a degree", fine, PIXELS_A_DEGREE)?))
}

/// How far something moves in the picture while the camera passes it sideways.
pub fn passed_while(
    speed: MetresPerSecond,
    at: Metres,
    time: Milliseconds,
    fine: PixelsPerDegree,
) -> Result<Pixels, OpticsFault> {
    let speed = within("speed", speed, (0.0, 1e4))?;
    let distance = within("distance", at, (1e-3, 1e7))?;
    turned_while(DegreesPerSecond::new((speed / distance).to_degrees().min(1e5)), time, fine)
}

/// The longest time in which the picture moves no further than so many pixels; `None` for a camera that does not turn.
pub fn time_to_smear(
    by: Pixels,
    rate: DegreesPerSecond,
    fine: PixelsPerDegree,
) -> Result<Option<Milliseconds>, OpticsFault> {
    let by = within("smear", by, (0.0, 1e5))?;
    let rate = within("turn rate", rate, (0.0, 1e5))?;
    let fine = within("pixels a degree", fine, PIXELS_A_DEGREE)?;
    Ok((rate > 0.0).then(|| Milliseconds::new(1000.0 * by / (rate * fine))))
}

/// What a vibration draws over one picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Jelly {
    /// Waves from the first line read to the last.
    pub waves: f64,
    /// How far they swing to either side.
    pub swing: Pixels,
}

/// What a vibration of an amplitude and a frequency draws while the sensor is read line by line.
pub fn jelly(
    amplitude: Degrees,
    frequency: Hertz,
    read_out: Milliseconds,
    fine: PixelsPerDegree,
) -> Result<Jelly, OpticsFault> {
    let amplitude = within("amplitude", amplitude, (0.0, 90.0))?;
    let frequency = within("frequency", frequency, (0.0, 1e5))?;
    let seconds = within("read-out time", read_out, TIMES_MS)? / 1000.0;
    let fine = within("pixels a degree", fine, PIXELS_A_DEGREE)?;
    Ok(Jelly { waves: frequency * seconds, swing: Pixels::new(amplitude * fine) })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(128))]

        #[test]
        fn the_time_found_smears_as_far_as_was_asked(by in 0.1..50.0f64, rate in 1.0..2000.0f64, fine in 1.0..50.0f64) {
            let (rate, fine) = (DegreesPerSecond::new(rate), PixelsPerDegree::new(fine));
            let time = time_to_smear(Pixels::new(by), rate, fine).unwrap().unwrap();
            prop_assert!((turned_while(rate, time, fine).unwrap().get() / by - 1.0).abs() < 1e-12);
        }

        #[test]
        fn faster_and_nearer_smears_more(speed in 0.1..50.0f64, at in 0.5..100.0f64, t in 0.1..20.0f64, more in 1.01..2.0f64) {
            let (time, fine) = (Milliseconds::new(t), PixelsPerDegree::new(12.0));
            let smear = |speed: f64, at: f64| passed_while(MetresPerSecond::new(speed), Metres::new(at), time, fine).unwrap();
            prop_assert!(smear(speed * more, at) > smear(speed, at) && smear(speed, at * more) < smear(speed, at));
            // Twice as fast at twice the distance looks the same.
            prop_assert!((smear(2.0 * speed, 2.0 * at) - smear(speed, at)).abs().get() < 1e-9);
        }
    }

    #[test]
    fn what_stands_still_does_not_smear_and_what_cannot_be_is_refused() {
        let fine = PixelsPerDegree::new(12.0);
        let still = DegreesPerSecond::new(0.0);
        assert_eq!(time_to_smear(Pixels::new(6.0), still, fine).unwrap(), None);
        assert_eq!(turned_while(still, Milliseconds::new(5.0), fine).unwrap(), Pixels::new(0.0));
        let told = turned_while(DegreesPerSecond::new(f64::NAN), Milliseconds::new(1.0), fine).unwrap_err();
        assert_eq!(
            told.to_string(),
            "turn rate NaN °/s must lie between 0 °/s and 100000 °/s; check the sign and the unit"
        );
        assert!(
            passed_while(MetresPerSecond::new(3.0), Metres::new(0.0), Milliseconds::new(1.0), fine).is_err()
        );
        assert!(jelly(Degrees::new(0.1), Hertz::new(f64::INFINITY), Milliseconds::new(8.0), fine).is_err());
    }
}
