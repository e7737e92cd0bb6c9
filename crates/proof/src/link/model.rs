//! The model of a link, read from a craft.

use super::plan::FlightPlan;
use super::radiator::{FeedFact, Mounted, RadiatorFacts, carrier, direction, ground_feed, joint_state};
use super::reading::{Known, Reader};
use super::scenery;
use super::shadow::Shadows;
use crate::names::{called, same_words};
use crate::subject::{Chain, ChainEnd, coax_chains};
use crate::{Placed, Proof};
use craft::schema::{PartKind, air, camera, craft as plan, ground, place as place_schema, station};
use craft::{Item, Missing, PlaceId};
use fit::PartPoint;
use quantity::{
    Basis, Db, Dbm, Degrees, DoubtKind, Fact, FactIndex, FactPath, LedgerEntry, Metres, Milliwatts, Quantity,
    Ratio, Unit,
};
use radio::{Carrier, Coax, Combining, Fading, JointState, Scenery, Turn, Weather, noise_floor};

/// What keeps a part of the model from being there.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lack {
    /// Facts nobody entered.
    pub missing: Vec<Missing>,
    /// What is there and cannot be, in words, with the mend.
    pub wrong: Vec<String>,
}

impl Lack {
    /// One fact that is missing.
    pub fn missing(missing: Missing) -> Self {
        Self { missing: vec![missing], wrong: Vec::new() }
    }
    /// One thing that is wrong.
    pub fn wrong(words: String) -> Self {
        Self { missing: Vec::new(), wrong: vec![words] }
    }
    /// Whether nothing lacks.
    pub fn is_empty(&self) -> bool {
        self.missing.is_empty() && self.wrong.is_empty()
    }
    /// Takes another's in.
    pub fn add(&mut self, other: &Lack) {
        for missing in &other.missing {
            if !self.missing.contains(missing) {
                self.missing.push(missing.clone());
            }
        }
        for words in &other.wrong {
            if !self.wrong.contains(words) {
                self.wrong.push(words.clone());
            }
        }
    }
}

/// Which end of the link an antenna is at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Side {
    /// On the craft.
    Craft,
    /// At the station.
    Ground,
}

/// One antenna of either end, as far as its facts are known.
#[derive(Clone, Debug, PartialEq)]
pub struct LinkAntenna {
    /// What a person calls it.
    pub called: String,
    /// Its place in the craft; for an antenna of the station, the station's place.
    pub place: PlaceId,
    /// The number of its row in the station's table; `None` on the craft.
    pub row: Option<usize>,
    /// The antenna, or what lacks.
    pub built: Result<Mounted, Lack>,
}

/// A level that the transmitter offers.
#[derive(Clone, Debug, PartialEq)]
pub struct RadioLevel {
    /// As offered.
    pub out: Milliwatts,
    /// At the socket, all sockets together: as measured, or as offered.
    pub at_socket: Dbm,
    /// The fact this rests on, in dBm.
    pub fact: FactIndex,
}

/// What the receiver needs.
#[derive(Clone, Debug, PartialEq)]
pub struct LinkThreshold {
    /// The mode's name.
    pub mode: String,
    /// The level at which the picture breaks.
    pub level: Dbm,
    /// The facts it rests on, each with its slope.
    pub leans: Vec<(FactIndex, f64)>,
}

/// Something that stands about, for drawing and for words.
#[derive(Clone, Debug, PartialEq)]
pub struct LinkObstacle {
    /// Its name.
    pub name: String,
    /// Wall, building or trees.
    pub form: String,
    /// Of what its walls are.
    pub material: Option<String>,
    /// Its outline seen from above, in metres ahead and to the left of the station; two points for a wall.
    pub outline: Vec<[f64; 2]>,
    /// Its top.
    pub height: Metres,
}

