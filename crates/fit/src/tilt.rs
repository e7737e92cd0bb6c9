//! How far a camera can be tilted before something stops it: every free interval, with its ends.
//!
//! What turns (body, lens, plugs) turns as one about an axis; everything else of the scene stands still. A
//! tilt is free where each pair keeps the air it needs. An end is bracketed far finer than it is known: the
//! distances are good to about 10⁻⁶ mm, so an end to that over the speed at which the pair closes, some
//! 10⁻⁵ degrees 10 mm from the axis and more where a stop is grazed. The tests hold ends to 2·10⁻⁵ degrees
//! against closed forms, and `conformance/geometry/tilts.py` holds them to 10⁻⁴ against a collision library.
//! What the search may miss, and nothing else, stands in `tilt_search.rs`.
//!
//! At an end distance d and need r are equal, so the end θ follows a fact x by
//! dθ/dx = −(∂d/∂x) / (∂d/∂θ) (implicit function). Where a stop is only grazed, ∂d/∂θ is near nought and the
//! end is as doubtful as that says; it is taken to be at least [`GRAZING`].
//!
//! Angles count by the right-hand rule about the axis: for a camera whose nose lifts, the axis is −y. Left
//! out: bending of cheeks, and what the harness does meanwhile.

use crate::air::Air;
use crate::frame::{BodyPoint, BodyVector};
use crate::role::Requirement;
use crate::scene::Scene;
use crate::solid::{Drift, SolidIndex, add_linear, add_slope};
use crate::tilt_search::{EndAt, Search};
use crate::turning::{Axis, Facing, RingOf, TurningPair};
use quantity::{Degrees, Linear};
use thiserror::Error;

/// The least share of ρ by which a stop counts as approached, in mm a radian for each mm: 0.06°.
pub const GRAZING: f64 = 1e-3;

/// How far apart two solids must be for their direction to be read from their places, in mm.
const APART: f64 = 1e-4;

/// What turns, and within which limits.
#[derive(Clone, Copy, Debug)]
pub struct TiltQuestion<'a> {
    /// The solids that turn together.
    pub turning: &'a [SolidIndex],
    /// A place on the axis.
    pub about: BodyPoint,
    /// The direction of the axis; need not be of length one.
    pub axis: BodyVector,
    /// How the axis moves with the facts; what stretches or swells does not move an axis.
    pub axis_drifts: &'a [Drift],
    /// The angle at which the scene stands, in degrees, and the facts that set it. Ends are counted on the
    /// same scale. A fact that sets it turns the solids by its drifts too.
    pub stands_at: &'a Linear,
    /// The least angle looked at.
    pub from: Degrees,
    /// The greatest angle looked at.
    pub to: Degrees,
    /// Pairs that are meant to touch, in either order: a camera and its own screws.
    pub meant: &'a [(SolidIndex, SolidIndex)],
    /// How much air each pair keeps.
    pub air: Air,
}

/// What ends a free interval.
#[derive(Clone, Debug, PartialEq)]
pub struct TiltStop {
    /// The solid that turns.
    pub turning: SolidIndex,
    /// The solid that stops it.
    pub against: SolidIndex,
    /// The place on the turning solid, at the end.
    pub on_turning: BodyPoint,
    /// The place on the one that stops it.
    pub on_against: BodyPoint,
    /// What the pair needs.
    pub needs: Requirement,
    /// How fast the pair's distance changes there with a growing angle, in mm for each degree.
    pub mm_per_degree: f64,
}

/// One end of a free interval.
#[derive(Clone, Debug, PartialEq)]
pub struct TiltEnd {
    /// Where, in degrees, and how it follows each fact.
    pub angle: Linear,
    /// What stops it; nothing at a limit that was asked for.
    pub stop: Option<TiltStop>,
}

/// An interval in which nothing stops the tilt, as wide as it goes.
#[derive(Clone, Debug, PartialEq)]
pub struct FreeTilt {
    /// The lower end.
    pub low: TiltEnd,
    /// The upper end.
    pub high: TiltEnd,
}

/// A question about tilt that has no answer.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum TiltFault {
    /// An axis without direction, or no number.
    #[error("the axis {axis:?} through {about:?} has no direction; give one that is not nought")]
    NoAxis {
        /// The place on it.
        about: BodyPoint,
        /// Its direction.
        axis: BodyVector,
    },
    /// Limits that are no numbers, change places or are more than a whole turn apart.
    #[error("tilts from {from} to {to} are no range; the second must not be below the first, nor 360° above")]
    NoRange {
        /// The least angle.
        from: Degrees,
        /// The greatest angle.
        to: Degrees,
    },
    /// A turning solid that the scene does not have.
    #[error("solid {0} is not in the scene")]
    NoSolid(u32),
}

/// Every free interval within the limits, in order; none if the tilt is never free.
pub fn free_tilts(scene: &Scene, question: &TiltQuestion) -> Result<Vec<FreeTilt>, TiltFault> {
    let TiltQuestion { about, axis, from, to, .. } = *question;
    let along = axis.direction().filter(|_| about.is_finite()).ok_or(TiltFault::NoAxis { about, axis })?;
    let width = to.get() - from.get();
    if !(0.0..=360.0).contains(&width) || !question.stands_at.value.is_finite() {
        return Err(TiltFault::NoRange { from, to });
    }
    let axis = Axis { about, along };
    let pairs = pairs(scene, question, &axis)?;
    let search = Search { axis, pairs: &pairs };
    let radians = |reading: Degrees| (reading.get() - question.stands_at.value).to_radians();
    let found = search.free(radians(from), radians(to));
    let end = |at: EndAt, limit: Degrees, inward: f64| match at.pair {
        Some(n) => stopped(&pairs[n], &axis, question, at.radians, inward),
        None => TiltEnd { angle: Linear { value: limit.get(), slopes: Vec::new() }, stop: None },
    };
    let interval = |(low, high)| FreeTilt { low: end(low, from, 1.0), high: end(high, to, -1.0) };
    Ok(found.into_iter().map(interval).collect())
}

