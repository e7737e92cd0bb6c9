//! The limits of the rules that judge the picture, and what is taken for what nobody writes down. Each once, with its source.

use crate::limits::Limit;
use crate::limits::Sense::{AtLeast, AtMost};
use quantity::{
    Degrees, DegreesPerSecond, Grade, Measure, Metres, Millimetres, Milliseconds, Percent, Ratio, Seconds,
    Source, Unit,
};

const fn limit(
    rule: &'static str,
    of: &'static str,
    unit: Unit,
    sense: crate::limits::Sense,
    (broken, tight): (f64, f64),
) -> Limit {
    Limit { rule, of, unit, sense, broken, tight, source: Source::common_practice(of) }
}

/// View from bottom to top.
pub const VERTICAL_VIEW: Limit =
    limit("view.vertical", "view of the picture from bottom to top", Unit::Degrees, AtLeast, (60.0, 75.0));
/// How far circles may be stretched.
pub const STRETCH: Limit = limit(
    "view.aspect_chain",
    "stretch of the picture from sensor to screen",
    Unit::Percent,
    AtMost,
    (3.0, 3.0),
);
/// How much of the sensor's width or height may not be shown, before it is told.
pub const CROP_TIGHT: Percent = Percent::new(15.0);
/// How far from the edge of the picture the horizon had better be, as a share of its view from bottom to top.
pub const HORIZON_EDGE_SHARE: f64 = 0.1;
/// Where that comes from.
pub const HORIZON_SOURCE: Source =
    Source::common_practice("the horizon in the picture at cruise, a tenth of the view from its edge");
/// Width in the picture of what must be dodged.
pub const OBSTACLE_PIXELS: Limit = limit(
    "view.gate_pixels",
    "width in the picture of the thinnest obstacle, a second ahead",
    Unit::Pixels,
    AtLeast,
    (2.0, 4.0),
);
/// How far ahead pilots look, in time.
pub const LOOK_AHEAD: Seconds = Seconds::new(1.0);
/// Light against the reference pair.
pub const LIGHT: Limit = limit(
    "view.light_stops",
    "light in the picture over that of the reference pair",
    Unit::Stops,
    AtLeast,
    (-2.0, -1.0),
);
/// How far a brisk turn may smear the picture.
pub const BLUR: Limit = limit(
    "view.blur",
    "smear of a brisk turn at the longest shutter time",
    Unit::Pixels,
    AtMost,
    (12.0, 6.0),
);
/// How wide far things may be drawn for want of focus.
pub const DEFOCUS: Limit = limit(
    "view.focus_tolerance",
    "width at which far points are drawn, as the lens is focused",
    Unit::Pixels,
    AtMost,
    (2.0, 1.0),
);
/// Where a sharpness setting may stand on its scale.
pub const SHARPNESS: Limit = limit(
    "view.sharpness_setting",
    "sharpness setting, share of its scale",
    Unit::Percent,
    AtMost,
    (80.0, 60.0),
);
/// How much of the picture cage and image circle may take away.
pub const DARK: Limit = limit(
    "view.dark_corners",
    "share of the picture that is dark or shows the cage",
    Unit::Percent,
    AtMost,
    (2.0, 0.5),
);
/// By how much more than the cruise speed must still be dodged at, as a share.
pub const DODGE_RESERVE: f64 = 0.1;
/// Where that comes from.
pub const DODGE_LIMIT_SOURCE: Source = Source::common_practice(
    "fastest speed at which the thinnest obstacle is still dodged, a tenth over cruise",
);

/// The limits above that stand in a table of limits.
pub const VIEW_LIMITS: &[Limit] =
    &[VERTICAL_VIEW, STRETCH, OBSTACLE_PIXELS, LIGHT, BLUR, DEFOCUS, SHARPNESS, DARK];

/// A value taken by custom where nobody says: half of its range is its doubt.
#[derive(Clone, Copy, Debug)]
pub struct Custom<M> {
    /// The value.
    pub value: M,
    /// How far it may be off to either side.
    pub within: M,
    /// Where it comes from.
    pub source: Source,
}

const fn custom<M: Measure>(value: M, within: M, of: &'static str) -> Custom<M> {
    Custom { value, within, source: Source::common_practice(of) }
}

/// What glass lets through.
pub const TRANSMISSION: Custom<Percent> =
    custom(Percent::new(90.0), Percent::new(5.0), "coated glass lets 85 to 95 % of the light through");
/// A brisk turn.
pub const TURN_RATE: Custom<DegreesPerSecond> = custom(
    DegreesPerSecond::new(200.0),
    DegreesPerSecond::new(50.0),
    "a brisk turn is 150 to 250 degrees a second",
);
/// Banking at full stick.
pub const BANK_RATE: Custom<DegreesPerSecond> = custom(
    DegreesPerSecond::new(400.0),
    DegreesPerSecond::new(100.0),
    "craft bank at 300 to 500 degrees a second when it matters",
);
/// A pilot's reaction to what is seen.
pub const REACTION: Custom<Milliseconds> = Custom {
    value: Milliseconds::new(250.0),
    within: Milliseconds::new(50.0),
    source: Source {
        title: "human reaction times",
        place: "simple visual reaction 0.20 to 0.25 s, choice 0.3 s and more",
        grade: Grade::Memory,
    },
};
/// What is left in flight of the thrust that a stand shows.
pub const THRUST_IN_FLIGHT: Custom<Ratio> = Custom {
    value: Ratio::new(0.78),
    within: Ratio::new(0.07),
    source: Source::common_practice("in flight 15 to 30 % less than on a stand with a fresh supply"),
};
/// Air that a pilot leaves beside an obstacle.
pub const DODGE_AIR: Metres = Metres::new(0.1);

/// The pair of lens and sensor that light is told against: a third of an inch read 16:9, at f/2.
#[derive(Clone, Copy, Debug)]
pub struct ReferencePair {
    /// Width read.
    pub width: Millimetres,
    /// Height read.
    pub height: Millimetres,
    /// F-number.
    pub f_number: Ratio,
    /// Transmission.
    pub transmission: Percent,
    /// Where it comes from.
    pub source: Source,
}

/// The reference pair.
pub const REFERENCE_PAIR: ReferencePair = ReferencePair {
    width: Millimetres::new(4.8),
    height: Millimetres::new(2.7),
    f_number: Ratio::new(2.0),
    transmission: Percent::new(90.0),
    source: Source::common_practice("what a usual pair gives: 1/3 inch read 16:9 at f/2"),
};
/// How much later dusk is for each stop.
pub const DUSK_A_STOP_MINUTES: f64 = 5.0;
/// The turn of a lens that is told as one division.
pub const THREAD_DIVISION: Degrees = Degrees::new(10.0);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn customs_have_doubt_and_limits_lie_on_the_good_side() {
        assert!(TURN_RATE.within.get() > 0.0 && TURN_RATE.within < TURN_RATE.value);
        assert!(REACTION.within < REACTION.value && TRANSMISSION.within < TRANSMISSION.value);
        for limit in VIEW_LIMITS {
            match limit.sense {
                AtLeast => assert!(limit.tight >= limit.broken, "{}", limit.of),
                AtMost => assert!(limit.tight <= limit.broken, "{}", limit.of),
            }
        }
    }
}
