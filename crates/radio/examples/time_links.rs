//! Writes a site with twenty obstacles, a flight over it and our timings of its links, for the bench.
//!
//! One full evaluation of a point: two antennas on the craft, turned with it, to four on the ground: eight receptions, each
//! with a straight ray and one off the ground, through and round twelve walls and eight woods. Both processors work, half
//! of the points each. `conformance/radio/bench_links.py` computes the same model for the same points in arrays. The site is invented.

use quantity::{Db, Dbi, Degrees, Megahertz, Metres, Millimetres};
use radio::{
    Antenna, Beam, Carrier, Direction, End, Ground, Hand, Material, Place, Polarisation, RadioFault, Scenery,
    Site, Slab, Turn, Wall, Wood,
};
use serde_json::{Value, json};
use std::error::Error;
use std::hint::black_box;
use std::time::Instant;

const POINTS: usize = 6000;
/// The quickest of this many rounds is told, as of the reference's.
const ROUNDS: usize = 5;
const MEGAHERTZ: f64 = 5800.0;
const ROUGHNESS: f64 = 0.01;
const GROUND: &str = "medium dry ground";
/// From x, y to x, y, height, material, millimetres.
const WALLS: [([f64; 4], f64, &str, f64); 12] = [
    ([30.0, -8.0, 30.0, 6.0], 4.0, "wood", 20.0),
    ([30.0, 6.0, 38.0, 6.0], 4.0, "wood", 20.0),
    ([38.0, -8.0, 38.0, 6.0], 4.0, "wood", 20.0),
    ([30.0, -8.0, 38.0, -8.0], 4.0, "wood", 20.0),
    ([70.0, 20.0, 90.0, 26.0], 7.0, "brick", 240.0),
    ([70.0, 32.0, 90.0, 38.0], 7.0, "brick", 240.0),
    ([70.0, 20.0, 70.0, 32.0], 7.0, "brick", 240.0),
    ([90.0, 26.0, 90.0, 38.0], 7.0, "brick", 240.0),
    ([-20.0, 40.0, 25.0, 44.0], 2.2, "concrete", 120.0),
    ([50.0, -60.0, 52.0, -25.0], 3.0, "metal", 2.0),
    ([-50.0, -30.0, -46.0, 20.0], 2.5, "plywood", 18.0),
    ([110.0, -20.0, 118.0, 12.0], 5.0, "glass", 12.0),
];
/// Middle, radius, height.
const WOODS: [[f64; 4]; 8] = [
    [55.0, 10.0, 4.0, 9.0],
    [62.0, 14.0, 3.0, 8.0],
    [45.0, -22.0, 5.0, 12.0],
    [-25.0, 15.0, 6.0, 14.0],
    [-30.0, -40.0, 9.0, 16.0],
    [95.0, -35.0, 12.0, 18.0],
    [15.0, 60.0, 10.0, 15.0],
    [120.0, 30.0, 7.0, 11.0],
];
/// Place of each ground antenna; the last two are patches aimed at yaw and pitch.
const STATION: [([f64; 3], Option<[f64; 2]>); 4] = [
    ([0.0, 0.3, 2.0], None),
    ([0.0, -0.3, 2.0], None),
    ([0.1, 0.6, 2.2], Some([15.0, 8.0])),
    ([0.1, -0.6, 2.2], Some([-25.0, 12.0])),
];
/// Each antenna of the craft: where it stands on the craft, and how it leans back.
const CRAFT: [([f64; 3], f64); 2] = [([-0.06, 0.0, 0.04], -20.0), ([0.05, 0.02, -0.02], 60.0)];
const OMNI: [f64; 2] = [1.2, 1.5];
const PATCH: [f64; 4] = [8.0, 70.0, 15.0, 2.0];

fn main() -> Result<(), Box<dyn Error>> {
    let out = std::env::args().nth(1).ok_or("usage: time_links OUT.json")?;
    let carrier = Carrier::new(Megahertz::new(MEGAHERTZ))?;
    let (site, station, whip) = (site()?, station()?, omni()?);
    let points: Vec<[f64; 6]> = (0..POINTS).map(flown).collect();
    let all = || whole(&points, &whip, &station, &Site::new(&site, carrier)?);
    let totals = all()?;
    let timed = (0..ROUNDS).map(|_| {
        let start = Instant::now();
        drop(black_box(all()));
        start.elapsed().as_secs_f64()
    });
    let seconds = timed.fold(f64::INFINITY, f64::min);
    let name = format!("{} walls, {} woods", WALLS.len(), WOODS.len());
    let timing =
        json!({ "scene": name, "what": "a full link evaluation", "seconds": seconds / POINTS as f64 });
    let told = json!({ "scenes": [told(&name, &points, &totals)], "timings": [timing] });
    std::fs::write(out, told.to_string())?;
    Ok(())
}

/// Where the craft is at a point of the flight, and how it lies: x, y, z, yaw, pitch, roll.
fn flown(n: usize) -> [f64; 6] {
    let t = n as f64 / POINTS as f64 * 40.0;
    let x = 55.0 + 70.0 * (0.61 * t).sin();
    let y = 55.0 * (0.83 * t + 0.4).sin();
    let z = 1.5 + 6.0 * (1.0 + (1.7 * t).sin());
    [x, y, z, (37.0 * t).rem_euclid(360.0) - 180.0, -25.0 + 15.0 * (2.3 * t).sin(), 30.0 * (1.9 * t).cos()]
}

