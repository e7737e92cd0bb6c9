//! `creance figures`: what was computed of a craft: what each number is, its doubt, its basis and its source; with `--working` how it came about.

use super::Outcome;
use super::subject::SubjectArgs;
use crate::output::{folded, note, say};
use crate::refusal::{Cause, Refusal};
use crate::wire::told::{FiguresTold, as_json};
use clap::Args;
use proof::three_figures;
use quantity::{Figure, Quantity, Term};
use std::collections::BTreeSet;
use std::fmt::Write;

/// Which figures.
#[derive(Args)]
#[command(after_long_help = JSON)]
pub struct FiguresArgs {
    #[command(flatten)]
    subject: SubjectArgs,
    /// Only figures whose id begins so: craft., fit.clearance
    #[arg(long, value_name = "PREFIX")]
    only: Option<String>,
    /// Open each number: its formula, each input with its value and what that rests on, its source
    #[arg(long, conflicts_with = "json")]
    working: bool,
    /// Print JSON instead of text; the working of each number is in it
    #[arg(long)]
    json: bool,
}

const JSON: &str = "\
With --json it prints one object:
  {\"craft\": {\"id\", \"name\", \"class\"}, \"verdict\",
   \"figures\": [{\"id\", \"what\", \"value\", \"unit\", \"uncertainty\", \"basis\", \"formula\",
                \"inputs\": [{\"what\", \"value\", \"unit\", \"uncertainty\", \"origin\"}, …], \"source\"}, …]}
  id           the figure, with its place in brackets where there is one for each place
  uncertainty  the standard uncertainty in unit; null where no input carries doubt
  basis        measured, data_sheet or typical: the weakest among its facts
  what         what it is, in words
  formula      how it comes about; inputs are its terms, in teaching order, origin what each rests on
  source       where the formula comes from
Keys are never renamed or dropped; new ones may be added.

Exit status: 0 nothing is broken, 1 something is, 2 bad input or usage, or no figure that begins so.";

/// Prints the figures.
pub fn figures(args: &FiguresArgs) -> Result<Outcome, Refusal> {
    let subject = args.subject.find()?;
    let proved = subject.proved();
    let craft = subject.craft;
    let only = args.only.as_deref().unwrap_or_default();
    let all = proved.all_figures();
    let wanted: Vec<&Figure> = all.iter().filter(|figure| figure.id.0.starts_with(only)).collect();
    if wanted.is_empty() && !only.is_empty() {
        return Err(none_begins(only, &all));
    }
    if wanted.is_empty() {
        note("creance: nothing can be computed of this craft yet");
    }
    say(&if args.json {
        as_json(&FiguresTold::new(&craft, &proved, &wanted))
    } else {
        text(&wanted, args.working)
    })?;
    Ok(Outcome::of(&proved))
}

/// No figure begins so: which beginnings there are.
fn none_begins(only: &str, figures: &[Figure]) -> Refusal {
    let refusal = Refusal::new(Cause::NoSuch, format!("no figure of this craft begins with {only:?}"));
    let begins = figures.iter().filter_map(|figure| Some(figure.id.0.split_once('.')?.0));
    let begins: BTreeSet<String> = begins.map(|begin| format!("{begin}.")).collect();
    if begins.is_empty() {
        return refusal.hint("Nothing can be computed of this craft yet: enter sizes and seats first.");
    }
    let begins = begins.into_iter().collect::<Vec<_>>().join(", ");
    refusal.hint(format!("They begin with {begins}; without --only all are printed."))
}

/// A figure a row, what it is in words at the end; its source, or its whole working, in the lines below.
fn text(figures: &[&Figure], working: bool) -> String {
    let cells: Vec<[String; 3]> = figures.iter().map(|figure| cells(figure)).collect();
    let width = |column: usize| cells.iter().map(|row| row[column].chars().count()).max().unwrap_or(0);
    let [a, b, c] = [width(0), width(1), width(2)];
    let mut out = String::new();
    for (figure, [id, value, basis]) in figures.iter().zip(&cells) {
        let _ = writeln!(out, "{id:<a$}  {value:>b$}  {basis:<c$}  {}", figure.label);
        if working {
            opened(&mut out, figure);
        } else {
            let _ = writeln!(out, "    source: {}", figure.working.source.line());
        }
    }
    out
}

/// The working, as a teacher would write it.
fn opened(out: &mut String, figure: &Figure) {
    let working = &figure.working;
    let _ = writeln!(out, "{}", folded(&format!("= {}", working.formula), "    "));
    let values: Vec<String> =
        working.terms.iter().map(|term| number(term.quantity, term.uncertainty)).collect();
    let widest = values.iter().map(|value| value.chars().count()).max().unwrap_or(0);
    for (Term { label, origin, .. }, value) in working.terms.iter().zip(&values) {
        let _ = writeln!(out, "    {value:>widest$}  {label} ({origin})");
    }
    let _ = writeln!(out, "{}", folded(&format!("source: {}", working.source.line()), "    "));
}

fn cells(figure: &Figure) -> [String; 3] {
    [figure.id.0.to_string(), number(figure.quantity, figure.uncertainty), figure.basis.words().to_owned()]
}

fn number(quantity: Quantity, uncertainty: Option<f64>) -> String {
    let doubt = uncertainty.map_or(String::new(), |u| format!(" ± {}", three_figures(u)));
    format!("{}{doubt} {}", three_figures(quantity.value), quantity.unit.symbol()).trim_end().to_owned()
}
