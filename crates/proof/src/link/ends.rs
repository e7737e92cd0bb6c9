//! The antennas of both ends of a link, read from the craft and from its station.

use super::model::{LinkAntenna, LinkObstacle};
use super::radiator::{FeedFact, Mounted, RadiatorFacts, direction, ground_feed, joint_state};
use super::reading::Reader;
use super::shadow::Shadows;
use crate::names::{called, same_words};
use crate::numbers::rounded;
use crate::subject::{Chain, ChainEnd, coax_chains};
use crate::{Placed, Proof};
use craft::Item;
use craft::schema::{air, camera, place as place_schema, station};
use fit::PartPoint;
use quantity::{Degrees, Metres};
use radio::{Carrier, Coax, JointState, Turn};

/// Two antennas whose middles are nearer than this part of a wave stand in each other: each is about half a wave across.
const APART: f64 = 0.5;

/// Those antennas of one end that stand in one point or in each other, in words with the mend.
pub(super) fn in_each_other(antennas: &[LinkAntenna], carrier: Carrier, mend: &str) -> Vec<String> {
    let built = |antenna: &LinkAntenna| antenna.built.as_ref().ok().map(|built| built.place);
    let need = APART * carrier.wavelength().get();
    let mut words = Vec::new();
    for (n, one) in antennas.iter().enumerate() {
        for two in &antennas[n + 1..] {
            let (Some(a), Some(b)) = (built(one), built(two)) else { continue };
            let apart = a.iter().zip(&b).map(|(a, b)| (a - b).powi(2)).sum::<f64>().sqrt();
            if apart < need {
                words.push(format!(
                    "{} and {} stand {} mm apart, in each other: their middles need {} mm, half a wave; {mend}",
                    one.called,
                    two.called,
                    rounded(1e3 * apart, 0),
                    rounded((1e3 * need).ceil(), 0)
                ));
            }
        }
    }
    words
}

/// Rows of a measured pattern at the station that nothing reads, each with its mend.
pub(super) fn unread_rows(station: Placed) -> Vec<String> {
    let antennas: Vec<Item> = station.part.rows(&station::antenna::TABLE).collect();
    let names: Vec<&str> = antennas.iter().filter_map(Item::name).collect();
    let mut words = Vec::new();
    for (n, cut) in station.part.rows(&station::cut::TABLE).enumerate() {
        let row = format!("pattern row {} of {:?}", n + 1, station.part.name);
        let Ok(of) = cut.text(&station::cut::ANTENNA) else {
            words.push(format!("{row} names no antenna; name one of {}", crate::numbers::listed(&names)));
            continue;
        };
        let own = antennas.iter().find(|antenna| antenna.name().is_some_and(|name| same_words(of, name)));
        match own.map(|antenna| antenna.text(&air::ELEMENT)) {
            None => words.push(format!(
                "{row} names antenna {of:?}, which is not there; name one of {}, or take the row out",
                crate::numbers::listed(&names)
            )),
            Some(Ok(element)) if element != "measured" => words.push(format!(
                "{row} is not read, for the element of {of:?} is {element}; set it to measured, or take its rows out"
            )),
            Some(_) => {}
        }
    }
    words
}

/// Rows of a measured pattern on the antennas that the transmitter's coax leads to which nothing reads, each with its mend.
pub(super) fn unread_own_rows(proof: &Proof, unit: Placed) -> Vec<String> {
    let mut words = Vec::new();
    for chain in coax_chains(proof).into_iter().filter(|chain| chain.unit.place.id == unit.place.id) {
        let ChainEnd::Antenna(antenna) = chain.end else { continue };
        let rows = antenna.part.rows(&air::cut::TABLE).count();
        if let (Ok(element), 1..) = (antenna.part.item().text(&air::ELEMENT), rows)
            && element != "measured"
        {
            let (rows, are) =
                if rows == 1 { ("one row".to_owned(), "is") } else { (format!("{rows} rows"), "are") };
            words.push(format!(
                "the {rows} of the pattern of {:?} {are} not read, for its element is {element}; set it to measured, or take \
                 the rows out",
                antenna.part.name
            ));
        }
    }
    words.dedup();
    words
}

/// The antennas of the station that stand in a wall, or under the roof of a building: what is wrong, and the mend.
pub(crate) fn walled_in(grounds: &[LinkAntenna], obstacles: &[LinkObstacle]) -> Vec<[String; 2]> {
    let mut words = Vec::new();
    for antenna in grounds {
        let Ok([x, y, z]) = antenna.built.as_ref().map(|built| built.place) else { continue };
        for obstacle in obstacles.iter().filter(|obstacle| obstacle.form != "trees") {
            let ring = &obstacle.outline;
            let sides = || (0..ring.len()).map(|n| (ring[n], ring[(n + 1) % ring.len()]));
            let near = sides().any(|(from, to)| off_side([x, y], from, to) < IN_WALL);
            let within = sides().filter(|(from, to)| passes([x, y], *from, *to)).count() % 2 == 1;
            if z < obstacle.height.get() && (near || within) {
                let where_ = if near { "in a wall of" } else { "inside" };
                words.push([
                    format!(
                        "{} stands {where_} {}, and nobody could say what arrives there",
                        antenna.called, obstacle.name
                    ),
                    "say where each stands, ahead and aside".to_owned(),
                ]);
            }
        }
    }
    words
}

/// Nearer to a wall than this an antenna stands in it, in metres.
const IN_WALL: f64 = 0.05;

/// How far a point lies off a stretch.
fn off_side(at: [f64; 2], from: [f64; 2], to: [f64; 2]) -> f64 {
    let along = [to[0] - from[0], to[1] - from[1]];
    let out = [at[0] - from[0], at[1] - from[1]];
    let long = (along[0].powi(2) + along[1].powi(2)).max(f64::MIN_POSITIVE);
    let share = ((out[0] * along[0] + out[1] * along[1]) / long).clamp(0.0, 1.0);
    (out[0] - share * along[0]).hypot(out[1] - share * along[1])
}

/// Whether a ray from a point, straight ahead, passes a stretch.
fn passes(at: [f64; 2], from: [f64; 2], to: [f64; 2]) -> bool {
    (from[1] > at[1]) != (to[1] > at[1])
        && at[0] < from[0] + (at[1] - from[1]) / (to[1] - from[1]) * (to[0] - from[0])
}

/// The antennas that the transmitter's coax leads to.
pub(super) fn senders(proof: &Proof, unit: Placed, carrier: Option<Carrier>) -> Vec<LinkAntenna> {
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
pub(super) fn grounds(
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
