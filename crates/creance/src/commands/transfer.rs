//! `creance import`, `export`, `backup`, `restore`: craft come in, go out, all of it is kept, and put back.

use super::Outcome;
use super::subject::{SubjectArgs, WorkshopArgs, bytes_of, read};
use crate::bench::now;
use crate::output::{note, say};
use crate::refusal::{Cause, Refusal};
use crate::{intake, written};
use clap::Args;
use craft::Craft;
use craft::sheet::read_sheet_bytes;
use std::path::{Path, PathBuf};
use workshop::{Imported, Workshop};

/// Which sheets to take in.
#[derive(Args)]
pub struct ImportArgs {
    /// The sheets
    #[arg(value_name = "SHEET", required = true)]
    sheets: Vec<PathBuf>,
    #[command(flatten)]
    into: WorkshopArgs,
}

/// Which craft to write out, and where.
#[derive(Args)]
pub struct ExportArgs {
    #[command(flatten)]
    subject: SubjectArgs,
    /// The sheet to write; - for standard output. A sheet of the same craft keeps its comments
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
}

/// Where to copy the workshop.
#[derive(Args)]
pub struct BackupArgs {
    /// The file to write, a whole workshop itself
    #[arg(long, value_name = "FILE")]
    to: PathBuf,
    #[command(flatten)]
    of: WorkshopArgs,
}

/// What to put back, and where.
#[derive(Args)]
pub struct RestoreArgs {
    /// The backup; the last good one beside the workshop when left out
    #[arg(long, value_name = "FILE")]
    from: Option<PathBuf>,
    #[command(flatten)]
    into: WorkshopArgs,
}

/// Takes sheets in: all are read first, and nothing is taken in if one has a fault.
pub fn import(args: &ImportArgs) -> Result<Outcome, Refusal> {
    let craft = args.sheets.iter().map(|sheet| read(sheet)).collect::<Result<Vec<_>, Refusal>>()?;
    let mut shop = Workshop::open_or_create(args.into.path()?)?.workshop;
    for ((craft, text), sheet) in craft.iter().zip(&args.sheets) {
        let imported = shop.import(craft, text, now())?;
        say(&told(sheet, &craft.name, &imported))?;
    }
    Ok(Outcome::NothingBroken)
}

fn told(sheet: &Path, name: &str, imported: &Imported) -> String {
    let (sheet, id) = (sheet.display(), imported.craft.as_str());
    if imported.already_there {
        return format!("{sheet}: {name} is in the workshop already, as {id}\n");
    }
    let mut words = format!("{sheet}: {name} is now in the workshop, as {id}");
    for (was, is) in &imported.renamed {
        words.push_str(&format!("; part {was} became {is}, since another part has that id"));
    }
    words + "\n"
}

/// Writes a craft out as a sheet.
pub fn export(args: &ExportArgs) -> Result<Outcome, Refusal> {
    let subject = args.subject.find()?;
    if args.out.as_os_str() == "-" {
        say(&intake::sheet_of(&subject.craft, subject.sheet.as_deref()))?;
        return Ok(Outcome::NothingBroken);
    }
    write_sheet(&args.out, &subject.craft, subject.sheet)?;
    note(&format!("{} is written to {}", subject.craft.name, args.out.display()));
    Ok(Outcome::NothingBroken)
}

/// Writes a craft where the user pointed, with the comments of the sheet that is there or of the one it came from.
pub fn write_sheet(out: &Path, craft: &Craft, from: Option<String>) -> Result<(), Refusal> {
    let there = if out.is_file() { old_sheet(out, craft.id.as_str())? } else { None };
    written::write(out, intake::sheet_of(craft, there.or(from).as_deref()))
}

/// The sheet that is there already, whose comments are kept; anything else is not written over.
pub fn old_sheet(path: &Path, id: &str) -> Result<Option<String>, Refusal> {
    let bytes = bytes_of(path, "sheet")?;
    if bytes.is_empty() {
        return Ok(None);
    }
    let reading = read_sheet_bytes(&bytes);
    let words = match reading.is_refused() {
        false if reading.craft.id.as_str() == id => {
            return Ok(Some(String::from_utf8_lossy(&bytes).into_owned()));
        }
        false => format!("{path:?} holds another craft, {}; nothing was written", reading.craft.id),
        true => format!("{path:?} is there already and is no sound sheet; nothing was written"),
    };
    Err(Refusal::new(Cause::Clash, words).hint("Name another file, or remove that one first."))
}

/// Copies the workshop.
pub fn backup(args: &BackupArgs) -> Result<Outcome, Refusal> {
    let shop = args.of.open()?;
    shop.backup(&args.to)?;
    say(&format!("{} is kept in {}\n", shop.path().display(), args.to.display()))?;
    Ok(Outcome::NothingBroken)
}

/// Puts a backup in the place of the workshop.
pub fn restore(args: &RestoreArgs) -> Result<Outcome, Refusal> {
    let path = args.into.path()?;
    let restored = match &args.from {
        Some(backup) => Workshop::restore_from(&path, backup)?,
        None => Workshop::restore_from_backup(&path)?,
    };
    let mut words = format!("{} is restored from {}", path.display(), restored.backup.display());
    if let Some(aside) = &restored.damaged {
        words.push_str(&format!("; what was there is kept in {}", aside.display()));
    }
    say(&(words + "\n"))?;
    Ok(Outcome::NothingBroken)
}
