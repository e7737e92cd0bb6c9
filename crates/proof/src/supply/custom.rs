//! What custom takes where a sheet says nothing of the supply: typical values with their doubt, each once, with its source.

use crate::view_limits::Custom;
use craft::CraftClass;
use quantity::{Celsius, MetresPerSecond, Percent, Ratio, Source, Watts};

/// What a flight controller or integrated board takes for itself.
pub const BOARD_DRAW: Custom<Watts> = Custom {
    value: Watts::new(0.8),
    within: Watts::new(0.4),
    source: Source::common_practice("what a flight controller takes for itself"),
};
/// Current of the motors in flight over that of a stand at the same voltage.
pub const CURRENT_IN_FLIGHT: Custom<Ratio> = Custom {
    value: Ratio::new(0.78),
    within: Ratio::new(0.07),
    source: Source::common_practice("in flight 15 to 30 % less than on a stand with a fresh supply"),
};
/// How far the temperature of the pack may be from the stated one.
pub const PACK_WARMTH: Custom<Celsius> = Custom {
    value: Celsius::new(0.0),
    within: Celsius::new(4.0),
    source: Source::common_practice(
        "nobody knows the temperature of a pack in flight better than within 4 K",
    ),
};
/// How far the charge at landing may be from the planned one.
pub const CHARGE_READ: Custom<Percent> = Custom {
    value: Percent::new(0.0),
    within: Percent::new(4.0),
    source: Source::common_practice("a pilot lands within 4 % of the charge planned"),
};
/// How far the draw of a video unit swings above its mean.
pub const SWING: Custom<Percent> = Custom {
    value: Percent::new(20.0),
    within: Percent::new(8.0),
    source: Source::common_practice("keying in bursts of a fifth about the mean"),
};
/// Share of the air through the discs, or of the speed flown, that passes along the transmitter.
pub const AIR_SHARE: Custom<Ratio> = Custom {
    value: Ratio::new(0.5),
    within: Ratio::new(0.2),
    source: Source::common_practice(
        "between the plates of a frame about half of the wash passes along a board",
    ),
};
/// How many times its own heat capacity counts, for what boards, screws and frame take along.
pub const FRAME_TAKES: Custom<Ratio> = Custom {
    value: Ratio::new(2.25),
    within: Ratio::new(0.75),
    source: Source::common_practice(
        "on the bench units last 1.5 to 3 times as long as their own mass says: the frame takes heat",
    ),
};
/// Air along a unit before a small fan.
pub const FAN: MetresPerSecond = MetresPerSecond::new(2.5);
/// By how much the air under a dark canopy in the sun is warmer.
pub const SUN: Celsius = Celsius::new(15.0);
/// Of the soft pad between board and sink, W/(m·K), over half of the outline.
pub const PAD_CONDUCTIVITY: f64 = 3.0;
/// Whether wire of a gauge is sold: silicone wire for such craft comes in even gauges.
pub fn is_sold(gauge: u32) -> bool {
    gauge.is_multiple_of(2)
}
/// Where motors commutate in flight, Hz: six steps an electrical turn.
pub const COMMUTATES: [f64; 2] = [5e3, 25e3];
/// Where that comes from.
pub const COMMUTATION_SOURCE: Source =
    Source::common_practice("motor ripple sits at 5 to 25 kHz, switching at 24 to 96 kHz");
