//! `creance place`: where the boards, camera and antennas of a craft would stand best.

use super::Outcome;
use super::subject::SubjectArgs;
use super::transfer::write_sheet;
use crate::intake;
use crate::output::{folded, note, say};
use crate::placing::{question, step};
use crate::refusal::{Cause, Refusal};
use crate::wire::placed::PlacedTold;
use crate::wire::told::as_json;
use clap::Args;
use craft::{Craft, apply};
use proof::placement::{
    BEST_USUAL, Counts, PlacementQuestion, Placements, Progress, Standing, Swap, placements,
};
use proof::{Verdict, three_figures};
use std::cell::Cell;
use std::fmt::Write;
use std::io::IsTerminal;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// What to place.
#[derive(Args)]
#[command(after_long_help = JSON, group(clap::ArgGroup::new("takes").args(["take", "swap"]).multiple(true)))]
pub struct PlaceArgs {
    #[command(flatten)]
    subject: SubjectArgs,
    /// Only these places, parted by commas; those that findings concern when left out
    #[arg(long, value_name = "PLACE", value_delimiter = ',')]
    only: Vec<String>,
    /// How many placements to tell; 0 for as many as usual
    #[arg(long, value_name = "N", default_value_t = BEST_USUAL)]
    best: usize,
    /// Take the placement of this number, from 1, and write the craft as it then stands
    #[arg(long, value_name = "K", requires = "out")]
    take: Option<usize>,
    /// Put the screws right as well, where a part of the craft serves; without --take nothing else
    #[arg(long, requires = "out")]
    swap: bool,
    /// The sheet to write; - for standard output
    #[arg(long, value_name = "FILE", requires = "takes")]
    out: Option<PathBuf>,
    /// Print JSON instead of text
    #[arg(long, conflicts_with = "takes")]
    json: bool,
}

const JSON: &str = "\
Tried are the hole patterns, orders in the stack, quarter turns, sides, heights of spacers at hand and in stock, camera and
antenna mounts. The best keeps the most at its worst pair; of equals the one with fewer changes. Ctrl-C ends the search and
tells the best so far.

