//! Which parts stand in which column, and which pads at which of their sides: what the search for an order begins with.

use craft::schema::PartKind;
use proof::wiring::WiringModel;
use std::collections::BTreeMap;

/// Pads that keep their order: of one plug, or of one stretch of edge.
#[derive(Clone, Debug)]
pub(super) struct Group {
    /// Stretches of one edge keep their order among themselves.
    pub edge: usize,
    pub pads: Vec<usize>,
}

#[derive(Clone, Debug)]
pub(super) struct Column {
    pub units: Vec<usize>,
}

/// The order of everything, which is what the descent changes.
#[derive(Clone, Debug)]
pub(super) struct Plan {
    pub columns: Vec<Column>,
    /// Groups of each unit by side: left, right.
    pub sides: BTreeMap<usize, [Vec<Group>; 2]>,
}

fn rank(kind: PartKind) -> usize {
    match kind {
        PartKind::Pack => 0,
        PartKind::SpeedController | PartKind::Capacitor => 1,
        PartKind::FlightController | PartKind::IntegratedBoard => 2,
        _ => 3,
    }
}

pub(super) fn planned(model: &WiringModel) -> Plan {
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
