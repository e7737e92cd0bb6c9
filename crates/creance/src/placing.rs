//! Placements asked for and taken: what command line and server have in common.

use crate::refusal::{Cause, Refusal};
use craft::limits::LINE_LETTERS_MAX;
use craft::{Craft, Edit, PlaceId};
use proof::placement::{BEST_MAX, PlacementFault, PlacementQuestion, Placements, left_over};

/// What is asked, with the places read.
pub fn question(only: &[String], best: usize) -> Result<PlacementQuestion, Refusal> {
    let place = |id: &String| place_id(id);
    if best > BEST_MAX {
        let words = format!("{best} placements are more than are told; ask for at most {BEST_MAX}");
        return Err(Refusal::new(Cause::Misread, words));
    }
    Ok(PlacementQuestion { only: only.iter().map(place).collect::<Result<_, _>>()?, best })
}

/// A place as it is named.
pub fn place_id(id: &str) -> Result<PlaceId, Refusal> {
    PlaceId::new(id.trim()).map_err(|fault| Refusal::new(Cause::Misread, format!("only: {fault}")))
}

/// What is put right in the same step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Also {
    /// Nothing else.
    Nothing,
    /// Screws, where a part of the craft serves.
    Screws,
    /// Everything that one exact change mends.
    AllThatIsExact,
}

impl Also {
    /// From the two words of page and command line.
    pub const fn of(swap: bool, mend: bool) -> Self {
        match (swap, mend) {
            (_, true) => Self::AllThatIsExact,
            (true, false) => Self::Screws,
            (false, false) => Self::Nothing,
        }
    }
}

/// A placement as one step: the one of this number, from 1, or none; with what else is put right. Parts that stand nowhere
/// any more go out of the craft.
pub fn step(craft: &Craft, found: &Placements, number: Option<usize>, also: Also) -> Result<Edit, Refusal> {
    let (mut steps, mut edits, swaps, mended) = match number {
        None => (Vec::new(), Vec::new(), &found.swaps, &found.mended),
        Some(number) => {
            let one = number.checked_sub(1).and_then(|number| found.best.get(number));
            let one = one.ok_or_else(|| no_placement(number, found))?;
            (one.steps.clone(), one.edits.clone(), &one.swaps, &one.mended)
        }
    };
    let mends = match also {
        Also::Nothing => Vec::new(),
        Also::Screws => swaps.iter().collect(),
        Also::AllThatIsExact => swaps.iter().chain(&mended.mends).collect(),
    };
    for one in mends {
        steps.push(one.step.clone());
        edits.extend(one.edits.clone());
    }
    if edits.is_empty() {
        return Err(Refusal::new(Cause::Unfit, "there is nothing to take: no exact change mends anything"));
    }
    let left_over = left_over(craft, &edits);
    edits.extend(left_over.into_iter().map(|part| Edit::RemovePart { part }));
    Ok(Edit::Together { what: line(&steps.join("; ")), edits })
}

/// What is asked for was not found; where nothing was, the reason is said with it.
fn no_placement(number: usize, found: &Placements) -> Refusal {
    let words = match found.best.len() {
        0 => format!("there is no placement {number}: none was found"),
        1 => format!("there is no placement {number}: one was found"),
        count => format!("there is no placement {number}: {count} were found"),
    };
    let refusal = Refusal::new(Cause::NoSuch, words);
    let why = match (&found.conflict, &found.instead) {
        _ if !found.best.is_empty() => None,
        (Some(conflict), _) => Some(conflict.why.clone()),
        (None, Some(instead)) => Some(instead.clone()),
        (None, None) if found.serves() => {
            Some("Nothing better than what stands was found: leave the number out to take the rest".into())
        }
        (None, None) => found.unmatched.first().map(|one| one.words.clone()),
    };
    match why {
        Some(why) => refusal.hint(format!("{}.", why.trim_end_matches('.'))),
        None => refusal,
    }
}

/// As much of a text as a line of the journal takes.
pub fn line(text: &str) -> String {
    match text.char_indices().nth(LINE_LETTERS_MAX) {
        None => text.to_owned(),
        Some(_) => text.chars().take(LINE_LETTERS_MAX - 1).collect::<String>() + "…",
    }
}

impl From<PlacementFault> for Refusal {
    fn from(fault: PlacementFault) -> Self {
        let cause = match &fault {
            PlacementFault::NoPlace { .. } => Cause::NoSuch,
            _ => Cause::Unfit,
        };
        Refusal::new(cause, fault.to_string())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_of_the_journal_is_cut_where_it_must_end() {
        assert_eq!(line("Turn it"), "Turn it");
        let long = line(&"ä".repeat(300));
        assert!(long.chars().count() == LINE_LETTERS_MAX && long.ends_with("ä…"), "{long}");
    }
}
