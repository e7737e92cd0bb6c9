//! A way pulled tight: the shortest chain of points that keeps its distances and does not bend too sharply.
//!
//! With N even steps of length ℓ between the points x, the least of Σ|xₖ₊₁ − xₖ|²/2ℓ is the least length. Of the
//! second difference eₖ = xₖ₋₁ − 2xₖ + xₖ₊₁ the part along the chain is held at nought, which keeps the steps even, and
//! the part across is at most ℓ²/R: that is exactly the bend of a polygon in a circle of radius R. At an end
//! that leaves its plug one way, a step straight back into the plug takes part, and half that bend.
//!
//! Bounds are kept by multipliers λ: f = max(0, λ + w·(need − distance)) takes λ's place after every few
//! steps (augmented Lagrangian, Powell and Hestenes). Each step is Newton's, within a band (`banded.rs`); the
//! bend of solids is left out of the second derivative, which costs steps but no accuracy.

use crate::banded::ChainSystem;
use crate::route_air::Surroundings;
use crate::route_even::evenly;
use crate::route_rest::Pulled;
use crate::solid::SolidIndex;
use parry3d_f64::glamx::{DMat3, DVec3};

/// How far apart points are, in mm: least and most.
const SPACING: [f64; 2] = [0.3, 1.0];
/// The most points a chain has.
const POINTS_MAX: usize = 500;
/// How hard a missing millimetre of distance presses, over the pull in the lead.
const PRESS: f64 = 40.0;
/// The same for a second difference too large, at steps of 1 mm; it goes with the step's inverse cube.
const STIFF: f64 = 100.0;
/// The same for uneven steps.
const EVEN: f64 = 200.0;
/// The greatest bending moment, over the pull and the bend radius, before a bend gives way.
const MOMENT_MAX: f64 = 12.0;
/// The farthest a point moves in a step, in mm.
const MOVE_MAX: f64 = 0.7;
/// How often the multipliers are set anew.
const ROUNDS: usize = 30;
/// After so many, bounds that cannot all be kept are told as they are.
const ROUNDS_HELD: usize = 12;
/// A length that changes less than this from round to round is found, in mm.
const SETTLED: f64 = 4e-3;
/// How often a step that does not lower the sum of all terms is halved.
const HALVINGS_MAX: usize = 5;
/// How many of Newton's steps are taken between at most.
const STEPS_MAX: usize = 8;
/// A distance this well kept is kept, in mm.
const KEPT: f64 = 2e-3;
/// A bend this well kept is kept, as a share.
const BENT: f64 = 0.01;
/// How far round what it must keep a solid is still counted as near a place, in mm.
const NEAR: f64 = 3.0;
/// What rounding may make of a distance, in mm.
const SURELY: f64 = 1e-6;
/// A place that moved farther than this since is looked round anew; a step moves it less than the rest of `NEAR`.
const LOOKED: f64 = 1.0;
/// From this round on a length that swings to and fro by less than [`SWINGS`] is found too: it lies between.
const ROUNDS_SWUNG: usize = 6;
/// See [`ROUNDS_SWUNG`], in mm.
const SWINGS: f64 = 1e-2;
/// A chain that moves less than this is at rest, in mm.
const AT_REST: f64 = 2e-4;

/// A bound on the distance at one point.
#[derive(Clone, Copy)]
struct Held {
    obstacle: u32,
    press: f64,
}

/// What a place was near to when it was looked round.
struct LookedRound {
    /// Where it was.
    from: DVec3,
    /// The solids, and how far each was from there.
    near: Vec<(u32, f64)>,
}

/// The system of a step, and how the whole length follows each point.
struct Work {
    system: ChainSystem,
    whole: Vec<f64>,
}

/// A chain of points and what holds it.
pub(crate) struct Chain {
    pub(crate) points: Vec<DVec3>,
    leaving: [Option<DVec3>; 2],
    bend_radius: f64,
    spacing: f64,
    /// The bounds at work half-way to and at each point.
    held: Vec<Vec<Held>>,
    /// The solids near each such place.
    near: Vec<LookedRound>,
    /// The bend forces at the points, both ends included.
    pub(crate) bends: Vec<f64>,
    /// How large each second difference may be.
    most: Vec<f64>,
}

