//! Placements asked for and taken: what command line and server have in common.

use crate::refusal::{Cause, Refusal};
use craft::limits::LINE_LETTERS_MAX;
use craft::{Edit, PlaceId};
use proof::placement::{BEST_MAX, PlacementFault, PlacementQuestion, Placements};

/// What is asked, with the places read.
pub fn question(only: &[String], best: usize) -> Result<PlacementQuestion, Refusal> {
    let place = |id: &String| {
        PlaceId::new(id.trim()).map_err(|fault| Refusal::new(Cause::Misread, format!("only: {fault}")))
    };
    if best > BEST_MAX {
        let words = format!("{best} placements are more than are told; ask for at most {BEST_MAX}");
        return Err(Refusal::new(Cause::Misread, words));
    }
    Ok(PlacementQuestion { only: only.iter().map(place).collect::<Result<_, _>>()?, best })
}

/// A placement as one step: the one of this number, from 1, or none; with the parts that put screws right, if wanted.
pub fn step(found: &Placements, number: Option<usize>, swap: bool) -> Result<Edit, Refusal> {
    let (mut steps, mut edits, swaps) = match number {
        None => (Vec::new(), Vec::new(), &found.swaps),
        Some(number) => {
            let one = number.checked_sub(1).and_then(|number| found.best.get(number));
            let one = one.ok_or_else(|| no_placement(number, found.best.len()))?;
            (one.steps.clone(), one.edits.clone(), &one.swaps)
        }
    };
    for swap in swaps.iter().filter(|_| swap) {
        steps.push(swap.step.clone());
        edits.extend(swap.edits.clone());
    }
    if edits.is_empty() {
        return Err(Refusal::new(
            Cause::Unfit,
            "there is nothing to take: no part at hand puts a screw right",
        ));
    }
    Ok(Edit::Together { what: line(&steps.join("; ")), edits })
}

fn no_placement(number: usize, count: usize) -> Refusal {
    let words = match count {
        0 => format!("there is no placement {number}: none was found"),
        1 => format!("there is no placement {number}: one was found"),
        count => format!("there is no placement {number}: {count} were found"),
    };
    Refusal::new(Cause::NoSuch, words)
}

/// As much of a text as a line of the journal takes.
fn line(text: &str) -> String {
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
