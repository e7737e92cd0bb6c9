//! How long an invented craft flies: laws of endurance, landing, failing charge, doubt and mass.
#![allow(clippy::unwrap_used)]

use power::*;
use proptest::prelude::*;
use quantity::{
    Amperes, Celsius, Grams, Measure, Metres, MilliampereHours, Millimetres, Milliohms, Percent, Ratio,
    Seconds, Volts, Watts,
};

fn pack(series: u32, mah: f64, mohm: f64, joints: f64) -> Pack {
    let cell = Cell::of_resistance(MilliampereHours::new(mah), Milliohms::new(mohm)).unwrap();
    Pack::new(series, 1, cell, Milliohms::new(joints)).unwrap()
}
fn leg(seconds: f64, watts: f64, full: f64) -> Leg {
    let throttle = (full > 0.0).then_some((Amperes::new(full), Volts::new(22.2)));
    Leg {
        lasts: Seconds::new(seconds),
        draw: Draw { power: Watts::new(watts), throttle, ..Draw::default() },
        usage: Usage::Typical,
    }
}
const WARM: Celsius = Celsius::new(22.0);
const LEFT: Landing = Landing::Left(Percent::new(20.0));

/// A round of freestyle: cruise, punch, hover.
fn round() -> Vec<Leg> {
    vec![leg(8.0, 220.0, 0.0), leg(1.5, 5.0, 100.0), leg(4.0, 150.0, 0.0)]
}
fn flown(pack: &Pack, round: &[Leg], landing: Landing) -> Endurance {
    let start = pack.rested(Percent::new(100.0), WARM).unwrap();
    endurance(pack, &start, WARM, round, landing, &NoRails).unwrap()
}

#[test]
fn a_racing_pack_lasts_what_the_trade_says() {
    let found = flown(&pack(6, 1300.0, 4.0, 4.0), &round(), LEFT);
    assert_eq!(found.over, Over::Landed);
    // Freestyle on five inches: four to six minutes.
    assert!((3.5..6.5).contains(&(found.time.get() / 60.0)), "{found:?}");
    assert!((found.charge.get() - 20.0).abs() < 2.0);
}

#[test]
fn landing_at_rest_and_by_charge_are_the_same_thing() {
    let pack = pack(4, 1500.0, 5.0, 4.0);
    let hover = [leg(30.0, 150.0, 0.0)];
    let by_charge = flown(&pack, &hover, LEFT);
    let at_rest = flown(&pack, &hover, Landing::AtRest(pack.rest(Percent::new(20.0)) / 4.0));
    assert!((by_charge.time - at_rest.time).abs().get() < 0.05, "{by_charge:?} {at_rest:?}");
    let voltages = landing_voltages(&pack, Percent::new(20.0), WARM, &hover[0], &NoRails).unwrap();
    assert!((voltages.rest.get() - 3.695).abs() < 1e-3);
    let loaded = voltages.loaded.unwrap();
    assert!(loaded < voltages.rest);
    let shown = flown(&pack, &hover, Landing::UnderLoad(loaded));
    assert!((shown.time / by_charge.time - 1.0).abs() < 0.1, "{shown:?} {by_charge:?}");
}

#[test]
fn the_picture_fails_below_a_charge_that_rises_in_the_cold() {
    let pack = pack(1, 450.0, 24.0, 33.0);
    let punch = [
        leg(10.0, 12.0, 0.0),
        Leg { draw: Draw { current: Amperes::new(12.0), ..Draw::default() }, ..leg(1.5, 0.0, 0.0) },
    ];
    let at =
        |celsius: f64| fails_below(&pack, Celsius::new(celsius), &punch, Volts::new(2.9), &NoRails).unwrap();
    let [warm, cold] = [at(25.0).unwrap().get(), at(5.0).map_or(100.0, Percent::get)];
    assert!((1.0..90.0).contains(&warm) && cold > warm, "{warm} {cold}");
    assert_eq!(
        fails_below(&pack, WARM, &[leg(1.0, 0.5, 0.0)], Volts::new(0.1), &NoRails)
            .unwrap()
            .map(|p| p.get() < 1.0),
        Some(true)
    );
}

#[test]
fn ten_grams_cost_some_seconds() {
    let air = Air::standard(Metres::new(0.0)).unwrap();
    let discs = Discs::new(4, Millimetres::new(127.0)).unwrap();
    let craft = Propulsion::new(discs, 4, Ratio::of(0.58), Ratio::of(0.66)).unwrap();
    let round_of = |mass: Grams| Ok(vec![leg(10.0, craft.hover(mass, air)?.get(), 0.0)]);
    let pack = pack(6, 1300.0, 4.0, 4.0);
    let start = pack.rested(Percent::new(100.0), WARM).unwrap();
    let masses = [700.0, 10.0].map(Grams::new);
    let lost = time_for_mass(&pack, &start, WARM, masses, round_of, LEFT, &NoRails).unwrap().get();
    // Power goes with mass to the power of 1.5: 2.1 % of some nine minutes.
    assert!((9.0..14.0).contains(&lost), "{lost}");
}

