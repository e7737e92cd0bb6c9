//! Where the units of a craft would stand best: pattern, order in the stack, height, turn, side, mount.
//!
//! Searched are the boards and adapter plates on their hole patterns, cameras in their mounts, antennas in their holders:
//! those that broken or tight findings of the dry fit concern, or those that are named. What is tried for each: every
//! hole pattern of the craft that some turn makes meet, every such turn, either side, on top of one another in any order, the
//! heights of spacers and soft mounts at hand and of spacers in stock; for cameras every camera mount, for
//! antennas every antenna mount. A placement is as good as its worst margin; of equal ones the one with fewer changes is better.
//! The search is exact over these choices (see `search`), and says what its proof rests on.
//!
//! The best two dozen are then proved by every rule, with the doubt of every fact: what breaks a rule that the search does not
//! know, such as a screw that would be too short, comes last, unless a screw at hand mends it. If all of them break
//! one, the next are proved, some hundreds at most. So the proof of the best speaks of the worst margin; of two with
//! nearly the same margin all rules decide. Told is what is better than the craft as it stands, and what breaks less in all but something
//! that was whole, with what that is.
//!
//! Left out: where strapped and taped things go, and any place that is no choice but a distance.

mod arrange;
mod body;
mod bound;
mod conflict;
mod counts;
mod deck;
mod drilled;
mod edits;
mod fault;
mod judged;
mod measured;
mod measuring;
mod mended;
mod mover;
mod puzzle;
mod rewired;
mod same_stand;
mod search;
mod stand;
mod stays;
mod stock;
mod swap;
mod told;
mod tried;
mod try_all;
mod unit;
mod unmatched;

pub use bound::SearchBound;
pub use conflict::Conflict;
pub use counts::Counts;
pub use drilled::drilled;
pub use fault::PlacementFault;
pub use judged::Standing;
#[doc(hidden)]
pub use measuring::{Told, by_search_and_by_trying_all, searched_by};
pub use mended::{LeadAdvice, Mended, left_over};
pub use stock::{STOCK_SPACERS, STOCK_SPACERS_SOURCE, StockHeights};
pub use swap::Swap;
pub use unmatched::Unmatched;

use crate::{OutlineStore, Proof, Proved, Verdict, prove_again};
use bound::bound_of;
use craft::{Craft, Edit, PlaceId};
use judged::{Judge, ranked};
use puzzle::{NoPuzzle, Puzzle};
use quantity::near_name;
use std::cell::Cell;
use std::sync::Arc;
use tried::found_and_tried;

/// What is asked.
#[derive(Clone, Debug, Default)]
pub struct PlacementQuestion {
    /// The places whose units are searched; none leaves the choice to the findings.
    pub only: Vec<PlaceId>,
    /// How many placements are wanted; nought counts as [`BEST_USUAL`].
    pub best: usize,
}

/// Placements told when nobody says how many.
pub const BEST_USUAL: usize = 3;
/// Placements told at most.
pub const BEST_MAX: usize = 12;
/// How far a search has come.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Progress {
    /// The share done, from 0 to 1.
    pub share: f64,
    /// What is being done.
    pub doing: Doing,
}

/// What a search is doing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doing {
    /// Trying placements.
    Searching,
    /// Proving the best by every rule.
    Proving,
}

/// What came of a search.
#[derive(Clone, Debug)]
pub struct Placements {
    /// The places of the units that were searched.
    pub searched: Vec<PlaceId>,
    /// The places of all units that can be searched.
    pub movable: Vec<PlaceId>,
    /// Whether all units were searched because those concerned alone gave nothing sound.
    pub widened: bool,
    /// The craft as it stands.
    pub now: Standing,
    /// The best placements that differ, best first; each changes something.
    pub best: Vec<Placement>,
    /// Why nothing better was overlooked.
    pub bound: SearchBound,
    /// Which two things cannot both be had, where no placement is without fault.
    pub conflict: Option<Conflict>,
    /// Single parts at hand that mend what a rule names.
    pub swaps: Vec<Swap>,
    /// What is left to do where everything stays and these parts are put in.
    pub mended: Mended,
    /// Boards whose holes no pattern of the craft takes; where nothing serves, those whose own seat does not.
    pub unmatched: Vec<Unmatched>,
    /// What would serve beside an adapter, where holes do not meet and nothing else serves; see [`drilled`].
    pub instead: Option<String>,
}

