//! Rays by the million: cos θ and sin θ / r as tables over r².
//!
//! A place u left and v up of the middle, in mm on the sensor, r² = u² + v², looks along
//! (cos θ, u·sin θ/r, v·sin θ/r). Both factors are smooth in r² for every projection, so straight lines between
//! [`NODES`] nodes are good to about 1e-7 and cost neither root nor sine. A law test holds them to the formulas.

use crate::Lens;
use crate::vector::Triple;

const NODES: usize = 4_096;

/// The table of one lens over one sensor area.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct RayTable {
    /// cos θ and sin θ / r at even steps of r².
    nodes: Vec<[f64; 2]>,
    steps_per_square: f64,
    /// r² beyond which the projection shows nothing.
    reach: f64,
    /// r² beyond which no light falls.
    lit: f64,
}

impl RayTable {
    /// The table out to the corner, `corner` mm from the middle.
    pub fn new(lens: &Lens, corner: f64) -> Self {
        let reach = lens.model_radius().min(corner * (1.0 + 1e-9));
        let focal = lens.focal_length().get();
        let node = |n: usize| {
            let radius = reach * (n as f64 / NODES as f64).sqrt();
            if n == 0 {
                return [1.0, 1.0 / focal];
            }
            let (sin, cos) = lens.angle_at(radius.min(reach)).unwrap_or(0.0).sin_cos();
            [cos, sin / radius]
        };
        Self {
            nodes: (0..=NODES).map(node).collect(),
            steps_per_square: NODES as f64 / (reach * reach),
            reach: reach * reach,
            lit: lens.image_radius().powi(2),
        }
    }

    /// Whether light falls at this r².
    pub fn is_lit(&self, square: f64) -> bool {
        square <= self.lit && square <= self.reach
    }

    /// r² beyond which no light falls, or the projection shows nothing.
    pub fn lit(&self) -> f64 {
        self.lit.min(self.reach)
    }

    /// Where a place looks, lit or not; `None` beyond the projection.
    pub fn along(&self, u: f64, v: f64) -> Option<Triple> {
        let square = u * u + v * v;
        if square > self.reach {
            return None;
        }
        let at = square * self.steps_per_square;
        let n = (at as usize).min(NODES - 1);
        let t = at - n as f64;
        let ([c0, s0], [c1, s1]) = (self.nodes[n], self.nodes[n + 1]);
        let (cos, sin_over_r) = (c0 + t * (c1 - c0), s0 + t * (s1 - s0));
        Some(Triple::new(cos, u * sin_over_r, v * sin_over_r))
    }

    /// The same where light falls.
    pub fn lit_along(&self, u: f64, v: f64) -> Option<Triple> {
        self.is_lit(u * u + v * v).then(|| self.along(u, v)).flatten()
    }
}
