//! Which solid does each pixel see?
//!
//! The ray of each pixel's middle is tried against the solids that can be met at all in its square of the
//! picture: first in squares of [`COARSE`] pixels, then of [`FINE`]; most of a picture is settled without a ray.

use crate::cell::{Beam, InReach};
use crate::vector::Triple;
use crate::{Scene, View};

const COARSE: u32 = 64;
const FINE: u32 = 16;

/// A pixel that sees the world outside.
pub(crate) const CLEAR: u32 = u32::MAX;
/// A pixel that sees nothing.
pub(crate) const DARK: u32 = u32::MAX - 1;

/// What one pixel sees.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pixel {
    /// The world outside.
    Clear,
    /// Nothing: it lies beyond the image.
    Dark,
    /// A solid, by its number in the scene.
    Solid(usize),
}

/// What every pixel sees.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mask {
    across: u32,
    down: u32,
    pixels: Vec<u32>,
}

impl Mask {
    /// Pixels across and down.
    pub fn pixels(&self) -> (u32, u32) {
        (self.across, self.down)
    }

    /// What a pixel sees, counted from the top left; `None` outside the picture.
    pub fn at(&self, across: u32, down: u32) -> Option<Pixel> {
        if across >= self.across || down >= self.down {
            return None;
        }
        Some(match self.pixels[(down * self.across + across) as usize] {
            CLEAR => Pixel::Clear,
            DARK => Pixel::Dark,
            n => Pixel::Solid(n as usize),
        })
    }

    /// The label of a pixel: a solid's number, or one of [`CLEAR`] and [`DARK`]; `None` outside the picture.
    pub(crate) fn label(&self, x: i64, y: i64) -> Option<u32> {
        let (x, y) = (u32::try_from(x).ok()?, u32::try_from(y).ok()?);
        (x < self.across && y < self.down).then(|| self.pixels[(y * self.across + x) as usize])
    }

    /// Every pixel, row by row from the top.
    pub fn iter(&self) -> impl Iterator<Item = Pixel> + '_ {
        let rows = (0..self.down).flat_map(move |y| (0..self.across).map(move |x| (x, y)));
        rows.filter_map(|(x, y)| self.at(x, y))
    }
}

/// What every pixel of a view sees.
pub fn mask(view: &View, scene: &Scene) -> Mask {
    let (across, down) = view.pixels();
    let mut raster = Raster {
        view,
        scene,
        pixels: vec![CLEAR; across as usize * down as usize],
        across,
        down,
        step: {
            let (half_width, half_height) = view.half_sides();
            (2.0 * half_width / f64::from(across), 2.0 * half_height / f64::from(down))
        },
    };
    let all = scene.by_nearness();
    for y in (0..down).step_by(COARSE as usize) {
        for x in (0..across).step_by(COARSE as usize) {
            let (x1, y1) = ((x + COARSE).min(across), (y + COARSE).min(down));
            let near = raster.near(&all, [x, y, x1, y1]);
            for fy in (y..y1).step_by(FINE as usize) {
                for fx in (x..x1).step_by(FINE as usize) {
                    let square = [fx, fy, (fx + FINE).min(x1), (fy + FINE).min(y1)];
                    let near = if near.solids.is_empty() || near.filled {
                        near.clone()
                    } else {
                        raster.near(&near.solids, square)
                    };
                    raster.fill(&near, square);
                }
            }
        }
    }
    Mask { across, down, pixels: raster.pixels }
}

struct Raster<'a> {
    view: &'a View,
    scene: &'a Scene,
    pixels: Vec<u32>,
    across: u32,
    down: u32,
    /// Size of a pixel on the sensor, in mm.
    step: (f64, f64),
}

impl Raster<'_> {
    /// Left of the middle and above it, on the sensor, of a place in pixels.
    fn place(&self, x: f64, y: f64) -> (f64, f64) {
        ((f64::from(self.across) / 2.0 - x) * self.step.0, (f64::from(self.down) / 2.0 - y) * self.step.1)
    }

    /// Those of some solids that a rectangle of pixels may see.
    fn near(&self, of: &[u32], [x0, y0, x1, y1]: [u32; 4]) -> InReach {
        let (x0, y0) = (f64::from(x0), f64::from(y0));
        let (x1, y1) = (f64::from(x1), f64::from(y1));
        let (xm, ym) = ((x0 + x1) / 2.0, (y0 + y1) / 2.0);
        let ray = |x: f64, y: f64| {
            let (u, v) = self.place(x, y);
            self.view.rays().along(u, v)
        };
        let beam = || -> Option<Beam> {
            let corners = [ray(x0, y0)?, ray(x1, y0)?, ray(x1, y1)?, ray(x0, y1)?];
            let sides = [ray(xm, y0)?, ray(x1, ym)?, ray(xm, y1)?, ray(x0, ym)?];
            Beam::new(corners, sides, ray(xm, ym)?)
        };
        InReach::of(self.scene, beam().as_ref(), of)
    }

    fn fill(&mut self, near: &InReach, [x0, y0, x1, y1]: [u32; 4]) {
        let farthest = [(x0, y0), (x1, y0), (x0, y1), (x1, y1)]
            .map(|(x, y)| self.place(f64::from(x), f64::from(y)))
            .map(|(u, v)| u * u + v * v)
            .into_iter()
            .fold(0.0, f64::max);
        let lit = self.view.rays().is_lit(farthest);
        if near.solids.is_empty() && lit {
            return;
        }
        if let [only] = near.solids[..]
            && near.filled
            && lit
        {
            for y in y0..y1 {
                let row = (y * self.across) as usize;
                self.pixels[row + x0 as usize..row + x1 as usize].fill(only);
            }
            return;
        }
        for y in y0..y1 {
            for x in x0..x1 {
                let (u, v) = self.place(f64::from(x) + 0.5, f64::from(y) + 0.5);
                self.pixels[(y * self.across + x) as usize] = match self.view.rays().lit_along(u, v) {
                    None => DARK,
                    Some(ray) => self.seen(ray, &near.solids),
                };
            }
        }
    }

    fn seen(&self, ray: Triple, near: &[u32]) -> u32 {
        self.scene.first(ray, near).map_or(CLEAR, |(n, _)| n)
    }
}
