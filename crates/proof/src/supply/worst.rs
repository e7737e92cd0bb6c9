//! The worst moment of the video's supply: a punch at a charge, in the cold. Does it stay up, how surely, and at which charge would it fail?
//!
//! The pack has flown at its mean load for two minutes and then held full throttle for a punch: its slow voltages are exactly those. The net
//! of rails says the least voltage of the bus at which the video has its least while everything takes its peak, U, and what it takes there.
//! The margin is the voltage of the bus while just that is taken from it, less U: nought exactly where the video fails, and a number where
//! a converter that draws more as the voltage falls has no point left to stand at. What the motors leave of ripple at the pins goes off it: half of
//! peak to peak, which the mean does not show. The fail charge is where the margin is nought;
//! its slopes are those of the margin over that on charge. Whether the rails on the way to the video give the current of that peak is a second
//! margin, of limit over peak; both must hold, in one and the same trial.

use super::SupplyModel;
use super::draws::Draws;
use super::drive::DriveFacts;
use super::net::{NetFacts, VIDEO};
use super::pack::PackFacts;
use super::plan::PlanFacts;
use super::punch::{Punch, Punches};
use super::reads::{Reads, noted};
use super::slots::{Sloped, Slots};
use power::{Draw, Standing, SupplyNet, Usage};
use quantity::{Amperes, Celsius, Percent, Volts};
use std::sync::Arc;

/// Trials of the worst moment: a share of 99 % is known to half a per cent.
pub(crate) const TRIALS: usize = 400;
/// So many uncertainties from nought need no trials.
const CLEAR: f64 = 6.0;

/// What decides the worst moment.
#[derive(Clone, Copy, Debug)]
pub struct Chain<'m> {
    /// All of it, for what stands across the supply.
    pub model: &'m SupplyModel,
    /// The pack.
    pub pack: &'m PackFacts,
    /// The rails.
    pub net: &'m NetFacts,
    /// The motors.
    pub drive: &'m DriveFacts,
    /// The plan.
    pub plan: &'m PlanFacts,
}

/// What may be other than as it stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// Charge, in per cent.
    pub charge: f64,
    /// Highest throttle, in per cent.
    pub throttle: f64,
    /// Temperature of the pack.
    pub pack_at: Celsius,
}

/// The worst moment as it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Worst {
    /// Volts of the bus in hand.
    pub margin: Sloped,
    /// Of the bus, and what flows; none where nothing holds.
    pub standing: Option<Standing>,
    /// Volts at the video's pins at the trough of the ripple; 0 where it is dark.
    pub pin: f64,
    /// How far that lies below their mean, V.
    pub trough: f64,
    /// The least volts of the bus at which it is held.
    pub least_bus: f64,
    /// What is left of the limit of the rails on its way at the peak, as a share of it; none straight on the pack.
    pub carries: Option<Sloped>,
    /// Which share of trials lets those rails carry the peak.
    pub carried: f64,
    /// Which share of trials leaves the video up: fed and carried.
    pub stays_up: f64,
}

impl Worst {
    /// Whether a rail on its way gives less than is asked at the peak.
    pub fn overloaded(&self) -> bool {
        self.carries.as_ref().is_some_and(|carries| carries.value < 0.0)
    }
}

/// What of the rails and motors hangs only a little on any fact, with its slopes: found once, then taken in first order.
#[derive(Clone, Debug)]
pub(crate) struct Ready {
    pub(super) found_at: Vec<f64>,
    /// Least volts of the bus, and W of the rails there; none if the video is never held.
    pub(super) rails: Option<[Sloped; 2]>,
    /// What is left of the limit of the rails on the video's way, as a share of it; none straight on the pack.
    pub(super) carries: Option<Sloped>,
    /// W of the motors outside the punches.
    pub(super) mean: Sloped,
    /// The pack when full.
    pub(super) full: f64,
    /// How far the pins lie below their mean, V, by the highest throttle in %, and the number that all of it is off by.
    pub(super) troughs: Arc<[[f64; 2]]>,
    /// What all of it was worked out from.
    reads: Reads,
}

impl Ready {
    /// What is left of the limit of the rails, in first order; none straight on the pack.
    pub(super) fn left(&self, values: &[f64]) -> Option<f64> {
        self.carries.as_ref().map(|carries| Slots::estimate(carries, &self.found_at, values))
    }
}

