//! How much of the picture does each solid fill?
//!
//! The picture is cut into [`CELLS`] squares across. A square whose bundle of rays misses everything is clear; one
//! that a single solid fills in front of all others is filled; any other is quartered, [`LEVELS`] times.
//! In the last squares the edge of each solid is drawn straight between the places where it crosses the
//! sides, which bisection finds to 1/64 of a side. A square of side h leaves an edge of curvature κ by κ·h³/12
//! at most, which over all edges of a craft stays far under [`SHARE_ERROR`] of the picture; tests hold it
//! to closed forms and to a dense raster. What is thinner than half a last square (1/320 of the width) may be
//! missed.
//!
//! Shares are of the *lit* picture: the rectangle, less what lies beyond the image circle, in closed form. Each
//! place counts for the nearest solid it sees, so that shares add up to the whole.

use crate::cell::{Beam, InReach};
use crate::mask::{CLEAR, DARK};
use crate::vector::Triple;
use crate::{Scene, View};
use quantity::Percent;

/// How far a share may be off, in points of per cent of the picture.
pub const SHARE_ERROR: Percent = Percent::new(0.05);

/// Squares across the picture to begin with.
const CELLS: u32 = 20;
/// How often a square is quartered.
const LEVELS: u32 = 3;
/// Bisections along a side.
const HALVINGS: u32 = 6;

/// How much of the lit picture each solid fills.
#[derive(Clone, Debug, PartialEq)]
pub struct Shares {
    /// In mm² on the sensor, by solid and by ninth of the picture.
    areas: Vec<[f64; 9]>,
    lit: f64,
    whole: f64,
}

impl Shares {
    /// How much one solid fills of the lit picture.
    pub fn of(&self, solid: usize) -> Percent {
        self.of_all(|n| n == solid)
    }

    /// How much the solids that are counted fill together.
    pub fn of_all(&self, counted: impl Fn(usize) -> bool) -> Percent {
        Percent::new(self.by_ninth(counted).iter().map(|share| share.get()).sum())
    }

    /// How much the solids that are counted fill in each ninth of the picture, of the whole lit picture: top left,
    /// top middle, top right, and so on down.
    pub fn by_ninth(&self, counted: impl Fn(usize) -> bool) -> [Percent; 9] {
        let mut sums = [0.0; 9];
        for (_, areas) in self.areas.iter().enumerate().filter(|(n, _)| counted(*n)) {
            for (sum, area) in sums.iter_mut().zip(areas) {
                *sum += area;
            }
        }
        sums.map(|sum| Percent::new(100.0 * sum / self.lit))
    }

    /// How much of the picture is lit.
    pub fn lit(&self) -> Percent {
        Percent::new(100.0 * self.lit / self.whole)
    }
}

/// How much of the lit picture each solid fills.
pub fn shares(view: &View, scene: &Scene) -> Shares {
    shared_out(view, scene, None, LEVELS)
}

/// The same where only the counted solids matter, if there are such: of others less may be told.
pub(crate) fn shared_for(view: &View, scene: &Scene, counted: Option<&[bool]>) -> Shares {
    shared_out(view, scene, counted, LEVELS)
}

/// The squares the picture is cut into to begin with: their corners and middles, in mm from the middle of the picture.
pub(crate) fn first_squares(view: &View) -> impl Iterator<Item = ([(f64, f64); 4], (f64, f64))> {
    squares(view.half_sides()).map(|square| (square.corners(), square.middle()))
}

/// How much of the lit picture the counted solids fill together: the same number as from [`shares`], and sooner, for
/// only where one of them may be seen is the picture cut.
pub fn share_of(view: &View, scene: &Scene, counted: &[bool]) -> Percent {
    let counts = |n: usize| counted.get(n).copied().unwrap_or(false);
    shared_out(view, scene, Some(counted), LEVELS).of_all(counts)
}

/// The same within [`SHARE_ERROR`] of it, in a third of the time: for searches.
pub(crate) fn share_roughly(view: &View, scene: &Scene, counted: &[bool]) -> Percent {
    let counts = |n: usize| counted.get(n).copied().unwrap_or(false);
    shared_out(view, scene, Some(counted), LEVELS - 1).of_all(counts)
}

fn shared_out(view: &View, scene: &Scene, counted: Option<&[bool]>, levels: u32) -> Shares {
    let (a, b) = view.half_sides();
    let mut cutter =
        Cutter { view, scene, counted, levels, areas: vec![[0.0; 9]; scene.len()], half: (a, b) };
    let all = scene.by_nearness();
    if !all.is_empty() {
        squares((a, b)).for_each(|square| cutter.begin(square, &all));
    }
    Shares { areas: cutter.areas, lit: lit_area(a, b, view.rays().lit()), whole: 4.0 * a * b }
}

