//! Every combination of choices tried one by one: the slow way, for holding the search to.

use super::search::{Choices, Searched, offer};

/// The `keep` best combinations that are not alike, by trying all.
pub(crate) fn try_all<C: Choices>(problem: &C, keep: usize) -> Searched {
    let mut out = Searched::nothing();
    for arrangement in 0..problem.arrangements() {
        try_from(problem, arrangement, &mut Vec::new(), keep.max(1), &mut out);
    }
    out
}

fn try_from<C: Choices>(
    problem: &C,
    arrangement: usize,
    chosen: &mut Vec<u32>,
    keep: usize,
    out: &mut Searched,
) {
    out.nodes += 1;
    let steps = problem.steps(arrangement);
    let Some(step) = steps.get(chosen.len()) else {
        out.choices += 1.0;
        let fixed: Vec<(usize, u32)> = steps.iter().zip(&*chosen).map(|(s, c)| (s.unit, *c)).collect();
        let mut margin = problem.most();
        for (number, one) in fixed.iter().enumerate() {
            margin = margin.min(problem.own(one.0, one.1));
            for other in &fixed[number + 1..] {
                margin = margin.min(problem.between(*one, *other));
            }
        }
        let changes = fixed.iter().map(|(unit, choice)| problem.changes(*unit, *choice)).sum();
        offer(problem, arrangement, chosen, (margin, changes), keep, &mut out.best);
        return;
    };
    for choice in problem.choices(arrangement, chosen.len(), step.upon.map(|upon| chosen[upon])) {
        chosen.push(choice);
        try_from(problem, arrangement, chosen, keep, out);
        chosen.pop();
    }
}