/// The same craft in the same air, its pack at a temperature at take-off.
fn from_a_pack_at(celsius: f64, landing: Landing) -> Endurance {
    let warming = Warming { capacity: JoulesPerKelvin::new(200.0), to_air: WattsPerKelvin::new(0.2) };
    let pack = pack(6, 1300.0, 4.0, 4.0).warming(warming).unwrap();
    let start = pack.rested(Percent::new(100.0), Celsius::new(celsius)).unwrap();
    let round = [leg(12.0, 220.0, 0.0), leg(4.0, 150.0, 0.0)];
    endurance(&pack, &start, Celsius::new(5.0), &round, landing, &NoRails).unwrap()
}

#[test]
fn a_cold_pack_gives_less_and_warms_itself() {
    let [frozen, cool, warm] = [-15.0, 5.0, 25.0].map(|celsius| from_a_pack_at(celsius, LEFT).time.get());
    // Three tenths of the charge are not to be had at first, and some of that comes back as the pack warms itself.
    assert!(frozen < 0.96 * warm && frozen > 0.65 * warm, "{frozen} {cool} {warm}");
    assert!(frozen < cool && cool < warm, "{frozen} {cool} {warm}");
}

#[test]
fn cells_that_stay_low_in_steady_flight_end_it() {
    let low = Landing::LeftOrLow(Percent::new(20.0), Volts::new(3.5));
    let [cold, warm] = [-18.0, 25.0].map(|celsius| from_a_pack_at(celsius, low));
    assert_eq!([cold.over, warm.over], [Over::Low, Over::Landed]);
    assert!(cold.time < from_a_pack_at(-18.0, LEFT).time && cold.charge.get() > 20.0, "{cold:?}");
}

#[test]
fn a_round_that_never_lasts_is_told() {
    let pack = pack(4, 1500.0, 5.0, 4.0);
    let start = pack.rested(Percent::new(90.0), WARM).unwrap();
    let told = endurance(&pack, &start, WARM, &[], LEFT, &NoRails).map_err(|f| f.to_string());
    assert_eq!(
        told,
        Err("length of a round 0 s must lie between 0.01 s and 86400 s; give it legs that last".to_owned())
    );
    let told = endurance(&pack, &start, WARM, &round(), Landing::AtRest(Volts::new(14.0)), &NoRails)
        .map_err(|f| f.to_string());
    assert!(told.is_err_and(|words| {
        words.ends_with("state one cell, not the pack: 3.5 V at rest, 3.3 V under load")
    }));
    assert_eq!(flown(&pack, &[leg(600.0, 0.0, 0.0)], LEFT).over, Over::Endless);
}

#[test]
fn a_net_of_rails_takes_its_share_and_shows_the_pin() {
    let kind = Conversion::StepDown { headroom: Volts::new(0.8) };
    let converter =
        Converter::new(kind, Volts::new(9.0), [5.0, 30.0].map(Volts::new), Amperes::new(2.0)).unwrap();
    let rail = Rail {
        name: "nine".into(),
        from: PACK.into(),
        lead: Milliohms::new(10.0),
        converter: Some(converter),
    };
    let demand = Demand::Power { typical: Watts::new(9.0), peak: Watts::new(12.0), waiting: None };
    let load = Load {
        name: "video".into(),
        on: "nine".into(),
        lead: Milliohms::new(30.0),
        demand,
        needs: [7.0, 26.0].map(Volts::new),
    };
    let net = SupplyNet::new(vec![rail], vec![load], WARM).unwrap();
    let pack = pack(3, 450.0, 11.0, 8.0);
    let start = pack.rested(Percent::new(60.0), WARM).unwrap();
    let legs = [
        leg(20.0, 40.0, 0.0),
        Leg { draw: Draw { current: Amperes::new(45.0), ..Draw::default() }, ..leg(2.0, 0.0, 0.0) },
    ];
    let with = fly(&pack, &start, WARM, &legs, &net).unwrap();
    let without = fly(&pack, &start, WARM, &legs, &NoRails).unwrap();
    assert!(
        (with.joules().get() - without.joules().get() - 22.0 * 9.0 / 0.89).abs() < 12.0,
        "{:?} {:?}",
        with.energy,
        without.energy
    );
    let lowest = net.lowest(0, &with, Volts::new(0.2)).unwrap();
    assert_eq!((lowest.leg, lowest.bus), (1, with.deepest().unwrap().deepest.bus));
    let deepest = with.deepest().unwrap().deepest.bus;
    assert!(
        (net.at(deepest, Usage::Typical).loads[0].volts - lowest.load.volts - Volts::new(0.1)).abs().get()
            < 1e-9
    );
    let pin = net.at(deepest, Usage::Typical).loads[0];
    assert!(pin.volts < Volts::new(9.0) && pin.held == (pin.volts.get() >= 7.0), "{deepest} {pin:?}");
}

