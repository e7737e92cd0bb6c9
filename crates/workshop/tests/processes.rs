//! Two programs and one workshop: what is killed loses nothing it acknowledged, and who comes second is told.
//!
//! The editor below is this very test program started again, with the workshop to edit in an environment
//! variable. It edits, undoes and redoes without end, and says each journal line once the call that wrote it
//! has returned. The parent reads some lines, lets a pseudo-random moment pass, kills it as the system
//! kills (`SIGKILL` on Unix), opens the file and holds it against its own account of what was said.
//! What a killed process cannot show is a power cut; against that, every commit is synced to disk.
#![allow(clippy::unwrap_used)]

use craft::{Anchor, Craft, CraftId, Edit, Part, PartId, Place, PlaceId, Value, schema::PartKind};
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::sync::{Mutex, PoisonError};
use workshop::{JournalKind, Moment, Workshop, WorkshopFault};

const KILLS: u32 = 200;

/// Held by each test that opens a workshop or starts a process. A process started by one test has for a moment,
/// between fork and exec, a copy of every file the others have open, their locks included; a hold that one of
/// them has just let go would then still be seen.
static ONE_AT_A_TIME: Mutex<()> = Mutex::new(());

const EDITED: &str = "WORKSHOP_TO_EDIT";

fn wren() -> CraftId {
    CraftId::new("wren").unwrap()
}

fn make(path: &Path) {
    let mut craft = Craft::new(wren(), "Wren");
    let frame = PartId::new("frame").unwrap();
    craft.parts.push(Part::new(frame.clone(), PartKind::Frame, "Frame"));
    craft.places.push(Place::new(PlaceId::new("frame").unwrap(), frame, Anchor::Body));
    let mut shop = Workshop::create(path).unwrap().workshop;
    shop.import(&craft, "", Moment::from_unix_seconds(1)).unwrap();
}

/// Where the frame stands, in mm; nought at first.
fn height(craft: &Craft) -> f64 {
    match craft.place(&PlaceId::new("frame").unwrap()).unwrap().values.get("z") {
        Some(Value::Fact(fact)) => fact.quantity.value,
        _ => 0.0,
    }
}

/// Makes one change after another and says each once it is saved.
fn edit_on(path: &Path, most: u64, out: &mut impl Write) {
    let mut shop = Workshop::open(path).unwrap().workshop;
    for _ in 0..most {
        let seq = shop.last_seq().unwrap();
        let at = Moment::from_unix_seconds(seq);
        let craft = match seq % 7 {
            3 if shop.can_undo(&wren()).unwrap().is_some() => shop.undo(&wren(), at).unwrap(),
            4 if shop.can_redo(&wren()).unwrap().is_some() => shop.redo(&wren(), at).unwrap().unwrap(),
            _ => {
                let place = PlaceId::new("frame").unwrap();
                // Never the height it has, or nothing would change.
                let z = Some((seq % 1999) as f64 + 1.0);
                let edit =
                    Edit::MovePlace { place, how: Default::default(), x: None, y: None, z, basis: None };
                shop.edit(&wren(), &edit, at).unwrap()
            }
        };
        writeln!(out, "\nsaved {} {}", shop.last_seq().unwrap(), height(&craft)).unwrap();
        out.flush().unwrap();
    }
}

/// With the variable set, this is the editor that runs until it is killed.
#[test]
fn the_editor_says_what_it_saved() {
    let _alone = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(path) = std::env::var_os(EDITED) {
        edit_on(Path::new(&path), u64::MAX, &mut std::io::stdout());
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("garage");
    make(&path);
    let mut said = Vec::new();
    edit_on(&path, 9, &mut said);
    let said: Vec<(i64, f64)> = String::from_utf8(said).unwrap().lines().filter_map(saved).collect();
    let mut account = Account::default();
    account.follow(&Workshop::open(&path).unwrap().workshop);
    assert_eq!(said, account.heights[1..]);
    assert_eq!(said.len(), 9);
}

fn saved(line: &str) -> Option<(i64, f64)> {
    let (seq, height) = line.strip_prefix("saved ")?.split_once(' ')?;
    Some((seq.parse().ok()?, height.parse().ok()?))
}

/// What the journal says happened, told without the store's own undo.
#[derive(Default)]
struct Account {
    /// After each line, where the frame must stand.
    heights: Vec<(i64, f64)>,
    done: Vec<f64>,
    undone: Vec<f64>,
}

impl Account {
    /// Reads the lines that came since, and holds the craft against the last.
    fn follow(&mut self, shop: &Workshop) {
        let known = self.heights.len();
        let total = usize::try_from(shop.last_seq().unwrap()).unwrap();
        let new = u32::try_from(total - known).unwrap();
        for line in shop.journal(None, new).unwrap().into_iter().rev() {
            let edit = line.edit.as_deref().map(|json| serde_json::from_str::<Edit>(json).unwrap());
            match (line.kind, edit) {
                (JournalKind::Edited, Some(Edit::MovePlace { z: Some(z), .. })) => {
                    self.done.push(z);
                    self.undone.clear();
                }
                (JournalKind::Undone, _) => self.undone.extend(self.done.pop()),
                (JournalKind::Redone, _) => self.done.extend(self.undone.pop()),
                _ => {}
            }
            self.heights.push((line.seq, self.done.last().copied().unwrap_or(0.0)));
        }
        assert_eq!(self.heights.len(), total);
        let last = self.heights.last().map(|(_, height)| *height);
        assert_eq!(Some(height(&shop.craft(&wren()).unwrap())), last);
    }
}

fn start_editor(path: &Path) -> (Child, impl Iterator<Item = (i64, f64)> + use<>) {
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "the_editor_says_what_it_saved", "--nocapture"])
        .env(EDITED, path)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let said: ChildStdout = child.stdout.take().unwrap();
    (child, BufReader::new(said).lines().map_while(Result::ok).filter_map(|line| saved(&line)))
}

