//! Is this card fit to carry this image? Judged from what somebody saw of it; nothing is opened here.

use crate::name::{card_folder, same_on_card};
use crate::{Digest, Recipe, Refused};
use serde::{Deserialize, Serialize};

/// A file on a card.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FileSeen {
    /// The folder it lies in, from the top of the card, steps parted by `/`; empty for the top.
    #[serde(default)]
    pub folder: String,
    /// Its name.
    pub name: String,
    /// Its size, in bytes.
    pub size: u64,
    /// Whether it is a link rather than a file.
    pub is_link: bool,
}

/// What was seen of a card.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct CardSeen {
    /// Where it lies.
    pub path: String,
    /// Whether the system calls its device removable; `None` if it does not say.
    pub removable: Option<bool>,
    /// Whether it is a mounted file system of its own rather than a folder of the machine.
    pub is_mount: bool,
    /// The file system, in the system's word, such as `vfat`.
    pub file_system: Option<String>,
    /// How much it holds, in bytes.
    pub size: Option<u64>,
    /// How much is free on it, in bytes.
    pub free: Option<u64>,
    /// The files in the folders where images go.
    pub files: Vec<FileSeen>,
}

/// What was put on a card, as it was read back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct OnCard {
    /// The file, from the top of the card.
    pub file: String,
    /// Its digest.
    pub digest: Digest,
}

/// How file systems are called, here and by machines.
const FILE_SYSTEMS: &[(&str, &[&str])] =
    &[("fat32", &["vfat", "fat32", "msdos"]), ("exfat", &["exfat", "fuseblk.exfat"]), ("ext4", &["ext4"])];

/// Whether a machine's word for a file system is the one a recipe asks for.
pub(crate) fn is_file_system(wanted: &str, found: &str) -> bool {
    let (wanted, found) = (wanted.to_lowercase(), found.to_lowercase());
    let known = FILE_SYSTEMS.iter().find(|(name, _)| *name == wanted);
    wanted == found || known.is_some_and(|(_, words)| words.contains(&found.as_str()))
}

/// The files in the folder of a recipe.
fn beside<'a>(card: &'a CardSeen, recipe: &Recipe) -> impl Iterator<Item = &'a FileSeen> {
    let folder = card_folder(&recipe.folder).unwrap_or_default().join("/");
    card.files.iter().filter(move |file| same_on_card(&file.folder, &folder))
}

/// Files on the card that an installer may take for its image: another one with the same ending in the folder it looks in.
pub fn strays<'a>(card: &'a CardSeen, recipe: &Recipe) -> Vec<&'a str> {
    let ending = |name: &str| name.rsplit_once('.').map(|(_, end)| end.to_lowercase());
    let wanted = ending(&recipe.file_name);
    let is_kept = |name: &str| recipe.keep.iter().any(|kept| same_on_card(&kept.name, name));
    // Where letter case counts, a name that differs in it alone is a second file, and an installer that folds it takes either.
    let is_there = beside(card, recipe).any(|file| file.name == recipe.file_name);
    let stray = |file: &&'a FileSeen| {
        if same_on_card(&file.name, &recipe.file_name) {
            return is_there && file.name != recipe.file_name;
        }
        !is_kept(&file.name) && wanted.is_some() && ending(&file.name) == wanted
    };
    beside(card, recipe).filter(stray).map(|file| file.name.as_str()).collect()
}

/// All that speaks against putting `bytes` of image on this card; `yes` says that the owner named it although it is not
/// known to be removable.
pub fn card_against(card: &CardSeen, recipe: &Recipe, bytes: u64, yes: bool) -> Vec<Refused> {
    let mut found = Vec::new();
    let path = || card.path.clone();
    let known_card = card.removable == Some(true) && card.is_mount;
    if !known_card && !yes {
        let why = match (card.is_mount, card.removable) {
            (false, _) => "it is a folder of this machine, not a card",
            (true, Some(false)) => "its drive is not a removable one",
            (true, _) => "the system does not say whether it can be taken out",
        };
        found.push(Refused::NotRemovable { card: path(), why: why.to_owned() });
    }
    // The old image stays until the new one is whole, so both must find room.
    if let Some(free) = card.free.filter(|free| *free < bytes) {
        found.push(Refused::CardTooSmall { card: path(), needed: bytes, free });
    }
    if let (Some(size), Some(most)) = (card.size, recipe.largest_card)
        && size > most
    {
        found.push(Refused::CardTooLarge { card: path(), bytes: size, most, kind: recipe.kind.clone() });
    }
    if let Some(fs) = card.file_system.as_deref().filter(|_| card.is_mount && !recipe.file_systems.is_empty())
        && !recipe.file_systems.iter().any(|wanted| is_file_system(wanted, fs))
    {
        let wanted = recipe.file_systems.join(" or ");
        found.push(Refused::FileSystem {
            card: path(),
            found: fs.to_owned(),
            wanted,
            kind: recipe.kind.clone(),
        });
    }
    let stray = |name: &str| Refused::Stray { card: path(), stray: name.to_owned() };
    found.extend(strays(card, recipe).into_iter().map(stray));
    let ours = |name: &str| {
        same_on_card(name, &recipe.file_name) || recipe.keep.iter().any(|kept| same_on_card(&kept.name, name))
    };
    let links = beside(card, recipe).filter(|file| file.is_link && ours(&file.name));
    found.extend(links.map(|file| Refused::Link { card: path(), name: file.name.clone() }));
    found
}
