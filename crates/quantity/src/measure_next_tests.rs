//! What to measure next, in cases where the answer is plain, and its laws.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::ledger_for_tests::{ledger_of, linear, normal};
use proptest::prelude::*;

// The facts of these ledgers are outer sizes: calipers leave ± 0.1.

#[test]
fn the_fact_that_dominates_is_measured_first() {
    let ledger = ledger_of(&[Doubt::even(0.2), Doubt::even(1.0), Doubt::even(0.3)]);
    let margins = [linear(0.1, &[1.0, -1.0, 1.0])];
    let order = measuring_order(&margins, &ledger);
    assert_eq!(order[0].fact, FactIndex(1));
    assert!(order[0].certainty_after.get() > order[0].certainty_now.get() + 0.2);
    assert!(order.windows(2).all(|pair| pair[0].certainty_after >= pair[1].certainty_after));
}

#[test]
fn a_single_fact_measured_well_enough_settles_the_verdict() {
    // ± 1 about −0.2: p = 0.4. Ten cells of 0.2; the limit, at +0.2 of the fact, falls between two cells,
    // so every reading settles it.
    let ledger = ledger_of(&[Doubt::even(1.0)]);
    let next = measure_next(&[linear(-0.2, &[1.0])], &ledger).unwrap();
    assert!((next.certainty_now.get() - 0.6).abs() < 1e-12);
    assert!(next.certainty_after.get() > 0.999);
    // About −0.3 it falls in the middle of a cell: one reading in ten leaves even odds, 0.95 on the whole.
    let next = measure_next(&[linear(-0.3, &[1.0])], &ledger).unwrap();
    assert!((next.certainty_after.get() - 0.95).abs() < 1e-9, "{next:?}");
}

#[test]
fn facts_known_as_well_as_calipers_tell_gain_nothing() {
    let ledger = ledger_of(&[Doubt::even(0.1), Doubt::even(0.05)]);
    assert_eq!(measure_next(&[linear(0.0, &[1.0, 1.0])], &ledger), None);
}

#[test]
fn a_fact_that_changes_next_to_nothing_is_not_named() {
    // The second moves the margin by a hundredth of what the first does.
    let ledger = ledger_of(&[Doubt::even(1.0), Doubt::even(0.3)]);
    let named = |slope: f64| {
        let order = measuring_order(&[linear(0.2, &[1.0, slope])], &ledger);
        order.iter().map(|next| next.fact.0).collect::<Vec<_>>()
    };
    assert_eq!(named(0.01), [0]);
    assert_eq!(named(2.0).len(), 2);
}

#[test]
fn a_certain_verdict_needs_no_measuring() {
    let ledger = ledger_of(&[Doubt::even(1.0)]);
    assert_eq!(measure_next(&[linear(1.5, &[1.0])], &ledger), None);
    assert_eq!(measure_next(&[linear(-1.5, &[1.0]), linear(0.0, &[1.0])], &ledger), None);
    assert_eq!(measure_next(&[], &ledger), None);
}

#[test]
fn a_fact_shared_by_two_margins_counts_for_both() {
    // Facts 0 and 1 each move one margin, fact 2 moves both by as much.
    let ledger = ledger_of(&[Doubt::even(0.6), Doubt::even(0.6), Doubt::even(0.6)]);
    let margins = [linear(0.2, &[1.0, 0.0, 1.0]), linear(0.2, &[0.0, 1.0, 1.0])];
    assert_eq!(measure_next(&margins, &ledger).unwrap().fact, FactIndex(2));
}

#[test]
fn the_gain_by_trials_agrees_with_the_closed_form() {
    // One margin: p(k) in closed form by giving the fact the cell as its doubt.
    let doubts = [Doubt::even(0.5), Doubt::even(0.8)];
    let margin = linear(0.15, &[1.0, 1.0]);
    let cells = 8;
    let after: f64 = (0..cells)
        .map(|k| {
            let middle = -0.8 + 0.2 * (f64::from(k) + 0.5);
            let known = ledger_of(&[doubts[0], Doubt::even(0.1)]);
            chance_at_least(&(&margin + middle), &known, 0.0).certainty().get()
        })
        .sum::<f64>()
        / f64::from(cells);
    let order = measuring_order(&[margin], &ledger_of(&doubts));
    let found = order.iter().find(|next| next.fact == FactIndex(1)).unwrap();
    // 2,048 trials, and the cells are smooth: 0.02 is above three standard errors.
    assert!((found.certainty_after.get() - after).abs() < 0.02, "{found:?} against {after}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn measuring_never_makes_a_verdict_less_certain(
        values in prop::collection::vec(-1.0..1.0f64, 1..4),
        slopes in prop::collection::vec(-1.0..1.0f64, 12),
        widths in prop::collection::vec(0.0..1.0f64, 2),
        u in 0.0..0.5f64,
    ) {
        let ledger = ledger_of(&[Doubt::even(widths[0]), Doubt::even(widths[1]), normal(u)]);
        let margins: Vec<Linear> =
            values.iter().enumerate().map(|(i, &v)| linear(v, &slopes[3 * i..3 * i + 3])).collect();
        for next in measuring_order(&margins, &ledger) {
            prop_assert!(next.certainty_after.get() >= next.certainty_now.get() + LEAST_GAIN - 1e-12);
            prop_assert!(next.certainty_after.get() <= 1.0);
        }
    }
}
