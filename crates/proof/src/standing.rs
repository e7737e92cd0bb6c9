//! How a result with doubt stands toward a limit.
//!
//! Margin m = value − limit, or limit − value where less is better. With p = P(m ≥ 0) over the doubts of the
//! facts: broken where p is under one half; tight where p is under 95 %, or where m lies inside the tight
//! band; sound otherwise. Where doubt takes part, the fact to measure first is
//! named; where no single one would change the verdict, that is said, and which two would.

use crate::limits::{BROKEN_UNDER, Limit, Sense, TIGHT_UNDER};
use crate::{Finding, Margin, MeasureAdvice, NoSingleFact, Proof, Verdict};
use quantity::{
    Linear, Probability, Quantity, USUAL_SEED, USUAL_TRIALS, Unit, chance_all_at_least, chance_at_least,
    measure_next, measure_together, standard_uncertainty,
};

/// How a result stands toward a limit.
#[derive(Clone, Debug)]
pub(crate) struct Standing {
    /// The verdict.
    pub verdict: Verdict,
    /// What is in hand, signed.
    pub margin: Margin,
    /// How likely the requirement is to hold.
    pub certainty: Probability,
    /// What to measure, where doubt decides.
    pub advice: Advice,
}

/// What to measure.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Advice {
    /// The fact to measure first.
    pub next: Option<MeasureAdvice>,
    /// What is to be said where no single fact would change the verdict.
    pub no_single: Option<NoSingleFact>,
}

/// How a result stands toward a limit.
pub(crate) fn standing(proof: &Proof, result: &Linear, limit: &Limit) -> Standing {
    match limit.sense {
        Sense::AtLeast => {
            standing_of(proof, &(result - limit.broken), limit.tight - limit.broken, limit.unit)
        }
        Sense::AtMost => {
            standing_of(proof, &(&-result + limit.broken), limit.broken - limit.tight, limit.unit)
        }
    }
}

/// Whether a result would be called sound.
pub(crate) fn would_be_sound(proof: &Proof, result: &Linear, limit: &Limit) -> bool {
    let (margin, ample) = match limit.sense {
        Sense::AtLeast => (result - limit.broken, limit.tight - limit.broken),
        Sense::AtMost => (&-result + limit.broken, limit.broken - limit.tight),
    };
    margin.value >= ample && chance_at_least(&margin, &proof.ledger(), 0.0).get() >= TIGHT_UNDER
}

/// How a margin stands: it must be at least nought and had better be `ample`.
pub(crate) fn standing_of(proof: &Proof, margin: &Linear, ample: f64, unit: Unit) -> Standing {
    let margin = &unrounded(margin);
    let certainty = chance_at_least(margin, &proof.ledger(), 0.0);
    let verdict = if certainty.get() < BROKEN_UNDER {
        Verdict::Broken
    } else if certainty.get() < TIGHT_UNDER || margin.value < ample - 1e-9 * ample.abs().max(1.0) {
        Verdict::Tight
    } else {
        Verdict::Sound
    };
    let doubtful =
        verdict != Verdict::Sound && certainty > Probability::NOUGHT && certainty < Probability::ONE;
    let advice = if doubtful { advice(proof, std::slice::from_ref(margin)) } else { Advice::default() };
    Standing { advice, ..standing_as(proof, margin, unit, (verdict, certainty)) }
}

/// How a margin stands where something else than its own doubt says the verdict and how sure it is; nothing is advised.
pub(crate) fn standing_as(
    proof: &Proof,
    margin: &Linear,
    unit: Unit,
    (verdict, certainty): (Verdict, Probability),
) -> Standing {
    let value = unrounded(margin).value;
    let uncertainty = standard_uncertainty(margin, &proof.ledger());
    let uncertainty = (uncertainty > 0.0).then_some(uncertainty);
    let margin = Margin { quantity: Quantity { value, unit }, uncertainty };
    Standing { verdict, margin, certainty, advice: Advice::default() }
}

/// Sums of decimals miss by their last bit: 19.2 − 19 had better count as 0.2, and 30 − 30 as nought.
fn unrounded(margin: &Linear) -> Linear {
    let value = if margin.value.abs() < 1e-9 { 0.0 } else { margin.value };
    Linear { value, slopes: margin.slopes.clone() }
}

/// How several margins in one unit stand together: all must be at least nought, and the least of them had
/// better be `ample`. `None` if there are none.
pub(crate) fn standing_of_all(proof: &Proof, margins: &[Linear], ample: f64, unit: Unit) -> Option<Standing> {
    let least = margins.iter().min_by(|a, b| a.value.total_cmp(&b.value))?;
    let mut standing = standing_of(proof, least, ample, unit);
    if let [_] = margins {
        return Some(standing);
    }
    let certainty = chance_all_at_least(margins, &proof.ledger(), 0.0, USUAL_TRIALS, USUAL_SEED);
    standing.certainty = certainty;
    standing.verdict = if certainty.get() < BROKEN_UNDER {
        Verdict::Broken
    } else if certainty.get() < TIGHT_UNDER {
        standing.verdict.min(Verdict::Tight)
    } else {
        standing.verdict
    };
    let doubtful = certainty > Probability::NOUGHT && certainty < Probability::ONE;
    standing.advice = if doubtful && standing.verdict != Verdict::Sound {
        advice(proof, margins)
    } else {
        Advice::default()
    };
    Some(standing)
}

