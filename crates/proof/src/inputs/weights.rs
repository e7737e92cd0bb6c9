//! What everything weighs and where the craft balances.
//!
//! A part's mass is spread evenly over its solids (spaces and plugs left out); a part without a solid is
//! counted where it is seated; a lead halfway between the two plugs it joins. Screws count once each.
//! What has no mass yet is named, so that a rule can say how much the result is worth.
//!
//! Moments of inertia about the balance point along the craft's own axes: I_x = Σ (own I_x + m·(y² + z²)) and so
//! on round, parts by the parallel-axis theorem. They follow a mass by (own I)/m + distance², and a place by
//! 2·m·distance times its movement; that the balance point moves too counts only in second order, since Σ m·distance
//! is nought. How a part's own moment follows its sizes is left out: it is small against its distance.

use super::Inputs;
use crate::engine::Proof;
use craft::schema::{PartKind, frame, place as place_schema};
use craft::{Missing, PlugRef};
use fit::{Balance, BodyPoint, MassProperties, Role, Shape, Solid, WeighedPart, balance};
use quantity::{FactIndex, Grams, Linear, Millimetres};

/// The weight of a craft.
#[derive(Clone, Debug)]
pub struct Weights {
    /// Mass, balance point and inertia of what has a mass; `None` when nothing has.
    pub balance: Option<Balance>,
    /// Moments of inertia about x, y and z through the balance point, in g·mm², with the facts they rest on.
    pub inertia: [Linear; 3],
    /// Masses nobody knows yet.
    pub missing: Vec<Missing>,
}

/// Side of the small cube that stands for a part without a solid, in mm.
const POINT_SIZE: f64 = 1.0;

/// Moments of inertia about the three axes through a place.
fn inertia(parts: &[WeighedPart], about: BodyPoint) -> [Linear; 3] {
    let mut sums = [0.0; 3];
    let mut slopes: [Vec<(FactIndex, f64)>; 3] = Default::default();
    for part in parts.iter().filter(|part| part.mass.value > 0.0) {
        let mass = Grams::new(part.mass.value);
        let own = MassProperties::part(part.solids.iter().copied(), mass).inertia_about(about);
        let volume: f64 = part.solids.iter().map(|solid| solid.shape.volume_mm3()).sum();
        for axis in 0..3 {
            let whole = own[axis][axis].get();
            sums[axis] += whole;
            slopes[axis]
                .extend(part.mass.slopes.iter().map(|(fact, slope)| (*fact, slope * whole / mass.get())));
        }
        for solid in &part.solids {
            let share = mass * (solid.shape.volume_mm3() / volume);
            let middle = MassProperties::filled(&solid.shape, solid.pose, share).centre;
            let lever = (middle - about).coordinates();
            for drift in &solid.drifts {
                let moves = drift.field.displacement(middle).coordinates();
                for (axis, slopes) in slopes.iter_mut().enumerate() {
                    let (j, k) = ((axis + 1) % 3, (axis + 2) % 3);
                    let slope = 2.0 * share.get() * (lever[j] * moves[j] + lever[k] * moves[k]);
                    slopes.push((drift.fact, slope));
                }
            }
        }
    }
    let sum = |axis: usize| {
        let leans = Linear { value: 0.0, slopes: slopes[axis].clone() };
        // Chaining adds up what several drifts say of one fact.
        Linear::chained(sums[axis], &[(1.0, &leans)])
    };
    [sum(0), sum(1), sum(2)]
}

impl Inputs {
    /// Weighs the craft: every place whose part flies.
    pub(crate) fn weights(&self, proof: &Proof) -> Weights {
        let mut missing = Vec::new();
        let mut points: Vec<(usize, Solid, Linear)> = Vec::new();
        let mut solid_parts: Vec<(usize, Linear)> = Vec::new();
        for (number, place) in proof.craft.places.iter().enumerate() {
            let Some(part) = proof.part_of(number) else { continue };
            if part.kind.stays_on_the_ground() {
                continue;
            }
            let mass = match part.item().read(&frame::MASS) {
                Ok(reading) => {
                    Linear { value: reading.value.get(), slopes: vec![(proof.enter(&reading), 1.0)] }
                }
                Err(lack) => {
                    missing.push(lack);
                    continue;
                }
            };
            let count = if part.kind == PartKind::Screw {
                place.item().count(&place_schema::COUNT).unwrap_or(1)
            } else {
                1
            };
            let mass = mass * f64::from(count);
            if self.heavy_solids(number).next().is_some() {
                solid_parts.push((number, mass));
            } else if let Some(at) = self
                .middle_of_lead(proof, number)
                .or_else(|| self.seat(number).map(|seat| seat.pose.origin()))
            {
                let Ok(shape) = Shape::cuboid(
                    Millimetres::new(POINT_SIZE),
                    Millimetres::new(POINT_SIZE),
                    Millimetres::new(POINT_SIZE),
                ) else {
                    continue;
                };
                let solid = Solid {
                    name: part.name.clone(),
                    owner: super::owner(number),
                    role: Role::Other,
                    shape,
                    pose: fit::Pose::at(at),
                    drifts: Vec::new(),
                };
                points.push((number, solid, mass));
            }
        }
        let weighed: Vec<WeighedPart> = solid_parts
            .into_iter()
            .map(|(number, mass)| WeighedPart { solids: self.heavy_solids(number).collect(), mass })
            .chain(
                points.iter().map(|(_, solid, mass)| WeighedPart { solids: vec![solid], mass: mass.clone() }),
            )
            .collect();
        missing.sort();
        missing.dedup();
        let balance = (!weighed.is_empty()).then(|| balance(&weighed));
        let inertia =
            balance.as_ref().map_or_else(Default::default, |balance| inertia(&weighed, balance.whole.centre));
        Weights { balance, inertia, missing }
    }

    /// The solids of a place that carry its weight. Blades weigh where their disc is.
    fn heavy_solids(&self, place: usize) -> impl Iterator<Item = &Solid> {
        self.solids_of(place).map(|(_, s)| &s.solid).filter(|solid| {
            !matches!(
                solid.role,
                Role::PlugPullSpace
                    | Role::KeepOut
                    | Role::RearRoom
                    | Role::Plug
                    | Role::BareConductor
                    | Role::TransmitterHotFace
            )
        })
    }

    /// Halfway between the two plugs a lead joins.
    fn middle_of_lead(&self, proof: &Proof, number: usize) -> Option<BodyPoint> {
        let item = proof.craft.places.get(number)?.item();
        let end = |field| {
            let at = PlugRef::read(item.text(field).ok()?)?;
            let place = proof.number_of(&at.place)?;
            let part = proof.part_of(place)?;
            let row =
                part.rows(&craft::schema::shape::plug::TABLE).position(|row| row.name() == Some(&at.plug))?;
            let piece = super::Piece::Row(craft::schema::shape::plug::TABLE.key, row);
            let (index, _) = self.solids_of(place).find(|(_, s)| s.piece == piece)?;
            self.scene.extent(index).map(|extent| (extent.low, extent.high))
        };
        let ends: Vec<BodyPoint> = [end(&place_schema::FROM), end(&place_schema::TO)]
            .into_iter()
            .flatten()
            .flat_map(|(low, high)| [low, high])
            .collect();
        let first = *ends.first()?;
        let sum = ends.iter().fold(fit::BodyVector::ZERO, |sum, at| sum + (*at - first));
        Some(first + sum * (1.0 / ends.len() as f64))
    }
}

#[cfg(test)]
#[path = "weights_tests.rs"]
mod tests;
