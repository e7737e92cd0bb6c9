//! Where the parts, their pads and the wires between them go on the paper.
//!
//! Parts stand in columns in the way of the current: packs, speed controllers, boards that others hang on, everything else.
//! Pads stand at the side that faces what they are joined to, each plug and each edge in its true order, top to bottom. Wires run
//! square: out of a pad, along a track of their own in the channel between two columns, into the other pad. The order of parts
//! in a column, of plugs along a side and of tracks in a channel is the one with the fewest crossings that a descent
//! finds: each is tried in every order (a few hundred at most) while the others stand, until nothing improves. Crossings are counted from the
//! lines as drawn. What no order of the tracks could spare is added up pair by pair; where the orders of parts and plugs are few enough, all
//! of them are asked for that bound, and a drawing that reaches the least of them has the fewest crossings there are.

use super::channel::{Channel, End, bound, tracks};
use craft::schema::PartKind;
use proof::wiring::WiringModel;
use std::collections::BTreeMap;

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
const BLOCK_GAP: f64 = 6.0;
const GROUP_GAP: f64 = 1.6;
const FOOT: f64 = 1.8;
/// How far a lug stands out of its block.
pub(crate) const LUG: f64 = 3.0;
const ORDERS_MOST: usize = 120;
const ROUNDS: usize = 3;
/// So many orders of everything are asked for what they could spare.
const ALL_MOST: usize = 400;

/// Pads that keep their order: of one plug, or of one stretch of edge.
#[derive(Clone, Debug)]
struct Group {
    /// Stretches of one edge keep their order among themselves.
    edge: usize,
    pads: Vec<usize>,
}

#[derive(Clone, Debug)]
struct Column {
    units: Vec<usize>,
}

/// The order of everything, which is what the descent changes.
#[derive(Clone, Debug)]
struct Plan {
    columns: Vec<Column>,
    /// Groups of each unit by side: left, right.
    sides: BTreeMap<usize, [Vec<Group>; 2]>,
}

