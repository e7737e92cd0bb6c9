//! The pack of a craft as numbers: cells, resistance, leads and plug, and how warm and full it is.
//!
//! The resistance comes from, in this order: each cell as last measured, the user's load test, the resistance on the sheet, what cells
//! of this capacity usually have. Curves: lithium polymer from an open data set, its high-voltage kind the same with 0.15 V more when
//! full, in proportion to charge (common practice), lithium ion the second curve of `SOURCES`. Wires at 40 °C, stranded.

use super::slots::{Slot, Slots};
use super::wired::supply_wire;
use crate::link::Lack;
use crate::numbers::rounded;
use crate::subject::by_custom;
use crate::supply::custom::{CHARGE_READ, PACK_WARMTH};
use crate::{Placed, Proof};
use craft::schema::{PartKind, craft as craft_schema, drive, frame};
use craft::{Item, Missing, PlaceId, Reading};
use power::{
    Age, Build, Cell, Lay, LoadTest, OpenCircuit, Pack, PowerFault, TYPICAL_SOURCE, TYPICAL_SPREAD, Warming,
    Wire, typical_resistance,
};
use quantity::{
    Amperes, Basis, Celsius, Doubt, DoubtKind, Measure, Metres, MilliampereHours, Milliohms, Percent, Ratio,
    Seconds, Volts,
};
use std::sync::LazyLock;

/// No lithium cell that is still one shows less under a light load, in V.
const CELL_LEAST: f64 = 2.0;
/// A meter may read so much above a full cell, in V.
const ABOVE_FULL: f64 = 0.1;
/// Wires warm up under their current.
const WIRES_AT: Celsius = Celsius::new(40.0);
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

/// Where the resistance comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Resistance {
    /// Of a cell, as stated or typical.
    Stated(Slot),
    /// The user's own load test: current and voltage of the lesser and the greater load.
    Tested {
        /// The lesser load.
        low: [Slot; 2],
        /// The greater load.
        high: [Slot; 2],
        /// s, °C, %.
        held_temperature_charge: [f64; 3],
    },
    /// Cell by cell.
    Each(Vec<Slot>),
}

/// Wires out and back.
#[derive(Clone, Debug, PartialEq)]
pub struct Wires {
    /// What they are, in words.
    pub called: String,
    /// American gauge.
    pub gauge: u32,
    /// One way, mm.
    pub length: Slot,
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

/// The pack as its facts tell it.
#[derive(Clone, Debug, PartialEq)]
pub struct PackFacts {
    /// Its place.
    pub place: PlaceId,
    /// What a person calls it.
    pub called: String,
    /// Cells in series.
    pub series: u32,
    /// Strings.
    pub parallel: u32,
    /// What its cells are.
    pub chemistry: Chemistry,
    /// mAh.
    pub capacity: Slot,
    /// Percent of it that age has left.
    pub left: Option<Slot>,
    /// Its resistance.
    pub resistance: Resistance,
    /// Of the plug, mΩ.
    pub connector: Slot,
    /// Its lead, and that of the craft.
    pub wires: Vec<Wires>,
    /// g.
    pub mass: Option<Slot>,
    /// How far the temperature may be from the stated one, K.
    pub warmth: Slot,
    /// How far the charge may be from the planned one, %.
    pub read: Slot,
}

impl PackFacts {
    /// Read from the craft's first pack.
    pub(super) fn of(proof: &Proof, slots: &mut Slots) -> Result<Self, Lack> {
        let Some(placed) = proof.places_of(PartKind::Pack).next() else {
            let path = quantity::FactPath("craft.pack".to_owned());
            return Err(Lack::missing(Missing { path, label: format!("pack of {:?}", proof.craft.name) }));
        };
        let item = placed.part.item();
        let mut lack = Lack::default();
        let mut told = |missing: Missing| lack.add(&Lack::missing(missing));
        let series = item.count(&drive::CELLS).map_err(&mut told).ok();
        let chemistry = item.text(&drive::CHEMISTRY).map_err(&mut told).ok().map(chemistry);
        let capacity = item.read(&drive::CHARGE).map_err(&mut told).ok();
        let connector = item.read(&drive::CONNECTOR_RESISTANCE).map_err(&mut told).ok();
        let lead = item.read(&drive::LEAD).map_err(&mut told).ok();
        let gauge = item.count(&drive::LEAD_GAUGE).map_err(&mut told).ok();
        let (Some(series), Some(chemistry), Some(capacity), Some(connector), Some(lead), Some(gauge)) =
            (series, chemistry, capacity, connector, lead, gauge)
        else {
            return Err(lack);
        };
        let resistance = resistance(&item, placed, chemistry, capacity.value, series, slots)?;
        let mut wires =
            vec![Wires { called: "lead of the pack".to_owned(), gauge, length: slots.fact(&lead) }];
        let boards = [PartKind::SpeedController, PartKind::IntegratedBoard];
        let board = proof.placed().find(|placed| boards.contains(&placed.part.kind));
        wires.extend(board.and_then(|board| supply_wires(proof, board, slots)));
        let facts = Self {
            place: placed.place.id.clone(),
            called: placed.part.name.clone(),
            series,
            parallel: item.count(&drive::PARALLEL).unwrap_or(1),
            chemistry,
            capacity: slots.fact(&capacity),
            left: item.read(&drive::CHARGE_LEFT).ok().map(|left| slots.fact(&left)),
            resistance,
            connector: slots.fact(&connector),
            wires,
            mass: item.read(&frame::MASS).ok().map(|mass| slots.fact(&mass)),
            warmth: slots.fact(&by_custom(
                "craft.pack_warmth".to_owned(),
                "temperature of the pack",
                &PACK_WARMTH,
            )),
            read: slots.fact(&by_custom("craft.charge_read".to_owned(), "charge when landing", &CHARGE_READ)),
        };
        // Facts that contradict each other make no pack, which must not look like a pack that falls over.
        match facts.at(slots.values()) {
            Ok(_) => match no_such_cell(&facts, placed, slots.values()) {
                Some(wrong) => Err(Lack::wrong(wrong)),
                None => Ok(facts),
            },
            Err(fault) => Err(Lack::wrong(of_pack(&facts, placed, &fault))),
        }
    }

