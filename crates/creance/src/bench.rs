//! The open workshop with the proofs of its craft: what the server's handlers call.
//!
//! Each call is one store call and what the page needs to see of it. The clock is read here, since the
//! store reads none.

use crate::at_hand::{Shelf, at_hand};
use crate::judged::{Judged, Proofs};
use crate::part_drawer::users;
use crate::refusal::{Cause, Refusal};
use crate::tilt_tried::TiltTried;
use crate::wire::bench::{BenchView, SizeView};
use crate::wire::fleet::{BackupView, FleetCraft, FleetView, JournalLine};
use crate::{demo, demo_records, intake, next_step};
use craft::{Craft, CraftClass, CraftId, Edit, Part, PartId};
use drawing::print::{PrintKind, Wanted, print_for};
use proof::{History, OutlineStore, PartAtHand};
use std::sync::Arc;
use std::time::{SystemTime, UNIX_EPOCH};
use workshop::{CraftCard, Keep, Keepable, Kept, KeptLine, Moment, Workshop};

/// The open workshop with the proofs of its craft.
pub struct Bench {
    shop: Workshop,
    proofs: Proofs,
    /// What all craft have been through, with the line of the trail and the hour it was read at.
    history: Option<(i64, i64, Arc<History>)>,
}

/// Journal lines a page gets at most.
const JOURNAL_LINES_MAX: u32 = 500;

/// What is asked of a lens that is tried at another tilt.
const RULES_OF_A_LENS: [&str; 2] = ["view.blades_in_picture", "fit.pair_clearance"];

/// Now, as journal lines say it.
pub fn now() -> Moment {
    let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    Moment::from_unix_seconds(i64::try_from(since.as_secs()).unwrap_or(i64::MAX))
}

impl Bench {
    /// A bench over an open workshop.
    pub fn new(shop: Workshop) -> Self {
        Self { shop, proofs: Proofs::default(), history: None }
    }

    /// The workshop, for reading.
    pub(crate) fn shop(&self) -> &Workshop {
        &self.shop
    }

    /// The workshop, for writing.
    pub(crate) fn shop_mut(&mut self) -> &mut Workshop {
        &mut self.shop
    }

    /// Says where the pages are, for whoever finds the workshop in use.
    pub fn announce(&self, address: &str) -> Result<(), Refusal> {
        Ok(self.shop.announce(address)?)
    }

    /// What all craft have been through, read again only after something was changed or an hour has gone.
    pub fn history(&mut self) -> Result<Arc<History>, Refusal> {
        let (line, hour) = (self.shop.last_seq()?, now().unix_seconds() / 3600);
        if let Some((at, when, history)) = &self.history
            && (*at, *when) == (line, hour)
        {
            return Ok(Arc::clone(history));
        }
        let history = Arc::new(history_of(&self.shop, hour * 3600)?);
        self.history = Some((line, hour, Arc::clone(&history)));
        Ok(history)
    }

    /// Everything in a drawer of the store.
    pub fn kept<T: Keepable>(&self) -> Result<Vec<Kept<T>>, Refusal> {
        Ok(self.shop.kept::<T>()?)
    }

    /// Keeps several things as one step.
    pub fn keep(&mut self, what: &str, changes: &[Keep]) -> Result<KeptLine, Refusal> {
        Ok(self.shop.keep(what, changes, now())?)
    }

    /// Takes back what a line of the trail kept.
    pub fn taken_back(&mut self, line: i64) -> Result<(), Refusal> {
        Ok(self.shop.take_back(line, now())?)
    }

    /// Every craft by name.
    pub fn cards(&self) -> Result<Vec<CraftCard>, Refusal> {
        Ok(self.shop.list_craft()?)
    }

    /// A craft as it stands.
    pub fn craft_of(&self, id: &CraftId) -> Result<Craft, Refusal> {
        Ok(self.shop.craft(id)?)
    }

    /// Every craft at a glance.
    pub fn fleet(&mut self) -> Result<FleetView, Refusal> {
        let mut craft = Vec::new();
        let shelf = Shelf::of(&self.shop)?;
        let history = self.history()?;
        for card in self.shop.list_craft()? {
            let bare = self.proofs.of(self.shop.craft(&card.id)?, shelf.for_craft(&card.id));
            let judged = self.proofs.told(bare, &history);
            craft.push(FleetCraft::new(&judged, card.demo).with_versions(&history));
        }
        craft.sort_by_key(|craft| craft.demo);
        let workshop = self.shop.path().file_name().unwrap_or_default().to_string_lossy().into_owned();
        Ok(FleetView { craft, demo_loaded: self.shop.has_demo()?, workshop })
    }

