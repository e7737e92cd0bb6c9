//! A hole pattern with the facts it rests on, and the float it has left on another.

use crate::{Placed, Proof};
use craft::schema::{PartKind, shape};
use craft::{Item, Missing};
use fit::{HolePattern, Meeting, MountHole, PlanePoint, Thread};
use quantity::{Linear, Millimetres};

/// A pattern with the facts its size rests on.
pub(crate) struct Known {
    pub(crate) holes: HolePattern,
    /// Facts of pitch and hole diameter, where the pattern is a plain square.
    pub(crate) pitch: Option<Linear>,
    pub(crate) diameter: Linear,
    /// What a person calls it.
    pub(crate) words: String,
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
    let Some(points) = crate::inputs::pattern_holes(row) else {
        return Err(pitch.err().into_iter().collect());
    };
    let middle = |field| row.read(field).map_or(0.0, |at: craft::Reading<Millimetres>| at.value.get());
    let (x, y, side) = match seen {
        Seen::FromOrigin => (middle(&shape::X), middle(&shape::Y), 1.0),
        // Seen from below, left is right.
        Seen::FromSeat if row.text(&shape::pattern::FACE) == Ok("lower") => (0.0, 0.0, -1.0),
        Seen::FromSeat => (0.0, 0.0, 1.0),
    };
    let holes = points
        .into_iter()
        .map(|[u, v]| {
            let at = PlanePoint::new(x + u, (y + v) * side);
            MountHole { at, slot_to: None, diameter: diameter.value }
        })
        .collect();
    let square = !listed_holes && row.read(&shape::pattern::PITCH_ACROSS).is_err();
    let words = match &pitch {
        Ok(pitch) if square => format!("{0} × {0}", pitch.value.get()),
        _ => row.name().unwrap_or("pattern").to_owned(),
    };
    Ok(Known {
        holes: HolePattern { holes },
        pitch: pitch.ok().filter(|_| square).map(|pitch| proof.lean(&pitch)),
        diameter: proof.lean(&diameter),
        words,
    })
}

/// The screw that holds the board: the one placed on the same seat, else what either pattern says.
pub(crate) fn screw(proof: &Proof, placed: Placed, rows: [&Item<'_>; 2]) -> Option<Thread> {
    let on = placed.place.on.as_ref();
    let set = on.and_then(|on| proof.seated_on(on).find(|screw| screw.part.kind == PartKind::Screw));
    let said = set.and_then(|screw| screw.part.item().text(&craft::schema::fixing::THREAD).ok());
    let said = said.or_else(|| rows.into_iter().find_map(|row| row.text(&shape::pattern::SCREW).ok()))?;
    Thread::named(said)
}

/// Float left, leaning on the facts: for two squares the holes miss by half the pitches' difference times √2;
/// `sign` is -1 where the board's pitch is the larger.
pub(crate) fn float_left(meeting: &Meeting, board: &Known, under: &Known, sign: f64) -> Linear {
    let mut left = Linear::exact(meeting.float_left.get());
    left = &left
        + &Linear {
            value: 0.0,
            slopes: board.diameter.slopes.iter().map(|(fact, s)| (*fact, s * 0.5)).collect(),
        };
    left = &left
        + &Linear {
            value: 0.0,
            slopes: under.diameter.slopes.iter().map(|(fact, s)| (*fact, s * 0.5)).collect(),
        };
    if let (Some(a), Some(b)) = (&board.pitch, &under.pitch) {
        let share = sign * std::f64::consts::SQRT_2 / 2.0;
        let slopes = |of: &Linear, times: f64| Linear {
            value: 0.0,
            slopes: of.slopes.iter().map(|(fact, s)| (*fact, s * times)).collect(),
        };
        left = &left + &slopes(a, share);
        left = &left + &slopes(b, -share);
    }
    left
}
