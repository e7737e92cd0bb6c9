//! What lies round a lead: how much room a place has, and which solids take it.
//!
//! Everything is told in a frame of its own, laid along the first solid and begun at one end, so that an
//! answer does not depend on where the craft stands or which end is named first. Solids are kept by
//! cells of [`CELL`] mm, each with the solids that come near it, found when first asked for.

use crate::air::Air;
use crate::frame::{BodyPoint, BodyVector};
use crate::pairing::Pieces;
use crate::point::from_surface;
use crate::route::{NoRoute, RouteQuestion};
use crate::route_known::Searched;
use crate::scene::Scene;
use crate::shape::Shape;
use crate::solid::SolidIndex;
use parry3d_f64::glamx::{DMat3, DQuat, DVec3};
use quantity::Millimetres;
use std::cell::RefCell;
use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};
use std::rc::Rc;

/// The number of a cell of a grid along x, y and z.
pub(crate) type Cell = [i32; 3];

/// The cell of a place in a grid of this step.
pub(crate) fn cell_of(p: DVec3, step: f64) -> Cell {
    // As `floor` does, which is a slow call where the machine has no instruction of its own for it.
    (p / step).to_array().map(|c| {
        let toward_nought = c as i32;
        toward_nought - i32::from(f64::from(toward_nought) > c)
    })
}

/// What is kept by cells: they are our own small numbers, so a multiplication mixes them well enough.
pub(crate) type ByCell<T> = HashMap<Cell, T, BuildHasherDefault<CellHasher>>;

/// Mixes the three numbers of a cell.
#[derive(Clone, Copy, Default)]
pub(crate) struct CellHasher(u64);

impl Hasher for CellHasher {
    fn finish(&self) -> u64 {
        self.0 ^ (self.0 >> 29)
    }
    fn write(&mut self, bytes: &[u8]) {
        bytes.iter().for_each(|byte| self.write_u64(u64::from(*byte)));
    }
    fn write_i32(&mut self, number: i32) {
        self.write_u64(u64::from(number as u32));
    }
    fn write_u64(&mut self, number: u64) {
        self.0 = (self.0.rotate_left(23) ^ number).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    }
    // The length of an array tells nothing: all cells have three numbers.
    fn write_usize(&mut self, _: usize) {}
}

/// The size of a cell, in mm.
const CELL: f64 = 12.0;
/// How far round everything is searched, in mm.
const MARGIN: f64 = 15.0;
/// A lead that has more room on the other side than this gives way, in mm.
const GIVES: f64 = 0.5;
/// How far beyond its need a solid is still told to a cell, in mm.
const SEEN: f64 = 8.0;

/// A solid in the lead's way.
pub(crate) struct Obstacle<'a> {
    pub solid: SolidIndex,
    pub shape: &'a Shape,
    /// Leads from the lead's frame to the solid's.
    pub turn: DMat3,
    pub shift: DVec3,
    pub low: DVec3,
    pub high: DVec3,
    /// How far the lead's middle line keeps away.
    pub keep: f64,
    /// How far each end is away.
    pub ends: [f64; 2],
    /// How much nearer a lead comes that leaves an end toward the solid and bends away at once, and how far along
    /// that is.
    pub nearing: [[f64; 2]; 2],
}

impl Obstacle<'_> {
    /// Signed distance of a place and the unit that leads away.
    pub(crate) fn apart(&self, p: DVec3) -> (f64, DVec3) {
        let (far, out) = from_surface(self.shape, self.turn * p + self.shift);
        (far, self.turn.transpose() * out)
    }

    /// What a place at these distances from the two ends must keep.
    pub(crate) fn need(&self, from_ends: [f64; 2], bend: f64) -> f64 {
        self.keep.min(self.grown(0, from_ends, bend)).min(self.grown(1, from_ends, bend))
    }

    /// What a place must keep for its nearness to an end: the distance there, less what leaving toward the solid
    /// costs, and from then on growing.
    fn grown(&self, n: usize, from_ends: [f64; 2], bend: f64) -> f64 {
        let [by, along] = self.nearing[n];
        let on = (from_ends[n] - along).max(0.0);
        self.ends[n] - by + on * on / (4.0 * bend)
    }

    /// The end that sets the need at a place, if it is not the solid's own.
    pub(crate) fn eased_by(&self, from_ends: [f64; 2], bend: f64) -> Option<usize> {
        let need = self.need(from_ends, bend);
        if need == self.keep { None } else { (0..2).find(|n| self.grown(*n, from_ends, bend) == need) }
    }

    /// Whether a place is farther than this from the box round the solid.
    pub(crate) fn beyond(&self, p: DVec3, reach: f64) -> bool {
        (self.low - p).max(p - self.high).max(DVec3::ZERO).length_squared() > reach * reach
    }
}

/// The ends, the solids, and the lead's own needs.
pub(crate) struct Surroundings<'a> {
    pub obstacles: Vec<Obstacle<'a>>,
    pub ends: [DVec3; 2],
    pub leaving: [Option<DVec3>; 2],
    pub bend_radius: f64,
    /// Whether the ends changed places.
    pub swapped: bool,
    turn: DQuat,
    origin: DVec3,
    cells: RefCell<ByCell<Rc<[u32]>>>,
    closed: Vec<DVec3>,
    /// How far the searches went.
    pub searched: RefCell<Vec<Searched>>,
}

