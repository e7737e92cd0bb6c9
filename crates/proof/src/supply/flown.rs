//! A whole flight on a craft's supply, and how long the pack lasts.
//!
//! The flight is the round of the plan again and again, in the coldest air, from the charge and warmth at take-off. How long the pack lasts is
//! the time until the planned charge is left; its doubt is first order in every fact.

use super::slots::{Sloped, Slots};
use super::worst::{Chain, warm_board};
use power::{Flight, Landing, Leg, PackState, PowerFault, SupplyNet, endurance, fly};
use quantity::{Percent, Seconds};

/// The longest plan that is flown through, in s.
const LONGEST: f64 = 3_600.0;

/// A flight as it went.
#[derive(Clone, Debug, PartialEq)]
pub struct Flown {
    /// The flight.
    pub flight: Flight,
    /// Its legs as planned.
    pub legs: Vec<Leg>,
    /// The net that hung on it.
    pub net: SupplyNet,
    /// The pack at take-off.
    pub start: PackState,
}

impl Chain<'_> {
    /// The pack as it takes off.
    fn at_take_off(&self, values: &[f64]) -> Result<(power::Pack, PackState), PowerFault> {
        let pack = self.pack.at(values)?;
        let [coldest, hottest] = power::CELL_SPAN;
        let celsius = (self.plan.pack_at + quantity::Celsius::new(self.pack.warmth.at(values)))
            .max(coldest)
            .min(hottest);
        let state = pack.rested(self.plan.start, celsius)?;
        Ok((pack, state))
    }

    /// A flight of a length; the fault says what cannot be.
    pub fn flown(&self, values: &[f64], length: Seconds) -> Result<Flown, PowerFault> {
        let (pack, start) = self.at_take_off(values)?;
        let net = self.net.at(values, warm_board(self.plan.hottest)).map_err(first)?;
        let length = length.min(Seconds::new(LONGEST));
        let legs = self.plan.flight(self.drive, values, length)?;
        let flight = fly(&pack, &start, self.plan.coldest, &legs, &net)?;
        Ok(Flown { flight, legs, net, start })
    }

    /// How long the pack lasts until the planned charge is left, in s.
    pub fn lasts(&self, values: &[f64]) -> Option<f64> {
        let (pack, start) = self.at_take_off(values).ok()?;
        let net = self.net(values)?;
        let round = self.plan.round(self.drive, values).ok()?;
        let land = Percent::new((self.plan.land.get() + self.pack.read.at(values)).clamp(0.0, 99.0));
        let found = endurance(&pack, &start, self.plan.coldest, &round, Landing::Left(land), &net).ok()?;
        Some(found.time.get())
    }

    /// The same with its doubt.
    pub(crate) fn lasts_sloped(&self, slots: &Slots) -> Option<Sloped> {
        slots.sloped(|values| self.lasts(values))
    }
}

fn first(faults: Vec<PowerFault>) -> PowerFault {
    faults.into_iter().next().unwrap_or(PowerFault::FeedsItself { circle: Vec::new() })
}
