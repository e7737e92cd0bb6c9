//! Writes the free tilts of every demo camera with our timings, for the bench.
//!
//! The scene is what the reference library knows too: the boxes and cylinders of the craft, stopping each other where they
//! touch, without pairs that may share a place or touch as the craft stands. `conformance/geometry/bench_tilts.py` asks
//! the same of the library by trying angles. Timed apart, and without a reference: every stop of the craft, plates with
//! their holes and needed air and all, as rule and page ask.

mod shared;

use fit::{
    Air, FreeTilt, Scene, Shape, Solid, SolidIndex, TiltFault, TiltQuestion, distance_between, free_tilts,
};
use proof::{Proof, WhatTurns, limits};
use quantity::{Degrees, Linear};
use serde_json::{Value, json};
use shared::{demo, median, told};
use std::error::Error;
use std::hint::black_box;

/// The median of this many rounds is told.
const ROUNDS: usize = 31;
/// Nearer than this, in mm, a pair counts as touching before anything is tilted.
const TOUCHES: f64 = 1e-3;

fn main() -> Result<(), Box<dyn Error>> {
    let out = std::env::args().nth(1).ok_or("usage: time_tilt OUT.json")?;
    let (mut scenes, mut timings) = (Vec::new(), Vec::new());
    for craft in demo()? {
        let proof = Proof::new(&craft);
        let whole = &proof.inputs().scene;
        for tilt in proof.camera_tilts() {
            let (scene, turns) = plain(whole, &tilt.turns)?;
            let (turning, standing) = (turns.solids.len(), scene.solids().len() - turns.solids.len());
            let name = format!("{}: {turning} turn, {standing} stand", craft.name);
            let found = free(&scene, &turns, &tilt.wanted, Air::Contact)?;
            let timed = |scene: &Scene, turns: &WhatTurns, air| {
                median(ROUNDS, |_| drop(black_box(free(scene, turns, &tilt.wanted, air))))
            };
            let mut timing = |what: &str, seconds: f64| {
                timings.push(json!({ "scene": name, "what": what, "seconds": seconds }));
            };
            let seconds = timed(&scene, &turns, Air::Contact);
            timing("free tilt, beside halving", seconds);
            timing("free tilt, beside sampling", seconds);
            timing("free tilt, plates and air", timed(whole, &tilt.turns, Air::ByRole));
            scenes.push(written(&name, &scene, &turns, tilt.wanted.value, &found));
        }
    }
    std::fs::write(out, json!({ "scenes": scenes, "timings": timings }).to_string())?;
    Ok(())
}

/// The boxes and cylinders alone, numbered afresh, with the pairs that may touch.
fn plain(whole: &Scene, turns: &WhatTurns) -> Result<(Scene, WhatTurns), Box<dyn Error>> {
    let kept: Vec<SolidIndex> = whole
        .indices()
        .filter(|index| whole.solid(*index).is_some_and(|solid| !matches!(solid.shape, Shape::Prism(_))))
        .collect();
    let solids: Vec<Solid> = kept.iter().filter_map(|index| whole.solid(*index).cloned()).collect();
    let (mut turning, mut meant) = (Vec::new(), Vec::new());
    for (a, of_a) in kept.iter().enumerate().filter(|(_, index)| turns.solids.contains(index)) {
        turning.push(SolidIndex(a as u32));
        for (b, of_b) in kept.iter().enumerate().filter(|(_, index)| !turns.solids.contains(index)) {
            let named = turns.meant.iter().any(|pair| *pair == (*of_a, *of_b) || *pair == (*of_b, *of_a));
            let may = Air::Contact.between(solids[a].role, solids[b].role).is_none();
            let owned = solids[a].owner == solids[b].owner;
            let touches =
                || distance_between(&solids[a], &solids[b]).map_or(true, |gap| gap.distance.get() < TOUCHES);
            if named || may || owned || touches() {
                meant.push((SolidIndex(a as u32), SolidIndex(b as u32)));
            }
        }
    }
    let scene = Scene::new(solids).map_err(|faults| format!("{faults:?}"))?;
    Ok((scene, WhatTurns { solids: turning, meant, about: turns.about, axis: turns.axis }))
}

fn free(scene: &Scene, turns: &WhatTurns, wanted: &Linear, air: Air) -> Result<Vec<FreeTilt>, TiltFault> {
    let (from, to): (Degrees, Degrees) = (limits::TILT_LEAST, limits::TILT_MOST);
    let (about, axis) = (turns.about, turns.axis);
    let (turning, meant) = (&turns.solids, &turns.meant);
    free_tilts(
        scene,
        &TiltQuestion { turning, about, axis, axis_drifts: &[], stands_at: wanted, from, to, meant, air },
    )
}

fn written(name: &str, scene: &Scene, turns: &WhatTurns, stands_at: f64, found: &[FreeTilt]) -> Value {
    json!({
        "name": name,
        "solids": scene.solids().iter().filter_map(told).collect::<Vec<_>>(),
        "turning": turns.solids.iter().map(|index| index.0).collect::<Vec<_>>(),
        "left_out": turns.meant.iter().map(|(a, b)| [a.0, b.0]).collect::<Vec<_>>(),
        "about": turns.about.coordinates(),
        "axis": turns.axis.coordinates(),
        "stands_at": stands_at,
        "from": limits::TILT_LEAST.get(),
        "to": limits::TILT_MOST.get(),
        "free": found.iter().map(|f| [f.low.angle.value, f.high.angle.value]).collect::<Vec<_>>(),
    })
}
