//! What do the motors leave on the supply as they are switched, and what of it reaches the video's pins?
//!
//! The pack behind its resistance and the inductance of its lead; capacitors across it, each behind its own resistance; a current that is on for
//! a duty of each period and off for the rest. A coil, or wires alone, with a capacitor behind it hangs on the same bus and sees its impedance;
//! behind a converter it gets what the converter lets through. The ripple is that of the settled circuit, in time (`switched.rs`), with every
//! harmonic in its phase; for one frequency the same circuit is solved in complex impedances. Switches are instant. Left out: the
//! inductance of capacitors, which makes spikes of nanoseconds at each edge; what the load at the pins damps.

use crate::ripple::Chopped;
use crate::switched::{Circuit, Seen, Switching};
use crate::{Capacitor, Chopping, Filter, Microhenries, PowerFault};
use quantity::{Hertz, Measure, Milliohms, Ratio, Volts};
use std::f64::consts::TAU;

/// A pack with its lead, and what stands across it where the motors are switched.
#[derive(Clone, Debug, PartialEq)]
pub struct Bus {
    ohm: f64,
    henries: f64,
    capacitors: Vec<Capacitor>,
}

/// Where one listens to it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Tap {
    /// How many times less a converter lets through; none straight on the bus.
    pub kept_out: Option<Ratio>,
    /// What stands before the pins.
    pub filter: Option<Filter>,
}

/// Peak to peak, once settled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swings {
    /// On the bus.
    pub bus: Volts,
    /// At the pins behind the tap.
    pub pins: Volts,
}

/// Volts for an ampere drawn at one frequency.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Impedances {
    /// On the bus.
    pub bus: Milliohms,
    /// Of that, what is in phase with the current.
    pub bus_real: Milliohms,
    /// At the pins behind the tap.
    pub pins: Milliohms,
}

impl Bus {
    /// Of the resistance and the inductance of pack and lead, and what stands across them.
    pub fn new(
        resistance: Milliohms,
        inductance: Microhenries,
        capacitors: Vec<Capacitor>,
    ) -> Result<Self, PowerFault> {
        let [none, most] = [0.0, 1e6].map(Milliohms::new);
        let ohm = PowerFault::within("resistance of pack and lead", resistance, none, most, "measure it")?;
        let [least, most] = [1e-4, 1e6].map(Microhenries::new);
        let mend = "no lead is without it: 0.8 nH for a mm";
        let henries =
            PowerFault::within("inductance of pack and lead", inductance, least, most, mend)?.get() * 1e-6;
        if capacitors.is_empty() {
            let needs = "one at least: a switched current with nothing beside an inductance has no voltage";
            return Err(PowerFault::Short { what: "row of capacitors across the bus", has: 0, needs });
        }
        Ok(Self { ohm: ohm.get() * 1e-3, henries, capacitors })
    }

    /// How bus and pins swing with a current that is chopped.
    pub fn swings(&self, chopping: &Chopping, tap: &Tap) -> Result<Swings, PowerFault> {
        let Chopped { amperes, duty, rate } = chopping.checked()?;
        let (circuit, bus, pins) = self.circuit(tap)?;
        let by = Switching { drive: amperes, period: 1.0 / rate, duty };
        // What has losses everywhere settles; numbers beyond a double's reach do not.
        let found = circuit.swings(by, [&bus, &pins]).ok_or(PowerFault::Short {
            what: "circuit of the supply",
            has: 0,
            needs: "resistances, inductances and capacitances with which it settles",
        })?;
        let [bus, pins] = found.map(Volts::new);
        Ok(Swings { bus, pins })
    }

