//! A whole flight on a craft's supply, and how long the pack lasts.
//!
//! The flight is the round of the plan again and again, in the coldest air, from the charge and warmth at take-off. How long the pack lasts is
//! the time until the planned charge is left of what is to be had at its warmth, or until a cell stays too low in steady flight; its doubt is
//! first order in every fact.

use super::slots::{Sloped, Slots};
use super::worst::{Chain, warm_board};
use power::{Endurance, Flight, Landing, Leg, PackState, PowerFault, SupplyNet, endurance, fly};
use quantity::{Celsius, Percent, Seconds};

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
    /// The pack as it takes off, so warm.
    fn at_take_off(&self, values: &[f64], pack_at: Celsius) -> Result<(power::Pack, PackState), PowerFault> {
        let pack = self.pack.at(values)?;
        let [coldest, hottest] = power::CELL_SPAN;
        let celsius = (pack_at + Celsius::new(self.pack.warmth.at(values))).max(coldest).min(hottest);
        let state = pack.rested(self.plan.start, celsius)?;
        Ok((pack, state))
    }

    /// A flight of a length; the fault says what cannot be.
    pub fn flown(&self, values: &[f64], length: Seconds) -> Result<Flown, PowerFault> {
        let (pack, start) = self.at_take_off(values, self.plan.pack_at)?;
        let net = self.net.at(values, warm_board(self.plan.hottest)).map_err(first)?;
        let length = length.min(Seconds::new(LONGEST));
        let legs = self.plan.flight(self.drive, values, length)?;
        let flight = fly(&pack, &start, self.plan.coldest, &legs, &net)?;
        Ok(Flown { flight, legs, net, start })
    }

    /// When to land: at the planned charge, or when a cell stays too low.
    pub(crate) fn landing(&self, off: f64) -> Landing {
        let land = Percent::new((self.plan.land.get() + off).clamp(0.0, 99.0));
        Landing::LeftOrLow(land, self.pack.chemistry.steady_least())
    }

    /// How long the pack lasts, and why not longer; none where nothing can be worked out.
    pub(crate) fn endures(&self, values: &[f64], [pack_at, air]: [Celsius; 2]) -> Option<Endurance> {
        let (pack, start) = self.at_take_off(values, pack_at).ok()?;
        let net = self.net(values)?;
        let round = self.plan.round_in(self.drive, values, air).ok()?;
        let landing = self.landing(self.pack.read.at(values));
        endurance(&pack, &start, air, &round, landing, &net).ok()
    }

    /// How long the pack lasts as planned, in s.
    pub fn lasts(&self, values: &[f64]) -> Option<f64> {
        Some(self.endures(values, [self.plan.pack_at, self.plan.coldest])?.time.get())
    }

    /// The same with its doubt.
    pub(crate) fn lasts_sloped(&self, slots: &Slots) -> Option<Sloped> {
        slots.sloped(|values| self.lasts(values))
    }
}

fn first(faults: Vec<PowerFault>) -> PowerFault {
    faults.into_iter().next().unwrap_or(PowerFault::FeedsItself { circle: Vec::new() })
}
