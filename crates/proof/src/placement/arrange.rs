//! Every way to stack the boards: which stands on which, in which seat the lowest.
//!
//! Each seat that stays carries nothing or a stack of boards in some order, each holding the next by a hole
//! pattern that some turn makes meet. A stack must be held: by screws that close it from above, or by screws of
//! its lowest board; only what nobody has screwed yet may stand unscrewed. Screws that closed a stack lie on
//! whatever is on top now; a second set, and screws that came from below and no longer can, are left over.

use super::search::Step;
use super::stand::{Closing, Seat};
use std::rc::Rc;

/// A unit of an arrangement: on which seats it may be tried, and what screws go with it.
#[derive(Clone, Debug)]
pub(crate) struct Position {
    pub seats: Vec<Seat>,
    pub closing: Rc<Closing>,
}

/// One way to stack the units.
#[derive(Clone, Debug, Default)]
pub(crate) struct Arrangement {
    pub steps: Vec<Step>,
    pub positions: Vec<Position>,
}

impl Arrangement {
    /// Whether the unit of a step carries that of the next.
    pub fn carries(&self, step: usize) -> bool {
        self.steps.get(step + 1).is_some_and(|next| next.upon == Some(step))
    }
}

/// What is to be stacked.
pub(crate) struct Stacking<'s> {
    /// The boards, by the number of their unit.
    pub boards: Vec<usize>,
    /// The slots for boards.
    pub slots: Vec<usize>,
    /// Cameras and antennas with the slots they may take.
    pub others: Vec<(usize, Vec<usize>)>,
    /// On which decks of one unit another may stand.
    pub decks: &'s dyn Fn(usize, usize) -> Vec<usize>,
    /// Whether a unit may stand in a slot.
    pub fits: &'s dyn Fn(usize, usize) -> bool,
    /// Screws that close a stack over a unit now.
    pub caps: &'s dyn Fn(usize) -> Vec<usize>,
    /// Screws that hold a unit from below or beside, those from below apart.
    pub screws: &'s dyn Fn(usize) -> (Vec<usize>, Vec<usize>),
    /// Whether screws hold a unit now.
    pub held: &'s dyn Fn(usize) -> bool,
}

/// Boards on each other at most.
const STACK_MAX: usize = 4;
/// Arrangements at most.
pub(crate) const ARRANGEMENTS_MAX: usize = 20_000;

type Tower = Vec<(usize, Seat)>;

