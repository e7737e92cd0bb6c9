//! What do capacitors and filters of the supply do, and what does plugging in cost?
//!
//! What the motors leave on the bus: `bus.rs`. Filter: H = Z/(Z + R_L + jωL) with Z = ESR + 1/(jωC), beside
//! the load; resonance at 1/(2π√(LC)), whose peak ESR damps: half of √(L/C) or more, and it does not ring. A converter behind the
//! filter looks like −V²/P to small changes: the filter then swings by itself unless (R_L + ESR)/L > P/(C·V²). Plug: ½·C·V²,
//! and V/R at once. Hold-up: C·(V₁² − V₂²)/(2·P). Left out: loss of capacitance in ceramic capacitors at voltage, wiring loops.

use crate::{Joules, Microhenries, PowerFault};
use quantity::{
    Amperes, Grade, Hertz, Measure, Microfarads, Milliohms, Percent, Ratio, Seconds, Source, Volts, Watts,
};
use std::f64::consts::TAU;

/// Where the formulas come from.
pub const FILTER_SOURCE: Source = Source {
    title: "Erickson and Maksimovic, Fundamentals of Power Electronics, 2nd edition",
    place: "chapters 2 (capacitor ripple), 8 (resonant poles) and 10 (input filters before converters)",
    grade: Grade::Memory,
};

/// A capacitor with its equivalent series resistance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Capacitor {
    pub(crate) farads: f64,
    pub(crate) ohm: f64,
}

/// A current that is switched on and off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chopping {
    /// How much is switched.
    pub current: Amperes,
    /// For which share of the time it flows.
    pub duty: Percent,
    /// How often.
    pub rate: Hertz,
}

impl Capacitor {
    /// Of a capacitance and a series resistance.
    pub fn new(capacitance: Microfarads, resistance: Milliohms) -> Result<Self, PowerFault> {
        let [least, most] = [0.01, 1e6].map(Microfarads::new);
        let farads =
            PowerFault::within("capacitance", capacitance, least, most, "check the unit: µF")?.get() * 1e-6;
        let [least, most] = [0.01, 1e5].map(Milliohms::new);
        let mend = "no capacitor is without it: low-ESR ones have 15 to 40 mΩ";
        let ohm = PowerFault::within("series resistance of the capacitor", resistance, least, most, mend)?
            .get()
            * 1e-3;
        Ok(Self { farads, ohm })
    }

    /// Several side by side as one: their capacitances add, and their resistances by how much of the current each carries; none of none.
    pub fn beside(capacitors: impl IntoIterator<Item = Self>) -> Option<Self> {
        let both = |one: Self, other: Self| Self {
            farads: one.farads + other.farads,
            ohm: one.ohm * other.ohm / (one.ohm + other.ohm),
        };
        capacitors.into_iter().reduce(both)
    }

    /// What is stored at a voltage: what sparks at the plug.
    pub fn stored(self, volts: Volts) -> Joules {
        Joules::new(0.5 * self.farads * volts.get().powi(2))
    }

    /// The current in the first moment of plugging in, through what lies between.
    pub fn inrush(self, volts: Volts, between: Milliohms) -> Result<Amperes, PowerFault> {
        let [none, most] = [0.0, 1e6].map(Milliohms::new);
        let ohm = PowerFault::within("resistance on the way", between, none, most, "measure it")?.get()
            * 1e-3
            + self.ohm;
        Ok(Amperes::new(volted(volts)? / ohm))
    }

    /// How long a rail that is limited takes to charge it: C·V/(I − I_load); none if the load leaves nothing.
    pub fn charges_in(self, volts: Volts, limit: Amperes, load: Amperes) -> Option<Seconds> {
        let spare = limit.get() - load.get();
        (spare > 0.0 && volts.get() >= 0.0).then(|| Seconds::new(self.farads * volts.get() / spare))
    }

    /// How long it carries a power alone, from one voltage down to another.
    pub fn holds_up(self, from: Volts, to: Volts, load: Watts) -> Result<Seconds, PowerFault> {
        let [little, most] = [1e-6, 1e5].map(Watts::new);
        let watts = PowerFault::within("power to hold up", load, little, most, "a load takes")?.get();
        let from = volted(from)?;
        let to = PowerFault::within(
            "voltage held down to",
            to,
            Volts::new(0.0),
            Volts::new(from),
            "it lies below the first",
        )?;
        Ok(Seconds::new(self.farads * (from.powi(2) - to.get().powi(2)) / (2.0 * watts)))
    }
}