    /// mΩ of plug and wires.
    pub fn joints(&self, values: &[f64]) -> Result<Milliohms, PowerFault> {
        let wires = self.wires.iter().map(|wires| Ok(wires.resistance(values)?.get()));
        let wires: f64 = wires.collect::<Result<Vec<f64>, PowerFault>>()?.iter().sum();
        Ok(Milliohms::new(self.connector.at(values) + wires))
    }

    /// The voltage of a resting cell by charge.
    pub fn curve(&self) -> Result<OpenCircuit, PowerFault> {
        curve(self.chemistry)
    }

    /// The voltage of the whole pack when full.
    pub fn full(&self) -> Result<Volts, PowerFault> {
        Ok(self.curve()?.full() * f64::from(self.series))
    }

    /// The pack at some numbers.
    pub fn at(&self, values: &[f64]) -> Result<Pack, PowerFault> {
        let capacity = MilliampereHours::new(self.capacity.at(values) / f64::from(self.parallel));
        let curve = self.curve()?;
        let age =
            self.left.map(|left| Age { capacity: Percent::new(left.at(values)), resistance: Ratio::of(1.0) });
        let finished = |cell: Cell| -> Result<Cell, PowerFault> {
            let cell = cell.with_curve(curve.clone());
            match age {
                Some(age) => cell.aged(age),
                None => Ok(cell),
            }
        };
        let joints = self.joints(values)?;
        let pack = match &self.resistance {
            Resistance::Stated(slot) => {
                let cell = finished(Cell::of_resistance(capacity, Milliohms::new(slot.at(values)))?)?;
                Pack::new(self.series, self.parallel, cell, joints)?
            }
            Resistance::Each(slots) => {
                let cells = slots.iter().map(|slot| {
                    Ok((finished(Cell::of_resistance(capacity, Milliohms::new(slot.at(values)))?)?, 1))
                });
                Pack::of_cells(cells.collect::<Result<_, PowerFault>>()?, self.parallel, joints)?
            }
            Resistance::Tested { low, high, held_temperature_charge: [held, temperature, charge] } => {
                // The sheet tells the whole pack; one cell sees its share of voltage and current.
                let load = |[current, volts]: [Slot; 2]| {
                    let amperes = current.at(values) / f64::from(self.parallel);
                    (Amperes::new(amperes), Volts::new(volts.at(values) / f64::from(self.series)))
                };
                let test = LoadTest {
                    low: load(*low),
                    high: load(*high),
                    held: Seconds::new(*held),
                    temperature: Celsius::new(*temperature),
                    charge: Percent::new(*charge),
                };
                Pack::new(
                    self.series,
                    self.parallel,
                    finished(Cell::of_load_test(capacity, &test)?)?,
                    joints,
                )?
            }
        };
        match self.mass {
            // About 1 J/K a gram; some 10 W/m²K over a surface that goes with mass^(2/3): 25 cm² at 12 g.
            Some(mass) => {
                let grams = mass.at(values).max(1.0);
                let to_air = power::WattsPerKelvin::new(0.01 * 25e-4 * 1e3 * (grams / 12.0).powf(2.0 / 3.0));
                pack.warming(Warming { capacity: power::JoulesPerKelvin::new(grams), to_air })
            }
            None => Ok(pack),
        }
    }
}

impl Wires {
    /// Out and back.
    pub fn resistance(&self, values: &[f64]) -> Result<Milliohms, PowerFault> {
        let wire = Wire::gauge(i32::try_from(self.gauge).unwrap_or(i32::MAX), Lay::Stranded)?;
        wire.resistance(Metres::new(2e-3 * self.length.at(values)), WIRES_AT)
    }
}

/// The supply wires of a place, where gauge and length are given: by the wire that feeds it, or by the place.
pub(super) fn supply_wires(proof: &Proof, placed: Placed, slots: &mut Slots) -> Option<Wires> {
    let wire = supply_wire(proof, placed);
    let (gauge, length) = (wire.gauge.ok()?, wire.length.ok()?);
    Some(Wires {
        called: format!("supply wires of {}", placed.part.name),
        gauge,
        length: slots.fact(&length),
    })
}

/// The voltage of a resting cell by charge.
fn curve(chemistry: Chemistry) -> Result<OpenCircuit, PowerFault> {
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

fn chemistry(word: &str) -> Chemistry {
    match word {
        "lithium ion" => Chemistry::Ion,
        "lithium polymer, high voltage" => Chemistry::HighVoltage,
        _ => Chemistry::Polymer,
    }
}

/// What is wrong with a load test in which no cell can have shown its share: most often one cell was read and not the pack, which would
/// make the pack look far better than it is.
fn no_such_cell(facts: &PackFacts, placed: Placed, values: &[f64]) -> Option<String> {
    let Resistance::Tested { low: [current, volts], .. } = &facts.resistance else { return None };
    let full = facts.curve().ok()?.full().get();
    let [amperes, pack] = [current.at(values), volts.at(values)];
    let cell = pack / f64::from(facts.series);
    let most = full + ABOVE_FULL;
    (!(CELL_LEAST..=most).contains(&cell)).then(|| {
        format!(
            "the load test of {} shows {} V at {} A: {} V a cell, where one holds {CELL_LEAST} V to {} V; in the rows [[part.{}.load_test]] write voltage as read across the whole pack",
            facts.called,
            rounded(pack, 2),
            rounded(amperes, 2),
            rounded(cell, 2),
            rounded(most, 2),
            placed.part.id,
        )
    })
}

/// A fault of the pack, and where the line stands that is to be written otherwise.
fn of_pack(facts: &PackFacts, placed: Placed, fault: &PowerFault) -> String {
    let id = &placed.part.id;
    let lines = match &facts.resistance {
        Resistance::Tested { .. } => format!(
            "in the rows [[part.{id}.load_test]] write current and voltage as read, at the greater current the lesser voltage"
        ),
        Resistance::Each(_) => format!(
            "in the rows [[part.{id}.cell]] write now = \"8 mΩ, measured\" as measured, and charge under [part.{id}] as printed"
        ),
        Resistance::Stated(_) => format!(
            "under [part.{id}] write charge as printed and cell_resistance as measured, such as \"8 mΩ, measured\""
        ),
    };
    let (wrong, mend) = crate::subject::fault_and_mend(fault);
    match mend {
        Some(mend) => format!("{}: {wrong}; {lines}: {mend}", facts.called),
        None => format!("{}: {wrong}; {lines}", facts.called),
    }
}

fn resistance(
    item: &Item,
    placed: Placed,
    chemistry: Chemistry,
    capacity: MilliampereHours,
    series: u32,
    slots: &mut Slots,
) -> Result<Resistance, Lack> {
    let cells: Vec<Reading<Milliohms>> =
        placed.part.rows(&drive::cell::TABLE).filter_map(|row| row.read(&drive::cell::NOW).ok()).collect();
    if !cells.is_empty() {
        if cells.len() != series as usize {
            return Err(Lack::wrong(format!(
                "{} has {series} cells in series and {} in its table of cells; write a row [[part.{}.cell]] with now = \"8 mΩ, measured\" for each of its cells, or take all of them out",
                placed.part.name,
                cells.len(),
                placed.part.id
            )));
        }
        return Ok(Resistance::Each(cells.iter().map(|cell| slots.fact(cell)).collect()));
    }
    let mut loads: Vec<Item> = placed.part.rows(&drive::load_test::TABLE).collect();
    if !loads.is_empty() {
        use drive::load_test::{CHARGE, CURRENT, HELD, TEMPERATURE, VOLTAGE};
        let amperes = |row: &Item| row.read(&CURRENT).map_or(f64::NAN, |current| current.value.get());
        loads.sort_by(|a, b| amperes(a).total_cmp(&amperes(b)));
        let [low, high] = loads.as_slice() else {
            let words = format!(
                "the load test of {} has {}; write two rows [[part.{}.load_test]], each with current and voltage, such as \"2 A\" and \"16.1 V\"",
                placed.part.name,
                if loads.len() == 1 { "one row".to_owned() } else { format!("{} rows", loads.len()) },
                placed.part.id
            );
            return Err(Lack::wrong(words));
        };
        let mut load = |row: &Item| -> Result<[Slot; 2], Lack> {
            let current = row.read(&CURRENT).map_err(Lack::missing)?;
            let volts = row.read(&VOLTAGE).map_err(Lack::missing)?;
            Ok([slots.fact(&current), slots.fact(&volts)])
        };
        let (low, slots_high) = (load(low)?, load(high)?);
        let said = |value: Option<f64>, usual: f64| value.unwrap_or(usual);
        let held = said(high.read(&HELD).ok().map(|held| held.value.get()), 5.0);
        let temperature = said(high.read(&TEMPERATURE).ok().map(|t| t.value.get()), 25.0);
        let charge = said(high.read(&CHARGE).ok().map(|charge| charge.value.get()), 50.0);
        let held_temperature_charge = [held, temperature, charge];
        return Ok(Resistance::Tested { low, high: slots_high, held_temperature_charge });
    }
    if let Ok(stated) = item.read(&drive::CELL_RESISTANCE) {
        return Ok(Resistance::Stated(slots.fact(&stated)));
    }
    let build = if chemistry == Chemistry::Ion { Build::RoundCan } else { Build::Pouch };
    let parallel = f64::from(item.count(&drive::PARALLEL).unwrap_or(1));
    let usual =
        typical_resistance(capacity / parallel, build).map_err(|fault| Lack::wrong(fault.to_string()))?;
    let [least, most] = TYPICAL_SPREAD.map(Measure::raw);
    Ok(Resistance::Stated(slots.fact(&Reading {
        value: usual,
        doubt: Doubt {
            minus: usual.get() * (1.0 - least),
            plus: usual.get() * (most - 1.0),
            shape: quantity::Shape::Rectangular,
        },
        kind: DoubtKind::CellResistance,
        basis: Basis::Typical,
        path: item.path_of(&drive::CELL_RESISTANCE.def),
        label: format!("resistance of a cell (typical: {})", TYPICAL_SOURCE.place),
    })))
}

/// How full the pack is when it lands, as planned.
pub(super) fn land_charge(proof: &Proof, pack: &PackFacts) -> Result<Percent, Lack> {
    let item = proof.craft.item();
    match item.read(&craft_schema::LAND_CHARGE) {
        Ok(left) => Ok(left.value),
        Err(missing) => match item.read(&craft_schema::LAND_AT) {
            Ok(volts) => {
                let curve = pack.curve().map_err(|fault| Lack::wrong(fault.to_string()))?;
                Ok(curve.charge_at(volts.value))
            }
            Err(_) => Err(Lack::missing(missing)),
        },
    }
}