/// Row by row from the top left.
fn squares((a, b): (f64, f64)) -> impl Iterator<Item = Square> {
    let rows = ((f64::from(CELLS) * b / a).round() as u32).clamp(1, 10 * CELLS);
    let at = |n: u32, of: u32, half: f64| half * (1.0 - 2.0 * f64::from(n) / f64::from(of));
    (0..rows * CELLS).map(move |n| {
        let (row, column) = (n / CELLS, n % CELLS);
        Square {
            left: at(column, CELLS, a),
            right: at(column + 1, CELLS, a),
            top: at(row, rows, b),
            bottom: at(row + 1, rows, b),
        }
    })
}

/// The area of a rectangle of half sides a and b inside a circle about its middle, given by r².
fn lit_area(a: f64, b: f64, square: f64) -> f64 {
    if square >= (a * a + b * b) * (1.0 - 1e-12) {
        return 4.0 * a * b;
    }
    let r = square.sqrt();
    let (flat, end) = ((square - b * b).max(0.0).sqrt().min(a), a.min(r));
    let under =
        |x: f64| 0.5 * (x * (square - x * x).max(0.0).sqrt() + square * (x / r).clamp(-1.0, 1.0).asin());
    4.0 * (b.min(r) * flat + under(end) - under(flat))
}

/// A rectangle on the sensor, in mm left of the middle and above it.
#[derive(Clone, Copy)]
struct Square {
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

impl Square {
    /// Top left, top right, bottom right, bottom left.
    fn corners(&self) -> [(f64, f64); 4] {
        [(self.left, self.top), (self.right, self.top), (self.right, self.bottom), (self.left, self.bottom)]
    }
    fn middle(&self) -> (f64, f64) {
        ((self.left + self.right) / 2.0, (self.top + self.bottom) / 2.0)
    }
    fn area(&self) -> f64 {
        (self.left - self.right) * (self.top - self.bottom)
    }
}

/// A place on the sensor with what it sees.
#[derive(Clone, Copy)]
struct Spot {
    u: f64,
    v: f64,
    ray: Option<Triple>,
    label: u32,
}

struct Cutter<'a> {
    view: &'a View,
    scene: &'a Scene,
    counted: Option<&'a [bool]>,
    levels: u32,
    areas: Vec<[f64; 9]>,
    half: (f64, f64),
}

