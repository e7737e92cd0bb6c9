//! What is a unit: one box with an image in it, known by its label.

use crate::{Digest, Version};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// At which end of the link a unit works.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum End {
    /// On a craft.
    Air,
    /// With the pilot.
    Ground,
    /// A camera, a controller or whatever else takes an image and has no other end to agree with.
    Other,
}

impl End {
    /// Every end.
    pub const ALL: [End; 3] = [End::Air, End::Ground, End::Other];

    /// The word in recipes and on the wire.
    pub const fn word(self) -> &'static str {
        match self {
            End::Air => "air",
            End::Ground => "ground",
            End::Other => "other",
        }
    }

    /// The end of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|end| end.word() == word)
    }
}

/// One unit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Unit {
    /// What is written on it: a label of the owner's, or the serial number.
    pub label: String,
    /// Its kind, which a recipe describes.
    pub kind: String,
    /// The revision of its board, as printed; `None` while nobody looked.
    #[serde(default)]
    pub revision: Option<String>,
    /// The version it reports; `None` while nobody read it.
    #[serde(default)]
    pub version: Option<Version>,
    /// The digest of the image last loaded, as read back from the card; `None` if it came loaded.
    #[serde(default)]
    pub digest: Option<Digest>,
    /// The craft it is built into, by id; `None` for a spare and for the ground.
    #[serde(default)]
    pub craft: Option<String>,
    /// Settings written down before a load: level, channel, region and the like, as the unit names them.
    #[serde(default)]
    pub settings_before: BTreeMap<String, String>,
    /// Settings read after the load; `None` while nobody looked.
    #[serde(default)]
    pub settings_after: Option<BTreeMap<String, String>>,
}

impl Unit {
    /// A unit about which nothing but its kind is known.
    pub fn new(label: &str, kind: &str) -> Self {
        Self {
            label: label.to_owned(),
            kind: kind.to_owned(),
            revision: None,
            version: None,
            digest: None,
            craft: None,
            settings_before: BTreeMap::new(),
            settings_after: None,
        }
    }

    /// Settings that a load changed: name, before, after. A setting that nobody read afterwards counts as `None`.
    pub fn settings_lost(&self) -> Option<Vec<(&str, &str, Option<&str>)>> {
        let after = self.settings_after.as_ref()?;
        let lost = |(name, before): (&'_ String, &'_ String)| after.get(name) != Some(before);
        let told = self.settings_before.iter().filter(|pair| lost(*pair));
        Some(
            told.map(|(name, before)| (name.as_str(), before.as_str(), after.get(name).map(String::as_str)))
                .collect(),
        )
    }
}

/// Settings that a unit may have at most, and letters of a name or value.
const SETTINGS_MAX: usize = 60;
const SETTING_LETTERS_MAX: usize = 120;

/// Why settings are not taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[allow(missing_docs)] // The words of each variant say what its fields are.
pub enum SettingsFault {
    #[error("{settings} settings are more than the {SETTINGS_MAX} a unit may have")]
    Many { settings: usize },
    #[error(
        "a setting of {letters} letters is longer than {SETTING_LETTERS_MAX}; write down what it reads, no more"
    )]
    Long { letters: usize },
}

/// Whether settings are such as a unit may have.
pub fn settings_fit(settings: &BTreeMap<String, String>) -> Result<(), SettingsFault> {
    if settings.len() > SETTINGS_MAX {
        return Err(SettingsFault::Many { settings: settings.len() });
    }
    let texts = settings.iter().flat_map(|(name, value)| [name, value]);
    match texts.map(|text| text.chars().count()).find(|letters| *letters > SETTING_LETTERS_MAX) {
        Some(letters) => Err(SettingsFault::Long { letters }),
        None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn too_many_and_too_long_settings_are_told() {
        let many: BTreeMap<_, _> = (0..61).map(|n| (n.to_string(), "x".to_owned())).collect();
        assert_eq!(settings_fit(&many), Err(SettingsFault::Many { settings: 61 }));
        let long = [("level".to_owned(), "9".repeat(121))].into();
        assert_eq!(settings_fit(&long), Err(SettingsFault::Long { letters: 121 }));
        assert_eq!(settings_fit(&[("level".to_owned(), "25 mW".to_owned())].into()), Ok(()));
    }
}
