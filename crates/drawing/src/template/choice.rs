//! Which plates and patterns a template shows: those asked for, or what the next work at the bench needs.
//!
//! Without a choice: every plate of frame and adapters, every other that is to be drilled anew, every pattern something is
//! seated on that is in none of these, and in words what is wanted and cannot be drawn. `PLACE` means all plates and patterns of the part there, `PLACE/NAME` one of them.

use super::known;
use super::layers::{self, Layered};
use super::pending::{Pending, add, add_base, concerns};
use super::stencil::{Stencil, of_pattern, of_plate, plate_of};
use super::webs;
use crate::left_out::{is_drilled, lacks};
use craft::schema::{frame, shape};
use craft::{Anchor, Craft, PlaceId};
use proof::{CraftSolid, KnownHoles, Proof, Proved, known_holes, plate_row};
use quantity::near_name;
use std::collections::HashSet;
use thiserror::Error;

/// Why there is no template.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum TemplateFault {
    /// A place that the craft does not have.
    #[error("there is no place {asked:?} in {craft:?}{}", hint(near))]
    NoPlace {
        /// What was asked for.
        asked: String,
        /// The craft.
        craft: String,
        /// What may have been meant.
        near: Option<String>,
    },
    /// A plate or pattern that the part does not have.
    #[error("{part:?} at {place:?} has no plate or pattern {asked:?}; it has {}", listed(has))]
    NoSuch {
        /// The part.
        part: String,
        /// Its place.
        place: String,
        /// What was asked for.
        asked: String,
        /// What there is.
        has: Vec<String>,
    },
    /// A part without anything flat to drill.
    #[error("{part:?} at {place:?} has no plate and no hole pattern to make a template of; {mend}")]
    NothingFlat {
        /// The part.
        part: String,
        /// Its place.
        place: String,
        /// What to do.
        mend: String,
    },
    /// A plate that could not be built.
    #[error("{what}: {why}")]
    Unbuilt {
        /// Which plate.
        what: String,
        /// What is wrong or missing.
        why: String,
    },
    /// A craft that uses no pattern and has nothing to drill.
    #[error(
        "{craft:?} uses no hole pattern and has no plate to be drilled; choose one with PLACE or PLACE/NAME"
    )]
    Nothing {
        /// The craft.
        craft: String,
    },
    /// More paper than is reasonable.
    #[error(
        "{what} is {width:.0} × {height:.0} mm: at 1 : 1 that takes {sheets} sheets of A4, at most {most} are made; choose a smaller part of it, or have it cut from the sheet"
    )]
    TooLarge {
        /// Which plate.
        what: String,
        /// Its width in mm.
        width: f64,
        /// Its height in mm.
        height: f64,
        /// Sheets it would take.
        sheets: usize,
        /// The most that are made.
        most: usize,
    },
}

fn hint(near: &Option<String>) -> String {
    near.as_ref().map_or(String::new(), |near| format!("; did you mean {near:?}?"))
}

fn listed(names: &[String]) -> String {
    if names.is_empty() { "none with a name".to_owned() } else { names.join(", ") }
}

/// The stencils of a template.
pub(crate) fn stencils(
    craft: &Craft,
    proved: &Proved,
    of: Option<&str>,
) -> Result<Vec<Stencil>, TemplateFault> {
    let proof = Proof::new(craft);
    let pending = Pending::of(&proof, craft, proved);
    let known = known_holes(&proof);
    match of {
        Some(of) => chosen(&proof, proved, &known, &pending, of),
        None => usual(&proof, proved, &known, &pending),
    }
}

/// What stands at an arm or a cage plate without the holes that hold it.
const HELD: &str = "No hole is entered that holds it to the frame: take those from the plate it is screwed to, or enter them.";

