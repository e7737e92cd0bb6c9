//! The search for placements asked apart from all that is told of it: for holding it to the slow way, and for timing both.

use super::puzzle::Puzzle;
use super::search::{self, Searched};
use super::{PlacementFault, named, puzzle_of, try_all, unit};
use crate::Proof;
use craft::{Craft, PlaceId};

/// Worst margins in micrometres and numbers of changes, and how many placements there are.
#[doc(hidden)]
pub type Told = (Vec<(i32, u32)>, f64);

/// The worst margins and changes of the best placements, by the search and by trying all: for holding one to the other.
#[doc(hidden)]
pub fn by_search_and_by_trying_all(
    craft: &Craft,
    only: &[PlaceId],
    keep: usize,
) -> Result<[Told; 2], PlacementFault> {
    let told = |found: Searched| {
        let best = found.best.iter().map(|found| (found.margin, found.changes)).collect();
        (best, found.choices)
    };
    let fast = with_puzzle(craft, only, |puzzle| search::search(puzzle, keep, &mut |_| true))?;
    let slow = with_puzzle(craft, only, |puzzle| try_all::try_all(puzzle, keep))?;
    Ok([told(fast), told(slow)])
}

/// One of the two, for measuring.
#[doc(hidden)]
pub fn searched_by(
    craft: &Craft,
    only: &[PlaceId],
    keep: usize,
    by_trying_all: bool,
) -> Result<f64, PlacementFault> {
    let found = with_puzzle(craft, only, |puzzle| match by_trying_all {
        true => try_all::try_all(puzzle, keep),
        false => search::search(puzzle, keep, &mut |_| true),
    })?;
    Ok(found.choices)
}

fn with_puzzle(
    craft: &Craft,
    only: &[PlaceId],
    ask: impl Fn(&Puzzle) -> Searched,
) -> Result<Searched, PlacementFault> {
    let proof = Proof::new(craft);
    let movable = unit::movable(&proof);
    let chosen = if only.is_empty() { movable } else { named(&proof, &movable, only)? };
    Ok(ask(&puzzle_of(&proof, &chosen)?))
}
