//! What arrives between two ends: terms that add up, reciprocity, lobes, hands off the ground, hostile scenes.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use quantity::{Db, Dbi, Degrees, Megahertz, Metres, Millimetres};
use radio::*;

fn carrier() -> Carrier {
    Carrier::new(Megahertz::new(5800.0)).unwrap()
}
fn place(x: f64, y: f64, z: f64) -> Place {
    Place::new(Metres::new(x), Metres::new(y), Metres::new(z)).unwrap()
}
fn end(antenna: Antenna, [yaw, pitch, roll]: [f64; 3], place: Place) -> End {
    End { antenna, turn: Turn::new(Degrees::new(yaw), Degrees::new(pitch), Degrees::new(roll)), place }
}
fn omni(hand: Hand) -> Antenna {
    Antenna::circular_omni(hand, Dbi::new(1.2), Db::new(1.0)).unwrap()
}
fn patch() -> Antenna {
    let beam = Beam::new(Dbi::new(7.5), Degrees::new(75.0), Some(Db::new(14.0))).unwrap();
    Antenna::aimed(beam, Polarisation::elliptical(Hand::Left, Db::new(1.5), Degrees::new(30.0)).unwrap())
}
fn loose() -> impl Strategy<Value = f64> {
    prop_oneof![any::<f64>(), -100.0..100.0f64]
}
fn meadow() -> Ground {
    Ground::new(Material::of_word("medium dry ground").unwrap(), Metres::new(0.01)).unwrap()
}
fn scenery() -> Scenery {
    let slab = Slab::of(Material::of_word("brick").unwrap(), Millimetres::new(110.0)).unwrap();
    let wall = Wall::new(place(30.0, -4.0, 0.0), place(32.0, 6.0, 0.0), Metres::new(4.0), slab).unwrap();
    let tree = Wood::new(place(50.0, 3.0, 0.0), Metres::new(2.5), Metres::new(9.0)).unwrap();
    Scenery { ground: Some(meadow()), walls: vec![wall], woods: vec![tree] }
}
fn sum(r: &Reception) -> f64 {
    r.sender.get() + r.receiver.get() + r.ground.get()
        - r.spreading.get()
        - r.polarisation.usual.get()
        - r.walls.get()
        - r.leaves.usual.get()
}

#[test]
fn far_above_the_ground_it_is_free_space() {
    let (one, two) = (
        end(omni(Hand::Left), [0.0; 3], place(0.0, 0.0, 2.0)),
        end(omni(Hand::Left), [0.0; 3], place(100.0, 0.0, 2.0)),
    );
    let r = reception(&one, &two, &Scenery::default(), carrier()).unwrap();
    assert!((r.total.get() - (2.4 - 87.716 - r.polarisation.usual.get())).abs() < 0.001);
    assert!((r.polarisation.usual.get()).abs() < 0.06 && r.ground.get().abs() < 1e-9 && r.bounce.is_none());
}

#[test]
fn a_wrong_hand_costs_what_the_axial_ratios_leave() {
    let at = |hand| {
        let craft = end(omni(hand), [0.0; 3], place(80.0, 0.0, 5.0));
        reception(&end(patch(), [0.0; 3], place(0.0, 0.0, 2.0)), &craft, &Scenery::default(), carrier())
            .unwrap()
    };
    let lost = at(Hand::Right).polarisation.usual - at(Hand::Left).polarisation.usual;
    assert!((12.0..30.0).contains(&lost.get()), "{lost}");
}

#[test]
fn the_lobes_of_two_dipoles_are_those_of_the_two_ray_sum() {
    for d in [60.0, 133.0, 400.0, 2500.0] {
        let (low, high) = (place(0.0, 0.0, 2.0), place(d, 0.0, 3.0));
        let (one, two) = (
            end(Antenna::half_wave_dipole(), [0.0; 3], low),
            end(Antenna::half_wave_dipole(), [0.0; 3], high),
        );
        let scene = Scenery { ground: Some(meadow()), ..Scenery::default() };
        let r = reception(&one, &two, &scene, carrier()).unwrap();
        let factor = meadow().two_ray([low.z(), high.z()], Metres::new(d), carrier()).unwrap();
        // At these angles a dipole hardly knows up from level.
        assert!((r.ground.get() - 20.0 * factor.within.size().log10()).abs() < 0.25, "{d}: {}", r.ground);
    }
}

