//! What holds for packs under load: folds where the closed form says, source and loads agreeing, warmth, hostile loads.

use super::*;
use crate::OpenCircuit;
use proptest::prelude::*;

const CELL: MilliampereHours = MilliampereHours::new(1300.0);

/// A cell that is a voltage behind a resistance and no more.
fn plain(milliohms: f64) -> Cell {
    let ohmic = [(Percent::new(50.0), Milliohms::new(milliohms))];
    Cell::new(CELL, OpenCircuit::pouch(), &ohmic, Amperes::new(1e6), &[])
        .unwrap_or_else(|f| unreachable!("{f}"))
}
fn pack(series: u32, cell: Cell, joints: f64) -> Pack {
    Pack::new(series, 1, cell, Milliohms::new(joints)).unwrap_or_else(|f| unreachable!("{f}"))
}
fn at(pack: &Pack, percent: f64) -> PackState {
    pack.rested(Percent::new(percent), Celsius::new(25.0)).unwrap_or_else(|f| unreachable!("{f}"))
}

fn at_half(pack: &Pack) -> PackState {
    at(pack, 50.0)
}

#[test]
fn a_pack_below_the_coldest_is_told() {
    let told =
        pack(4, plain(5.0), 0.0).rested(Percent::new(50.0), Celsius::new(-30.0)).map_err(|f| f.to_string());
    let words = "temperature of the pack -30 °C must lie between -20 °C and 60 °C; cells give no current safely beyond that: warm or cool the pack first";
    assert_eq!(told, Err(words.to_owned()));
}

#[test]
fn the_weakest_cell_is_the_one_that_resists_most() {
    let cells = vec![(plain(4.0), 3), (plain(12.0), 1)];
    let pack = Pack::of_cells(cells, 1, Milliohms::new(0.0)).unwrap_or_else(|f| unreachable!("{f}"));
    let draw = Draw { current: Amperes::new(50.0), ..Draw::default() };
    let found = pack.standing(&at(&pack, 100.0), &draw);
    assert!(found.is_ok_and(|s| (s.weakest.get() - 3.6).abs() < 1e-4 && (s.bus.get() - 15.6).abs() < 1e-3));
}

#[test]
fn warmth_stays_within_what_was_lost() {
    let warming = Warming { capacity: JoulesPerKelvin::new(100.0), to_air: WattsPerKelvin::new(0.0) };
    let pack = pack(4, plain(5.0), 10.0).warming(warming).unwrap_or_else(|f| unreachable!("{f}"));
    let (from, mut to) = (at(&pack, 80.0), at(&pack, 80.0));
    let volts = pack.rest(Percent::new(80.0)).get() - 50.0 * 0.030;
    pack.advance(&from, &from, 50.0, volts, 10.0, 298.15, &mut to);
    // 2500 A²·20 mΩ for 10 s into 100 J/K; the plug's own warmth stays outside.
    assert!((to.kelvin - from.kelvin - 5.0).abs() < 1e-9);
}

proptest! {
    #[test]
    fn constant_power_folds_where_the_closed_form_says(percent in 5.0..100.0f64, r in 5.0..200.0f64, share in 0.5..1.5f64) {
        let pack = pack(1, plain(r), 0.0);
        let rest = pack.rest(Percent::new(percent)).get();
        let most = rest * rest / (4.0 * r * 1e-3);
        prop_assume!((share - 1.0).abs() > 1e-3);
        let draw = Draw { power: Watts::new(most * share), ..Draw::default() };
        let found = pack.standing(&at(&pack, percent), &draw);
        prop_assert_eq!(found.is_ok(), share < 1.0);
        if let Ok(stands) = found {
            let exact = 0.5 * (rest + (rest * rest - 4.0 * r * 1e-3 * most * share).sqrt());
            prop_assert!((stands.bus.get() - exact).abs() < 1e-4);
        }
    }

    #[test]
    fn any_load_gives_numbers_or_a_fold(power in any::<f64>(), current in any::<f64>(), full in any::<f64>(), at in any::<f64>()) {
        let pack = pack(4, plain(5.0), 3.0);
        let throttle = Some((Amperes::new(full), Volts::new(at)));
        let draw = Draw { power: Watts::new(power), current: Amperes::new(current), throttle };
        if let Ok(stands) = pack.standing(&at_half(&pack), &draw) {
            prop_assert!(stands.bus.get().is_finite() && stands.current.get().is_finite() && stands.weakest.get().is_finite());
        }
    }

    #[test]
    fn source_and_loads_agree(percent in 5.0..100.0f64, watts in 0.0..400.0f64, amperes in 0.0..10.0f64, full in 0.0..150.0f64) {
        let cell = Cell::of_resistance(CELL, Milliohms::new(4.0)).unwrap_or_else(|f| unreachable!("{f}"));
        let pack = pack(6, cell, 3.0);
        let draw = Draw {
            power: Watts::new(watts),
            current: Amperes::new(amperes),
            throttle: Some((Amperes::new(full), Volts::new(22.0))),
        };
        let state = at(&pack, percent);
        if let Ok(stands) = pack.standing(&state, &draw) {
            let (seen, pull) = (pack.terminals(&state), Pull::of(&draw));
            let (v, i) = (stands.bus.get(), stands.current.get());
            prop_assert!((seen.rest - seen.lost(i)[0] - v).abs() < 1e-7);
            prop_assert!((pull.amperes(v) - i).abs() < 1e-7);
            // It is the greatest root: just above it the loads want less than the source would give.
            let above = v + 1e-3;
            prop_assert!(seen.rest - seen.lost(pull.amperes(above))[0] < above);
        }
    }
}

