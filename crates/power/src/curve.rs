//! Which voltage stands on a resting cell at each charge, and which charge at each voltage?
//!
//! A smooth line through the points that never turns back between them: cubic pieces with the slopes of Fritsch and Butland.
//! A rising curve can be read both ways, which is how charge is told from a voltage at rest. Left out: hysteresis, which is under
//! 15 mV in cells with graphite.

use crate::PowerFault;
use quantity::{Grade, Percent, Source, Volts};
use std::sync::{Arc, LazyLock};

/// Where the typical curve comes from.
pub const CURVE_SOURCE: Source = Source {
    title: "Ai, Kraft, Sturm, Jossen, Wu, J. Electrochem. Soc. 167 (2020) 013512, with the LCO curve of Rieger et al. 2016",
    place: "open data set of a 2.28 Ah pouch cell, both electrodes put together between 3.0 and 4.2 V",
    grade: Grade::ReferenceProgram,
};

/// Charge in percent and volts: LCO and graphite, 4.20 V when full.
const POUCH: [[f64; 2]; 15] = [
    [0.0, 3.000],
    [2.0, 3.339],
    [5.0, 3.535],
    [10.0, 3.639],
    [15.0, 3.665],
    [20.0, 3.695],
    [30.0, 3.733],
    [40.0, 3.762],
    [50.0, 3.793],
    [60.0, 3.836],
    [70.0, 3.909],
    [80.0, 3.994],
    [90.0, 4.088],
    [95.0, 4.138],
    [100.0, 4.200],
];

const LOWEST: Volts = Volts::new(1.0);
const HIGHEST: Volts = Volts::new(5.0);

/// Voltage at rest by charge.
#[derive(Clone, Debug, PartialEq)]
pub struct OpenCircuit {
    /// Charge as a share, volts, slope in volts for the whole charge. Packs are made by the thousand from one curve: they share it.
    knots: Arc<[[f64; 3]]>,
}

impl OpenCircuit {
    /// The curve of a common pouch cell of 4.20 V.
    pub fn pouch() -> Self {
        static DRAWN: LazyLock<OpenCircuit> = LazyLock::new(|| OpenCircuit {
            knots: slopes(&POUCH.map(|[percent, volts]| [percent * 1e-2, volts])).into(),
        });
        DRAWN.clone()
    }

    /// Through points of charge and voltage, from 0 to 100 %.
    pub fn new(points: &[(Percent, Volts)]) -> Result<Self, PowerFault> {
        let mut knots: Vec<[f64; 2]> = Vec::new();
        for (charge, volts) in points {
            let [empty, full] = [0.0, 100.0].map(Percent::new);
            let share = PowerFault::within("charge", *charge, empty, full, "100 % is full")?.get() * 1e-2;
            let volts = PowerFault::within(
                "voltage of a resting cell",
                *volts,
                LOWEST,
                HIGHEST,
                "state one cell, not the pack",
            )?;
            knots.push([share, volts.get()]);
        }
        knots.sort_by(|a, b| a[0].total_cmp(&b[0]));
        if knots.len() < 2 || knots[0][0] > 0.0 || knots[knots.len() - 1][0] < 1.0 {
            return Err(PowerFault::Short {
                what: "open-circuit curve",
                has: knots.len(),
                needs: "two points at least, one at 0 % and one at 100 %",
            });
        }
        for pair in knots.windows(2) {
            // A curve that is flat could not be read backwards.
            if pair[1][0] - pair[0][0] < 1e-6 || pair[1][1] - pair[0][1] < 1e-5 {
                return Err(PowerFault::Contradictory {
                    what: "open-circuit curve",
                    one: format!("{} V at {} %", pair[0][1], pair[0][0] * 1e2),
                    other: format!("{} V at {} %", pair[1][1], pair[1][0] * 1e2),
                    mend: "voltage must rise with charge: measure the later one again",
                });
            }
        }
        Ok(Self { knots: slopes(&knots).into() })
    }

    /// The voltage at a charge.
    pub fn at(&self, charge: Percent) -> Volts {
        Volts::new(self.value(charge.get() * 1e-2))
    }