/// One placement.
#[derive(Clone, Debug)]
pub struct Placement {
    /// The edits that make it, in order.
    pub edits: Vec<Edit>,
    /// What to do, a line each.
    pub steps: Vec<String>,
    /// What to do and what comes of it, in one sentence.
    pub reason: String,
    /// What comes of it.
    pub why: String,
    /// What to mind.
    pub notes: Vec<String>,
    /// How the craft then stands.
    pub then: Standing,
    /// Single parts at hand that mend what a rule still names then.
    pub swaps: Vec<Swap>,
    /// All findings by verdict once these parts are exchanged as well.
    pub then_swapped: Counts,
    /// What is left to do once these parts are exchanged as well.
    pub mended: Mended,
    /// How many things it changes.
    pub changes: u32,
    /// Whether it is better than the craft as it stands: it breaks nothing that was whole and makes nothing broken worse. One
    /// that is not is told where it breaks less in all, and the first note says what it breaks.
    pub is_better: bool,
}

impl Placements {
    /// Whether the dry fit of what was searched has a placement in which nothing is broken, or has it already.
    pub fn serves(&self) -> bool {
        self.now.verdict != Verdict::Broken || self.best.iter().any(|one| one.then.verdict != Verdict::Broken)
    }
}

/// Searches a craft for its best placements. `go_on` is told how far it has come and may end it by saying no; then
/// the best so far are given.
pub fn placements(
    craft: &Craft,
    question: &PlacementQuestion,
    outlines: &Arc<OutlineStore>,
    go_on: &dyn Fn(Progress) -> bool,
) -> Result<Placements, PlacementFault> {
    let most = Cell::new(0.0_f64);
    // A search that begins anew over more units does not fall back.
    let go_on: &dyn Fn(Progress) -> bool = &|progress| {
        most.set(most.get().max(progress.share));
        go_on(Progress { share: most.get(), ..progress })
    };
    let proof = Proof::with_outlines(craft, Arc::clone(outlines));
    let (movable, chosen) = chosen(&proof, question)?;
    let mut found = of_chosen(&proof, (&movable, &chosen), question.best, outlines, go_on)?;
    found.bound.unmet = !found.unmatched.is_empty();
    if found.bound.whole && !found.serves() {
        if found.unmatched.is_empty() {
            // Another pattern takes its holes and does not serve: an adapter on its own seat may.
            found.unmatched = unmatched::unmatched_seat(&proof, &in_question(&proof, &chosen));
        }
        let instead = |one| drilled(craft, one, outlines);
        found.instead = found.unmatched.first().and_then(instead);
    }
    Ok(found)
}

/// The search of what is named; where nothing is, of what findings concern, and then of everything.
fn of_chosen(
    proof: &Proof,
    (movable, chosen): (&[usize], &[usize]),
    best: usize,
    outlines: &Arc<OutlineStore>,
    go_on: &dyn Fn(Progress) -> bool,
) -> Result<Placements, PlacementFault> {
    let proved = prove_again(proof.craft, outlines);
    let search =
        |chosen: &[usize], widened| searched(proof, &proved, chosen, (best, widened), outlines, go_on);
    if !chosen.is_empty() {
        return search(chosen, false);
    }
    let concerned = unit::concerned(proof, movable, &proved.findings);
    if concerned.is_empty() || concerned.len() == movable.len() {
        return search(movable, false);
    }
    let first = search(&concerned, false)?;
    // With nothing to choose among those concerned, or nothing that serves, the others may make room.
    let fine = first.best.iter().any(|placement| placement.then.verdict != Verdict::Broken)
        || (first.now.verdict != Verdict::Broken && !first.searched.is_empty());
    if fine || !first.bound.whole {
        return Ok(first);
    }
    // If all together are too many, what could be searched stands.
    Ok(search(movable, true).unwrap_or(first))
}

/// Why a question cannot be searched at all, told at once: a place that is not there or stays, a craft in which nothing
/// moves. What only the search finds out, such as too many ways to stack, is told by [`placements`].
pub fn refused(
    craft: &Craft,
    question: &PlacementQuestion,
    outlines: &Arc<OutlineStore>,
) -> Result<(), PlacementFault> {
    chosen(&Proof::with_outlines(craft, Arc::clone(outlines)), question).map(drop)
}

/// The boards of a craft whose holes no pattern of it takes.
pub fn unmatched(craft: &Craft) -> Vec<Unmatched> {
    let proof = Proof::new(craft);
    unmatched::unmatched(&proof, &unit::movable(&proof))
}

/// The boards of a craft whose holes do not meet those they are seated on.
pub fn unmatched_seats(craft: &Craft) -> Vec<Unmatched> {
    let proof = Proof::new(craft);
    unmatched::unmatched_seat(&proof, &unit::movable(&proof))
}

/// The numbers of all places that can move, and of those that are named.
fn chosen(proof: &Proof, question: &PlacementQuestion) -> Result<(Vec<usize>, Vec<usize>), PlacementFault> {
    let movable = unit::movable(proof);
    if movable.is_empty() {
        return Err(PlacementFault::NothingMoves);
    }
    let chosen = named(proof, &movable, &question.only)?;
    Ok((movable, chosen))
}

