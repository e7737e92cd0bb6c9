//! At which values an axis is marked.
//!
//! Evenly spaced: steps of 1, 2 or 5 times a power of ten (common practice), the finest of them that leaves no more than a stated number
//! of gaps. By tens: powers of ten, with 2 and 5 between them where there is room; only each second power and so on where
//! there is none.

/// The steps there are within a power of ten.
const STEPS: [f64; 3] = [1.0, 2.0, 5.0];

/// The least of 1, 2 or 5 times a power of ten that is at least so much. `least` above 0.
pub(super) fn round_step(least: f64) -> f64 {
    let power = 10f64.powf(least.log10().floor());
    let fits = |step: &f64| *step * power >= least * (1.0 - 1e-9);
    STEPS.into_iter().find(fits).unwrap_or(10.0) * power
}

/// The step for a range in at most so many gaps.
pub(super) fn step_of([low, high]: [f64; 2], gaps_most: usize) -> f64 {
    round_step((high - low) / gaps_most.max(1) as f64)
}

/// The range widened to whole steps.
pub(super) fn widened([low, high]: [f64; 2], step: f64) -> [f64; 2] {
    let near = 1e-9;
    [(low / step + near).floor() * step, (high / step - near).ceil() * step]
}

/// Whole steps within a range.
pub(super) fn even([low, high]: [f64; 2], step: f64) -> Vec<f64> {
    let (first, last) = ((low / step - 1e-6).ceil() as i64, (high / step + 1e-6).floor() as i64);
    (first..=last).map(|n| n as f64 * step).collect()
}

/// Marks by tens within a range above 0.
pub(super) fn by_tens([low, high]: [f64; 2], marks_most: usize) -> Vec<f64> {
    let powers = (low.log10() - 1e-9).ceil() as i32..=(high.log10() + 1e-9).floor() as i32;
    let decades = (high / low).log10();
    let within = |value: &f64| (low * (1.0 - 1e-9)..=high * (1.0 + 1e-9)).contains(value);
    let around = *powers.start() - 1..=*powers.end() + 1;
    let marks: Vec<f64> =
        around.flat_map(|n| STEPS.map(|step| step * 10f64.powi(n))).filter(within).collect();
    if marks.len() <= marks_most + 1 {
        if marks.len() >= 2 {
            return marks;
        }
        // Less than an octave is as good as even.
        return even([low, high], step_of([low, high], marks_most.max(2)));
    }
    let every = (decades / marks_most.max(1) as f64).ceil().max(1.0) as i32;
    powers.filter(|n| n.rem_euclid(every) == 0).map(|n| 10f64.powi(n)).collect()
}

/// A range above 0 widened to 1, 2 or 5 times a power of ten.
pub(super) fn widened_by_tens([low, high]: [f64; 2]) -> [f64; 2] {
    let power = 10f64.powf((low.log10() + 1e-9).floor());
    let under = STEPS.into_iter().rev().map(|step| step * power).find(|at| *at <= low * (1.0 + 1e-9));
    [under.unwrap_or(power), round_step(high)]
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn steps_are_one_two_or_five() {
        assert_eq!([0.3, 1.0, 1.01, 7.0].map(round_step), [0.5, 1.0, 2.0, 10.0]);
        assert_eq!(even([-0.1, 0.9], 0.2), [0.0, 0.2, 0.4, 0.6000000000000001, 0.8]);
        assert_eq!(by_tens([25.0, 1000.0], 8), [50.0, 100.0, 200.0, 500.0, 1000.0]);
        assert_eq!(by_tens([1.0, 1e6], 7), [1.0, 10.0, 100.0, 1e3, 1e4, 1e5, 1e6]);
        assert_eq!(by_tens([1.0, 1e6], 3), [1.0, 100.0, 1e4, 1e6]);
    }

    proptest! {
        #[test]
        fn a_widened_range_holds_the_data_and_ends_on_marks(
            low in -1e6..1e6f64, span in 1e-3..1e6f64, gaps in 2usize..12,
        ) {
            let step = step_of([low, low + span], gaps);
            let range = widened([low, low + span], step);
            let marks = even(range, step);
            let near = 1e-6 * step;
            prop_assert!(range[0] <= low + near && range[1] >= low + span - near);
            prop_assert!((marks[0] - range[0]).abs() < near && (marks[marks.len() - 1] - range[1]).abs() < near);
            prop_assert!(marks.len() <= gaps + 3, "{marks:?}");
        }

        #[test]
        fn by_tens_a_widened_range_holds_the_data(low in 1e-4..1e4f64, times in 1.01..1e6f64, most in 2usize..12) {
            let [from, to] = widened_by_tens([low, low * times]);
            prop_assert!(from <= low * 1.000001 && to >= low * times * 0.999999);
            let marks = by_tens([from, to], most);
            prop_assert!(marks.iter().all(|mark| *mark >= from * 0.999 && *mark <= to * 1.001));
            prop_assert!(marks.windows(2).all(|pair| pair[0] < pair[1]));
        }
    }
}
