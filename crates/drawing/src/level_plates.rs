//! The plates of a frame that lie level, by the role their row gives them.

use craft::Craft;
use craft::schema::frame::plate;
use fit::{PartVector, Shape};
use proof::{CraftSolid, Proved, plate_row};

/// Underside and upper side of the level plates of a role, from the lowest, in mm over the craft's origin.
pub(crate) fn level_plates(craft: &Craft, proved: &Proved, role: &str) -> Vec<[f64; 2]> {
    let of_role =
        |solid: &&CraftSolid| plate_row(craft, solid).is_some_and(|row| row.text(&plate::ROLE) == Ok(role));
    let heights = |solid: &CraftSolid| {
        let Shape::Prism(prism) = &solid.solid.shape else { return None };
        let up = solid.solid.pose.vector(PartVector::Z).z();
        let level = up.abs() > 1.0 - 1e-6;
        let foot = solid.solid.pose.origin().z();
        let head = foot + up * prism.thickness().get();
        level.then_some([foot.min(head), foot.max(head)])
    };
    let mut found: Vec<[f64; 2]> = proved.solids.iter().filter(of_role).filter_map(heights).collect();
    found.sort_by(|a, b| a[0].total_cmp(&b[0]));
    found
}
