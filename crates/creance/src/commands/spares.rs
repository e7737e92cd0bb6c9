//! `creance spares`: how many of each part to carry.

use super::Outcome;
use super::subject::SubjectArgs;
use crate::mending::{base, fleet_of};
use crate::output::say;
use crate::refusal::{Cause, Refusal};
use crate::wire::told::as_json;
use clap::Args;
use faults::{Plan, SparesList};
use serde::Serialize;
use std::fmt::Write;

/// What is planned.
#[derive(Args)]
#[command(after_long_help = JSON)]
pub struct SparesArgs {
    #[command(flatten)]
    subject: SubjectArgs,
    /// Flights planned
    #[arg(long, value_name = "N", default_value_t = 30.0)]
    flights: f64,
    /// How sure it shall be that each part suffices, in per cent
    #[arg(long, value_name = "PERCENT", default_value_t = 90.0)]
    sure: f64,
    /// Flights flown so far, for the fleet's own record to count
    #[arg(long, value_name = "N", default_value_t = 0.0)]
    flown: f64,
    /// A part that failed in these flights, with how often: air_antenna=2
    #[arg(long, value_name = "PART=N", value_delimiter = ',')]
    lost: Vec<String>,
    /// Print JSON instead of text
    #[arg(long)]
    json: bool,
}

const JSON: &str = "\
Failures come as a Poisson process of unknown rate: a Gamma distribution by class of craft (expert estimates), moved by what
was flown and lost. The number is the least that suffices with the confidence, part by part.

With --json it prints one object:
  {\"craft\", \"flights\", \"sure\", \"lines\": [{\"id\", \"is\", \"number\", \"expected\", \"suffices\", \"grams\", \"blade_sets\", \"own\"}, …],
   \"all_suffice\", \"grams\", \"blade_sets\"}
  blade_sets  cost, in prices of one set of blades
Keys are never renamed or dropped; new ones may be added.

Exit status: 0, or 2 for bad input or usage.";

#[derive(Serialize)]
struct SparesTold {
    craft: String,
    flights: f64,
    sure: f64,
    lines: Vec<SpareTold>,
    all_suffice: f64,
    grams: f64,
    blade_sets: f64,
}

#[derive(Serialize)]
struct SpareTold {
    id: String,
    is: String,
    number: u32,
    expected: f64,
    suffices: f64,
    grams: f64,
    blade_sets: f64,
    own: u32,
}

/// Says what to carry.
pub fn spares(args: &SparesArgs) -> Result<Outcome, Refusal> {
    let base = base();
    let craft = args.subject.find()?.craft;
    let fleet = fleet_of(&craft)?;
    let mut failures = Vec::new();
    for word in &args.lost {
        let told = || {
            Refusal::new(
                Cause::Misread,
                format!("--lost {word}: write the part and a number, such as air_antenna=2"),
            )
        };
        let (id, number) = word.split_once('=').ok_or_else(told)?;
        if !base.spares.iter().any(|spare| spare.id == id) {
            let refusal = Refusal::new(Cause::NoSuch, format!("there is no spare part {id:?}"));
            let names = base.spares.iter().map(|spare| spare.id.as_str());
            return Err(match quantity::near_name(id, names.clone()) {
                Some(near) => refusal.hint(format!("Did you mean {near:?}?")),
                None => refusal.hint(format!("They are {}.", names.collect::<Vec<_>>().join(", "))),
            });
        }
        failures.push((id.to_owned(), number.parse().map_err(|_| told())?));
    }
    let plan =
        Plan { fleet, flights: args.flights, confidence: args.sure / 100.0, flown: args.flown, failures };
    let list = faults::spares(base, &plan).map_err(|fault| Refusal::new(Cause::Unfit, fault.to_string()))?;
    say(&if args.json { as_json(&told(&craft.name, args, &list)) } else { text(&craft.name, args, &list) })?;
    Ok(Outcome::NothingBroken)
}

fn told(craft: &str, args: &SparesArgs, list: &SparesList) -> SparesTold {
    let line = |line: &faults::Carried| SpareTold {
        id: base().spares[line.spare].id.clone(),
        is: base().spares[line.spare].is.clone(),
        number: line.number,
        expected: line.expected,
        suffices: line.suffices,
        grams: line.grams,
        blade_sets: line.parts,
        own: line.own,
    };
    SparesTold {
        craft: craft.to_owned(),
        flights: args.flights,
        sure: args.sure,
        lines: list.lines.iter().map(line).collect(),
        all_suffice: list.all_suffice,
        grams: list.grams,
        blade_sets: list.parts,
    }
}

fn text(craft: &str, args: &SparesArgs, list: &SparesList) -> String {
    let mut out = format!("{craft}: for {} flights, each part with {} %\n\n", args.flights, args.sure);
    let _ = writeln!(
        out,
        "  {:>3}  {:<28} {:>9} {:>9} {:>7} {:>10}",
        "n", "part", "expected", "suffices", "g", "blade sets"
    );
    for line in &list.lines {
        let spare = &base().spares[line.spare];
        let _ = writeln!(
            out,
            "  {:>3}  {:<28} {:>9.2} {:>7.1} % {:>7.0} {:>10.1}",
            line.number,
            spare.is,
            line.expected,
            100.0 * line.suffices,
            line.grams,
            line.parts
        );
    }
    let _ = writeln!(out, "\n  in all {:.0} g and the price of {:.1} sets of blades", list.grams, list.parts);
    let _ = writeln!(out, "  no part at all is wanting: {:.0} %", 100.0 * list.all_suffice);
    let _ = writeln!(
        out,
        "  failure rates and prices are expert estimates; --flown and --lost let your own count"
    );
    out
}
