//! How the doubt of facts becomes the doubt of a result: first order, JCGM 100:2008.
//!
//! - combined standard uncertainty of independent facts: u² = Σ (cᵢ·u(xᵢ))² (equation 10);
//! - of correlated inputs: u² = Σᵢ Σⱼ cᵢ·cⱼ·u(xᵢ)·u(xⱼ)·r(xᵢ, xⱼ) (equations 13 and 16);
//! - two results of the same facts: u(y, z) = Σ cᵢ·dᵢ·u(xᵢ)² (equation H.9, independent facts);
//! - effective degrees of freedom: ν = u⁴ / Σ (uᵢ⁴/νᵢ) (equation G.2b);
//! - expanded uncertainty: U = k·u (6.2.1).
//!
//! An uneven doubt also moves the expected value, by its centre; [`expected_value`] says where to. The
//! facts of a ledger are taken as independent. Where inputs depend on one another, write them as sums
//! of independent facts; [`correlated_uncertainty`] is for inputs given with a table of correlations.
//!
//! Left out: terms of second order. Where they matter, [`propagate_distributions`](crate::propagate_distributions).

use crate::{FactIndex, FactLedger, Linear, Shape};
use std::ops::{Add, Mul, Neg, Sub};

impl Linear {
    /// A number without doubt.
    pub fn exact(value: f64) -> Self {
        Self { value, slopes: Vec::new() }
    }

    /// A fact itself: its value, with slope one. `None` if the ledger has no such fact.
    pub fn of_fact(fact: FactIndex, ledger: &FactLedger) -> Option<Self> {
        ledger.get(fact).map(|entry| Self { value: entry.value, slopes: vec![(fact, 1.0)] })
    }

    /// A function of results, by the chain rule: its value, and ∂f/∂part with each part.
    pub fn chained(value: f64, parts: &[(f64, &Linear)]) -> Self {
        let slopes = parts
            .iter()
            .flat_map(|&(slope, part)| part.slopes.iter().map(move |&(fact, inner)| (fact, slope * inner)))
            .collect();
        Self { value, slopes: merged(slopes) }
    }

    /// The slope on one fact; 0 if it does not lean on it.
    pub fn slope_on(&self, fact: FactIndex) -> f64 {
        self.slopes.iter().filter(|(index, _)| *index == fact).map(|(_, slope)| slope).sum()
    }
}

/// Each fact once, in order of the ledger, without those that cancelled.
fn merged(mut slopes: Vec<(FactIndex, f64)>) -> Vec<(FactIndex, f64)> {
    slopes.sort_by_key(|(fact, _)| *fact);
    slopes.dedup_by(|next, kept| {
        let same = next.0 == kept.0;
        if same {
            kept.1 += next.1;
        }
        same
    });
    slopes.retain(|(_, slope)| *slope != 0.0);
    slopes
}

impl Add<&Linear> for &Linear {
    type Output = Linear;
    fn add(self, other: &Linear) -> Linear {
        Linear::chained(self.value + other.value, &[(1.0, self), (1.0, other)])
    }
}
impl Sub<&Linear> for &Linear {
    type Output = Linear;
    fn sub(self, other: &Linear) -> Linear {
        Linear::chained(self.value - other.value, &[(1.0, self), (-1.0, other)])
    }
}
impl Mul<f64> for &Linear {
    type Output = Linear;
    fn mul(self, factor: f64) -> Linear {
        Linear::chained(self.value * factor, &[(factor, self)])
    }
}
impl Neg for &Linear {
    type Output = Linear;
    fn neg(self) -> Linear {
        self * -1.0
    }
}
/// An exact number more.
impl Add<f64> for &Linear {
    type Output = Linear;
    fn add(self, exact: f64) -> Linear {
        Linear { value: self.value + exact, slopes: self.slopes.clone() }
    }
}
/// An exact number less: a distance less what is required is a margin.
impl Sub<f64> for &Linear {
    type Output = Linear;
    fn sub(self, exact: f64) -> Linear {
        self + -exact
    }
}
impl Add for Linear {
    type Output = Linear;
    fn add(self, other: Linear) -> Linear {
        &self + &other
    }
}
impl Sub for Linear {
    type Output = Linear;
    fn sub(self, other: Linear) -> Linear {
        &self - &other
    }
}
impl Mul<f64> for Linear {
    type Output = Linear;
    fn mul(self, factor: f64) -> Linear {
        &self * factor
    }
}

