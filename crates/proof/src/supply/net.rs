//! Rails and what hangs on them, as numbers: converters of boards, the video transmitter, and whatever else says what feeds it.
//!
//! A rail is named place/rail. A board hangs on the pack unless its place says otherwise; any other part says what feeds it. A part
//! that names a place instead of a rail shares what feeds that place. What is fed from nothing that is there, and rails that
//! feed themselves, are told in words; nothing is guessed.

use super::custom::{HEADROOM, HEADROOM_MOST, LINEAR_OWN};
use super::feeds::{astray, feed_of, no_such_rail};
use super::loads::{board_load, rails_of, small_load, video_load};
use super::pack::Wires;
use super::slots::{Slot, Slots};
use super::wired::packs_of_their_own;
use crate::link::Lack;
use crate::{Placed, Proof};
use craft::PlaceId;
use craft::schema::{PartKind, craft as craft_schema};
use power::{Conversion, Converter, Demand, Load, PACK, PowerFault, Rail, SupplyNet};
use quantity::{Amperes, Celsius, Milliohms, Milliwatts, Percent, Volts, Watts};

/// A rail of a board.
#[derive(Clone, Debug, PartialEq)]
pub struct RailFacts {
    /// place/rail.
    pub name: String,
    /// What a person calls it.
    pub called: String,
    /// The place of the board.
    pub place: PlaceId,
    /// What feeds it.
    pub from: String,
    /// Wires of the board, where the rail hangs on what feeds the board.
    pub wires: Option<Wires>,
    /// How it makes its voltage.
    pub conversion: Kind,
    /// V.
    pub out: Slot,
    /// A.
    pub current: Slot,
    /// V.
    pub input_min: Option<Slot>,
    /// V.
    pub input_max: Option<Slot>,
    /// V.
    pub headroom: Option<Slot>,
    /// %.
    pub efficiency: Option<Slot>,
    /// A.
    pub own: Option<Slot>,
    /// °C, from and to.
    pub derates: Option<[Slot; 2]>,
}

/// How a rail makes its voltage.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Switches down.
    StepDown,
    /// Switches up.
    StepUp,
    /// Burns the difference.
    Linear,
}

/// What a load takes.
#[derive(Clone, Debug, PartialEq)]
pub enum Takes {
    /// The video transmitter: W at its level, at standby, and by how much of it that swings.
    Video {
        /// At the level set.
        draw: Slot,
        /// Before arming, if it can stand by.
        standby: Option<Slot>,
        /// Percent above the mean.
        swing: Slot,
    },
    /// W.
    Power(Slot),
    /// A.
    Current(Slot),
}

/// A load.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadFacts {
    /// Its place.
    pub place: PlaceId,
    /// What a person calls it.
    pub called: String,
    /// The rail it hangs on.
    pub on: String,
    /// Its wires, where they are known.
    pub wires: Option<Wires>,
    /// mΩ of a coil in its plus wire.
    pub coil_ohm: Option<Slot>,
    /// What it takes.
    pub takes: Takes,
    /// V below which it is dark.
    pub least: Option<Slot>,
    /// V above which it is in danger.
    pub most: Option<Slot>,
    /// A when it starts.
    pub start: Option<Slot>,
}

/// All of it.
#[derive(Clone, Debug, PartialEq)]
pub struct NetFacts {
    /// The rails, in the order of the sheet.
    pub rails: Vec<RailFacts>,
    /// The loads; the video transmitter first.
    pub loads: Vec<LoadFacts>,
    /// The level that is set.
    pub level: Milliwatts,
    /// Whether it stands by until armed.
    pub standby: bool,
    /// What keeps other loads than the video out of the count.
    pub uncounted: Lack,
}

/// The video transmitter's number among the loads.
pub const VIDEO: usize = 0;

/// Rails to which no way leads from the pack, by place/rail, each with why.
pub type Astray = Vec<(String, String)>;

