//! Motors with the blades on them, and the pack that drives them.

use crate::limits::NOMINAL_CELLS;
use crate::{Placed, Proof};
use craft::schema::{PartKind, drive, frame};
use craft::{Missing, PartId, PlaceId};
use quantity::Volts;
use std::collections::{HashMap, HashSet};

/// A motor in its place with the blades seated on it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Drive<'a> {
    /// The motor.
    pub motor: Placed<'a>,
    /// Its blades, where they are on.
    pub blades: Option<Placed<'a>>,
}

/// Every motor with its blades, in the order of the sheet.
pub(crate) fn drives<'a>(proof: &Proof<'a>) -> Vec<Drive<'a>> {
    let mut blades: HashMap<&PlaceId, Placed> = HashMap::new();
    for one in proof.places_of(PartKind::Blades) {
        if let Some(motor) = one.place.on.as_ref().and_then(|on| on.place()) {
            blades.entry(motor).or_insert(one);
        }
    }
    proof
        .places_of(PartKind::Motor)
        .map(|motor| Drive { motor, blades: blades.get(&motor.place.id).copied() })
        .collect()
}

/// Whether the blades run in ducts: by class, else by whether the frame has any.
pub(crate) fn ducted(proof: &Proof) -> bool {
    proof.craft.class.map_or_else(
        || {
            proof.places_of(PartKind::Frame).any(|placed| {
                placed.part.rows(&frame::duct::TABLE).next().is_some()
                    || placed
                        .part
                        .rows(&frame::motor_mount::TABLE)
                        .any(|mount| mount.has(&frame::motor_mount::DUCT_BORE.def))
            })
        },
        |class| class.ducted(),
    )
}

/// The nominal voltage of one cell of a chemistry.
fn nominal_cell(chemistry: &str) -> Option<Volts> {
    NOMINAL_CELLS.iter().find(|row| row.chemistry == chemistry).map(|row| row.nominal)
}

/// The nominal voltage of a pack: its cells in series at the nominal voltage of its chemistry.
pub(crate) fn pack_voltage(pack: Placed) -> Result<Volts, Vec<Missing>> {
    let item = pack.part.item();
    match (item.count(&drive::CELLS), item.text(&drive::CHEMISTRY)) {
        (Ok(cells), Ok(chemistry)) => match nominal_cell(chemistry) {
            Some(cell) => Ok(cell * f64::from(cells)),
            None => Err(vec![item.missing(&drive::CHEMISTRY.def)]),
        },
        (cells, chemistry) => Err(cells.err().into_iter().chain(chemistry.err()).collect()),
    }
}

/// One place of each part, in the order of the sheet.
pub(crate) fn of_each_part<'a>(places: impl Iterator<Item = Placed<'a>>) -> Vec<Placed<'a>> {
    let mut seen: HashSet<&PartId> = HashSet::new();
    places.filter(|placed| seen.insert(&placed.part.id)).collect()
}
