//! How long a picture takes, and a share, and a search for what clears it: one craft of 42 solids.

#![allow(clippy::unwrap_used)]

#[path = "../tests/scenes/mod.rs"]
mod scenes;

use divan::{Bencher, black_box};
use optics::{Direction, Point, Scene, View, Wanted, least_turn, mask, shares};
use quantity::{Degrees, Percent};

fn main() {
    divan::main();
}

fn ready(which: usize, across: u32) -> (View, Scene) {
    (scenes::view(which, across), scenes::craft(0.15))
}

/// Projections by number: rectilinear, equidistant, equisolid, stereographic, measured.
const LENSES: [usize; 5] = [0, 1, 2, 3, 4];

#[divan::bench(args = LENSES)]
fn picture_1280_by_720(bencher: Bencher, which: usize) {
    let (view, scene) = ready(which, 1280);
    bencher.bench_local(|| mask(black_box(&view), black_box(&scene)));
}

#[divan::bench]
fn picture_320_by_180(bencher: Bencher) {
    let (view, scene) = ready(1, 320);
    bencher.bench_local(|| mask(black_box(&view), black_box(&scene)));
}

#[divan::bench(args = LENSES)]
fn shares_of_a_craft(bencher: Bencher, which: usize) {
    let (view, scene) = ready(which, 1280);
    bencher.bench_local(|| shares(black_box(&view), black_box(&scene)));
}

#[divan::bench]
fn view_made_ready() -> View {
    scenes::view(black_box(1), 1280)
}

#[divan::bench]
fn scene_made_ready() -> Scene {
    scenes::craft(black_box(0.15))
}

#[divan::bench]
fn tilt_that_clears(bencher: Bencher) {
    let (view, scene) = ready(1, 1280);
    let counted: Vec<bool> = (0..scene.len()).map(|n| n < 2).collect();
    let wanted = Wanted { counted: &counted, at_most: Percent::new(1.0) };
    let about = (Point::new(-15.0, 0.0, 0.0), Direction::LEFT.opposite());
    bencher
        .bench_local(|| least_turn(black_box(&view), black_box(&scene), wanted, about, Degrees::new(40.0)));
}
