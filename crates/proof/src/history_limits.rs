//! The limits of what may change while a craft is flown, each once, with its source.

use crate::limits::{Limit, Sense, limit};
use quantity::Unit;

/// Level at 5 m against the one when new.
pub const LEVEL_DRIFT: Limit = limit(
    "care.level_drift",
    "level at 5 m against the one when new",
    Unit::Db,
    Sense::AtLeast,
    (-6.0, -3.0),
);
/// Current in hover against the one when new.
pub const HOVER_DRIFT: Limit = limit(
    "care.hover_drift",
    "current in hover over the one when new",
    Unit::Percent,
    Sense::AtMost,
    (20.0, 10.0),
);
/// Minutes on the bench until it warns, less those when new.
pub const HEAT_DRIFT: Limit = limit(
    "care.heat_drift",
    "minutes on the bench until it warns of heat, against those when new",
    Unit::Percent,
    Sense::AtLeast,
    (-40.0, -20.0),
);
/// Peak of the gyro's noise over that when new.
pub const VIBRATION: Limit = limit(
    "care.vibration",
    "peak of the gyro's noise over the one when new",
    Unit::Ratio,
    Sense::AtMost,
    (3.0, 2.0),
);
/// A pack that stands fuller than this ages.
pub const STORED_FULL_VOLTS: f64 = 3.95;
/// It may stand full for so long, in hours.
pub const STORED_FULL_HOURS: i64 = 48;
/// What a pack is stored at.
pub const STORAGE_VOLTS: &str = "3.80 to 3.85 V a cell";
/// A mass may differ by so much and still be the same, in per cent.
pub const SAME_MASS_PERCENT: f64 = 5.0;
/// A pack that was hit is not charged within so many hours.
pub const HIT_PACK_HOURS: i64 = 24;