const BOARDS: [PartKind; 3] =
    [PartKind::FlightController, PartKind::SpeedController, PartKind::IntegratedBoard];

impl NetFacts {
    /// Read from the craft, about its first video transmitter. Where that hangs on nothing that leads to the pack, the rest of the net stands
    /// beside what it lacks: a circle, or a converter that cannot be, takes the answer from its own loads only. Last the rails without a way,
    /// and why.
    pub(super) fn of(
        proof: &Proof,
        video: Placed,
        slots: &mut Slots,
    ) -> (Result<Self, Lack>, Option<Self>, Astray) {
        let (mut lack, mut uncounted) = (Lack::default(), Lack::default());
        let mut rails: Vec<RailFacts> = Vec::new();
        for board in proof.placed().filter(|placed| BOARDS.contains(&placed.part.kind)) {
            rails.extend(
                rails_of(proof, board, slots).map_err(|other| uncounted.add(&other)).unwrap_or_default(),
            );
        }
        let hangs_on = feed_of(proof, video).ok().flatten();
        let video = video_load(proof, video, slots).map_err(|other| lack.add(&other)).ok();
        let mut loads = Vec::new();
        for board in proof.placed().filter(|placed| BOARDS.contains(&placed.part.kind)) {
            if let Ok(load) = board_load(proof, board, slots) {
                loads.push(load);
            }
        }
        let small = [PartKind::ControlReceiver, PartKind::Gnss, PartKind::Camera];
        for placed in proof.placed().filter(|placed| small.contains(&placed.part.kind)) {
            match small_load(proof, placed, slots) {
                Ok(load) => loads.extend(load),
                Err(other) => uncounted.add(&other),
            }
        }
        let mut off = packs_of_their_own(proof);
        behind(&rails, &mut off);
        off.extend(spoilt_rails(proof, &rails, slots.values()));
        for (name, why) in astray(proof, &rails) {
            if !off.iter().any(|(known, _)| *known == name) {
                off.push((name, why));
            }
        }
        behind(&rails, &mut off);
        let unfed = |on: &str| {
            on != PACK
                && !rails
                    .iter()
                    .any(|rail| rail.name == on && !off.iter().any(|(name, _)| *name == rail.name))
        };
        let why = |load: &LoadFacts| match off.iter().find(|(name, _)| *name == load.on) {
            Some((name, why)) => {
                let (wrong, mend) = crate::subject::words_and_mend(why);
                let mend = mend.unwrap_or("correct that rail");
                Lack::wrong(format!("{} hangs on {name:?}: {wrong}; {mend}", load.called))
            }
            None => Lack::wrong(no_such_rail(
                &load.called,
                &load.on,
                &rails,
                &format!("under [place.{}] write as fed_from", load.place),
            )),
        };
        // A rail that carries nothing of the video is told with its loads, once for all that hang on one circle.
        let of_loads: Vec<Lack> = loads.iter().filter(|load| unfed(&load.on)).map(why).collect();
        off.iter().for_each(|(_, words)| uncounted.add(&Lack::wrong(words.clone())));
        of_loads.iter().for_each(|lack| uncounted.add(lack));
        if let Some(loose) = video.as_ref().filter(|video| unfed(&video.on)) {
            lack.add(&why(loose));
        }
        loads.retain(|load| !unfed(&load.on));
        rails.retain(|rail| !off.iter().any(|(name, _)| *name == rail.name));
        let item = proof.craft.item();
        let level = item.read(&craft_schema::LEVEL).map_err(|missing| lack.add(&Lack::missing(missing))).ok();
        let standby = item.flag(&craft_schema::STANDBY).unwrap_or(false);
        let level = level.map_or(Milliwatts::new(0.0), |level| level.value);
        let mut facts = Self { rails, loads, level, standby, uncounted };
        // A net that does not hold together says why once, here.
        let holds = |facts: Self| match facts.at(slots.values(), Celsius::new(25.0)) {
            Ok(_) => Ok(facts),
            Err(faults) => {
                Err(Lack { missing: Vec::new(), wrong: faults.iter().map(ToString::to_string).collect() })
            }
        };
        match video.filter(|_| lack.is_empty()) {
            Some(video) => {
                facts.loads.insert(VIDEO, video);
                (holds(facts), None, off)
            }
            // What the video takes is not known, and so nothing of the rails on its way; the others stand.
            None => {
                let rest = hangs_on.and_then(|on| {
                    let way: Vec<String> = facts.way_in(&on).iter().map(|rail| rail.name.clone()).collect();
                    facts.rails.retain(|rail| !way.contains(&rail.name));
                    facts.loads.retain(|load| {
                        load.on == PACK || facts.rails.iter().any(|rail| rail.name == load.on)
                    });
                    holds(facts).ok()
                });
                (Err(lack), rest, off)
            }
        }
    }