    /// The state: current of the lead, voltage of each capacitor, then current of the filter and voltage of its capacitor. All about the
    /// mean: the pack's own voltage is left out.
    fn circuit(&self, tap: &Tap) -> Result<(Circuit, Seen, Seen), PowerFault> {
        let keeps = tap.keeps()?;
        let first_of_filter = 1 + self.capacitors.len();
        let count = first_of_filter + if tap.filter.is_some() { 2 } else { 0 };
        let mut circuit = Circuit::still(count);
        // What comes by the lead and does not go on flows into the capacitors; each takes (bus - its own voltage)/its resistance.
        let conducts: f64 = self.capacitors.iter().map(|capacitor| 1.0 / capacitor.ohm).sum();
        let mut bus = Seen { of_state: vec![0.0; count], of_drive: -1.0 / conducts };
        bus.of_state[0] = 1.0 / conducts;
        for (k, capacitor) in self.capacitors.iter().enumerate() {
            bus.of_state[1 + k] = 1.0 / (capacitor.ohm * conducts);
        }
        if tap.filter.is_some() && tap.kept_out.is_none() {
            bus.of_state[first_of_filter] = -1.0 / conducts;
        }
        circuit.moves_by(0, &bus, -1.0 / self.henries);
        circuit.moves_with(0, 0, -self.ohm / self.henries);
        for (k, Capacitor { farads, ohm }) in self.capacitors.iter().enumerate() {
            circuit.moves_by(1 + k, &bus, 1.0 / (ohm * farads));
            circuit.moves_with(1 + k, 1 + k, -1.0 / (ohm * farads));
        }
        let scaled = |seen: &Seen, times: f64| Seen {
            of_state: seen.of_state.iter().map(|of| of * times).collect(),
            of_drive: seen.of_drive * times,
        };
        let before = scaled(&bus, 1.0 / keeps);
        let Some(Filter { henries, coil_ohm, capacitor }) = tap.filter else {
            return Ok((circuit, bus, before));
        };
        let (current, volts) = (first_of_filter, first_of_filter + 1);
        let mut pins = Seen { of_state: vec![0.0; count], of_drive: 0.0 };
        (pins.of_state[current], pins.of_state[volts]) = (capacitor.ohm, 1.0);
        circuit.moves_by(current, &before, 1.0 / henries);
        circuit.moves_by(current, &pins, -1.0 / henries);
        circuit.moves_with(current, current, -coil_ohm / henries);
        circuit.moves_with(volts, current, 1.0 / capacitor.farads);
        Ok((circuit, bus, pins))
    }

    /// What an ampere of one frequency leaves on the bus and at the pins.
    pub fn impedances(&self, at: Hertz, tap: &Tap) -> Result<Impedances, PowerFault> {
        let [least, most] = [1e-3, 1e9].map(Hertz::new);
        let w = TAU * PowerFault::within("frequency", at, least, most, "check the unit: Hz")?.get();
        let keeps = tap.keeps()?;
        let reaches = |capacitor: &Capacitor| Complex(capacitor.ohm, -1.0 / (w * capacitor.farads));
        let mut admits = Complex(self.ohm, w * self.henries).inverse();
        for capacitor in &self.capacitors {
            admits = admits.plus(reaches(capacitor).inverse());
        }
        let behind = tap.filter.as_ref().map(|filter| {
            let pins = reaches(&filter.capacitor);
            (pins, Complex(filter.coil_ohm, w * filter.henries).plus(pins))
        });
        if let (Some((_, whole)), None) = (behind, tap.kept_out) {
            admits = admits.plus(whole.inverse());
        }
        let bus = admits.inverse();
        let share = behind.map_or(1.0, |(pins, whole)| pins.size() / whole.size());
        let told = |ohm: f64| Milliohms::new(1e3 * ohm);
        Ok(Impedances {
            bus: told(bus.size()),
            bus_real: told(bus.0),
            pins: told(bus.size() * share / keeps),
        })
    }
}

/// What several motors leave together of which each leaves so much, each switched by a clock of its own: peak to peak as the root of their
/// number. That is the mean over all that the clocks may stand to each other; in step they leave their number times as much, in
/// opposition less.
pub fn out_of_step(one: Volts, motors: u32) -> Volts {
    Volts::new(one.get() * f64::from(motors).sqrt())
}

impl Tap {
    fn keeps(&self) -> Result<f64, PowerFault> {
        let [least, most] = [1e-3, 1e6].map(Ratio::of);
        let Some(kept_out) = self.kept_out else { return Ok(1.0) };
        let mend = "20 is usual, 1 lets all through";
        Ok(PowerFault::within("times less that a converter lets through", kept_out, least, most, mend)?.get())
    }
}

/// A complex number: real and imaginary part.
#[derive(Clone, Copy)]
struct Complex(f64, f64);

