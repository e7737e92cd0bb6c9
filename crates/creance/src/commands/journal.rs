//! `creance journal`: what happened to the craft; entries go in, a table or a page comes out.

use super::Outcome;
use super::subject::{WorkshopArgs, id_of};
use crate::bench::Bench;
use crate::output::{folded, note, say};
use crate::refusal::{Cause, Refusal};
use crate::wire::journal::{EntrySent, EntryView, JournalAsked, JournalView, MeasuredSent};
use crate::wire::told::as_json;
use crate::written;
use clap::Args;
use std::path::PathBuf;
use workshop::Workshop;

/// What to find, or what to enter.
#[derive(Args)]
#[command(after_long_help = JSON)]
pub struct JournalArgs {
    /// Only of this craft, by name or id; with --enter, the craft it happened to
    #[arg(long, value_name = "CRAFT")]
    craft: Option<String>,
    /// Only these kinds, with commas between: built, changed, loaded, flown, crashed, tested, repaired, checked, charged
    #[arg(long, value_name = "KINDS")]
    kinds: Option<String>,
    /// Only entries that have all of these words
    #[arg(long, value_name = "WORDS")]
    find: Option<String>,
    /// Enter something of this kind
    #[arg(long, value_name = "KIND")]
    enter: Option<String>,
    /// With --enter: what happened
    #[arg(long, value_name = "WORDS", requires = "enter")]
    words: Option<String>,
    /// With --enter: when, such as 2024-05-04 or 2024-05-04T09:30:00Z; now when left out
    #[arg(long, value_name = "WHEN", requires = "enter")]
    at: Option<String>,
    /// With --enter: minutes flown or spent
    #[arg(long, value_name = "N", requires = "enter", allow_negative_numbers = true)]
    minutes: Option<f64>,
    /// With --enter: a pack it was flown with; may be given again
    #[arg(long, value_name = "LABEL", requires = "enter")]
    pack: Vec<String>,
    /// With --enter: what was read, such as level_at_5m=-48; may be given again
    #[arg(long, value_name = "WHAT=VALUE", requires = "enter")]
    read: Vec<String>,
    /// With --enter: what was read counts as new from here on
    #[arg(long, requires = "enter")]
    as_new: bool,
    /// With --enter crashed: the pack was hit
    #[arg(long, requires = "enter")]
    pack_hit: bool,
    /// Take an entry back, by its id: it stays on record and counts for nothing
    #[arg(long, value_name = "ID", conflicts_with_all = ["enter", "csv", "page"])]
    take_back: Option<String>,
    /// Let an entry stand again that was taken back
    #[arg(long, value_name = "ID", conflicts_with_all = ["enter", "csv", "page", "take_back"])]
    stand_again: Option<String>,
    /// With --enter: a part concerned, such as one that was replaced; may be given again
    #[arg(long, value_name = "PART", requires = "enter")]
    part: Vec<String>,
    /// With --enter: a unit concerned, by its label; may be given again
    #[arg(long, value_name = "LABEL", requires = "enter")]
    unit: Vec<String>,
    /// With --enter: a plug that was pulled and put back, as its counter is named; may be given again
    #[arg(long, value_name = "PLUG", requires = "enter")]
    plug: Vec<String>,
    /// Write what is found as a table for a spreadsheet
    #[arg(long, value_name = "FILE", conflicts_with = "enter")]
    csv: Option<PathBuf>,
    /// Write what is found as one page that can be sent
    #[arg(long, value_name = "FILE", conflicts_with = "enter")]
    page: Option<PathBuf>,
    /// Print JSON instead of text
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    from: WorkshopArgs,
}

const JSON: &str = "\
With --json it prints {\"entries\": [{\"id\", \"at\", \"kind\", \"craft\", \"words\", \"minutes\", \"parts\", \"units\", \"packs\",
\"measured\", \"ticked\", \"taken_back\", …}, …], \"total\", …}, newest first; with --enter {\"line\", \"ids\"}. Keys are never renamed or dropped.

Exit status: 0 done, 2 bad input or usage.";

