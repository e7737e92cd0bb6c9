//! `creance figures`: what was computed of a craft, with doubt, basis and source.

use super::Outcome;
use super::subject::SubjectArgs;
use crate::output::{note, say};
use crate::refusal::{Cause, Refusal};
use crate::wire::told::{FiguresTold, as_json};
use clap::Args;
use proof::three_figures;
use quantity::Figure;
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
    /// Print JSON instead of text
    #[arg(long)]
    json: bool,
}

const JSON: &str = "\
With --json it prints one object:
  {\"craft\": {\"id\", \"name\", \"class\"}, \"verdict\",
   \"figures\": [{\"id\", \"value\", \"unit\", \"uncertainty\", \"basis\", \"source\"}, …]}
  id           the figure, with its place in brackets where there is one for each place
  uncertainty  the standard uncertainty in unit; null where no input carries doubt
  basis        measured, data_sheet or typical: the weakest among its facts
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
    say(&if args.json { as_json(&FiguresTold::new(&craft, &proved, &wanted)) } else { text(&wanted) })?;
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

fn text(figures: &[&Figure]) -> String {
    let cells: Vec<[String; 4]> = figures.iter().map(|figure| cells(figure)).collect();
    let width = |column: usize| cells.iter().map(|row| row[column].chars().count()).max().unwrap_or(0);
    let widths = [width(0), width(1), width(2)];
    let mut out = String::new();
    for [id, value, basis, source] in &cells {
        let [a, b, c] = widths;
        let _ = writeln!(out, "{id:<a$}  {value:>b$}  {basis:<c$}  {source}");
    }
    out
}

fn cells(figure: &Figure) -> [String; 4] {
    let doubt = figure.uncertainty.map_or(String::new(), |u| format!(" ± {}", three_figures(u)));
    let value = format!("{}{doubt} {}", three_figures(figure.quantity.value), figure.quantity.unit.symbol());
    [
        figure.id.0.to_string(),
        value.trim_end().to_owned(),
        figure.basis.words().to_owned(),
        figure.working.source.line(),
    ]
}
