//! What a command is about: a craft of the workshop, by id or name, or a sheet, by its path.
//!
//! What ends in `.toml` is the path of a sheet; anything else is a craft. The workshop is only read, so a
//! server that holds it is not disturbed.

use crate::at_hand::at_hand;
use crate::bench::{history_of, now};
use crate::output::note;
use crate::refusal::{Cause, Refusal};
use crate::{intake, place};
use clap::Args;
use craft::sheet::read_sheet_bytes;
use craft::{Craft, CraftId, limits};
use proof::{History, PartAtHand, Proved};
use quantity::near_name;
use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use workshop::Workshop;

/// Which craft, and where it is looked for.
#[derive(Args)]
pub struct SubjectArgs {
    /// The name or id of a craft in the workshop, or the path of a sheet (ends in .toml)
    #[arg(value_name = "CRAFT|SHEET")]
    pub subject: String,
    #[command(flatten)]
    pub from: WorkshopArgs,
}

/// Which workshop.
#[derive(Args)]
pub struct WorkshopArgs {
    /// The file of the workshop; your own in the data folder when left out
    #[arg(long, value_name = "FILE")]
    pub workshop: Option<PathBuf>,
}

/// A craft with the text of the sheet it came from.
pub struct Subject {
    /// The craft.
    pub craft: Craft,
    /// The text, if it came from a sheet.
    pub sheet: Option<String>,
    /// Lenses of the workshop it came from; a sheet has none but its own.
    pub at_hand: Vec<PartAtHand>,
    /// What it has been through, if it came from the workshop.
    pub history: Option<Arc<History>>,
}

impl Subject {
    /// Its proof.
    pub fn proved(&self) -> Proved {
        let bare = proof::prove_with(&self.craft, &Arc::default(), &self.at_hand, None);
        match &self.history {
            Some(history) => proof::told_anew(&self.craft, &bare, history),
            None => bare,
        }
    }
}

impl WorkshopArgs {
    /// The path of the workshop; its folder is made if it is the usual one.
    pub fn path(&self) -> Result<PathBuf, Refusal> {
        self.workshop.clone().map_or_else(|| place::data_file(place::WORKSHOP), Ok)
    }

    /// The workshop, for reading.
    pub fn open(&self) -> Result<Workshop, Refusal> {
        let path = match &self.workshop {
            Some(path) => path.clone(),
            None => place::data_folder()?.join(place::WORKSHOP),
        };
        if self.workshop.is_none() && !path.exists() {
            let words = format!("there is no workshop of your own yet, at {}", path.display());
            let hint = "Begin one with `creance serve` or `creance import SHEET.toml`, or name a sheet (a .toml file).";
            return Err(Refusal::new(Cause::NoSuch, words).hint(hint));
        }
        Ok(Workshop::open_read_only(path)?)
    }
}

impl SubjectArgs {
    /// As it is typed in another command: in quotes where it has spaces, with the workshop where one was named.
    pub fn as_typed(&self) -> String {
        let from = self.from.workshop.as_ref().filter(|_| !self.is_sheet());
        let from =
            from.map_or(String::new(), |file| format!(" --workshop {}", quoted(&file.display().to_string())));
        format!("{}{from}", quoted(&self.subject))
    }

    /// Whether a sheet is named, not a craft of the workshop.
    pub fn is_sheet(&self) -> bool {
        is_sheet(&self.subject)
    }

    /// Finds it.
    pub fn find(&self) -> Result<Subject, Refusal> {
        if is_sheet(&self.subject) {
            let (craft, text) = read(Path::new(&self.subject))?;
            return Ok(Subject { craft, sheet: Some(text), at_hand: Vec::new(), history: None });
        }
        let shop = self.from.open()?;
        let id = id_of(&shop, &self.subject)?;
        let (craft, sheet) = shop.craft_and_sheet(&id)?;
        let at_hand = at_hand(&shop, &craft)?;
        let history = Some(Arc::new(history_of(&shop, now().unix_seconds() / 3600 * 3600)?));
        Ok(Subject { craft, sheet, at_hand, history })
    }
}

/// A word as it is typed: in quotes where it has spaces.
pub fn quoted(word: &str) -> String {
    if word.contains(char::is_whitespace) { format!("{word:?}") } else { word.to_owned() }
}

