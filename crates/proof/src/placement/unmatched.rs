//! Boards whose holes no pattern of the craft takes, in no turn and on neither side: no search can seat them, an adapter can.
//!
//! Held against each pattern of everything that stays below the board: plates, prints, adapters, other boards. What stands on the
//! board itself does not count.

use super::conflict::Conflict;
use super::deck::holes;
use super::unit::{Sort, sort_of};
use crate::subject::hole_match::{Known, Seen, known, screw};
use crate::{Placed, Proof};
use craft::schema::shape;
use craft::{Anchor, Item, PlaceId};
use fit::meet;

/// A board whose holes no pattern of the craft takes; or, where nothing else serves, those of its own seat do not.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unmatched {
    /// Its place.
    pub place: PlaceId,
    /// What a person calls it.
    pub called: String,
    /// Its holes: `25.5 × 25.5`.
    pub holes: String,
    /// The pattern it is seated on: `rear 20 of Brambling frame`.
    pub seat: String,
    /// The holes there.
    pub seat_holes: String,
    /// The same in a sentence.
    pub words: String,
}

impl Unmatched {
    /// The two things that cannot both be had.
    pub(crate) fn conflict(&self) -> Conflict {
        Conflict {
            one: format!("{} with holes {}", self.called, self.holes),
            other: format!("{} with holes {}", self.seat, self.seat_holes),
            why: self.words.clone(),
        }
    }
}

/// The boards among these places whose holes no pattern takes.
pub(crate) fn unmatched(proof: &Proof, places: &[usize]) -> Vec<Unmatched> {
    let boards = places.iter().filter(|number| sort_of(proof, **number) == Some(Sort::Board));
    boards.filter_map(|number| of_board(proof, *number)).collect()
}

/// The boards among these places whose holes do not meet those they are seated on, though another pattern takes them.
pub(crate) fn unmatched_seat(proof: &Proof, places: &[usize]) -> Vec<Unmatched> {
    let boards = places.iter().filter(|number| sort_of(proof, **number) == Some(Sort::Board));
    boards.filter_map(|number| held_against(proof, *number, Against::ItsSeat)).collect()
}

/// What a board is held against.
#[derive(Clone, Copy, PartialEq)]
enum Against {
    /// Every pattern of the craft below it.
    Everything,
    /// The pattern it is seated on.
    ItsSeat,
}

fn of_board(proof: &Proof, number: usize) -> Option<Unmatched> {
    held_against(proof, number, Against::Everything)
}

fn held_against(proof: &Proof, number: usize, against: Against) -> Option<Unmatched> {
    let placed = proof.placed_number(number)?;
    let Some(Anchor::Feature(under, feature)) = &placed.place.on else { return None };
    let holder = proof.placed_at(under)?;
    let seat = holder.part.row_named(&shape::pattern::TABLE, feature)?;
    let seat_known = known(proof, &seat, Seen::FromSeat).ok()?;
    let mut own: Option<Known> = None;
    for row in placed.part.rows(&shape::pattern::TABLE) {
        // Without its screw or a size nobody can say that it does not fit.
        let thread = screw(proof, placed, [&row, &seat])?;
        let board = known(proof, &row, Seen::FromOrigin).ok()?;
        let takes = |row: &Item<'_>| {
            holes(row).is_some_and(|under| {
                let least = board.holes.holes.len().min(under.holes.len()).clamp(2, 4);
                let met = meet(&board.holes, &under, thread.diameter).unwrap_or_default();
                met.iter().any(|met| met.fits() && met.matched.len() >= least)
            })
        };
        let taken = match against {
            Against::ItsSeat => takes(&seat),
            Against::Everything => proof
                .placed()
                .filter(|other| !stands_on(proof, *other, &placed.place.id))
                .any(|other| other.part.rows(&shape::pattern::TABLE).any(|row| takes(&row))),
        };
        if taken {
            return None;
        }
        own.get_or_insert(board);
    }
    let (own, part) = (own?, placed.part);
    let (called, seat) =
        (format!("{} ({})", part.name, placed.place.id), format!("{feature} of {}", holder.part.name));
    let taken_by = match against {
        Against::Everything => "no hole pattern of this craft takes them in any turn",
        Against::ItsSeat => "those of its seat do not take them in any turn",
    };
    let words = format!(
        "The holes of {called} are {}, and {taken_by}: {seat}, where it is seated, has {}",
        own.words, seat_known.words
    );
    let place = placed.place.id.clone();
    Some(Unmatched { place, called, holes: own.words, seat, seat_holes: seat_known.words, words })
}

/// Whether something is a board, or stands on it.
fn stands_on(proof: &Proof, placed: Placed, board: &PlaceId) -> bool {
    let mut at = Some(placed);
    for _ in 0..craft::limits::SEATS_DEEP_MAX {
        let Some(here) = at else { return false };
        if here.place.id == *board {
            return true;
        }
        at = here.place.on.as_ref().and_then(Anchor::place).and_then(|under| proof.placed_at(under));
    }
    false
}
