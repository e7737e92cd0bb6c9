//! How does a pack fare while its loads change from event to event?
//!
//! Between two events the loads are the same, and the state moves by exact exponentials for the current in the middle of a step
//! (the midpoint rule for exponentials, second order). Only the bend of the current within a step is an error:
//! |I₀ − 2·I½ + I₁|/6 times how far such a current moves the voltage. Steps are as long as that stays below
//! [`STEP_ERROR`], so milliseconds after a punch begins and seconds in a hover. A step that finds no stable point is cut until the
//! moment is known to a millisecond.

use crate::pack::Standing;
use crate::terminals::{Pull, Terminals};
use crate::{Draw, Fold, Pack, PackState};
use quantity::{Seconds, Volts};

/// The error a step may add to the voltage of a pack.
pub const STEP_ERROR: Volts = Volts::new(5e-5);

const SHORTEST: f64 = 1e-3;
const LONGEST: f64 = 20.0;
const FIRST: f64 = 0.2;
/// How many times as long as the last one a step may be.
const MOST_GROWN: f64 = 4.0;

/// How a stretch of unchanged loads ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Stretch {
    /// After its whole time.
    Done,
    /// A cell was empty.
    Empty,
    /// No voltage was left at which source and loads agree.
    Folded(Fold),
}

/// A moment of a discharge.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Moment {
    pub(crate) time: f64,
    pub(crate) share: f64,
    pub(crate) bus: f64,
    pub(crate) current: f64,
}

/// A pack on its way.
pub(crate) struct Discharge<'p> {
    pack: &'p Pack,
    pub(crate) state: PackState,
    middle: PackState,
    end: PackState,
    pub(crate) time: f64,
    /// Joules taken from the bus.
    pub(crate) joules: f64,
    /// Kelvin of the air about it.
    air: f64,
    allowed: f64,
}

impl<'p> Discharge<'p> {
    pub(crate) fn new(pack: &'p Pack, state: PackState, air: f64, allowed: Volts) -> Self {
        let (middle, end) = (state.clone(), state.clone());
        Self { pack, state, middle, end, time: 0.0, joules: 0.0, air, allowed: allowed.get() }
    }

    pub(crate) fn standing(&self, moment: &Moment) -> Standing {
        self.pack.told(&self.state, [moment.bus, moment.current])
    }

    /// Runs the same loads for a time. `rails` says which power the rails take at a bus voltage; `see` is shown every moment.
    pub(crate) fn run(
        &mut self,
        draw: &Draw,
        lasts: Seconds,
        rails: &mut impl FnMut(f64) -> f64,
        see: &mut impl FnMut(&Self, &Moment),
    ) -> Stretch {
        let (begun, lasts) = (self.time, lasts.get());
        // Each settling begins at the voltage where the one before it ended.
        let mut last = [f64::NAN; 2];
        let rails = &mut |volts: f64| {
            if last[0] != volts {
                last = [volts, rails(volts)];
            }
            last[1]
        };
        let mut pulling = Pulling::of(draw);
        let mut at = match pulling.settle(self.pack, &self.state, rails, None) {
            Ok(at) => at,
            Err(fold) => return Stretch::Folded(fold),
        };
        see(self, &self.moment(at));
        let mut step = FIRST;
        let mut done = 0.0;
        while done < lasts {
            let (h, last) = if done + step * 1.0001 >= lasts { (lasts - done, true) } else { (step, false) };
            let pack = self.pack;
            pack.advance(&self.state, &self.state, at[1], at[0], 0.5 * h, self.air, &mut self.middle);
            let middle = pulling.settle(pack, &self.middle, rails, Some(at[0]));
            let end = middle.and_then(|middle| {
                pack.advance(&self.state, &self.middle, middle[1], middle[0], h, self.air, &mut self.end);
                Ok((middle, pulling.settle(pack, &self.end, rails, Some(middle[0]))?))
            });
            let (middle, end) = match end {
                Ok(found) => found,
                Err(fold) if h <= SHORTEST => return Stretch::Folded(fold),
                Err(_) => {
                    step = (h / 4.0).max(SHORTEST);
                    continue;
                }
            };
            let bend = (at[1] - 2.0 * middle[1] + end[1]).abs() / 6.0;
            let error = bend * pack.stiffness(&self.state, h);
            // Steps grow fourfold at most: a root that comes out greater need not be taken.
            let room = self.allowed / error.max(1e-30);
            let grow = if room >= 100.0 { MOST_GROWN } else { 0.9 * room.cbrt() };
            if error > self.allowed && h > SHORTEST {
                step = (h * grow.max(0.2)).max(SHORTEST);
                continue;
            }
            // Simpson's mean, two orders better than the middle, so that charge and energy agree over a whole flight.
            let mean = (at[1] + 4.0 * middle[1] + end[1]) / 6.0;
            pack.charge_by(&self.state, mean, h, &mut self.end);
            let empties = self.end.share() <= 0.0;
            let from = self.state.share();
            std::mem::swap(&mut self.state, &mut self.end);
            if empties {
                let part = from / (from - self.state.share()).max(1e-30);
                let from = std::mem::replace(&mut self.end, self.state.clone());
                let [volts, amperes] = middle;
                pack.advance(&from, &self.middle, amperes, volts, part * h, self.air, &mut self.state);
                self.time = begun + done + part * h;
                self.joules += middle[0] * middle[1] * part * h;
                return Stretch::Empty;
            }
            self.joules += (at[0] * at[1] + 4.0 * middle[0] * middle[1] + end[0] * end[1]) / 6.0 * h;
            at = end;
            done = if last { lasts } else { done + h };
            self.time = begun + done;
            see(self, &self.moment(at));
            step = (h * grow.min(MOST_GROWN)).clamp(SHORTEST, LONGEST);
        }
        Stretch::Done
    }

