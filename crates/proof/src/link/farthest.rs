//! How far does the link hold all the way, and what level would hold a distance?
//!
//! A range is one thing wherever it is told, in figures, charts, costs and mends: how far out the picture holds [`KEPT_FOR`] of the time on all antennas
//! of the station together, chosen or put together as the receiver does, from as far out as the craft flies high, short breaks apart: no more than a
//! blink ([`Blink`]), so many metres of any ten. It ends where the break begins with which that becomes too much, so that who allows longer breaks
//! never has the shorter range. Beside it stands on how many metres of the way that is asked about it does not hold: no dip is hidden.
//! The share of the time that is told at a place is that of the same antennas by the same fading. A distance is held by a level exactly where the
//! range at that level reaches it: both look at the same way (`outward.rs`). Nearer than the craft is high it flies overhead: that is asked apart.

use super::way::{FARTHEST, LASTING, Looked, NEAREST, Way};
use super::{Attitude, Link};
use crate::numbers::rounded;
use quantity::{Db, Dbm, Metres, MetresPerSecond, Probability};
use radio::{Place, RadioFault};

/// The share of the time that a range is meant for. Common practice: nearly always.
pub const KEPT_FOR: f64 = 0.99;
/// What is in hand at the end of a range, in words.
pub const KEPT_WORDS: &str = "in hand there in the mean, all of which fades take, so that the picture holds 99 % of the time on all antennas together";

/// The nearest that is looked at, and the farthest.
pub const LOOKED: [Metres; 2] = [NEAREST, FARTHEST];

/// A break that is flown through lasts so many seconds at most. Common practice, from memory: a blink of the eyes takes 0.1 to 0.4 s, and nobody lets go
/// of the sticks for one.
const BLINK_SECONDS: f64 = 0.3;
/// It is never longer than this, however fast: on so much of the way nobody can be without a picture. Common practice: a gate and the room about it.
const BLINK_MOST: Metres = Metres::new(3.0);
/// No more than this of it may be lost outright, with nothing in hand even in the mean: a picture that is gone comes back later than one with blocks in it.
const LOST_MOST: Metres = Metres::new(1.0);
/// Breaks nearer together than this are flown through as one: of any length so long that much at most.
pub(super) const WITHIN: Metres = Metres::new(10.0);

/// How much of a way may break before a range ends: as much as is flown in a blink, within bounds in metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Blink {
    /// How fast the craft cruises, where its sheet says so.
    pub cruise: Option<MetresPerSecond>,
}

impl Blink {
    /// So much of [`Blink::within`]: no less than what still counts as fading, which is all where no speed is stated, and no more than nobody flies
    /// without a picture.
    pub fn gone(self) -> Metres {
        self.flown().max(LASTING).min(BLINK_MOST)
    }

    /// So much of it may be lost outright.
    pub fn lost(self) -> Metres {
        self.gone().min(LOST_MOST)
    }

    /// Of any length so long.
    pub const fn within(self) -> Metres {
        WITHIN
    }

    /// What is flown in a blink.
    fn flown(self) -> Metres {
        self.cruise.map_or(Metres::new(0.0), |cruise| Metres::new(BLINK_SECONDS * cruise.get()))
    }

    /// How much may break, in words that go on from `short breaks apart:`.
    pub fn allowed(self) -> String {
        format!("up to {} of any {}", Self::told(self.gone()), Self::told(WITHIN))
    }

    /// The same with why.
    pub fn words(self) -> String {
        let why = match self.cruise {
            Some(cruise) if self.flown() > BLINK_MOST => {
                format!(
                    "the most there is, for {BLINK_SECONDS} s at {cruise} would be {}",
                    Self::told(self.flown())
                )
            }
            Some(cruise) if self.flown() >= LASTING => format!("{BLINK_SECONDS} s at {cruise}"),
            Some(_) => "which still counts as fading".to_owned(),
            None => "which still counts as fading, for no speed in cruise is entered".to_owned(),
        };
        let lost = match self.lost() {
            lost if lost < self.gone() => {
                format!("; no more than {} of that lost outright", Self::told(lost))
            }
            _ => String::new(),
        };
        format!("{}, {why}{lost}; common practice", self.allowed())
    }

    fn told(value: Metres) -> String {
        format!("{} m", rounded(value.get(), 1))
    }
}

/// How far a link holds, short breaks apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Farthest {
    /// Not even close by.
    Nowhere,
    /// To here, where a break begins with which more of the way is gone than a blink.
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
            Farthest::To(_) => "where a break begins with which more of the way is gone than may be",
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

    /// How far it holds along the flying line at each of some levels, least first, with a reserve left [`KEPT_FOR`] of the time.
    pub fn farthest(
        &self,
        height: Metres,
        attitude: Attitude,
        levels: &[Dbm],
        reserve: Db,
    ) -> Result<Vec<Farthest>, RadioFault> {
        let Some(first) = levels.first() else { return Ok(Vec::new()) };
        self.outward(height, attitude, *first)?.ranges(levels, reserve)
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
