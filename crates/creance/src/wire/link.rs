//! The radio link as a page shows it: charts for the pose that is asked, figures with their working, what lacks.

use super::figure::FigureView;
use crate::judged::Judged;
use crate::link_asked::LinkWish;
use crate::refusal::{Cause, Refusal};
use drawing::chart::{Chart, Ground};
use drawing::link::{LinkFault, LinkShown, PatternRow, asked_words, lack_words};
use proof::link::{LinkAsked, LinkModel};
use quantity::Figure;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// Which picture of the link is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LinkShow {
    /// Signed terms.
    Budget,
    /// Range against power.
    Range,
    /// Share of the time against distance.
    Held,
    /// Margin over distance and height.
    Lobes,
    /// What each antenna sends.
    Pattern,
    /// What one thing more or less costs.
    Costs,
    /// Which antenna carries where.
    Station,
}

impl LinkShow {
    /// By its word.
    pub fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "budget" => Self::Budget,
            "range" => Self::Range,
            "held" => Self::Held,
            "lobes" => Self::Lobes,
            "pattern" => Self::Pattern,
            "costs" => Self::Costs,
            "station" => Self::Station,
            _ => return None,
        })
    }
}

/// What a page asks besides the pose.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct LinkPage {
    /// How wide the picture is, in mm.
    pub width: Option<f64>,
    /// Whether it lies on slate.
    pub slate: bool,
}

/// The radio link of a craft.
#[derive(Serialize, TS)]
pub struct LinkView {
    /// What has to be entered first, a line each; empty when the link is known.
    pub lacks: Vec<String>,
    /// What is not planned, with what stands in for it.
    pub unplanned: Vec<String>,
    /// The pose, as it is shown.
    pub asked: Option<LinkPose>,
    /// The same in words.
    pub asked_words: String,
    /// The levels that the transmitter offers, in mW.
    pub levels_mw: Vec<f64>,
    /// What is shown, one after the other.
    pub pictures: Vec<LinkPicture>,
    /// Each number with its working.
    pub figures: Vec<FigureView>,
    /// Which antenna carries where: from, to, antenna, the least margin.
    pub carried: Vec<[String; 4]>,
    /// Cautions and what it rests on.
    pub notes: Vec<String>,
}

/// A pose.
#[derive(Serialize, TS)]
pub struct LinkPose {
    /// Along the flying line.
    pub distance_m: f64,
    /// Above the ground.
    pub height_m: f64,
    /// Nought away from the pilot, left positive.
    pub heading_degrees: f64,
    /// Nose down positive; up, as in braking, is under nought.
    pub nose_down_degrees: f64,
    /// Right side down positive.
    pub bank_degrees: f64,
    /// The level that is set.
    pub level_mw: f64,
}

/// A picture with its words.
#[derive(Serialize, TS)]
pub struct LinkPicture {
    /// The picture; empty where there are words only.
    pub svg: String,
    /// What it shows, of what.
    pub title: String,
    /// What it says.
    pub message: String,
    /// All that it shows, in words.
    pub told: String,
    /// Of an antenna: what it sends, direction by direction.
    pub cut: Vec<LinkCutRow>,
}

impl LinkPicture {
    /// A picture whose message says all.
    fn of_words(svg: String, title: String, message: String) -> Self {
        Self { svg, title, told: message.clone(), message, cut: vec![] }
    }
}

/// What an antenna sends in one direction, in words, each number with its unit.
#[derive(Serialize, TS)]
pub struct LinkCutRow {
    /// Which way.
    pub direction: String,
    /// What the antenna sends.
    pub gain: String,
    /// What is left once the craft has taken its part.
    pub left: String,
    /// Which way the wave turns, or that it is linear.
    pub hand: String,
    /// How far from round it is.
    pub axial_ratio: String,
    /// How far its long axis is tilted from the level.
    pub tilt: String,
}

impl From<PatternRow> for LinkCutRow {
    fn from(row: PatternRow) -> Self {
        let PatternRow { direction, gain, left, hand, axial_ratio, tilt } = row;
        Self { direction, gain, left, hand, axial_ratio, tilt }
    }
}

/// How wide a picture is when nobody says, in mm.
const WIDTH: f64 = 160.0;

impl LinkView {
    /// What a page shows of the link.
    pub fn new(judged: &Judged, show: LinkShow, wish: &LinkWish, page: &LinkPage) -> Result<Self, Refusal> {
        let Judged { craft, proved, .. } = judged;
        let lacking = |lacks: Vec<String>, levels_mw: Vec<f64>| Self {
            lacks,
            unplanned: vec![],
            asked: None,
            asked_words: String::new(),
            levels_mw,
            pictures: vec![],
            figures: vec![],
            carried: vec![],
            notes: vec![],
        };
        let Some(model) = proved.link.as_deref() else {
            return Ok(lacking(vec!["a video transmitter on the craft".to_owned()], vec![]));
        };
        let levels_mw: Vec<f64> = model.levels.iter().map(|level| level.out.get()).collect();
        let mut lacks = model.link().err().map_or(vec![], lack_words);
        if levels_mw.is_empty() {
            lacks.push("the levels of the video transmitter".to_owned());
        }
        if !lacks.is_empty() {
            return Ok(lacking(lacks, levels_mw));
        }
        let asked = wish.asked(&craft.name, proved)?;
        let shown = LinkShown::new(&craft.name, proved, &asked)?;
        let mut view = lacking(vec![], levels_mw);
        view.unplanned = unplanned(model);
        view.asked_words = asked_words(&asked);
        view.asked = Some(LinkPose {
            distance_m: asked.distance.get(),
            height_m: asked.height.get(),
            heading_degrees: asked.heading.get(),
            nose_down_degrees: asked.nose_down.get(),
            bank_degrees: asked.bank.get(),
            level_mw: asked.level.out.get(),
        });
        view.fill(&shown, show, page)?;
        Ok(view)
    }