impl Stacking<'_> {
    /// Every arrangement; `None` if there are more than are handled.
    pub fn all(&self) -> Option<Vec<Arrangement>> {
        let mut found = Vec::new();
        self.fill(0, &self.boards, &mut Vec::new(), &mut found);
        (found.len() <= ARRANGEMENTS_MAX).then_some(found)
    }

    fn fill(&self, slot: usize, open: &[usize], towers: &mut Vec<Tower>, found: &mut Vec<Arrangement>) {
        if found.len() > ARRANGEMENTS_MAX {
            return;
        }
        let Some(&number) = self.slots.get(slot) else {
            if open.is_empty() {
                found.push(self.arrangement(towers));
            }
            return;
        };
        self.fill(slot + 1, open, towers, found);
        for unit in open.iter().filter(|unit| (self.fits)(**unit, number)) {
            let tower = vec![(*unit, Seat::Slot(number))];
            self.grow(slot, &without(open, *unit), tower, towers, found);
        }
    }

    fn grow(
        &self,
        slot: usize,
        open: &[usize],
        tower: Tower,
        towers: &mut Vec<Tower>,
        found: &mut Vec<Arrangement>,
    ) {
        if self.is_held(&tower) {
            towers.push(tower.clone());
            self.fill(slot + 1, open, towers, found);
            towers.pop();
        }
        if tower.len() == STACK_MAX {
            return;
        }
        let Some(&(top, _)) = tower.last() else { return };
        for unit in open {
            for deck in (self.decks)(top, *unit) {
                let mut higher = tower.clone();
                higher.push((*unit, Seat::Unit { unit: top, deck }));
                self.grow(slot, &without(open, *unit), higher, towers, found);
            }
        }
    }

    fn is_held(&self, tower: &Tower) -> bool {
        let closed = tower.iter().any(|(unit, _)| !(self.caps)(*unit).is_empty());
        let (below, beside) = tower.first().map_or((vec![], vec![]), |(unit, _)| (self.screws)(*unit));
        closed || !below.is_empty() || !beside.is_empty() || tower.iter().all(|(unit, _)| !(self.held)(*unit))
    }

    fn arrangement(&self, towers: &[Tower]) -> Arrangement {
        let mut made = Arrangement::default();
        for tower in towers {
            let mut sets: Vec<Vec<usize>> =
                tower.iter().map(|(unit, _)| (self.caps)(*unit)).filter(|caps| !caps.is_empty()).collect();
            // The set that is on top already stays.
            let caps = sets.pop().unwrap_or_default();
            let mut left_over: Vec<usize> = sets.concat();
            for (level, (unit, seat)) in tower.iter().enumerate() {
                if level > 0 && !caps.is_empty() {
                    left_over.extend((self.screws)(*unit).0);
                }
                let top = level + 1 == tower.len();
                let upon = (level > 0).then(|| made.steps.len() - 1);
                made.steps.push(Step { unit: *unit, upon });
                let closing = Closing {
                    caps: if top { caps.clone() } else { Vec::new() },
                    dropped: if top { std::mem::take(&mut left_over) } else { Vec::new() },
                };
                made.positions.push(Position { seats: vec![*seat], closing: Rc::new(closing) });
            }
        }
        for (unit, slots) in &self.others {
            made.steps.push(Step { unit: *unit, upon: None });
            let seats = slots.iter().map(|slot| Seat::Slot(*slot)).collect();
            made.positions.push(Position { seats, closing: Rc::default() });
        }
        made
    }
}

fn without(units: &[usize], one: usize) -> Vec<usize> {
    units.iter().copied().filter(|unit| *unit != one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn count(boards: usize, slots: usize) -> usize {
        let stacking = Stacking {
            boards: (0..boards).collect(),
            slots: (0..slots).collect(),
            others: Vec::new(),
            decks: &|_, _| vec![0],
            fits: &|_, _| true,
            caps: &|_| Vec::new(),
            screws: &|_| (Vec::new(), Vec::new()),
            held: &|_| false,
        };
        stacking.all().map_or(0, |all| all.len())
    }

    #[test]
    fn every_order_in_every_slot_is_found_once() {
        // n boards in any order, cut into s rows, some of them empty: n! times (n + s - 1) over (s - 1).
        assert_eq!([count(1, 1), count(2, 1), count(2, 2), count(3, 2)], [1, 2, 6, 24]);
        assert_eq!(count(3, 3), 60);
        assert_eq!(count(2, 0), 0);
    }

    #[test]
    fn closing_screws_come_to_lie_on_top_and_screws_from_below_are_left_over() {
        let stacking = Stacking {
            boards: vec![0, 1],
            slots: vec![0],
            others: Vec::new(),
            decks: &|_, _| vec![0],
            fits: &|_, _| true,
            caps: &|unit| if unit == 0 { vec![7] } else { Vec::new() },
            screws: &|unit| if unit == 1 { (vec![9], vec![]) } else { (Vec::new(), Vec::new()) },
            held: &|_| true,
        };
        let all = stacking.all().unwrap_or_default();
        let closing: Vec<_> =
            all.iter().map(|made| (made.steps[1].unit, made.positions[1].closing.as_ref().clone())).collect();
        let over = |caps: usize, dropped: &[usize]| Closing { caps: vec![caps], dropped: dropped.to_vec() };
        assert_eq!(closing, [(1, over(7, &[9])), (0, over(7, &[]))]);
    }
}
