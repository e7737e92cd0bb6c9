//! What the cells of a pack are: their chemistry, and the voltage at which one rests by charge.
//!
//! Lithium polymer from an open data set, its high-voltage kind the same with 0.15 V more when full, in proportion to charge (common
//! practice), lithium ion the second curve of `SOURCES`.

use super::custom::STEADY_LEAST;
use crate::Proof;
use crate::link::Lack;
use craft::PlaceId;
use craft::schema::{PartKind, drive};
use power::{OpenCircuit, PowerFault};
use quantity::{Percent, Volts};
use std::sync::LazyLock;

/// How much higher a cell of the high-voltage kind stands when full, in V.
const HIGH_VOLTAGE_MORE: f64 = 0.15;
/// Charge in percent and volts of a resting cell with a nickel cathode, of the equivalent-circuit example of an open battery library.
const LITHIUM_ION: [[f64; 2]; 11] = [
    [0.0, 3.2],
    [10.0, 3.4937],
    [20.0, 3.5755],
    [30.0, 3.6254],
    [40.0, 3.6546],
    [50.0, 3.6965],
    [60.0, 3.7681],
    [70.0, 3.8544],
    [80.0, 3.9369],
    [90.0, 4.0457],
    [100.0, 4.187],
];

/// What a cell is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Chemistry {
    /// 4.20 V when full.
    Polymer,
    /// 4.35 V when full.
    HighVoltage,
    /// A round can.
    Ion,
}

impl Chemistry {
    /// What one must show in steady flight, or it is time to land.
    pub fn steady_least(self) -> Volts {
        Volts::new(STEADY_LEAST[usize::from(self == Self::Ion)])
    }
}

/// What the cells of a pack are: enough to say what stands a full pack.
#[derive(Clone, Debug, PartialEq)]
pub struct CellsFacts {
    /// The place of the pack.
    pub place: PlaceId,
    /// Cells in series.
    pub series: u32,
    /// The whole pack when full.
    pub full: Volts,
}

impl CellsFacts {
    /// Read from the craft's first pack.
    pub(super) fn of(proof: &Proof) -> Result<Self, Lack> {
        let Some(placed) = proof.places_of(PartKind::Pack).next() else { return Err(Lack::default()) };
        let item = placed.part.item();
        let series = item.count(&drive::CELLS).map_err(Lack::missing)?;
        let chemistry = chemistry(item.text(&drive::CHEMISTRY).map_err(Lack::missing)?);
        let curve = curve(chemistry).map_err(|fault| Lack::wrong(fault.to_string()))?;
        Ok(Self { place: placed.place.id.clone(), series, full: curve.full() * f64::from(series) })
    }
}

/// The voltage of a resting cell by charge.
pub(super) fn curve(chemistry: Chemistry) -> Result<OpenCircuit, PowerFault> {
    static HIGH_VOLTAGE: LazyLock<Result<OpenCircuit, PowerFault>> = LazyLock::new(high_voltage);
    static ION: LazyLock<Result<OpenCircuit, PowerFault>> =
        LazyLock::new(|| OpenCircuit::new(&points(&LITHIUM_ION)));
    match chemistry {
        Chemistry::Polymer => Ok(OpenCircuit::pouch()),
        Chemistry::HighVoltage => HIGH_VOLTAGE.clone(),
        Chemistry::Ion => ION.clone(),
    }
}

fn points(rows: &[[f64; 2]]) -> Vec<(Percent, Volts)> {
    rows.iter().map(|[charge, volts]| (Percent::new(*charge), Volts::new(*volts))).collect()
}

/// The pouch cell's curve with what a cell of high voltage has more.
fn high_voltage() -> Result<OpenCircuit, PowerFault> {
    let pouch = OpenCircuit::pouch();
    let at = |charge: f64| {
        let volts = pouch.at(Percent::new(charge)).get() + HIGH_VOLTAGE_MORE * charge * 1e-2;
        [charge, volts]
    };
    let charges = [0.0, 2.0, 5.0, 10.0, 15.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 90.0, 95.0, 100.0];
    OpenCircuit::new(&points(&charges.map(at)))
}

/// What a sheet's word for the chemistry means.
pub(super) fn chemistry(word: &str) -> Chemistry {
    match word {
        "lithium ion" => Chemistry::Ion,
        "lithium polymer, high voltage" => Chemistry::HighVoltage,
        _ => Chemistry::Polymer,
    }
}
