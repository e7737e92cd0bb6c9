//! `creance place`: where the boards, camera and antennas of a craft would stand best.

use super::Outcome;
use super::draw::spare_others as spare_drawing;
use super::place_told::{self, Taken};
use super::print::{PrintFile, spare_others as spare_print};
use super::subject::{Subject as OfWhat, SubjectArgs, quoted};
use super::transfer::{old_sheet, write_sheet};
use crate::bench::now;
use crate::drawn::{Chosen, DOTS_USUAL, Format, Subject, files};
use crate::intake;
use crate::output::{note, say};
use crate::placing::{Also, line, place_id, question, step};
use crate::refusal::{Cause, Refusal};
use crate::wire::placed::PlacedTold;
use crate::wire::print::PrintAsked;
use crate::wire::told::as_json;
use crate::written;
use clap::Args;
use craft::{Craft, Edit, apply};
use drawing::print::{Printed, adapters_for};
use proof::placement::{
    BEST_USUAL, Mended, PlacementQuestion, Placements, Progress, drilled, placements, unmatched,
    unmatched_seats,
};
use std::cell::Cell;
use std::io::IsTerminal;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use workshop::Workshop;

/// What to place.
#[derive(Args)]
#[command(
    after_long_help = JSON,
    group(clap::ArgGroup::new("takes").args(["take", "swap", "mend", "adapter"]).multiple(true)),
    group(clap::ArgGroup::new("goes").args(["out", "keep"]))
)]
pub struct PlaceArgs {
    #[command(flatten)]
    subject: SubjectArgs,
    /// Only these places, parted by commas; those that findings concern when left out
    #[arg(long, value_name = "PLACE", value_delimiter = ',')]
    only: Vec<String>,
    /// How many placements to tell; 0 for as many as usual
    #[arg(long, value_name = "N", default_value_t = BEST_USUAL)]
    best: usize,
    /// Put a printed adapter plate under the board at this place first, and search with it there: for this board alone, unless --only names others
    #[arg(long, value_name = "PLACE")]
    adapter: Option<String>,
    /// Take the placement of this number, from 1
    #[arg(long, value_name = "K", requires = "goes")]
    take: Option<usize>,
    /// Put the screws right as well, where a part of the craft serves; without --take nothing else
    #[arg(long, requires = "goes")]
    swap: bool,
    /// Put right as well all that one exact change mends: screws at hand, serial wires that are crossed
    #[arg(long, requires = "goes")]
    mend: bool,
    /// Write the craft as it then stands to this sheet; - for standard output
    #[arg(long, value_name = "FILE", requires = "takes")]
    out: Option<PathBuf>,
    /// Write over a sheet of this craft that is there already, keeping its comments
    #[arg(long, requires = "out")]
    replace: bool,
    /// Change the craft in the workshop, as one step that the bench can take back
    #[arg(long, requires = "takes")]
    keep: bool,
    /// Write what the change takes into this folder as well: the template at 1 : 1 as PDF, the adapter as STL
    #[arg(long, value_name = "FOLDER", requires = "goes")]
    prints: Option<PathBuf>,
    /// Print JSON instead of text
    #[arg(long, conflicts_with = "goes")]
    json: bool,
}

const JSON: &str = "\
Tried are the hole patterns, orders in the stack, quarter turns, sides, heights of spacers at hand and in stock, camera and
antenna mounts; with --adapter up to three plates, with the board straight or turned so far that screw heads stay apart. Every
placement that is told is proved by all rules, those of the leads too. The best keeps the most at its worst pair; of equals the one with fewer changes. Ctrl-C ends the search and
tells the best so far. From broken to sound in one step: --take 1 --mend --keep, or --out for a sheet. What no computation can
decide stays, and is told with its mend.

An adapter that --adapter puts in comes with its screws into what --out or --keep writes; its file for the printer goes into the
folder of --prints. Other prints are taken into a sheet by `creance print … --sheet SHEET`, or on the bench.