/// The doubts a result leans on, each with its slope. A slope on a fact the ledger does not hold is a
/// mistake of the caller.
pub(crate) fn doubts<'a>(
    result: &'a Linear,
    ledger: &'a FactLedger,
) -> impl Iterator<Item = (f64, crate::Doubt)> + 'a {
    result.slopes.iter().filter_map(|&(fact, slope)| {
        let entry = ledger.get(fact);
        debug_assert!(entry.is_some(), "fact {} is not in this ledger", fact.0);
        entry.map(|entry| (slope, entry.doubt))
    })
}

/// The combined standard uncertainty of a result, in its own unit: JCGM 100:2008 equation (10).
pub fn standard_uncertainty(result: &Linear, ledger: &FactLedger) -> f64 {
    doubts(result, ledger).map(|(c, doubt)| (c * doubt.standard_uncertainty()).powi(2)).sum::<f64>().sqrt()
}

/// The value to be expected: the value at the facts as they stand, moved by the centres of uneven doubts.
pub fn expected_value(result: &Linear, ledger: &FactLedger) -> f64 {
    result.value + doubts(result, ledger).map(|(c, doubt)| c * doubt.centre_offset()).sum::<f64>()
}

/// The least and the greatest value the doubts allow; infinite where a normal doubt takes part.
pub fn worst_cases(result: &Linear, ledger: &FactLedger) -> (f64, f64) {
    bounds(result, ledger, f64::INFINITY)
}

/// As [`worst_cases`], with normal doubts cut off at so many standard uncertainties.
pub(crate) fn bounds(result: &Linear, ledger: &FactLedger, cut: f64) -> (f64, f64) {
    let (mut low, mut high) = (result.value, result.value);
    for (c, doubt) in doubts(result, ledger).filter(|(c, doubt)| *c != 0.0 && doubt.plus + doubt.minus > 0.0)
    {
        let (minus, plus) = match doubt.shape {
            Shape::Rectangular => (doubt.minus, doubt.plus),
            Shape::Normal => {
                let reach = cut * doubt.standard_uncertainty();
                (reach - doubt.centre_offset(), reach + doubt.centre_offset())
            }
        };
        let (down, up) = if c > 0.0 { (c * minus, c * plus) } else { (-c * plus, -c * minus) };
        low -= down;
        high += up;
    }
    (low, high)
}

/// How far two results move together, −1 to 1; `None` if one of them has no doubt.
pub fn correlation(a: &Linear, b: &Linear, ledger: &FactLedger) -> Option<f64> {
    let spread = standard_uncertainty(a, ledger) * standard_uncertainty(b, ledger);
    let shared: f64 = a
        .slopes
        .iter()
        .filter_map(|&(fact, c)| {
            let u = ledger.get(fact)?.doubt.standard_uncertainty();
            Some(c * b.slope_on(fact) * u * u)
        })
        .sum();
    (spread > 0.0).then(|| (shared / spread).clamp(-1.0, 1.0))
}

/// One row of an uncertainty budget.
#[derive(Clone, Debug, PartialEq)]
pub struct BudgetRow {
    /// The fact.
    pub fact: FactIndex,
    /// What a person calls it.
    pub label: String,
    /// u(x), in the fact's unit.
    pub uncertainty: f64,
    /// c = ∂y/∂x, in the result's unit over the fact's.
    pub sensitivity: f64,
    /// |c|·u(x), in the result's unit.
    pub contribution: f64,
    /// Its part of the variance, 0 to 1.
    pub share: f64,
}

