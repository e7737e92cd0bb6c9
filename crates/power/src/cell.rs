//! What is the voltage of a cell under load?
//!
//! v = U(z) − R(z)·i − (2·R_gas·T/F)·asinh(i/(2·I₀)) − Σ v_k, with dv_k/dt = (R_k·i − v_k)/τ_k and dz/dt = −i/Q. The asinh is
//! the charge transfer of both electrodes (Butler and Volmer with a transfer coefficient of one half): its resistance falls as
//! current grows, and without it the deepest sag of a punch comes out 20 to 80 mV wrong. R, R_k and 1/I₀ follow temperature by
//! Arrhenius. A cell of the typical shape is known by its capacity and one resistance: all its parts scale with the area of its
//! electrodes. Left out: charging, and diffusion that goes on for many minutes.

use crate::measures::FREEZING;
use crate::{OpenCircuit, PowerFault};
use quantity::{
    Amperes, Celsius, Grade, Measure, MilliampereHours, Milliohms, Percent, Ratio, Seconds, Source,
};

/// Where the equations come from.
pub const CELL_SOURCE: Source = Source {
    title: "Plett, Battery Management Systems, volume 1",
    place: "chapter 2, equivalent circuit; Butler-Volmer kinetics from chapter 3",
    grade: Grade::Memory,
};
/// Where the typical shape comes from.
pub const SHAPE_SOURCE: Source = Source {
    title: "pybamm 26.10.1.1, parameter set Ai2020, porous-electrode model",
    place: "six pulse trains between 28 and 95 % at 25 °C, fitted by least squares",
    grade: Grade::ReferenceProgram,
};
/// Where the influence of temperature comes from.
pub const WARMTH_SOURCE: Source = Source {
    title: "equivalent-circuit example of an open battery library",
    place: "Arrhenius with 20 kJ/mol: twice the resistance at 0 °C",
    grade: Grade::PublishedValue,
};

/// R_gas/F in V/K and R_gas in J/(mol·K).
const VOLTS_PER_KELVIN: f64 = 8.314_462_618 / 96_485.332_12;
const GAS: f64 = 8.314_462_618;
/// Resistances are stated at 25 °C.
const STATED_AT: f64 = 25.0 + FREEZING;
const ARRHENIUS: f64 = 20_000.0;

/// Charge (share) and ohm of the cell that gave the typical shape, then what each has in common.
const SHAPE_OHMIC: [[f64; 2]; 5] =
    [[0.20, 0.0130], [0.35, 0.0110], [0.55, 0.0102], [0.80, 0.0116], [0.95, 0.0128]];
const SHAPE_EXCHANGE: f64 = 0.5304;
const SHAPE_BRANCHES: [[f64; 2]; 2] = [[0.0018, 2.5], [0.0155, 35.0]];

/// The most branches a cell may have.
pub const BRANCHES_MOST: usize = 3;

/// The temperatures at which a cell may give current.
pub const CELL_SPAN: [Celsius; 2] = [Celsius::new(-20.0), Celsius::new(60.0)];

/// A slow part of the resistance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Branch {
    /// What it comes to at length.
    pub resistance: Milliohms,
    /// How long it takes to come to 63 % of that.
    pub time: Seconds,
}

/// One cell, at 25 °C where nothing else is said.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell {
    pub(crate) ampere_hours: f64,
    pub(crate) curve: OpenCircuit,
    /// Share of charge and ohm, rising in charge; constant beyond its ends.
    ohmic: Vec<[f64; 2]>,
    exchange: f64,
    pub(crate) branches: Vec<[f64; 2]>,
    arrhenius: f64,
}

/// What age has done.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Age {
    /// Capacity left.
    pub capacity: Percent,
    /// How many times the resistance of the new cell it has.
    pub resistance: Ratio,
}

impl Cell {
    /// A cell of the typical shape, of which capacity and ohmic resistance at half charge and 25 °C are known, as a milliohmmeter
    /// for cells shows it.
    pub fn of_resistance(capacity: MilliampereHours, ohmic: Milliohms) -> Result<Self, PowerFault> {
        let [least, most] = [0.1, 1_000.0].map(Milliohms::new);
        let mend = "measure it: no cell is without resistance";
        let ohm = PowerFault::within("resistance of a cell", ohmic, least, most, mend)?.get() * 1e-3;
        Self::shaped(capacity, ohm / interpolated(&SHAPE_OHMIC, 0.5))
    }

    /// The typical shape, its resistances times a factor.
    pub(crate) fn shaped(capacity: MilliampereHours, scale: f64) -> Result<Self, PowerFault> {
        Ok(Self {
            ampere_hours: ampere_hours(capacity)?,
            curve: OpenCircuit::pouch(),
            ohmic: SHAPE_OHMIC.map(|[share, ohm]| [share, ohm * scale]).to_vec(),
            exchange: SHAPE_EXCHANGE / scale,
            branches: SHAPE_BRANCHES.map(|[ohm, time]| [ohm * scale, time]).to_vec(),
            arrhenius: ARRHENIUS,
        })
    }

