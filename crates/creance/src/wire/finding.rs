//! Findings, with the verdicts counted.

use super::target::Target;
use craft::Craft;
use proof::{Finding, Margin, Verdict, rules};
use serde::Serialize;
use std::collections::HashMap;
use ts_rs::TS;

/// How a craft stands toward a rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, TS)]
#[serde(rename_all = "snake_case")]
#[ts(rename = "Verdict")]
pub enum VerdictWord {
    /// It will not do.
    Broken,
    /// It may do, with little in hand.
    Tight,
    /// A fact is missing.
    Unknown,
    /// It will do.
    Sound,
}

impl From<Verdict> for VerdictWord {
    fn from(verdict: Verdict) -> Self {
        match verdict {
            Verdict::Broken => Self::Broken,
            Verdict::Tight => Self::Tight,
            Verdict::Unknown => Self::Unknown,
            Verdict::Sound => Self::Sound,
        }
    }
}

/// How many findings of each verdict.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, TS)]
pub struct Counts {
    /// Broken.
    pub broken: u32,
    /// Tight.
    pub tight: u32,
    /// Unknown.
    pub unknown: u32,
    /// Sound.
    pub sound: u32,
}

impl Counts {
    /// Counts findings by verdict.
    pub fn of(findings: &[Finding]) -> Self {
        let count = |verdict| findings.iter().filter(|finding| finding.verdict == verdict).count() as u32;
        Self {
            broken: count(Verdict::Broken),
            tight: count(Verdict::Tight),
            unknown: count(Verdict::Unknown),
            sound: count(Verdict::Sound),
        }
    }
}

/// A value with its uncertainty.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, TS)]
pub struct MarginView {
    /// What is in hand; negative is what is short.
    pub value: f64,
    /// The symbol of the unit.
    pub unit: &'static str,
    /// The standard uncertainty.
    pub uncertainty: Option<f64>,
}

/// Which fact to measure first.
#[derive(Serialize, TS)]
pub struct MeasureNext {
    /// Where the fact stands.
    pub path: String,
    /// What a person calls it.
    pub label: String,
    /// Certainty of the verdict as things stand.
    pub certainty_now: String,
    /// Certainty of the verdict once it is measured.
    pub certainty_after: String,
    /// The field where it is entered.
    pub target: Target,
}

/// What is to be said where the verdict is in doubt and no single fact would change it.
#[derive(Serialize, TS)]
pub struct NoSingleFact {
    /// The whole of it, in words.
    pub words: String,
    /// Two facts that would change it together, each with the field where it is entered; else empty.
    pub pair: Vec<Target>,
}

/// The two points that decide.
#[derive(Serialize, TS)]
pub struct WitnessView {
    /// Number of the first solid.
    pub a: u32,
    /// Number of the second solid.
    pub b: u32,
    /// The deciding point on the first, in mm, in the craft's own frame.
    pub on_a: [f64; 3],
    /// The deciding point on the second.
    pub on_b: [f64; 3],
}

/// What a rule says.
#[derive(Serialize, TS)]
pub struct FindingView {
    /// Stable within a craft: rule and subject.
    pub key: String,
    /// The rule's id.
    pub rule: &'static str,
    /// The question the rule asks.
    pub rule_asks: String,
    /// How it stands.
    pub verdict: VerdictWord,
    /// What it is about.
    pub subject: String,
    /// The places concerned.
    pub places: Vec<String>,
    /// What is in hand.
    pub margin: Option<MarginView>,
    /// How likely it is that the requirement holds.
    pub certainty: Option<f64>,
    /// The same in words.
    pub certainty_words: Option<String>,
    /// What is the matter.
    pub message: String,
    /// What to do, cheapest first.
    pub mends: Vec<String>,
    /// Facts that are missing.
    pub missing: Vec<Target>,
    /// Which fact to measure first.
    pub measure_next: Option<MeasureNext>,
    /// What is to be said where doubt decides and no single fact would change the verdict.
    pub no_single_fact: Option<NoSingleFact>,
    /// The figure whose working shows the margin.
    pub figure: Option<String>,
    /// The two points that decide.
    pub witness: Option<WitnessView>,
}

/// Findings as the pages read them, in the given order, each with a key of its own.
pub fn finding_views(craft: &Craft, findings: &[Finding]) -> Vec<FindingView> {
    let mut seen: HashMap<String, u32> = HashMap::new();
    let mut view = |finding: &Finding| {
        let stem = format!("{}|{}", finding.rule, finding.subject);
        let times = seen.entry(stem.clone()).and_modify(|n| *n += 1).or_insert(1);
        let key = if *times == 1 { stem } else { format!("{stem}|{times}") };
        finding_view(craft, finding, key)
    };
    findings.iter().map(&mut view).collect()
}

fn finding_view(craft: &Craft, finding: &Finding, key: String) -> FindingView {
    let asks = rules::rule_of(finding.rule).map(|rule| rule.explained().asks).unwrap_or_default();
    FindingView {
        key,
        rule: finding.rule,
        rule_asks: asks,
        verdict: finding.verdict.into(),
        subject: finding.subject.clone(),
        places: finding.places.iter().map(ToString::to_string).collect(),
        margin: finding.margin.as_ref().map(MarginView::from),
        certainty: finding.certainty.map(|p| p.get()),
        certainty_words: finding.certainty.map(|p| format!("{p} likely to hold")),
        message: finding.message.clone(),
        mends: finding.mends.clone(),
        missing: finding.missing.iter().map(|m| Target::new(craft, &m.path.0, &m.label)).collect(),
        measure_next: finding.measure_next.as_ref().map(|advice| measure_next(craft, advice)),
        no_single_fact: finding.no_single_fact.as_ref().map(|none| no_single_fact(craft, none)),
        figure: finding.figure.as_ref().map(|id| id.0.to_string()),
        witness: finding.witness.as_ref().map(witness_view),
    }
}

impl From<&Margin> for MarginView {
    fn from(margin: &Margin) -> Self {
        Self {
            value: margin.quantity.value,
            unit: margin.quantity.unit.symbol(),
            uncertainty: margin.uncertainty,
        }
    }
}

fn measure_next(craft: &Craft, advice: &proof::MeasureAdvice) -> MeasureNext {
    MeasureNext {
        path: advice.path.to_string(),
        label: advice.label.clone(),
        certainty_now: advice.certainty_now.to_string(),
        certainty_after: advice.certainty_after.to_string(),
        target: Target::new(craft, &advice.path.0, &advice.label),
    }
}

fn no_single_fact(craft: &Craft, none: &proof::NoSingleFact) -> NoSingleFact {
    let pair = none.pair.iter().flatten();
    NoSingleFact {
        words: none.words(),
        pair: pair.map(|advice| Target::new(craft, &advice.path.0, &advice.label)).collect(),
    }
}

fn witness_view(witness: &proof::Witness) -> WitnessView {
    WitnessView {
        a: witness.solid_a as u32,
        b: witness.solid_b as u32,
        on_a: witness.on_a,
        on_b: witness.on_b,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use craft::CraftId;

    #[test]
    fn like_findings_keep_keys_of_their_own() {
        let craft = Craft::new(CraftId::from_name("first"), "first");
        let finding = || Finding::new("fit.pair_clearance", Verdict::Sound, "a and b", "clear");
        let keys: Vec<String> =
            finding_views(&craft, &[finding(), finding()]).into_iter().map(|view| view.key).collect();
        assert_eq!(keys, ["fit.pair_clearance|a and b", "fit.pair_clearance|a and b|2"]);
    }
}