    /// The charge at a voltage at rest; what lies beyond the ends is empty or full.
    pub fn charge_at(&self, volts: Volts) -> Percent {
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            if self.value(middle) < volts.get() { low = middle } else { high = middle }
        }
        Percent::new(50.0 * (low + high))
    }

    /// The voltage when full.
    pub fn full(&self) -> Volts {
        self.at(Percent::new(100.0))
    }

    /// Volts at a share; straight on beyond the ends.
    pub(crate) fn value(&self, share: f64) -> f64 {
        let after = self.knots.partition_point(|knot| knot[0] <= share).clamp(1, self.knots.len() - 1);
        let ([x0, y0, d0], [x1, y1, d1]) = (self.knots[after - 1], self.knots[after]);
        if share <= x0 {
            return y0 + d0 * (share - x0);
        }
        if share >= x1 {
            return y1 + d1 * (share - x1);
        }
        let h = x1 - x0;
        let s = (share - x0) / h;
        let (chord, rest) = ((y1 - y0) / h, 1.0 - s);
        y0 + (share - x0) * (chord + rest * (rest * (d0 - chord) - s * (d1 - chord)))
    }

    /// Rise in volts for the whole charge, about a share.
    pub(crate) fn slope(&self, share: f64) -> f64 {
        (self.value(share + 1e-4) - self.value(share - 1e-4)) / 2e-4
    }
}

/// The knots with slopes: weighted harmonic means inside, three points at the ends.
fn slopes(points: &[[f64; 2]]) -> Vec<[f64; 3]> {
    let n = points.len();
    let width: Vec<f64> = points.windows(2).map(|p| p[1][0] - p[0][0]).collect();
    let chord: Vec<f64> = points.windows(2).map(|p| (p[1][1] - p[0][1]) / (p[1][0] - p[0][0])).collect();
    let end = |h0: f64, h1: f64, d0: f64, d1: f64| {
        let slope = ((2.0 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
        if slope * d0 <= 0.0 {
            0.0
        } else if slope.abs() > 3.0 * d0.abs() {
            3.0 * d0
        } else {
            slope
        }
    };
    let slope = |k: usize| {
        if n == 2 {
            chord[0]
        } else if k == 0 {
            end(width[0], width[1], chord[0], chord[1])
        } else if k == n - 1 {
            end(width[n - 2], width[n - 3], chord[n - 2], chord[n - 3])
        } else {
            let (before, after) = (2.0 * width[k] + width[k - 1], width[k] + 2.0 * width[k - 1]);
            (before + after) / (before / chord[k - 1] + after / chord[k])
        }
    };
    (0..n).map(|k| [points[k][0], points[k][1], slope(k)]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_typical_curve_goes_through_its_points() {
        for [percent, volts] in POUCH {
            assert!((OpenCircuit::pouch().at(Percent::new(percent)).get() - volts).abs() < 1e-12);
        }
    }

    #[test]
    fn a_curve_that_falls_is_told() {
        let points = [(0.0, 3.3), (50.0, 3.8), (60.0, 3.7), (100.0, 4.2)];
        let points = points.map(|(p, v)| (Percent::new(p), Volts::new(v)));
        let words = "open-circuit curve: 3.8 V at 50 % and 3.7 V at 60 % contradict each other; voltage must rise with charge: measure the later one again";
        assert_eq!(OpenCircuit::new(&points).map_err(|f| f.to_string()), Err(words.to_owned()));
        let words =
            "open-circuit curve has 1 points; it needs two points at least, one at 0 % and one at 100 %";
        assert_eq!(OpenCircuit::new(&points[..1]).map_err(|f| f.to_string()), Err(words.to_owned()));
    }

    proptest! {
        #[test]
        fn charge_is_read_back_from_voltage(percent in 0.0..100.0f64) {
            let curve = OpenCircuit::pouch();
            let back = curve.charge_at(curve.at(Percent::new(percent)));
            prop_assert!((back.get() - percent).abs() < 1e-6);
        }

        #[test]
        fn the_curve_rises_between_its_points(a in 0.0..1.0f64, b in 0.0..1.0f64) {
            let curve = OpenCircuit::pouch();
            prop_assert!(a >= b || curve.value(a) < curve.value(b));
        }
    }
}
