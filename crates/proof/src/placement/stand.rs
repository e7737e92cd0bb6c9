//! One way for a unit to stand: its seat, turn, side and height, and where all that goes with it comes to lie.
//!
//! Over the near face of the seat the lower face of what is screwed lies S = h + δ high: h the height of spacers or
//! soft mounts, δ what the craft as it stands has beyond that (a washer, a tape). A board whose lower face is f over
//! its origin then stands at z = near + S − f; turned over, with its upper face g over the origin, at near + S + g.
//! Spacers begin at the near face, screws from below at the far face, screws from above at near + S + g − f; each
//! keeps what the craft as it stands has beyond that.

use super::deck::Holds;
use super::mover::{Mover, Side};
use super::unit::{Sort, angle, flipped, length};
use crate::Proof;
use craft::Anchor;
use craft::schema::place as place_schema;
use fit::{InPart, PartPoint, Pose};
use quantity::Degrees;
use std::rc::Rc;

/// What a unit is seated on: something that stays, or another unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(crate) enum Seat {
    /// One of the slots that stay where they are.
    Slot(usize),
    /// One of the decks of another unit.
    Unit { unit: usize, deck: usize },
}

/// A seat with its frame in the craft.
#[derive(Clone, Debug)]
pub(crate) struct Here {
    pub seat: Seat,
    pub anchor: Anchor,
    /// The place that carries it.
    pub under: usize,
    pub base: Pose,
    pub near: f64,
    pub far: f64,
    pub holds: Holds,
}

/// Which screws close the stack over a unit, and which are left over.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub(crate) struct Closing {
    pub caps: Vec<usize>,
    pub dropped: Vec<usize>,
}

/// One way for a unit to stand.
#[derive(Clone, Debug)]
pub(crate) struct Stand {
    pub seat: Seat,
    pub flipped: bool,
    /// Which of the unit's heights.
    pub height: usize,
    pub closing: Rc<Closing>,
    /// Whether its holes meet those of the seat.
    pub met: bool,
    /// The unit in the craft's frame.
    pub pose: Pose,
    /// The unit and what goes with it, each by its own values; riders follow the unit.
    pub tried: Vec<Tried>,
}

/// A place with other values.
#[derive(Clone, Debug)]
pub(crate) struct Tried {
    pub place: usize,
    pub anchor: Anchor,
    pub under: usize,
    pub at: [f64; 3],
    pub yaw: f64,
    pub flipped: bool,
    /// Which of the unit's heights its part has.
    pub height: Option<usize>,
    pub pose: Pose,
}

/// How a board lies on its seat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Lie {
    pub turn: f64,
    pub flipped: bool,
    /// Where its origin comes to lie, across the seat.
    pub shift: [f64; 2],
    /// Which of its own decks lies on the seat.
    pub own: usize,
}

impl Tried {
    pub(crate) fn new(
        proof: &Proof,
        place: usize,
        (anchor, under, base): (&Anchor, usize, Pose),
        at: [f64; 3],
        (yaw, flipped): (f64, bool),
    ) -> Self {
        let angles = [&place_schema::PITCH, &place_schema::ROLL].map(|field| angle(proof, place, field));
        let turned = InPart::turned(
            PartPoint::new(at[0], at[1], at[2]),
            Degrees::new(yaw),
            Degrees::new(angles[0]),
            Degrees::new(angles[1]),
        );
        let pose = base * turned;
        let pose = if flipped { pose * turned_over() } else { pose };
        Self { place, anchor: anchor.clone(), under, at, yaw, flipped, height: None, pose }
    }

    /// A place as it is, on another seat and so high.
    fn raised(proof: &Proof, place: usize, here: &Here, z: f64) -> Self {
        let at = [length(proof, place, &place_schema::X), length(proof, place, &place_schema::Y), z];
        let side = (angle(proof, place, &place_schema::YAW), flipped(proof, place));
        Self::new(proof, place, (&here.anchor, here.under, here.base), at, side)
    }
}

pub(crate) fn turned_over() -> InPart {
    InPart::turned(PartPoint::ORIGIN, Degrees::new(0.0), Degrees::new(0.0), Degrees::new(180.0))
}