#[test]
fn what_constant_currents_leave_is_what_stepping_through_them_leaves() {
    let cell = Cell::of_resistance(CELL, Milliohms::new(5.0)).unwrap_or_else(|f| unreachable!("{f}"));
    let pack = pack(4, cell, 0.0);
    let work = [(20.0, 60.0), (80.0, 2.0)].map(|(i, t)| (Amperes::new(i), quantity::Seconds::new(t)));
    let closed =
        pack.worked(Percent::new(40.0), Celsius::new(25.0), &work).unwrap_or_else(|f| unreachable!("{f}"));
    let mut state = at(&pack, 40.0);
    for (current, time) in work {
        for _ in 0..1000 {
            let (from, mut to) = (state.clone(), state.clone());
            pack.advance(&from, &from, current.get(), 14.0, time.get() / 1000.0, 298.15, &mut to);
            state = to;
        }
    }
    for (one, other) in closed.cells.iter().zip(&state.cells) {
        assert!(one.over.iter().zip(other.over).all(|(a, b)| (a - b).abs() < 1e-9));
        assert_eq!(one.share, 0.4);
    }
    let backward = pack.worked(Percent::new(40.0), Celsius::new(25.0), &[(Amperes::new(-1.0), work[0].1)]);
    assert!(backward.is_err());
}

/// The short way agrees with the long one: worked to where the punch begins, looked at, and worked again with the current that was seen.
#[test]
fn a_punch_is_where_working_up_to_it_twice_leads() {
    let cells = |low: f64, high: f64| {
        let cell = |milliohms| Cell::of_resistance(CELL, Milliohms::new(milliohms));
        [(low, 3), (high, 1)].map(|(r, n)| (cell(r).unwrap_or_else(|f| unreachable!("{f}")), n))
    };
    let pack = Pack::of_cells(cells(4.0, 9.0).to_vec(), 2, Milliohms::new(6.0))
        .unwrap_or_else(|f| unreachable!("{f}"));
    let (charge, warmth) = (Percent::new(25.0), Celsius::new(5.0));
    let [mean, none] = [9.0, 0.0].map(Amperes::new);
    let [flown, held] = [120.0, 1.5].map(Seconds::new);
    for amperes in [20.0, 150.0] {
        let throttle = Some((Amperes::new(amperes), Volts::new(14.8)));
        let draw = Draw { current: Amperes::new(2.0), throttle, ..Draw::default() };
        let worked = |punch| {
            let state = pack.worked(charge, warmth, &[(mean, flown), (punch, held)]);
            state.map(|state| pack.standing(&state, &draw))
        };
        let current = |found: Result<Result<Standing, Fold>, PowerFault>| match found {
            Ok(Ok(standing)) => standing,
            other => unreachable!("{other:?}"),
        };
        let long = current(worked(current(worked(none)).current));
        let short = pack.at_punch(charge, warmth, (mean, flown), (&draw, held));
        let Ok(Ok((volts, flows))) = short else { unreachable!("{short:?}") };
        assert!((volts - long.bus).get().abs() < 1e-9, "{volts} {}", long.bus);
        assert!((flows - long.current).get().abs() < 1e-6, "{flows} {}", long.current);
    }
}
