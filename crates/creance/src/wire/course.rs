//! What a lens shows over the course, and what another one would, with all the numbers and their working.

use super::figure::FigureView;
use crate::course_tried::{BEFORE_GATE, CourseTried, SPEEDS, Shown, TURNS, shown};
use crate::other_picture::Seated;
use crate::refusal::Refusal;
use crate::wire::in_picture::{TILTS, set_tilt};
use craft::{Craft, Part};
use drawing::chart::{Chart, Ground};
use drawing::{course_picture, horizon_chart};
use proof::{Compared, OutlineStore, compared, gains_and_losses};
use serde::Serialize;
use std::sync::Arc;
use ts_rs::TS;

/// What a lens shows over the course.
#[derive(Serialize, TS)]
pub struct CourseView {
    /// Why there is nothing to show, with what to do.
    pub none_because: Option<String>,
    /// The cameras that carry a lens.
    pub cameras: Vec<CourseChoice>,
    /// The camera that is looked through.
    pub camera: String,
    /// Where everything stands, with what it may be.
    pub tilt: CourseSetting,
    /// How fast the craft flies.
    pub speed: CourseSetting,
    /// How far before the first gate.
    pub before: CourseSetting,
    /// How far the nose is turned to the left.
    pub left: CourseSetting,
    /// All of it in words.
    pub words: String,
    /// How far the nose is down.
    pub nose_down: Option<FigureView>,
    /// Why the craft is drawn level.
    pub level_because: Option<String>,
    /// Other pictures that can be held beside.
    pub choices: Vec<CourseChoice>,
    /// The picture, and the one beside it.
    pub pictures: Vec<CoursePicture>,
    /// What both have, line by line.
    pub lines: Vec<CourseLine>,
    /// What the second gains, in words.
    pub gains: Option<String>,
    /// What it gives up.
    pub gives_up: Option<String>,
    /// Where the lens looks against the horizon, over speed.
    pub horizon: Option<CourseChart>,
}

/// A chart with its words.
#[derive(Serialize, TS)]
pub struct CourseChart {
    /// As SVG.
    pub svg: String,
    /// What it says, in a sentence or two.
    pub words: String,
    /// All that it shows, for those who cannot see it.
    pub told: String,
}

/// Something that can be chosen.
#[derive(Serialize, TS)]
pub struct CourseChoice {
    /// The word that asks for it.
    pub word: String,
    /// What a person calls it.
    pub called: String,
}

/// A number that can be set.
#[derive(Serialize, TS)]
pub struct CourseSetting {
    /// Where it stands.
    pub value: f64,
    /// The least and the greatest.
    pub range: [f64; 2],
    /// The symbol of its unit.
    pub unit: &'static str,
}

/// One picture over the course.
#[derive(Serialize, TS)]
pub struct CoursePicture {
    /// What a person calls it.
    pub called: String,
    /// The lens on its camera.
    pub subject: String,
    /// Its shape in words; empty without a picture.
    pub aspect: String,
    /// The picture as SVG.
    pub svg: Option<String>,
    /// Why there is none.
    pub unseen: Option<String>,
    /// How many degrees the whole width shows: what a drag over it turns.
    pub across_degrees: f64,
}

/// One number of both pictures.
#[derive(Serialize, TS)]
pub struct CourseLine {
    /// What it is.
    pub what: String,
    /// What the first has.
    pub one: Option<FigureView>,
    /// What the second has.
    pub other: Option<FigureView>,
    /// By how much the second has more; negative for less.
    pub more: Option<f64>,
    /// The unit of that.
    pub unit: &'static str,
}

/// The view of a lens whose image ends before the picture does, in degrees: what a drag over the whole width turns then.
const ACROSS_USUAL: f64 = 120.0;

