//! A figure: a computed value with its working.
//!
//! The working is data, in the order a teacher would write it: the formula in plain text, then each
//! input with its own origin. Page, print and command line show the same lines.

use crate::{Basis, Quantity, Source};
use serde::Serialize;
use std::borrow::Cow;

/// The id of a figure: `discipline.words_in_snake_case`, with a place's name in brackets where there
/// is one figure for each place: `fit.clearance[cam|upper plate]`.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(transparent)]
pub struct FigureId(pub Cow<'static, str>);

/// One line of a working.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Term {
    /// What it is.
    pub label: String,
    /// Its value.
    pub quantity: Quantity,
    /// Its standard uncertainty, in the same unit, where it has one.
    pub uncertainty: Option<f64>,
    /// What it rests on, in words: a basis, or a source line.
    pub origin: String,
}

/// How a figure came about.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Working {
    /// The formula in plain text, symbols as in the lines.
    pub formula: String,
    /// The inputs, in teaching order.
    pub terms: Vec<Term>,
    /// Where the formula comes from.
    pub source: Source,
}

/// A computed value with its working.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Figure {
    /// Its id.
    pub id: FigureId,
    /// What it is, in words that fit every place: the places are in the brackets of the id.
    pub label: String,
    /// The value.
    pub quantity: Quantity,
    /// Its standard uncertainty in the same unit; `None` where no input carries doubt.
    pub uncertainty: Option<f64>,
    /// The weakest basis among its facts.
    pub basis: Basis,
    /// How it came about.
    pub working: Working,
}
