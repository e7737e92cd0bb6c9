//! How far may walls, leaves, ground and the fit of two antennas be off, going by what is published of them?
//!
//! Published constants differ from edition to edition, nobody measures how moist a field is, and two walls do not just multiply. So the budget is
//! drawn up again with each wall of the constants of an earlier edition, a tenth thinner, a tenth thicker; with the ground a row drier, a row wetter,
//! smoother and rougher; and with the two walls that matter taken together (`radio::two_walls`). The greatest change either way is how far that
//! term may be off; for leaves it is that between the models. How the ellipses of two antennas lie to each other no sheet says: the loss is reckoned with both
//! long axes upright, and over all tilts as its spread. Each of the four is a fact of its own in the ledger, nought as computed and one at
//! the end of its spread, so that what leans on it does so everywhere alike. Taken as rectangular.

use super::Link;
use crate::Proof;
use crate::working::Lines;
use craft::Item;
use quantity::{Basis, Db, Doubt, DoubtKind, FactIndex, FactPath, LedgerEntry, Unit};
use radio::{Budget, Part, Place, RadioFault, Scenery, two_walls};

/// The parts that carry such a spread, each with the key of the station's field it stands beside and with what it is called.
const SPREADS: [(Part, &str, &str); 4] = [
    (Part::Walls, "obstacle", "walls at"),
    (Part::Leaves, "leaves", "leaves at"),
    (Part::Ground, "ground", "ground at"),
    (Part::Polarisation, "antenna", "tilt of ellipses at"),
];

/// What each spread rests on, in words.
pub(super) const fn rests_on(part: Part) -> &'static str {
    match part {
        Part::Walls => "constants of two editions, a tenth thinner or thicker, two walls taken together",
        Part::Leaves => "between the models for leaves, and 8 to 15 dB a crown by common practice",
        Part::Ground => "a row drier or wetter, half as rough again or half as rough",
        Part::Polarisation => "how the ellipses of circular antennas lie to each other, which no sheet says",
        _ => "unknown phase or state",
    }
}

/// The four facts.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Spreads {
    facts: Vec<(Part, FactIndex)>,
}

impl Spreads {
    /// Entered for a station.
    pub fn of(proof: &Proof, station: &Item<'_>) -> Self {
        let enter = |(part, key, called): (Part, &str, &str)| {
            let entry = LedgerEntry {
                path: FactPath(format!("{}.{key}.spread", station.path)),
                label: format!("{called} {}, as a share of their spread", station.called),
                value: 0.0,
                unit: Unit::Ratio,
                doubt: Doubt::even(1.0),
                basis: Basis::Typical,
                // No reading tells more of it: measuring leaves what there is, so that nobody is told to measure it.
                kind: DoubtKind::ReceiverThreshold,
            };
            (part, proof.enter_entry(entry))
        };
        Self { facts: SPREADS.into_iter().map(enter).collect() }
    }

    /// How a margin leans on them, by the terms of a budget.
    pub fn slopes(&self, budget: &Budget) -> Vec<(FactIndex, f64)> {
        let slope = |(part, fact): &(Part, FactIndex)| {
            let term = budget.terms.iter().find(|term| term.part == *part)?;
            let most = term.worse.get().max(term.better.get());
            (most > 0.0).then_some((*fact, most))
        };
        self.facts.iter().filter_map(slope).collect()
    }

    /// The fact of a part.
    pub fn fact(&self, part: Part) -> Option<FactIndex> {
        self.facts.iter().find(|(known, _)| *known == part).map(|(_, fact)| *fact)
    }
}

/// What else may stand about, by the part it concerns.
pub(super) fn others(scenery: &Scenery) -> Vec<(Part, Scenery)> {
    let mut others = Vec::new();
    if !scenery.walls.is_empty() {
        for n in 0..3 {
            let walls = scenery.walls.iter().map(|wall| wall.of_slab(wall.slab().others()[n].clone()));
            others.push((Part::Walls, Scenery { walls: walls.collect(), ..scenery.clone() }));
        }
    }
    for ground in scenery.ground.iter().flat_map(radio::Ground::others) {
        others.push((Part::Ground, Scenery { ground: Some(ground), ..scenery.clone() }));
    }
    others
}

/// How far walls, leaves and ground of a budget may be off, as lines of a working.
pub(crate) fn spread_lines<'p, 'a>(lines: Lines<'p, 'a>, budget: &Budget) -> Lines<'p, 'a> {
    SPREADS.iter().fold(lines, |lines, (part, _, _)| {
        let Some(term) = budget.terms.iter().find(|term| term.part == *part) else { return lines };
        [(term.worse, "worse"), (term.better, "better")].into_iter().fold(lines, |lines, (by, word)| {
            if by.get() < 0.005 {
                return lines;
            }
            lines.given(&format!("{} may be {word} by", part.words()), by.get(), Unit::Db, rests_on(*part))
        })
    })
}

impl Link {
    /// Tells how far walls and ground of a budget between two places may be off, from the same budget with other scenery.
    pub(super) fn spread(
        &self,
        budget: &mut Budget,
        about: &Scenery,
        [from, to]: [Place; 2],
        again: impl Fn(&Scenery) -> Result<Budget, RadioFault>,
    ) -> Result<(), RadioFault> {
        let received = budget.received();
        let walled = budget.terms.iter().any(|term| term.part == Part::Walls && term.change.get() != 0.0);
        let mut widen = |part: Part, change: Db| {
            if let Some(term) = budget.terms.iter_mut().find(|term| term.part == part) {
                term.worse = if -change > term.worse { -change } else { term.worse };
                term.better = if change > term.better { change } else { term.better };
            }
        };
        for (part, scenery) in others(about) {
            if part != Part::Walls || walled {
                widen(part, again(&scenery)?.received() - received);
            }
        }
        let together = if walled { two_walls(about, from, to, self.carrier)? } else { None };
        if let (Some(change), Some(term)) =
            (together, budget.terms.iter_mut().find(|term| term.part == Part::Walls))
        {
            // On top of what constants make of it: it is another kind of error.
            if change.get() > 0.0 {
                term.worse = term.worse + change;
            } else {
                term.better = term.better - change;
            }
        }
        Ok(())
    }
}