    fn moment(&self, [bus, current]: [f64; 2]) -> Moment {
        Moment { time: self.time, share: self.state.share(), bus, current }
    }
}

/// What pulls at the pack through a stretch, and what was last seen of the rails: where the next settling begins.
struct Pulling {
    pull: Pull,
    /// W of the motors.
    base: f64,
    /// A voltage at which the rails were asked, and W of all then.
    asked: Option<[f64; 2]>,
    /// How many W more a volt more lets the rails take.
    slope: f64,
}

/// So near in power, of one watt and all that is taken, source and rails agree.
const AGREED: f64 = 1e-7;
/// A voltage that moves by no more than this share of itself moves in proportion to the power.
const IN_PROPORTION: f64 = 1e-4;

impl Pulling {
    fn of(draw: &Draw) -> Self {
        Self { pull: Pull::of(draw), base: draw.power.get(), asked: None, slope: 0.0 }
    }

    /// Volts and amperes where pack, loads and rails agree. Rails take nearly the same power at any voltage: what they took a moment ago is
    /// where to begin. Where nothing holds with that, they are asked anew, and then from below: rails that have gone off by then let the
    /// rest go on.
    fn settle(
        &mut self,
        pack: &Pack,
        state: &PackState,
        rails: &mut impl FnMut(f64) -> f64,
        near: Option<f64>,
    ) -> Result<[f64; 2], Fold> {
        let seen = pack.terminals(state);
        if let Some(found) = near.and_then(|near| self.agree(&seen, rails, Some(near))) {
            return Ok(found);
        }
        let from_above = rails(near.unwrap_or(seen.rest));
        self.pull.power = self.base + from_above;
        let mut found = self.agree(&seen, rails, near);
        if found.is_none() && from_above > 0.0 {
            self.pull.power = self.base;
            found = self.agree(&seen, rails, None);
        }
        found.ok_or(Fold { rest: Volts::new(seen.rest) })
    }

