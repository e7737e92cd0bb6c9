//! How far each camera can be tilted in its mount, and how it would be in the other mounts of the craft.
//!
//! What is seated on the camera turns with it, about the axis of its side screws: the y axis of the camera as its
//! place turns it, before tilt and roll. A tilt counts as free where every pair keeps the air its roles ask for.
//! Tilts from [`TILT_LEAST`] to [`TILT_MOST`] are looked at. Another mount is tried by hanging the camera, with
//! all that is seated where it hangs, there; that is told by value alone. A print that holds the tilt, such as a wedge, is no stop:
//! how far it lets the camera turn is told beside.
//!
//! Left out: what the harness does meanwhile; `fit.harness_length` keeps slack for it.

use crate::inputs::{Contacts, holds_a_tilt};
use crate::limits::{TILT_LEAST, TILT_MOST, TILT_TO_STOP};
use crate::rules::rule_of;
use crate::{Placed, Proof};
use craft::schema::{PartKind, frame::camera_mount, place as place_schema};
use craft::{Anchor, Craft};
use fit::{
    Air, Body, BodyPoint, BodyVector, FreeTilt, InPart, PartPoint, PartVector, Placement, Role, Scene,
    SolidIndex, TiltEnd, TiltQuestion, free_tilts, tilt_room,
};
use quantity::{Degrees, Linear};
use std::collections::HashSet;

/// How far one camera can be tilted.
#[derive(Clone, Debug)]
pub struct CameraTilt {
    /// Number of its place in the craft.
    pub place: usize,
    /// The tilt that is set, in degrees.
    pub wanted: Linear,
    /// Where it hangs now.
    pub here: TiltSlot,
    /// The other mounts of the craft.
    pub others: Vec<TiltSlot>,
    /// What turns.
    pub turns: WhatTurns,
    /// The print that holds its tilt, where one stands under it.
    pub held: Option<HeldTilt>,
}

/// A print that holds the tilt of a camera, such as a wedge.
#[derive(Clone, Debug, PartialEq)]
pub struct HeldTilt {
    /// What it is called.
    pub by: String,
    /// Between which tilts it leaves the camera the air it needs, in degrees; none where at no tilt it does.
    pub between: Option<(f64, f64)>,
}

/// A tilt farther off than this is another way to fly, and no mend, in degrees.
const OTHER_TILT_MOST: f64 = 30.0;

impl CameraTilt {
    /// The tilt nearest to the wanted one that has ample room to both stops, where one is near.
    pub(crate) fn nearest_ample(&self) -> Option<f64> {
        let (ample, wanted) = (TILT_TO_STOP.tight, self.wanted.value);
        let inside = self.here.free.iter().filter_map(|free| {
            let low = free.low.angle.value + if free.low.stop.is_some() { ample } else { 0.0 };
            let high = free.high.angle.value - if free.high.stop.is_some() { ample } else { 0.0 };
            // Rounded inward to half a degree, which is what a protractor shows.
            let (low, high) = ((low * 2.0).ceil() / 2.0, (high * 2.0).floor() / 2.0);
            (low <= high).then(|| wanted.clamp(low, high))
        });
        let near = inside.filter(|tilt| (tilt - wanted).abs() <= OTHER_TILT_MOST);
        near.min_by(|a, b| (a - wanted).abs().total_cmp(&(b - wanted).abs()))
    }
}

/// What turns when a camera is tilted where it hangs, and about which axis.
#[derive(Clone, Debug)]
pub struct WhatTurns {
    /// The solids of the camera and of all that is seated on it.
    pub solids: Vec<SolidIndex>,
    /// Pairs of one of them and one that stands still which are meant to touch.
    pub meant: Vec<(SolidIndex, SolidIndex)>,
    /// A place on the axis.
    pub about: BodyPoint,
    /// Its direction, so that a growing tilt lifts the nose.
    pub axis: BodyVector,
}

/// One place a camera can hang in.
#[derive(Clone, Debug)]
pub struct TiltSlot {
    /// What it hangs in, as a seat is written: `frame/nose`.
    pub seat: String,
    /// What a person calls it.
    pub called: String,
    /// Every free interval, in order.
    pub free: Vec<FreeTilt>,
    /// For each interval what stops it at its lower and upper end.
    pub stops: Vec<[Option<TiltStopper>; 2]>,
    /// How far the set tilt lies from the nearer stop, in degrees: negative where it is not free. `None` where
    /// nothing stops it, or no tilt is free.
    pub room: Option<Linear>,
    /// How far the lens lies behind the cage's front at the set tilt, in mm, where that can be told.
    pub behind_mm: Option<f64>,
}

/// What stops a tilt, by name.
#[derive(Clone, Debug, PartialEq)]
pub struct TiltStopper {
    /// What turns.
    pub turning: String,
    /// What it meets.
    pub against: String,
}