    /// One craft with its proof.
    pub fn view(&mut self, id: &CraftId) -> Result<BenchView, Refusal> {
        let craft = self.shop.craft(id)?;
        self.view_of(craft)
    }

    /// How much there is to prove of a craft.
    pub fn size(&self, id: &CraftId) -> Result<SizeView, Refusal> {
        Ok(SizeView::from(&self.shop.craft(id)?))
    }

    fn view_of(&mut self, craft: Craft) -> Result<BenchView, Refusal> {
        let beyond = at_hand(&self.shop, &craft)?;
        let history = self.history()?;
        let bare = self.proofs.of(craft, beyond);
        let judged = self.proofs.told(bare, &history);
        let id = &judged.craft.id;
        let mut view = BenchView::new(&judged, self.shop.is_demo(id)?);
        view.revision = u32::try_from(self.shop.last_seq()?).unwrap_or(u32::MAX);
        view.undo = self.shop.can_undo(id)?;
        view.redo = self.shop.can_redo(id)?;
        let names = self.shop.list_craft()?;
        let stored = self.shop.parts()?;
        for part in &mut view.parts {
            if let Some(stored) = stored.iter().find(|stored| stored.part.id.as_str() == part.id) {
                part.used_by = users(stored, &names);
                part.demo = stored.demo;
            }
        }
        if !view.craft.demo {
            view.next_step = next_step::next_step(&judged.craft, &judged.proved).map(Into::into);
        }
        Ok(view)
    }

    /// A craft with its proof, for drawing.
    pub fn judged(&mut self, id: &CraftId) -> Result<Arc<Judged>, Refusal> {
        let craft = self.shop.craft(id)?;
        let beyond = at_hand(&self.shop, &craft)?;
        let history = self.history()?;
        let bare = self.proofs.of(craft, beyond);
        Ok(self.proofs.told(bare, &history))
    }

    /// The outlines cut so far, for another proof of a craft.
    pub fn outlines(&self) -> Arc<OutlineStore> {
        self.proofs.outlines()
    }

    /// The same with a camera tilted otherwise, which is only tried: the first camera that carries a lens when none is
    /// named.
    pub fn judged_tilted(&mut self, id: &CraftId, tried: &TiltTried) -> Result<Arc<Judged>, Refusal> {
        self.tilted(id, tried, Proofs::tried)
    }

    /// The same judged by what is asked of a lens alone: quick enough for a slider.
    pub fn seen_tilted(&mut self, id: &CraftId, tried: &TiltTried) -> Result<Arc<Judged>, Refusal> {
        self.tilted(id, tried, |proofs, craft, beyond| proofs.tried_by(craft, beyond, &RULES_OF_A_LENS))
    }

    /// A craft with a camera tilted otherwise, judged so; as it is where no tilt is tried.
    fn tilted(
        &mut self,
        id: &CraftId,
        tried: &TiltTried,
        judge: impl FnOnce(&Proofs, Craft, &[PartAtHand]) -> Judged,
    ) -> Result<Arc<Judged>, Refusal> {
        let Some(tilt) = tried.tilt else { return self.judged(id) };
        let tilted = tried.craft(&self.shop.craft(id)?, tilt)?;
        let beyond = at_hand(&self.shop, &tilted)?;
        Ok(Arc::new(judge(&self.proofs, tilted, &beyond)))
    }

    /// A craft as it is, or with a camera tilted otherwise, and all that a picture over the course is made from: the lenses
    /// that lie ready, and the outlines cut before.
    pub fn for_course(
        &mut self,
        id: &CraftId,
        tried: &TiltTried,
    ) -> Result<(Craft, Vec<Part>, Arc<OutlineStore>), Refusal> {
        let mut craft = self.shop.craft(id)?;
        if let Some(tilt) = tried.tilt {
            craft = tried.craft(&craft, tilt)?;
        }
        Ok((craft, self.lens_drawer(id)?, self.proofs.outlines()))
    }

    /// Every lens of the store that is at hand for a craft.
    pub fn lens_drawer(&self, id: &CraftId) -> Result<Vec<Part>, Refusal> {
        Ok(Shelf::of(&self.shop)?.for_craft(id).into_iter().map(|other| other.part).collect())
    }

    /// Begins a craft.
    pub fn new_craft(&mut self, name: &str, class: Option<&str>) -> Result<CraftId, Refusal> {
        let class = class.filter(|word| !word.is_empty()).map(class_of).transpose()?;
        Ok(self.shop.new_craft(named("craft", name)?, class, now())?.id)
    }

