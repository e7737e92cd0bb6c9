//! How hot the video transmitter gets: on the bench, waiting on the line, hovering, in cruise.
//!
//! All that is drawn and not radiated warms the board; from its faces it goes to the air by what moves past and by radiation (emissivity 0.9).
//! Boards beneath, screws and frame take a part along: by custom a unit lasts 1.5 to 3 times as long as its own mass would say, and
//! that factor stands on its heat capacity, not on its faces. Air past it in hover is what its place says, or half of the speed through the
//! discs. In the sun the air about it is 15 K warmer. A sink stands behind its pad with a mass of its own.

use super::drive::DriveFacts;
use super::slots::{Slot, Slots};
use crate::link::Lack;
use crate::subject::by_custom;
use crate::supply::custom::{AIR_SHARE, FAN, FRAME_TAKES, PAD_CONDUCTIVITY, SUN};
use crate::{Placed, Proof};
use craft::schema::{air, craft as craft_schema, frame, place};
use craft::{Missing, PlaceId};
use power::{
    Air, Attitude, Body, Face, JoulesPerKelvin, PowerFault, Surroundings, Unit, Warmth, WattsPerKelvin,
    heat_of,
};
use quantity::{Celsius, Measure, Metres, MetresPerSecond, Millimetres, Milliwatts, Ratio, Seconds, Watts};

/// Heat capacity of boards, aluminium and most else, J/K a gram.
const CAPACITY: f64 = 0.9;
const EMISSIVITY: f64 = 0.9;
/// A time that stands for ever, in s: nobody waits as long.
pub const FOR_EVER: f64 = 7_200.0;

/// Air so near its limit leaves nothing to warm up by, in K.
const NEAR_AIR: f64 = 1.0;
/// Air of a room, to say what work indoors changes.
pub const ROOM: Celsius = Celsius::new(20.0);

/// One level of the transmitter.
#[derive(Clone, Debug, PartialEq)]
pub struct LevelFacts {
    /// What it radiates.
    pub out: Milliwatts,
    /// W it draws.
    pub draw: Slot,
}

/// A sink behind a pad.
#[derive(Clone, Debug, PartialEq)]
struct SinkFacts {
    mass: Slot,
    area: Slot,
    pad: Slot,
}

/// The transmitter as its facts tell it.
#[derive(Clone, Debug, PartialEq)]
pub struct HeatFacts {
    /// Its place.
    pub place: PlaceId,
    /// What a person calls it.
    pub called: String,
    /// Length, width, height in mm.
    size: [Slot; 3],
    /// g.
    mass: Slot,
    /// m².
    area: Option<Slot>,
    sink: Option<SinkFacts>,
    /// How many times its own heat capacity counts.
    takes: Slot,
    /// °C.
    pub limit: Slot,
    /// °C.
    pub fold_back: Option<Slot>,
    /// Its levels with what they draw, rising.
    pub levels: Vec<LevelFacts>,
    /// W at standby, if it can stand by.
    pub standby: Option<Slot>,
    /// Whether it stands by until armed.
    pub stands_by: bool,
    /// The number of the level set among the levels.
    pub set: usize,
    /// m/s in hover, as its place says.
    air_past: Option<Slot>,
    /// Share of the air through the discs or of the speed that passes it.
    share: Slot,
    /// Coldest and hottest air.
    pub hottest: Celsius,
    altitude: Metres,
    /// Speed in cruise.
    cruise: f64,
    /// How long it is powered on the bench, if said.
    pub bench: Result<Seconds, Missing>,
    /// How long it waits on the line, if said.
    pub wait: Result<Seconds, Missing>,
    /// Whether a fan blows on the bench.
    pub fan: bool,
    /// Whether it waits in the sun.
    pub sun: bool,
}

/// Where it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Where {
    /// On the bench, without wind.
    Bench,
    /// On the bench, a fan along it.
    Fan,
    /// On the line before the start.
    Line,
    /// Hovering.
    Hover,
    /// In cruise.
    Cruise,
}

/// What it does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Does {
    /// Stands by, or sends at its least level where it cannot.
    Waits,
    /// Sends at a level, by its number.
    Sends(usize),
}