fn stencil(
    proof: &Proof,
    known: &KnownHoles,
    pending: &Pending,
    number: usize,
    solid: &CraftSolid,
) -> Option<Stencil> {
    let (row, prism) = plate_of(proof, solid)?;
    let part = proof.part_of(solid.place)?;
    let place = proof.craft.places.get(solid.place)?.id.as_str();
    let mut made = match layers::of(proof, solid) {
        Layered::Plain => of_plate(part, place, prism, row.as_ref()),
        Layered::First(layers) => layers::as_one(part, place, layers),
        // Drawn with the first.
        Layered::Later => return None,
    };
    let name = row.as_ref().and_then(|row| row.name());
    let listed = made.bores.len();
    known::add(known, number, &mut made);
    let holds = row.as_ref().and_then(|row| row.text(&frame::plate::ROLE).ok());
    if made.bores.is_empty() {
        made.warnings.push("No holes are entered for it.".to_owned());
    } else if listed == 0 && !known.joins(number) && holds.is_some_and(|role| ["arm", "cage"].contains(&role))
    {
        made.warnings.push(HELD.to_owned());
    }
    for board in pending.boards.iter().filter(|board| concerns(proof, board, solid, name)) {
        add(proof, board, solid, &mut made);
    }
    for print in &pending.prints {
        add_base(proof, print, solid, prism, &mut made);
    }
    known::add_undrawn(known, number, &mut made);
    webs::of_known(&mut made);
    let open = made.bores.iter().enumerate().filter(|(_, bore)| bore.diameter.is_none());
    let open: Vec<usize> = open.map(|(n, _)| n + 1).collect();
    if !open.is_empty() {
        let holes = if open.len() == 1 { "hole" } else { "holes" };
        made.warnings.push(format!(
            "The diameter of {holes} {} is not known, since no screw is entered: only the middle is marked.",
            numbers(&open)
        ));
    }
    Some(made)
}

/// Numbers in a row: `1, 5 to 24`.
pub(super) fn numbers(of: &[usize]) -> String {
    let mut runs: Vec<[usize; 2]> = Vec::new();
    for &number in of {
        match runs.last_mut() {
            Some(run) if run[1] + 1 == number => run[1] = number,
            _ => runs.push([number, number]),
        }
    }
    let told = runs.iter().map(|[from, to]| match to - from {
        0 => from.to_string(),
        1 => format!("{from}, {to}"),
        _ => format!("{from} to {to}"),
    });
    told.collect::<Vec<_>>().join(", ")
}

fn usual(
    proof: &Proof,
    proved: &Proved,
    known: &KnownHoles,
    pending: &Pending,
) -> Result<Vec<Stencil>, TemplateFault> {
    let mut made: Vec<Stencil> = Vec::new();
    let mut drawn: HashSet<(usize, String)> = HashSet::new();
    for (number, solid) in proved.solids.iter().enumerate() {
        let plate = is_drilled(proof, solid.place);
        if let Some(stencil) = stencil(proof, known, pending, number, solid)
            && (plate || stencil.bores.iter().any(|bore| bore.new))
        {
            let of_part = proof.part_of(solid.place).into_iter();
            match layers::of(proof, solid) {
                // All its layers in one.
                Layered::First(_) => drawn.extend(
                    of_part
                        .flat_map(|part| part.rows(&frame::plate::TABLE))
                        .filter_map(|row| Some((solid.place, row.name()?.to_owned()))),
                ),
                _ => {
                    let row = plate_row(proof.craft, solid);
                    drawn.extend(row.and_then(|row| Some((solid.place, row.name()?.to_owned()))));
                }
            }
            made.push(stencil);
        }
    }
    let is_drawn = |under: &PlaceId, plate: Option<&str>| {
        let key = proof.number_of(under).zip(plate.map(str::to_owned));
        key.is_some_and(|key| drawn.contains(&key))
    };
    let mut seen: HashSet<(&PlaceId, &str)> = HashSet::new();
    for place in &proof.craft.places {
        let Some(Anchor::Feature(under, feature)) = &place.on else { continue };
        let Some(holder) = proof.placed_at(under) else { continue };
        if let Some(row) = holder.part.row_named(&shape::pattern::TABLE, feature)
            && seen.insert((under, feature))
            && !is_drawn(under, row.text(&shape::pattern::PLATE).ok())
        {
            made.extend(of_pattern(holder.part, under.as_str(), &row));
        }
    }
    made.extend(not_drawn(proof, known, None));
    if made.is_empty() {
        return Err(TemplateFault::Nothing { craft: proof.craft.name.clone() });
    }
    Ok(made)
}

