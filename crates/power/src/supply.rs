//! Which voltage stands on each pin, which current flows in each rail, and what does all of it take from the pack?
//!
//! A net of rails: each is fed from the pack or from another rail, through a lead and perhaps a converter; loads hang on rails
//! through leads of their own. Every rail has one feed, so the net is a tree once no rail feeds itself in a circle. Currents are
//! gathered from the loads inward, voltages handed from the pack outward, until both agree. A load of constant power behind a
//! lead stands where V² − V·U + R·P = 0, and falls over where that has no root. A rail that went off stays off, as it would.

use crate::converter::{RailState, Taken};
use crate::{Converter, Flight, LegReport, Load, PowerFault, Rails, Usage};
use quantity::{Amperes, Celsius, Milliohms, Percent, Volts, Watts};

/// The word for the pack as a feed.
pub const PACK: &str = "pack";

/// A rail of a supply net.
#[derive(Clone, Debug, PartialEq)]
pub struct Rail {
    /// Its name.
    pub name: String,
    /// What feeds it: [`PACK`] or another rail.
    pub from: String,
    /// Resistance of the way to it, out and back.
    pub lead: Milliohms,
    /// What makes its voltage; none where it is only a branch.
    pub converter: Option<Converter>,
}

/// A net that holds together.
#[derive(Clone, Debug, PartialEq)]
pub struct SupplyNet {
    rails: Vec<Rail>,
    loads: Vec<Load>,
    /// The feed of each rail and of each load; none is the pack.
    rail_feeds: Vec<Option<usize>>,
    load_feeds: Vec<Option<usize>>,
    /// Rails, each after what feeds it.
    order: Vec<usize>,
    temperature: Celsius,
}

/// A rail at work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RailReport {
    /// Its voltage.
    pub volts: Volts,
    /// The current it gives.
    pub amperes: Amperes,
    /// The most it could give at this temperature; none where no converter limits it.
    pub limit: Option<Amperes>,
    /// Power turned to heat in its converter.
    pub heat: Watts,
    /// How it stands.
    pub state: RailState,
}

/// A load at work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoadReport {
    /// Voltage at its pins; 0 where it has none.
    pub volts: Volts,
    /// Its current.
    pub amperes: Amperes,
    /// Whether the voltage lies within what it needs and its rail gives what is asked.
    pub held: bool,
}

/// The whole net at a bus voltage.
#[derive(Clone, Debug, PartialEq)]
pub struct NetReport {
    /// Each rail, in the order given.
    pub rails: Vec<RailReport>,
    /// Each load, in the order given.
    pub loads: Vec<LoadReport>,
    /// What the net takes from the bus.
    pub amperes: Amperes,
}

