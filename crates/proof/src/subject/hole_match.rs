//! A hole pattern with the facts it rests on, and how much float it has left on another.
//!
//! Two holes of a pair may be f = (D_board + D_frame)/2 − d apart, d the screw. With dᵢ how far the pair i is apart once
//! the board lies where all fit best, every two pairs i, j ask of every direction n in the plane
//!
//! ```text
//! f − n·(dᵢ − dⱼ)/2 ≥ 0
//! ```
//!
//! since a shift that brings i nearer takes j away. For two squares the diagonals decide: f − |Δpitch|·√2/2. Each line leans
//! on the facts of its four holes and both diameters; together, least of all, they say how sure it is that the
//! screws pass, also where the holes are alike on paper and may differ either way. A turn common to all holes is
//! taken out by least squares, since a board turns in its float.
//!
//! Left out: three pairs that hold each other where no two do. The misfit is then larger by up to 2/√3; the value told
//! is the exact one of `fit::meet`, so only how it follows the facts is a little off.

use crate::inputs::leaning_holes;
use crate::numbers::rounded;
use crate::{Placed, Proof};
use craft::schema::{PartKind, shape};
use craft::{Item, Missing};
use fit::{HolePattern, Meeting, MountHole, PlanePoint, Thread};
use quantity::{Linear, Millimetres};
use std::f64::consts::TAU;

/// A pattern with the facts its size rests on.
pub(crate) struct Known {
    pub(crate) holes: HolePattern,
    /// The same holes, each coordinate leaning on its facts.
    at: Vec<[Linear; 2]>,
    diameter: Linear,
    /// What a person calls it.
    pub(crate) words: String,
}

impl Known {
    /// Its words with the word for holes: `20 × 20 holes`, `4 holes over 20 × 16`.
    pub(crate) fn as_holes(&self) -> String {
        if self.words.contains("hole") { self.words.clone() } else { format!("{} holes", self.words) }
    }
}

/// Which way a pattern is looked at.
#[derive(Clone, Copy)]
pub(crate) enum Seen {
    /// A board's own, from the board's origin.
    FromOrigin,
    /// What a board is seated on, from its middle and from the side things are mounted on.
    FromSeat,
}

/// The pattern of a row, or what is missing of it.
pub(crate) fn known(proof: &Proof, row: &Item<'_>, seen: Seen) -> Result<Known, Vec<Missing>> {
    let diameter = row.read(&shape::pattern::HOLE).map_err(|missing| vec![missing])?;
    let listed_holes = row.points(&shape::pattern::HOLES).is_ok();
    let pitch = row.read(&shape::pattern::PITCH);
    let Some(points) = leaning_holes(proof, row) else {
        return Err(pitch.err().into_iter().collect());
    };
    let middle = |field| row.read(field).map_or(0.0, |at: craft::Reading<Millimetres>| at.value.get());
    let (x, y, side) = match seen {
        Seen::FromOrigin => (middle(&shape::X), middle(&shape::Y), 1.0),
        // Seen from below, left is right.
        Seen::FromSeat if row.text(&shape::pattern::FACE) == Ok("lower") => (0.0, 0.0, -1.0),
        Seen::FromSeat => (0.0, 0.0, 1.0),
    };
    let at: Vec<[Linear; 2]> = points.into_iter().map(|[u, v]| [&u + x, (&v + y) * side]).collect();
    let holes: Vec<MountHole> = at
        .iter()
        .map(|[x, y]| {
            let at = PlanePoint::new(x.value, y.value);
            MountHole { at, slot_to: None, diameter: diameter.value }
        })
        .collect();
    let words = match (&pitch, row.read(&shape::pattern::PITCH_ACROSS)) {
        _ if listed_holes => {
            format!("{}, {}", row.name().unwrap_or("pattern"), spread(&holes))
        }
        (Ok(pitch), Err(_)) => format!("{0} × {0}", pitch.value.get()),
        (Ok(pitch), Ok(across)) => format!("{} × {}", pitch.value.get(), across.value.get()),
        _ => row.name().unwrap_or("pattern").to_owned(),
    };
    Ok(Known { holes: HolePattern { holes }, at, diameter: proof.lean(&diameter), words })
}

/// Holes that are listed one by one, by how far they reach: `4 holes over 20 × 16`.
fn spread(holes: &[MountHole]) -> String {
    let over = |of: fn(&PlanePoint) -> f64| {
        let all = || holes.iter().map(|hole| of(&hole.at));
        all().fold(f64::NEG_INFINITY, f64::max) - all().fold(f64::INFINITY, f64::min)
    };
    match holes.len() {
        0 | 1 => "its hole".to_owned(),
        count => format!("{count} holes over {} × {}", rounded(over(|p| p.x), 1), rounded(over(|p| p.y), 1)),
    }
}

