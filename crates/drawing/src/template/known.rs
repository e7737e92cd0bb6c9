//! Holes that the sheet knows without listing them, in the stencil of their plate: what `proof` found, as it is drilled.

use super::stencil::{Bore, Datum, Stencil};
use fit::from_line;
use proof::KnownHoles;

/// How far a hole that is listed may lie off one that is known from the thing it is for, and still be it, in mm.
const SAME: f64 = 0.3;

/// Adds what goes through one plate to its stencil. Where a hole is drawn or to be drilled there already, it is that one.
pub(crate) fn add(known: &KnownHoles, plate: usize, stencil: &mut Stencil) {
    for through in known.through.iter().filter(|through| through.solid == plate && !through.undrawn) {
        let near = |there: &&mut Bore| from_line(there.at, there.to.unwrap_or(there.at), through.at) < SAME;
        match stencil.bores.iter_mut().find(near) {
            Some(there) if there.what == "hole" => there.what.clone_from(&through.what),
            Some(there) => there.what = format!("{}; {}", there.what, through.what),
            None => stencil.bores.push(bore(through, false)),
        }
    }
    let notes = known.notes.iter().filter(|(number, _)| *number == plate);
    stencil.warnings.extend(notes.map(|(_, words)| words.clone()));
    let middle = known.middles.iter().find(|(number, ..)| *number == plate);
    stencil.measure_from(middle.map(|(_, at, what)| Datum { at: *at, what: what.clone(), edges: false }));
}

/// Adds the holes of screws that pass the plate where its drawing has none: to be drilled, unless something else wants a hole there.
pub(crate) fn add_undrawn(known: &KnownHoles, plate: usize, stencil: &mut Stencil) {
    let before = stencil.bores.len();
    for through in known.through.iter().filter(|through| through.solid == plate && through.undrawn) {
        let near = |there: &Bore| from_line(there.at, there.to.unwrap_or(there.at), through.at) < SAME;
        if !stencil.bores.iter().any(near) {
            stencil.bores.push(bore(through, true));
        }
    }
    super::webs::of_new(stencil, before);
}

fn bore(through: &proof::ThroughHole, new: bool) -> Bore {
    let what = if new { format!("drill for {}", through.what) } else { through.what.clone() };
    Bore { at: through.at, to: None, diameter: through.diameter, what, new, sink: None }
}

/// A sentence with its first letter as a capital.
pub(super) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}
