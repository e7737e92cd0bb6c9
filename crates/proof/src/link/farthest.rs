//! How far does the link hold all the way, and what level would hold a distance?
//!
//! Near in, the ground makes lobes closer together than anybody flies to the metre: there the margin counts at the bottom of
//! its lobes, direct ray less ground ray. Where the ground ray is longer by less than half a wavelength no null lies further out,
//! and the margin counts as it is. Where the bottom is too low but the margin not yet, the way is looked at closely until a null
//! is met. Steps are 3 % of the distance, or a sixteenth of a lobe.
//! Nearer than the craft is high it flies overhead: that is asked apart.

use super::{Attitude, Link};
use quantity::{Db, Dbm, Metres, Probability};
use radio::{Place, RadioFault};

/// Where looking begins, or as far out as the craft is high: what is lost straight overhead is another question.
const NEAREST: Metres = Metres::new(3.0);
/// Where looking ends: beyond this the earth is not flat.
const FARTHEST: Metres = Metres::new(20_000.0);
const COARSE: f64 = 0.03;
const FINE_LEAST: f64 = 0.001;
const STEPS_A_LOBE: f64 = 16.0;
/// The most samples of one way; beyond it the rest counts as held.
const SAMPLES_MAX: usize = 6_000;

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

    /// How far it holds all the way along the flying line at each of some levels, least first, with a reserve in hand.
    pub fn farthest(
        &self,
        height: Metres,
        attitude: Attitude,
        levels: &[Dbm],
        reserve: Db,
    ) -> Result<Vec<Farthest>, RadioFault> {
        let Some(first) = levels.first().copied() else { return Ok(Vec::new()) };
        let mut flown = self.flown(attitude);
        let mut found = Vec::with_capacity(levels.len());
        let (mut d, mut before) = (NEAREST.max(height).get(), None);
        let mut last: Option<[(f64, Db); 2]> = None;
        for _ in 0..SAMPLES_MAX {
            let depth = flown.depth(Self::on_line(Metres::new(d), height)?, first)?;
            while let Some(level) = levels.get(found.len()) {
                if depth.actual + (*level - first) >= reserve {
                    break;
                }
                found.push(before.map_or(Farthest::Nowhere, |before| Farthest::To(Metres::new(before))));
            }
            // A null looked at closely may still lie between two samples: where the margin turns, it has been there.
            while let (Some(level), Some([(_, older), (at, old)])) = (levels.get(found.len()), last) {
                let breaks = depth.bottom + (*level - first) < reserve;
                if !(breaks && old < older && old < depth.actual) {
                    break;
                }
                found.push(Farthest::To(Metres::new(at)));
            }
            let Some(level) = levels.get(found.len()) else { return Ok(found) };
            if d >= FARTHEST.get() {
                break;
            }
            before = Some(d);
            let step =
                if depth.bottom + (*level - first) >= reserve { COARSE } else { self.fine_step(d, height) };
            // Only close steps show where it turns.
            let here = (d, depth.actual);
            last = (step < COARSE).then(|| last.map_or([here; 2], |[_, newer]| [newer, here]));
            d = (d * (1.0 + step)).min(FARTHEST.get());
        }
        found.resize(levels.len(), Farthest::Beyond(Metres::new(d)));
        Ok(found)
    }

    /// The least margin on the way to a distance at a level, and where; sixteen places to a lobe are looked at.
    pub fn least_margin(
        &self,
        distance: Metres,
        height: Metres,
        attitude: Attitude,
        level: Dbm,
    ) -> Result<(Metres, Db), RadioFault> {
        let mut flown = self.flown(attitude);
        let mut d = NEAREST.max(height).min(distance).get();
        let mut least: Option<(Metres, Db)> = None;
        loop {
            let at = Metres::new(d);
            let margin = flown.depth(Self::on_line(at, height)?, level)?.actual;
            if least.is_none_or(|(_, known)| margin < known) {
                least = Some((at, margin));
            }
            if d >= distance.get() {
                return Ok(least.unwrap_or((at, margin)));
            }
            d = (d * (1.0 + self.fine_step(d, height))).min(distance.get());
        }
    }

    fn fine_step(&self, d: f64, height: Metres) -> f64 {
        let highest = self.grounds.iter().map(|ground| ground.place[2]).fold(0.0, f64::max);
        let product = (highest * height.get()).abs();
        // A lobe is λ·d²/(2·h1·h2) long.
        let lobe = self.carrier.wavelength().get() * d / (2.0 * product);
        if lobe.is_finite() { (lobe / STEPS_A_LOBE).clamp(FINE_LEAST, COARSE) } else { COARSE }
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
