//! The shortest way a flexible lead can lie from one place to another round the solids of a scene.
//!
//! The lead's middle line keeps from each solid what the two roles ask for and half the lead's
//! thickness, bends no more sharply than it may, and leaves its plugs straight. Near its ends it may be
//! nearer to what its plug already stands near: the need grows from the distance at the end with the square
//! of the way along, as fast as a lead that bends evenly can get away. One that leaves its plug toward a solid may come
//! nearer first, by what its least bend costs.
//!
//! 1. `route_search.rs`: a way through a grid of places, straight from turn to turn (any-angle A*);
//! 2. `route_pull.rs`: that way as a chain of points about a millimetre apart, pulled tight by Newton's method under
//!    the bounds (augmented Lagrangian). Between points the length is that of arcs through them.
//!
//! At rest each contact presses with a force λ (in units of the pull), and the ends pull along their tangents
//! t. The length follows a fact x by the envelope theorem:
//! dL/dx = Σ over contacts λ·(n·v) + Σ over ends F·v, n leading from the solid to the lead, v being how fast the
//! solid or the end moves with x; and by Σ λ for each mm of half thickness.
//!
//! Accuracy: against closed forms (line, cylinder, box edges) to 0.02 mm. A solid as thin as a board is
//! never passed through. Of two ways round that differ by less than some 3 % the longer may be found.
//! Left out: weight, and that a flat bundle bends in one direction only; how it would be twisted is told of the way found (`route_twist.rs`).

use crate::air::Air;
use crate::frame::{BodyPoint, BodyVector, PartVector};
use crate::point::from_surface;
use crate::role::Role;
use crate::route_air::Surroundings;
use crate::route_pull::Chain;
use crate::route_rest::Pulled;
use crate::route_search::find_way;
use crate::scene::Scene;
use crate::solid::{Drift, Solid, SolidIndex, add_linear, add_slope};
use parry3d_f64::glamx::DVec3;
use quantity::{Linear, Millimetres};
use thiserror::Error;

/// One end of a lead, where it leaves its plug.
#[derive(Clone, Debug, PartialEq)]
pub struct LeadEnd {
    /// Where.
    pub at: BodyPoint,
    /// The way it leaves the plug, away from it; any way if none.
    pub leaving: Option<BodyVector>,
    /// How the end moves with the facts.
    pub drifts: Vec<Drift>,
}

/// What is to be led where.
#[derive(Clone, Debug)]
pub struct RouteQuestion<'a> {
    /// The one end.
    pub from: &'a LeadEnd,
    /// The other end.
    pub to: &'a LeadEnd,
    /// What is led: [`Role::Harness`] or [`Role::Coax`].
    pub role: Role,
    /// Half its thickness, in mm.
    pub half_thickness: &'a Linear,
    /// The least radius it may be bent to; nought for none.
    pub bend_radius: Millimetres,
    /// How much air it keeps beyond its own thickness.
    pub air: Air,
    /// Solids it may lie in: its own plugs, and other leads it is bundled with.
    pub passing: &'a [SolidIndex],
    /// Solids behind a wall that shields them: they stop it where it would touch them and want no air.
    pub behind: &'a [SolidIndex],
}

/// A question kept with all it was asked of.
#[derive(Clone, Debug, PartialEq)]
pub struct AskedRoute {
    /// The one end.
    pub from: LeadEnd,
    /// The other end.
    pub to: LeadEnd,
    /// What is led.
    pub role: Role,
    /// Half its thickness, in mm.
    pub half_thickness: Linear,
    /// The least radius it may be bent to.
    pub bend_radius: Millimetres,
    /// How much air it keeps.
    pub air: Air,
    /// Solids it may lie in.
    pub passing: Vec<SolidIndex>,
    /// Solids behind a wall.
    pub behind: Vec<SolidIndex>,
}

impl AskedRoute {
    /// The question.
    pub fn question(&self) -> RouteQuestion<'_> {
        RouteQuestion {
            from: &self.from,
            to: &self.to,
            role: self.role,
            half_thickness: &self.half_thickness,
            bend_radius: self.bend_radius,
            air: self.air,
            passing: &self.passing,
            behind: &self.behind,
        }
    }
}

impl RouteQuestion<'_> {
    /// The question with all it asks of, to be kept.
    pub fn kept(&self) -> AskedRoute {
        AskedRoute {
            from: self.from.clone(),
            to: self.to.clone(),
            role: self.role,
            half_thickness: self.half_thickness.clone(),
            bend_radius: self.bend_radius,
            air: self.air,
            passing: self.passing.to_vec(),
            behind: self.behind.to_vec(),
        }
    }
}

/// A solid the lead leans on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lean {
    /// The solid.
    pub solid: SolidIndex,
    /// Where on the lead's middle line, on average.
    pub at: BodyPoint,
    /// How hard, over the pull in the lead: √2 where it is turned by 90° at one place.
    pub press: f64,
}

/// The sharpest bend of a route.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bend {
    /// Its radius.
    pub radius: Millimetres,
    /// Where.
    pub at: BodyPoint,
}

