//! `creance mend`: what is wrong with the picture, without a page.

use super::Outcome;
use super::subject::{SubjectArgs, text_of};
use crate::judged::Proofs;
use crate::mending::{base, base_of, counts_of, laid_over, page, session_view};
use crate::output::{folded, say};
use crate::refusal::{Cause, Refusal};
use crate::wire::mend::{MendSession, MendStep, MendView};
use crate::wire::told::as_json;
use clap::Args;
use faults::{Answer, Base, Counts, Session, percent_words};
use std::fmt::Write;
use std::path::PathBuf;

/// What is seen and tried.
#[derive(Args)]
#[command(after_long_help = JSON)]
pub struct MendArgs {
    #[command(flatten)]
    subject: SubjectArgs,
    /// What brought the craft to the bench: a sign or a complaint; without it, they are listed
    #[arg(long, value_name = "SIGN")]
    about: Option<String>,
    /// A sign that is seen
    #[arg(long, value_name = "SIGN", value_delimiter = ',')]
    sees: Vec<String>,
    /// A sign that was looked for and is not seen
    #[arg(long, value_name = "SIGN", value_delimiter = ',')]
    sees_not: Vec<String>,
    /// A sign that is perhaps seen; with =0.8, how likely one would say so if it is there
    #[arg(long, value_name = "SIGN[=P]", value_delimiter = ',')]
    perhaps: Vec<String>,
    /// A test that was made, with its outcome
    #[arg(long, value_name = "TEST=OUTCOME", value_delimiter = ',')]
    tried: Vec<String>,
    /// A repair that was made and left the complaint as it was
    #[arg(long, value_name = "REPAIR", value_delimiter = ',')]
    in_vain: Vec<String>,
    /// A fact that holds, such as recent_crash or spare_harness; with =no, one that does not
    #[arg(long, value_name = "FACT[=no]", value_delimiter = ',')]
    so: Vec<String>,
    /// A tool that is not at hand
    #[arg(long, value_name = "TOOL", value_delimiter = ',')]
    lacking: Vec<String>,
    /// At the field, where minutes weigh double
    #[arg(long)]
    field: bool,
    /// A text of fault knowledge laid over the program's own for this once; `creance lore` keeps one
    #[arg(long, value_name = "FILE")]
    knowledge: Option<PathBuf>,
    /// Print JSON instead of text
    #[arg(long)]
    json: bool,
}

const JSON: &str = "\
Nothing is written: a session that is kept, with its verdict, is begun on the page of the craft.