    /// A cell stated part by part: ohmic resistance by charge, the current scale I₀ of its charge transfer, slow branches.
    pub fn new(
        capacity: MilliampereHours,
        curve: OpenCircuit,
        ohmic: &[(Percent, Milliohms)],
        exchange: Amperes,
        branches: &[Branch],
    ) -> Result<Self, PowerFault> {
        if ohmic.is_empty() || branches.len() > BRANCHES_MOST {
            return Err(PowerFault::Short {
                what: "cell",
                has: ohmic.len(),
                needs: "one ohmic resistance at least, and three slow branches at most",
            });
        }
        let [least, most] = [0.0, 1_000.0].map(Milliohms::new);
        let mend = "measure it: no cell is without resistance";
        let mut table = Vec::new();
        for (charge, resistance) in ohmic {
            let [empty, full] = [0.0, 100.0].map(Percent::new);
            let share = PowerFault::within("charge", *charge, empty, full, "100 % is full")?.get() * 1e-2;
            PowerFault::within("resistance of a cell", *resistance, Milliohms::new(0.01), most, mend)?;
            table.push([share, resistance.get() * 1e-3]);
        }
        table.sort_by(|a, b| a[0].total_cmp(&b[0]));
        if let Some(pair) = table.windows(2).find(|pair| pair[1][0] - pair[0][0] < 1e-9) {
            let told = |row: [f64; 2]| format!("{} mΩ at {} %", row[1] * 1e3, row[0] * 1e2);
            let (one, other) = (told(pair[0]), told(pair[1]));
            let mend = "state one resistance for each charge";
            return Err(PowerFault::Contradictory { what: "resistance by charge", one, other, mend });
        }
        for branch in branches {
            PowerFault::within(
                "resistance of a branch",
                branch.resistance,
                least,
                most,
                "leave it out if there is none",
            )?;
            let [fast, slow] = [0.01, 10_000.0].map(Seconds::new);
            PowerFault::within("time of a branch", branch.time, fast, slow, "leave it out if there is none")?;
        }
        let [little, much] = [1e-4, 1e6].map(Amperes::new);
        let exchange =
            PowerFault::within("current scale I₀", exchange, little, much, "fit it on pulses")?.get();
        let branches = branches.iter().map(|b| [b.resistance.get() * 1e-3, b.time.get()]).collect();
        let arrhenius = ARRHENIUS;
        Ok(Self { ampere_hours: ampere_hours(capacity)?, curve, ohmic: table, exchange, branches, arrhenius })
    }

    /// The same cell with another curve of rest.
    pub fn with_curve(self, curve: OpenCircuit) -> Self {
        Self { curve, ..self }
    }

    /// The same cell with an activation energy of its own: 20 kJ/mol is twice the resistance at freezing, 0 none of it.
    pub fn with_activation(self, kilojoules_per_mole: Ratio) -> Result<Self, PowerFault> {
        let [least, most] = [0.0, 80.0].map(Ratio::of);
        let mend = "in kJ/mol; find it from two load tests, one of them cold";
        let kilo = PowerFault::within("activation energy", kilojoules_per_mole, least, most, mend)?.get();
        Ok(Self { arrhenius: kilo * 1e3, ..self })
    }

    /// The same cell with so many times what charge transfer and slow branches add; its ohmic resistance stays.
    pub fn with_slow(self, times: Ratio) -> Result<Self, PowerFault> {
        let [least, most] = [0.05, 20.0].map(Ratio::of);
        let mend = "1 is a cell of the typical shape";
        let times = PowerFault::within("what the slow parts are", times, least, most, mend)?.get();
        Ok(Self {
            exchange: self.exchange / times,
            branches: self.branches.into_iter().map(|[ohm, time]| [ohm * times, time]).collect(),
            ..self
        })
    }

    /// How many times its resistance at 25 °C it has at a temperature.
    pub fn resistance_factor(&self, temperature: Celsius) -> Result<f64, PowerFault> {
        Ok(self.at(warm(temperature)?).factor)
    }

    /// The same cell after years of use.
    pub fn aged(self, age: Age) -> Result<Self, PowerFault> {
        let [least, most] = [20.0, 120.0].map(Percent::new);
        let kept =
            PowerFault::within("capacity left", age.capacity, least, most, "below that a pack is waste")?;
        let [least, most] = [0.5, 10.0].map(Ratio::of);
        let grown = PowerFault::within(
            "growth of resistance",
            age.resistance,
            least,
            most,
            "below that a pack is waste",
        )?
        .get();
        Ok(Self {
            ampere_hours: self.ampere_hours * kept.get() * 1e-2,
            ohmic: self.ohmic.into_iter().map(|[share, ohm]| [share, ohm * grown]).collect(),
            exchange: self.exchange / grown,
            branches: self.branches.into_iter().map(|[ohm, time]| [ohm * grown, time]).collect(),
            ..self
        })
    }