/// A coil and a capacitor before a load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Filter {
    pub(crate) henries: f64,
    pub(crate) coil_ohm: f64,
    pub(crate) capacitor: Capacitor,
}

impl Filter {
    /// Of a coil with its resistance, and a capacitor.
    pub fn new(coil: Microhenries, resistance: Milliohms, capacitor: Capacitor) -> Result<Self, PowerFault> {
        let [least, most] = [0.001, 1e6].map(Microhenries::new);
        let henries = PowerFault::within("inductance", coil, least, most, "check the unit: µH")?.get() * 1e-6;
        let [none, most] = [0.0, 1e5].map(Milliohms::new);
        let coil_ohm =
            PowerFault::within("resistance of the coil", resistance, none, most, "measure it")?.get() * 1e-3;
        Ok(Self { henries, coil_ohm, capacitor })
    }

    /// The same filter with what resists in its source as well.
    pub fn fed_through(self, source: Milliohms) -> Result<Self, PowerFault> {
        let [none, most] = [0.0, 1e5].map(Milliohms::new);
        let ohm =
            PowerFault::within("resistance of the source", source, none, most, "measure it")?.get() * 1e-3;
        Ok(Self { coil_ohm: self.coil_ohm + ohm, ..self })
    }

    /// Where it resonates.
    pub fn corner(self) -> Hertz {
        Hertz::new(1.0 / (TAU * (self.henries * self.capacitor.farads).sqrt()))
    }

    /// The series resistance that would damp it enough: half of √(L/C).
    pub fn damping_wanted(self) -> Milliohms {
        Milliohms::new(500.0 * (self.henries / self.capacitor.farads).sqrt())
    }

    /// The capacitance, with the resistance that is there, with which it would not ring: L/(2·R)².
    pub fn capacitance_wanted(self) -> Microfarads {
        let ohm = self.capacitor.ohm + self.coil_ohm;
        Microfarads::new(1e6 * self.henries / (2.0 * ohm).powi(2))
    }

    /// Whether it rings: less resistance in it than [`damping_wanted`](Self::damping_wanted).
    pub fn rings(self) -> bool {
        (self.capacitor.ohm + self.coil_ohm) * 1e3 < self.damping_wanted().get()
    }

    /// Output over input at a frequency, beside a resistive load; none if there is no load.
    pub fn transfer(self, at: Hertz, load: Option<Milliohms>) -> Result<Ratio, PowerFault> {
        let [least, most] = [1e-3, 1e9].map(Hertz::new);
        let w = TAU * PowerFault::within("frequency", at, least, most, "check the unit: Hz")?.get();
        let beside = match load {
            None => 0.0,
            Some(load) => {
                let [least, most] = [1.0, 1e9].map(Milliohms::new);
                1e3 / PowerFault::within(
                    "resistance of the load",
                    load,
                    least,
                    most,
                    "leave it out if there is none",
                )?
                .get()
            }
        };
        // 1/H = 1 + (R_L + jωL)·Y, Y = 1/R + 1/(ESR + 1/(jωC)).
        let (esr, reach) = (self.capacitor.ohm, 1.0 / (w * self.capacitor.farads));
        let square = esr * esr + reach * reach;
        let (real, imaginary) = (beside + esr / square, reach / square);
        let (r, x) = (self.coil_ohm, w * self.henries);
        Ok(Ratio::of(1.0 / (1.0 + r * real - x * imaginary).hypot(r * imaginary + x * real)))
    }

    /// Output over input after a step at the input, without a load, the time since.
    pub fn step(self, since: Seconds) -> Result<Ratio, PowerFault> {
        let [none, most] = [0.0, 1e3].map(Seconds::new);
        let t = PowerFault::within("time since the step", since, none, most, "check the unit")?.get();
        let (l, c, esr) = (self.henries, self.capacitor.farads, self.capacitor.ohm);
        // (1 + s·C·ESR)/(1 + s·C·(R_L + ESR) + s²·L·C): poles at −a ± √(a² − w²).
        let (a, w2) = ((self.coil_ohm + esr) / (2.0 * l), 1.0 / (l * c));
        let inner = a * a - w2;
        // y = 1 − e^(−at)·(cosh(bt) + k·sinh(bt)/b), with y'(0) = ESR/L.
        let k = a - esr / l;
        let rest = if inner.abs() < 1e-9 * w2 {
            (-a * t).exp() * (1.0 + k * t)
        } else if inner > 0.0 {
            let b = inner.sqrt();
            // Written in both exponentials, which never overflow as a > b.
            0.5 * ((1.0 + k / b) * ((b - a) * t).exp() + (1.0 - k / b) * ((-b - a) * t).exp())
        } else {
            let b = (-inner).sqrt();
            (-a * t).exp() * ((b * t).cos() + k / b * (b * t).sin())
        };
        Ok(Ratio::of(1.0 - rest))
    }

