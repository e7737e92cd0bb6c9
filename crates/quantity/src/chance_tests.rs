//! Closed forms known otherwise, and laws.

use super::*;
use crate::ledger_for_tests::{ledger_of, linear, normal};
use crate::{Doubt, standard_uncertainty};
use proptest::prelude::*;

fn chance(value: f64, doubts: &[Doubt], slopes: &[f64]) -> f64 {
    chance_at_least(&linear(value, slopes), &ledger_of(doubts), 0.0).get()
}

#[test]
fn without_doubt_it_is_certain_either_way() {
    assert_eq!(chance(0.0, &[], &[]), 1.0);
    assert_eq!(chance(-1e-9, &[Doubt::NONE], &[1.0]), 0.0);
    assert_eq!(chance(0.3, &[Doubt::even(0.1), Doubt::even(0.2)], &[1.0, -1.0]), 1.0);
    assert_eq!(chance(-0.301, &[Doubt::even(0.1), Doubt::even(0.2)], &[1.0, -1.0]), 0.0);
    assert_eq!(chance(f64::NAN, &[Doubt::even(0.1)], &[1.0]), 0.0);
    assert_eq!(chance(f64::INFINITY, &[Doubt::even(0.1)], &[1.0]), 1.0);
}

#[test]
fn one_rectangular_doubt_is_a_ramp() {
    assert!((chance(0.05, &[Doubt::even(0.1)], &[1.0]) - 0.75).abs() < 1e-15);
    let uneven = Doubt { minus: 0.1, plus: 0.3, ..Doubt::NONE };
    // Slope 1: the truth lies from −0.1 to 0.3 about the value, three quarters of it above it.
    assert!((chance(0.0, &[uneven], &[1.0]) - 0.75).abs() < 1e-15);
    assert!((chance(0.0, &[uneven], &[-1.0]) - 0.25).abs() < 1e-15);
}

#[test]
fn two_rectangular_doubts_make_a_trapezoid() {
    // Half-widths 1 and ½: the density is ½ in the middle and falls to 0 from |y| = ½ to 1½, so the
    // share above y in the flank is (1½ − y)²/4.
    let doubts = [Doubt::even(1.0), Doubt::even(0.5)];
    for y in [0.5f64, 0.8, 1.2, 1.49] {
        assert!((chance(-y, &doubts, &[1.0, 1.0]) - (1.5 - y).powi(2) / 4.0).abs() < 1e-14, "{y}");
    }
    assert!((chance(-0.25, &doubts, &[1.0, -1.0]) - 0.375).abs() < 1e-14);
}

#[test]
fn three_equal_doubts_follow_irwin_and_hall() {
    // Three uniforms on 0 to 1: P(S ≤ x) = x³/6 for x ≤ 1. Here centred, so x = ½ is y = −1.
    let doubts = [Doubt::even(0.5); 3];
    assert!((chance(-1.0, &doubts, &[1.0, 1.0, -1.0]) - 0.125 / 6.0).abs() < 1e-14);
}

#[test]
fn normal_doubts_alone_are_normal() {
    // Φ(1) = 0.841344746…
    let doubts = [normal(3.0), normal(4.0)];
    assert!((chance(5.0, &doubts, &[1.0, 1.0]) - 0.841_344_746_068_542_9).abs() < 1e-14);
    assert!(chance(500.0, &doubts, &[1.0, 1.0]) < 1.0);
}

#[test]
fn one_rectangular_and_one_normal_doubt_agree_with_plain_integration() {
    let doubts = [Doubt::even(1.0), normal(0.3)];
    for value in [-1.2, -0.4, 0.1, 0.9] {
        let steps = 5_000;
        let mean: f64 = (0..steps)
            .map(|i| normal_below((value - 1.0 + (f64::from(i) + 0.5) * 2.0 / f64::from(steps)) / 0.3))
            .sum::<f64>()
            / f64::from(steps);
        assert!((chance(value, &doubts, &[1.0, 1.0]) - mean).abs() < 1e-7, "{value}");
    }
}