/// By how much a lead comes nearer that leaves along `way` and bends away with a radius, and over what length: it
/// heads into a plane at the angle θ, R·(1 − cos θ) deep after R·θ.
fn nearing(way: DVec3, out: DVec3, radius: f64) -> [f64; 2] {
    let toward = (-way.dot(out)).clamp(0.0, 1.0);
    [radius * (1.0 - (1.0 - toward * toward).sqrt()), radius * toward.asin()]
}

/// How far round a place that proved too narrow the search keeps away, in mm.
const CLOSED: f64 = 2.5;

impl<'a> Surroundings<'a> {
    pub(crate) fn new(scene: &'a Scene, question: &RouteQuestion) -> Result<Self, NoRoute> {
        let needed = scene.indices().zip(scene.solids()).filter_map(|(index, solid)| {
            let air = if question.behind.contains(&index) { Air::Contact } else { question.air };
            let needs = air.between(question.role, solid.role)?;
            (!question.passing.contains(&index)).then_some((index, solid, needs.distance.get()))
        });
        let needed: Vec<_> = needed.collect();
        let turn = needed.first().map_or(DQuat::IDENTITY, |(_, solid, _)| solid.pose.raw.rotation);
        let base = needed.first().map_or(DVec3::ZERO, |(_, solid, _)| solid.pose.raw.translation);
        let seen = |p: BodyPoint| (turn.inverse() * (p.0 - base)).to_array();
        let (a, b) = (seen(question.from.at), seen(question.to.at));
        let swapped =
            a.iter().zip(&b).map(|(a, b)| a.total_cmp(b)).find(|o| o.is_ne()).is_some_and(|o| o.is_gt());
        let (from, to) = if swapped { (question.to, question.from) } else { (question.from, question.to) };
        let origin = from.at.0;
        let local = |p: BodyPoint| turn.inverse() * (p.0 - origin);
        let way = |v: Option<BodyVector>| Some(turn.inverse() * v?.direction()?.0);
        let mut around = Self {
            obstacles: Vec::with_capacity(needed.len()),
            ends: [local(from.at), local(to.at)],
            leaving: [way(from.leaving), way(to.leaving)],
            bend_radius: question.bend_radius.get(),
            swapped,
            turn,
            origin,
            cells: RefCell::default(),
            closed: Vec::new(),
            searched: RefCell::default(),
        };
        let half = question.half_thickness.value;
        for (index, solid, needs) in needed {
            let rotation = turn.inverse() * solid.pose.raw.rotation;
            let translation = local(solid.pose.origin());
            let (middle, size) = Pieces::filled(&solid.shape).node_box(0);
            let to_lead = DMat3::from_quat(rotation);
            let spread = DMat3::from_cols(to_lead.x_axis.abs(), to_lead.y_axis.abs(), to_lead.z_axis.abs());
            let (middle, size) = (to_lead * middle + translation, spread * size);
            let inverse = to_lead.transpose();
            let mut obstacle = Obstacle {
                solid: index,
                shape: &solid.shape,
                turn: inverse,
                shift: -(inverse * translation),
                low: middle - size,
                high: middle + size,
                keep: half + needs,
                ends: [0.0; 2],
                nearing: [[0.0; 2]; 2],
            };
            for n in 0..2 {
                let (apart, out) = obstacle.apart(around.ends[n]);
                obstacle.ends[n] = apart;
                let [by, along] = around.leaving[n].map_or([0.0; 2], |way| nearing(way, out, around.ramp()));
                // Nearer, but never into the solid: where there is less room the bend gives way.
                obstacle.nearing[n] = [by.min((apart - half).max(0.0)), along];
            }
            let deepest = obstacle.ends[0].min(obstacle.ends[1]);
            if deepest < -half.max(0.1) {
                let depth = Millimetres::new(-deepest);
                let second = (obstacle.ends[1] < obstacle.ends[0]) != swapped;
                return Err(NoRoute::EndInside { second, solid: index, name: solid.name.clone(), depth });
            }
            around.obstacles.push(obstacle);
        }
        Ok(around)
    }

    pub(crate) fn body_point(&self, p: DVec3) -> BodyPoint {
        BodyPoint::of(self.turn * p + self.origin)
    }
    pub(crate) fn body_vector(&self, v: DVec3) -> BodyVector {
        BodyVector::of(self.turn * v)
    }

    /// How fast a lead may get away from what it begins near.
    pub(crate) fn ramp(&self) -> f64 {
        self.bend_radius.max(2.0)
    }

    /// The box round the ends and all solids.
    pub(crate) fn bounds(&self) -> (DVec3, DVec3) {
        let (a, b) = (self.ends[0], self.ends[1]);
        self.obstacles.iter().fold((a.min(b), a.max(b)), |(low, high), o| {
            let reach = DVec3::splat(o.keep);
            (low.min(o.low - reach), high.max(o.high + reach))
        })
    }

