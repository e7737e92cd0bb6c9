//! In which order are these units loaded, from which card, and what speaks against it?
//!
//! The order (common practice): the end that the image's notes put first; if they are silent, one spare air unit, then
//! one ground unit to prove it with, then the rest, image by image so that a card is written as seldom as can be. With one
//! card it is written anew whenever the image changes; with several each image keeps a card of its own.
//!
//! A plan is refused as a whole and with all its reasons: there is no half a plan.

use crate::card::card_against;
use crate::name::{card_folder, same_on_card};
use crate::pairing::MatchingSet;
use crate::supply::{SPARE_LEAST, Supply};
use crate::turn::{Turn, names_clash, turn, unmatched};
use crate::{CardSeen, Digest, End, Image, Recipe, Refused, Unit, Version};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// The cards at hand.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Cards {
    /// What was seen of each.
    pub seen: Vec<CardSeen>,
    /// Paths to which the owner said yes although they are not known to be removable.
    #[serde(default)]
    pub yes: Vec<String>,
    /// Whether one card may be written anew for each image in turn.
    #[serde(default)]
    pub in_turn: bool,
}

/// What a plan is made from.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// Labels of the units to be loaded.
    pub batch: &'a [String],
    /// The digest of the image for each unit, by label.
    pub chosen: &'a BTreeMap<String, Digest>,
    /// Every unit there is.
    pub units: &'a [Unit],
    /// Every image there is.
    pub images: &'a [Image],
    /// Versions that go together.
    pub sets: &'a [MatchingSet],
    /// How kinds of unit are loaded.
    pub recipes: &'a [Recipe],
    /// The cards.
    pub cards: &'a Cards,
    /// What feeds the units.
    pub supply: &'a Supply,
}

/// One unit's turn.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Step {
    /// The unit.
    pub unit: String,
    /// Its kind.
    pub kind: String,
    /// The image.
    pub digest: Digest,
    /// The name of its master file.
    pub file: String,
    /// Its size, in bytes.
    pub size: u64,
    /// The version it has now.
    pub from: Option<Version>,
    /// The version it shall have.
    pub to: Version,
    /// The card, by its number among those at hand.
    pub card: usize,
    /// Whether the card is written before this step.
    pub writes: bool,
    /// Where the image lies on the card, step by step, the file name last.
    pub path: Vec<String>,
    /// Names and texts of files that stay beside it.
    pub keep: Vec<(String, String)>,
    /// The longest it takes, in minutes.
    pub minutes: Option<f64>,
    /// What tells that it is done.
    pub done_when: String,
}

/// The steps of a batch, with what is to be borne in mind.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Plan {
    /// The steps, in order.
    pub steps: Vec<Step>,
    /// What does not stop it and had better be known.
    pub mind: Vec<String>,
}

/// Makes the plan, or says all that speaks against it.
pub fn plan(asked: &Asked) -> Result<Plan, Vec<Refused>> {
    let mut against_it = Vec::new();
    let mut turns = Vec::new();
    let mut seen = BTreeSet::new();
    if asked.batch.is_empty() {
        against_it.push(Refused::NoUnits);
    }
    for label in asked.batch {
        if !seen.insert(label) {
            against_it.push(Refused::Twice { unit: label.clone() });
            continue;
        }
        match turn(asked, label) {
            Ok(found) => turns.push(found),
            Err(why) => against_it.extend(why),
        }
    }
    against_it.extend(names_clash(&turns));
    against_it.extend(unmatched(asked, &turns));
    order(&mut turns);
    against_it.extend(supply_short(asked, &turns));
    let on_cards = dealt(asked, &turns, &mut against_it);
    if !against_it.is_empty() {
        return Err(against_it);
    }
    let steps = steps(&turns, &on_cards);
    let mind = bear_in_mind(asked, &turns, &steps);
    Ok(Plan { steps, mind })
}

fn order(turns: &mut Vec<Turn>) {
    let first = turns.iter().find_map(|turn| turn.image.first);
    let by_image =
        |turn: &Turn| (turn.recipe.kind.to_lowercase(), turn.image.digest, turn.unit.label.clone());
    turns.sort_by_key(|turn| (first.is_some_and(|end| turn.recipe.end != end), by_image(turn)));
    if first.is_some() {
        return;
    }
    // One pair is proved before the rest: a spare, if there is one, for nothing is lost with it.
    let mut lead: Vec<Turn> = Vec::new();
    for end in [End::Air, End::Ground] {
        let of_end = |turn: &&Turn| turn.recipe.end == end;
        let best = turns.iter().filter(of_end).min_by_key(|turn| (turn.unit.craft.is_some(), by_image(turn)));
        lead.extend(best.copied());
    }
    if lead.len() < 2 {
        lead.truncate(1);
    }
    let led: BTreeSet<String> = lead.iter().map(|turn| turn.unit.label.clone()).collect();
    // The rest begins with the image that is on the card already.
    let last = lead.last().map(|turn| turn.image.digest);
    let mut rest: Vec<Turn> = turns.iter().filter(|turn| !led.contains(&turn.unit.label)).copied().collect();
    rest.sort_by_key(|turn| (Some(turn.image.digest) != last, by_image(turn)));
    lead.extend(rest);
    *turns = lead;
}

