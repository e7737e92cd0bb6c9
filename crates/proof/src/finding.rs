//! What a rule says of a craft.

use craft::{Missing, PlaceId};
use quantity::{FigureId, Probability, Quantity};

/// How a craft stands toward a rule, worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Verdict {
    /// It will not do.
    Broken,
    /// It may do, with little in hand.
    Tight,
    /// Nobody can say: a fact is missing.
    Unknown,
    /// It will do.
    Sound,
}

impl Verdict {
    /// Every verdict, worst first.
    pub const ALL: [Verdict; 4] = [Verdict::Broken, Verdict::Tight, Verdict::Unknown, Verdict::Sound];

    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Verdict::Broken => "broken",
            Verdict::Tight => "tight",
            Verdict::Unknown => "unknown",
            Verdict::Sound => "sound",
        }
    }
}

/// Actual less required, signed: how much is in hand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margin {
    /// What is in hand; negative is what is short.
    pub quantity: Quantity,
    /// Its standard uncertainty in the same unit, where facts carry doubt.
    pub uncertainty: Option<f64>,
}

/// The two points that decide, in the craft's own frame, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Witness {
    /// Number of the first solid in [`Proved::solids`](crate::Proved).
    pub solid_a: usize,
    /// Number of the second solid.
    pub solid_b: usize,
    /// The deciding point on the first.
    pub on_a: [f64; 3],
    /// The deciding point on the second.
    pub on_b: [f64; 3],
}

/// Which fact to measure first, and what that does to the certainty of the verdict.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasureAdvice {
    /// Where the fact stands.
    pub path: quantity::FactPath,
    /// What a person calls it.
    pub label: String,
    /// Certainty of the verdict as things stand.
    pub certainty_now: Probability,
    /// Certainty of the verdict to be expected once it is measured.
    pub certainty_after: Probability,
}

impl MeasureAdvice {
    /// Whether measuring it could turn the verdict: it may then be as sure as a sound one must be, or a tenth surer than it is.
    pub fn decides(&self) -> bool {
        let after = self.certainty_after.get();
        after >= crate::limits::TIGHT_UNDER || after - self.certainty_now.get() >= DECIDES
    }
}

/// So much surer a verdict may be once a fact is measured that is said to decide. Common practice: less is not worth a trip.
const DECIDES: f64 = 0.1;

/// What is to be said of measuring where the verdict is in doubt and no single fact would change it.
#[derive(Clone, Debug, PartialEq)]
pub struct NoSingleFact {
    /// Certainty of the verdict as things stand.
    pub certainty_now: Probability,
    /// Certainty of the verdict to be expected once every fact is measured.
    pub certainty_all: Probability,
    /// Whether any fact is known less well than measuring would tell.
    pub measurable: bool,
    /// Two facts that would change it together, each with the certainty to be expected once both are measured.
    pub pair: Option<[MeasureAdvice; 2]>,
}

impl NoSingleFact {
    /// The same in a sentence or two, as every door tells it.
    pub fn words(&self) -> String {
        let (now, all) = (self.certainty_now, self.certainty_all);
        match &self.pair {
            Some([first, second]) => format!(
                "No single measurement would change this verdict; two would: {} and {}. They take its certainty from \
                 {now} to {}.",
                first.label, second.label, first.certainty_after
            ),
            None if self.measurable => format!(
                "No single measurement would change this verdict, nor would two: it is {now} certain now, and would be \
                 {all} certain with every fact measured."
            ),
            None => format!(
                "No measurement would settle this: what it rests on is known as well as one can measure, and the verdict \
                 is {now} certain."
            ),
        }
    }
}

/// What a rule says of a craft, or of one pair or part of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// The rule's id.
    pub rule: &'static str,
    /// How it stands.
    pub verdict: Verdict,
    /// What it is about, in words: the two parts, the plug, the motor. Tells findings of one rule apart.
    pub subject: String,
    /// The places concerned.
    pub places: Vec<PlaceId>,
    /// What is in hand.
    pub margin: Option<Margin>,
    /// How likely it is that the requirement holds.
    pub certainty: Option<Probability>,
    /// What is the matter, in one sentence a newcomer understands.
    pub message: String,
    /// What to do, cheapest first, each an imperative.
    pub mends: Vec<String>,
    /// Facts that are missing, when unknown.
    pub missing: Vec<Missing>,
    /// Which fact to measure first, where doubt decides.
    pub measure_next: Option<MeasureAdvice>,
    /// What is to be said where doubt decides and no single fact would.
    pub no_single_fact: Option<NoSingleFact>,
    /// The figure whose working shows the margin.
    pub figure: Option<FigureId>,
    /// The two points that decide.
    pub witness: Option<Witness>,
}

impl Finding {
    /// A finding with a verdict, a subject and a message, and nothing else yet.
    pub fn new(
        rule: &'static str,
        verdict: Verdict,
        subject: impl Into<String>,
        message: impl Into<String>,
    ) -> Self {
        Self {
            rule,
            verdict,
            subject: subject.into(),
            places: Vec::new(),
            margin: None,
            certainty: None,
            message: message.into(),
            mends: Vec::new(),
            missing: Vec::new(),
            measure_next: None,
            no_single_fact: None,
            figure: None,
            witness: None,
        }
    }

    /// *Unknown*, naming what to find or measure.
    pub fn unknown(rule: &'static str, subject: impl Into<String>, missing: Vec<Missing>) -> Self {
        let names: Vec<&str> = missing.iter().map(|m| m.label.as_str()).collect();
        let message = format!(
            "Nobody can say yet: {} not known",
            match names.as_slice() {
                [] => "a fact is".to_owned(),
                [one] => format!("the {one} is"),
                [first, second] => format!("the {first} and the {second} are"),
                [first, rest @ ..] => format!("the {first} and {} more are", rest.len()),
            }
        );
        let mends = missing.iter().map(|m| format!("Measure or look up the {}.", m.label)).collect();
        Self { missing, mends, ..Self::new(rule, Verdict::Unknown, subject, message) }
    }

    /// The same finding about these places.
    pub fn at(mut self, places: impl IntoIterator<Item = PlaceId>) -> Self {
        self.places.extend(places);
        self
    }

    /// The same finding with what is in hand.
    pub fn margin(mut self, quantity: impl Into<Quantity>, uncertainty: Option<f64>) -> Self {
        self.margin = Some(Margin { quantity: quantity.into(), uncertainty });
        self
    }

    /// The same with what to measure first as the first thing to do, where measuring it could turn the verdict.
    pub(crate) fn measured_first(mut self) -> Self {
        let advice = self.measure_next.as_ref().filter(|advice| advice.decides());
        if let Some(measure) = advice.map(|advice| format!("Measure the {} first: it decides.", advice.label))
        {
            self.mends.insert(0, measure);
        }
        self
    }

    /// The same finding with one more thing to do.
    pub fn mend(mut self, mend: impl Into<String>) -> Self {
        self.mends.push(mend.into());
        self
    }
}