With --json it prints one object:
  {\"craft\": {\"id\", \"name\", \"class\"}, \"searched\", \"movable\", \"widened\", \"now\", \"best\": [{\"reason\", \"steps\", \"why\", \"notes\",
   \"edits\", \"changes\", \"is_better\", \"then\", \"swaps\", \"then_swapped\": {\"verdict\", \"counts\"}, \"mended\"}, …],
   \"bound\", \"conflict\", \"swaps\", \"mended\", \"unmatched\", \"instead\"}
  now, then     {\"margin_mm\", \"margin_words\", \"between\", \"verdict\", \"certainty\", \"counts\", \"lacks\"}; verdict and certainty are those of the
                dry fit of what was searched, counts are of all findings; a margin of 2 mm stands for that and more; lacks
                are plates the frame is without, for which what is not broken is unknown
  edits         what makes the placement, in order; with --adapter of the craft with the adapter in place
  swaps         {\"step\", \"mends\", \"edits\"}: parts at hand that put screws right, of a placement or of the craft now
  then_swapped  the craft as a whole with the placement and its swaps
  mended        {\"mends\", \"then\", \"left\", \"leads\"}: what other exact changes mend (as swaps), the craft as a whole with
                them and the swaps, what is then not sound ({\"rule\", \"verdict\", \"subject\", \"message\", \"mend\"}), and
                every lead with what to order ({\"place\", \"serves\", \"words\"})
  unmatched     {\"place\", \"called\", \"holes\", \"seat\", \"seat_holes\", \"words\"}: boards whose holes no pattern takes
  instead       what would serve where neither a placement nor an adapter does: holes to drill; null where nothing is known to
  bound         {\"nodes\", \"choices\", \"best_mm\", \"at_most_mm\", \"left_out_mm\", \"whole\", \"words\"}: why nothing better
                was overlooked; whole is false for a search that was ended
  conflict      {\"one\", \"other\", \"why\"}: two things that cannot both be had; null where a placement serves
Keys are never renamed or dropped; new ones may be added.

Exit status: 0 the dry fit of what was searched has a placement in which nothing is broken, or has it already; 1 it has
none; with --out or --keep: 0 nothing is broken in the craft as it then stands, 1 something is; 2 bad input or usage.";

/// Places a craft.
pub fn place(args: &PlaceArgs) -> Result<Outcome, Refusal> {
    if args.keep && args.subject.is_sheet() {
        let words = "a sheet is no craft of the workshop: nothing was changed";
        return Err(Refusal::new(Cause::Misread, words)
            .hint("Name a file with --out, or take the sheet in with `creance import`."));
    }
    let subject = args.subject.find()?;
    if let Some(out) = args.out.as_deref().filter(|out| out.is_file()) {
        old_sheet(out, subject.craft.id.as_str())?;
        if !args.replace {
            let words = format!("{out:?} is there already; nothing was written");
            return Err(Refusal::new(Cause::Clash, words)
                .hint("Name another file, or say --replace to write over that sheet."));
        }
    }
    let question = question(&args.only, args.best.max(args.take.unwrap_or(0)))?;
    let WithAdapter { under, craft, found, .. } = match &args.adapter {
        Some(place) => with_adapter(&subject.craft, place, &question)?,
        None => {
            let found = searched(&subject.craft, &question)?;
            WithAdapter { under: None, craft: subject.craft.clone(), found, tried: 0 }
        }
    };
    if args.out.is_some() || args.keep {
        return taken(args, subject, under, &craft, &found);
    }
    say(&if args.json {
        as_json(&PlacedTold::new(&craft, &found))
    } else {
        let tried = match &args.adapter {
            Some(_) => AdapterTried::Asked,
            None => adapter_tried(&subject.craft, &found),
        };
        place_told::text(&craft, &found, &tried, &args.subject.as_typed())
    })?;
    Ok(if found.serves() { Outcome::NothingBroken } else { Outcome::SomethingBroken })
}

/// Takes what was found, writes or keeps the craft, and says what is left to do.
fn taken(
    args: &PlaceArgs,
    subject: OfWhat,
    under: Option<Printed>,
    craft: &Craft,
    found: &Placements,
) -> Result<Outcome, Refusal> {
    let also = Also::of(args.swap, args.mend);
    // The adapter alone is a step too: it may be all that was wanting, so that no placement betters it and nothing else is to be mended.
    let is_all = under.is_some() && found.best.is_empty() && found.serves();
    let number = args.take.filter(|number| !(is_all && *number == 1));
    let more = match (number, also) {
        (None, Also::Nothing) => None,
        _ => match step(craft, found, number, also) {
            Err(_) if under.is_some() && number.is_none() => None,
            one => Some(one?),
        },
    };
    let after = more.as_ref().map_or(Ok(craft.clone()), |step| applied(craft, step))?;
    let prints = args.prints.as_deref().map(|folder| prints(folder, &after, under.as_ref())).transpose()?;
    let step = in_one(under.map(|adapter| adapter.step), more);
    let mended = Mended::of(&after);
    let gone = |part: &&craft::Part| after.part(&part.id).is_none();
    let left_over: Vec<String> = subject.craft.parts.iter().filter(gone).map(|p| p.name.clone()).collect();
    let what = step.describe(&subject.craft);
    let told = |subject: &str| {
        let taken = Taken { what: &what, left_over: &left_over, mended: &mended, prints: prints.as_deref() };
        place_told::taken(&after, &taken, &unmatched(&after), subject)
    };
    match &args.out {
        Some(out) if out.as_os_str() == "-" => say(&intake::sheet_of(&after, subject.sheet.as_deref()))?,
        Some(out) => {
            write_sheet(out, &after, subject.sheet)?;
            let sheet = out.display().to_string();
            say(&told(&quoted(&sheet)))?;
            note(&format!("{} is written to {sheet}", after.name));
        }
        None => {
            let mut shop = Workshop::open(args.subject.from.path()?)?.workshop;
            shop.edit(&subject.craft.id, &step, now())?;
            say(&told(&args.subject.as_typed()))?;
            note(&format!("{} is changed in the workshop; the bench can take it back", after.name));
        }
    }
    Ok(Outcome::of(&proof::prove(&after)))
}

/// A craft with the adapter that was put under a board, and what the search then found.
struct WithAdapter {
    under: Option<Printed>,
    craft: Craft,
    found: Placements,
    /// How many plates were searched with.
    tried: usize,
}

/// What came of an adapter under a board whose holes nothing takes: it is advised only where a search with it in place serves.
pub enum AdapterTried {
    /// It is in the craft that was searched.
    Asked,
    /// Nobody tried one: holes meet, or the search was ended.
    No,
    Serves,
    /// So many plates were tried.
    None(usize),
    /// There is no plate that could be made.
    CannotBe(String),
}

/// Tries an adapter under the first board whose holes nothing takes.
fn adapter_tried(craft: &Craft, found: &Placements) -> AdapterTried {
    let Some(board) = found.unmatched.first().filter(|_| found.bound.whole) else { return AdapterTried::No };
    let question = PlacementQuestion { best: 1, ..PlacementQuestion::default() };
    match best_adapter(craft, board.place.as_str(), &question) {
        Ok(with) if with.found.serves() => AdapterTried::Serves,
        Ok(with) if !with.found.bound.whole => AdapterTried::No,
        Ok(with) => AdapterTried::None(with.tried),
        Err(refusal) => AdapterTried::CannotBe(refusal.to_string()),
    }
}

/// Plates that are searched with at most: a builder prints one.
const PLATES_TRIED: usize = 3;

/// Searches with one adapter plate after the other, the one that is best as all stands first, until a placement serves.
/// Where none does the first is told.
fn with_adapter(craft: &Craft, place: &str, question: &PlacementQuestion) -> Result<WithAdapter, Refusal> {
    let mut first = best_adapter(craft, place, question)?;
    if !first.found.serves() && first.found.bound.whole {
        let mut holes = unmatched_seats(craft).into_iter().filter(|one| one.place.as_str() == place);
        first.found.instead = holes.next().and_then(|one| drilled(craft, &one, &Arc::default()));
    }
    Ok(first)
}

fn best_adapter(craft: &Craft, place: &str, question: &PlacementQuestion) -> Result<WithAdapter, Refusal> {
    let asked = PrintAsked { place: Some(place.to_owned()), ..PrintAsked::default() };
    // The plate itself stays where its holes are, and what else moves is to be named.
    let board = || place_id(place).map(|board| vec![board]);
    let only = if question.only.is_empty() { board()? } else { question.only.clone() };
    let question = &PlacementQuestion { only, ..question.clone() };
    let (mut first, mut tried) = (None, 0);
    for adapter in adapters_for(craft, &asked.read()?)?.into_iter().take(PLATES_TRIED) {
        let with = applied(craft, &adapter.step)?;
        let found = searched(&with, question)?;
        let serves = found.serves();
        let whole = found.bound.whole;
        tried += 1;
        let one = WithAdapter { under: Some(adapter), craft: with, found, tried };
        if serves {
            return Ok(one);
        }
        first = first.or(Some(one));
        if !whole {
            break;
        }
    }
    let mut first = first.ok_or_else(|| Refusal::new(Cause::Unfit, "there is no adapter plate to try"))?;
    first.tried = tried;
    Ok(first)
}

/// Writes the template of a craft, and its adapter where it takes one, into a folder; the names of the files.
fn prints(folder: &Path, craft: &Craft, adapter: Option<&Printed>) -> Result<Vec<PathBuf>, Refusal> {
    std::fs::create_dir_all(folder).map_err(|fault| {
        Refusal::new(Cause::Unfit, format!("the folder {folder:?} cannot be made: {fault}"))
    })?;
    let pages = Subject::Template.pages(craft, &proof::prove(craft), &Chosen::default())?;
    let title = format!("{}: template", craft.name);
    let pdf = files(&pages, Format::Pdf, &title, DOTS_USUAL)?;
    let template = folder.join(format!("{}-template.pdf", craft.id));
    spare_drawing(&template)?;
    let mut named = Vec::new();
    if let Some(adapter) = adapter {
        let path = folder.join(format!("{}.stl", adapter.file_stem(craft)));
        spare_print(&path, PrintFile::Stl)?;
        written::write(&path, PrintFile::Stl.bytes(adapter)?)?;
        named.push(path);
    }
    for page in pdf {
        written::write(&template, page)?;
    }
    named.push(template);
    Ok(named)
}

fn applied(craft: &Craft, step: &Edit) -> Result<Craft, Refusal> {
    apply(craft, step).map_err(|fault| Refusal::new(Cause::Unfit, fault.to_string()))
}

/// Two steps as one.
fn in_one(first: Option<Edit>, second: Option<Edit>) -> Edit {
    let (mut what, mut edits) = (Vec::new(), Vec::new());
    for step in [first, second].into_iter().flatten() {
        match step {
            Edit::Together { what: line, edits: more } => {
                what.push(line);
                edits.extend(more);
            }
            one => edits.push(one),
        }
    }
    Edit::Together { what: line(&what.join("; ")), edits }
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