/// What a sheet says of a radio link, each part with what it lacks.
#[derive(Clone, Debug, PartialEq)]
pub struct LinkModel {
    /// The transmitter's place; without one there is no link to ask about.
    pub unit: PlaceId,
    /// The receiver's place.
    pub receiver: Option<PlaceId>,
    /// The station's place.
    pub station: Option<PlaceId>,
    /// The channel.
    pub carrier: Result<Carrier, Lack>,
    /// The craft's video antennas.
    pub senders: Vec<LinkAntenna>,
    /// The station's antennas.
    pub grounds: Vec<LinkAntenna>,
    /// The levels the transmitter offers, least first.
    pub levels: Vec<RadioLevel>,
    /// What the receiver needs in the mode that is planned.
    pub threshold: Result<LinkThreshold, Lack>,
    /// What stands about.
    pub obstacles: Vec<LinkObstacle>,
    /// What is planned.
    pub plan: FlightPlan,
    whole: Result<Link, Lack>,
}

/// A link of which everything is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Link {
    /// The channel.
    pub carrier: Carrier,
    /// The craft's antennas.
    pub senders: Vec<Mounted>,
    /// The station's antennas.
    pub grounds: Vec<Mounted>,
    /// What the receiver needs.
    pub threshold: LinkThreshold,
    /// What stands about.
    pub scenery: Scenery,
    /// Rain.
    pub weather: Weather,
    /// How reflections come and go.
    pub fading: Fading,
    /// What the receiver does with several antennas.
    pub combining: Combining,
    /// How alike these fade.
    pub correlation: Ratio,
}

impl LinkModel {
    /// The whole link, or all it lacks.
    pub fn link(&self) -> Result<&Link, &Lack> {
        self.whole.as_ref()
    }

    /// Every fact that a number of this link may lean on.
    pub(crate) fn facts(&self) -> Vec<FactIndex> {
        let built =
            self.senders.iter().chain(&self.grounds).filter_map(|antenna| antenna.built.as_ref().ok());
        let own = built.flat_map(|mounted| mounted.nudged.iter().map(|nudged| nudged.fact));
        let needed =
            self.threshold.iter().flat_map(|threshold| threshold.leans.iter().map(|(fact, _)| *fact));
        own.chain(needed).chain(self.levels.iter().map(|level| level.fact)).collect()
    }

