//! Rails and what hangs on them, as numbers: converters of boards, the video transmitter, and whatever else says what feeds it.
//!
//! A rail is named place/rail. A board hangs on the pack unless its place says otherwise; any other part says what feeds it. A part
//! that names a place instead of a rail shares what feeds that place. What is fed from nothing that is there, and rails that
//! feed themselves, are told in words; nothing is guessed.

use super::custom::{BOARD_DRAW, HEADROOM, HEADROOM_MOST, LINEAR_OWN, SWING};
use super::pack::{Wires, supply_wires};
use super::slots::{Slot, Slots};
use super::wired::wired_feed;
use crate::link::Lack;
use crate::subject::by_custom;
use crate::{Placed, Proof};
use craft::schema::{PartKind, air, board, camera, craft as craft_schema, place, shape};
use craft::{Item, Missing, PlaceId};
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

const BOARDS: [PartKind; 3] =
    [PartKind::FlightController, PartKind::SpeedController, PartKind::IntegratedBoard];

impl NetFacts {
    /// Read from the craft, about its first video transmitter. Where that hangs on nothing that leads to the pack, the rest of the net stands
    /// beside what it lacks: a circle takes the answer from its own loads only.
    pub(super) fn of(proof: &Proof, video: Placed, slots: &mut Slots) -> (Result<Self, Lack>, Option<Self>) {
        let (mut lack, mut uncounted) = (Lack::default(), Lack::default());
        let mut rails: Vec<RailFacts> = Vec::new();
        for board in proof.placed().filter(|placed| BOARDS.contains(&placed.part.kind)) {
            rails.extend(
                rails_of(proof, board, slots).map_err(|other| uncounted.add(&other)).unwrap_or_default(),
            );
        }
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
        let (astray, words) = astray(&rails);
        let unfed = |on: &str| {
            on != PACK && !rails.iter().any(|rail| rail.name == on && !astray.contains(&rail.name))
        };
        let why = |called: &str, on: &str| match rails.iter().any(|rail| rail.name == on) {
            true => Lack::wrong(format!("{called} hangs on {on:?}, to which no way leads from the pack")),
            false => no_such_rail(called, on, &rails),
        };
        words.iter().for_each(|words| uncounted.add(&Lack::wrong(words.clone())));
        for load in loads.iter().filter(|load| unfed(&load.on)) {
            uncounted.add(&why(&load.called, &load.on));
        }
        let loose = video.as_ref().filter(|video| unfed(&video.on));
        if let Some(video) = loose {
            words.iter().for_each(|words| lack.add(&Lack::wrong(words.clone())));
            lack.add(&why(&video.called, &video.on));
        }
        let loose = loose.is_some();
        loads.retain(|load| !unfed(&load.on));
        rails.retain(|rail| !astray.contains(&rail.name));
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
                (holds(facts), None)
            }
            None => (Err(lack), holds(facts).ok().filter(|_| loose)),
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
            lead,
            demand,
            needs: [least, Volts::new(100.0)],
        }
    }
}

/// What feeds a place: its wires, where one brings it a supply, else what the place says: the pack, a rail, or what feeds the place it names.
fn feed(proof: &Proof, placed: Placed, passed: &mut Vec<PlaceId>) -> Result<Option<String>, Lack> {
    match wired_feed(proof, placed) {
        Some(wired) => Ok(Some(wired.on)),
        None => said(proof, placed, passed),
    }
}

fn said(proof: &Proof, placed: Placed, passed: &mut Vec<PlaceId>) -> Result<Option<String>, Lack> {
    let Ok(said) = placed.place.item().text(&place::FED_FROM) else { return Ok(None) };
    let said = said.trim();
    if said == PACK {
        return Ok(Some(PACK.to_owned()));
    }
    if let Some((at, rail)) = said.split_once('/') {
        return Ok(Some(format!("{}/{}", at.trim(), rail.trim())));
    }
    let other = PlaceId::new(said).ok().and_then(|id| proof.placed_at(&id));
    let Some(other) = other else {
        let words = format!(
            "{} is fed from {said:?}, which is neither the pack, nor a rail such as fc/5 V, nor a place",
            placed.part.name
        );
        return Err(Lack::wrong(words));
    };
    passed.push(placed.place.id.clone());
    if passed.contains(&other.place.id) {
        let circle: Vec<&str> = passed.iter().chain([&other.place.id]).map(|place| place.as_str()).collect();
        return Err(Lack::wrong(format!(
            "places feed themselves: {}; feed one of them from the pack",
            circle.join(" from ")
        )));
    }
    feed(proof, other, passed)
}