/// A route: how long, where, and what it leans on.
#[derive(Clone, Debug, PartialEq)]
pub struct Route {
    /// Its length in mm and how that follows the facts.
    pub length: Linear,
    /// Its middle line from end to end, about a millimetre apart.
    pub points: Vec<BodyPoint>,
    /// The sharpest bend; none if it runs straight.
    pub sharpest: Option<Bend>,
    /// What it leans on, hardest first.
    pub leans: Vec<Lean>,
}

/// Adds how a contact follows the distance its end has from the same solid, which sets what it keeps.
fn eased(solid: &Solid, end: &LeadEnd, press: f64, length: &mut Linear) {
    let local = solid.pose.inverse().point(end.at);
    let (apart, out) = from_surface(&solid.shape, local.0);
    let out = solid.pose.vector(PartVector::of(out));
    solid.add_slopes(end.at - out * apart, out, -press, length);
    for drift in &end.drifts {
        add_slope(length, drift.fact, press * drift.field.displacement(end.at).dot(out));
    }
}

/// Why there is no route.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum NoRoute {
    /// An end or size that is no number, or out of reach.
    #[error("the lead's {what} is no usable number; check the plugs and the lead's thickness")]
    NotANumber {
        /// Which.
        what: &'static str,
    },
    /// An end deep inside a solid.
    #[error(
        "the lead's {} end is {depth} inside \"{name}\"; move the plug there or the part out of each other",
        if *second { "second" } else { "first" }
    )]
    EndInside {
        /// Whether it is the second of the two ends.
        second: bool,
        /// The solid.
        solid: SolidIndex,
        /// Its name.
        name: String,
        /// How deep.
        depth: Millimetres,
    },
    /// Everything round an end, or between both, is closed to a lead of this thickness.
    #[error(
        "no way from {from:?} to {to:?} is as wide as the lead and its air; make room at \"{name}\" or use a thinner lead"
    )]
    Closed {
        /// The solid nearest to where the search came closest.
        solid: SolidIndex,
        /// Its name.
        name: String,
        /// The one end.
        from: BodyPoint,
        /// The other end.
        to: BodyPoint,
    },
    /// The best way found still lacks room.
    #[error(
        "the best way passes \"{name}\"{} at {at:?} with {short_by} too little room; move one of them or use a thinner lead",
        other.as_ref().map_or(String::new(), |(_, other)| format!(" and \"{other}\""))
    )]
    TooNarrow {
        /// The solid.
        solid: SolidIndex,
        /// Its name.
        name: String,
        /// What leaves no more room on the other side, and its name.
        other: Option<(SolidIndex, String)>,
        /// Where.
        at: BodyPoint,
        /// How much is lacking.
        short_by: Millimetres,
    },
}

/// How much less room than needed a route may have between its points, in mm.
const ROOM_SLACK: f64 = 0.05;
/// The shares of the bend radius asked for one after the other.
const GIVING_WAY: [f64; 5] = [1.0, 0.8, 0.62, 0.45, 0.3];
/// The share of the radius asked for that counts as kept: the chain is told with a few per cent.
const BENT_ENOUGH: f64 = 0.93;
/// A bend sharper than this share of the radius, though the whole radius was asked for, is forced by where a plug stands:
/// the lead leaves it into something. Asking for less widens bends elsewhere, not there, and every further share costs a
/// whole chain pulled tight. A third of the smallest share at which strands are said to hold (0.6), so that a bend which
/// could still be had at all is looked for.
const HOPELESS: f64 = 0.2;
/// How often a way that proves too narrow is replaced by another.
const TRIES: usize = 5;

/// The shortest route, or why there is none.
pub fn shortest_route(scene: &Scene, question: &RouteQuestion) -> Result<Route, NoRoute> {
    usable(question)?;
    let mut around = Surroundings::new(scene, question)?;
    let pulled = found_in(scene, question, &mut around)?;
    Ok(told_in(scene, question, &around, &pulled))
}

/// The question as its surroundings see it, which may begin at the other end.
fn as_seen<'a>(question: &RouteQuestion<'a>, around: &Surroundings) -> RouteQuestion<'a> {
    match around.swapped {
        true => RouteQuestion { from: question.to, to: question.from, ..question.clone() },
        false => question.clone(),
    }
}

/// The route as a chain pulled tight.
pub(crate) fn found_in(
    scene: &Scene,
    question: &RouteQuestion,
    around: &mut Surroundings,
) -> Result<Pulled, NoRoute> {
    routed(scene, &as_seen(question, around), around)
}

/// The route in the body frame, from the first end on.
pub(crate) fn told_in(
    scene: &Scene,
    question: &RouteQuestion,
    around: &Surroundings,
    pulled: &Pulled,
) -> Route {
    let mut route = told(scene, &as_seen(question, around), around, pulled);
    if around.swapped {
        route.points.reverse();
    }
    route
}

