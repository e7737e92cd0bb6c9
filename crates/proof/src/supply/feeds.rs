//! What feeds a part, and which rails no way leads to from the pack.
//!
//! Wires come first, then what a place says; a place that names a place shares what feeds that one. What names nothing that is there, and
//! what goes in a circle, is told in words; nothing is guessed.

use super::net::RailFacts;
use super::wired::wired_feed;
use crate::link::Lack;
use crate::{Placed, Proof};
use craft::PlaceId;
use craft::schema::{place, shape};
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
            "{} is fed from {said:?}, which is neither the pack, nor a rail such as fc/5 V, nor a place; under [place.{}] write fed_from = \"pack\", or the rail or place that feeds it",
            placed.part.name, placed.place.id
        );
        return Err(Lack::wrong(words));
    };
    passed.push(placed.place.id.clone());
    if passed.contains(&other.place.id) {
        let circle: Vec<&str> = passed.iter().chain([&other.place.id]).map(|place| place.as_str()).collect();
        return Err(Lack::wrong(format!(
            "places feed themselves: {}; under [place.{}] write fed_from = \"pack\", or a rail that leads there",
            circle.join(" from "),
            other.place.id
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

/// The rails to which no way leads from the pack, each with why, in words.
pub(super) fn astray(proof: &Proof, rails: &[RailFacts]) -> Vec<(String, String)> {
    let (mut found, mut told) = (Vec::new(), Vec::<(Vec<&str>, String)>::new());
    for rail in rails {
        let mut way = vec![rail];
        loop {
            let last = way[way.len() - 1];
            let from = &last.from;
            if from == PACK {
                break;
            }
            let next = rails.iter().find(|other| &other.name == from);
            let begin = next.and_then(|next| way.iter().position(|passed| passed.name == next.name));
            let words = match (next, begin) {
                (Some(next), None) => {
                    way.push(next);
                    continue;
                }
                // Each circle is told by its first rail in the order of the sheet.
                (Some(next), Some(begin)) => {
                    let known = told.iter().find(|(circle, _)| circle.contains(&next.name.as_str()));
                    known.map(|(_, words)| words.clone()).unwrap_or_else(|| {
                        let circle: Vec<&str> = way[begin..].iter().map(|rail| rail.name.as_str()).collect();
                        let words = format!(
                            "rails feed themselves: {} from {}; {}",
                            circle.join(" from "),
                            next.name,
                            opened(proof, &way[begin..])
                        );
                        told.push((circle, words.clone()));
                        words
                    })
                }
                (None, _) => no_such_rail(&last.called, from, rails, &where_said(proof, last)),
            };
            found.push((rail.name.clone(), words));
            break;
        }
    }
    found
}

/// Where a rail says what feeds it.
fn where_said(proof: &Proof, rail: &RailFacts) -> String {
    let Some(placed) = proof.placed_at(&rail.place) else { return String::new() };
    let name = rail.name.rsplit('/').next().unwrap_or_default();
    let row = placed.part.rows(&shape::rail::TABLE).find(|row| row.name() == Some(name));
    match row.is_some_and(|row| row.has(&shape::rail::FROM.def)) {
        true => format!("in the row {name:?} of [[part.{}.rail]] write as from", placed.part.id),
        false => format!("under [place.{}] write as fed_from", placed.place.id),
    }
}

/// How a circle of rails is opened: at the first of them that names another rail of its own board, else at what feeds the board.
fn opened(proof: &Proof, circle: &[&RailFacts]) -> String {
    let row = |rail: &RailFacts| {
        let placed = proof.placed_at(&rail.place)?;
        let name = rail.name.rsplit('/').next()?;
        let row = placed.part.rows(&shape::rail::TABLE).find(|row| row.name() == Some(name))?;
        let from = row.text(&shape::rail::FROM).ok()?;
        Some(format!(
            "in the row {name:?} of [[part.{}.rail]] take from = {from:?} out, and it hangs on what feeds the board",
            placed.part.id
        ))
    };
    let of_board = |rail: &RailFacts| {
        let placed = proof.placed_at(&rail.place)?;
        let id = &placed.place.id;
        Some(match wired_feed(proof, placed) {
            Some(wired) => {
                let model = proof.wiring()?;
                let [fed, source] = [wired.fed, wired.source].map(|pad| model.pad_name(pad));
                format!("take the wire of {fed} from {source} to a pad that the pack feeds")
            }
            None => format!("under [place.{id}] write fed_from = \"pack\""),
        })
    };
    let found = circle.iter().find_map(|rail| row(rail));
    found
        .or_else(|| circle.iter().find_map(|rail| of_board(rail)))
        .unwrap_or_else(|| "feed one of them from the pack".to_owned())
}

/// A feed that is not there; `at` is where it is written.
pub(super) fn no_such_rail(called: &str, from: &str, rails: &[RailFacts], at: &str) -> String {
    format!("{called} is fed from {from:?}, and no such rail is there; {at} one of {}", known(rails))
}

fn known(rails: &[RailFacts]) -> String {
    let names: Vec<&str> = [PACK].into_iter().chain(rails.iter().map(|rail| rail.name.as_str())).collect();
    names.join(", ")
}