With --json it prints one object:
  {\"craft\": {\"id\", \"name\", \"class\"}, \"searched\", \"movable\", \"widened\", \"now\", \"best\": [{\"reason\", \"steps\", \"why\", \"notes\",
   \"edits\", \"changes\", \"is_better\", \"then\", \"swaps\", \"then_swapped\": {\"verdict\", \"counts\"}}, …], \"bound\", \"conflict\", \"swaps\"}
  now, then     {\"margin_mm\", \"margin_words\", \"between\", \"verdict\", \"certainty\", \"counts\"}; verdict and certainty are those of the dry
                fit of what was searched, counts are of all findings; a margin of 2 mm stands for that and more
  edits         what makes the placement, in order
  swaps         {\"step\", \"mends\", \"edits\"}: parts at hand that put screws right, of a placement or of the craft now
  then_swapped  the craft as a whole with the placement and its swaps
  bound         {\"nodes\", \"choices\", \"best_mm\", \"at_most_mm\", \"left_out_mm\", \"whole\", \"words\"}: why nothing better
                was overlooked; whole is false for a search that was ended
  conflict      {\"one\", \"other\", \"why\"}: two things that cannot both be had; null where a placement serves
Keys are never renamed or dropped; new ones may be added.

Exit status: 0 the dry fit of what was searched has a placement in which nothing is broken, or has it already; 1 it has
none; with --take or --swap: 0 nothing is broken in the craft that was written, 1 something is; 2 bad input or usage.";

/// Places a craft.
pub fn place(args: &PlaceArgs) -> Result<Outcome, Refusal> {
    let subject = args.subject.find()?;
    let question = question(&args.only, args.best.max(args.take.unwrap_or(0)))?;
    let found = searched(&subject.craft, &question)?;
    if let Some(out) = &args.out {
        let step = step(&found, args.take, args.swap)?;
        let craft =
            apply(&subject.craft, &step).map_err(|fault| Refusal::new(Cause::Unfit, fault.to_string()))?;
        if out.as_os_str() == "-" {
            say(&intake::sheet_of(&craft, subject.sheet.as_deref()))?;
        } else {
            write_sheet(out, &craft, subject.sheet)?;
            note(&format!("{}: {}; written to {}", craft.name, step.describe(&subject.craft), out.display()));
        }
        return Ok(Outcome::of(&proof::prove(&craft)));
    }
    say(&if args.json {
        as_json(&PlacedTold::new(&subject.craft, &found))
    } else {
        text(&subject.craft, &found)
    })?;
    let sound = |standing: &Standing| standing.verdict != Verdict::Broken;
    let some = sound(&found.now) || found.best.iter().any(|one| sound(&one.then));
    Ok(if some { Outcome::NothingBroken } else { Outcome::SomethingBroken })
}

/// The search, with its progress on a terminal; Ctrl-C ends it.
fn searched(craft: &Craft, question: &PlacementQuestion) -> Result<Placements, Refusal> {
    let stop = Arc::new(AtomicBool::new(false));
    listen(&stop);
    let (terminal, told) = (std::io::stderr().is_terminal(), Cell::new(-1_i64));
    let go_on = |progress: Progress| {
        let percent = (progress.share * 100.0) as i64;
        if terminal && percent > told.get() {
            told.set(percent);
            eprint!("\rplacing {percent} %");
        }
        !stop.load(Ordering::Relaxed)
    };
    let found = placements(craft, question, &Arc::default(), &go_on);
    if terminal && told.get() >= 0 {
        eprint!("\r              \r");
    }
    Ok(found?)
}

fn listen(stop: &Arc<AtomicBool>) {
    let stop = Arc::clone(stop);
    // Where no thread or signal can be had, Ctrl-C ends the program as ever.
    std::thread::spawn(move || {
        let Ok(runtime) = tokio::runtime::Builder::new_current_thread().enable_all().build() else { return };
        if runtime.block_on(tokio::signal::ctrl_c()).is_ok() {
            stop.store(true, Ordering::Relaxed);
        }
    });
}

fn text(craft: &Craft, found: &Placements) -> String {
    let searched: Vec<&str> = found.searched.iter().map(|place| place.as_str()).collect();
    let mut out = if searched.is_empty() {
        format!("{}: nothing to choose\n", craft.name)
    } else {
        format!("{}: {} placed\n", craft.name, searched.join(", "))
    };
    let mut line = |text: &str, indent: &str| {
        let _ = writeln!(out, "{}", folded(text, indent));
    };
    line(&format!("now: {}", stands(&found.now)), "  ");
    if found.best.is_empty() && !searched.is_empty() {
        line("\nNo other placement is better than the craft as it stands.", "");
    }
    for (number, one) in found.best.iter().enumerate() {
        line(&format!("\n{}. {}.", number + 1, one.reason), "");
        line(&format!("then: {}", stands(&one.then)), "   ");
        one.notes.iter().for_each(|note| line(&format!("! {note}"), "   "));
        if !one.swaps.is_empty() {
            line(&with_swap(&one.swaps, &one.then_swapped), "   ");
        }
    }
    line(&format!("\n{}.", found.bound), "");
    if let Some(conflict) = &found.conflict {
        line(&format!("{}.", conflict.why), "");
    }
    if found.best.is_empty() {
        found.swaps.iter().for_each(|swap| line(&format!("With --swap: {}. {}.", swap.step, swap.mends), ""));
    }
    out
}

/// `--swap besides: Put … at …; then 0 broken, 1 tight, …`
fn with_swap(swaps: &[Swap], then: &Counts) -> String {
    let steps: Vec<&str> = swaps.iter().map(|swap| swap.step.as_str()).collect();
    format!("--swap besides: {}; then {}", steps.join("; "), counted(then))
}

fn stands(standing: &Standing) -> String {
    let margin = match (standing.margin, &standing.between) {
        (Some(margin), Some([a, b])) => format!(", {} mm between {a} and {b}", three_figures(margin.get())),
        _ => String::new(),
    };
    format!("{}{margin}; of all findings {}", standing.verdict.word(), counted(&standing.counts))
}

fn counted(counts: &Counts) -> String {
    let Counts { broken, tight, unknown, sound } = counts;
    format!("{broken} broken, {tight} tight, {unknown} unknown, {sound} sound")
}
