//! Puts an image on a card, all or nothing.
//!
//! 1. The image and the files that stay beside it are written under temporary names and forced onto the card.
//! 2. Each is read back, past the machine's own memory where the system allows, and compared with its master.
//! 3. A record of what is left to do is put in place by one rename: from here on the new state holds.
//! 4. Images of other turns go, the new files get their names, the record goes.
//!
//! When power goes before 3 the card is as it was, after it [`settle`](crate::settle) does 4. Between, a card may
//! for a moment carry no image; it never carries two, nor half of one under the name an installer looks for. A card's own
//! electronics may lose what they called written: that is why it is read back, and it is all a program can do.

use crate::fault::told;
use crate::master::{AT_A_TIME, open_master};
use crate::paths::{RECORD, half_of, on_card, sync_folder};
use crate::record::{NewFile, Record};
use crate::settle::{carry_out, settle};
use crate::{CardFault, Deed, Turn, Watch};
use firmware::{Digest, OnCard, Summing, digest_of};
use std::fs::{self, File, OpenOptions};
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

/// What shall lie on a card.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Load {
    /// The master copy of the image.
    pub master: PathBuf,
    /// Its digest.
    pub digest: Digest,
    /// Where it goes, step by step from the top of the card, the file name last.
    pub path: Vec<String>,
    /// Names and texts of files that stay beside it.
    pub keep: Vec<(String, String)>,
    /// Images of other turns that must not lie there, by their steps.
    pub away: Vec<Vec<String>>,
}

/// Writes it; gives what lies on the card, as read back.
pub fn put(card: &Path, load: &Load, watch: &mut dyn Watch) -> Result<Vec<OnCard>, CardFault> {
    settle(card)?;
    let target = on_card(card, &load.path)?;
    let away = load.away.iter().filter(|steps| **steps != load.path).cloned().collect::<Vec<_>>();
    for steps in &away {
        on_card(card, steps)?;
    }
    let mut half_written = Vec::new();
    let prepared = prepare(card, load, &target, &mut half_written, watch);
    match prepared {
        Ok(files) => {
            let gone = away;
            carry_out(card, &Record { files: files.clone(), gone }, watch)?;
            let lies = |file: NewFile| OnCard { file: file.steps.join("/"), digest: file.digest };
            Ok(files.into_iter().map(lies).collect())
        }
        Err(fault) => {
            // What stays behind is no image under any name an installer knows, and the next writing clears it away.
            half_written.iter().for_each(|half| drop(fs::remove_file(half)));
            Err(fault)
        }
    }
}

fn prepare(
    card: &Path,
    load: &Load,
    target: &Path,
    half_written: &mut Vec<PathBuf>,
    watch: &mut dyn Watch,
) -> Result<Vec<NewFile>, CardFault> {
    let folder = target.parent().unwrap_or(card);
    fs::create_dir_all(folder).map_err(|source| told(card, folder, "make the folder", source))?;
    // A new folder is a name in the one above it: without this the power could take it with all that is in it.
    for above in folder.ancestors().take_while(|above| above.starts_with(card)) {
        sync_folder(card, above)?;
    }
    let mut files = Vec::new();
    for (name, text) in &load.keep {
        let mut steps = load.path.clone();
        steps.pop();
        steps.push(name.clone());
        let half = half_of(&on_card(card, &steps)?);
        half_written.push(half.clone());
        ask(watch, &Deed::Begin { name: name.clone() }, card, &half)?;
        let mut file = create(card, &half)?;
        file.write_all(text.as_bytes())
            .and_then(|()| file.sync_all())
            .map_err(|source| told(card, &half, "write it", source))?;
        files.push(NewFile { steps, digest: digest_of(text.as_bytes()) });
    }
    let half = half_of(target);
    half_written.push(half.clone());
    let size = copy(card, load, &half, watch)?;
    compare(card, load, &half, size, watch)?;
    ask(watch, &Deed::Sync, card, folder)?;
    sync_folder(card, folder)?;
    // Last in the list is last to get its name: an installer that waits for its marker finds it beside a whole image.
    files.push(NewFile { steps: load.path.clone(), digest: load.digest });
    let record = Record {
        files: files.clone(),
        gone: load.away.iter().filter(|steps| **steps != load.path).cloned().collect(),
    };
    half_written.push(half_of(&card.join(RECORD)));
    record.prepare(card)?;
    ask(watch, &Deed::Commit, card, card)?;
    Record::commit(card)?;
    half_written.clear();
    Ok(files)
}

