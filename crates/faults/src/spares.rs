//! How many of each part to carry, for a stated confidence?
//!
//! Failures of a part come as a Poisson process whose rate is not known: a Gamma distribution of shape `a` and rate `b` (in flights),
//! which the fleet's own `k` failures in `T` flights move to `(a + k, b + T)`. The number in `F` planned flights is then negative
//! binomial with size `a` and success chance `b / (b + F)` (Gelman et al., Bayesian Data Analysis, 3rd ed., §2.6; memory), and the number
//! to carry is the least whose distribution function reaches the confidence.

use crate::base::{Base, Spare};

/// A Gamma distribution of a rate, by shape and by rate in flights.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GammaRate {
    /// The shape.
    pub shape: f64,
    /// Flights the belief is worth.
    pub flights: f64,
}

impl GammaRate {
    /// What is believed of a spare part of one class of craft before own failures.
    pub fn of(spare: &Spare, fleet: usize) -> Self {
        Self { shape: spare.shape, flights: spare.shape / (spare.per_hundred[fleet.min(3)] / 100.0) }
    }

    /// After failures in flights.
    pub fn after(self, failures: f64, flights: f64) -> Self {
        Self { shape: self.shape + failures, flights: self.flights + flights }
    }

    /// The mean, in failures a flight.
    pub fn mean(self) -> f64 {
        self.shape / self.flights
    }

    /// The chance of exactly `n` failures in so many flights.
    pub fn chance(self, n: u32, flights: f64) -> f64 {
        let (stay, go) = (self.flights / (self.flights + flights), flights / (self.flights + flights));
        // The product form needs no Gamma function: p₀ = stay^a, pₙ₊₁ = pₙ·(a + n)/(n + 1)·go. In logarithms, for large shapes.
        let mut log = self.shape * stay.ln();
        for at in 0..n {
            log += ((self.shape + f64::from(at)) / f64::from(at + 1) * go).ln();
        }
        log.exp()
    }

    /// The chance of at most `n` failures in so many flights.
    pub fn at_most(self, n: u32, flights: f64) -> f64 {
        (0..=n).map(|at| self.chance(at, flights)).sum::<f64>().min(1.0)
    }

    /// The least number that suffices with the confidence.
    pub fn enough(self, flights: f64, confidence: f64) -> u32 {
        let go = flights / (self.flights + flights);
        let mut log = self.shape * (self.flights / (self.flights + flights)).ln();
        let mut sum = log.exp();
        let mut n = 0;
        while sum < confidence && n < NUMBER_MOST {
            log += ((self.shape + f64::from(n)) / f64::from(n + 1) * go).ln();
            n += 1;
            sum += log.exp();
        }
        n
    }
}

impl Base {
    /// The names of what a repair uses up, of the parts worth carrying.
    pub fn parts_of_repair(&self, repair: usize) -> Vec<String> {
        let uses = |spare: &&Spare| spare.repairs.contains(&repair);
        self.spares.iter().filter(uses).map(|spare| spare.is.clone()).collect()
    }

    /// The spare part that a name in a journal means, by its words: "rear left motor" is a motor. Of several the longest
    /// name counts: a camera harness is a harness and no camera.
    pub fn spare_called(&self, name: &str) -> Option<usize> {
        let wanted = plain_words(name);
        let stands = |called: &str| {
            let called = plain_words(called);
            !called.is_empty() && wanted.windows(called.len()).any(|words| words == called)
        };
        let longest = |spare: &Spare| {
            let names = std::iter::once(&spare.is).chain(&spare.called);
            names.filter(|called| stands(called)).map(|called| plain_words(called).concat().len()).max()
        };
        let places = self.spares.iter().enumerate();
        places
            .filter_map(|(place, spare)| Some((longest(spare)?, place)))
            .max_by_key(|found| found.0)
            .map(|found| found.1)
    }
}

/// The words of a name in small letters, each without the s of more than one.
fn plain_words(name: &str) -> Vec<String> {
    let lower = name.to_lowercase();
    let words = lower.split(|sign: char| !sign.is_alphanumeric()).filter(|word| !word.is_empty());
    words.map(|word| if word.len() > 3 { word.trim_end_matches('s') } else { word }.to_owned()).collect()
}

/// Beyond this nobody carries spares.
const NUMBER_MOST: u32 = 100_000;

/// One line of the list.
#[derive(Clone, Debug, PartialEq)]
pub struct Carried {
    /// The part, by place in the base.
    pub spare: usize,
    /// How many.
    pub number: u32,
    /// How many failures are expected.
    pub expected: f64,
    /// The chance that the number suffices.
    pub suffices: f64,
    /// Their mass in grams.
    pub grams: f64,
    /// Their cost in sets of blades.
    pub parts: f64,
    /// Failures of the fleet's own that went in.
    pub own: u32,
}

/// What to carry.
#[derive(Clone, Debug, PartialEq)]
pub struct SparesList {
    /// Part by part.
    pub lines: Vec<Carried>,
    /// The chance that no part at all is wanting.
    pub all_suffice: f64,
    /// The mass of all in grams.
    pub grams: f64,
    /// The cost of all in sets of blades.
    pub parts: f64,
}

/// What is planned, and what happened before.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Class of craft by place in `FLEETS`.
    pub fleet: usize,
    /// Flights planned, of all craft of the class together.
    pub flights: f64,
    /// The confidence for each part.
    pub confidence: f64,
    /// Flights flown so far.
    pub flown: f64,
    /// Own failures by spare id.
    pub failures: Vec<(String, u32)>,
}

