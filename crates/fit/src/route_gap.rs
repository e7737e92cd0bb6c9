//! How near a lead comes to a solid on its way, its own thickness included.
//!
//! The middle line is walked from point to point and searched to the hundredth between the two that come nearest:
//! gap = distance of the middle line − half thickness.
//!
//! The gap follows the facts to first order. A taut lead lies in straight pieces between its ends and what it leans on:
//! between two of these, shares s and 1 − s of the way, a place moves by (1 − s)·v₁ + s·v₂. An end moves as its plug
//! does; where the lead leans on a solid it moves with that solid's surface, across it. Where the lead is drawn round
//! the very solid asked for, the gap is what was asked for and follows nothing, unless an end sets it.

use crate::frame::{BodyPoint, BodyVector, PartVector};
use crate::point::from_surface;
use crate::route::{LeadEnd, Route};
use crate::scene::Scene;
use crate::solid::{Drift, SolidIndex, add_slope};
use quantity::{FactIndex, Linear, Millimetres};

/// How near a lead comes to a solid.
#[derive(Clone, Debug, PartialEq)]
pub struct RouteGap {
    /// From the lead's surface to the solid's, in mm; negative inside.
    pub distance: Linear,
    /// Where on the lead's middle line.
    pub on_lead: BodyPoint,
    /// Where on the solid.
    pub on_solid: BodyPoint,
    /// How far along the lead from its first end.
    pub along: Millimetres,
    /// Whether the lead is drawn round the solid: it would run nearer if it were pulled.
    pub drawn_round: bool,
}

/// How finely the place between two points is searched: thirds of a step, so often.
const THIRDS: usize = 14;
/// A lead that presses less than this on a solid does not lean on it.
const LEANS: f64 = 1e-3;

/// How near a route comes to a solid that it was asked to keep so much air to; `None` for a number of another scene.
pub fn route_gap(
    scene: &Scene,
    ends: [&LeadEnd; 2],
    half_thickness: &Linear,
    route: &Route,
    to: SolidIndex,
    asked: Millimetres,
) -> Option<RouteGap> {
    let solid = scene.solid(to)?;
    let into = solid.pose.inverse();
    let far = |p: BodyPoint| from_surface(&solid.shape, into.point(p).0).0;
    let points = &route.points;
    let nearest = (0..points.len()).min_by(|a, b| far(points[*a]).total_cmp(&far(points[*b])))?;
    let [low, high] = [nearest.saturating_sub(1), (nearest + 1).min(points.len() - 1)];
    // A place by its number, fractions between two points.
    let at = |number: f64| {
        let first = (number as usize).min(points.len().saturating_sub(2));
        let second = points.get(first + 1).copied().unwrap_or(points[first]);
        points[first] + (second - points[first]) * (number - first as f64)
    };
    let (mut low, mut high) = (low as f64, high as f64);
    for _ in 0..THIRDS {
        let third = (high - low) / 3.0;
        if far(at(low + third)) <= far(at(high - third)) { high -= third } else { low += third }
    }
    let number = (low + high) / 2.0;
    let on_lead = at(number);
    let (apart, out) = from_surface(&solid.shape, into.point(on_lead).0);
    let out = solid.pose.vector(PartVector::of(out));
    let on_solid = on_lead - out * apart;

    let along = route.along(number);
    let drawn_round = route.leans.iter().any(|lean| lean.solid == to && lean.press > LEANS);
    let mut distance = Linear { value: apart - half_thickness.value, slopes: Vec::new() };
    let eased = distance.value < asked.get() - HELD;
    if !drawn_round || eased {
        for (fact, slope) in &half_thickness.slopes {
            add_slope(&mut distance, *fact, -slope);
        }
        solid.add_slopes(on_solid, out, -1.0, &mut distance);
        for (share, place) in beside(scene, ends, route, to, number) {
            for (fact, moves) in place {
                add_slope(&mut distance, fact, share * moves.dot(out));
            }
        }
    }
    distance.slopes.retain(|(_, slope)| *slope != 0.0);
    Some(RouteGap { distance, on_lead, on_solid, along, drawn_round })
}

/// A gap short of what was asked for by more than this is set by an end that stands nearer, in mm.
const HELD: f64 = 0.1;

/// How one place on the lead moves with the facts.
type Moves = Vec<(FactIndex, BodyVector)>;

/// The two places that hold the lead before and after a number, with their shares.
fn beside(
    scene: &Scene,
    ends: [&LeadEnd; 2],
    route: &Route,
    but: SolidIndex,
    number: f64,
) -> [(f64, Moves); 2] {
    let moved = |drifts: &[Drift], at: BodyPoint| -> Moves {
        drifts.iter().map(|drift| (drift.fact, drift.field.displacement(at))).collect()
    };
    let last = route.points.len().saturating_sub(1);
    let mut before = (0, moved(&ends[0].drifts, ends[0].at));
    let mut after = (last, moved(&ends[1].drifts, ends[1].at));
    for lean in route.leans.iter().filter(|lean| lean.solid != but && lean.press > LEANS) {
        let Some(solid) = scene.solid(lean.solid) else { continue };
        let at = route.number_near(lean.at);
        let (apart, out) = from_surface(&solid.shape, solid.pose.inverse().point(lean.at).0);
        let out = solid.pose.vector(PartVector::of(out));
        let across = || {
            let all = moved(&solid.drifts, lean.at - out * apart);
            all.into_iter().map(|(fact, moves)| (fact, out * moves.dot(out))).collect::<Moves>()
        };
        if (before.0 + 1..last).contains(&at) && at as f64 <= number {
            before = (at, across());
        } else if at as f64 > number && at < after.0 {
            after = (at, across());
        }
    }
    let [from, to] = [before.0, after.0].map(|n| route.along(n as f64).get());
    let here = route.along(number).get();
    let share = if to > from { ((here - from) / (to - from)).clamp(0.0, 1.0) } else { 0.0 };
    [(1.0 - share, before.1), (share, after.1)]
}

