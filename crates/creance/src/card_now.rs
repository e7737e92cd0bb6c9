//! What lies on a card now? Asked again each time it matters: a card may have been changed for another since it was planned.
//!
//! A card belongs to one open batch at a time. What was written and compared counts only as long as nothing else could
//! have taken its place, so the card is looked at before it is written and read back once its unit reports.

use crate::bench::Bench;
use crate::refusal::{Cause, Refusal};
use cards::{CardFault, look, read_back};
use firmware::{
    Batch, CardSeen, Next, Recipe, Refused, Step, card_against, card_folder, same_on_card, strays,
};
use std::path::{Path, PathBuf};

/// One card by whatever way it is named.
fn real(path: &str) -> PathBuf {
    std::fs::canonicalize(path).unwrap_or_else(|_| PathBuf::from(path))
}

/// The folder that an installer looks in; a recipe whose folder leads out of the card was refused by the plan.
fn folder(recipe: &Recipe) -> Vec<String> {
    card_folder(&recipe.folder).unwrap_or_default().into_iter().map(str::to_owned).collect()
}

/// Whether a file of this name beside the image of a step is the image of another turn, which the writer takes away.
fn of_other_turn(batch: &Batch, step: &Step, name: &str) -> bool {
    let same = |a: &[String], b: &[String]| {
        a.len() == b.len() && a.iter().zip(b).all(|(one, other)| same_on_card(one, other))
    };
    batch.plan.steps.iter().any(|other| {
        let (Some((theirs, ways)), Some((_, way))) = (other.path.split_last(), step.path.split_last()) else {
            return false;
        };
        same(way, ways) && same_on_card(theirs, name)
    })
}

/// What a card that was read back says of what its unit was given.
pub enum Held {
    /// The image that was written, alone.
    AsWritten,
    /// Nothing is known: why, in words.
    Unread(String),
    /// Another image: what was found, in words.
    Other(String),
}

/// Whether two paths are one card, or the one lies within the other.
fn one_card(one: &Path, other: &Path) -> bool {
    one.starts_with(other) || other.starts_with(one)
}

impl Bench {
    /// The open batches that one of these cards belongs to.
    pub fn cards_in_use(&self, cards: &[CardSeen]) -> Result<Vec<Refused>, Refusal> {
        let mut found = Vec::new();
        for kept in self.kept::<Batch>()?.iter().filter(|kept| !kept.demo && !kept.thing.is_done()) {
            let theirs: Vec<PathBuf> = kept.thing.cards.seen.iter().map(|card| real(&card.path)).collect();
            for card in
                cards.iter().filter(|card| theirs.iter().any(|theirs| one_card(theirs, &real(&card.path))))
            {
                let (batch, name) = (kept.id.clone(), kept.thing.name.clone());
                found.push(Refused::CardInUse { card: card.path.clone(), batch, name });
            }
        }
        Ok(found)
    }

    /// The open batches in which one of these units waits. A unit whose card is written twice could be taken over a barrier.
    pub fn units_in_use(&self, units: &[String]) -> Result<Vec<Refused>, Refusal> {
        let mut found = Vec::new();
        for kept in self.kept::<Batch>()?.iter().filter(|kept| !kept.demo) {
            let waiting = kept.thing.units_waiting().filter(|label| units.iter().any(|unit| unit == label));
            found.extend(waiting.map(|unit| Refused::UnitInUse {
                unit: unit.to_owned(),
                batch: kept.id.clone(),
                name: kept.thing.name.clone(),
            }));
        }
        Ok(found)
    }

    fn recipe_of(&self, kind: &str) -> Result<Option<Recipe>, Refusal> {
        let recipes = self.kept::<Recipe>()?;
        Ok(recipes.into_iter().map(|kept| kept.thing).find(|recipe| same_on_card(&recipe.kind, kind)))
    }

