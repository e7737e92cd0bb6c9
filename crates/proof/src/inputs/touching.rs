//! Which solids are meant to touch: what is seated on what, and what one screw set clamps together.
//!
//! Contact is meant
//! - between a part and the part it is seated on, when it is screwed, strapped or held there: all but a
//!   camera in its mount, and a board on anything that is no fixing and no printed holder, since these are
//!   meant to keep off;
//! - between spacers, soft mounts, screw heads or adapters and whatever shares their seat;
//! - between a screw and another fixing on the same part;
//! - between the head of a screw and a printed part through a hole of which the screw goes;
//! - between a camera and a print that holds its tilt, such as a wedge with foam on its seat: how far it may be tilted there is
//!   asked of the tilt;
//! - between a printed part seated on a camera and what that camera hangs in: it fills the room between;
//! - between an antenna and the plug it starts at.
//!
//! Asked of one pair at a time: only pairs that come near are ever asked about.

use super::board_bodies::{air_beside, customary_room};
use super::{CraftSolid, Piece};
use crate::engine::Proof;
use craft::schema::{PartKind, fixing, place as place_schema, shape};
use craft::{Anchor, Part, PlugRef};
use fit::{Hole, Role, Shape};

/// What is known of each place, to say which solids are meant to touch.
pub(crate) struct Contacts<'p, 'a> {
    proof: &'p Proof<'a>,
    /// The place under each place.
    under: Vec<Option<usize>>,
    /// The plug an antenna starts at: its place and its row.
    from: Vec<Option<(usize, usize)>>,
}

/// A place and what it is seated on, there or as it is tried.
#[derive(Clone, Copy)]
pub(crate) struct Rest<'p> {
    pub place: usize,
    pub on: Option<&'p Anchor>,
    /// The place under it.
    pub under: Option<usize>,
}

impl<'p, 'a> Contacts<'p, 'a> {
    /// Looks every seat up once.
    pub fn of(proof: &'p Proof<'a>) -> Self {
        let places = &proof.craft.places;
        let under = places.iter().map(|place| proof.number_of(place.on.as_ref()?.place()?)).collect();
        let from = (0..places.len()).map(|number| antenna_plug(proof, number)).collect();
        Self { proof, under, from }
    }

    /// Whether two solids are meant to touch.
    pub fn meant(&self, a: &CraftSolid, b: &CraftSolid) -> bool {
        self.meant_at((a, self.rest(a.place)), (b, self.rest(b.place)))
    }

    /// The same of two solids whose places may be seated elsewhere than the craft has them.
    pub fn meant_at(&self, (a, at_a): (&CraftSolid, Rest<'_>), (b, at_b): (&CraftSolid, Rest<'_>)) -> bool {
        if self.plugs_in(a, b) || self.plugs_in(b, a) || goes_through(a, b) || goes_through(b, a) {
            return true;
        }
        if clamped(a) && clamped(b) && (self.holds_tilt(at_a, at_b) || self.holds_tilt(at_b, at_a)) {
            return true;
        }
        let bodies = (clamped(a) && clamped(b)) || holds(a, b) || holds(b, a);
        bodies && (self.rests(at_a, at_b) || self.rests(at_b, at_a))
    }

    /// Whether nothing can be said of two solids, since one of them is the components of a board, nobody stated how
    /// far these keep from its holes, and the other stands in such a hole and is no wider than custom leaves room for.
    pub fn left_open(&self, a: &CraftSolid, b: &CraftSolid) -> bool {
        self.left_open_at((a, self.rest(a.place)), (b, self.rest(b.place)))
    }

