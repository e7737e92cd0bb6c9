//! How is the picture along the way, and over the height?

use super::farthest::Depth;
use super::ready::{InHand, Ready};
use super::{Attitude, Link};
use quantity::{Db, Dbm, Metres, Probability};
use radio::{Picture, Place, RadioFault, Reach};

/// Directions nearer than this, a third of a degree, share a shadow: shadows on a craft hardly change within so little.
const SHADOW_STEP: f64 = 0.005;

/// Samples to a lobe of the ground in a picture of them, at least; a fifth more than four, for a last step.
const A_LOBE: f64 = 5.0;
/// The lowest place in such a picture, in metres.
const LOWEST: f64 = 0.3;
/// It begins at this share of how far it goes: nearer in, lobes lie closer than ink.
const NEAR_SHARE: f64 = 0.2;
const LEAST_ROWS: u32 = 24;
const MOST_ROWS: u32 = 120;
const LEAST_COLUMNS: u32 = 60;
const MOST_COLUMNS: usize = 400;

/// The margin at a distance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MarginPoint {
    /// Along the flying line.
    pub distance: Metres,
    /// What is in hand.
    pub margin: Db,
    /// The share of the time that the picture holds.
    pub held: Probability,
}

/// What is seen at a distance along the flying line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// How far.
    pub distance: Metres,
    /// What is in hand in the mean.
    pub margin: Db,
    /// How the picture is.
    pub picture: Picture,
}

/// Margins along a way, with shadows kept from one sample to the next.
pub(super) struct Flown<'l> {
    link: &'l Link,
    attitude: Attitude,
    /// Only where less than this may be left is it worked out to the last: elsewhere what the two best antennas leave stands for it.
    pub(super) exact_below: Db,
    /// Made when first asked.
    ready: Option<Ready<'l>>,
    known: Option<([f64; 3], Vec<Db>)>,
}

impl Flown<'_> {
    fn margins(&mut self, craft: Place, level: Dbm) -> Result<Vec<Db>, RadioFault> {
        Ok(self.in_hand(craft, level)?.into_iter().map(|found| found.margin).collect())
    }

    /// What is in hand in the mean, what is left of it 99 % of the time, and what is at least left at the bottom of the lobes.
    pub(super) fn depth(&mut self, craft: Place, level: Dbm) -> Result<Depth, RadioFault> {
        let (link, found) = (self.link, self.in_hand(craft, level)?);
        let margins: Vec<Db> = found.iter().map(|found| found.margin).collect();
        let bottoms: Vec<Db> = found.iter().map(|found| found.bottom).collect();
        let (margin, least) = (link.of_all(&margins), link.lasting.at_least(&margins));
        let left = if least < self.exact_below { link.lasting(&margins) } else { least };
        // With no ray off the ground, or one that is no later, both are one.
        let bottom = if bottoms == margins { left } else { link.lasting.at_least(&bottoms) };
        Ok(Depth { actual: left, bottom, margin })
    }

    fn in_hand(&mut self, craft: Place, level: Dbm) -> Result<Vec<InHand>, RadioFault> {
        let shadows = self.shadows(craft)?;
        let ready = match &mut self.ready {
            Some(ready) => ready,
            none => none.insert(Ready::new(self.link, self.attitude)?),
        };
        ready.in_hand(craft, level, &shadows)
    }

    fn shadows(&mut self, craft: Place) -> Result<Vec<Db>, RadioFault> {
        let link = self.link;
        let ray = link.toward_station(craft)?.coordinates();
        let near = |old: &[f64; 3]| {
            old.iter().zip(&ray).map(|(a, b)| (a - b).powi(2)).sum::<f64>() < SHADOW_STEP.powi(2)
        };
        if let Some((old, shadows)) = &self.known
            && near(old)
        {
            return Ok(shadows.clone());
        }
        let fresh = link.shadows(craft, self.attitude)?;
        self.known = Some((ray, fresh.clone()));
        Ok(fresh)
    }
}

