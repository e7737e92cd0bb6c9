//! The least of margins against cases that can be worked out.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::Doubt;
use crate::ledger_for_tests::{ledger_of, linear, normal};
use proptest::prelude::*;

/// 4,000 trials scatter a probability by at most 0.8 %; four times that.
const SCATTER: f64 = 0.032;

fn all_hold(margins: &[Linear], doubts: &[Doubt]) -> f64 {
    chance_all_at_least(margins, &ledger_of(doubts), 0.0, 4_000, 1).get()
}

#[test]
fn independent_margins_multiply_and_equal_ones_do_not() {
    let doubts = [Doubt::even(1.0), Doubt::even(1.0)];
    let (a, b) = (linear(0.0, &[1.0]), linear(0.0, &[0.0, 1.0]));
    assert!((all_hold(&[a.clone(), b], &doubts) - 0.25).abs() < SCATTER);
    assert!((all_hold(&[a.clone(), a.clone()], &doubts) - 0.5).abs() < SCATTER);
    // Opposite slopes on the same fact: what helps one hurts the other.
    assert!(all_hold(&[a.clone(), -&a], &doubts) < 0.001);
    assert_eq!(all_hold(&[a], &doubts), 0.5);
}

#[test]
fn what_is_certain_needs_no_trials() {
    let doubts = [Doubt::even(1.0)];
    let (safe, lost) = (linear(2.0, &[1.0]), linear(-2.0, &[1.0]));
    assert_eq!(all_hold(&[], &doubts), 1.0);
    assert_eq!(all_hold(&[safe.clone(), safe.clone()], &doubts), 1.0);
    assert_eq!(all_hold(&[safe.clone(), lost], &doubts), 0.0);
    assert_eq!(all_hold(&[safe, linear(0.5, &[1.0])], &doubts), 0.75);
    let nearly = all_hold(&[linear(50.0, &[1.0])], &[normal(1.0)]);
    assert!(nearly < 1.0 && nearly > 0.999_999);
}

#[test]
fn the_least_of_two_alike_normals_has_a_known_mean() {
    // E min(X, Y) = −1/√π for independent standard normals; each is the least half of the time.
    let ledger = ledger_of(&[normal(1.0), normal(1.0)]);
    let margins = [linear(0.0, &[1.0]), linear(0.0, &[0.0, 1.0]), linear(99.0, &[1.0, 1.0])];
    let least = least_of(&margins, &ledger, 10_000, 5).unwrap();
    let off = least.distribution.mean() + 1.0 / std::f64::consts::PI.sqrt();
    assert!(off.abs() < 5.0 * least.distribution.standard_error());
    assert_eq!(least.decided_by.len(), 2);
    assert!(least.decided_by.iter().all(|(_, share)| (share - 0.5).abs() < SCATTER));
    assert_eq!(least_of(&[], &ledger, 100, 1), None);
    assert_eq!(least_of(&[linear(f64::NAN, &[1.0])], &ledger, 100, 1), None);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn leaving_margins_out_changes_nothing(
        values in prop::collection::vec(-1.0..6.0f64, 2..12),
        slopes in prop::collection::vec(-1.0..1.0f64, 24),
    ) {
        let ledger = ledger_of(&[Doubt::even(0.5), Doubt::even(0.2)]);
        let margins: Vec<Linear> =
            values.iter().enumerate().map(|(i, &v)| linear(v, &slopes[2 * i..2 * i + 2])).collect();
        let least = least_of(&margins, &ledger, 500, 9).unwrap();
        // The slow way: every margin in every trial, with the same streams.
        let all: Vec<f64> = crate::propagate_distributions(
            |x| {
                let moved = margins.iter().map(|m| m.value + m.slopes[0].1 * x[0] + m.slopes[1].1 * x[1]);
                moved.fold(f64::INFINITY, f64::min)
            },
            &ledger,
            500,
            9,
        )
        .unwrap()
        .sorted()
        .to_vec();
        for (fast, slow) in least.distribution.sorted().iter().zip(&all) {
            prop_assert!((fast - slow).abs() < 1e-12);
        }
        let shares: f64 = least.decided_by.iter().map(|(_, share)| share).sum();
        prop_assert!((shares - 1.0).abs() < 1e-12);
    }

    #[test]
    fn one_more_margin_never_helps(
        values in prop::collection::vec(-0.5..1.0f64, 2..6),
        slopes in prop::collection::vec(-1.0..1.0f64, 12),
    ) {
        let doubts = [Doubt::even(0.5), normal(0.2)];
        let margins: Vec<Linear> =
            values.iter().enumerate().map(|(i, &v)| linear(v, &slopes[2 * i..2 * i + 2])).collect();
        let fewer = all_hold(&margins[1..], &doubts);
        prop_assert!(all_hold(&margins, &doubts) <= fewer + SCATTER);
    }
}
