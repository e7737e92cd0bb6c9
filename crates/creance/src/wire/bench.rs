//! The bench: one craft with its proof.

use super::figure::FigureView;
use super::finding::{Counts, FindingView, VerdictWord, finding_views};
use super::part::{PartView, PlaceView, ValueViews, value_views};
use super::solid::SolidView;
use super::target::Owner;
use crate::judged::Judged;
use crate::next_step::NextStep;
use craft::{CraftFault, schema};
use proof::Proved;
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

/// How much there is to prove of a craft: told before the proof, which may take a while.
#[derive(Debug, PartialEq, Eq, Serialize, TS)]
pub struct SizeView {
    /// Places.
    pub places: u32,
    /// Rows in the tables of its parts: plates, standoffs, plugs.
    pub rows: u32,
}

impl From<&craft::Craft> for SizeView {
    fn from(craft: &craft::Craft) -> Self {
        let rows: usize = craft.parts.iter().flat_map(|part| part.tables.values()).map(Vec::len).sum();
        Self { places: craft.places.len() as u32, rows: rows as u32 }
    }
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

/// The figure that holds the mass as it flies.
const MASS_FIGURE: &str = "craft.mass";

impl BenchView {
    /// A craft with its proof; what only the store knows is left blank.
    pub fn new(judged: &Judged, demo: bool) -> Self {
        let Judged { craft, proved, faults, prove_ms, .. } = judged;
        let solid = |(number, solid): (usize, &proof::CraftSolid)| {
            let place = craft.places.get(solid.place).map_or("", |place| place.id.as_str());
            SolidView::new(number as u32, place, solid)
        };
        let place = |(number, place): (usize, &craft::Place)| {
            PlaceView::new(craft, place, proved.anchors.get(number).and_then(Option::as_ref))
        };
        Self {
            craft: CraftView {
                id: craft.id.to_string(),
                name: craft.name.clone(),
                class: craft.class.map(|class| class.word()),
                demo,
                values: value_views(&craft.values, schema::craft::FIELDS),
            },
            revision: 0,
            parts: craft.parts.iter().map(|part| PartView::new(part, Vec::new(), demo)).collect(),
            places: craft.places.iter().enumerate().map(place).collect(),
            solids: proved.solids.iter().enumerate().map(solid).collect(),
            findings: finding_views(craft, &proved.findings),
            figures: proved.figures.iter().map(FigureView::from).collect(),
            verdict: proved.verdict().into(),
            counts: Counts::of(&proved.findings),
            undo: None,
            redo: None,
            mass: mass(proved),
            faults: faults.iter().map(|fault| fault_view(fault, craft.id.as_str())).collect(),
            next_step: None,
            prove_ms: *prove_ms,
        }
    }
}

/// The mass as it flies, where the rules could compute it.
pub fn mass(proved: &Proved) -> Option<MassView> {
    let figure = proved.figures.iter().find(|figure| figure.id.0 == MASS_FIGURE)?;
    Some(MassView { value: figure.quantity.value, uncertainty: figure.uncertainty.unwrap_or(0.0) })
}

fn fault_view(fault: &CraftFault, craft: &str) -> FaultView {
    let (owner, id) = match &fault.at.owner {
        craft::Owner::Craft => (Owner::Craft, craft.to_owned()),
        craft::Owner::Part(part) => (Owner::Part, part.to_string()),
        craft::Owner::Place(place) => (Owner::Place, place.to_string()),
    };
    FaultView { message: fault.to_string(), owner, id, key: fault.at.key.clone().unwrap_or_default() }
}

impl From<NextStep> for NextStepView {
    fn from(step: NextStep) -> Self {
        Self { title: step.title, why: step.why, action: step.action.to_string() }
    }
}
