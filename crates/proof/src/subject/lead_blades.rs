//! How near each lead comes to each swept disc: as it is drawn, and as far as its spare length lets it swing.
//!
//! Held at two places that lie a and b before and after a point of its way, a lead with e of slack reaches no farther from
//! there than an ellipse with its foci at the two: h = β·√(1 − ((a − b) / 2α)²), 2α = a + b + e, β = √(α² − ((a + b) / 2)²).
//! The slack may gather between any two holds, so each span is counted with all of it. Slack that is wanted is laid in
//! with the lead and not counted: e is what is over. Holds are the ends and the strain reliefs that the lead passes. What
//! stands between lead and disc stops the swing; the wall of a duct is a barrier.
//!
//! Left out: that a lead which swings is led round things, which shortens it.

use super::{Lead, LeadWay};
use crate::Proof;
use crate::inputs::CraftSolid;
use crate::limits::BLADE_TO_SOFT;
use crate::numbers::rounded;
use fit::{
    BodyPoint, BodyVector, OwnerIndex, Pose, RELIEF_WITHIN, Role, RouteGap, Shape, Solid, SolidIndex,
    keeps_from, required_clearance, route_gap,
};
use quantity::{Degrees, Millimetres};

/// A lead and a swept disc it comes near.
#[derive(Clone, Debug)]
pub(crate) struct BladeNear {
    /// The disc.
    pub disc: SolidIndex,
    /// The gap of the lead as it is drawn.
    pub gap: RouteGap,
    /// The duct whose wall is between.
    pub duct: Option<String>,
    /// The strain relief that holds the lead where it comes near.
    pub held_by: Option<SolidIndex>,
    /// How near its slack lets it swing, if nearer.
    pub swing: Option<Swing>,
}

/// Where a lead is held along its way, in mm, and by what if not by its plug.
type Hold = (f64, Option<SolidIndex>);

/// How near a lead can swing to a disc.
#[derive(Clone, Debug)]
pub(crate) struct Swing {
    /// From its surface to the disc, in mm; negative inside.
    pub gap: f64,
    /// Where on its way it swings out from.
    pub at: BodyPoint,
    /// How much of its slack is more than it needs, in mm.
    pub over: f64,
    /// With how much less length it would keep what it should, in mm.
    pub shorten_by: f64,
}

/// A relief this near the lead's middle line beyond its own thickness holds it, in mm.
const HOLDS_WITHIN: f64 = 2.0;
/// A relief this near an end of the way holds the plug, in mm.
const AT_PLUG: f64 = 2.0;
/// Gaps wider than what is needed by more than this are not told, in mm.
const TOLD_WITHIN: f64 = 2.0;

/// Every how many points of a way, about a millimetre apart, a swing is tried.
const EVERY: usize = 3;
/// What a lead can be tied to.
const TIED_TO: &[Role] =
    &[Role::CarbonPlate, Role::InsulatingPlate, Role::Standoff, Role::MouldedDuct, Role::PrintedPart];

/// The discs that a lead comes near, nearest first.
pub(crate) fn blades_near(proof: &Proof, lead: &Lead, way: &LeadWay) -> Vec<BladeNear> {
    let [Some(from), Some(to)] = &lead.tips else { return Vec::new() };
    let holds = holds(proof, way);
    let mut near = Vec::new();
    for (number, disc) in proof.inputs().solids.iter().enumerate() {
        let needs = required_clearance(lead.role(), disc.solid.role);
        let (Role::BladeSweep, Some(needs)) = (disc.solid.role, needs) else { continue };
        let (index, ends, needs) = (SolidIndex(number as u32), [from.end(), to.end()], needs.distance);
        let scene = &proof.inputs().scene;
        let Some(gap) = route_gap(scene, ends, &way.asked.half_thickness, &way.route, index, needs) else {
            continue;
        };
        let duct = duct_between(proof, gap.on_lead, gap.on_solid).map(str::to_owned);
        let wanted = needs.get();
        let far = gap.distance.value >= wanted;
        let swing = if far { swing(proof, lead, way, &holds, &disc.solid, wanted) } else { None };
        if swing.is_some() || gap.distance.value < wanted + TOLD_WITHIN {
            // What holds only the plug lets the lead beyond it go where it will.
            let whole = holds.last().map_or(0.0, |end| end.0);
            let beside = |(at, _): &&Hold| {
                (at - gap.along.get()).abs() < RELIEF_WITHIN.get() && (AT_PLUG..whole - AT_PLUG).contains(at)
            };
            let held_by = holds.iter().filter(|hold| hold.1.is_some()).find(beside).and_then(|hold| hold.1);
            near.push(BladeNear { disc: index, gap, duct, held_by, swing });
        }
    }
    near.sort_by(|a, b| a.gap.distance.value.total_cmp(&b.gap.distance.value));
    near
}

/// Where a lead is held, in order, its ends included.
fn holds(proof: &Proof, way: &LeadWay) -> Vec<Hold> {
    let points = &way.route.points;
    let mut holds = vec![(0.0, None), (along(points, points.len().saturating_sub(1)), None)];
    let reach = way.asked.half_thickness.value + HOLDS_WITHIN;
    for (index, relief) in proof.inputs().scene.indices().zip(&proof.inputs().solids) {
        if relief.solid.role != Role::Relief {
            continue;
        }
        let far = |number: &usize| relief.solid.nearest_to(points[*number]).0.get();
        let nearest = (0..points.len()).min_by(|a, b| far(a).total_cmp(&far(b)));
        let held = nearest.filter(|number| far(number) < reach);
        holds.extend(held.map(|number| (along(points, number), Some(index))));
    }
    holds.sort_by(|a, b| a.0.total_cmp(&b.0));
    holds
}