    /// Read from a craft; `None` if it carries no video transmitter.
    pub(crate) fn of(proof: &Proof) -> Option<Self> {
        let unit = proof.places_of(PartKind::VideoTransmitter).next()?;
        let receiver = proof.places_of(PartKind::GroundReceiver).next();
        let station = proof.places_of(PartKind::Station).next();
        let item = proof.craft.item();
        let mut reader = Reader::new(proof);
        let found = carrier(&mut reader, &item);
        let carrier = reader.done(found);
        let known = carrier.as_ref().ok().copied();
        let senders = senders(proof, unit, known);
        let grounds = station.map_or_else(Vec::new, |station| grounds(proof, station, receiver, known));
        let levels = levels(proof, unit);
        let mut reader = Reader::new(proof);
        let found = threshold(&mut reader, receiver);
        let threshold = reader.done(found);
        let mut reader = Reader::new(proof);
        let about = station.and_then(|station| scenery::scenery(&mut reader, station.part));
        let fading = station.and_then(|station| scenery::fading(&mut reader, &station.part.item()));
        let about_lacks = reader.lack;
        let combining = match receiver.map(|receiver| receiver.part.item().text(&ground::DIVERSITY)) {
            Some(Ok("combining")) => Ok(Combining::Sum),
            Some(Ok(_)) => Ok(Combining::Selection),
            // One antenna leaves nothing to choose.
            Some(Err(_)) if grounds.len() < 2 => Ok(Combining::Selection),
            Some(Err(missing)) => Err(Lack::missing(missing)),
            None => Err(Lack::default()),
        };
        let plan = FlightPlan::of(proof, &levels);

        let mut lack = about_lacks;
        let whole_craft = |key: &str, what: &str| Missing {
            path: FactPath(format!("craft.{key}")),
            label: format!("{what} of {}", item.called),
        };
        for (there, key, what) in [
            (station.is_some(), "station", "ground station"),
            (receiver.is_some(), "receiver", "ground receiver"),
            (!senders.is_empty(), "antenna", "video antenna"),
            (station.is_none() || !grounds.is_empty(), "station", "antenna at the ground station"),
        ] {
            if !there {
                lack.missing.push(whole_craft(key, what));
            }
        }
        let parts = senders.iter().chain(&grounds).filter_map(|antenna| antenna.built.as_ref().err());
        parts.chain(carrier.as_ref().err()).for_each(|other| lack.add(other));
        // Without a receiver that alone is said.
        let rest = [threshold.as_ref().err(), combining.as_ref().err()];
        rest.into_iter().flatten().filter(|_| receiver.is_some()).for_each(|other| lack.add(other));
        let built = |antennas: &[LinkAntenna]| -> Option<Vec<Mounted>> {
            antennas.iter().map(|antenna| antenna.built.as_ref().ok().cloned()).collect()
        };
        let obstacles = about.as_ref().map_or_else(Vec::new, |(_, obstacles)| obstacles.clone());
        let station_item = station.map(|station| station.part.item());
        let whole = (|| {
            Some(Link {
                carrier: known?,
                senders: built(&senders)?,
                grounds: built(&grounds)?,
                threshold: threshold.as_ref().ok()?.clone(),
                scenery: about.map(|(scenery, _)| scenery)?,
                weather: scenery::weather(station_item.as_ref()?),
                fading: fading?,
                combining: *combining.as_ref().ok()?,
                correlation: scenery::correlation(station_item.as_ref()?),
            })
        })();
        let whole = match whole {
            Some(link) if lack.is_empty() => Ok(link),
            _ => Err(lack),
        };
        let id = |placed: Placed| placed.place.id.clone();
        Some(Self {
            unit: id(unit),
            receiver: receiver.map(id),
            station: station.map(id),
            carrier,
            senders,
            grounds,
            levels,
            threshold,
            obstacles,
            plan,
            whole,
        })
    }
}

/// The antennas that the transmitter's coax leads to.
fn senders(proof: &Proof, unit: Placed, carrier: Option<Carrier>) -> Vec<LinkAntenna> {
    let chains = coax_chains(proof).into_iter().filter(|chain| chain.unit.place.id == unit.place.id);
    chains
        .filter_map(|chain| {
            let ChainEnd::Antenna(antenna) = chain.end else { return None };
            let mut reader = Reader::new(proof);
            let made = sender(&mut reader, &chain, antenna, carrier);
            let (called, place) = (called(proof, antenna), antenna.place.id.clone());
            Some(LinkAntenna { called, place, row: None, built: reader.done(made) })
        })
        .collect()
}

fn sender(reader: &mut Reader, chain: &Chain, antenna: Placed, carrier: Option<Carrier>) -> Option<Mounted> {
    let proof = reader.proof;
    let item = antenna.part.item();
    let rows: Vec<Item> = antenna.part.rows(&air::cut::TABLE).collect();
    let socket = chain.unit.part.item().read(&air::SOCKET_VSWR).map_or(1.5, |reading| reading.value.get());
    let facts = RadiatorFacts::read(reader, &item, &rows, socket);
    let feed = feed(reader, chain, antenna);
    let number = proof.number_of(&antenna.place.id)?;
    let seat = match proof.inputs().seats.get(number) {
        Some(Ok(seat)) => Some(seat),
        Some(Err(unbuilt)) => {
            reader.lack.missing.extend(unbuilt.missing.iter().cloned());
            if unbuilt.missing.is_empty() {
                reader.lack.wrong.push(format!("{} stands nowhere: see its seat", item.called));
            }
            None
        }
        None => None,
    };
    let length = reader.noted(item.read(&air::ELEMENT_LENGTH));
    let (mut facts, feed, seat, length, carrier) = (facts?, feed?, seat?, length?, carrier?);
    facts.feed = feed;
    let active = item.read(&air::ACTIVE_LENGTH).map_or(length.value, |active| active.value.min(length.value));
    let middle = seat.pose.point(PartPoint::new(0.0, 0.0, length.value.get() - active.get() / 2.0));
    let [forward, left] = facts.part_axes().map(|axis| seat.pose.vector(axis));
    let turn = Turn::of_axes(direction(forward)?, direction(left)?)?;
    let at = middle.coordinates().map(|mm| mm * 1e-3);
    let made = facts.mounted(carrier, (turn, at), Shadows::of(proof, middle));
    reader.right(&item.called, made)
}

