//! The limits by which the rules of supply and heat judge, each once, with its source.

use crate::limits::Sense::{AtLeast, AtMost};
use crate::limits::{Limit, limit};
use quantity::{Source, Unit};

/// Chance that the video stays up at a punch, at the charge of landing.
pub const STAYS_UP: Limit = limit(
    "feed.video_at_punch",
    "chance that the video stays up at a punch at the charge of landing",
    Unit::Percent,
    AtLeast,
    (90.0, 99.0),
);
/// Charge at which the video fails at a punch. What is tight is set by the charge at landing.
pub const FAIL_CHARGE: Limit = limit(
    "feed.fail_charge",
    "charge below which the video fails at a punch; tight above the charge at landing",
    Unit::Percent,
    AtMost,
    (50.0, 50.0),
);
/// Greatest supply of a unit over the full pack, for what hangs on the pack.
pub const FULL_PACK: Limit = limit(
    "feed.max_voltage",
    "greatest supply of a unit over the full pack; braking pumps the bus up by a quarter",
    Unit::Ratio,
    AtLeast,
    (1.0, 1.25),
);
/// Peak load of a rail.
pub const RAIL_PEAK: Limit = limit(
    "feed.rail_load",
    "sum of the peaks on a rail over what its converter gives when warm",
    Unit::Percent,
    AtMost,
    (100.0, 85.0),
);
/// Typical load of a rail.
pub const RAIL_TYPICAL: Limit = limit(
    "feed.rail_load",
    "sum of the usual loads on a rail over what its converter gives when warm",
    Unit::Percent,
    AtMost,
    (100.0, 60.0),
);
/// Input of a converter over its output and headroom, at the lowest.
pub const DROPOUT: Limit = limit(
    "feed.dropout",
    "lowest input of a converter over its output and headroom",
    Unit::Volts,
    AtLeast,
    (0.0, 0.3),
);
/// Voltage of the weakest cell at a punch: below the first it is damaged for good, by custom of lithium cells.
pub const CELL_LEAST: Limit = Limit {
    source: Source::common_practice(
        "2.5 V is where round cans are cut off by their sheets and copper begins to dissolve in any; 2.7 to 3.0 V is where those of pouches end",
    ),
    ..limit(
        "feed.cell_least",
        "voltage of the weakest cell under load at a punch",
        Unit::Volts,
        AtLeast,
        (2.5, 2.8),
    )
};
/// What a step-up converter could draw over what it does.
pub const BOOST_FOLD: Limit = limit(
    "feed.boost_fold",
    "square of the resting voltage over four times resistance and power, before a step-up converter",
    Unit::Ratio,
    AtLeast,
    (1.0, 1.5),
);
/// What supply wires lose.
pub const WIRE_DROP: Limit = limit(
    "feed.wire_drop",
    "voltage lost in the supply wires of the video, share of what feeds it",
    Unit::Percent,
    AtMost,
    (5.0, 2.0),
);
/// Current of the pack's plug over the flight, over what it carries for long.
pub const PLUG_LOAD: Limit = limit(
    "feed.plug_load",
    "root mean square of the pack's current over what its plug carries for long",
    Unit::Percent,
    AtMost,
    (100.0, 80.0),
);
/// Current at a punch over what the plug carries for long.
pub const PLUG_PUNCH: Limit = Limit {
    source: Source::common_practice(
        "a pair of contacts stands twice what it carries for long for some seconds",
    ),
    ..limit(
        "feed.plug_load",
        "current at a punch over what the pack's plug carries for long",
        Unit::Ratio,
        AtMost,
        (3.0, 2.0),
    )
};
/// Current of a motor over what its channel of the speed controller carries: at full throttle in a burst, over the flight for long.
pub const CONTROLLER_LOAD: Limit = limit(
    "craft.controller_load",
    "current of a motor over that of its channel, in a burst or for long",
    Unit::Percent,
    AtMost,
    (100.0, 85.0),
);
/// Rated voltage of the capacitor on the bus over the full pack.
pub const CAP_RATING: Limit = limit(
    "feed.cap_rating",
    "rated voltage of the capacitor on the pack lead over the full pack",
    Unit::Ratio,
    AtLeast,
    (1.15, 1.3),
);
/// From this many cells on a capacitor on the pack lead is custom.
pub const CAP_WANTED_FROM: u32 = 3;
/// Ripple at the video's pins, peak to peak.
pub const RIPPLE: Limit = limit(
    "feed.ripple_video",
    "ripple at the video's pins, peak to peak, in mV",
    Unit::Volts,
    AtMost,
    (0.3, 0.1),
);
/// What a filter before the video lets a converter behind it take before the two swing, over what the video takes. The unit's own capacitor,
/// which nobody states, damps as well: less than all of it is no more than tight.
pub const FILTER_SETTLES: Limit = limit(
    "feed.ripple_video",
    "power at which a converter and the filter before it begin to swing, over the peak of the video",
    Unit::Ratio,
    AtLeast,
    (0.5, 1.0),
);
/// Current at start-up over the limit of what feeds it.
pub const INRUSH: Limit = limit(
    "feed.inrush",
    "start-up peak on a rail over what its converter gives when warm",
    Unit::Percent,
    AtMost,
    (100.0, 85.0),
);
/// Energy that goes through the plug as it meets.
pub const PLUG_SPARK: Limit = Limit {
    source: Source::common_practice(
        "the 1000 µF at 35 V that large craft carry hold 0.6 J and spark; more than 1 J pits contacts, ten times that burns them",
    ),
    ..limit("feed.inrush", "energy through the plug as it meets", Unit::Joules, AtMost, (10.0, 1.0))
};
/// How long a rail may stand at its limit while it charges what stands across it.
pub const CHARGES_IN: Limit = Limit {
    source: Source::common_practice("small converters that stand at their limit for some 20 ms hiccup"),
    ..limit(
        "feed.inrush",
        "time that a rail charges a capacitor at its limit, in s",
        Unit::Seconds,
        AtMost,
        (0.1, 0.02),
    )
};
/// Resistance of a cell over that when new.
pub const PACK_AGE: Limit =
    limit("feed.pack_age", "resistance of a cell over that when new", Unit::Ratio, AtMost, (2.0, 1.5));