    /// The net at some numbers, its converters at a temperature.
    pub fn at(&self, values: &[f64], about: Celsius) -> Result<SupplyNet, Vec<PowerFault>> {
        let mut faults = Vec::new();
        let mut way = |wires: &Option<Wires>| match wires {
            Some(wires) => wires.resistance(values).unwrap_or_else(|fault| {
                faults.push(fault);
                Milliohms::new(0.0)
            }),
            None => Milliohms::new(0.0),
        };
        let leads: Vec<Milliohms> = self.rails.iter().map(|rail| way(&rail.wires)).collect();
        let load_leads: Vec<Milliohms> = self.loads.iter().map(|load| way(&load.wires)).collect();
        let mut rails = Vec::new();
        for (rail, lead) in self.rails.iter().zip(leads) {
            match rail.converter(values) {
                Ok(converter) => rails.push(Rail {
                    name: rail.name.clone(),
                    from: rail.from.clone(),
                    lead,
                    converter: Some(converter),
                }),
                Err(fault) => faults.push(fault),
            }
        }
        let loads = self.loads.iter().zip(load_leads).map(|(load, lead)| load.at(values, lead)).collect();
        if faults.is_empty() { SupplyNet::new(rails, loads, about) } else { Err(faults) }
    }

    /// The rail of a name.
    pub fn rail(&self, name: &str) -> Option<&RailFacts> {
        self.rails.iter().find(|rail| rail.name == name)
    }
    /// The video transmitter.
    pub fn video(&self) -> &LoadFacts {
        &self.loads[VIDEO]
    }
    /// The rails from a load's own inward to the pack.
    pub fn way_in(&self, on: &str) -> Vec<&RailFacts> {
        let (mut way, mut at) = (Vec::new(), on);
        while let Some(rail) =
            self.rail(at).filter(|rail| !way.iter().any(|known: &&RailFacts| known.name == rail.name))
        {
            way.push(rail);
            at = &rail.from;
        }
        way
    }
}

/// Rails whose converter cannot be as it is said, each with why.
fn spoilt_rails(proof: &Proof, rails: &[RailFacts], values: &[f64]) -> Vec<(String, String)> {
    let of = |rail: &RailFacts| {
        let fault = rail.converter(values).err()?;
        let (wrong, mend) = crate::subject::fault_and_mend(&fault);
        let id = proof.placed_at(&rail.place).map(|placed| placed.part.id.to_string()).unwrap_or_default();
        let name = rail.name.rsplit('/').next().unwrap_or_default();
        let mend = mend.unwrap_or_else(|| "see its data sheet".to_owned());
        Some((
            rail.name.clone(),
            format!("{}: {wrong}; correct the row {name:?} of [[part.{id}.rail]]: {mend}", rail.called),
        ))
    };
    rails.iter().filter_map(of).collect()
}

