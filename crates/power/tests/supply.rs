//! Nets of rails on an invented craft: pins, drop-out, overload, circles, and laws that hold for any net.
#![allow(clippy::unwrap_used)]

use power::*;
use proptest::prelude::*;
use quantity::{Amperes, Celsius, Milliohms, Volts, Watts};

fn down(volts: f64, limit: f64) -> Converter {
    let kind = Conversion::StepDown { headroom: Volts::new(0.8) };
    Converter::new(kind, Volts::new(volts), [4.0, 30.0].map(Volts::new), Amperes::new(limit)).unwrap()
}
fn rail(name: &str, from: &str, milliohms: f64, converter: Option<Converter>) -> Rail {
    Rail { name: name.into(), from: from.into(), lead: Milliohms::new(milliohms), converter }
}
fn video(on: &str, watts: f64) -> Load {
    let demand = Demand::Power {
        typical: Watts::new(watts),
        peak: Watts::new(watts * 1.4),
        waiting: Some(Watts::new(watts * 0.4)),
    };
    let needs = [7.0, 26.0].map(Volts::new);
    Load { name: "video".into(), on: on.into(), lead: Milliohms::new(40.0), demand, needs }
}
fn receiver(on: &str) -> Load {
    let demand = Demand::Current { typical: Amperes::new(0.1), peak: Amperes::new(0.15) };
    let needs = [4.5, 8.4].map(Volts::new);
    Load { name: "receiver".into(), on: on.into(), lead: Milliohms::new(20.0), demand, needs }
}
fn net(rails: Vec<Rail>, loads: Vec<Load>) -> SupplyNet {
    SupplyNet::new(rails, loads, Celsius::new(25.0)).unwrap()
}
fn two_rails(limit: f64) -> SupplyNet {
    let rails = vec![
        rail("nine", PACK, 5.0, Some(down(9.0, limit))),
        rail("five", "nine", 1.0, Some(down(5.0, 2.0))),
    ];
    net(rails, vec![video("nine", 6.0), receiver("five")])
}
fn told(rails: Vec<Rail>, loads: Vec<Load>) -> Vec<String> {
    let faults = SupplyNet::new(rails, loads, Celsius::new(25.0)).unwrap_err();
    faults.iter().map(ToString::to_string).collect()
}

#[test]
fn pins_lie_a_lead_below_their_rail_and_power_adds_up() {
    let found = two_rails(2.0).at(Volts::new(16.0), Usage::Typical);
    let pin = found.loads[0].volts.get();
    assert!((pin - (9.0 - 0.040 * found.loads[0].amperes.get())).abs() < 1e-9 && found.loads[0].held);
    assert!((pin * found.loads[0].amperes.get() - 6.0).abs() < 1e-9);
    // 6.0 W and 0.5 W below two converters and a little in leads: all that goes in comes out as load or heat.
    let out: f64 = found.loads.iter().map(|load| load.volts.get() * load.amperes.get()).sum();
    let heat: f64 = found.rails.iter().map(|rail| rail.heat.get()).sum();
    let taken = 16.0 * found.amperes.get();
    assert!(taken > out + heat && taken < out + heat + 0.05, "{taken} {out} {heat}");
}

#[test]
fn a_rail_beyond_its_limit_does_not_hold_its_loads() {
    let found = two_rails(0.5).at(Volts::new(16.0), Usage::Peak);
    assert_eq!(found.rails[0].state, RailState::Overloaded);
    assert!(!found.loads[0].held);
}

#[test]
fn the_picture_holds_down_to_a_bus_voltage_that_is_found() {
    let net = two_rails(2.0);
    let least = net.least_bus(0, Volts::new(25.0), Usage::Typical).unwrap();
    // 7.0 V at the pin, 0.86 A through 40 mΩ, 0.8 V headroom, and the way in.
    assert!((7.8..7.9).contains(&least.get()), "{least}");
    assert!(net.at(least, Usage::Typical).loads[0].held);
    assert!(!net.at(least - Volts::new(0.01), Usage::Typical).loads[0].held);
    let waiting = net.at(Volts::new(16.0), Usage::Waiting).amperes;
    assert!(waiting < net.at(Volts::new(16.0), Usage::Typical).amperes);
}

#[test]
fn rails_that_feed_themselves_are_told() {
    let itself = vec![rail("nine", "nine", 0.0, None)];
    assert_eq!(
        told(itself, vec![]),
        ["rails feed themselves: nine from nine; feed one of them from the pack"]
    );
    let circle = vec![rail("a", "b", 0.0, None), rail("b", "c", 0.0, None), rail("c", "a", 0.0, None)];
    assert_eq!(
        told(circle, vec![]),
        ["rails feed themselves: a from b from c from a; feed one of them from the pack"]
    );
}

#[test]
fn every_fault_of_a_net_is_told_at_once() {
    let rails = vec![rail("nine", PACK, -1.0, None), rail("nine", "main", 0.0, None)];
    let told = told(rails, vec![video("tail", -2.0)]);
    assert_eq!(
        told,
        [
            "rail `nine` is there twice, or bears the name of the pack; give each a name of its own",
            "`nine` is fed from `main`, which is not there; known are: nine, nine, pack",
            "`video` is fed from `tail`, which is not there; known are: nine, nine, pack",
            "lead to nine -1 mΩ must lie between 0 mΩ and 100000 mΩ; measure it",
            "typical power of video -2 W must lie between 0 W and 10000 W; a load takes: state what it takes at its pins",
        ]
    );
}

#[test]
fn a_load_too_great_for_its_lead_goes_dark() {
    let mut load = video(PACK, 20.0);
    load.lead = Milliohms::new(2000.0);
    // 10² < 4·2·20.
    let found = net(vec![], vec![load]).at(Volts::new(10.0), Usage::Typical);
    assert_eq!((found.loads[0].volts.get(), found.loads[0].held), (0.0, false));
}

proptest! {
    #[test]
    fn any_net_gives_numbers_and_never_more_than_it_takes(
        bus in prop_oneof![any::<f64>(), 0.0..30.0f64],
        watts in 0.0..40.0f64,
        leads in prop::array::uniform3(0.0..800.0f64),
        depth in 0usize..4,
        peak in any::<bool>(),
    ) {
        let feeds = [PACK, "one", "two", "three"];
        let names = ["one", "two", "three"];
        let converter = |k: usize| [Some(down(12.0, 3.0)), None, Some(down(5.0, 2.0))][k].clone();
        let rails = (0..3).map(|k| rail(names[k], feeds[k], leads[k], converter(k))).collect();
        let found = net(rails, vec![video(feeds[depth], watts), receiver("three")])
            .at(Volts::new(bus), if peak { Usage::Peak } else { Usage::Typical });
        prop_assert!(found.amperes.get().is_finite() && found.amperes.get() >= 0.0);
        let out: f64 = found.loads.iter().map(|load| load.volts.get() * load.amperes.get()).sum();
        prop_assert!(out.is_finite());
        if bus.is_finite() && bus > 0.0 {
            prop_assert!(bus * found.amperes.get() >= out - 1e-6, "{} {}", bus * found.amperes.get(), out);
        }
    }
}
