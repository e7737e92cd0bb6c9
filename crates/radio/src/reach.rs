//! At which distances does a link hold, and what power would hold it?
//!
//! The margin is sampled along a way from near to far, once for all powers: a power changes it by the same at every
//! distance. Over ground it has lobes Δd = λ·d²/(2·h1·h2) apart; each is met by 24 samples, but never closer than a thousandth of
//! the distance, so lobes under a fortieth of that are not told apart. A link holds in intervals, not up to one range: the
//! first gap matters to a pilot as much as the last hold. Between samples the margin runs straight in decibels; the ends of
//! intervals are good to half a step, 0.5 % at most.

use crate::{Carrier, RadioFault};
use quantity::{Db, Dbm, Metres};

/// The widest step, as a share of the distance.
const STEP_WIDEST: f64 = 0.01;
/// The closest.
const STEP_CLOSEST: f64 = 0.001;
const SAMPLES_A_LOBE: f64 = 24.0;

/// Where a link holds without a gap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Held {
    /// From here.
    pub from: Metres,
    /// To here.
    pub to: Metres,
}

/// The margin along a way.
#[derive(Clone, Debug, PartialEq)]
pub struct Reach {
    samples: Vec<(f64, f64)>,
}

impl Reach {
    /// Samples a margin from a nearest to a farthest distance. The heights of both ends say how close lobes may lie;
    /// `None` without ground.
    pub fn along(
        [nearest, farthest]: [Metres; 2],
        heights: Option<[Metres; 2]>,
        carrier: Carrier,
        mut margin: impl FnMut(Metres) -> Result<Db, RadioFault>,
    ) -> Result<Self, RadioFault> {
        let (least, most) = (Metres::new(0.1), Metres::new(1e5));
        RadioFault::within("nearest distance", nearest, least, most, "the far field begins there")?;
        RadioFault::within("farthest distance", farthest, nearest, most, "it must lie beyond the nearest")?;
        let product = heights.map_or(0.0, |[one, two]| (one.get() * two.get()).abs());
        let mut samples = Vec::new();
        let mut d = nearest.get();
        loop {
            samples.push((d, margin(Metres::new(d))?.get()));
            if d >= farthest.get() {
                return Ok(Self { samples });
            }
            // λ·d²/(2·h1·h2) in shares of d; without ground there are no lobes.
            let lobe = carrier.lambda() * d / (2.0 * product);
            let step = (lobe / SAMPLES_A_LOBE).clamp(STEP_CLOSEST, STEP_WIDEST);
            d = (d * (1.0 + step)).min(farthest.get());
        }
    }

    /// Where the margin is at least nought, with so much more power than it was sampled with; less is below nought.
    pub fn held(&self, more: Db) -> Vec<Held> {
        let mut found: Vec<Held> = Vec::new();
        let mut open: Option<f64> = None;
        let mut before: Option<(f64, f64)> = None;
        for &(d, margin) in &self.samples {
            let now = margin + more.get();
            // Where a straight line between the two samples meets nought.
            let meets =
                before.map_or(d, |(was_d, was)| was_d + (d - was_d) * (was / (was - now)).clamp(0.0, 1.0));
            match (open, now >= 0.0) {
                (None, true) => open = Some(meets),
                (Some(from), false) => {
                    found.push(Held { from: Metres::new(from), to: Metres::new(meets) });
                    open = None;
                }
                _ => {}
            }
            before = Some((d, now));
        }
        if let (Some(from), Some((d, _))) = (open, before) {
            found.push(Held { from: Metres::new(from), to: Metres::new(d) });
        }
        found
    }

    /// The worst margin up to a distance, and where; `None` nearer than the first sample.
    pub fn worst_within(&self, distance: Metres) -> Option<(Metres, Db)> {
        let within = self.samples.iter().take_while(|(d, _)| *d <= distance.get());
        within.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(d, margin)| (Metres::new(*d), Db::new(*margin)))
    }

    /// Every sample, from near to far.
    pub fn samples(&self) -> impl Iterator<Item = (Metres, Db)> {
        self.samples.iter().map(|(d, margin)| (Metres::new(*d), Db::new(*margin)))
    }

    /// The level that holds everything up to a distance with a reserve in hand, the samples being those of a level.
    pub fn level_that_holds(&self, distance: Metres, level: Dbm, reserve: Db) -> Option<Dbm> {
        self.worst_within(distance).map(|(_, worst)| level - worst + reserve)
    }
}

