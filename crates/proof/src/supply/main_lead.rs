//! What flows in the main leads: over a whole flight, and at a punch.
//!
//! Warmth goes with the square of the current, so a flight counts by its root mean square: of each leg the mean of the squares of its most and of
//! its last current, by its time. Its doubt is that of one round of the plan at the voltage of a half-flown pack. A board that
//! feeds others carries what hangs behind it as well.

use super::kept::Supply;
use super::slots::Sloped;
use super::worst::warm_board;
use super::{Chain, NetFacts};
use craft::PlaceId;
use power::{PACK, Usage};
use quantity::{Percent, Seconds, Volts};

/// The current of the bus.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct BusCurrent {
    /// Root mean square over the flight, A.
    pub rms: Sloped,
    /// The most, A.
    pub peak: f64,
    /// How long a punch is held.
    pub punch: Seconds,
}

impl Supply {
    /// What the pack's lead and the wires from it carry over the flight as planned.
    pub(crate) fn bus_current(&self) -> Option<BusCurrent> {
        let chain = self.chain().ok()?;
        let slots = &self.model().slots;
        let flight = &self.flown()?.flight;
        let (mut sum, mut since, mut peak) = (0.0, 0.0, 0.0f64);
        for leg in &flight.legs {
            let lasts = leg.ended.get() - since;
            since = leg.ended.get();
            sum += 0.5 * (leg.most.get().powi(2) + leg.last.current.get().powi(2)) * lasts;
            peak = peak.max(leg.most.get());
        }
        let flown = (since > 0.0).then(|| (sum / since).sqrt())?;
        let round = chain.round_rms(slots.values()).filter(|rms| *rms > 0.0)?;
        let rms = slots.sloped(|values| Some(flown * chain.round_rms(values)? / round))?;
        Some(BusCurrent { rms, peak, punch: Seconds::new(chain.plan.punch[0]) })
    }

    /// What a board takes from the bus at a voltage of it, A, with its rails and with the loads it hands the bus on to.
    pub(crate) fn board_current(&self, board: &PlaceId, behind: &[PlaceId], bus: Volts) -> Option<Sloped> {
        let model = self.model();
        let net = model.net.as_ref().ok().or(model.rest.as_ref())?;
        let about = warm_board(model.plan.as_ref().ok()?.hottest);
        model.slots.sloped(|values| board_current(net, board, behind, bus, values, about))
    }
}

fn board_current(
    net: &NetFacts,
    board: &PlaceId,
    behind: &[PlaceId],
    bus: Volts,
    values: &[f64],
    about: quantity::Celsius,
) -> Option<f64> {
    let report = net.at(values, about).ok()?.at(bus, Usage::Typical);
    // A rail takes from the bus what it gives and what it turns to heat.
    let rails =
        net.rails.iter().zip(&report.rails).filter(|(rail, _)| rail.from == PACK && &rail.place == board);
    let rails = rails.map(|(_, rail)| (rail.volts.get() * rail.amperes.get() + rail.heat.get()) / bus.get());
    let own = |place: &PlaceId| place == board || behind.contains(place);
    let loads = net.loads.iter().zip(&report.loads).filter(|(load, _)| load.on == PACK && own(&load.place));
    Some(rails.sum::<f64>() + loads.map(|(_, load)| load.amperes.get()).sum::<f64>())
}

impl Chain<'_> {
    /// Root mean square of the bus current over a round at the voltage of a half-flown pack, A.
    fn round_rms(&self, values: &[f64]) -> Option<f64> {
        let half = 0.5 * (self.plan.start.get() + self.plan.land.get());
        let volts = self.pack.at(values).ok()?.rest(Percent::new(half)).get();
        let rails = power::Rails::power(&self.net(values)?, Volts::new(volts), Usage::Typical).get();
        let round = self.plan.round(self.drive, values).ok()?;
        let (mut sum, mut time) = (0.0, 0.0);
        for leg in &round {
            let throttle =
                leg.draw.throttle.map_or(0.0, |(current, at)| current.get() * (volts / at.get()).powi(2));
            let current = throttle + (leg.draw.power.get() + rails) / volts;
            sum += current * current * leg.lasts.get();
            time += leg.lasts.get();
        }
        (time > 0.0).then(|| (sum / time).sqrt())
    }
}
