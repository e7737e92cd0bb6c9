//! What flying does to the picture: the curves of a lens as charts, marked at a speed, with the numbers that the rules have there.

use super::course::{CourseChoice, CourseSetting};
use super::figure::FigureView;
use crate::judged::Judged;
use crate::refusal::{Cause, Refusal};
use drawing::chart::{ChartFault, Ground};
use drawing::{FlyingFault, flying_charts, flying_speeds};
use proof::{FlyingCurves, OutlineStore, Proof, flying_curves, flying_marks};
use quantity::MetresPerSecond;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use ts_rs::TS;

/// What is asked; what is left out is as the craft has it.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct FlyingTried {
    /// The place of the lens; the first when left out.
    pub lens: Option<String>,
    /// The marked speed in m/s; the plan's cruise speed when left out.
    pub speed: Option<f64>,
    /// How wide a picture is, in mm.
    pub width: Option<f64>,
    /// Whether it lies on slate.
    pub slate: bool,
}

/// The curves of a lens.
#[derive(Serialize, TS)]
pub struct FlyingView {
    /// Why there is nothing to show, with what to do.
    pub none_because: Option<String>,
    /// The lenses to choose from, each on its camera.
    pub lenses: Vec<CourseChoice>,
    /// The one that is shown.
    pub lens: String,
    /// The marked speed, with what it may be.
    pub speed: CourseSetting,
    /// Whether that is the plan's own.
    pub planned: bool,
    /// The curves.
    pub curves: Vec<FlyingPicture>,
    /// What the rules compute at the plan's speed, each with its working.
    pub figures: Vec<FigureView>,
    /// What all this rests on.
    pub notes: Vec<String>,
}

/// A curve with its words.
#[derive(Serialize, TS)]
pub struct FlyingPicture {
    /// Its id.
    pub id: String,
    /// What it shows.
    pub title: String,
    /// What it says.
    pub message: String,
    /// The picture; none where facts are missing.
    pub svg: Option<String>,
    /// All that it shows, in words.
    pub told: String,
    /// The facts that it wants.
    pub missing: Vec<String>,
    /// What each of its lines says at the marked speed, with its working.
    pub marks: Vec<FigureView>,
}

/// How wide a picture is when nobody says, in mm.
const WIDTH: f64 = 110.0;
/// Figures of the rules about flying, by the beginning of their ids.
const FIGURES: [&str; 8] = [
    "view.nose_down",
    "view.horizon",
    "view.obstacle",
    "view.blur",
    "view.lean",
    "view.latency",
    "view.flown_blind",
    "view.dodge",
];

/// The marked speed: as asked, or the plan's cruise speed, or the middle of what the curves go over.
pub fn marked(
    craft: &craft::Craft,
    curves: &FlyingCurves,
    asked: Option<f64>,
) -> Result<(MetresPerSecond, [MetresPerSecond; 2], bool), Refusal> {
    let planned = craft.item().read(&craft::schema::craft::CRUISE).ok().map(|cruise| cruise.value);
    let range = flying_speeds(curves).unwrap_or([0.0, 20.0].map(MetresPerSecond::new));
    let [least, most] = range.map(MetresPerSecond::get);
    let usual = planned.map_or(0.5 * (least + most), MetresPerSecond::get).clamp(least, most);
    match asked {
        Some(speed) if !(least..=most).contains(&speed) => {
            let words = format!("speed {speed} m/s must lie between {least} and {most} m/s");
            Err(Refusal::new(Cause::Misread, words)
                .hint("The curves go from standing to twice the cruise speed of the plan."))
        }
        Some(speed) => Ok((MetresPerSecond::new(speed), range, planned.is_some_and(|p| p.get() == speed))),
        None => Ok((MetresPerSecond::new(usual), range, planned.is_some())),
    }
}

impl FlyingView {
    /// The curves of one lens of a craft.
    pub fn new(judged: &Judged, outlines: &Arc<OutlineStore>, tried: &FlyingTried) -> Result<Self, Refusal> {
        let craft = &judged.craft;
        let all = judged.flying(outlines);
        let chosen = match tried.lens.as_deref().filter(|word| !word.is_empty()) {
            Some(word) => Some(all.iter().find(|curves| curves.lens.as_str() == word).ok_or_else(|| {
                Refusal::new(Cause::NoSuch, format!("no lens at {word:?} has a picture in flight"))
            })?),
            None => all.first(),
        };
        let setting = |value: f64, range: [f64; 2]| CourseSetting { value, range, unit: "m/s" };
        let Some(curves) = chosen else {
            let none = FlyingFault::NoPicture { craft: craft.name.clone() }.to_string();
            return Ok(Self {
                none_because: Some(none),
                lenses: vec![],
                lens: String::new(),
                speed: setting(0.0, [0.0, 0.0]),
                planned: false,
                curves: vec![],
                figures: vec![],
                notes: vec![],
            });
        };
        let (speed, range, planned) = marked(craft, curves, tried.speed)?;
        let ground = if tried.slate { Ground::Slate } else { Ground::Paper };
        let mut notes: Vec<String> = Vec::new();
        let mut pictures = Vec::new();
        let marks = judged.flying_marks(outlines, &curves.lens, speed);
        for drawn in flying_charts(curves, &marks) {
            let told = |fault: ChartFault| Refusal::from(FlyingFault::from(fault));
            let (mut svg, mut words) = (None, String::new());
            if let Some(chart) = &drawn.chart {
                svg = Some(chart.picture(tried.width.unwrap_or(WIDTH), ground).map_err(told)?);
                words = chart.told().map_err(told)?;
                // What is not drawn stands with the curve itself.
                let last = chart.caption().notes.last();
                notes.extend(last.filter(|note| !notes.contains(note)).cloned());
            }
            pictures.push(FlyingPicture {
                id: drawn.id,
                title: drawn.title,
                message: drawn.message,
                svg,
                told: words,
                missing: drawn.missing,
                marks: drawn.marks.iter().map(|mark| FigureView::from(&mark.figure)).collect(),
            });
        }
        let lens = curves.lens.to_string();
        let about = |id: &str| match id.split_once('[') {
            Some((_, of)) => of.trim_end_matches(']').split(',').any(|one| one.trim() == lens),
            None => true,
        };
        let figures = judged.proved.figures.iter().filter(|figure| {
            let id: &str = &figure.id.0;
            FIGURES.iter().any(|word| id.starts_with(word)) && about(id)
        });
        Ok(Self {
            none_because: None,
            lenses: all
                .iter()
                .map(|curves| CourseChoice { word: curves.lens.to_string(), called: curves.subject.clone() })
                .collect(),
            lens: lens.clone(),
            speed: setting(speed.get(), range.map(MetresPerSecond::get)),
            planned,
            curves: pictures,
            figures: figures.map(FigureView::from).collect(),
            notes,
        })
    }
}

/// The pages of the curves of every lens.
pub fn flying_page(craft: &craft::Craft, asked: Option<f64>) -> Result<Vec<drawing::Page>, Refusal> {
    let proof = Proof::new(craft);
    let all = flying_curves(&proof);
    let mut marks = Vec::new();
    if let Some(first) = all.first() {
        let speed = marked(craft, first, asked)?.0;
        marks.extend(all.iter().flat_map(|curves| flying_marks(&proof, &curves.lens, speed)));
    }
    Ok(drawing::flying_pages(&craft.name, &all, &marks)?)
}

impl From<FlyingFault> for Refusal {
    fn from(fault: FlyingFault) -> Self {
        Refusal::new(Cause::Unfit, fault.to_string())
    }
}
