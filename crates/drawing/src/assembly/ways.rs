//! What closes the way of a part onto its seat, and which screws hold it there.
//!
//! A screw goes in straight along its own axis, and the key with it: its head, swept outward as far as a short key and the hand want, must
//! meet nothing. A board, an adapter, a spacer or what holds a plug goes straight onto its seat, and only where that is closed for good
//! from beside it; anything else may come along any axis of the craft or of its own. A screw holds what its shank passes.
//!
//! Left out: ways that turn a corner. Leads bend, and swept discs and room for plugs are only air: none of these closes a way. Soft
//! antennas of control receivers are bent aside.

use super::boxed::{Boxed, boxed};
use super::custom::{Mover, Pieces, is_screw};
use craft::schema::{PartKind, fixing};
use fit::{BodyVector, InPart, PartPoint, PartVector, Role, Shape, Solid, Thread, meets_after, overlap};
use proof::{CraftSolid, Piece, Proof, Proved};
use quantity::Millimetres;
use std::cell::RefCell;
use std::collections::HashMap;

/// Farther than any craft is long, in mm.
const BEYOND: f64 = 1_000.0;
/// Room for a screw and the short arm of a key over its head, in mm. Common practice: such arms are 13 to 20 mm long, and no screw of a
/// craft is longer than this.
pub(super) const KEY: f64 = 35.0;
/// By how much a head is taken narrower than drawn, in mm: what only grazes it does not close its way.
const GRAZES: f64 = 0.1;
/// How far beside its shank a screw still holds what it passes, in mm: the widest holes leave so much.
const BESIDE: f64 = 0.6;
/// Two boxes nearer than this may meet, in mm.
const TOUCH: f64 = 0.01;

/// One way off a seat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Way {
    pub along: BodyVector,
    /// 0 for how such a part usually comes, 1 for ways that serve where that is closed for good.
    pub choice: usize,
}

/// What was asked once: a mover, its way by the bits of its numbers, and what may be on it.
type Asked = (usize, [u64; 3], usize);

/// The ways of all that is put on.
pub(super) struct Ways<'a> {
    proved: &'a Proved,
    /// What moves of each mover: the heads of screws, else all that is solid.
    moving: Vec<Vec<Solid>>,
    /// What stands in the way of others, with the box round it.
    standing: Vec<Vec<(usize, Boxed)>>,
    /// Along what each may come off, from its seat outward.
    off: Vec<Vec<Way>>,
    /// The shanks of screws.
    shanks: Vec<Vec<Solid>>,
    /// Whether each is made to be screwed on.
    has_holes: Vec<bool>,
    met: RefCell<HashMap<Asked, bool>>,
}

impl<'a> Ways<'a> {
    pub fn of(proof: &Proof, proved: &'a Proved, movers: &[&Mover]) -> Self {
        let solid = |number: &usize| &proved.solids[*number];
        let bodies = |mover: &Mover| -> Vec<usize> {
            mover.solids.iter().copied().filter(|number| is_solid(solid(number))).collect()
        };
        let heads = |mover: &Mover| -> Vec<Solid> {
            bodies(mover).iter().filter_map(|number| narrowed(&solid(number).solid)).collect()
        };
        let moving = movers.iter().map(|mover| match is_screw(proof, mover.place) {
            true => heads(mover),
            false => bodies(mover).iter().map(|number| solid(number).solid.clone()).collect(),
        });
        let standing = movers
            .iter()
            .map(|mover| bodies(mover).into_iter().map(|n| (n, boxed(&proved.solids[n].solid))).collect());
        Self {
            proved,
            moving: moving.collect(),
            standing: standing.collect(),
            off: movers.iter().map(|mover| off(proof, proved, mover)).collect(),
            shanks: movers.iter().map(|mover| shanks(proof, proved, mover)).collect(),
            has_holes: movers.iter().map(|mover| has_holes(proof, mover)).collect(),
            met: RefCell::default(),
        }
    }

    /// Along what a mover may come off; nothing for what has no body.
    pub fn off(&self, mover: usize) -> &[Way] {
        if self.moving[mover].is_empty() { &[] } else { &self.off[mover] }
    }