/// The coax, joints and pigtails on the way to an antenna. A loss that is stated of a pigtail has its own joint in it.
fn feed(reader: &mut Reader, chain: &Chain, antenna: Placed) -> Option<Vec<FeedFact>> {
    let mut feed = Vec::new();
    let state = |placed: Placed| joint_state(placed.place.item().text(&place_schema::JOINT));
    for pigtail in &chain.pigtails {
        let item = pigtail.part.item();
        let state = state(*pigtail);
        if let Some(loss) = reader.maybe(&item, &air::LOSS) {
            feed.push(FeedFact::Stated(loss));
            if state != JointState::Sound {
                feed.push(FeedFact::Joint(state));
            }
            continue;
        }
        feed.push(FeedFact::Joint(state));
        let word = reader.noted(item.text(&air::COAX))?;
        let length = reader.need(&item, &camera::LEAD_LENGTH)?;
        match Coax::ALL.into_iter().find(|coax| same_words(coax.word, word)) {
            Some(coax) => feed.push(FeedFact::Lead(coax, length, 1e-3)),
            None => {
                let known: Vec<&str> = Coax::ALL.iter().map(|coax| coax.word).collect();
                reader.lack.wrong.push(format!(
                    "{}: nothing is known of coax {word:?}; enter its loss, or one of {}",
                    item.called,
                    crate::numbers::listed(&known)
                ));
                return None;
            }
        }
    }
    feed.push(FeedFact::Joint(state(antenna)));
    Some(feed)
}

/// The antennas of the station.
fn grounds(
    proof: &Proof,
    station: Placed,
    receiver: Option<Placed>,
    carrier: Option<Carrier>,
) -> Vec<LinkAntenna> {
    let socket = receiver
        .and_then(|receiver| receiver.part.item().read(&air::SOCKET_VSWR).ok())
        .map_or(1.5, |reading| reading.value.get());
    let rows = station.part.rows(&station::antenna::TABLE).enumerate();
    rows.map(|(number, row)| {
        let mut reader = Reader::new(proof);
        let cuts: Vec<Item> = station
            .part
            .rows(&station::cut::TABLE)
            .filter(|cut| {
                cut.text(&station::cut::ANTENNA)
                    .is_ok_and(|of| row.name().is_some_and(|name| same_words(of, name)))
            })
            .collect();
        let made = ground(&mut reader, &row, &cuts, socket, carrier);
        let called = row.name().map_or_else(|| format!("ground antenna {}", number + 1), str::to_owned);
        let place = station.place.id.clone();
        LinkAntenna { called, place, row: Some(number), built: reader.done(made) }
    })
    .collect()
}

