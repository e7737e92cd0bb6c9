//! The wiring as a page shows it: the diagram, every pad with its place on it, every wire, the lists, what is at fault.

use super::finding::VerdictWord;
use crate::judged::Judged;
use proof::Proof;
use proof::wiring::{WiringModel, beside_the_wires, power_up_steps, settings_list};
use serde::Serialize;
use ts_rs::TS;

/// As the schema bounds the gauge of a wire.
const GAUGES: [u32; 2] = [4, 40];

/// The wiring of a craft.
#[derive(Serialize, TS)]
pub struct WiringView {
    /// What has to be entered first; empty when there is something to draw.
    pub lacks: String,
    /// The picture; empty where there is none.
    pub svg: String,
    /// Its width, mm.
    pub width: f64,
    /// Its height, mm.
    pub height: f64,
    /// How often wires cross on it, in words, and how sure it is that no drawing has fewer.
    pub crossed: String,
    /// The colours insulation comes in.
    pub colours: Vec<String>,
    /// The thickest and the thinnest gauge there is.
    pub gauges: [u32; 2],
    /// Every pad, in the order of the parts.
    pub pads: Vec<PadView>,
    /// Every wire, in the order of the craft.
    pub wires: Vec<WireView>,
    /// What is joined beside the wires and is not on the picture.
    pub beside: Vec<String>,
    /// What is at fault, in the letters of the picture.
    pub marked: Vec<MarkView>,
    /// What to set, in plain words.
    pub settings: Vec<String>,
    /// The first power-up, in the safe order.
    pub steps: Vec<StepView>,
}

/// A pad.
#[derive(Serialize, TS)]
pub struct PadView {
    /// As an edit names it: `fc/T2`.
    pub name: String,
    /// The part it is on.
    pub part: String,
    /// What it does, in words.
    pub does: String,
    /// What it is joined to, by name.
    pub joined: Vec<String>,
    /// Where it is on the picture, mm; none where it is not drawn.
    pub at: Option<[f64; 2]>,
    /// Whether it looks to the right.
    pub right: bool,
}

/// A wire.
#[derive(Serialize, TS)]
pub struct WireView {
    /// Its row in the craft.
    pub row: u32,
    /// Where it starts.
    pub from: String,
    /// Where it ends.
    pub to: String,
    /// Gauge, if said.
    pub gauge: Option<u32>,
    /// Colour, if said.
    pub colour: Option<String>,
    /// Length to cut, mm.
    pub length: Option<f64>,
    /// Whether somebody said that length; it is worked out otherwise.
    pub length_said: bool,
    /// For a ready-made lead: how many pins it joins.
    pub pins: Option<u32>,
    /// The letters of what is at fault with it.
    pub faults: Vec<String>,
}

/// What is at fault.
#[derive(Serialize, TS)]
pub struct MarkView {
    /// Its letter.
    pub letter: String,
    /// How it stands.
    pub verdict: VerdictWord,
    /// What is the matter.
    pub message: String,
    /// What to do.
    pub mends: Vec<String>,
    /// The wires concerned, by row.
    pub rows: Vec<u32>,
}

/// A step of the first power-up.
#[derive(Serialize, TS)]
pub struct StepView {
    /// What to do.
    pub does: String,
    /// Why.
    pub why: String,
}

impl WiringView {
    /// The wiring of a craft that was judged.
    pub fn new(judged: &Judged) -> Self {
        let Judged { craft, proved, .. } = judged;
        let proof = Proof::new(craft);
        let steps =
            power_up_steps(&proof).into_iter().map(|step| StepView { does: step.does, why: step.why });
        let mut view = Self {
            lacks: String::new(),
            svg: String::new(),
            width: 0.0,
            height: 0.0,
            crossed: String::new(),
            colours: craft::schema::wiring::COLOURS.iter().map(|colour| (*colour).to_owned()).collect(),
            gauges: GAUGES,
            pads: Vec::new(),
            wires: Vec::new(),
            beside: beside_the_wires(&proof).iter().map(proof::wiring::Beside::words).collect(),
            marked: Vec::new(),
            settings: settings_list(&proof),
            steps: steps.collect(),
        };
        let (Some(model), Some(diagram)) = (proved.wiring.as_deref(), drawing::wiring_diagram(craft, proved))
        else {
            view.lacks = "No part has pads yet. Enter the pads and pins of flight controller, transmitter and receiver \
                          on their sheets, in their true order, with what each does."
                .to_owned();
            return view;
        };
        view.pads = (0..model.pads.len()).map(|pad| pad_view(model, &diagram, pad)).collect();
        view.marked = diagram
            .marked
            .iter()
            .map(|fault| MarkView {
                letter: fault.letter.clone(),
                verdict: fault.verdict.into(),
                message: fault.message.clone(),
                mends: proved
                    .findings
                    .get(fault.finding)
                    .map_or_else(Vec::new, |finding| finding.mends.clone()),
                rows: fault.rows.iter().map(|row| *row as u32).collect(),
            })
            .collect();
        view.wires = model.solder_list().into_iter().map(|row| wire_view(&diagram, row)).collect();
        (view.width, view.height) = (diagram.width, diagram.height);
        view.crossed = diagram.crossed;
        view.svg = diagram.svg;
        view
    }
}

fn pad_view(model: &WiringModel, diagram: &drawing::Diagram, pad: usize) -> PadView {
    let it = &model.pads[pad];
    let does = match (it.role, &it.carries) {
        (Some(role), _) => craft::schema::wiring::ROLES
            .iter()
            .zip(proof::wiring::Role::ALL)
            .find(|(_, other)| *other == role)
            .map_or("", |(word, _)| word)
            .to_owned(),
        (None, Some(carries)) => carries.clone(),
        (None, None) => "not said".to_owned(),
    };
    let joins = model.wires.iter().flat_map(|wire| &wire.joins);
    let joined = joins.filter_map(|[a, b]| match (*a == pad, *b == pad) {
        (true, _) => Some(model.pad_name(*b)),
        (_, true) => Some(model.pad_name(*a)),
        _ => None,
    });
    let drawn = diagram.pads.iter().find(|drawn| drawn.pad == pad);
    PadView {
        name: model.pad_name(pad),
        part: model.units[it.unit].called.clone(),
        does,
        joined: joined.collect(),
        at: drawn.map(|drawn| drawn.at),
        right: drawn.is_some_and(|drawn| drawn.right),
    }
}

fn wire_view(diagram: &drawing::Diagram, row: proof::wiring::SolderRow) -> WireView {
    let faults = diagram.marked.iter().filter(|fault| fault.rows.contains(&row.row));
    WireView {
        row: row.row as u32,
        from: row.from,
        to: row.to,
        gauge: row.gauge,
        colour: row.colour,
        length: row.length.map(|(length, _)| length),
        length_said: row.length.is_some_and(|(_, said)| said),
        pins: row.pins.map(|pins| pins as u32),
        faults: faults.map(|fault| fault.letter.clone()).collect(),
    }
}
