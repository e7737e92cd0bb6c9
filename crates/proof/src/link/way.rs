//! The margin on the way out along the flying line: where does it first fall too low, and where is it least?
//!
//! Near in, the ground makes lobes closer together than anybody flies to the metre, and their nulls are a metre or three wide. Where even
//! the bottom of the lobes (direct ray less ground ray; as it is where the ground ray is longer by less than half a wavelength) is high
//! enough, steps are 3 % of the distance; where it is not, sixteen to a lobe, and the least of each null is searched out between its
//! samples. Beside an obstacle, where it begins and where it ends along the line, steps are no longer than a tenth of the way to there.

use super::farthest::Depth;
use super::sweep::Flown;
use super::{Attitude, Link};
use quantity::{Db, Dbm, Metres};
use radio::RadioFault;

/// Where looking begins, or as far out as the craft is high: what is lost straight overhead is another question.
pub const NEAREST: Metres = Metres::new(3.0);
/// Where looking ends: beyond this the earth is not flat.
pub const FARTHEST: Metres = Metres::new(20_000.0);

const COARSE: f64 = 0.03;
const FINE_LEAST: f64 = 0.001;
const STEPS_A_LOBE: f64 = 16.0;
/// Steps beside an obstacle, as a share of the way to its nearer end, and the least in metres.
const BESIDE: (f64, f64) = (0.1, 0.25);
/// Ends of obstacles nearer together than this count as one, in metres.
const ONE_END: f64 = 1.0;
/// The least of a null is searched out where a sample lies less than this over what is asked.
const NEAR_ENOUGH: f64 = 12.0;
/// Narrowings in that search: two steps become a thousandth of them.
const NARROWINGS: u32 = 15;

/// The margin at a distance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Looked {
    /// Along the flying line, in metres.
    pub d: f64,
    pub depth: Depth,
}

/// A way out along the flying line.
pub(super) struct Way<'l> {
    flown: Flown<'l>,
    height: Metres,
    level: Dbm,
    /// A lobe is so many times the square of the distance long; infinite without ground.
    lobe: f64,
    /// Where obstacles begin and end along the line.
    ends: Vec<f64>,
    /// Up to here steps are close.
    close_to: f64,
}

/// From where on a way at a height is looked at.
pub(super) fn begins(height: Metres) -> Metres {
    NEAREST.max(height)
}

impl<'l> Way<'l> {
    pub fn new(link: &'l Link, height: Metres, attitude: Attitude, level: Dbm) -> Self {
        let highest = link.grounds.iter().map(|ground| ground.place[2]).fold(0.0, f64::max);
        let product = (highest * height.get()).abs();
        let grounded = link.scenery.ground.is_some();
        let lobe = if grounded { link.carrier.wavelength().get() / (2.0 * product) } else { f64::INFINITY };
        Self { flown: link.flown(attitude), height, level, lobe, ends: ends(link), close_to: 0.0 }
    }

    pub fn look(&mut self, d: f64) -> Result<Looked, RadioFault> {
        let place = Link::on_line(Metres::new(d), self.height)?;
        Ok(Looked { d, depth: self.flown.depth(place, self.level)? })
    }

    /// The next place, no farther than an end, where nothing under a margin is to be stepped over.
    pub fn next(&mut self, here: Looked, end: f64, under: Db) -> Result<Looked, RadioFault> {
        let close = here.d < self.close_to || here.depth.bottom < under;
        if !close {
            let far = self.look((here.d + self.step(here.d, false)).min(end))?;
            if far.depth.bottom >= under && far.depth.actual >= under {
                return Ok(far);
            }
            self.close_to = far.d;
        }
        self.look((here.d + self.step(here.d, true)).min(end))
    }

    /// The least margin between three places next to each other, if the one in the middle lies lowest and so low that it matters.
    pub fn null(
        &mut self,
        [before, here, after]: [Looked; 3],
        under: Db,
    ) -> Result<Option<Looked>, RadioFault> {
        let lowest = here.depth.actual < before.depth.actual && here.depth.actual <= after.depth.actual;
        let matters =
            here.depth.bottom < under && here.depth.actual < under + Db::new(NEAR_ENOUGH);
        if !(lowest && matters) {
            return Ok(None);
        }
        // Golden section.
        const INNER: f64 = 0.381_966_011_250_105;
        let (mut from, mut to) = (before.d, after.d);
        let mut left = self.look(from + INNER * (to - from))?;
        let mut right = self.look(to - INNER * (to - from))?;
        for _ in 0..NARROWINGS {
            if left.depth.actual < right.depth.actual {
                (to, right) = (right.d, left);
                left = self.look(from + INNER * (to - from))?;
            } else {
                (from, left) = (left.d, right);
                right = self.look(to - INNER * (to - from))?;
            }
        }
        let found = if left.depth.actual < right.depth.actual { left } else { right };
        Ok(Some(if found.depth.actual < here.depth.actual { found } else { here }))
    }

    fn step(&self, d: f64, close: bool) -> f64 {
        let lobe = self.lobe * d / STEPS_A_LOBE;
        let share = if close && lobe.is_finite() { lobe.clamp(FINE_LEAST, COARSE) } else { COARSE };
        let (part, least) = BESIDE;
        let beside = self.ends.iter().map(|end| (part * (end - d).abs()).max(least));
        beside.fold(d * share, f64::min)
    }
}

/// Where walls and woods begin and end along the flying line.
fn ends(link: &Link) -> Vec<f64> {
    let walls = link.scenery.walls.iter().flat_map(|wall| wall.ends().map(|[x, _]| x.get()));
    let woods = link.scenery.woods.iter().flat_map(|wood| {
        let ([x, _], radius) = (wood.middle(), wood.radius());
        [x - radius, x + radius].map(Metres::get)
    });
    let mut ends: Vec<f64> = walls.chain(woods).collect();
    ends.sort_by(f64::total_cmp);
    ends.dedup_by(|a, b| (*a - *b).abs() < ONE_END);
    ends
}
