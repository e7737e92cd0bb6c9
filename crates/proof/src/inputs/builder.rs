//! Making solids in a part's frame from lengths that lean on facts.
//!
//! Every size and coordinate is a `Linear`: its value and how it follows each fact. From these the
//! builder makes the shape, puts it into the craft's frame and writes down how it moves with each fact.

use super::bodies::Material;
use super::seats::{Seat, linear, read_linear};
use super::{CraftSolid, Piece, Unbuilt, owner};
use crate::engine::Proof;
use craft::schema::Field;
use craft::{Item, Missing, Part, Place};
use fit::{Drift, DriftField, InPart, Outline, PartPoint, PartVector, Role, Shape, Solid};
use quantity::{Degrees, Linear, Millimetres};

/// Gathers the solids of one place.
pub(super) struct Builder<'a> {
    pub proof: &'a Proof<'a>,
    pub number: usize,
    pub place: &'a Place,
    pub part: &'a Part,
    pub seat: &'a Seat,
    /// Whether the part stands in other places too: its solids then carry the place's id.
    shared: bool,
    made: Vec<CraftSolid>,
    unbuilt: Vec<Unbuilt>,
}

/// What a solid is besides its shape.
#[derive(Clone, Debug)]
pub(super) struct Label {
    pub name: String,
    pub role: Role,
    pub material: Material,
    pub piece: Piece,
}

/// An axis of the part's frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Axis {
    X,
    Y,
    Z,
}

impl Axis {
    fn unit(self) -> PartVector {
        match self {
            Axis::X => PartVector::X,
            Axis::Y => PartVector::Y,
            Axis::Z => PartVector::Z,
        }
    }
}

/// How far the faces across one axis of an even, stepped outline lie from its middle.
pub(super) struct Edges {
    pub axis: Axis,
    pub inner: Linear,
    pub outer: Linear,
}

/// A length that rests on nothing.
pub(super) fn exact(value: f64) -> Linear {
    Linear { value, slopes: Vec::new() }
}

impl<'a> Builder<'a> {
    pub fn new(
        proof: &'a Proof<'a>,
        number: usize,
        place: &'a Place,
        part: &'a Part,
        seat: &'a Seat,
        shared: bool,
    ) -> Self {
        Self { proof, number, place, part, seat, shared, made: Vec::new(), unbuilt: Vec::new() }
    }

    pub fn done(self) -> (Vec<CraftSolid>, Vec<Unbuilt>) {
        (self.made, self.unbuilt)
    }

    /// A length of an item as a value that leans on its fact.
    pub fn length(&self, item: &Item<'_>, field: &Field<Millimetres>) -> Result<Linear, Missing> {
        read_linear(self.proof, item, field)
    }

    /// The same, or what custom says where the field is left out.
    pub fn length_or(&self, item: &Item<'_>, field: &Field<Millimetres>, custom: f64) -> Linear {
        item.read(field).map(|reading| linear(self.proof, &reading)).unwrap_or_else(|_| exact(custom))
    }

    /// Notes a piece that cannot be made for want of facts.
    pub fn lacks(&mut self, what: impl Into<String>, missing: impl IntoIterator<Item = Missing>) {
        let missing: Vec<Missing> = missing.into_iter().collect();
        self.unbuilt.push(Unbuilt {
            place: self.number,
            what: what.into(),
            missing,
            wrong: None,
            because: None,
        });
    }

    /// Notes a piece that cannot be made because a fact cannot be.
    pub fn refuse(&mut self, what: impl Into<String>, wrong: String) {
        self.unbuilt.push(Unbuilt {
            place: self.number,
            what: what.into(),
            missing: Vec::new(),
            wrong: Some(wrong),
            because: None,
        });
    }

    /// A box about `centre`.
    pub fn cuboid(&mut self, label: Label, centre: [Linear; 3], size: [Linear; 3]) {
        let shape = Shape::cuboid(mm(&size[0]), mm(&size[1]), mm(&size[2]));
        let mut drifts = self.shifts(&centre);
        let at = point(&centre);
        for (axis, side) in [Axis::X, Axis::Y, Axis::Z].into_iter().zip(&size) {
            self.stretch(&mut drifts, at, axis.unit(), side);
        }
        self.push(label, shape.map_err(|fault| fault.to_string()), InPart::at(at), drifts);
    }