impl SupplyNet {
    /// A net of these rails and loads at a temperature about the converters; or all that is wrong with it.
    pub fn new(rails: Vec<Rail>, loads: Vec<Load>, temperature: Celsius) -> Result<Self, Vec<PowerFault>> {
        let mut faults = Vec::new();
        for (k, rail) in rails.iter().enumerate() {
            let taken = rail.name == PACK || rails[..k].iter().any(|other| other.name == rail.name);
            if taken {
                faults.push(PowerFault::NamedTwice { name: rail.name.clone() });
            }
        }
        let feed = |name: &str, of: &str| -> Result<Option<usize>, PowerFault> {
            if name == PACK {
                return Ok(None);
            }
            let found = rails.iter().position(|rail| rail.name == name);
            found.map(Some).ok_or_else(|| {
                let known =
                    rails.iter().map(|rail| rail.name.as_str()).chain([PACK]).collect::<Vec<_>>().join(", ");
                PowerFault::NoSuchRail { name: name.to_owned(), of: of.to_owned(), known }
            })
        };
        let mut feeds = |pairs: Vec<(&str, &str)>| -> Vec<Option<usize>> {
            let found = pairs.into_iter().map(|(name, of)| {
                feed(name, of).unwrap_or_else(|fault| {
                    faults.push(fault);
                    None
                })
            });
            found.collect()
        };
        let rail_feeds = feeds(rails.iter().map(|rail| (rail.from.as_str(), rail.name.as_str())).collect());
        let load_feeds = feeds(loads.iter().map(|load| (load.on.as_str(), load.name.as_str())).collect());
        let order = match ordered(&rails, &rail_feeds) {
            Ok(order) => order,
            Err(fault) => {
                faults.push(fault);
                Vec::new()
            }
        };
        let leads = rails.iter().map(|r| (&r.name, r.lead)).chain(loads.iter().map(|l| (&l.name, l.lead)));
        let [none, most] = [0.0, 100_000.0].map(Milliohms::new);
        for (name, lead) in leads {
            let checked = PowerFault::within(format_args!("lead to {name}"), lead, none, most, "measure it");
            faults.extend(checked.err());
        }
        for load in &loads {
            faults.extend(load.checked().err());
        }
        let [coldest, hottest] = [-40.0, 150.0].map(Celsius::new);
        let about = PowerFault::within(
            "temperature about the converters",
            temperature,
            coldest,
            hottest,
            "check the unit",
        );
        faults.extend(about.err());
        if faults.is_empty() {
            Ok(Self { rails, loads, rail_feeds, load_feeds, order, temperature })
        } else {
            Err(faults)
        }
    }

    /// Its rails, in the order given.
    pub fn rails(&self) -> &[Rail] {
        &self.rails
    }
    /// Its loads, in the order given.
    pub fn loads(&self) -> &[Load] {
        &self.loads
    }

    /// The net at a bus voltage.
    pub fn at(&self, bus: Volts, usage: Usage) -> NetReport {
        let bus = told(bus);
        self.report(&self.settled(bus, usage), bus)
    }

    /// Voltages and currents that agree.
    fn settled(&self, bus: f64, usage: Usage) -> Work {
        let mut work = Work { rails: Vec::new(), pins: vec![[0.0, 0.0]; self.loads.len()] };
        self.settle(&mut work, bus, usage);
        work
    }

    /// The same in room that was used before.
    fn settle(&self, work: &mut Work, bus: f64, usage: Usage) {
        let rail = |rail: &Rail| RailWork {
            volts: rail.converter.as_ref().map_or(bus, |converter| converter.output().get()),
            amperes: 0.0,
            taken: Taken::Power(0.0),
            state: RailState::Holds,
            input: [0.0, 0.0],
        };
        work.rails.clear();
        work.rails.extend(self.rails.iter().map(rail));
        for _ in 0..100 {
            self.gather(work, bus, usage);
            let change = self.hand_out(work, bus);
            // Where no voltage moved at all, currents gathered anew would be the same.
            if change == 0.0 {
                return;
            }
            if change < 1e-9 {
                break;
            }
        }
        self.gather(work, bus, usage);
    }

    /// Currents from the loads inward.
    fn gather(&self, work: &mut Work, bus: f64, usage: Usage) {
        work.rails.iter_mut().for_each(|rail| rail.amperes = 0.0);
        for (k, load) in self.loads.iter().enumerate() {
            let volts = self.load_feeds[k].map_or(bus, |rail| work.rails[rail].volts);
            // What finds no point to stand at takes nothing any more: it is dark.
            work.pins[k] =
                load.demand.taken(usage).behind(volts, load.lead.get() * 1e-3).unwrap_or([0.0, 0.0]);
            if let Some(rail) = self.load_feeds[k] {
                work.rails[rail].amperes += work.pins[k][1];
            }
        }
        for &k in self.order.iter().rev() {
            let (out, volts) = (work.rails[k].amperes, work.rails[k].volts);
            work.rails[k].taken = match &self.rails[k].converter {
                _ if work.rails[k].state == RailState::Off => Taken::Power(0.0),
                Some(converter) => converter.takes(volts, out),
                None => Taken::Current(out),
            };
            let feeds = self.rail_feeds[k].map_or(bus, |from| work.rails[from].volts);
            let rail = &mut work.rails[k];
            match rail.taken.behind(feeds, self.rails[k].lead.get() * 1e-3) {
                Some(input) => rail.input = input,
                None => (rail.input, rail.state) = ([0.0, 0.0], RailState::Off),
            }
            let amperes = rail.input[1];
            if let Some(from) = self.rail_feeds[k] {
                work.rails[from].amperes += amperes;
            }
        }
    }

