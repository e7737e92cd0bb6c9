//! What loading needs to know: units, images, recipes and the versions that go together.
//!
//! Files are read only where the user pointed.

use crate::bench::{Bench, history_of, now};
use crate::refusal::{Cause, Refusal};
use crate::wire::journal::{CraftName, KeptView};
use crate::wire::load::{
    BatchView, ImageSent, ImageView, LoadView, RecipeSent, RecipeView, SetSent, SetView, UnitSent, UnitView,
    ends,
};
use cards::{CardFault, look_at_master};
use firmware::{Batch, End, Fits, Image, MatchingSet, Recipe, Unit, Version, read_recipe};
use std::path::PathBuf;
use workshop::{Keep, Kept};

impl From<CardFault> for Refusal {
    fn from(fault: CardFault) -> Self {
        let cause = match &fault {
            CardFault::NoCard { .. } | CardFault::NoMaster { .. } => Cause::NoSuch,
            CardFault::Disk { .. } => Cause::Ours,
            CardFault::Stopped | CardFault::Pulled { .. } | CardFault::Full { .. } => Cause::Clash,
            _ => Cause::Unfit,
        };
        Refusal::new(cause, fault.to_string())
    }
}

pub(crate) fn version(text: &str) -> Result<Version, Refusal> {
    Version::read(text).map_err(|fault| Refusal::new(Cause::Misread, fault.to_string()))
}

pub(crate) fn filled(text: Option<&str>) -> Option<&str> {
    text.map(str::trim).filter(|text| !text.is_empty())
}

pub(crate) fn whole_path(text: &str) -> Result<PathBuf, Refusal> {
    let path = PathBuf::from(text.trim());
    if !path.is_absolute() {
        let words = format!("{text:?} does not say the whole way to it");
        return Err(
            Refusal::new(Cause::Misread, words).hint("Begin at the top of the disk, such as /media/card.")
        );
    }
    Ok(path)
}

impl Bench {
    /// Everything that has to do with loading.
    pub fn load_view(&self) -> Result<LoadView, Refusal> {
        let recipes = self.kept::<Recipe>()?;
        let known = history_of(self.shop(), now().unix_seconds())?;
        let (ends, not_come_back) = ends();
        let mut batches: Vec<BatchView> =
            self.kept::<Batch>()?.iter().map(|kept| BatchView::new(&kept.id, &kept.thing)).collect();
        batches.reverse();
        Ok(LoadView {
            units: self.kept::<Unit>()?.iter().map(|kept| UnitView::new(kept, &known)).collect(),
            images: self.kept::<Image>()?.iter().map(|kept| ImageView::from(&kept.thing)).collect(),
            sets: self.kept::<MatchingSet>()?.iter().map(SetView::from).collect(),
            recipes: recipes.iter().map(RecipeView::from).collect(),
            batches,
            craft: self
                .cards()?
                .into_iter()
                .map(|card| CraftName { id: card.id.to_string(), name: card.name })
                .collect(),
            ends,
            recipe_example: firmware::RECIPE_EXAMPLE,
            not_come_back,
        })
    }

    pub(crate) fn unit(&self, label: &str) -> Result<Option<Unit>, Refusal> {
        Ok(self.kept::<Unit>()?.into_iter().find(|kept| kept.id == label.trim()).map(|kept| kept.thing))
    }

    /// Describes a unit, or what was read off it.
    pub fn describe_unit(&mut self, sent: UnitSent) -> Result<KeptView, Refusal> {
        let label = sent.label.trim();
        let units = self.kept::<Unit>()?;
        let folded = |kept: &&Kept<Unit>| kept.id != label && firmware::same_on_card(&kept.id, label);
        if let Some(other) = units.iter().find(folded) {
            let words = format!("unit {label:?} and unit {:?} differ in letter case alone", other.id);
            return Err(
                Refusal::new(Cause::Clash, words).hint("Take the label as it is written on the unit.")
            );
        }
        let craft = filled(sent.craft.as_deref());
        if let Some(craft) = craft {
            self.known(craft)?;
        }
        let mut unit = self.unit(label)?.unwrap_or_else(|| Unit::new(label, sent.kind.trim()));
        // Of another kind it is another unit: what was read off the old one says nothing of it.
        if !firmware::same_on_card(&unit.kind, sent.kind.trim()) {
            unit = Unit { craft: unit.craft, ..Unit::new(label, sent.kind.trim()) };
        }
        // What is left out stays as it was; what is sent empty is taken away.
        if let Some(text) = sent.version.as_deref() {
            let read = filled(Some(text)).map(version).transpose()?;
            // What is known of its image holds only while it reports the version of that image.
            if read != unit.version {
                unit.digest = None;
            }
            unit.version = read;
        }
        unit.kind = sent.kind.trim().to_owned();
        if sent.revision.is_some() {
            unit.revision = filled(sent.revision.as_deref()).map(str::to_owned);
        }
        if sent.craft.is_some() {
            unit.craft = craft.map(str::to_owned);
        }
        for settings in [&sent.settings_before, &sent.settings_after].into_iter().flatten() {
            firmware::settings_fit(settings)
                .map_err(|fault| Refusal::new(Cause::Unfit, fault.to_string()))?;
        }
        unit.settings_before = sent.settings_before.unwrap_or(unit.settings_before);
        unit.settings_after = sent.settings_after.or(unit.settings_after);
        let recipes = self.kept::<Recipe>()?;
        let has_recipe = recipes.iter().any(|kept| firmware::same_on_card(&kept.thing.kind, &unit.kind));
        let mind = match has_recipe {
            true => Vec::new(),
            false => vec![format!("no recipe says yet how a {:?} is loaded", unit.kind)],
        };
        let what = format!("Describe unit {}", unit.label);
        Ok(KeptView { mind, ..self.keep(&what, &[Keep::Unit(unit)])?.into() })
    }

