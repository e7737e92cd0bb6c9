//! Units, images, batches and cards as JSON.

pub use super::load_sent::*;

use super::journal::WordView;
use firmware::{
    Batch, Crossing, End, Fit, Image, MatchingSet, NOT_COME_BACK, Next, Pairing, Recipe, StepState, Unit,
    barriers, crossing, pairing, write_recipe,
};
use proof::History;
use serde::Serialize;
use std::collections::BTreeMap;
use ts_rs::TS;
use workshop::Kept;

/// Everything that has to do with loading.
#[derive(Serialize, TS)]
pub struct LoadView {
    /// The units.
    pub units: Vec<UnitView>,
    /// The images.
    pub images: Vec<ImageView>,
    /// Versions that go together.
    pub sets: Vec<SetView>,
    /// How kinds of unit are loaded.
    pub recipes: Vec<RecipeView>,
    /// Batches, the newest first.
    pub batches: Vec<BatchView>,
    /// Every craft.
    pub craft: Vec<super::journal::CraftName>,
    /// The ends there are.
    pub ends: Vec<WordView>,
    /// A recipe as it is written, to begin with.
    pub recipe_example: &'static str,
    /// What to do with a unit that did not come back.
    pub not_come_back: Vec<&'static str>,
}

/// A unit.
#[derive(Serialize, TS)]
pub struct UnitView {
    /// Its label.
    pub label: String,
    /// Its kind.
    pub kind: String,
    /// Its board revision.
    pub revision: Option<String>,
    /// The version it reports.
    pub version: Option<String>,
    /// The digest of what it carries.
    pub digest: Option<String>,
    /// The craft it is in, by id.
    pub craft: Option<String>,
    /// The end it works at, if a recipe says so.
    pub end: Option<&'static str>,
    /// Settings before a load.
    pub settings_before: BTreeMap<String, String>,
    /// Settings after it.
    pub settings_after: Option<BTreeMap<String, String>>,
    /// Settings that a load changed, each with both values.
    pub settings_lost: Vec<String>,
    /// What speaks of its version: an other end it does not go with, a step it may not skip.
    pub mind: Vec<String>,
    /// Whether it belongs to the demo.
    pub demo: bool,
}

/// An image.
#[derive(Serialize, TS)]
pub struct ImageView {
    /// Its digest, by which it is known.
    pub digest: String,
    /// The name of its file.
    pub file: String,
    /// Where the master lies.
    pub master: String,
    /// Its size, in bytes.
    pub size: f64,
    /// Its version.
    pub version: String,
    /// What it is for, in words.
    pub made_for: String,
    /// The kinds it is for.
    pub kinds: Vec<String>,
    /// Notes.
    pub notes: String,
    /// The step that may not be skipped.
    pub step: Option<String>,
}

/// Versions that go together.
#[derive(Serialize, TS)]
pub struct SetView {
    /// Its id.
    pub id: String,
    /// The video system.
    pub system: String,
    /// The version in the air.
    pub air: String,
    /// The version on the ground.
    pub ground: String,
    /// Who says so.
    pub notes: String,
}

/// A recipe.
#[derive(Serialize, TS)]
pub struct RecipeView {
    /// Its id.
    pub id: String,
    /// The kind of unit.
    pub kind: String,
    /// The video system.
    pub system: String,
    /// The end.
    pub end: &'static str,
    /// The recipe as text.
    pub text: String,
}

/// A batch.
#[derive(Serialize, TS)]
pub struct BatchView {
    /// Its id.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// When it was begun.
    pub begun: String,
    /// Its steps.
    pub steps: Vec<LoadStep>,
    /// What is to be borne in mind.
    pub mind: Vec<String>,
    /// The cards, by where they lie.
    pub cards: Vec<String>,
    /// What comes next: write, load, look, done.
    pub next: &'static str,
    /// The number of the step that comes next; none when all is done.
    pub turn: Option<u32>,
    /// Files that the last look missed.
    pub gone: Vec<String>,
    /// Files that held something else at the last look.
    pub changed: Vec<String>,
    /// Files beside the image that a unit may take for its own.
    pub stray: Vec<String>,
}

