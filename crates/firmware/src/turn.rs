//! Which image goes into which unit, and what speaks against it: kind, revision, steps that may not be skipped, the other end?

use crate::barrier::{Crossing, barriers, crossing};
use crate::name::{card_folder, card_name, same_on_card};
use crate::pairing::{Pairing, pairing};
use crate::plan::Asked;
use crate::{End, Fit, IMAGE_BYTES_MAX, Image, Recipe, Refused, Unit, Version};
use std::collections::BTreeSet;

/// A unit with its image and the recipe that says how it goes in.
#[derive(Clone, Copy)]
pub(crate) struct Turn<'a> {
    pub unit: &'a Unit,
    pub image: &'a Image,
    pub recipe: &'a Recipe,
}

/// A unit's turn, or all that speaks against it.
pub(crate) fn turn<'a>(asked: &Asked<'a>, label: &str) -> Result<Turn<'a>, Vec<Refused>> {
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
pub(crate) fn names_clash(turns: &[Turn]) -> Vec<Refused> {
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
pub(crate) fn unmatched(asked: &Asked, turns: &[Turn]) -> Vec<Refused> {
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
