//! The antennas of both ends of a link, read from the craft and from its station.

use super::model::LinkAntenna;
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
