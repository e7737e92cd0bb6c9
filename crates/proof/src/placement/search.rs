//! Which combination of choices leaves the most at its worst pair: exact, by branch and bound.
//!
//! Units are fixed one after the other. The worst margin of a set only falls as units are added, so it bounds
//! every completion from above. The bound is drawn tighter by each unit still open: no completion can be
//! better than the best that this unit could have beside those fixed, whatever the others do. With m the worst
//! margin among those fixed, b(u) = max over the choices q of u of min(own(q), min over fixed f of between(q, f)),
//! the bound is min(m, min over open u of b(u)). What cannot come among the best kept is cut off. (Land and Doig,
//! "An automatic method of solving discrete programming problems", 1960; that the bound is right is shown
//! by trying all, see the tests.)
//!
//! Margins are whole micrometres, so that equal is equal: of two combinations the one with the greater worst margin is
//! better, then the one with fewer changes. Of combinations that are alike only the best counts as an answer.
//!
//! What lies below nought is seldom among the best, and how far below is what takes longest to find out. So it is first
//! searched with a floor: margins below it are told as anything below it that is no less than the truth, and what is below it
//! is cut off. If all that is kept and the greatest that was cut off lie above the floor, no exact margin below it could
//! have changed either; else it is searched again with a lower one, at last with none.
//!
//! Left out: geometry. What a choice is, and what two of them leave, is asked of [`Choices`].

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

/// A margin in micrometres.
pub(crate) type Margin = i32;
/// What cannot be at all: two units in one seat.
pub(crate) const IMPOSSIBLE: Margin = i32::MIN;

/// A unit to be fixed, and the step that fixes what it stands on, if that is open too.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Step {
    pub unit: usize,
    pub upon: Option<usize>,
}

/// What is searched.
pub(crate) trait Choices {
    /// Which ways there are to stack the units.
    fn arrangements(&self) -> usize;
    /// The order in which an arrangement fixes units; what carries comes right before what it carries.
    fn steps(&self, arrangement: usize) -> &[Step];
    /// The choices of a step, given what was chosen for what it stands on.
    fn choices(&self, arrangement: usize, step: usize, below: Option<u32>) -> Vec<u32>;
    /// What a choice leaves toward all that stays where it is.
    fn own(&self, unit: usize, choice: u32) -> Margin;
    /// What two choices leave toward each other.
    fn between(&self, one: (usize, u32), other: (usize, u32)) -> Margin;
    /// The same as [`Choices::own`] from `floor` up; what is below may be told as anything below it, but no less than it is.
    fn own_from(&self, unit: usize, choice: u32, floor: Margin) -> Margin;
    /// The same as [`Choices::between`], exact from `floor` up.
    fn between_from(&self, one: (usize, u32), other: (usize, u32), floor: Margin) -> Margin;
    /// How many changes a choice makes to the craft as it stands.
    fn changes(&self, unit: usize, choice: u32) -> u32;
    /// Choices that count as alike have the same number.
    fn likeness(&self, unit: usize, choice: u32) -> u64;
    /// The most any margin can be.
    fn most(&self) -> Margin;
}

/// A combination.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Found {
    pub margin: Margin,
    pub changes: u32,
    pub arrangement: usize,
    /// The choice of each step.
    pub chosen: Vec<u32>,
    likeness: Vec<(usize, u64)>,
}

impl Found {
    /// A combination that nobody has judged yet.
    pub fn as_given(arrangement: usize, chosen: Vec<u32>) -> Self {
        Self { margin: 0, changes: 0, arrangement, chosen, likeness: Vec::new() }
    }
}

/// What came of a search.
#[derive(Clone, Debug)]
pub(crate) struct Searched {
    /// The best, best first, no two alike.
    pub best: Vec<Found>,
    /// How many partial combinations were looked at.
    pub nodes: u64,
    /// How many combinations there are in all.
    pub choices: f64,
    /// What no combination can exceed, known before any is tried; `None` without any.
    pub at_most: Option<Margin>,
    /// The greatest margin that anything cut off could have had; `None` if nothing was.
    pub cut_off: Option<Margin>,
    /// Whether it was let run to its end.
    pub whole: bool,
}

impl Searched {
    /// Nothing tried yet.
    pub(super) fn nothing() -> Self {
        Self { best: Vec::new(), nodes: 0, choices: 0.0, at_most: None, cut_off: None, whole: true }
    }
}

/// Nodes between two asks whether to go on.
const ASKED_EVERY: u64 = 64;

/// The floors one after the other, in micrometres.
const FLOORS: [Margin; 3] = [0, -1500, IMPOSSIBLE];

/// The `keep` best combinations that are not alike. `go_on` is told the share done, and ends the search by
/// saying no.
pub(crate) fn search<C: Choices>(problem: &C, keep: usize, go_on: &mut dyn FnMut(f64) -> bool) -> Searched {
    search_from(problem, keep, &FLOORS, go_on)
}