/// Makes a file that was not there; one left from an earlier try was cleared away before, and a link is never followed.
fn create(card: &Path, half: &Path) -> Result<File, CardFault> {
    if half.is_dir() {
        return Err(CardFault::FolderInTheWay { path: half.to_owned() });
    }
    OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(half)
        .map_err(|source| told(card, half, "begin a file", source))
}

fn copy(card: &Path, load: &Load, half: &Path, watch: &mut dyn Watch) -> Result<u64, CardFault> {
    let (mut master, size) = open_master(&load.master)?;
    let name = load.path.last().cloned().unwrap_or_default();
    ask(watch, &Deed::Begin { name }, card, half)?;
    let mut file = create(card, half)?;
    let mut buffer = vec![0; AT_A_TIME];
    let (mut summing, mut done) = (Summing::default(), 0);
    loop {
        let read = master.read(&mut buffer).map_err(|source| CardFault::Disk {
            path: load.master.clone(),
            doing: "read it",
            source,
        })?;
        if read == 0 {
            break;
        }
        ask(watch, &Deed::Write { done, of: size }, card, half)?;
        summing.put(&buffer[..read]);
        file.write_all(&buffer[..read]).map_err(|source| told(card, half, "write it", source))?;
        done += read as u64;
    }
    let found = summing.digest();
    if found != load.digest {
        return Err(CardFault::OtherMaster { path: load.master.clone(), wanted: load.digest, found });
    }
    ask(watch, &Deed::Sync, card, half)?;
    file.sync_all().map_err(|source| told(card, half, "force it onto the card", source))?;
    forget(&file);
    Ok(done)
}

/// Asks the system to read from the card itself next time, not from its memory.
fn forget(file: &File) {
    #[cfg(target_os = "linux")]
    {
        // A system that will not do it reads from memory, and the comparison is weaker for it.
        let _ = rustix::fs::fadvise(file, 0, None, rustix::fs::Advice::DontNeed);
    }
    #[cfg(not(target_os = "linux"))]
    let _ = file;
}

fn compare(card: &Path, load: &Load, half: &Path, size: u64, watch: &mut dyn Watch) -> Result<(), CardFault> {
    let (mut master, _) = open_master(&load.master)?;
    let mut copy = File::open(half).map_err(|source| told(card, half, "read it back", source))?;
    let (mut ours, mut theirs) = (vec![0; AT_A_TIME], vec![0; AT_A_TIME]);
    let (mut summing, mut done) = (Summing::default(), 0_u64);
    loop {
        ask(watch, &Deed::ReadBack { done, of: size }, card, half)?;
        let read = fill(&mut copy, &mut ours).map_err(|source| told(card, half, "read it back", source))?;
        let wanted = fill(&mut master, &mut theirs).map_err(|source| CardFault::Disk {
            path: load.master.clone(),
            doing: "read it",
            source,
        })?;
        let same = ours[..read].iter().zip(&theirs[..wanted]).take_while(|(a, b)| a == b).count();
        if same < read.max(wanted) {
            return Err(CardFault::Differs { path: half.to_owned(), byte: done + same as u64 });
        }
        summing.put(&ours[..read]);
        done += read as u64;
        if read == 0 {
            break;
        }
    }
    match summing.digest() {
        found if found == load.digest => Ok(()),
        found => Err(CardFault::OtherMaster { path: load.master.clone(), wanted: load.digest, found }),
    }
}

fn fill(file: &mut File, buffer: &mut [u8]) -> std::io::Result<usize> {
    let mut done = 0;
    while done < buffer.len() {
        match file.read(&mut buffer[done..])? {
            0 => break,
            read => done += read,
        }
    }
    Ok(done)
}

pub(crate) fn ask(watch: &mut dyn Watch, deed: &Deed, card: &Path, path: &Path) -> Result<(), CardFault> {
    match watch.before(deed) {
        Turn::GoOn => Ok(()),
        Turn::Stop => Err(CardFault::Stopped),
        Turn::Fail(source) => Err(told(card, path, "go on", source)),
    }
}