/// The screw that holds the board: the one placed on the same seat, else what either pattern says.
pub(crate) fn screw(proof: &Proof, placed: Placed, rows: [&Item<'_>; 2]) -> Option<Thread> {
    let on = placed.place.on.as_ref();
    let set = on.and_then(|on| proof.seated_on(on).find(|screw| screw.part.kind == PartKind::Screw));
    let said = set.and_then(|screw| screw.part.item().text(&craft::schema::fixing::THREAD).ok());
    let said = said.or_else(|| rows.into_iter().find_map(|row| row.text(&shape::pattern::SCREW).ok()))?;
    Thread::named(said)
}

/// Into how many directions the plane is parted: what two of them miss of a misfit between is 2 %.
const DIRECTIONS: usize = 16;

/// What the float must allow, line by line, each with the facts it leans on: the screws pass where all are at
/// least nought. The first is the worst.
pub(crate) fn float_left(meeting: &Meeting, board: &Known, under: &Known) -> Vec<Linear> {
    let holes = matched(meeting, board, under);
    let apart = less_common_turn(&holes);
    let mut misfits: Vec<Linear> = Vec::new();
    for (i, one) in holes.iter().enumerate() {
        for (j, other) in holes.iter().enumerate().skip(i + 1) {
            let between = [0, 1].map(|axis| (&apart[i][axis] - &apart[j][axis]) * 0.5);
            for n in directions(&between, one.at, other.at) {
                let misfit = &(&between[0] * n[0]) + &(&between[1] * n[1]);
                if !misfits.iter().any(|known| implies(known, &misfit)) {
                    misfits.retain(|known| !implies(&misfit, known));
                    misfits.push(misfit);
                }
            }
        }
    }
    misfits.sort_by(|a, b| b.value.total_cmp(&a.value));
    let float = &(&board.diameter * 0.5) + &(&under.diameter * 0.5);
    // The exact answer holds; the lines say how it moves.
    let worst = misfits.first().map_or(0.0, |misfit| misfit.value);
    let exact = meeting.float_left.get() + worst - float.value;
    misfits.iter().map(|misfit| &(&float - misfit) + exact).collect()
}

/// A matched pair of holes in the plane of what lies under: where, and how far the board's is off the other.
struct Matched {
    at: [f64; 2],
    off: [Linear; 2],
}

fn matched(meeting: &Meeting, board: &Known, under: &Known) -> Vec<Matched> {
    let (sin, cos) = meeting.turn.get().to_radians().sin_cos();
    let side = if meeting.flipped { -1.0 } else { 1.0 };
    let shift = [meeting.shift.x, meeting.shift.y];
    let pairs = meeting.matched.iter().filter_map(|(b, f)| Some((board.at.get(*b)?, under.at.get(*f)?)));
    pairs
        .map(|([x, y], under)| {
            let y = y * side;
            let laid = [&(x * cos) - &(&y * sin), &(x * sin) + &(&y * cos)];
            let off = [0, 1].map(|axis| &(&laid[axis] + shift[axis]) - &under[axis]);
            Matched { at: under.each_ref().map(|along| along.value), off }
        })
        .collect()
}

/// How far the pairs are apart once the board is turned so that the squares of it are least, to first order:
/// turned by φ = Σ r × d / Σ r², r from the middle of the holes.
fn less_common_turn(holes: &[Matched]) -> Vec<[Linear; 2]> {
    let count = holes.len().max(1) as f64;
    let middle = [0, 1].map(|axis| holes.iter().map(|hole| hole.at[axis]).sum::<f64>() / count);
    let from_middle = |hole: &Matched| [hole.at[0] - middle[0], hole.at[1] - middle[1]];
    let reach: f64 = holes.iter().map(from_middle).map(|[x, y]| x * x + y * y).sum();
    let mut turn = Linear::exact(0.0);
    for hole in holes {
        let [x, y] = from_middle(hole).map(|r| r / reach.max(1e-9));
        turn = &(&turn + &(&hole.off[1] * x)) - &(&hole.off[0] * y);
    }
    // The value was trimmed by `fit` already: only how it moves is meant.
    turn.value = 0.0;
    let turned = |hole: &Matched| {
        let [x, y] = from_middle(hole);
        [&hole.off[0] + &(&turn * y), &hole.off[1] - &(&turn * x)]
    };
    holes.iter().map(turned).collect()
}

/// Directions to ask: round the circle, along the two holes both ways, and along what they are apart.
fn directions(between: &[Linear; 2], one: [f64; 2], other: [f64; 2]) -> impl Iterator<Item = [f64; 2]> {
    let round = (0..DIRECTIONS).map(|k| {
        let (sin, cos) = (TAU * k as f64 / DIRECTIONS as f64).sin_cos();
        [cos, sin]
    });
    let along = unit([one[0] - other[0], one[1] - other[1]]);
    let now = unit(between.each_ref().map(|along| along.value));
    round.chain(along).chain(along.map(|[x, y]| [-x, -y])).chain(now)
}

fn unit([x, y]: [f64; 2]) -> Option<[f64; 2]> {
    let length = x.hypot(y);
    (length > 1e-9).then(|| [x / length, y / length])
}

/// Whether a misfit is some share of another, from nought to the whole: then it holds wherever the other does.
fn implies(whole: &Linear, part: &Linear) -> bool {
    let numbers =
        |of: &Linear| of.slopes.iter().map(|(_, slope)| slope * slope).sum::<f64>() + of.value * of.value;
    let dot = whole.value * part.value
        + part.slopes.iter().map(|(fact, slope)| slope * whole.slope_on(*fact)).sum::<f64>();
    let (size, other) = (numbers(whole), numbers(part));
    if other < 1e-18 {
        return true;
    }
    // Like directions of both lists of numbers, and no longer.
    dot > 0.0 && dot * dot >= size * other * (1.0 - 1e-9) && other <= size * (1.0 + 1e-9)
}

#[cfg(test)]
#[path = "hole_match_tests.rs"]
mod tests;