#[test]
fn a_step_up_falls_over_on_a_tired_cell() {
    let power = Watts::new(8.0);
    let demand = Demand::Power { typical: power, peak: power, waiting: None };
    let needs = [7.0, 26.0].map(Volts::new);
    let load = Load { name: "video".into(), on: "nine".into(), lead: Milliohms::new(30.0), demand, needs };
    let net = |least: f64| {
        let input = [least, 5.0].map(Volts::new);
        let converter =
            Converter::new(Conversion::StepUp, Volts::new(9.0), input, Amperes::new(1.5)).unwrap();
        let (name, from, lead) = ("nine".into(), PACK.into(), Milliohms::new(10.0));
        SupplyNet::new(vec![Rail { name, from, lead, converter: Some(converter) }], vec![load.clone()], WARM)
            .unwrap()
    };
    let punch = [Leg { draw: Draw { current: Amperes::new(9.0), ..Draw::default() }, ..leg(1.0, 0.0, 0.0) }];
    let flown = |mohm: f64, net: &SupplyNet| {
        let pack = pack(1, 450.0, mohm, 30.0);
        fly(&pack, &pack.rested(Percent::new(60.0), WARM).unwrap(), WARM, &punch, net).unwrap()
    };
    let held = |flight: &Flight, net: &SupplyNet| {
        net.lowest(0, flight, Volts::new(0.0)).is_some_and(|pin| pin.load.held)
    };
    let (kept, shut) = (net(0.9), net(2.6));
    let sound = flown(15.0, &kept);
    assert!(sound.ending == Ending::Flown && held(&sound, &kept));
    // One that shuts itself off lets the motors go on and the picture go dark; one that does not pulls the cell down.
    let dark = flown(150.0, &shut);
    assert!(dark.ending == Ending::Flown && !held(&dark, &shut));
    assert!(matches!(flown(150.0, &kept).ending, Ending::Folded(_)));
    // Behind one resistance alone: 3.8²/(4·0.11).
    let most = greatest_power(Volts::new(3.8), Milliohms::new(110.0)).unwrap();
    assert!((most.get() - 32.82).abs() < 0.01);
    assert!(greatest_power(Volts::new(3.8), Milliohms::new(0.0)).is_err());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_warmer_pack_never_flies_shorter_in_the_same_air(celsius in -19.0..35.0f64, more in 1.0..20.0f64, least in 3.0..3.6f64) {
        for landing in [LEFT, Landing::LeftOrLow(Percent::new(20.0), Volts::new(least))] {
            let [cold, warm] = [celsius, celsius + more].map(|celsius| from_a_pack_at(celsius, landing).time.get());
            prop_assert!(warm >= cold - 1e-6, "{cold} at {celsius}, {warm} at {more} more");
        }
    }

    #[test]
    fn a_greater_pack_or_a_lighter_load_lasts_longer(mah in 600.0..2000.0f64, watts in 60.0..250.0f64) {
        let time = |mah: f64, watts: f64| flown(&pack(6, mah, 4.0, 4.0), &[leg(5.0, watts, 0.0), leg(1.0, 5.0, 60.0)], LEFT).time.get();
        prop_assert!(time(mah * 1.05, watts) > time(mah, watts));
        prop_assert!(time(mah, watts * 1.05) < time(mah, watts));
    }
}

/// Rounds of hover and a punch that takes four times as much in a tenth of the time: a little more power always takes a little time, whether the
/// charge runs out in the hover or in the punch.
#[test]
fn time_follows_power_without_stairs() {
    let pack = pack(6, 1300.0, 4.0, 4.0);
    let time = |more: f64| {
        let round = [leg(15.0, 200.0 * (1.0 + more), 0.0), leg(1.5, 5.0, 100.0)];
        flown(&pack, &round, LEFT).time.get()
    };
    let times: Vec<f64> = (0..40).map(|k| time(0.005 * f64::from(k))).collect();
    let mean = (times[0] - times[39]) / 39.0;
    for pair in times.windows(2) {
        let costs = pair[0] - pair[1];
        assert!((0.4..2.0).contains(&(costs / mean)), "{costs} of {mean} s: {times:?}");
    }
}
