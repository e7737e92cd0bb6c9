//! The limits by which the rules of the radio link judge, each once, with its source.

use crate::limits::Sense::{AtLeast, AtMost};
use crate::limits::{Limit, limit};
use quantity::{Db, Degrees, Metres, Source, Unit};

/// Headings on which carbon or pack stands before home.
pub const CARBON_SHADOW: Limit = limit(
    "link.carbon_shadow",
    "share of headings on which carbon or pack stands between antenna and home",
    Unit::Percent,
    AtMost,
    (25.0, 10.0),
);
/// What is lost between radio and antenna.
pub const FEED_LOSS: Limit =
    limit("link.feed_loss", "loss of coax, joints and mismatch together", Unit::Db, AtMost, (3.0, 1.5));
/// What is lost because two antennas do not fit.
pub const HAND_MATCH: Limit = limit(
    "link.hand_match",
    "loss because two antennas do not fit in polarisation",
    Unit::Db,
    AtMost,
    (8.0, 3.5),
);
/// In hand at the farthest planned point, in the worst tenth of headings and fades.
pub const MARGIN_AT_PLAN: Limit = limit(
    "link.margin_at_plan",
    "in hand at the farthest planned point in the worst tenth of headings and fades",
    Unit::Db,
    AtLeast,
    (0.0, 6.0),
);
/// In hand there in the worst hundredth.
pub const CLIFF_BAND: Limit = limit(
    "link.cliff_band",
    "in hand at the farthest planned point in the worst hundredth of headings and fades",
    Unit::Db,
    AtLeast,
    (0.0, 3.0),
);
/// In hand overhead and in turns.
pub const NULL_OVERHEAD: Limit = limit(
    "link.null_overhead",
    "in hand overhead and banked, on the worst heading",
    Unit::Db,
    AtLeast,
    (0.0, 3.0),
);
/// In hand low and far out.
pub const LOW_FLIGHT: Limit = limit(
    "link.low_flight",
    "in hand over the last fifth of the way at the height flown",
    Unit::Db,
    AtLeast,
    (0.0, 3.0),
);
/// In hand behind what stands in the way.
pub const WALL_PLAN: Limit =
    limit("link.wall_plan", "in hand behind obstacles on the flying line", Unit::Db, AtLeast, (0.0, 6.0));
/// Between the flying line and walls and buildings.
pub const LINE_CLEAR: Limit = limit(
    "link.line_clear",
    "way between the flying line and walls and buildings, as close as a craft is held by hand",
    Unit::Metres,
    AtLeast,
    (0.0, 1.0),
);
/// What a measured pattern radiates of its power.
pub const PATTERN_RADIATES: Limit = limit(
    "link.pattern_radiates",
    "share of its power that an antenna radiates by its measured pattern",
    Unit::Percent,
    AtLeast,
    (5.0, 30.0),
);
/// The widest part of the course that no antenna looks at.
pub const GROUND_MIX: Limit = limit(
    "link.ground_mix",
    "widest part of the course that no antenna of the station looks at",
    Unit::Degrees,
    AtMost,
    (30.0, 10.0),
);
/// What is radiated under the limit that the pilot stated.
pub const EIRP: Limit =
    limit("link.eirp", "radiated power under the limit you entered", Unit::Db, AtLeast, (0.0, 1.0));
/// Free way over what is flown blind while the video restarts.
pub const RESTART_ROOM: Limit = limit(
    "link.restart_blind",
    "free way over what is flown blind while the video restarts",
    Unit::Ratio,
    AtLeast,
    (1.0, 2.0),
);
/// Distance of people over that of the reference level.
pub const EXPOSURE: Limit = limit(
    "safe.exposure",
    "distance to people over the distance of the reference level",
    Unit::Ratio,
    AtLeast,
    (1.0, 3.0),
);

/// How far the course reaches to either side of the flying line.
pub const COURSE_HALF: Degrees = Degrees::new(60.0);
/// Where that comes from.
pub const COURSE_SOURCE: Source =
    Source::common_practice("a course without a map: 60 degrees to either side");
/// An antenna looks where its gain is so near its greatest: half the power.
pub const LOOKS_WITHIN: Db = Db::new(3.0);
/// How high a receiver goes on a pole.
pub const RECEIVER_HIGH: Metres = Metres::new(2.5);
/// What a higher receiver may give before it is a pity not to have it.
pub const GROUND_HEIGHT_GAIN: Db = Db::new(4.0);
/// So many steps above the least level are too many.
pub const LEVEL_SPARE_STEPS: u32 = 2;
