//! The commands: what each takes, and what its exit status means.

mod check;
mod draw;
mod explain;
mod figures;
mod journal;
mod load;
mod load_told;
mod lore;
mod mend;
mod pattern;
mod place;
mod place_told;
pub mod print;
mod serve;
mod spares;
mod stand;
mod subject;
mod transfer;

use crate::output::note;
use crate::refusal::Refusal;
use clap::{Args, CommandFactory, Parser, Subcommand};
use proof::{Proved, Verdict};
use std::path::PathBuf;
use std::process::ExitCode;

/// The command line as a whole.
#[derive(Parser)]
#[command(name = "creance", version, about = ABOUT, long_about = LONG, after_long_help = EXIT_STATUS)]
#[command(args_conflicts_with_subcommands = true)]
struct Line {
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    serve: ServeArgs,
}

const ABOUT: &str =
    "Proves a craft before anything is soldered: what fits, what it rests on, what to measure";
const LONG: &str = "Creance holds one model of each of your craft and judges it as a whole: broken, tight, sound or \
unknown, with the margin as a number, what it rests on and what to do.\n\n\
Without a command it serves the bench on this machine and opens the browser. The other commands need no server. \
They take the name or the id of a craft in the workshop, or the path of a sheet (a .toml file).";
const EXIT_STATUS: &str =
    "Exit status:\n  0  nothing is broken\n  1  something is broken\n  2  bad input or usage";

#[derive(Subcommand)]
enum Command {
    /// Serve the bench on this machine and open the browser (what no command does too)
    Serve(ServeArgs),
    /// Say what the rules find of a craft, worst first
    Check(check::CheckArgs),
    /// Print what was computed of a craft, with doubt, basis and source
    Figures(figures::FiguresArgs),
    /// Tell what a rule asks and why, or how a figure is computed; without an id, list them all
    Explain(explain::ExplainArgs),
    /// Draw a craft: three views, exploded view, drilling template, bench card, link budget; as SVG, PDF or PNG
    Draw(draw::DrawArgs),
    /// Write a part that a craft needs as a file for the printer: STL or 3MF
    Print(print::PrintArgs),
    /// Find where the boards, camera and antennas of a craft would stand best
    Place(place::PlaceArgs),
    /// Check a measured antenna pattern and write it as rows of a sheet
    Pattern(pattern::PatternArgs),
    /// Check the readings of a thrust stand and write them as rows of a sheet
    Stand(stand::StandArgs),
    /// Load units: images, plans of batches, cards written all or nothing, what each unit reports
    Load(load::LoadArgs),
    /// Show what happened to the craft, enter something, or write it out
    Journal(journal::JournalArgs),
    /// Find what is wrong with the picture of a craft: what it may be, what to try next and why
    Mend(mend::MendArgs),
    /// Take fault knowledge of your own into the workshop, show it, or take it out
    Lore(lore::LoreArgs),
    /// Say how many of each spare part to carry, for a stated confidence
    Spares(spares::SparesArgs),
    /// Take craft in from sheets; with a fault in one of them, none is taken in
    Import(transfer::ImportArgs),
    /// Write a craft out as a sheet
    Export(transfer::ExportArgs),
    /// Copy the whole workshop to another file
    Backup(transfer::BackupArgs),
    /// Put a backup in the place of the workshop; what was there is kept beside it
    Restore(transfer::RestoreArgs),
}

/// How the bench is served.
#[derive(Args, Clone, Default)]
pub struct ServeArgs {
    /// The port to listen on; a free one when left out
    #[arg(long, value_name = "N")]
    pub port: Option<u16>,
    /// Do not open the browser
    #[arg(long)]
    pub no_open: bool,
    /// The file of the workshop
    #[arg(long, value_name = "FILE")]
    pub workshop: Option<PathBuf>,
    /// Listen on the local network too, for phones that are paired by a code
    #[arg(long)]
    pub lan: bool,
    /// With --lan: the address of this machine in the local network, if it has several
    #[arg(long, value_name = "ADDRESS", requires = "lan")]
    pub lan_at: Option<std::net::IpAddr>,
    /// Show the demo; without --workshop, in a workshop of its own
    #[arg(long)]
    pub demo: bool,
}

/// What a command found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Nothing is broken.
    NothingBroken,
    /// Something is broken.
    SomethingBroken,
}

impl Outcome {
    /// Whether anything of a proof is broken.
    pub fn of(proved: &Proved) -> Self {
        match proved.verdict() {
            Verdict::Broken => Self::SomethingBroken,
            _ => Self::NothingBroken,
        }
    }
}

/// Reads the command line and does what it says.
pub fn run() -> ExitCode {
    let line = match Line::try_parse() {
        Ok(line) => line,
        Err(told) => {
            let _ = told.print();
            return ExitCode::from(if told.use_stderr() { 2 } else { 0 });
        }
    };
    match done(line) {
        Ok(Outcome::NothingBroken) => ExitCode::SUCCESS,
        Ok(Outcome::SomethingBroken) => ExitCode::from(1),
        Err(refusal) => {
            note(&format!("creance: {refusal}"));
            ExitCode::from(2)
        }
    }
}

fn done(line: Line) -> Result<Outcome, Refusal> {
    match line.command.unwrap_or(Command::Serve(line.serve)) {
        Command::Serve(args) => serve::serve(&args),
        Command::Check(args) => check::check(&args),
        Command::Figures(args) => figures::figures(&args),
        Command::Explain(args) => explain::explain(&args),
        Command::Draw(args) => draw::draw(&args),
        Command::Print(args) => print::print(&args),
        Command::Place(args) => place::place(&args),
        Command::Pattern(args) => pattern::pattern(&args),
        Command::Stand(args) => stand::stand(&args),
        Command::Load(args) => load::load(&args),
        Command::Journal(args) => journal::journal(&args),
        Command::Mend(args) => mend::mend(&args),
        Command::Lore(args) => lore::lore(&args),
        Command::Spares(args) => spares::spares(&args),
        Command::Import(args) => transfer::import(&args),
        Command::Export(args) => transfer::export(&args),
        Command::Backup(args) => transfer::backup(&args),
        Command::Restore(args) => transfer::restore(&args),
    }
}

/// Each command with what it does and its whole help, for the manual.
pub fn documented() -> Vec<(String, String, String)> {
    let mut line = Line::command();
    line.build();
    let told = |command: &mut clap::Command| {
        let about = command.get_about().map(ToString::to_string).unwrap_or_default();
        (command.get_name().to_owned(), about, command.render_long_help().to_string())
    };
    line.get_subcommands_mut().filter(|command| command.get_name() != "help").map(told).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_command_line_is_well_formed() {
        Line::command().debug_assert();
    }

    #[test]
    fn every_command_is_documented() {
        for (name, about, help) in documented() {
            assert!(!about.is_empty() && help.contains("Usage:"), "{name}");
        }
    }
}
