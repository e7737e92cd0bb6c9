//! How far does the link hold all the way, and what level would hold a distance?
//!
//! A range is one thing wherever it is told, in figures, charts, costs and mends: how far out the picture holds [`KEPT_FOR`] of the time on all antennas
//! of the station together, chosen or put together as the receiver does, all the way from as far out as the craft flies high. The share of the time
//! that is told at a place is that of the same antennas by the same fading. A distance
//! is held by a level exactly where the range at that level reaches it: both look at the same way (`way.rs`).
//! Nearer than the craft is high it flies overhead: that is asked apart.

use super::way::{FARTHEST, Looked, NEAREST, Way, begins};
use super::{Attitude, Link};
use quantity::{Db, Dbm, Metres, Probability};
use radio::{Place, RadioFault};

/// The share of the time that a range is meant for. Common practice: nearly always.
pub const KEPT_FOR: f64 = 0.99;
/// What is in hand at the end of a range, in words.
pub const KEPT_WORDS: &str = "in hand there in the mean, all of which fades take, so that the picture holds 99 % of the time on all antennas together";

/// The nearest that is looked at, and the farthest.
pub const LOOKED: [Metres; 2] = [NEAREST, FARTHEST];

/// How far a link holds without a gap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Farthest {
    /// Not even close by.
    Nowhere,
    /// To here, where it first holds less than [`KEPT_FOR`] of the time.
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

    /// What ends it, in words.
    pub const fn words(self) -> &'static str {
        match self {
            Farthest::Nowhere => "it does not hold 99 % of the time even close by",
            Farthest::To(_) => "where it first holds less than 99 % of the time",
            Farthest::Beyond(_) => "as far as was looked: it may hold farther",
        }
    }
}

/// What is left at a place [`KEPT_FOR`] of the time: as it is, and at the bottom of the lobe it lies in; and what is in hand in the mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Depth {
    pub actual: Db,
    pub bottom: Db,
    pub margin: Db,
}

impl Link {
    /// How much of what is in hand in the mean the fades take at a place, so that it holds [`KEPT_FOR`] of the time: less where several antennas
    /// of the station get it alike.
    pub fn taken_by_fades(&self, craft: Place, attitude: Attitude, level: Dbm) -> Result<Db, RadioFault> {
        let margins = self.margins(craft, attitude, level)?;
        Ok(self.of_all(&margins) - self.lasting(&margins))
    }

    /// How far it holds all the way along the flying line at each of some levels, least first, with a reserve left [`KEPT_FOR`] of the time.
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

    /// What is least left [`KEPT_FOR`] of the time on the way to a distance at a level, and where.
    pub fn least_left(
        &self,
        distance: Metres,
        height: Metres,
        attitude: Attitude,
        level: Dbm,
    ) -> Result<(Metres, Db), RadioFault> {
        let way = [begins(height).min(distance), distance];
        let (at, [_, left]) = self.least_between(way, height, attitude, level)?;
        Ok((at, left))
    }

    /// The share of the time that the picture holds where so much is left [`KEPT_FOR`] of it, about a place.
    pub fn held_about(
        &self,
        (at, left): (Metres, Db),
        height: Metres,
        attitude: Attitude,
        level: Dbm,
    ) -> Result<Probability, RadioFault> {
        let margins = self.margins(Self::on_line(at, height)?, attitude, level)?;
        // The least is a mean over half a metre; at its very bottom there may be less.
        let more = left - self.lasting(&margins);
        let margins: Vec<Db> = margins.into_iter().map(|margin| margin + more).collect();
        self.held(&margins)
    }

    /// What is in hand in the mean, and what is left [`KEPT_FOR`] of the time, where least is left on a stretch of the way; and where.
    pub fn least_between(
        &self,
        [from, to]: [Metres; 2],
        height: Metres,
        attitude: Attitude,
        level: Dbm,
    ) -> Result<(Metres, [Db; 2]), RadioFault> {
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
        Ok((Metres::new(least.d), [least.depth.margin, least.depth.actual]))
    }
}
