//! Where the shafts of two screws would have to be in one place: in one hole, or across each other.
//!
//! A shaft is a rod of the thread's diameter, 0.1 mm less on each side so that two that graze are not told, from under the head to the tip. Two
//! screws that come into one post from its two ends are left out: how far each may go the rule of screw lengths says.

use crate::inputs::{CraftSolid, Piece};
use crate::{Placed, Proof};
use craft::PlaceId;
use craft::schema::{PartKind, fixing};
use fit::{BodyVector, InPart, PartPoint, PartVector, Role, Shape, Solid, Thread, overlap};
use quantity::Millimetres;

/// How much narrower than its thread a shaft is taken, on each side, in mm.
const GRAZES: f64 = 0.1;
/// Axes whose directions agree this well are one, as a cosine.
const PARALLEL: f64 = 0.999;

/// The shafts at one place.
struct Shafts<'a> {
    placed: Placed<'a>,
    way: BodyVector,
    shafts: Vec<Solid>,
}

/// Two places whose screws meet.
pub(crate) struct Meeting<'a> {
    pub one: Placed<'a>,
    pub other: Placed<'a>,
    /// How many of their screws meet one of the other's.
    pub count: usize,
    /// Whether they are in one line: in one hole.
    pub in_one_hole: bool,
}

/// Every two places whose screws meet, in the order of the craft; and how many screws were looked at.
pub(crate) fn meetings<'a>(proof: &Proof<'a>) -> (Vec<Meeting<'a>>, usize) {
    let all: Vec<Shafts<'a>> = proof.places_of(PartKind::Screw).filter_map(|at| shafts(proof, at)).collect();
    let mut met = Vec::new();
    for (number, one) in all.iter().enumerate() {
        for other in &all[number + 1..] {
            if from_both_ends(one, other) {
                continue;
            }
            let meets =
                |shaft: &&Solid| other.shafts.iter().any(|its| near(shaft, its) && overlap(shaft, its));
            let count = one.shafts.iter().filter(meets).count();
            if count > 0 {
                let in_one_hole = one.way.dot(other.way).abs() > PARALLEL;
                met.push(Meeting { one: one.placed, other: other.placed, count, in_one_hole });
            }
        }
    }
    let count = all.iter().map(|at| at.shafts.len()).sum();
    (met, count)
}

/// The places whose screws are in holes of the screws at a place, each with in how many.
pub fn screws_in_holes_of(proof: &Proof, place: &PlaceId) -> Vec<(PlaceId, usize)> {
    let (met, _) = meetings(proof);
    let other = |meeting: Meeting| match (&meeting.one.place.id, &meeting.other.place.id) {
        _ if !meeting.in_one_hole => None,
        (one, other) if one == place => Some((other.clone(), meeting.count)),
        (one, other) if other == place => Some((one.clone(), meeting.count)),
        _ => None,
    };
    met.into_iter().filter_map(other).collect()
}

fn shafts<'a>(proof: &Proof<'a>, placed: Placed<'a>) -> Option<Shafts<'a>> {
    let item = placed.part.item();
    let thread = item.text(&fixing::THREAD).ok().and_then(Thread::named)?;
    let length = item.read(&fixing::SCREW_LENGTH).ok()?.value;
    let number = proof.number_of(&placed.place.id)?;
    let way = -proof.inputs().seat(number)?.pose.vector(PartVector::Z);
    let radius = Millimetres::new(thread.diameter.get() / 2.0 - GRAZES);
    let shape = Shape::cylinder(radius, length).ok()?;
    let is_head =
        |solid: &CraftSolid| solid.solid.role == Role::ScrewHead && matches!(solid.piece, Piece::OneOf(_));
    let heads = proof.inputs().solids_of(number).filter(|(_, solid)| is_head(solid));
    let shaft = |(_, head): (_, &CraftSolid)| {
        let under = match &head.solid.shape {
            Shape::Cylinder(cylinder) => cylinder.length().get() / 2.0,
            _ => 0.0,
        };
        let middle = InPart::at(PartPoint::new(0.0, 0.0, -under - length.get() / 2.0));
        Solid {
            shape: shape.clone(),
            pose: head.solid.pose * middle,
            drifts: Vec::new(),
            ..head.solid.clone()
        }
    };
    Some(Shafts { placed, way, shafts: heads.map(shaft).collect() })
}

/// Whether two screws on one seat look at each other.
fn from_both_ends(one: &Shafts, other: &Shafts) -> bool {
    one.way.dot(other.way) < -PARALLEL && one.placed.place.on == other.placed.place.on
}

/// Whether two rods can meet at all.
fn near(one: &Solid, other: &Solid) -> bool {
    let reach = |solid: &Solid| match &solid.shape {
        Shape::Cylinder(cylinder) => cylinder.length().get() / 2.0 + cylinder.radius().get(),
        _ => 0.0,
    };
    one.pose.origin().distance_to(other.pose.origin()).get() <= reach(one) + reach(other)
}
