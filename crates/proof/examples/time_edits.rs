//! Times what a key press on the bench waits for: the largest demo craft proved again after one edit, beside its whole proof from nothing.
//!
//! Kept from the proof before is what the server keeps: outlines, routes, shares of pictures, what was found of the supply. Edited are a thing
//! that touches next to nothing, the transmitter moved by a millimetre, by which leads, pictures and the link move, and the charge of its pack, on which
//! supply and flight rest. Every round edits to another value, so that no round finds what the one before left.

#[allow(dead_code)]
mod shared;

use craft::schema::{self, PartKind};
use craft::{Craft, Edit, PartId, PlaceId, apply};
use proof::{Proof, prove, prove_again};
use quantity::Millimetres;
use serde_json::{Value, json};
use shared::{demo, median};
use std::error::Error;
use std::hint::black_box;
use std::sync::Arc;

/// The median of this many rounds is told.
const ROUNDS: usize = 31;
/// What is proved from nothing takes longer.
const ROUNDS_OF_ALL: usize = 7;
const AFTER: &str = "proof again after one edit";

fn main() -> Result<(), Box<dyn Error>> {
    let out = std::env::args().nth(1).ok_or("usage: time_edits OUT.json")?;
    let craft = demo()?.into_iter().max_by_key(|craft| Proof::new(craft).inputs().solids.len());
    let craft = craft.ok_or("no sheet in demo/")?;
    let solids = Proof::new(&craft).inputs().solids.len();
    let is_transmitter = |place: &&craft::Place| {
        craft.part(&place.part).is_some_and(|part| part.kind == PartKind::VideoTransmitter)
    };
    let x = |place: &craft::Place| {
        let stated = place.item().read::<Millimetres>(&schema::place::X);
        (place.id.clone(), stated.map_or(0.0, |x| x.value.get()))
    };
    let transmitter = x(craft.places.iter().find(is_transmitter).ok_or("no transmitter")?);
    let last = x(craft.places.last().ok_or("no place")?);
    let pack = craft.parts.iter().find(|part| part.kind == PartKind::Pack).ok_or("no pack")?.id.clone();
    let (mut ours, mut whole) = (Vec::new(), Vec::new());
    for (words, edit) in edits(transmitter, last, pack) {
        let edited: Vec<Craft> = (0..ROUNDS)
            .map(|round| Ok(apply(&craft, &edit(round))?))
            .collect::<Result<_, Box<dyn Error>>>()?;
        let outlines = Arc::default();
        prove_again(&craft, &outlines);
        let again = median(ROUNDS, |round| drop(black_box(prove_again(&edited[round], &outlines))));
        let all = median(ROUNDS_OF_ALL, |round| drop(black_box(prove(&edited[round]))));
        let scene = format!("{}, {solids} solids: {words}", craft.name);
        let timing = |seconds: f64| json!({ "scene": scene, "what": AFTER, "seconds": seconds });
        ours.push(timing(again));
        whole.push(timing(all));
    }
    let written: Value = json!({ "timings": ours, "from_nothing": { "timings": whole } });
    std::fs::write(out, written.to_string())?;
    Ok(())
}

type Edits = Vec<(&'static str, Box<dyn Fn(usize) -> Edit>)>;

fn edits(transmitter: (PlaceId, f64), last: (PlaceId, f64), pack: PartId) -> Edits {
    let place = |(place, x): (PlaceId, f64)| {
        move |round: usize| {
            let text = Some(format!("{:.2} mm, measured", x + 1.0 + round as f64 / 100.0));
            Edit::SetPlace { place: place.clone(), key: "x".to_owned(), text }
        }
    };
    let charge = move |round: usize| {
        let text = Some(format!("{} mAh, data sheet", 450 + 10 * round));
        Edit::SetPart { part: pack.clone(), key: "charge".to_owned(), text }
    };
    vec![
        ("last place", Box::new(place(last))),
        ("transmitter", Box::new(place(transmitter))),
        ("charge", Box::new(charge)),
    ]
}