impl TiltSlot {
    /// The end the set tilt is nearest to, with what stops it there.
    pub fn nearest_stop(&self, wanted: &Linear) -> Option<(&TiltEnd, &TiltStopper)> {
        let room = tilt_room(&self.free, wanted)?;
        let end = room.least()?.1;
        let ends = self.free.iter().zip(&self.stops);
        let mut all = ends.flat_map(|(free, stops)| [(&free.low, &stops[0]), (&free.high, &stops[1])]);
        all.find(|(other, _)| *other == end).and_then(|(end, stop)| Some((end, stop.as_ref()?)))
    }
}

/// Every camera that stands somewhere and has a body.
pub(crate) fn camera_tilts(proof: &Proof) -> Vec<CameraTilt> {
    proof.places_of(PartKind::Camera).filter_map(|camera| camera_tilt(proof, camera)).collect()
}

fn camera_tilt(proof: &Proof, camera: Placed) -> Option<CameraTilt> {
    let turned = Turned::of(proof, camera)?;
    let here = turned.slot(proof, &proof.inputs().scene, turned.turns.about);
    let others = if proof.is_trial() { Vec::new() } else { others(proof, camera) };
    let held = turned.held();
    Some(CameraTilt { place: turned.place, wanted: turned.wanted, here, others, turns: turned.turns, held })
}

/// A camera with what turns with it.
pub(crate) struct Turned<'p, 'a> {
    proof: &'p Proof<'a>,
    camera: Placed<'a>,
    place: usize,
    /// The tilt that is set.
    pub wanted: Linear,
    turns: WhatTurns,
}

impl<'p, 'a> Turned<'p, 'a> {
    /// `None` where the camera stands nowhere or its body cannot be made: that is told of it.
    pub fn of(proof: &'p Proof<'a>, camera: Placed<'a>) -> Option<Self> {
        let place = proof.number_of(&camera.place.id)?;
        let inputs = proof.inputs();
        let seat = inputs.seat(place)?;
        inputs.solids_of(place).find(|(_, s)| s.solid.role == Role::CameraBody)?;
        let item = camera.place.item();
        let angle = |field| item.read::<Degrees>(field).ok();
        let pitch = angle(&place_schema::PITCH)?;
        let yaw = angle(&place_schema::YAW)?.value;
        let none = Degrees::new(0.0);
        let flat = seat.anchor * InPart::turned(PartPoint::ORIGIN, yaw, none, none);
        let doubtful = pitch.doubt.plus > 0.0 || pitch.doubt.minus > 0.0;
        let wanted = if doubtful { proof.lean(&pitch) } else { Linear::exact(pitch.value.get()) };
        let solids: Vec<SolidIndex> = carried(proof, place)
            .into_iter()
            .flat_map(|number| inputs.solids_of(number).map(|(index, _)| index))
            .collect();
        let contacts = Contacts::of(proof);
        let all = inputs.solids.iter().enumerate();
        let meant = solids.iter().flat_map(|turning| {
            let a = &inputs.solids[turning.0 as usize];
            let touching = all.clone().filter(|(_, b)| b.place != a.place && contacts.meant(a, b));
            touching.map(|(n, _)| (*turning, SolidIndex(n as u32))).collect::<Vec<_>>()
        });
        let meant = meant.collect();
        let axis = -flat.vector(PartVector::Y);
        let turns = WhatTurns { solids, meant, about: seat.pose.origin(), axis };
        Some(Self { proof, camera, place, wanted, turns })
    }

    fn free(&self, scene: &Scene, about: BodyPoint) -> Vec<FreeTilt> {
        self.free_of(&self.turns, scene, about)
    }

    fn free_of(&self, turns: &WhatTurns, scene: &Scene, about: BodyPoint) -> Vec<FreeTilt> {
        let drifts = self.proof.inputs().seat(self.place).map_or(&[][..], |seat| &seat.drifts);
        let question = TiltQuestion {
            turning: &turns.solids,
            about,
            axis: turns.axis,
            axis_drifts: drifts,
            stands_at: &self.wanted,
            from: TILT_LEAST,
            to: TILT_MOST,
            meant: &turns.meant,
            air: Air::ByRole,
        };
        free_tilts(scene, &question).unwrap_or_default()
    }

    /// How far a print that holds the tilt lets the camera turn: to the other side nothing but it is asked.
    fn held(&self) -> Option<HeldTilt> {
        let inputs = self.proof.inputs();
        let of_print = |solid: &SolidIndex| {
            let place = inputs.solids[solid.0 as usize].place;
            self.proof.part_of(place).filter(|part| holds_a_tilt(part))
        };
        let by = self.turns.meant.iter().find_map(|(_, against)| of_print(against))?.name.clone();
        let meant: Vec<(SolidIndex, SolidIndex)> =
            self.turns.meant.iter().copied().filter(|(_, against)| of_print(against).is_none()).collect();
        let turns = WhatTurns { meant, ..self.turns.clone() };
        let free = self.free_of(&turns, &inputs.scene, turns.about);
        let room = tilt_room(&free, &self.wanted);
        let between = room.map(|room| (room.interval.low.angle.value, room.interval.high.angle.value));
        Some(HeldTilt { by, between })
    }

