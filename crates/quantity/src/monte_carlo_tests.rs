//! Trials against what is known of sums, and their repeatability.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::ledger_for_tests::{ledger_of, linear, normal};
use crate::{expected_value, standard_uncertainty};
use proptest::prelude::*;

#[test]
fn the_same_seed_gives_the_same_bits_and_another_seed_others() {
    let ledger = ledger_of(&[Doubt::even(1.0), normal(0.5)]);
    let run = |seed| propagate_distributions(|x| x[0] * x[1] + x[0], &ledger, 1000, seed).unwrap();
    assert_eq!(run(7), run(7));
    assert_ne!(run(7), run(8));
}

#[test]
fn a_new_fact_does_not_stir_the_draws_of_the_others() {
    let run = |doubts: &[Doubt]| propagate_distributions(|x| x[0], &ledger_of(doubts), 1000, 1).unwrap();
    assert_eq!(run(&[Doubt::even(1.0)]), run(&[Doubt::even(1.0), normal(3.0)]));
}

#[test]
fn what_is_drawn_of_one_fact_is_what_trials_of_many_draw_of_it() {
    let ledger = ledger_of(&[normal(0.5), Doubt::even(2.0), normal(3.0)]);
    for (k, trials) in [(0, 400), (1, 401), (2, 257)] {
        let entry = &ledger.entries()[k];
        let mut alone: Vec<f64> = drawn(entry, trials, 9).into_iter().map(|by| entry.value + by).collect();
        alone.sort_by(f64::total_cmp);
        assert_eq!(propagate_distributions(|x| x[k], &ledger, trials, 9).unwrap().sorted(), alone);
    }
}

#[test]
fn trials_stay_inside_a_rectangular_doubt_and_reach_its_ends() {
    let ledger = ledger_of(&[Doubt { minus: 0.1, plus: 0.4, ..Doubt::NONE }]);
    let found = propagate_distributions(|x| x[0], &ledger, 5_000, 3).unwrap();
    assert!(found.quantile(0.0) >= -0.1 && found.quantile(0.0) < -0.099);
    assert!(found.quantile(1.0) <= 0.4 && found.quantile(1.0) > 0.399);
}

#[test]
fn a_result_that_is_no_number_makes_no_distribution() {
    let ledger = ledger_of(&[Doubt::even(1.0)]);
    assert_eq!(propagate_distributions(|x| x[0].sqrt(), &ledger, 100, 1), None);
    assert_eq!(propagate_distributions(|x| x[0], &ledger, 0, 1), None);
}

#[test]
fn adaptive_trials_stop_when_stable_and_never_run_on() {
    let ledger = ledger_of(&[Doubt::even(1.0), Doubt::even(1.0)]);
    let sum = |x: &[f64]| x[0] + x[1];
    let loose = Enough { tolerance: 0.05, level: 0.95, most_trials: 500_000 };
    let (found, stable) = propagate_adaptively(sum, &ledger, loose, 1).unwrap();
    assert!(stable && found.sorted().len() == 20_000);
    let tight = Enough { tolerance: 1e-9, level: 0.95, most_trials: 30_000 };
    let (found, stable) = propagate_adaptively(sum, &ledger, tight, 1).unwrap();
    assert!(!stable && found.sorted().len() == 30_000);
    assert!(propagate_adaptively(sum, &ledger, Enough { most_trials: 0, ..loose }, 1).is_none());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn trials_of_a_straight_line_agree_with_first_order(
        facts in prop::collection::vec((0.0..1.0f64, 0.0..1.0f64, any::<bool>(), -2.0..2.0f64), 1..6),
        seed in any::<u64>(),
    ) {
        let doubts: Vec<Doubt> = facts
            .iter()
            .map(|&(minus, plus, bell, _)| Doubt {
                minus,
                plus,
                shape: if bell { Shape::Normal } else { Shape::Rectangular },
            })
            .collect();
        let slopes: Vec<f64> = facts.iter().map(|fact| fact.3).collect();
        let ledger = ledger_of(&doubts);
        let result = linear(1.0, &slopes);
        let line = |x: &[f64]| 1.0 + x.iter().zip(&slopes).map(|(x, c)| x * c).sum::<f64>();
        let found = propagate_distributions(line, &ledger, 4_000, seed).unwrap();
        let u = standard_uncertainty(&result, &ledger);
        // Five standard errors: of the mean u/√n, of the deviation at most u/√(2n) for flat and bell shapes.
        let error = u / 4_000f64.sqrt();
        prop_assert!((found.mean() - expected_value(&result, &ledger)).abs() <= 5.0 * error + 1e-12);
        prop_assert!((found.standard_uncertainty() - u).abs() <= 5.0 * error / 2f64.sqrt() + 1e-12);
    }
}