/// The lowest step a unit offers that is at least the level wanted.
pub fn lowest_step(steps: &[Dbm], wanted: Dbm) -> Option<Dbm> {
    let enough = steps.iter().copied().filter(|step| *step >= wanted);
    enough.min_by(|a, b| a.get().total_cmp(&b.get()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use quantity::Megahertz;

    fn carrier() -> Carrier {
        Carrier::new(Megahertz::new(5800.0)).unwrap_or_else(|f| unreachable!("{f}"))
    }
    fn reach(heights: Option<[f64; 2]>, of: impl Fn(f64) -> f64) -> Reach {
        let heights = heights.map(|pair| pair.map(Metres::new));
        let found = Reach::along([Metres::new(2.0), Metres::new(5000.0)], heights, carrier(), |d| {
            Ok(Db::new(of(d.get())))
        });
        found.unwrap_or_else(|f| unreachable!("{f}"))
    }

    #[test]
    fn free_space_holds_in_one_piece_to_its_range() {
        let held = reach(None, |d| 40.0 - 20.0 * d.log10()).held(Db::new(0.0));
        assert_eq!(held.len(), 1);
        assert!(
            (held[0].from.get() - 2.0).abs() < 1e-12 && (held[0].to.get() - 100.0).abs() < 0.01,
            "{held:?}"
        );
    }

    #[test]
    fn lobes_hold_in_several_pieces() {
        let lobes = |d: f64| {
            40.0 - 20.0 * d.log10() + 20.0 * (40.0 / d * std::f64::consts::TAU).sin().abs().max(1e-6).log10()
        };
        let reach = reach(Some([2.0, 1.0]), lobes);
        let held = reach.held(Db::new(0.0));
        assert!(held.len() > 5, "{}", held.len());
        assert!(held.windows(2).all(|pair| pair[0].to < pair[1].from));
        assert!(reach.held(Db::new(-80.0)).is_empty() && reach.held(Db::new(400.0)).len() == 1);
    }

    #[test]
    fn the_lowest_step_that_holds_is_told_or_none() {
        let steps = [14.0, 20.0, 23.0, 27.0].map(Dbm::new);
        let reach = reach(None, |d| 40.0 - 20.0 * d.log10());
        let wanted = reach.level_that_holds(Metres::new(200.0), Dbm::new(14.0), Db::new(0.0));
        let wanted = wanted.unwrap_or(Dbm::new(f64::NAN));
        assert!((wanted.get() - 20.0).abs() < 0.1, "{wanted}");
        assert_eq!(lowest_step(&steps, Dbm::new(20.0)), Some(Dbm::new(20.0)));
        assert_eq!(lowest_step(&steps, Dbm::new(27.1)), None);
        assert_eq!(reach.worst_within(Metres::new(1.0)), None);
    }

    #[test]
    fn a_way_that_runs_backwards_is_refused() {
        let told = Reach::along([Metres::new(10.0), Metres::new(5.0)], None, carrier(), |_| Ok(Db::new(0.0)));
        let words =
            "farthest distance 5 m must lie between 10 m and 100000 m; it must lie beyond the nearest";
        assert_eq!(told.map_err(|fault| fault.to_string()), Err(words.to_owned()));
    }

    proptest! {
        #[test]
        fn more_power_never_holds_less(more in 0.0..30.0f64, height in 0.5..20.0f64) {
            let lobes = move |d: f64| 35.0 - 20.0 * d.log10() + 6.0 * (height * 300.0 / d).sin();
            let reach = reach(Some([2.0, height]), lobes);
            let sum = |held: Vec<Held>| held.iter().map(|h| h.to.get() - h.from.get()).sum::<f64>();
            prop_assert!(sum(reach.held(Db::new(more))) >= sum(reach.held(Db::new(0.0))) - 1e-9);
        }
    }
}
