//! The limits by which rules judge numbers, each once, with its source.
//!
//! A [`Limit`] has two values: past `broken` a craft will not do, between `broken` and `tight` it may do
//! with little in hand. Required clearances between pairs of solids are not here: they stand with the
//! geometry, by pair of roles.

use fit::LeadKind;
use quantity::{Degrees, Millimetres, Source, Unit, Volts};

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

pub use crate::link_limits::*;
use Sense::{AtLeast, AtMost};

pub(crate) const fn limit(
    rule: &'static str,
    of: &'static str,
    unit: Unit,
    sense: Sense,
    (broken, tight): (f64, f64),
) -> Limit {
    Limit { rule, of, unit, sense, broken, tight, source: Source::common_practice(of) }
}

/// Current of a wire over the one that warms it to its limit for good.
pub const WIRE_LOAD: Limit =
    limit("wire.gauge", "current over what the wire carries for good", Unit::Percent, AtMost, (100.0, 70.0));
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
/// A moulded duct may come this near the blade tips, in per cent of the blade diameter.
pub const DUCT_GAP_MOULDED_SHARE: f64 = 0.8;
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
/// Web of a plate that is cut, between a hole and another or the edge.
pub const CUT_WEB: Limit = limit(
    "fit.plate_webs",
    "web in a plate that is cut, between a hole and another or the edge",
    Unit::Millimetres,
    AtLeast,
    (0.3, 1.0),
);
/// Web of a plate that is printed.
pub const PRINTED_WEB: Limit = limit(
    "fit.plate_webs",
    "web in a plate that is printed, between a hole and another or the edge",
    Unit::Millimetres,
    AtLeast,
    (0.6, 1.5),
);
/// From this much room beside a camera on, cheeks are wanted.
pub const CHEEKS_FROM: f64 = 1.0;
/// Room beside a camera that nothing fills, both sides together: over the first the side screws bend the plates that should
/// hold it, or do not reach it. Common practice.
pub const CAMERA_LOOSE: Limit = limit(
    "match.camera_width",
    "room beside the camera's body that nothing fills",
    Unit::Millimetres,
    AtMost,
    (3.0, 1.5),
);
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
/// How much of the picture blades may fill.
pub const BLADES_IN_PICTURE: Limit = limit(
    "view.blades_in_picture",
    "share of the picture that blades fill",
    Unit::Percent,
    AtMost,
    (6.0, 2.0),
);
/// How far a camera may be moved forward to clear the picture.
pub const CAMERA_FORWARD_MAX: Millimetres = Millimetres::new(30.0);
/// How far a camera may be lifted to clear the picture.
pub const CAMERA_LIFT_MAX: Millimetres = Millimetres::new(20.0);
/// How much further a camera may be tilted to clear the picture.
pub const CAMERA_TILT_MAX: Degrees = Degrees::new(40.0);
/// Standing wave ratio of an antenna.
pub const STANDING_WAVE: Limit =
    limit("match.antenna_band", "standing wave ratio of an antenna", Unit::Ratio, AtMost, (2.0, 2.0));

/// The nominal voltage of one cell.
#[derive(Clone, Copy, Debug)]
pub struct NominalCell {
    /// The chemistry, as sheets write it.
    pub chemistry: &'static str,
    /// Its nominal voltage.
    pub nominal: Volts,
}

/// Where the nominal voltages come from.
pub const NOMINAL_CELL_SOURCE: Source =
    Source::common_practice("nominal voltage of a cell by chemistry, as packs print it");

/// Nominal voltage of a cell by chemistry.
pub const NOMINAL_CELLS: &[NominalCell] = &[
    NominalCell { chemistry: "lithium polymer", nominal: Volts::new(3.7) },
    NominalCell { chemistry: "lithium polymer, high voltage", nominal: Volts::new(3.8) },
    NominalCell { chemistry: "lithium ion", nominal: Volts::new(3.6) },
];

/// What a float may be used up to, in per cent.
pub const FLOAT_USED_TIGHT: f64 = 80.0;

