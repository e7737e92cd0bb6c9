//! The supply as it is asked about: at another charge, another warmth, another level; and what charts show of it.
//!
//! What is not asked is as planned. An asked supply is a supply of its own, with its own results: nothing of the craft changes.

use super::flown::Flown;
use super::kept::Supply;
use super::mends::POCKET;
use super::warm::{Does, FOR_EVER, HeatFacts, Where};
use super::worst::Moment;
use super::{SupplyModel, Takes, VIDEO};
use quantity::{Celsius, Milliohms, Percent};

/// What is asked; whatever is left out is as planned.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SupplyAsked {
    /// Charge at landing, %.
    pub charge: Option<f64>,
    /// Pack and air, °C.
    pub temperature: Option<f64>,
    /// The number of a level among those the transmitter offers.
    pub level: Option<usize>,
}

/// One moment of a flight.
#[derive(Clone, Debug, PartialEq)]
pub struct SupplyPoint {
    /// s.
    pub at: f64,
    /// V.
    pub bus: f64,
    /// V, in the order of the rails.
    pub rails: Vec<f64>,
    /// V at the video's pins.
    pub video: f64,
    /// % left.
    pub charge: f64,
}

/// A punch at a charge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PunchAt {
    /// %.
    pub charge: f64,
    /// V of the bus in hand, with both ends of twice the standard uncertainty.
    pub margin: [f64; 3],
}

/// How long the pack lasts in air of a temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LastsIn {
    /// °C.
    pub air: f64,
    /// s with the pack as cold as that at take-off, and with it kept at 25 °C until then.
    pub times: [f64; 2],
}

/// A rail at work.
#[derive(Clone, Debug, PartialEq)]
pub struct RailRow {
    /// What a person calls it.
    pub called: String,
    /// What feeds it.
    pub from: String,
    /// V set.
    pub out: f64,
    /// A usually, at the peak, and what it gives when warm.
    pub amperes: [f64; 3],
    /// W of heat at the peak.
    pub heat: f64,
    /// What hangs on it.
    pub loads: Vec<String>,
}

/// A line of warmth.
#[derive(Clone, Debug, PartialEq)]
pub struct WarmLine {
    /// What it is of.
    pub called: String,
    /// s or m/s along, °C up.
    pub points: Vec<[f64; 2]>,
}

/// The air over which the time is shown, °C, and how far apart it is asked.
const SHOWN_AIR: [f64; 2] = [-20.0, 40.0];
const AIR_STEP: f64 = 5.0;
/// Points of a curve.
const POINTS: usize = 33;

impl Supply {
    /// The same supply as asked.
    pub fn asked(&self, asked: &SupplyAsked) -> Supply {
        let mut model: SupplyModel = self.model().clone();
        if let Ok(plan) = &mut model.plan {
            if let Some(charge) = asked.charge {
                plan.land = Percent::new(charge.clamp(0.0, plan.start.get() - 1.0));
            }
            if let Some(temperature) = asked.temperature {
                let celsius = Celsius::new(temperature);
                (plan.pack_at, plan.coldest) = (celsius, celsius);
            }
        }
        if let (Ok(heat), Some(level)) = (&mut model.heat, asked.level)
            && level < heat.levels.len()
        {
            heat.set = level;
            let draw = heat.levels[level].draw;
            let out = heat.levels[level].out;
            if let Ok(net) = &mut model.net {
                net.level = out;
                if let Some(Takes::Video { draw: set, .. }) =
                    net.loads.get_mut(VIDEO).map(|load| &mut load.takes)
                {
                    *set = draw;
                }
            }
        }
        Supply::of(model)
    }

    /// The flight moment by moment: at the beginning of each leg, at its deepest and at its end. At a punch the video's pins are told at the trough
    /// of their ripple.
    pub fn course(&self) -> Vec<SupplyPoint> {
        let trough = self.worst().map_or(0.0, |worst| worst.trough);
        self.flown().map(|flown| course(flown, trough)).unwrap_or_default()
    }

    /// The margin of the video at a punch, by charge.
    pub fn punches(&self) -> Vec<PunchAt> {
        let Ok(chain) = self.chain() else { return Vec::new() };
        let slots = &self.model().slots;
        let Some(ready) = chain.ready(slots, slots.values()) else { return Vec::new() };
        let at = |charge: f64| {
            let moment = Moment { charge, ..chain.moment() };
            let found = slots.sloped(|values| chain.margin(&ready, values, &moment))?;
            let doubt = 2.0 * slots.uncertainty(&found);
            Some(PunchAt { charge, margin: [found.value - doubt, found.value, found.value + doubt] })
        };
        even(4.0, 100.0).filter_map(at).collect()
    }

    /// How long the pack lasts by the air it flies in.
    pub fn by_warmth(&self) -> Vec<LastsIn> {
        let Ok(chain) = self.chain() else { return Vec::new() };
        let values = self.model().slots.values();
        let [coldest, hottest] = SHOWN_AIR;
        let at = |air: f64| {
            let celsius = Celsius::new(air);
            let time = |pack_at| Some(chain.endures(values, [pack_at, celsius])?.time.get());
            Some(LastsIn { air, times: [time(celsius)?, time(POCKET.max(celsius))?] })
        };
        let steps = ((hottest - coldest) / AIR_STEP) as usize;
        (0..=steps).filter_map(|k| at(coldest + AIR_STEP * k as f64)).collect()
    }

