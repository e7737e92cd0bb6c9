//! All that may stand in the picture, made ready for rays from one eye.
//!
//! Each solid is kept with the eye in its own frame, the sphere round it, and a distance it cannot be nearer
//! than; so a bundle of rays that passes the sphere is settled by one product, and of two solids the one that
//! cannot be the nearer need not be asked.

use crate::cell::{Beam, Meeting, Screen};
use crate::meet::{Passing, met, passing};
use crate::shape::{Form, Placement};
use crate::vector::Triple;
use crate::{Direction, Occluder, Point};
use quantity::{Degrees, Millimetres};

/// Between the rays of a rim a solid may lie this much farther than on them.
const SPARE: f64 = 1.1;

/// A movement of the camera, as the camera itself counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Movement {
    /// Along a direction.
    Shift {
        /// The direction.
        along: Direction,
        /// How far.
        by: Millimetres,
    },
    /// About an axis by the right-hand rule. Nose up is about the direction to the right.
    Turn {
        /// A point of the axis.
        about: Point,
        /// The axis.
        axis: Direction,
        /// How far.
        by: Degrees,
    },
}

/// All that may stand in the picture.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Scene {
    pub(crate) solids: Vec<Seen>,
}

/// One solid as seen from the eye.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Seen {
    pub occluder: Occluder,
    /// The eye in the solid's own frame.
    eye: Triple,
    /// No point of it is nearer than this.
    pub near: f64,
    /// No point of it is farther than this.
    pub far: f64,
    /// The cone round it: axis, sine and cosine of half its angle; `None` if the eye is in its sphere.
    cone: Option<(Triple, f64, f64)>,
}

impl Seen {
    fn new(occluder: Occluder) -> Self {
        let Occluder { shape, placement } = &occluder;
        let eye = placement.inward(-placement.origin);
        let (low, high) = shape.bounds();
        let clear = |e: f64, l: f64, h: f64| (l - e).max(e - h).max(0.0);
        let reach = |e: f64, l: f64, h: f64| (e - l).abs().max((h - e).abs());
        let gap = Triple::new(
            clear(eye.x, low.x, high.x),
            clear(eye.y, low.y, high.y),
            clear(eye.z, low.z, high.z),
        );
        let span = Triple::new(
            reach(eye.x, low.x, high.x),
            reach(eye.y, low.y, high.y),
            reach(eye.z, low.z, high.z),
        );
        let middle = placement.outward((low + high) * 0.5);
        let (radius, distance) = ((high - low).length() / 2.0, middle.length());
        let cone = (distance > radius * (1.0 + 1e-9)).then(|| {
            let sin = radius / distance;
            (middle * (1.0 / distance), sin, (1.0 - sin * sin).sqrt())
        });
        Self { eye, near: gap.length(), far: span.length() * (1.0 + 1e-9), cone, occluder }
    }

    /// The cone round it: axis and half its angle in radians; `None` if the eye is in its sphere.
    pub fn cone(&self) -> Option<(Triple, f64)> {
        self.cone.map(|(axis, sin, cos)| (axis, sin.atan2(cos)))
    }

    /// How far along a ray it is first met.
    pub fn met(&self, ray: Triple) -> Option<f64> {
        met(&self.occluder.shape.0, self.eye, self.occluder.placement.inward(ray), 1.001 * self.far)
    }