impl Chain {
    /// Even steps along a way of straight pieces.
    ///
    /// `bend_radius` is the least radius asked of the chain.
    pub(crate) fn along(way: &[DVec3], around: &Surroundings, bend_radius: f64) -> Self {
        let total: f64 = way.windows(2).map(|w| (w[1] - w[0]).length()).sum();
        // Fine enough for the sharpest edge it may lean on and the sharpest bend it may take.
        let keep = around.obstacles.iter().fold(f64::INFINITY, |least, o| least.min(o.keep));
        // What bends no more sharply than its radius follows no edge sharper than that.
        let edge = if bend_radius > 0.0 { f64::INFINITY } else { 0.8 * keep };
        let spacing = edge.min(keep.max(bend_radius) / 4.0).clamp(SPACING[0], SPACING[1]);
        let steps = ((total / spacing).ceil() as usize).clamp(4, POINTS_MAX);
        let points = evenly(way, steps);
        let count = points.len();
        Self {
            points,
            // Without a least radius a lead may leave its plug in a kink.
            leaving: if bend_radius > 0.0 { around.leaving } else { [None; 2] },
            bend_radius,
            spacing: total / steps as f64,
            held: vec![Vec::new(); 2 * count],
            near: (0..2 * count).map(|_| LookedRound { from: DVec3::INFINITY, near: Vec::new() }).collect(),
            bends: vec![0.0; count],
            most: vec![0.0; count],
        }
    }

    pub(crate) fn last(&self) -> usize {
        self.points.len() - 1
    }

    /// Where a point of the chain is, and its number if it moves; beyond an end the step back into the plug.
    pub(crate) fn at(&self, k: isize, step: f64) -> Option<(Option<usize>, DVec3)> {
        let last = self.last() as isize;
        Some(match k {
            -1 => (None, self.points[0] - self.leaving[0]? * step),
            k if k == last + 1 => (None, self.points[last as usize] - self.leaving[1]? * step),
            k if k == 0 || k == last => (None, self.points[k as usize]),
            k => (Some(k as usize - 1), self.points[k as usize]),
        })
    }

    /// The chain at rest.
    pub(crate) fn pull_tight(mut self, around: &Surroundings) -> Pulled {
        let moving = self.points.len() - 2;
        let mut work = Work { system: ChainSystem::new(moving), whole: vec![0.0; 3 * moving] };
        let mut moves = Vec::new();
        let mut lengths = [0.0; 3];
        let mut share = 1.0f64;
        for round in 0..ROUNDS {
            let (mut moved, mut worst) = (0.0f64, 0.0f64);
            for _ in 0..STEPS_MAX {
                let step = self.step();
                self.set_bounds(step);
                self.look_round(around);
                work.system.reset(1e-6);
                work.whole.fill(0.0);
                let (before, next) = self.forces(around, step, Some(&mut work));
                // Evenness is told from the mean step, which follows every point.
                let weight = EVEN / (step * self.last() as f64);
                if work.system.solve(&mut work.whole, weight, &mut moves).is_none() {
                    break;
                }
                let far = moves.iter().map(|m| m.length()).fold(0.0, f64::max);
                let share = self.search_along(&moves, (MOVE_MAX / far).min(1.0), around, step, before);
                moved = moved.max(far * share);
                worst = next;
                if far < if round < 2 { 5.0 * AT_REST } else { AT_REST } {
                    break;
                }
            }
            lengths = [self.length(), lengths[0], lengths[1]];
            let (last, before) = (lengths[0] - lengths[1], lengths[1] - lengths[2]);
            // Forces that overshoot swing to and fro: then less of them is taken over.
            let swings = round > 2 && last * before < 0.0;
            share = if swings { (share * 0.6).max(0.1) } else { (share * 1.25).min(1.0) };
            self.set_anew(around, share);
            let settled = moved < AT_REST || last.abs().max(before.abs()) < SETTLED;
            let swung = swings && round > ROUNDS_SWUNG && last.abs().max(before.abs()) < SWINGS;
            if swung && worst < 3.0 * KEPT {
                break;
            }
            if settled && round > 2 && (worst < KEPT || round > ROUNDS_HELD) {
                break;
            }
        }
        self.told(around)
    }

    fn length(&self) -> f64 {
        self.points.windows(2).map(|w| (w[1] - w[0]).length()).sum()
    }
    pub(crate) fn step(&self) -> f64 {
        self.length() / self.last() as f64
    }