/// Shows the journal, writes it out, or enters something.
pub fn journal(args: &JournalArgs) -> Result<Outcome, Refusal> {
    if let Some(kind) = &args.enter {
        return enter(args, kind);
    }
    if let Some((id, stands)) =
        args.take_back.as_ref().map(|id| (id, false)).or(args.stand_again.as_ref().map(|id| (id, true)))
    {
        let mut bench = Bench::new(Workshop::open_or_create(args.from.path()?)?.workshop);
        let kept = bench.let_stand(id, stands)?;
        let told = format!("entry {id} {}\n", if stands { "stands again" } else { "is taken back" });
        say(&if args.json { as_json(&kept) } else { told })?;
        return Ok(Outcome::NothingBroken);
    }
    let shop = args.from.open()?;
    let craft = args.craft.as_deref().map(|wanted| id_of(&shop, wanted)).transpose()?;
    let asked = JournalAsked {
        craft: craft.map(|id| id.to_string()).unwrap_or_default(),
        kinds: args.kinds.clone().unwrap_or_default(),
        words: args.find.clone().unwrap_or_default(),
    };
    let bench = Bench::new(shop);
    if let Some(path) = &args.csv {
        written::write(path, bench.journal_table(&asked)?)?;
        note(&format!("the journal is written to {}", path.display()));
    }
    if let Some(path) = &args.page {
        written::write(path, bench.journal_page(&asked)?)?;
        note(&format!("the journal is written to {}", path.display()));
    }
    if args.csv.is_none() && args.page.is_none() {
        let view = bench.journal_view(&asked)?;
        say(&if args.json { as_json(&view) } else { text(&view, &asked) })?;
    }
    Ok(Outcome::NothingBroken)
}

fn enter(args: &JournalArgs, kind: &str) -> Result<Outcome, Refusal> {
    let shop = Workshop::open_or_create(args.from.path()?)?.workshop;
    let craft = args.craft.as_deref().map(|wanted| id_of(&shop, wanted)).transpose()?;
    let read = |text: &String| {
        let (reading, value) = text
            .split_once('=')
            .and_then(|(what, value)| Some((what, value.trim().parse().ok()?)))
            .ok_or_else(|| {
                Refusal::new(
                    Cause::Misread,
                    format!("{text:?} is no reading; write it such as level_at_5m=-48"),
                )
            })?;
        Ok(MeasuredSent { reading: reading.trim().to_owned(), value })
    };
    let sent = EntrySent {
        id: None,
        at: args.at.clone(),
        kind: kind.to_owned(),
        craft: craft.map(|id| id.to_string()),
        words: args.words.clone().unwrap_or_default(),
        parts: args.part.clone(),
        units: args.unit.clone(),
        packs: args.pack.clone(),
        plugged: args.plug.clone(),
        minutes: args.minutes,
        measured: args.read.iter().map(read).collect::<Result<_, Refusal>>()?,
        as_new: args.as_new,
        pack_hit: args.pack_hit,
    };
    let kept = Bench::new(shop).enter(sent)?;
    for words in &kept.mind {
        note(words);
    }
    say(&if args.json { as_json(&kept) } else { format!("entered as {}\n", kept.ids.join(", ")) })?;
    Ok(Outcome::NothingBroken)
}

fn text(view: &JournalView, asked: &JournalAsked) -> String {
    if view.entries.is_empty()
        && [&asked.craft, &asked.kinds, &asked.words].iter().any(|word| !word.is_empty())
    {
        return "Nothing was found. Take a word away, or ask for all craft and kinds.\n".to_owned();
    }
    if view.entries.is_empty() {
        return "Nothing is entered yet. `creance journal --enter flown --craft NAME --minutes 5` enters a flight.\n".to_owned();
    }
    let mut out = String::new();
    for entry in &view.entries {
        out.push_str(&line(entry));
    }
    if (view.entries.len() as u32) < view.total {
        out.push_str(&format!(
            "… and {} earlier ones; --csv FILE writes them all\n",
            view.total - view.entries.len() as u32
        ));
    }
    out
}

fn line(entry: &EntryView) -> String {
    let craft = entry.craft_name.as_deref().map(|name| format!("{name} ")).unwrap_or_default();
    let mut out = format!("{}  {}  {craft}{}\n", entry.id, entry.at, entry.kind_plain);
    if !entry.words.is_empty() {
        out.push_str(&format!("{}\n", folded(&entry.words, "    ")));
    }
    let details = entry.details();
    if !details.is_empty() {
        out.push_str(&format!("{}\n", folded(&details.join("; "), "    ")));
    }
    out
}