    fn fill(&mut self, shown: &LinkShown, show: LinkShow, page: &LinkPage) -> Result<(), Refusal> {
        let (width, ground) =
            (page.width.unwrap_or(WIDTH), if page.slate { Ground::Slate } else { Ground::Paper });
        let mut put = |chart: Chart| -> Result<(), LinkFault> {
            let caption = chart.caption();
            self.pictures.push(LinkPicture {
                svg: chart.picture(width, ground)?,
                title: caption.title.clone(),
                message: caption.message.clone(),
                told: chart.told()?,
                cut: vec![],
            });
            for note in &caption.notes {
                // The pose stands above all pictures already.
                if !self.notes.contains(note) && *note != format!("Asked: {}.", self.asked_words) {
                    self.notes.push(note.clone());
                }
            }
            Ok(())
        };
        let figures: Vec<Figure> = match show {
            LinkShow::Budget => {
                let (chart, figures) = drawing::link::budget(shown)?;
                put(chart)?;
                figures
            }
            LinkShow::Range => {
                let (chart, figures) = drawing::link::range(shown)?;
                put(chart)?;
                figures
            }
            LinkShow::Held => {
                put(drawing::link::held(shown)?)?;
                in_hand(shown)?
            }
            LinkShow::Lobes => {
                put(drawing::link::lobes(shown)?)?;
                in_hand(shown)?
            }
            LinkShow::Pattern => {
                let cuts = drawing::link::patterns(shown)?;
                let mut figures = Vec::new();
                let mut tables = Vec::new();
                for cut in cuts {
                    put(cut.chart)?;
                    tables.push(cut.rows.into_iter().map(LinkCutRow::from).collect());
                    figures.extend(cut.figures);
                }
                for (picture, rows) in self.pictures.iter_mut().zip(tables) {
                    picture.cut = rows;
                }
                figures
            }
            LinkShow::Costs => {
                let (caption, figures) = drawing::link::costs(shown)?;
                self.notes.extend(caption.notes);
                let (title, message) = (caption.title, caption.message);
                self.pictures.push(LinkPicture::of_words(String::new(), title, message));
                figures
            }
            LinkShow::Station => {
                let plan = drawing::link::plan_view(shown, width, ground)?;
                let (title, message) = (plan.title, plan.message);
                self.pictures.push(LinkPicture::of_words(plan.svg, title, message));
                self.notes.extend(plan.notes);
                self.carried = plan.rows;
                in_hand(shown)?
            }
        };
        self.figures = figures.iter().map(FigureView::from).collect();
        Ok(())
    }
}

/// Margin and share of the time at the asked pose.
fn in_hand(shown: &LinkShown) -> Result<Vec<Figure>, Refusal> {
    let (_, figures) = drawing::link::budget(shown)?;
    Ok(figures.into_iter().take(3).collect())
}

/// What the sheet does not plan, with what stands in for it.
fn unplanned(model: &LinkModel) -> Vec<String> {
    let plan = &model.plan;
    let Some(planned) = LinkAsked::planned(model) else { return vec![] };
    let mut lines = Vec::new();
    if plan.fly_to.is_err() {
        lines.push(format!("how far it is to fly is not planned: shown from {}", planned.distance));
    }
    if plan.height.is_err() {
        lines.push(format!("how high it is to fly is not planned: shown from {}", planned.height));
    }
    if plan.level.is_err() {
        lines.push(format!("no level is set: shown at {}, the least", planned.level.out));
    }
    if let (Some(held), Ok(level)) = (&plan.held_low, &plan.level) {
        lines.push(format!(
            "{} is set, but {}: shown at {}, where it stays",
            held.set.out, held.why, level.out
        ));
    }
    match &plan.cruise_nose {
        Err(_) => lines.push("how far the nose is down in cruise nobody can say: shown level".to_owned()),
        Ok(nose) if !nose.stated => lines.push(format!(
            "how far the nose is down in cruise is not stated: {:.0}° {}, as the view has it",
            nose.down.get(),
            nose.because()
        )),
        Ok(_) => {}
    }
    lines
}

/// A word that names no picture.
pub fn no_such(word: &str) -> Refusal {
    Refusal::new(Cause::NoSuch, format!("there is no picture {word:?} of the link"))
        .hint("There are budget, range, held, lobes, pattern, costs and station.")
}
