//! Where the resistance of a pack's cells comes from, and what is wrong with it.
//!
//! In this order: each cell as last measured, the user's load test, the resistance on the sheet, what cells of this capacity usually have.
//! A load test carries a resistance only where its two rows lie further apart, in volts and in amperes, than their doubts: it is told where they
//! do not, for a drop that may as well be none gives a resistance that may be anything.

use super::PackFacts;
use super::cells::Chemistry;
use super::slots::{Slot, Slots};
use crate::Placed;
use crate::link::Lack;
use crate::numbers::rounded;
use craft::schema::drive;
use craft::{Item, Reading};
use power::{Build, PowerFault, TYPICAL_SOURCE, TYPICAL_SPREAD, typical_resistance};
use quantity::{Basis, Doubt, DoubtKind, Measure, MilliampereHours, Milliohms};

/// No lithium cell that is still one shows less under a light load, in V.
const CELL_LEAST: f64 = 2.0;
/// A meter may read so much above a full cell, in V.
const ABOVE_FULL: f64 = 0.1;
/// So many uncertainties must lie between the two rows of a load test: the resistance is then known to a third at least, as well as a sheet tells it.
const STEP_OVER_DOUBT: f64 = 3.0;

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

/// What is wrong with a load test in which no cell can have shown its share: most often one cell was read and not the pack, which would
/// make the pack look far better than it is.
pub(super) fn no_such_cell(facts: &PackFacts, placed: Placed, values: &[f64]) -> Option<String> {
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

/// What is wrong with a load test whose rows are too near each other to tell a resistance; none where they rise, which is told as what it is.
pub(super) fn too_small_a_step(facts: &PackFacts, placed: Placed, slots: &Slots) -> Option<String> {
    let Resistance::Tested { low, high, .. } = &facts.resistance else { return None };
    let step = |less: Slot, more: Slot| {
        let doubt = slots.doubt(less).hypot(slots.doubt(more));
        (slots.of(more) - slots.of(less), doubt)
    };
    let ((amperes, doubt_a), (drop, doubt_v)) = (step(low[0], high[0]), step(high[1], low[1]));
    if amperes <= 0.0 || drop <= 0.0 {
        return None;
    }
    let (apart, open, mend) = if amperes < STEP_OVER_DOUBT * doubt_a {
        let mend = "read the second row at a current that is greater by far".to_owned();
        (format!("{} A", rounded(amperes, 2)), format!("± {} A", rounded(2.0 * doubt_a, 2)), mend)
    } else if drop < STEP_OVER_DOUBT * doubt_v {
        // Twice what would just do, so that the next test does not miss by a hair.
        let wanted = slots.of(low[0]) + amperes * 2.0 * STEP_OVER_DOUBT * doubt_v / drop;
        let exact = format!("{} V ± 0.002, measured", rounded(slots.of(low[1]), 3));
        let mend = format!(
            "read the second row at {} A or more, or both to the millivolt and write it: voltage = \"{exact}\"",
            rounded(wanted.ceil(), 0)
        );
        (format!("{} V", rounded(drop, 3)), format!("± {} V", rounded(2.0 * doubt_v, 3)), mend)
    } else {
        return None;
    };
    Some(format!(
        "the rows of the load test of {} lie {apart} apart, known to {open} only: too little to tell a resistance; in the rows [[part.{}.load_test]] {mend}",
        facts.called, placed.part.id,
    ))
}

/// A fault of the pack, and where the line stands that is to be written otherwise.
pub(super) fn of_pack(facts: &PackFacts, placed: Placed, fault: &PowerFault) -> String {
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

/// What the facts say of the resistance.
pub(super) fn resistance(
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
