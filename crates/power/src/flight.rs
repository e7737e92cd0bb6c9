//! How low does the voltage go over a flight, and how does it end?
//!
//! A flight is a row of legs, each with loads that stay the same: hover, cruise, a punch. The pack goes from leg to leg in steps as
//! long as the error allows (`discharge.rs`), the rails take their power at whatever voltage they find. What is told of each leg
//! is its deepest voltage, with the moment and the charge. Left out: what happens within a millisecond of a change of load, which
//! is the capacitor's business (`ripple.rs`).

use crate::discharge::{Discharge, Moment, STEP_ERROR, Stretch};
use crate::measures::FREEZING;
use crate::{AIR_SPAN, Draw, Fold, Joules, Pack, PackState, PowerFault, Standing, WattHours};
use quantity::{Amperes, Celsius, Percent, Seconds, Volts, Watts};

/// How much the loads on the rails take.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Usage {
    /// What they usually take.
    #[default]
    Typical,
    /// The most they take for a moment.
    Peak,
    /// What they take before arming, where they know such a state.
    Waiting,
}

/// What hangs on the bus besides the motors.
pub trait Rails {
    /// The power all of it takes from the bus at a voltage.
    fn power(&self, bus: Volts, usage: Usage) -> Watts;

    /// The same in bare volts and watts, to be asked thousands of times: it may keep room to reckon in from one time to the next.
    fn meter(&self) -> impl FnMut(f64, Usage) -> f64 {
        |volts, usage| self.power(Volts::new(volts), usage).get()
    }
}

/// No rails at all.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct NoRails;

impl Rails for NoRails {
    fn power(&self, _: Volts, _: Usage) -> Watts {
        Watts::new(0.0)
    }
}

/// A stretch of a flight with unchanged loads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leg {
    /// How long.
    pub lasts: Seconds,
    /// What the motors, and loads on no rail, take.
    pub draw: Draw,
    /// What the rails take.
    pub usage: Usage,
}

/// What a leg did to the pack.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LegReport {
    /// What the rails took.
    pub usage: Usage,
    /// When it began, since the start of the flight.
    pub began: Seconds,
    /// Where the pack stood at its very beginning, already under its loads.
    pub first: Standing,
    /// The charge then.
    pub first_charge: Percent,
    /// When it ended, since the start of the flight.
    pub ended: Seconds,
    /// The deepest point of the bus, with current and weakest cell then.
    pub deepest: Standing,
    /// When that was.
    pub deepest_at: Seconds,
    /// The charge then.
    pub deepest_charge: Percent,
    /// The most current.
    pub most: Amperes,
    /// The charge at its end.
    pub charge: Percent,
    /// Where the pack stood at its end, still under its loads.
    pub last: Standing,
}

/// How a flight ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Ending {
    /// All legs were flown.
    Flown,
    /// A cell was empty.
    Empty,
    /// The loads wanted more than the pack can give at any voltage.
    Folded(Fold),
}

/// A flight as it went.
#[derive(Clone, Debug, PartialEq)]
pub struct Flight {
    /// Its legs, as far as it came; the one in which it ended is the last.
    pub legs: Vec<LegReport>,
    /// How it ended.
    pub ending: Ending,
    /// When.
    pub time: Seconds,
    /// The energy the pack gave.
    pub energy: WattHours,
    /// The pack at its end.
    pub pack: PackState,
    /// Steps taken.
    pub steps: usize,
}

impl Flight {
    /// The leg with the deepest voltage.
    pub fn deepest(&self) -> Option<&LegReport> {
        self.legs.iter().min_by(|a, b| a.deepest.bus.get().total_cmp(&b.deepest.bus.get()))
    }
    /// The energy the pack gave, in joules.
    pub fn joules(&self) -> Joules {
        Joules::new(self.energy.get() * 3600.0)
    }
}

/// Flies the legs on a pack, in air of a temperature.
pub fn fly(
    pack: &Pack,
    start: &PackState,
    air: Celsius,
    legs: &[Leg],
    rails: &impl Rails,
) -> Result<Flight, PowerFault> {
    let [least, most] = AIR_SPAN;
    let air = PowerFault::within("air temperature", air, least, most, "check the unit: °C is meant")?;
    for leg in legs {
        let [none, day] = [0.0, 86_400.0].map(Seconds::new);
        PowerFault::within("length of a leg", leg.lasts, none, day, "check the unit")?;
        leg.draw.checked()?;
    }
    let mut discharge = Discharge::new(pack, start.clone(), air.get() + FREEZING, STEP_ERROR);
    let (mut reports, mut ending, mut steps) = (Vec::with_capacity(legs.len()), Ending::Flown, 0);
    let mut meter = rails.meter();
    for leg in legs {
        let mut seen: Option<Seen> = None;
        let mut watts = |volts: f64| meter(volts, leg.usage);
        let stretch = discharge.run(&leg.draw, leg.lasts, &mut watts, &mut |at, moment| {
            steps += 1;
            match &mut seen {
                None => seen = Some(Seen::first(at, moment)),
                Some(seen) => seen.next(at, moment),
            }
        });
        if let Some(seen) = seen {
            reports.push(seen.report(&discharge, leg.usage));
        }
        ending = match stretch {
            Stretch::Done => continue,
            Stretch::Empty => Ending::Empty,
            Stretch::Folded(fold) => Ending::Folded(fold),
        };
        break;
    }
    let (time, energy) = (Seconds::new(discharge.time), WattHours::new(discharge.joules / 3600.0));
    Ok(Flight { legs: reports, ending, time, energy, pack: discharge.state, steps })
}