impl Link {
    pub(super) fn flown(&self, attitude: Attitude) -> Flown<'_> {
        Flown { link: self, attitude, exact_below: Db::new(f64::INFINITY), ready: None, known: None }
    }

    /// How the picture is along the flying line from a nearest to a farthest distance, close enough together to show every lobe of the ground, at a
    /// level.
    pub fn seen(
        &self,
        [nearest, farthest]: [Metres; 2],
        height: Metres,
        attitude: Attitude,
        level: Dbm,
    ) -> Result<Vec<Seen>, RadioFault> {
        let (mut flown, mut seen) = (self.flown(attitude), Vec::new());
        Reach::along([nearest, farthest], self.lobes_between(height), self.carrier, |distance| {
            let margins = flown.margins(Self::on_line(distance, height)?, level)?;
            let margin = self.of_all(&margins);
            seen.push(Seen { distance, margin, picture: self.picture(&margins) });
            Ok(margin)
        })?;
        Ok(seen)
    }

    /// The heights between which the ground makes lobes.
    fn lobes_between(&self, height: Metres) -> Option<[Metres; 2]> {
        let heights = self.grounds.iter().map(|ground| ground.place[2]).fold(0.0, f64::max);
        self.scenery.ground.is_some().then(|| [Metres::new(heights), height])
    }

    /// Margin and share of time held at each of some distances along the flying line.
    pub fn margin_over(
        &self,
        distances: &[Metres],
        height: Metres,
        attitude: Attitude,
        level: Dbm,
    ) -> Result<Vec<MarginPoint>, RadioFault> {
        let mut flown = self.flown(attitude);
        distances
            .iter()
            .map(|distance| {
                let margins = flown.margins(Self::on_line(*distance, height)?, level)?;
                Ok(MarginPoint {
                    distance: *distance,
                    margin: self.of_all(&margins),
                    held: self.held(&margins)?,
                })
            })
            .collect()
    }

    /// Where to ask for the margin so that every lobe of the ground is met at least four times over distance and over height, from the ground to
    /// a height and so far out: distances and heights, both rising. Nearer than the first distance the lobes lie closer than can be shown.
    pub fn lobe_places(&self, far: Metres, top: Metres) -> [Vec<Metres>; 2] {
        let (far, top) = (far.get(), top.get());
        let station = self.grounds.iter().map(|ground| ground.place[2]).fold(0.0, f64::max);
        let grounded = self.scenery.ground.is_some() && station > 0.0;
        // Both rays differ by 2·h1·h2/d; a lobe is a wavelength of it. Of a lobe over height at a distance, as a share of that distance.
        let a_lobe = if grounded { self.carrier.wavelength().get() / (2.0 * station) } else { f64::INFINITY };
        let step = |near: f64| (a_lobe * near / A_LOBE).min(top / f64::from(LEAST_ROWS));
        let closest = top / f64::from(MOST_ROWS);
        let from = (far * NEAR_SHARE).max(closest * A_LOBE / a_lobe).min(far * 0.9);
        let rows = ((top - LOWEST) / step(from)).ceil().clamp(2.0, f64::from(MOST_ROWS));
        let heights = (0..=rows as u32).map(|n| LOWEST + (top - LOWEST) * f64::from(n) / rows);
        // Over distance a lobe is longer the farther out: even in what it counts by, the reach of both rays' difference, 1/d.
        let mut distances = vec![from];
        let mut at = from;
        while at < far && distances.len() < MOST_COLUMNS {
            at = (at + (a_lobe * at * at / (A_LOBE * top)).min(far / f64::from(LEAST_COLUMNS))).min(far);
            distances.push(at);
        }
        [distances.into_iter().map(Metres::new).collect(), heights.map(Metres::new).collect()]
    }

    /// The margin over distances and heights: a row for each height, in the order of the heights.
    pub fn lobes(
        &self,
        distances: &[Metres],
        heights: &[Metres],
        attitude: Attitude,
        level: Dbm,
    ) -> Result<Vec<Vec<Db>>, RadioFault> {
        heights
            .iter()
            .map(|height| {
                let mut flown = self.flown(attitude);
                let along = distances.iter().map(|distance| {
                    let margins = flown.margins(Self::on_line(*distance, *height)?, level)?;
                    Ok(self.of_all(&margins))
                });
                along.collect()
            })
            .collect()
    }
}