    /// How far off its seat the way of a mover must be free, in mm.
    fn far(&self, mover: usize) -> f64 {
        if self.shanks[mover].is_empty() { BEYOND } else { KEY }
    }

    /// Whether one mover meets another on its way off along a direction.
    pub fn meets(&self, mover: usize, way: BodyVector, other: usize) -> bool {
        let key = (mover, way.coordinates().map(f64::to_bits), other);
        if let Some(known) = self.met.borrow().get(&key) {
            return *known;
        }
        let far = self.far(mover);
        let meets = self.moving[mover].iter().any(|moving| {
            let own = boxed(moving);
            let swept = own.with(own.moved(way.coordinates().map(|along| along * far)));
            self.standing[other].iter().any(|(number, at)| {
                let near =
                    (0..3).all(|k| swept.low[k] <= at.high[k] + TOUCH && at.low[k] <= swept.high[k] + TOUCH);
                let solid = &self.proved.solids[*number].solid;
                near && meets_after(moving, solid, way, Millimetres::new(far)).is_some()
            })
        });
        self.met.borrow_mut().insert(key, meets);
        meets
    }

    /// How much room there is over the heads of a screw before they meet one of the others, in mm; nothing where none is over them.
    pub fn room_over(&self, screw: usize, others: &[usize]) -> Option<f64> {
        let way = self.off(screw).first()?.along;
        let solid = |number: &usize| &self.proved.solids[*number].solid;
        let heads = self.standing[screw].iter().map(|(number, _)| solid(number));
        let over = |head: &Solid| {
            let all = others.iter().flat_map(|other| self.standing[*other].iter());
            let met =
                all.filter_map(|(number, _)| meets_after(head, solid(number), way, Millimetres::new(BEYOND)));
            met.map(Millimetres::get).reduce(f64::min)
        };
        heads.filter_map(over).reduce(f64::min)
    }

    /// The solids of another that a mover meets on its way off along a direction, by number.
    pub fn met(&self, mover: usize, way: BodyVector, other: usize) -> Vec<usize> {
        let meets = |(number, _): &&(usize, Boxed)| {
            let solid = &self.proved.solids[*number].solid;
            let all = self.moving[mover].iter();
            all.into_iter()
                .any(|own| meets_after(own, solid, way, Millimetres::new(self.far(mover))).is_some())
        };
        self.standing[other].iter().filter(meets).map(|(number, _)| *number).collect()
    }

    /// Whether a screw holds a mover: its shank passes it, and it does not lie under it. What has no holes no screw holds.
    pub fn holds(&self, screw: usize, other: usize) -> bool {
        if !self.has_holes[other] {
            return false;
        }
        let passes = self.shanks[screw].iter().any(|shank| {
            let own = boxed(shank);
            self.standing[other].iter().any(|(number, at)| {
                (0..3).all(|k| own.low[k] <= at.high[k] && at.low[k] <= own.high[k])
                    && overlap(shank, &self.proved.solids[*number].solid)
            })
        });
        passes && !self.off(screw).iter().any(|way| self.meets(screw, way.along, other))
    }
}

/// Whether a mover is made to be screwed on; a pack is strapped, a capacitor tied, a receiver glued.
fn has_holes(proof: &Proof, mover: &Mover) -> bool {
    let kind = proof.part_of(mover.place).map(|part| part.kind);
    !matches!(
        kind,
        Some(
            PartKind::Pack
                | PartKind::Capacitor
                | PartKind::ControlReceiver
                | PartKind::Lens
                | PartKind::Antenna
                | PartKind::Blades
                | PartKind::Relief
        )
    )
}

/// Whether a solid closes ways: it is there, and it is stiff.
pub(super) fn is_solid(solid: &CraftSolid) -> bool {
    let bends = matches!(
        solid.solid.role,
        Role::BladeSweep
            | Role::PlugPullSpace
            | Role::KeepOut
            | Role::RearRoom
            | Role::Harness
            | Role::Coax
            | Role::Strap
            | Role::ControlAntenna
    );
    !solid.ghost && !bends
}

