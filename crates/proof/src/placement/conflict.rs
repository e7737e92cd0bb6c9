//! Where no placement is without fault: which two things cannot both be had.
//!
//! First it is asked whether one unit fails wherever it stands; then whether some two units fail together whatever
//! each of them does; else the pair that decides in the best of all placements is named. The first answer that
//! holds is the smallest, and it is proved by the margins of all its choices.

use super::puzzle::Puzzle;
use super::search::{Choices, Found, Margin, Searched};
use super::told::{name, seat_words, spare};
use crate::{Finding, Proof, Verdict};
use craft::PlaceId;
use std::collections::BTreeSet;

/// Two things that cannot both be had.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conflict {
    /// The one.
    pub one: String,
    /// The other.
    pub other: String,
    /// Why, in one sentence.
    pub why: String,
}

/// Names the smallest conflict, of a search that came to its end.
pub(crate) fn conflict(puzzle: &Puzzle, found: &Searched) -> Option<Conflict> {
    let best = found.best.first()?;
    if best.margin >= 0 {
        return None;
    }
    let choices = every_choice(puzzle);
    alone(puzzle, &choices).or_else(|| together(puzzle, &choices)).or_else(|| in_the_best(puzzle, best))
}

/// The two things that cannot both be had where nothing can stand otherwise: those of the worst broken finding of the dry
/// fit on these places.
pub(crate) fn as_it_stands(proof: &Proof, findings: &[Finding], places: &[&PlaceId]) -> Option<Conflict> {
    let named = |place: &PlaceId| {
        let number = proof.number_of(place)?;
        proof.part_of(number).map(|part| format!("{} ({place})", part.name))
    };
    findings
        .iter()
        .filter(|finding| finding.rule.starts_with("fit.") && finding.verdict == Verdict::Broken)
        .find_map(|finding| {
            let mine = finding.places.iter().find(|place| places.contains(place))?;
            let (one, other) = (named(mine)?, finding.places.iter().find(|place| *place != mine));
            let other = other.and_then(named).unwrap_or_else(|| finding.subject.clone());
            let why = format!("{one} and {other} cannot both be had as they are: {}", finding.message);
            Some(Conflict { one, other, why })
        })
}

/// Every choice of every unit, in any arrangement.
fn every_choice(puzzle: &Puzzle) -> Vec<Vec<u32>> {
    let mut known: Vec<BTreeSet<u32>> = vec![BTreeSet::new(); puzzle.movers.len()];
    for arrangement in 0..puzzle.arrangements() {
        let steps = puzzle.steps(arrangement);
        let mut of_step: Vec<Vec<u32>> = Vec::with_capacity(steps.len());
        for (number, step) in steps.iter().enumerate() {
            let choices: BTreeSet<u32> = match step.upon {
                None => puzzle.choices(arrangement, number, None).into_iter().collect(),
                Some(upon) => {
                    let below = of_step[upon].clone();
                    below.iter().flat_map(|below| puzzle.choices(arrangement, number, Some(*below))).collect()
                }
            };
            known[step.unit].extend(&choices);
            of_step.push(choices.into_iter().collect());
        }
    }
    known.into_iter().map(|choices| choices.into_iter().collect()).collect()
}

/// A unit that is short wherever it stands.
fn alone(puzzle: &Puzzle, choices: &[Vec<u32>]) -> Option<Conflict> {
    for (unit, choices) in choices.iter().enumerate() {
        let best_of = |over: bool| {
            let here = choices.iter().filter(|choice| puzzle.stand(unit, **choice).flipped == over);
            here.copied().max_by_key(|choice| puzzle.own(unit, *choice))
        };
        let lies = puzzle.movers[unit].now.flipped;
        let sides: Vec<u32> = [lies, !lies].into_iter().filter_map(best_of).collect();
        let best = sides.iter().copied().max_by_key(|choice| puzzle.own(unit, *choice))?;
        if puzzle.own(unit, best) >= 0 {
            continue;
        }
        // What is not the unit's own is the other thing.
        let own = name(puzzle, unit);
        let pair = puzzle.alone(unit, best).pair;
        let [a, b] = pair.map_or_else(Default::default, |pair| pair.names);
        let other = if a.contains(&own) { b } else { a };
        let one = format!("{own} {}", seat_words(puzzle, &puzzle.stand(unit, best)));
        // Of a board both sides are told: the one alone asks what the other would do.
        let told = |choice: &u32| {
            let stand = puzzle.stand(unit, *choice);
            let [a, b] = puzzle.alone(unit, *choice).pair.map_or_else(Default::default, |pair| pair.names);
            let side = match (sides.len() > 1, stand.flipped == lies) {
                (false, _) => "at best",
                (true, true) => "as it lies, at best",
                (true, false) => "turned over, at best",
            };
            let seat = seat_words(puzzle, &stand);
            format!("{side}, {seat}, {a} and {b} have {}", spare(puzzle.own(unit, *choice)))
        };
        let sides: Vec<String> = sides.iter().map(told).collect();
        let why = format!("{own} finds no place: {}", sides.join("; "));
        return Some(Conflict { one, other, why });
    }
    None
}

/// Two units that are short together whatever each does.
fn together(puzzle: &Puzzle, choices: &[Vec<u32>]) -> Option<Conflict> {
    for (a, of_a) in choices.iter().enumerate() {
        for (b, of_b) in choices.iter().enumerate().skip(a + 1) {
            let sound = |unit: usize, of: &[u32]| -> Vec<u32> {
                of.iter().copied().filter(|choice| puzzle.own(unit, *choice) >= 0).collect()
            };
            let (of_a, of_b) = (sound(a, of_a), sound(b, of_b));
            let mut best: Option<(Margin, u32, u32)> = None;
            for one in &of_a {
                for other in &of_b {
                    let margin = puzzle.between((a, *one), (b, *other));
                    if best.is_none_or(|best| margin > best.0) {
                        best = Some((margin, *one, *other));
                    }
                }
                if best.is_some_and(|best| best.0 >= 0) {
                    break;
                }
            }
            if let Some((margin, one, other)) = best.filter(|best| best.0 < 0) {
                return Some(both(puzzle, (a, one), (b, other), margin));
            }
        }
    }
    None
}

fn both(puzzle: &Puzzle, one: (usize, u32), other: (usize, u32), margin: Margin) -> Conflict {
    let told = |(unit, choice): (usize, u32)| {
        format!("{} {}", name(puzzle, unit), seat_words(puzzle, &puzzle.stand(unit, choice)))
    };
    let (one, other) = (told(one), told(other));
    let why = match margin {
        super::search::IMPOSSIBLE => {
            format!("{one} and {other} cannot both be had: it is one and the same seat")
        }
        margin => format!("{one} and {other} cannot both be had: at best they have {}", spare(margin)),
    };
    Conflict { one, other, why }
}

/// The pair that decides in the best of all placements.
fn in_the_best(puzzle: &Puzzle, best: &Found) -> Option<Conflict> {
    let pair = puzzle.tightest(best).pair?;
    let [one, other] = pair.names;
    let why = format!(
        "No placement keeps every distance: even in the best, {one} and {other} have {}",
        spare(best.margin)
    );
    Some(Conflict { one, other, why })
}
