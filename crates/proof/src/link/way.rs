//! The margin on the way out along the flying line: where does it first fall too low, and where is it least?
//!
//! Near in, the ground makes lobes closer together than anybody flies to the metre, and their nulls are a metre or three wide. Where even
//! the bottom of the lobes (direct ray less ground ray; as it is where the ground ray is longer by less than half a wavelength) is high
//! enough, steps are 3 % of the distance; where it is not, sixteen to a lobe, and the least of each null is searched out between its
//! samples. From the first obstacle on steps are close and never over 1 %. A low margin is the local mean over half a metre: what is shorter is fading, a
//! craft is through it before the picture shows it, and in so narrow a null rays that nothing scatters would cancel as they never do. Beside an obstacle, where it begins and where it ends along the line, steps are no longer than a tenth of the way to there.

use super::farthest::Depth;
use super::sweep::Flown;
use super::{Attitude, Link};
use craft::schema::craft::FLY_TO;
use quantity::{Db, Dbm, Metres};
use radio::RadioFault;

/// Where looking begins, or as far out as the craft is high: what is lost straight overhead is another question.
pub const NEAREST: Metres = Metres::new(3.0);
/// Where looking ends, and the farthest that may be planned: beyond this the earth is not flat.
pub const FARTHEST: Metres = Metres::new(FLY_TO.def.max);