    /// Takes an image in: its file is read once and summed, and stays where it lies.
    pub fn take_image(&mut self, sent: ImageSent) -> Result<KeptView, Refusal> {
        let path = whole_path(&sent.file)?;
        if sent.fits.is_empty() || sent.fits.iter().any(|fits| fits.kind.trim().is_empty()) {
            return Err(Refusal::new(
                Cause::Unfit,
                "an image that says for no kind of unit what it is for could go into any",
            )
            .hint("Name at least one kind, as its maker does."));
        }
        let first = filled(sent.first.as_deref()).map(|word| {
            End::from_word(word).ok_or_else(|| {
                Refusal::new(Cause::Misread, format!("no end {word:?}; it is air, ground or other"))
            })
        });
        let (image_version, step) =
            (version(&sent.version)?, filled(sent.step.as_deref()).map(version).transpose()?);
        let first = first.transpose()?;
        let master = look_at_master(&path)?;
        let file = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let fits = sent.fits.into_iter().map(|fits| Fits {
            kind: fits.kind.trim().to_owned(),
            revisions: fits
                .revisions
                .iter()
                .map(|word| word.trim().to_owned())
                .filter(|word| !word.is_empty())
                .collect(),
        });
        let image = Image {
            master: path.display().to_string(),
            digest: master.digest,
            size: master.size,
            version: image_version,
            fits: fits.collect(),
            notes: sent.notes,
            step,
            first,
            file,
        };
        let before = self.kept::<Image>()?.into_iter().find(|kept| kept.thing.digest == image.digest);
        let before = before.filter(|kept| kept.thing.for_words() != image.for_words());
        let mind = before.map(|kept| {
            format!(
                "{} was taken in for {} before; now it is for {}",
                image.file,
                kept.thing.for_words(),
                image.for_words()
            )
        });
        let what = format!("Take in image {}", image.file);
        Ok(KeptView { mind: mind.into_iter().collect(), ..self.keep(&what, &[Keep::Image(image)])?.into() })
    }

    /// Lists versions that go together.
    pub fn list_set(&mut self, sent: SetSent) -> Result<KeptView, Refusal> {
        let (air, ground) = (version(&sent.air)?, version(&sent.ground)?);
        let set = MatchingSet { system: sent.system.trim().to_owned(), air, ground, notes: sent.notes };
        if set.system.is_empty() {
            return Err(Refusal::new(
                Cause::Unfit,
                "a matching set belongs to a video system; name it as its recipes do",
            ));
        }
        let what = format!("List {} in the air with {} on the ground", set.air, set.ground);
        Ok(self.keep(&what, &[Keep::MatchingSet(set)])?.into())
    }

    /// Takes a recipe in.
    pub fn take_recipe(&mut self, sent: &RecipeSent) -> Result<KeptView, Refusal> {
        let recipe = read_recipe(&sent.text).map_err(|faults| {
            let told: Vec<String> = faults.iter().map(ToString::to_string).collect();
            let faults = if told.len() == 1 { "fault" } else { "faults" };
            Refusal::new(Cause::Unfit, format!("the recipe has {} {faults}: {}", told.len(), told.join("; ")))
        })?;
        let what = format!("Take in the recipe for {}", recipe.kind);
        Ok(self.keep(&what, &[Keep::Recipe(recipe)])?.into())
    }
}