    /// Copies a craft.
    pub fn duplicate(&mut self, id: &CraftId, name: &str) -> Result<CraftId, Refusal> {
        Ok(self.shop.duplicate_craft(id, named("craft", name)?, now())?.id)
    }

    /// Removes a craft; undo brings it back.
    pub fn remove(&mut self, id: &CraftId) -> Result<(), Refusal> {
        Ok(self.shop.remove_craft(id, now())?)
    }

    /// Changes a craft and gives it as it then stands. A part of the store that the edit puts somewhere, and
    /// that the craft does not have yet, is brought in first.
    pub fn edit(&mut self, id: &CraftId, edit: &Edit) -> Result<BenchView, Refusal> {
        let brought = self.brought_in(id, edit)?;
        let edited = self.shop.edit(id, brought.as_ref().unwrap_or(edit), now());
        if edited.is_err() && brought.is_some() {
            self.shop.undo(id, now())?;
        }
        self.view_of(edited?)
    }

    /// Puts a print into a craft, with what it holds seated on it, as one step.
    pub fn take_print(
        &mut self,
        id: &CraftId,
        kind: PrintKind,
        wanted: &Wanted,
    ) -> Result<BenchView, Refusal> {
        let printed = print_for(&self.shop.craft(id)?, kind, wanted)?;
        self.edit(id, &printed.step)
    }

    /// A craft as it stands, with the outlines cut for its proof: what a search for placements starts from.
    pub fn for_search(&mut self, id: &CraftId) -> Result<(Craft, Arc<OutlineStore>), Refusal> {
        Ok((self.shop.craft(id)?, self.proofs.outlines()))
    }

    /// Takes a placement as one step, if the craft still stands as it was searched.
    pub fn take_placement(&mut self, searched: &Craft, step: &Edit) -> Result<BenchView, Refusal> {
        if self.shop.craft(&searched.id)? != *searched {
            let words = "the craft was changed since it was searched; what was found may not hold any more";
            return Err(Refusal::new(Cause::Clash, words).hint("Search again."));
        }
        self.edit(&searched.id, step)
    }

    /// The edit with the id that a part of the store has in the craft, once it was brought in.
    fn brought_in(&mut self, id: &CraftId, edit: &Edit) -> Result<Option<Edit>, Refusal> {
        let Some(wanted) = part_put_somewhere(edit) else { return Ok(None) };
        let before = self.shop.craft(id)?;
        if before.part(&wanted).is_some() {
            return Ok(None);
        }
        // A part that is nowhere is left to the edit itself, which says so in its own words.
        let Ok(stored) = self.shop.part(&wanted) else { return Ok(None) };
        let after = self.shop.edit(id, &Edit::AddPartWhole { part: stored.part }, now())?;
        let came = after.parts.into_iter().find(|part| before.part(&part.id).is_none());
        Ok(came.map(|part| putting(edit, part.id)))
    }

    /// Takes the last change back.
    pub fn undo(&mut self, id: &CraftId) -> Result<BenchView, Refusal> {
        let craft = self.shop.undo(id, now())?;
        self.view_of(craft)
    }

    /// Makes the change again that was last taken back.
    pub fn redo(&mut self, id: &CraftId) -> Result<BenchView, Refusal> {
        match self.shop.redo(id, now())? {
            Some(craft) => self.view_of(craft),
            None => Err(Refusal::new(Cause::NoSuch, format!("craft {:?} is removed again", id.as_str()))),
        }
    }

    /// What happened to a craft, the latest first.
    pub fn journal(&self, id: &CraftId) -> Result<Vec<JournalLine>, Refusal> {
        let lines = self.shop.journal(Some(id), JOURNAL_LINES_MAX)?;
        if lines.is_empty() {
            self.shop.craft(id)?;
        }
        Ok(lines.iter().map(JournalLine::from).collect())
    }

    /// A craft as a sheet, with the comments of the sheet it came from.
    pub fn sheet(&self, id: &CraftId) -> Result<String, Refusal> {
        let (craft, old) = self.shop.craft_and_sheet(id)?;
        Ok(intake::sheet_of(&craft, old.as_deref()))
    }

    /// Takes a craft in from the text of a sheet.
    pub fn import(&mut self, text: &str) -> Result<CraftId, Refusal> {
        let craft = intake::whole(craft::read_sheet(text), "the sheet")?;
        Ok(self.shop.import(&craft, text, now())?.craft)
    }