    /// Voltages from the pack outward; the greatest change.
    fn hand_out(&self, work: &mut Work, bus: f64) -> f64 {
        let mut change = 0.0f64;
        for &k in &self.order {
            let feeds = self.rail_feeds[k].map_or(bus, |from| work.rails[from].volts);
            let rail = &mut work.rails[k];
            let input =
                rail.taken.behind(feeds, self.rails[k].lead.get() * 1e-3).map_or(0.0, |[volts, _]| volts);
            let (volts, state) = match &self.rails[k].converter {
                _ if rail.state == RailState::Off => (0.0, RailState::Off),
                Some(converter) => {
                    let limit = converter.limit_at(self.temperature).get();
                    let found = converter.at(input, rail.amperes, limit);
                    (found.volts, found.state)
                }
                None if input > 0.0 => (input, RailState::Holds),
                None => (0.0, RailState::Off),
            };
            change = change.max((volts - rail.volts).abs());
            if state != rail.state && state == RailState::Off {
                change = change.max(1.0);
            }
            (rail.volts, rail.state) = (volts, state);
        }
        change
    }

    fn report(&self, work: &Work, bus: f64) -> NetReport {
        let rail = |(rail, work): (&Rail, &RailWork)| {
            let converter = rail.converter.as_ref();
            let [input, in_amperes] = work.input;
            let heat = if converter.is_some() { input * in_amperes - work.volts * work.amperes } else { 0.0 };
            RailReport {
                volts: Volts::new(work.volts),
                amperes: Amperes::new(work.amperes),
                limit: converter.map(|converter| converter.limit_at(self.temperature)),
                heat: Watts::new(heat.max(0.0)),
                state: work.state,
            }
        };
        let carried = |feed: Option<usize>| {
            feed.is_none_or(|rail| matches!(work.rails[rail].state, RailState::Holds | RailState::DropsOut))
        };
        let load = |k: usize| {
            let [volts, amperes] = work.pins[k];
            let [least, most] = self.loads[k].needs;
            let held = least.get() <= volts && volts <= most.get() && carried(self.load_feeds[k]);
            LoadReport { volts: Volts::new(volts), amperes: Amperes::new(amperes), held }
        };
        NetReport {
            rails: self.rails.iter().zip(&work.rails).map(rail).collect(),
            loads: (0..self.loads.len()).map(load).collect(),
            amperes: Amperes::new(self.taken_at_bus(work, bus)),
        }
    }

    /// What the net takes from the bus, A.
    fn taken_at_bus(&self, work: &Work, bus: f64) -> f64 {
        let on_bus = |feeds: &[Option<usize>], amperes: &dyn Fn(usize) -> f64| {
            feeds.iter().enumerate().filter(|(_, feed)| feed.is_none()).map(|(k, _)| amperes(k)).sum::<f64>()
        };
        if bus > 0.0 {
            on_bus(&self.rail_feeds, &|k| work.rails[k].input[1])
                + on_bus(&self.load_feeds, &|k| work.pins[k][1])
        } else {
            0.0
        }
    }