/// One unit's turn.
#[derive(Serialize, TS)]
pub struct LoadStep {
    /// The unit.
    pub unit: String,
    /// Its kind.
    pub kind: String,
    /// The file of the image.
    pub file: String,
    /// Its digest.
    pub digest: String,
    /// The version it has.
    pub from: Option<String>,
    /// The version it shall have.
    pub to: String,
    /// The number of its card.
    pub card: u32,
    /// Where the image lies on it.
    pub path: String,
    /// The longest it takes, in minutes.
    pub minutes: Option<f64>,
    /// What tells that it is done.
    pub done_when: String,
    /// How far it is, in a word.
    pub state: &'static str,
    /// What an odd one reports.
    pub reported: Option<String>,
}

/// A plan that was not begun.
#[derive(Serialize, TS)]
pub struct PlanView {
    /// Its steps; none if something speaks against it.
    pub steps: Vec<LoadStep>,
    /// What is to be borne in mind.
    pub mind: Vec<String>,
    /// All that speaks against it.
    pub against: Vec<String>,
    /// Cards that want a yes by name.
    pub wants_yes: Vec<String>,
}

/// How far the writing of a card is.
#[derive(Clone, Serialize, TS)]
pub struct WritingView {
    /// In a word: none, writing, done, stopped, failed.
    pub state: &'static str,
    /// What is being done, in words.
    pub doing: String,
    /// How much of it is done, 0 to 1.
    pub share: f64,
    /// What went wrong.
    pub refused: Option<String>,
    /// The batch.
    pub batch: String,
}

/// How a phone is paired.
#[derive(Serialize, TS)]
pub struct PairingView {
    /// Whether the program listens on the local network.
    pub open: bool,
    /// The address to open on the phone.
    pub address: Option<String>,
    /// The code, while one is good.
    pub code: Option<String>,
    /// The address with the code, as a picture to be read by a camera: SVG.
    pub picture: Option<String>,
    /// How long the code is good, in minutes.
    pub minutes: u32,
    /// Phones that are paired.
    pub paired: u32,
}

impl UnitView {
    /// A unit.
    pub fn new(kept: &Kept<Unit>, known: &History) -> Self {
        let unit = &kept.thing;
        let recipe = known.recipe_of(unit);
        Self {
            label: unit.label.clone(),
            kind: unit.kind.clone(),
            revision: unit.revision.clone(),
            version: unit.version.as_ref().map(ToString::to_string),
            digest: unit.digest.map(|digest| digest.to_string()),
            craft: unit.craft.clone(),
            end: recipe.map(|recipe| recipe.end.word()),
            settings_before: unit.settings_before.clone(),
            settings_after: unit.settings_after.clone(),
            settings_lost: unit
                .settings_lost()
                .unwrap_or_default()
                .into_iter()
                .map(|(name, before, after)| format!("{name} {before} → {}", after.unwrap_or("unread")))
                .collect(),
            mind: other_end(unit, known).into_iter().chain(next_step(unit, known)).collect(),
            demo: kept.demo,
        }
    }
}

/// What a unit on a craft does not go with, if no unit of the ground has a version that it goes with.
fn other_end(unit: &Unit, known: &History) -> Option<String> {
    let recipe = known.recipe_of(unit).filter(|recipe| recipe.end == End::Air)?;
    let air = unit.version.as_ref()?;
    let grounds: Vec<&Unit> =
        known.ground_of(&recipe.system).filter(|ground| ground.version.is_some()).collect();
    let stands = |ground: &&Unit| {
        let theirs = ground.version.as_ref();
        theirs.map_or(Pairing::Apart, |theirs| pairing(&known.sets, &recipe.system, air, theirs))
    };
    let best = grounds.iter().map(stands).max()?;
    let told: Vec<String> = grounds
        .iter()
        .filter_map(|ground| Some(format!("{} on {}", ground.version.as_ref()?, ground.label)))
        .collect();
    match best {
        Pairing::Matched => None,
        Pairing::SameMajor => {
            Some(format!("Like {} in the first number only: load both ends alike", told.join(", ")))
        }
        Pairing::Apart => Some(format!("No picture with {}: load both ends alike", told.join(", "))),
    }
}