impl Stand {
    /// A board on its seat; `lie` says how its holes meet the seat's, `None` leaves it as it stands.
    pub fn of_board(
        proof: &Proof,
        mover: &Mover,
        here: &Here,
        (lie, height, met): (Option<Lie>, usize, bool),
        closing: &Rc<Closing>,
    ) -> Self {
        let (foot, head) = mover.faces;
        let rise = mover.heights[height].mm + mover.beyond;
        let (turn, over, at) = match lie {
            None => (mover.now.yaw, mover.now.flipped, mover.now.at),
            Some(lie) => {
                let z = here.near + rise + if lie.flipped { head } else { -foot };
                (lie.turn, lie.flipped, [lie.shift[0], lie.shift[1], z])
            }
        };
        let seat = (&here.anchor, here.under, here.base);
        let unit = Tried::new(proof, mover.unit.place, seat, at, (turn, over));
        let pose = unit.pose;
        let top = at[2] + if over { -foot } else { head };
        let mut tried = vec![unit];
        if let Some(place) = mover.unit.stand_off {
            let stand_off = Tried::raised(proof, place, here, here.near + mover.stand_off_beyond);
            tried.push(Tried { height: Some(height), ..stand_off });
        }
        for (place, side) in &mover.fixings {
            if !closing.dropped.contains(place) {
                let z = match side {
                    Side::Below(beyond) => here.far + beyond,
                    Side::Above(beyond) => top + beyond,
                };
                tried.push(Tried::raised(proof, *place, here, z));
            }
        }
        for place in &closing.caps {
            tried.push(cap(proof, mover, here, (*place, lie.map_or(0, |lie| lie.own)), (pose, over, top)));
        }
        Self { seat: here.seat, flipped: over, height, closing: Rc::clone(closing), met, pose, tried }
    }

    /// A camera in a mount or an antenna in a holder: as it is, but there.
    pub fn of_other(proof: &Proof, mover: &Mover, here: &Here, closing: &Rc<Closing>) -> Self {
        let seat = (&here.anchor, here.under, here.base);
        let side = (mover.now.yaw, mover.now.flipped);
        let unit = Tried::new(proof, mover.unit.place, seat, mover.now.at, side);
        let pose = unit.pose;
        let mut tried = vec![unit];
        for (place, _) in &mover.fixings {
            let mut at = [&place_schema::X, &place_schema::Y, &place_schema::Z]
                .map(|field| length(proof, *place, field));
            if let (Sort::Camera, Holds::Camera { screws_at }, Some(was)) =
                (mover.unit.sort, &here.holds, mover.screws_at)
            {
                at[1] += at[1].signum() * (screws_at - was);
            }
            let side = (angle(proof, *place, &place_schema::YAW), flipped(proof, *place));
            tried.push(Tried::new(proof, *place, seat, at, side));
        }
        let closing = Rc::clone(closing);
        Self { seat: here.seat, flipped: side.1, height: 0, closing, met: true, pose, tried }
    }
}

/// A screw set that closes the stack over a unit: as it is seated now if it is the unit's own, else on the unit's
/// own holes.
fn cap(
    proof: &Proof,
    mover: &Mover,
    here: &Here,
    (place, own): (usize, usize),
    (pose, over, top): (Pose, bool, f64),
) -> Tried {
    let beyond = mover.caps_beyond.get(&place).copied().unwrap_or(0.0);
    let on = proof.craft.places[place].on.as_ref();
    if mover.unit.caps.contains(&place) && on == proof.craft.places[mover.unit.place].on.as_ref() {
        return Tried::raised(proof, place, here, top + beyond);
    }
    let own = mover.decks.iter().position(|deck| on == Some(&mover.anchor_of(proof, deck))).unwrap_or(own);
    let Some(deck) = mover.decks.get(own).or(mover.decks.first()) else {
        return Tried::raised(proof, place, here, top + beyond);
    };
    let (foot, head) = mover.faces;
    let z = if over { foot - beyond } else { head + beyond };
    // Heights count from the unit's origin, a seat's from its own.
    let z = z - deck.frame.origin().z();
    let at = [length(proof, place, &place_schema::X), length(proof, place, &place_schema::Y), z];
    let yaw = angle(proof, place, &place_schema::YAW);
    let seat = (&mover.anchor_of(proof, deck), mover.unit.place, pose * deck.frame);
    Tried::new(proof, place, seat, at, (yaw, over))
}