/// Each half of the points by a thread of its own.
fn whole(
    points: &[[f64; 6]],
    whip: &Antenna,
    station: &[End],
    site: &Site,
) -> Result<Vec<[f64; 8]>, RadioFault> {
    let half = |points: &[[f64; 6]]| -> Result<Vec<[f64; 8]>, RadioFault> {
        points.iter().map(|point| links(point, whip, station, site)).collect()
    };
    let (one, two) = points.split_at(points.len() / 2);
    std::thread::scope(|scope| {
        let other = scope.spawn(|| half(two));
        let mut all = half(one)?;
        let rest = other.join().unwrap_or_else(|cause| std::panic::resume_unwind(cause));
        all.extend(rest?);
        Ok(all)
    })
}

/// What arrives over what is sent, for every pair of antennas, in decibels.
fn links(point: &[f64; 6], whip: &Antenna, station: &[End], site: &Site) -> Result<[f64; 8], RadioFault> {
    let [x, y, z, yaw, pitch, roll] = *point;
    let attitude = turn([yaw, pitch, roll]);
    let mut all = [0.0; 8];
    for (a, (at, lean)) in CRAFT.iter().enumerate() {
        let offset = rotated(&attitude, *at);
        let craft = End {
            antenna: whip.clone(),
            turn: attitude.after(turn([0.0, *lean, 0.0])),
            place: place([x + offset[0], y + offset[1], z + offset[2]])?,
        };
        for (b, ground) in station.iter().enumerate() {
            all[4 * a + b] = site.arrived(&craft, ground)?.total().get();
        }
    }
    Ok(all)
}

fn rotated(turn: &Turn, [x, y, z]: [f64; 3]) -> [f64; 3] {
    let axes =
        [Direction::FORWARD, Direction::LEFT, Direction::UP].map(|own| turn.outward(own).coordinates());
    [0, 1, 2].map(|n| axes[0][n] * x + axes[1][n] * y + axes[2][n] * z)
}

fn turn([yaw, pitch, roll]: [f64; 3]) -> Turn {
    Turn::new(Degrees::new(yaw), Degrees::new(pitch), Degrees::new(roll))
}

fn place([x, y, z]: [f64; 3]) -> Result<Place, RadioFault> {
    Place::new(Metres::new(x), Metres::new(y), Metres::new(z))
}

fn omni() -> Result<Antenna, RadioFault> {
    Antenna::circular_omni(Hand::Left, Dbi::new(OMNI[0]), Db::new(OMNI[1]))
}

fn station() -> Result<Vec<End>, RadioFault> {
    let [gain, width, back, axial] = PATCH;
    let beam = Beam::new(Dbi::new(gain), Degrees::new(width), Some(Db::new(back)))?;
    let patch = Polarisation::elliptical(Hand::Left, Db::new(axial), Degrees::new(90.0))?;
    let end = |(at, aim): &([f64; 3], Option<[f64; 2]>)| {
        let (antenna, [yaw, pitch]) = match aim {
            Some(aim) => (Antenna::aimed(beam, patch), *aim),
            None => (omni()?, [0.0, 0.0]),
        };
        Ok(End { antenna, turn: turn([yaw, pitch, 0.0]), place: place(*at)? })
    };
    STATION.iter().map(end).collect()
}

fn material(word: &str) -> Result<Material, Box<dyn Error>> {
    Material::of_word(word).ok_or_else(|| format!("no material {word:?}").into())
}

fn site() -> Result<Scenery, Box<dyn Error>> {
    let mut site = Scenery {
        ground: Some(Ground::new(material(GROUND)?, Metres::new(ROUGHNESS))?),
        ..Scenery::default()
    };
    for ([x0, y0, x1, y1], top, word, thick) in WALLS {
        let slab = Slab::of(material(word)?, Millimetres::new(thick))?;
        site.walls.push(Wall::new(place([x0, y0, 0.0])?, place([x1, y1, 0.0])?, Metres::new(top), slab)?);
    }
    for [x, y, radius, top] in WOODS {
        site.woods.push(Wood::new(place([x, y, 0.0])?, Metres::new(radius), Metres::new(top))?);
    }
    Ok(site)
}

fn told(name: &str, points: &[[f64; 6]], totals: &[[f64; 8]]) -> Value {
    let walls = WALLS
        .map(|(ends, top, word, thick)| json!({ "ends": ends, "top": top, "material": word, "mm": thick }));
    json!({
        "name": name, "megahertz": MEGAHERTZ, "ground": GROUND, "roughness": ROUGHNESS, "walls": walls, "woods": WOODS,
        "station": STATION.map(|(at, aim)| json!({ "at": at, "aim": aim })),
        "craft": CRAFT.map(|(at, lean)| json!({ "at": at, "lean": lean })),
        "omni": OMNI, "patch": PATCH, "points": points, "totals_db": totals,
    })
}
