//! How far does the link hold all the way, and what level would hold a distance?
//!
//! A range is one thing wherever it is told, in figures, charts, costs and mends: how far out the picture holds [`KEPT_FOR`] of the time on all antennas
//! of the station together, chosen or put together as the receiver does, from as far out as the craft flies high, and with no break longer than a
//! blink ([`Blink`]). Beside it stands on how many metres of the way that is asked about it does not hold: no dip is hidden, none alone ends a flight.
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

/// A break that is flown through: so long at most in any time so long, in seconds. Common practice, from memory: a blink of the eyes takes 0.1 to
/// 0.4 s, and nobody lets go of the sticks for one; blinks upon each other are a break.
const BLINK: [f64; 2] = [0.3, 1.0];

/// How much of a way may be gone before a range ends: as much as is flown in a blink.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Blink {
    /// How fast the craft cruises, where its sheet says so.
    pub cruise: Option<MetresPerSecond>,
}

impl Blink {
    /// So much of [`Blink::within`]: no less than what still counts as fading, which is all where no speed is stated.
    pub fn gone(self) -> Metres {
        self.cruise.map_or(LASTING, |cruise| Metres::new(BLINK[0] * cruise.get()).max(LASTING))
    }

    /// Of any length so long.
    pub fn within(self) -> Metres {
        self.gone() * (BLINK[1] / BLINK[0])
    }

    /// The same in words.
    pub fn words(self) -> String {
        let metres = |value: Metres| format!("{} m", rounded(value.get(), 1));
        match self.cruise {
            Some(cruise) if self.gone() > LASTING => {
                format!(
                    "{} s of any second flown at {cruise}, {}; common practice",
                    BLINK[0],
                    metres(self.gone())
                )
            }
            Some(_) => format!("{} at least, which counts as fading", metres(self.gone())),
            None => {
                format!("{}, which counts as fading, for no speed in cruise is entered", metres(self.gone()))
            }
        }
    }
}

/// How far a link holds with no break longer than a blink.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Farthest {
    /// Not even close by.
    Nowhere,
    /// To here, where it first holds less than [`KEPT_FOR`] of the time for longer than a blink.
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
            Farthest::To(_) => "where it first holds less than 99 % of the time for longer than a blink",
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
