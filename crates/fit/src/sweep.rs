//! How far a plug can be pulled straight before something stops it.
//!
//! The moving solid is cast along its direction against every other, piece by piece; the collision
//! library's cast on the difference of two convex pieces gives the first meeting exactly. What it touches
//! where it stands only stops it if the pull presses the two together: with n the unit from the
//! obstacle to the plug, a pull along w with w·n ≥ 0 parts or slides.
//!
//! Left out: wiggling, turning, and the lead that hangs on the plug.

use crate::convex::{Convex, Nearest, gap_along, nearest_convex};
use crate::frame::{BodyPoint, BodyVector};
use crate::pairing::{Pairing, Walk};
use crate::penetration::polytope_normal;
use crate::scene::{Extent, Scene};
use crate::solid::{Solid, SolidIndex};
use parry3d_f64::glamx::{DPose3, DVec3};
use parry3d_f64::query::gjk::{self, VoronoiSimplex};
use parry3d_f64::shape::SupportMap;
use quantity::Millimetres;

/// Nearer than this counts as touching.
const TOUCH: f64 = 1e-3;

/// What stops a pull.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stop {
    /// The obstacle.
    pub solid: SolidIndex,
    /// Where on the obstacle.
    pub at: BodyPoint,
}

/// How far a solid can be pulled straight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pull {
    /// How far it moves freely; the whole travel if nothing stops it.
    pub free: Millimetres,
    /// What stops it.
    pub stopped_by: Option<Stop>,
}

/// How far a solid can be pulled along a direction, at most `travel`. Solids in `passing` are passed over;
/// so are solids of the same owner that overlap it where it stands: the socket a plug sits in. `None`
/// without a direction or for a number of another scene.
pub fn straight_sweep_free(
    scene: &Scene,
    moving: SolidIndex,
    direction: BodyVector,
    travel: Millimetres,
    passing: &[SolidIndex],
) -> Option<Pull> {
    let way = direction.direction()?;
    let travel = travel.get();
    if !travel.is_finite() || travel < 0.0 {
        return None;
    }
    let plug = scene.solid(moving)?;
    let standing = scene.extent(moving)?;
    let swept = Extent {
        low: BodyPoint::of(standing.low.0.min(standing.low.0 + way.0 * travel)),
        high: BodyPoint::of(standing.high.0.max(standing.high.0 + way.0 * travel)),
    };
    let mut pull = Pull { free: Millimetres::new(travel), stopped_by: None };
    for index in scene.indices() {
        if index == moving || scene.extent(index)?.gap(&swept) > TOUCH || passing.contains(&index) {
            continue;
        }
        let obstacle = scene.solid(index)?;
        let own = obstacle.owner == plug.owner;
        if let Some((free, at)) = first_meeting(obstacle, plug, way, pull.free.get(), own) {
            pull = Pull { free: Millimetres::new(free), stopped_by: Some(Stop { solid: index, at }) };
        }
    }
    Some(pull)
}

/// When the plug first meets the obstacle before `limit`, and where.
fn first_meeting(
    obstacle: &Solid,
    plug: &Solid,
    way: BodyVector,
    limit: f64,
    own: bool,
) -> Option<(f64, BodyPoint)> {
    let b_in_a = (obstacle.pose.inverse() * plug.pose).raw;
    let local = obstacle.pose.raw.rotation.inverse() * way.0;
    let pairing = Pairing::new(&obstacle.shape, &plug.shape, b_in_a);
    let mut first: Option<(f64, DVec3)> = None;
    let mut sits_inside = false;
    pairing.walk(
        limit,
        |a, b| pairing.arrival(a, b, local),
        |a, b, limit| {
            match nearest_convex(a, b, &b_in_a, TOUCH) {
                Nearest::Overlap if own => {
                    sits_inside = true;
                    return Walk::Stop;
                }
                Nearest::Overlap if parts(a, b, &b_in_a, local) => {}
                Nearest::Apart(touch) if touch.direction.dot(local) >= -1e-6 => {}
                Nearest::Overlap => {
                    first = Some((0.0, b_in_a.translation));
                    *limit = 0.0;
                }
                Nearest::Apart(touch) => {
                    first = Some((0.0, touch.on_a));
                    *limit = 0.0;
                }
                Nearest::Beyond => {
                    let mut simplex = VoronoiSimplex::new();
                    let cast = gjk::directional_distance(&b_in_a, a, b, local, &mut simplex);
                    if let Some((free, _, on_a, _)) = cast
                        && free < *limit
                    {
                        first = Some((free, on_a));
                        *limit = free;
                    }
                }
            }
            Walk::On
        },
    );
    let (free, on_a) = first.filter(|_| !sits_inside)?;
    Some((free, obstacle.pose.point(crate::PartPoint::of(on_a))))
}

/// Whether two pieces that merely touch part or slide when the second moves.
fn parts(a: &Convex, b: &Convex, b_in_a: &DPose3, way: DVec3) -> bool {
    polytope_normal(a, b, b_in_a).is_some_and(|n| -gap_along(a, b, b_in_a, n) <= TOUCH && n.dot(way) >= -1e-6)
}

/// The farthest point of a solid along a direction.
pub(crate) fn farthest(solid: &Solid, direction: BodyVector) -> BodyPoint {
    let local = solid.pose.raw.rotation.inverse() * direction.0;
    let tip = match crate::convex::whole(&solid.shape) {
        Some(convex) => convex.local_support_point(local),
        None => match &solid.shape {
            crate::Shape::Prism(p) => {
                let polygon: Vec<_> = p.outline().outer().iter().map(|c| c.raw()).collect();
                Convex::Prism { polygon: &polygon, thickness: p.thickness().get() }.local_support_point(local)
            }
            _ => DVec3::ZERO,
        },
    };
    solid.pose.point(crate::PartPoint::of(tip))
}

/// How far a solid goes straight along a direction before it meets another, if it does within `travel`. What overlaps it
/// where it stands is passed over: the socket it sits in, or a size that was drawn too large.
pub fn meets_after(
    moving: &Solid,
    obstacle: &Solid,
    direction: BodyVector,
    travel: Millimetres,
) -> Option<Millimetres> {
    let way = direction.direction()?;
    let travel = Some(travel.get()).filter(|travel| travel.is_finite() && *travel >= 0.0)?;
    first_meeting(obstacle, moving, way, travel, true).map(|(free, _)| Millimetres::new(free))
}
