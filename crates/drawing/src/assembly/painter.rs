//! Which solid is painted before which, so that the nearer covers the farther.
//!
//! Two boxes along the axes that do not meet are parted by a plane across an axis; the one on the eye's side of it is
//! never covered by the other. Where planes across two axes say opposite things neither covers the other; where the
//! boxes meet nothing is said. The rest is a sorting of what must come before what, the farthest first where there
//! is a choice; should the demands go in a round, the farthest left is taken.
//!
//! Cost: every pair once, which for the at most some thousand solids of a sheet is some milliseconds.

use super::boxed::Boxed;
use crate::projection::Eye;
use crate::scale::Bounds;
use std::collections::BTreeSet;

/// How far two boxes may reach into each other and still count as parted, in mm.
const SKIN: f64 = 0.05;

/// The numbers of the boxes in the order of painting. `seen` is where each lands on the paper.
pub(crate) fn painted_order(boxes: &[Boxed], seen: &[Bounds], eye: &Eye) -> Vec<usize> {
    let count = boxes.len();
    let mut over: Vec<Vec<usize>> = vec![Vec::new(); count];
    let mut under = vec![0usize; count];
    for i in 0..count {
        for k in i + 1..count {
            if !meet(&seen[i], &seen[k]) {
                continue;
            }
            match nearer(&boxes[i], &boxes[k], eye) {
                Some(true) => {
                    over[k].push(i);
                    under[i] += 1;
                }
                Some(false) => {
                    over[i].push(k);
                    under[k] += 1;
                }
                None => {}
            }
        }
    }
    let depth = |n: usize| {
        let [near, far] = boxes[n].along(eye.toward());
        // To a thousandth, so that the order does not hang on the last bit.
        ((near + far) * 500.0).round() as i64
    };
    let mut left: BTreeSet<(i64, usize)> = (0..count).map(|n| (depth(n), n)).collect();
    let mut free: BTreeSet<(i64, usize)> = left.iter().copied().filter(|(_, n)| under[*n] == 0).collect();
    let mut order = Vec::with_capacity(count);
    while let Some(next) = free.pop_first().or_else(|| left.first().copied()) {
        left.remove(&next);
        order.push(next.1);
        for k in &over[next.1] {
            under[*k] = under[*k].saturating_sub(1);
            let entry = (depth(*k), *k);
            if under[*k] == 0 && left.contains(&entry) {
                free.insert(entry);
            }
        }
    }
    order
}

fn meet(a: &Bounds, b: &Bounds) -> bool {
    (0..2).all(|k| a.low[k] < b.high[k] && b.low[k] < a.high[k])
}

/// Whether the first is nearer to the eye; `None` where neither covers the other or nothing can be said.
fn nearer(a: &Boxed, b: &Boxed, eye: &Eye) -> Option<bool> {
    let mut says: Option<bool> = None;
    for (k, toward) in eye.toward().into_iter().enumerate() {
        let beyond = a.low[k] >= b.high[k] - SKIN;
        let short = b.low[k] >= a.high[k] - SKIN;
        if toward.abs() < 1e-9 || beyond == short {
            continue;
        }
        let here = beyond == (toward > 0.0);
        match says {
            Some(before) if before != here => return None,
            _ => says = Some(here),
        }
    }
    says
}

#[cfg(test)]
mod tests {
    use super::*;

    fn order(boxes: &[Boxed]) -> Vec<usize> {
        let eye = Eye::askew(-52.0, 28.0);
        let everywhere = Bounds { low: [-1e3, -1e3], high: [1e3, 1e3] };
        painted_order(boxes, &vec![everywhere; boxes.len()], &eye)
    }

    #[test]
    fn what_stands_on_a_plate_is_painted_after_it_even_at_its_far_edge() {
        let plate = Boxed { low: [-50.0, -20.0, -2.0], high: [50.0, 20.0, 0.0] };
        let post = Boxed { low: [-48.0, 12.0, 0.0], high: [-44.0, 16.0, 20.0] };
        let under = Boxed { low: [40.0, -18.0, -6.0], high: [48.0, -10.0, -2.0] };
        assert_eq!(order(&[post, plate, under]), [2, 1, 0]);
    }

    #[test]
    fn boxes_that_cover_one_another_in_a_round_are_all_painted() {
        let bar = |low: [f64; 3], high: [f64; 3]| Boxed { low, high };
        let round = [
            bar([0.0, 0.0, 0.0], [30.0, 4.0, 4.0]),
            bar([26.0, 0.0, 4.0], [30.0, 4.0, 30.0]),
            bar([26.0, 4.0, 0.0], [30.0, 30.0, 4.0]),
        ];
        let mut all = order(&round);
        all.sort_unstable();
        assert_eq!(all, [0, 1, 2]);
    }
}