/// Whether a text is the path of a sheet.
fn is_sheet(text: &str) -> bool {
    Path::new(text).extension().is_some_and(|end| end.eq_ignore_ascii_case("toml"))
}

pub fn id_of(shop: &Workshop, wanted: &str) -> Result<CraftId, Refusal> {
    let all = shop.list_craft()?;
    if let Some(card) = all.iter().find(|card| card.id.as_str() == wanted) {
        return Ok(card.id.clone());
    }
    let named: Vec<_> =
        all.iter().filter(|card| card.name.to_lowercase() == wanted.trim().to_lowercase()).collect();
    if let [card] = named[..] {
        return Ok(card.id.clone());
    }
    if !named.is_empty() {
        let ids: Vec<&str> = named.iter().map(|card| card.id.as_str()).collect();
        let words = format!("{} craft are called {wanted:?}", named.len());
        return Err(
            Refusal::new(Cause::Misread, words).hint(format!("Give one of their ids: {}.", ids.join(", ")))
        );
    }
    let refusal =
        Refusal::new(Cause::NoSuch, format!("there is no craft {wanted:?} in workshop {:?}", shop.path()));
    let words = all.iter().flat_map(|card| [card.id.as_str(), card.name.as_str()]);
    Err(match near_name(wanted, words) {
        Some(near) => refusal.hint(format!("Did you mean {near:?}?")),
        None if Path::new(wanted).exists() => refusal.hint("A sheet is a file whose name ends in .toml."),
        None if all.is_empty() => refusal.hint("The workshop holds no craft yet."),
        None => refusal.hint(format!(
            "It holds {}.",
            all.iter().map(|card| card.id.as_str()).collect::<Vec<_>>().join(", ")
        )),
    })
}

/// Reads a sheet that may be taken in; what is worth a look is noted.
pub fn read(path: &Path) -> Result<(Craft, String), Refusal> {
    let bytes = bytes_of(path, "sheet")?;
    let reading = read_sheet_bytes(&bytes);
    let remarks = if reading.is_refused() { Vec::new() } else { intake::remarks(&reading) };
    let craft = intake::whole(reading, &format!("sheet {:?}", path.display().to_string()))?;
    for remark in remarks {
        note(&format!("{}: {remark}", path.display()));
    }
    Ok((craft, String::from_utf8_lossy(&bytes).into_owned()))
}

/// The bytes of a file, as far as a reader can say how much too large it is.
pub fn bytes_of(path: &Path, what: &str) -> Result<Vec<u8>, Refusal> {
    let told = |cause: std::io::Error| {
        let words = match cause.kind() {
            ErrorKind::NotFound => format!("{what} {path:?} is not there"),
            ErrorKind::PermissionDenied => format!("{what} {path:?} may not be read by you"),
            ErrorKind::NotADirectory => format!("{what} {path:?}: what should be its folder is a file"),
            _ => format!("{what} {path:?} cannot be read: {cause}"),
        };
        Refusal::new(Cause::Misread, words)
    };
    if path.is_dir() {
        return Err(Refusal::new(Cause::Misread, format!("{path:?} is a folder, not a {what}"))
            .hint("Name a file in it."));
    }
    let mut bytes = Vec::new();
    let most = 16 * limits::SHEET_BYTES_MAX as u64;
    File::open(path).and_then(|file| file.take(most).read_to_end(&mut bytes)).map_err(told)?;
    Ok(bytes)
}

/// The text of a file, as much of it as is ever read.
pub fn text_of(path: &Path, what: &str) -> Result<String, Refusal> {
    String::from_utf8(bytes_of(path, what)?).map_err(|fault| {
        let at = fault.utf8_error().valid_up_to();
        Refusal::new(Cause::Misread, format!("{}: byte {at} is no UTF-8 text", path.display()))
            .hint(format!("Save the {what} as plain text in UTF-8."))
    })
}

/// The readings of a table that an instrument wrote, or all that is wrong with it.
pub fn table_of<R, F: std::fmt::Display>(
    path: &Path,
    read: impl Fn(&str) -> Result<R, Vec<F>>,
) -> Result<R, Refusal> {
    read(&text_of(path, "table")?).map_err(|faults| {
        let words: Vec<String> = faults.iter().map(|fault| format!("{}: {fault}", path.display())).collect();
        Refusal::new(Cause::Unfit, words.join("\n"))
            .hint("Nothing was written. Mend the table and read it again.")
    })
}