/// The uncertainty budget of a result, greatest contribution first; facts without doubt are left out.
pub fn uncertainty_budget(result: &Linear, ledger: &FactLedger) -> Vec<BudgetRow> {
    let variance = standard_uncertainty(result, ledger).powi(2);
    let mut rows: Vec<BudgetRow> = result
        .slopes
        .iter()
        .filter_map(|&(fact, sensitivity)| {
            let entry = ledger.get(fact)?;
            let uncertainty = entry.doubt.standard_uncertainty();
            let contribution = (sensitivity * uncertainty).abs();
            (contribution > 0.0).then(|| BudgetRow {
                fact,
                label: entry.label.clone(),
                uncertainty,
                sensitivity,
                contribution,
                share: contribution * contribution / variance,
            })
        })
        .collect();
    rows.sort_by(|a, b| b.contribution.total_cmp(&a.contribution).then(a.fact.cmp(&b.fact)));
    rows
}

/// The combined standard uncertainty of correlated inputs: JCGM 100:2008 equations (13) and (16). Each
/// input is its sensitivity and its standard uncertainty; `correlation(i, j)` is asked for i < j.
pub fn correlated_uncertainty(inputs: &[(f64, f64)], correlation: impl Fn(usize, usize) -> f64) -> f64 {
    let mut variance = 0.0;
    for (i, &(ci, ui)) in inputs.iter().enumerate() {
        variance += (ci * ui).powi(2);
        for (j, &(cj, uj)) in inputs.iter().enumerate().skip(i + 1) {
            variance += 2.0 * ci * cj * ui * uj * correlation(i, j);
        }
    }
    variance.max(0.0).sqrt()
}

/// The effective degrees of freedom of a combined uncertainty: JCGM 100:2008 equation (G.2b). Each
/// contribution is |c|·u and its degrees of freedom, infinite where the uncertainty itself is exact.
pub fn effective_degrees_of_freedom(contributions: &[(f64, f64)]) -> f64 {
    let variance: f64 = contributions.iter().map(|(u, _)| u * u).sum();
    let spread: f64 = contributions.iter().map(|(u, degrees)| u.powi(4) / degrees).sum();
    if spread > 0.0 { variance * variance / spread } else { f64::INFINITY }
}

