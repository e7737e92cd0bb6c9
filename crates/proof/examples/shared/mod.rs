//! What the examples that the bench runs have in common: the demo craft, solids as the reference scripts read them, and timing.

use craft::Craft;
use craft::sheet::read_sheet;
use fit::{Shape, Solid};
use quantity::Millimetres;
use serde_json::{Value, json};
use std::error::Error;
use std::path::Path;
use std::time::Instant;

/// The demo craft, in the order of their files' names.
pub fn demo() -> Result<Vec<Craft>, Box<dyn Error>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo");
    let mut paths = Vec::new();
    for entry in std::fs::read_dir(folder)? {
        paths.push(entry?.path());
    }
    paths.retain(|path| path.extension().is_some_and(|extension| extension == "toml"));
    paths.sort();
    paths.iter().map(|path| Ok(read_sheet(&std::fs::read_to_string(path)?).craft)).collect()
}

/// The median of so many rounds, in seconds.
pub fn median(rounds: usize, mut timed: impl FnMut(usize)) -> f64 {
    let mut seconds: Vec<f64> = (0..rounds)
        .map(|round| {
            let start = Instant::now();
            timed(round);
            start.elapsed().as_secs_f64()
        })
        .collect();
    seconds.sort_by(f64::total_cmp);
    seconds[rounds / 2]
}

/// A box or cylinder in the body frame, as the head of `xtask/src/bench.rs` lays it out; `None` for a plate.
pub fn told(solid: &Solid) -> Option<Value> {
    let [x, y, z, w] = solid.pose.quaternion();
    let turn = [
        [1.0 - 2.0 * (y * y + z * z), 2.0 * (x * y - z * w), 2.0 * (x * z + y * w)],
        [2.0 * (x * y + z * w), 1.0 - 2.0 * (x * x + z * z), 2.0 * (y * z - x * w)],
        [2.0 * (x * z - y * w), 2.0 * (y * z + x * w), 1.0 - 2.0 * (x * x + y * y)],
    ];
    let at = solid.pose.origin().coordinates();
    match &solid.shape {
        Shape::Cuboid(cuboid) => {
            let size = cuboid.size().map(Millimetres::get);
            Some(json!({ "shape": "box", "size": size, "at": at, "turn": turn }))
        }
        Shape::Cylinder(cylinder) => {
            let (radius, length) = (cylinder.radius().get(), cylinder.length().get());
            Some(json!({ "shape": "cylinder", "radius": radius, "length": length, "at": at, "turn": turn }))
        }
        Shape::Prism(_) => None,
    }
}
