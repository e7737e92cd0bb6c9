//! Which solids are meant to touch: what is seated on what, and what one screw set clamps together.
//!
//! Contact is meant
//! - between a part and the part it is seated on, when it is screwed, strapped or held there (all but a
//!   camera in its mount and a board on its spacers, which are meant to keep off);
//! - between spacers, soft mounts, screw heads or adapters and the laminates, adapters and plates that
//!   share their pattern.

use super::{CraftSolid, Piece, Seat, Unbuilt};
use crate::engine::Proof;
use craft::schema::PartKind;
use craft::{Anchor, Place};
use fit::{Role, SolidIndex};

pub(super) fn touching(
    proof: &Proof,
    seats: &[Result<Seat, Unbuilt>],
    solids: &[CraftSolid],
) -> Vec<(SolidIndex, SolidIndex)> {
    let craft = proof.craft;
    let mut by_place: Vec<Vec<u32>> = vec![Vec::new(); craft.places.len()];
    for (index, solid) in solids.iter().enumerate() {
        by_place[solid.place].push(index as u32);
    }
    let kind = |number: usize| craft.part_at(&craft.places[number]).map(|part| part.kind);
    let number_of = |place: &Place| craft.places.iter().position(|other| other.id == place.id);
    let mut pairs = Vec::new();
    let mut meet = |a: usize, b: usize| {
        for &i in &by_place[a] {
            for &j in &by_place[b] {
                let (first, second) = (&solids[i as usize], &solids[j as usize]);
                if (clamped(first) && clamped(second)) || holds(first, second) || holds(second, first) {
                    pairs.push((SolidIndex(i.min(j)), SolidIndex(i.max(j))));
                }
            }
        }
    };
    for (number, place) in craft.places.iter().enumerate() {
        if seats.get(number).is_none_or(Result::is_err) {
            continue;
        }
        let Some(under) =
            place.on.as_ref().and_then(Anchor::place).and_then(|id| craft.place(id)).and_then(number_of)
        else {
            continue;
        };
        let held = kind(number).is_some_and(|kind| kind != PartKind::Camera && !is_board(kind));
        if held {
            meet(number, under);
        }
        if !kind(number).is_some_and(is_fixing) {
            continue;
        }
        // A fixing also meets what shares its seat, and what is seated on what shares it.
        for (other, beside) in craft.places.iter().enumerate() {
            let shares =
                beside.on == place.on || beside.on.as_ref().and_then(Anchor::place) == Some(&place.id);
            let above =
                beside.on.as_ref().and_then(Anchor::place) == place.on.as_ref().and_then(Anchor::place);
            let screw_on_plate =
                kind(number) == Some(PartKind::Screw) && above && kind(other).is_some_and(is_fixing);
            if other != number && (shares || screw_on_plate) {
                meet(number, other);
            }
        }
    }
    pairs.sort_unstable();
    pairs.dedup();
    pairs
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
        && matches!(fixing.solid.role, Role::Spacer | Role::SoftMount | Role::ScrewHead)
}

/// Whether a solid may be clamped or leant on: components, plugs, pads and spaces may not.
fn clamped(solid: &CraftSolid) -> bool {
    !solid.ghost
        && !matches!(
            solid.piece,
            Piece::Components | Piece::HotFace | Piece::Element | Piece::Row("plug" | "pad", _)
        )
}
