//! `creance figures`: what was computed of a craft, with doubt, basis and source.

use super::Outcome;
use super::check::rounded;
use super::subject::SubjectArgs;
use crate::output::{note, say};
use crate::refusal::Refusal;
use crate::wire::told::{FiguresTold, as_json};
use clap::Args;
use quantity::Figure;
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

Exit status: 0 nothing is broken, 1 something is, 2 bad input or usage.";

/// Prints the figures.
pub fn figures(args: &FiguresArgs) -> Result<Outcome, Refusal> {
    let craft = args.subject.find()?.craft;
    let proved = proof::prove(&craft);
    let only = args.only.as_deref().unwrap_or_default();
    let wanted: Vec<&Figure> = proved.figures.iter().filter(|figure| figure.id.0.starts_with(only)).collect();
    if wanted.is_empty() {
        note(&none_words(only));
    }
    say(&if args.json { as_json(&FiguresTold::new(&craft, &proved, &wanted)) } else { text(&wanted) })?;
    Ok(Outcome::of(&proved))
}

fn none_words(only: &str) -> String {
    match only {
        "" => "creance: nothing can be computed of this craft yet".to_owned(),
        only => {
            format!("creance: no figure of this craft begins with {only:?}; `creance explain` lists them")
        }
    }
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
    let doubt = figure.uncertainty.map_or(String::new(), |u| format!(" ± {}", rounded(u)));
    let value = format!("{}{doubt} {}", rounded(figure.quantity.value), figure.quantity.unit.symbol());
    [
        figure.id.0.to_string(),
        value.trim_end().to_owned(),
        figure.basis.words().to_owned(),
        figure.working.source.line(),
    ]
}