/// The deepest moment of a leg so far, and the last one.
struct Seen {
    first: Moment,
    began: Standing,
    deepest: Moment,
    standing: Standing,
    most: f64,
    last: Moment,
}

impl Seen {
    fn first(at: &Discharge<'_>, moment: &Moment) -> Self {
        let began = at.standing(moment);
        Self { first: *moment, began, deepest: *moment, standing: began, most: moment.current, last: *moment }
    }
    fn next(&mut self, at: &Discharge<'_>, moment: &Moment) {
        if moment.bus < self.deepest.bus {
            (self.deepest, self.standing) = (*moment, at.standing(moment));
        }
        (self.most, self.last) = (self.most.max(moment.current), *moment);
    }
    fn report(self, at: &Discharge<'_>, usage: Usage) -> LegReport {
        LegReport {
            usage,
            began: Seconds::new(self.first.time),
            first: self.began,
            first_charge: Percent::new(self.first.share * 1e2),
            ended: Seconds::new(at.time),
            deepest: self.standing,
            deepest_at: Seconds::new(self.deepest.time),
            deepest_charge: Percent::new(self.deepest.share * 1e2),
            most: Amperes::new(self.most),
            charge: at.state.charge(),
            last: at.standing(&self.last),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Cell;
    use proptest::prelude::*;
    use quantity::{MilliampereHours, Milliohms};

    fn racing() -> Pack {
        let cell = Cell::of_resistance(MilliampereHours::new(1300.0), Milliohms::new(4.0));
        Pack::new(6, 1, cell.unwrap_or_else(|f| unreachable!("{f}")), Milliohms::new(4.0))
            .unwrap_or_else(|f| unreachable!("{f}"))
    }
    fn leg(seconds: f64, watts: f64, full: f64) -> Leg {
        let throttle = (full > 0.0).then_some((Amperes::new(full), Volts::new(22.2)));
        let draw = Draw { power: Watts::new(watts), throttle, ..Draw::default() };
        Leg { lasts: Seconds::new(seconds), draw, usage: Usage::Typical }
    }
    fn flown(percent: f64, celsius: f64, legs: &[Leg]) -> Flight {
        let pack = racing();
        let start =
            pack.rested(Percent::new(percent), Celsius::new(celsius)).unwrap_or_else(|f| unreachable!("{f}"));
        fly(&pack, &start, Celsius::new(celsius), legs, &NoRails).unwrap_or_else(|f| unreachable!("{f}"))
    }

    #[test]
    fn a_pack_is_empty_when_its_charge_is_flown() {
        // 1300 mAh at about 134 W: 29 Wh of chemistry, some of it lost inside.
        let flight = flown(100.0, 25.0, &[leg(3600.0, 134.0, 0.0)]);
        assert_eq!(flight.ending, Ending::Empty);
        assert!((10.5..13.5).contains(&(flight.time.get() / 60.0)), "{:?}", flight.time);
        assert!((26.0..29.8).contains(&flight.energy.get()), "{:?}", flight.energy);
    }

    #[test]
    fn the_same_punch_goes_deeper_in_the_cold_and_late_in_the_pack() {
        let deepest = |percent, celsius| {
            let flight = flown(percent, celsius, &[leg(20.0, 140.0, 0.0), leg(2.0, 9.0, 110.0)]);
            flight.deepest().map_or(f64::NAN, |leg| leg.deepest.bus.get())
        };
        let [warm, cold, late] = [deepest(80.0, 25.0), deepest(80.0, 5.0), deepest(25.0, 25.0)];
        assert!(cold < warm - 0.5 && late < warm - 0.5, "{warm} {cold} {late}");
    }

    #[test]
    fn a_load_that_gives_is_told() {
        let pack = racing();
        let start =
            pack.rested(Percent::new(90.0), Celsius::new(20.0)).unwrap_or_else(|f| unreachable!("{f}"));
        let told = fly(&pack, &start, Celsius::new(20.0), &[leg(1.0, -5.0, 0.0)], &NoRails)
            .map_err(|f| f.to_string());
        let words = "power of a load -5 W must lie between 0 W and 100000 W; a load takes; what gives current is left out";
        assert_eq!(told.map(|_| ()), Err(words.to_owned()));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn every_flight_is_finite(
            percent in 0.0..100.0f64,
            celsius in -20.0..45.0f64,
            legs in prop::collection::vec((0.0..60.0f64, 0.0..3000.0f64, 0.0..300.0f64), 1..8),
        ) {
            let legs: Vec<Leg> = legs.into_iter().map(|(s, w, a)| leg(s, w, a)).collect();
            let flight = flown(percent, celsius, &legs);
            prop_assert!(flight.time.get().is_finite() && flight.energy.get() >= 0.0);
            for report in &flight.legs {
                prop_assert!(report.deepest.bus.get() > 0.0 && report.deepest.weakest.get().is_finite());
                prop_assert!(report.charge.get() > -1e-9);
            }
        }
    }
}
