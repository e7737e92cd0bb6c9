//! A bundle of rays through one rectangle of the picture, and what it certainly misses.
//!
//! The bundle lies within a cone about the ray through its middle, and within four walls through the eye, one
//! for each side of the rectangle: the plane through the rays of the side's two ends. A straight side of the
//! picture is no great circle, so it may bulge over its wall; how far, the ray of its middle tells, and half as
//! much again is allowed (a parabola bulges most in its middle). A solid wholly beyond one wall, or outside
//! the cone, is missed. Where a wall cannot be had, it stops nothing.
//!
//! A convex solid met by all rays of the rim is met by all between. A plate is asked over the places where the
//! rim passes its two faces: if no edge of its outline comes near them, all rays fare alike. A solid that
//! fills the bundle hides what cannot be nearer, and, where all rays enter it by one flat face, whatever does not
//! stand out over that face.

use crate::Scene;
use crate::vector::Triple;

/// How a solid stands in a bundle of rays.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Meeting {
    /// No ray meets it.
    Missed,
    /// Some may.
    Partly,
    /// All do.
    Filled(Screen),
}

/// What a solid that fills a bundle hides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Screen {
    /// All that is farther than this.
    pub by: f64,
    /// Where every ray enters by the same flat face: its outward direction and how far out it lies. All that is
    /// not farther out is hidden too.
    pub face: Option<(Triple, f64)>,
}

/// What is left of the solids in a bundle of rays.
#[derive(Clone, Debug, Default)]
pub(crate) struct InReach {
    /// Those that may be seen, in the order they were given.
    pub solids: Vec<u32>,
    /// Whether there is one, and every ray sees it.
    pub filled: bool,
}

impl InReach {
    /// What a bundle may see of some solids.
    pub fn of(scene: &Scene, beam: Option<&Beam>, of: &[u32]) -> Self {
        let Some(beam) = beam else { return Self { solids: of.to_vec(), filled: false } };
        let mut reached: Vec<u32> = Vec::new();
        let mut screens: Vec<(u32, Screen)> = Vec::new();
        for &n in of {
            let seen = &scene.solids[n as usize];
            if screens.iter().any(|(_, screen)| seen.near > screen.by) {
                continue;
            }
            match seen.meeting(beam) {
                Meeting::Missed => continue,
                Meeting::Partly => {}
                Meeting::Filled(screen) => screens.push((n, screen)),
            }
            reached.push(n);
        }
        let hidden = |n: u32, (by, screen): &(u32, Screen)| {
            n != *by && scene.solids[n as usize].is_behind(screen, beam)
        };
        let solids: Vec<u32> =
            reached.into_iter().filter(|n| !screens.iter().any(|screen| hidden(*n, screen))).collect();
        let filled = matches!(solids[..], [only] if screens.iter().any(|(n, _)| *n == only));
        Self { solids, filled }
    }
}

/// A bundle of rays.
#[derive(Clone, Debug)]
pub(crate) struct Beam {
    /// The rays of the rim, corners and middles of the sides, then the one of the middle.
    rays: [Triple; 9],
    axis: Triple,
    cos: f64,
    sin: f64,
    walls: [Option<(Triple, f64)>; 4],
}

impl Beam {
    /// From the rays of the corners in order round, of the middles of the sides from corner k to k + 1, and of
    /// the middle. `None` if the bundle is too wide to be bounded so.
    pub fn new(corners: [Triple; 4], sides: [Triple; 4], axis: Triple) -> Option<Self> {
        let mut cos = 1.0f64;
        for k in 0..4 {
            cos = cos.min(corners[k].dot(axis)).min(sides[k].dot(axis));
        }
        if cos < 0.5 {
            return None;
        }
        // Between the rays tried the rim may reach a tenth farther out: 1 − cos 1.1α is at most 1.21·(1 − cos α). Rays
        // are of length one to 1e-6.
        let cos = 1.0 - 1.21 * (1.0 - cos) - 3e-6;
        let wall = |k: usize| {
            let outward = corners[k].cross(corners[(k + 1) % 4]).unit()?;
            let outward = if outward.dot(axis) > 0.0 { -outward } else { outward };
            // Where the side runs through the axis of the bundle there is no outside.
            (outward.dot(axis) < -1e-9).then(|| (outward, 1.5 * outward.dot(sides[k]).max(0.0) + 1e-7))
        };
        let [a, b, c, d] = corners;
        let [e, f, g, h] = sides;
        let rays = [a, b, c, d, e, f, g, h, axis];
        let sin = (1.0 - cos * cos).max(0.0).sqrt();
        Some(Self { rays, axis, cos, sin, walls: [wall(0), wall(1), wall(2), wall(3)] })
    }

    /// Whether it passes a cone about an axis, given by sine and cosine of half its angle.
    pub fn passes(&self, axis: Triple, sin: f64, cos: f64) -> bool {
        self.axis.dot(axis) < self.cos * cos - self.sin * sin
    }

    /// The ray of the middle, of length one.
    pub fn axis(&self) -> Triple {
        self.axis
    }

    /// The rays of the rim, then the one of the middle.
    pub fn rays(&self) -> &[Triple; 9] {
        &self.rays
    }

    /// The walls: outward direction, and how much of a ray's length may lie beyond.
    pub fn walls(&self) -> impl Iterator<Item = (Triple, f64)> + '_ {
        self.walls.iter().flatten().copied()
    }
}