/// Inductance of a lead, out and back side by side, nH for each mm of its length.
pub const LEAD_INDUCTANCE: f64 = 0.8;
/// By how much a converter keeps the ripple of the bus from its rail at the motors' switching rate: 26 dB.
pub const RAIL_KEEPS_OUT: f64 = 20.0;
/// Where the last two come from.
pub const RIPPLE_SOURCE: Source = Source::common_practice(
    "pairs of silicone wire have 0.6 to 1 nH/mm; small converters keep 20 to 40 dB of a ripple of 24 to 96 kHz from their output",
);
/// How many times the ripple that is worked out it may be.
pub const RIPPLE_OFF: Custom<Ratio> = Custom {
    value: Ratio::new(1.0),
    within: Ratio::new(0.25),
    source: Source::common_practice(
        "ceramics under voltage, inductances of leads, motors that drift in and out of step: a ripple is known to a quarter",
    ),
};
/// How many times what a cell's charge transfer and diffusion add in a cell of the typical shape they add in this one.
pub const CELL_SLOW: Custom<Ratio> = Custom {
    value: Ratio::new(1.0),
    within: Ratio::new(0.25),
    source: Source::common_practice(
        "cells of one resistance on the meter differ by a quarter in what is slow",
    ),
};
/// By how many kelvin a watt warms a linear converter on a small board over what stands about it.
pub const LINEAR_WARMS: Custom<Ratio> = Custom {
    value: Ratio::new(60.0),
    within: Ratio::new(20.0),
    source: Source::common_practice(
        "a regulator soldered to a small board without a sink warms by 40 to 80 K for a watt",
    ),
};
/// What a converter that switches gives of what it takes, where nobody says.
pub const SWITCHED_GIVES: f64 = 0.9;
/// What a linear converter takes itself, in A, and by how much its input must lie above, in V.
pub const LINEAR_OWN: f64 = 0.005;
/// Custom for the headroom of a converter of which nothing is said, in V.
pub const HEADROOM: f64 = 0.9;
/// The most a converter is taken to want above its output, in V, where only its least input is stated.
pub const HEADROOM_MOST: f64 = 5.0;
/// How long a digital unit is dark after its supply failed.
pub const RESTART: &str = "8 to 25 s";
/// Efficiency of motor, controller and wires, whatever the class.
pub const DRIVE_EFFICIENCY: f64 = 0.72;
/// Resistance of the new pair of blade contacts for one cell, and of the small round pair for more, in mΩ.
pub const GOOD_CONNECTOR: [f64; 2] = [8.0, 1.0];
/// What pairs of the usual classes carry for long, A: of one cell, and of more.
pub const CONNECTOR_CLASSES: [&[f64]; 2] = [&[5.0, 12.0], &[30.0, 60.0, 90.0]];
/// Where those come from.
pub const CONNECTOR_SOURCE: Source = Source::common_practice(
    "pairs of contacts: 1-cell pin type 20 to 30 mΩ, 1-cell blade type 5 to 10, small round type 1 to 1.5, 60 A class 0.5 to 0.8",
);

/// Figure of merit of the blades times efficiency of motor, controller and wires, in hover, by class.
pub const DRIVE_MERITS: &[(CraftClass, f64)] = &[
    (CraftClass::Ducted65, 0.24),
    (CraftClass::Ducted75, 0.26),
    (CraftClass::Ducted85, 0.30),
    (CraftClass::Ducted25, 0.33),
    (CraftClass::Open3, 0.36),
    (CraftClass::Ducted3, 0.34),
    (CraftClass::Ducted35, 0.35),
    (CraftClass::Open35, 0.38),
    (CraftClass::Open4, 0.42),
    (CraftClass::Open5, 0.38),
    (CraftClass::Open7, 0.42),
];
/// How far a merit of a class may be off, as a share of it: stands of like motors and blades lie that far apart in hover.
pub const MERIT_SPREAD: f64 = 0.45;
/// Heat from the faces of a pack to the air it flies through, W/(m²·K): a plate of 7 cm along a wind of 8 m/s, laminar, has 0.664·k/L·√Re·∛Pr of it.
pub const PACK_IN_WIND: f64 = 40.0;
/// What a cell must show in steady flight, in V, or it is time to land: pouches, and round cans.
pub const STEADY_LEAST: [f64; 2] = [3.0, 2.5];
/// Where that comes from.
pub const STEADY_SOURCE: Source = Source::common_practice(
    "under 3.0 V in steady flight a pouch is worn, under 2.5 V a round can; a dip at a punch is forgiven",
);
/// Where the merits come from.
pub const MERIT_SOURCE: Source = Source::common_practice(
    "figure of merit times efficiency of motor, controller and wires, by class of craft",
);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_class_has_its_merit() {
        for class in CraftClass::ALL {
            assert_eq!(DRIVE_MERITS.iter().filter(|(known, _)| *known == class).count(), 1, "{class:?}");
        }
    }
}