    /// The force that keeps a step as long as the mean.
    pub(crate) fn uneven(&self, long: f64, step: f64) -> f64 {
        EVEN / step * (long - step)
    }

    /// Moves all points by as much of their moves as lowers the sum of all terms.
    fn search_along(
        &mut self,
        moves: &[DVec3],
        most: f64,
        around: &Surroundings,
        step: f64,
        before: f64,
    ) -> f64 {
        let start = self.points.clone();
        let mut share = most;
        for halving in 0..HALVINGS_MAX {
            for ((point, from), by) in self.points[1..].iter_mut().zip(&start[1..]).zip(moves) {
                *point = *from + *by * share;
            }
            if halving + 1 == HALVINGS_MAX
                || self.forces(around, step, None).0 <= before + 1e-12 * before.abs()
            {
                break;
            }
            share /= 2.0;
        }
        share
    }

    /// The sum of all terms at the chain as it is, and the worst miss of a bound that is at work. Fills the
    /// system with their derivatives. The spacing the bounds go by is held fixed within a step.
    fn forces(&self, around: &Surroundings, step: f64, mut work: Option<&mut Work>) -> (f64, f64) {
        let last = self.last() as isize;
        let (mut sum, mut worst, mut off_mean) = (0.0, 0.0f64, 0.0);
        let even = EVEN / step;
        for k in 0..last {
            let (Some((i, a)), Some((j, b))) = (self.at(k, step), self.at(k + 1, step)) else { continue };
            let (long, way) = ((b - a).length(), (b - a).normalize_or_zero());
            let uneven = long - step;
            sum += long * long / (2.0 * step) + even * uneven * uneven / 2.0;
            off_mean += uneven;
            if let Some(Work { system, whole }) = work.as_mut() {
                system.add(&[(i, -1.0), (j, 1.0)], (b - a) / step, &(DMat3::IDENTITY / step));
                let parts = [(i, -way), (j, way)];
                system.add_square(&parts, self.uneven(long, step), even);
                ChainSystem::spread(&parts, whole);
            }
        }
        sum -= even * off_mean * off_mean / (2.0 * last as f64);
        for k in 0..=last {
            let (Some(a), Some(b), Some(c)) = (self.at(k - 1, step), self.at(k, step), self.at(k + 1, step))
            else {
                continue;
            };
            let second = a.1 - b.1 * 2.0 + c.1;
            let (force, miss) = self.bend_force(k as usize, second.length(), step);
            if force > 0.0 {
                sum += force * force / (2.0 * self.stiff());
                worst = worst.max(miss * KEPT / BENT);
                if let Some(Work { system, .. }) = work.as_mut() {
                    let size = second.length();
                    let along = outer(second / size);
                    let curved = along * self.stiff() + (DMat3::IDENTITY - along) * (force / size);
                    system.add(&[(a.0, 1.0), (b.0, -2.0), (c.0, 1.0)], second * (force / size), &curved);
                }
            }
        }
        for n in 1..2 * self.last() {
            let (parts, p) = self.place(n);
            self.each_bound(around, n, p, step, |_, (obstacle, _), out, force| {
                sum += force * force / (2.0 * PRESS);
                worst = worst.max((force - self.press_at(n, obstacle)).abs() / PRESS);
                if let Some(Work { system, .. }) = work.as_mut() {
                    let parts = parts.map(|(i, share)| (i, out * -share));
                    system.add_square(&parts, force, PRESS);
                }
            });
        }
        (sum, worst)
    }

    /// The place on the chain n half steps from its begin, and how it follows the points.
    pub(crate) fn place(&self, n: usize) -> ([(Option<usize>, f64); 4], DVec3) {
        let (k, last) = (n / 2, self.last());
        let numbered = |k: usize| (k > 0 && k < last).then(|| k - 1);
        if n.is_multiple_of(2) {
            let nothing = (None, 0.0);
            return ([(numbered(k), 1.0), nothing, nothing, nothing], self.points[k]);
        }
        // At the very ends the curve goes by the straight line.
        let shares =
            if k == 0 || k + 1 == last { [0.0, 0.5, 0.5, 0.0] } else { [-0.0625, 0.5625, 0.5625, -0.0625] };
        let numbers = [k.saturating_sub(1), k, k + 1, (k + 2).min(last)];
        let place = numbers.iter().zip(shares).map(|(k, share)| self.points[*k] * share).sum();
        ([0, 1, 2, 3].map(|i| (if shares[i] == 0.0 { None } else { numbered(numbers[i]) }, shares[i])), place)
    }

