//! Writes every lead of the demo craft with what it keeps from each solid and our timings, for the bench.
//!
//! Timed here: one route alone, each from nothing. The reference is timed on the same scenes by
//! `conformance/geometry/bench_routes.py`.

use craft::sheet::read_sheet;
use fit::{AskedRoute, Scene, Shape, Solid, shortest_route};
use proof::{Proof, prove};
use quantity::Millimetres;
use serde_json::{Value, json};
use std::error::Error;
use std::hint::black_box;
use std::path::Path;
use std::time::Instant;

/// The median of this many rounds is told.
const ROUNDS: usize = 15;

fn main() -> Result<(), Box<dyn Error>> {
    let out = std::env::args().nth(1).ok_or("usage: time_leads OUT.json")?;
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo");
    let mut paths = Vec::new();
    for entry in std::fs::read_dir(folder)? {
        paths.push(entry?.path());
    }
    paths.retain(|path| path.extension().is_some_and(|extension| extension == "toml"));
    paths.sort();
    let (mut scenes, mut timings) = (Vec::new(), Vec::new());
    for path in paths {
        let craft = read_sheet(&std::fs::read_to_string(&path)?).craft;
        let proof = Proof::new(&craft);
        let scene = &proof.inputs().scene;
        for lead in prove(&craft).leads {
            let Ok(way) = &lead.way else { continue };
            let name = format!("{}: {}", craft.name, craft.places[lead.place].id);
            let seconds = median(|| drop(black_box(shortest_route(scene, &way.asked.question()))));
            timings.push(json!({ "scene": name, "what": "one route", "seconds": seconds }));
            // What the reference can be asked: it knows no least bend and no way out of a plug.
            let mut plain = way.asked.clone();
            plain.bend_radius = Millimetres::new(0.0);
            (plain.from.leaving, plain.to.leaving) = (None, None);
            let plain = shortest_route(scene, &plain.question()).map_or(f64::NAN, |route| route.length.value);
            scenes.push(json!({
                "name": name,
                "ends": [way.asked.from.at.coordinates(), way.asked.to.at.coordinates()],
                "solids": solids(scene, &way.asked),
                "length_mm": plain,
            }));
        }
    }
    std::fs::write(out, json!({ "scenes": scenes, "timings": timings }).to_string())?;
    Ok(())
}

/// Every solid in the lead's way, with how far its middle line keeps.
fn solids(scene: &Scene, asked: &AskedRoute) -> Vec<Value> {
    let kept = scene.indices().zip(scene.solids()).filter_map(|(index, solid)| {
        let air = if asked.behind.contains(&index) { fit::Air::Contact } else { asked.air };
        let needs = air.between(asked.role, solid.role)?;
        let keep = asked.half_thickness.value + needs.distance.get();
        (!asked.passing.contains(&index)).then(|| told(solid, keep))
    });
    kept.collect()
}

fn told(solid: &Solid, keep: f64) -> Value {
    let [x, y, z, w] = solid.pose.quaternion();
    let turn = [
        [1.0 - 2.0 * (y * y + z * z), 2.0 * (x * y - z * w), 2.0 * (x * z + y * w)],
        [2.0 * (x * y + z * w), 1.0 - 2.0 * (x * x + z * z), 2.0 * (y * z - x * w)],
        [2.0 * (x * z - y * w), 2.0 * (y * z + x * w), 1.0 - 2.0 * (x * x + y * y)],
    ];
    let at = solid.pose.origin().coordinates();
    match &solid.shape {
        Shape::Cuboid(cuboid) => {
            json!({ "shape": "box", "size": cuboid.size().map(Millimetres::get), "at": at, "turn": turn, "keep": keep })
        }
        Shape::Cylinder(cylinder) => {
            json!({ "shape": "cylinder", "radius": cylinder.radius().get(), "length": cylinder.length().get(), "at": at,
                "turn": turn, "keep": keep })
        }
        Shape::Prism(prism) => {
            let ring = |points: &[fit::PlanePoint]| points.iter().map(|p| [p.x, p.y]).collect::<Vec<_>>();
            let outline = prism.outline();
            let mut rings = vec![ring(outline.outer())];
            rings.extend(outline.holes().iter().map(|hole| ring(&hole.corners())));
            json!({ "shape": "plate", "rings": rings, "thickness": prism.thickness().get(), "at": at, "turn": turn, "keep": keep })
        }
    }
}

fn median(mut timed: impl FnMut()) -> f64 {
    let mut seconds: Vec<f64> = (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            timed();
            start.elapsed().as_secs_f64()
        })
        .collect();
    seconds.sort_by(f64::total_cmp);
    seconds[ROUNDS / 2]
}