impl Cutter<'_> {
    fn spot(&self, u: f64, v: f64, near: &[u32]) -> Spot {
        let ray = self.view.rays().along(u, v);
        let label = match ray {
            Some(ray) if self.view.rays().is_lit(u * u + v * v) => {
                self.scene.first(ray, near).map_or(CLEAR, |(n, _)| n)
            }
            _ => DARK,
        };
        Spot { u, v, ray, label }
    }

    /// Cuts a first square, if anything that counts may be seen in it.
    fn begin(&mut self, square: Square, all: &[u32]) {
        let blind =
            square.corners().map(|(u, v)| Spot { u, v, ray: self.view.rays().along(u, v), label: CLEAR });
        let (um, vm) = square.middle();
        let sides = [(um, square.top), (square.right, vm), (um, square.bottom), (square.left, vm)];
        let rays = sides.map(|(u, v)| self.view.rays().along(u, v));
        let near = self.in_reach(&blind, rays, (um, vm), all).solids;
        if self.counts(&near) {
            let corners = square.corners().map(|(u, v)| self.spot(u, v, &near));
            self.cut(square, corners, &near, 0);
        }
    }

    /// Whether one of some solids counts.
    fn counts(&self, near: &[u32]) -> bool {
        match self.counted {
            None => !near.is_empty(),
            Some(counted) => near.iter().any(|n| counted.get(*n as usize).copied().unwrap_or(false)),
        }
    }

    fn cut(&mut self, square: Square, corners: [Spot; 4], near: &[u32], level: u32) {
        let (um, vm) = square.middle();
        let nearest = (square.right.max(0.0) + (-square.left).max(0.0)).powi(2)
            + (square.bottom.max(0.0) + (-square.top).max(0.0)).powi(2);
        if nearest > self.view.rays().lit() {
            return;
        }
        let sides = [(um, square.top), (square.right, vm), (um, square.bottom), (square.left, vm)];
        let rays = sides.map(|(u, v)| self.view.rays().along(u, v));
        let InReach { solids: near, filled } = self.in_reach(&corners, rays, (um, vm), near);
        if !self.counts(&near) {
            return;
        }
        let lit = square.corners().iter().all(|(u, v)| self.view.rays().is_lit(u * u + v * v));
        if let [only] = near[..]
            && filled
            && lit
        {
            return self.count(only, &square, square.area());
        }
        let hidden = level == self.levels && corners.iter().all(|corner| corner.label == CLEAR);
        if level < self.levels || hidden {
            let sides = sides.map(|(u, v)| self.spot(u, v, &near));
            let middle = self.spot(um, vm, &near);
            let [tl, tr, br, bl] = corners;
            let [t, r, b, l] = sides;
            let quarter = |left, right, top, bottom| Square { left, right, top, bottom };
            self.cut(quarter(square.left, um, square.top, vm), [tl, t, middle, l], &near, level + 1);
            self.cut(quarter(um, square.right, square.top, vm), [t, tr, r, middle], &near, level + 1);
            self.cut(quarter(um, square.right, vm, square.bottom), [middle, r, br, b], &near, level + 1);
            self.cut(quarter(square.left, um, vm, square.bottom), [l, middle, b, bl], &near, level + 1);
            return;
        }
        self.share_out(&square, &corners, &near);
    }

    /// Those of some solids that a square may see.
    fn in_reach(
        &self,
        corners: &[Spot; 4],
        sides: [Option<Triple>; 4],
        (um, vm): (f64, f64),
        of: &[u32],
    ) -> InReach {
        let beam = || -> Option<Beam> {
            let corners = [corners[0].ray?, corners[1].ray?, corners[2].ray?, corners[3].ray?];
            let sides = [sides[0]?, sides[1]?, sides[2]?, sides[3]?];
            Beam::new(corners, sides, self.view.rays().along(um, vm)?)
        };
        InReach::of(self.scene, beam().as_ref(), of)
    }

    /// Shares out a last square among the solids that its corners see.
    fn share_out(&mut self, square: &Square, corners: &[Spot; 4], near: &[u32]) {
        let labels = corners.map(|corner| corner.label);
        for (k, label) in labels.into_iter().enumerate() {
            if label >= DARK || labels[..k].contains(&label) {
                continue;
            }
            let area = if labels.iter().all(|other| *other == label) {
                square.area()
            } else {
                self.area_seeing(square, corners, near, label)
            };
            self.count(label, square, area);
        }
    }

    /// The area of a last square that sees a solid.
    fn area_seeing(&self, square: &Square, corners: &[Spot; 4], near: &[u32], label: u32) -> f64 {
        let seeing = |spot: &Spot| spot.label == label;
        let crossing = |k: usize| {
            let (mut a, mut b) = (corners[k], corners[(k + 1) % 4]);
            for _ in 0..HALVINGS {
                let middle = self.spot((a.u + b.u) / 2.0, (a.v + b.v) / 2.0, near);
                if seeing(&middle) == seeing(&a) { a = middle } else { b = middle }
            }
            ((a.u + b.u) / 2.0, (a.v + b.v) / 2.0)
        };
        // The outline of the corners that see it, or that do not, with the crossings between them.
        let mut crossings = [None; 4];
        for (k, slot) in crossings.iter_mut().enumerate() {
            if seeing(&corners[k]) != seeing(&corners[(k + 1) % 4]) {
                *slot = Some(crossing(k));
            }
        }
        let joined = |wanted: bool| {
            let mut ring = Vec::with_capacity(8);
            for k in 0..4 {
                if seeing(&corners[k]) == wanted {
                    ring.push((corners[k].u, corners[k].v));
                }
                ring.extend(crossings[k]);
            }
            let next = ring.iter().cycle().skip(1);
            let twice: f64 = ring.iter().zip(next).map(|((u0, v0), (u1, v1))| u0 * v1 - u1 * v0).sum();
            twice.abs() / 2.0
        };
        // Two corners across from each other: the middle says whether they are joined or apart.
        let across = crossings.iter().all(Option::is_some);
        let (um, vm) = square.middle();
        if across && !seeing(&self.spot(um, vm, near)) { square.area() - joined(false) } else { joined(true) }
    }

    fn count(&mut self, solid: u32, square: &Square, area: f64) {
        let (um, vm) = square.middle();
        let third = |at: f64, half: f64| (((1.0 - at / half) * 1.5) as usize).min(2);
        self.areas[solid as usize][3 * third(vm, self.half.1) + third(um, self.half.0)] += area;
    }
}
