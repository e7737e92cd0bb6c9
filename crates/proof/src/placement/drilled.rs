//! What a board could do if the plate under it were drilled with its own holes: told where nothing else serves.
//!
//! Tried is one thing: the board's own holes about the middle of the pattern it is seated on, in the same plate; the board, with
//! what holds it and nothing else, goes onto them. What comes of it is searched and proved as any placement. How much plate is
//! left between old and new holes the template shows; a hole that leaves the plate leaves it without a body, and then nothing serves.

use super::told::lower;
use super::unmatched::Unmatched;
use super::{PlacementQuestion, placements};
use crate::numbers::capital;
use crate::{OutlineStore, Verdict};
use craft::schema::{PartKind, shape};
use craft::{Anchor, Craft, Place, PlaceId, Row, Value};
use std::sync::Arc;

/// The name of the pattern that is tried.
const DRILLED: &str = "as drilled";
/// What holds a board and goes along with it.
const HOLDING: [PartKind; 3] = [PartKind::Spacer, PartKind::SoftMount, PartKind::Screw];

/// What drilling the plate under a board whose holes meet no pattern would do, in a sentence or two; `None` where that
/// breaks something too.
pub fn drilled(craft: &Craft, unmatched: &Unmatched, outlines: &Arc<OutlineStore>) -> Option<String> {
    let after = with_holes(craft, &unmatched.place)?;
    let question = PlacementQuestion { only: vec![unmatched.place.clone()], best: 1 };
    let found = placements(&after, &question, outlines, &|_| true).ok()?;
    let best = found.best.first();
    let then = match best {
        Some(best) if matches!(best.then.verdict, Verdict::Sound | Verdict::Tight) => {
            format!("{}: {}", lower(&best.steps.join(", ")), best.why)
        }
        _ if matches!(found.now.verdict, Verdict::Sound | Verdict::Tight) => {
            "it stands there as it is turned now".to_owned()
        }
        _ => return None,
    };
    Some(format!(
        "Drilling would serve: {} holes of its own about the middle of {}. {}. Enter them as a hole pattern of that plate first: \
         the template then has them at 1 : 1, with the web they leave",
        unmatched.holes,
        unmatched.seat,
        capital(&then)
    ))
}

/// The craft with the holes of a board drilled under it, and the board on them.
fn with_holes(craft: &Craft, place: &PlaceId) -> Option<Craft> {
    let mut after = craft.clone();
    let board = craft.place(place)?;
    let was = board.on.clone()?;
    let Anchor::Feature(under, feature) = &was else { return None };
    let own = craft.part_at(board)?.rows(&shape::pattern::TABLE).next()?;
    let holder = craft.part_at(craft.place(under)?)?;
    let seat = holder.row_named(&shape::pattern::TABLE, feature)?;
    let mut row = seat.values.clone();
    let of_holes = [
        shape::pattern::PITCH.def.key,
        shape::pattern::PITCH_ACROSS.def.key,
        shape::pattern::HOLES.def.key,
        shape::pattern::HOLE.def.key,
        shape::pattern::SCREW.def.key,
    ];
    for key in of_holes {
        match own.values.get(key) {
            Some(value) => row.insert(key.to_owned(), value.clone()),
            None => row.remove(key),
        };
    }
    row.insert(shape::NAME.def.key.to_owned(), Value::Text(DRILLED.to_owned()));
    let holder = holder.id.clone();
    let part = after.parts.iter_mut().find(|part| part.id == holder)?;
    part.tables.entry(shape::pattern::TABLE.key.to_owned()).or_default().push(Row(row));
    let is_held = |at: &Place| {
        at.id == *place
            || (at.on.as_ref() == Some(&was)
                && craft.part(&at.part).is_some_and(|part| HOLDING.contains(&part.kind)))
    };
    for at in after.places.iter_mut().filter(|at| is_held(at)) {
        at.on = Some(Anchor::Feature(under.clone(), DRILLED.to_owned()));
    }
    Some(after)
}
