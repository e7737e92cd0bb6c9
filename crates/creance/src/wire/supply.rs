//! The supply of a craft as a page shows it: charts for what is asked, the table of rails, what lacks.

use super::link::{LinkPage, LinkPicture};
use crate::judged::Judged;
use crate::refusal::{Cause, Refusal};
use crate::supply_asked::SupplyWish;
use drawing::chart::{Chart, Ground};
use drawing::link::lack_words;
use drawing::supply::{SupplyFault, SupplyShown};
use serde::Serialize;
use ts_rs::TS;

/// Which picture of the supply is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SupplyShow {
    /// Over a flight.
    Flight,
    /// A punch, by charge.
    Punch,
    /// How long the pack lasts.
    Endurance,
    /// The table of rails.
    Rails,
    /// Warming up, and by air speed.
    Heat,
}

impl SupplyShow {
    /// By its word.
    pub fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "flight" => Self::Flight,
            "punch" => Self::Punch,
            "endurance" => Self::Endurance,
            "rails" => Self::Rails,
            "heat" => Self::Heat,
            _ => return None,
        })
    }
}

/// The supply of a craft.
#[derive(Serialize, TS)]
pub struct SupplyView {
    /// What has to be entered first, a line each; empty when all is known.
    pub lacks: Vec<String>,
    /// What is shown, as asked or planned.
    pub asked: Option<SupplyPose>,
    /// The levels whose supply power is known, in mW.
    pub levels_mw: Vec<f64>,
    /// What is shown, one after the other.
    pub pictures: Vec<LinkPicture>,
    /// Every rail at work.
    pub rails: Vec<RailView>,
    /// Cautions and what it rests on.
    pub notes: Vec<String>,
}

/// What is asked of a supply.
#[derive(Serialize, TS)]
pub struct SupplyPose {
    /// Charge at landing.
    pub charge_percent: f64,
    /// Pack and air.
    pub temperature_celsius: f64,
    /// The level that is set.
    pub level_mw: f64,
}

/// A rail at work.
#[derive(Serialize, TS)]
pub struct RailView {
    /// What a person calls it.
    pub called: String,
    /// What feeds it.
    pub from: String,
    /// Its set voltage.
    pub volts: f64,
    /// What it usually gives.
    pub usual_amperes: f64,
    /// What it gives at the peak.
    pub peak_amperes: f64,
    /// What it can give when warm.
    pub limit_amperes: f64,
    /// What it turns to heat at the peak.
    pub heat_watts: f64,
    /// What hangs on it.
    pub loads: Vec<String>,
}

/// How wide a picture is when nobody says, in mm.
const WIDTH: f64 = 160.0;

impl SupplyView {
    /// What a page shows of the supply.
    pub fn new(
        judged: &Judged,
        show: SupplyShow,
        wish: &SupplyWish,
        page: &LinkPage,
    ) -> Result<Self, Refusal> {
        let Judged { craft, proved, .. } = judged;
        let lacking = |lacks: Vec<String>| Self {
            lacks,
            asked: None,
            levels_mw: vec![],
            pictures: vec![],
            rails: vec![],
            notes: vec![],
        };
        let Some(supply) = proved.supply.as_deref() else {
            return Ok(lacking(vec!["a video transmitter and a pack on the craft".to_owned()]));
        };
        let model = supply.model();
        let lack = match show {
            SupplyShow::Heat => model.heat.as_ref().err().cloned(),
            SupplyShow::Rails => model.net.as_ref().err().or(model.pack.as_ref().err()).cloned(),
            _ => supply.chain().err(),
        };
        if let Some(lack) = lack {
            return Ok(lacking(lack_words(&lack)));
        }
        let shown = SupplyShown::new(&craft.name, proved, &wish.asked(&craft.name, proved)?)?;
        let mut view = lacking(vec![]);
        let heat = shown.supply.model().heat.as_ref().ok();
        view.levels_mw =
            heat.map_or(vec![], |heat| heat.levels.iter().map(|level| level.out.get()).collect());
        if let Ok(plan) = &shown.supply.model().plan {
            view.asked = Some(SupplyPose {
                charge_percent: plan.land.get(),
                temperature_celsius: plan.pack_at.get(),
                level_mw: heat.map_or(0.0, |heat| heat.levels[heat.set].out.get()),
            });
        }
        view.fill(&shown, show, page)?;
        Ok(view)
    }

    fn fill(&mut self, shown: &SupplyShown, show: SupplyShow, page: &LinkPage) -> Result<(), SupplyFault> {
        use drawing::supply::{by_air_speed, by_warmth, endurance, over_flight, punch_by_charge, warming_up};
        let (width, ground) =
            (page.width.unwrap_or(WIDTH), if page.slate { Ground::Slate } else { Ground::Paper });
        let charts: Vec<Chart> = match show {
            SupplyShow::Flight => vec![over_flight(shown)?],
            SupplyShow::Punch => vec![punch_by_charge(shown)?],
            SupplyShow::Endurance => vec![endurance(shown)?, by_warmth(shown)?],
            SupplyShow::Heat => vec![warming_up(shown)?, by_air_speed(shown)?],
            SupplyShow::Rails => vec![],
        };
        for chart in charts {
            let caption = chart.caption();
            self.pictures.push(LinkPicture {
                svg: chart.picture(width, ground)?,
                title: caption.title.clone(),
                message: caption.message.clone(),
                told: chart.told()?,
                cut: vec![],
            });
            for note in &caption.notes {
                if !self.notes.contains(note) {
                    self.notes.push(note.clone());
                }
            }
        }
        if show == SupplyShow::Rails {
            self.rails = shown
                .supply
                .rail_rows()
                .into_iter()
                .map(|row| RailView {
                    called: row.called,
                    from: row.from,
                    volts: row.out,
                    usual_amperes: row.amperes[0],
                    peak_amperes: row.amperes[1],
                    limit_amperes: row.amperes[2],
                    heat_watts: row.heat,
                    loads: row.loads,
                })
                .collect();
        }
        Ok(())
    }
}

/// A word that names no picture.
pub fn no_such(word: &str) -> Refusal {
    Refusal::new(Cause::NoSuch, format!("there is no picture {word:?} of the supply"))
        .hint("There are flight, punch, endurance, rails and heat.")
}
