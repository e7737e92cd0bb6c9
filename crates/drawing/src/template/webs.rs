//! What holes leave of a plate: a web too narrow breaks out, and the builder is told in words which one, and by how much.

use super::known::capital;
use super::stencil::{Bore, Stencil};
use fit::{Drilled, web_between, web_to_ring};
use quantity::decimal;

/// By how much a web may be short and read as what is wanted, in mm: words tell tenths, and outlines of prints are rounded.
const ROUNDED: f64 = 0.05;

/// The narrowest web of one hole.
struct Narrow {
    hole: usize,
    /// In mm; negative where it runs into what lies beside it.
    web: f64,
    /// To what, in words.
    to: String,
    /// The other hole, where it is one.
    other: Option<usize>,
}

impl Narrow {
    fn leaves(&self) -> String {
        match self.web <= 0.0 {
            true => format!("runs into {}", self.to),
            false => format!("leaves {} mm to {}", decimal(self.web, 1), self.to),
        }
    }
}

/// A hole by its number and where it lies: `hole 3 (front left of stack 20, M2)`.
fn called(stencil: &Stencil, number: usize) -> String {
    let bore = &stencil.bores[number];
    match stencil.where_in_set(bore) {
        at if at.is_empty() => format!("hole {} ({})", number + 1, bore.what),
        at => format!("hole {} ({at} of {})", number + 1, bore.what),
    }
}

/// Says of holes that are still to be drilled, from this one on, what they leave too little of.
pub(crate) fn of_new(stencil: &mut Stencil, first: usize) {
    let narrow = (first..stencil.bores.len()).filter_map(|hole| narrowest(stencil, hole));
    let words = narrow.map(|narrow| {
        format!(
            "Hole {} {}: take an adapter plate instead, or another seat.",
            narrow.hole + 1,
            narrow.leaves()
        )
    });
    let words: Vec<String> = words.collect();
    stencil.warnings.extend(words);
}

/// Says of the holes that are known what they leave too little of, each web once.
pub(crate) fn of_known(stencil: &mut Stencil) {
    let holes = (0..stencil.bores.len()).filter(|n| !stencil.bores[*n].new);
    let mut found: Vec<Narrow> = Vec::new();
    for narrow in holes.filter_map(|hole| narrowest(stencil, hole)) {
        let told = |known: &Narrow| known.other == Some(narrow.hole) && narrow.other == Some(known.hole);
        if !found.iter().any(told) {
            found.push(narrow);
        }
    }
    if found.is_empty() {
        return;
    }
    let told: Vec<String> =
        found.iter().map(|narrow| format!("{} {}", called(stencil, narrow.hole), narrow.leaves())).collect();
    let web = stencil.web;
    stencil.warnings.push(format!(
        "Thin web: {}. {} wants {} mm at least, or it breaks out there: measure both again, then move the hole or take a wider plate.",
        told.join("; "),
        capital(web.of),
        web.least
    ));
}

/// The narrowest web of a hole whose width is known, if it is too narrow.
fn narrowest(stencil: &Stencil, hole: usize) -> Option<Narrow> {
    let bore = &stencil.bores[hole];
    bore.diameter?;
    let drilled = |bore: &Bore| Drilled { ends: [bore.at, bore.to.unwrap_or(bore.at)], half: bore.widest() };
    let own = drilled(bore);
    let mut found: Vec<Narrow> = Vec::new();
    let mut add = |web: f64, to: String, other: Option<usize>| {
        if web < stencil.web.least - ROUNDED {
            found.push(Narrow { hole, web, to, other });
        }
    };
    if !stencil.outer.is_empty() {
        add(web_to_ring(&own, &stencil.outer, true), "the edge".to_owned(), None);
    }
    for window in &stencil.windows {
        add(web_to_ring(&own, window, false), "a window".to_owned(), None);
    }
    for (number, other) in stencil.bores.iter().enumerate().filter(|(number, _)| *number != hole) {
        add(web_between(&own, &drilled(other)), called(stencil, number), Some(number));
    }
    found.into_iter().min_by(|a, b| a.web.total_cmp(&b.web))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plate(bores: &[(f64, f64, &str)]) -> Stencil {
        let mut stencil = Stencil::of_words("plate".to_owned(), Vec::new());
        stencil.outer = vec![[-20.0, -7.0], [20.0, -7.0], [20.0, 7.0], [-20.0, 7.0]];
        let bore = |(x, y, what): &(f64, f64, &str)| Bore {
            at: [*x, *y],
            to: None,
            diameter: Some(2.4),
            what: (*what).to_owned(),
            new: false,
            sink: None,
        };
        stencil.bores = bores.iter().map(bore).collect();
        of_known(&mut stencil);
        stencil
    }

    #[test]
    fn a_web_that_is_too_thin_is_told_by_where_its_hole_lies() {
        let told = plate(&[
            (6.0, 5.2, "motor, M2"),
            (6.0, -4.0, "motor, M2"),
            (-6.0, 4.0, "motor, M2"),
            (-6.0, -4.0, "motor, M2"),
        ]);
        assert_eq!(
            told.warnings,
            [
                "Thin web: hole 1 (front left of motor, M2) leaves 0.6 mm to the edge. A plate wants 1 mm at least, or it breaks out there: measure both again, then move the hole or take a wider plate."
            ]
        );
        assert!(plate(&[(0.0, 0.0, "hole"), (3.4, 0.0, "hole")]).warnings.is_empty());
        let near = plate(&[(0.0, 0.0, "hole"), (3.0, 0.0, "post")]);
        assert!(
            near.warnings[0].starts_with("Thin web: hole 1 (hole) leaves 0.6 mm to hole 2 (post). "),
            "{:?}",
            near.warnings
        );
        // A web that reads as the 1 mm that is wanted is none: 7 - 4.82 - 1.2 = 0.98.
        assert!(plate(&[(0.0, 4.82, "post")]).warnings.is_empty());
        assert!(!plate(&[(0.0, 4.9, "post")]).warnings.is_empty());
        assert!(plate(&[(0.0, 7.5, "post")]).warnings[0].contains("hole 1 (post) runs into the edge"));
    }
}