fn ground(
    reader: &mut Reader,
    row: &Item<'_>,
    cuts: &[Item<'_>],
    socket: f64,
    carrier: Option<Carrier>,
) -> Option<Mounted> {
    let facts = RadiatorFacts::read(reader, row, cuts, socket);
    let feed = ground_feed(reader, row);
    let height = reader.noted(row.read(&station::antenna::HEIGHT));
    let metres = |field| row.read(field).map_or(0.0, |reading: craft::Reading<Metres>| reading.value.get());
    let turn = |field| row.read(field).map_or(Degrees::new(0.0), |reading| reading.value);
    let at = [metres(&station::antenna::AHEAD), metres(&station::antenna::ASIDE), height?.value.get()];
    let turn = Turn::new(
        turn(&station::antenna::AIM),
        turn(&station::antenna::ELEVATION),
        turn(&station::antenna::LEAN),
    );
    let (mut facts, feed, carrier) = (facts?, feed?, carrier?);
    facts.feed = feed;
    let made = facts.mounted(carrier, (turn, at), Shadows::default());
    reader.right(&row.called, made)
}

/// The levels of a transmitter, least first.
fn levels(proof: &Proof, unit: Placed) -> Vec<RadioLevel> {
    let rows = unit.part.rows(&air::level::TABLE);
    let mut levels: Vec<RadioLevel> = rows
        .filter_map(|row| {
            let out = row.read(&air::level::OUT).ok()?;
            let offered = Dbm::from_power(out.value)?;
            let (at_socket, fact) = match row.read(&air::level::AT_SOCKET) {
                Ok(measured) => (measured.value, proof.enter(&measured)),
                Err(missing) => {
                    // What is offered, with the doubt that such a number has.
                    let fact = Fact {
                        quantity: Quantity::of(offered),
                        stated: None,
                        basis: out.basis.max(Basis::DataSheet),
                    };
                    let entry = LedgerEntry {
                        path: missing.path,
                        label: missing.label,
                        value: offered.get(),
                        unit: Unit::Dbm,
                        doubt: fact.doubt(DoubtKind::RadioLevel),
                        basis: fact.basis,
                        kind: DoubtKind::RadioLevel,
                    };
                    (offered, proof.enter_entry(entry))
                }
            };
            Some(RadioLevel { out: out.value, at_socket, fact })
        })
        .collect();
    levels.sort_by(|a, b| a.out.get().total_cmp(&b.out.get()));
    levels
}

/// What the receiver needs in the mode that is planned; where it has one mode only, in that.
fn threshold(reader: &mut Reader, receiver: Option<Placed>) -> Option<LinkThreshold> {
    let receiver = receiver?;
    let (part, item) = (receiver.part, receiver.part.item());
    let rows: Vec<Item> = part.rows(&ground::threshold::TABLE).collect();
    let plan = reader.proof.craft.item();
    let row = match (plan.text(&plan::VIDEO_MODE), rows.as_slice()) {
        (_, []) => {
            let path = FactPath(format!("{}.{}", item.path, ground::threshold::TABLE.key));
            reader.lack.missing.push(Missing { path, label: format!("threshold of {}", item.called) });
            return None;
        }
        (Ok(mode), rows) => {
            match rows.iter().find(|row| row.name().is_some_and(|name| same_words(name, mode))) {
                Some(row) => row,
                None => {
                    let names: Vec<&str> = rows.iter().filter_map(Item::name).collect();
                    reader.lack.wrong.push(format!(
                    "video mode {mode:?}: {} has thresholds for {}; add that mode there or name one of these",
                    item.called,
                    crate::numbers::listed(&names)
                ));
                    return None;
                }
            }
        }
        (Err(_), [row]) => row,
        (Err(missing), _) => {
            reader.lack.missing.push(missing);
            return None;
        }
    };
    let mode = row.name().unwrap_or("picture").to_owned();
    if let Some(level) = reader.maybe(row, &ground::threshold::LEVEL) {
        return Some(LinkThreshold { mode, level: Dbm::new(level.value), leans: vec![(level.fact, 1.0)] });
    }
    if !row.has(&ground::threshold::RATIO.def) {
        reader.lack.missing.push(row.missing(&ground::threshold::LEVEL.def));
        return None;
    }
    let width = reader.noted(row.read(&ground::threshold::WIDTH));
    let figure: Option<Known> = reader.need(&item, &ground::NOISE_FIGURE);
    let ratio: Option<Known> = reader.need(row, &ground::threshold::RATIO);
    let (width, figure, ratio) = (width?, figure?, ratio?);
    let floor = reader.right(&row.called, noise_floor(width.value, Db::new(figure.value)))?;
    let leans = vec![(figure.fact, 1.0), (ratio.fact, 1.0)];
    Some(LinkThreshold { mode, level: floor + Db::new(ratio.value), leans })
}
