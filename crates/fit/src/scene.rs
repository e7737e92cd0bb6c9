//! All solids of a craft, checked and boxed, ready to be asked for distances.
//!
//! A scene is cheap to copy with a few solids moved, since shapes share their pieces: see
//! [`Scene::with_moved`] and [`crate::clearances_after`].

use crate::frame::{Body, BodyPoint, Placement};
use crate::outline::SIZE_MAX;
use crate::pairing::Pieces;
use crate::solid::{DriftField, Solid, SolidIndex};
use parry3d_f64::glamx::{DMat3, DVec3};
use thiserror::Error;

/// What is wrong with a solid.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum SolidFault {
    /// A pose that holds no number, or leads far outside any craft.
    #[error("\"{name}\": stands at {at:?} mm, but must stand within {SIZE_MAX} of the craft's origin")]
    NotAPlace {
        /// The solid.
        name: String,
        /// Its origin.
        at: BodyPoint,
    },
    /// A drift that holds no number.
    #[error("\"{name}\": how it moves with fact {fact} is no number")]
    NotADrift {
        /// The solid.
        name: String,
        /// The number of the fact.
        fact: u32,
    },
}

/// The box round a solid in the body frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extent {
    /// The least coordinates.
    pub low: BodyPoint,
    /// The greatest coordinates.
    pub high: BodyPoint,
}

impl Extent {
    /// How far two boxes are apart; nought if they meet.
    pub(crate) fn gap(&self, other: &Extent) -> f64 {
        let apart = (self.low.0 - other.high.0).max(other.low.0 - self.high.0);
        apart.max(DVec3::ZERO).length()
    }
}

/// The solids of a craft.
#[derive(Clone, Debug, Default)]
pub struct Scene {
    solids: Vec<Solid>,
    extents: Vec<Extent>,
}

impl Scene {
    /// Takes the solids; all that is wrong with them comes back.
    pub fn new(solids: Vec<Solid>) -> Result<Self, Vec<SolidFault>> {
        let faults: Vec<SolidFault> = solids.iter().flat_map(faults_of).collect();
        if !faults.is_empty() {
            return Err(faults);
        }
        let extents = solids.iter().map(extent).collect();
        Ok(Self { solids, extents })
    }

    /// The solids, in their order.
    pub fn solids(&self) -> &[Solid] {
        &self.solids
    }
    /// One solid; `None` for a number of another scene.
    pub fn solid(&self, index: SolidIndex) -> Option<&Solid> {
        self.solids.get(index.0 as usize)
    }
    /// The numbers of all solids.
    pub fn indices(&self) -> impl Iterator<Item = SolidIndex> + use<> {
        (0..self.solids.len() as u32).map(SolidIndex)
    }
    /// The box round a solid.
    pub fn extent(&self, index: SolidIndex) -> Option<Extent> {
        self.extents.get(index.0 as usize).copied()
    }
    pub(crate) fn extents(&self) -> &[Extent] {
        &self.extents
    }

    /// The same scene with some solids moved in the body frame, their drifts moved with them.
    pub fn with_moved(
        &self,
        which: &[SolidIndex],
        by: Placement<Body, Body>,
    ) -> Result<Scene, Vec<SolidFault>> {
        let moved = which.iter().filter_map(|index| {
            let mut solid = self.solid(*index)?.clone();
            solid.pose = by * solid.pose;
            for drift in &mut solid.drifts {
                drift.field = moved_field(drift.field, by);
            }
            Some((*index, solid))
        });
        self.with_replaced(moved)
    }

    /// The same scene with some solids replaced. Numbers of another scene are passed over.
    pub fn with_replaced(
        &self,
        solids: impl IntoIterator<Item = (SolidIndex, Solid)>,
    ) -> Result<Scene, Vec<SolidFault>> {
        let mut scene = self.clone();
        let mut faults = Vec::new();
        for (SolidIndex(at), solid) in solids {
            let at = at as usize;
            faults.extend(faults_of(&solid));
            if at < scene.solids.len() && faults.is_empty() {
                scene.extents[at] = extent(&solid);
                scene.solids[at] = solid;
            }
        }
        if faults.is_empty() { Ok(scene) } else { Err(faults) }
    }
}

fn moved_field(field: DriftField, by: Placement<Body, Body>) -> DriftField {
    match field {
        DriftField::Shift(v) => DriftField::Shift(by.vector(v)),
        DriftField::Stretch { from, axis, per_unit } => {
            DriftField::Stretch { from: by.point(from), axis: by.vector(axis), per_unit }
        }
        DriftField::Swell { from, axis, per_unit } => {
            DriftField::Swell { from: by.point(from), axis: by.vector(axis), per_unit }
        }
        DriftField::Step { from, axis, within, inner, outer } => {
            DriftField::Step { from: by.point(from), axis: by.vector(axis), within, inner, outer }
        }
        DriftField::Turn { about, axis, radians } => {
            DriftField::Turn { about: by.point(about), axis: by.vector(axis), radians }
        }
    }
}

pub(crate) fn faults_of(solid: &Solid) -> Vec<SolidFault> {
    let mut faults = Vec::new();
    let at = solid.pose.origin();
    if !solid.pose.is_finite() || at.0.abs().max_element() > SIZE_MAX.get() {
        faults.push(SolidFault::NotAPlace { name: solid.name.clone(), at });
    }
    faults.extend(
        solid
            .drifts
            .iter()
            .filter(|drift| !drift.field.is_finite())
            .map(|drift| SolidFault::NotADrift { name: solid.name.clone(), fact: drift.fact.0 }),
    );
    faults
}

fn extent(solid: &Solid) -> Extent {
    let (middle, half) = Pieces::filled(&solid.shape).node_box(0);
    let turn = DMat3::from_quat(solid.pose.raw.rotation);
    let middle = turn * middle + solid.pose.raw.translation;
    let half = match &solid.shape {
        // Exact for cylinders: along the unit axis e, r·√(1 − (e·z)²) + h·|e·z|.
        crate::Shape::Cylinder(c) => {
            let z = turn.z_axis.abs();
            let across = (DVec3::ONE - z * z).max(DVec3::ZERO).map(f64::sqrt);
            across * c.radius().get() + z * (c.length().get() / 2.0)
        }
        _ => DMat3::from_cols(turn.x_axis.abs(), turn.y_axis.abs(), turn.z_axis.abs()) * half,
    };
    Extent { low: BodyPoint::of(middle - half), high: BodyPoint::of(middle + half) }
}