impl HeatFacts {
    /// Read from the craft's first video transmitter.
    pub(super) fn of(proof: &Proof, video: Placed, slots: &mut Slots) -> Result<Self, Lack> {
        let (item, craft) = (video.part.item(), proof.craft.item());
        let mut lack = Lack::default();
        let mut told = |missing: Missing| lack.add(&Lack::missing(missing));
        let size =
            [&air::LENGTH, &air::WIDTH, &air::HEIGHT].map(|field| item.read(field).map_err(&mut told).ok());
        let mass = item.read(&frame::MASS).map_err(&mut told).ok();
        let limit = item.read(&air::LIMIT_TEMPERATURE).map_err(&mut told).ok();
        let hottest = craft.read(&craft_schema::HOTTEST).map_err(&mut told).ok();
        let set = craft.read(&craft_schema::LEVEL).map_err(&mut told).ok();
        let draw = set.as_ref().map(|_| super::loads::level_draw(proof, video));
        let draw = draw.and_then(|draw| draw.map_err(|other| lack.add(&other)).ok());
        let (
            [Some(length), Some(width), Some(height)],
            Some(mass),
            Some(limit),
            Some(hottest),
            Some(set),
            Some(_),
        ) = (size, mass, limit, hottest, set, draw)
        else {
            return Err(lack);
        };
        let rows = video.part.rows(&air::level::TABLE);
        let mut levels: Vec<LevelFacts> = rows
            .filter_map(|row| {
                let (out, draw) = (row.read(&air::level::OUT).ok()?, row.read(&air::level::DRAW).ok()?);
                Some(LevelFacts { out: out.value, draw: slots.fact(&draw) })
            })
            .collect();
        levels.sort_by(|a, b| a.out.get().total_cmp(&b.out.get()));
        let Some(number) = levels.iter().position(|level| (level.out - set.value).get().abs() < 1e-6) else {
            return Err(super::loads::no_such_level(video, set.value));
        };
        let sink =
            match (item.read(&air::SINK_MASS), item.read(&air::SINK_AREA), item.read(&air::PAD_THICKNESS)) {
                (Ok(mass), Ok(area), Ok(pad)) => Some(SinkFacts {
                    mass: slots.fact(&mass),
                    area: slots.fact(&area),
                    pad: slots.fact(&pad),
                }),
                _ => None,
            };
        Ok(Self {
            place: video.place.id.clone(),
            called: video.part.name.clone(),
            size: [slots.fact(&length), slots.fact(&width), slots.fact(&height)],
            mass: slots.fact(&mass),
            area: item.read(&air::COOLING_AREA).ok().map(|area| slots.fact(&area)),
            sink,
            takes: slots.fact(&by_custom(
                "craft.frame_takes".to_owned(),
                "heat that boards and frame take",
                &FRAME_TAKES,
            )),
            limit: slots.fact(&limit),
            fold_back: item.read(&air::FOLD_BACK).ok().map(|at| slots.fact(&at)),
            levels,
            standby: item.read(&air::STANDBY_DRAW).ok().map(|draw| slots.fact(&draw)),
            stands_by: craft.flag(&craft_schema::STANDBY).unwrap_or(false),
            set: number,
            air_past: video.place.item().read(&place::AIR_PAST).ok().map(|speed| slots.fact(&speed)),
            share: slots.fact(&by_custom(
                "craft.air_share".to_owned(),
                "share of the air that passes the transmitter",
                &AIR_SHARE,
            )),
            hottest: hottest.value,
            altitude: craft.read(&craft_schema::ALTITUDE).map_or(Metres::new(0.0), |height| height.value),
            cruise: craft.read(&craft_schema::CRUISE).map_or(0.0, |speed| speed.value.get()),
            bench: craft.read(&craft_schema::BENCH_TIME).map(|time| time.value),
            wait: craft.read(&craft_schema::WAIT).map(|time| time.value),
            fan: craft.flag(&craft_schema::BENCH_FAN).unwrap_or(false),
            sun: craft.flag(&craft_schema::IN_SUN).unwrap_or(false),
        })
    }