/// What a place says of its feed, whatever its wires say.
pub(super) fn said_feed(proof: &Proof, placed: Placed) -> Result<Option<String>, Lack> {
    said(proof, placed, &mut Vec::new())
}

fn feed_of(proof: &Proof, placed: Placed) -> Result<Option<String>, Lack> {
    feed(proof, placed, &mut Vec::new())
}

fn rails_of(proof: &Proof, board: Placed, slots: &mut Slots) -> Result<Vec<RailFacts>, Lack> {
    let fed = feed_of(proof, board)?.unwrap_or_else(|| PACK.to_owned());
    let mut rails = Vec::new();
    for row in board.part.rows(&shape::rail::TABLE) {
        use shape::rail as field;
        let name = row.name().ok_or_else(|| Lack::missing(row.missing(&shape::NAME.def)))?;
        let out = row.read(&field::OUT).map_err(Lack::missing)?;
        let current = row.read(&field::CURRENT).map_err(Lack::missing)?;
        let input_max = row.read(&field::INPUT_MAX).ok();
        let conversion = match row.text(&field::CONVERSION) {
            Ok("step-up") => Kind::StepUp,
            Ok("linear") => Kind::Linear,
            Ok(_) => Kind::StepDown,
            Err(_) if input_max.as_ref().is_some_and(|most| most.value < out.value) => Kind::StepUp,
            Err(_) => Kind::StepDown,
        };
        let inner = row.text(&field::FROM).ok();
        let from = inner.map_or_else(|| fed.clone(), |inner| format!("{}/{inner}", board.place.id));
        // The speed controller's own wires carry the motors too, and count with the pack.
        let carries_motors = board.part.kind != PartKind::FlightController;
        let wires = if inner.is_none() && !carries_motors { supply_wires(proof, board, slots) } else { None };
        let derates = match (row.read(&field::DERATES_FROM), row.read(&field::DERATES_TO)) {
            (Ok(from), Ok(to)) => Some([slots.fact(&from), slots.fact(&to)]),
            _ => None,
        };
        rails.push(RailFacts {
            name: format!("{}/{name}", board.place.id),
            called: format!("{name} of {}", board.part.name),
            place: board.place.id.clone(),
            from,
            wires,
            conversion,
            out: slots.fact(&out),
            current: slots.fact(&current),
            input_min: row.read(&field::INPUT_MIN).ok().map(|least| slots.fact(&least)),
            input_max: input_max.map(|most| slots.fact(&most)),
            headroom: row.read(&field::HEADROOM).ok().map(|above| slots.fact(&above)),
            efficiency: row.read(&field::EFFICIENCY).ok().map(|share| slots.fact(&share)),
            own: row.read(&field::OWN).ok().map(|own| slots.fact(&own)),
            derates,
        });
    }
    Ok(rails)
}

fn video_load(proof: &Proof, video: Placed, slots: &mut Slots) -> Result<LoadFacts, Lack> {
    let mut lack = Lack::default();
    let on = match feed_of(proof, video) {
        Ok(Some(on)) => Some(on),
        Ok(None) => {
            lack.add(&Lack::missing(fed_from_missing(video)));
            None
        }
        Err(other) => {
            lack.add(&other);
            None
        }
    };
    let item = video.part.item();
    let mut told = |missing: Missing| lack.add(&Lack::missing(missing));
    let least = item.read(&air::SUPPLY_MIN).map_err(&mut told).ok();
    let draw = level_draw(proof, video).map_err(|missing| missing.into_iter().for_each(&mut told)).ok();
    let (Some(on), Some(least), Some(draw)) = (on, least, draw) else { return Err(lack) };
    let swing = item
        .read(&air::SWING)
        .unwrap_or_else(|missing| by_custom(missing.path.0, "swing of the video's draw", &SWING));
    Ok(LoadFacts {
        place: video.place.id.clone(),
        called: video.part.name.clone(),
        on,
        wires: supply_wires(proof, video, slots),
        takes: Takes::Video {
            draw: slots.fact(&draw),
            standby: item.read(&air::STANDBY_DRAW).ok().map(|draw| slots.fact(&draw)),
            swing: slots.fact(&swing),
        },
        least: Some(slots.fact(&least)),
        most: item.read(&air::SUPPLY_MAX).ok().map(|most| slots.fact(&most)),
        start: item.read(&air::START_PEAK).ok().map(|peak| slots.fact(&peak)),
    })
}

