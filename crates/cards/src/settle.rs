//! Brings a card that was left in the middle back to the old state or on to the new one.
//!
//! Without a record nothing had been decided: what was half written goes. With one, what it lists is carried out: each
//! step may be done again without harm, so that it does not matter how often the power goes.

use crate::fault::told;
use crate::master::summed;
use crate::paths::{HALF, card_root, half_of, on_card, sync_folder};
use crate::put::ask;
use crate::record::Record;
use crate::{CardFault, Deed, Unwatched, Watch};
use std::fs::{self, File};
use std::io::ErrorKind;
use std::path::Path;

/// What had to be done to a card.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Settled {
    /// Nothing: it was in no middle.
    Nothing,
    /// Half-written files went; it is as it was before.
    Back,
    /// What had been decided was carried out; it carries the new state.
    On,
}

/// Settles a card.
pub fn settle(card: &Path) -> Result<Settled, CardFault> {
    card_root(card)?;
    let settled = match Record::on(card)? {
        Some(record) => {
            check(card, &record)?;
            carry_out(card, &record, &mut Unwatched)?;
            Settled::On
        }
        None => Settled::Nothing,
    };
    match (clear(card, card, 0)?, settled) {
        (true, Settled::Nothing) => Ok(Settled::Back),
        (_, settled) => Ok(settled),
    }
}

/// Looks whether a record that was found can be carried out, before anything is taken away for it.
fn check(card: &Path, record: &Record) -> Result<(), CardFault> {
    // Names that may not stand on a card, or lead through a link, were written by nobody's rule: nothing of it is carried out.
    let place = |steps: &[String]| match on_card(card, steps) {
        Err(fault @ (CardFault::Name { .. } | CardFault::Link { .. } | CardFault::NotAFile { .. })) => {
            Err(Record::aside(card, fault.to_string()))
        }
        Ok(path) if path == card => Err(Record::aside(card, "it lists a file without a name".to_owned())),
        place => place,
    };
    for steps in &record.gone {
        place(steps)?;
    }
    for file in &record.files {
        let (path, name) = (place(&file.steps)?, file.steps.join("/"));
        let half = half_of(&path);
        let whole = if half.exists() { &half } else { &path };
        if !whole.exists() {
            return Err(Record::aside(card, format!("{name} that it lists is not there")));
        }
        let found = File::open(whole).and_then(summed);
        if found.map_err(|source| told(card, whole, "read it back", source))?.0 == file.digest {
            continue;
        }
        if whole == &half {
            return Err(Record::aside(card, format!("{name} that it lists is not whole")));
        }
        return Err(put_broken_aside(card, &path));
    }
    Ok(())
}

/// A file that is not what its record says must not pass for an image.
fn put_broken_aside(card: &Path, path: &Path) -> CardFault {
    let done = fs::rename(path, half_of(path)).map_err(|source| told(card, path, "put it aside", source));
    match done.and_then(|()| Record::finish(card)) {
        Ok(()) => CardFault::Differs { path: path.to_owned(), byte: 0 },
        Err(fault) => fault,
    }
}

/// Carries a record out. It lies on the card already; stopping is no longer possible.
pub(crate) fn carry_out(card: &Path, record: &Record, watch: &mut dyn Watch) -> Result<(), CardFault> {
    let mut go = |deed: Deed, path: &Path| match ask(watch, &deed, card, path) {
        Err(CardFault::Stopped) => Ok(()),
        other => other,
    };
    for steps in &record.gone {
        let path = on_card(card, steps)?;
        go(Deed::Remove { name: steps.join("/") }, &path)?;
        match fs::remove_file(&path) {
            Err(source) if source.kind() != ErrorKind::NotFound => {
                return Err(told(card, &path, "take the old image away", source));
            }
            _ => sync_folder(card, path.parent().unwrap_or(card))?,
        }
    }
    for file in &record.files {
        let path = on_card(card, &file.steps)?;
        let half = half_of(&path);
        if !half.exists() {
            continue;
        }
        go(Deed::Rename { name: file.steps.join("/") }, &path)?;
        fs::rename(&half, &path).map_err(|source| told(card, &path, "give it its name", source))?;
        sync_folder(card, path.parent().unwrap_or(card))?;
    }
    for file in &record.files {
        let path = on_card(card, &file.steps)?;
        let found =
            File::open(&path).and_then(summed).map_err(|source| told(card, &path, "read it back", source))?;
        if found.0 != file.digest {
            return Err(put_broken_aside(card, &path));
        }
    }
    go(Deed::Finish, card)?;
    Record::finish(card)
}

/// How deep half-written files are looked for; no recipe goes deeper.
const DEPTH_MAX: usize = 9;

/// Takes half-written files away; says whether there were any.
fn clear(card: &Path, folder: &Path, depth: usize) -> Result<bool, CardFault> {
    let fault = |source| told(card, folder, "read the folder", source);
    let mut any = false;
    for entry in fs::read_dir(folder).map_err(fault)? {
        let entry = entry.map_err(fault)?;
        let kind = entry.file_type().map_err(fault)?;
        let name = entry.file_name();
        let name = name.to_string_lossy();
        if kind.is_dir() && depth < DEPTH_MAX {
            any |= clear(card, &entry.path(), depth + 1)?;
        } else if !kind.is_dir() && name.ends_with(HALF) {
            fs::remove_file(entry.path())
                .map_err(|source| told(card, &entry.path(), "clear it away", source))?;
            any = true;
        }
    }
    if any {
        sync_folder(card, folder)?;
    }
    Ok(any)
}