const COARSE: f64 = 0.03;
/// From the first obstacle on.
const HIDDEN: f64 = 0.01;
const FINE_LEAST: f64 = 0.001;
const STEPS_A_LOBE: f64 = 16.0;
/// Steps beside an obstacle, as a share of the way to its nearer end, and the least in metres.
const BESIDE: (f64, f64) = (0.1, 0.25);
/// Ends of obstacles nearer together than this count as one, in metres.
const ONE_END: f64 = 1.0;
/// The least of a null is searched out where a sample lies less than this over what is asked; from the first obstacle on, where samples lie
/// closer and ripples are many, less than the second.
const NEAR_ENOUGH: [f64; 2] = [12.0, 4.0];
/// So far over what is asked it is not worked out to the last what is left: more than a null is searched out from.
pub(super) const EXACT: Db = Db::new(16.0);
/// Half of the length in metres over which a low margin is a local mean: ten waves in all, a frame or two of the picture at 15 m/s. What is
/// shorter belongs to the fading (common practice: ten to forty waves).
const LOCAL: f64 = 0.25;
/// The same whole.
pub(super) const LASTING: Metres = Metres::new(2.0 * LOCAL);
/// Places in such a mean.
const MEAN_OF: u32 = 9;
/// Narrowings in that search: two steps become a hundredth of them.
const NARROWINGS: u32 = 10;

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
    /// From here on something may stand in the way: what is taken of both rays changes faster than their lobes, so no bottom holds for more
    /// than its own place.
    hidden_from: f64,
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
        let ends = ends(link);
        let hidden_from = ends.first().copied().unwrap_or(f64::INFINITY);
        Self { flown: link.flown(attitude), height, level, lobe, ends, close_to: 0.0, hidden_from }
    }

    pub fn look(&mut self, d: f64) -> Result<Looked, RadioFault> {
        let place = Link::on_line(Metres::new(d), self.height)?;
        Ok(Looked { d, depth: self.flown.depth(place, self.level)? })
    }

    /// From here on what is left is worked out to the last where it may matter under a margin.
    pub fn exact_under(&mut self, under: Db) {
        self.flown.exact_below = under + EXACT;
    }

    /// A wide step from here, no farther than an end, so that nothing under a margin is stepped over: whether it had to be looked into closely, and
    /// all its places but this.
    pub fn stretch(&mut self, here: Looked, end: f64, under: Db) -> Result<(bool, Vec<Looked>), RadioFault> {
        let to = self.look((here.d + self.step(here.d, false)).min(end))?;
        let low = |looked: &Looked| looked.depth.bottom < under || looked.depth.actual < under;
        if here.d < self.hidden_from && !low(&here) && !low(&to) {
            return Ok((false, vec![to]));
        }
        let mut places: Vec<Looked> = Vec::new();
        let mut d = here.d;
        loop {
            d += self.step(d, true);
            // What is left over at the end is no step of its own.
            if d + 0.3 * self.step(d, true) >= to.d {
                break;
            }
            places.push(self.look(d)?);
        }
        places.push(to);
        Ok((true, places))
    }

    /// The next place, no farther than an end, where nothing under a margin is to be stepped over.
    pub fn next(&mut self, here: Looked, end: f64, under: Db) -> Result<Looked, RadioFault> {
        self.exact_under(under);
        let close = here.d < self.close_to || here.depth.bottom < under || here.d >= self.hidden_from;
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
    pub fn null(&mut self, three: [Looked; 3], under: Db) -> Result<Option<Looked>, RadioFault> {
        let (mut seen, here) = (Vec::new(), three[1]);
        self.search_null(three, [Db::new(f64::NEG_INFINITY), under], &mut seen)?;
        let lowest = seen.into_iter().min_by(|a, b| a.depth.actual.get().total_cmp(&b.depth.actual.get()));
        Ok(lowest.map(|found| if found.depth.actual < here.depth.actual { found } else { here }))
    }

    /// The places at which the least margin between three places was searched for, if the one in the middle lies lowest, so low that it matters under
    /// the second margin, and not so low that it did under the first.
    pub fn search_null(
        &mut self,
        [before, here, after]: [Looked; 3],
        [known, under]: [Db; 2],
        seen: &mut Vec<Looked>,
    ) -> Result<(), RadioFault> {
        let lowest = here.depth.actual < before.depth.actual && here.depth.actual <= after.depth.actual;
        let hidden = here.d >= self.hidden_from;
        let near = Db::new(NEAR_ENOUGH[usize::from(hidden)]);
        let matters = |under: Db| (here.depth.bottom < under || hidden) && here.depth.actual < under + near;
        if !lowest || !matters(under) || matters(known) {
            return Ok(());
        }
        // Golden section.
        const INNER: f64 = 0.381_966_011_250_105;
        let (mut from, mut to) = (before.d, after.d);
        let mut left = self.look(from + INNER * (to - from))?;
        let mut right = self.look(to - INNER * (to - from))?;
        seen.extend([left, right]);
        for _ in 0..NARROWINGS {
            if left.depth.actual < right.depth.actual {
                (to, right) = (right.d, left);
                left = self.look(from + INNER * (to - from))?;
                seen.push(left);
            } else {
                (from, left) = (left.d, right);
                right = self.look(to - INNER * (to - from))?;
                seen.push(right);
            }
        }
        Ok(())
    }

    /// The local mean about a low place: over half a metre, as power.
    pub fn mean(&mut self, low: Looked) -> Result<Looked, RadioFault> {
        let mut sums = [0.0; 2];
        for n in 0..MEAN_OF {
            let share = 2.0 * f64::from(n) / f64::from(MEAN_OF - 1) - 1.0;
            // Close by there is less room than that.
            let d = (low.d + share * LOCAL.min(0.5 * low.d)).max(f64::MIN_POSITIVE);
            let depth = self.look(d)?.depth;
            sums = [sums[0] + depth.actual.ratio(), sums[1] + depth.margin.ratio()];
        }
        let [actual, margin] = sums.map(|sum| {
            let mean = (sum / f64::from(MEAN_OF)).max(f64::MIN_POSITIVE);
            Db::new(10.0 * mean.log10())
        });
        Ok(Looked { d: low.d, depth: Depth { actual, margin, ..low.depth } })
    }

    /// Of the half metre about a low place that centimetre at which what is left is nearest to its local mean: a place that can be gone back
    /// to and told in whole centimetres.
    pub fn stands_for(&mut self, mean: Looked) -> Result<Looked, RadioFault> {
        let (middle, reach) = ((100.0 * mean.d).round(), (100.0 * LOCAL.min(0.5 * mean.d)).floor());
        let off = |looked: &Looked| (looked.depth.actual - mean.depth.actual).get().abs();
        let mut best = self.look(middle / 100.0)?;
        for away in 1..=reach as u32 {
            for side in [-1.0, 1.0] {
                let looked = self.look((middle + side * f64::from(away)) / 100.0)?;
                if off(&looked) < off(&best) {
                    best = looked;
                }
            }
        }
        Ok(best)
    }

    fn step(&self, d: f64, close: bool) -> f64 {
        let lobe = self.lobe * d / STEPS_A_LOBE;
        let widest = if d >= self.hidden_from { HIDDEN } else { COARSE };
        let share = if close && lobe.is_finite() { lobe.clamp(FINE_LEAST, widest) } else { widest };
        let (part, least) = BESIDE;
        let beside = self.ends.iter().map(|end| (part * (end - d).abs()).max(least));
        beside.fold(d * share, f64::min)
    }
}

/// Where walls and woods begin and end along the flying line. What always stands half way begins and ends nowhere.
fn ends(link: &Link) -> Vec<f64> {
    let (walls, woods) = link.that_stand_still();
    let walls = walls.iter().flat_map(|wall| wall.ends().map(|[x, _]| x.get()));
    let woods = woods.iter().flat_map(|wood| {
        let ([x, _], radius) = (wood.middle(), wood.radius());
        [x - radius, x + radius].map(Metres::get)
    });
    let mut ends: Vec<f64> = walls.chain(woods).collect();
    ends.sort_by(f64::total_cmp);
    ends.dedup_by(|a, b| (*a - *b).abs() < ONE_END);
    ends
}