/// What the transmitter draws at the level set.
pub(super) fn level_draw(proof: &Proof, video: Placed) -> Result<craft::Reading<Watts>, Vec<Missing>> {
    let level = proof.craft.item().read(&craft_schema::LEVEL).map_err(|missing| vec![missing])?;
    let rows = || video.part.rows(&air::level::TABLE);
    let same =
        |row: &Item| row.read(&air::level::OUT).is_ok_and(|out| (out.value - level.value).get().abs() < 1e-6);
    match rows().find(same) {
        Some(row) => row.read(&air::level::DRAW).map_err(|missing| vec![missing]),
        None => Err(vec![Missing {
            path: quantity::FactPath(format!("{}.level", video.part.id)),
            label: format!("supply power of {:?} at {}", video.part.name, level.value),
        }]),
    }
}

fn fed_from_missing(placed: Placed) -> Missing {
    Missing {
        label: format!("feed of {:?}: pack, or a rail as place/rail", placed.part.name),
        ..placed.place.item().missing(&place::FED_FROM.def)
    }
}

fn board_load(proof: &Proof, board: Placed, slots: &mut Slots) -> Result<LoadFacts, Lack> {
    // A speed controller alone takes next to nothing.
    if board.part.kind == PartKind::SpeedController && !board.part.item().has(&board::OWN_DRAW.def) {
        return Err(Lack::default());
    }
    let draw = board.part.item().read(&board::OWN_DRAW);
    let draw = draw.unwrap_or_else(|missing| {
        by_custom(missing.path.0, &format!("own power of {}", board.part.name), &BOARD_DRAW)
    });
    Ok(LoadFacts {
        place: board.place.id.clone(),
        called: board.part.name.clone(),
        on: feed_of(proof, board)?.unwrap_or_else(|| PACK.to_owned()),
        wires: None,
        takes: Takes::Power(slots.fact(&draw)),
        least: None,
        most: None,
        start: None,
    })
}

/// A receiver, a satellite module, or a camera with a supply of its own.
fn small_load(proof: &Proof, placed: Placed, slots: &mut Slots) -> Result<Option<LoadFacts>, Lack> {
    let on = feed_of(proof, placed)?;
    let item = placed.part.item();
    let is_camera = placed.part.kind == PartKind::Camera;
    let on = match on {
        Some(on) => on,
        None if is_camera => return Ok(None),
        None => return Err(Lack::missing(fed_from_missing(placed))),
    };
    let takes = if is_camera {
        Takes::Power(slots.fact(&item.read(&camera::DRAW).map_err(Lack::missing)?))
    } else {
        Takes::Current(slots.fact(&item.read(&air::CURRENT).map_err(Lack::missing)?))
    };
    Ok(Some(LoadFacts {
        place: placed.place.id.clone(),
        called: placed.part.name.clone(),
        on,
        wires: supply_wires(proof, placed, slots),
        takes,
        least: None,
        most: None,
        start: None,
    }))
}

/// The rails to which no way leads from the pack, and why, in words.
fn astray(rails: &[RailFacts]) -> (Vec<String>, Vec<String>) {
    let (mut names, mut words, mut told) = (Vec::new(), Vec::new(), Vec::<String>::new());
    for rail in rails {
        let mut way = vec![rail];
        loop {
            let from = &way[way.len() - 1].from;
            if from == PACK {
                break;
            }
            let next = rails.iter().find(|other| &other.name == from);
            let begin = next.and_then(|next| way.iter().position(|passed| passed.name == next.name));
            match (next, begin) {
                (Some(next), None) => {
                    way.push(next);
                    continue;
                }
                // Each circle is told once, by its first rail in the order of the sheet.
                (Some(next), Some(begin)) => {
                    let circle: Vec<&str> =
                        way[begin..].iter().chain([&next]).map(|rail| rail.name.as_str()).collect();
                    if circle.iter().all(|name| !told.iter().any(|known| known == name)) {
                        told.extend(circle.iter().map(|name| (*name).to_owned()));
                        let circle = circle.join(" from ");
                        words
                            .push(format!("rails feed themselves: {circle}; feed one of them from the pack"));
                    }
                }
                (None, _) => words.extend(no_such_rail(&way[way.len() - 1].called, from, rails).wrong),
            }
            names.push(rail.name.clone());
            break;
        }
    }
    words.dedup();
    (names, words)
}

fn no_such_rail(called: &str, from: &str, rails: &[RailFacts]) -> Lack {
    Lack::wrong(format!(
        "{called} is fed from {from:?}, and no such rail is there; known are {}",
        known(rails)
    ))
}

fn known(rails: &[RailFacts]) -> String {
    let names: Vec<&str> = [PACK].into_iter().chain(rails.iter().map(|rail| rail.name.as_str())).collect();
    names.join(", ")
}
