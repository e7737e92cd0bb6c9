//! How does ground come back from one part to another?
//!
//! Inside a part all ground pads are one piece of copper; between parts ground goes by wires. The current of a signal comes
//! back along ground: beside its wire if there is one, else round by other parts, and then the loop catches noise and the two
//! ends disagree about what nought is. Common practice.

use crate::{Role, Wiring};
use std::collections::VecDeque;

/// How ground comes back between two parts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum GroundPath {
    /// By a wire from the one to the other.
    Direct,
    /// Round by these parts, nearest the first part first.
    Round(Vec<usize>),
    /// Not at all.
    Missing,
    /// Nobody has said where this part's ground pads are.
    Unsaid(usize),
}

/// The shortest way, counted in parts.
pub fn ground_path(wiring: &Wiring, first: usize, second: usize) -> GroundPath {
    let pads = wiring.pads();
    let ground = |pad: &usize| pads[*pad].role == Some(Role::Ground);
    for owner in [first, second] {
        if !pads.iter().any(|pad| pad.owner == owner && pad.role == Some(Role::Ground)) {
            return GroundPath::Unsaid(owner);
        }
    }
    let owners = pads.iter().map(|pad| pad.owner + 1).max().unwrap_or(0);
    let mut next: Vec<Vec<usize>> = vec![Vec::new(); owners];
    for net in wiring.nets() {
        let grounds: Vec<usize> =
            net.pads.iter().filter(|pad| ground(pad)).map(|pad| pads[*pad].owner).collect();
        for a in &grounds {
            next[*a].extend(grounds.iter().filter(|b| *b != a));
        }
    }
    next.iter_mut().for_each(|list| {
        list.sort_unstable();
        list.dedup();
    });
    let mut came: Vec<Option<usize>> = vec![None; owners];
    came[first] = Some(first);
    let mut queue = VecDeque::from([first]);
    while let Some(owner) = queue.pop_front() {
        if owner == second {
            break;
        }
        for other in &next[owner] {
            if came[*other].is_none() {
                came[*other] = Some(owner);
                queue.push_back(*other);
            }
        }
    }
    let mut through = Vec::new();
    let mut at = second;
    while at != first {
        let Some(before) = came[at] else { return GroundPath::Missing };
        if before != first {
            through.push(before);
        }
        at = before;
    }
    through.reverse();
    if through.is_empty() { GroundPath::Direct } else { GroundPath::Round(through) }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::{Join, Level, Pad};

    fn path(joins: &[(usize, usize)]) -> GroundPath {
        let pads = (0..4)
            .map(|owner| Pad { owner, role: Some(Role::Ground), level: Level::default(), port: None })
            .collect();
        let joins = joins.iter().map(|(from, to)| Join { from: *from, to: *to }).collect();
        ground_path(&Wiring::new(pads, joins).unwrap(), 0, 3)
    }

    #[test]
    fn ground_goes_straight_or_round_or_not_at_all() {
        assert_eq!(path(&[(0, 3), (0, 1)]), GroundPath::Direct);
        assert_eq!(path(&[(0, 1), (1, 2), (2, 3)]), GroundPath::Direct, "one piece of copper at one pad");
        assert_eq!(path(&[(0, 1)]), GroundPath::Missing);
    }

    #[test]
    fn what_a_part_joins_inside_is_a_way_round() {
        let pad = |owner| Pad { owner, role: Some(Role::Ground), level: Level::default(), port: None };
        let pads = vec![pad(0), pad(1), pad(1), pad(2)];
        let joins = vec![Join { from: 0, to: 1 }, Join { from: 2, to: 3 }];
        assert_eq!(ground_path(&Wiring::new(pads, joins).unwrap(), 0, 2), GroundPath::Round(vec![1]));
    }

    #[test]
    fn a_part_without_a_ground_pad_is_named() {
        let pads = vec![
            Pad { owner: 0, role: Some(Role::Ground), level: Level::default(), port: None },
            Pad { owner: 1, role: Some(Role::Send), level: Level::default(), port: None },
        ];
        assert_eq!(ground_path(&Wiring::new(pads, vec![]).unwrap(), 0, 1), GroundPath::Unsaid(1));
    }
}
