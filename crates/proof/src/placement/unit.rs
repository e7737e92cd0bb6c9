//! What can be seated elsewhere, and what goes along with it.
//!
//! A unit is a board or adapter plate on a hole pattern, a camera in its mount, an antenna in its holder. With it go
//! the spacers, soft mounts and screws that share its seat, what is seated on it, and so on upward. Screws that
//! close a stack from above belong to whatever comes to lie on top.

use crate::{Finding, Placed, Proof, Verdict};
use craft::schema::{PartKind, frame, place as place_schema, shape};
use craft::{Anchor, PlaceId};
use quantity::{Degrees, Millimetres};

/// How a unit is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Sort {
    Board,
    Camera,
    Antenna,
}

/// What can be seated elsewhere. Places go by their number in the craft.
#[derive(Clone, Debug)]
pub(crate) struct Unit {
    pub place: usize,
    pub sort: Sort,
    /// What moves with it as one piece.
    pub riders: Vec<usize>,
    /// The spacers or soft mounts it stands on.
    pub stand_off: Option<usize>,
    /// What else shares its seat.
    pub fixings: Vec<usize>,
    /// Screws that close the stack over it.
    pub caps: Vec<usize>,
}

impl Unit {
    /// Every place that goes with it, itself first.
    pub fn places(&self) -> impl Iterator<Item = usize> + '_ {
        let others = self.riders.iter().chain(&self.stand_off).chain(&self.fixings).chain(&self.caps);
        [self.place].into_iter().chain(others.copied())
    }
}

/// How the part at a place can be seated elsewhere, if it can.
pub(crate) fn sort_of(proof: &Proof, number: usize) -> Option<Sort> {
    let Placed { place, part } = proof.placed_number(number)?;
    proof.inputs().seat(number)?;
    let Some(Anchor::Feature(under, feature)) = &place.on else { return None };
    let holder = proof.placed_at(under)?.part;
    match part.kind {
        PartKind::FlightController
        | PartKind::SpeedController
        | PartKind::IntegratedBoard
        | PartKind::VideoTransmitter
        | PartKind::Adapter => {
            super::deck::clamped_faces(part, part.rows(&shape::pattern::TABLE).next().as_ref())?;
            holder.row_named(&shape::pattern::TABLE, feature).map(|_| Sort::Board)
        }
        PartKind::Camera => holder.row_named(&frame::camera_mount::TABLE, feature).map(|_| Sort::Camera),
        PartKind::Antenna => holder.row_named(&frame::antenna_mount::TABLE, feature).map(|_| Sort::Antenna),
        _ => None,
    }
}

/// The places that can be seated elsewhere.
pub(crate) fn movable(proof: &Proof) -> Vec<usize> {
    (0..proof.craft.places.len()).filter(|number| sort_of(proof, *number).is_some()).collect()
}

/// Of these, the ones that broken or tight findings of the dry fit concern, with all that goes with them.
pub(crate) fn concerned(proof: &Proof, movable: &[usize], findings: &[Finding]) -> Vec<usize> {
    let units = gather(proof, movable);
    let bad = |finding: &&Finding| {
        finding.rule.starts_with("fit.") && matches!(finding.verdict, Verdict::Broken | Verdict::Tight)
    };
    let named: Vec<&PlaceId> = findings.iter().filter(bad).flat_map(|finding| &finding.places).collect();
    let touched = |unit: &Unit| unit.places().any(|number| named.contains(&&proof.craft.places[number].id));
    units.iter().filter(|unit| touched(unit)).map(|unit| unit.place).collect()
}

