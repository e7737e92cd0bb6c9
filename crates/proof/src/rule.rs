//! What a rule is, and the macro that keeps its documentation as text.

use crate::{Finding, Proof};
use quantity::Figure;

/// What a rule answers: findings, and the figures they rest on.
#[derive(Clone, Debug, Default)]
pub struct Answer {
    /// What it says.
    pub findings: Vec<Finding>,
    /// What it computed on the way.
    pub figures: Vec<Figure>,
}

impl Answer {
    /// One finding and no figure.
    pub fn of(finding: Finding) -> Self {
        Self { findings: vec![finding], figures: Vec::new() }
    }
}

/// One rule.
#[derive(Clone, Copy)]
pub struct Rule {
    /// Its id, `discipline.words_in_snake_case`, naming what must be true.
    pub id: &'static str,
    /// Its documentation: the question, then *Why*, *Sound when*, *Rests on*, *Mend*.
    pub doc: &'static str,
    /// Asks it of a craft.
    pub run: fn(&Proof) -> Answer,
}

/// A rule's documentation, taken apart by its headings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RuleDoc {
    /// The question it asks.
    pub asks: String,
    /// The sections below, heading and text.
    pub sections: Vec<(String, String)>,
}

impl Rule {
    /// The documentation by headings.
    pub fn explained(&self) -> RuleDoc {
        let mut asks = String::new();
        let mut sections: Vec<(String, String)> = Vec::new();
        for line in self.doc.lines().map(str::trim) {
            if let Some(heading) = line.strip_prefix("## ") {
                sections.push((heading.to_owned(), String::new()));
                continue;
            }
            let text = sections.last_mut().map_or(&mut asks, |(_, text)| text);
            if !text.is_empty() && !line.is_empty() && !text.ends_with('\n') {
                text.push(' ');
            }
            text.push_str(if line.is_empty() && !text.is_empty() { "\n" } else { line });
        }
        for (_, text) in &mut sections {
            text.truncate(text.trim_end().len());
        }
        RuleDoc { asks: asks.trim().to_owned(), sections }
    }
}

/// The headings every rule's documentation has, in this order, below the question it asks.
pub const HEADINGS: [&str; 4] = ["Why", "Sound when", "Rests on", "Mend"];

/// Declares a rule: its doc comment becomes its documentation, so that every door prints the same.
macro_rules! rule {
    ($(#[doc = $doc:literal])* $name:ident = $id:literal, $run:ident) => {
        $(#[doc = $doc])*
        pub const $name: $crate::Rule = $crate::Rule { id: $id, doc: concat!($($doc, "\n"),*), run: $run };
    };
}
pub(crate) use rule;