impl Chain<'_> {
    /// The moment as planned: landing charge, throttle as limited, the pack as cold as at take-off.
    pub fn moment(&self) -> Moment {
        Moment { charge: self.plan.land.get(), throttle: self.plan.throttle, pack_at: self.plan.pack_at }
    }

    /// A result that leans only on what can be measured before a flight: the pack's warmth and the charge it lands with cannot.
    pub(crate) fn measurable(
        &self,
        slots: &Slots,
        proof: &crate::Proof,
        sloped: &Sloped,
    ) -> quantity::Linear {
        slots.linear(proof, &slots.without(sloped, &[self.pack.warmth, self.pack.read]))
    }

    /// The net with its converters as warm as they get.
    pub fn net(&self, values: &[f64]) -> Option<SupplyNet> {
        self.net.at(values, warm_board(self.plan.hottest)).ok()
    }

    /// The least voltage of the bus at which the video has its least at its peak, and the power of all rails there; none if it never has.
    /// Whether the rails give the current is asked by itself: a limit in doubt is no cliff.
    fn least_bus(&self, values: &[f64], full: f64) -> Option<[f64; 2]> {
        let net = self.net(values)?;
        let least = self.net.video().least.map_or(0.0, |least| least.at(values));
        let held = |volts: f64| {
            let pin = net.at(Volts::new(volts), Usage::Peak).loads[VIDEO].volts.get();
            pin > 0.0 && pin >= least
        };
        let (mut low, mut high) = (0.0, full);
        if !held(high) {
            return None;
        }
        for _ in 0..24 {
            let middle = 0.5 * (low + high);
            if held(middle) { high = middle } else { low = middle }
        }
        Some([high, power::Rails::power(&net, Volts::new(high), Usage::Peak).get()])
    }

    /// The least that is left of the limit of any rail on the video's way at the peak, as a share of it, at nearly full charge, where every
    /// rail stands; none straight on the pack.
    fn carries(&self, values: &[f64], full: f64) -> Option<f64> {
        let way: Vec<&str> =
            self.net.way_in(&self.net.video().on).iter().map(|rail| rail.name.as_str()).collect();
        let report = self.net(values)?.at(Volts::new(0.95 * full), Usage::Peak);
        let left = self.net.rails.iter().zip(&report.rails).filter_map(|(rail, state)| {
            let limit = state.limit.filter(|_| way.contains(&rail.name.as_str()))?;
            Some(1.0 - state.amperes.get() / limit.get().max(1e-3))
        });
        left.min_by(f64::total_cmp)
    }

    /// Made ready at some numbers.
    pub(crate) fn ready(&self, slots: &Slots, at: &[f64]) -> Option<Ready> {
        let full = self.pack.full().ok()?.get();
        let (found, reads) = noted(|| {
            let rails = slots.sloped_together(at, |values| self.least_bus(values, full));
            let carries = slots.sloped_at(at, |values| self.carries(values, full));
            let mean = slots.sloped_at(at, |values| self.plan.mean_power(self.drive, values).ok())?;
            Some((rails, carries, mean))
        });
        let (rails, carries, mean) = found?;
        let ready = Ready { found_at: at.to_vec(), rails, carries, mean, full, troughs: Arc::new([]), reads };
        let (smooth, planned) = (Punch::of(self, &ready, at), self.moment());
        let beside = ready.rails.as_ref().map_or(0.0, |[least, watts]| watts.value / least.value.max(0.1));
        let bus_at =
            |throttle: f64| smooth.left_beside(self, &Moment { throttle, ..planned }, beside.max(0.0));
        Some(Ready { troughs: self.troughs(at, bus_at).into(), ..ready })
    }

    /// Made ready at other numbers: as it was, unless one of them was looked at.
    pub(crate) fn ready_again(&self, ready: &Ready, slots: &Slots, at: &[f64]) -> Option<Ready> {
        let changed = |k: usize| at[k].to_bits() != ready.found_at[k].to_bits();
        if (0..at.len()).any(|k| changed(k) && ready.reads.has(k)) {
            return self.ready(slots, at);
        }
        Some(Ready { found_at: at.to_vec(), ..ready.clone() })
    }

    /// Every trial of the numbers, ready for any moment.
    pub(crate) fn punches(&self, ready: &Ready, slots: &Slots, at: &[f64], draws: &Draws) -> Punches {
        Punches(slots.trials(at, draws, |values| Punch::of(self, ready, values)))
    }

    /// Volts of the bus while the rails take what they do where the video just holds; less that voltage.
    pub(crate) fn margin(&self, ready: &Ready, values: &[f64], moment: &Moment) -> Option<f64> {
        Punch::of(self, ready, values).margin(self, moment)
    }

    /// Where the bus stands with everything on it as it is, and the volts at the video's pins.
    fn standing(&self, ready: &Ready, values: &[f64], moment: &Moment) -> Option<(Standing, f64)> {
        let at = Punch::of(self, ready, values);
        let pack = at.pack()?;
        let net = self.net(values)?;
        let motors = at.motors(self.drive, moment);
        let mut found: Option<Standing> = None;
        let mut watts = power::Rails::power(&net, pack.rest(Percent::new(moment.charge)), Usage::Peak);
        for _ in 0..8 {
            let punch = found.map_or(Amperes::new(0.0), |standing| standing.current);
            let state = at.state(self, pack, moment, punch)?;
            let standing = pack.standing(&state, &Draw { power: watts, ..motors }).ok()?;
            watts = power::Rails::power(&net, standing.bus, Usage::Peak);
            found = Some(standing);
        }
        let standing = found?;
        Some((standing, net.at(standing.bus, Usage::Peak).loads[VIDEO].volts.get()))
    }

    /// Volts of the bus with everything on it as it is; 0 where the supply falls over.
    pub(crate) fn deepest(&self, ready: &Ready, values: &[f64], moment: &Moment) -> f64 {
        self.standing(ready, values, moment).map_or(0.0, |(standing, _)| standing.bus.get())
    }

    /// Volts of the weakest cell then; 0 where the supply falls over.
    pub(crate) fn weakest(&self, ready: &Ready, values: &[f64], moment: &Moment) -> f64 {
        self.standing(ready, values, moment).map_or(0.0, |(standing, _)| standing.weakest.get())
    }

    /// Volts of the bus with the motors at the moment's throttle and a current beside them; none where they alone are too much.
    pub(crate) fn left(&self, ready: &Ready, values: &[f64], moment: &Moment, beside: f64) -> Option<f64> {
        Punch::of(self, ready, values).left_beside(self, moment, beside)
    }

    /// The worst moment with its doubt, at the numbers as they stand; `punches` are their trials.
    pub(crate) fn worst<'p>(
        &self,
        ready: &Ready,
        slots: &Slots,
        draws: &Draws,
        punches: impl Fn() -> Option<&'p Punches>,
    ) -> Option<Worst> {
        let (at, moment) = (slots.values(), &self.moment());
        let margin = slots.sloped_at(at, |values| self.margin(ready, values, moment))?;
        let standing = self.standing(ready, at, moment);
        // Where first order leaves no doubt, trials would only count to all or none.
        let far = |margin: &Sloped| margin.value.abs() > CLEAR * slots.uncertainty(margin);
        let carries = ready.carries.clone();
        let all_or_none = |up: bool| f64::from(u8::from(up));
        let carried = match &carries {
            None => 1.0,
            Some(carries) if far(carries) => all_or_none(carries.value >= 0.0),
            Some(_) => slots.share_held(at, draws, |values| ready.left(values)),
        };
        let stays_up = match carried > 0.0 && carried < 1.0 {
            _ if carried <= 0.0 => 0.0,
            false if far(&margin) => all_or_none(margin.value > 0.0),
            _ => punches()?.stays_up(self, moment),
        };
        let trough = Punch::of(self, ready, at).trough(moment.throttle);
        Some(Worst {
            margin,
            standing: standing.map(|(standing, _)| standing),
            pin: standing.map_or(0.0, |(_, pin)| (pin - trough).max(0.0)),
            trough,
            least_bus: ready.rails.as_ref().map_or(f64::INFINITY, |[least, _]| least.value),
            carries,
            carried,
            stays_up,
        })
    }

    /// The charge at which the video fails at a punch; 0 if it holds down to empty, 100 if it fails when full.
    pub(crate) fn fail_charge(&self, ready: &Ready, values: &[f64], moment: &Moment) -> Option<f64> {
        Punch::of(self, ready, values).fail_charge(self, moment)
    }

    /// The highest throttle in whole per cent at which the video stays up with this chance; none if no throttle of use does.
    pub(crate) fn throttle_for(&self, punches: &Punches, moment: &Moment, chance: f64) -> Option<f64> {
        let mut holds = punches.holding(self, chance);
        whole_between(moment.throttle, 40.0, |throttle| holds(&Moment { throttle, ..*moment }))
    }

    /// The least charge in whole per cent at which the video stays up with this chance; none if not even nearly full.
    pub(crate) fn charge_for(&self, punches: &Punches, moment: &Moment, chance: f64) -> Option<f64> {
        let mut holds = punches.holding(self, chance);
        whole_between(moment.charge, 95.0, |charge| holds(&Moment { charge, ..*moment }))
    }
}

/// The nearest whole number to where something fails at which it holds, on the way to where it surely does; none if it does not there.
pub(crate) fn whole_between(fails: f64, sure: f64, mut holds: impl FnMut(f64) -> bool) -> Option<f64> {
    if !holds(sure) {
        return None;
    }
    let (mut bad, mut good) = (fails, sure);
    while (good - bad).abs() > 1.0 {
        let middle = (0.5 * (bad + good)).round();
        if middle == bad || middle == good {
            break;
        }
        if holds(middle) { good = middle } else { bad = middle }
    }
    Some(good)
}

/// What stands about the converters of a board: some 20 K above the hottest air, by custom.
pub fn warm_board(hottest: Celsius) -> Celsius {
    hottest + Celsius::new(20.0)
}
