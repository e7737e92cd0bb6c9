//! What each lens sees of the craft: the picture, what fills it, what the rule says; as set, or at a tilt that is tried.

use super::figure::FigureView;
use super::finding::VerdictWord;
use crate::judged::Judged;
use craft::Place;
use craft::schema::place;
use drawing::{bare_picture, lens_in_the_way, picture_facts, share_words, swatch};
use proof::limits::BLADES_IN_PICTURE;
use proof::{Finding, LensView, Unseen};
use serde::Serialize;
use ts_rs::TS;

/// The least and greatest tilt that is worth trying: cameras look level or up, a race craft's to some 70 degrees.
pub const TILTS: [f64; 2] = [-15.0, 75.0];

/// What every lens on a camera sees.
#[derive(Serialize, TS)]
pub struct InPictureView {
    /// Each lens, in the order of the sheet.
    pub lenses: Vec<LensShown>,
    /// Why there is none, with what to do.
    pub none_because: Option<String>,
    /// What blades may fill and be sound, and over what they are broken, in per cent.
    pub limits_percent: [f64; 2],
    /// The least and greatest tilt that is worth trying.
    pub tried_degrees: [f64; 2],
}

/// What one lens sees.
#[derive(Serialize, TS)]
pub struct LensShown {
    /// What a person calls it.
    pub subject: String,
    /// The place of the lens.
    pub lens: String,
    /// The place of the camera.
    pub camera: String,
    /// The tilt the camera is given here: what is set, or what is tried.
    pub tilt_degrees: f64,
    /// The picture; null where nobody can say what it sees.
    pub picture: Option<PictureShown>,
    /// Why there is no picture.
    pub unseen: Option<String>,
}

/// A picture with what is in it.
#[derive(Serialize, TS)]
pub struct PictureShown {
    /// The picture as SVG.
    pub svg: String,
    /// Its shape in words: `16 : 9`.
    pub aspect: String,
    /// How far the lens looks up, in the craft's own frame.
    pub looks_up_degrees: f64,
    /// How much each kind fills.
    pub fills: Vec<FillShown>,
    /// What is left free, in words.
    pub free: String,
    /// The same with its working.
    pub free_figure: FigureView,
    /// What it was made from: what each is called, and its value in words.
    pub facts: Vec<[String; 2]>,
    /// What the rule says; nothing without blades.
    pub verdict: Option<VerdictWord>,
    /// The same in a sentence.
    pub message: Option<String>,
    /// What clears it.
    pub mends: Vec<String>,
}

/// How much one kind fills.
#[derive(Serialize, TS)]
pub struct FillShown {
    /// What a person calls it.
    pub what: &'static str,
    /// Its share of the lit picture, in words.
    pub share: String,
    /// The same as a number, in per cent.
    pub percent: f64,
    /// A piece of its hatch, as SVG.
    pub swatch_svg: String,
    /// The share with its working.
    pub figure: FigureView,
}

impl InPictureView {
    /// What the lenses of a craft see.
    pub fn new(judged: &Judged) -> Self {
        let Judged { craft, proved, .. } = judged;
        let lens = |view: &Result<LensView, Unseen>| match view {
            Ok(view) => {
                let [lens, camera] = [view.lens, view.camera].map(|n| craft.places[n].id.to_string());
                let picture = Some(PictureShown::new(judged, view));
                let tilt_degrees = craft.places.get(view.camera).map_or(0.0, set_tilt);
                LensShown { subject: view.subject.clone(), lens, camera, tilt_degrees, picture, unseen: None }
            }
            Err(unseen) => {
                let [lens, camera] = unseen.places.clone();
                let tilt_degrees = craft.place(&camera).map_or(0.0, set_tilt);
                LensShown {
                    subject: unseen.subject.clone(),
                    lens: lens.to_string(),
                    camera: camera.to_string(),
                    tilt_degrees,
                    picture: None,
                    unseen: Some(unseen.words()),
                }
            }
        };
        Self {
            lenses: proved.views.iter().map(lens).collect(),
            none_because: proved.views.is_empty().then(|| drawing::no_lens(craft).to_string()),
            limits_percent: [BLADES_IN_PICTURE.tight, BLADES_IN_PICTURE.broken],
            tried_degrees: TILTS,
        }
    }
}

/// What two findings say, in one sentence after the other.
fn joined(first: Option<&Finding>, second: Option<&Finding>) -> Option<String> {
    let all: Vec<&str> =
        [first, second].into_iter().flatten().map(|finding| finding.message.as_str()).collect();
    (!all.is_empty()).then(|| all.join(". "))
}

/// The tilt that is set.
pub fn set_tilt(camera: &Place) -> f64 {
    camera.item().read(&place::PITCH).map_or(0.0, |tilt| tilt.value.get())
}

impl PictureShown {
    fn new(judged: &Judged, view: &LensView) -> Self {
        let Judged { craft, proved, .. } = judged;
        let fills = view.fills();
        let broken = lens_in_the_way(proved, view);
        let place = craft.places.get(view.lens);
        let finding = place.and_then(|place| proved.finding_at(BLADES_IN_PICTURE.rule, &place.id));
        let called = |solid: usize| proved.solids[solid].solid.name.clone();
        let fill = |(kind, share): &(proof::SeenAs, quantity::Percent)| {
            let judged_figure = finding.and_then(|finding| finding.figure.as_ref());
            let own = judged_figure.and_then(|id| proved.figures.iter().find(|figure| figure.id == *id));
            // Blades are judged: their share has its doubt.
            let figure = match (*kind, own) {
                (proof::SeenAs::Blades, Some(own)) => FigureView::from(own),
                _ => FigureView::from(&view.fill_figure(Some(*kind), called)),
            };
            FillShown {
                what: kind.words(),
                share: share_words(share.get()),
                percent: share.get(),
                swatch_svg: swatch(*kind),
                figure,
            }
        };
        Self {
            svg: bare_picture(view, &proved.solids),
            aspect: view.aspect_words(),
            looks_up_degrees: view.tilt.get(),
            fills: fills.by_kind.iter().map(fill).collect(),
            free: share_words(fills.free.get()),
            free_figure: FigureView::from(&view.fill_figure(None, called)),
            facts: picture_facts(view).into_iter().map(|(what, value)| [what.to_owned(), value]).collect(),
            // A lens inside a plate is told first: what it would see is no picture of a craft that can be built.
            verdict: broken.first().copied().or(finding).map(|finding| finding.verdict.into()),
            message: joined(broken.first().copied(), finding),
            mends: broken
                .first()
                .copied()
                .into_iter()
                .chain(finding)
                .flat_map(|finding| finding.mends.clone())
                .collect(),
        }
    }
}
