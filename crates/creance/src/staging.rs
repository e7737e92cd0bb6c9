//! Staging a batch: it is planned, its cards are written, and each unit reports.
//!
//! Writing takes long and holds no lock of the bench: what [`Bench::to_write`] gives is written by whoever called, and
//! [`Bench::card_written`] keeps what came of it.

use crate::bench::{Bench, now};
use crate::card_now::Held;
use crate::loading::{filled, version, whole_path};
use crate::refusal::{Cause, Refusal};
use crate::wire::journal::KeptView;
use crate::wire::load::{GoOnSent, LoadStep, PlanSent, PlanView, ReportSent};
use cards::{Load, look, read_back, settle};
use care::{Entry, EntryKind};
use firmware::{
    Asked, Batch, Cards, Crossing, Digest, Image, MatchingSet, Next, OnCard, Plan, Recipe, Refused,
    StepState, Supply, Unit, barriers, crossing, plan,
};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use workshop::{Drawer, Keep, Kept};

/// What a pack can have left, in Wh.
const ENERGY_LEAST: f64 = 0.1;
const ENERGY_MOST: f64 = 1000.0;

impl Bench {
    /// Plans a batch without beginning it.
    pub fn plan_view(&self, sent: &PlanSent) -> Result<PlanView, Refusal> {
        Ok(match self.planned(sent)? {
            (Ok(plan), _, _) => PlanView {
                steps: plan.steps.iter().map(|step| LoadStep::new(step, &StepState::Waiting)).collect(),
                mind: plan.mind,
                against: Vec::new(),
                wants_yes: Vec::new(),
            },
            (Err(against), _, _) => PlanView {
                steps: Vec::new(),
                mind: Vec::new(),
                wants_yes: against.iter().filter_map(wants_yes).collect(),
                against: against.iter().map(ToString::to_string).collect(),
            },
        })
    }

    /// Begins a batch; refused with all its reasons.
    pub fn begin_batch(&mut self, sent: &PlanSent) -> Result<KeptView, Refusal> {
        let (plan, cards, supply) = self.planned(sent)?;
        let plan = plan.map_err(|against| {
            let told: Vec<String> = against.iter().map(ToString::to_string).collect();
            Refusal::new(Cause::Unfit, told.join("; ")).hint("Nothing was begun and nothing was written.")
        })?;
        let name = if sent.name.trim().is_empty() { "batch" } else { sent.name.trim() };
        let batch = Batch::new(name, now().unix_seconds(), plan, cards, supply);
        let units = batch.plan.steps.len();
        let what = format!("Begin batch {name}: {units} unit{}", if units == 1 { "" } else { "s" });
        Ok(self.keep(&what, &[Keep::Batch(None, batch)])?.into())
    }