    /// Rounds of settling from the power that is pulled. None where nothing holds, or the rails switch on and off with the voltage.
    fn agree(
        &mut self,
        seen: &Terminals,
        rails: &mut impl FnMut(f64) -> f64,
        mut near: Option<f64>,
    ) -> Option<[f64; 2]> {
        for _ in 0..30 {
            let found = seen.solve(&self.pull, near)?;
            let power = self.base + rails(found[0]);
            let more = power - self.pull.power;
            if let Some([volts, watts]) = self.asked.filter(|asked| (asked[0] - found[0]).abs() > 1e-9) {
                self.slope = (power - watts) / (found[0] - volts);
            }
            self.asked = Some([found[0], power]);
            if more.abs() <= AGREED * (1.0 + power) {
                return Some(found);
            }
            // The little that is left is gone in one step, the rails' own answer to it reckoned in.
            let by_watt = seen.volts_by_watt(&self.pull, found);
            let answer = self.slope * by_watt;
            let step = by_watt * more / (1.0 - answer);
            if answer.abs() <= 0.1 && step.abs() <= IN_PROPORTION * found[0] {
                let volts = found[0] + step;
                self.pull.power = power + self.slope * step;
                return Some([volts, self.pull.amperes(volts)]);
            }
            (self.pull.power, near) = (power, Some(found[0]));
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Cell, JoulesPerKelvin, Warming, WattsPerKelvin};
    use quantity::{Amperes, Celsius, MilliampereHours, Milliohms, Percent, Watts};

    fn pack() -> Pack {
        let cell = Cell::of_resistance(MilliampereHours::new(1300.0), Milliohms::new(4.0));
        let cell = cell.unwrap_or_else(|f| unreachable!("{f}"));
        let warming = Warming { capacity: JoulesPerKelvin::new(180.0), to_air: WattsPerKelvin::new(0.4) };
        let pack = Pack::new(6, 1, cell, Milliohms::new(6.0)).and_then(|pack| pack.warming(warming));
        pack.unwrap_or_else(|f| unreachable!("{f}"))
    }
    /// Hover and punches.
    fn loads() -> Vec<(Draw, f64)> {
        let hover = Draw { power: Watts::new(140.0), ..Draw::default() };
        let punch =
            Draw { power: Watts::new(9.0), throttle: Some((Amperes::new(110.0), Volts::new(22.2))), ..hover };
        (0..10).flat_map(|k| [(hover, 3.0 + f64::from(k)), (punch, 1.5)]).collect()
    }
    fn flown(allowed: f64, cut: f64) -> (Vec<[f64; 2]>, PackState) {
        let pack = pack();
        let state =
            pack.rested(Percent::new(95.0), Celsius::new(12.0)).unwrap_or_else(|f| unreachable!("{f}"));
        let mut discharge = Discharge::new(&pack, state, 285.15, Volts::new(allowed));
        let mut seen = Vec::new();
        for (draw, lasts) in loads() {
            let parts = (lasts / cut).ceil().max(1.0);
            for _ in 0..parts as usize {
                discharge.run(&draw, Seconds::new(lasts / parts), &mut |_| 0.0, &mut |_, _| {});
            }
            let end = discharge.standing(&Moment { time: 0.0, share: 0.0, bus: 0.0, current: 0.0 });
            let now = pack.standing(&discharge.state, &draw).unwrap_or(end);
            seen.push([now.bus.get(), now.current.get()]);
        }
        (seen, discharge.state)
    }

    #[test]
    fn long_steps_agree_with_a_millisecond_grid() {
        let ((long, end), (fine, truth)) = (flown(STEP_ERROR.get(), f64::INFINITY), flown(1.0, 1e-3));
        for (a, b) in long.iter().zip(&fine) {
            assert!((a[0] - b[0]).abs() < 5e-4, "{a:?} {b:?}");
        }
        assert!((end.share() - truth.share()).abs() < 1e-5);
        assert!((end.temperature().get() - truth.temperature().get()).abs() < 0.02);
    }

    #[test]
    fn a_boost_load_folds_at_some_charge_and_says_when() {
        let cell = Cell::of_resistance(MilliampereHours::new(450.0), Milliohms::new(40.0));
        let pack = Pack::new(1, 1, cell.unwrap_or_else(|f| unreachable!("{f}")), Milliohms::new(60.0));
        let pack = pack.unwrap_or_else(|f| unreachable!("{f}"));
        let state =
            pack.rested(Percent::new(90.0), Celsius::new(20.0)).unwrap_or_else(|f| unreachable!("{f}"));
        let mut discharge = Discharge::new(&pack, state, 293.15, STEP_ERROR);
        let draw = Draw { power: Watts::new(24.0), ..Draw::default() };
        let end = discharge.run(&draw, Seconds::new(600.0), &mut |_| 0.0, &mut |_, _| {});
        assert!(matches!(end, Stretch::Folded(_)), "{end:?}");
        assert!((0.05..0.9).contains(&discharge.state.share()), "{:?}", discharge.state);
    }
}