    /// The least bus voltage, down to none, at which a load is held; none if it is held at no voltage up to the greatest.
    pub fn least_bus(&self, load: usize, greatest: Volts, usage: Usage) -> Option<Volts> {
        let held =
            |volts: f64| self.at(Volts::new(volts), usage).loads.get(load).is_some_and(|load| load.held);
        // A net may hold between two voltages only; the way down from the top finds where it stops holding.
        let steps = 400;
        let at = |k: i32| greatest.get() * f64::from(k) / f64::from(steps);
        let first = (1..=steps).rev().find(|k| held(at(*k)))?;
        let stops = (0..first).rev().find(|k| !held(at(*k)))?;
        let (mut low, mut high) = (at(stops), at(stops + 1));
        for _ in 0..40 {
            let middle = 0.5 * (low + high);
            if held(middle) { high = middle } else { low = middle }
        }
        Some(Volts::new(high))
    }
}

/// The worst moment of a load over a flight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LowestPin {
    /// The load then; its voltage is less half of the ripple.
    pub load: LoadReport,
    /// The bus then.
    pub bus: Volts,
    /// Which leg.
    pub leg: usize,
    /// The charge of the pack then.
    pub charge: Percent,
}

impl SupplyNet {
    /// The lowest voltage at a load's pins over a flight. `ripple` is peak to peak at the pins, and what dips below the mean is half of it;
    /// none where the flight has no leg or the net no such load.
    pub fn lowest(&self, load: usize, flight: &Flight, ripple: Volts) -> Option<LowestPin> {
        let needs = self.loads.get(load)?.needs;
        let at = |(leg, report): (usize, &LegReport)| {
            let bus = report.deepest.bus;
            let mut found = *self.at(bus, report.usage).loads.get(load)?;
            found.volts = (found.volts - ripple * 0.5).max(Volts::new(0.0));
            found.held &= found.volts >= needs[0];
            Some(LowestPin { load: found, bus, leg, charge: report.deepest_charge })
        };
        let pins = flight.legs.iter().enumerate().filter_map(at);
        pins.min_by(|a, b| a.load.volts.get().total_cmp(&b.load.volts.get()))
    }
}

impl Rails for SupplyNet {
    fn power(&self, bus: Volts, usage: Usage) -> Watts {
        let volts = told(bus);
        Watts::new(bus.get() * self.taken_at_bus(&self.settled(volts, usage), volts))
    }

    fn meter(&self) -> impl FnMut(f64, Usage) -> f64 {
        let mut work = Work { rails: Vec::new(), pins: vec![[0.0, 0.0]; self.loads.len()] };
        move |bus, usage| {
            let volts = told(Volts::new(bus));
            self.settle(&mut work, volts, usage);
            bus * self.taken_at_bus(&work, volts)
        }
    }
}

/// What is found on the way.
struct Work {
    rails: Vec<RailWork>,
    /// Volts and amperes at the pins of each load.
    pins: Vec<[f64; 2]>,
}

/// A rail on the way.
struct RailWork {
    volts: f64,
    amperes: f64,
    taken: Taken,
    state: RailState,
    input: [f64; 2],
}

/// Volts of a bus; nought for what no bus has.
fn told(bus: Volts) -> f64 {
    if bus.get() > 0.0 && bus.get() < 1e4 { bus.get() } else { 0.0 }
}

/// Rails, each after what feeds it; or the circle in which they feed each other.
fn ordered(rails: &[Rail], feeds: &[Option<usize>]) -> Result<Vec<usize>, PowerFault> {
    let mut order = Vec::with_capacity(rails.len());
    for start in 0..rails.len() {
        let (mut way, mut at) = (Vec::new(), Some(start));
        while let Some(k) = at.filter(|k| !order.contains(k)) {
            if let Some(begin) = way.iter().position(|passed| *passed == k) {
                let circle = way[begin..].iter().chain([&k]).map(|k| rails[*k].name.clone()).collect();
                return Err(PowerFault::FeedsItself { circle });
            }
            way.push(k);
            at = feeds[k];
        }
        order.extend(way.into_iter().rev());
    }
    Ok(order)
}