/// Chance that a flight reaches the planned time; tight by the same chance of so many times the plan.
pub const FLIGHT_RESERVE: Limit = limit(
    "feed.flight_reserve",
    "chance that the pack lasts for the planned time",
    Unit::Percent,
    AtLeast,
    (90.0, 90.0),
);
/// How many times the planned time one flight in ten should reach.
pub const FLIGHT_RESERVE_TIMES: f64 = 1.2;
/// Endurance over the planned time.
pub const LANDING_RESERVE: Limit = limit(
    "craft.landing_reserve",
    "time left of the pack after the planned flight, share of the plan",
    Unit::Percent,
    AtLeast,
    (0.0, 20.0),
);
/// Minutes on the bench.
pub const BENCH_MINUTES: Limit = limit(
    "heat.bench_minutes",
    "time to its limit temperature on the bench, in still air",
    Unit::Seconds,
    AtLeast,
    (120.0, 300.0),
);
/// Planned time on the bench over the time to its limit there: as on the line.
pub const BENCH_PLAN: Limit = limit(
    "heat.bench_minutes",
    "planned time on the bench over the time to its limit temperature there",
    Unit::Percent,
    AtMost,
    (100.0, 60.0),
);
/// Inside of a converter that burns the difference.
pub const LINEAR_HOT: Limit = Limit {
    source: Source::common_practice(
        "chips of regulators shut down at 125 to 150 °C inside, and age fast above 100 °C",
    ),
    ..limit(
        "heat.linear_rail",
        "temperature inside a converter that burns the difference",
        Unit::Celsius,
        AtMost,
        (125.0, 100.0),
    )
};
/// Steady temperature in flight under its limit.
pub const IN_FLIGHT: Limit = limit(
    "heat.in_flight",
    "limit temperature over that in flight, hottest air",
    Unit::Celsius,
    AtLeast,
    (0.0, 10.0),
);
/// Time on the line over the time to its limit there.
pub const START_QUEUE: Limit = limit(
    "heat.start_queue",
    "wait before the start over the time to its limit temperature there",
    Unit::Percent,
    AtMost,
    (100.0, 60.0),
);
/// Air before a hot face.
pub const HOT_NEIGHBOUR: Limit = limit(
    "heat.neighbours",
    "air between the hot face and soft parts or print",
    Unit::Millimetres,
    AtLeast,
    (3.0, 5.0),
);
/// Fold-back over the temperature in flight.
pub const FOLD_BACK: Limit = limit(
    "heat.fold_back",
    "temperature at which it folds back over that in flight, hottest air",
    Unit::Celsius,
    AtLeast,
    (0.0, 10.0),
);
/// Case when it is handled.
pub const TOUCH: Limit =
    limit("heat.touch", "temperature of the case when it is handled", Unit::Celsius, AtMost, (70.0, 55.0));

/// Every limit of this file.
pub const SUPPLY_LIMITS: &[Limit] = &[
    STAYS_UP,
    FAIL_CHARGE,
    FULL_PACK,
    RAIL_PEAK,
    RAIL_TYPICAL,
    DROPOUT,
    CELL_LEAST,
    BOOST_FOLD,
    WIRE_DROP,
    PLUG_LOAD,
    PLUG_PUNCH,
    CONTROLLER_LOAD,
    CAP_RATING,
    RIPPLE,
    FILTER_SETTLES,
    INRUSH,
    PLUG_SPARK,
    CHARGES_IN,
    PACK_AGE,
    FLIGHT_RESERVE,
    LANDING_RESERVE,
    BENCH_MINUTES,
    BENCH_PLAN,
    IN_FLIGHT,
    LINEAR_HOT,
    START_QUEUE,
    HOT_NEIGHBOUR,
    FOLD_BACK,
    TOUCH,
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tight_lies_on_the_good_side_of_broken() {
        for limit in SUPPLY_LIMITS {
            match limit.sense {
                AtLeast => assert!(limit.tight >= limit.broken, "{}", limit.of),
                AtMost => assert!(limit.tight <= limit.broken, "{}", limit.of),
            }
        }
    }

    #[test]
    fn every_limit_belongs_to_a_rule_that_exists() {
        for limit in SUPPLY_LIMITS {
            assert!(crate::rules::rule_of(limit.rule).is_some(), "{}", limit.rule);
        }
    }
}