/// The middle of a head, a little narrower than it is: sizes drawn a tenth too large do not make it stand in another solid.
fn narrowed(head: &Solid) -> Option<Solid> {
    let Shape::Cylinder(cylinder) = &head.shape else { return Some(head.clone()) };
    let radius = (cylinder.radius().get() - GRAZES).max(cylinder.radius().get() / 2.0);
    let shape =
        Shape::cylinder(Millimetres::new(radius), Millimetres::new(cylinder.length().get() / 4.0)).ok()?;
    Some(Solid { shape, drifts: Vec::new(), ..head.clone() })
}

/// Along what a mover comes off its seat.
fn off(proof: &Proof, proved: &Proved, mover: &Mover) -> Vec<Way> {
    let kind = proof.part_of(mover.place).map(|part| part.kind);
    let upright = |number: &usize| proved.solids[*number].solid.pose.vector(PartVector::Z);
    let usual = |along: BodyVector| Way { along, choice: 0 };
    if kind == Some(PartKind::Screw) {
        return mover.solids.first().map(upright).map(usual).into_iter().collect();
    }
    if matches!(mover.pieces, Pieces::TopPlates | Pieces::Duct) {
        return vec![usual(BodyVector::Z)];
    }
    let seat = proof.inputs().seat(mover.place);
    let both = |axis: BodyVector| [axis, -axis];
    let goes_onto_its_seat = matches!(
        kind,
        Some(
            PartKind::FlightController
                | PartKind::SpeedController
                | PartKind::IntegratedBoard
                | PartKind::VideoTransmitter
                | PartKind::Adapter
                | PartKind::Spacer
                | PartKind::SoftMount
                | PartKind::Relief
        )
    );
    let own = seat.map(|seat| [PartVector::Z, PartVector::X, PartVector::Y].map(|a| seat.pose.vector(a)));
    let anchor = seat.map(|seat| seat.anchor.vector(PartVector::Z));
    let others = [BodyVector::Z, BodyVector::X, BodyVector::Y].into_iter().chain(own.into_iter().flatten());
    let mut ways: Vec<Way> = anchor.into_iter().flat_map(both).map(usual).collect();
    let choice = usize::from(goes_onto_its_seat);
    for along in others.flat_map(both) {
        if !ways.iter().any(|known| known.along.dot(along) > 1.0 - 1e-9) {
            ways.push(Way { along, choice });
        }
    }
    ways
}

/// The shanks of the screws at a place, from under the head to the tip; none where thread or length is not known.
fn shanks(proof: &Proof, proved: &Proved, mover: &Mover) -> Vec<Solid> {
    let Some(part) = proof.part_of(mover.place).filter(|part| part.kind == PartKind::Screw) else {
        return Vec::new();
    };
    let thread = part.item().text(&fixing::THREAD).ok().and_then(Thread::named);
    let length = part.item().read(&fixing::SCREW_LENGTH).ok().map(|length| length.value.get());
    let (Some(thread), Some(length)) = (thread, length) else { return Vec::new() };
    let radius = thread.diameter.get() / 2.0 + BESIDE;
    let Ok(shape) = Shape::cylinder(Millimetres::new(radius), Millimetres::new(length)) else {
        return Vec::new();
    };
    let heads = mover.solids.iter().map(|number| &proved.solids[*number]);
    heads
        .filter(|head| matches!(head.piece, Piece::OneOf(_)))
        .map(|head| {
            let under = height(&head.solid) / 2.0;
            let middle = InPart::at(PartPoint::new(0.0, 0.0, -under - length / 2.0));
            Solid {
                shape: shape.clone(),
                pose: head.solid.pose * middle,
                drifts: Vec::new(),
                ..head.solid.clone()
            }
        })
        .collect()
}

/// How tall the head of a screw is, in mm.
fn height(head: &Solid) -> f64 {
    match &head.shape {
        Shape::Cylinder(cylinder) => cylinder.length().get(),
        _ => 0.0,
    }
}
