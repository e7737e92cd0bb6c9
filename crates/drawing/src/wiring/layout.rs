//! Where the parts, their pads and the wires between them go on the paper.
//!
//! Parts stand in columns in the way of the current: packs, speed controllers, boards that others hang on, everything else.
//! Pads stand at the side that faces what they are joined to, each plug and each edge in its true order, top to bottom. Wires run
//! square: out of a pad, along a track of their own in the channel between two columns, into the other pad. The order of parts
//! in a column, of plugs along a side and of tracks in a channel is the one with the fewest crossings that a descent
//! finds: each is tried in every order (a few hundred at most) while the others stand, until nothing improves. Crossings are counted from the
//! lines as drawn. Wires between columns that are no neighbours go over all parts, each on a lane of its own, the widest outermost; for what is kept
//! every order of few lanes is tried. What no order of the tracks could spare is added up pair by pair; where the orders of parts and plugs are few enough, all
//! of them are asked for that bound, and a drawing that reaches the least of them has the fewest crossings there are.

use super::crossing::wire_length;
use super::orders::{all_orders, keeps_edges, orders};
use super::place::placed;
use super::plan::{Group, planned};
use proof::wiring::WiringModel;

/// A point on the paper, mm.
pub(crate) type At = [f64; 2];

/// A part on the paper.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Block {
    pub unit: usize,
    pub left: f64,
    pub top: f64,
    pub width: f64,
    pub height: f64,
}

/// A pad on the paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Spot {
    pub pad: usize,
    pub at: At,
    /// Whether it looks to the right.
    pub right: bool,
}

/// One wire on the paper: which row and which of its joins, and its line.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Way {
    pub row: usize,
    pub join: [usize; 2],
    pub points: Vec<At>,
}

/// Everything on the paper.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Layout {
    pub blocks: Vec<Block>,
    pub spots: Vec<Spot>,
    pub ways: Vec<Way>,
    pub width: f64,
    pub height: f64,
    pub crossings: usize,
    /// How many no order of the tracks spares with parts and plugs in this order.
    pub unspared: usize,
    /// Whether no order of parts, plugs and tracks whatever has fewer.
    pub proven: bool,
}

/// From pad to pad.
pub(crate) const PITCH: f64 = 4.5;
/// The head of a block: its name.
pub(crate) const HEAD: f64 = 14.5;
/// Two names of pads side by side, `battery minus` the longest that is usual.
pub(crate) const BLOCK_WIDTH: f64 = 43.0;
/// How far a lug stands out of its block.
pub(crate) const LUG: f64 = 3.0;
const ROUNDS: usize = 3;

/// The layout with the fewest crossings found.
pub(crate) fn layout(model: &WiringModel) -> Layout {
    let mut plan = planned(model);
    let mut best = placed(model, &plan, false);
    let cost = |layout: &Layout| (layout.crossings, (10.0 * wire_length(layout)) as u64);
    for _ in 0..ROUNDS {
        let before = cost(&best);
        for column in 0..plan.columns.len() {
            for order in orders(plan.columns[column].units.len()) {
                let mut tried = plan.clone();
                tried.columns[column].units = order.iter().map(|n| plan.columns[column].units[*n]).collect();
                let layout = placed(model, &tried, false);
                if cost(&layout) < cost(&best) {
                    (plan, best) = (tried, layout);
                    break;
                }
            }
        }
        let units: Vec<usize> = plan.sides.keys().copied().collect();
        for unit in units {
            for side in 0..2 {
                let groups = plan.sides[&unit][side].clone();
                for order in orders(groups.len()) {
                    let turned: Vec<Group> = order.iter().map(|n| groups[*n].clone()).collect();
                    if !keeps_edges(&turned) {
                        continue;
                    }
                    let mut tried = plan.clone();
                    if let Some(sides) = tried.sides.get_mut(&unit) {
                        sides[side] = turned;
                    }
                    let layout = placed(model, &tried, false);
                    if cost(&layout) < cost(&best) {
                        (plan, best) = (tried, layout);
                    }
                }
            }
        }
        if cost(&best) >= before {
            break;
        }
    }
    let kept = placed(model, &plan, true);
    if cost(&kept) <= cost(&best) {
        best = kept;
    }
    best.proven = best.crossings == 0;
    if !best.proven
        && let Some(all) = all_orders(&plan)
    {
        let mut least = usize::MAX;
        for order in &all {
            let layout = placed(model, order, false);
            // Where the bound of its pairs is no better than what is drawn, the best order of its tracks is not either.
            let layout = if layout.unspared < best.crossings { placed(model, order, true) } else { layout };
            least = least.min(layout.unspared);
            if cost(&layout) < cost(&best) {
                best = layout;
            }
        }
        best.proven = best.crossings <= least;
    }
    best
}