With --json it prints one object:
  {\"craft\", \"name\", \"complaints\", \"past\", \"learnt\", \"never\",
   \"session\": {\"complaint\", \"clash\", \"causes\": [{\"id\", \"is\", \"chance\", \"words\", \"before\", \"side\", \"because\", \"basis\"}, …],
    \"looks\", \"steps\": [{\"kind\", \"id\", \"does\", \"why\", \"sooner\", \"outcomes\", \"minutes\", \"cost\", \"bits_a_minute\",
    \"expected_minutes\", \"risk\", \"tools\", \"cautions\", \"prove\", \"basis\"}, …], \"barred\", \"stop_asking\", \"nothing_left\", \"hand_over\", \"settled\",
    \"suggested\", \"in_doubt\", \"order\", \"repair_minutes\", \"covered\", \"done\", \"facts\", \"tools\", \"at_the_field\"}}
  causes            likeliest first; chance is exact, several faults at once allowed
  expected_minutes  the expected cost to a working picture when this step comes first, two steps looked ahead
Keys are never renamed or dropped; new ones may be added.

Exit status: 0 something is advised, 1 what was seen cannot be together, 2 bad input or usage.";

/// Finds the fault.
pub fn mend(args: &MendArgs) -> Result<Outcome, Refusal> {
    let subject = args.subject.find()?;
    let base = &knowledge(args)?;
    let (craft, history) = (subject.craft, subject.history);
    let counts = match args.subject.from.open() {
        Ok(shop) => {
            let demo = !args.subject.is_sheet() && shop.is_demo(&craft.id)?;
            counts_of(base, &shop, demo)?
        }
        // A sheet needs no workshop: then nothing was learnt yet.
        Err(_) => Counts::default(),
    };
    let Some(about) = &args.about else {
        let view = page(base, &craft, None, Vec::new(), &counts);
        say(&if args.json { as_json(&view) } else { complaints(&view) })?;
        return Ok(Outcome::NothingBroken);
    };
    let session = session(base, about, args)?;
    let judged = Proofs::default().tried(craft, &[]);
    let view = session_view(base, 0, &session, &judged, &counts, history.as_deref());
    let clash = view.clash.is_some();
    let view = page(base, &judged.craft, Some(view), Vec::new(), &counts);
    say(&if args.json { as_json(&view) } else { text(&view) })?;
    Ok(if clash { Outcome::SomethingBroken } else { Outcome::NothingBroken })
}

/// The knowledge of a file, else of the workshop, else the program's own.
fn knowledge(args: &MendArgs) -> Result<Base, Refusal> {
    match (&args.knowledge, args.subject.from.open()) {
        (Some(path), _) => laid_over(&text_of(path, "knowledge")?, &path.display().to_string()),
        (None, Ok(shop)) => base_of(&shop),
        (None, Err(_)) => Ok(base().clone()),
    }
}

fn session(base: &Base, about: &str, args: &MendArgs) -> Result<Session, Refusal> {
    let mut session = Session::begin(base, about, "")?;
    for fact in &args.so {
        let (id, holds) = match fact.split_once('=') {
            None | Some((_, "yes")) => (fact.split('=').next().unwrap_or(fact), true),
            Some((id, "no")) => (id, false),
            Some((_, word)) => return Err(misread(format!("--so {fact}: {word:?} is neither yes nor no"))),
        };
        session.say(base, id, holds)?;
    }
    for tool in &args.lacking {
        session.tool(base, tool, false)?;
    }
    let sign = |id: &String, seen: f64| Answer::Sign { id: id.clone(), seen };
    for id in &args.sees {
        session.answer(base, sign(id, 1.0), "")?;
    }
    for id in &args.sees_not {
        session.answer(base, sign(id, 0.0), "")?;
    }
    for word in &args.perhaps {
        let (id, seen) = match word.split_once('=') {
            None => (word.clone(), base.perhaps),
            Some((id, number)) => {
                let seen = number
                    .parse()
                    .map_err(|_| misread(format!("--perhaps {word}: {number:?} is no number from 0 to 1")))?;
                (id.to_owned(), seen)
            }
        };
        session.answer(base, sign(&id, seen), "")?;
    }
    for word in &args.tried {
        let (id, outcome) = word.split_once('=').ok_or_else(|| {
            misread(format!("--tried {word}: write the test and its outcome, such as reseat_harness=same"))
        })?;
        session.answer(
            base,
            Answer::Test { id: id.to_owned(), outcome: outcome.to_owned(), sure: 1.0 },
            "",
        )?;
    }
    for id in &args.in_vain {
        session.answer(base, Answer::Repair { id: id.clone(), gone: false }, "")?;
    }
    session.at_the_field = args.field;
    let denied = session.entries.iter().find_map(|entry| match &entry.answer {
        Answer::Sign { id, seen } if *id == session.complaint && *seen < 1.0 && *seen > 0.0 => Some(id),
        _ => None,
    });
    if let Some(id) = denied {
        return Err(misread(format!("{id:?} is what the search is about: it is seen, not perhaps"))
            .hint("Search about a sign that is surely there, and say this one with --perhaps."));
    }
    said_once(base, &session)?;
    Ok(session)
}

/// On a command line nothing is said later than the rest: two answers to one question are a slip.
fn said_once(base: &Base, session: &Session) -> Result<(), Refusal> {
    let said: Vec<_> =
        session.entries.iter().filter_map(|entry| entry.answer.observation(base).ok()).collect();
    let twice = said.iter().enumerate().find_map(|(at, one)| {
        let other = said[at + 1..].iter().find(|other| one.same_question(other))?;
        Some((one.words(base), other.words(base)))
    });
    match twice {
        None => Ok(()),
        Some((one, other)) => {
            Err(misread(format!("\"{one}\" and \"{other}\" are two answers to one question"))
                .hint("Say the one that holds, or --perhaps."))
        }
    }
}

fn misread(words: String) -> Refusal {
    Refusal::new(Cause::Misread, words)
}

fn complaints(view: &MendView) -> String {
    let mut out = format!("What is seen on {}? Say it with --about:\n", view.name);
    for complaint in &view.complaints {
        let _ = writeln!(out, "  {:<38} \"{}\"", complaint.id, complaint.words);
    }
    out
}

/// The session as text.
pub fn text(view: &MendView) -> String {
    let Some(session) = &view.session else { return String::new() };
    let mut out = format!("{}: {}\n", view.name, session.complaint);
    if let Some(clash) = &session.clash {
        let _ = writeln!(out, "\n{}", folded(clash, "  "));
        return out;
    }
    out.push_str("\nWhat it may be\n");
    for cause in session.causes.iter().take(6) {
        let bar = "▪".repeat((cause.chance * 20.0).round() as usize);
        let _ = writeln!(out, "  {:>9}  {bar:<20}  {} ({})", percent_words(cause.chance), cause.is, cause.id);
    }
    out.push_str(&looks(session));
    match &session.settled {
        Some(settled) => {
            let _ = writeln!(out, "\nThe picture is back after: {settled}");
            if let Some(verdict) = &session.suggested {
                let repaired = verdict.repaired.clone().unwrap_or_default();
                let _ = writeln!(
                    out,
                    "  likely found: {}; make it last: {repaired}",
                    verdict.found.join(" and ")
                );
            }
        }
        None if session.nothing_left => {
            out.push_str("\nHand the craft over: nothing is left that could bring the picture back.\n")
        }
        None if session.hand_over => {
            out.push_str("\nHand the craft over: going on would cost more than it promises.\n")
        }
        None => {
            out.push_str("\nDo next\n");
            for (number, step) in session.steps.iter().take(3).enumerate() {
                out.push_str(&step_text(number + 1, step));
            }
        }
    }
    if !session.in_doubt.is_empty() {
        out.push_str("\nStill in doubt after that\n");
        for one in &session.in_doubt {
            let _ = writeln!(out, "{}", folded(one, "  "));
        }
    }
    let share = 100.0 * view.learnt.share;
    let _ = writeln!(out, "\n{}", folded(&session.order, ""));
    let _ = writeln!(out, "Weights: {share:.0} % from this fleet's own verdicts, the rest expert estimates.");
    out
}

fn looks(session: &MendSession) -> String {
    let looks: String = session
        .looks
        .iter()
        .take(3)
        .map(|look| {
            format!(
                "{}\n",
                folded(&format!("{} ({})", look.does.trim_start_matches("Look: "), look.id), "  ")
            )
        })
        .collect();
    if looks.is_empty() { looks } else { format!("\nLook first, it costs seconds\n{looks}") }
}

fn step_text(number: usize, step: &MendStep) -> String {
    let mut out = format!("  {number}. {} ({})\n", step.does, step.id);
    let _ = writeln!(out, "{}", folded(&step.why, "     "));
    if let Some(sooner) = &step.sooner {
        let _ = writeln!(out, "{}", folded(sooner, "     "));
    }
    let outcomes: Vec<String> =
        step.outcomes.iter().map(|one| format!("{} {}", one.word, percent_words(one.chance))).collect();
    let _ = writeln!(
        out,
        "     expect: {}; to a picture {:.0} min in all",
        outcomes.join(", "),
        step.expected_minutes
    );
    for caution in &step.cautions {
        let _ = writeln!(out, "     first: {caution}");
    }
    out
}