    #[allow(clippy::type_complexity)] // The plan with what it was made from, used twice above.
    fn planned(&self, sent: &PlanSent) -> Result<(Result<Plan, Vec<Refused>>, Cards, Supply), Refusal> {
        fn things<T>(kept: Vec<Kept<T>>) -> Vec<T> {
            kept.into_iter().map(|kept| kept.thing).collect()
        }
        let (units, images, recipes) =
            (things(self.kept::<Unit>()?), things(self.kept::<Image>()?), things(self.kept::<Recipe>()?));
        let sets = things(self.kept::<MatchingSet>()?);
        let mut chosen = BTreeMap::new();
        for one in &sent.units {
            let digest =
                Digest::read(&one.digest).map_err(|fault| Refusal::new(Cause::Misread, fault.to_string()))?;
            chosen.insert(one.unit.clone(), digest);
        }
        if sent.cards.is_empty() {
            return Err(Refusal::new(Cause::Misread, "no card is named")
                .hint("Name the folder under which the card appears."));
        }
        // A recipe whose folder leads out of the card is refused by the plan; here it is the top that is looked at.
        let steps = |recipe: &Recipe| -> Vec<String> {
            let folder = firmware::card_folder(&recipe.folder).unwrap_or_default();
            folder.into_iter().map(str::to_owned).collect()
        };
        let of_batch = |recipe: &&Recipe| {
            let wanted = |unit: &&Unit| sent.units.iter().any(|one| one.unit == unit.label);
            units.iter().filter(wanted).any(|unit| firmware::same_on_card(&unit.kind, &recipe.kind))
        };
        let folders: Vec<Vec<String>> = recipes.iter().filter(of_batch).map(steps).collect();
        let (mut seen, mut real) = (Vec::new(), Vec::new());
        for card in &sent.cards {
            let path = whole_path(card)?;
            seen.push(look(&path, &folders)?);
            let this = std::fs::canonicalize(&path).unwrap_or(path);
            if real.contains(&this) {
                let words = format!("card {card:?} is named twice, the second time perhaps through a link");
                return Err(Refusal::new(Cause::Misread, words).hint("Name each card once."));
            }
            if real.iter().any(|other: &PathBuf| this.starts_with(other) || other.starts_with(&this)) {
                let words = format!("card {card:?} lies in another card that is named, or holds it");
                return Err(Refusal::new(Cause::Misread, words).hint("Name each card by its topmost folder."));
            }
            real.push(this);
        }
        let cards =
            Cards { seen, yes: sent.yes.iter().map(|path| path.trim().to_owned()).collect(), in_turn: true };
        let supply = match sent.pack_watt_hours {
            Some(watt_hours) if !(ENERGY_LEAST..=ENERGY_MOST).contains(&watt_hours) => {
                let words =
                    format!("a pack with {watt_hours} Wh left must hold {ENERGY_LEAST} to {ENERGY_MOST} Wh");
                return Err(Refusal::new(Cause::Misread, words));
            }
            Some(watt_hours) => Supply::Pack { label: sent.pack.clone(), watt_hours },
            None => Supply::Bench,
        };
        let batch: Vec<String> = sent.units.iter().map(|one| one.unit.clone()).collect();
        let asked = Asked {
            batch: &batch,
            chosen: &chosen,
            units: &units,
            images: &images,
            sets: &sets,
            recipes: &recipes,
            cards: &cards,
            supply: &supply,
        };
        let mut in_use = self.cards_in_use(&cards.seen)?;
        in_use.extend(self.units_in_use(&batch)?);
        let planned = match plan(&asked) {
            Ok(plan) if in_use.is_empty() => Ok(plan),
            other => Err(other.err().into_iter().flatten().chain(in_use).collect()),
        };
        Ok((planned, cards, supply))
    }

    fn batch(&self, id: &str) -> Result<Batch, Refusal> {
        let found = self.kept::<Batch>()?.into_iter().find(|kept| kept.id == id);
        found
            .map(|kept| kept.thing)
            .ok_or_else(|| Refusal::new(Cause::NoSuch, format!("there is no batch {id:?}")))
    }