    /// How a beam fares with it.
    pub fn meeting(&self, beam: &Beam) -> Meeting {
        if !self.may_meet(beam) {
            return Meeting::Missed;
        }
        let rays = beam.rays().map(|ray| self.occluder.placement.inward(ray));
        let (low, high) = self.occluder.shape.bounds();
        // Beside a solid, with every ray leading farther away from that side; a tenth of the rays' spread is kept
        // for those between.
        let away = |eye: f64, low: f64, high: f64, part: fn(&Triple) -> f64| {
            let (least, most) = rays
                .iter()
                .map(part)
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), d| (a.min(d), b.max(d)));
            let spare = 0.1 * (most - least);
            (eye >= high && least >= spare) || (eye <= low && most <= -spare)
        };
        if away(self.eye.x, low.x, high.x, |ray| ray.x)
            || away(self.eye.y, low.y, high.y, |ray| ray.y)
            || away(self.eye.z, low.z, high.z, |ray| ray.z)
        {
            return Meeting::Missed;
        }
        let form = &self.occluder.shape.0;
        let by = match passing(form, self.eye, &rays) {
            Passing::Missed => return Meeting::Missed,
            Passing::Entered { by, axis, face } => {
                let Placement { axes, origin } = self.occluder.placement;
                let outward = if [self.eye.x, self.eye.y, self.eye.z][axis] > face { 1.0 } else { -1.0 };
                let direction = axes[axis] * outward;
                let face = Some((direction, direction.dot(origin) + outward * face));
                return Meeting::Filled(Screen { by: SPARE * by, face });
            }
            Passing::Unsaid if matches!(form, Form::Prism { .. }) => return Meeting::Partly,
            Passing::Unsaid => {
                let mut by = 0.0f64;
                for ray in rays {
                    match met(form, self.eye, ray, self.far) {
                        Some(t) => by = by.max(t),
                        None => return Meeting::Partly,
                    }
                }
                by
            }
        };
        Meeting::Filled(Screen { by: SPARE * by + 1e-6, face: None })
    }

    /// Whether a screen in a beam hides all of it.
    pub fn is_behind(&self, screen: &Screen, beam: &Beam) -> bool {
        if self.nearest_in(beam) > screen.by {
            return true;
        }
        screen.face.is_some_and(|(outward, at)| {
            let Occluder { shape, placement } = &self.occluder;
            outward.dot(placement.origin) - shape.least_along(placement.inward(-outward)) <= at + 1e-9
        })
    }

    /// No point of it in a beam is nearer than this.
    pub fn nearest_in(&self, beam: &Beam) -> f64 {
        let Occluder { shape, placement } = &self.occluder;
        let along = beam.axis();
        self.near.max(along.dot(placement.origin) + shape.least_along(placement.inward(along)))
    }

    /// Whether a beam may meet it. Says no only where that is certain.
    fn may_meet(&self, beam: &Beam) -> bool {
        if let Some((axis, sin, cos)) = self.cone
            && beam.passes(axis, sin, cos)
        {
            return false;
        }
        let Occluder { shape, placement } = &self.occluder;
        beam.walls().all(|(outward, slack)| {
            let least = outward.dot(placement.origin) + shape.least_along(placement.inward(outward));
            least <= slack * self.far
        })
    }
}

impl Scene {
    /// Makes solids ready. They keep their numbers.
    pub fn new(occluders: Vec<Occluder>) -> Self {
        Self { solids: occluders.into_iter().map(Seen::new).collect() }
    }

    /// How many solids there are.
    pub fn len(&self) -> usize {
        self.solids.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.solids.is_empty()
    }

    /// The same solids after the camera has moved.
    pub fn after(&self, movement: Movement) -> Scene {
        let moved = |placement: &Placement| match movement {
            Movement::Shift { along, by } => {
                Placement { origin: placement.origin - along.0 * by.get(), ..*placement }
            }
            Movement::Turn { about, axis, by } => {
                // As the camera turns one way, all else turns the other way about the same axis.
                let back = -by.get().to_radians();
                let eye = about.0 - about.0.turned(axis.0, -back);
                let turned = |v: Triple| v.turned(axis.0, back);
                Placement { axes: placement.axes.map(turned), origin: turned(placement.origin - eye) }
            }
        };
        let solids = self.solids.iter().map(|seen| {
            let Occluder { shape, placement } = &seen.occluder;
            Seen::new(Occluder { shape: shape.clone(), placement: moved(placement) })
        });
        Scene { solids: solids.collect() }
    }

    /// Whether the eye lies within a solid; such a solid hides all others.
    pub fn holds_eye(&self, solid: usize) -> bool {
        self.solids.get(solid).is_some_and(|seen| seen.met(Triple::X).is_some_and(|t| t <= 0.0))
    }

    /// The nearest solid that a ray from the eye meets, and how far away.
    pub fn nearest(&self, ray: Direction) -> Option<(usize, Millimetres)> {
        let all: Vec<u32> = (0..self.solids.len() as u32).collect();
        self.first(ray.0, &all).map(|(n, t)| (n as usize, Millimetres::new(t)))
    }

    /// The nearest of some solids; quickest when they are sorted by how near they can be.
    pub(crate) fn first(&self, ray: Triple, of: &[u32]) -> Option<(u32, f64)> {
        let mut found: Option<(u32, f64)> = None;
        for &n in of {
            let seen = &self.solids[n as usize];
            if found.is_some_and(|(_, t)| t <= seen.near * 0.999_999) {
                continue;
            }
            if let Some(t) = seen.met(ray)
                && found.is_none_or(|(_, best)| t < best)
            {
                found = Some((n, t));
            }
        }
        found
    }

    /// Every solid, those that can be nearest first.
    pub(crate) fn by_nearness(&self) -> Vec<u32> {
        let mut order: Vec<u32> = (0..self.solids.len() as u32).collect();
        order.sort_by(|a, b| self.solids[*a as usize].near.total_cmp(&self.solids[*b as usize].near));
        order
    }
}