impl Route {
    /// How far along the points a number is, fractions between two points; in mm of straight steps.
    pub(crate) fn along(&self, number: f64) -> Millimetres {
        let whole = number.floor().max(0.0);
        let step = |w: &[BodyPoint]| w[0].distance_to(w[1]).get();
        let steps: Vec<f64> = self.points.windows(2).map(step).collect();
        let done: f64 = steps.iter().take(whole as usize).sum();
        let part = steps.get(whole as usize).map_or(0.0, |long| long * (number - whole));
        Millimetres::new(done + part)
    }

    /// The number of the point nearest to a place.
    fn number_near(&self, place: BodyPoint) -> usize {
        let far = |n: &usize| self.points[*n].distance_to(place).get();
        (0..self.points.len()).min_by(|a, b| far(a).total_cmp(&far(b))).unwrap_or(0)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::{Air, DriftField, OwnerIndex, Pose, Role, RouteQuestion, Shape, Solid, shortest_route};

    fn mm(value: f64) -> Millimetres {
        Millimetres::new(value)
    }

    /// A lead along x between two ends, the first moved up by fact 0 and sideways; a post by fact 1, a disc by fact 2.
    fn laid(facts: [f64; 4]) -> (Scene, [LeadEnd; 2], Linear, Route) {
        let [end, post, disc, thick] = facts;
        let solid = |role, radius, at: [f64; 3], fact| Solid {
            name: "it".into(),
            owner: OwnerIndex(0),
            role,
            shape: Shape::cylinder(mm(radius), mm(40.0)).unwrap(),
            pose: Pose::at(BodyPoint::new(at[0], at[1], at[2])),
            drifts: vec![Drift { fact: FactIndex(fact), field: DriftField::Shift(BodyVector::Y) }],
        };
        let solids = vec![
            solid(Role::Standoff, 4.0, [0.0, 1.0 + post, 0.0], 1),
            solid(Role::BladeSweep, 10.0, [25.0, 22.0 + disc, 0.0], 2),
        ];
        let scene = Scene::new(solids).unwrap();
        let drifts = vec![Drift { fact: FactIndex(0), field: DriftField::Shift(BodyVector::Y) }];
        let from = LeadEnd { at: BodyPoint::new(-40.0, 0.0, 0.0), leaving: None, drifts: vec![] };
        let to = LeadEnd { at: BodyPoint::new(40.0, -2.0 + end, 0.0), leaving: None, drifts };
        let half = Linear { value: 0.5 + thick, slopes: vec![(FactIndex(3), 1.0)] };
        let question = RouteQuestion {
            from: &from,
            to: &to,
            role: Role::Harness,
            half_thickness: &half,
            bend_radius: mm(5.0),
            air: Air::ByRole,
            passing: &[],
            behind: &[],
        };
        let route = shortest_route(&scene, &question).unwrap();
        (scene, [from, to], half, route)
    }

    fn gap(facts: [f64; 4]) -> RouteGap {
        let (scene, ends, half, route) = laid(facts);
        route_gap(&scene, [&ends[0], &ends[1]], &half, &route, SolidIndex(1), mm(8.0)).unwrap()
    }

    #[test]
    fn the_gap_is_from_surface_to_surface_and_follows_the_facts() {
        let found = gap([0.0; 4]);
        // Under the post, whose middle is at y = 1: the lead leans on it from below at y = -3.5 and rises to the end.
        assert!((found.on_lead.x() - 25.0).abs() < 2.0, "{found:?}");
        let straight = 22.0 - 10.0 - 0.5 + 2.6;
        assert!((found.distance.value - straight).abs() < 0.2, "{found:?}");
        assert!(!found.drawn_round);
        for (fact, by) in [(0, 0.4), (1, 0.4), (2, 0.4), (3, 0.1)] {
            let side = |by: f64| {
                let mut facts = [0.0; 4];
                facts[fact] = by;
                gap(facts).distance.value
            };
            let slope = (side(by) - side(-by)) / (2.0 * by);
            let known =
                found.distance.slopes.iter().find(|(f, _)| f.0 == fact as u32).map_or(0.0, |known| known.1);
            // What the lead's own thickness shifts it by where it leans is left out.
            let allowed = if fact == 3 { 0.6 } else { 0.08 };
            assert!((known - slope).abs() < allowed, "fact {fact}: {known} against {slope}");
        }
    }

    #[test]
    fn a_lead_drawn_round_a_disc_keeps_what_it_was_asked_to() {
        let near = gap([0.0, 0.0, -12.0, 0.0]);
        assert!(near.drawn_round);
        assert!((near.distance.value - 8.0).abs() < 0.06, "{near:?}");
        assert!(near.distance.slopes.is_empty());
    }
}
