//! Times a flight of ten minutes of every demo craft, flown on its own supply and judged by every rule of supply, heat and wiring.
//!
//! Timed for each craft: everything anew, as after an edit of a fact that the supply rests on: pack, rails, motors and plan read from the
//! sheet, the flight flown in steps as long as the error allows (the electrical part to within a millivolt, which steps of 1 ms hardly better),
//! and each rule whose id begins with feed., heat., wire. or set. The geometry those rules ask for is that of the craft before the edit.

#[allow(dead_code)]
mod shared;

use craft::{Edit, PartId, apply};
use proof::{Proof, rules};
use serde_json::json;
use shared::demo;
use std::error::Error;
use std::hint::black_box;
use std::time::Instant;

/// The median of this many rounds is told.
const ROUNDS: usize = 9;

fn main() -> Result<(), Box<dyn Error>> {
    let out = std::env::args().nth(1).ok_or("usage: time_supply OUT.json [CRAFT]")?;
    let mut timings = Vec::new();
    let only = std::env::args().nth(2);
    for craft in demo()?.into_iter().filter(|craft| only.as_ref().is_none_or(|name| &craft.name == name)) {
        let ten = Edit::SetCraft { key: "planned_flight".to_owned(), text: Some("10 min".to_owned()) };
        let craft = apply(&craft, &ten)?;
        // Each round another charge, so that nothing of the round before can be kept.
        let edited = (0..ROUNDS).map(|round| {
            let (part, key) = (PartId::new("pack")?, "charge".to_owned());
            let text = Some(format!("{} mAh, data sheet", 450 + 10 * round));
            Ok(apply(&craft, &Edit::SetPart { part, key, text })?)
        });
        let edited: Vec<craft::Craft> = edited.collect::<Result<_, Box<dyn Error>>>()?;
        let asked =
            |id: &str| ["feed.", "heat.", "wire.", "set."].iter().any(|begins| id.starts_with(begins));
        let (mut legs, mut seconds) = (0, Vec::new());
        for craft in &edited {
            let proof = Proof::new(craft);
            // What geometry there is was found before the edit.
            black_box((proof.near_pairs().is_ok(), proof.leads().len()));
            let begun = Instant::now();
            for rule in rules::RULES.iter().filter(|rule| asked(rule.id)) {
                black_box((rule.run)(&proof));
            }
            seconds.push(begun.elapsed().as_secs_f64());
            legs =
                proof.supply().and_then(|supply| supply.flown()).map_or(0, |flown| flown.flight.legs.len());
        }
        seconds.sort_by(f64::total_cmp);
        let seconds = seconds[ROUNDS / 2];
        println!("{}: {legs} legs", craft.name);
        let scene = format!("{}, 10 min", craft.name);
        timings.push(json!({ "scene": scene, "what": "flown and judged by its rules", "seconds": seconds }));
    }
    std::fs::write(out, json!({ "timings": timings }).to_string())?;
    Ok(())
}
