//! A pose that is asked of a link, from a page or the command line: what is left out is as the craft's sheet plans it.

use crate::drawn::Subject;
use crate::plain_number::plain_number;
use crate::refusal::{Cause, Refusal};
use clap::Args;
use craft::schema::craft::FLY_HEIGHT;
use drawing::link::{LinkFault, LinkShown};
use proof::Proved;
use proof::link::{LOOKED, LinkAsked};
use quantity::{Degrees, Metres, Milliwatts, Unit};
use serde::Deserialize;

/// What is asked. Whatever is left out is as planned.
#[derive(Args, Clone, Debug, Default, Deserialize, PartialEq)]
#[serde(default)]
pub struct LinkWish {
    /// For drawings of the link: how far away the craft is, in m; as planned when left out
    #[arg(long, value_name = "METRES", allow_negative_numbers = true, value_parser = plain_number)]
    pub distance: Option<f64>,
    /// How high it flies above the ground, in m
    #[arg(long, value_name = "METRES", allow_negative_numbers = true, value_parser = plain_number)]
    pub height: Option<f64>,
    /// Where its nose points, in degrees: 0 away from the pilot, left positive
    #[arg(long, value_name = "DEGREES", allow_negative_numbers = true, value_parser = plain_number)]
    pub heading: Option<f64>,
    /// How far its nose is down, in degrees; under nought it is up, as in braking. As in cruise when left out
    #[arg(long, value_name = "DEGREES", allow_negative_numbers = true, value_parser = plain_number)]
    pub nose_down: Option<f64>,
    /// How far it is banked, in degrees, right side down positive
    #[arg(long, value_name = "DEGREES", allow_negative_numbers = true, value_parser = plain_number)]
    pub bank: Option<f64>,
    /// Which level is set, in mW; one that the transmitter offers
    #[arg(long, value_name = "MILLIWATTS", allow_negative_numbers = true, value_parser = plain_number)]
    pub level: Option<f64>,
}

/// The least and the most that may be asked, and what to do about one that lies beyond.
struct Asked {
    what: &'static str,
    least: f64,
    most: f64,
    unit: Unit,
    mend: &'static str,
}

const DISTANCE: Asked = Asked {
    what: "distance",
    least: 1.0,
    most: LOOKED[1].get(),
    unit: Unit::Metres,
    mend: "Up to 20 km the earth still counts as flat here, under 1 m antennas touch; enter metres from the station along the flying line, for example 80.",
};
const HEIGHT: Asked = Asked {
    what: "height",
    least: FLY_HEIGHT.def.min,
    most: FLY_HEIGHT.def.max,
    unit: Unit::Metres,
    mend: "It is the height above the ground, of a craft in the air; enter metres, for example 3, and check your local rules for how high one may fly.",
};
const HEADING: Asked = Asked {
    what: "heading",
    least: -360.0,
    most: 360.0,
    unit: Unit::Degrees,
    mend: "0° is nose away, 180° nose home, 90° to the left; enter one turn or less, for example 90.",
};
const NOSE_DOWN: Asked = Asked {
    what: "nose down",
    least: -90.0,
    most: 90.0,
    unit: Unit::Degrees,
    mend: "0° is level as in hover, over nought the nose is down as in cruise or a dive, under nought it is up as in braking; enter for example 15 or -20.",
};
const BANK: Asked = Asked {
    what: "bank",
    least: -90.0,
    most: 90.0,
    unit: Unit::Degrees,
    mend: "0° is level, to the right is over nought; enter no more than on edge, for example 40 or -40.",
};

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
        if let Some(distance) = within(self.distance, &DISTANCE)? {
            asked.distance = Metres::new(distance);
        }
        if let Some(height) = within(self.height, &HEIGHT)? {
            asked.height = Metres::new(height);
        }
        if let Some(heading) = within(self.heading, &HEADING)? {
            asked.heading = Degrees::new(heading);
        }
        if let Some(down) = within(self.nose_down, &NOSE_DOWN)? {
            asked.nose_down = Degrees::new(down);
        }
        if let Some(bank) = within(self.bank, &BANK)? {
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

fn within(value: Option<f64>, asked: &Asked) -> Result<Option<f64>, Refusal> {
    let Asked { what, least, most, unit, mend } = *asked;
    match value {
        Some(value) if !(least..=most).contains(&value) => {
            let words = format!("{what} {value} {unit} must lie between {least} and {most} {unit}");
            Err(Refusal::new(Cause::Unfit, words).hint(mend))
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
        let refusal = Refusal::new(cause, fault.to_string());
        if matches!(&fault, LinkFault::NoLevel { offered, .. } if offered != "none") {
            refusal.hint("Ask for one of these.")
        } else {
            refusal
        }
    }
}