/// Which fact to measure first, so that one may be surer whether all margins hold; what to say where none is.
pub(crate) fn advice(proof: &Proof, margins: &[Linear]) -> Advice {
    let ledger = proof.ledger();
    let named = |fact| ledger.get(fact).map(|entry| (entry.path.clone(), entry.label.clone()));
    if let Some(next) = measure_next(margins, &ledger) {
        let next = named(next.fact).map(|(path, label)| MeasureAdvice {
            path,
            label,
            certainty_now: next.certainty_now,
            certainty_after: next.certainty_after,
        });
        return Advice { next, no_single: None };
    }
    // A verdict that is tight only because little is in hand does not hang on doubt.
    let found = measure_together(margins, &ledger).filter(|found| found.certainty_now.get() < TIGHT_UNDER);
    let no_single = found.map(|found| NoSingleFact {
        certainty_now: found.certainty_now,
        certainty_all: found.certainty_all,
        measurable: found.measurable,
        pair: found.pair.and_then(|pair| {
            let advice = |fact| {
                named(fact).map(|(path, label)| MeasureAdvice {
                    path,
                    label,
                    certainty_now: found.certainty_now,
                    certainty_after: pair.certainty_after,
                })
            };
            Some([advice(pair.facts[0])?, advice(pair.facts[1])?])
        }),
    });
    Advice { next: None, no_single }
}

impl Standing {
    /// A finding with this verdict, margin, certainty and advice.
    pub fn finding(
        self,
        rule: &'static str,
        subject: impl Into<String>,
        message: impl Into<String>,
    ) -> Finding {
        Finding {
            margin: Some(self.margin),
            certainty: Some(self.certainty),
            measure_next: self.advice.next,
            no_single_fact: self.advice.no_single,
            ..Finding::new(rule, self.verdict, subject, message)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limits::{HOVER_THROTTLE, THRUST_OPEN};
    use craft::{Craft, CraftId, Reading};
    use proptest::prelude::*;
    use quantity::{Basis, Doubt, DoubtKind, FactPath, Ratio};

    /// How a value with an even doubt stands toward a limit.
    fn of(value: f64, half_width: f64, limit: &Limit) -> Standing {
        let craft = Craft::new(CraftId::from_name("bare"), "bare");
        let proof = Proof::new(&craft);
        let result = proof.lean(&Reading {
            value: Ratio::new(value),
            doubt: Doubt::even(half_width),
            kind: DoubtKind::Other,
            basis: Basis::Typical,
            path: FactPath("bare.fact".to_owned()),
            label: "fact of \"bare\"".to_owned(),
        });
        standing(&proof, &result, limit)
    }

    #[test]
    fn a_value_without_doubt_is_judged_by_the_limit_alone() {
        let verdicts = [1.7, 1.8, 2.9, 3.0].map(|value| of(value, 0.0, &THRUST_OPEN).verdict);
        assert_eq!(verdicts, [Verdict::Broken, Verdict::Tight, Verdict::Tight, Verdict::Sound]);
        let verdicts = [61.0, 60.0, 46.0, 45.0].map(|value| of(value, 0.0, &HOVER_THROTTLE).verdict);
        assert_eq!(verdicts, [Verdict::Broken, Verdict::Tight, Verdict::Tight, Verdict::Sound]);
    }

    #[test]
    fn doubt_makes_a_comfortable_value_tight_and_names_the_fact() {
        let standing = of(3.1, 1.6, &THRUST_OPEN);
        assert_eq!(standing.verdict, Verdict::Tight);
        assert!((standing.certainty.get() - 2.9 / 3.2).abs() < 1e-9);
        assert!(standing.advice.next.is_some_and(|advice| advice.certainty_after > advice.certainty_now));
    }

    #[test]
    fn a_value_at_its_limit_but_for_its_last_bit_is_at_its_limit() {
        let below = of(1.8 - 2.0 * f64::EPSILON, 0.0, &THRUST_OPEN);
        assert_eq!((below.verdict, below.margin.quantity.value), (Verdict::Tight, 0.0));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn a_better_value_never_stands_worse(value in 0.5..5.0f64, more in 0.0..2.0f64, doubt in 0.0..2.0f64) {
            let (before, after) = (of(value, doubt, &THRUST_OPEN), of(value + more, doubt, &THRUST_OPEN));
            prop_assert!(after.verdict >= before.verdict);
            prop_assert!(after.certainty >= before.certainty);
        }

        #[test]
        fn more_doubt_never_makes_a_craft_sound(value in 0.5..5.0f64, doubt in 0.0..1.0f64, more in 0.0..1.0f64) {
            let (sure, unsure) = (of(value, doubt, &THRUST_OPEN), of(value, doubt + more, &THRUST_OPEN));
            prop_assert!(unsure.verdict != Verdict::Sound || sure.verdict == Verdict::Sound);
        }
    }
}