fn search_from<C: Choices>(
    problem: &C,
    keep: usize,
    floors: &[Margin],
    go_on: &mut dyn FnMut(f64) -> bool,
) -> Searched {
    let mut run = Run {
        problem,
        keep: keep.max(1),
        floor: IMPOSSIBLE,
        lists: RefCell::default(),
        below: RefCell::default(),
        go_on,
        done: 0.0,
        most_told: 0.0,
        out: Searched::nothing(),
    };
    for &floor in floors {
        run.begin(floor);
        run.whole_search();
        if !run.out.whole || run.is_settled() {
            break;
        }
    }
    run.out
}

/// Keeps a combination if it is among the best.
pub(super) fn offer<C: Choices>(
    problem: &C,
    arrangement: usize,
    chosen: &[u32],
    (margin, changes): (Margin, u32),
    keep: usize,
    best: &mut Vec<Found>,
) {
    if margin == IMPOSSIBLE {
        return;
    }
    let mut likeness: Vec<(usize, u64)> = problem
        .steps(arrangement)
        .iter()
        .zip(chosen)
        .map(|(step, choice)| (step.unit, problem.likeness(step.unit, *choice)))
        .collect();
    likeness.sort_unstable();
    let better = |a: &Found| (a.margin, std::cmp::Reverse(a.changes)) >= (margin, std::cmp::Reverse(changes));
    if let Some(known) = best.iter().position(|found| found.likeness == likeness) {
        if better(&best[known]) {
            return;
        }
        best.remove(known);
    }
    let at = best.partition_point(better);
    best.insert(at, Found { margin, changes, arrangement, chosen: chosen.to_vec(), likeness });
    best.truncate(keep);
}

/// Arrangement, step, what was chosen below.
type ListKey = (usize, usize, Option<u32>);

struct Run<'r, C> {
    problem: &'r C,
    keep: usize,
    /// Margins are exact from here up; below it all is cut off.
    floor: Margin,
    /// The choices of a step, those with the most room first.
    lists: RefCell<HashMap<ListKey, Rc<[u32]>>>,
    /// How many combinations lie below a choice.
    below: RefCell<HashMap<ListKey, f64>>,
    go_on: &'r mut dyn FnMut(f64) -> bool,
    done: f64,
    most_told: f64,
    out: Searched,
}

