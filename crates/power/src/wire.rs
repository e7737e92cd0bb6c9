//! How much does a wire resist, and what does that cost?
//!
//! Gauge n: d = 0.127 mm·92^((36 − n)/39) (ASTM B258). Copper at 20 °C: ρ = 1/58 Ω·mm²/m, rising by 0.393 % of that a kelvin.
//! Strands lie askew: about 2 % more. Metric sizes carry the greatest resistance that IEC 60228 lets class 5 have. What melts a
//! wire is Preece (at length) and Onderdonk (within seconds): orders of magnitude, not limits to go to. Left out: skin effect,
//! which at 50 kHz reaches 0.3 mm deep and takes nothing from such strands.

use crate::{MilliohmsPerMetre, PowerFault, SquareMillimetres};
use quantity::{
    Amperes, Celsius, Count, Grade, Measure, Metres, Millimetres, Milliohms, Seconds, Source, Volts, Watts,
};
use std::f64::consts::PI;
use std::sync::LazyLock;

/// Where the gauges come from.
pub const GAUGE_SOURCE: Source = Source {
    title: "ASTM B258",
    place: "diameter of solid round wires by gauge number, as quoted in public notes",
    grade: Grade::PublishedValue,
};
/// Where the resistance of copper comes from.
pub const COPPER_SOURCE: Source = Source {
    title: "IEC 60028",
    place: "standard resistivity 1/58 Ω·mm²/m at 20 °C and its temperature coefficient 0.00393/K",
    grade: Grade::PublishedValue,
};
/// Where the metric sizes come from; the row of 0.75 mm² was seen quoted, the others are recalled.
pub const METRIC_SOURCE: Source = Source {
    title: "IEC 60228",
    place: "table 3, class 5, plain copper, greatest resistance at 20 °C",
    grade: Grade::Memory,
};
/// Where the melting currents come from.
pub const FUSING_SOURCE: Source = Source {
    title: "Preece 1884; Onderdonk (as in Standard Handbook for Electrical Engineers)",
    place: "I = 80·d^1.5 (mm, copper); 33·(I/A)²·t = log10((T_melt − T)/(234 + T) + 1)",
    grade: Grade::Memory,
};

/// Ω·mm²/m at 20 °C.
const RESISTIVITY: f64 = 1.0 / 58.0;
pub(crate) const COEFFICIENT: f64 = 3.93e-3;
/// What the lay of strands adds.
const STRANDING: f64 = 1.02;
/// Circular mils to the square millimetre.
const CIRCULAR_MILS: f64 = 4.0 / (PI * 0.0254 * 0.0254);
/// Where copper freezes and melts: International Temperature Scale of 1990, table 1.
pub const COPPER_MELTS: Celsius = Celsius::new(1084.62);

/// mm² and mΩ/m.
const METRIC: [[f64; 2]; 7] =
    [[0.5, 39.0], [0.75, 26.0], [1.0, 19.5], [1.5, 13.3], [2.5, 7.98], [4.0, 4.95], [6.0, 3.30]];

const THICKEST: i32 = 0;
const THINNEST: i32 = 40;
const COLDEST: Celsius = Celsius::new(-60.0);
const HOTTEST: Celsius = Celsius::new(250.0);

/// One conductor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wire {
    area: SquareMillimetres,
    per_metre: MilliohmsPerMetre,
}

/// How the copper lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lay {
    /// One round wire.
    Solid,
    /// Many strands.
    Stranded,
}

impl Wire {
    /// Of an American gauge, 0 to 40.
    pub fn gauge(number: i32, lay: Lay) -> Result<Self, PowerFault> {
        let count = |n: i32| Count::of(f64::from(n));
        let mend = "a greater number is a thinner wire";
        PowerFault::within("gauge", count(number), count(THICKEST), count(THINNEST), mend)?;
        let area = PI / 4.0 * gauge_diameter(number).get().powi(2);
        let stranding = if lay == Lay::Stranded { STRANDING } else { 1.0 };
        Ok(Self {
            area: SquareMillimetres::new(area),
            per_metre: MilliohmsPerMetre::new(stranding * 1e3 * RESISTIVITY / area),
        })
    }

    /// Fine strands of a metric size, as bad as the standard lets them be.
    pub fn metric(area: SquareMillimetres) -> Result<Self, PowerFault> {
        let row = METRIC.iter().find(|row| (row[0] - area.get()).abs() < 1e-9);
        let [_, per_metre] = row.ok_or_else(|| PowerFault::NoSuchSize {
            what: "metric size",
            size: crate::Told::stated(area),
            known: METRIC.map(|row| row[0].to_string()).join(", "),
            mend: "take the nearest size, or the gauge",
        })?;
        Ok(Self { area, per_metre: MilliohmsPerMetre::new(*per_metre) })
    }