    /// The cells that a search through a grid of this step may look at, least and greatest.
    pub(crate) fn grid_bounds(&self, start: DVec3, step: f64) -> [Cell; 2] {
        let (low, high) = self.bounds();
        let margin = DVec3::splat(MARGIN);
        [low - margin, high + margin].map(|p| cell_of(p - start, step))
    }

    /// The frame everything is told in: how it is turned, where it begins, whether the ends changed places.
    pub(crate) fn frame(&self) -> (DQuat, DVec3, bool) {
        (self.turn, self.origin, self.swapped)
    }

    /// The least that any solid asks the middle line to keep.
    pub(crate) fn least_keep(&self) -> f64 {
        self.obstacles.iter().fold(f64::INFINITY, |least, o| least.min(o.keep))
    }

    /// Every cell whose solids were asked for so far.
    pub(crate) fn looked_into(&self) -> Vec<Cell> {
        self.cells.borrow().keys().copied().collect()
    }

    /// Whether a solid in this box that is to be kept away from is told to a cell.
    pub(crate) fn is_told(cell: Cell, low: DVec3, high: DVec3, keep: f64) -> bool {
        let middle = (DVec3::from_array(cell.map(f64::from)) + DVec3::splat(0.5)) * CELL;
        let half = DVec3::splat(CELL / 2.0);
        let gap = (low - middle - half).max(middle - half - high).max(DVec3::ZERO).length();
        gap <= keep + SEEN
    }

    /// The solids near enough to a place to matter within [`SEEN`] of what they ask for.
    pub(crate) fn near(&self, p: DVec3) -> Rc<[u32]> {
        let key = cell_of(p, CELL);
        if let Some(known) = self.cells.borrow().get(&key) {
            return Rc::clone(known);
        }
        let near = (0..self.obstacles.len() as u32).filter(|n| {
            let o = &self.obstacles[*n as usize];
            Self::is_told(key, o.low, o.high, o.keep)
        });
        let near: Rc<[u32]> = near.collect();
        self.cells.borrow_mut().insert(key, Rc::clone(&near));
        near
    }

    /// How much room a place has beyond `share` of what it needs, never more than [`SEEN`], and how far
    /// one may go from it for certain.
    pub(crate) fn room(&self, p: DVec3, give: impl Fn(f64) -> f64) -> f64 {
        let from_ends = self.ends.map(|end| (p - end).length());
        let ramp = self.ramp();
        let mut room = SEEN;
        for n in self.near(p).iter() {
            let o = &self.obstacles[*n as usize];
            let reach = room + o.keep;
            if reach < 0.0 || o.beyond(p, reach) {
                continue;
            }
            let need = o.need(from_ends, ramp);
            room = room.min(o.apart(p).0 - need.min(give(o.keep)));
        }
        for closed in &self.closed {
            if from_ends.iter().all(|d| *d > CLOSED) {
                room = room.min((p - *closed).length() - CLOSED);
            }
        }
        room
    }

    /// The solid that leaves least room at a place.
    pub(crate) fn tightest(&self, p: DVec3) -> Option<(SolidIndex, f64)> {
        let from_ends = self.ends.map(|end| (p - end).length());
        let spare = self
            .near(p)
            .iter()
            .map(|n| {
                let o = &self.obstacles[*n as usize];
                (o.solid, o.apart(p).0 - o.need(from_ends, self.ramp()))
            })
            .collect::<Vec<_>>();
        spare.into_iter().min_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// The solid that keeps a lead from giving way to another at a place: of those on the other side the one with least room.
    pub(crate) fn opposite(&self, p: DVec3, to: SolidIndex) -> Option<SolidIndex> {
        let from_ends = self.ends.map(|end| (p - end).length());
        let near = self.near(p);
        let at = |n: &u32| &self.obstacles[*n as usize];
        let out = at(near.iter().find(|n| at(n).solid == to)?).apart(p).1;
        let others = near.iter().map(at).filter(|o| o.solid != to).filter_map(|o| {
            let (apart, way) = o.apart(p);
            // As long as the lead has this much it would still give way.
            let spare = apart - o.need(from_ends, self.ramp());
            (way.dot(out) < 0.0 && spare < GIVES).then_some((o.solid, spare))
        });
        others.min_by(|a, b| a.1.total_cmp(&b.1)).map(|found| found.0)
    }

    /// Keeps later searches away from a place.
    pub(crate) fn close_off(&mut self, at: DVec3) {
        self.closed.push(at);
    }

    /// Where along a line of points the least room is left; half-way between two, on the curve through them
    /// and their neighbours.
    pub(crate) fn worst_along(&self, points: &[DVec3]) -> Option<(SolidIndex, DVec3, f64)> {
        let between = points.windows(4).map(|w| ((w[1] + w[2]) * 9.0 - w[0] - w[3]) / 16.0);
        let told = points.iter().copied().chain(between);
        let told = told.filter_map(|p| self.tightest(p).map(|(solid, spare)| (solid, p, spare)));
        told.min_by(|a, b| a.2.total_cmp(&b.2))
    }
}