/// Numbers without order that are the same on every run (a linear congruence with Knuth's MMIX constants).
struct Dice(u64);

impl Dice {
    fn below(&mut self, most: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % most
    }
}

#[test]
fn killed_at_any_moment_it_loses_nothing_it_acknowledged() {
    let _alone = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("garage");
    make(&path);
    let mut dice = Dice(2031);
    let mut account = Account::default();
    account.follow(&Workshop::open(&path).unwrap().workshop);
    let (mut acknowledged, mut kept_unsaid) = (0_u64, 0_u64);
    for kill in 0..KILLS {
        let (mut editor, mut said) = start_editor(&path);
        let before = account.heights.len();
        // One in eight is killed while it opens the file; the others after some lines.
        let lines = if kill % 8 == 0 { 0 } else { 1 + dice.below(6) };
        let mut heard: Vec<(i64, f64)> = said.by_ref().take(lines as usize).collect();
        assert_eq!(heard.len() as u64, lines, "the editor ended by itself at kill {kill}");
        let wait = dice.below(if lines == 0 { 60_000 } else { 2_000 });
        (0..wait).for_each(|_| std::thread::yield_now());
        editor.kill().unwrap();
        editor.wait().unwrap();
        heard.extend(said);

        let shop =
            Workshop::open(&path).unwrap_or_else(|fault| panic!("after kill {kill}: {fault}")).workshop;
        account.follow(&shop);
        let kept = &account.heights[before..];
        assert!(kept.len() >= heard.len(), "kill {kill}: {} lines said, {} kept", heard.len(), kept.len());
        assert_eq!(&kept[..heard.len()], heard, "kill {kill}");
        assert!(kept.len() <= heard.len() + 1, "at most the one in hand was not said yet");
        acknowledged += heard.len() as u64;
        kept_unsaid += (kept.len() - heard.len()) as u64;
    }
    assert!(
        acknowledged > u64::from(KILLS),
        "{acknowledged} edits acknowledged are too few to show anything"
    );
    println!(
        "{KILLS} kills, {acknowledged} edits acknowledged, none lost; {kept_unsaid} kept that were not said yet"
    );
}

#[test]
fn a_second_program_is_told_reads_on_and_may_write_after_a_crash() {
    let _alone = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("garage");
    make(&path);
    let (mut editor, mut said) = start_editor(&path);
    let (first, _) = said.next().unwrap();

    let fault = Workshop::open(&path).map(|_| ()).unwrap_err();
    let WorkshopFault::InUse { by, .. } = &fault else { panic!("{fault}") };
    assert_eq!(by.process, Some(editor.id()));
    assert!(
        fault.to_string().contains(&format!("is held by process {}; use that one", editor.id())),
        "{fault}"
    );

    let reader = Workshop::open_read_only(&path).unwrap();
    let seen = reader.last_seq().unwrap();
    assert!(seen >= first);
    let (later, _) = said.by_ref().find(|(seq, _)| *seq > seen).unwrap();
    assert!(reader.last_seq().unwrap() >= later, "a reader sees what is saved meanwhile");
    reader.backup(folder.path().join("copy")).unwrap();
    assert!(Workshop::open_read_only(folder.path().join("copy")).unwrap().last_seq().unwrap() >= later);

    editor.kill().unwrap();
    editor.wait().unwrap();
    drop(reader);
    assert!(Workshop::open(&path).is_ok(), "the hold ends with the program that had it");
}