    /// Cross-section of the copper.
    pub fn area(self) -> SquareMillimetres {
        self.area
    }
    /// Resistance of a metre at 20 °C.
    pub fn per_metre(self) -> MilliohmsPerMetre {
        self.per_metre
    }

    /// Resistance of a length of it at a temperature.
    pub fn resistance(self, length: Metres, temperature: Celsius) -> Result<Milliohms, PowerFault> {
        let l = PowerFault::within(
            "wire length",
            length,
            Metres::new(0.0),
            Metres::new(100.0),
            "check the unit",
        )?;
        let t =
            PowerFault::within("wire temperature", temperature, COLDEST, HOTTEST, "silicone ends at 200 °C")?;
        Ok(Milliohms::new(self.per_metre.get() * l.get() * copper_factor(t)))
    }

    /// What is lost in a run and its return, each of this length.
    pub fn drop(
        self,
        run: Metres,
        current: Amperes,
        temperature: Celsius,
    ) -> Result<(Volts, Watts), PowerFault> {
        let most = Amperes::new(1_000.0);
        let i = PowerFault::within("current", current, Amperes::new(0.0), most, "check the unit")?.get();
        let volts = i * self.resistance(run * 2.0, temperature)?.get() * 1e-3;
        Ok((Volts::new(volts), Watts::new(volts * i)))
    }

    /// The current that melts it in free air, at length.
    pub fn fuses_at(self) -> Amperes {
        Amperes::new(80.0 * (4.0 * self.area.get() / PI).sqrt().powf(1.5))
    }

    /// The current that melts it within a short time, from a temperature.
    pub fn fuses_within(self, time: Seconds, start: Celsius) -> Result<Amperes, PowerFault> {
        let [least, most] = [0.01, 10.0].map(Seconds::new);
        let mend = "beyond that heat escapes: take the current that melts it at length";
        let t = PowerFault::within("time to melt", time, least, most, mend)?.get();
        let t0 =
            PowerFault::within("wire temperature", start, COLDEST, HOTTEST, "silicone ends at 200 °C")?.get();
        let log = ((COPPER_MELTS.get() - t0) / (234.0 + t0) + 1.0).log10();
        Ok(Amperes::new(self.area.get() * CIRCULAR_MILS * (log / (33.0 * t)).sqrt()))
    }
}

/// Diameter of the solid wire of a gauge.
pub fn gauge_diameter(number: i32) -> Millimetres {
    fn worked_out(number: i32) -> f64 {
        0.127 * 92f64.powf(f64::from(36 - number) / 39.0)
    }
    // Packs are made by the thousand, each with its wires.
    static TABLE: LazyLock<Vec<f64>> = LazyLock::new(|| (0..=THINNEST).map(worked_out).collect());
    let known = usize::try_from(number).ok().and_then(|number| TABLE.get(number).copied());
    Millimetres::new(known.unwrap_or_else(|| worked_out(number)))
}

/// How many times its resistance at 20 °C copper has at a temperature.
pub fn copper_factor(temperature: Celsius) -> f64 {
    1.0 + COEFFICIENT * (temperature.get() - 20.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn three_gauges_halve_the_area() {
        let area = |n| Wire::gauge(n, Lay::Solid).map_or(f64::NAN, |w| w.area().get());
        assert!((area(10) / area(13) - 2.005).abs() < 1e-3);
    }

    #[test]
    fn a_size_that_is_not_made_is_told() {
        let told = Wire::metric(SquareMillimetres::new(0.9)).map_err(|f| f.to_string());
        let words = "metric size 0.9 mm² is not in the table (0.5, 0.75, 1, 1.5, 2.5, 4, 6); take the nearest size, or the gauge";
        assert_eq!(told, Err(words.to_owned()));
        let told = Wire::gauge(50, Lay::Stranded).map_err(|f| f.to_string());
        assert_eq!(
            told,
            Err("gauge 50 must lie between 0 and 40; a greater number is a thinner wire".to_owned())
        );
    }

    #[test]
    fn metric_sizes_resist_a_little_more_than_their_copper() {
        for [area, _] in METRIC {
            let wire = Wire::metric(SquareMillimetres::new(area)).map_or(f64::NAN, |w| w.per_metre().get());
            let copper = 1e3 * RESISTIVITY / area;
            assert!((1.0..1.20).contains(&(wire / copper)), "{area}: {wire} {copper}");
        }
    }

    proptest! {
        #[test]
        fn a_drop_is_finite_or_refused(l in any::<f64>(), i in any::<f64>(), t in any::<f64>()) {
            let wire = Wire::gauge(20, Lay::Stranded).unwrap_or_else(|f| unreachable!("{f}"));
            if let Ok((volts, watts)) = wire.drop(Metres::new(l), Amperes::new(i), Celsius::new(t)) {
                prop_assert!(volts.get() >= 0.0 && watts.get().is_finite());
            }
        }
    }
}