fn supply_short(asked: &Asked, turns: &[Turn]) -> Vec<Refused> {
    // A pack stays on one unit after the other: it feeds them all.
    let feeds = turns.iter().filter_map(|turn| Some((turn.recipe.minutes?, turn.recipe.watts?)));
    let (minutes, watt_minutes) =
        feeds.fold((0.0, 0.0), |(minutes, work), (each, watts)| (minutes + each, work + each * watts));
    let Supply::Pack { label, .. } = asked.supply else { return Vec::new() };
    if minutes <= 0.0 {
        return Vec::new();
    }
    match asked.supply.minutes(watt_minutes / minutes) {
        Some(lasts) if lasts * (1.0 - SPARE_LEAST) < minutes => {
            vec![Refused::Supply { supply: label.clone(), lasts, takes: minutes }]
        }
        _ => Vec::new(),
    }
}

/// Whether the image of one turn lies under this name in the folder that another turn looks in.
fn lies_there(one: &Turn, other: &Turn, name: &str) -> bool {
    same_on_card(&one.recipe.folder, &other.recipe.folder) && same_on_card(&one.recipe.file_name, name)
}

/// Which card each image goes on; says what speaks against a card.
fn dealt(asked: &Asked, turns: &[Turn], against_it: &mut Vec<Refused>) -> BTreeMap<(Digest, String), usize> {
    let mut wanted: Vec<(Digest, String)> = Vec::new();
    for turn in turns {
        let key = (turn.image.digest, turn.recipe.kind.clone());
        if !wanted.contains(&key) {
            wanted.push(key);
        }
    }
    let cards = &asked.cards.seen;
    if cards.is_empty() || turns.is_empty() {
        return wanted.into_iter().map(|key| (key, 0)).collect();
    }
    if wanted.len() > cards.len() && !asked.cards.in_turn {
        against_it.push(Refused::TooFewCards { units: turns.len(), images: wanted.len() });
    }
    let on: BTreeMap<_, _> = wanted.into_iter().enumerate().map(|(n, key)| (key, n % cards.len())).collect();
    for turn in turns {
        let Some(card) = on.get(&(turn.image.digest, turn.recipe.kind.clone())).and_then(|n| cards.get(*n))
        else {
            continue;
        };
        let yes = asked.cards.yes.contains(&card.path);
        let reasons: Vec<Refused> = card_against(card, turn.recipe, turn.image.size, yes)
            .into_iter()
            // The image of another turn is taken off by the writer when the card is written anew.
            .filter(|why| !matches!(why, Refused::Stray { stray, .. } if turns.iter().any(|other| lies_there(other, turn, stray))))
            .filter(|why| !against_it.contains(why))
            .collect();
        against_it.extend(reasons);
    }
    on
}

fn steps(turns: &[Turn], on: &BTreeMap<(Digest, String), usize>) -> Vec<Step> {
    let mut lies: BTreeMap<usize, (Digest, String)> = BTreeMap::new();
    let step = |turn: &Turn| {
        let key = (turn.image.digest, turn.recipe.kind.clone());
        let card = on.get(&key).copied().unwrap_or(0);
        let writes = turn.recipe.eats_image || lies.get(&card) != Some(&key);
        lies.insert(card, key);
        let folder = card_folder(&turn.recipe.folder).unwrap_or_default();
        Step {
            unit: turn.unit.label.clone(),
            kind: turn.unit.kind.clone(),
            digest: turn.image.digest,
            file: turn.image.file.clone(),
            size: turn.image.size,
            from: turn.unit.version.clone(),
            to: turn.image.version.clone(),
            card,
            writes,
            path: folder.into_iter().chain([turn.recipe.file_name.as_str()]).map(str::to_owned).collect(),
            keep: turn.recipe.keep.iter().map(|kept| (kept.name.clone(), kept.text.clone())).collect(),
            minutes: turn.recipe.minutes,
            done_when: turn.recipe.done_when.clone(),
        }
    };
    turns.iter().map(step).collect()
}

fn bear_in_mind(asked: &Asked, turns: &[Turn], steps: &[Step]) -> Vec<String> {
    let mut mind = Vec::new();
    let unwritten = turns.iter().filter(|turn| turn.unit.settings_before.is_empty());
    let unwritten: Vec<&str> = unwritten.map(|turn| turn.unit.label.as_str()).collect();
    if !unwritten.is_empty() {
        let units = unwritten.join(", ");
        mind.push(format!(
            "Write the settings of {units} down first: a load sets channel, level and region back."
        ));
    }
    let of_system = |end: End| {
        asked.units.iter().filter(move |unit| {
            asked.recipes.iter().any(|r| same_on_card(&r.kind, &unit.kind) && r.end == end)
        })
    };
    let known_good = |end: End| {
        of_system(end)
            .any(|unit| unit.version.is_some() && !turns.iter().any(|turn| turn.unit.label == unit.label))
    };
    if turns.len() > 1 && !(known_good(End::Air) && known_good(End::Ground)) {
        mind.push(
            "No pair stays out of the batch: if it goes wrong there is nothing that is known to work."
                .to_owned(),
        );
    }
    if steps.len() > 2 {
        mind.push("Prove the picture with the first pair before the third unit is loaded; one odd version stops the batch.".to_owned());
    }
    mind
}

#[cfg(test)]
#[path = "plan_tests.rs"]
mod tests;