/// The half-width that holds the share `level` of a result with this standard uncertainty and these
/// effective degrees of freedom: U = t_p(ν)·u, JCGM 100:2008 G.3.2. Degrees are cut to a whole number
/// below, as G.4.1 allows. `None` unless 0 < level < 1 and there is at least one degree.
pub fn expanded_uncertainty(uncertainty: f64, level: f64, degrees: f64) -> Option<f64> {
    crate::special::coverage_factor(level, degrees.floor()).map(|factor| factor * uncertainty)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Doubt;
    use crate::ledger_for_tests::{ledger_of, linear, normal};
    use proptest::prelude::*;

    #[test]
    fn independent_facts_add_as_squares_and_a_shared_fact_cancels() {
        let ledger = ledger_of(&[normal(3.0), normal(4.0)]);
        let (a, b) = (linear(1.0, &[1.0, 0.0]), linear(2.0, &[0.0, 1.0]));
        assert!((standard_uncertainty(&(&a + &b), &ledger) - 5.0).abs() < 1e-14);
        assert!((standard_uncertainty(&(&a - &b), &ledger) - 5.0).abs() < 1e-14);
        assert!((standard_uncertainty(&(&a + &a), &ledger) - 6.0).abs() < 1e-14);
        assert_eq!(&a - &a, Linear::exact(0.0));
        assert_eq!(&(&a * 2.0) - 0.5, linear(1.5, &[2.0]));
    }

    #[test]
    fn uneven_doubts_move_the_expected_value_and_the_worst_cases() {
        let ledger = ledger_of(&[Doubt { minus: 0.1, plus: 0.3, ..Doubt::NONE }]);
        let result = linear(10.0, &[-2.0]);
        assert!((expected_value(&result, &ledger) - 9.8).abs() < 1e-14);
        let (low, high) = worst_cases(&result, &ledger);
        assert!((low - 9.4).abs() < 1e-14 && (high - 10.2).abs() < 1e-14);
        let bell = ledger_of(&[normal(1.0)]);
        assert_eq!(worst_cases(&result, &bell), (f64::NEG_INFINITY, f64::INFINITY));
    }

    #[test]
    fn results_of_the_same_facts_are_correlated() {
        let ledger = ledger_of(&[normal(1.0), normal(1.0)]);
        let (sum, difference) = (linear(0.0, &[1.0, 1.0]), linear(0.0, &[1.0, -1.0]));
        let only = linear(0.0, &[3.0]);
        assert!(correlation(&sum, &difference, &ledger).is_some_and(|r| r.abs() < 1e-15));
        assert!(correlation(&sum, &only, &ledger).is_some_and(|r| (r - 0.5f64.sqrt()).abs() < 1e-15));
        assert_eq!(correlation(&sum, &Linear::exact(1.0), &ledger), None);
    }

    #[test]
    fn the_budget_names_the_greatest_doubt_first() {
        let ledger = ledger_of(&[normal(1.0), Doubt::NONE, normal(2.0)]);
        let rows = uncertainty_budget(&linear(0.0, &[-4.0, 9.0, 1.5]), &ledger);
        let told: Vec<_> = rows.iter().map(|r| (r.label.as_str(), r.contribution, r.share)).collect();
        assert_eq!(told, [("fact 0", 4.0, 0.64), ("fact 2", 3.0, 0.36)]);
        assert_eq!(rows[0].sensitivity, -4.0);
    }

    #[test]
    fn equal_contributions_pool_their_degrees_of_freedom() {
        // Four like contributions of five degrees each: ν = (4u²)²/(4·u⁴/5) = 20.
        assert!((effective_degrees_of_freedom(&[(0.3, 5.0); 4]) - 20.0).abs() < 1e-12);
        assert_eq!(effective_degrees_of_freedom(&[(0.3, f64::INFINITY)]), f64::INFINITY);
        assert_eq!(expanded_uncertainty(1.0, 0.95, 0.5), None);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(128))]

        #[test]
        fn more_doubt_in_a_fact_never_makes_a_result_surer(
            widths in prop::collection::vec(0.0..1.0f64, 1..6),
            slopes in prop::collection::vec(-2.0..2.0f64, 6),
            more in 0.0..1.0f64,
        ) {
            let doubts: Vec<Doubt> = widths.iter().map(|w| Doubt::even(*w)).collect();
            let mut wider = doubts.clone();
            wider[0] = Doubt::even(widths[0] + more);
            let result = linear(0.0, &slopes[..widths.len()]);
            let (before, after) = (ledger_of(&doubts), ledger_of(&wider));
            prop_assert!(standard_uncertainty(&result, &after) >= standard_uncertainty(&result, &before));
        }

        #[test]
        fn full_correlation_adds_and_none_adds_as_squares(
            inputs in prop::collection::vec((0.0..2.0f64, 0.0..2.0f64), 1..6),
        ) {
            let sum: f64 = inputs.iter().map(|(c, u)| c * u).sum();
            let squares: f64 = inputs.iter().map(|(c, u)| (c * u).powi(2)).sum();
            prop_assert!((correlated_uncertainty(&inputs, |_, _| 1.0) - sum).abs() < 1e-12);
            prop_assert!((correlated_uncertainty(&inputs, |_, _| 0.0) - squares.sqrt()).abs() < 1e-12);
        }

        #[test]
        fn shares_of_a_budget_make_a_whole(
            contributions in prop::collection::vec((0.01..2.0f64, -2.0..2.0f64), 1..8),
        ) {
            let doubts: Vec<Doubt> = contributions.iter().map(|(u, _)| normal(*u)).collect();
            let slopes: Vec<f64> = contributions.iter().map(|(_, c)| *c).collect();
            let rows = uncertainty_budget(&linear(0.0, &slopes), &ledger_of(&doubts));
            let whole: f64 = rows.iter().map(|row| row.share).sum();
            prop_assert!((whole - 1.0).abs() < 1e-12);
            prop_assert!(rows.is_sorted_by(|a, b| a.contribution >= b.contribution));
        }
    }
}
