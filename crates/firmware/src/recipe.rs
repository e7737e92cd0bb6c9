//! How is a kind of unit loaded? A recipe says, and it is data that anyone can write.

use crate::End;
use serde::{Deserialize, Serialize};

/// A file that must lie on the card beside the image and stay there.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Kept {
    /// Its name, in the same folder.
    pub name: String,
    /// What is in it; often nothing.
    #[serde(default)]
    pub text: String,
}

/// How a kind of unit is loaded.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Recipe {
    /// The kind of unit.
    pub kind: String,
    /// The video system, which both ends share.
    pub system: String,
    /// At which end it works.
    pub end: End,
    /// The exact name the installer looks for.
    pub file_name: String,
    /// The folder on the card; empty for its top.
    #[serde(default)]
    pub folder: String,
    /// Files that must stay on the card.
    #[serde(default)]
    pub keep: Vec<Kept>,
    /// The file systems that the installer reads, such as `fat32`; empty for any.
    #[serde(default)]
    pub file_systems: Vec<String>,
    /// The largest card it reads, in bytes.
    #[serde(default)]
    pub largest_card: Option<u64>,
    /// Whether the installer takes the image away when it is done, so that each unit needs it put back.
    #[serde(default)]
    pub eats_image: bool,
    /// The longest that loading takes, in minutes.
    #[serde(default)]
    pub minutes: Option<f64>,
    /// What the unit draws while it is loaded, in W.
    #[serde(default)]
    pub watts: Option<f64>,
    /// What tells that it is done: a light, a tone, a version on the screen.
    #[serde(default)]
    pub done_when: String,
}