    /// The unit at some numbers.
    pub fn unit(&self, values: &[f64]) -> Result<Unit, PowerFault> {
        let [length, width, height] = self.size.map(|slot| slot.at(values));
        let outline = length * width;
        let both = 2.0 + 2.0 * height * (length + width) / outline;
        let fold = self.area.map_or(both, |area| area.at(values) * 1e6 / outline);
        let face = |attitude, fold: f64| {
            let sides = [width, length].map(Millimetres::new);
            Face::new(sides, attitude, Ratio::new(EMISSIVITY), Ratio::new(fold))
        };
        let sink_mass = self.sink.as_ref().map_or(0.0, |sink| sink.mass.at(values));
        let own = CAPACITY * (self.mass.at(values) - sink_mass).max(0.5) * self.takes.at(values);
        let board = Body {
            capacity: JoulesPerKelvin::new(own),
            // A sink covers one face.
            faces: match self.sink {
                None => vec![face(Attitude::FaceUp, 0.5 * fold)?, face(Attitude::FaceDown, 0.5 * fold)?],
                Some(_) => vec![face(Attitude::FaceDown, 0.5 * fold)?],
            },
        };
        let sink = match &self.sink {
            None => None,
            Some(sink) => {
                let body = Body {
                    capacity: JoulesPerKelvin::new(CAPACITY * sink_mass),
                    faces: vec![face(Attitude::FaceUp, sink.area.at(values) * 1e6 / outline)?],
                };
                let pad = PAD_CONDUCTIVITY * 0.5 * outline * 1e-6 / (sink.pad.at(values) * 1e-3);
                Some((body, WattsPerKelvin::new(pad)))
            }
        };
        Unit::new(board, sink)
    }

    /// W that it draws.
    pub fn draw(&self, values: &[f64], does: Does) -> f64 {
        match (does, self.standby) {
            (Does::Waits, Some(standby)) => standby.at(values),
            (Does::Waits, None) => self.levels[0].draw.at(values),
            (Does::Sends(level), _) => self.levels[level].draw.at(values),
        }
    }

    /// The power that warms it.
    pub fn heat(&self, values: &[f64], does: Does) -> Result<Watts, PowerFault> {
        let out = match (does, self.standby) {
            (Does::Waits, Some(_)) => Milliwatts::new(0.0),
            (Does::Waits, None) => self.levels[0].out,
            (Does::Sends(level), _) => self.levels[level].out,
        };
        let drawn = self.draw(values, does);
        heat_of(Watts::new(drawn), Milliwatts::new(out.get().min(1e3 * drawn)))
    }

    /// What it does before the motors are armed.
    pub fn before_arming(&self) -> Does {
        if self.stands_by { Does::Waits } else { Does::Sends(self.set) }
    }

    /// The air about it.
    pub fn about(
        &self,
        values: &[f64],
        drive: Option<&DriveFacts>,
        at: Where,
    ) -> Result<Surroundings, PowerFault> {
        let in_sun = self.sun && at == Where::Line;
        let warmer = if in_sun { SUN.get() } else { 0.0 };
        let air = Air::at(self.altitude, (self.hottest + Celsius::new(warmer)).min(power::AIR_SPAN[1]))?;
        let hover = || -> Result<f64, PowerFault> {
            match (self.air_past, drive) {
                (Some(said), _) => Ok(said.at(values).max(0.0)),
                (None, Some(drive)) => Ok((self.share.at(values) * drive.induced(values, air)?).max(0.0)),
                (None, None) => Ok(0.0),
            }
        };
        let speed = match at {
            Where::Bench | Where::Line => 0.0,
            Where::Fan => FAN.get(),
            Where::Hover => hover()?,
            Where::Cruise => hover()?.hypot(self.share.at(values).max(0.0) * self.cruise),
        };
        Ok(Surroundings { air, speed: MetresPerSecond::new(speed) })
    }

    /// The air about it where that alone takes it to its limit: then no level, no fan and no wind keeps it below.
    pub fn air_at_limit(&self, values: &[f64], at: Where) -> Option<Celsius> {
        let air = self.about(values, None, at).ok()?.air.temperature();
        (air.get() > self.limit.at(values) - NEAR_AIR).then_some(air)
    }