/// Air between a blade's disc and anything soft.
pub const BLADE_TO_SOFT: Limit = limit(
    "fit.blade_sweep",
    "soft part to swept disc, arm flex of 3 degrees included",
    Unit::Millimetres,
    AtLeast,
    (3.0, 8.0),
);
/// Air between an antenna and a swept disc: a whip bends back.
pub const BLADE_TO_ANTENNA: Limit = limit(
    "fit.blade_sweep",
    "air between an antenna and a swept disc",
    Unit::Millimetres,
    AtLeast,
    (3.0, 10.0),
);
/// Air between a bare conductor and carbon.
pub const PAD_TO_CARBON: Limit = limit(
    "fit.carbon_short",
    "bare conductor to carbon without insulator",
    Unit::Millimetres,
    AtLeast,
    (0.5, 1.5),
);
/// A satellite receiver beside the transmitter, never above it.
pub const GNSS_BESIDE: Limit = limit(
    "fit.gnss_clear",
    "satellite receiver beside the transmitter, seen from above",
    Unit::Millimetres,
    AtLeast,
    (0.0, 0.0),
);
/// Control antenna to video antenna. Custom wants a right angle; what turning is worth goes with the cosine, at
/// 60° half the voltage (6 dB), under 30° hardly anything (1 dB).
pub const ANTENNA_ANGLE: Limit = limit(
    "fit.antenna_angle",
    "angle between control antenna and video antenna",
    Unit::Degrees,
    AtLeast,
    (30.0, 60.0),
);
/// What radiates to carbon, pack and wires.
pub const ANTENNA_CLEAR: Limit = limit(
    "link.antenna_clear",
    "antenna element to carbon, pack and wires",
    Unit::Millimetres,
    AtLeast,
    (8.0, 15.0),
);
/// How far the lens lies behind the cage.
pub const BEHIND_CAGE: Limit = limit(
    "fit.lens_behind_cage",
    "front of the lens behind the front of the cage",
    Unit::Millimetres,
    AtLeast,
    (0.0, 1.0),
);
/// Air over the stack.
pub const STACK_SPARE: Limit = limit(
    "fit.stack_height",
    "air between the stack and the top plate",
    Unit::Millimetres,
    AtLeast,
    (0.0, 2.0),
);
/// Air between screw heads on an adapter.
pub const HEAD_GAP: Limit = limit(
    "fit.adapter_heads",
    "air between screw heads on an adapter plate",
    Unit::Millimetres,
    AtLeast,
    (0.0, fit::HEAD_SPARE.get()),
);
/// Share of a camera's side thread a screw may use.
pub const CAMERA_SCREW_USED: Limit = limit(
    "fit.camera_screw_depth",
    "share of the side thread a screw goes in",
    Unit::Percent,
    AtMost,
    (100.0, 80.0),
);
/// Air at the tip of a screw.
pub const SCREW_TIP: Limit = limit(
    "fit.screw_length",
    "tip of a screw to windings or board",
    Unit::Millimetres,
    AtLeast,
    (fit::TIP_GAP_LEAST.get(), fit::TIP_GAP_WANTED.get()),
);
/// Where the sum of a screw joint comes from.
pub const SCREW_BITE: Source = Source::common_practice("engagement = screw length less what it clamps");
/// Travel wanted beyond a plug's own.
pub const PULL_BEYOND: Millimetres = Millimetres::new(2.0);

/// Air that fingers want beside the way out of a card or a USB plug; with less it takes a tool.
pub const BESIDE_WAY: Millimetres = Millimetres::new(2.0);

/// Straight travel until a plug of some use is free.
#[derive(Clone, Copy, Debug)]
pub struct PullSpace {
    /// What the plug is for.
    pub use_word: &'static str,
    /// The travel.
    pub travel: Millimetres,
    /// Where it comes from.
    pub source: Source,
}

const fn pull(use_word: &'static str, travel: f64) -> PullSpace {
    PullSpace {
        use_word,
        travel: Millimetres::new(travel),
        source: Source::common_practice("plug with its pull direction, straight travel"),
    }
}

/// Travel by use; `other` is for all the rest.
pub const PULL_SPACES: &[PullSpace] = &[
    pull("coax", 6.0),
    pull("camera", 5.0),
    pull("motor", 10.0),
    pull("usb", 15.0),
    pull("card", 15.0),
    pull("other", 8.0),
];

/// The travel of a use.
pub fn pull_space(use_word: &str) -> &'static PullSpace {
    PULL_SPACES.iter().find(|row| row.use_word == use_word).unwrap_or(&PULL_SPACES[PULL_SPACES.len() - 1])
}

/// Room between the set tilt of a camera and the nearest stop.
pub const TILT_TO_STOP: Limit =
    limit("fit.tilt_range", "set tilt to the nearest stop", Unit::Degrees, AtLeast, (0.0, 3.0));