/// What is wanted and cannot be drawn, of one place or of all: plates that are not built, holes nobody placed.
fn not_drawn(proof: &Proof, known: &KnownHoles, of: Option<usize>) -> Option<Stencil> {
    let here = |place: usize| of.is_none_or(|of| of == place);
    let drilled = |place: usize| here(place) && is_drilled(proof, place);
    let unbuilt = proof.inputs().unbuilt.iter().filter(|unbuilt| drilled(unbuilt.place));
    let unbuilt = unbuilt.map(|unbuilt| format!("{}: {}.", unbuilt.what, lacks(unbuilt)));
    let open = known.open.iter().filter(|(place, _)| here(*place)).map(|(_, words)| format!("{words}."));
    let words: Vec<String> = unbuilt.chain(open).collect();
    (!words.is_empty()).then(|| Stencil::of_words("Not drawn on this template".to_owned(), words))
}

fn chosen(
    proof: &Proof,
    proved: &Proved,
    known: &KnownHoles,
    pending: &Pending,
    of: &str,
) -> Result<Vec<Stencil>, TemplateFault> {
    let (place, name) = match of.split_once('/') {
        Some((place, name)) => (place.trim(), Some(name.trim())),
        None => (of.trim(), None),
    };
    let number = PlaceId::new(place).ok().and_then(|id| proof.number_of(&id)).ok_or_else(|| {
        let near = near_name(place, proof.craft.places.iter().map(|known| known.id.as_str()));
        TemplateFault::NoPlace {
            asked: place.to_owned(),
            craft: proof.craft.name.clone(),
            near: near.map(str::to_owned),
        }
    })?;
    let part = proof.part_of(number).ok_or_else(|| TemplateFault::NothingFlat {
        part: String::new(),
        place: place.to_owned(),
        mend: "choose a part for the place".to_owned(),
    })?;
    let mut has: Vec<String> = Vec::new();
    let mut made: Vec<Stencil> = Vec::new();
    for (n, solid) in proved.solids.iter().enumerate().filter(|(_, solid)| solid.place == number) {
        let Some((row, _)) = plate_of(proof, solid) else { continue };
        let called = row.as_ref().and_then(|row| row.name());
        has.extend(called.map(str::to_owned));
        if name.is_none() || name == called {
            made.extend(stencil(proof, known, pending, n, solid));
        }
    }
    for row in part.rows(&shape::pattern::TABLE) {
        has.extend(row.name().map(str::to_owned));
        if name.is_none() || name == row.name() {
            made.extend(of_pattern(part, place, &row));
        }
    }
    if !made.is_empty() {
        if name.is_none() {
            made.extend(not_drawn(proof, known, Some(number)));
        }
        return Ok(made);
    }
    let is_it = |what: &str| name.is_none_or(|name| what.contains(name));
    if let Some(unbuilt) = proof.inputs().unbuilt.iter().find(|u| u.place == number && is_it(&u.what)) {
        let why = lacks(unbuilt);
        return Err(TemplateFault::Unbuilt { what: unbuilt.what.clone(), why });
    }
    let (part, place) = (part.name.clone(), place.to_owned());
    Err(match name {
        Some(name) => TemplateFault::NoSuch { part, place, asked: name.to_owned(), has },
        None => TemplateFault::NothingFlat {
            part,
            place,
            mend: "enter the outline of its plates or its hole pattern".to_owned(),
        },
    })
}
