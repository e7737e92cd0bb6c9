//! Orders of parts in their columns and of plugs along their sides.

use super::plan::{Group, Plan};

const ORDERS_MOST: usize = 120;
/// So many orders of everything are asked for what they could spare.
const ALL_MOST: usize = 400;

/// Every order of parts in their columns and of plugs along their sides; none where they are too many to ask.
pub(super) fn all_orders(plan: &Plan) -> Option<Vec<Plan>> {
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
pub(super) fn orders(count: usize) -> Vec<Vec<usize>> {
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

pub(super) fn keeps_edges(groups: &[Group]) -> bool {
    groups.iter().enumerate().all(|(n, group)| {
        groups[n + 1..]
            .iter()
            .all(|later| later.edge != group.edge || later.pads.first() > group.pads.first())
    })
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
}
