//! What `creance place` prints: the placements with their reasons, what stays, what to order and to print.

use super::place::AdapterTried;
use crate::output::folded;
use craft::Craft;
use proof::placement::{Counts, Mended, Placements, Standing, Swap, Unmatched};
use proof::{Finding, three_figures};
use std::fmt::Write;
use std::path::PathBuf;

/// Findings that stay, told at most.
const LEFT_TOLD: usize = 6;

/// Text that grows by folded lines.
struct Lines(String);

impl Lines {
    fn add(&mut self, text: &str, indent: &str) {
        let _ = writeln!(self.0, "{}", folded(text, indent));
    }
}

/// All that a search found; `subject` is the craft as it was named.
pub fn text(craft: &Craft, found: &Placements, tried: &AdapterTried, subject: &str) -> String {
    let searched: Vec<&str> = found.searched.iter().map(|place| place.as_str()).collect();
    let mut out = Lines(if searched.is_empty() {
        format!("{}: nothing to choose\n", craft.name)
    } else {
        format!("{}: {} placed\n", craft.name, searched.join(", "))
    });
    out.add(&format!("now: {}", stands(&found.now)), "  ");
    found.now.lacks.iter().for_each(|lack| out.add(&format!("? {lack}"), "  "));
    if found.best.is_empty() && !searched.is_empty() {
        out.add("\nNo other placement is better than the craft as it stands.", "");
    }
    for (number, one) in found.best.iter().enumerate() {
        out.add(&format!("\n{}. {}.", number + 1, one.reason), "");
        out.add(&format!("then: {}", stands(&one.then)), "   ");
        one.notes.iter().for_each(|note| out.add(&format!("! {note}"), "   "));
        if let Some(besides) = besides("--mend besides", &one.swaps, &one.mended) {
            out.add(&besides, "   ");
        }
    }
    out.add(&format!("\n{}.", found.bound), "");
    match &found.conflict {
        Some(conflict) => out.add(&format!("{}.", conflict.why), ""),
        None => found.unmatched.iter().for_each(|one| out.add(&format!("{}.", one.words), "")),
    }
    found.unmatched.iter().for_each(|one| of_adapter(&mut out, one, tried, subject));
    if let Some(instead) = &found.instead {
        out.add(&format!("{instead}."), "");
    }
    let mended = match found.best.first() {
        Some(first) => &first.mended,
        None => {
            if let Some(besides) = besides("With --mend alone", &found.swaps, &found.mended) {
                out.add(&format!("{besides}."), "");
            }
            &found.mended
        }
    };
    if !found.best.is_empty() {
        out.add("\nWith the first, and all that is exact put right:", "");
        remains(&mut out, mended);
    } else if found.conflict.is_none() {
        leads(&mut out, mended);
    }
    out.0
}

/// A step that was taken.
pub struct Taken<'t> {
    /// What was done.
    pub what: &'t str,
    /// The names of parts that stand nowhere any more.
    pub left_over: &'t [String],
    /// What is left to do.
    pub mended: &'t Mended,
    /// The files that were written besides, if any were asked for.
    pub prints: Option<&'t [PathBuf]>,
}

/// What is told once a step is taken; `subject` is how the craft is named from now on.
pub fn taken(craft: &Craft, taken: &Taken, unmatched: &[Unmatched], subject: &str) -> String {
    let mut out = Lines(String::new());
    out.add(&format!("{}: {}.", craft.name, taken.what.trim_end_matches('.')), "");
    if !taken.left_over.is_empty() {
        out.add(&format!("Left over, and out of the craft: {}.", taken.left_over.join(", ")), "  ");
    }
    remains(&mut out, taken.mended);
    for one in unmatched {
        out.add(&format!("{}.", one.words), "  ");
        adapter(&mut out, one, subject);
    }
    match taken.prints {
        Some(files) => {
            let files: Vec<String> = files.iter().map(|file| file.display().to_string()).collect();
            let lacks_adapter = !files.iter().any(|file| file.ends_with(".stl")) && unmatched.is_empty();
            let none =
                if lacks_adapter { " No adapter is needed: the holes of each board meet." } else { "" };
            out.add(&format!("Written to print: {}.{none}", files.join(", ")), "  ");
        }
        None => {
            out.add(
                &format!(
                    "To drill and mount by, at 1 : 1: creance draw {subject} template --out template.pdf"
                ),
                "  ",
            );
        }
    }
    out.0
}

/// What an adapter under a board would do, as it was tried.
fn of_adapter(out: &mut Lines, one: &Unmatched, tried: &AdapterTried, subject: &str) {
    match tried {
        AdapterTried::Asked => {}
        AdapterTried::No => adapter(out, one, subject),
        AdapterTried::Serves => {
            out.add("An adapter plate between serves: a search with it in place finds a placement.", "");
            adapter(out, one, subject);
        }
        AdapterTried::None(count) => {
            let plates =
                if *count == 1 { "one plate was".to_owned() } else { format!("{count} plates were") };
            out.add(
                &format!(
                    "An adapter plate between does not serve: {plates} tried, and in no placement with it is nothing broken."
                ),
                "",
            );
        }
        AdapterTried::CannotBe(why) => out.add(&format!("No adapter plate can be made: {why}."), ""),
    }
}

/// The exact commands that print an adapter and search with it.
fn adapter(out: &mut Lines, one: &Unmatched, subject: &str) {
    let place = &one.place;
    out.add(&format!("Print one: creance print {subject} adapter --place {place} --out adapter.stl"), "  ");
    out.add(&format!("Search with it in place: creance place {subject} --adapter {place}"), "  ");
}

/// What stays to be done, and the leads.
fn remains(out: &mut Lines, mended: &Mended) {
    match mended.left.as_slice() {
        [] => out.add("Nothing stays: every rule says sound.", "  "),
        left => {
            left.iter().take(LEFT_TOLD).for_each(|finding| out.add(&stays(finding), "  "));
            if left.len() > LEFT_TOLD {
                out.add(&format!("and {} more, which `creance check` tells.", left.len() - LEFT_TOLD), "  ");
            }
        }
    }
    leads(out, mended);
}

fn leads(out: &mut Lines, mended: &Mended) {
    mended.leads.iter().for_each(|lead| out.add(&format!("Lead: {}", lead.words), "  "));
}

/// `Stays tight: Standby is on, …. Blades off, …`
fn stays(finding: &Finding) -> String {
    let mend = finding.mends.first().map_or(String::new(), |mend| format!(" {mend}"));
    format!("Stays {}: {}.{mend}", finding.verdict.word(), finding.message.trim_end_matches('.'))
}

/// `--mend besides: Put … at …; then 0 broken, 1 tight, …`
fn besides(with: &str, swaps: &[Swap], mended: &Mended) -> Option<String> {
    let steps: Vec<&str> = swaps.iter().chain(&mended.mends).map(|one| one.step.as_str()).collect();
    (!steps.is_empty()).then(|| format!("{with}: {}; then {}", steps.join("; "), counted(&mended.counts)))
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