    /// How far along the chain the place of n half steps is from both ends.
    pub(crate) fn along_at(&self, n: usize, step: f64) -> [f64; 2] {
        [n, 2 * self.last() - n].map(|n| n as f64 * step / 2.0)
    }

    fn press_at(&self, n: usize, obstacle: u32) -> f64 {
        self.held[n].iter().find(|h| h.obstacle == obstacle).map_or(0.0, |h| h.press)
    }

    /// Sets how large each second difference may be: the steps at both sides times each other over R.
    fn set_bounds(&mut self, step: f64) {
        let (last, radius) = (self.last(), self.bend_radius);
        for (k, most) in self.most.iter_mut().enumerate() {
            let long = |k: usize| (self.points[k + 1] - self.points[k]).length();
            let square = if k == 0 || k == last { step * step / 2.0 } else { long(k - 1) * long(k) };
            *most = square / radius;
        }
    }

    fn stiff(&self) -> f64 {
        STIFF / self.spacing.powi(3)
    }

    /// The bend force at a point, and by what share the bend is too sharp.
    fn bend_force(&self, k: usize, second: f64, step: f64) -> (f64, f64) {
        if self.bend_radius <= 0.0 {
            return (0.0, 0.0);
        }
        let most = self.most[k];
        let over = second - most;
        let force = (self.bends[k] + self.stiff() * over).max(0.0);
        let capped = force.min(MOMENT_MAX * self.bend_radius / step);
        let miss = if force > 0.0 && force == capped { over.abs() / most } else { 0.0 };
        (capped, miss)
    }

    /// Looks anew for what is near the places that moved.
    fn look_round(&mut self, around: &Surroundings) {
        for n in 1..2 * self.last() {
            let p = self.place(n).1;
            let looked = &mut self.near[n];
            if (p - looked.from).length_squared() < LOOKED * LOOKED {
                continue;
            }
            looked.from = p;
            let all = around.near(p);
            let near = all.iter().filter_map(|number| {
                let o = &around.obstacles[*number as usize];
                (!o.beyond(p, o.keep + NEAR)).then(|| (*number, o.apart(p).0))
            });
            looked.near.clear();
            looked.near.extend(near);
        }
    }

    /// Visits the bounds at work at a place: obstacle and distance, the way out, the force.
    pub(crate) fn each_bound(
        &self,
        around: &Surroundings,
        n: usize,
        p: DVec3,
        step: f64,
        mut visit: impl FnMut(SolidIndex, (u32, f64), DVec3, f64),
    ) {
        let along = self.along_at(n, step);
        let looked = &self.near[n];
        let moved = (p - looked.from).length();
        for &(number, was_far) in &looked.near {
            let o = &around.obstacles[number as usize];
            let press = self.press_at(n, number);
            // No place comes nearer than it moved: most need no second look.
            if (press == 0.0 && was_far - moved > o.keep + SURELY) || o.beyond(p, o.keep + 1.0) {
                continue;
            }
            let (far, out) = o.apart(p);
            let force = press + PRESS * (o.need(along, around.ramp()) - far);
            if force > 0.0 {
                visit(o.solid, (number, far), out, force);
            }
        }
    }

    /// Lets the forces as they stand take the multipliers' place; of those of bends a share.
    fn set_anew(&mut self, around: &Surroundings, share: f64) {
        let step = self.step().max(1e-9);
        self.set_bounds(step);
        for k in 0..=self.last() {
            let force = self.bend_force(k, self.second(k, step).length(), step).0;
            self.bends[k] += (force - self.bends[k]) * share;
        }
        for n in 1..2 * self.last() {
            let mut held = Vec::new();
            let p = self.place(n).1;
            self.each_bound(around, n, p, step, |_, (obstacle, _), _, press| {
                held.push(Held { obstacle, press });
            });
            self.held[n] = held;
        }
    }
}

fn outer(v: DVec3) -> DMat3 {
    DMat3::from_cols(v * v.x, v * v.y, v * v.z)
}