impl<C: Choices> Run<'_, C> {
    /// Begins anew with another floor; how many placements there are is known already.
    fn begin(&mut self, floor: Margin) {
        self.floor = floor;
        // Their order goes by margins that were not all exact.
        self.lists.borrow_mut().clear();
        self.done = 0.0;
        self.out = Searched { nodes: self.out.nodes, ..Searched::nothing() };
    }

    /// Whether no exact margin below the floor could change what was found.
    fn is_settled(&self) -> bool {
        let above = |margin: Margin| margin >= self.floor;
        match self.out.cut_off {
            None => true,
            Some(cut) => above(cut) && self.out.best.len() >= self.keep,
        }
    }

    fn whole_search(&mut self) {
        let (problem, mut roots) = (self.problem, Vec::<(Margin, usize, f64)>::new());
        for arrangement in 0..problem.arrangements() {
            let leaves = self.leaves(arrangement, 0, None);
            self.out.choices += leaves;
            if leaves > 0.0 {
                roots.push((self.bound(arrangement, &[], problem.most()), arrangement, leaves));
            }
            if !(self.go_on)(self.most_told) {
                self.out.whole = false;
                return;
            }
        }
        roots.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
        self.out.at_most = roots.first().map(|root| root.0).filter(|most| *most != IMPOSSIBLE);
        for (bound, arrangement, leaves) in roots {
            if self.is_cut(bound, 0) {
                self.cut(bound, leaves);
            } else {
                self.descend(arrangement, &mut Vec::new(), problem.most(), 0);
            }
        }
    }

    fn descend(&mut self, arrangement: usize, chosen: &mut Vec<u32>, margin: Margin, changes: u32) {
        self.out.nodes += 1;
        if self.out.nodes.is_multiple_of(ASKED_EVERY) {
            let share = if self.out.choices > 0.0 { self.done / self.out.choices } else { 1.0 };
            // What is searched again does not fall back.
            self.most_told = self.most_told.max(share.clamp(0.0, 1.0));
            self.out.whole = self.out.whole && (self.go_on)(self.most_told);
        }
        if !self.out.whole {
            return;
        }
        let steps = self.problem.steps(arrangement);
        let Some(step) = steps.get(chosen.len()) else {
            self.done += 1.0;
            let found = (margin, changes);
            return offer(self.problem, arrangement, chosen, found, self.keep, &mut self.out.best);
        };
        let list = self.list(arrangement, chosen.len(), step.upon.map(|upon| chosen[upon]));
        let mut open: Vec<(Margin, u32, u32)> = Vec::with_capacity(list.len());
        for &choice in &*list {
            let margin = margin.min(self.beside(arrangement, chosen, step.unit, choice, margin));
            let changes = changes + self.problem.changes(step.unit, choice);
            if self.is_cut(margin, changes) {
                self.cut_below(arrangement, chosen, choice, margin);
            } else {
                open.push((margin, changes, choice));
            }
        }
        open.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
        for (margin, changes, choice) in open {
            chosen.push(choice);
            let bound =
                if self.is_cut(margin, changes) { margin } else { self.bound(arrangement, chosen, margin) };
            if self.is_cut(bound, changes) {
                chosen.pop();
                self.cut_below(arrangement, chosen, choice, bound);
            } else {
                self.descend(arrangement, chosen, margin, changes);
                chosen.pop();
            }
        }
    }

    /// What a choice leaves toward all that is fixed; exact only above `enough`.
    fn beside(&self, arrangement: usize, chosen: &[u32], unit: usize, choice: u32, enough: Margin) -> Margin {
        let mut margin = self.problem.own_from(unit, choice, self.floor).min(enough);
        for (step, other) in self.problem.steps(arrangement).iter().zip(chosen) {
            if margin == IMPOSSIBLE || margin < self.floor {
                break;
            }
            margin = margin.min(self.problem.between_from((step.unit, *other), (unit, choice), self.floor));
        }
        margin
    }

    /// No completion of what is chosen leaves more than this.
    fn bound(&self, arrangement: usize, chosen: &[u32], margin: Margin) -> Margin {
        let steps = self.problem.steps(arrangement);
        let mut bound = margin;
        for (number, step) in steps.iter().enumerate().skip(chosen.len()) {
            let mut best = IMPOSSIBLE;
            for list in self.lists_of(arrangement, number, chosen) {
                for &choice in &*list {
                    if best >= bound || self.problem.own_from(step.unit, choice, self.floor) <= best {
                        break;
                    }
                    best = best.max(self.beside(arrangement, chosen, step.unit, choice, bound));
                }
            }
            bound = bound.min(best);
            if bound == IMPOSSIBLE || bound < self.floor {
                break;
            }
        }
        bound
    }

    /// Every list of choices a step may come to have.
    fn lists_of(&self, arrangement: usize, step: usize, chosen: &[u32]) -> Vec<Rc<[u32]>> {
        match self.problem.steps(arrangement)[step].upon {
            None => vec![self.list(arrangement, step, None)],
            Some(upon) => match chosen.get(upon) {
                Some(below) => vec![self.list(arrangement, step, Some(*below))],
                None => {
                    let lists = self.lists_of(arrangement, upon, chosen);
                    let below = lists.iter().flat_map(|list| list.iter());
                    below.map(|choice| self.list(arrangement, step, Some(*choice))).collect()
                }
            },
        }
    }

    fn list(&self, arrangement: usize, step: usize, below: Option<u32>) -> Rc<[u32]> {
        let key = (arrangement, step, below);
        if let Some(known) = self.lists.borrow().get(&key) {
            return Rc::clone(known);
        }
        let unit = self.problem.steps(arrangement)[step].unit;
        let mut choices = self.problem.choices(arrangement, step, below);
        choices.sort_by_key(|choice| {
            (
                std::cmp::Reverse(self.problem.own_from(unit, *choice, self.floor)),
                self.problem.changes(unit, *choice),
            )
        });
        let list: Rc<[u32]> = choices.into();
        self.lists.borrow_mut().insert(key, Rc::clone(&list));
        list
    }

    /// How many combinations there are from a step on.
    fn leaves(&self, arrangement: usize, step: usize, below: Option<u32>) -> f64 {
        let steps = self.problem.steps(arrangement);
        if step >= steps.len() {
            return 1.0;
        }
        let key = (arrangement, step, below);
        if let Some(known) = self.below.borrow().get(&key) {
            return *known;
        }
        let choices = self.problem.choices(arrangement, step, below);
        let count = match steps.get(step + 1) {
            Some(next) if next.upon == Some(step) => {
                choices.iter().map(|choice| self.leaves(arrangement, step + 1, Some(*choice))).sum()
            }
            _ => choices.len() as f64 * self.leaves(arrangement, step + 1, None),
        };
        self.below.borrow_mut().insert(key, count);
        count
    }

    fn is_cut(&self, margin: Margin, changes: u32) -> bool {
        let worst = self.out.best.get(self.keep - 1);
        margin == IMPOSSIBLE
            || margin < self.floor
            || worst.is_some_and(|worst| {
                (margin, std::cmp::Reverse(changes)) <= (worst.margin, std::cmp::Reverse(worst.changes))
            })
    }

    fn cut_below(&mut self, arrangement: usize, chosen: &[u32], choice: u32, bound: Margin) {
        let next = chosen.len() + 1;
        let upon = self.problem.steps(arrangement).get(next).and_then(|step| step.upon);
        let leaves = self.leaves(arrangement, next, upon.map(|_| choice));
        self.cut(bound, leaves);
    }

    fn cut(&mut self, bound: Margin, leaves: f64) {
        self.done += leaves;
        if bound != IMPOSSIBLE {
            self.out.cut_off = Some(self.out.cut_off.map_or(bound, |most| most.max(bound)));
        }
    }
}

#[cfg(test)]
#[path = "search_tests.rs"]
mod tests;