    /// The card to write next, and what goes on it. Everything is asked once more: a unit may have been described anew since.
    pub fn to_write(&self, id: &str) -> Result<(usize, PathBuf, Load), Refusal> {
        let batch = self.batch(id)?;
        let Next::Write(number, step) = batch.next() else {
            return Err(Refusal::new(Cause::Clash, format!("batch {id} has no card to write now"))
                .hint("Look at what it says comes next."));
        };
        let unit = self.unit(&step.unit)?;
        let image = self
            .kept::<Image>()?
            .into_iter()
            .find(|kept| kept.thing.digest == step.digest)
            .map(|kept| kept.thing);
        let (Some(unit), Some(image)) = (unit, image) else {
            return Err(Refusal::new(
                Cause::Clash,
                format!("unit {} or its image was taken out since the batch was planned", step.unit),
            )
            .hint("Plan the batch anew."));
        };
        // A unit that did not come back reports nothing; it gets the same image again, on the way it was planned.
        let silent = unit.version.is_none() && batch.again.contains(&number);
        if image.fit(&unit) != firmware::Fit::Fits || !(unit.version == step.from || silent) {
            let words = format!("unit {} is described otherwise since the batch was planned", step.unit);
            return Err(Refusal::new(Cause::Clash, words).hint("Plan the batch anew."));
        }
        // Asked anew: an image may have come in that may not be skipped.
        let images: Vec<Image> = self.kept::<Image>()?.into_iter().map(|kept| kept.thing).collect();
        let (label, to) = (unit.label.clone(), step.to.clone());
        let why = match (crossing(&barriers(&images, &unit.kind), step.from.as_ref(), &step.to), &step.from) {
            (Crossing::First(first), Some(from)) => {
                Some(Refused::StepSkipped { unit: label, from: from.clone(), first, to })
            }
            (Crossing::Back(barrier), Some(from)) => {
                Some(Refused::WayBack { unit: label, from: from.clone(), to, barrier })
            }
            (Crossing::FromUnknown(barrier), _) => Some(Refused::VersionUnread { unit: label, barrier }),
            _ => None,
        };
        if let Some(why) = why {
            return Err(Refusal::new(Cause::Clash, why.to_string()).hint("Plan the batch anew."));
        }
        let card = batch.cards.seen.get(step.card).map(|card| PathBuf::from(&card.path));
        let card = card.ok_or_else(|| Refusal::new(Cause::Clash, "the batch names no card"))?;
        self.fit_to_write(id, &batch, step)?;
        let others =
            batch.plan.steps.iter().filter(|other| other.path != step.path).map(|other| other.path.clone());
        let load = Load {
            master: PathBuf::from(&image.master),
            digest: step.digest,
            path: step.path.clone(),
            keep: step.keep.clone(),
            away: others.collect(),
        };
        Ok((number, card, load))
    }

    /// Keeps what was written.
    pub fn card_written(&mut self, id: &str, number: usize, lies: Vec<OnCard>) -> Result<KeptView, Refusal> {
        let mut batch = self.batch(id)?;
        if !batch.written(number, lies) {
            return Err(Refusal::new(
                Cause::Clash,
                format!("it is not the turn of step {} of batch {id}", number + 1),
            ));
        }
        let what = format!("Write the card for {}", batch.plan.steps[number].unit);
        Ok(self.keep(&what, &[Keep::Batch(Some(id.to_owned()), batch)])?.into())
    }

    /// Looks whether the card still carries what the next unit needs.
    pub fn look_again(&mut self, id: &str) -> Result<KeptView, Refusal> {
        let mut batch = self.batch(id)?;
        let step = match batch.next() {
            Next::Load(_, step) | Next::Write(_, step) | Next::Look(_, step) => step.clone(),
            Next::Done => return Err(Refusal::new(Cause::Clash, format!("batch {id} is done"))),
        };
        let path = batch.cards.seen.get(step.card).map(|seen| PathBuf::from(&seen.path)).unwrap_or_default();
        settle(&path)?;
        let was = batch.on_card.get(step.card).cloned().unwrap_or_default();
        let lies = read_back(&path, &was)?;
        let stray = self.strays_beside(&path, &step)?;
        batch.looked(step.card, &lies, stray);
        let what = format!("Look at the card of {}", batch.name);
        Ok(self.keep(&what, &[Keep::Batch(Some(id.to_owned()), batch)])?.into())
    }

