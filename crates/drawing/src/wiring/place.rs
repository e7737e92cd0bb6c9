//! Blocks, pads and wires at their places on the paper, for one order of parts and plugs.

use super::channel::{Channel, End, bound, tracks, unspared};
use super::crossing::{crossings, wire_length};
use super::layout::{BLOCK_WIDTH, Block, HEAD, Layout, PITCH, Spot, Way};
use super::orders::orders;
use super::plan::{Column, Group, Plan};
use proof::wiring::WiringModel;
use std::collections::BTreeMap;

const BLOCK_GAP: f64 = 6.0;
const GROUP_GAP: f64 = 1.6;
const FOOT: f64 = 1.8;

fn side_height(groups: &[Group]) -> f64 {
    let pads: usize = groups.iter().map(|group| group.pads.len()).sum();
    pads as f64 * PITCH + groups.len().saturating_sub(1) as f64 * GROUP_GAP
}

/// With every channel in its best order where `exact`; while orders are compared a descent does.
pub(super) fn placed(model: &WiringModel, plan: &Plan, exact: bool) -> Layout {
    let ranks = lane_ranks(model, plan);
    let mut best = laid(model, plan, exact, &ranks);
    if exact && ranks.len() <= LANES_TRIED {
        let cost = |layout: &Layout| (layout.crossings, (10.0 * wire_length(layout)) as u64);
        for order in orders(ranks.len()) {
            let tried = laid(model, plan, exact, &order);
            if cost(&tried) < cost(&best) {
                best = tried;
            }
        }
    }
    best
}

/// So many lanes are tried in every order.
const LANES_TRIED: usize = 4;

/// The channel into which a pad of a column looks.
const fn channel_of((_, right, column): (f64, bool, usize)) -> usize {
    column + right as usize
}

/// The lane of each wire that goes over the parts, counted from the parts outward: the wider, the farther out, so that none lies across the
/// ends of another.
fn lane_ranks(model: &WiringModel, plan: &Plan) -> Vec<usize> {
    let mut channels = vec![None; model.pads.len()];
    for (column, units) in plan.columns.iter().enumerate() {
        for (side, groups) in units.units.iter().flat_map(|unit| plan.sides[unit].iter().enumerate()) {
            groups.iter().flat_map(|group| &group.pads).for_each(|pad| channels[*pad] = Some(column + side));
        }
    }
    let joins = model.wires.iter().flat_map(|wire| &wire.joins);
    let spans =
        joins.filter_map(|[a, b]| Some(channels[*a]?.abs_diff(channels[*b]?))).filter(|span| *span > 0);
    let spans: Vec<usize> = spans.collect();
    let mut order: Vec<usize> = (0..spans.len()).collect();
    order.sort_by_key(|n| spans[*n]);
    let mut ranks = vec![0; spans.len()];
    order.iter().enumerate().for_each(|(rank, n)| ranks[*n] = rank);
    ranks
}

fn laid(model: &WiringModel, plan: &Plan, exact: bool, ranks: &[usize]) -> Layout {
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
            let end = |spot: (f64, bool, usize)| if spot.1 { End::Left(spot.0) } else { End::Right(spot.0) };
            let (from, to) = (channel_of(a), channel_of(b));
            let trip = if from == to {
                Trip::One { channel: from, at: channels[from].add(end(a), end(b), *join) }
            } else {
                let lane = -(2.0 + 2.2 * (ranks[lanes] + 1) as f64);
                lanes += 1;
                let out = (from, channels[from].add(end(a), End::Up(lane), *join));
                let back = (to, channels[to].add(End::Up(lane), end(b), *join));
                Trip::Over { out, back, lane }
            };
            trips.push((wire.row, *join, trip));
        }
    }
    let tracks: Vec<Vec<f64>> = channels.iter().map(|channel| tracks(channel, exact)).collect();
    let lift = 2.0 + 2.2 * lanes as f64;
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
    let unspared = channels.iter().map(if exact { unspared } else { bound }).sum();
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