    /// J that the capacitors on the pack take through the plug, and A in the first moment; none where none of known size stands there.
    pub fn through_the_plug(&self) -> Option<[f64; 2]> {
        let model = self.model();
        let values = model.slots.values();
        let (pack, full) = (model.pack.as_ref().ok()?, model.cells.as_ref().ok()?.full);
        let between = Milliohms::new(pack.ohmic(values).ok()? + pack.joints(values).ok()?.get());
        let made = model.capacitors_across(power::PACK).into_iter().filter_map(|cap| cap.capacitor(values));
        let each =
            made.filter_map(|cap| Some([cap.stored(full).get(), cap.inrush(full, between).ok()?.get()]));
        // Each behind the same leads: of several in the same moment the first alone would see it all.
        each.reduce(|sum, one| [sum[0] + one[0], sum[1].max(one[1])])
    }

    /// Every rail at work.
    pub fn rail_rows(&self) -> Vec<RailRow> {
        let model = self.model();
        let (Ok(net), Ok(pack)) = (&model.net, &model.pack) else { return Vec::new() };
        let hottest = model.plan.as_ref().map_or(Celsius::new(30.0), |plan| plan.hottest);
        let values = model.slots.values();
        let (Ok(made), Ok(full)) = (net.at(values, super::warm_board(hottest)), pack.full()) else {
            return Vec::new();
        };
        let [usual, peak] =
            [power::Usage::Typical, power::Usage::Peak].map(|usage| made.at(full * 0.95, usage));
        let row = |(k, rail): (usize, &super::RailFacts)| RailRow {
            called: rail.called.clone(),
            from: rail.from.clone(),
            out: rail.out.at(values),
            amperes: [
                usual.rails[k].amperes.get(),
                peak.rails[k].amperes.get(),
                peak.rails[k].limit.map_or(0.0, |limit| limit.get()),
            ],
            heat: peak.rails[k].heat.get(),
            loads: net
                .loads
                .iter()
                .filter(|load| load.on == rail.name)
                .map(|load| load.called.clone())
                .collect(),
        };
        net.rails.iter().enumerate().map(row).collect()
    }

    /// Warming up on the bench in still air, a line for each level and one for standby, over so many seconds.
    pub fn warming_up(&self, seconds: f64) -> Vec<WarmLine> {
        let Ok(heat) = &self.model().heat else { return Vec::new() };
        let values = self.model().slots.values();
        let line = |called: String, does: Does| {
            let at = |time: f64| {
                Some([time, heat.after(values, Where::Bench, does, quantity::Seconds::new(time))?])
            };
            WarmLine { called, points: even(0.0, seconds).filter_map(at).collect() }
        };
        does(heat).into_iter().map(|(called, does)| line(called, does)).collect()
    }

    /// Steady temperature by air speed, a line for each level.
    pub fn by_air_speed(&self, fastest: f64) -> Vec<WarmLine> {
        let Ok(heat) = &self.model().heat else { return Vec::new() };
        let values = self.model().slots.values();
        let line = |called: String, does: Does| {
            let at = |speed: f64| Some([speed, heat.steady_in(values, speed, does)?]);
            // Close together where little air moves: there the curve falls steeply.
            let speeds = even(0.0, 1.0).map(|share| fastest * share * share);
            WarmLine { called, points: speeds.filter_map(at).collect() }
        };
        does(heat).into_iter().map(|(called, does)| line(called, does)).collect()
    }

    /// Minutes to its limit on the bench by level: in still air, and before a fan; [`FOR_EVER`] where never.
    pub fn bench_times(&self) -> Vec<(String, [f64; 2])> {
        let Ok(heat) = &self.model().heat else { return Vec::new() };
        let slots = &self.model().slots;
        let time =
            |at, does| heat.time_to(slots.values(), slots.of(heat.limit), at, does).unwrap_or(FOR_EVER);
        let both = |does| [time(Where::Bench, does), time(Where::Fan, does)];
        does(heat).into_iter().map(|(called, does)| (called, both(does))).collect()
    }
}

/// What the unit may do, at most five levels and standby: a chart holds six curves.
fn does(heat: &HeatFacts) -> Vec<(String, Does)> {
    let mut all = Vec::new();
    if heat.standby.is_some() {
        all.push(("standby".to_owned(), Does::Waits));
    }
    let levels = heat.levels.iter().enumerate().take(5);
    all.extend(levels.map(|(k, level)| (level.out.to_string(), Does::Sends(k))));
    all
}

fn course(flown: &Flown, trough: f64) -> Vec<SupplyPoint> {
    let mut points = Vec::new();
    let mut put = |at: f64, bus: quantity::Volts, usage, charge: f64| {
        let report = flown.net.at(bus, usage);
        // Punches are what the rails are asked their peak in.
        let off = if usage == power::Usage::Peak { trough } else { 0.0 };
        points.push(SupplyPoint {
            at,
            bus: bus.get(),
            rails: report.rails.iter().map(|rail| rail.volts.get()).collect(),
            video: (report.loads[VIDEO].volts.get() - off).max(0.0),
            charge,
        });
    };
    for leg in &flown.flight.legs {
        // What a leg draws it draws at once: without its beginning a line would climb through it as if a pack took half a minute to recover.
        put(leg.began.get(), leg.first.bus, leg.usage, leg.first_charge.get());
        if leg.deepest_at.get() > leg.began.get() + 1e-6 {
            put(leg.deepest_at.get(), leg.deepest.bus, leg.usage, leg.deepest_charge.get());
        }
        if leg.ended.get() > leg.deepest_at.get() + 1e-6 {
            put(leg.ended.get(), leg.last.bus, leg.usage, leg.charge.get());
        }
    }
    points
}

fn even(from: f64, to: f64) -> impl Iterator<Item = f64> {
    (0..POINTS).map(move |k| from + (to - from) * k as f64 / (POINTS - 1) as f64)
}
