//! Writes the boxes and cylinders of the largest demo craft with our timings, for the bench.
//!
//! Timed here: the distance of one pair, and the whole craft with its coarse search. The reference is timed on the same solids by
//! `conformance/geometry/bench_pairs.py`. Plates are left out: the reference library knows no plate with holes. What a proof takes again
//! after an edit is timed by `time_edits.rs`, plates and all.

mod shared;

use craft::Craft;
use fit::{ClearanceQuestion, Scene, Shape, Solid, clearances, distance_between};
use proof::Proof;
use quantity::Millimetres;
use serde_json::json;
use shared::{demo, median, told};
use std::error::Error;
use std::hint::black_box;

/// The median of this many rounds is told.
const ROUNDS: usize = 31;

fn main() -> Result<(), Box<dyn Error>> {
    let out = std::env::args().nth(1).ok_or("usage: dump_scene OUT.json")?;
    let (name, craft) = largest_demo()?;
    let solids: Vec<Solid> = Proof::new(&craft).inputs().solids.iter().map(|s| s.solid.clone()).collect();
    let count = solids.len();
    let plain: Vec<Solid> = solids.into_iter().filter(|s| !matches!(s.shape, Shape::Prism(_))).collect();
    let pairs: Vec<[usize; 2]> =
        (0..plain.len()).flat_map(|a| (a + 1..plain.len()).map(move |b| [a, b])).collect();
    let distance = |[a, b]: [usize; 2]| distance_between(&plain[a], &plain[b]).map(|gap| gap.distance.get());
    let distances: Vec<Option<f64>> =
        pairs.iter().map(|pair| distance(*pair).ok().filter(|distance| *distance >= 0.0)).collect();

    let all = median(ROUNDS, |_| {
        for pair in &pairs {
            black_box(distance(*pair)).ok();
        }
    });
    let whole = median(ROUNDS, |_| {
        let scene = Scene::new(plain.clone());
        if let Ok(scene) = scene {
            let question =
                ClearanceQuestion { allowance: Millimetres::new(2.0), ..ClearanceQuestion::default() };
            black_box(clearances(&scene, &question)).ok();
        }
    });
    let scene = format!("{name}: {count} solids, {} of them boxes and cylinders", plain.len());
    let timing = |what: &str, seconds: f64| json!({ "scene": scene, "what": what, "seconds": seconds });
    let written = json!({
        "scenes": [{ "name": scene, "solids": plain.iter().filter_map(told).collect::<Vec<_>>(), "pairs": pairs, "distances_mm": distances }],
        "timings": [
            timing("distance of one pair", all / pairs.len() as f64),
            timing("every pair of the craft", whole),
        ],
    });
    std::fs::write(out, written.to_string())?;
    Ok(())
}

/// The demo craft with most solids.
fn largest_demo() -> Result<(String, Craft), Box<dyn Error>> {
    let largest = demo()?.into_iter().max_by_key(|craft| Proof::new(craft).inputs().solids.len());
    largest.map(|craft| (craft.name.clone(), craft)).ok_or_else(|| "no sheet in demo/".into())
}