    /// Its capacity.
    pub fn capacity(&self) -> MilliampereHours {
        MilliampereHours::new(self.ampere_hours * 1e3)
    }
    /// Its curve of rest.
    pub fn curve(&self) -> &OpenCircuit {
        &self.curve
    }
    /// Its ohmic resistance at half charge and 25 °C.
    pub fn ohmic(&self) -> Milliohms {
        Milliohms::new(interpolated(&self.ohmic, 0.5) * 1e3)
    }
    /// The current scale I₀ of its charge transfer at 25 °C.
    pub fn exchange(&self) -> Amperes {
        Amperes::new(self.exchange)
    }

    /// The cell at a temperature.
    pub(crate) fn at(&self, kelvin: f64) -> CellAt<'_> {
        let factor = (self.arrhenius / GAS * (1.0 / kelvin - 1.0 / STATED_AT)).exp();
        CellAt { cell: self, factor, thermal: 2.0 * VOLTS_PER_KELVIN * kelvin }
    }
}

/// A cell at a temperature.
#[derive(Clone, Copy, Debug)]
pub(crate) struct CellAt<'c> {
    cell: &'c Cell,
    /// How many times the stated resistance.
    factor: f64,
    /// 2·R_gas·T/F.
    thermal: f64,
}

impl CellAt<'_> {
    /// Ohm at a share of charge.
    pub(crate) fn ohmic(self, share: f64) -> f64 {
        interpolated(&self.cell.ohmic, share) * self.factor
    }
    /// The scale of volts and the current 2·I₀ of the asinh.
    pub(crate) fn transfer(self) -> [f64; 2] {
        [self.thermal, 2.0 * self.cell.exchange / self.factor]
    }
    /// Ohm and seconds of each branch.
    pub(crate) fn branches(self) -> impl Iterator<Item = [f64; 2]> {
        let factor = self.factor;
        self.cell.branches.clone().into_iter().map(move |[ohm, time]| [ohm * factor, time])
    }
    pub(crate) fn factor(self) -> f64 {
        self.factor
    }
}

pub(crate) fn ampere_hours(capacity: MilliampereHours) -> Result<f64, PowerFault> {
    let [least, most] = [10.0, 100_000.0].map(MilliampereHours::new);
    Ok(PowerFault::within("capacity", capacity, least, most, "check the unit: mAh")?.get() * 1e-3)
}

/// A cell temperature within what a cell may have.
pub(crate) fn warm(temperature: Celsius) -> Result<f64, PowerFault> {
    let [least, most] = CELL_SPAN;
    let mend = "cells give no current safely beyond that: warm or cool the pack first";
    Ok(PowerFault::within("temperature of the pack", temperature, least, most, mend)?.get() + FREEZING)
}

/// Straight between rows, constant beyond them.
pub(crate) fn interpolated(rows: &[[f64; 2]], x: f64) -> f64 {
    let after = rows.iter().position(|row| row[0] >= x).unwrap_or(rows.len());
    if after == 0 {
        return rows[0][1];
    }
    let [x0, y0] = rows[after - 1];
    rows.get(after).map_or(y0, |[x1, y1]| y0 + (y1 - y0) * (x - x0) / (x1 - x0))
}

#[cfg(test)]
mod tests {
    use super::*;

    const RACING: MilliampereHours = MilliampereHours::new(1300.0);

    #[test]
    fn zero_resistance_and_zero_capacity_are_told() {
        let told = Cell::of_resistance(RACING, Milliohms::new(0.0)).map_err(|f| f.to_string());
        let words = "resistance of a cell 0 mΩ must lie between 0.1 mΩ and 1000 mΩ; measure it: no cell is without resistance";
        assert_eq!(told, Err(words.to_owned()));
        let told =
            Cell::of_resistance(MilliampereHours::new(0.0), Milliohms::new(4.0)).map_err(|f| f.to_string());
        assert_eq!(
            told,
            Err("capacity 0 mAh must lie between 10 mAh and 100000 mAh; check the unit: mAh".to_owned())
        );
    }

    #[test]
    fn twice_the_resistance_stands_at_freezing() {
        let cell = Cell::of_resistance(RACING, Milliohms::new(4.0)).unwrap_or_else(|f| unreachable!("{f}"));
        assert!((cell.at(FREEZING).factor() - 2.093).abs() < 1e-3);
        assert!((cell.at(STATED_AT).factor() - 1.0).abs() < 1e-12);
    }
}
