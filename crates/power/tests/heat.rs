//! Boards on the bench and in flight: who cools whom, how fast, and laws that hold for any of them.
#![allow(clippy::unwrap_used)]

use power::*;
use proptest::prelude::*;
use quantity::{Celsius, Measure, Metres, MetresPerSecond, Millimetres, Milliwatts, Ratio, Seconds, Watts};

fn air(celsius: f64, height: f64) -> Air {
    Air::at(Metres::new(height), Celsius::new(celsius)).unwrap()
}
fn wind(speed: f64) -> Surroundings {
    Surroundings { air: air(25.0, 0.0), speed: MetresPerSecond::new(speed) }
}
fn cold(celsius: f64) -> Warmth {
    Warmth { board: Celsius::new(celsius), sink: Celsius::new(celsius) }
}
fn face(mm: [f64; 2], fold: f64) -> Face {
    Face::new(mm.map(Millimetres::new), Attitude::Upright, Ratio::of(0.9), Ratio::of(fold)).unwrap()
}
/// Both sides of a board.
fn board(mm: [f64; 2], grams: f64) -> Body {
    Body { capacity: JoulesPerKelvin::new(0.9 * grams), faces: vec![face(mm, 2.0)] }
}
fn micro() -> Unit {
    Unit::new(board([27.0, 27.0], 5.0), None).unwrap()
}
fn sunk() -> Unit {
    let sink = Body { capacity: JoulesPerKelvin::new(18.0), faces: vec![face([40.0, 33.0], 2.5)] };
    Unit::new(board([40.0, 33.0], 8.0), Some((sink, WattsPerKelvin::new(0.8)))).unwrap()
}
const LIMIT: Celsius = Celsius::new(75.0);

/// Rising air and the stream share the work: where one takes over from the other there is no corner.
#[test]
fn more_air_cools_more_and_without_a_kink() {
    for (unit, watts) in [(micro(), 4.0), (micro(), 1.5), (sunk(), 6.0)] {
        let at = |speed: f64| unit.steady(Watts::new(watts), wind(speed)).unwrap().board.get();
        let curve: Vec<f64> = (0..=300).map(|n| at(0.003 * f64::from(n))).collect();
        let falls: Vec<f64> = curve.windows(2).map(|pair| pair[0] - pair[1]).collect();
        assert!(falls.iter().all(|fall| *fall > 0.0), "{curve:?}");
        let steepest = falls.iter().copied().fold(0.0, f64::max);
        let turned = falls.windows(2).map(|pair| (pair[0] - pair[1]).abs()).fold(0.0, f64::max);
        assert!(turned < 0.2 * steepest, "turns by {turned} where {steepest} is the steepest");
    }
}

#[test]
fn free_and_forced_together_are_more_than_either_and_less_than_both() {
    // Equal shares give the cube root of two, and a tenth beside another next to nothing.
    assert!((mixed(10.0, 10.0) - 12.599).abs() < 1e-3);
    assert!((mixed(10.0, 1.0) - 10.003).abs() < 1e-3);
    assert_eq!([mixed(7.0, 0.0), mixed(0.0, 7.0)].map(|nu| (1e9 * nu).round()), [7e9; 2]);
}

#[test]
fn flight_cools_what_the_bench_does_not() {
    let (heat, unit) = (Watts::new(4.0), micro());
    let minutes = unit.time_to(LIMIT, cold(25.0), heat, wind(0.0)).unwrap().unwrap().get() / 60.0;
    assert!((0.5..3.0).contains(&minutes), "{minutes}");
    assert_eq!(unit.time_to(LIMIT, cold(25.0), heat, wind(15.0)).unwrap(), None);
    let speed = unit.needed_speed(LIMIT, heat, air(25.0, 0.0)).unwrap().unwrap().get();
    assert!((1.0..15.0).contains(&speed), "{speed}");
    assert!(unit.steady(heat, wind(speed)).unwrap().board <= LIMIT + Celsius::new(1e-6));
}

