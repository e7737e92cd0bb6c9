//! A whole flight on a craft's supply, and how long the pack lasts.
//!
//! The flight is the round of the plan again and again, in the coldest air, from the charge and warmth at take-off. How long the pack lasts is
//! the time until the planned charge is left of what is to be had at its warmth, or until a cell stays too low in steady flight. Its doubt is
//! first order in every fact as long as charge ends the flight. A cell that stays low ends it suddenly, at a charge that leaps with the
//! facts: where it does so at the facts as they stand, at a step of one of them, or in a flight as short as one in forty, flights are flown with every
//! fact drawn from its doubt, and mean and doubt are those of the trials.

use super::draws::Draws;
use super::slots::{Sloped, Slots};
use super::worst::{Chain, warm_board};
use power::{
    Endurance, Flight, Landing, Leg, Over, PackState, PowerFault, STEP_ERROR, SupplyNet, endurance_within,
    fly,
};
use quantity::{Celsius, Distribution, Percent, Seconds, Volts};
use std::cell::Cell;

/// How long the pack lasts.
#[derive(Clone, Debug, PartialEq)]
pub struct Lasts {
    /// In s, with its doubt by fact.
    pub time: Sloped,
    /// How many flights last how long.
    pub times: Distribution,
    /// Which share of them ends before the planned charge is left.
    pub early: f64,
    /// Whether each was flown, or told by first order.
    pub are_flown: bool,
}

/// Flights that are drawn by first order, and those that are flown, which take a thousand times as long.
const DRAWN: usize = 1_000;
const FLOWN: usize = 64;
/// What a step of a flight that is drawn may be off by: nothing beside what its facts are off by.
const DRAWN_WITHIN: Volts = Volts::new(2e-3);

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
    pub(crate) fn endures(&self, values: &[f64], warmth: [Celsius; 2]) -> Option<Endurance> {
        self.endures_within(values, warmth, STEP_ERROR)
    }
    fn endures_within(
        &self,
        values: &[f64],
        [pack_at, air]: [Celsius; 2],
        allowed: Volts,
    ) -> Option<Endurance> {
        let (pack, start) = self.at_take_off(values, pack_at).ok()?;
        let net = self.net(values)?;
        let round = self.plan.round_in(self.drive, values, air).ok()?;
        let landing = self.landing(self.pack.read.at(values));
        endurance_within(&pack, &start, air, &round, landing, &net, allowed).ok()
    }

    /// How long the pack lasts as planned, in s.
    pub fn lasts(&self, values: &[f64]) -> Option<f64> {
        Some(self.endures(values, [self.plan.pack_at, self.plan.coldest])?.time.get())
    }

    /// How warm the pack is at the end of the flight as planned.
    pub fn lands_at(&self, values: &[f64]) -> Option<Celsius> {
        Some(self.endures(values, [self.plan.pack_at, self.plan.coldest])?.warmth)
    }

    /// The same with its doubt, and how many flights last how long.
    pub(crate) fn flights(&self, slots: &Slots) -> Option<Lasts> {
        let (at, warmth) = (slots.values(), [self.plan.pack_at, self.plan.coldest]);
        let early = Cell::new(false);
        let lasts = |values: &[f64]| {
            let found = self.endures(values, warmth)?;
            early.set(early.get() || found.over != Over::Landed);
            Some(found.time.get())
        };
        let mut time = slots.sloped(lasts)?;
        // The likeliest of the flights that are shorter by two standard uncertainties.
        lasts(&slots.toward(&time, -2.0));
        if !early.get() {
            let drawn =
                slots.trials(at, &Draws::of(at.len(), DRAWN), |values| Slots::estimate(&time, at, values));
            let times = Distribution::of_trials(drawn.into_iter().map(|time| time.max(0.0)).collect())?;
            return Some(Lasts { time, times, early: 0.0, are_flown: false });
        }
        let flown = slots.trials(at, &Draws::of(at.len(), FLOWN), |values| {
            self.endures_within(values, warmth, DRAWN_WITHIN)
        });
        let ended = flown.iter().filter(|found| found.is_none_or(|found| found.over != Over::Landed)).count();
        let early = ended as f64 / flown.len() as f64;
        let times = flown.into_iter().map(|found| found.map_or(0.0, |found| found.time.get()));
        let times = Distribution::of_trials(times.collect())?;
        let first_order = slots.uncertainty(&time);
        let more = if first_order > 0.0 { times.standard_uncertainty() / first_order } else { 1.0 };
        time = time.times(more);
        time.value = times.mean();
        Some(Lasts { time, times, early, are_flown: true })
    }
}

fn first(faults: Vec<PowerFault>) -> PowerFault {
    faults.into_iter().next().unwrap_or(PowerFault::FeedsItself { circle: Vec::new() })
}
