//! The worst moment of the video's supply: a punch at a charge, in the cold. Does it stay up, how surely, and at which charge would it fail?
//!
//! The pack has flown at its mean load for two minutes and then held full throttle for a punch: its slow voltages are exactly those. The net
//! of rails says the least voltage of the bus at which the video has its least while everything takes its peak, U, and what it takes there.
//! The margin is the voltage of the bus while just that is taken from it, less U: nought exactly where the video fails, and a number where
//! a converter that draws more as the voltage falls has no point left to stand at. The fail charge is where the margin is nought;
//! its slopes are those of the margin over that on charge. Whether the rails on the way to the video give the current of that peak is a second
//! margin, of limit over peak; both must hold, in one and the same trial.

use super::drive::DriveFacts;
use super::net::{NetFacts, VIDEO};
use super::pack::PackFacts;
use super::plan::PlanFacts;
use super::slots::{Sloped, Slots};
use power::{Draw, Pack, PackState, Standing, SupplyNet, Usage};
use quantity::{Amperes, Celsius, Percent, Seconds, Volts};

/// How long the pack has flown at its mean load before the punch, in s.
const FLOWN: f64 = 120.0;
/// Trials of the worst moment: a share of 99 % is known to half a per cent.
pub(crate) const TRIALS: usize = 400;
/// So many uncertainties from nought need no trials.
const CLEAR: f64 = 6.0;

/// What decides the worst moment.
#[derive(Clone, Copy, Debug)]
pub struct Chain<'m> {
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
    /// Volts at the video's pins; 0 where it is dark.
    pub pin: f64,
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
    found_at: Vec<f64>,
    /// Least volts of the bus, and W of the rails there; none if the video is never held.
    rails: Option<[Sloped; 2]>,
    /// What is left of the limit of the rails on the video's way, as a share of it; none straight on the pack.
    carries: Option<Sloped>,
    /// W of the motors outside the punches.
    mean: Sloped,
    /// The pack when full.
    full: f64,
}

impl Ready {
    /// What is left of the limit of the rails, in first order; none straight on the pack.
    fn left(&self, values: &[f64]) -> Option<f64> {
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
        let rails = slots.sloped_together(at, |values| self.least_bus(values, full));
        let carries = slots.sloped_at(at, |values| self.carries(values, full));
        let mean = slots.sloped_at(at, |values| self.plan.mean_power(self.drive, values).ok())?;
        Some(Ready { found_at: at.to_vec(), rails, carries, mean, full })
    }

    fn state(
        &self,
        ready: &Ready,
        pack: &Pack,
        values: &[f64],
        moment: &Moment,
        punch: Amperes,
    ) -> Option<PackState> {
        let charge = (moment.charge + self.pack.read.at(values)).clamp(0.0, 100.0);
        let celsius = moment.pack_at + Celsius::new(self.pack.warmth.at(values));
        let [coldest, hottest] = power::CELL_SPAN;
        let celsius = celsius.max(coldest).min(hottest);
        let rest = pack.rest(Percent::new(charge)).get();
        let [held, apart] = self.plan.punch;
        let motors = self.drive.at_throttle(values, moment.throttle).throttle;
        let punches = motors
            .map_or(0.0, |(amperes, volts)| amperes.get() * (rest / volts.get()).powi(2) * held / apart);
        let rails = ready.rails.as_ref().map_or(0.0, |[_, watts]| watts.value);
        let mean = (Slots::estimate(&ready.mean, &ready.found_at, values).max(0.0) + rails) / rest + punches;
        let work = [(Amperes::new(mean), Seconds::new(FLOWN)), (punch, Seconds::new(held))];
        pack.worked(Percent::new(charge), celsius, &work).ok()
    }

    /// Volts of the bus while the rails take what they do where the video just holds; less that voltage.
    pub(crate) fn margin(&self, ready: &Ready, values: &[f64], moment: &Moment) -> Option<f64> {
        // A rail that never gives what is asked: as much is short as the whole pack has.
        let Some([least, watts]) = &ready.rails else { return Some(-ready.full) };
        let [least, watts] = [least, watts].map(|found| Slots::estimate(found, &ready.found_at, values));
        let pack = self.pack.at(values).ok()?;
        let rails = Amperes::new((watts / least).max(0.0));
        let draw = Draw { current: rails, ..self.drive.at_throttle(values, moment.throttle) };
        let (mut punch, mut bus) = (Amperes::new(0.0), 0.0);
        for _ in 0..2 {
            let state = self.state(ready, &pack, values, moment, punch)?;
            let Ok(standing) = pack.standing(&state, &draw) else { return Some(-least) };
            (punch, bus) = (standing.current, standing.bus.get());
        }
        Some(bus - least)
    }

