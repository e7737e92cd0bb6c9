//! `creance explain`: what a rule asks and why, how a figure is computed.

use super::Outcome;
use crate::manual::figures::{self, FigureFamily};
use crate::output::{folded, say};
use crate::refusal::{Cause, Refusal};
use clap::Args;
use proof::{Rule, rules};
use quantity::near_name;
use std::fmt::Write;

/// What to explain.
#[derive(Args)]
pub struct ExplainArgs {
    /// The id of a rule or of a figure; a figure's place in brackets may be left out
    #[arg(value_name = "RULE|FIGURE")]
    pub id: Option<String>,
}

/// Explains one id, or lists all.
pub fn explain(args: &ExplainArgs) -> Result<Outcome, Refusal> {
    let figures = figures::families();
    let told = match &args.id {
        None => list(figures),
        Some(id) => explained(id, figures)?,
    };
    say(&told)?;
    Ok(Outcome::NothingBroken)
}

fn list(figures: &[FigureFamily]) -> String {
    let mut out = String::from("Rules\n");
    let width = widest(rules::RULES.iter().map(|rule| rule.id).chain(figures.iter().map(|f| f.id.as_str())));
    for rule in rules::RULES {
        let _ = writeln!(out, "  {:<width$}  {}", rule.id, rule.explained().asks);
    }
    out.push_str("\nFigures\n");
    for figure in figures {
        let _ = writeln!(out, "  {:<width$}  {}", figure.id, figure.label);
    }
    out
}

fn widest<'a>(ids: impl Iterator<Item = &'a str>) -> usize {
    ids.map(str::len).max().unwrap_or(0)
}

fn explained(id: &str, figures: &[FigureFamily]) -> Result<String, Refusal> {
    let stem = figures::stem(id.trim());
    let rule = rules::rule_of(stem).map(rule_text);
    let figure = figures.iter().find(|figure| figure.id == stem).map(figure_text);
    let texts: Vec<String> = rule.into_iter().chain(figure).collect();
    if !texts.is_empty() {
        return Ok(texts.join("\n"));
    }
    let ids = rules::RULES.iter().map(|rule| rule.id).chain(figures.iter().map(|figure| figure.id.as_str()));
    let hint = match near_name(stem, ids) {
        Some(near) => format!("Did you mean {near:?}?"),
        None => "`creance explain` lists them all.".to_owned(),
    };
    Err(Refusal::new(Cause::NoSuch, format!("there is no rule or figure {id:?}")).hint(hint))
}

fn rule_text(rule: &Rule) -> String {
    let doc = rule.explained();
    let mut out = format!("{}\n{}\n", rule.id, folded(&doc.asks, ""));
    for (heading, text) in &doc.sections {
        let _ = write!(out, "\n{heading}\n{}\n", folded(text, "  "));
    }
    out
}

fn figure_text(figure: &FigureFamily) -> String {
    let unit = if figure.unit.is_empty() { "a plain number" } else { figure.unit };
    format!(
        "{}\n{}, in {unit}\n\nFormula\n{}\n\nSource\n{}\n",
        figure.id,
        figure.label,
        folded(&figure.formula, "  "),
        folded(&figure.source.line(), "  ")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_of_the_finger_is_answered_with_the_nearest_id() {
        let told = explained("match.lens_tread", &[]).map_err(|refusal| refusal.to_string());
        assert_eq!(
            told,
            Err("there is no rule or figure \"match.lens_tread\"\nDid you mean \"match.lens_thread\"?"
                .to_owned())
        );
    }

    #[test]
    fn a_rule_is_explained_under_its_headings() {
        let text = explained("match.lens_thread", &[]).unwrap_or_default();
        for heading in proof::HEADINGS {
            assert!(text.contains(&format!("\n{heading}\n  ")), "{heading} in {text}");
        }
    }
}
