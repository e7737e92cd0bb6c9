//! What a page or the command sends about units, images, batches and cards.

use serde::Deserialize;
use std::collections::BTreeMap;

/// A unit to describe.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct UnitSent {
    /// Its label.
    pub label: String,
    /// Its kind.
    pub kind: String,
    /// Its board revision; left as it is when left out, unknown when empty.
    #[serde(default)]
    pub revision: Option<String>,
    /// The version it reports; left as it is when left out, unread when empty.
    #[serde(default)]
    pub version: Option<String>,
    /// The craft it is in; left as it is when left out, none when empty.
    #[serde(default)]
    pub craft: Option<String>,
    /// Settings before a load; left as they are when left out.
    #[serde(default)]
    pub settings_before: Option<BTreeMap<String, String>>,
    /// Settings after it; left as they are when left out.
    #[serde(default)]
    pub settings_after: Option<BTreeMap<String, String>>,
}

/// An image to take in.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ImageSent {
    /// Where its file lies on this machine.
    pub file: String,
    /// Its version.
    pub version: String,
    /// Kinds it is for, each with its revisions; no revision is every one.
    pub fits: Vec<FitsSent>,
    /// Notes.
    #[serde(default)]
    pub notes: String,
    /// A step that may not be skipped.
    #[serde(default)]
    pub step: Option<String>,
    /// The end that is loaded first.
    #[serde(default)]
    pub first: Option<String>,
}

/// A kind that an image is for.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FitsSent {
    /// The kind.
    pub kind: String,
    /// Its revisions.
    #[serde(default)]
    pub revisions: Vec<String>,
}

/// Versions that go together, to be listed.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SetSent {
    /// The video system.
    pub system: String,
    /// The version in the air.
    pub air: String,
    /// The version on the ground.
    pub ground: String,
    /// Who says so.
    #[serde(default)]
    pub notes: String,
}

/// A recipe to take in.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RecipeSent {
    /// Its text.
    pub text: String,
}

/// A batch to plan.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlanSent {
    /// What it is called.
    #[serde(default)]
    pub name: String,
    /// The units with the digest of the image for each.
    pub units: Vec<ChosenSent>,
    /// Where the cards lie.
    pub cards: Vec<String>,
    /// Cards to which a yes was said.
    #[serde(default)]
    pub yes: Vec<String>,
    /// The energy of the pack that feeds the units, in Wh; a bench supply when left out.
    #[serde(default)]
    pub pack_watt_hours: Option<f64>,
    /// What that pack is called.
    #[serde(default)]
    pub pack: String,
}

/// A unit with the image chosen for it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ChosenSent {
    /// The unit.
    pub unit: String,
    /// The digest of the image.
    pub digest: String,
}

/// What a unit reports after its turn.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReportSent {
    /// The number of the step.
    pub step: u32,
    /// The version it reports; left out if it did not come back.
    #[serde(default)]
    pub version: Option<String>,
}

/// Under which craft the fault of an odd unit is looked for.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SearchSent {
    /// The craft; left out for a unit that is in one.
    #[serde(default)]
    pub craft: Option<String>,
}

/// What is to be done about an odd unit.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GoOnSent {
    /// The number of the step.
    pub step: u32,
    /// Whether it is tried again; it is left out otherwise.
    pub again: bool,
}
