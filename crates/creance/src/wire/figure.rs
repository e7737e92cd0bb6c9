//! Figures with their working.

use super::schema::BasisWord;
use quantity::{Figure, Quantity, Source, Term};
use serde::Serialize;
use ts_rs::TS;

/// A value with its unit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, TS)]
#[ts(rename = "Quantity")]
pub struct QuantityView {
    /// The number.
    pub value: f64,
    /// The symbol of the unit; empty for plain numbers.
    pub unit: &'static str,
}

/// A computed value with its working.
#[derive(Serialize, TS)]
pub struct FigureView {
    /// Its id.
    pub id: String,
    /// What it is, in words.
    pub label: String,
    /// The value.
    pub quantity: QuantityView,
    /// The standard uncertainty, in the same unit.
    pub uncertainty: Option<f64>,
    /// The weakest basis among its facts.
    pub basis: BasisWord,
    /// The formula in plain text.
    pub formula: String,
    /// The inputs, in teaching order.
    pub terms: Vec<TermView>,
    /// Where the formula comes from.
    pub source: SourceView,
}

/// One line of a working.
#[derive(Serialize, TS)]
pub struct TermView {
    /// What it is.
    pub label: String,
    /// Its value.
    pub quantity: QuantityView,
    /// Its standard uncertainty.
    pub uncertainty: Option<f64>,
    /// What it rests on.
    pub origin: String,
}

/// Where a number or formula comes from.
#[derive(Clone, Serialize, TS)]
pub struct SourceView {
    /// The document, with edition.
    pub title: String,
    /// Where in it.
    pub place: String,
    /// How far it goes.
    pub grade: &'static str,
    /// All of it on one line.
    pub line: String,
}

impl From<Quantity> for QuantityView {
    fn from(quantity: Quantity) -> Self {
        Self { value: quantity.value, unit: quantity.unit.symbol() }
    }
}

impl From<&Source> for SourceView {
    fn from(source: &Source) -> Self {
        Self {
            title: source.title.to_owned(),
            place: source.place.to_owned(),
            grade: source.grade.words(),
            line: source.line(),
        }
    }
}

impl From<&Term> for TermView {
    fn from(term: &Term) -> Self {
        Self {
            label: term.label.clone(),
            quantity: term.quantity.into(),
            uncertainty: term.uncertainty,
            origin: term.origin.clone(),
        }
    }
}

impl From<&Figure> for FigureView {
    fn from(figure: &Figure) -> Self {
        Self {
            id: figure.id.0.to_string(),
            label: figure.label.clone(),
            quantity: figure.quantity.into(),
            uncertainty: figure.uncertainty,
            basis: figure.basis.into(),
            formula: figure.working.formula.clone(),
            terms: figure.working.terms.iter().map(TermView::from).collect(),
            source: SourceView::from(&figure.working.source),
        }
    }
}