    /// What a unit reports after its turn: batch, unit and journal in one step.
    pub fn reported(&mut self, id: &str, sent: &ReportSent) -> Result<KeptView, Refusal> {
        let mut batch = self.batch(id)?;
        let number = sent.step as usize;
        let reads = filled(sent.version.as_deref()).map(version).transpose()?;
        let held = match batch.next() {
            Next::Load(turn, step) if turn == number => self.held(&batch, step)?,
            _ => Held::AsWritten,
        };
        // A report of the wanted version is no proof when another image lay there: two images may share a version.
        if let (Held::Other(found), Next::Load(_, step)) = (&held, batch.next())
            && reads.as_ref() == Some(&step.to)
        {
            let words = format!("{found}: what went into {} is not known, and it is not entered", step.unit);
            return Err(Refusal::new(Cause::Clash, words)
                .hint("Look at the card, put it right, write it anew and load the unit once more."));
        }
        if !batch.reported(number, reads.clone()) {
            let words = format!("it is not the turn of step {} of batch {id}", sent.step + 1);
            return Err(
                Refusal::new(Cause::Clash, words).hint("Write its card first, or look at the odd unit.")
            );
        }
        let step = batch.plan.steps[number].clone();
        let mut unit = self.unit(&step.unit)?.unwrap_or_else(|| Unit::new(&step.unit, &step.kind));
        let as_given = reads.as_ref() == Some(&step.to);
        unit.version.clone_from(&reads);
        unit.digest = as_given.then_some(step.digest);
        unit.settings_after = None;
        let from = step.from.as_ref().map_or("an unread version".to_owned(), ToString::to_string);
        let words = match &reads {
            Some(_) if as_given => {
                format!("{} from {from} to {}, {}, digest {}", step.unit, step.to, step.file, step.digest)
            }
            Some(reads) => format!("{} was given {} and reports {reads}", step.unit, step.to),
            None => format!("{} was given {} and did not come back", step.unit, step.to),
        };
        let doubt = match held {
            Held::AsWritten => None,
            Held::Unread(why) => Some(format!("{why}, so its image is known from the writing alone")),
            Held::Other(found) => Some(found),
        };
        let words = doubt.iter().fold(words, |words, doubt| format!("{words}; {doubt}"));
        let mut entry = Entry::new(now().unix_seconds(), EntryKind::Loaded, words);
        entry.craft.clone_from(&unit.craft);
        entry.units = vec![step.unit.clone()];
        let what = format!("Load {}", step.unit);
        let changes = [Keep::Batch(Some(id.to_owned()), batch), Keep::Unit(unit), Keep::Entry(None, entry)];
        let mind = doubt.into_iter().map(|doubt| format!("{}: {doubt}", step.unit)).collect();
        Ok(KeptView { mind, ..self.keep(&what, &changes)?.into() })
    }

    /// Gives a batch up. A card that waits for its unit may have been used already: what that unit has is then not known.
    pub fn give_up(&mut self, id: &str) -> Result<KeptView, Refusal> {
        let batch = self.batch(id)?;
        let mut changes = vec![Keep::Without(Drawer::Batch, id.to_owned())];
        let mut mind = Vec::new();
        for label in batch.units_unheard() {
            let Some(mut unit) = self.unit(label)? else { continue };
            (unit.version, unit.digest) = (None, None);
            changes.push(Keep::Unit(unit));
            mind.push(format!(
                "the card for {label} was written and may have been used, so its version counts as unread; describe what it reports"
            ));
        }
        let kept = self.keep(&format!("Give up batch {}", batch.name), &changes)?;
        Ok(KeptView { mind, ..kept.into() })
    }

    /// Goes on after an odd unit.
    pub fn go_on(&mut self, id: &str, sent: &GoOnSent) -> Result<KeptView, Refusal> {
        let mut batch = self.batch(id)?;
        let number = sent.step as usize;
        if !batch.go_on(number, sent.again) {
            return Err(Refusal::new(
                Cause::Clash,
                format!("step {} of batch {id} is not odd", sent.step + 1),
            ));
        }
        // Tried again it starts from what it reports now; one that reports nothing, from what it had.
        if let Some(version) = self.unit(&batch.plan.steps[number].unit)?.and_then(|unit| unit.version) {
            batch.plan.steps[number].from = Some(version);
        }
        let word = if sent.again { "Try again" } else { "Leave out" };
        let what = format!("{word}: {}", batch.plan.steps[number].unit);
        Ok(self.keep(&what, &[Keep::Batch(Some(id.to_owned()), batch)])?.into())
    }
}

fn wants_yes(why: &Refused) -> Option<String> {
    match why {
        Refused::NotRemovable { card, .. } => Some(card.clone()),
        _ => None,
    }
}

/// Writes a card, telling how far it is.
pub fn write_card(card: &Path, load: &Load, watch: &mut dyn cards::Watch) -> Result<Vec<OnCard>, Refusal> {
    Ok(cards::put(card, load, watch)?)
}