impl CourseView {
    /// What a lens of a craft shows.
    pub fn new(
        craft: &Craft,
        camera: Option<&str>,
        drawer: &[Part],
        tried: &CourseTried,
        outlines: &Arc<OutlineStore>,
    ) -> Result<Self, Refusal> {
        let asked = tried.asked()?;
        let none_because = drawing::no_lens(craft).to_string();
        let Some(seated) = Seated::of(craft, camera) else { return Ok(Self::without_lens(none_because)) };
        let (one, other) = shown(craft, &seated, drawer, tried, outlines)?;
        let tilt = craft.place(&seated.camera).map_or(0.0, set_tilt);
        let lens = seated.lens.to_string();
        let lines = compared((&one.seen, &lens), other.as_ref().map(|other| (&other.seen, lens.as_str())));
        let [gains, gives_up] = gains_and_losses(&lines);
        let aspect = one.view().and_then(|view| view.as_ref().ok()).map(|view| view.aspect_words());
        let setting = |value: f64, range: [f64; 2], unit: &'static str| CourseSetting { value, range, unit };
        // The two are drawn at the same time.
        let pictures = std::thread::scope(|scope| {
            let second = other.as_ref().map(|other| scope.spawn(|| CoursePicture::new(other)));
            let first = CoursePicture::new(&one);
            let second = second.and_then(|second| second.join().ok());
            std::iter::once(first).chain(second).collect()
        });
        Ok(Self {
            none_because: None,
            cameras: cameras(craft),
            camera: seated.camera.to_string(),
            tilt: setting(tilt, TILTS, "°"),
            speed: setting(one.seen.speed.get(), SPEEDS, "m/s"),
            before: setting(asked.before_gate.get(), BEFORE_GATE, "m"),
            left: setting(asked.left.get(), TURNS, "°"),
            words: one.seen.words(),
            nose_down: one.seen.nose_down.as_ref().ok().map(FigureView::from),
            level_because: one.seen.nose_down.as_ref().err().map(|missing| {
                let facts: Vec<&str> = missing.iter().map(|missing| missing.label.as_str()).collect();
                format!("Drawn level: how far the nose is down follows from the {}", facts.join(", the "))
            }),
            choices: seated
                .choices(craft, drawer, aspect.as_deref())
                .into_iter()
                .map(|choice| CourseChoice { word: choice.word, called: choice.called })
                .collect(),
            pictures,
            lines: lines.iter().map(CourseLine::from).collect(),
            gains,
            gives_up,
            horizon: one
                .view()
                .and_then(|view| horizon_chart(view.as_ref().ok()?, &one.seen))
                .and_then(|chart| CourseChart::new(&chart)),
        })
    }

    fn without_lens(words: String) -> Self {
        let setting = |range: [f64; 2], unit: &'static str| CourseSetting { value: 0.0, range, unit };
        Self {
            none_because: Some(words),
            cameras: Vec::new(),
            camera: String::new(),
            tilt: setting(TILTS, "°"),
            speed: setting(SPEEDS, "m/s"),
            before: setting(BEFORE_GATE, "m"),
            left: setting(TURNS, "°"),
            words: String::new(),
            nose_down: None,
            level_because: None,
            choices: Vec::new(),
            pictures: Vec::new(),
            lines: Vec::new(),
            gains: None,
            gives_up: None,
            horizon: None,
        }
    }
}

/// How wide a chart is, in mm: half a page, which a phone shows without turning.
const CHART_WIDTH: f64 = 120.0;

impl CourseChart {
    fn new(chart: &Chart) -> Option<Self> {
        let svg = chart.picture(CHART_WIDTH, Ground::Paper).ok()?;
        let words = match chart {
            Chart::Curves(curves) => curves.caption.message.clone(),
            _ => String::new(),
        };
        Some(Self { svg, words, told: chart.told().ok()? })
    }
}

/// Every camera that carries a lens.
fn cameras(craft: &Craft) -> Vec<CourseChoice> {
    let camera = |place: &craft::Place| {
        let seated = Seated::of(craft, Some(place.id.as_str()))?;
        let called = craft.part_at(place)?.name.clone();
        Some(CourseChoice { word: seated.camera.to_string(), called })
    };
    craft.places.iter().filter_map(camera).collect()
}

impl CoursePicture {
    fn new(shown: &Shown) -> Self {
        let called = shown.called.clone();
        match shown.view() {
            Some(Ok(view)) => Self {
                called,
                subject: view.subject.clone(),
                aspect: view.aspect_words(),
                svg: Some(course_picture(view, &shown.seen.flight())),
                unseen: None,
                across_degrees: view.angles()[0].map_or(ACROSS_USUAL, |angle| angle.get()),
            },
            unseen => Self {
                called,
                subject: unseen
                    .and_then(|unseen| unseen.as_ref().err())
                    .map_or(String::new(), |unseen| unseen.subject.clone()),
                aspect: String::new(),
                svg: None,
                unseen: Some(
                    unseen
                        .and_then(|unseen| unseen.as_ref().err())
                        .map_or("Nobody can say what this lens sees".to_owned(), |unseen| unseen.words()),
                ),
                across_degrees: ACROSS_USUAL,
            },
        }
    }
}

impl From<&Compared> for CourseLine {
    fn from(line: &Compared) -> Self {
        Self {
            what: line.what.clone(),
            one: line.one.as_ref().map(FigureView::from),
            other: line.other.as_ref().map(FigureView::from),
            more: line.more(),
            unit: line.unit().symbol(),
        }
    }
}
