//! The pack of a craft as numbers: cells, resistance, leads and plug, and how warm and full it is.
//!
//! What its cells are: `cells.rs`; where their resistance comes from: `resistance.rs`. Wires at 40 °C, stranded.

use super::cells::{Chemistry, chemistry, curve};
use super::resistance::{Resistance, no_such_cell, of_pack, resistance, too_small_a_step};
use super::slots::{Slot, Slots};
use super::wired::supply_wire;
use crate::link::Lack;
use crate::subject::by_custom;
use crate::supply::custom::{CELL_SLOW, CHARGE_READ, PACK_IN_WIND, PACK_WARMTH};
use crate::{Placed, Proof};
use craft::schema::{PartKind, craft as craft_schema, drive, frame};
use craft::{Missing, PlaceId};
use power::{Age, Cell, Lay, LoadTest, OpenCircuit, Pack, PowerFault, Warming, Wire};
use quantity::{
    Amperes, Celsius, Measure, Metres, MilliampereHours, Milliohms, Percent, Ratio, Seconds, Volts,
};

/// Wires warm up under their current.
const WIRES_AT: Celsius = Celsius::new(40.0);

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
    /// How many times what charge transfer and diffusion add in a typical cell, where no load test says it.
    pub slow: Slot,
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
            slow: slots.fact(&by_custom(
                "craft.cell_slow".to_owned(),
                "slow part of its cells' resistance, which a load test tells",
                &CELL_SLOW,
            )),
        };
        // Facts that contradict each other make no pack, which must not look like a pack that falls over.
        match facts.at(slots.values()) {
            Ok(_) => {
                let wrong = no_such_cell(&facts, placed, slots.values());
                match wrong.or_else(|| too_small_a_step(&facts, placed, slots)) {
                    Some(wrong) => Err(Lack::wrong(wrong)),
                    None => Ok(facts),
                }
            }
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

    /// The load test of one cell: the sheet tells the whole pack, of which a cell sees its share of voltage and current.
    fn load_test(&self, values: &[f64], [low, high]: [[Slot; 2]; 2], held: [f64; 3]) -> LoadTest {
        let load = |[current, volts]: [Slot; 2]| {
            let amperes = current.at(values) / f64::from(self.parallel);
            (Amperes::new(amperes), Volts::new(volts.at(values) / f64::from(self.series)))
        };
        let [held, temperature, charge] = held;
        LoadTest {
            low: load(low),
            high: load(high),
            held: Seconds::new(held),
            temperature: Celsius::new(temperature),
            charge: Percent::new(charge),
        }
    }

    /// mΩ of all cells, without what charge transfer and diffusion add: those are slower than motors are switched.
    pub(crate) fn ohmic(&self, values: &[f64]) -> Result<f64, PowerFault> {
        let series = f64::from(self.series);
        let cells = match &self.resistance {
            Resistance::Stated(slot) => slot.at(values) * series,
            Resistance::Each(slots) => slots.iter().map(|slot| slot.at(values)).sum(),
            Resistance::Tested { low, high, held_temperature_charge } => {
                let capacity = MilliampereHours::new(self.capacity.at(values) / f64::from(self.parallel));
                let test = self.load_test(values, [*low, *high], *held_temperature_charge);
                Cell::of_load_test(capacity, &test)?.ohmic().get() * series
            }
        };
        Ok(cells / f64::from(self.parallel))
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
        // A load test tells the whole of it; a milliohmmeter what is fast.
        let told = |ohm: f64| -> Result<Cell, PowerFault> {
            let cell = Cell::of_resistance(capacity, Milliohms::new(ohm))?;
            finished(cell.with_slow(Ratio::of(self.slow.at(values)))?)
        };
        let pack = match &self.resistance {
            Resistance::Stated(slot) => {
                Pack::new(self.series, self.parallel, told(slot.at(values))?, joints)?
            }
            Resistance::Each(slots) => {
                let cells = slots.iter().map(|slot| Ok((told(slot.at(values))?, 1)));
                Pack::of_cells(cells.collect::<Result<_, PowerFault>>()?, self.parallel, joints)?
            }
            Resistance::Tested { low, high, held_temperature_charge } => {
                let test = self.load_test(values, [*low, *high], *held_temperature_charge);
                Pack::new(
                    self.series,
                    self.parallel,
                    finished(Cell::of_load_test(capacity, &test)?)?,
                    joints,
                )?
            }
        };
        match self.mass {
            // About 1 J/K a gram, and a surface that goes with mass^(2/3): 25 cm² at 12 g.
            Some(mass) => {
                let grams = mass.at(values).max(1.0);
                let surface = 25e-4 * (grams / 12.0).powf(2.0 / 3.0);
                let to_air = power::WattsPerKelvin::new(PACK_IN_WIND * surface);
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
