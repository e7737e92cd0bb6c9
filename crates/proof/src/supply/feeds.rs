//! What feeds a part, and which rails no way leads to from the pack.
//!
//! Wires come first, then what a place says; a place that names a place shares what feeds that one. What names nothing that is there, and
//! what goes in a circle, is told in words; nothing is guessed.

use super::net::RailFacts;
use super::wired::wired_feed;
use crate::link::Lack;
use crate::{Placed, Proof};
use craft::PlaceId;
use craft::schema::place;
use power::PACK;

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

pub(super) fn feed_of(proof: &Proof, placed: Placed) -> Result<Option<String>, Lack> {
    feed(proof, placed, &mut Vec::new())
}

/// The rails to which no way leads from the pack, and why, in words.
pub(super) fn astray(rails: &[RailFacts]) -> (Vec<String>, Vec<String>) {
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

pub(super) fn no_such_rail(called: &str, from: &str, rails: &[RailFacts]) -> Lack {
    Lack::wrong(format!(
        "{called} is fed from {from:?}, and no such rail is there; known are {}",
        known(rails)
    ))
}

fn known(rails: &[RailFacts]) -> String {
    let names: Vec<&str> = [PACK].into_iter().chain(rails.iter().map(|rail| rail.name.as_str())).collect();
    names.join(", ")
}