/// The least tilt of a camera that is looked at: nose down for a craft that carries it upside down.
pub const TILT_LEAST: Degrees = Degrees::new(-30.0);
/// The greatest tilt of a camera that is looked at; race builds want 35 to 55 degrees.
pub const TILT_MOST: Degrees = Degrees::new(90.0);

/// Slack of a lead: what it reaches too little by is broken, under the least wanted is tight.
pub const LEAD_SLACK: Limit = Limit {
    rule: "fit.harness_length",
    of: "slack of a lead that is plugged in",
    unit: Unit::Millimetres,
    sense: AtLeast,
    broken: 0.0,
    tight: LeadKind::CameraHarness.practice().slack_least.get(),
    source: LeadKind::CameraHarness.practice().source,
};
/// The sharpest bend of a lead over the least it may be bent to.
pub const LEAD_BEND: Limit = Limit {
    rule: "fit.harness_bend",
    of: "sharpest bend over the least radius of the lead",
    unit: Unit::Ratio,
    sense: AtLeast,
    broken: LeadKind::CameraHarness.practice().bend_broken_share,
    tight: 1.0,
    source: LeadKind::CameraHarness.practice().source,
};
/// Distance from a push-on plug to the strain relief that holds it.
pub const RELIEF_AWAY: Limit = Limit {
    rule: "fit.relief_present",
    of: "push-on plug to its strain relief",
    unit: Unit::Millimetres,
    sense: AtMost,
    broken: fit::RELIEF_WITHIN.get(),
    tight: fit::RELIEF_WITHIN.get(),
    source: fit::RELIEF_SOURCE,
};

/// Every limit of this file.
pub const LIMITS: &[Limit] = &[
    WIRE_LOAD,
    BLADE_TO_SOFT,
    BLADE_TO_ANTENNA,
    PAD_TO_CARBON,
    GNSS_BESIDE,
    ANTENNA_ANGLE,
    ANTENNA_CLEAR,
    BEHIND_CAGE,
    TILT_TO_STOP,
    LEAD_SLACK,
    LEAD_BEND,
    RELIEF_AWAY,
    STACK_SPARE,
    HEAD_GAP,
    CAMERA_SCREW_USED,
    SCREW_TIP,
    THRUST_OPEN,
    THRUST_DUCTED,
    HOVER_THROTTLE,
    DISC_GAP,
    DUCT_GAP,
    CG_OFFSET,
    TIP_SPEED,
    CAMERA_SPARE,
    CUT_WEB,
    PRINTED_WEB,
    IMAGE_CIRCLE,
    BARREL_SPARE,
    HEAD_SPARE,
    BLADES_IN_PICTURE,
    STANDING_WAVE,
    crate::view_limits::VERTICAL_VIEW,
    crate::view_limits::STRETCH,
    crate::view_limits::OBSTACLE_PIXELS,
    crate::view_limits::LIGHT,
    crate::view_limits::BLUR,
    crate::view_limits::DEFOCUS,
    crate::view_limits::SHARPNESS,
    crate::view_limits::DARK,
    CARBON_SHADOW,
    FEED_LOSS,
    HAND_MATCH,
    MARGIN_AT_PLAN,
    CLIFF_BAND,
    NULL_OVERHEAD,
    LOW_FLIGHT,
    WALL_PLAN,
    LINE_CLEAR,
    PATTERN_RADIATES,
    GROUND_MIX,
    EIRP,
    RESTART_ROOM,
    EXPOSURE,
    crate::history_limits::LEVEL_DRIFT,
    crate::history_limits::HOVER_DRIFT,
    crate::history_limits::HEAT_DRIFT,
    crate::history_limits::VIBRATION,
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

    #[test]
    fn limits_agree_with_the_clearances_that_ask_the_same() {
        let needs = |a, b| fit::required_clearance(a, b).map(|needs| needs.distance.get());
        assert_eq!(needs(fit::Role::BladeSweep, fit::Role::Coax), Some(BLADE_TO_SOFT.tight));
        assert_eq!(needs(fit::Role::BladeSweep, fit::Role::AntennaElement), Some(BLADE_TO_ANTENNA.tight));
        assert_eq!(needs(fit::Role::AntennaElement, fit::Role::CarbonPlate), Some(ANTENNA_CLEAR.tight));
        assert_eq!(needs(fit::Role::BareConductor, fit::Role::CarbonPlate), Some(PAD_TO_CARBON.tight));
        assert_eq!(needs(fit::Role::ScrewTip, fit::Role::MotorWinding), Some(SCREW_TIP.tight));
    }
}
