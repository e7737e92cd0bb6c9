//! How many pixels wide is a thing at a distance, and what can an eye tell of it then?
//!
//! A thing of width s at distance d fills 2·atan(s/2d), at p pixels a degree that many times p. How many pixels across
//! its smaller size serve for a task at even odds follows Johnson (1958): two for each pair of lines. Other odds, with
//! k = pixels over those: P = k^E / (1 + k^E), E = 2.7 + 0.7·k.
//!
//! Found with still targets of good contrast and trained eyes: in flight it is an upper bound.

use crate::OpticsFault;
use crate::fault::within;
use crate::motion::PIXELS_A_DEGREE;
use quantity::{Grade, Metres, Pixels, PixelsPerDegree, Probability, Source};

/// Where the pixels for each task and their odds come from.
pub const TARGET_SOURCE: Source = Source {
    title: "Johnson 1958, as quoted with SAND2015-6368 in a note on pixels on target",
    place: "line pairs at 50 %, equations 2 and 3",
    grade: Grade::PublishedValue,
};

/// What an eye is to tell of a thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Task {
    /// That something is there.
    Detect,
    /// Which way it lies.
    Orient,
    /// What kind of thing it is.
    Recognise,
    /// Which of its kind it is.
    Identify,
}

impl Task {
    /// Every task, easiest first.
    pub const ALL: [Task; 4] = [Task::Detect, Task::Orient, Task::Recognise, Task::Identify];

    /// The task in words.
    pub const fn words(self) -> &'static str {
        match self {
            Task::Detect => "seen",
            Task::Orient => "seen to lie one way",
            Task::Recognise => "told apart from other things",
            Task::Identify => "known",
        }
    }

    /// Pixels across the smaller size at even odds.
    pub const fn pixels(self) -> Pixels {
        Pixels::new(match self {
            Task::Detect => 2.0,
            Task::Orient => 2.8,
            Task::Recognise => 8.0,
            Task::Identify => 12.8,
        })
    }

    /// How likely it is done with so many pixels.
    pub fn chance(self, pixels: Pixels) -> Result<Probability, OpticsFault> {
        let over = within("width in the picture", pixels, (0.0, 1e6))? / self.pixels().get();
        // Beyond ten times the power would run out of numbers; the odds there are one.
        let over = over.min(10.0);
        let odds = over.powf(2.7 + 0.7 * over);
        Ok(Probability::new(odds / (1.0 + odds)))
    }
}

/// How many pixels wide a thing is.
pub fn width_in_picture(size: Metres, at: Metres, fine: PixelsPerDegree) -> Result<Pixels, OpticsFault> {
    let size = within("size", size, (0.0, 1e5))?;
    let distance = within("distance", at, (1e-6, 1e9))?;
    let fine = within("pixels a degree", fine, PIXELS_A_DEGREE)?;
    Ok(Pixels::new((2.0 * (0.5 * size / distance).atan()).to_degrees() * fine))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use quantity::Millimetres;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(128))]

        #[test]
        fn from_where_it_is_seen_it_is_as_wide_as_was_asked(size in 1.0..3000.0f64, pixels in 1.0..40.0f64, fine in 2.0..50.0f64) {
            let at = crate::seen_from(Millimetres::new(size), pixels, fine).get() / 1000.0;
            prop_assume!(at > 1e-3);
            let wide = width_in_picture(Metres::new(size / 1000.0), Metres::new(at), PixelsPerDegree::new(fine)).unwrap();
            prop_assert!((wide.get() / pixels - 1.0).abs() < 1e-9);
        }

        #[test]
        fn nearer_is_wider_and_easier(size in 0.01..3.0f64, at in 0.5..200.0f64, nearer in 0.5..0.99f64) {
            let wide = |at: f64| width_in_picture(Metres::new(size), Metres::new(at), PixelsPerDegree::new(12.0)).unwrap();
            prop_assert!(wide(at * nearer) > wide(at));
            for task in Task::ALL {
                prop_assert!(task.chance(wide(at * nearer)).unwrap() >= task.chance(wide(at)).unwrap());
            }
        }
    }

    #[test]
    fn odds_stay_odds_and_what_cannot_be_is_refused() {
        assert_eq!(Task::Detect.chance(Pixels::new(0.0)).unwrap(), Probability::NOUGHT);
        assert!(Task::Detect.chance(Pixels::new(1e6)).unwrap() > Probability::new(0.999_999));
        assert!(Task::Detect.chance(Pixels::new(f64::NAN)).is_err());
        assert!(width_in_picture(Metres::new(0.01), Metres::new(0.0), PixelsPerDegree::new(12.0)).is_err());
    }
}