/// The numbers of the places named.
fn named(proof: &Proof, movable: &[usize], only: &[PlaceId]) -> Result<Vec<usize>, PlacementFault> {
    let id = |number: &usize| proof.craft.places[*number].id.as_str();
    let mut chosen = Vec::new();
    for place in only {
        let Some(number) = proof.number_of(place) else {
            let known = proof.craft.places.iter().map(|place| place.id.as_str());
            let did_you_mean = near_name(place.as_str(), known).map(str::to_owned);
            return Err(PlacementFault::NoPlace { place: place.to_string(), did_you_mean });
        };
        if !movable.contains(&number) {
            let movable = movable.iter().map(|number| id(number).to_owned()).collect();
            return Err(PlacementFault::Stays { place: place.to_string(), movable });
        }
        if !chosen.contains(&number) {
            chosen.push(number);
        }
    }
    chosen.sort_unstable();
    Ok(chosen)
}

fn searched(
    proof: &Proof,
    proved: &Proved,
    chosen: &[usize],
    (best, widened): (usize, bool),
    outlines: &Arc<OutlineStore>,
    go_on: &dyn Fn(Progress) -> bool,
) -> Result<Placements, PlacementFault> {
    let puzzle = puzzle_of(proof, chosen)?;
    if puzzle.movers.is_empty() {
        return Ok(without_a_choice(proof, proved, chosen, outlines));
    }
    let wanted = if best == 0 { BEST_USUAL } else { best.min(BEST_MAX) };
    let judge = Judge { puzzle: &puzzle, proved, outlines };
    let now = judge.now();
    let (found, tried, whole) = found_and_tried(&judge, &now, wanted, go_on);
    let ranked = ranked(&puzzle, tried, &now, wanted).into_iter();
    let best: Vec<Placement> = ranked.map(|one| judge.swapped(one)).collect();
    let sound = now.verdict != Verdict::Broken || best.iter().any(|one| one.then.verdict != Verdict::Broken);
    let unmatched = unmatched::unmatched(proof, &in_question(proof, chosen));
    let conflict = match unmatched.first() {
        // Where holes do not meet, no clearance is to blame.
        Some(unmatched) if !sound => Some(unmatched.conflict()),
        _ if sound || !whole => None,
        _ => conflict::conflict(&puzzle, &found),
    };
    let swaps = swap::swaps(proof.craft, &proved.findings, outlines);
    let searched =
        puzzle.movers.iter().map(|mover| proof.craft.places[mover.unit.place].id.clone()).collect();
    let bound = bound_of(&found, whole);
    let movable = unit::movable(proof).into_iter().map(|number| proof.craft.places[number].id.clone());
    let (movable, now) = (movable.collect(), now.standing());
    let mended = mended::mended(proof.craft, &swaps, Some(proved), outlines);
    let instead = None;
    Ok(Placements {
        searched,
        movable,
        widened,
        now,
        best,
        bound,
        conflict,
        swaps,
        mended,
        unmatched,
        instead,
    })
}

/// What is told where nothing asked about can stand otherwise: how it stands, and what is in its way.
fn without_a_choice(
    proof: &Proof,
    proved: &Proved,
    chosen: &[usize],
    outlines: &Arc<OutlineStore>,
) -> Placements {
    let swaps = swap::swaps(proof.craft, &proved.findings, outlines);
    let mended = mended::mended(proof.craft, &swaps, Some(proved), outlines);
    let ids = |numbers: &[usize]| -> Vec<PlaceId> {
        numbers.iter().map(|number| proof.craft.places[*number].id.clone()).collect()
    };
    let units = unit::gather(proof, chosen);
    let places: Vec<&PlaceId> =
        units.iter().flat_map(|unit| unit.places()).map(|number| &proof.craft.places[number].id).collect();
    let unmatched = unmatched::unmatched(proof, &in_question(proof, chosen));
    let conflict = unmatched.first().map(Unmatched::conflict);
    Placements {
        searched: Vec::new(),
        movable: ids(&unit::movable(proof)),
        widened: false,
        now: judged::as_it_stands(proof, &proved.findings, &places),
        best: Vec::new(),
        bound: SearchBound::nothing_to_choose(ids(chosen)),
        conflict: conflict.or_else(|| conflict::as_it_stands(proof, &proved.findings, &places)),
        swaps,
        mended,
        unmatched,
        instead: None,
    }
}

/// The places that were chosen; all that can move where none was.
fn in_question(proof: &Proof, chosen: &[usize]) -> Vec<usize> {
    if chosen.is_empty() { unit::movable(proof) } else { chosen.to_vec() }
}

fn puzzle_of<'p, 'a>(proof: &'p Proof<'a>, chosen: &[usize]) -> Result<Puzzle<'p, 'a>, PlacementFault> {
    Puzzle::of(proof, chosen).map_err(|NoPuzzle::TooMany| PlacementFault::TooMany { units: chosen.len() })
}

#[cfg(test)]
#[path = "placement_tests.rs"]
mod tests;
