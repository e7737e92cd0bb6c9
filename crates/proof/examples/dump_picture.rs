//! Writes what a lens of the demo may see of its craft, with our timings of the picture, for the bench.
//!
//! Timed here: the picture at 1280 × 720, its outlines, the same picture with every ray tried against every solid, and all
//! of the picture over the course: outlines of craft and course, ground and lines. The
//! reference casts the rays of the same picture in `conformance/optics/bench_pictures.py`, against the same solids in the
//! camera frame. The craft is the one with most solids whose lens is equidistant, at the tilt where most of it is seen.

use craft::sheet::read_sheet;
use fit::{InPart, PartPoint, PartVector, Shape};
use optics::course::sight;
use optics::{Direction, PicturePoint, Pixel, View, mask};
use proof::{BEFORE_GATE_USUAL, Course, LensView, OverCourse, Proof, level_flight};
use quantity::{Degrees, MetresPerSecond, Millimetres};
use serde_json::{Value, json};
use std::error::Error;
use std::hint::black_box;
use std::path::Path;
use std::time::Instant;

const ACROSS: u32 = 1280;
const DOWN: u32 = 720;
/// The median of this many rounds is told; every ray against every solid is timed once.
const ROUNDS: usize = 15;

fn main() -> Result<(), Box<dyn Error>> {
    let out = std::env::args().nth(1).ok_or("usage: dump_picture OUT.json")?;
    let mut scenes = Vec::new();
    let mut timings = Vec::new();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo");
    let mut sheets: Vec<_> = std::fs::read_dir(folder)?.flatten().map(|entry| entry.path()).collect();
    sheets.retain(|path| path.extension().is_some_and(|extension| extension == "toml"));
    sheets.sort();
    for path in sheets {
        let craft = read_sheet(&std::fs::read_to_string(&path)?).craft;
        let proof = Proof::new(&craft);
        let Some(Ok(looking)) = proof.lens_views().first() else { continue };
        if looking.projection().0 != "equidistant" {
            continue;
        }
        let looking = busiest(looking);
        let view = looking.view.clone().with_pixels(ACROSS, DOWN)?;
        let name =
            format!("{}: {} solids, tilted {:.0}°", craft.name, looking.solids.len(), looking.tilt.get());
        let timing = |what: &str, seconds: f64| json!({ "scene": name, "what": what, "seconds": seconds });
        timings.push(timing(PICTURE, median(|| drop(black_box(mask(&view, &looking.scene))))));
        timings.push(timing("outlines of the picture", median(|| drop(black_box(looking.outlines(ACROSS))))));
        let start = Instant::now();
        let plain = counted(every_ray(&view, &looking), looking.solids.len());
        timings.push(timing("every ray, every solid", start.elapsed().as_secs_f64()));
        let seen = counted(mask(&view, &looking.scene).iter(), looking.solids.len());
        let apart = seen.iter().zip(&plain).map(|(a, b)| a.abs_diff(*b)).max().unwrap_or(0);
        if apart > ACROSS * DOWN / 10_000 {
            return Err(
                format!("{name}: the picture and its rays one by one differ by {apart} pixels").into()
            );
        }
        scenes.push(told(&name, &looking, &proof, &seen));
        // One craft is enough: the reference casts its rays for a minute.
        if scenes.iter().any(|scene: &Value| scene["what"] == COURSE) {
            continue;
        }
        let over = format!("{} over the course", craft.name);
        let flight = flight(&proof);
        let (seconds, scene) = over_course(&over, &looking, &proof, &flight)?;
        timings.push(json!({ "scene": over, "what": COURSE, "seconds": seconds }));
        scenes.push(scene);
    }
    std::fs::write(out, json!({ "scenes": scenes, "timings": timings }).to_string())?;
    Ok(())
}

/// At its cruise speed, eight metres before the gate.
fn flight(proof: &Proof) -> OverCourse {
    let down = level_flight(proof).ok().and_then(|flight| flight.nose_down(MetresPerSecond::new(8.0)));
    OverCourse {
        before_gate: BEFORE_GATE_USUAL,
        left: Degrees::new(0.0),
        nose_down: Degrees::new(down.map_or(0.0, |down| down.value)),
    }
}

/// How long the picture over the course takes, and what every pixel of it sees: solids of the craft, then of the course.
fn over_course(
    name: &str,
    looking: &LensView,
    proof: &Proof,
    flight: &OverCourse,
) -> Result<(f64, Value), Box<dyn Error>> {
    let course = Course::orchard();
    let seconds = median(|| {
        drop(black_box((Course::orchard(), looking.over(&course, flight, ACROSS), looking.outlines(ACROSS))));
    });
    let view = looking.view.clone().with_pixels(ACROSS, DOWN)?;
    let stand = looking.stand(flight).ok_or("no such stand")?;
    let sight = sight(&view, &course, &stand);
    let own = looking.solids.len();
    // Painted from behind to front, pixel by pixel, the craft last.
    let mut painted: Vec<Option<usize>> = vec![None; (ACROSS * DOWN) as usize];
    for seen in &sight.solids {
        fill(&mut painted, &seen.outline, own + seen.solid);
    }
    for (pixel, seen) in painted.iter_mut().zip(mask(&view, &looking.scene).iter()) {
        match seen {
            Pixel::Solid(n) => *pixel = Some(n),
            Pixel::Dark => *pixel = None,
            Pixel::Clear => {}
        }
    }
    let mut counts = vec![0u32; own + course.solids.len()];
    painted.into_iter().flatten().for_each(|n| counts[n] += 1);
    let mut scene = told(name, looking, proof, &counts);
    scene["what"] = json!(COURSE);
    let eye = stand.place().coordinates();
    let axes = stand.axes().map(Direction::coordinates);
    let dot = |a: [f64; 3], b: [f64; 3]| a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
    let inward = |d: [f64; 3]| axes.map(|axis| dot(axis, d));
    for solid in &course.solids {
        let mm = |p: [f64; 3]| inward([0, 1, 2].map(|k| 1000.0 * (p[k] - eye[k])));
        let corners: Vec<_> = solid.corners().map(|corner| mm(corner.coordinates())).collect();
        let planes: Vec<_> = solid
            .half_spaces()
            .map(|(normal, out)| (inward(normal), 1000.0 * (out - dot(normal, eye))))
            .collect();
        let convex = json!({ "shape": "convex", "corners": corners, "planes": planes });
        scene["solids"].as_array_mut().ok_or("no solids")?.push(convex);
    }
    Ok((seconds, scene))
}