    /// Where the bus stands with everything on it as it is, and the volts at the video's pins.
    fn standing(&self, ready: &Ready, values: &[f64], moment: &Moment) -> Option<(Standing, f64)> {
        let pack = self.pack.at(values).ok()?;
        let net = self.net(values)?;
        let motors = self.drive.at_throttle(values, moment.throttle);
        let mut found: Option<Standing> = None;
        let mut watts = power::Rails::power(&net, pack.rest(Percent::new(moment.charge)), Usage::Peak);
        for _ in 0..8 {
            let punch = found.map_or(Amperes::new(0.0), |standing| standing.current);
            let state = self.state(ready, &pack, values, moment, punch)?;
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

    /// Volts of the bus with the motors at the moment's throttle and a current beside them; none where they alone are too much.
    pub(crate) fn left(&self, ready: &Ready, values: &[f64], moment: &Moment, beside: f64) -> Option<f64> {
        let pack = self.pack.at(values).ok()?;
        let draw = Draw { current: Amperes::new(beside), ..self.drive.at_throttle(values, moment.throttle) };
        let mut punch = Amperes::new(0.0);
        let mut bus = 0.0;
        for _ in 0..2 {
            let state = self.state(ready, &pack, values, moment, punch)?;
            let standing = pack.standing(&state, &draw).ok()?;
            (punch, bus) = (standing.current, standing.bus.get());
        }
        Some(bus)
    }

    /// What is in hand of whatever decides whether the video stays up: fed, and carried by its rails.
    fn up(&self, ready: &Ready, values: &[f64], moment: &Moment) -> Option<f64> {
        match ready.left(values) {
            // What is not carried need not be worked through the pack.
            Some(left) if left < 0.0 => Some(left),
            _ => self.margin(ready, values, moment),
        }
    }

    /// Which share of trials leaves the video up: fed, and carried by its rails, in the same trial.
    pub(crate) fn stays_up(&self, ready: &Ready, slots: &Slots, at: &[f64], moment: &Moment) -> f64 {
        slots.share_held(at, TRIALS, |values| self.up(ready, values, moment))
    }

    /// The worst moment with its doubt, at some numbers.
    pub(crate) fn worst(&self, ready: &Ready, slots: &Slots, at: &[f64], moment: &Moment) -> Option<Worst> {
        let margin = slots.sloped_at(at, |values| self.margin(ready, values, moment))?;
        let standing = self.standing(ready, at, moment);
        // Where first order leaves no doubt, trials would only count to all or none.
        let far = |margin: &Sloped| margin.value.abs() > CLEAR * slots.uncertainty(margin);
        let carries = ready.carries.clone();
        let all_or_none = |up: bool| f64::from(u8::from(up));
        let carried = match &carries {
            None => 1.0,
            Some(carries) if far(carries) => all_or_none(carries.value >= 0.0),
            Some(_) => slots.share_held(at, TRIALS, |values| ready.left(values)),
        };
        let stays_up = match carried > 0.0 && carried < 1.0 {
            _ if carried <= 0.0 => 0.0,
            false if far(&margin) => all_or_none(margin.value > 0.0),
            _ => self.stays_up(ready, slots, at, moment),
        };
        Some(Worst {
            margin,
            standing: standing.map(|(standing, _)| standing),
            pin: standing.map_or(0.0, |(_, pin)| pin),
            least_bus: ready.rails.as_ref().map_or(f64::INFINITY, |[least, _]| least.value),
            carries,
            carried,
            stays_up,
        })
    }

    /// The charge at which the video fails at a punch; 0 if it holds down to empty, 100 if it fails when full.
    pub(crate) fn fail_charge(&self, ready: &Ready, values: &[f64], moment: &Moment) -> Option<f64> {
        let at = |charge: f64| self.margin(ready, values, &Moment { charge, ..*moment });
        if at(100.0)? < 0.0 {
            return Some(100.0);
        }
        // From above: near empty a table may bend back.
        let mut above = 100.0;
        for charge in (0..25).rev().map(|step| f64::from(step) * 4.0) {
            if at(charge)? < 0.0 {
                let (mut low, mut high) = (charge, above);
                for _ in 0..14 {
                    let middle = 0.5 * (low + high);
                    if at(middle)? < 0.0 { low = middle } else { high = middle }
                }
                return Some(high);
            }
            above = charge;
        }
        Some(0.0)
    }

    /// The highest throttle in whole per cent at which the video stays up with this chance; none if no throttle of use does.
    pub(crate) fn throttle_for(
        &self,
        ready: &Ready,
        slots: &Slots,
        moment: &Moment,
        chance: f64,
    ) -> Option<f64> {
        let holds = |throttle: f64| self.holds(ready, slots, &Moment { throttle, ..*moment }, chance);
        whole_between(moment.throttle, 40.0, holds)
    }

    /// The least charge in whole per cent at which the video stays up with this chance; none if not even nearly full.
    pub(crate) fn charge_for(
        &self,
        ready: &Ready,
        slots: &Slots,
        moment: &Moment,
        chance: f64,
    ) -> Option<f64> {
        let holds = |charge: f64| self.holds(ready, slots, &Moment { charge, ..*moment }, chance);
        whole_between(moment.charge, 95.0, holds)
    }

    fn holds(&self, ready: &Ready, slots: &Slots, moment: &Moment, chance: f64) -> bool {
        slots.holds(slots.values(), TRIALS, chance, |values| self.up(ready, values, moment))
    }
}

/// The nearest whole number to where something fails at which it holds, on the way to where it surely does; none if it does not there.
fn whole_between(fails: f64, sure: f64, holds: impl Fn(f64) -> bool) -> Option<f64> {
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
