//! Is what lies beyond a limit, or is kept from where it was set, told with the limit, the value and what to write?

#![allow(clippy::unwrap_used)]

use super::tests::demo;
use crate::Proof;
use crate::rules::rule_of;
use crate::testing::{row, set, told_of};
use quantity::standard_uncertainty;

#[test]
fn a_unit_held_low_is_said_by_every_rule_that_judges_at_its_level() {
    let brambling = demo(2);
    for id in [
        "link.margin_at_plan",
        "link.cliff_band",
        "link.null_overhead",
        "link.low_flight",
        "link.wall_plan",
        "link.mode_for_site",
    ] {
        let told = told_of(rule_of(id).unwrap(), &brambling, |_| true);
        assert!(told.contains("that is at 25 mW: 200 mW is set, but"), "{id}: {told}");
        // These two leave the mend to the farthest planned point, where it is told once.
        let elsewhere = ["link.cliff_band", "link.mode_for_site"].contains(&id);
        let sound = !told.contains("broken ·") && !told.contains("tight ·");
        assert!(
            sound || elsewhere || told.contains("> Mend the serial link first: at 200 mW, as set,"),
            "{id}: {told}"
        );
    }
}

#[test]
fn what_may_be_planned_ends_where_looking_ends() {
    let farthest = super::LOOKED[1];
    assert_eq!(craft::schema::craft::FLY_TO.def.max, farthest.get());
    let mut craft = demo(2);
    set(&mut craft, "craft.fly_to", &format!("{} m", farthest.get()));
    assert!(Proof::new(&craft).link().unwrap().link().is_ok());
}

#[test]
fn a_channel_beyond_published_constants_is_refused_with_what_to_write() {
    let mut craft = demo(2);
    set(&mut craft, "craft.channel", "90 GHz");
    let told = told_of(rule_of("link.low_flight").unwrap(), &craft, |_| true);
    assert!(
        told.contains(
            "its constants hold from 1000 MHz to 10000 MHz, and the channel is 90000 MHz\n  > Enter a channel within these.\n"
        ),
        "{told}"
    );
}

#[test]
fn axial_ratios_of_a_measured_pattern_carry_their_doubt() {
    let doubt_of = |ratio: &str| {
        let mut craft = demo(2);
        set(&mut craft, "omni.element", "measured");
        set(&mut craft, "omni.measured_about", "mast");
        for (off, gain) in [("0°", "-12 dBi ± 0"), ("90°", "1.2 dBi ± 0"), ("180°", "-14 dBi ± 0")] {
            row(&mut craft, "omni", "cut", &[("off", off), ("gain", gain), ("axial_ratio", ratio)]);
        }
        let proof = Proof::new(&craft);
        let link = proof.link().unwrap().link().unwrap();
        let sent = link.senders[0]
            .with_doubt(|antenna, _| antenna.polarisation().axial_ratio().map_or(0.0, |ratio| ratio.get()));
        assert!((sent.value - 6.0).abs() < 1e-9);
        standard_uncertainty(&sent, &proof.ledger())
    };
    assert_eq!(doubt_of("6 dB ± 0"), 0.0);
    let (small, large) = (doubt_of("6 dB ± 0.5"), doubt_of("6 dB ± 1"));
    assert!(
        (small - 0.5 / 3f64.sqrt()).abs() < 1e-3 && (large / small - 2.0).abs() < 0.01,
        "{small} {large}"
    );
}