/// The same distribution by convolving on a fine grid: slow, and blind to the closed form.
fn share_below_by_grid(y: f64, widths: &[f64]) -> f64 {
    let reach: f64 = widths.iter().sum::<f64>() * 1.01;
    let cells = 4_000usize;
    let step = 2.0 * reach / cells as f64;
    let at = |i: f64| -reach + i * step;
    let mut below: Vec<f64> = (0..=cells).map(|i| if at(i as f64) >= 0.0 { 1.0 } else { 0.0 }).collect();
    for a in widths {
        let mut integral = vec![0.0; cells + 1];
        for i in 1..=cells {
            integral[i] = integral[i - 1] + 0.5 * (below[i] + below[i - 1]) * step;
        }
        let area = |x: f64| {
            let i = ((x + reach) / step).clamp(0.0, cells as f64);
            let (whole, part) = (i.floor() as usize, i.fract());
            let inside = integral[whole]
                + if part > 0.0 { part * (integral[whole + 1] - integral[whole]) } else { 0.0 };
            inside + (x - reach).max(0.0)
        };
        below = (0..=cells).map(|i| (area(at(i as f64) + a) - area(at(i as f64) - a)) / (2.0 * a)).collect();
    }
    let i = ((y + reach) / step).clamp(0.0, cells as f64 - 1.0);
    let (whole, part) = (i.floor() as usize, i.fract());
    below[whole] + part * (below[whole + 1] - below[whole])
}

#[test]
fn what_joins_the_normal_part_costs_less_than_stated() {
    let shares: [&[f64]; 6] = [
        &[1.0; 12],
        &[1.0; 7],
        &[1.0, 0.02, 0.019, 0.018],
        &[1.0, 0.9, 0.5, 0.5, 0.4, 0.4, 0.4, 0.3, 0.3],
        &[1.0, 0.021, 0.022, 0.023, 0.021, 0.021],
        &[1.0, 0.5, 0.01],
    ];
    for widths in shares {
        let reach: f64 = widths.iter().sum();
        for i in -20..=20 {
            let y = reach * f64::from(i) / 20.5;
            let ours = share_below(y, &mut widths.to_vec(), 0.0);
            let slow = share_below_by_grid(y, widths);
            assert!((ours - slow).abs() < 0.002, "{widths:?} at {y}: {ours} against {slow}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn a_greater_value_is_never_less_likely_to_pass(
        value in -3.0..3.0f64,
        more in 0.0..1.0f64,
        widths in prop::collection::vec(0.0..1.0f64, 0..9),
        u in prop_oneof![Just(0.0), 0.0..1.0f64],
    ) {
        let mut doubts: Vec<Doubt> = widths.iter().map(|w| Doubt::even(*w)).collect();
        doubts.push(normal(u));
        let slopes = vec![1.0; doubts.len()];
        let (low, high) = (chance(value, &doubts, &slopes), chance(value + more, &doubts, &slopes));
        prop_assert!(high >= low - 1e-9, "{low} then {high}");
    }

    #[test]
    fn turning_the_result_round_gives_the_opposite(
        value in -2.0..2.0f64,
        widths in prop::collection::vec(0.01..1.0f64, 1..8),
        u in 0.01..1.0f64,
    ) {
        let mut doubts: Vec<Doubt> = widths.iter().map(|w| Doubt::even(*w)).collect();
        doubts.push(normal(u));
        let slopes = vec![1.0; doubts.len()];
        let back: Vec<f64> = slopes.iter().map(|c| -c).collect();
        let sum = chance(value, &doubts, &slopes) + chance(-value, &doubts, &back);
        prop_assert!((sum - 1.0).abs() < 1e-7, "{sum}");
    }

    #[test]
    fn the_scale_of_the_unit_does_not_matter(
        value in -2.0..2.0f64,
        widths in prop::collection::vec(0.01..1.0f64, 1..8),
        power in -40i32..40,
    ) {
        let doubts: Vec<Doubt> = widths.iter().map(|w| Doubt::even(*w)).collect();
        let unit = 10f64.powi(power);
        let plain = chance(value, &doubts, &vec![1.0; doubts.len()]);
        let scaled = chance(value * unit, &doubts, &vec![unit; doubts.len()]);
        prop_assert!((plain - scaled).abs() < 1e-6);
        let result = linear(value, &vec![1.0; doubts.len()]);
        prop_assert!(standard_uncertainty(&result, &ledger_of(&doubts)) > 0.0);
    }
}