/// The step that a unit may not skip on the way to the newest image that is for it.
fn next_step(unit: &Unit, known: &History) -> Option<String> {
    let newest = known
        .images
        .iter()
        .filter(|image| image.fit(unit) == Fit::Fits)
        .max_by_key(|image| &image.version)?;
    match crossing(&barriers(&known.images, &unit.kind), unit.version.as_ref(), &newest.version) {
        Crossing::First(first) => Some(format!(
            "On the way to {} it goes to {first} first: that step may not be skipped",
            newest.version
        )),
        _ => None,
    }
}

impl From<&Image> for ImageView {
    fn from(image: &Image) -> Self {
        Self {
            digest: image.digest.to_string(),
            file: image.file.clone(),
            master: image.master.clone(),
            size: image.size as f64,
            version: image.version.to_string(),
            made_for: image.for_words(),
            kinds: image.fits.iter().map(|fits| fits.kind.clone()).collect(),
            notes: image.notes.clone(),
            step: image.step.as_ref().map(ToString::to_string),
        }
    }
}

impl From<&Kept<MatchingSet>> for SetView {
    fn from(kept: &Kept<MatchingSet>) -> Self {
        let set = &kept.thing;
        let (air, ground) = (set.air.to_string(), set.ground.to_string());
        Self { id: kept.id.clone(), system: set.system.clone(), air, ground, notes: set.notes.clone() }
    }
}

impl From<&Kept<Recipe>> for RecipeView {
    fn from(kept: &Kept<Recipe>) -> Self {
        let recipe = &kept.thing;
        Self {
            id: kept.id.clone(),
            kind: recipe.kind.clone(),
            system: recipe.system.clone(),
            end: recipe.end.word(),
            text: write_recipe(recipe),
        }
    }
}

impl LoadStep {
    /// A step and how far it is.
    pub fn new(step: &firmware::Step, state: &StepState) -> Self {
        let reported = match state {
            StepState::Odd { reported } => {
                Some(reported.as_ref().map_or("nothing".to_owned(), ToString::to_string))
            }
            _ => None,
        };
        Self {
            unit: step.unit.clone(),
            kind: step.kind.clone(),
            file: step.file.clone(),
            digest: step.digest.to_string(),
            from: step.from.as_ref().map(ToString::to_string),
            to: step.to.to_string(),
            card: step.card as u32,
            path: step.path.join("/"),
            minutes: step.minutes,
            done_when: step.done_when.clone(),
            state: match state {
                StepState::Waiting => "waiting",
                StepState::Written => "card written",
                StepState::Loaded => "loaded",
                StepState::Odd { .. } => "odd",
                StepState::LeftOut => "left out",
            },
            reported,
        }
    }
}

impl BatchView {
    /// A batch.
    pub fn new(id: &str, batch: &Batch) -> Self {
        let (next, turn) = match batch.next() {
            Next::Write(number, _) => ("write", Some(number as u32)),
            Next::Load(number, _) => ("load", Some(number as u32)),
            Next::Look(number, _) => ("look", Some(number as u32)),
            Next::Done => ("done", None),
        };
        Self {
            id: id.to_owned(),
            name: batch.name.clone(),
            begun: crate::record::date(batch.begun),
            steps: batch
                .plan
                .steps
                .iter()
                .zip(&batch.states)
                .map(|(step, state)| LoadStep::new(step, state))
                .collect(),
            mind: batch.plan.mind.clone(),
            cards: batch.cards.seen.iter().map(|card| card.path.clone()).collect(),
            next,
            turn,
            gone: batch.gone.clone(),
            changed: batch.changed.clone(),
            stray: batch.stray.clone(),
        }
    }
}

/// The ends there are, and what to do with a unit that did not come back.
pub fn ends() -> (Vec<WordView>, Vec<&'static str>) {
    let plain = |end: End| match end {
        End::Air => "on a craft",
        End::Ground => "with the pilot",
        End::Other => "neither",
    };
    let ends = End::ALL.iter().map(|end| WordView { word: end.word(), plain: plain(*end), unit: "" });
    (ends.collect(), NOT_COME_BACK.to_vec())
}