    /// The greatest power of a converter behind it at a voltage at which it still settles.
    pub fn settles_up_to(self, volts: Volts) -> Result<Watts, PowerFault> {
        let v = volted(volts)?;
        Ok(Watts::new((self.coil_ohm + self.capacitor.ohm) / self.henries * self.capacitor.farads * v * v))
    }
}

/// A chopped current as plain numbers: A, share of the time, Hz.
pub(crate) struct Chopped {
    pub(crate) amperes: f64,
    pub(crate) duty: f64,
    pub(crate) rate: f64,
}

impl Chopping {
    pub(crate) fn checked(&self) -> Result<Chopped, PowerFault> {
        let [none, most] = [0.0, 1e4].map(Amperes::new);
        let amperes =
            PowerFault::within("switched current", self.current, none, most, "check the unit")?.get();
        let [none, whole] = [0.0, 100.0].map(Percent::new);
        let duty = PowerFault::within("duty", self.duty, none, whole, "in percent of the time")?.get() * 1e-2;
        let [least, most] = [1.0, 1e8].map(Hertz::new);
        let rate = PowerFault::within("switching rate", self.rate, least, most, "check the unit: Hz")?.get();
        Ok(Chopped { amperes, duty, rate })
    }
}

fn volted(volts: Volts) -> Result<f64, PowerFault> {
    Ok(PowerFault::within("voltage", volts, Volts::new(0.0), Volts::new(1_000.0), "check the unit")?.get())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn filter(uh: f64, mohm: f64, uf: f64, esr: f64) -> Filter {
        let capacitor = Capacitor::new(Microfarads::new(uf), Milliohms::new(esr));
        let made = capacitor.and_then(|c| Filter::new(Microhenries::new(uh), Milliohms::new(mohm), c));
        made.unwrap_or_else(|f| unreachable!("{f}"))
    }

    #[test]
    fn a_little_resistance_takes_the_peak_away() {
        let peak = |esr| {
            let f = filter(10.0, 20.0, 100.0, esr);
            f.transfer(f.corner(), None).map_or(f64::NAN, |r| r.get())
        };
        assert!(peak(15.0) > 5.0 && peak(160.0) < 2.3, "{} {}", peak(15.0), peak(160.0));
        assert!(filter(10.0, 20.0, 100.0, 15.0).rings() && !filter(10.0, 20.0, 100.0, 160.0).rings());
    }

    #[test]
    fn a_capacitor_without_resistance_is_told() {
        let told = Capacitor::new(Microfarads::new(470.0), Milliohms::new(0.0)).map_err(|f| f.to_string());
        let words = "series resistance of the capacitor 0 mΩ must lie between 0.01 mΩ and 100000 mΩ; no capacitor is without it: low-ESR ones have 15 to 40 mΩ";
        assert_eq!(told, Err(words.to_owned()));
    }

    proptest! {
        #[test]
        fn a_step_begins_at_nothing_and_ends_whole(uh in 0.5..100.0f64, r in 1.0..500.0f64, uf in 10.0..2000.0f64, esr in 1.0..500.0f64) {
            let f = filter(uh, r, uf, esr);
            let at = |t: f64| f.step(Seconds::new(t)).map_or(f64::NAN, |y| y.get());
            prop_assert!(at(0.0).abs() < 1e-9);
            prop_assert!((at(10.0) - 1.0).abs() < 1e-6);
            for k in 0..50 {
                prop_assert!((-0.01..2.0).contains(&at(1e-5 * 1.3f64.powi(k))));
            }
        }

        #[test]
        fn low_passes_whole_and_high_does_not(uh in 0.5..100.0f64, r in 1.0..50.0f64, uf in 10.0..2000.0f64, esr in 1.0..50.0f64) {
            let f = filter(uh, r, uf, esr);
            let at = |hertz: f64| f.transfer(Hertz::new(hertz), None).map_or(f64::NAN, |y| y.get());
            prop_assert!((at(0.01) - 1.0).abs() < 1e-3);
            prop_assert!(at(1e8) < esr * 1e-3 / (1e8 * uh * 1e-6) + 1e-3);
        }
    }
}
