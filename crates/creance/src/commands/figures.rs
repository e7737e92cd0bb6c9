//! `creance figures`: what was computed of a craft: what each number is, its doubt, its basis and its source; with `--working` how it came about.

use super::Outcome;
use super::subject::SubjectArgs;
use crate::output::{folded, note, say};
use crate::refusal::{Cause, Refusal};
use crate::wire::lead::{LengthsTold, lengths};
use crate::wire::told::{FiguresTold, as_json};
use clap::Args;
use proof::three_figures;
use quantity::{Figure, Quantity, Term, decimal};
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
                \"inputs\": [{\"what\", \"value\", \"unit\", \"uncertainty\", \"origin\"}, …], \"source\"}, …],
   \"lengths\": [{\"place\", \"called\", \"way_mm\", \"no_way\", \"plugs_mm\", \"own\", \"stock\", \"mends\"}, …]}
  id           the figure, with its place in brackets where there is one for each place
  uncertainty  the standard uncertainty in unit; null where no input carries doubt
  basis        measured, data_sheet or typical: the weakest among its facts
  what         what it is, in words
  formula      how it comes about; inputs are its terms, in teaching order, origin what each rests on
  source       where the formula comes from
  lengths      with --only fit. or a longer beginning of fit.harness_slack: for each lead its own length and every one it is sold in as
               {\"length_mm\", \"slack_mm\", \"suits\"}, what to order, where what is over can be folded
Keys are never renamed or dropped; new ones may be added.

Exit status: 0 nothing is broken, 1 something is, 2 bad input or usage, or no figure that begins so.";

/// The figures with which the lengths of leads are told.
const SLACK: &str = "fit.harness_slack";

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
    // Of a lead without a way there is no figure, and it is to be told all the same.
    let of_slack = SLACK.starts_with(only) || only.starts_with(SLACK);
    let lengths = if of_slack && !only.is_empty() { lengths(&craft, &proved) } else { Vec::new() };
    say(&if args.json {
        as_json(&FiguresTold::new(&craft, &proved, &wanted, lengths))
    } else {
        text(&wanted, args.working) + &table_of(&lengths)
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

/// The lengths that can be had for each lead, held against its shortest way.
fn table_of(leads: &[LengthsTold]) -> String {
    let mut out = String::new();
    for lead in leads {
        let way = match lead.way_mm {
            Some(way) => format!(
                "the shortest way is {} mm, its plugs take {} mm",
                decimal(way, 1),
                decimal(lead.plugs_mm, 1)
            ),
            None => lead.no_way.clone().unwrap_or_else(|| "nobody can say how it lies".to_owned()),
        };
        let _ = writeln!(out, "\n{}", folded(&format!("{} ({}): {way}", lead.called, lead.place), ""));
        let own = lead.own.iter().map(|fit| (fit, "its own"));
        for (fit, whose) in own.chain(lead.stock.iter().map(|fit| (fit, "in stock"))) {
            let (length, slack) = (decimal(fit.length_mm, 0), decimal(fit.slack_mm.abs(), 1));
            let leaves = if fit.slack_mm < 0.0 { "short" } else { "slack" };
            let _ = writeln!(out, "  {length:>5} mm  {whose:<8}  {slack:>6} mm {leaves}  {}", fit.suits);
        }
        if lead.stock.is_empty() && lead.way_mm.is_some() {
            out.push_str("  sold in any length\n");
        }
        for mend in &lead.mends {
            let _ = writeln!(out, "{}", folded(mend, "  "));
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