    /// A cylinder about `centre` along an axis.
    pub fn cylinder(
        &mut self,
        label: Label,
        centre: [Linear; 3],
        axis: Axis,
        diameter: &Linear,
        length: &Linear,
    ) {
        let shape = Shape::cylinder(Millimetres::new(diameter.value / 2.0), mm(length));
        let at = point(&centre);
        let (turned, unit) = match axis {
            Axis::Z => (InPart::at(at), PartVector::Z),
            // The shape's own z is laid along the axis.
            Axis::X => (InPart::turned_about(at, PartVector::Y, Degrees::new(90.0)), PartVector::X),
            Axis::Y => (InPart::turned_about(at, PartVector::X, Degrees::new(-90.0)), PartVector::Y),
        };
        let mut drifts = self.shifts(&centre);
        let (from, along) = (self.seat.pose.point(at), self.seat.pose.vector(unit));
        for (fact, slope) in &diameter.slopes {
            drifts.push(Drift {
                fact: *fact,
                field: DriftField::Swell { from, axis: along, per_unit: slope / diameter.value },
            });
        }
        self.stretch(&mut drifts, at, unit, length);
        self.push(label, shape.map_err(|fault| fault.to_string()), turned, drifts);
    }

    /// A plate of an outline, put where `frame` says, its thickness growing from there.
    pub fn plate(
        &mut self,
        label: Label,
        outline: Result<Outline, String>,
        at: [Linear; 3],
        frame: InPart,
        thickness: &Linear,
    ) {
        self.stepped(label, outline, &[], at, frame, thickness);
    }

    /// The same, when the edges of the outline move with facts too.
    pub fn stepped(
        &mut self,
        label: Label,
        outline: Result<Outline, String>,
        edges: &[Edges],
        at: [Linear; 3],
        frame: InPart,
        thickness: &Linear,
    ) {
        let shape = outline
            .and_then(|outline| Shape::prism(outline, mm(thickness)).map_err(|fault| fault.to_string()));
        let mut drifts = self.shifts(&at);
        self.stretch(&mut drifts, frame.origin(), frame.vector(PartVector::Z), thickness);
        let from = self.seat.pose.point(frame.origin());
        for Edges { axis, inner, outer } in edges {
            let axis = self.seat.pose.vector(frame.vector(axis.unit()));
            let within = (inner.value + outer.value) / 2.0;
            let mut step = |fact, inner, outer| {
                drifts.push(Drift { fact, field: DriftField::Step { from, axis, within, inner, outer } });
            };
            inner.slopes.iter().for_each(|(fact, slope)| step(*fact, *slope, 0.0));
            outer.slopes.iter().for_each(|(fact, slope)| step(*fact, 0.0, *slope));
        }
        self.push(label, shape, frame, drifts);
    }

    fn shifts(&self, at: &[Linear; 3]) -> Vec<Drift> {
        let mut drifts = Vec::new();
        for (axis, along) in [PartVector::X, PartVector::Y, PartVector::Z].into_iter().zip(at) {
            let axis = self.seat.pose.vector(axis);
            drifts.extend(
                along
                    .slopes
                    .iter()
                    .map(|(fact, slope)| Drift { fact: *fact, field: DriftField::Shift(axis * *slope) }),
            );
        }
        drifts
    }

    fn stretch(&self, drifts: &mut Vec<Drift>, from: PartPoint, axis: PartVector, size: &Linear) {
        let (from, axis) = (self.seat.pose.point(from), self.seat.pose.vector(axis));
        for (fact, slope) in &size.slopes {
            drifts.push(Drift {
                fact: *fact,
                field: DriftField::Stretch { from, axis, per_unit: slope / size.value },
            });
        }
    }

    fn push(&mut self, label: Label, shape: Result<Shape, String>, frame: InPart, own: Vec<Drift>) {
        let shape = match shape {
            Ok(shape) => shape,
            Err(wrong) => return self.refuse(label.name, wrong),
        };
        let mut drifts = self.seat.drifts.clone();
        drifts.extend(own);
        drifts.retain(|drift| drift.field.is_finite());
        let ghost =
            matches!(label.role, Role::PlugPullSpace | Role::BladeSweep | Role::KeepOut | Role::RearRoom);
        self.made.push(CraftSolid {
            solid: Solid {
                name: if self.shared { format!("{} ({})", label.name, self.place.id) } else { label.name },
                owner: owner(self.number),
                role: label.role,
                shape,
                pose: self.seat.pose * frame,
                drifts,
            },
            place: self.number,
            material: label.material,
            ghost,
            piece: label.piece,
        });
    }
}

fn mm(length: &Linear) -> Millimetres {
    Millimetres::new(length.value)
}

fn point(at: &[Linear; 3]) -> PartPoint {
    PartPoint::new(at[0].value, at[1].value, at[2].value)
}
