//! What stands about a ground station, as walls, woods and ground.

use super::model::LinkObstacle;
use super::reading::Reader;
use craft::schema::station::{self, obstacle};
use craft::{Item, Part};
use quantity::{Db, Metres, Millimetres, Ratio};
use radio::{Fading, Ground, Material, Place, RadioFault, Scenery, Slab, Surroundings, Wall, Weather, Wood};

/// Rain of a shower and of a cloudburst in mm/h: common practice.
const RAIN: [(&str, f64); 3] = [("dry", 0.0), ("shower", 10.0), ("cloudburst", 100.0)];
/// The most cylinders that one obstacle of trees is made of.
const TRUNKS_MAX: f64 = 60.0;

/// What stands about, with each obstacle's own outline for drawing.
pub(super) fn scenery(reader: &mut Reader, part: &Part) -> Option<(Scenery, Vec<LinkObstacle>)> {
    let item = part.item();
    let material = reader.noted(item.text(&station::GROUND));
    let roughness = reader.noted(item.read(&station::ROUGHNESS));
    let mut scenery = Scenery::default();
    let mut obstacles = Vec::new();
    for row in part.rows(&obstacle::TABLE) {
        obstacles.extend(stands(reader, &row, &mut scenery));
    }
    let material = material.and_then(Material::of_word);
    let roughness: Metres = Metres::new(roughness?.value.get() * 1e-3);
    scenery.ground = Some(reader.right("ground", Ground::new(material?, roughness))?);
    Some((scenery, obstacles))
}

/// How much rain falls.
pub(super) fn weather(item: &Item<'_>) -> Weather {
    let word = item.text(&station::WEATHER).unwrap_or("dry");
    let rain = RAIN.into_iter().find(|(known, _)| *known == word);
    Weather { rain_mm_per_hour: rain.map_or(0.0, |(_, rain)| rain) }
}

/// How reflections come and go.
pub(super) fn fading(reader: &mut Reader, item: &Item<'_>) -> Option<Fading> {
    if let Ok(factor) = item.read(&station::RICIAN) {
        return reader.right(&factor.label, Fading::rician(Db::new(factor.value.get())));
    }
    let word = reader.noted(item.text(&station::SURROUNDINGS))?;
    surroundings(word).map(Surroundings::fading)
}

pub(super) fn surroundings(word: &str) -> Option<Surroundings> {
    Some(match word {
        "open field" => Surroundings::OpenField,
        "park" => Surroundings::Park,
        "yard" => Surroundings::Yard,
        "woodland" => Surroundings::Woodland,
        "hall" => Surroundings::Hall,
        _ => return None,
    })
}

/// How alike the inputs fade.
pub(super) fn correlation(item: &Item<'_>) -> Ratio {
    item.read(&station::CORRELATION).map_or(Ratio::new(0.0), |reading| reading.value)
}

/// A corner of an obstacle with its middle there and turned so, by how far it lies along and across its middle.
fn corner_of([ahead, aside]: [f64; 2], turn: f64) -> impl Fn(f64, f64) -> [f64; 2] {
    let (s, c) = turn.to_radians().sin_cos();
    move |along, across| [ahead + along * c - across * s, aside + along * s + across * c]
}

/// The outline of an obstacle seen from above: by its middle, its turn in degrees, its width and its depth; two points where it has no
/// depth.
pub(crate) fn outline(middle: [f64; 2], turn: f64, [width, depth]: [f64; 2]) -> Vec<[f64; 2]> {
    let corner = corner_of(middle, turn);
    let (a, b) = (depth / 2.0, width / 2.0);
    if depth > 0.0 {
        vec![corner(-a, -b), corner(-a, b), corner(a, b), corner(a, -b)]
    } else {
        vec![corner(0.0, -b), corner(0.0, b)]
    }
}

fn stands(reader: &mut Reader, row: &Item<'_>, scenery: &mut Scenery) -> Option<LinkObstacle> {
    let form = reader.noted(row.text(&obstacle::FORM));
    let ahead = reader.noted(row.read(&obstacle::AHEAD));
    let width = reader.noted(row.read(&obstacle::WIDTH));
    let height = reader.noted(row.read(&obstacle::HEIGHT));
    let aside = row.read(&obstacle::ASIDE).map_or(0.0, |reading| reading.value.get());
    let turn = row.read(&obstacle::TURN).map_or(0.0, |reading| reading.value.get());
    let form = form?;
    let deep = form != "wall";
    let depth = if deep { reader.noted(row.read(&obstacle::DEPTH))?.value.get() } else { 0.0 };
    let walled = form != "trees";
    let (material, thickness) = if walled {
        let material = reader.noted(row.text(&obstacle::MATERIAL));
        let thickness = reader.noted(row.read(&obstacle::THICKNESS));
        (Some(material?), thickness?.value)
    } else {
        (None, Millimetres::new(0.0))
    };
    let (ahead, width, height) = (ahead?.value.get(), width?.value.get(), height?.value);
    let corner = corner_of([ahead, aside], turn);
    let outline = outline([ahead, aside], turn, [width, depth]);
    let place = |[x, y]: [f64; 2]| Place::new(Metres::new(x), Metres::new(y), Metres::new(0.0));
    let made: Result<(), RadioFault> = (|| {
        match material {
            Some(word) => {
                let Some(material) = Material::of_word(word) else { return Ok(()) };
                let slab = Slab::of(material, thickness)?;
                let sides = if deep { 4 } else { 1 };
                for n in 0..sides {
                    let (from, to) = (place(outline[n])?, place(outline[(n + 1) % outline.len()])?);
                    scenery.walls.push(Wall::new(from, to, height, slab.clone())?);
                }
            }
            None => {
                // A row of cylinders as deep as the trees, along the longer of their two sides.
                let (long, short) = if width >= depth { (width, depth) } else { (depth, width) };
                let count = (long / short).ceil().min(TRUNKS_MAX);
                let step = long / count;
                let mut n = 0.5;
                while n < count {
                    let at = n * step - long / 2.0;
                    let middle = if width >= depth { corner(0.0, at) } else { corner(at, 0.0) };
                    let radius = Metres::new(short.max(step) / 2.0);
                    scenery.woods.push(Wood::new(place(middle)?, radius, height)?);
                    n += 1.0;
                }
            }
        }
        Ok(())
    })();
    reader.right(&row.called, made)?;
    let name = row.name().unwrap_or(form).to_owned();
    Some(LinkObstacle { name, form: form.to_owned(), material: material.map(str::to_owned), outline, height })
}
