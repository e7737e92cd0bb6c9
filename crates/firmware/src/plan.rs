//! In which order are these units loaded, from which card, and what speaks against it?
//!
//! The order (common practice): the end that the image's notes put first; if they are silent, one spare air unit, then
//! one ground unit to prove it with, then the rest, image by image so that a card is written as seldom as can be. With one
//! card it is written anew whenever the image changes; with several each image keeps a card of its own.
//!
//! A plan is refused as a whole and with all its reasons: there is no half a plan.

use crate::barrier::{Crossing, barriers, crossing};
use crate::card::card_against;
use crate::name::{card_folder, card_name, same_on_card};
use crate::pairing::{MatchingSet, Pairing, pairing};
use crate::supply::{SPARE_LEAST, Supply};
use crate::{CardSeen, Digest, End, Fit, IMAGE_BYTES_MAX, Image, Recipe, Refused, Unit, Version};
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

#[derive(Clone, Copy)]
struct Turn<'a> {
    unit: &'a Unit,
    image: &'a Image,
    recipe: &'a Recipe,
}

fn turn<'a>(asked: &Asked<'a>, label: &str) -> Result<Turn<'a>, Vec<Refused>> {
    let Some(unit) = asked.units.iter().find(|unit| unit.label == label) else {
        return Err(vec![Refused::NoUnit { unit: label.to_owned() }]);
    };
    let mut found = Vec::new();
    let recipe = asked.recipes.iter().find(|recipe| same_on_card(&recipe.kind, &unit.kind));
    if recipe.is_none() {
        found.push(Refused::NoRecipe { kind: unit.kind.clone() });
    }
    let image =
        asked.chosen.get(label).and_then(|digest| asked.images.iter().find(|image| &image.digest == digest));
    let Some(image) = image else {
        found.push(Refused::NoImage { unit: label.to_owned(), kind: unit.kind.clone() });
        return Err(found);
    };
    found.extend(image_against(image));
    found.extend(fit_against(unit, image));
    found.extend(step_against(asked, unit, image));
    if let Some(recipe) = recipe {
        let name = |why| Refused::Name { kind: recipe.kind.clone(), why };
        found.extend(card_name(&recipe.file_name).err().map(name));
        found.extend(card_folder(&recipe.folder).err().map(name));
        found.extend(recipe.keep.iter().filter_map(|kept| card_name(&kept.name).err()).map(name));
    }
    match recipe {
        Some(recipe) if found.is_empty() => Ok(Turn { unit, image, recipe }),
        _ => Err(found),
    }
}

fn image_against(image: &Image) -> Option<Refused> {
    match image.size {
        0 => Some(Refused::Empty { file: image.file.clone() }),
        bytes if bytes > IMAGE_BYTES_MAX => {
            Some(Refused::TooLarge { file: image.file.clone(), bytes, most: IMAGE_BYTES_MAX })
        }
        _ => None,
    }
}

fn fit_against(unit: &Unit, image: &Image) -> Option<Refused> {
    let (file, made_for, label) = (image.file.clone(), image.for_words(), unit.label.clone());
    match image.fit(unit) {
        Fit::Fits => None,
        Fit::OtherKind => Some(Refused::OtherKind { file, made_for, unit: label, kind: unit.kind.clone() }),
        Fit::RevisionUnknown => Some(Refused::RevisionUnknown { file, made_for, unit: label }),
        Fit::OtherRevision => {
            let revision = unit.revision.clone().unwrap_or_default();
            Some(Refused::OtherRevision { file, made_for, unit: label, revision })
        }
    }
}

fn step_against(asked: &Asked, unit: &Unit, image: &Image) -> Option<Refused> {
    let (label, to) = (unit.label.clone(), image.version.clone());
    let from = unit.version.clone();
    match (crossing(&barriers(asked.images, &unit.kind), from.as_ref(), &to), from) {
        (Crossing::First(first), Some(from)) => Some(Refused::StepSkipped { unit: label, from, first, to }),
        (Crossing::Back(barrier), Some(from)) => Some(Refused::WayBack { unit: label, from, to, barrier }),
        (Crossing::FromUnknown(barrier), _) => Some(Refused::VersionUnread { unit: label, barrier }),
        _ => None,
    }
}

/// Two kinds that look for one name in one folder may not share a card at one time; they never do, since each image has its
/// turn. What may not be is a marker of one that is the image of the other.
fn names_clash(turns: &[Turn]) -> Vec<Refused> {
    let mut found = Vec::new();
    for (number, one) in turns.iter().enumerate() {
        for other in turns
            .iter()
            .skip(number + 1)
            .filter(|other| same_on_card(&other.recipe.folder, &one.recipe.folder))
        {
            let clashes = |a: &Recipe, b: &Recipe| {
                a.keep
                    .iter()
                    .find(|kept| same_on_card(&kept.name, &b.file_name))
                    .map(|kept| Refused::NamesClash { names: kept.name.clone(), other: b.file_name.clone() })
            };
            found.extend(clashes(one.recipe, other.recipe).or_else(|| clashes(other.recipe, one.recipe)));
        }
    }
    found.dedup();
    found
}

/// The version a unit will have when the batch is done.
fn then<'a>(turns: &[Turn<'a>], unit: &'a Unit) -> Option<&'a Version> {
    let loaded = turns.iter().find(|turn| turn.unit.label == unit.label).map(|turn| &turn.image.version);
    loaded.or(unit.version.as_ref())
}

/// Units of the batch that no unit at the other end would understand when it is done.
fn unmatched(asked: &Asked, turns: &[Turn]) -> Vec<Refused> {
    let mut found = Vec::new();
    for turn in turns {
        let other_end = match turn.recipe.end {
            End::Air => End::Ground,
            End::Ground => End::Air,
            End::Other => continue,
        };
        let is_other = |unit: &&Unit| {
            asked.recipes.iter().any(|recipe| {
                same_on_card(&recipe.kind, &unit.kind)
                    && recipe.end == other_end
                    && same_on_card(&recipe.system, &turn.recipe.system)
            })
        };
        let others: Vec<&Unit> = asked.units.iter().filter(is_other).collect();
        let mine = &turn.image.version;
        let goes = |unit: &&Unit| {
            then(turns, unit).is_none_or(|theirs| {
                let (air, ground) = if turn.recipe.end == End::Air { (mine, theirs) } else { (theirs, mine) };
                pairing(asked.sets, &turn.recipe.system, air, ground) == Pairing::Matched
            })
        };
        // Where there is no other end to be known, nothing can be said against it.
        if others.is_empty() || others.iter().any(goes) {
            continue;
        }
        let versions: BTreeSet<String> =
            others.iter().filter_map(|unit| then(turns, unit)).map(Version::to_string).collect();
        let versions = versions.into_iter().collect::<Vec<_>>().join(", ");
        let labels = others.iter().map(|unit| unit.label.as_str()).collect::<Vec<_>>().join(", ");
        let label = turn.unit.label.clone();
        found.push(match turn.recipe.end {
            End::Air => Refused::Unmatched {
                air: mine.clone(),
                air_unit: label,
                ground: versions,
                ground_units: labels,
            },
            _ => Refused::GroundUnmatched {
                ground: mine.clone(),
                ground_unit: label,
                air: versions,
                air_units: labels,
            },
        });
    }
    found
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
            .filter(|why| !matches!(why, Refused::Stray { stray, .. } if turns.iter().any(|t| same_on_card(&t.recipe.file_name, stray))))
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
