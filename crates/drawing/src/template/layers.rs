//! An adapter that a sheet says as a pile of plates, one for each depth at which a hole changes: on the bench it is one plate.
//!
//! Its holes go through as wide as they are narrowest; where they are wider in some layers, heads are sunk there. What goes in names
//! them. It comes from the printer with its holes, so nothing of it is to be drilled.

use super::choice::numbers;
use super::stencil::{Bore, Sink, Stencil, UNNAMED, of_plate, plate_of};
use craft::Part;
use craft::schema::{PartKind, frame};
use proof::{CraftSolid, Proof};

/// How a solid belongs to a pile.
pub(super) enum Layered {
    /// It is a plate of its own.
    Plain,
    /// The lowest of these, from below, each with its thickness.
    First(Vec<(Stencil, f64)>),
    /// Another of a pile.
    Later,
}

/// Holes of two layers so near each other are one, and diameters that differ by less are the same, in mm.
const SAME: f64 = 0.05;

/// How a solid belongs to the pile its part is.
pub(super) fn of(proof: &Proof, solid: &CraftSolid) -> Layered {
    let Some(part) = proof.part_of(solid.place).filter(|part| part.kind == PartKind::Adapter) else {
        return Layered::Plain;
    };
    let rows: Vec<craft::Item> = part.rows(&frame::plate::TABLE).collect();
    let outline = |row: &craft::Item| row.points(&frame::plate::OUTLINE).ok().map(<[_]>::to_vec);
    let first = rows.first().and_then(outline);
    let flat = |row: &craft::Item| matches!(row.text(&frame::plate::STANDS), Ok("flat") | Err(_));
    if rows.len() < 2 || first.is_none() || !rows.iter().all(|row| flat(row) && outline(row) == first) {
        return Layered::Plain;
    }
    let place = proof.craft.places.get(solid.place).map_or("", |place| place.id.as_str());
    let mut layers: Vec<(f64, &CraftSolid, Stencil, f64)> = Vec::new();
    for (_, other) in proof.inputs().solids_of(solid.place) {
        let Some((Some(row), prism)) = plate_of(proof, other) else { continue };
        let z = row.read(&craft::schema::shape::Z).map_or(0.0, |z| z.value.get());
        layers.push((z, other, of_plate(part, place, prism, Some(&row)), prism.thickness().get()));
    }
    layers.sort_by(|a, b| a.0.total_cmp(&b.0));
    match layers.first().is_some_and(|(_, lowest, ..)| lowest.piece == solid.piece) {
        true => Layered::First(layers.into_iter().map(|(.., stencil, thick)| (stencil, thick)).collect()),
        false => Layered::Later,
    }
}

/// The sinks in words, alike ones together.
fn sinks(bores: &[Bore]) -> Vec<String> {
    let mut kinds: Vec<(Sink, Vec<usize>)> = Vec::new();
    for (number, sink) in bores.iter().enumerate().filter_map(|(n, bore)| Some((n + 1, bore.sink?))) {
        match kinds.iter_mut().find(|(known, _)| *known == sink) {
            Some((_, holes)) => holes.push(number),
            None => kinds.push((sink, vec![number])),
        }
    }
    let told = |(sink, holes): (Sink, Vec<usize>)| {
        format!(
            "Sunk from {}, not through: {} {}, Ø {} mm, {} mm deep.",
            if sink.from_below { "below" } else { "above" },
            if holes.len() == 1 { "hole" } else { "holes" },
            numbers(&holes),
            quantity::decimal(sink.diameter, 1),
            quantity::decimal(sink.depth, 1)
        )
    };
    kinds.into_iter().map(told).collect()
}

/// The pile as one plate.
pub(super) fn as_one(part: &Part, place: &str, all: Vec<(Stencil, f64)>) -> Stencil {
    let mut bores: Vec<Bore> = Vec::new();
    for bore in all.iter().flat_map(|(stencil, _)| &stencil.bores) {
        let is_it = |known: &&mut Bore| {
            (known.at[0] - bore.at[0]).hypot(known.at[1] - bore.at[1]) < SAME && known.to == bore.to
        };
        match bores.iter_mut().find(is_it) {
            Some(known) => {
                if known.what == UNNAMED {
                    known.what.clone_from(&bore.what);
                }
                known.diameter = known.diameter.zip(bore.diameter).map(|(a, b)| a.min(b));
            }
            None => bores.push(bore.clone()),
        }
    }
    for bore in &mut bores {
        let wide = |stencil: &Stencil| {
            let there = |other: &&Bore| (other.at[0] - bore.at[0]).hypot(other.at[1] - bore.at[1]) < SAME;
            let wide = stencil.bores.iter().find(there).and_then(|other| other.diameter)?;
            (wide > bore.diameter? + SAME).then_some(wide)
        };
        let sunk: Vec<(f64, f64)> =
            all.iter().filter_map(|(stencil, thick)| wide(stencil).map(|wide| (wide, *thick))).collect();
        let Some(diameter) = sunk.iter().map(|(wide, _)| *wide).reduce(f64::max) else { continue };
        let depth = sunk.iter().map(|(_, thick)| thick).sum();
        let from_below = all.first().is_some_and(|(lowest, _)| wide(lowest).is_some());
        bore.sink = Some(Sink { diameter, depth, from_below });
    }
    let thickness: f64 = all.iter().map(|(_, thick)| thick).sum();
    let mut one = all
        .into_iter()
        .next()
        .map_or_else(|| Stencil::of_words(part.name.clone(), Vec::new()), |(stencil, _)| stencil);
    one.title = format!("{} ({place})", part.name);
    let material = part.item().text(&frame::plate::MATERIAL).ok();
    let printed = material.is_some_and(|material| material.starts_with("printed"));
    let material = material.map_or(String::new(), |material| format!("{material}, "));
    let seen = "seen from above, nose up the sheet";
    one.note = format!("{material}{} mm thick; {seen}", quantity::decimal(thickness, 1));
    one.bores = bores;
    let said = sinks(&one.bores);
    one.warnings.splice(0..0, said);
    if printed {
        one.warnings.insert(
            0,
            "It is printed with its holes and sinks: lay the print on this to check it, and drill nothing."
                .to_owned(),
        );
    }
    one
}