/// What hangs on a rail that is off the pack is off it too.
fn behind(rails: &[RailFacts], off: &mut Vec<(String, String)>) {
    loop {
        let is_off = |name: &str| off.iter().find(|(known, _)| known == name);
        let next = rails.iter().find_map(|rail| {
            let (_, why) = is_off(&rail.from).filter(|_| is_off(&rail.name).is_none())?;
            Some((rail.name.clone(), why.clone()))
        });
        match next {
            Some(next) => off.push(next),
            None => return,
        }
    }
}

impl RailFacts {
    /// The converter at some numbers.
    pub fn converter(&self, values: &[f64]) -> Result<Converter, PowerFault> {
        let out = Volts::new(self.out.at(values));
        let most = self.input_max.map_or(Volts::new(60.0), |slot| Volts::new(slot.at(values)));
        let least = self.input_min.map(|slot| slot.at(values));
        let headroom = self.headroom.map(|slot| slot.at(values));
        // Without a headroom of its own the least input says by how much the input must lie above the output.
        let derived = least.map(|least| (least - out.get()).max(0.0));
        // More than that is no headroom but a least input of the chip: it stays below the input, not above the output.
        let floored = derived.is_some_and(|derived| derived > HEADROOM_MOST);
        let above =
            headroom.or_else(|| derived.map(|derived| derived.min(HEADROOM_MOST))).unwrap_or(HEADROOM);
        let (conversion, floor) = match self.conversion {
            Kind::StepUp => (Conversion::StepUp, least.unwrap_or(0.5)),
            Kind::StepDown => (Conversion::StepDown { headroom: Volts::new(above) }, 0.0),
            Kind::Linear => {
                let own = Amperes::new(self.own.map_or(LINEAR_OWN, |slot| slot.at(values)));
                (Conversion::Linear { dropout: Volts::new(above), own }, 0.0)
            }
        };
        let floor = if headroom.is_some() || floored { least.unwrap_or(floor) } else { floor };
        let limit = Amperes::new(self.current.at(values));
        let mut converter = Converter::new(conversion, out, [Volts::new(floor), most], limit)?;
        if let Some(efficiency) = self.efficiency {
            // As the usual one runs: less at a tenth of the load and at the limit.
            let half = efficiency.at(values);
            let points = [(10.0, half * 0.83), (30.0, half * 0.97), (60.0, half), (100.0, half * 0.95)];
            let points = points.map(|(load, at)| (Percent::new(load), Percent::new(at)));
            converter = converter.with_efficiency(&points)?;
        }
        if let Some([from, to]) = self.derates {
            converter = converter.derated(Celsius::new(from.at(values)), Celsius::new(to.at(values)))?;
        }
        Ok(converter)
    }
}

impl LoadFacts {
    fn at(&self, values: &[f64], lead: Milliohms) -> Load {
        let demand = match &self.takes {
            Takes::Video { draw, standby, swing } => {
                let typical = draw.at(values).max(0.0);
                let peak = typical * (1.0 + swing.at(values).max(0.0) * 1e-2);
                let waiting = standby.map(|slot| Watts::new(slot.at(values).clamp(0.0, peak)));
                Demand::Power { typical: Watts::new(typical), peak: Watts::new(peak), waiting }
            }
            Takes::Power(slot) => {
                let watts = Watts::new(slot.at(values).max(0.0));
                Demand::Power { typical: watts, peak: watts, waiting: None }
            }
            Takes::Current(slot) => {
                let amperes = Amperes::new(slot.at(values).max(0.0));
                Demand::Current { typical: amperes, peak: amperes }
            }
        };
        let least = Volts::new(self.least.map_or(0.0, |slot| slot.at(values).clamp(0.0, 100.0)));
        Load {
            name: self.called.clone(),
            on: self.on.clone(),
            lead: lead + Milliohms::new(self.coil_ohm.map_or(0.0, |slot| slot.at(values).max(0.0))),
            demand,
            needs: [least, Volts::new(100.0)],
        }
    }
}