#[test]
fn antennas_inside_each_other_and_below_the_ground_are_refused() {
    let one = end(omni(Hand::Left), [0.0; 3], place(0.0, 0.0, 2.0));
    let told = reception(&one, &one, &Scenery::default(), carrier()).map_err(|fault| fault.to_string());
    assert_eq!(
        told,
        Err("distance 0 m must lie between 0.01 m and 1000000 m; move the two antennas apart".to_owned())
    );
    let buried = end(omni(Hand::Left), [0.0; 3], place(40.0, 0.0, -1.0));
    let told = reception(&one, &buried, &scenery(), carrier()).map_err(|fault| fault.to_string());
    assert!(told.is_err_and(|words| words.starts_with("height above the ground -1 m")));
}

#[test]
fn an_antenna_turned_by_no_number_is_told() {
    let one = end(omni(Hand::Left), [0.0; 3], place(0.0, 0.0, 2.0));
    let lost = end(omni(Hand::Left), [0.0, f64::NAN, 0.0], place(40.0, 0.0, 5.0));
    let told = reception(&one, &lost, &scenery(), carrier()).map_err(|fault| fault.to_string());
    let words =
        "the antenna at the receiver is turned or tilted by something that is no number; check its angles";
    assert_eq!(told, Err(words.to_owned()));
}

#[test]
fn behind_a_metal_barn_the_rest_comes_over_and_round() {
    let metal = Slab::of(Material::of_word("metal").unwrap(), Millimetres::new(1.0)).unwrap();
    let barn = Wall::new(place(40.0, -8.0, 0.0), place(40.0, 8.0, 0.0), Metres::new(6.0), metal).unwrap();
    let scene = Scenery { walls: vec![barn], ..Scenery::default() };
    let pilot = end(patch(), [0.0; 3], place(0.0, 0.0, 2.0));
    let at = |x: f64, z: f64| {
        reception(&pilot, &end(omni(Hand::Left), [0.0; 3], place(x, 0.0, z)), &scene, carrier())
            .unwrap()
            .walls
            .get()
    };
    assert!((10.0..40.0).contains(&at(55.0, 2.0)), "{}", at(55.0, 2.0));
    assert!(at(55.0, 15.0) < 2.0 && at(35.0, 2.0) == 0.0);
    assert!(at(120.0, 2.0) < at(45.0, 2.0));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn the_terms_add_up_to_the_whole_and_both_ways_are_alike(
        x in -150.0..150.0f64, y in -150.0..150.0f64, z in 0.0..60.0f64, attitude in [-180.0..180.0f64, -90.0..90.0f64, -180.0..180.0f64],
        aim in -40.0..40.0f64, low in 0.3..3.0f64, which in 0..3usize) {
        prop_assume!(x.hypot(y) > 1.0);
        let antenna = [omni(Hand::Left), Antenna::half_wave_dipole(), patch()][which].clone();
        let craft = end(antenna, attitude, place(x, y, z));
        let pilot = end(patch(), [aim, 5.0, 0.0], place(0.0, 0.0, low));
        let there = reception(&craft, &pilot, &scenery(), carrier()).unwrap();
        let back = reception(&pilot, &craft, &scenery(), carrier()).unwrap();
        prop_assert!((there.total - back.total).get().abs() < 1e-6, "{there:?} {back:?}");
        prop_assert!((sum(&there) - there.total.get()).abs() < 1e-9);
        prop_assert!(there.total.get().is_finite() && there.ground.get().is_finite());
    }

    #[test]
    fn no_number_whatever_makes_a_figure_that_is_none(x in loose(), z in loose(), turn in prop_oneof![any::<f64>(), Just(f64::NAN)]) {
        let (m, at) = (Metres::new, Metres::new(x));
        if let Ok(there) = Place::new(at, m(3.0), m(z)) {
            let craft = end(omni(Hand::Left), [turn, 0.0, 0.0], there);
            let pilot = end(patch(), [0.0; 3], place(0.0, 0.0, 2.0));
            match reception(&craft, &pilot, &scenery(), carrier()) {
                Ok(r) => prop_assert!(turn.is_finite() && r.total.get().is_finite()),
                Err(fault) => prop_assert!(!turn.is_finite() || !(0.0..=1e4).contains(&z) || x.abs() > 1e5, "{fault}"),
            }
        }
    }
}
