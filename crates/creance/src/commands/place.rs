//! `creance place`: where the boards, camera and antennas of a craft would stand best.

use super::Outcome;
use super::subject::SubjectArgs;
use crate::output::{folded, note, say};
use crate::refusal::{Cause, Refusal};
use crate::wire::placed::PlacedTold;
use crate::wire::told::as_json;
use crate::{intake, written};
use clap::Args;
use craft::{Craft, Edit, PlaceId, apply};
use proof::Verdict;
use proof::placement::{BEST_USUAL, PlacementQuestion, Placements, Progress, Standing, placements};
use std::cell::Cell;
use std::fmt::Write;
use std::io::IsTerminal;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// What to place.
#[derive(Args)]
#[command(after_long_help = JSON)]
pub struct PlaceArgs {
    #[command(flatten)]
    subject: SubjectArgs,
    /// Only these places, parted by commas; those that findings concern when left out
    #[arg(long, value_name = "PLACE", value_delimiter = ',')]
    only: Vec<String>,
    /// How many placements to tell
    #[arg(long, value_name = "N", default_value_t = BEST_USUAL)]
    best: usize,
    /// Take the placement of this number, from 1, and write the craft as it then stands
    #[arg(long, value_name = "K", requires = "out")]
    take: Option<usize>,
    /// With --take: put the screws right as well, where a part of the craft serves
    #[arg(long, requires = "take")]
    swap: bool,
    /// The sheet to write with --take; - for standard output
    #[arg(long, value_name = "FILE", requires = "take")]
    out: Option<PathBuf>,
    /// Print JSON instead of text
    #[arg(long, conflicts_with = "take")]
    json: bool,
}

const JSON: &str = "\
Tried are the hole patterns, orders in the stack, quarter turns, sides, heights of spacers at hand and in stock, camera and
antenna mounts. The best keeps the most at its worst pair; of equals the one with fewer changes. Ctrl-C ends the search and
tells the best so far.

With --json it prints one object:
  {\"craft\": {\"id\", \"name\", \"class\"}, \"searched\", \"now\", \"best\": [{\"reason\", \"steps\", \"notes\", \"edits\", \"changes\",
   \"is_better\", \"then\"}, …], \"bound\", \"conflict\", \"swaps\"}
  now, then  {\"margin_mm\", \"between\", \"verdict\", \"certainty\", \"counts\"}; a margin of 2 mm stands for that and more
  edits      what makes the placement, in order
  conflict   two things that cannot both be had; null where a placement serves
Keys are never renamed or dropped; new ones may be added.

Exit status: 0 a placement without a broken distance exists, 1 none does, 2 bad input or usage.";

/// Places a craft.
pub fn place(args: &PlaceArgs) -> Result<Outcome, Refusal> {
    let subject = args.subject.find()?;
    let only = args.only.iter().map(|id| place_id(id)).collect::<Result<Vec<_>, _>>()?;
    let question = PlacementQuestion { only, best: args.best.max(args.take.unwrap_or(0)) };
    let found = searched(&subject.craft, &question)?;
    match (args.take, &args.out) {
        (Some(number), Some(out)) => {
            let craft = taken(&subject.craft, &found, number, args.swap)?;
            let sheet = intake::sheet_of(&craft, subject.sheet.as_deref());
            if out.as_os_str() == "-" {
                say(&sheet)?;
            } else {
                written::write(out, &sheet)?;
                note(&format!("{} stands so in {}", craft.name, out.display()));
            }
        }
        _ if args.json => say(&as_json(&PlacedTold::new(&subject.craft, &found)))?,
        _ => say(&text(&subject.craft, &found))?,
    }
    let sound = |standing: &Standing| standing.verdict != Verdict::Broken;
    let some = sound(&found.now) || found.best.iter().any(|one| sound(&one.then));
    Ok(if some { Outcome::NothingBroken } else { Outcome::SomethingBroken })
}

fn place_id(text: &str) -> Result<PlaceId, Refusal> {
    PlaceId::new(text.trim()).map_err(|fault| Refusal::new(Cause::Misread, format!("--only: {fault}")))
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
    found.map_err(|fault| Refusal::new(Cause::Unfit, fault.to_string()))
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

/// The craft with one of the placements.
fn taken(craft: &Craft, found: &Placements, number: usize, swap: bool) -> Result<Craft, Refusal> {
    let Some(one) = number.checked_sub(1).and_then(|number| found.best.get(number)) else {
        let words = format!("there is no placement {number}; {} were found", found.best.len());
        return Err(Refusal::new(Cause::Misread, words));
    };
    let swaps = found.swaps.iter().filter(|_| swap).flat_map(|swap| &swap.edits);
    let edits: Vec<&Edit> = one.edits.iter().chain(swaps).collect();
    edits.into_iter().try_fold(craft.clone(), |craft, edit| {
        apply(&craft, edit).map_err(|fault| Refusal::new(Cause::Unfit, fault.to_string()))
    })
}

fn text(craft: &Craft, found: &Placements) -> String {
    let searched: Vec<&str> = found.searched.iter().map(|place| place.as_str()).collect();
    let mut out = format!("{}: {} placed\n", craft.name, searched.join(", "));
    let _ = writeln!(out, "  now: {}", stands(&found.now));
    if found.best.is_empty() {
        out.push_str("\nNo other placement does as well as the craft as it stands.\n");
    }
    for (number, one) in found.best.iter().enumerate() {
        let _ = writeln!(out, "\n{}. {}", number + 1, folded(&one.reason, "   ").trim_start());
        let _ = writeln!(out, "   then: {}", stands(&one.then));
        for note in &one.notes {
            let _ = writeln!(out, "{}", folded(note, "   ! ").replace("\n   ! ", "\n     "));
        }
    }
    let _ = writeln!(out, "\n{}", folded(&format!("{}.", found.bound), ""));
    if let Some(conflict) = &found.conflict {
        let _ = writeln!(out, "{}", folded(&format!("{}.", conflict.why), ""));
    }
    for swap in &found.swaps {
        let _ = writeln!(out, "{}", folded(&format!("Besides: {}. {}.", swap.step, swap.mends), ""));
    }
    out
}

fn stands(standing: &Standing) -> String {
    let counts = standing.counts;
    format!(
        "{}; of all findings {} broken, {} tight, {} unknown, {} sound",
        standing.verdict.word(),
        counts.broken,
        counts.tight,
        counts.unknown,
        counts.sound
    )
}