impl Complex {
    fn plus(self, other: Self) -> Self {
        Self(self.0 + other.0, self.1 + other.1)
    }
    fn inverse(self) -> Self {
        let square = (self.0 * self.0 + self.1 * self.1).max(1e-300);
        Self(self.0 / square, -self.1 / square)
    }
    fn size(self) -> f64 {
        self.0.hypot(self.1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use quantity::{Amperes, Microfarads, Percent};

    fn capacitor(uf: f64, mohm: f64) -> Capacitor {
        Capacitor::new(Microfarads::new(uf), Milliohms::new(mohm)).unwrap_or_else(|f| unreachable!("{f}"))
    }
    fn bus(mohm: f64, uh: f64, across: &[[f64; 2]]) -> Bus {
        let across = across.iter().map(|[uf, esr]| capacitor(*uf, *esr)).collect();
        Bus::new(Milliohms::new(mohm), Microhenries::new(uh), across).unwrap_or_else(|f| unreachable!("{f}"))
    }
    fn filter(uh: f64, mohm: f64, uf: f64, esr: f64) -> Filter {
        let made = Filter::new(Microhenries::new(uh), Milliohms::new(mohm), capacitor(uf, esr));
        made.unwrap_or_else(|f| unreachable!("{f}"))
    }
    fn chopped(amperes: f64, duty: f64, hertz: f64) -> Chopping {
        Chopping { current: Amperes::new(amperes), duty: Percent::new(duty), rate: Hertz::new(hertz) }
    }
    fn swings(bus: &Bus, chopping: &Chopping, tap: Tap) -> [f64; 2] {
        bus.swings(chopping, &tap).map_or([f64::NAN; 2], |found| [found.bus.get(), found.pins.get()])
    }

    #[test]
    fn a_bus_without_a_capacitor_is_told() {
        let made = Bus::new(Milliohms::new(10.0), Microhenries::new(0.1), Vec::new());
        let told = made.map_err(|fault| fault.to_string());
        let words = "row of capacitors across the bus has 0 points; it needs one at least: a switched current with nothing beside an inductance has no voltage";
        assert_eq!(told, Err(words.to_owned()));
    }

    /// A coil before the pins takes current at its own resonance: the bus gives way, and less stands at the pins than a stiff source would leave.
    #[test]
    fn a_filter_that_rings_is_held_back_by_what_the_bus_itself_resists() {
        let filter = filter(10.0, 20.0, 22.0, 5.0);
        let bus = bus(40.0, 0.07, &[[470.0, 60.0]]);
        let tap = Tap { kept_out: None, filter: Some(filter) };
        let found = bus.impedances(filter.corner(), &tap).unwrap_or_else(|f| unreachable!("{f}"));
        let free = bus.impedances(filter.corner(), &Tap::default()).unwrap_or_else(|f| unreachable!("{f}"));
        let stiff = filter.transfer(filter.corner(), None).map_or(f64::NAN, |times| times.get());
        assert!(found.bus.get() < 0.6 * free.bus.get(), "{found:?} {free:?}");
        assert!(found.pins.get() < 0.6 * stiff * free.bus.get() && found.pins > found.bus, "{found:?}");
    }

    proptest! {
        /// Between the least and the most that can be: what the resistances alone share, and all of it in the capacitor.
        #[test]
        fn the_ripple_lies_between_what_resists_and_what_the_capacitor_alone_leaves(
            pack in 1.0..200.0f64, uh in 0.005..0.5f64, uf in 50.0..2000.0f64, esr in 2.0..200.0f64,
            duty in 5.0..95.0f64, khz in 16.0..128.0f64,
        ) {
            let part = duty * 1e-2;
            let [found, pins] = swings(&bus(pack, uh, &[[uf, esr]]), &chopped(10.0, duty, khz * 1e3), Tap::default());
            let alone = 10.0 * (esr * 1e-3 + part * (1.0 - part) / (khz * 1e3 * uf * 1e-6));
            let shared = 10.0 * 1e-3 * pack * esr / (pack + esr);
            prop_assert_eq!(found, pins);
            // An inductance that rings with the capacitor may add to it.
            prop_assert!(found > 0.9 * shared && found < 2.0 * alone, "{} {} {}", shared, found, alone);
        }

        /// What a converter keeps out goes in proportion, with what stands behind it.
        #[test]
        fn a_converter_scales_all_that_is_behind_it(uh in 0.5..20.0f64, uf in 20.0..500.0f64, keeps in 2.0..100.0f64) {
            let (bus, chopping) = (bus(30.0, 0.08, &[[470.0, 28.0]]), chopped(17.0, 50.0, 48e3));
            let tap = |keeps: f64| Tap { kept_out: Some(Ratio::of(keeps)), filter: Some(filter(uh, 20.0, uf, 20.0)) };
            let [[on_bus, one], [same, less]] = [1.0, keeps].map(|keeps| swings(&bus, &chopping, tap(keeps)));
            prop_assert!((on_bus / same - 1.0).abs() < 1e-12);
            prop_assert!((one / less / keeps - 1.0).abs() < 1e-9, "{} {}", one, less);
        }

        /// A current that swings as a sine would: at a high rate and with a great coil the pins follow the fundamental alone.
        #[test]
        fn far_above_its_corner_a_filter_leaves_the_fundamental(khz in 40.0..90.0f64) {
            let (bus, chopping) = (bus(30.0, 0.08, &[[470.0, 28.0]]), chopped(10.0, 50.0, khz * 1e3));
            let tap = Tap { kept_out: None, filter: Some(filter(47.0, 10.0, 100.0, 0.5)) };
            let [_, pins] = swings(&bus, &chopping, tap);
            let ohm = bus.impedances(Hertz::new(khz * 1e3), &tap).map_or(f64::NAN, |found| found.pins.get() * 1e-3);
            // A square's fundamental is 4/π of its half.
            let fundamental = 10.0 * ohm * 4.0 / std::f64::consts::PI;
            prop_assert!((pins / fundamental - 1.0).abs() < 0.12, "{} {}", pins, fundamental);
        }
    }
}