#[test]
fn waiting_at_the_lowest_power_leaves_time_to_fly() {
    let unit = micro();
    let wait = Seconds::new(180.0);
    let [low, full] =
        [1.5, 4.0].map(|watts| unit.after(cold(25.0), Watts::new(watts), wind(0.0), wait).unwrap());
    assert!(low.board < LIMIT && full.board > LIMIT, "{low:?} {full:?}");
    let powers = |watts: f64| [watts, 4.0].map(Watts::new);
    let (then, left) = unit.after_wait(powers(1.5), wait, LIMIT, wind(0.0)).unwrap();
    assert!(then == low && left.is_some_and(|left| left.get() > 5.0), "{left:?}");
    // Without the lowest level it is over before the start.
    assert_eq!(unit.after_wait(powers(4.0), wait, LIMIT, wind(0.0)).unwrap().1, Some(Seconds::new(0.0)));
}

#[test]
fn a_sink_runs_cooler_than_its_board_and_cools_it() {
    let warm = sunk().steady(Watts::new(6.0), wind(0.0)).unwrap();
    assert!(warm.sink < warm.board);
    let bare = Unit::new(board([40.0, 33.0], 8.0), None).unwrap().steady(Watts::new(6.0), wind(0.0)).unwrap();
    assert!(warm.board < bare.board - Celsius::new(20.0), "{warm:?} {bare:?}");
}

#[test]
fn what_radiates_more_than_it_draws_is_told() {
    assert_eq!(heat_of(Watts::new(6.0), Milliwatts::new(500.0)), Ok(Watts::new(5.5)));
    let told = heat_of(Watts::new(0.4), Milliwatts::new(500.0)).map_err(|f| f.to_string());
    let words = "radiated power 0.5 W must lie between 0 W and 0.4 W; no unit radiates more than it draws: check both";
    assert_eq!(told, Err(words.to_owned()));
}

#[test]
fn a_unit_without_a_face_is_told() {
    let told = Unit::new(Body { capacity: JoulesPerKelvin::new(5.0), faces: vec![] }, None)
        .map_err(|f| f.to_string());
    assert_eq!(told, Err("unit has 0 points; it needs one face at least that gives off heat".to_owned()));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn warming_goes_to_the_steady_state_and_not_past_it(watts in 0.1..12.0f64, speed in 0.0..20.0f64, with_sink in any::<bool>()) {
        let unit = if with_sink { sunk() } else { micro() };
        let heat = Watts::new(watts);
        let steady = unit.steady(heat, wind(speed)).unwrap();
        let late = unit.after(cold(25.0), heat, wind(speed), Seconds::new(7200.0)).unwrap();
        prop_assert!((late.board - steady.board).abs().get() < 0.1 && (late.sink - steady.sink).abs().get() < 0.1, "{:?} {:?}", late, steady);
        let soon = unit.after(cold(25.0), heat, wind(speed), Seconds::new(60.0)).unwrap();
        prop_assert!(soon.board <= steady.board + Celsius::new(0.01) && soon.board >= Celsius::new(25.0));
    }

    #[test]
    fn more_heat_is_hotter_and_more_wind_cooler(watts in 0.1..12.0f64, speed in 0.0..20.0f64, height in 0.0..3000.0f64) {
        let about = |speed: f64| Surroundings { air: air(20.0, height), speed: MetresPerSecond::new(speed) };
        let at = |watts: f64, speed: f64| micro().steady(Watts::new(watts), about(speed)).unwrap().board.get();
        prop_assert!(at(watts * 1.1, speed) > at(watts, speed));
        prop_assert!(at(watts, speed + 1.0) <= at(watts, speed) + 1e-6);
    }

    #[test]
    fn the_limit_is_reached_when_it_is_said(watts in 2.0..12.0f64) {
        let unit = sunk();
        let heat = Watts::new(watts);
        if let Some(time) = unit.time_to(LIMIT, cold(20.0), heat, wind(0.0)).unwrap() {
            let there = unit.after(cold(20.0), heat, wind(0.0), time).unwrap();
            prop_assert!((there.board - LIMIT).abs().get() < 0.05, "{:?}", there);
        }
    }

    #[test]
    fn any_heat_gives_a_number_or_a_fault(watts in any::<f64>(), speed in any::<f64>(), seconds in any::<f64>()) {
        let about = Surroundings { air: air(20.0, 0.0), speed: MetresPerSecond::new(speed) };
        if let Ok(warmth) = micro().steady(Watts::new(watts), about) {
            prop_assert!(warmth.board.get().is_finite());
        }
        if let Ok(warmth) = micro().after(cold(20.0), Watts::new(watts.abs().min(20.0)), about, Seconds::new(seconds.abs().min(3600.0))) {
            prop_assert!(warmth.board.get().is_finite());
        }
    }
}
