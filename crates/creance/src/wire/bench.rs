//! The bench: one craft with its proof.

use super::figure::FigureView;
use super::finding::{Counts, FindingView, VerdictWord};
use super::part::{PartView, PlaceView, ValueViews};
use super::solid::SolidView;
use super::target::Owner;
use serde::Serialize;
use ts_rs::TS;

/// All the bench shows of one craft.
#[derive(Serialize, TS)]
pub struct BenchView {
    /// The craft itself.
    pub craft: CraftView,
    /// Grows with every edit.
    pub revision: u32,
    /// Its parts, in the order of the sheet.
    pub parts: Vec<PartView>,
    /// Its places, in the order of the sheet.
    pub places: Vec<PlaceView>,
    /// Its solids, for the 3D view.
    pub solids: Vec<SolidView>,
    /// What the rules say, worst first.
    pub findings: Vec<FindingView>,
    /// What was computed.
    pub figures: Vec<FigureView>,
    /// The verdict on the whole.
    pub verdict: VerdictWord,
    /// How many findings of each verdict.
    pub counts: Counts,
    /// Words of what would be undone.
    pub undo: Option<String>,
    /// Words of what would be done again.
    pub redo: Option<String>,
    /// The mass as it flies, in g.
    pub mass: Option<MassView>,
    /// What keeps the craft from being proved as a whole.
    pub faults: Vec<FaultView>,
    /// What a newcomer does next.
    pub next_step: Option<NextStepView>,
    /// How long the proof took.
    pub prove_ms: f64,
}

/// The craft as a whole.
#[derive(Serialize, TS)]
pub struct CraftView {
    /// Its id.
    pub id: String,
    /// What the builder calls it.
    pub name: String,
    /// The word of its class.
    pub class: Option<&'static str>,
    /// Whether it belongs to the demo.
    pub demo: bool,
    /// What is said of the whole.
    pub values: ValueViews,
}

/// A mass, in g.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, TS)]
pub struct MassView {
    /// The number.
    pub value: f64,
    /// The standard uncertainty.
    pub uncertainty: f64,
}

/// Something that keeps a part of the craft out of the proof.
#[derive(Serialize, TS)]
pub struct FaultView {
    /// What is wrong and how to mend it.
    pub message: String,
    /// Whose it is.
    pub owner: Owner,
    /// The id of the part, place or craft.
    pub id: String,
    /// The key of the field concerned; empty when it concerns the whole.
    pub key: String,
}

/// What a newcomer does next.
#[derive(Serialize, TS)]
pub struct NextStepView {
    /// What to do.
    pub title: String,
    /// Why, in a sentence that teaches.
    pub why: String,
    /// What the page opens: `class`, `add:frame`, `fill:cam.body_width`, `place:vtx`, `read`.
    pub action: String,
}
