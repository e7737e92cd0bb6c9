//! The search for the cheapest allotment of some wants.

use super::{Lines, Port, Want, cost_of, may_share, suits};

/// The cheapest allotment of some wants: the port of each, in their order.
pub(super) fn best(ports: &[Port], wants: &[Want], of: &[usize]) -> Option<(Vec<usize>, u32)> {
    let suited: Vec<Vec<(u32, usize)>> = of
        .iter()
        .map(|want| {
            let mut list: Vec<(u32, usize)> = (0..ports.len())
                .filter(|port| suits(&ports[*port], &wants[*want]).is_ok())
                .map(|port| (cost_of(&ports[port], &wants[*want]), port))
                .collect();
            list.sort_unstable();
            list
        })
        .collect();
    for takes in [|lines: Lines| lines.send, |lines: Lines| lines.receive] {
        let on_line: Vec<&[(u32, usize)]> = of
            .iter()
            .zip(&suited)
            .filter(|(want, _)| takes(wants[**want].lines))
            .map(|(_, list)| &list[..])
            .collect();
        if !lines_suffice(&on_line, ports.len()) {
            return None;
        }
    }
    let mut order: Vec<usize> = (0..of.len()).collect();
    order.sort_by_key(|at| (suited[*at].len(), *at));
    // The least that the wants from each step on can cost.
    let mut open = vec![0; of.len() + 1];
    for step in (0..of.len()).rev() {
        open[step] = open[step + 1] + suited[order[step]].first()?.0;
    }
    let mut search = Search {
        ports,
        wants,
        of,
        suited: &suited,
        order: &order,
        open: &open,
        on: vec![Vec::new(); ports.len()],
        given: vec![0; of.len()],
        best: None,
    };
    search.step(0, 0);
    search.best
}

/// Whether each want can have a line of its own of one sort: a matching by augmenting paths. No allotment without it, and
/// it ends at once the long search where there are simply too few ports.
fn lines_suffice(suited: &[&[(u32, usize)]], ports: usize) -> bool {
    fn give(want: usize, suited: &[&[(u32, usize)]], has: &mut [Option<usize>], seen: &mut [bool]) -> bool {
        suited[want].iter().any(|(_, port)| {
            if std::mem::replace(&mut seen[*port], true) {
                return false;
            }
            let free = has[*port].is_none_or(|other| give(other, suited, has, seen));
            if free {
                has[*port] = Some(want);
            }
            free
        })
    }
    let mut has = vec![None; ports];
    (0..suited.len()).all(|want| give(want, suited, &mut has, &mut vec![false; ports]))
}

struct Search<'a> {
    ports: &'a [Port],
    wants: &'a [Want],
    of: &'a [usize],
    suited: &'a [Vec<(u32, usize)>],
    order: &'a [usize],
    open: &'a [u32],
    on: Vec<Vec<usize>>,
    given: Vec<usize>,
    best: Option<(Vec<usize>, u32)>,
}

impl Search<'_> {
    fn step(&mut self, step: usize, cost: u32) {
        // Beaten already: of equal ones the first found stays, so that the answer is the same every time.
        if self.best.as_ref().is_some_and(|(_, least)| cost + self.open[step] >= *least) {
            return;
        }
        let Some(at) = self.order.get(step).copied() else {
            self.best = Some((self.given.clone(), cost));
            return;
        };
        let want = self.of[at];
        let suited = self.suited;
        for (number, (more, port)) in suited[at].iter().enumerate() {
            let alone = self.on[*port].is_empty();
            let shares = |other: &usize| may_share(&self.wants[*other], &self.wants[want]);
            if !self.on[*port].iter().all(shares) {
                continue;
            }
            // Two empty ports that are alike lead to like answers: the first will do.
            let like =
                |other: usize| alone && self.on[other].is_empty() && self.ports[other] == self.ports[*port];
            if suited[at][..number].iter().any(|(_, other)| like(*other)) {
                continue;
            }
            self.on[*port].push(want);
            self.given[at] = *port;
            self.step(step + 1, cost + more);
            self.on[*port].pop();
        }
    }
}