/// The units of these places, each with what goes along.
pub(crate) fn gather(proof: &Proof, chosen: &[usize]) -> Vec<Unit> {
    let mut units: Vec<Unit> = chosen
        .iter()
        .filter_map(|number| {
            let sort = sort_of(proof, *number)?;
            let (riders, fixings, caps) = (Vec::new(), Vec::new(), Vec::new());
            Some(Unit { place: *number, sort, riders, stand_off: None, fixings, caps })
        })
        .collect();
    let mut owner: Vec<Option<usize>> = vec![None; proof.craft.places.len()];
    for (unit, known) in units.iter().enumerate() {
        owner[known.place] = Some(unit);
    }
    for (number, owner) in owner.iter_mut().enumerate().filter(|(_, owner)| owner.is_none()) {
        if let Some(unit) = shares_seat(proof, &units, number) {
            *owner = Some(unit);
            fixed_with(proof, &mut units[unit], number);
        }
    }
    for number in 0..owner.len() {
        if owner[number].is_some() {
            continue;
        }
        let Some(unit) = rides_on(proof, &owner, number) else { continue };
        let direct = proof.craft.places[number].on.as_ref().and_then(Anchor::place)
            == Some(&proof.craft.places[units[unit].place].id);
        let known = &mut units[unit];
        if direct
            && known.sort == Sort::Board
            && is_kind(proof, number, PartKind::Screw)
            && !flipped(proof, number)
        {
            known.caps.push(number);
        } else {
            known.riders.push(number);
        }
    }
    units
}

/// The unit with which a place shares its seat: of several the lowest.
fn shares_seat(proof: &Proof, units: &[Unit], number: usize) -> Option<usize> {
    let Placed { place, part } = proof.placed_number(number)?;
    let on = place.on.as_ref().filter(|on| matches!(on, Anchor::Feature(..)))?;
    let goes = |sort: Sort| match sort {
        Sort::Board => matches!(part.kind, PartKind::Spacer | PartKind::SoftMount | PartKind::Screw),
        Sort::Camera => part.kind == PartKind::Screw,
        Sort::Antenna => part.kind == PartKind::Pigtail,
    };
    let all = units.iter().enumerate();
    all.filter(|(_, unit)| proof.craft.places[unit.place].on.as_ref() == Some(on) && goes(unit.sort))
        .min_by(|a, b| height(proof, a.1.place).total_cmp(&height(proof, b.1.place)))
        .map(|(unit, _)| unit)
}

fn fixed_with(proof: &Proof, unit: &mut Unit, number: usize) {
    let stands = is_kind(proof, number, PartKind::Spacer) || is_kind(proof, number, PartKind::SoftMount);
    let over = height(proof, number) > height(proof, unit.place) && !flipped(proof, number);
    let on_board = proof.craft.places[unit.place].on.as_ref().and_then(Anchor::place).is_some_and(|under| {
        proof.number_of(under).is_some_and(|under| sort_of(proof, under) == Some(Sort::Board))
            && proof.placed_at(under).is_none_or(|placed| placed.part.kind != PartKind::Adapter)
    });
    if unit.sort == Sort::Board && stands && unit.stand_off.is_none() {
        unit.stand_off = Some(number);
    } else if unit.sort == Sort::Board && is_kind(proof, number, PartKind::Screw) && over && on_board {
        unit.caps.push(number);
    } else {
        unit.fixings.push(number);
    }
}

/// The unit a place is seated on in the end.
fn rides_on(proof: &Proof, owner: &[Option<usize>], number: usize) -> Option<usize> {
    let mut at = number;
    for _ in 0..craft::limits::SEATS_DEEP_MAX {
        at = proof.number_of(proof.craft.places[at].on.as_ref()?.place()?)?;
        if let Some(unit) = owner[at] {
            return Some(unit);
        }
    }
    None
}

fn is_kind(proof: &Proof, number: usize, kind: PartKind) -> bool {
    proof.part_of(number).is_some_and(|part| part.kind == kind)
}

/// The height of a place over its seat, in mm.
pub(crate) fn height(proof: &Proof, number: usize) -> f64 {
    length(proof, number, &place_schema::Z)
}

/// A coordinate of a place, in mm.
pub(crate) fn length(proof: &Proof, number: usize, field: &craft::schema::Field<Millimetres>) -> f64 {
    proof.craft.places[number].value(field).map_or(0.0, |value| value.get())
}

/// A turn of a place, in degrees.
pub(crate) fn angle(proof: &Proof, number: usize, field: &craft::schema::Field<Degrees>) -> f64 {
    proof.craft.places[number].value(field).map_or(0.0, |value| value.get())
}

/// Whether a place is turned over.
pub(crate) fn flipped(proof: &Proof, number: usize) -> bool {
    proof.craft.places[number].is_marked(&place_schema::FLIPPED)
}