    /// The same of two solids whose places may be seated elsewhere than the craft has them.
    pub fn left_open_at(
        &self,
        (a, at_a): (&CraftSolid, Rest<'_>),
        (b, at_b): (&CraftSolid, Rest<'_>),
    ) -> bool {
        if self.in_sink((a, at_a), b) || self.in_sink((b, at_b), a) {
            return true;
        }
        let (fixing, board) = match (&a.piece, &b.piece) {
            (_, Piece::Components) => (a, b),
            (Piece::Components, _) => (b, a),
            _ => return false,
        };
        let Shape::Cylinder(round) = &fixing.solid.shape else { return false };
        if !matches!(fixing.solid.role, Role::ScrewHead | Role::Spacer | Role::SoftMount)
            || !(self.rests(at_a, at_b) || self.rests(at_b, at_a))
        {
            return false;
        }
        let wants = 2.0 * (round.radius().get() + air_beside(fixing.solid.role));
        let room = self.proof.part_of(board.place).and_then(customary_room);
        room.is_some_and(|room| wants <= room + 1e-9)
    }

    /// Whether the first is the head of a screw in the sink of a print it holds: a sheet cannot say the sinks in an inclined seat, so
    /// the pattern that is drilled in no plate of the print says where they are.
    fn in_sink(&self, (head, at): (&CraftSolid, Rest<'_>), print: &CraftSolid) -> bool {
        let Some(Anchor::Feature(_, name)) = at.on else { return false };
        head.solid.role == Role::ScrewHead
            && at.under == Some(print.place)
            && self.proof.part_of(print.place).is_some_and(|part| {
                let row = part.row_named(&shape::pattern::TABLE, name);
                part.kind == PartKind::PrintedPart
                    && row.is_some_and(|row| row.text(&shape::pattern::PLATE).is_err())
            })
    }

    /// Whether the first is a print that holds the tilt of the second, a camera that hangs in what the print stands on.
    fn holds_tilt(&self, print: Rest<'_>, camera: Rest<'_>) -> bool {
        let hangs_in = match self.kind(camera.place) {
            Some(PartKind::Camera) => camera.under,
            // What is seated on the camera turns with it.
            _ => camera
                .under
                .filter(|under| self.kind(*under) == Some(PartKind::Camera))
                .and_then(|under| self.under[under]),
        };
        print.under.is_some()
            && print.under == hangs_in
            && self.proof.part_of(print.place).is_some_and(holds_a_tilt)
    }

    /// A place as the craft has it.
    pub fn rest(&self, place: usize) -> Rest<'p> {
        Rest { place, on: self.proof.craft.places[place].on.as_ref(), under: self.under[place] }
    }

    /// Whether the first place is held by or clamped to the second.
    fn rests(&self, one: Rest<'_>, other: Rest<'_>) -> bool {
        let Some(kind) = self.kind(one.place) else { return false };
        let on_it = one.under == Some(other.place);
        if on_it && self.is_held(kind, other.place) {
            return true;
        }
        let fills = |camera: usize| {
            self.kind(camera) == Some(PartKind::Camera) && self.under[camera] == Some(other.place)
        };
        if kind == PartKind::PrintedPart && one.under.is_some_and(fills) {
            return true;
        }
        if !is_fixing(kind) {
            return false;
        }
        let shares = one.on.is_some_and(|on| Some(on) == other.on && *on != Anchor::Body);
        let same_part = one.under.is_some() && one.under == other.under;
        let both_fix = kind == PartKind::Screw && same_part && self.kind(other.place).is_some_and(is_fixing);
        shares || other.under == Some(one.place) || both_fix
    }

    fn kind(&self, number: usize) -> Option<PartKind> {
        self.proof.part_of(number).map(|part| part.kind)
    }

    fn is_held(&self, kind: PartKind, by: usize) -> bool {
        match kind {
            PartKind::Camera => false,
            kind if is_board(kind) => self.kind(by) == Some(PartKind::PrintedPart),
            _ => true,
        }
    }

    /// Whether the first is an antenna that starts at the second, a plug.
    fn plugs_in(&self, antenna: &CraftSolid, plug: &CraftSolid) -> bool {
        let Some((place, row)) = self.from[antenna.place] else { return false };
        place == plug.place && plug.piece == Piece::Row(shape::plug::TABLE.key, row)
    }
}

/// The plug an antenna starts at, if it starts at one of a placed part.
fn antenna_plug(proof: &Proof, number: usize) -> Option<(usize, usize)> {
    let placed = proof.placed_number(number)?;
    if placed.part.kind != PartKind::Antenna {
        return None;
    }
    plug_row(proof, placed.place.item().text(&place_schema::FROM).ok()?)
}

/// The place and the row of a plug that is named as place/plug.
pub(crate) fn plug_row(proof: &Proof, named: &str) -> Option<(usize, usize)> {
    let at = PlugRef::read(named)?;
    let place = proof.number_of(&at.place)?;
    let mut rows = proof.part_of(place)?.rows(&shape::plug::TABLE);
    Some((place, rows.position(|row| row.name() == Some(&at.plug))?))
}

/// Whether a part is a print that holds the tilt of a camera.
pub(crate) fn holds_a_tilt(part: &Part) -> bool {
    part.kind == PartKind::PrintedPart && part.item().text(&fixing::HOLDS) == Ok(fixing::HOLDS_TILT)
}

/// Whether the axis of a screw's head goes through a round hole of a printed plate: the head clamps it.
fn goes_through(head: &CraftSolid, plate: &CraftSolid) -> bool {
    let (Role::ScrewHead, Role::PrintedPart) = (head.solid.role, plate.solid.role) else { return false };
    let Shape::Prism(prism) = &plate.solid.shape else { return false };
    let at = plate.solid.pose.inverse().point(head.solid.pose.origin());
    prism.outline().holes().iter().any(|hole| match hole {
        Hole::Round { centre, diameter } => {
            (at.x() - centre.x).hypot(at.y() - centre.y) <= diameter.get() / 2.0
        }
        _ => false,
    })
}

fn is_board(kind: PartKind) -> bool {
    matches!(
        kind,
        PartKind::FlightController
            | PartKind::SpeedController
            | PartKind::IntegratedBoard
            | PartKind::VideoTransmitter
    )
}

fn is_fixing(kind: PartKind) -> bool {
    matches!(kind, PartKind::Spacer | PartKind::SoftMount | PartKind::Screw | PartKind::Adapter)
}

/// Whether a fixing holds a transmitter by its hot face: its own screws and spacers take no air from it.
fn holds(fixing: &CraftSolid, face: &CraftSolid) -> bool {
    face.piece == Piece::HotFace
        && matches!(fixing.solid.role, Role::Spacer | Role::SoftMount | Role::ScrewHead | Role::Relief)
}

/// Whether a solid may be clamped or leant on: components, plugs, pads and spaces may not.
fn clamped(solid: &CraftSolid) -> bool {
    !solid.ghost
        && !matches!(
            solid.piece,
            Piece::Components | Piece::HotFace | Piece::Element | Piece::Row("plug" | "pad", _)
        )
}
