//! What is the resistance of a cell, from two loads that a user put on it?
//!
//! The cell has the typical shape, its parts scaled by one number s, until what it loses at the greater current over what it loses at the lesser
//! is the drop that was read: f(s) = s·R·(I − i) + V·(asinh(s·I/c) − asinh(s·i/c)). f rises and bends downward, so Newton's steps from below
//! come up to the one root and never pass it.

use crate::PowerFault;
use crate::cell::{Cell, warm};
use crate::measures::FREEZING;
use quantity::{Amperes, Celsius, MilliampereHours, Milliohms, Percent, Seconds, Volts};

/// A load test: the voltages of one cell at two currents, each held for a few seconds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoadTest {
    /// The lesser load, which may be none.
    pub low: (Amperes, Volts),
    /// The greater load.
    pub high: (Amperes, Volts),
    /// How long the greater load was held before reading.
    pub held: Seconds,
    /// Temperature of the cell.
    pub temperature: Celsius,
    /// Its charge.
    pub charge: Percent,
}

/// The scales within which a cell is looked for.
const SCALES: [f64; 2] = [1e-4, 1e4];

impl LoadTest {
    /// How many times the resistances of a plain cell give the drop.
    fn scale(&self, plain: &Cell, share: f64, drop: f64) -> f64 {
        let cell = plain.at(self.temperature.get() + FREEZING);
        let slow: f64 = cell.branches().map(|[ohm, time]| ohm * -(-self.held.get() / time).exp_m1()).sum();
        let straight = (cell.ohmic(share) + slow) * (self.high.0 - self.low.0).get();
        let [volts, current] = cell.transfer();
        let [less, more] = [self.low.0, self.high.0].map(|amperes| amperes.get() / current);
        let bend = |x: f64, scale: f64| x / (1.0 + (x * scale).powi(2)).sqrt();
        let mut scale = 0.0;
        for _ in 0..100 {
            let found = straight * scale + volts * ((more * scale).asinh() - (less * scale).asinh());
            let slope = straight + volts * (bend(more, scale) - bend(less, scale));
            let step = (drop - found) / slope;
            scale += step;
            if step.abs() <= 1e-15 * scale {
                break;
            }
        }
        scale.clamp(SCALES[0], SCALES[1])
    }
}

impl Cell {
    /// A cell of the typical shape from a load test: its parts are scaled until they give the drop that was measured.
    pub fn of_load_test(capacity: MilliampereHours, test: &LoadTest) -> Result<Self, PowerFault> {
        let most = Amperes::new(1_000.0);
        for (current, _) in [test.low, test.high] {
            PowerFault::within(
                "current of the load test",
                current,
                Amperes::new(0.0),
                most,
                "a discharge is positive",
            )?;
        }
        let [soon, late] = [0.1, 120.0].map(Seconds::new);
        PowerFault::within("time the load was held", test.held, soon, late, "read after 2 to 10 seconds")?;
        warm(test.temperature)?;
        let [empty, full] = [0.0, 100.0].map(Percent::new);
        let share = PowerFault::within("charge", test.charge, empty, full, "100 % is full")?.get() * 1e-2;
        let (current, drop) = ((test.high.0 - test.low.0).get(), (test.low.1 - test.high.1).get());
        if !(current > 0.0 && drop > 0.0) {
            let told = |(amperes, volts): (Amperes, Volts)| format!("{volts} at {amperes}");
            return Err(PowerFault::Contradictory {
                what: "load test",
                one: told(test.low),
                other: told(test.high),
                mend: "the greater current must give the lesser voltage",
            });
        }
        let plain = Self::shaped(capacity, 1.0)?;
        let cell = Self::shaped(capacity, test.scale(&plain, share, drop))?;
        let [least, most] = [0.1, 1_000.0].map(Milliohms::new);
        let mend = "repeat the test: such a drop fits no cell";
        PowerFault::within("resistance of the cell from the load test", cell.ohmic(), least, most, mend)?;
        Ok(cell)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const RACING: MilliampereHours = MilliampereHours::new(1300.0);

    fn test(low: (f64, f64), high: (f64, f64)) -> LoadTest {
        let pair = |(a, v)| (Amperes::new(a), Volts::new(v));
        LoadTest {
            low: pair(low),
            high: pair(high),
            held: Seconds::new(5.0),
            temperature: Celsius::new(25.0),
            charge: Percent::new(60.0),
        }
    }

    /// What a cell loses at a current held as long as in the test.
    fn lost(cell: &Cell, test: &LoadTest, amperes: f64) -> f64 {
        let at = cell.at(test.temperature.get() + FREEZING);
        let slow: f64 = at.branches().map(|[r, tau]| r * -(-test.held.get() / tau).exp_m1()).sum();
        let [volts, scale] = at.transfer();
        at.ohmic(0.6) * amperes + volts * (amperes / scale).asinh() + slow * amperes
    }

    /// The plain way: halving the scale until nothing is left of its span.
    fn by_halving(test: &LoadTest) -> f64 {
        let drop = (test.low.1 - test.high.1).get();
        let [mut low, mut high] = SCALES;
        for _ in 0..80 {
            let middle = (low * high).sqrt();
            let cell = Cell::shaped(RACING, middle).unwrap_or_else(|f| unreachable!("{f}"));
            let given = lost(&cell, test, test.high.0.get()) - lost(&cell, test, test.low.0.get());
            if given < drop { low = middle } else { high = middle }
        }
        (low * high).sqrt()
    }

    #[test]
    fn a_load_test_that_rises_is_told() {
        let told = Cell::of_load_test(RACING, &test((1.0, 3.8), (20.0, 3.9))).map_err(|f| f.to_string());
        let words = "load test: 3.8 V at 1 A and 3.9 V at 20 A contradict each other; the greater current must give the lesser voltage";
        assert_eq!(told, Err(words.to_owned()));
    }

    proptest! {
        #[test]
        fn a_load_test_gives_back_the_drop_it_measured(drop in 0.02..0.8f64, low in 0.0..2.0f64, high in 5.0..40.0f64) {
            let test = test((low, 3.8), (high, 3.8 - drop));
            if let Ok(cell) = Cell::of_load_test(RACING, &test) {
                prop_assert!((lost(&cell, &test, high) - lost(&cell, &test, low) - drop).abs() < 1e-9);
            }
        }

        #[test]
        fn the_scale_is_the_one_that_halving_finds(drop in 1e-5..3.0f64, low in 0.0..4.0f64, more in 0.1..200.0f64, warmth in -20.0..60.0f64) {
            let test = LoadTest { temperature: Celsius::new(warmth), ..test((low, 3.8), (low + more, 3.8 - drop)) };
            let plain = Cell::shaped(RACING, 1.0).unwrap_or_else(|f| unreachable!("{f}"));
            let (found, wanted) = (test.scale(&plain, 0.6, (test.low.1 - test.high.1).get()), by_halving(&test));
            prop_assert!((found / wanted - 1.0).abs() < 1e-11, "{found} {wanted}");
        }

        #[test]
        fn a_test_is_a_cell_or_a_fault(low in any::<f64>(), v in any::<f64>(), high in any::<f64>(), w in any::<f64>()) {
            if let Ok(cell) = Cell::of_load_test(RACING, &test((low, v), (high, w))) {
                prop_assert!(cell.ohmic().get() > 0.0 && cell.exchange().get().is_finite());
            }
        }
    }
}
