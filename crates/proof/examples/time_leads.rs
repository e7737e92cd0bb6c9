//! Writes every lead of the demo craft with our timings, for the bench.
//!
//! Timed here: one route alone, each from nothing. The reference is timed on the same scenes by
//! `conformance/geometry/bench_routes.py`.

use craft::Craft;
use craft::sheet::read_sheet;
use fit::{Scene, shortest_route};
use proof::{Proof, prove};
use std::error::Error;
use std::hint::black_box;
use std::path::Path;
use std::time::Instant;

fn main() -> Result<(), Box<dyn Error>> {
    for name in ["brambling", "dunnock", "fieldfare", "whinchat"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../demo/{name}.toml"));
        let craft: Craft = read_sheet(&std::fs::read_to_string(path)?).craft;
        let proof = Proof::new(&craft);
        let scene: &Scene = &proof.inputs().scene;
        for lead in prove(&craft).leads {
            if let Ok(way) = &lead.way {
                let mut times = Vec::new();
                for _ in 0..15 {
                    let start = Instant::now();
                    black_box(shortest_route(scene, &way.asked.question())).ok();
                    times.push(start.elapsed().as_secs_f64());
                }
                times.sort_by(f64::total_cmp);
                println!("{name} {} {:.2} ms", craft.places[lead.place].id, times[7] * 1e3);
            }
        }
    }
    Ok(())
}
