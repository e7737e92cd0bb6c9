//! The fleet: every craft of a workshop at a glance.

use super::bench::mass;
use super::care::{DueView, due_of};
use super::finding::{Counts, VerdictWord};
use crate::judged::Judged;
use firmware::Unit;
use proof::{History, Verdict};
use serde::Serialize;
use ts_rs::TS;

/// Every craft of the workshop.
#[derive(Serialize, TS)]
pub struct FleetView {
    /// The craft, the user's own first.
    pub craft: Vec<FleetCraft>,
    /// Whether the demo is in this workshop.
    pub demo_loaded: bool,
    /// The name of the workshop's file.
    pub workshop: String,
}

/// One craft at a glance.
#[derive(Serialize, TS)]
pub struct FleetCraft {
    /// Its id.
    pub id: String,
    /// What the builder calls it.
    pub name: String,
    /// The word of its class.
    pub class: Option<&'static str>,
    /// The class in plain words; empty when nobody said.
    pub class_plain: &'static str,
    /// Whether it belongs to the demo.
    pub demo: bool,
    /// The verdict on the whole.
    pub verdict: VerdictWord,
    /// How many findings of each verdict.
    pub counts: Counts,
    /// What the worst finding says, unless all is sound.
    pub worst: Option<String>,
    /// Its mass as it flies.
    pub mass_g: Option<f64>,
    /// Versions at both ends: its own units and those of the ground, each with its label.
    pub versions: Vec<String>,
    /// What care and loading ask for, worst first.
    pub due: Vec<DueView>,
    /// A small top view.
    pub outline_svg: String,
}

/// The id of what was made.
#[derive(Serialize, TS)]
pub struct Made {
    /// The id.
    pub id: String,
}

/// One line of a craft's journal.
#[derive(Serialize, TS)]
pub struct JournalLine {
    /// Its number, growing.
    pub number: u32,
    /// When, as ISO 8601 in UTC.
    pub at: String,
    /// What happened, in words.
    pub words: String,
}

/// Where a backup was written.
#[derive(Serialize, TS)]
pub struct BackupView {
    /// The path of the file.
    pub path: String,
}

/// What runs.
#[derive(Serialize, TS)]
pub struct Health {
    /// The name of the program.
    pub name: &'static str,
    /// Its version.
    pub version: &'static str,
}

impl FleetCraft {
    /// A craft at a glance.
    pub fn new(judged: &Judged, demo: bool) -> Self {
        let Judged { craft, proved, .. } = judged;
        let worst = proved.findings.first().filter(|finding| finding.verdict != Verdict::Sound);
        Self {
            id: craft.id.to_string(),
            name: craft.name.clone(),
            class: craft.class.map(|class| class.word()),
            class_plain: craft.class.map_or("", |class| class.plain()),
            demo,
            verdict: proved.verdict().into(),
            counts: Counts::of(&proved.findings),
            worst: worst.map(|finding| finding.message.clone()),
            mass_g: mass(proved).map(|mass| mass.value),
            versions: Vec::new(),
            due: due_of(judged),
            outline_svg: drawing::thumbnail(craft, proved),
        }
    }
}

impl FleetCraft {
    /// The same with the versions at both ends.
    pub fn with_versions(mut self, history: &History) -> Self {
        let told = |end: &str, unit: &Unit| {
            let version = unit.version.as_ref().map_or("version unread".to_owned(), ToString::to_string);
            format!("{end}{} {version}", unit.label)
        };
        let mine: Vec<&Unit> =
            history.units.iter().filter(|unit| unit.craft.as_deref() == Some(self.id.as_str())).collect();
        self.versions = mine.iter().map(|unit| told("", unit)).collect();
        let mut ground: Vec<String> = mine
            .iter()
            .filter_map(|unit| history.recipe_of(unit))
            .flat_map(|recipe| history.ground_of(&recipe.system))
            .map(|unit| told("ground ", unit))
            .collect();
        ground.sort();
        ground.dedup();
        self.versions.extend(ground);
        self
    }
}

impl From<&workshop::JournalLine> for JournalLine {
    fn from(line: &workshop::JournalLine) -> Self {
        Self {
            number: u32::try_from(line.seq).unwrap_or(u32::MAX),
            at: line.at.to_string(),
            words: line.what.clone(),
        }
    }
}
