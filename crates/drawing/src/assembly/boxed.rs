//! The box round a solid, along the axes of the craft.

use fit::{BodyPoint, PartPoint, Shape, Solid};

/// A box along the axes of the craft, in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Boxed {
    pub low: [f64; 3],
    pub high: [f64; 3],
}

impl Boxed {
    pub fn middle(&self) -> BodyPoint {
        let [x, y, z] = [0, 1, 2].map(|k| (self.low[k] + self.high[k]) / 2.0);
        BodyPoint::new(x, y, z)
    }

    /// The box of both.
    pub fn with(self, other: Boxed) -> Boxed {
        Boxed {
            low: [0, 1, 2].map(|k| self.low[k].min(other.low[k])),
            high: [0, 1, 2].map(|k| self.high[k].max(other.high[k])),
        }
    }

    /// The same, moved.
    pub fn moved(self, by: [f64; 3]) -> Boxed {
        Boxed { low: [0, 1, 2].map(|k| self.low[k] + by[k]), high: [0, 1, 2].map(|k| self.high[k] + by[k]) }
    }

    /// The eight corners.
    pub fn corners(&self) -> impl Iterator<Item = BodyPoint> + use<> {
        let Boxed { low, high } = *self;
        let pick = move |n: usize, k: usize| if n & (1 << k) == 0 { low[k] } else { high[k] };
        (0..8).map(move |n| BodyPoint::new(pick(n, 0), pick(n, 1), pick(n, 2)))
    }

    /// The least and the greatest along a direction.
    pub fn along(&self, direction: [f64; 3]) -> [f64; 2] {
        let ends = |k: usize| [self.low[k] * direction[k], self.high[k] * direction[k]];
        let sum = |pick: fn(f64, f64) -> f64| (0..3).map(|k| pick(ends(k)[0], ends(k)[1])).sum();
        [sum(f64::min), sum(f64::max)]
    }
}

/// The box round a solid: exact for boxes and plates, a little wide for a cylinder that leans.
pub(crate) fn boxed(solid: &Solid) -> Boxed {
    let (low, high) = match &solid.shape {
        Shape::Cuboid(cuboid) => {
            let half = cuboid.size().map(|side| side.get() / 2.0);
            (half.map(|h| -h), half)
        }
        Shape::Cylinder(cylinder) => {
            let (r, half) = (cylinder.radius().get(), cylinder.length().get() / 2.0);
            ([-r, -r, -half], [r, r, half])
        }
        Shape::Prism(prism) => {
            let (low, high) = prism.outline().bounds();
            ([low.x, low.y, 0.0], [high.x, high.y, prism.thickness().get()])
        }
    };
    let corner = |n: usize| {
        let pick = |k: usize| if n & (1 << k) == 0 { low[k] } else { high[k] };
        solid.pose.point(PartPoint::new(pick(0), pick(1), pick(2))).coordinates()
    };
    let first = corner(0);
    (1..8).map(corner).fold(Boxed { low: first, high: first }, |all, p| all.with(Boxed { low: p, high: p }))
}