    fn slot(&self, proof: &Proof, scene: &Scene, about: BodyPoint) -> TiltSlot {
        let free = self.free(scene, about);
        let named = |index: SolidIndex| scene.solid(index).map_or(String::new(), |s| s.name.clone());
        let stopper = |end: &TiltEnd| {
            let stop = end.stop.as_ref()?;
            Some(TiltStopper { turning: named(stop.turning), against: named(stop.against) })
        };
        let stops = free.iter().map(|free| [stopper(&free.low), stopper(&free.high)]).collect();
        let room = tilt_room(&free, &self.wanted).and_then(|room| room.least().map(|(room, _)| room.clone()));
        let seat = self.camera.place.on.as_ref().map_or(String::new(), ToString::to_string);
        let called = match &self.camera.place.on {
            Some(Anchor::Feature(under, mount)) => proof
                .placed_at(under)
                .map_or(seat.clone(), |holder| format!("{mount} of {}", holder.part.name)),
            Some(Anchor::Place(under)) => {
                proof.placed_at(under).map_or(seat.clone(), |holder| holder.part.name.clone())
            }
            _ => "the craft's own frame".to_owned(),
        };
        TiltSlot { seat, called, free, stops, room, behind_mm: behind(proof, self.camera) }
    }

    /// By how much the camera must be moved along a direction, in whole half millimetres, so that the set tilt has
    /// this much room; `None` if no way up to `most` does it.
    pub fn moved_free(&self, way: BodyVector, ample: f64, most: f64) -> Option<f64> {
        let scene = &self.proof.inputs().scene;
        let steps = (1..).map(|n| f64::from(n) * 0.5).take_while(|by| *by <= most);
        let mut tried = steps.filter(|by| {
            let shift: Placement<Body, Body> = Placement::IDENTITY.shifted(way * *by);
            let Ok(moved) = scene.with_moved(&self.turns.solids, shift) else { return false };
            let free = self.free(&moved, self.turns.about + way * *by);
            free.iter().any(|free| {
                let low = free.low.stop.is_none() || self.wanted.value - free.low.angle.value >= ample;
                let high = free.high.stop.is_none() || free.high.angle.value - self.wanted.value >= ample;
                let inside = (free.low.angle.value..=free.high.angle.value).contains(&self.wanted.value);
                inside && low && high
            })
        });
        tried.next()
    }
}

/// A place and all that is seated on it, however high.
fn carried(proof: &Proof, place: usize) -> Vec<usize> {
    let mut carried = vec![place];
    let mut known = HashSet::from([place]);
    let mut next = 0;
    while let Some(&at) = carried.get(next) {
        next += 1;
        for (number, other) in proof.craft.places.iter().enumerate() {
            let on = other.on.as_ref().and_then(Anchor::place).and_then(|id| proof.number_of(id));
            if on == Some(at) && known.insert(number) {
                carried.push(number);
            }
        }
    }
    carried
}

/// How far the lens on a camera lies behind its cage, as the rule for it tells.
fn behind(proof: &Proof, camera: Placed) -> Option<f64> {
    let answer = (rule_of("fit.lens_behind_cage")?.run)(proof);
    let finding = answer.findings.into_iter().find(|finding| finding.places.contains(&camera.place.id))?;
    finding.margin.map(|margin| margin.quantity.value)
}

/// The same camera in every other mount of the craft.
fn others(proof: &Proof, camera: Placed) -> Vec<TiltSlot> {
    let Some(own) = &camera.place.on else { return Vec::new() };
    let mounts = proof.placed().flat_map(|holder| {
        let rows = holder.part.rows(&camera_mount::TABLE);
        rows.filter_map(|row| Some(Anchor::Feature(holder.place.id.clone(), row.name()?.to_owned())))
            .collect::<Vec<_>>()
    });
    let taken = |seat: &Anchor| proof.seated_on(seat).any(|placed| placed.part.kind == PartKind::Camera);
    let free = mounts.filter(|seat| seat != own && !taken(seat)).take(SLOTS_MAX);
    free.filter_map(|seat| {
        let changed = rehung(proof.craft, own, &seat);
        let trial = proof.trial(&changed);
        let camera = trial.placed_at(&camera.place.id)?;
        let turned = Turned::of(&trial, camera)?;
        Some(turned.slot(&trial, &trial.inputs().scene, turned.turns.about))
    })
    .collect()
}

/// Other mounts tried at most.
const SLOTS_MAX: usize = 8;

/// The craft with all that is seated on one mount seated on another.
fn rehung(craft: &Craft, from: &Anchor, to: &Anchor) -> Craft {
    let mut craft = craft.clone();
    let hung = craft.places.iter_mut().filter(|place| place.on.as_ref() == Some(from));
    hung.for_each(|place| place.on = Some(to.clone()));
    craft
}