/// Fills rings by even and odd: every pixel whose middle lies within.
fn fill(painted: &mut [Option<usize>], rings: &[Vec<PicturePoint>], with: usize) {
    for y in 0..DOWN {
        let level = f64::from(y) + 0.5;
        let mut at: Vec<f64> = Vec::new();
        for ring in rings {
            for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
                if (a.down > level) != (b.down > level) {
                    at.push(a.across + (level - a.down) / (b.down - a.down) * (b.across - a.across));
                }
            }
        }
        at.sort_by(f64::total_cmp);
        for span in at.chunks_exact(2) {
            let [from, to] =
                [span[0], span[1]].map(|x| (x - 0.5).ceil().clamp(0.0, f64::from(ACROSS)) as u32);
            for x in from..to {
                painted[(y * ACROSS + x) as usize] = Some(with);
            }
        }
    }
}

const COURSE: &str = "picture over the course, 1280 × 720";

/// What is compared with the reference.
const PICTURE: &str = "picture of 1280 × 720 pixels";

/// The tilt at which most of the picture is filled, so that there is something to draw.
fn busiest(looking: &LensView) -> LensView {
    let filled = |view: &LensView| 100.0 - view.fills().free.get();
    let tilts = (-6..=6).filter_map(|n| looking.tilted(Degrees::new(f64::from(n) * 5.0)).ok());
    tilts.max_by(|a, b| filled(a).total_cmp(&filled(b))).unwrap_or_else(|| looking.clone())
}

/// What every pixel sees when its ray is tried against every solid.
fn every_ray<'a>(view: &'a View, looking: &'a LensView) -> impl Iterator<Item = Pixel> + 'a {
    let places = (0..DOWN).flat_map(|y| (0..ACROSS).map(move |x| (f64::from(x) + 0.5, f64::from(y) + 0.5)));
    places.map(|(across, down)| match view.ray(PicturePoint { across, down }) {
        None => Pixel::Dark,
        Some(ray) => looking.scene.nearest(ray).map_or(Pixel::Clear, |(n, _)| Pixel::Solid(n)),
    })
}

fn counted(pixels: impl Iterator<Item = Pixel>, solids: usize) -> Vec<u32> {
    let mut counts = vec![0; solids];
    for pixel in pixels {
        if let Pixel::Solid(n) = pixel {
            counts[n] += 1;
        }
    }
    counts
}

fn told(name: &str, looking: &LensView, proof: &Proof, pixels: &[u32]) -> Value {
    let [width, height] = looking.sensor_mm();
    let solids: Vec<Value> = looking.solids.iter().map(|n| solid(looking, proof, *n)).collect();
    json!({
        "name": name,
        "what": PICTURE,
        "view": {
            "across": ACROSS, "down": DOWN, "width_mm": width, "height_mm": height,
            "focal_length_mm": looking.focal_length_mm(),
            "lit_radius_mm": looking.lit_within().map(|[share, _]| share * width),
        },
        "solids": solids,
        "pixels": pixels,
    })
}

/// A solid in the camera frame.
fn solid(looking: &LensView, proof: &Proof, number: usize) -> Value {
    let solid = &proof.inputs().solids[number].solid;
    let pose: InPart = looking.eye_frame().inverse() * solid.pose;
    let at = pose.point(PartPoint::ORIGIN).coordinates();
    let axes = [PartVector::X, PartVector::Y, PartVector::Z].map(|axis| pose.vector(axis).coordinates());
    let turn = [0, 1, 2].map(|row| axes.map(|axis| axis[row]));
    match &solid.shape {
        Shape::Cuboid(cuboid) => {
            json!({ "shape": "box", "size": cuboid.size().map(Millimetres::get), "at": at, "turn": turn })
        }
        Shape::Cylinder(cylinder) => json!({
            "shape": "cylinder", "radius": cylinder.radius().get(), "length": cylinder.length().get(),
            "at": at, "turn": turn,
        }),
        Shape::Prism(prism) => {
            let ring = |points: &[fit::PlanePoint]| points.iter().map(|p| [p.x, p.y]).collect::<Vec<_>>();
            let outline = prism.outline();
            let mut rings = vec![ring(outline.outer())];
            rings.extend(outline.holes().iter().map(|hole| ring(&hole.corners())));
            json!({
                "shape": "plate", "rings": rings, "thickness": prism.thickness().get(), "at": at, "turn": turn,
            })
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