pub(crate) fn usable(question: &RouteQuestion) -> Result<(), NoRoute> {
    let no = |what| Err(NoRoute::NotANumber { what });
    let far = crate::outline::SIZE_MAX.get();
    for (what, end) in [("first end", question.from), ("second end", question.to)] {
        if !end.at.is_finite() || end.at.0.abs().max_element() > far {
            return no(what);
        }
        if end.leaving.is_some_and(|way| way.direction().is_none()) {
            return no("way out of a plug");
        }
    }
    if !(0.0..far).contains(&question.half_thickness.value) {
        return no("half thickness");
    }
    if !(0.0..far).contains(&question.bend_radius.get()) {
        return no("bend radius");
    }
    Ok(())
}

fn routed(scene: &Scene, question: &RouteQuestion, around: &mut Surroundings) -> Result<Pulled, NoRoute> {
    let named = |solid: SolidIndex| scene.solid(solid).map_or(String::new(), |s| s.name.clone());
    let mut narrow = None;
    for _ in 0..TRIES {
        let way = match find_way(around) {
            Ok(way) => way,
            Err(solid) => {
                let closed =
                    NoRoute::Closed { solid, name: named(solid), from: question.from.at, to: question.to.at };
                return Err(narrow.unwrap_or(closed));
            }
        };
        let pulled = pulled_tight(&way, around);
        match around.worst_along(&pulled.points) {
            Some((solid, at, spare)) if spare < -ROOM_SLACK => {
                let other = around.opposite(at, solid).map(|other| (other, named(other)));
                around.close_off(at);
                narrow.get_or_insert(NoRoute::TooNarrow {
                    solid,
                    name: named(solid),
                    other,
                    at: around.body_point(at),
                    short_by: Millimetres::new(-spare),
                });
            }
            _ => return Ok(pulled),
        }
    }
    Err(narrow.unwrap_or(NoRoute::NotANumber { what: "route" }))
}

/// The way pulled tight. Where the bend radius cannot be had, a lesser one is asked for, the greatest that
/// can.
fn pulled_tight(way: &[DVec3], around: &Surroundings) -> Pulled {
    let radius = around.bend_radius;
    let mut best: Option<(f64, Pulled)> = None;
    for share in GIVING_WAY {
        let pulled = Chain::along(way, around, radius * share).pull_tight(around);
        let room = around.worst_along(&pulled.points).map_or(0.0, |found| found.2);
        let bend = pulled.sharpest.map_or(f64::INFINITY, |found| found.0);
        if room >= -ROOM_SLACK && bend >= BENT_ENOUGH * radius * share {
            return pulled;
        }
        if room >= -ROOM_SLACK && bend < HOPELESS * radius {
            return pulled;
        }
        let good = if room < -ROOM_SLACK { room } else { bend };
        if best.as_ref().is_none_or(|known| good > known.0) {
            best = Some((good, pulled));
        }
    }
    best.map_or_else(|| Chain::along(way, around, 0.0).pull_tight(around), |found| found.1)
}

/// The route in the body frame, with its dependence on the facts.
fn told(scene: &Scene, question: &RouteQuestion, around: &Surroundings, pulled: &Pulled) -> Route {
    let mut length = Linear { value: pulled.length, slopes: Vec::new() };
    let mut leans: Vec<Lean> = Vec::new();
    let mut pressing = 0.0;
    for contact in &pulled.contacts {
        let solid: &Solid = &scene.solids()[contact.solid.0 as usize];
        let (at, out) = (around.body_point(contact.at), around.body_vector(contact.out));
        solid.add_slopes(at - out * contact.apart, out, contact.press, &mut length);
        match contact.eased_by {
            None => pressing += contact.press,
            Some(n) => eased(solid, [question.from, question.to][n], contact.press, &mut length),
        }
        match leans.iter_mut().find(|lean| lean.solid == contact.solid) {
            Some(lean) => {
                let share = contact.press / (lean.press + contact.press);
                lean.at = lean.at + (at - lean.at) * share;
                lean.press += contact.press;
            }
            None => leans.push(Lean { solid: contact.solid, at, press: contact.press }),
        }
    }
    add_linear(&mut length, &Linear { value: 0.0, slopes: question.half_thickness.slopes.clone() }, pressing);
    for (end, forces) in [question.from, question.to].into_iter().zip(&pulled.end_forces) {
        for drift in &end.drifts {
            for (place, force) in forces {
                let v = drift.field.displacement(around.body_point(*place));
                add_slope(&mut length, drift.fact, around.body_vector(*force).dot(v));
            }
        }
    }
    length.slopes.retain(|(_, slope)| *slope != 0.0);
    leans.sort_by(|a, b| b.press.total_cmp(&a.press).then(a.solid.cmp(&b.solid)));
    Route {
        length,
        points: pulled.points.iter().map(|p| around.body_point(*p)).collect(),
        sharpest: pulled.sharpest.map(|(radius, at): (f64, DVec3)| Bend {
            radius: Millimetres::new(radius),
            at: around.body_point(at),
        }),
        leans,
    }
}
