//! What holds a plug against a tug: the nearest strain relief.

use crate::clearance::distance_between;
use crate::scene::Scene;
use crate::solid::{Solid, SolidIndex};
use quantity::{Linear, Millimetres, Source};

/// How near a relief must be to hold a push-on plug.
pub const RELIEF_WITHIN: Millimetres = Millimetres::new(10.0);
/// Where [`RELIEF_WITHIN`] comes from.
pub const RELIEF_SOURCE: Source =
    Source::common_practice("every push-on plug is held by a clamp, tie, glue or keeper within 10 mm");

/// A relief and how far from the plug it holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Relief {
    /// The solid that relieves.
    pub solid: SolidIndex,
    /// How far it is from the plug, surface to surface, in mm; nought where they overlap.
    pub distance: Linear,
}

/// How far from a plug something relieves it that belongs to a solid, such as a pair of holes for a tie; `None` where it cannot
/// be measured.
pub fn relief_of(plug: &Solid, body: &Solid, of: SolidIndex) -> Option<Relief> {
    let mut distance = distance_between(plug, body).ok()?.linear;
    if distance.value < 0.0 {
        distance = Linear::default();
    }
    Some(Relief { solid: of, distance })
}

/// The relief nearest to a plug; `None` without reliefs or for numbers of another scene.
pub fn nearest_relief(scene: &Scene, plug: SolidIndex, reliefs: &[SolidIndex]) -> Option<Relief> {
    let plug = scene.solid(plug)?;
    let measured = reliefs.iter().filter_map(|&solid| relief_of(plug, scene.solid(solid)?, solid));
    measured.min_by(|a, b| a.distance.value.total_cmp(&b.distance.value))
}
