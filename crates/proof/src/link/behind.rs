//! Where along the flying line does what stands about stand in the way, and how little is left there?
//!
//! The craft counts as behind something where walls and leaves together take [`BEHIND`] of the straight ray, asked without the ground,
//! whose lobes have nothing to do with it. On these stretches the whole link is looked at as closely as the lobes of the ground lie
//! (`way.rs`): a null behind a barn is a metre or three wide.

use super::farthest::Depth;
use super::way::{Looked, NEAREST, Way};
use super::{Attitude, Link};
use quantity::{Db, Dbm, Metres};
use radio::RadioFault;

/// What an obstacle takes before the craft counts as behind it.
const BEHIND: Db = Db::new(1.0);
/// Halvings of the step in which such a stretch begins or ends.
const HALVINGS: u32 = 10;

/// The link behind what stands about.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Behind {
    /// Where least is left 99 % of the time as the mean over half a metre: of that half metre the centimetre at which just so much is left.
    pub at: Metres,
    /// What is in hand at that very place in the mean.
    pub margin: Db,
    /// What of it is left 99 % of the time: under nought the picture breaks there.
    pub left: Db,
    /// Where the picture is lost: nothing is in hand in the mean. From near to far.
    pub lost: Vec<[Metres; 2]>,
    /// Where it holds less than 99 % of the time: it is breaking, or lost.
    pub breaking: Vec<[Metres; 2]>,
}

impl Link {
    /// The same with nothing standing about but the ground.
    pub(crate) fn in_the_open(&self) -> Self {
        let mut open = self.clone();
        open.scenery.walls.clear();
        open.scenery.woods.clear();
        open
    }

    /// Behind what stands about, on stretches of the way; `None` where there are none.
    pub(crate) fn behind(
        &self,
        stretches: &[[f64; 2]],
        height: Metres,
        attitude: Attitude,
        level: Dbm,
    ) -> Result<Option<Behind>, RadioFault> {
        let mut way = Way::new(self, height, attitude, level);
        let mut least: Option<Looked> = None;
        let (mut lost, mut breaking): (Vec<[Metres; 2]>, Vec<[Metres; 2]>) = (Vec::new(), Vec::new());
        let breaks = Db::new(0.0);
        for &[from, to] in stretches {
            let first = way.look(from)?;
            let mut least_here = way.mean(first)?;
            let mut looked = vec![first];
            while let Some(&here) = looked.last().filter(|here| here.d < to) {
                // All of what breaks up is wanted, and the least of the rest.
                let known = least.map_or(least_here, |least| lower(least, least_here)).depth.actual;
                let watched = if known > breaks { known } else { breaks };
                let after = way.next(here, to, watched)?;
                let null = match looked[..] {
                    [.., before, _] => way.null([before, here, after], watched)?,
                    _ => None,
                };
                for low in [null, Some(after)].into_iter().flatten() {
                    if low.depth.actual < least_here.depth.actual {
                        least_here = lower(least_here, way.mean(low)?);
                    }
                }
                if let Some(null) = null {
                    let last = looked.len() - usize::from(null.d < here.d);
                    looked.insert(last, null);
                }
                looked.push(after);
            }
            least = Some(least.map_or(least_here, |least| lower(least, least_here)));
            lost.extend(under(&looked, Db::new(0.0), |depth| depth.margin));
            breaking.extend(under(&looked, breaks, |depth| depth.actual));
        }
        let Some(least) = least else { return Ok(None) };
        let told = way.stands_for(least)?;
        let Depth { margin, actual: left, .. } = told.depth;
        Ok(Some(Behind { at: Metres::new(told.d), margin, left, lost, breaking }))
    }

    /// Stretches of the way on which something takes more than a decibel of the straight ray.
    pub(crate) fn stretches_behind(
        &self,
        distance: Metres,
        height: Metres,
        attitude: Attitude,
        level: Dbm,
    ) -> Result<Vec<[f64; 2]>, RadioFault> {
        if self.scenery.walls.is_empty() && self.scenery.woods.is_empty() {
            return Ok(Vec::new());
        }
        let mut straight = self.clone();
        straight.scenery.ground = None;
        let open = straight.in_the_open();
        let (mut with, mut without) =
            (Way::new(&straight, height, attitude, level), Way::new(&open, height, attitude, level));
        let mut hidden = |looked: Looked| -> Result<bool, RadioFault> {
            Ok(without.look(looked.d)?.depth.margin - looked.depth.margin > BEHIND)
        };
        let nowhere = Db::new(f64::NEG_INFINITY);
        let mut here = with.look(NEAREST.min(distance).get())?;
        let mut was = hidden(here)?;
        let mut open_at = was.then_some(here.d);
        let mut found = Vec::new();
        while here.d < distance.get() {
            let after = with.next(here, distance.get(), nowhere)?;
            let now = hidden(after)?;
            if now != was {
                let (mut from, mut to) = (here.d, after.d);
                for _ in 0..HALVINGS {
                    let middle = 0.5 * (from + to);
                    if hidden(with.look(middle)?)? == was { from = middle } else { to = middle }
                }
                match open_at.take() {
                    Some(start) => found.push([start, from]),
                    None => open_at = Some(to),
                }
            }
            (here, was) = (after, now);
        }
        found.extend(open_at.map(|start| [start, here.d]));
        Ok(found)
    }
}

fn lower(one: Looked, two: Looked) -> Looked {
    if two.depth.actual < one.depth.actual { two } else { one }
}

/// Where samples, straight in decibels between, lie under a limit.
fn under(looked: &[Looked], limit: Db, of: impl Fn(Depth) -> Db) -> Vec<[Metres; 2]> {
    let mut found = Vec::new();
    let mut open: Option<f64> = looked.first().filter(|first| of(first.depth) < limit).map(|first| first.d);
    for pair in looked.windows(2) {
        let [was, now] = [pair[0], pair[1]].map(|looked| (of(looked.depth) - limit).get());
        let crosses = pair[0].d + (pair[1].d - pair[0].d) * (was / (was - now)).clamp(0.0, 1.0);
        match (open, now < 0.0) {
            (None, true) => open = Some(crosses),
            (Some(from), false) => {
                found.push([from, crosses]);
                open = None;
            }
            _ => {}
        }
    }
    found.extend(open.zip(looked.last()).map(|(from, last)| [from, last.d]));
    found.into_iter().map(|stretch| stretch.map(Metres::new)).collect()
}
