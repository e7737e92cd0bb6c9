//! `creance draw`: one view of a craft as a drawing on one A4 sheet.

use super::Outcome;
use super::subject::SubjectArgs;
use crate::output::{note, say};
use crate::refusal::{Cause, Refusal};
use crate::written;
use clap::{Args, ValueEnum};
use drawing::View;
use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

/// What to draw.
#[derive(Args)]
pub struct DrawArgs {
    #[command(flatten)]
    subject: SubjectArgs,
    /// From where it is seen
    view: ViewArg,
    /// The SVG file to write; - for standard output
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
}

/// From where a craft is seen.
#[derive(Clone, Copy, ValueEnum)]
enum ViewArg {
    /// From above
    Top,
    /// From its right side
    Side,
    /// From ahead
    Front,
}

impl From<ViewArg> for View {
    fn from(view: ViewArg) -> Self {
        match view {
            ViewArg::Top => View::Top,
            ViewArg::Side => View::Side,
            ViewArg::Front => View::Front,
        }
    }
}

/// Draws a craft.
pub fn draw(args: &DrawArgs) -> Result<Outcome, Refusal> {
    let craft = args.subject.find()?.craft;
    let picture = drawing::draw(&craft, &proof::prove(&craft), args.view.into());
    if args.out.as_os_str() == "-" {
        say(&picture)?;
    } else {
        spare_others(&args.out)?;
        written::write(&args.out, &picture)?;
        note(&format!("{} is drawn in {}", craft.name, args.out.display()));
    }
    Ok(Outcome::NothingBroken)
}

/// A file that is no drawing is not written over: a slip must not cost a sheet.
fn spare_others(path: &Path) -> Result<(), Refusal> {
    let mut first = Vec::new();
    if path.is_file() && File::open(path).and_then(|file| file.take(64).read_to_end(&mut first)).is_ok() {
        let text = String::from_utf8_lossy(&first);
        if !first.is_empty()
            && !text.trim_start().starts_with("<svg")
            && !text.trim_start().starts_with("<?xml")
        {
            let words = format!("{path:?} is there already and is no drawing; nothing was written");
            return Err(
                Refusal::new(Cause::Clash, words).hint("Name another file, or remove that one first.")
            );
        }
    }
    Ok(())
}
