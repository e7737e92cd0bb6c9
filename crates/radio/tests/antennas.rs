//! Laws of patterns and polarisation in space: energy, turning, reciprocity, hands behind an antenna.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use quantity::{Count, Db, Dbi, Degrees, Megahertz, Millimetres};
use radio::{Antenna, Beam, Carrier, Direction, Hand, Helix, Jones, Polarisation, Turn};

fn antennas() -> Vec<Antenna> {
    let carrier = Carrier::new(Megahertz::new(5800.0)).unwrap();
    let helix = Helix::new(Count::new(5.0), Millimetres::new(16.45), Degrees::new(13.0), carrier).unwrap();
    let patch = Beam::new(Dbi::new(7.5), Degrees::new(75.0), Some(Db::new(15.0))).unwrap();
    vec![
        Antenna::half_wave_dipole(),
        Antenna::circular_omni(Hand::Left, Dbi::new(1.2), Db::new(1.5)).unwrap(),
        Antenna::circular_omni(Hand::Right, Dbi::new(2.6), Db::new(1.0)).unwrap(),
        Antenna::aimed(patch, Polarisation::circular(Hand::Left)),
        Antenna::aimed(patch, Polarisation::linear(Degrees::new(0.0))),
        Antenna::helix(helix, Hand::Right).unwrap(),
    ]
}

fn turn(values: [f64; 3]) -> Turn {
    let [yaw, pitch, roll] = values.map(Degrees::new);
    Turn::new(yaw, pitch, roll)
}

fn hand(wave: Jones) -> Option<Hand> {
    wave.polarisation().and_then(Polarisation::hand)
}

#[test]
fn every_antenna_radiates_the_power_it_says() {
    for (which, antenna) in antennas().iter().enumerate() {
        let (mut sum, mut weight) = (0.0, 0.0);
        for up in -89..=89 {
            let level = f64::from(up).to_radians().cos();
            for round in 0..72 {
                let d =
                    Direction::of_angles(Degrees::new(f64::from(round) * 5.0), Degrees::new(f64::from(up)))
                        .unwrap();
                sum += level * Db::new(antenna.gain(d).get()).ratio();
                weight += level;
            }
        }
        assert!(
            (sum / weight - antenna.efficiency()).abs() < 0.01,
            "{which}: {} {}",
            sum / weight,
            antenna.efficiency()
        );
        assert!(antenna.efficiency() <= 1.0);
    }
}

#[test]
fn the_dipole_falls_to_half_at_39_degrees_and_to_nothing_on_its_axis() {
    let dipole = Antenna::half_wave_dipole();
    let at = |up: f64| dipole.gain(Direction::of_angles(Degrees::new(0.0), Degrees::new(up)).unwrap()).get();
    assert!((at(0.0) - 2.151).abs() < 0.001);
    assert!((at(0.0) - at(39.04) - 3.01).abs() < 0.01);
    assert!(at(90.0) < -200.0);
}

#[test]
fn a_bank_of_60_degrees_tilts_the_dipole() {
    let ground = Antenna::half_wave_dipole();
    let along = Direction::FORWARD;
    for (bank, loss) in [(0.0, 0.0), (45.0, 3.01), (60.0, 6.02), (80.0, 15.2)] {
        let craft = turn([0.0, 0.0, bank]);
        let wave = Antenna::half_wave_dipole().wave(craft, along);
        let got = ground.takes(Turn::NONE, wave, along).power();
        let lost = 2.0 * 2.151 - 10.0 * got.log10();
        assert!((lost - loss).abs() < 0.01, "{bank}: {lost}");
    }
}

#[test]
fn an_aimed_antenna_sends_the_other_hand_behind() {
    for (which, own) in [(3, Hand::Left), (5, Hand::Right)] {
        let antenna = &antennas()[which];
        assert_eq!(hand(antenna.wave(Turn::NONE, Direction::FORWARD)), Some(own));
        assert_eq!(hand(antenna.wave(Turn::NONE, Direction::FORWARD.opposite())), Some(own.other()));
    }
    let omni = &antennas()[1];
    for d in [Direction::FORWARD, Direction::LEFT, Direction::FORWARD.opposite()] {
        assert_eq!(hand(omni.wave(Turn::NONE, d)), Some(Hand::Left));
    }
}

#[test]
fn a_belt_with_more_gain_is_narrower_and_loses_nothing() {
    let [_, plain, narrow, ..] = &antennas()[..] else { unreachable!() };
    let above = Direction::of_angles(Degrees::new(0.0), Degrees::new(40.0)).unwrap();
    let falls = |antenna: &Antenna| antenna.greatest_gain().get() - antenna.gain(above).get();
    assert!(falls(narrow) > falls(plain) + 0.3);
    assert!(narrow.efficiency() > 0.999 && plain.efficiency() < 0.95);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn the_wave_has_the_gain_of_the_direction_however_turned(which in 0..6usize, a in [-180.0..180.0f64, -90.0..90.0f64, -180.0..180.0f64],
                                                             round in 0.0..360.0f64, up in -90.0..90.0f64) {
        let (antenna, turn) = (&antennas()[which], turn(a));
        let d = Direction::of_angles(Degrees::new(round), Degrees::new(up)).unwrap();
        let gain = Db::new(antenna.gain(turn.inward(d)).get()).ratio();
        let power = antenna.wave(turn, d).power();
        prop_assert!((power - gain).abs() < 1e-9 * gain.max(1e-3), "{power} {gain}");
    }

    #[test]
    fn a_link_is_the_same_both_ways(one in 0..6usize, two in 0..6usize, a in [-180.0..180.0f64, -90.0..90.0f64, -180.0..180.0f64],
                                    b in [-180.0..180.0f64, -90.0..90.0f64, -180.0..180.0f64], round in 0.0..360.0f64, up in -85.0..85.0f64) {
        let (one, two) = (&antennas()[one], &antennas()[two]);
        let (a, b) = (turn(a), turn(b));
        let d = Direction::of_angles(Degrees::new(round), Degrees::new(up)).unwrap();
        let there = two.takes(b, one.wave(a, d), d).power();
        let back = one.takes(a, two.wave(b, d.opposite()), d.opposite()).power();
        prop_assert!((there - back).abs() < 1e-9 * (1.0 + there));
        let most = one.wave(a, d).power() * two.wave(b, d.opposite()).power();
        prop_assert!(there <= most * (1.0 + 1e-9) + 1e-12);
    }
}