fn pairs<'a>(
    scene: &'a Scene,
    question: &TiltQuestion,
    axis: &Axis,
) -> Result<Vec<TurningPair<'a>>, TiltFault> {
    let rings: Vec<RingOf> = scene.solids().iter().map(|solid| RingOf::new(solid, axis)).collect();
    let meant = |a, b| question.meant.iter().any(|pair| *pair == (a, b) || *pair == (b, a));
    let mut pairs = Vec::new();
    for &turning in question.turning {
        let solid = scene.solid(turning).ok_or(TiltFault::NoSolid(turning.0))?;
        for against in scene.indices() {
            let other = &scene.solids()[against.0 as usize];
            if question.turning.contains(&against) || other.owner == solid.owner || meant(turning, against) {
                continue;
            }
            let Some(needs) = question.air.between(solid.role, other.role) else { continue };
            let ring = |index: SolidIndex| &rings[index.0 as usize];
            pairs.extend(TurningPair::new(
                (turning, solid, ring(turning)),
                (against, other, ring(against)),
                needs,
            ));
        }
    }
    Ok(pairs)
}

fn stopped(pair: &TurningPair, axis: &Axis, question: &TiltQuestion, radians: f64, inward: f64) -> TiltEnd {
    let mut angle = Linear::default();
    add_linear(&mut angle, question.stands_at, 1.0);
    angle.value += radians.to_degrees();
    let Some(at_end) = facing(pair, axis, radians, inward) else { return TiltEnd { angle, stop: None } };
    let speed = pair.speed(axis, &at_end);
    let least = (GRAZING * pair.rate).max(f64::MIN_POSITIVE);
    let steep = if speed.abs() < least { least.copysign(speed) } else { speed };
    for (fact, slope) in pair.slopes(axis, question.axis_drifts, radians, &at_end).slopes {
        add_slope(&mut angle, fact, (-slope / steep).to_degrees());
    }
    let stop = TiltStop {
        turning: pair.turning.0,
        against: pair.against.0,
        on_turning: at_end.on_turning,
        on_against: at_end.on_against,
        needs: pair.needs,
        mm_per_degree: speed.to_radians(),
    };
    TiltEnd { angle, stop: Some(stop) }
}

/// How the pair faces at an end. Where it touches, the direction is read a hair before that, where the two
/// are still apart.
fn facing(pair: &TurningPair, axis: &Axis, radians: f64, inward: f64) -> Option<Facing> {
    let hair = APART / pair.rate.max(1.0);
    let steps = [0.0, 1.0, 4.0, 16.0, 64.0];
    steps
        .into_iter()
        .filter_map(|step| pair.facing(axis, radians + inward * step * hair))
        .find(|found| found.apart >= APART / 2.0)
        .or_else(|| pair.facing(axis, radians))
}

/// How a wanted tilt lies to the free interval that holds it, or else to the nearest.
#[derive(Clone, Debug, PartialEq)]
pub struct TiltRoom<'a> {
    /// The interval.
    pub interval: &'a FreeTilt,
    /// How far the tilt lies above the lower end, in degrees, negative if below it; `None` where no stop
    /// but the asked limit ends it.
    pub above_low: Option<Linear>,
    /// How far it lies below the upper end.
    pub below_high: Option<Linear>,
}

impl TiltRoom<'_> {
    /// The lesser of the two rooms and the end it is counted to: negative where the tilt is not free.
    /// `None` where nothing stops the tilt on either side.
    pub fn least(&self) -> Option<(&Linear, &TiltEnd)> {
        let low = self.above_low.as_ref().map(|room| (room, &self.interval.low));
        let high = self.below_high.as_ref().map(|room| (room, &self.interval.high));
        low.into_iter().chain(high).min_by(|a, b| a.0.value.total_cmp(&b.0.value))
    }
}

/// How a wanted tilt, in degrees, lies to the free intervals; `None` if there are none.
pub fn tilt_room<'a>(free: &'a [FreeTilt], wanted: &Linear) -> Option<TiltRoom<'a>> {
    let outside =
        |f: &FreeTilt| (f.low.angle.value - wanted.value).max(wanted.value - f.high.angle.value).max(0.0);
    let interval = free.iter().min_by(|a, b| outside(a).total_cmp(&outside(b)))?;
    let room = |end: &TiltEnd, sign: f64| {
        let limit_inside = end.stop.is_none() && sign * (wanted.value - end.angle.value) >= 0.0;
        (!limit_inside).then(|| {
            let mut room = Linear::default();
            add_linear(&mut room, wanted, sign);
            add_linear(&mut room, &end.angle, -sign);
            room
        })
    };
    Some(TiltRoom { interval, above_low: room(&interval.low, 1.0), below_high: room(&interval.high, -1.0) })
}
