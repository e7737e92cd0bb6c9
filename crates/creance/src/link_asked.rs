//! A pose that is asked of a link, from a page or the command line: what is left out is as the craft's sheet plans it.

use crate::drawn::Subject;
use crate::refusal::{Cause, Refusal};
use clap::Args;
use drawing::link::{LinkFault, LinkShown};
use proof::Proved;
use proof::link::LinkAsked;
use quantity::{Degrees, Metres, Milliwatts, Unit};
use serde::Deserialize;

/// What is asked. Whatever is left out is as planned.
#[derive(Args, Clone, Debug, Default, Deserialize, PartialEq)]
#[serde(default)]
pub struct LinkWish {
    /// For drawings of the link: how far away the craft is, in m; as planned when left out
    #[arg(long, value_name = "METRES", allow_negative_numbers = true)]
    pub distance: Option<f64>,
    /// How high it flies above the ground, in m
    #[arg(long, value_name = "METRES", allow_negative_numbers = true)]
    pub height: Option<f64>,
    /// Where its nose points, in degrees: 0 away from the pilot, left positive
    #[arg(long, value_name = "DEGREES", allow_negative_numbers = true)]
    pub heading: Option<f64>,
    /// How far it is banked, in degrees, right side down positive
    #[arg(long, value_name = "DEGREES", allow_negative_numbers = true)]
    pub bank: Option<f64>,
    /// Which level is set, in mW; one that the transmitter offers
    #[arg(long, value_name = "MILLIWATTS", allow_negative_numbers = true)]
    pub level: Option<f64>,
}

/// The least and the most that may be asked, each with its name, unit and mend.
const DISTANCE: (f64, f64) = (1.0, 20_000.0);
const HEIGHT: (f64, f64) = (0.1, 500.0);
const HEADING: (f64, f64) = (-360.0, 360.0);
const BANK: (f64, f64) = (-90.0, 90.0);

impl LinkWish {
    /// Whether nothing is asked.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// The pose of a craft; a refusal says what lacks or lies beyond.
    pub fn asked(&self, craft: &str, proved: &Proved) -> Result<LinkAsked, Refusal> {
        let none = || Refusal::from(LinkFault::NoTransmitter { craft: craft.to_owned() });
        let model = proved.link.as_deref().ok_or_else(none)?;
        let no_level = |wanted: String| {
            let offered: Vec<String> = model.levels.iter().map(|level| level.out.to_string()).collect();
            let offered = if offered.is_empty() { "none".to_owned() } else { offered.join(", ") };
            Refusal::from(LinkFault::NoLevel { craft: craft.to_owned(), wanted, offered })
        };
        let mut asked = LinkAsked::planned(model).ok_or_else(|| no_level("any power".to_owned()))?;
        if let Some(distance) = within("distance", self.distance, DISTANCE, Unit::Metres)? {
            asked.distance = Metres::new(distance);
        }
        if let Some(height) = within("height", self.height, HEIGHT, Unit::Metres)? {
            asked.height = Metres::new(height);
        }
        if let Some(heading) = within("heading", self.heading, HEADING, Unit::Degrees)? {
            asked.heading = Degrees::new(heading);
        }
        if let Some(bank) = within("bank", self.bank, BANK, Unit::Degrees)? {
            asked.bank = Degrees::new(bank);
        }
        if let Some(level) = self.level {
            let near = |offered: f64| (offered - level).abs() <= 0.01 * offered;
            let found = model.levels.iter().find(|offered| near(offered.out.get()));
            asked.level = found.ok_or_else(|| no_level(Milliwatts::new(level).to_string()))?.clone();
        }
        Ok(asked)
    }
}

fn within(
    what: &str,
    value: Option<f64>,
    (least, most): (f64, f64),
    unit: Unit,
) -> Result<Option<f64>, Refusal> {
    match value {
        Some(value) if !(least..=most).contains(&value) => {
            let words = format!("{what} {value} {unit} must lie between {least} and {most} {unit}");
            Err(Refusal::new(Cause::Unfit, words).hint("Check the number."))
        }
        value => Ok(value),
    }
}

/// The pages of what is drawn of the link.
pub fn link_pages(
    what: Subject,
    craft: &str,
    proved: &Proved,
    wish: &LinkWish,
) -> Result<Vec<drawing::Page>, Refusal> {
    let asked = wish.asked(craft, proved)?;
    let shown = LinkShown::new(craft, proved, &asked)?;
    let charts = match what {
        Subject::Range => vec![drawing::link::range(&shown)?.0],
        Subject::Lobes => vec![drawing::link::lobes(&shown)?],
        Subject::Held => vec![drawing::link::held(&shown)?],
        Subject::Pattern => drawing::link::patterns(&shown)?.into_iter().map(|cut| cut.chart).collect(),
        _ => vec![drawing::link::budget(&shown)?.0],
    };
    Ok(charts.iter().map(|chart| chart.page()).collect::<Result<_, _>>().map_err(LinkFault::from)?)
}

impl From<LinkFault> for Refusal {
    fn from(fault: LinkFault) -> Self {
        let cause = match &fault {
            LinkFault::NoLevel { .. } => Cause::NoSuch,
            _ => Cause::Unfit,
        };
        Refusal::new(cause, fault.to_string())
    }
}