    /// Puts the demo in.
    pub fn load_demo(&mut self) -> Result<FleetView, Refusal> {
        self.shop.load_demo(&demo::craft()?, &demo_records::beside(), now())?;
        self.fleet()
    }

    /// Whether anything of the demo is there.
    pub fn has_demo(&self) -> Result<bool, Refusal> {
        Ok(self.shop.has_demo()?)
    }

    /// Takes the demo out.
    pub fn remove_demo(&mut self) -> Result<FleetView, Refusal> {
        self.shop.remove_demo(now())?;
        self.fleet()
    }

    /// Writes a backup beside the workshop, under a name of its own or the given one.
    pub fn backup(&self, name: Option<&str>) -> Result<BackupView, Refusal> {
        let to = match name.map(str::trim).filter(|name| !name.is_empty()) {
            Some(name) => self.shop.path().with_file_name(plain_file_name(name)?),
            None => self.shop.backup_name(now()),
        };
        self.shop.backup(&to)?;
        Ok(BackupView { path: to.display().to_string() })
    }
}

/// What all craft of a workshop have been through, as of a second.
pub fn history_of(shop: &Workshop, now: i64) -> Result<History, Refusal> {
    fn things<T: Keepable>(shop: &Workshop) -> Result<Vec<T>, Refusal> {
        Ok(shop.kept::<T>()?.into_iter().map(|kept| kept.thing).collect())
    }
    // What was taken back stays in the journal and counts for nothing.
    let mut entries: Vec<care::Entry> = things(shop)?;
    entries.retain(care::Entry::stands);
    Ok(History {
        now,
        entries,
        counters: things(shop)?,
        units: things(shop)?,
        images: things(shop)?,
        sets: things(shop)?,
        recipes: things(shop)?,
        batches: things(shop)?,
    })
}

/// The part that an edit puts somewhere.
fn part_put_somewhere(edit: &Edit) -> Option<PartId> {
    match edit {
        Edit::AddPlace { part, .. } | Edit::SwapPart { with: part, .. } => Some(part.clone()),
        Edit::SetPlace { key, text: Some(text), .. } if key == "part" => PartId::new(text.trim()).ok(),
        _ => None,
    }
}

/// The same edit, putting this part.
fn putting(edit: &Edit, id: PartId) -> Edit {
    let mut edit = edit.clone();
    match &mut edit {
        Edit::AddPlace { part, .. } | Edit::SwapPart { with: part, .. } => *part = id,
        Edit::SetPlace { text, .. } => *text = Some(id.into()),
        _ => {}
    }
    edit
}

fn class_of(word: &str) -> Result<CraftClass, Refusal> {
    let words = CraftClass::ALL.iter().map(|class| class.word());
    CraftClass::from_word(word).ok_or_else(|| unknown_word("class", word, words))
}

pub(crate) fn unknown_word(
    what: &str,
    word: &str,
    known: impl Iterator<Item = &'static str> + Clone,
) -> Refusal {
    let refusal = Refusal::new(Cause::Unfit, format!("there is no {what} {word:?}"));
    match quantity::near_name(word, known.clone()) {
        Some(near) => refusal.hint(format!("Did you mean {near:?}?")),
        None => refusal.hint(format!("Choose one of {}.", known.collect::<Vec<_>>().join(", "))),
    }
}

/// Letters a name may have.
const NAME_LETTERS_MAX: usize = 80;

pub(crate) fn named<'a>(what: &str, name: &'a str) -> Result<&'a str, Refusal> {
    let name = name.trim();
    let letters = name.chars().count();
    if letters == 0 {
        return Err(Refusal::new(Cause::Unfit, format!("a {what} needs a name of at least one letter")));
    }
    if letters > NAME_LETTERS_MAX {
        let words =
            format!("a name may have at most {NAME_LETTERS_MAX} letters on one line, this one has {letters}");
        return Err(Refusal::new(Cause::Unfit, words));
    }
    if let Some(sign) = name.chars().find(|sign| craft::is_unseen(*sign)) {
        let words =
            format!("a name is one line of letters to be seen; take out the sign U+{:04X}", u32::from(sign));
        return Err(Refusal::new(Cause::Unfit, words));
    }
    Ok(name)
}

fn plain_file_name(name: &str) -> Result<&str, Refusal> {
    let plain = !name.starts_with('.') && !name.contains(['/', '\\', ':', '\0']) && name.len() <= 200;
    plain.then_some(name).ok_or_else(|| {
        Refusal::new(Cause::Unfit, format!("{name:?} is no plain file name"))
            .hint("Give a name without folders; the backup is written beside the workshop.")
    })
}