/// How far along its points a number is.
fn along(points: &[BodyPoint], number: usize) -> f64 {
    points.windows(2).take(number).map(|w| w[0].distance_to(w[1]).get()).sum()
}

/// How far a lead reaches from its way, held so far before and after, with so much slack.
fn reach([before, after]: [f64; 2], slack: f64) -> f64 {
    let (half, foci) = ((before + after + slack) / 2.0, (before + after) / 2.0);
    let aside = (before - after) / 2.0;
    let across = (half * half - foci * foci).max(0.0);
    (across * (1.0 - (aside / half.max(1e-9)).powi(2)).max(0.0)).sqrt()
}

/// The nearest that its slack lets a lead swing to a disc, if that is within reach of the blades.
fn swing(
    proof: &Proof,
    lead: &Lead,
    way: &LeadWay,
    holds: &[Hold],
    disc: &Solid,
    wanted: f64,
) -> Option<Swing> {
    let over = (way.own.as_ref().ok()?.slack.value - way.slack_wanted(lead.kind)[1]).max(0.0);
    let points = &way.route.points;
    let mut swung = Vec::new();
    for number in (0..points.len()).step_by(EVERY) {
        let done = along(points, number);
        let after = holds.iter().position(|hold| hold.0 > done).unwrap_or(holds.len() - 1).max(1);
        let span = [done - holds[after - 1].0, (holds[after].0 - done).max(0.0)];
        let apart = disc.nearest_to(points[number]).0.get() - way.asked.half_thickness.value;
        let gap = apart - reach(span, over);
        if gap < BLADE_TO_SOFT.broken {
            swung.push((gap, apart, span, points[number]));
        }
    }
    swung.sort_by(|a, b| a.0.total_cmp(&b.0));
    let is_free = |(.., at): &&(f64, f64, [f64; 2], BodyPoint)| !stopped(proof, *at, disc);
    let (gap, apart, span, at) = *swung.iter().find(is_free)?;
    let serves = |slack: f64| apart - reach(span, slack) >= wanted;
    let (mut enough, mut much) = (0.0, over);
    for _ in 0..30 {
        let middle = (enough + much) / 2.0;
        if serves(middle) { enough = middle } else { much = middle }
    }
    Some(Swing { gap, at, over, shorten_by: over - enough })
}

/// Whether something stands between a place on a lead and the nearest of a disc.
fn stopped(proof: &Proof, at: BodyPoint, disc: &Solid) -> bool {
    let to = disc.nearest_to(at).1;
    let middle = at + (to - at) * 0.5;
    let half = (to - at).length().get() / 2.0;
    let Some(thread) = thread(at, to) else { return false };
    let near = |s: &&CraftSolid| !s.ghost && s.solid.nearest_to(middle).0.get() < half;
    proof.inputs().solids.iter().filter(near).any(|s| crosses(&thread, &s.solid))
}

/// The duct whose wall the line between two places passes.
pub(crate) fn duct_between<'p>(proof: &'p Proof, from: BodyPoint, to: BodyPoint) -> Option<&'p str> {
    let thread = thread(from, to)?;
    let mut ducts = proof.inputs().solids.iter().filter(|s| s.solid.role == Role::MouldedDuct);
    ducts.find(|duct| crosses(&thread, &duct.solid)).map(|duct| duct.solid.name.as_str())
}

fn crosses(thread: &Solid, solid: &Solid) -> bool {
    !keeps_from(thread, solid, Millimetres::new(0.0))
}

/// A thread from the one place to the other: the shape's z laid along the way.
fn thread(from: BodyPoint, to: BodyPoint) -> Option<Solid> {
    let length = (to - from).length();
    let way = (to - from).direction()?;
    let shape = Shape::cylinder(Millimetres::new(0.005), length).ok()?;
    let axis = BodyVector::Z.cross(way).direction().unwrap_or(BodyVector::X);
    let angle = Degrees::new(BodyVector::Z.dot(way).clamp(-1.0, 1.0).acos().to_degrees());
    let middle = from + (to - from) * 0.5;
    let pose = Pose::at(middle).turned_further(middle, axis, angle);
    Some(Solid {
        name: String::new(),
        owner: OwnerIndex(u32::MAX),
        role: Role::Other,
        shape,
        pose,
        drifts: Vec::new(),
    })
}

/// Where a lead can be tied near a place: what is beside it there.
pub(crate) fn tie_at(proof: &Proof, lead: &Lead, at: BodyPoint) -> Option<String> {
    let held = proof.inputs().solids.iter().filter(|s| !s.ghost && TIED_TO.contains(&s.solid.role));
    let far = |s: &CraftSolid| s.solid.nearest_to(at).0.get();
    let beside = held.min_by(|a, b| far(a).total_cmp(&far(b)))?;
    let from = lead.tips.iter().flatten().min_by(|a, b| {
        let far = |tip: &super::LeadTip| tip.at().distance_to(at).get();
        far(a).total_cmp(&far(b))
    })?;
    let away = rounded(from.at().distance_to(at).get(), 0);
    Some(format!("{} about {away} mm from {}", beside.solid.name, from.called))
}

#[cfg(test)]
mod tests {
    use super::reach;

    #[test]
    fn slack_reaches_as_far_as_an_ellipse() {
        // Held 30 mm before and after, with 40 mm more: a triangle 50-50-60 is 40 mm high.
        assert!((reach([30.0, 30.0], 40.0) - 40.0).abs() < 1e-9);
        // Beside a hold the lead turns back: half the parameter of the ellipse, β²/α = 1600/50.
        assert!((reach([0.0, 60.0], 40.0) - 32.0).abs() < 1e-9);
        assert!(reach([0.0, 60.0], 0.0).abs() < 1e-9);
    }
}