    /// The same in still air of a room.
    pub fn in_a_room(&self) -> Self {
        Self { hottest: ROOM, ..self.clone() }
    }

    /// The same out of the sun.
    pub fn in_the_shade(&self) -> Self {
        Self { sun: false, ..self.clone() }
    }

    /// Its temperature at length, °C.
    pub fn steady(&self, values: &[f64], drive: Option<&DriveFacts>, at: Where, does: Does) -> Option<f64> {
        let about = self.about(values, drive, at).ok()?;
        let heat = self.heat(values, does).ok()?;
        Some(self.unit(values).ok()?.steady(heat, about).ok()?.board.get())
    }

    /// Its temperature at length in air that moves at a speed, °C.
    pub fn steady_in(&self, values: &[f64], speed: f64, does: Does) -> Option<f64> {
        let about = Surroundings {
            speed: MetresPerSecond::new(speed),
            ..self.about(values, None, Where::Bench).ok()?
        };
        Some(self.unit(values).ok()?.steady(self.heat(values, does).ok()?, about).ok()?.board.get())
    }

    /// How long until a temperature, from as cold as the air, in s; [`FOR_EVER`] if it is never reached.
    pub fn time_to(&self, values: &[f64], limit: f64, at: Where, does: Does) -> Option<f64> {
        let about = self.about(values, None, at).ok()?;
        let heat = self.heat(values, does).ok()?;
        let cold = Warmth { board: about.air.temperature(), sink: about.air.temperature() };
        let found = self.unit(values).ok()?.time_to(Celsius::new(limit), cold, heat, about).ok()?;
        Some(found.map_or(FOR_EVER, |time| time.get().min(FOR_EVER)))
    }

    /// Its temperature after a time, from as cold as the air.
    pub fn after(&self, values: &[f64], at: Where, does: Does, time: Seconds) -> Option<f64> {
        let about = self.about(values, None, at).ok()?;
        let cold = Warmth { board: about.air.temperature(), sink: about.air.temperature() };
        let heat = self.heat(values, does).ok()?;
        Some(self.unit(values).ok()?.after(cold, heat, about, time).ok()?.board.get())
    }

    /// How long it takes from a temperature down to another, unpowered in still air, in s.
    pub fn cools_in(&self, values: &[f64], from: f64, to: f64) -> Option<f64> {
        let unit = self.unit(values).ok()?;
        let about = self.about(values, None, Where::Bench).ok()?;
        let at = |seconds: f64| {
            let warm = Warmth { board: Celsius::new(from), sink: Celsius::new(from) };
            unit.after(warm, Watts::new(0.0), about, Seconds::new(seconds))
                .ok()
                .map(|warmth| warmth.board.get())
        };
        let (mut low, mut high) = (0.0, 3_600.0);
        if at(high)? > to {
            return None;
        }
        for _ in 0..24 {
            let middle = 0.5 * (low + high);
            if at(middle)? > to { low = middle } else { high = middle }
        }
        Some(high)
    }

    /// The hotter of hover and cruise at a level.
    pub fn in_flight(&self, values: &[f64], drive: &DriveFacts, level: usize) -> Option<f64> {
        let at = |place| self.steady(values, Some(drive), place, Does::Sends(level));
        Some(at(Where::Hover)?.max(at(Where::Cruise)?))
    }

    /// The air speed along it that keeps it at its limit, m/s; none if no wind does.
    pub fn needed_speed(&self, values: &[f64], level: usize) -> Option<f64> {
        self.speed_for(values, self.limit.at(values), level)
    }

    /// The air speed along it that keeps it at a temperature in °C, m/s; none if no wind does.
    pub fn speed_for(&self, values: &[f64], limit: f64, level: usize) -> Option<f64> {
        let air = Air::at(self.altitude, self.hottest).ok()?;
        let heat = self.heat(values, Does::Sends(level)).ok()?;
        let limit = Celsius::new(limit);
        let speed = self.unit(values).ok()?.needed_speed(limit, heat, air).ok()??;
        Some(speed.raw())
    }
}
