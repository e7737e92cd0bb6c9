//! The JSON of `check --json` and `figures --json`: stable, and documented in their help.

use super::finding::{Counts, VerdictWord};
use super::lead::LengthsTold;
use super::schema::BasisWord;
use craft::Craft;
use proof::{Finding, Proved};
use quantity::{Figure, Term};
use serde::Serialize;
use ts_rs::TS;

/// Which craft, and the verdict on the whole.
#[derive(Serialize, TS)]
pub struct CraftTold {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// The word of its class.
    pub class: Option<&'static str>,
}

/// What `check --json` prints.
#[derive(Serialize)]
pub struct CheckTold {
    /// The craft.
    pub craft: CraftTold,
    /// The worst verdict.
    pub verdict: VerdictWord,
    /// How many findings of each verdict.
    pub counts: Counts,
    /// The findings, worst first.
    pub findings: Vec<FindingTold>,
}

/// One finding.
#[derive(Serialize)]
pub struct FindingTold {
    /// The rule's id.
    pub rule: &'static str,
    /// The verdict.
    pub verdict: VerdictWord,
    /// What is in hand, negative what is short; `null` where nothing was measured.
    pub margin: Option<f64>,
    /// The symbol of the margin's unit; `null` without a margin.
    pub unit: Option<&'static str>,
    /// How likely it is that the requirement holds, 0 to 1; `null` where no doubt enters.
    pub certainty: Option<f64>,
    /// What is the matter.
    pub message: String,
    /// What to do, cheapest first; `null` where nothing is to be done.
    pub mend: Option<String>,
}

/// What `figures --json` prints.
#[derive(Serialize)]
pub struct FiguresTold {
    /// The craft.
    pub craft: CraftTold,
    /// The worst verdict.
    pub verdict: VerdictWord,
    /// The figures, in the rules' order.
    pub figures: Vec<FigureTold>,
    /// The lengths that can be had for each lead, where the slack of leads is among the figures.
    pub lengths: Vec<LengthsTold>,
}

/// One figure.
#[derive(Serialize)]
pub struct FigureTold {
    /// Its id.
    pub id: String,
    /// What it is, in words.
    pub what: String,
    /// The value.
    pub value: f64,
    /// The symbol of the unit; empty for plain numbers.
    pub unit: &'static str,
    /// The standard uncertainty, in the same unit; `null` where no input carries doubt.
    pub uncertainty: Option<f64>,
    /// The weakest basis among its facts.
    pub basis: BasisWord,
    /// The formula in plain text.
    pub formula: String,
    /// Its inputs, in teaching order.
    pub inputs: Vec<InputTold>,
    /// Where the formula comes from.
    pub source: String,
}

/// One input of a figure.
#[derive(Serialize)]
pub struct InputTold {
    /// What it is, in words.
    pub what: String,
    /// The value.
    pub value: f64,
    /// The symbol of the unit; empty for plain numbers.
    pub unit: &'static str,
    /// The standard uncertainty, in the same unit; `null` where it has none.
    pub uncertainty: Option<f64>,
    /// What it rests on: a basis, or how it comes about.
    pub origin: String,
}

impl From<&Craft> for CraftTold {
    fn from(craft: &Craft) -> Self {
        Self {
            id: craft.id.to_string(),
            name: craft.name.clone(),
            class: craft.class.map(|class| class.word()),
        }
    }
}

impl CheckTold {
    /// What the rules say of a craft.
    pub fn new(craft: &Craft, proved: &Proved) -> Self {
        Self {
            craft: craft.into(),
            verdict: proved.verdict().into(),
            counts: Counts::of(&proved.findings),
            findings: proved.findings.iter().map(FindingTold::from).collect(),
        }
    }
}

impl From<&Finding> for FindingTold {
    fn from(finding: &Finding) -> Self {
        Self {
            rule: finding.rule,
            verdict: finding.verdict.into(),
            margin: finding.margin.map(|margin| margin.quantity.value),
            unit: finding.margin.map(|margin| margin.quantity.unit.symbol()),
            certainty: finding.certainty.map(|certainty| certainty.get()),
            message: finding.message.clone(),
            mend: (!finding.mends.is_empty()).then(|| finding.mends.join(" ")),
        }
    }
}

impl FiguresTold {
    /// These figures of a craft.
    pub fn new(craft: &Craft, proved: &Proved, figures: &[&Figure], lengths: Vec<LengthsTold>) -> Self {
        let figures = figures.iter().map(|figure| FigureTold::from(*figure)).collect();
        Self { craft: craft.into(), verdict: proved.verdict().into(), figures, lengths }
    }
}

impl From<&Figure> for FigureTold {
    fn from(figure: &Figure) -> Self {
        Self {
            id: figure.id.0.to_string(),
            what: figure.label.clone(),
            value: figure.quantity.value,
            unit: figure.quantity.unit.symbol(),
            uncertainty: figure.uncertainty,
            basis: figure.basis.into(),
            formula: figure.working.formula.clone(),
            inputs: figure.working.terms.iter().map(InputTold::from).collect(),
            source: figure.working.source.line(),
        }
    }
}

impl From<&Term> for InputTold {
    fn from(term: &Term) -> Self {
        Self {
            what: term.label.clone(),
            value: term.quantity.value,
            unit: term.quantity.unit.symbol(),
            uncertainty: term.uncertainty,
            origin: term.origin.clone(),
        }
    }
}

/// Any of these as text, indented, with a line end.
pub fn as_json(told: &impl Serialize) -> String {
    // Plain structs of numbers and text always have a JSON form.
    serde_json::to_string_pretty(told).unwrap_or_default() + "\n"
}
