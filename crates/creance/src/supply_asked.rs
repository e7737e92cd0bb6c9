//! What is asked of a supply, from a page or the command line: what is left out is as the craft's sheet plans it.

use crate::refusal::{Cause, Refusal};
use drawing::Page;
use drawing::supply::{SupplyFault, SupplyShown};
use proof::Proved;
use proof::supply::SupplyAsked;
use quantity::Unit;
use serde::Deserialize;

/// What is asked. Whatever is left out is as planned.
#[derive(Clone, Debug, Default, Deserialize, PartialEq)]
#[serde(default)]
pub struct SupplyWish {
    /// Charge at which it lands, in per cent.
    pub charge: Option<f64>,
    /// Pack and air, in °C.
    pub temperature: Option<f64>,
    /// The level, in mW: one that the transmitter offers.
    pub level: Option<f64>,
}

const CHARGE: (f64, f64) = (0.0, 99.0);
const TEMPERATURE: (f64, f64) = (-20.0, 60.0);

impl SupplyWish {
    /// Read; a refusal says what lies beyond.
    pub fn asked(&self, craft: &str, proved: &Proved) -> Result<SupplyAsked, Refusal> {
        let within =
            |what: &str, value: Option<f64>, (least, most): (f64, f64), unit: Unit, mend: &str| match value {
                Some(value) if !(least..=most).contains(&value) => {
                    let words = format!("{what} {value} {unit} must lie between {least} and {most} {unit}");
                    Err(Refusal::new(Cause::Unfit, words).hint(mend))
                }
                value => Ok(value),
            };
        let charge = within(
            "charge",
            self.charge,
            CHARGE,
            Unit::Percent,
            "It is the charge left at landing; enter a share of a full pack, for example 20.",
        )?;
        let temperature = within(
            "temperature",
            self.temperature,
            TEMPERATURE,
            Unit::Celsius,
            "It is that of pack and air, within what cells are flown in; enter degrees Celsius, for example 5.",
        )?;
        let levels = proved
            .supply
            .as_deref()
            .and_then(|supply| supply.model().heat.as_ref().ok())
            .map(|heat| &heat.levels);
        let level = match (self.level, levels) {
            (Some(wanted), Some(levels)) => {
                let near = |offered: f64| (offered - wanted).abs() <= 0.01 * offered;
                let found = levels.iter().position(|level| near(level.out.get()));
                Some(found.ok_or_else(|| {
                    let offered: Vec<String> = levels.iter().map(|level| level.out.to_string()).collect();
                    let words = format!("{craft:?} has no level of {wanted} mW with its supply power; its transmitter offers {}", offered.join(", "));
                    Refusal::new(Cause::NoSuch, words).hint("Ask for one of these.")
                })?)
            }
            _ => None,
        };
        Ok(SupplyAsked { charge, temperature, level })
    }
}

/// The pages of the supply: a flight, a punch by charge, how long the pack lasts.
pub fn supply_pages(craft: &str, proved: &Proved, wish: &SupplyWish) -> Result<Vec<Page>, Refusal> {
    let shown = SupplyShown::new(craft, proved, &wish.asked(craft, proved)?)?;
    use drawing::supply::{by_warmth, endurance, over_flight, punch_by_charge};
    let charts = [over_flight(&shown)?, punch_by_charge(&shown)?, endurance(&shown)?, by_warmth(&shown)?];
    charts.iter().map(|chart| Ok(chart.page().map_err(SupplyFault::from)?)).collect()
}

/// The pages of warmth: on the bench over time, and by air speed.
pub fn heat_pages(craft: &str, proved: &Proved, wish: &SupplyWish) -> Result<Vec<Page>, Refusal> {
    let shown = SupplyShown::new(craft, proved, &wish.asked(craft, proved)?)?;
    use drawing::supply::{by_air_speed, warming_up};
    let charts = [warming_up(&shown)?, by_air_speed(&shown)?];
    charts.iter().map(|chart| Ok(chart.page().map_err(SupplyFault::from)?)).collect()
}

impl From<SupplyFault> for Refusal {
    fn from(fault: SupplyFault) -> Self {
        Refusal::new(Cause::Unfit, fault.to_string())
    }
}