/// Why there is no list.
#[derive(Clone, Debug, PartialEq)]
pub enum PlanFault {
    /// Flights that are no number from 1 to 100000.
    Flights(f64),
    /// A confidence outside 0.5 to 0.9999.
    Confidence(f64),
}

impl std::fmt::Display for PlanFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            PlanFault::Flights(given) => write!(f, "flights are {given} and must be from 1 to 100000"),
            PlanFault::Confidence(given) => {
                write!(f, "the confidence is {:.2} % and must be from 50 to 99.99 %", 100.0 * given)
            }
        }
    }
}

/// How many of each part to carry.
pub fn spares(base: &Base, plan: &Plan) -> Result<SparesList, PlanFault> {
    if !(1.0..=1e5).contains(&plan.flights) {
        return Err(PlanFault::Flights(plan.flights));
    }
    if !(0.0..=1e6).contains(&plan.flown) {
        return Err(PlanFault::Flights(plan.flown));
    }
    if !(0.5..=0.9999).contains(&plan.confidence) {
        return Err(PlanFault::Confidence(plan.confidence));
    }
    let lines: Vec<Carried> = base
        .spares
        .iter()
        .enumerate()
        .map(|(place, spare)| {
            let own = plan.failures.iter().filter(|(id, _)| *id == spare.id).map(|(_, count)| *count).sum();
            let rate = GammaRate::of(spare, plan.fleet).after(f64::from(own), plan.flown);
            let number = rate.enough(plan.flights, plan.confidence);
            Carried {
                spare: place,
                number,
                expected: rate.mean() * plan.flights,
                suffices: rate.at_most(number, plan.flights),
                grams: f64::from(number) * spare.grams,
                parts: f64::from(number) * spare.parts,
                own,
            }
        })
        .collect();
    Ok(SparesList {
        all_suffice: lines.iter().map(|line| line.suffices).product(),
        grams: lines.iter().map(|line| line.grams).sum(),
        parts: lines.iter().map(|line| line.parts).sum(),
        lines,
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_number_is_the_least_that_suffices(shape in 0.1_f64..20.0, worth in 1.0_f64..1000.0, flights in 1.0_f64..300.0, confidence in 0.5_f64..0.999) {
            let rate = GammaRate { shape, flights: worth };
            let number = rate.enough(flights, confidence);
            prop_assert!(rate.at_most(number, flights) >= confidence - 1e-9);
            prop_assert!(number == 0 || rate.at_most(number - 1, flights) < confidence + 1e-9);
        }
    }

    #[test]
    fn more_flights_more_failures_and_more_confidence_never_carry_less() {
        let (base, _) = Base::embedded();
        let plan = Plan { fleet: 2, flights: 30.0, confidence: 0.9, flown: 0.0, failures: vec![] };
        let number = |plan: &Plan| {
            spares(&base, plan).unwrap().lines.iter().map(|line| line.number).collect::<Vec<_>>()
        };
        let least = number(&plan);
        for more in [
            Plan { flights: 60.0, ..plan.clone() },
            Plan { confidence: 0.99, ..plan.clone() },
            Plan {
                failures: base.spares.iter().map(|spare| (spare.id.clone(), 9)).collect(),
                flown: 10.0,
                ..plan.clone()
            },
        ] {
            assert!(number(&more).iter().zip(&least).all(|(more, less)| more >= less), "{more:?}");
        }
        assert!(least[0] > 10, "{least:?}");
    }

    #[test]
    fn names_in_a_journal_lead_to_the_part() {
        let (base, _) = Base::embedded();
        let id = |name: &str| base.spare_called(name).map(|place| base.spares[place].id.as_str());
        for (name, part) in [
            ("rear left motor", "motor"),
            ("camera harness, 120 mm", "camera_harness"),
            ("Tansy nano camera", "camera"),
            ("camera lens", "lens"),
            ("right-hand omni", "air_antenna"),
            ("Sets of blades", "set_of_blades"),
            ("front arms", "arm_or_frame_plate"),
            ("pack P2", "pack"),
        ] {
            assert_eq!(id(name), Some(part), "{name}");
        }
        assert_eq!((id("harmonica"), id("")), (None, None));
        // Each part is called so that its own name leads back to it, and what a repair uses up is named so too.
        for spare in base.spares.iter().filter(|spare| !spare.is.contains('(')) {
            assert_eq!(id(&spare.is), Some(spare.id.as_str()));
        }
        let repair = base.repair("replace_harness").unwrap();
        assert_eq!(base.parts_of_repair(repair), ["camera harness"]);
    }

    #[test]
    fn a_plan_that_is_none_is_told() {
        let (base, _) = Base::embedded();
        let plan = Plan { fleet: 2, flights: f64::NAN, confidence: 0.9, flown: 0.0, failures: vec![] };
        assert_eq!(
            spares(&base, &plan).unwrap_err().to_string(),
            "flights are NaN and must be from 1 to 100000"
        );
        let plan = Plan { flights: 10.0, confidence: 1.0, ..plan };
        assert_eq!(
            spares(&base, &plan).unwrap_err().to_string(),
            "the confidence is 100.00 % and must be from 50 to 99.99 %"
        );
    }
}
