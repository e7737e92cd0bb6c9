//! The limits by which rules judge numbers, each once, with its source.
//!
//! A [`Limit`] has two values: past `broken` a craft will not do, between `broken` and `tight` it may do
//! with little in hand. Required clearances between pairs of solids are not here: they stand with the
//! geometry, by pair of roles.

use quantity::{Source, Unit, Volts};

/// Which side of a limit is good.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    /// The value must be at least the limit.
    AtLeast,
    /// The value must be at most the limit.
    AtMost,
}

/// What a value must keep, and what it had better keep.
#[derive(Clone, Copy, Debug)]
pub struct Limit {
    /// The rule that judges by it.
    pub rule: &'static str,
    /// What is limited, in words.
    pub of: &'static str,
    /// The unit of both values.
    pub unit: Unit,
    /// Which side is good.
    pub sense: Sense,
    /// Past this it is broken.
    pub broken: f64,
    /// Past this it is tight.
    pub tight: f64,
    /// Where the values come from.
    pub source: Source,
}

/// A verdict is broken when the requirement is less likely than this to hold.
pub const BROKEN_UNDER: f64 = 0.5;
/// A verdict is tight when the requirement is less likely than this to hold.
pub const TIGHT_UNDER: f64 = 0.95;

use Sense::{AtLeast, AtMost};

const fn limit(
    rule: &'static str,
    of: &'static str,
    unit: Unit,
    sense: Sense,
    (broken, tight): (f64, f64),
) -> Limit {
    Limit { rule, of, unit, sense, broken, tight, source: Source::common_practice(of) }
}

/// Thrust over weight with open blades.
pub const THRUST_OPEN: Limit =
    limit("craft.thrust_to_weight", "full thrust over weight, open blades", Unit::Ratio, AtLeast, (1.8, 3.0));
/// Thrust over weight with blades in ducts.
pub const THRUST_DUCTED: Limit = limit(
    "craft.thrust_to_weight",
    "full thrust over weight, blades in ducts",
    Unit::Ratio,
    AtLeast,
    (1.8, 2.5),
);
/// Throttle in hover.
pub const HOVER_THROTTLE: Limit =
    limit("craft.hover_throttle", "throttle in hover", Unit::Percent, AtMost, (60.0, 45.0));
/// Gap between the discs of neighbouring motors.
pub const DISC_GAP: Limit = limit(
    "craft.disc_to_frame",
    "gap between neighbouring blade discs",
    Unit::Millimetres,
    AtLeast,
    (1.0, 2.0),
);
/// Gap between a blade tip and its duct.
pub const DUCT_GAP: Limit =
    limit("craft.disc_to_frame", "gap between blade tip and duct", Unit::Millimetres, AtLeast, (1.0, 2.0));
/// Balance point off the thrust centre, as a share of the arm's length.
pub const CG_OFFSET: Limit = limit(
    "craft.cg_offset",
    "balance point off the thrust centre, share of the arm's length",
    Unit::Percent,
    AtMost,
    (10.0, 5.0),
);
/// Speed of the blade tips.
pub const TIP_SPEED: Limit = limit(
    "craft.class_mix",
    "speed of the blade tips at three quarters of the unloaded speed",
    Unit::MetresPerSecond,
    AtMost,
    (240.0, 215.0),
);
/// Clear width or height of a camera mount over the camera's body.
pub const CAMERA_SPARE: Limit = limit(
    "match.camera_width",
    "room beside the camera's body in its mount",
    Unit::Millimetres,
    AtLeast,
    (0.0, 0.2),
);
/// From this much room beside a camera on, cheeks are wanted.
pub const CHEEKS_FROM: f64 = 1.0;
/// Image circle over the diagonal of the sensor in use.
pub const IMAGE_CIRCLE: Limit = limit(
    "match.image_circle",
    "image circle over the diagonal of the sensor in use",
    Unit::Ratio,
    AtLeast,
    (0.95, 1.02),
);
/// Holder depth over barrel length.
pub const BARREL_SPARE: Limit = limit(
    "match.lens_thread",
    "depth of the lens holder over the length of the barrel",
    Unit::Millimetres,
    AtLeast,
    (0.0, 0.0),
);
/// Window over the head of a lens.
pub const HEAD_SPARE: Limit = limit(
    "match.lens_thread",
    "window of the camera over the head of the lens",
    Unit::Millimetres,
    AtLeast,
    (0.0, 0.0),
);
/// Standing wave ratio of an antenna.
pub const STANDING_WAVE: Limit =
    limit("match.antenna_band", "standing wave ratio of an antenna", Unit::Ratio, AtMost, (2.0, 2.0));

/// The nominal tension of one cell.
#[derive(Clone, Copy, Debug)]
pub struct NominalCell {
    /// The chemistry, as sheets write it.
    pub chemistry: &'static str,
    /// Its nominal tension.
    pub nominal: Volts,
}

/// Where the nominal tensions come from.
pub const NOMINAL_CELL_SOURCE: Source =
    Source::common_practice("nominal tension of a cell by chemistry, as packs print it");

/// Nominal tension of a cell by chemistry.
pub const NOMINAL_CELLS: &[NominalCell] = &[
    NominalCell { chemistry: "lithium polymer", nominal: Volts::new(3.7) },
    NominalCell { chemistry: "lithium polymer, high voltage", nominal: Volts::new(3.8) },
    NominalCell { chemistry: "lithium ion", nominal: Volts::new(3.6) },
];

/// Every limit, in the order of the manual.
pub const LIMITS: &[Limit] = &[
    THRUST_OPEN,
    THRUST_DUCTED,
    HOVER_THROTTLE,
    DISC_GAP,
    DUCT_GAP,
    CG_OFFSET,
    TIP_SPEED,
    CAMERA_SPARE,
    IMAGE_CIRCLE,
    BARREL_SPARE,
    HEAD_SPARE,
    STANDING_WAVE,
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tight_lies_on_the_good_side_of_broken() {
        for limit in LIMITS {
            match limit.sense {
                AtLeast => assert!(limit.tight >= limit.broken, "{}", limit.of),
                AtMost => assert!(limit.tight <= limit.broken, "{}", limit.of),
            }
        }
    }
}
