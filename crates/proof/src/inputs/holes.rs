//! Where the holes of a pattern are, and which facts they rest on.
//!
//! A square or oblong leans on its pitches: each hole lies half a pitch from the middle each way, so that all four
//! move together. Holes listed one by one are drilled one by one: each coordinate is a fact of its own, with the
//! doubt of a hole position on the basis the row states, *typical* where it states none.
//!
//! A pattern's turn is how it is meant, not measured: it carries no doubt.

use super::seats::linear;
use crate::engine::Proof;
use craft::schema::shape::pattern;
use craft::{Item, Reading};
use quantity::{Basis, Degrees, DoubtKind, FactPath, Linear, Millimetres};

/// The holes of a pattern row about its own middle, turned as it says; `None` where it says too little.
pub fn pattern_holes(row: &Item<'_>) -> Option<Vec<[f64; 2]>> {
    let holes: Vec<[f64; 2]> = match row.points(&pattern::HOLES) {
        Ok(points) => points.to_vec(),
        Err(_) => {
            let along = row.read(&pattern::PITCH).ok()?.value.get() / 2.0;
            let across = row.read(&pattern::PITCH_ACROSS).map_or(along, |pitch| pitch.value.get() / 2.0);
            CORNERS.map(|[x, y]| [x * along, y * across]).to_vec()
        }
    };
    let (sin, cos) = turned(row);
    Some(holes.into_iter().map(|[x, y]| [x * cos - y * sin, x * sin + y * cos]).collect())
}

/// The corners of a pattern, in the order its holes are counted.
const CORNERS: [[f64; 2]; 4] = [[1.0, 1.0], [-1.0, 1.0], [-1.0, -1.0], [1.0, -1.0]];

fn turned(row: &Item<'_>) -> (f64, f64) {
    row.read::<Degrees>(&pattern::TURNED).map_or(0.0, |turn| turn.value.get()).to_radians().sin_cos()
}

/// The same holes, each coordinate leaning on the facts it rests on.
pub(crate) fn leaning_holes(proof: &Proof, row: &Item<'_>) -> Option<Vec<[Linear; 2]>> {
    let holes: Vec<[Linear; 2]> = match row.points(&pattern::HOLES) {
        Ok(points) => {
            points.iter().enumerate().map(|(number, at)| listed_hole(proof, row, number, *at)).collect()
        }
        Err(_) => {
            let along = linear(proof, &row.read(&pattern::PITCH).ok()?) * 0.5;
            let across =
                row.read(&pattern::PITCH_ACROSS).map_or_else(|_| along.clone(), |p| linear(proof, &p) * 0.5);
            CORNERS.map(|[x, y]| [along.clone() * x, across.clone() * y]).to_vec()
        }
    };
    let (sin, cos) = turned(row);
    if sin == 0.0 && cos == 1.0 {
        return Some(holes);
    }
    let turn = |[x, y]: [Linear; 2]| [x.clone() * cos - y.clone() * sin, x * sin + y * cos];
    Some(holes.into_iter().map(turn).collect())
}

/// One hole of a list: two facts of its own.
fn listed_hole(proof: &Proof, row: &Item<'_>, number: usize, at: [f64; 2]) -> [Linear; 2] {
    let basis = match row.text(&pattern::HOLES_BASIS) {
        Ok(words) => Basis::ALL.into_iter().find(|basis| basis.words() == words).unwrap_or(Basis::Typical),
        Err(_) => Basis::Typical,
    };
    let stem = row.path_of(&pattern::HOLES.def).0;
    let [x, y] = [("x", at[0]), ("y", at[1])].map(|(axis, value)| {
        let kind = DoubtKind::HolePosition;
        linear(
            proof,
            &Reading {
                value: Millimetres::new(value),
                doubt: kind.default_doubt(basis, value),
                kind,
                basis,
                path: FactPath(format!("{stem}[{number}].{axis}")),
                label: format!("{axis} of hole {} of {}", number + 1, row.called),
            },
        )
    });
    [x, y]
}
