//! `creance spares`: how many of each part to carry.

use super::Outcome;
use super::subject::SubjectArgs;
use crate::mending::{base, base_of, fleet_of};
use crate::output::say;
use crate::refusal::{Cause, Refusal};
use crate::spares::{OwnRecord, told};
use crate::wire::spares::SparesView;
use crate::wire::told::as_json;
use clap::Args;
use std::fmt::Write;

/// What is planned.
#[derive(Args)]
#[command(after_long_help = JSON)]
pub struct SparesArgs {
    #[command(flatten)]
    subject: SubjectArgs,
    /// Flights planned
    #[arg(long, value_name = "N", default_value_t = 30.0, allow_negative_numbers = true)]
    flights: f64,
    /// How sure it shall be that each part suffices, in per cent
    #[arg(long, value_name = "PERCENT", default_value_t = 90.0)]
    sure: f64,
    /// Flights flown beside those in the journal
    #[arg(long, value_name = "N", default_value_t = 0.0)]
    flown: f64,
    /// A part that failed beside those in the journal, with how often: air_antenna=2
    #[arg(long, value_name = "PART=N", value_delimiter = ',')]
    lost: Vec<String>,
    /// Print JSON instead of text
    #[arg(long)]
    json: bool,
}

const JSON: &str = "\
Failures come as a Poisson process of unknown rate: a Gamma distribution by class of craft (expert estimates), moved by the
flights in the journal and the parts its repairs name, of all craft of the class. The number is the least that suffices with the confidence, part by part.

With --json it prints one object:
  {\"craft\", \"flights\", \"sure\", \"lines\": [{\"id\", \"is\", \"number\", \"expected\", \"suffices\", \"grams\", \"blade_sets\", \"own\"}, …],
   \"all_suffice\", \"grams\", \"blade_sets\", \"record\": {\"flights\", \"hours\", \"craft\", \"replaced\"}, \"unknown\"}
  blade_sets  cost, in prices of one set of blades
Keys are never renamed or dropped; new ones may be added.

Exit status: 0, or 2 for bad input or usage.";

/// Says what to carry.
pub fn spares(args: &SparesArgs) -> Result<Outcome, Refusal> {
    let craft = args.subject.find()?.craft;
    let fleet = fleet_of(&craft)?;
    let (base, mut record) = match args.subject.from.open() {
        Ok(shop) if !args.subject.is_sheet() => {
            let demo = shop.is_demo(&craft.id)?;
            let base = base_of(&shop)?;
            let record = OwnRecord::of(&base, &shop, fleet, demo)?;
            (base, record)
        }
        // A sheet has no journal.
        _ => (base().clone(), OwnRecord::default()),
    };
    let base = &base;
    record.flights += args.flown;
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
        let number: u32 = number.parse().map_err(|_| told())?;
        let times = record.failures.entry(id.to_owned()).or_default();
        *times = times.saturating_add(number);
    }
    let view = told(base, &craft, &record, (args.flights, args.sure))?;
    say(&if args.json { as_json(&view) } else { text(&view) })?;
    Ok(Outcome::NothingBroken)
}

fn text(view: &SparesView) -> String {
    let mut out = format!("{}: for {} flights, each part with {} %\n\n", view.craft, view.flights, view.sure);
    let _ = writeln!(
        out,
        "  {:>3}  {:<28} {:>9} {:>9} {:>7} {:>10}",
        "n", "part", "expected", "suffices", "g", "blade sets"
    );
    for line in &view.lines {
        let _ = writeln!(
            out,
            "  {:>3}  {:<28} {:>9.2} {:>7.1} % {:>7.0} {:>10.1}",
            line.number,
            line.is,
            line.expected,
            100.0 * line.suffices,
            line.grams,
            line.blade_sets
        );
    }
    let _ = writeln!(
        out,
        "\n  in all {:.0} g and the price of {:.1} sets of blades",
        view.grams, view.blade_sets
    );
    let _ = writeln!(out, "  no part at all is wanting: {:.0} %", 100.0 * view.all_suffice);
    let record = &view.record;
    let _ = writeln!(
        out,
        "  own record: {:.0} flights, {:.1} h, {} replaced; the rest are expert estimates",
        record.flights,
        record.hours,
        if record.replaced == 1 { "1 part".to_owned() } else { format!("{} parts", record.replaced) }
    );
    if record.flights == 0.0 {
        let _ = writeln!(
            out,
            "  the journal's flights and repairs count by themselves; --flown and --lost add to them"
        );
    }
    out
}
