//! A distribution known by its trials: JCGM 101:2008, clauses 7.5 to 7.7.
//!
//! The trials in order are a discrete representation G of the distribution function. From it: the mean
//! (equation 16), the standard uncertainty (equation 17), quantiles, and two coverage intervals, the
//! probabilistically symmetric one and the shortest (7.7).

/// The values a result took in a number of trials.
#[derive(Clone, Debug, PartialEq)]
pub struct Distribution {
    sorted: Vec<f64>,
    mean: f64,
    standard_uncertainty: f64,
}

impl Distribution {
    /// The distribution of these trials; `None` if there are fewer than two, or one is not finite.
    pub fn of_trials(mut trials: Vec<f64>) -> Option<Self> {
        if trials.len() < 2 || trials.iter().any(|y| !y.is_finite()) {
            return None;
        }
        trials.sort_unstable_by(f64::total_cmp);
        let count = trials.len() as f64;
        // About the median, so that a small spread round a great value keeps its digits.
        let near = trials[trials.len() / 2];
        let mean = near + trials.iter().map(|y| y - near).sum::<f64>() / count;
        let squares: f64 = trials.iter().map(|y| (y - mean).powi(2)).sum();
        let standard_uncertainty = (squares / (count - 1.0)).sqrt();
        Some(Self { sorted: trials, mean, standard_uncertainty })
    }

    /// The trials, in order of size.
    pub fn sorted(&self) -> &[f64] {
        &self.sorted
    }

    /// The mean of the trials.
    pub fn mean(&self) -> f64 {
        self.mean
    }

    /// The standard deviation of the trials: the standard uncertainty of the result.
    pub fn standard_uncertainty(&self) -> f64 {
        self.standard_uncertainty
    }

    /// How far the mean itself may be off, by the finite number of trials.
    pub fn standard_error(&self) -> f64 {
        self.standard_uncertainty / (self.sorted.len() as f64).sqrt()
    }

    /// The value with the share `p` of trials below it, on straight lines between trials.
    pub fn quantile(&self, p: f64) -> f64 {
        let at =
            (p.clamp(0.0, 1.0) * self.sorted.len() as f64 - 0.5).clamp(0.0, self.sorted.len() as f64 - 1.0);
        let (below, part) = (at.floor() as usize, at.fract());
        let above = (below + 1).min(self.sorted.len() - 1);
        self.sorted[below] + part * (self.sorted[above] - self.sorted[below])
    }

    /// The share of trials at or above a limit.
    pub fn share_at_least(&self, limit: f64) -> f64 {
        let below = self.sorted.partition_point(|y| *y < limit);
        (self.sorted.len() - below) as f64 / self.sorted.len() as f64
    }

    /// The interval that holds the share `level`, with as much left out on either side.
    pub fn symmetric_interval(&self, level: f64) -> (f64, f64) {
        let out = (1.0 - level.clamp(0.0, 1.0)) / 2.0;
        (self.quantile(out), self.quantile(1.0 - out))
    }

    /// The shortest interval that holds the share `level`: the narrowest window over so many trials in
    /// order (7.7.4); where several are equally short, the middle one of them.
    pub fn shortest_interval(&self, level: f64) -> (f64, f64) {
        let count = self.sorted.len();
        let held = ((level.clamp(0.0, 1.0) * count as f64).round() as usize).clamp(1, count - 1);
        let width = |r: usize| self.sorted[r + held] - self.sorted[r];
        let shortest = (0..count - held).map(width).fold(f64::INFINITY, f64::min);
        let equal: Vec<usize> = (0..count - held).filter(|&r| width(r) <= shortest).collect();
        let start = equal[equal.len() / 2];
        (self.sorted[start], self.sorted[start + held])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_hundred_steps_have_known_moments_and_intervals() {
        // 0.5, 1.5 … 99.5: mean 50, variance (n² − 1)/12 · n/(n − 1).
        let steps = (0..100).rev().map(|i| f64::from(i) + 0.5).collect();
        let Some(found) = Distribution::of_trials(steps) else { panic!("a hundred finite trials") };
        assert!((found.mean() - 50.0).abs() < 1e-12);
        assert!((found.standard_uncertainty() - (9999.0 / 12.0 * 100.0 / 99.0f64).sqrt()).abs() < 1e-12);
        let (left, right) = found.symmetric_interval(0.9);
        assert!((left - 5.0).abs() < 1e-9 && (right - 95.0).abs() < 1e-9);
        assert_eq!(found.quantile(0.0), 0.5);
        assert_eq!(found.share_at_least(95.5), 0.05);
        let (low, high) = found.shortest_interval(0.9);
        assert_eq!(high - low, 90.0);
    }

    #[test]
    fn the_shortest_interval_of_a_falling_density_starts_at_its_foot() {
        // Quantiles of the exponential distribution: the shortest 95 % run from 0 to −ln 0.05.
        let count = 20_000;
        let trials = (0..count).map(|i| -(1.0 - (f64::from(i) + 0.5) / f64::from(count)).ln()).collect();
        let Some(found) = Distribution::of_trials(trials) else { panic!("finite trials") };
        let (low, high) = found.shortest_interval(0.95);
        assert!(low < 1e-3 && (high - 0.05f64.ln().abs()).abs() < 2e-3, "{low} to {high}");
    }

    #[test]
    fn trials_that_are_no_numbers_make_no_distribution() {
        assert_eq!(Distribution::of_trials(vec![1.0, f64::NAN]), None);
        assert_eq!(Distribution::of_trials(vec![1.0, f64::INFINITY]), None);
        assert_eq!(Distribution::of_trials(vec![1.0]), None);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn the_shortest_interval_is_no_longer_than_the_symmetric_one(
            trials in prop::collection::vec(-5.0..5.0f64, 20..300),
            level in 0.5..0.99f64,
        ) {
            let count = trials.len() as f64;
            let Some(found) = Distribution::of_trials(trials) else { panic!("finite trials") };
            let (low, high) = found.shortest_interval(level);
            // The symmetric one, one trial wider on each side, holds at least as many.
            let (left, right) = found.symmetric_interval((level + 4.0 / count).min(1.0));
            prop_assert!(high - low <= right - left + 1e-12);
            prop_assert!(found.quantile(0.3) <= found.quantile(0.6));
        }
    }
}
