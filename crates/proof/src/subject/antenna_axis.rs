//! Which antennas a craft carries, and along which axis each radiates.
//!
//! An antenna of its own stands along the z of its place. It is one of the control link where its coax comes
//! from a control receiver, otherwise one of the video. A receiver, or a board with one on it, may also carry its
//! antenna as a further body: a cylinder lies along its axis, a box along the axis that is stated, or along
//! its longest side where that is at least [`LONGER`] times the others. Patches and helices look one way and have no
//! such axis: they are left out.

use crate::names::called;
use crate::subject::{ChainEnd, coax_chains};
use crate::{Placed, Proof};
use craft::schema::{PartKind, air, shape, shape::body};
use craft::{Item, Missing};
use fit::{BodyVector, PartVector};
use quantity::FactPath;
use std::collections::HashMap;

/// How much longer than the others a side must be, to say which way a box lies.
const LONGER: f64 = 2.0;

/// An antenna and the axis of what radiates.
pub(crate) struct AntennaAxis<'a> {
    /// The place it belongs to, by whose seat it turns.
    pub placed: Placed<'a>,
    /// The number of that place.
    pub number: usize,
    /// What a person calls it.
    pub called: String,
    /// Whether it is on the sheet at all.
    pub entered: bool,
    /// Its axis in the craft's frame, or what is wanting to say it.
    pub axis: Result<BodyVector, Vec<Missing>>,
}

/// The places of antennas plugged into a control receiver, each with the receiver's place.
pub(crate) fn control_antennas(proof: &Proof) -> HashMap<usize, usize> {
    let chains = coax_chains(proof).into_iter();
    let control = chains.filter(|chain| chain.unit.part.kind == PartKind::ControlReceiver);
    let ends = control.filter_map(|chain| match chain.end {
        ChainEnd::Antenna(antenna) => {
            Some((proof.number_of(&antenna.place.id)?, proof.number_of(&chain.unit.place.id)?))
        }
        _ => None,
    });
    ends.collect()
}

/// The video antennas. What stands nowhere because a fact is wrong is left out: that is told of its seat.
pub(crate) fn axes_of_video<'a>(proof: &Proof<'a>) -> Vec<AntennaAxis<'a>> {
    let antennas = proof.places_of(PartKind::Antenna);
    antennas
        .filter_map(|placed| Some((proof.number_of(&placed.place.id)?, placed)))
        .filter(|(number, _)| !proof.control_antennas().contains_key(number))
        .filter_map(|(number, placed)| standing(proof, number, placed))
        .collect()
}

/// The control antennas, by receiver. A receiver of which no antenna is on the sheet has one without axis.
pub(crate) fn axes_of_control<'a>(proof: &Proof<'a>) -> Vec<Vec<AntennaAxis<'a>>> {
    let mut plugged: HashMap<usize, Vec<usize>> = HashMap::new();
    for (antenna, receiver) in proof.control_antennas() {
        plugged.entry(*receiver).or_default().push(*antenna);
    }
    let units = [PartKind::ControlReceiver, PartKind::IntegratedBoard, PartKind::FlightController];
    let mut told = Vec::new();
    for unit in proof.placed().filter(|placed| units.contains(&placed.part.kind)) {
        let Some(number) = proof.number_of(&unit.place.id) else { continue };
        let rows = unit.part.rows(&body::TABLE).filter(|row| row.text(&body::ROLE) == Ok("antenna element"));
        let mut axes: Vec<AntennaAxis> = rows.filter_map(|row| lying(proof, number, unit, &row)).collect();
        let mut antennas = plugged.remove(&number).unwrap_or_default();
        antennas.sort_unstable();
        let placed = |at: usize| Some((at, proof.placed_number(at)?));
        axes.extend(
            antennas.into_iter().filter_map(placed).filter_map(|(at, placed)| standing(proof, at, placed)),
        );
        if axes.is_empty() && unit.part.kind == PartKind::ControlReceiver {
            let item = unit.part.item();
            let missing = Missing {
                path: FactPath(format!("{}.{}", item.path, body::TABLE.key)),
                label: format!("direction of the antenna of {}", item.called),
            };
            axes.push(AntennaAxis {
                placed: unit,
                number,
                called: format!("antenna of {}", called(proof, unit)),
                entered: false,
                axis: Err(vec![missing]),
            });
        }
        told.push(axes);
    }
    told.retain(|axes| !axes.is_empty());
    told
}

/// An antenna of its own, along the z of its place.
fn standing<'a>(proof: &Proof<'a>, number: usize, placed: Placed<'a>) -> Option<AntennaAxis<'a>> {
    if matches!(placed.part.item().text(&air::ELEMENT), Ok("patch" | "helix")) {
        return None;
    }
    let axis = seated(proof, number, PartVector::Z)?;
    Some(AntennaAxis { placed, number, called: called(proof, placed), entered: true, axis })
}

/// An antenna that is a body of its receiver.
fn lying<'a>(proof: &Proof<'a>, number: usize, unit: Placed<'a>, row: &Item<'_>) -> Option<AntennaAxis<'a>> {
    let axis = match long_axis(row) {
        Ok(axis) => seated(proof, number, axis)?,
        Err(missing) => Err(vec![missing]),
    };
    let name = row.name().unwrap_or("antenna");
    let called = format!("{name} of {}", called(proof, unit));
    Some(AntennaAxis { placed: unit, number, called, entered: true, axis })
}

fn long_axis(row: &Item<'_>) -> Result<PartVector, Missing> {
    const AXES: [PartVector; 3] = [PartVector::X, PartVector::Y, PartVector::Z];
    match row.text(&body::AXIS) {
        Ok("x") => return Ok(PartVector::X),
        Ok("y") => return Ok(PartVector::Y),
        Ok(_) => return Ok(PartVector::Z),
        // A cylinder stands upright when nothing else is said.
        Err(_) if row.text(&body::SHAPE) == Ok("cylinder") => return Ok(PartVector::Z),
        Err(_) => {}
    }
    let size = [&shape::LENGTH, &shape::WIDTH, &shape::HEIGHT].map(|field| row.read(field));
    let [Ok(x), Ok(y), Ok(z)] = size.map(|side| side.map(|side| side.value.get())) else {
        return Err(row.missing(&body::AXIS.def));
    };
    let sides = [x, y, z];
    let longest = (0..3).max_by(|a, b| sides[*a].total_cmp(&sides[*b])).unwrap_or(2);
    let clear = (0..3).all(|n| n == longest || sides[longest] >= LONGER * sides[n]);
    if clear { Ok(AXES[longest]) } else { Err(row.missing(&body::AXIS.def)) }
}

/// An axis of a place in the craft's frame; the facts its seat wants; `None` where the seat is wrong.
fn seated(proof: &Proof, number: usize, axis: PartVector) -> Option<Result<BodyVector, Vec<Missing>>> {
    match proof.inputs().seats.get(number)? {
        Ok(seat) => Some(Ok(seat.pose.vector(axis))),
        Err(unbuilt) if unbuilt.missing.is_empty() => None,
        Err(unbuilt) => Some(Err(unbuilt.missing.clone())),
    }
}
