//! Does the stack of boards go under the top plate.
//!
//! Boards lie on one set of posts. Between two neighbours the posts must hold them so far apart that
//! nowhere in plan the parts above the lower and below the upper meet:
//! gap = max over plan cells of (above_lower + below_upper) + air. The need is the sum of board thicknesses
//! and gaps. Cells are cut at the edges of the blocks, so the maximum is exact. A pair of tall plugs over
//! each other costs their sum, side by side only the taller.
//!
//! Left out: boards that lean. The place [`highest_under`] works from solids as placed instead.

use crate::frame::BodyVector;
use crate::scene::Scene;
use crate::solid::{SolidIndex, add_linear};
use quantity::{Linear, Millimetres};

/// A rectangle in plan, in mm of the stack's own axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Footprint {
    /// Least and greatest x.
    pub x: [f64; 2],
    /// Least and greatest y.
    pub y: [f64; 2],
}

impl Footprint {
    fn covers(&self, x: f64, y: f64) -> bool {
        (self.x[0] < x && x < self.x[1]) && (self.y[0] < y && y < self.y[1])
    }
}

/// Something that stands up from or hangs below a board.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// What a person calls it.
    pub name: String,
    /// Where in plan.
    pub footprint: Footprint,
    /// How far it stands from the board's face, in mm.
    pub height: Linear,
}

/// One board of a stack, with what stands on both faces: parts, plugs, solder, bent wire.
#[derive(Clone, Debug, PartialEq)]
pub struct StackLayer {
    /// What a person calls it.
    pub name: String,
    /// The bare board, in mm.
    pub thickness: Linear,
    /// What stands up.
    pub above: Vec<Block>,
    /// What hangs down.
    pub below: Vec<Block>,
    /// Air wanted under everything that hangs down, in mm.
    pub air_below: Millimetres,
}

/// The room between two neighbours: what it must be and what decides it.
#[derive(Clone, Debug, PartialEq)]
pub struct StackGap {
    /// What the posts must hold, in mm.
    pub need: Linear,
    /// The block of the lower layer that decides, by number; `None` if the bare face does.
    pub lower: Option<usize>,
    /// The block of the upper layer that decides.
    pub upper: Option<usize>,
}

/// What a stack needs.
#[derive(Clone, Debug, PartialEq)]
pub struct StackNeed {
    /// From the bottom plate to the highest thing, air under the top plate included, in mm.
    pub height: Linear,
    /// Under the first board, between boards, above the last: one more than there are boards.
    pub gaps: Vec<StackGap>,
}

/// The height a stack needs, from the bottom plate up, with `air_above` under the top plate.
pub fn stack_height(layers: &[StackLayer], air_above: Millimetres) -> StackNeed {
    let mut need = StackNeed { height: crate::screw::exact(0.0), gaps: Vec::new() };
    let nothing: &[Block] = &[];
    for n in 0..=layers.len() {
        let lower = n.checked_sub(1).map_or(nothing, |n| &layers[n].above);
        let upper = layers.get(n).map_or(nothing, |layer| &layer.below);
        let air = layers.get(n).map_or(air_above, |layer| layer.air_below);
        let gap = gap_between(lower, upper, air);
        add_linear(&mut need.height, &gap.need, 1.0);
        if let Some(layer) = layers.get(n) {
            add_linear(&mut need.height, &layer.thickness, 1.0);
        }
        need.gaps.push(gap);
    }
    need
}

fn gap_between(lower: &[Block], upper: &[Block], air: Millimetres) -> StackGap {
    let cuts = |axis: fn(&Footprint) -> [f64; 2]| {
        let mut cuts: Vec<f64> = lower.iter().chain(upper).flat_map(|b| axis(&b.footprint)).collect();
        cuts.sort_by(f64::total_cmp);
        cuts.dedup();
        cuts.windows(2).map(|w| (w[0] + w[1]) / 2.0).collect::<Vec<_>>()
    };
    let tallest = |blocks: &[Block], x: f64, y: f64| {
        blocks
            .iter()
            .enumerate()
            .filter(|(_, b)| b.footprint.covers(x, y) && b.height.value > 0.0)
            .max_by(|a, b| a.1.height.value.total_cmp(&b.1.height.value))
            .map(|(n, b)| (n, b.height.value))
    };
    let mut best = (0.0, None, None);
    let ys = cuts(|f| f.y);
    for x in cuts(|f| f.x) {
        for y in &ys {
            let (l, u) = (tallest(lower, x, *y), tallest(upper, x, *y));
            let sum = l.map_or(0.0, |l| l.1) + u.map_or(0.0, |u| u.1);
            if sum > best.0 {
                best = (sum, l.map(|l| l.0), u.map(|u| u.0));
            }
        }
    }
    let mut need = crate::screw::exact(air.get());
    if let Some(n) = best.1 {
        add_linear(&mut need, &lower[n].height, 1.0);
    }
    if let Some(n) = best.2 {
        add_linear(&mut need, &upper[n].height, 1.0);
    }
    StackGap { need, lower: best.1, upper: best.2 }
}

/// The highest point of some solids over a footprint of the body frame, in mm of body z, with the solid
/// it belongs to; `None` if none stands there. A solid counts if its box meets the footprint.
pub fn highest_under(
    scene: &Scene,
    solids: impl IntoIterator<Item = SolidIndex>,
    footprint: Footprint,
) -> Option<(SolidIndex, Linear)> {
    let tops = solids.into_iter().filter_map(|index| {
        let extent = scene.extent(index)?;
        let meets = extent.low.x() < footprint.x[1]
            && footprint.x[0] < extent.high.x()
            && extent.low.y() < footprint.y[1]
            && footprint.y[0] < extent.high.y();
        meets.then_some((index, extent.high.z()))
    });
    let (index, _) = tops.max_by(|a, b| a.1.total_cmp(&b.1))?;
    let solid = scene.solid(index)?;
    let top = crate::sweep::farthest(solid, BodyVector::Z);
    let mut linear = crate::screw::exact(top.z());
    solid.add_slopes(top, BodyVector::Z, 1.0, &mut linear);
    Some((index, linear))
}
