//! How far does the link hold all the way, and what level would hold a distance?
//!
//! A range is one thing wherever it is told, in figures, charts, costs and mends: how far out the margin stays, all the way from as far out as
//! the craft flies high, at or over what is kept in hand so that the picture holds [`KEPT_FOR`] of the time on one antenna. A distance
//! is held by a level exactly where the range at that level reaches it: both look at the same way (`way.rs`).
//! Nearer than the craft is high it flies overhead: that is asked apart.

use super::way::{FARTHEST, Looked, NEAREST, Way, begins};
use super::{Attitude, Link};
use quantity::{Db, Dbm, Metres, Probability};
use radio::{Place, RadioFault};

/// The share of the time that a range is meant for. Common practice: nearly always.
pub const KEPT_FOR: f64 = 0.99;
/// What a range keeps in hand, in words.
pub const KEPT_WORDS: &str = "kept in hand, so that the picture on one antenna holds 99 % of the time";

/// The nearest that is looked at, and the farthest.
pub const LOOKED: [Metres; 2] = [NEAREST, FARTHEST];

/// How far a link holds without a gap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Farthest {
    /// Not even close by.
    Nowhere,
    /// To here, where it first breaks.
    To(Metres),
    /// As far as was looked.
    Beyond(Metres),
}

impl Farthest {
    /// The distance.
    pub const fn distance(self) -> Metres {
        match self {
            Farthest::Nowhere => Metres::new(0.0),
            Farthest::To(distance) | Farthest::Beyond(distance) => distance,
        }
    }
}

/// The margin at a place: as it is, and at the bottom of the lobe it lies in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Depth {
    pub actual: Db,
    pub bottom: Db,
}

impl Link {
    /// How much the mean must have in hand so that one antenna holds for a share of the time; several hold longer.
    pub fn reserve(&self, held: Probability) -> Option<Db> {
        self.fading.allowance(held)
    }

    /// What every range keeps in hand.
    pub fn kept(&self) -> Db {
        // Only certainty itself has no allowance.
        self.reserve(Probability::new(KEPT_FOR)).unwrap_or(Db::new(0.0))
    }

    /// How far it holds all the way along the flying line at each of some levels, least first, with a reserve in hand.
    pub fn farthest(
        &self,
        height: Metres,
        attitude: Attitude,
        levels: &[Dbm],
        reserve: Db,
    ) -> Result<Vec<Farthest>, RadioFault> {
        let Some(first) = levels.first().copied() else { return Ok(Vec::new()) };
        let mut way = Way::new(self, height, attitude, first);
        let mut here = way.look(begins(height).get())?;
        let mut before: Option<Looked> = None;
        let mut found = Vec::with_capacity(levels.len());
        // What is wanted at the first level so that this one has its reserve.
        let wanted = |level: Dbm| reserve - (level - first);
        while let Some(level) = levels.get(found.len()) {
            if here.depth.actual >= wanted(*level) {
                break;
            }
            found.push(Farthest::Nowhere);
        }
        while let Some(level) = levels.get(found.len()) {
            if here.d >= FARTHEST.get() {
                break;
            }
            let after = way.next(here, FARTHEST.get(), wanted(*level))?;
            let null = match before {
                Some(before) => way.null([before, here, after], wanted(*level))?,
                None => None,
            };
            // The way goes down to the null before it comes to what lies after.
            for (from, low) in [(before.unwrap_or(here), null.unwrap_or(here)), (here, after)] {
                let mut known: Option<Looked> = None;
                while let Some(level) = levels.get(found.len()) {
                    let wanted = wanted(*level);
                    if low.depth.actual >= wanted {
                        break;
                    }
                    let mean = match known {
                        Some(known) => known,
                        None => way.mean(low)?,
                    };
                    known = Some(mean);
                    if mean.depth.actual >= wanted {
                        break;
                    }
                    let at = if from.depth.actual >= wanted { way.meets(from, low, wanted)? } else { from.d };
                    found.push(Farthest::To(Metres::new(at)));
                }
            }
            (before, here) = (Some(here), after);
        }
        found.resize(levels.len(), Farthest::Beyond(FARTHEST));
        Ok(found)
    }

    /// The least margin on the way to a distance at a level, and where.
    pub fn least_margin(
        &self,
        distance: Metres,
        height: Metres,
        attitude: Attitude,
        level: Dbm,
    ) -> Result<(Metres, Db), RadioFault> {
        self.least_between([begins(height).min(distance), distance], height, attitude, level)
    }

    /// The share of the time that the picture holds on all antennas together where least is in hand on the way to a distance, and where that is.
    pub fn least_held(
        &self,
        distance: Metres,
        height: Metres,
        attitude: Attitude,
        level: Dbm,
    ) -> Result<(Metres, Probability), RadioFault> {
        let (at, least) = self.least_margin(distance, height, attitude, level)?;
        let margins = self.margins(Self::on_line(at, height)?, attitude, level)?;
        // The least is a mean over half a metre; at its very bottom there may be less.
        let more = least - self.of_all(&margins);
        let margins: Vec<Db> = margins.into_iter().map(|margin| margin + more).collect();
        Ok((at, self.held(&margins)?))
    }

    /// The least margin on a stretch of the way, and where.
    pub fn least_between(
        &self,
        [from, to]: [Metres; 2],
        height: Metres,
        attitude: Attitude,
        level: Dbm,
    ) -> Result<(Metres, Db), RadioFault> {
        let mut way = Way::new(self, height, attitude, level);
        let mut here = way.look(from.get())?;
        let end = way.look(to.get())?;
        let [first, last] = [way.mean(here)?, way.mean(end)?];
        let mut least = if last.depth.actual < first.depth.actual { last } else { first };
        let mut before: Option<Looked> = None;
        while here.d < to.get() {
            let under = least.depth.actual;
            let after = way.next(here, to.get(), under)?;
            let null = match before {
                Some(before) => way.null([before, here, after], under)?,
                None => None,
            };
            for low in [null, Some(after)].into_iter().flatten() {
                if low.depth.actual < least.depth.actual {
                    let mean = way.mean(low)?;
                    if mean.depth.actual < least.depth.actual {
                        least = mean;
                    }
                }
            }
            (before, here) = (Some(here), after);
        }
        Ok((Metres::new(least.d), least.depth.actual))
    }

    pub(super) fn depth_at(
        &self,
        craft: Place,
        attitude: Attitude,
        level: Dbm,
        shadows: &[Db],
    ) -> Result<Depth, RadioFault> {
        let both = self.margins_and_bottoms(craft, attitude, level, shadows)?;
        let pick = |which: usize| -> Vec<Db> { both.iter().map(|pair| pair[which]).collect() };
        Ok(Depth { actual: self.of_all(&pick(0)), bottom: self.of_all(&pick(1)) })
    }
}
