//! The model of a link, read from a craft.

use super::Lack;
use super::ends::{grounds, in_each_other, senders, unread_own_rows, unread_rows, walled_in};
use super::farthest::Blink;
use super::needs::{levels, threshold};
use super::plan::FlightPlan;
use super::radiator::{Mounted, carrier};
use super::reading::Reader;
use super::ready::Between;
use super::scenery;
use super::spread::Spreads;
use crate::{Placed, Proof};
use craft::schema::{PartKind, ground};
use craft::{Missing, PlaceId};
use quantity::{Dbm, FactIndex, FactPath, Metres, Milliwatts, Ratio};
use radio::{Carrier, Cliff, Combining, Fading, Lasting, Scenery, Weather};
use std::sync::Arc;

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
    /// How wide its cliff is: as its sheet states it, or as usual.
    pub cliff: Cliff,
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
    /// How long a break is flown through.
    pub blink: Blink,
    /// What is left of margins 99 % of the time, by the three above.
    pub(super) lasting: Arc<Lasting>,
    /// What always stands half way, the last of what stands about.
    pub(super) between: Option<Between>,
    /// How far walls, leaves and ground may be off.
    pub(super) spreads: Spreads,
}

impl Link {
    /// The same with every joint of every feed sound, and which antennas that concerns, of the craft and of the station; `None` if all are sound.
    pub(crate) fn with_sound_joints(&self) -> Option<(Self, Vec<(Side, usize)>)> {
        let (mut sound, mut renewed) = (self.clone(), Vec::new());
        let ends = [(Side::Craft, &mut sound.senders), (Side::Ground, &mut sound.grounds)];
        for (side, antennas) in ends {
            for (n, antenna) in antennas.iter_mut().enumerate() {
                if let Some(mended) = antenna.with_sound_joints(self.carrier) {
                    *antenna = mended;
                    renewed.push((side, n));
                }
            }
        }
        (!renewed.is_empty()).then_some((sound, renewed))
    }
}

impl LinkModel {
    /// The weakest basis of all that the link rests on.
    pub fn weakest_basis(&self, facts: &quantity::FactLedger) -> Option<quantity::Basis> {
        let all = self.facts().into_iter().filter_map(|fact| facts.get(fact)).map(|entry| entry.basis);
        all.reduce(quantity::Basis::weaker)
    }

    /// What people call some antennas, listed.
    pub(crate) fn called(&self, antennas: &[(Side, usize)]) -> String {
        let name = |(side, n): &(Side, usize)| match side {
            Side::Craft => self.sender_called(*n),
            Side::Ground => self.ground_called(*n),
        };
        crate::numbers::listed(&antennas.iter().map(name).collect::<Vec<String>>())
    }
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
        let plan = FlightPlan::of(proof, &unit.place.id, &levels);

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
        if let Some(carrier) = known {
            let mend = "move one of them";
            lack.wrong.extend(in_each_other(&senders, carrier, mend));
            let mend = "say how far ahead and aside and how high each stands";
            lack.wrong.extend(in_each_other(&grounds, carrier, mend));
        }
        let built = |antennas: &[LinkAntenna]| -> Option<Vec<Mounted>> {
            antennas.iter().map(|antenna| antenna.built.as_ref().ok().cloned()).collect()
        };
        let obstacles = about.as_ref().map_or_else(Vec::new, |(_, obstacles)| obstacles.clone());
        lack.wrong.extend(walled_in(&grounds, &obstacles).into_iter().map(|words| words.join("; ")));
        lack.wrong.extend(station.map(unread_rows).into_iter().flatten());
        lack.wrong.extend(unread_own_rows(proof, unit));
        let station_item = station.map(|station| station.part.item());
        let correlation = station_item.as_ref().map(scenery::correlation);
        let lasting = fading
            .zip(correlation)
            .zip(combining.as_ref().ok())
            .map(|((fading, alike), combining)| proof.kept().lasting(fading, alike, *combining));
        if let Some(Err(fault)) = &lasting {
            lack.wrong.push(fault.to_string());
        }
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
                correlation: correlation?,
                blink: Blink { cruise: plan.cruise },
                lasting: lasting?.ok()?,
                between: None,
                spreads: Spreads::of(proof, station_item.as_ref()?),
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