    /// Refuses a card that is not fit to be written for this step as it is now.
    pub fn fit_to_write(&self, id: &str, batch: &Batch, step: &Step) -> Result<(), Refusal> {
        let card = batch.cards.seen.get(step.card).map(|card| card.path.clone()).unwrap_or_default();
        for kept in self.kept::<Batch>()?.iter().filter(|kept| kept.id != id && kept.thing.holds_card()) {
            let Next::Load(_, waits) = kept.thing.next() else { continue };
            // Two cards for one unit at once: what it has when the second goes in is not known.
            if waits.unit == step.unit {
                let (batch, name) = (kept.id.clone(), kept.thing.name.clone());
                let why = Refused::UnitInUse { unit: step.unit.clone(), batch, name };
                return Err(Refusal::new(Cause::Clash, why.to_string()).hint("Nothing was written."));
            }
            let theirs = kept.thing.cards.seen.get(waits.card).map(|seen| real(&seen.path));
            if theirs.is_some_and(|theirs| one_card(&theirs, &real(&card))) {
                let (batch, name) = (kept.id.clone(), kept.thing.name.clone());
                let why = Refused::CardInUse { card, batch, name };
                return Err(Refusal::new(Cause::Clash, why.to_string()));
            }
        }
        let recipe = self.recipe_of(&step.kind)?.filter(|recipe| {
            let way: Vec<String> = folder(recipe).into_iter().chain([recipe.file_name.clone()]).collect();
            way == step.path
        });
        let Some(recipe) = recipe else {
            let words = format!("the recipe for {:?} is another since the batch was planned", step.kind);
            return Err(Refusal::new(Cause::Clash, words).hint("Plan the batch anew."));
        };
        let seen = look(Path::new(&card), &[folder(&recipe)])?;
        let against: Vec<String> = card_against(&seen, &recipe, step.size, batch.cards.yes.contains(&card))
            .iter()
            .filter(|why| match why {
                Refused::Stray { stray, .. } => !of_other_turn(batch, step, stray),
                // What an interrupted writing left goes first, and a full card stays whole: the writer says so.
                Refused::CardTooSmall { .. } => false,
                _ => true,
            })
            .map(ToString::to_string)
            .collect();
        if against.is_empty() {
            return Ok(());
        }
        Err(Refusal::new(Cause::Clash, against.join("; ")).hint("Nothing was written."))
    }

    /// Files beside the image of a step that its unit may take for its own.
    pub fn strays_beside(&self, card: &Path, step: &Step) -> Result<Vec<String>, Refusal> {
        let Some(recipe) = self.recipe_of(&step.kind)? else { return Ok(Vec::new()) };
        let seen = look(card, &[folder(&recipe)])?;
        Ok(strays(&seen, &recipe).into_iter().map(str::to_owned).collect())
    }

    /// What the card of a step holds once its unit has had it.
    pub fn held(&self, batch: &Batch, step: &Step) -> Result<Held, Refusal> {
        let card = batch.cards.seen.get(step.card).map(|seen| PathBuf::from(&seen.path)).unwrap_or_default();
        let was = batch.on_card.get(step.card).map(Vec::as_slice).unwrap_or_default();
        let lies = match read_back(&card, was) {
            Ok(lies) => lies,
            Err(CardFault::NoCard { .. } | CardFault::Pulled { .. }) => {
                return Ok(Held::Unread("the card was not there to be read back".to_owned()));
            }
            Err(fault) => return Ok(Held::Other(fault.to_string())),
        };
        let image = step.path.join("/");
        let others = self.strays_beside(&card, step)?;
        if !others.is_empty() {
            return Ok(Held::Other(format!("beside {image} the card holds {}", others.join(", "))));
        }
        match lies.iter().find(|one| one.file == image) {
            Some(one) if one.digest == step.digest => Ok(Held::AsWritten),
            Some(one) => Ok(Held::Other(format!(
                "the card holds another file as {image}: digest {} instead of {}",
                one.digest, step.digest
            ))),
            None => Ok(Held::Unread(format!("{image} was no longer on the card"))),
        }
    }
}
