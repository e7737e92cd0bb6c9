//! Where the spare length of a lead can be folded: the place along its route with most air round it.
//!
//! A fold is two half turns side by side. It lies flat along what is beside it, so half the lead's least bend radius
//! of air all round does, and as much more as its role asks from blades, hot faces and antennas.

use super::{Lead, LeadWay};
use crate::Proof;
use crate::inputs::CraftSolid;
use fit::{Pose, Shape, Solid, distance_between, required_clearance};
use quantity::Millimetres;

/// Every how many points of a route, about a millimetre apart, a fold is tried.
const EVERY: usize = 4;
/// A place, as a solid.
const PLACE: Millimetres = Millimetres::new(0.02);

/// Where spare length can be folded, in words; `None` where the whole route is too close to things.
pub(crate) fn fold_place(proof: &Proof, lead: &Lead, way: &LeadWay) -> Option<String> {
    let role = lead.role();
    let shape = Shape::cuboid(PLACE, PLACE, PLACE).ok()?;
    let solids = &proof.inputs().solids;
    let roomiest = way.route.points.iter().step_by(EVERY).filter_map(|at| {
        let place = Solid { shape: shape.clone(), pose: Pose::at(*at), ..solids.first()?.solid.clone() };
        let room = |s: &CraftSolid| {
            let needs = required_clearance(role, s.solid.role)?.distance.get();
            Some(distance_between(&place, &s.solid).ok()?.distance.get() - needs)
        };
        let spare = solids.iter().filter_map(|s| Some((room(s)?, s)));
        let spare: Vec<(f64, &CraftSolid)> = spare.collect();
        let room = spare.iter().map(|(room, _)| *room).fold(f64::INFINITY, f64::min);
        // What one can tie it to, not what it must keep from.
        let held = spare.into_iter().filter(|(_, s)| !s.ghost);
        let (_, nearest) = held.min_by(|a, b| a.0.total_cmp(&b.0))?;
        Some((room, *at, nearest))
    });
    let (room, at, nearest) = roomiest.max_by(|a, b| a.0.total_cmp(&b.0))?;
    if room < way.least_bend.get() / 2.0 {
        return None;
    }
    let from = lead.tips[0].as_ref()?;
    let away = at.distance_to(from.at()).get();
    Some(format!("{away:.0} mm from {}, beside {}", from.called, nearest.solid.name))
}