/// The layout with the fewest crossings found.
pub(crate) fn layout(model: &WiringModel) -> Layout {
    let mut plan = planned(model);
    let mut best = placed(model, &plan);
    let cost = |layout: &Layout| (layout.crossings, (10.0 * wire_length(layout)) as u64);
    for _ in 0..ROUNDS {
        let before = cost(&best);
        for column in 0..plan.columns.len() {
            for order in orders(plan.columns[column].units.len()) {
                let mut tried = plan.clone();
                tried.columns[column].units = order.iter().map(|n| plan.columns[column].units[*n]).collect();
                let layout = placed(model, &tried);
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
                    let layout = placed(model, &tried);
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
    best.proven = best.crossings == 0;
    if !best.proven
        && let Some(all) = all_orders(&plan)
    {
        let mut least = usize::MAX;
        for order in &all {
            let layout = placed(model, order);
            least = least.min(layout.unspared);
            if cost(&layout) < cost(&best) {
                best = layout;
            }
        }
        best.proven = best.crossings <= least;
    }
    best
}

/// Every order of parts in their columns and of plugs along their sides; none where they are too many to ask.
fn all_orders(plan: &Plan) -> Option<Vec<Plan>> {
    let mut all = vec![plan.clone()];
    let mut grown = |choices: usize, change: &dyn Fn(&Plan, usize) -> Option<Plan>| -> Option<()> {
        all = all.iter().flat_map(|plan| (0..choices).filter_map(|n| change(plan, n))).collect();
        (all.len() <= ALL_MOST).then_some(())
    };
    for column in 0..plan.columns.len() {
        let count = plan.columns[column].units.len();
        let orders = whole_orders(count)?;
        grown(orders.len(), &|plan, n| {
            let mut tried = plan.clone();
            tried.columns[column].units = orders[n].iter().map(|n| plan.columns[column].units[*n]).collect();
            Some(tried)
        })?;
    }
    for (unit, sides) in &plan.sides {
        for (side, groups) in sides.iter().enumerate() {
            let orders = whole_orders(groups.len())?;
            grown(orders.len(), &|plan, n| {
                let groups = &plan.sides.get(unit)?[side];
                let turned: Vec<Group> = orders[n].iter().map(|n| groups[*n].clone()).collect();
                let mut tried = plan.clone();
                tried.sides.get_mut(unit)?[side] = turned;
                keeps_edges(&tried.sides[unit][side]).then_some(tried)
            })?;
        }
    }
    Some(all)
}

/// Every order of so many things; none where not all of them would be tried.
fn whole_orders(count: usize) -> Option<Vec<Vec<usize>>> {
    let all: usize = (1..=count).try_fold(1usize, |all, n| all.checked_mul(n))?;
    (all <= ORDERS_MOST).then(|| orders(count))
}

/// Every order of so many things, the first few where there are very many.
fn orders(count: usize) -> Vec<Vec<usize>> {
    let mut found = vec![Vec::new()];
    for n in 0..count {
        found = found
            .into_iter()
            .flat_map(|order: Vec<usize>| {
                (0..=order.len()).rev().map(move |at| {
                    let mut order = order.clone();
                    order.insert(at, n);
                    order
                })
            })
            .take(ORDERS_MOST)
            .collect();
    }
    found
}

fn keeps_edges(groups: &[Group]) -> bool {
    groups.iter().enumerate().all(|(n, group)| {
        groups[n + 1..]
            .iter()
            .all(|later| later.edge != group.edge || later.pads.first() > group.pads.first())
    })
}

fn rank(kind: PartKind) -> usize {
    match kind {
        PartKind::Pack => 0,
        PartKind::SpeedController | PartKind::Capacitor => 1,
        PartKind::FlightController | PartKind::IntegratedBoard => 2,
        _ => 3,
    }
}

fn planned(model: &WiringModel) -> Plan {
    let drawn: Vec<usize> =
        (0..model.units.len()).filter(|unit| model.pads_of(*unit).next().is_some()).collect();
    let mut ranks: Vec<usize> = drawn.iter().map(|unit| rank(model.units[*unit].kind)).collect();
    ranks.sort_unstable();
    ranks.dedup();
    let of_rank = |wanted: &usize| Column {
        units: drawn.iter().copied().filter(|unit| rank(model.units[*unit].kind) == *wanted).collect(),
    };
    let columns: Vec<Column> = ranks.iter().map(of_rank).collect();
    let column_of = |unit: usize| columns.iter().position(|column| column.units.contains(&unit));
    let last = columns.len().saturating_sub(1);
    let mut sides = BTreeMap::new();
    for unit in &drawn {
        let own = column_of(*unit).unwrap_or(0);
        let usual = usize::from(own == 0 || own != last);
        let wanted = |pad: usize| -> Option<usize> {
            let joins = model.wires.iter().flat_map(|wire| &wire.joins);
            let other = joins
                .filter_map(|[a, b]| if *a == pad { Some(*b) } else { (*b == pad).then_some(*a) })
                .map(|other| column_of(model.pads[other].unit).unwrap_or(own))
                .next()?;
            Some(usize::from(if other == own { own == 0 } else { other > own }))
        };
        let mut groups: [Vec<Group>; 2] = [Vec::new(), Vec::new()];
        let mut edges: Vec<Option<&str>> = Vec::new();
        for pad in model.pads_of(*unit) {
            let plug = model.pads[pad].plug.as_deref();
            if !edges.contains(&plug) {
                edges.push(plug);
            }
        }
        for (edge, plug) in edges.iter().enumerate() {
            let pads: Vec<usize> =
                model.pads_of(*unit).filter(|pad| model.pads[*pad].plug.as_deref() == *plug).collect();
            let majority = || {
                let right =
                    pads.iter().filter_map(|pad| wanted(*pad)).map(|side| 2 * side as i32 - 1).sum::<i32>();
                if right == 0 { usual } else { usize::from(right > 0) }
            };
            // A plug stays whole; an edge may be drawn on both sides, each stretch in order.
            let mut side = pads.iter().find_map(|pad| wanted(*pad)).unwrap_or(usual);
            for pad in &pads {
                let here = if plug.is_some() { majority() } else { wanted(*pad).unwrap_or(side) };
                side = here;
                match groups[here].last_mut().filter(|group| group.edge == edge) {
                    Some(group) => group.pads.push(*pad),
                    None => groups[here].push(Group { edge, pads: vec![*pad] }),
                }
            }
        }
        sides.insert(*unit, groups);
    }
    Plan { columns, sides }
}

fn side_height(groups: &[Group]) -> f64 {
    let pads: usize = groups.iter().map(|group| group.pads.len()).sum();
    pads as f64 * PITCH + groups.len().saturating_sub(1) as f64 * GROUP_GAP
}

fn placed(model: &WiringModel, plan: &Plan) -> Layout {
    let height_of = |unit: &usize| {
        let sides = &plan.sides[unit];
        HEAD + side_height(&sides[0]).max(side_height(&sides[1])) + FOOT
    };
    let column_height = |column: &Column| {
        column.units.iter().map(height_of).sum::<f64>()
            + column.units.len().saturating_sub(1) as f64 * BLOCK_GAP
    };
    let height = plan.columns.iter().map(column_height).fold(0.0, f64::max);
    // Heights of pads first, with a phase for each column so that lines of two columns seldom share one height.
    let mut spots: Vec<Option<(f64, bool, usize)>> = vec![None; model.pads.len()];
    let mut tops: BTreeMap<usize, f64> = BTreeMap::new();
    for (number, column) in plan.columns.iter().enumerate() {
        let mut top = 0.5 * (height - column_height(column)) + 0.9 * number as f64;
        for unit in &column.units {
            tops.insert(*unit, top);
            for (side, groups) in plan.sides[unit].iter().enumerate() {
                let mut y = top + HEAD + 0.5 * PITCH;
                for group in groups {
                    for pad in &group.pads {
                        spots[*pad] = Some((y, side == 1, number));
                        y += PITCH;
                    }
                    y += GROUP_GAP;
                }
            }
            top += height_of(unit) + BLOCK_GAP;
        }
    }
    let mut channels: Vec<Channel> = (0..=plan.columns.len()).map(|_| Channel::default()).collect();
    let mut lanes = 0;
    // What each wire does in each channel, by channel and number there.
    let mut trips: Vec<(usize, [usize; 2], Trip)> = Vec::new();
    for wire in &model.wires {
        for join in &wire.joins {
            let (Some(mut a), Some(mut b)) = (spots[join[0]], spots[join[1]]) else { continue };
            if (b.2, b.1) < (a.2, a.1) {
                (a, b) = (b, a);
            }
            let channel = |spot: (f64, bool, usize)| spot.2 + usize::from(spot.1);
            let end = |spot: (f64, bool, usize)| if spot.1 { End::Left(spot.0) } else { End::Right(spot.0) };
            let (from, to) = (channel(a), channel(b));
            let trip = if from == to {
                Trip::One { channel: from, at: channels[from].add(end(a), end(b), *join) }
            } else {
                lanes += 1;
                let lane = -(2.0 + 2.2 * lanes as f64);
                let out = (from, channels[from].add(end(a), End::Up(lane), *join));
                let back = (to, channels[to].add(End::Up(lane), end(b), *join));
                Trip::Over { out, back, lane }
            };
            trips.push((wire.row, *join, trip));
        }
    }
    let tracks: Vec<Vec<f64>> = channels.iter().map(tracks).collect();
    let lift = 2.0 + 2.2 * f64::from(lanes);
    let mut x = 0.0;
    let mut lefts = Vec::new();
    let mut edges = Vec::new();
    for (number, channel) in channels.iter().enumerate() {
        let outer = number == 0 || number == plan.columns.len();
        let room = if outer && channel.is_empty() { 0.0 } else { channel.width() };
        edges.push(x);
        x += room;
        if number < plan.columns.len() {
            lefts.push(x);
            x += BLOCK_WIDTH;
        }
    }
    let mut blocks = Vec::new();
    let mut placed_spots = Vec::new();
    for (number, column) in plan.columns.iter().enumerate() {
        for unit in &column.units {
            let top = tops[unit] + lift;
            blocks.push(Block {
                unit: *unit,
                left: lefts[number],
                top,
                width: BLOCK_WIDTH,
                height: height_of(unit),
            });
        }
    }
    let pad_at = |pad: usize| {
        let (y, right, column) = spots[pad]?;
        Some(Spot { pad, at: [lefts[column] + if right { BLOCK_WIDTH } else { 0.0 }, y + lift], right })
    };
    placed_spots.extend((0..model.pads.len()).filter_map(pad_at));
    let ways = trips.into_iter().filter_map(|(row, join, trip)| {
        let (a, b) = (pad_at(join[0])?, pad_at(join[1])?);
        let points = match trip {
            Trip::One { channel, at } => {
                let track = edges[channel] + tracks[channel][at];
                vec![a.at, [track, a.at[1]], [track, b.at[1]], b.at]
            }
            Trip::Over { out, back, lane } => {
                let (first, second) =
                    (edges[out.0] + tracks[out.0][out.1], edges[back.0] + tracks[back.0][back.1]);
                // The trip was entered from the left; the join may have been written the other way.
                let (near, far) = if a.at[0] <= b.at[0] { (first, second) } else { (second, first) };
                let y = lane + lift;
                vec![a.at, [near, a.at[1]], [near, y], [far, y], [far, b.at[1]], b.at]
            }
        };
        Some(Way { row, join, points })
    });
    let ways: Vec<Way> = ways.collect();
    let crossings = crossings(&ways);
    let unspared = channels.iter().map(bound).sum();
    Layout {
        blocks,
        spots: placed_spots,
        ways,
        width: x,
        height: height + lift + 0.9 * plan.columns.len() as f64,
        crossings,
        unspared,
        proven: false,
    }
}

enum Trip {
    One { channel: usize, at: usize },
    Over { out: (usize, usize), back: (usize, usize), lane: f64 },
}

fn wire_length(layout: &Layout) -> f64 {
    let of = |way: &Way| {
        way.points.windows(2).map(|w| (w[0][0] - w[1][0]).abs() + (w[0][1] - w[1][1]).abs()).sum::<f64>()
    };
    layout.ways.iter().map(of).sum()
}

/// How often two wires cross, counted from the lines. Wires of one net may: they are one piece of copper.
pub(crate) fn crossings(ways: &[Way]) -> usize {
    let mut count = 0;
    for (number, one) in ways.iter().enumerate() {
        for other in &ways[number + 1..] {
            if one.join.iter().any(|pad| other.join.contains(pad)) {
                continue;
            }
            for a in one.points.windows(2) {
                for b in other.points.windows(2) {
                    count += usize::from(cross([a[0], a[1]], [b[0], b[1]]));
                }
            }
        }
    }
    count
}

/// Whether an upright and a level stretch cross inside both.
fn cross(a: [At; 2], b: [At; 2]) -> bool {
    let upright = |s: &[At; 2]| (s[0][0] - s[1][0]).abs() < 1e-9 && (s[0][1] - s[1][1]).abs() > 1e-9;
    let (v, h) = match (upright(&a), upright(&b)) {
        (true, false) => (a, b),
        (false, true) => (b, a),
        _ => return false,
    };
    let within = |x: f64, p: f64, q: f64| x > p.min(q) + 1e-9 && x < p.max(q) - 1e-9;
    within(v[0][0], h[0][0], h[1][0]) && within(h[0][1], v[0][1], v[1][1])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_order_is_tried_while_there_are_few() {
        assert_eq!(orders(0).len(), 1);
        assert_eq!(orders(4).len(), 24);
        assert!(orders(9).len() <= ORDERS_MOST);
    }

    #[test]
    fn lines_cross_inside_and_not_at_their_ends() {
        let v = [[1.0, 0.0], [1.0, 2.0]];
        assert!(cross(v, [[0.0, 1.0], [2.0, 1.0]]));
        assert!(!cross(v, [[1.0, 1.0], [2.0, 1.0]]));
        assert!(!cross(v, [[0.0, 2.0], [2.0, 2.0]]));
    }
}
